package settling

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// stock works out what is on hand after the run: as counted, else as planned and what came
// over or under it, with what units that were not started leave; and what is consumed
// because less is there.
func (s *Settlement) stock() {
	rows := map[string][]int{} // of what is on hand, by part
	from := map[string]int{}   // purchase of a part that brought more of it than planned, else the last one
	over := s.unused()         // of each part, over what the plan leaves
	s.filament(over)
	counted := map[string]bool{} // parts of which somebody counted what is there
	for i, l := range s.Actuals.Left {
		s.Left = append(s.Left, Left{RunLeft: l, Is: l.Planned().Decimal()})
		rows[key(l.Part)] = append(rows[key(l.Part)], i)
		counted[key(l.Part)] = counted[key(l.Part)] || l.Counted.Valid
	}
	var parts []string
	for i, p := range bom.Refs(s.Purchases) {
		k := key(p.Part)
		j, again := from[k]
		if !again {
			parts = append(parts, k)
		}
		if !again || overPlan(p).IsPositive() || !overPlan(&s.Purchases[j]).IsPositive() {
			from[k] = i
		}
		over[k] = over[k].Add(overPlan(p))
	}
	for i := range s.Parts {
		k := key(s.Parts[i].Part)
		if _, bought := from[k]; !bought && !counted[k] {
			s.back(over[k], rows[k])
			delete(over, k) // once
		}
	}
	for _, k := range parts {
		switch {
		case counted[k]:
		case over[k].IsPositive():
			rows[k] = s.more(&s.Purchases[from[k]], over[k], rows[k])
		default:
			s.less(over[k].Neg(), rows[k])
		}
	}
	for _, l := range bom.Refs(s.Left) {
		l.Is = bom.Either(l.Counted, l.Is)
		before := s.money(l.Taken.Decimal().Mul(l.Value)).Sub(s.money(l.Surplus.Decimal().Mul(l.Value)))
		used := s.money(l.RunLeft.Planned().Decimal().Sub(l.Is).Mul(l.Value))
		s.Planned.Stock, s.Actual.Stock = s.Planned.Stock.Add(before), s.Actual.Stock.Add(before).Add(used)
		x := Line{Origin: l.Origin, Who: l.GivenBy, What: l.Part, Planned: before, Actual: before.Add(used), Open: !l.Counted.Valid}
		x.By[Stock] = used
		s.spread(used, s.idlers(l, counted[key(l.Part)]))
		s.Stocks = append(s.Stocks, x)
	}
}

// overPlan is how many pieces came over those that were planned; less than 0 where fewer did.
func overPlan(p *bom.RunPurchase) decimal.Decimal {
	return p.WasReceived().Sub(p.Quantity).Mul(p.Pieces.Decimal())
}

// idlers are the products whose units that were not started, or were besides, are why less or
// more of a part is there, where nobody counted it; else those that it is for.
func (s *Settlement) idlers(l *Left, counted bool) bom.RunShares {
	out, some := make(bom.RunShares, len(l.For)), false
	for i, w := range l.For {
		if f := &s.Actuals.Products[i].Started; f.Planned.IsPositive() {
			out[i] = w.Mul(f.Planned.Sub(f.Is()).Abs()).DivRound(f.Planned, unitDigits)
			some = some || out[i].IsPositive()
		}
	}
	if counted || !some {
		return l.For
	}
	return out
}

// unused is what units of the plan that were not started leave of each part; less than 0
// where more were started.
func (s *Settlement) unused() map[string]decimal.Decimal {
	out := map[string]decimal.Decimal{}
	planned := s.Started.Planned
	if !s.Started.Actual.Valid || !planned.IsPositive() {
		return out
	}
	for _, p := range bom.Refs(s.Parts) {
		rest := p.Required.Decimal().Mul(s.idle(p.For)).Round(6)
		if p.Required.IsWhole() {
			rest = rest.Floor()
		}
		out[key(p.Part)] = out[key(p.Part)].Add(rest.RoundFloor(6))
	}
	return out
}

// filament adds what prints whose grams were noted leave of their materials, or take over
// the plan; of a printer whose plates were noted, as planned for those plates.
func (s *Settlement) filament(over map[string]decimal.Decimal) {
	for _, p := range bom.Refs(s.Prints) {
		took, printer := p.Grams.Decimal, s.printed[key(p.Printer)]
		if !p.Grams.Valid {
			if printer == nil || !printer.Printed.Valid || !printer.Planned.IsPositive() {
				continue
			}
			took = p.PlannedG.Mul(printer.Printed.Decimal).DivRound(printer.Planned, unitDigits)
		}
		plan := p.PlannedG
		if s.Started.Actual.Valid && s.Started.Planned.IsPositive() { // what unused has taken off
			plan = plan.Sub(plan.Mul(s.idle(p.For)))
		}
		over[key(p.Material)] = over[key(p.Material)].Add(plan.Sub(took).Round(6))
	}
}

// back puts stock that was not taken after all back to its rows, the last row first; what
// is taken over the plan comes from what they hold.
func (s *Settlement) back(pieces decimal.Decimal, rows []int) {
	if !pieces.IsPositive() {
		s.less(pieces.Neg(), rows)
		return
	}
	for _, i := range slices.Backward(rows) {
		l := &s.Left[i]
		give := decimal.Min(pieces, l.Taken.Decimal())
		l.Is, pieces = l.Is.Add(give), pieces.Sub(give)
	}
}

// more adds what came over the plan: to the last row of what the plan buys and does not
// take, else to a row of its own. It gives the rows of the part.
func (s *Settlement) more(p *bom.RunPurchase, over decimal.Decimal, rows []int) []int {
	for _, i := range slices.Backward(rows) {
		if l := &s.Left[i]; l.Surplus > 0 || l.Added && l.Value.Equal(p.Worth) {
			l.Is = l.Is.Add(over)
			return rows
		}
	}
	s.Left = append(s.Left, Left{RunLeft: bom.RunLeft{Origin: p.Origin, Part: p.Part, Value: p.Worth}, Is: over, Added: true})
	return append(rows, len(s.Left)-1)
}

// less takes what lacks to the plan from what it leaves, the last row first.
func (s *Settlement) less(lacks decimal.Decimal, rows []int) {
	for _, i := range slices.Backward(rows) {
		l := &s.Left[i]
		take := decimal.Min(lacks, l.Is)
		l.Is, lacks = l.Is.Sub(take), lacks.Sub(take)
	}
}

// short finds the parts of which less came than was ordered and than is required, and how
// many units what came is enough for.
func (s *Settlement) short() {
	bought, taken := map[string][]int{}, map[string]decimal.Decimal{}
	for i := range s.Purchases {
		k := key(s.Purchases[i].Part, s.Purchases[i].Kind)
		bought[k] = append(bought[k], i)
	}
	for _, l := range bom.Refs(s.Actuals.Left) {
		taken[key(l.Part)] = taken[key(l.Part)].Add(l.Taken.Decimal())
	}
	s.Builds = s.Good.Planned
	for _, need := range bom.Refs(s.Parts) {
		x := Short{Part: need.Part, Required: (need.Required + need.Spares).Decimal(), Has: taken[key(need.Part)]}
		for _, j := range bought[key(need.Part, need.Kind)] {
			p := &s.Purchases[j]
			pieces := p.Pieces.Decimal()
			x.Has = x.Has.Add(p.WasReceived().Mul(pieces))
			if due := decimal.Max(p.WasOrdered(), p.Quantity); p.WasReceived().LessThan(due) {
				x.Suppliers = append(x.Suppliers, p.Supplier)
				x.Ordered, x.Received = x.Ordered.Add(due.Mul(pieces)), x.Received.Add(p.WasReceived().Mul(pieces))
			}
		}
		s.There = append(s.There, x.Has)
		if x.Suppliers == nil || x.Has.GreaterThanOrEqual(x.Required) || need.Required == 0 {
			continue
		}
		x.Builds = decimal.Min(s.Good.Planned, s.Good.Planned.Mul(x.Has).DivRound(need.Required.Decimal(), unitDigits).Floor())
		s.Builds = decimal.Min(s.Builds, x.Builds)
		s.Shorts = append(s.Shorts, x)
	}
}

// Queries are warnings of invoices to ask about: for more than came.
func (s *Settlement) Queries() (problems bom.Problems) {
	for _, p := range bom.Refs(s.Purchases) {
		if p.Received.Valid && p.Invoiced.Valid && p.Invoiced.Decimal.GreaterThan(p.Received.Decimal) {
			problems.Add(bom.Problem{Place: p.At("Invoiced"), Severity: bom.Warning, Found: p.Invoiced.Decimal.String(), Want: "ask " + p.Supplier + " for the rest or a credit note",
				What: "more is invoiced than the " + p.Received.Decimal.String() + " received of " + p.Part, Cause: "more is invoiced than was received", Each: p.Part})
		}
	}
	return problems
}
