package trial

import (
	"fmt"
	"slices"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/chance"

	"github.com/shopspring/decimal"
)

// Request says how often and from which seed the figures that may turn out
// otherwise are drawn.
type Request struct {
	Trials int // 1 to MaxTrials
	Seed   uint64
	Budget decimal.Decimal  // cash that the batch should not exceed, home currency; 0: none
	Stop   func() bool      // true gives the trials up; nil: never
	Done   func(trials int) // called now and then with the trials made since; may be nil
}

// goOn tells whether to make more trials, and of those made since it was asked
// last.
func (r Request) goOn(made int) bool {
	if r.Done != nil && made > 0 {
		r.Done(stopEvery)
	}
	return r.Stop == nil || !r.Stop()
}

// stopEvery is how many trials are made between two questions whether to stop.
const stopEvery = 500

// MaxTrials bounds the trials of one run.
const MaxTrials = 1_000_000

// Run makes trials of the batches of an estimate, which must be one of the run: the inputs of
// their replays (cost.Replays) are drawn, figures as beta-PERT values about their own, boards,
// units and plates that come out good as chance has it. Problems besides errors are the
// warnings of the replays. Without chances and without an error the trials were stopped.
func Run(run cost.Run, e *cost.Estimate, r Request) (*Chances, bom.Problems) {
	var problems bom.Problems
	if r.Trials < 1 || r.Trials > MaxTrials {
		problems.Errorf(bom.Place{File: run.Prices.Name}, fmt.Sprint(r.Trials), fmt.Sprintf("1 to %d", MaxTrials), "these trials cannot be made")
		return nil, problems
	}
	replays, problems := cost.Replays(run, e)
	if replays == nil {
		return nil, problems
	}
	c := &Chances{Trials: r.Trials, Seed: r.Seed, Budget: r.Budget}
	for _, replay := range replays {
		o, made := newTrial(replay).outlook(r)
		if !made {
			return nil, nil
		}
		c.Batches = append(c.Batches, o)
	}
	return c, problems
}

// trial is a replay with what its inputs are drawn from.
type trial struct {
	*cost.Replay
	curves []*chance.Curve // nil where the figure is certain
}

func newTrial(r *cost.Replay) *trial {
	t := &trial{r, make([]*chance.Curve, len(r.Inputs))}
	for i := range r.Inputs {
		if !r.Inputs[i].Certain() {
			t.curves[i] = chance.NewCurve(r.Inputs[i].Pert)
		}
	}
	return t
}

// unit is what a good unit costs, of what the batch uses: of no more than are
// wanted, and as if one had come out good where none did.
func unit(o *cost.Outcome) float64 { return o.Used() / float64(max(1, o.Good)) }

// outlook makes the trials of a batch, and ranks what they rest on; made is
// false where they were stopped.
func (t *trial) outlook(r Request) (o Outlook, made bool) {
	o.Plates = slices.ContainsFunc(t.Plates, func(g cost.PlateChance) bool { return g.Input != cost.Certain })
	units, cash := make([]float64, r.Trials), make([]float64, r.Trials)
	enough, within := 0, 0
	budget := r.Budget.InexactFloat64()
	luck, out := t.lucks(r.Seed), t.AsPlanned()
	for i := range units {
		if i%stopEvery == 0 && !r.goOn(i) {
			return o, false
		}
		luck.draw(out)
		out.Run()
		units[i], cash[i] = unit(out), out.Cash()
		if out.Good >= t.Size {
			enough++
		}
		if out.Good == 0 {
			o.NoneGood++
		}
		if cash[i] <= budget {
			within++
		}
	}
	o.Unit, o.Cash = chance.Quantiles(units), chance.Quantiles(cash)
	o.Enough = float64(enough) / float64(r.Trials)
	if r.Budget.IsPositive() {
		o.InBudget = float64(within) / float64(r.Trials)
	}
	o.Spreads, made = t.rank(r)
	return o, made
}
