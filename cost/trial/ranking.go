package trial

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"tenoff/cost"
	"tenoff/cost/chance"
)

// even is at how many values, evenly spread over its distribution, an input is
// looked at that is nothing but a figure: at the middle of each of so many parts
// of equal probability.
const even = 400

// rank gives the inputs by how much of the spread each carries, the most first;
// made is false where it was stopped. What happens by chance is drawn as often
// as there are trials.
func (t *trial) rank(r Request) (spreads []Spread, made bool) {
	sum := 0.0
	out := t.AsPlanned()
	for i := range t.Inputs {
		if r.Stop != nil && r.Stop() {
			return nil, false
		}
		var units []float64
		if t.Inputs[i].Happens {
			units = t.chanceAlone(i, r)
		} else {
			units = t.figureAlone(i, out)
		}
		s := Spread{Ranged: t.Inputs[i], Share: variance(units)}
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
		return cmp.Or(cmp.Compare(b.Share, a.Share), strings.Compare(a.Key, b.Key))
	})
	return spreads, true
}

// figureAlone gives the unit cost over the distribution of an input, and leaves
// the outcome as planned.
func (t *trial) figureAlone(input int, out *cost.Outcome) []float64 {
	units := make([]float64, even)
	again := out.Alone(input)
	for i := range units {
		out.X[input] = t.curves[input].At((float64(i) + 0.5) / even)
		again()
		units[i] = unit(out)
	}
	out.X[input] = t.Inputs[input].Mode
	again()
	return units
}

// chanceAlone gives the unit cost in trials in which one thing happens as chance
// has it, and leaves the replay as planned.
func (t *trial) chanceAlone(input int, r Request) []float64 {
	units := make([]float64, r.Trials)
	luck, out := t.luckOf(r.Seed, func(i int) bool { return i == input }), t.AsPlanned()
	again := out.Alone(input)
	for i := range units {
		luck.draw(out)
		again()
		units[i] = unit(out)
	}
	t.AsPlanned()
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
