package settling

import (
	"fmt"
	"math"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/learning"
	"tenoff/cost/money"
	"tenoff/cost/yield"
)

// Proposal is a figure of the price sheet that a run has shown to be another.
type Proposal struct {
	Tab          string
	Row          []string // what the row is found by: operation, applies to and basis; printer; setting; assembler; applies to and package
	Heading      string
	Was, Is      decimal.Decimal
	Low, High    decimal.Decimal // as seen
	Observations int
	Of           string // what they are
}

// What the plan counts for beside what was seen, and how far from the plan a figure is
// believed (common practice, no source).
const (
	planWeight = 10  // observations
	farthest   = 3.0 // times the plan, or part of it
	fewFirst   = 3   // units of each of two lots from which learning is told
	fewParts   = 3   // of which attrition is told
)

// wilsonZ is the standard normal deviate of a range that holds nine in ten.
const wilsonZ = 1.6448536269514722

// share is what a share of so many of n comes to, where the plan counts as ten
// observations; and Wilson's score interval (Journal of the American Statistical
// Association 22, 1927) of what was seen alone, widened to hold it.
func share(k, n, plan float64) (is, low, high float64) {
	is = (k + planWeight*plan) / (n + planWeight)
	p, z2 := k/n, wilsonZ*wilsonZ
	middle, half := (p+z2/(2*n))/(1+z2/n), wilsonZ/(1+z2/n)*math.Sqrt(p*(1-p)/n+z2/(4*n*n))
	return is, min(is, max(0, middle-half)), max(is, min(1, middle+half))
}

// rounded is a figure with so many decimals.
func rounded(f float64, digits int32) decimal.Decimal {
	d, _ := money.FromFloat(f) // finite: it is made of figures that were read
	return d.Round(digits)
}

// Proposals are the figures that the run has shown to be others than planned, by tab.
func (s *Settlement) Proposals() (out []Proposal) {
	out = append(out, s.yieldSeen()...)
	out = append(out, s.defectsSeen()...)
	out = append(out, s.attritionSeen()...)
	out = append(out, s.oneOffsBorne()...)
	for i := range s.Work {
		out = append(out, s.workSeen(&s.Work[i])...)
	}
	out = append(out, s.failuresSeen()...)
	return slices.DeleteFunc(out, func(p Proposal) bool { return p.Is.Equal(p.Was) })
}

// percentSeen proposes a percentage of so many seen.
func percentSeen(p Proposal, k, n decimal.Decimal, of string) []Proposal {
	if !n.IsPositive() {
		return nil
	}
	is, low, high := share(k.InexactFloat64(), n.InexactFloat64(), p.Was.InexactFloat64()/100)
	p.Is, p.Low, p.High = rounded(100*is, 1), rounded(100*low, 1), rounded(100*high, 1)
	p.Observations, p.Of = int(n.IntPart()), of
	return []Proposal{p}
}

// yieldSeen proposes the yield of units.
func (s *Settlement) yieldSeen() []Proposal {
	if !s.Good.Actual.Valid {
		return nil
	}
	return percentSeen(Proposal{Tab: bom.TabSettings, Row: []string{bom.RunUnitsYield}, Heading: "Value", Was: s.Actuals.Yield}, s.Good.Is(), s.Started.Is(), "units")
}

// failuresSeen proposes the failure rates of printers.
func (s *Settlement) failuresSeen() (out []Proposal) {
	for i := range s.Printers {
		if p := &s.Printers[i]; p.Failed.Valid {
			out = append(out, percentSeen(Proposal{Tab: bom.TabPrinters, Row: []string{p.Printer}, Heading: "Failure %", Was: p.Failure}, p.Failed.Decimal, p.Printed.Decimal, "plates")...)
		}
	}
	return out
}

// oneOffsBorne proposes how many units have borne a one-off cost before the next run: those
// that came out good in this one as well; and what it cost, of which the others bear the rest.
func (s *Settlement) oneOffsBorne() (out []Proposal) {
	if !s.Good.Actual.Valid && !s.Started.Actual.Valid {
		return nil
	}
	for i := range s.Charges {
		if c := &s.Charges[i]; c.Over > 0 {
			before := decimal.NewFromInt(c.Before)
			is := before.Add(s.Good.Is())
			out = append(out, Proposal{Tab: bom.TabOneOff, Row: []string{c.What}, Heading: "Units before", Was: before, Is: is, Low: is, High: is,
				Observations: int(s.Good.Is().IntPart()), Of: "units"})
			if c.Invoiced.Valid && c.Planned.IsPositive() {
				price := c.Invoiced.Decimal
				out = append(out, Proposal{Tab: bom.TabOneOff, Row: []string{c.What}, Heading: "Price", Was: c.Planned, Is: price, Low: price, High: price, Observations: 1, Of: "invoice"})
			}
		}
	}
	return out
}

// defectsSeen proposes the defects per million opportunities of assemblers: a board of c
// opportunities comes out good with (1 − DPMO / 10⁶)^c (IPC-7912).
func (s *Settlement) defectsSeen() (out []Proposal) {
	type seen struct {
		defects, low, high, chances float64
		boards                      int
		dpmo                        decimal.Decimal
	}
	by, names := map[string]*seen{}, []string{}
	for _, b := range bom.Refs(s.Boards) {
		n := bom.Either(b.Populated, decimal.NewFromInt(b.Planned)).InexactFloat64()
		if !b.Good.Valid || b.Assembler == "" || b.Chances == 0 || n == 0 {
			continue
		}
		x := by[b.Assembler]
		if x == nil {
			x = &seen{dpmo: b.DPMO}
			by[b.Assembler], names = x, append(names, b.Assembler)
		}
		plan := yield.Board(b.DPMO.InexactFloat64(), int(b.Chances))
		is, low, high := share(b.Good.Decimal.InexactFloat64(), n, plan)
		expected := func(y float64) float64 { return -math.Log(max(y, 1/(2*n))) * n } // defects, by Poisson
		x.defects, x.low, x.high = x.defects+expected(is), x.low+expected(high), x.high+expected(low)
		x.chances, x.boards = x.chances+float64(b.Chances)*n, x.boards+int(n)
	}
	for _, name := range names {
		x := by[name]
		rate := func(defects float64) decimal.Decimal { return rounded(min(1e6, 1e6*defects/x.chances), 0) }
		out = append(out, Proposal{Tab: bom.TabAssembly, Row: []string{name}, Heading: "DPMO", Was: x.dpmo, Is: rate(x.defects), Low: rate(x.low), High: rate(x.high),
			Observations: x.boards, Of: "boards"})
	}
	return out
}

// attritionSeen proposes what is bought over the need: the median over the parts of a row
// of the tab attrition whose stock was counted, which one part cannot move far.
func (s *Settlement) attritionSeen() (out []Proposal) {
	type row struct{ appliesTo, pkg string }
	lost, rows, plan := map[row][]float64{}, []row{}, map[row][2]float64{}
	left, bought := map[string][]*Left{}, map[string]decimal.Decimal{} // by part
	for i := range s.Left {
		left[key(s.Left[i].Part)] = append(left[key(s.Left[i].Part)], &s.Left[i])
	}
	for _, b := range bom.Refs(s.Purchases) {
		bought[key(b.Part, b.Kind)] = bought[key(b.Part, b.Kind)].Add(b.WasReceived().Mul(b.Pieces.Decimal()))
	}
	for _, p := range bom.Refs(s.Parts) {
		if share, ok := s.lost(p, left[key(p.Part)], bought[key(p.Part, p.Kind)]); ok && p.AppliesTo != "" {
			r := row{p.AppliesTo, p.Package}
			if lost[r] == nil {
				rows = append(rows, r)
			}
			lost[r] = append(lost[r], share)
			plan[r] = [2]float64{plan[r][0] + p.Spares.Float(), plan[r][1] + p.Required.Float()}
		}
	}
	for _, r := range rows {
		seen := lost[r]
		slices.Sort(seen)
		n := len(seen)
		if n < fewParts {
			continue
		}
		was := plan[r][0] / plan[r][1] * 100
		out = append(out, Proposal{Tab: bom.TabAttrition, Row: []string{r.appliesTo, r.pkg}, Heading: "Percent", Was: rounded(was, 1),
			Is: rounded(50*(seen[(n-1)/2]+seen[n/2]), 1), Low: rounded(100*seen[0], 1), High: rounded(100*seen[n-1], 1), Observations: n, Of: "parts"})
	}
	return out
}

// lost is the share of what was required of a part that was lost, where what is left was
// counted; what was required goes by the units that were started.
func (s *Settlement) lost(p *bom.RunPart, rows []*Left, had decimal.Decimal) (share float64, ok bool) {
	left, counted := decimal.Zero, false
	for _, l := range rows {
		if !l.Counted.Valid && l.Is.IsPositive() {
			return 0, false
		}
		had, left, counted = had.Add(l.Before.Decimal()), left.Add(l.Is), counted || l.Counted.Valid
	}
	required := p.Required.Decimal()
	if s.Started.Planned.IsPositive() {
		required = required.Sub(required.Mul(s.idle(p.For)).Round(unitDigits))
	}
	if !counted || !required.IsPositive() {
		return 0, false
	}
	return max(0, had.Sub(left).Sub(required).DivRound(required, unitDigits).InexactFloat64()), true
}

// workSeen proposes the seconds and the learning of an operation, and how many units were
// done before the next run.
func (s *Settlement) workSeen(w *bom.RunWork) (out []Proposal) {
	planned, units := s.units(w.For)
	row := Proposal{Tab: bom.TabHandWork, Row: []string{w.Operation, w.AppliesTo, w.Basis}, Observations: units, Of: "units"}
	propose := func(heading string, was, is, low, high decimal.Decimal) {
		p := row
		p.Heading, p.Was, p.Is, p.Low, p.High = heading, was, is, low, high
		out = append(out, p)
	}
	learns := w.Basis != "batch" && w.Basis != "plate"
	if done := decimal.NewFromInt(w.Before + int64(units)); s.Started.Actual.Valid && learns && w.Learning.LessThan(decimal.NewFromInt(100)) {
		propose("Done before", decimal.NewFromInt(w.Before), done, done, done)
	}
	hours := bom.Either(w.Hours, decimal.Zero).InexactFloat64()
	if hours == 0 || !w.Planned.IsPositive() || !w.Seconds.IsPositive() || planned == 0 || units == 0 {
		return out
	}
	done, rate := out, w.Learning.InexactFloat64()/100
	is, low, high := rate, rate, rate
	if learns && w.First.Valid {
		if seen, ok := learningSeen(w, units, hours); ok {
			is, low, high = seen, min(seen, rate), max(seen, rate)
			propose("Learning %", w.Learning, rounded(100*is, 1), rounded(100*low, 1), rounded(100*high, 1))
		}
	}
	times := func(units int, rate float64) float64 { // in which the seconds count
		if !learns {
			return 1
		}
		return learning.Lot(int(w.Before), units, int(w.TimedAt), rate)
	}
	seconds := func(rate float64) float64 {
		return w.Seconds.InexactFloat64() * hours / w.Planned.InexactFloat64() * times(planned, w.Learning.InexactFloat64()/100) / times(units, rate)
	}
	was, now := w.Seconds.InexactFloat64(), seconds(is)
	if !(now <= farthest*was && now >= was/farthest) {
		return done // more likely a slip of the pen
	}
	digits := int32(max(0, 2-int(math.Floor(math.Log10(now))))) // three figures
	ends := []float64{was, now, seconds(rate)}
	propose("Seconds", w.Seconds, rounded(now, digits), rounded(slices.Min(ends), digits), rounded(slices.Max(ends), digits))
	return out
}

// learningSeen is the learning rate by which the units that were done first took what they
// took of all hours (Crawford's unit form of Wright's law); ok is false where too few were
// done, or they took less than their part.
func learningSeen(w *bom.RunWork, units int, hours float64) (rate float64, ok bool) {
	first := int(w.First.Decimal.IntPart())
	if first < fewFirst || units-first < fewFirst {
		return 0, false
	}
	seen := w.FirstH.Decimal.InexactFloat64() / hours
	part := func(rate float64) float64 {
		return learning.Lot(int(w.Before), first, 1, rate) / learning.Lot(int(w.Before), units, 1, rate)
	}
	low, high := 0.5, 1.0 // the faster it is learnt, the larger is the part of the first
	switch {
	case seen > part(low), seen < part(high)*0.9:
		return 0, false // more likely a slip of the pen
	case seen < part(high):
		return 1, true
	}
	for range 60 {
		if middle := (low + high) / 2; part(middle) > seen {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2, true
}

// Print is what a piece took that was printed in the run: a row of the print log.
type Print struct {
	File, Part, Printer, Recipe string
	G, Hours                    decimal.NullDecimal
}

// PrintLog are the pieces whose hours or filament were noted, by what all their plates took
// without the starts.
func (s *Settlement) PrintLog() (out []Print) {
	for _, p := range bom.Refs(s.Prints) {
		again := decimal.NewFromInt(1) // plates printed for each that was planned
		if printer := s.printed[key(p.Printer)]; printer != nil && printer.Printed.Valid && printer.Planned.IsPositive() {
			again = printer.Printed.Decimal.DivRound(printer.Planned, unitDigits)
		}
		laid := p.Laid.Mul(again)
		piece := func(all decimal.NullDecimal, starts decimal.Decimal, digits int32) decimal.NullDecimal {
			if rest := all.Decimal.Sub(starts.Mul(again)); all.Valid && laid.IsPositive() && rest.IsPositive() {
				return decimal.NewNullDecimal(rest.DivRound(laid, digits))
			}
			return decimal.NullDecimal{}
		}
		x := Print{p.File, p.Part, p.Printer, p.Recipe, piece(p.Grams, p.PrimeG, 2), piece(p.Hours, p.StartH, 3)}
		if x.G.Valid || x.Hours.Valid {
			out = append(out, x)
		}
	}
	return out
}

// Seen words what a proposal rests on: "20 units, 5.9 to 7.4", or "20 units" where that is
// all that there is to it.
func (p *Proposal) Seen() string {
	if p.Low.Equal(p.High) {
		return fmt.Sprintf("%d %s", p.Observations, p.Of)
	}
	return fmt.Sprintf("%d %s, %s to %s", p.Observations, p.Of, p.Low, p.High)
}
