package reports

import (
	"cmp"
	"slices"
	"strconv"

	"tenoff/bom"
	"tenoff/cost"
)

// Keys of the rows of Answer beside those of UnitCost.
const (
	RowHeldUp = "held up by"
	RowOthers = "paid by others"
	RowShop   = "assembled by"
	RowNext   = "  next best, more"

	RowEarliest = "earliest possible"
)

// Answer is what is asked of a run first: what one unit costs, how much money leaves and
// whose it is, what stays, what to ask for a unit, and when the batch is ready. Of the
// payers no more than so many rows are shown, at least two.
func Answer(r *Report, payersAtMost int) Table {
	e := r.Estimate
	t := Table{
		Name:    "Answer",
		Title:   Head(e),
		Lead:    1,
		Columns: []Column{{Key: "what", Heading: BatchHead(e)}},
	}
	money, perUnit := AsMoney(e.Currency), AsUnitMoney(e.Currency)
	t.PerBatch(e, Column{Key: "value", Format: money})
	row := func(key string, figure func(*cost.Batch) Value) { t.row(e, Body, key, []string{key}, figure) }
	if several(e) {
		t.productRows(e)
	} else {
		row(RowUnit, func(b *cost.Batch) Value { return known(b.PerUnit(b.Total.Consumed), b.Total.Unpriced).As(perUnit) })
	}
	row(RowCash, func(b *cost.Batch) Value { return known(b.Total.Cash, b.Total.Unpriced) })
	t.cashByPayer(e, payersAtMost)
	for _, c := range amountsOf(e) {
		if c.key == "own" || c.key == "surplus" {
			row(c.heading, func(b *cost.Batch) Value { return known(c.of(b.Total), b.Total.Unpriced) })
		}
	}
	if charges(e) && !several(e) {
		row(RowPrice, func(b *cost.Batch) Value { return priceOf(b) })
	}
	if recipients(e) != "" && !several(e) {
		row(RowAsked, func(b *cost.Batch) Value {
			if byZone := zoneRange(e, b); !byZone.IsNothing() {
				return byZone
			}
			return known(askedOfEach(b), b.Ask.Unpriced)
		})
	}
	if p := r.Pricing; p != nil {
		what, allShort := staysWord(p.Incomes)
		if several(e) {
			what += " as priced"
		} else {
			what += " at " + shownPrices(r)
		}
		values := []Value{Text(what)}
		for i := range e.Batches {
			stays := p.Incomes[i].Stays
			if allShort {
				stays = stays.Neg()
			}
			values = append(values, known(stays, e.Batches[i].Total.Unpriced))
		}
		t.addAs(AtPrice(RowStays), values...)
	}
	if slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return b.Plan.Made() }) {
		vague := slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return !b.Plan.Known })
		row(readyWord(!vague), func(b *cost.Batch) Value { return Text(readyText(e, b)) })
		if slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return heldUpBy(e, &b) != "" }) {
			row(RowHeldUp, func(b *cost.Batch) Value { return Text(heldUpBy(e, b)) })
		}
	}
	if slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return len(b.Others) > 0 }) {
		row(RowShop, func(b *cost.Batch) Value { return Text(cmp.Or(b.Assembler, "the bench")) })
		row(RowNext, func(b *cost.Batch) Value {
			next, ok := nextMaking(b)
			return Number(next.More).where(ok && !b.Total.Unpriced)
		})
	}
	return t
}

// staysWord says what stays with the maker, and whether it is money that lacks at every
// batch: where at some, its figure has a minus.
func staysWord(incomes []cost.Income) (what string, allShort bool) {
	short := func(x cost.Income) bool { return x.Stays.IsNegative() }
	switch {
	case !slices.ContainsFunc(incomes, short):
		return "cash surplus", false
	case !slices.ContainsFunc(incomes, func(x cost.Income) bool { return !short(x) }):
		return "cash shortfall", true
	}
	return "surplus or shortfall", false
}

// priceOf is the price of a unit, nothing where all are free.
func priceOf(b *cost.Batch) Value {
	return known(b.Charge.Price, b.Total.Unpriced).where(b.Till.Paying > 0)
}

// cashByPayer adds what each payer finds of the cash, where more than one does. Those of
// whom most is asked at the middle batch stand alone where not all can.
func (t *Table) cashByPayer(e *cost.Estimate, most int) {
	names := slices.DeleteFunc(payers(e), func(name string) bool {
		return !slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return !payer(&b, name).Cash.IsZero() })
	})
	if len(names) < 2 {
		return
	}
	var others []string
	if most = max(most, 2); len(names) > most {
		middle := Middle(e)
		slices.SortStableFunc(names, func(a, b string) int { return payer(middle, b).Cash.Cmp(payer(middle, a).Cash) })
		names, others = names[:most-1], names[most-1:]
	}
	row := func(key, label string, of []string) {
		t.row(e, Body, key, []string{label}, func(b *cost.Batch) Value {
			var cash sum
			for _, name := range of {
				p := payer(b, name)
				cash.add(p.Cash, p.Unpriced)
			}
			return cash.value()
		})
	}
	for _, name := range names {
		row("payer "+name, "  paid by "+name, []string{name})
	}
	if len(others) > 0 {
		row(RowOthers, "  paid by "+strconv.Itoa(len(others))+" others", others)
	}
}

// Middle is the batch in the middle, of two the larger.
func Middle(e *cost.Estimate) *cost.Batch { return &e.Batches[len(e.Batches)/2] }

// readyWord says what a day is, by whether all that it rests on is known.
func readyWord(known bool) string {
	if known {
		return RowReady
	}
	return RowEarliest
}

// readyText is the day at the start of which a batch is ready: "29 Dec 2026 (day 30)".
func readyText(e *cost.Estimate, b *cost.Batch) string { return dayText(e.Today, &b.Plan) }

func dayText(today bom.Date, p *cost.Plan) string {
	text := "day " + strconv.Itoa(p.Day())
	if day := today.Plus(p.Day()); !day.IsZero() {
		return ShownDate(day) + " (" + text + ")"
	}
	return text
}

// ReadyWords say when a batch is ready, or the day before which it is not.
func ReadyWords(e *cost.Estimate, b *cost.Batch) string { return readyAt(e.Today, &b.Plan) }

func readyAt(today bom.Date, p *cost.Plan) string {
	return readyWord(p.Known) + " " + dayText(today, p)
}

// heldUpBy is the step of the critical path that takes longest.
func heldUpBy(e *cost.Estimate, b *cost.Batch) string {
	legs := planLegs(&b.Plan)
	if len(legs) == 0 {
		return ""
	}
	longest := slices.MaxFunc(legs, func(a, b leg) int { return cmp.Compare(a.span, b.span) })
	day := "day"
	if longest.working {
		day = e.WorkingDays.Day()
	}
	return longest.what + ", " + plural(ShortDays(longest.takes), day)
}

// Counted is how many there are of something: "1 day", "1,024 days".
func Counted(n int, word string) string { return plural(ShownCount(n), word) }

func plural(n, word string) string {
	if n == "1" {
		return n + " " + word
	}
	return n + " " + word + "s"
}

// LargestCosts names the categories that the unit cost of the middle batch is made of,
// the largest first: "postage 5.83"; of several products those of the whole batch.
func LargestCosts(e *cost.Estimate) []string {
	b := Middle(e)
	categories := slices.DeleteFunc(slices.Clone(cost.Categories), func(c cost.Category) bool {
		return b.Categories[c].Unpriced || !b.Categories[c].Consumed.IsPositive()
	})
	slices.SortStableFunc(categories, func(x, y cost.Category) int {
		return b.Categories[y].Consumed.Cmp(b.Categories[x].Consumed)
	})
	var out []string
	for _, c := range categories {
		cost := Number(b.PerUnit(b.Categories[c].Consumed)).Shown(AsUnitMoney(e.Currency))
		if several(e) {
			cost = Number(b.Categories[c].Consumed).Shown(AsMoney(e.Currency))
		}
		out = append(out, c.String()+" "+cost)
	}
	return out
}

// priced are the kinds of source that are prices.
var priced = []string{"offer", "exchange", "board", "material", "supplier", cost.OfAssembly, cost.OfTier, "postage", cost.OfOneOff}

// PriceDates tells of what dates the prices are that a run rests on: "prices of 10 Aug 2026
// to 12 Nov 2026"; nothing where none has a date.
func PriceDates(e *cost.Estimate) string {
	var oldest, newest bom.Date
	for _, s := range e.Sources {
		if s.AsOf.IsZero() || !slices.Contains(priced, s.What) {
			continue
		}
		if oldest.IsZero() || s.AsOf.Before(oldest) {
			oldest = s.AsOf
		}
		if newest.Before(s.AsOf) {
			newest = s.AsOf
		}
	}
	switch oldest {
	case bom.Date{}:
		return ""
	case newest:
		return "prices of " + ShownDate(newest)
	}
	return "prices of " + ShownDate(oldest) + " to " + ShownDate(newest)
}
