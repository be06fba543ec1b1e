package cost

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/sum"
)

// weighed is a making of a batch with what it comes to.
type weighed struct {
	made    *Model
	way     int
	sums    *sums
	work    decimal.Decimal // hand work, paid or not
	extras  decimal.Decimal // what substitutes cost besides
	hours   float64
	roughly float64 // what it may land at, for the order in which makings are tried
	ways    [][]boardOrder
	on      *laidOut
	purchasing
}

// weighAll weighs the makings of a batch, the ones that look cheapest first. Hand work is
// the same for all that leave as much to the bench. One of the same batch that was weighed
// before may be given.
func (m *Model) weighAll(size int, like *weighed) []weighed {
	ways := m.allWays()
	out := make([]weighed, len(ways))
	at := map[bool]*weighed{}
	for i, way := range ways {
		way.costsOnly = m.costsOnly
		if like == nil && i > 0 && out[0].sums != nil {
			like = &out[0]
		}
		w := way.weigh(size, like)
		w.way = i
		if w.sums != nil {
			as := at[way.making.fitted]
			if as == nil {
				w.handWork()
			} else {
				w.work, w.hours, w.extras = as.work, as.hours, as.extras
			}
			w.roughly += w.work.InexactFloat64()
		}
		out[i] = w
		at[way.making.fitted] = &out[i]
	}
	slices.SortStableFunc(out, func(a, b weighed) int { return cmp.Compare(a.roughly, b.roughly) })
	return out
}

// weigh states what a making needs, and what it comes to beside its purchases. Of the parts
// that are needed as by another making, already weighed, what that found is taken over.
func (m *Model) weigh(size int, like *weighed) weighed {
	b, problems := m.begin(size)
	w := weighed{made: m}
	if problems.Failed() {
		w.problems = problems
		return w
	}
	if m.spare == nil {
		m.spare = sum.New(64)
	}
	m.spare.Reset()
	w.sums = &sums{Sheet: m.spare, m: m, b: &b, digits: m.home.Digits, known: map[sum.Key]sum.Ref{}}
	if like == nil {
		w.on = layOut(m, &b)
		stateNeeds(w.sums)
	} else {
		w.on, b.Parts = like.on, slices.Clone(like.sums.b.Parts)
		w.sums.printed = w.sums.Number(like.sums.Value(like.sums.printed))
		boardDemands(w.sums)
		for i := range m.parts {
			if needsOtherwise(&m.parts[i], &b, like.sums.b) {
				_, b.Parts[i] = w.sums.demandOf(i)
			}
		}
		stateAssembly(w.sums)
	}
	w.ways = boardWays(m, w.sums, &w.purchasing)
	w.roughly = roughly(m.parts, &w)
	return w
}

// needsOtherwise tells whether one batch needs other numbers of a part than another.
func needsOtherwise(p *part, b, than *Batch) bool {
	return p.Unit != grams && slices.ContainsFunc(p.Entries, func(e int) bool { return b.Needs[e] != than.Needs[e] })
}

// roughly is what a batch may land at, without the charges of orders: what populating the
// boards costs, the cheapest boards, and each part where a piece of it costs least.
func roughly(parts []part, w *weighed) (cash float64) {
	b := w.sums.b
	for i := range b.Fees {
		if b.Fees[i].Kind == AssemblyFee {
			cash += b.Fees[i].Cash.InexactFloat64()
		}
	}
	for _, orders := range w.ways {
		cash += orders[0].cash.InexactFloat64()
	}
	for i := range parts {
		if demand := b.Parts[i].Demand.Float(); demand > 0 {
			cash += demand * parts[i].cheapest
		}
	}
	return cash
}

// handWork works out what a making leaves to the bench, and what substitutes cost besides.
func (w *weighed) handWork() {
	stateHandWork(w.sums)
	w.work, w.hours = w.sums.b.workValue(), w.sums.b.Hours()
	fees := len(w.sums.b.Fees)
	stateSwaps(w.sums)
	w.extras = w.sums.b.extras(fees)
}

// workValue is what hand work comes to, paid or not.
func (b *Batch) workValue() (value decimal.Decimal) {
	for _, w := range b.Work {
		value = value.Add(w.Cash).Add(w.Own)
	}
	return value
}

// extras are what substitutes cost besides, of the fees from one on.
func (b *Batch) extras(from int) (sum decimal.Decimal) {
	for _, f := range b.Fees[from:] {
		if f.swap {
			sum = sum.Add(f.Cash)
		}
	}
	return sum
}

// besides is hand work, and what substitutes cost besides.
func (w *weighed) besides() decimal.Decimal { return w.work.Add(w.extras) }

// weight is the landed cash of a making with all besides.
func (w *weighed) weight() decimal.Decimal { return w.plan.Landed.Add(w.besides()) }

// lacks are the parts that cannot be bought; all where the orders are too few.
func (w *weighed) lacks() (parts []int) {
	if w.plan.TooFewOrders {
		for i := range w.made.parts {
			parts = append(parts, i)
		}
		return parts
	}
	return bom.Each(w.plan.Short, func(s *buy.Shortage) int { return s.Part })
}

// compare puts what can be bought whole first, then the cheapest.
func (w *weighed) compare(v *weighed) int {
	return cmp.Or(bom.TrueFirst(!w.open(), !v.open()), w.weight().Cmp(v.weight()))
}

// solve plans the purchases of a making, where they land, with its hand work, under what
// the best so far does.
func (w *weighed) solve(best *weighed, effort int64) {
	under := decimal.NullDecimal{}
	if best != nil && !best.open() {
		under = decimal.NewNullDecimal(best.weight())
	}
	w.solveUnder(under, effort)
}

// solveUnder plans the purchases of a making where they come, with all besides, under some
// weight.
func (w *weighed) solveUnder(under decimal.NullDecimal, effort int64) {
	if under.Valid {
		under.Decimal = decimal.Max(decimal.Zero, under.Decimal.Sub(w.besides()))
	}
	w.purchasing = purchasing{lacking: w.lacking, problems: w.problems}
	if err := choosePurchases(w.made, w.sums, &w.purchasing, w.ways, under, effort); err != nil {
		w.problems.Errorf(bom.Place{File: w.made.prices.Name}, "", "smaller figures", "purchases cannot be planned: %v", err)
		w.plan.TooFewOrders = true
	}
}

// cheapestMaking finds the making of the least landed cash and hand work, the first of
// equal ones. The bounds settle most of them.
func cheapestMaking(effort int64, all []weighed) (best *weighed) {
	left, bound := cmp.Or(effort, buy.DefaultEffort), decimal.NullDecimal{}
	full := 0
	for i, w := range bom.Refs(all) {
		if w.sums == nil {
			continue
		}
		w.solve(best, max(1, left/int64(len(all)-i)))
		full += w.full
		if w.above {
			continue
		}
		left = max(0, left-w.plan.Steps)
		if low := w.bound.Add(w.besides()); !w.open() && (!bound.Valid || low.LessThan(bound.Decimal)) {
			bound = decimal.NewNullDecimal(low)
		}
		if best == nil || w.compare(best) < 0 {
			best = w
		}
	}
	if best == nil {
		return nil
	}
	if bound.Valid && !best.open() {
		best.bound = decimal.Min(best.plan.Landed, bound.Decimal.Sub(best.besides()))
	}
	best.full = full
	return best
}

// otherMakings tells what the next best ways to have the boards made would cost: by each
// other assembler; with the same one, the through-hole parts fitted elsewhere, or the
// boards on other panels.
func otherMakings(b *Batch, all []weighed, taken *weighed) {
	mine := b.Making
	differs := func(x Making) string {
		switch {
		case x.Assembler != mine.Assembler:
			return x.Assembler
		case x.Fitted != mine.Fitted:
			return "\x00fitted"
		case !slices.Equal(x.Panels, mine.Panels):
			return "\x01panels"
		}
		return ""
	}
	var kinds []string
	best := map[string]*weighed{}
	besides, hours := taken.besides(), b.Hours()
	b.Full = taken.full
	for _, w := range bom.Refs(all) {
		kind := differs(w.made.madeBy())
		if kind == "" || w.sums == nil {
			continue
		}
		if _, known := best[kind]; !known {
			kinds = append(kinds, kind)
		}
		w.solve(best[kind], max(1, taken.effort))
		if !w.above && (best[kind] == nil || w.compare(best[kind]) < 0) {
			best[kind] = w
		}
	}
	slices.Sort(kinds)
	for _, kind := range kinds {
		w := best[kind]
		if w == nil {
			continue
		}
		x := OtherMaking{Making: w.made.madeBy(), Landed: w.plan.Landed.Sub(b.Landed), Hours: w.hours - hours, Unpriced: w.open()}
		x.More = x.Landed.Add(w.besides()).Sub(besides)
		b.Others = append(b.Others, x)
	}
}
