package cost

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/chance"
)

// MaxTrials bounds the trials of one run.
const MaxTrials = 1_000_000

// Trying says how often and from which seed the figures that may turn out
// otherwise are drawn.
type Trying struct {
	Trials int // 1 to MaxTrials
	Seed   uint64
	Budget decimal.Decimal  // cash that the batch should not exceed, home currency; 0: none
	Stop   func() bool      // true gives the trials up; nil: never
	Done   func(trials int) // called now and then with the trials made since; may be nil
}

// Pert and Three are used in what is reported.
type (
	Pert  = chance.Pert  // a three-point figure
	Three = chance.Three // P10, P50 and P90
)

// Chances are what the batches may turn out to cost.
type Chances struct {
	Trials  int
	Seed    uint64
	Budget  decimal.Decimal // as asked for; 0: none
	Batches []Outlook       // one for each batch of the run
}

// Outlook is what may become of one batch when its purchases and starts are
// held as they are planned. Money is in home currency.
type Outlook struct {
	Size     int
	Unit     Three // used, per good unit and no more than are wanted
	Cash     Three
	InBudget float64 // share of the trials within the budget; 0 where there is none
	Enough   float64 // share of the trials in which all units that are wanted come out good
	NoneGood int     // trials in which no unit comes out good; Unit takes them for one
	Plates   bool    // some may fail
	Spreads  []Spread
}

// Settings that are drawn.
const (
	drawnLabour = "Labour rate per hour"
	drawnEnergy = "Energy price per kWh"
	drawnYield  = "Unit yield %"
)

// stopEvery is how many trials are made between two questions whether to stop.
const stopEvery = 500

// Try makes trials of the batches of an estimate, which must be one of the run:
// every figure that has a range, or is an old price, is drawn as a beta-PERT
// figure about its value (5.11), boards, units and plates come out good or fail
// as chance has it, and the batch is reckoned again by the rules that a trial
// keeps to. A range on a setting that no cost of a batch follows is told of in a
// warning and not drawn. Without chances and without an error the trials were
// stopped.
func Try(run Run, e *Estimate, t Trying) (*Chances, bom.Problems) {
	var problems bom.Problems
	if t.Trials < 1 || t.Trials > MaxTrials {
		problems.Errorf(bom.Place{File: run.Prices.Name}, fmt.Sprint(t.Trials), fmt.Sprintf("1 to %d", MaxTrials), "these trials cannot be made")
		return nil, problems
	}
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	c := &Chances{Trials: t.Trials, Seed: t.Seed, Budget: t.Budget}
	for i := range e.Batches {
		o, made := m.newTrial(&e.Batches[i]).outlook(t)
		if !made {
			return nil, nil
		}
		c.Batches = append(c.Batches, o)
	}
	return c, notDrawn(run.Prices)
}

// notDrawn warns of ranges on settings that are not drawn.
func notDrawn(p *bom.Prices) bom.Problems {
	var problems bom.Problems
	for _, s := range p.Settings.All {
		drawn := s.Name == drawnLabour || s.Name == drawnEnergy || s.Name == drawnYield
		if !drawn && s.Low+s.High != "" {
			at := "Low"
			if s.Low == "" {
				at = "High"
			}
			problems.Warnf(s.At(at), s.Name, "nothing to do; the value itself counts", "the range of this setting is not drawn")
		}
	}
	return problems
}

// outlook makes the trials of a batch, and ranks what they rest on; made is
// false where they were stopped.
func (t *trial) outlook(try Trying) (o Outlook, made bool) {
	o.Size = t.size
	o.Plates = slices.ContainsFunc(t.groups, func(g trialGroup) bool { return g.input != certain })
	unit, cash := make([]float64, try.Trials), make([]float64, try.Trials)
	enough, within := 0, 0
	budget := try.Budget.InexactFloat64()
	luck, out := t.lucks(try.Seed), t.asPlanned()
	for i := range unit {
		if i%stopEvery == 0 && !try.goOn(i) {
			return o, false
		}
		luck.draw(out)
		out.run()
		unit[i], cash[i] = out.unit(), out.cash()
		if out.good >= t.size {
			enough++
		}
		if out.good == 0 {
			o.NoneGood++
		}
		if cash[i] <= budget {
			within++
		}
	}
	o.Unit, o.Cash = chance.Quantiles(unit), chance.Quantiles(cash)
	o.Enough = float64(enough) / float64(try.Trials)
	if try.Budget.IsPositive() {
		o.InBudget = float64(within) / float64(try.Trials)
	}
	o.Spreads, made = t.rank(try)
	return o, made
}

// goOn tells whether to make more trials, and of those made since it was asked
// last.
func (try Trying) goOn(made int) bool {
	if try.Done != nil && made > 0 {
		try.Done(stopEvery)
	}
	return try.Stop == nil || !try.Stop()
}

// luck draws trials: each input, and what happens by it, from a stream of its
// own, so that none changes what another draws.
type luck struct {
	t       *trial
	figures []*chance.Draws // of the inputs; nil where certain
	plates  []*chance.Draws // of the groups; nil where none fails
	boards  []*chance.Draws // nil where all are good
	units   *chance.Draws   // nil where all are good
}

// lucks starts the draws of all inputs.
func (t *trial) lucks(seed uint64) *luck { return t.luckOf(seed, func(int) bool { return true }) }

// luckOf starts the draws of some inputs; what happens by the others is as
// planned.
func (t *trial) luckOf(seed uint64, drawn func(input int) bool) *luck {
	l := &luck{t: t, figures: make([]*chance.Draws, len(t.inputs)), plates: make([]*chance.Draws, len(t.groups)), boards: make([]*chance.Draws, len(t.boards))}
	start := func(input int, name string) *chance.Draws {
		if input == certain || !drawn(input) {
			return nil
		}
		return chance.NewDraws(seed, name)
	}
	for i := range t.inputs {
		if !t.inputs[i].Certain() {
			l.figures[i] = start(i, t.inputs[i].key)
		}
	}
	for i, g := range t.groups {
		l.plates[i] = start(g.input, g.name)
	}
	for i, b := range t.boards {
		l.boards[i] = start(b.input, key("boards", fold(b.name)))
	}
	l.units = start(t.unitYield, key("units"))
	return l
}

// draw puts figures and happenings of one trial into an outcome.
func (l *luck) draw(o *outcome) {
	t := l.t
	for i, d := range l.figures {
		if d != nil {
			o.x[i] = d.From(t.inputs[i].curve)
		}
	}
	for i, d := range l.plates {
		if d != nil {
			g := &t.groups[i]
			for _, k := range g.kinds {
				o.begun[k] = d.Tries(t.kinds[k].good, o.x[g.input]/100)
			}
		}
	}
	o.units = t.starts
	for i, d := range l.boards {
		if b := &t.boards[i]; d != nil {
			o.units = min(o.units, d.Good(b.starts, b.yield)/b.perUnit)
		}
	}
	// Where units do not fail, those that can be begun and are wanted come out.
	o.good = min(o.units, t.size)
	if l.units != nil {
		o.good = l.units.Good(o.units, o.x[t.unitYield]/100)
	}
}
