package reports

import (
	"cmp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Keys of the rows of UnitCost beneath the categories; a category's key is its
// name.
const (
	RowUnit       = "unit cost"
	RowCashUnit   = "cash per unit"
	RowConsumed   = "consumed" // of several products, in place of the unit cost
	RowCash       = "cash out"
	RowOwn        = "own work"
	RowStock      = "from stock"
	RowSurplus    = "surplus stock"
	RowReclaim    = "to reclaim"
	RowWrittenOff = "written off"
	RowStarts     = "starts"
	RowPrice      = "price"
	RowWork       = "bench time"
	RowPrinting   = "printing"
	RowDays       = "printing days"
	RowFilament   = "filament"
	RowOrders     = "orders"
	RowAsked      = "charge per recipient"
	RowReady      = "ready"
)

// labels are what rows are called whose key is not their name.
var labels = map[string]string{RowDays: "printing done", RowStarts: "units to start"}

// UnitCost is the answer: what one unit costs by category and batch size, and
// under it what the batch asks for in all. Money per unit is what the batch
// uses, divided by the units wanted. Of several products it is what all of them cost
// by category; what one of each costs is in Products.
func UnitCost(e *cost.Estimate) Table {
	t := Table{
		Name:    "Unit cost",
		Title:   "cost of one unit by category, in " + e.Currency.Code,
		Lead:    2,
		Columns: plain("what", "unit: In"),
	}
	t.PerBatch(e, Column{Key: "value", Format: AsUnitMoney(e.Currency)})
	money, perUnit := AsMoney(e.Currency), AsUnitMoney(e.Currency)
	row := func(role Role, key, unit string, f Format, figure func(*cost.Batch) Value) {
		t.row(e, role, key, []string{cmp.Or(labels[key], key), unit}, func(b *cost.Batch) Value { return figure(b).As(f) })
	}
	code := e.Currency.Code
	if several(e) {
		t.Title = "cost of all products by category, in " + code
		for _, c := range cost.Categories {
			row(Body, c.String(), code, money, func(b *cost.Batch) Value { return known(b.Categories[c].Consumed, b.Categories[c].Unpriced) })
		}
		row(Total, RowConsumed, code, money, func(b *cost.Batch) Value { return known(b.Total.Consumed, b.Total.Unpriced) })
	} else {
		for _, c := range cost.Categories {
			row(Body, c.String(), code+" per unit", perUnit, func(b *cost.Batch) Value {
				return known(b.PerUnit(b.Categories[c].Consumed), b.Categories[c].Unpriced)
			})
		}
		row(Total, RowUnit, code+" per unit", perUnit, func(b *cost.Batch) Value {
			return known(b.PerUnit(b.Total.Consumed), b.Total.Unpriced)
		})
		row(Figure, RowCashUnit, code+" per unit", perUnit, func(b *cost.Batch) Value {
			return known(b.PerUnit(b.Total.Cash), b.Total.Unpriced)
		})
	}
	for _, c := range amountsOf(e) {
		if c.key == "consumed" { // said for one unit above
			continue
		}
		row(Figure, c.heading, code, money, func(b *cost.Batch) Value { return known(c.of(b.Total), b.Total.Unpriced) })
		if c.key == "surplus" {
			row(Figure, RowWrittenOff, code, money, func(b *cost.Batch) Value { return known(b.WrittenOff, b.Total.Unpriced) })
		}
	}
	if charges(e) && !several(e) {
		row(Figure, RowPrice, code+" per unit", money, priceOf)
	}
	row(Figure, RowStarts, "", AsCount, func(b *cost.Batch) Value { return Count(b.Starts) })
	row(Figure, RowWork, "h", AsHours, func(b *cost.Batch) Value { return Float(b.Hours()) })
	row(Figure, RowPrinting, "h", AsHours, func(b *cost.Batch) Value { return ofPlates(b, func(p *cost.PlateRun) float64 { return p.Hours }) })
	row(Figure, RowDays, "day", asDays, printDays)
	row(Figure, RowFilament, "g", asBatchGrams, func(b *cost.Batch) Value { return ofPlates(b, func(p *cost.PlateRun) float64 { return p.FilamentG }) })
	row(Figure, RowOrders, "", AsCount, func(b *cost.Batch) Value { return Count(len(b.Orders)) })
	row(Figure, RowReady, "day", asDayNumber, func(b *cost.Batch) Value { return Count(b.Plan.Day()).unless(!b.Plan.Known) })
	if !several(e) && t.roundingShows(e) {
		t.note("figures may not sum because of rounding")
	}
	return t
}

// charges tells whether the settings ask for a price: whether one differs from
// what it costs by more than rounding up to the minor unit.
func charges(e *cost.Estimate) bool {
	least := decimal.New(1, -e.Currency.Digits)
	return slices.ContainsFunc(e.Batches, func(b cost.Batch) bool {
		for i := range max(1, len(b.Products)) {
			if c := chargeOf(&b, i); c.Price.Sub(c.UnitCost).Abs().GreaterThanOrEqual(least) {
				return b.Till.Paying > 0
			}
		}
		return false
	})
}

// roundingShows tells whether the categories as shown miss the total as shown.
func (t *Table) roundingShows(e *cost.Estimate) bool {
	total := t.Find(RowUnit)
	for col := t.Lead; col < len(t.Columns); col++ {
		left, ok := total.Values[col].Decimal()
		if !ok {
			continue
		}
		left = left.Round(e.Currency.Digits)
		for _, r := range t.Rows[:t.Body()] {
			d, _ := r.Values[col].Decimal()
			left = left.Sub(d.Round(e.Currency.Digits))
		}
		if !left.IsZero() {
			return true
		}
	}
	return false
}

// ofPlates adds up a figure of all plates of a batch.
func ofPlates(b *cost.Batch, figure func(*cost.PlateRun) float64) Value {
	sum := 0.0
	for _, p := range bom.Refs(b.Plates) {
		sum += figure(p)
	}
	return Float(sum)
}

// asDayNumber is the format of which day it is: the first one is day 0, and not nothing.
var asDayNumber = Format{Kind: KindQuantity}

// asDays shows a tenth of a day.
var asDays = Format{Kind: KindHours, Digits: 1, Keep: 6, Trim: true}

const hoursADay = 24

// printDays is when the last plate is through, in days from the midnight before
// the first.
func printDays(b *cost.Batch) Value {
	if len(b.Plates) == 0 {
		return Count(0)
	}
	return Float(b.Printing.FinishH / hoursADay).unless(!b.Printing.Known)
}

// BatchCost is what a whole batch costs by category. In every row, and in
// every column set of a batch: cash + own + stock = consumed + surplus + reclaim.
func BatchCost(e *cost.Estimate) Table {
	t := Table{
		Name:    "Batch cost",
		Title:   "what each batch costs in all; " + identity,
		Lead:    1,
		Columns: plain("category"),
	}
	t.amountColumns(e, Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)})
	for _, c := range cost.Categories {
		t.amountRow(e, Body, c.String(), []string{c.String()}, func(b *cost.Batch) cost.Amounts { return b.Categories[c] })
	}
	t.amountRow(e, Total, "total", []string{"total"}, func(b *cost.Batch) cost.Amounts { return b.Total })
	return t
}

// amountColumns adds the columns of the amounts, like some column, for each batch.
func (t *Table) amountColumns(e *cost.Estimate, like Column) {
	t.PerBatch(e, bom.Each(amountsOf(e), func(c *amountColumn) Column {
		like.Key, like.Heading = c.key, c.heading
		return like
	})...)
}

// amountRow adds a row of the amounts of each batch; what stands before them is what it is
// about.
func (t *Table) amountRow(e *cost.Estimate, role Role, key string, about []string, of func(*cost.Batch) cost.Amounts) {
	values, amounts := bom.Each(about, func(s *string) Value { return Text(*s) }), amountsOf(e)
	for _, b := range bom.Refs(e.Batches) {
		values = append(values, amountValues(amounts, of(b))...)
	}
	t.addRow(Row{Key: key, Role: role, Values: values})
}

func amountValues(amounts []amountColumn, a cost.Amounts) []Value {
	return bom.Each(amounts, func(c *amountColumn) Value { return known(c.of(a), a.Unpriced) })
}

// Missing names what lacks a price, each once, with the batches it is missing
// from, "C-100N (batch 10)", or its name alone where that is every batch; of what suppliers
// have too few of that is said.
func Missing(e *cost.Estimate) []string {
	var names []string
	batches, tooFew := map[string][]cost.BatchID{}, map[string]bool{}
	lack := func(name string, batch cost.BatchID) {
		sizes := batches[name]
		if len(sizes) == 0 {
			names = append(names, name)
		}
		if len(sizes) == 0 || sizes[len(sizes)-1] != batch {
			batches[name] = append(sizes, batch)
		}
	}
	for _, b := range bom.Refs(e.Batches) {
		named := map[int]bool{}
		for _, p := range b.Purchases {
			if p.Unpriced {
				lack(p.Part, b.ID())
				tooFew[p.Part] = tooFew[p.Part] || p.TooFew
				if p.Kind != cost.Lots {
					named[p.Index] = true
				}
			}
		}
		for _, f := range b.Fees {
			if f.Unpriced {
				lack(f.What, b.ID())
			}
		}
		for j, a := range b.Lines {
			if a.Unpriced && e.Entries[j].Category != cost.BareBoard && !named[e.Entries[j].Part] {
				lack(e.Entries[j].Line.Part, b.ID())
			}
		}
	}
	for i, name := range names {
		var why []string
		if tooFew[name] {
			why = append(why, "too few in stock")
		}
		if sizes := batches[name]; len(sizes) < len(e.Batches) {
			why = append(why, "batch "+list(sizes))
		}
		if len(why) > 0 {
			names[i] = name + " (" + strings.Join(why, ", ") + ")"
		}
	}
	return names
}

// Head is what the estimate is of, in one line: level, currency and the dates of the
// prices.
func Head(e *cost.Estimate) string {
	head := made(e) + ", in " + e.Currency.Code
	if dates := PriceDates(e); dates != "" {
		head += ", " + dates
	}
	return head
}

// State is what is still missing, in one line.
func State(e *cost.Estimate) string {
	missing := Missing(e)
	switch {
	case len(missing) > 0:
		return "incomplete, no price for: " + strings.Join(missing, "; ")
	case !e.Complete:
		return "incomplete: not every line has a price"
	}
	return "complete: every line has a price"
}

// place names where a figure stands, for tables with one column for it.
func place(p bom.Place) Value {
	if p == (bom.Place{}) {
		return Nothing()
	}
	at := p.Cell()
	if at == "" {
		return Text(p.String())
	}
	p.Row, p.Col = 0, 0
	return Text(p.String() + ":" + at)
}
