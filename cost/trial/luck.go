package trial

import (
	"tenoff/cost"
	"tenoff/cost/chance"
)

// unitsKey names the draws of the units that come out good.
const unitsKey = `["units"]`

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
	l := &luck{t: t, figures: make([]*chance.Draws, len(t.Inputs)), plates: make([]*chance.Draws, len(t.Plates)), boards: make([]*chance.Draws, len(t.Boards))}
	start := func(input int, name string) *chance.Draws {
		if input == cost.Certain || !drawn(input) {
			return nil
		}
		return chance.NewDraws(seed, name)
	}
	for i := range t.Inputs {
		if !t.Inputs[i].Certain() {
			l.figures[i] = start(i, t.Inputs[i].Key)
		}
	}
	for i, g := range t.Plates {
		l.plates[i] = start(g.Input, g.Key)
	}
	for i, b := range t.Boards {
		l.boards[i] = start(b.Input, b.Key)
	}
	l.units = start(t.UnitYield, unitsKey)
	return l
}

// draw puts figures and happenings of one trial into an outcome.
func (l *luck) draw(o *cost.Outcome) {
	t := l.t
	for i, d := range l.figures {
		if d != nil {
			o.X[i] = d.From(t.curves[i])
		}
	}
	for i, d := range l.plates {
		if d != nil {
			g := &t.Plates[i]
			for _, k := range g.Kinds {
				o.Begun[k] = float64(d.Tries(t.GoodPlates[k], o.X[g.Input]/100))
			}
		}
	}
	copy(o.Units, t.Starts)
	for i, d := range l.boards {
		if d != nil {
			limit(&t.Boards[i], o.Units, t.Starts, d.Good(t.Boards[i].Starts, t.Boards[i].Yield))
		}
	}
	// Where units do not fail, those that can be begun and are wanted come out.
	o.Good = 0
	for p, n := range o.Units {
		if l.units != nil {
			n = l.units.Good(n, o.X[t.UnitYield]/100)
		}
		o.Good += min(n, t.Sizes[p])
	}
}

// limit lets no more units be begun than there are good boards for, which the products
// share by what each wants.
func limit(b *cost.BoardChance, units, starts []int, good int) {
	for p, per := range b.PerUnit {
		if wanted := starts[p] * per; wanted > 0 {
			units[p] = min(units[p], good*wanted/b.Wanted/per)
		}
	}
}
