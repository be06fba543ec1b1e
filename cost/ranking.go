package cost

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tenoff/cost/chance"
)

// Spread is how much one input carries: what becomes of the unit cost when it
// alone is drawn, with all else as planned. Money is in home currency.
type Spread struct {
	Ranged
	From, To float64 // P10 and P90 of the unit cost
	OffBy    float64 // standard deviation of the unit cost: how far it typically lies off its mean
	Share    float64 // square of that as a share of the sum over all inputs; 0 where the sum is 0
}

// even is at how many values, evenly spread over its distribution, an input is
// looked at that is nothing but a figure: at the middle of each of so many parts
// of equal probability.
const even = 400

// rank gives the inputs by how much of the spread each carries, the most first;
// made is false where it was stopped. What happens by chance is drawn as often
// as there are trials.
func (t *trial) rank(try Trying) (spreads []Spread, made bool) {
	sum := 0.0
	out := t.asPlanned()
	for i := range t.inputs {
		if try.Stop != nil && try.Stop() {
			return nil, false
		}
		var units []float64
		if t.inputs[i].Happens {
			units = t.chanceAlone(i, try)
		} else {
			units = t.figureAlone(i, out)
		}
		s := Spread{Ranged: t.inputs[i], Share: variance(units)}
		s.OffBy = math.Sqrt(s.Share)
		three := chance.Quantiles(units)
		s.From, s.To = three.P10, three.P90
		sum += s.Share
		spreads = append(spreads, s)
	}
	if sum > 0 {
		for i := range spreads {
			spreads[i].Share /= sum
		}
	}
	slices.SortFunc(spreads, func(a, b Spread) int {
		return cmp.Or(cmp.Compare(b.Share, a.Share), strings.Compare(a.key, b.key))
	})
	return spreads, true
}

// figureAlone gives the unit cost over the distribution of an input, and leaves
// the outcome as planned.
func (t *trial) figureAlone(input int, out *outcome) []float64 {
	units := make([]float64, even)
	what := t.after(input)
	for i := range units {
		out.x[input] = t.inputs[input].curve.At((float64(i) + 0.5) / even)
		out.again(what)
		units[i] = out.unit()
	}
	out.x[input] = t.inputs[input].Mode
	out.again(what)
	return units
}

// chanceAlone gives the unit cost in trials in which one thing happens as chance
// has it.
func (t *trial) chanceAlone(input int, try Trying) []float64 {
	units := make([]float64, try.Trials)
	luck, out, what := t.luckOf(try.Seed, func(i int) bool { return i == input }), t.asPlanned(), t.after(input)
	for i := range units {
		luck.draw(out)
		out.again(what)
		units[i] = out.unit()
	}
	return units
}

// variance is the mean square of how far values lie from their mean; exactly 0
// where all are the same.
func variance(values []float64) float64 {
	sum, squares := 0.0, 0.0
	for _, v := range values {
		d := v - values[0]
		sum += d
		squares += float64(d * d)
	}
	n := float64(len(values))
	mean := sum / n
	return max(0, squares/n-float64(mean*mean))
}

// all is everything there is to reckon.
func (t *trial) all() touched {
	count := func(n int) []int {
		list := make([]int, n)
		for i := range list {
			list[i] = i
		}
		return list
	}
	return touched{count(len(t.prints)), count(len(t.lines)), count(len(t.stocks)), count(len(t.orders)), count(len(t.works))}
}

// after lists what rests on an input.
func (t *trial) after(input int) touched {
	var out touched
	by := func(figures ...varying) bool {
		return slices.ContainsFunc(figures, func(f varying) bool { return f.input == input })
	}
	charged := func(supplier int) bool {
		s := &t.suppliers[supplier]
		return by(s.rate, s.delivery, s.consign, s.handling)
	}
	plates, boards := t.failsBy(input)
	stocks, orders := make([]bool, len(t.stocks)), make([]bool, len(t.orders))
	for i := range t.prints {
		if plates || by(t.prints[i].power, t.energy) {
			out.prints = append(out.prints, i)
		}
	}
	for i := range t.lines {
		l := &t.lines[i]
		if !by(l.amount, l.rate) && !(l.order >= 0 && by(t.suppliers[t.orders[l.order].supplier].rate)) {
			continue
		}
		out.lines = append(out.lines, i)
		if l.stock >= 0 {
			stocks[l.stock] = true
		}
		if l.order >= 0 {
			orders[l.order] = true
		}
	}
	for i := range t.stocks {
		filament := slices.ContainsFunc(t.stocks[i].spools, func(s trialSpool) bool { return by(s.price, s.rate) || charged(s.supplier) })
		if stocks[i] || filament || plates && t.stocks[i].prints != nil {
			out.stocks = append(out.stocks, i)
		}
	}
	for i := range t.orders {
		if orders[i] || charged(t.orders[i].supplier) {
			out.orders = append(out.orders, i)
		}
	}
	for i := range t.works {
		w := &t.works[i]
		if by(w.seconds, t.labour) || plates && w.basis == basisPlate || boards {
			out.works = append(out.works, i)
		}
	}
	return out
}

// failsBy tells whether plates, or boards, fail by an input.
func (t *trial) failsBy(input int) (plates, boards bool) {
	for _, g := range t.groups {
		plates = plates || g.input == input
	}
	for _, b := range t.boards {
		boards = boards || b.input == input
	}
	return plates, boards
}
