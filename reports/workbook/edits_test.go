package workbook

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures"
	"tenoff/fixtures/checks"
	"tenoff/reports"
)

// smallRun is a demo at one batch size, so that LibreOffice is done with it sooner.
func smallRun(t *testing.T, demo, size int) cost.Run {
	t.Helper()
	run := demoRun(t, fixtures.Demos()[demo], []bom.Level{bom.LevelBuilt, bom.LevelKit}[demo])
	run.Batches = []int{size}
	return run
}

// breaking is an edit after which a run cannot be ordered as the workbook says, or is not
// known; says is what follows the name of the cell in the check.
type breaking struct {
	name string
	edit edit
	says string
}

// buyWhere is the row of To buy of the first purchase that a test is looking for.
func buyWhere(t *testing.T, e *cost.Estimate, why string, want func(p *cost.Purchase, o *cost.Offer) bool) (string, *cost.Purchase) {
	t.Helper()
	b := &e.Batches[0]
	for i := range b.Purchases {
		if p := &b.Purchases[i]; !p.Unpriced && want(p, &e.Terms.Offers[p.Offer-1]) {
			return reports.RowKey(reports.KeyBuy, b.ID(), i), p
		}
	}
	t.Fatalf("no purchase %s", why)
	return "", nil
}

// breakings are edits that break a demo, each alone.
func breakings(t *testing.T, e *cost.Estimate) []breaking {
	t.Helper()
	goods := func(p *cost.Purchase, o *cost.Offer) bool {
		return p.Kind == cost.Goods && p.Quantity > 1 && o.Pieces == bom.One && o.MOQ <= 1 && o.Multiple <= 1
	}
	row, p := buyWhere(t, e, "of pieces", goods)
	_, paid := buyWhere(t, e, "at the first price of its offer", func(p *cost.Purchase, o *cost.Offer) bool {
		return p.Kind == cost.Goods && (len(o.Breaks) < 2 || p.Quantity < o.Breaks[1].From)
	})
	other := slices.IndexFunc(e.Terms.Offers, func(o cost.Offer) bool { return o.Part != p.Part }) + 1
	stocked, sp := buyWhere(t, e, "of a limited stock", func(_ *cost.Purchase, o *cost.Offer) bool { return o.Most > 0 })
	least, lp := buyWhere(t, e, "with a least quantity", func(_ *cost.Purchase, o *cost.Offer) bool { return o.MOQ > 1 })
	times, tp := buyWhere(t, e, "in multiples", func(_ *cost.Purchase, o *cost.Offer) bool { return o.Multiple > 1 })
	limit := func(p *cost.Purchase, of func(o *cost.Offer) int64) string {
		return strconv.FormatInt(of(&e.Terms.Offers[p.Offer-1]), 10)
	}
	most := limit(sp, func(o *cost.Offer) int64 { return o.Most })
	supplier := supplierRow(t, e, p.Supplier)
	price := breakRow(t, e, paid.Part, paid.Supplier)
	return []breaking{
		{"an offer of another part", edit{onBuy, row, "offer", strconv.Itoa(other)}, "is an offer of another part than " + p.Part},
		{"a number that no offer has", edit{onBuy, row, "offer", "999"}, "is no offer that there is"},
		{"half an offer", edit{onBuy, row, "offer", "1.5"}, "is no offer that there is"},
		{"no offer", edit{onBuy, row, "offer", ""}, "is no number of an offer"},
		{"too few", edit{onBuy, row, "quantity", "1"}, "is too few: " + (p.Demand - bom.One).String() + " more of " + p.Part},
		{"nothing ordered", edit{onBuy, row, "quantity", "0"}, "is too few: " + p.Demand.String() + " more of " + p.Part},
		{"no quantity", edit{onBuy, row, "quantity", ""}, "is no order quantity"},
		{"half a piece", edit{onBuy, row, "quantity", strconv.FormatInt(p.Quantity, 10) + ".5"}, "is not a whole number"},
		{"fewer than none", edit{onBuy, row, "quantity", "-3"}, "is not a whole number"},
		{"over the stock", edit{onBuy, stocked, "quantity", strconv.FormatInt(e.Terms.Offers[sp.Offer-1].Most+e.Terms.Offers[sp.Offer-1].Multiple, 10)}, "is over the stock of " + most},
		{"under the MOQ", edit{onBuy, least, "quantity", "1"}, "is under the MOQ of " + limit(lp, func(o *cost.Offer) int64 { return o.MOQ })},
		{"no multiple", edit{onBuy, times, "quantity", strconv.FormatInt(tp.Quantity+1, 10)}, "is no multiple of " + limit(tp, func(o *cost.Offer) int64 { return o.Multiple })},
		{"an emptied price", edit{onOffers, price, "price", ""}, "has no price"},
		{"a price in words", edit{onOffers, price, "price", "ask"}, "has no price"},
		{"a price below nothing", edit{onOffers, price, "price", "-1"}, "is below nothing"},
		{"an emptied rate", edit{onPrices, priceRow(t, e, "exchange", "USD"), "value", ""}, "is no figure"},
		{"no labour rate", edit{onPrices, priceRow(t, e, "setting", "Labour rate per hour"), "value", ""}, "is no figure"},
		{"a setting in words", edit{onPrices, priceRow(t, e, "setting", "Energy price per kWh"), "value", "dear"}, "is no figure"},
		{"a failure rate below nothing", edit{onPrices, priceRow(t, e, "printer", "Hut printer: Failure %"), "value", "-2"}, "is below nothing"},
		{"a rate of nothing", edit{onPrices, priceRow(t, e, "exchange", "USD"), "value", "0"}, "is not over 0"},
		{"no plate comes out", edit{onPrices, priceRow(t, e, "printer", "Hut printer: Failure %"), "value", "100"}, "is not under 100"},
		{"more than all of the surplus", edit{onPrices, priceRow(t, e, "setting", "Surplus worth %"), "value", "150"}, "is over 100"},
		{"a delivery in words", edit{onSuppliers, supplier, "Delivery", "free"}, "is no figure"},
		{"no lead days", edit{onSuppliers, supplier, "Lead days", ""}, "is no figure"},
	}
}

// Reference: LibreOffice works out workbooks in which one cell was changed. The check names
// that cell, or the part of which there is too little, and says what is wrong.
func TestLibreOfficeFindsBreakingEdits(t *testing.T) {
	checks.Program(t, "soffice")
	e := estimated(t, smallRun(t, 0, 40))
	l, data := lives(t, e), written(t, e, Options{})
	books := map[string][]byte{}
	all := breakings(t, e.Estimate)
	for i, x := range all {
		books["edit"+strconv.Itoa(i)] = edited(t, data, l, x.edit)
	}
	sheets := recalculated(t, books)
	for i, x := range all {
		got := checkIn(t, l, sheets["edit"+strconv.Itoa(i)], 0)
		s, where, _ := l.find(x.edit.table, x.edit.row, x.edit.col)
		c := s.cell(where)
		if cell := c.Sheet + "!" + at(c.Col, c.Row); got != cell+" "+x.says {
			t.Errorf("%s: the check says %q, want %q", x.name, got, cell+" "+x.says)
		}
	}
}

// Reference: LibreOffice works out workbooks in which one cell was changed as it may be: the
// check finds nothing, and every formula gives what tenoff makes of the same change.
func TestLibreOfficeFollowsEachEdit(t *testing.T) {
	checks.Program(t, "soffice")
	books, wants, of := map[string][]byte{}, map[string]*reports.Report{}, map[string]*live{}
	for i, c := range changes {
		name := "edit" + strconv.Itoa(i)
		for _, size := range fixtures.Demos()[c.demo].Batches { // the first at which it matters
			run, base := smallRun(t, c.demo, size), smallRun(t, c.demo, size)
			for _, r := range []*cost.Run{&run, &base} {
				r.Prices.WhoPays = changeRun(t, c.demo).Prices.WhoPays
			}
			c.change(&run)
			e, after := estimated(t, base), estimated(t, run)
			if sameAnswer(e.Estimate, after.Estimate) {
				continue
			}
			samePlan(t, e.Estimate, after.Estimate)
			books[name], wants[name], of[name] = edited(t, written(t, e, Options{}), lives(t, e), c.edit(t, e.Estimate)), after, lives(t, e)
			break
		}
		if books[name] == nil {
			t.Errorf("%s changes nothing", c.name)
		}
	}
	q := quantityChange(t)
	books["quantity"] = q.book
	moved, from, to := movedOrder(t)
	books["moved"], wants["moved"], of["moved"] = moved, to, lives(t, from)
	several, before, after := editedProgramme(t)
	books["several"] = several
	all := recalculated(t, books)
	for i, c := range changes {
		name := "edit" + strconv.Itoa(i)
		if wants[name] == nil {
			continue
		}
		t.Run(strings.ReplaceAll(c.name, " ", "-"), func(t *testing.T) {
			compareFormulas(t, wants[name], all[name])
			if got := checkIn(t, of[name], all[name], 0); got != checked {
				t.Errorf("the check says %q", got)
			}
		})
	}
	t.Run("several-products", func(t *testing.T) {
		compareFormulas(t, after, all["several"])
		for i := range before.Batches {
			if got := checkIn(t, lives(t, before), all["several"], i); got != checked {
				t.Errorf("the check says %q", got)
			}
		}
	})
	t.Run("quantity", func(t *testing.T) { q.compare(t, all["quantity"]) })
	t.Run("moved", func(t *testing.T) {
		sheets, b := all["moved"], &to.Batches[0]
		if got := checkIn(t, of["moved"], sheets, 0); got != checked {
			t.Errorf("the check says %q", got)
		}
		for _, x := range []struct{ table, row, col, want string }{
			{onBatch, "total", columnKey("cash", b.ID()), b.Total.Cash.String()},
			{onBatch, "total", columnKey("consumed", b.ID()), b.Total.Consumed.String()},
			{onBatch, cost.Delivery.String(), columnKey("cash", b.ID()), b.Categories[cost.Delivery].Cash.String()},
			{onBatch, cost.DutyAndTax.String(), columnKey("cash", b.ID()), b.Categories[cost.DutyAndTax].Cash.String()},
			{onPays, "total maker", columnKey("cash", b.ID()), b.Payers[0].Cash.String()},
		} {
			s, where, _ := of["moved"].find(x.table, x.row, x.col)
			if got := in(sheets, s.cell(where)); !same(got, x.want) {
				t.Errorf("%s, %s: %s, want %s", x.table, x.row, got, x.want)
			}
		}
	})
}

// editedProgramme makes all changes of the demo to a run of several products that leave what is bought:
// the workbook with the edits, and the estimates before and after.
func editedProgramme(t *testing.T) (book []byte, before, after *reports.Report) {
	t.Helper()
	was, is := programmeRun(t, []int{40, 10}, []int{20, 0}), programmeRun(t, []int{40, 10}, []int{20, 0})
	was.Prices.WhoPays = changeRun(t, 0).Prices.WhoPays
	is.Prices.WhoPays = slices.Clone(was.Prices.WhoPays)
	before = estimated(t, was)
	var edits []edit
	for _, c := range changes {
		if c.demo == 0 {
			edits = append(edits, c.edit(t, before.Estimate))
			c.change(&is)
		}
	}
	after = estimated(t, is)
	samePlan(t, before.Estimate, after.Estimate)
	for i := range after.Batches[0].Products {
		if a, b := before.Batches[0].Products[i].Amounts, after.Batches[0].Products[i].Amounts; a.Consumed.Equal(b.Consumed) {
			t.Errorf("product %d costs the same", i)
		}
		for j := range after.Batches { // what another plan comes to does not follow
			after.Batches[j].Products[i].Alone = before.Batches[j].Products[i].Alone
		}
	}
	return edited(t, written(t, before, Options{}), lives(t, before), edits...), before, after
}

// movedOrder moves a line to a supplier that nothing was ordered from: the workbook with
// that edit, and the estimates before and after, of which the latter has no other offer of
// the part.
func movedOrder(t *testing.T) (book []byte, from, to *reports.Report) {
	t.Helper()
	for _, size := range []int{10, 40, 100} {
		e := estimated(t, smallRun(t, 0, size))
		b := &e.Batches[0]
		for i := range b.Purchases {
			p := &b.Purchases[i]
			for n, o := range e.Terms.Offers {
				name := e.Terms.Suppliers[o.Supplier].Name
				if o.Part != p.Part || p.Kind != cost.Goods || slices.ContainsFunc(b.Orders, func(x cost.Order) bool { return x.Supplier == name }) {
					continue
				}
				run := smallRun(t, 0, size)
				run.Prices.Offers = slices.DeleteFunc(run.Prices.Offers, func(x bom.Offer) bool { return x.Part == p.Part && x.Supplier != name })
				after := estimated(t, run)
				if !sameElse(b, &after.Batches[0], i) {
					continue
				}
				row := reports.RowKey(reports.KeyBuy, b.ID(), i)
				return edited(t, written(t, e, Options{}), lives(t, e), edit{onBuy, row, "offer", strconv.Itoa(n + 1)},
					edit{onBuy, row, "quantity", strconv.FormatInt(after.Batches[0].Purchases[i].Quantity, 10)}), e, after
			}
		}
	}
	t.Fatal("no line can be moved")
	return nil, nil, nil
}

// sameElse tells whether two plans buy the same but for one line.
func sameElse(a, b *cost.Batch, but int) bool {
	if len(a.Purchases) != len(b.Purchases) {
		return false
	}
	for i := range a.Purchases {
		x, y := &a.Purchases[i], &b.Purchases[i]
		if x.Part != y.Part || i != but && (x.Supplier != y.Supplier || x.OrderCode != y.OrderCode || x.Quantity != y.Quantity) {
			return false
		}
	}
	return true
}

// The line above an order tells the lead days that stand in the cell, and which days they are.
func TestOrderTitleFollowsLeadDays(t *testing.T) {
	run := smallRun(t, 0, 40)
	for _, c := range [][3]string{{"1", "", "1 day"}, {"23", "", "23 days"}, {"8", "Mon-Fri", "8 working days"}} {
		days, want := c[0], c[2]
		run.Prices.Settings.WorkingDays, _ = bom.ParseWorkdays(c[1])
		e := estimated(t, run)
		o := &e.Batches[0].Orders[0]
		f := opened(t, edited(t, written(t, e, Options{}), lives(t, e), edit{onSuppliers, supplierRow(t, e.Estimate, o.Supplier), "Lead days", days}))
		found := false
		for row := 1; row < 200; row++ {
			cell := "A" + strconv.Itoa(row)
			if text, _ := f.GetCellValue(sheetBuy, cell); strings.HasPrefix(text, o.Supplier+", in ") {
				got, err := f.CalcCellValue(sheetBuy, cell)
				if found = true; err != nil || !strings.HasSuffix(got, ", delivers in "+want) {
					t.Errorf("%s days: %q, %v", days, got, err)
				}
			}
		}
		if !found {
			t.Error("no order has a title")
		}
	}
}

// A margin that the fee leaves no room for is found: of a price, 96 % and a fee of 2.9 % with
// tax of 20 % on it are 99.48 %, and 97 % with it are 100.48 %.
func TestMarginThatTakesAll(t *testing.T) {
	run := changeRun(t, 1)
	run.Batches = []int{10}
	run.Prices.Settings.PaymentFee, run.Prices.Settings.SalesTax = dec("2.9"), dec("20")
	e := estimated(t, run)
	row := priceRow(t, e.Estimate, "setting", "Margin %")
	for margin, want := range map[string]string{"96": "", "97": " leaves nothing of the price with the payment fee"} {
		l := lives(t, e)
		f := opened(t, edited(t, written(t, e, Options{}), l, edit{onPrices, row, "value", margin}))
		s, where, _ := l.find(onPrices, row, faultSays)
		got, err := f.CalcCellValue(s.cell(where).Sheet, at(s.cell(where).Col, s.cell(where).Row))
		if err != nil || want == "" && got != "" || !strings.HasSuffix(got, want) {
			t.Errorf("margin %s: %q, %v; want %q", margin, got, err, want)
		}
	}
}
