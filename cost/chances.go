package cost

import (
	"fmt"
	"slices"

	"tenoff/bom"
	"tenoff/cost/chance"
)

// Try makes trials of the batches of an estimate, which must be one of the run:
// every figure that has a range, or is an old price, is drawn as a beta-PERT
// value about its own (5.11), boards, units and plates come out good or fail
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
	run.picked = e.picked
	m, problems := New(run)
	if m == nil {
		return nil, problems
	}
	c := &Chances{Trials: t.Trials, Seed: t.Seed, Budget: t.Budget}
	for i := range e.Batches {
		o, made := newTrial(m.at(i).of(&e.Batches[i]), &e.Batches[i]).outlook(t)
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
			problems.Warnf(s.At(at), s.Name, "the value itself counts", "the range of this setting is not used")
		}
	}
	return problems
}

// outlook makes the trials of a batch, and ranks what they rest on; made is
// false where they were stopped.
func (t *trial) outlook(try Trying) (o Outlook, made bool) {
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
