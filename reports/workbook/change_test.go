package workbook

import (
	"bytes"
	"slices"
	"strconv"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/fixtures"
	"tenoff/reports"
)

func dec(s string) decimal.Decimal { return decimal.RequireFromString(s) }

// edited changes input cells of a workbook as a user would. The cells must be
// marked as inputs.
func edited(t *testing.T, data []byte, l *live, edits ...edit) []byte {
	t.Helper()
	f := opened(t, data)
	for _, c := range edits {
		s, where, ok := l.find(c.table, c.row, c.col)
		if !ok || !s.inputs[where] {
			t.Fatalf("%s, %s, %s is no input", c.table, c.row, c.col)
		}
		cell := s.cell(where)
		if err := f.SetCellDefault(cell.Sheet, at(cell.Col, cell.Row), c.to); err != nil {
			t.Fatal(err)
		}
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

type edit struct{ table, row, col, to string }

// priceRow is the row of Prices used that holds a figure of that name.
func priceRow(t *testing.T, e *cost.Estimate, what, name string) string {
	t.Helper()
	for i, s := range e.Sources {
		if s.What == what && s.Name == name {
			return reports.RowKey(reports.KeySource, "", i)
		}
	}
	t.Fatalf("no source %s %s", what, name)
	return ""
}

// breakRow is the row of Offers that holds the first break of a part's offer.
func breakRow(t *testing.T, e *cost.Estimate, part, supplier string) string {
	t.Helper()
	n := 0
	for _, o := range e.Terms.Offers {
		if o.Part == part && e.Terms.Suppliers[o.Supplier].Name == supplier {
			return reports.RowKey(reports.KeyBreak, "", n)
		}
		n += len(o.Breaks)
	}
	t.Fatalf("no offer for %s", part)
	return ""
}

func supplierRow(t *testing.T, e *cost.Estimate, name string) string {
	t.Helper()
	for i, s := range e.Terms.Suppliers {
		if s.Name == name {
			return reports.RowKey(reports.KeyTerms, "", i)
		}
	}
	t.Fatalf("no supplier %s", name)
	return ""
}

// samePlan fails where a change of the prices changes what is bought: the
// workbook keeps its decisions.
func samePlan(t *testing.T, a, b *cost.Estimate) {
	t.Helper()
	for i := range a.Batches {
		p, q := a.Batches[i].Purchases, b.Batches[i].Purchases
		if len(p) != len(q) {
			t.Fatal("another number of purchases")
		}
		for j := range p {
			if p[j].Offer != q[j].Offer || p[j].Quantity != q[j].Quantity {
				t.Fatalf("the change buys %s in another way", p[j].Part)
			}
		}
	}
}

func changeSupplier(r *cost.Run, name string) *bom.Supplier {
	i := slices.IndexFunc(r.Prices.Suppliers, func(s bom.Supplier) bool { return s.Name == name })
	return &r.Prices.Suppliers[i]
}

// changes are edits of input cells, with the same change of what tenoff reads.
var changes = []struct {
	name   string
	demo   int
	edit   func(t *testing.T, e *cost.Estimate) edit
	change func(r *cost.Run)
}{
	{"price of a spool", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onOffers, breakRow(t, e, "PETG green", "Kelldorn Filament"), "price", "26.37"}
	}, func(r *cost.Run) {
		for i := range r.Prices.Materials {
			if r.Prices.Materials[i].Name == "PETG green" {
				r.Prices.Materials[i].SpoolPrice = dec("26.37")
			}
		}
	}},
	{"exchange rate", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "exchange", "USD"), "value", "0.9137"}
	}, func(r *cost.Run) {
		for i := range r.Prices.Exchange {
			if r.Prices.Exchange[i].Currency.Code == "USD" {
				r.Prices.Exchange[i].Rate = dec("0.9137")
			}
		}
	}},
	{"print hours of a piece", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "printed part", "FA-CASE: Print hours"), "value", "2.95"}
	}, func(r *cost.Run) {
		for _, l := range r.Unit.Lines {
			if l.Part == "FA-CASE" {
				l.Hours = bom.Known(2.95)
			}
		}
	}},
	{"share of a payer", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "who pays", "delivery: sponsor"), "value", "75"}
	}, func(r *cost.Run) { // 75 to 60 in place of 40 to 60: weights of any sum are shares of it
		for i := range r.Prices.WhoPays {
			if s := &r.Prices.WhoPays[i]; s.AppliesTo == "delivery" && s.Payer == "sponsor" {
				s.Percent = dec("75")
			}
		}
	}},
	{"energy price", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Energy price per kWh"), "value", "0.4275"}
	}, func(r *cost.Run) { r.Prices.Settings.EnergyPrice = dec("0.4275") }},
	{"labour rate", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Labour rate per hour"), "value", "17.85"}
	}, func(r *cost.Run) { r.Prices.Settings.LabourRate = dec("17.85") }},
	{"what a surplus is worth", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Surplus worth %"), "value", "62.5"}
	}, func(r *cost.Run) { r.Prices.Settings.SurplusWorth = dec("62.5") }},
	{"what surplus boards are worth", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Board surplus worth %"), "value", "35"}
	}, func(r *cost.Run) { r.Prices.Settings.BoardWorth = dec("35") }},
	{"units that bear a jig", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "one-off", "jig to program and test in ice water: Spread over"), "value", "150"}
	}, func(r *cost.Run) { r.Prices.OneOffs[0].SpreadOver = 150 }},
	{"sales tax", 1, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Sales tax %"), "value", "17.5"}
	}, func(r *cost.Run) { r.Prices.Settings.SalesTax = dec("17.5") }},
	{"seconds of hand work", 1, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "hand work", e.Batches[0].Work[0].Operation), "value", "31.5"}
	}, func(r *cost.Run) {
		e, _ := cost.Compute(*r)
		for i := range r.Prices.HandWork {
			if r.Prices.HandWork[i].Name == e.Batches[0].Work[0].Operation {
				r.Prices.HandWork[i].Seconds = 31.5
			}
		}
	}},
	{"share of hand work", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "hand work", "find and mend a fault: Share %"), "value", "9"}
	}, func(r *cost.Run) {
		for i := range r.Prices.HandWork {
			if r.Prices.HandWork[i].Name == "find and mend a fault" {
				r.Prices.HandWork[i].Share = dec("9")
			}
		}
	}},
	{"failures of a printer", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "printer", "Hut printer: Failure %"), "value", "6.1"}
	}, func(r *cost.Run) {
		for i := range r.Prices.Printers {
			if r.Prices.Printers[i].Name == "Hut printer" {
				r.Prices.Printers[i].Failure = dec("6.1")
			}
		}
	}},
	{"margin", 1, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Margin %"), "value", "17.5"}
	}, func(r *cost.Run) { r.Prices.Settings.Margin = dec("17.5") }},
	{"threshold of free delivery", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onSuppliers, supplierRow(t, e, "Kelldorn Filament"), "Free delivery over", "500"}
	}, func(r *cost.Run) {
		changeSupplier(r, "Kelldorn Filament").FreeOver = decimal.NewNullDecimal(dec("500"))
	}},
	{"value from which duty is due", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onSuppliers, supplierRow(t, e, "Lotquay Circuits"), "Duty free up to", "70"}
	}, func(r *cost.Run) { changeSupplier(r, "Lotquay Circuits").DutyFreeUpTo = dec("70") }},
	{"duty", 1, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onSuppliers, supplierRow(t, e, "Ostveld Onderdelen"), "Duty %", "2.05"}
	}, func(r *cost.Run) { changeSupplier(r, "Ostveld Onderdelen").Duty = dec("2.05") }},
	{"rate of the assembler", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "assembly", "Mühlgrien Lötwerk: Per placement"), "value", "0.0345"}
	}, func(r *cost.Run) { r.Prices.Assemblers[0].PerPlacement = dec("0.0345") }},
	{"lead days that leave hand work in its turn", 0, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onSuppliers, supplierRow(t, e, "Lotquay Circuits"), "Lead days", "13"}
	}, func(r *cost.Run) { changeSupplier(r, "Lotquay Circuits").LeadDays = 13 }},
	{"lead days on working days", 1, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onSuppliers, supplierRow(t, e, "Pennifold Circuits"), "Lead days", "13"}
	}, func(r *cost.Run) { changeSupplier(r, "Pennifold Circuits").LeadDays = 13 }},
	{"hours of hand work in a day", 1, func(t *testing.T, e *cost.Estimate) edit {
		return edit{onPrices, priceRow(t, e, "setting", "Bench hours per day"), "value", "1.5"}
	}, func(r *cost.Run) { r.Prices.Settings.BenchHours = dec("1.5") }},
}

// changeRun is a demo in which three payers share the delivery. The kits stay a
// sale: nobody there is a recipient who is asked for a share.
func changeRun(t *testing.T, demo int) cost.Run {
	t.Helper()
	level := []bom.Level{bom.LevelBuilt, bom.LevelKit}[demo]
	run := demoRun(t, fixtures.Demos()[demo], level)
	if demo == 1 {
		run.Prices.Settings.WorkingDays, _ = bom.ParseWorkdays("Tue-Thu, Sat")
	}
	for i, payer := range []string{"sponsor", []string{"recipient", "friend"}[demo], "maker"} {
		run.Prices.WhoPays = append(run.Prices.WhoPays, bom.Share{AppliesTo: "delivery", Payer: payer,
			Percent: dec([]string{"40", "33.5", "26.5"}[i])})
	}
	return run
}

// sameAnswer tells whether every batch costs the same, and the same people, and
// is ready at the same time.
func sameAnswer(a, b *cost.Estimate) bool {
	for i := range a.Batches {
		x, y := &a.Batches[i], &b.Batches[i]
		if !x.Total.Cash.Equal(y.Total.Cash) || !x.Total.Consumed.Equal(y.Total.Consumed) || !x.Charge.Price.Equal(y.Charge.Price) || !x.Payers[0].Cash.Equal(y.Payers[0].Cash) || x.Plan.Ready != y.Plan.Ready {
			return false
		}
	}
	return true
}

// byHand is a change that tenoff would not make by itself, with what comes of it.
type byHand struct {
	book []byte
	l    *live
	want map[[3]string]string // table, row, column
}

func (h byHand) compare(t *testing.T, sheets map[string][][]string) {
	for k, want := range h.want {
		s, where, ok := h.l.find(k[0], k[1], k[2])
		if !ok {
			t.Fatalf("no cell %v", k)
		}
		if got := in(sheets, s.cell(where)); !same(got, want) {
			t.Errorf("%v is %s, want %s", k, got, want)
		}
	}
	for i := range h.l.e.Batches {
		if got := checkIn(t, h.l, sheets, i); got != checked {
			t.Errorf("the check says %q", got)
		}
	}
}

// in is what stands in a cell.
func in(sheets map[string][][]string, c sum.Cell) string {
	rows := sheets[c.Sheet]
	if c.Row == 0 || c.Row > len(rows) || c.Col > len(rows[c.Row-1]) {
		return ""
	}
	return rows[c.Row-1][c.Col-1]
}

// checkIn is what the check says of a batch, below the word "check".
func checkIn(t *testing.T, l *live, sheets map[string][][]string, batch int) string {
	t.Helper()
	for _, r := range sheets[sheetSummary] {
		if r[0] == "check" {
			return r[l.tables[onUnit].table.Lead+batch]
		}
	}
	t.Fatal("no check")
	return ""
}

// quantityChange orders so many of a part that the next break of its own offer
// holds, from a supplier without customs. By hand: goods = quantity × the break's
// price; the order and the whole batch cost more by the difference, less the
// delivery where the goods now reach the threshold.
func quantityChange(t *testing.T) byHand {
	t.Helper()
	e := estimated(t, changeRun(t, 0))
	l, b := lives(t, e), &e.Batches[1]
	for i, p := range b.Purchases {
		o := e.Terms.Offers[p.Offer-1]
		s := e.Terms.Suppliers[o.Supplier]
		if o.Currency != e.Currency || !s.Duty.IsZero() || !s.Tax.IsZero() || len(o.Breaks) < 2 || o.Breaks[1].From <= p.Quantity {
			continue
		}
		q := o.Breaks[1].From
		goods := o.Breaks[1].Price.Mul(decimal.NewFromInt(q)).Round(2)
		var order cost.Order
		at := 0
		for _, placed := range b.Orders {
			if placed.Supplier == s.Name {
				order, at = placed, placed.Terms
			}
		}
		own := order.GoodsOwn.Sub(p.Goods).Add(goods)
		delivery := s.Delivery
		if s.FreeOver.Valid && own.GreaterThanOrEqual(s.FreeOver.Decimal) {
			delivery = decimal.Zero
		}
		topUp := decimal.Max(decimal.Zero, s.MinOrder.Sub(own))
		total := b.Total.Cash.Add(goods.Sub(p.Goods)).Add(delivery.Sub(order.Delivery)).Add(topUp.Sub(order.TopUp))
		row := reports.RowKey(reports.KeyBuy, b.ID(), i)
		return byHand{
			book: edited(t, written(t, e, Options{}), l, edit{onBuy, row, "quantity", strconv.FormatInt(q, 10)}),
			l:    l,
			want: map[[3]string]string{
				{onBuy, row, "price"}: o.Breaks[1].Price.String(),
				{onBuy, row, "goods"}: goods.String(),
				{onOrders, reports.RowKey(reports.KeyOrder, b.ID(), at), "delivery"}: delivery.String(),
				{onBatch, "total", columnKey("cash", b.ID())}:                        total.String(),
				{onUnit, reports.RowCashUnit, columnKey("value", b.ID())}:            total.DivRound(decimal.NewFromInt(int64(b.Size)), 12).String(),
			},
		}
	}
	t.Fatal("no purchase below a break")
	return byHand{}
}
