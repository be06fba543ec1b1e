package cost

import (
	"tenoff/bom"
	"tenoff/cost/chance"
)

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
		l.boards[i] = start(b.input, drawKey("boards", bom.Fold(b.name)))
	}
	l.units = start(t.unitYield, drawKey("units"))
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
				o.begun[k] = float64(d.Tries(t.kinds[k].good, o.x[g.input]/100))
			}
		}
	}
	copy(o.units, t.starts)
	for i, d := range l.boards {
		if d != nil {
			t.boards[i].limit(o.units, t.starts, d.Good(t.boards[i].starts, t.boards[i].yield))
		}
	}
	// Where units do not fail, those that can be begun and are wanted come out.
	o.good = 0
	for p, n := range o.units {
		if l.units != nil {
			n = l.units.Good(n, o.x[t.unitYield]/100)
		}
		o.good += min(n, t.sizes[p])
	}
}

// limit lets no more units be begun than there are good boards for, which the products
// share by what each wants.
func (b *trialBoards) limit(units, starts []int, good int) {
	for p, per := range b.perUnit {
		if wanted := starts[p] * per; wanted > 0 {
			units[p] = min(units[p], good*wanted/b.wanted/per)
		}
	}
}
