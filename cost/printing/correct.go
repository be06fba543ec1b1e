package printing

import (
	"cmp"
	"math"
	"slices"
)

// Compared is one finished print: what it took and what had been computed for
// it. A figure that is not known is 0.
type Compared struct {
	Printer, Recipe string
	MeasuredG       float64
	ComputedG       float64
	MeasuredH       float64
	ComputedH       float64
}

// Ratio is how measured figures compare with computed ones.
type Ratio struct {
	Factor float64 // what a computed figure is multiplied by; 1 where no print is known
	Spread float64 // a further factor: about two prints in three lie between Factor ÷ Spread and Factor × Spread
	Prints int     // how many prints it rests on
}

// Correction holds for one printer and recipe.
type Correction struct {
	Printer, Recipe string
	G, Hours        Ratio
}

// Corrections are sorted by printer and recipe.
type Corrections []Correction

// madToSigma makes the median deviation of a normal distribution its standard
// deviation: 1/Φ⁻¹(3/4) (Rousseeuw and Croux, Journal of the American
// Statistical Association 88, 1993).
const madToSigma = 1.482602218505602

// Correct takes the ratios of a print log, for each printer and recipe. The
// factor is the median of the ratios, which one botched print cannot move far;
// medians and deviations are taken of logarithms, so that twice and half weigh
// the same. Prints without both figures, or with one that is not over 0, are
// left out.
func Correct(log []Compared) Corrections {
	type key struct{ printer, recipe string }
	groups := map[key][]Compared{}
	for _, c := range log {
		k := key{c.Printer, c.Recipe}
		groups[k] = append(groups[k], c)
	}
	var out Corrections
	for k, prints := range groups {
		out = append(out, Correction{Printer: k.printer, Recipe: k.recipe,
			G:     ratio(prints, func(c Compared) (float64, float64) { return c.MeasuredG, c.ComputedG }),
			Hours: ratio(prints, func(c Compared) (float64, float64) { return c.MeasuredH, c.ComputedH })})
	}
	slices.SortFunc(out, func(a, b Correction) int {
		return cmp.Or(cmp.Compare(a.Printer, b.Printer), cmp.Compare(a.Recipe, b.Recipe))
	})
	return out
}

// For gives the correction of a printer and recipe; without prints of both
// together the factors are 1.
func (cs Corrections) For(printer, recipe string) Correction {
	for _, c := range cs {
		if c.Printer == printer && c.Recipe == recipe {
			return c
		}
	}
	none := Ratio{Factor: 1, Spread: 1}
	return Correction{Printer: printer, Recipe: recipe, G: none, Hours: none}
}

func ratio(prints []Compared, pair func(Compared) (measured, computed float64)) Ratio {
	var logs []float64
	for _, c := range prints {
		if m, w := pair(c); possible(m) && possible(w) {
			logs = append(logs, math.Log(m/w))
		}
	}
	if len(logs) == 0 {
		return Ratio{Factor: 1, Spread: 1}
	}
	middle := median(logs)
	for i := range logs {
		logs[i] = math.Abs(logs[i] - middle)
	}
	return Ratio{Factor: math.Exp(middle), Spread: math.Exp(madToSigma * median(logs)), Prints: len(logs)}
}

// median sorts its values.
func median(v []float64) float64 {
	slices.Sort(v)
	n := len(v)
	return (v[(n-1)/2] + v[n/2]) / 2
}
