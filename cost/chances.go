package cost

import (
	"cmp"
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
	Budget decimal.Decimal // cash that the batch should not exceed, home currency; 0: none
}

// Pert and Three are used in what is reported.
type (
	Pert  = chance.Pert  // a three-point figure
	Three = chance.Three // P10, P50 and P90
)

// Chances are what the batches may turn out to cost.
type Chances struct {
	Trying
	Inputs  []RangedInput
	Batches []Outlook // one for each batch of the run
}

// RangedInput is a setting with a lowest and a highest value.
type RangedInput struct {
	Name string
	Pert
}

// Outlook is what may become of one batch when its purchases and starts are
// held as they are planned. Money is in home currency.
type Outlook struct {
	Size     int
	Unit     Three // used, per good unit and no more than are wanted
	Cash     Three
	InBudget float64 // share of the trials within the budget; 0 where there is none
	Enough   float64 // share of the trials in which all units that are wanted come out good
	Spreads  []Spread
}

// Spread is how far the unit cost goes apart, P90 − P10, when one input alone
// is drawn. The widest comes first.
type Spread struct {
	Input int // into Chances.Inputs
	Width float64
}

// Settings that are drawn.
const (
	drawnLabour = "Labour rate per hour"
	drawnEnergy = "Energy price per kWh"
	drawnYield  = "Unit yield %"
)

// Try draws the settings that carry a lowest or a highest value, each as a
// beta-PERT figure about its value (5.11): labour rate and energy price change
// what work and printing cost; the unit yield changes how many of the units
// begun come out good, which is drawn too, unit by unit. A range on another
// setting is told of in a warning and not drawn. The estimate must be one of
// the run.
func Try(run Run, e *Estimate, t Trying) (*Chances, bom.Problems) {
	var problems bom.Problems
	if t.Trials < 1 || t.Trials > MaxTrials {
		problems.Errorf(bom.Place{File: run.Prices.Name}, fmt.Sprint(t.Trials), fmt.Sprintf("1 to %d", MaxTrials), "these trials cannot be made")
		return nil, problems
	}
	c := &Chances{Trying: t}
	at := map[string]int{}
	for _, s := range run.Prices.Settings.All {
		if !s.Least.Valid && !s.Most.Valid {
			continue
		}
		mode, drawn := drawnValue(&run.Prices.Settings, s.Name)
		if !drawn {
			problems.Warnf(s.At("Low"), s.Name, "nothing to do; the value itself counts", "the range of this setting is not drawn")
			continue
		}
		p := Pert{Low: mode, Mode: mode, High: mode}
		if s.Least.Valid {
			p.Low = s.Least.Decimal.InexactFloat64()
		}
		if s.Most.Valid {
			p.High = s.Most.Decimal.InexactFloat64()
		}
		at[s.Name] = len(c.Inputs)
		c.Inputs = append(c.Inputs, RangedInput{s.Name, p})
	}
	for i := range e.Batches {
		c.Batches = append(c.Batches, c.outlook(newTrial(run.Prices, &e.Batches[i], at)))
	}
	return c, problems
}

// drawnValue is the most likely value of a setting that is drawn.
func drawnValue(s *bom.Settings, name string) (float64, bool) {
	switch name {
	case drawnLabour:
		return s.LabourRate.InexactFloat64(), true
	case drawnEnergy:
		return s.EnergyPrice.InexactFloat64(), true
	case drawnYield:
		return s.UnitYield.InexactFloat64(), true
	}
	return 0, false
}

// trial is a batch as far as it changes with the figures that are drawn.
type trial struct {
	size, starts  int
	used, cash    float64
	hours, kWh    float64 // of hand work; of printing
	labour        int     // index of the input; -1: certain
	energy, yield int
	certainYield  float64 // share
}

func newTrial(p *bom.Prices, b *Batch, at map[string]int) trial {
	input := func(name string) int {
		if i, ok := at[name]; ok {
			return i
		}
		return -1
	}
	t := trial{
		size: b.Size, starts: b.Starts, used: b.Total.Used.InexactFloat64(), cash: b.Total.Cash.InexactFloat64(),
		labour: input(drawnLabour), energy: input(drawnEnergy), yield: input(drawnYield),
		certainYield: share(p.Settings.UnitYield),
	}
	for _, w := range b.Work {
		t.hours += w.Hours
	}
	for _, run := range b.Plates {
		for i := range p.Printers {
			if fold(p.Printers[i].Name) == fold(run.Printer) {
				t.kWh += run.Hours * p.Printers[i].PowerW / 1000
				break
			}
		}
	}
	return t
}

// outlook makes the trials of one batch: all inputs together, then each alone.
func (c *Chances) outlook(t trial) Outlook {
	o := Outlook{Size: t.size}
	unit, cash := make([]float64, c.Trials), make([]float64, c.Trials)
	enough, within := 0, 0
	budget := c.Budget.InexactFloat64()
	draws := c.draws(t, 0)
	for i := range unit {
		var good int
		unit[i], cash[i], good = c.once(t, draws, func(int) bool { return true })
		if good >= t.size {
			enough++
		}
		if cash[i] <= budget {
			within++
		}
	}
	o.Unit, o.Cash = chance.Quantiles(unit), chance.Quantiles(cash)
	o.Enough = float64(enough) / float64(c.Trials)
	if c.Budget.IsPositive() {
		o.InBudget = float64(within) / float64(c.Trials)
	}
	for input := range c.Inputs {
		draws := c.draws(t, input+1)
		for i := range unit {
			unit[i], _, _ = c.once(t, draws, func(other int) bool { return other == input })
		}
		three := chance.Quantiles(unit)
		o.Spreads = append(o.Spreads, Spread{input, three.P90 - three.P10})
	}
	slices.SortStableFunc(o.Spreads, func(a, b Spread) int { return cmp.Compare(b.Width, a.Width) })
	return o
}

// draws starts the stream of one batch and one purpose, so that neither the
// other batches nor the other inputs of a run change what is drawn.
func (c *Chances) draws(t trial, purpose int) *chance.Draws {
	const purposes = 1 << 20
	return chance.NewDraws(c.Seed, uint64(t.size)*purposes+uint64(purpose))
}

// once makes one trial; inputs that are not chosen stay at their value. Where
// the yield is not chosen all units that are wanted count as good, unless all
// inputs are. A batch of which no unit comes out good costs as much as one that
// came out would have.
func (c *Chances) once(t trial, draws *chance.Draws, chosen func(input int) bool) (unit, cash float64, good int) {
	more := 0.0
	for _, m := range []struct {
		input int
		times float64
	}{{t.labour, t.hours}, {t.energy, t.kWh}} {
		if m.input >= 0 && chosen(m.input) {
			more += m.times * (draws.Pert(c.Inputs[m.input].Pert) - c.Inputs[m.input].Mode)
		}
	}
	good = t.size
	if chosen(t.yield) {
		y := t.certainYield
		if t.yield >= 0 {
			y = draws.Pert(c.Inputs[t.yield].Pert) / 100
		}
		good = draws.Good(t.starts, y)
	}
	return (t.used + more) / float64(max(1, min(good, t.size))), t.cash + more, good
}
