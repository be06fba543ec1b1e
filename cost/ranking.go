package cost

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tenoff/cost/chance"
	"tenoff/cost/sum"
)

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

// alone is the programme of what rests on one input.
func (t *trial) alone(input int) *sum.Program {
	return t.program.After(t.drawn(func(i int) bool { return i == input })...)
}

// figureAlone gives the unit cost over the distribution of an input, and leaves
// the outcome as planned.
func (t *trial) figureAlone(input int, out *outcome) []float64 {
	units := make([]float64, even)
	p := t.alone(input)
	for i := range units {
		out.x[input] = t.inputs[input].curve.At((float64(i) + 0.5) / even)
		out.follow(input)
		p.Run()
		units[i] = out.unit()
	}
	out.x[input] = t.inputs[input].Mode
	out.follow(input)
	p.Run()
	return units
}

// chanceAlone gives the unit cost in trials in which one thing happens as chance
// has it, and leaves the outcome as planned.
func (t *trial) chanceAlone(input int, try Trying) []float64 {
	units := make([]float64, try.Trials)
	luck, out, p := t.luckOf(try.Seed, func(i int) bool { return i == input }), t.asPlanned(), t.alone(input)
	for i := range units {
		luck.draw(out)
		out.follow(input)
		out.happen()
		p.Run()
		units[i] = out.unit()
	}
	t.asPlanned()
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
