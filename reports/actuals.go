package reports

import (
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// ActualsTables lays a plan out as the tabs of an actuals workbook, with what is filled in
// by now. Tabs without rows are left out but for those that may get some.
func ActualsTables(a *bom.Actuals) []bom.Table {
	l := runLayout{run: a}
	l.items()
	lay(&l, bom.TabProducts, a.Products, func(p *bom.RunMade) {
		l.row(p.Name, p.Level, p.Good.Planned, p.Started.Planned, p.Consumed, p.Good.Actual, p.Started.Actual)
	})
	lay(&l, bom.TabPurchases, a.Purchases, func(p *bom.RunPurchase) {
		quantity, price := decimal.NewNullDecimal(p.Quantity), decimal.NewNullDecimal(p.Price)
		if p.Unplanned {
			quantity, price = decimal.NullDecimal{}, decimal.NullDecimal{}
		}
		l.row(p.Supplier, p.Part, p.Code, p.Kind, p.Pieces, p.Currency.Code, quantity, price, ifAny(p.Fee),
			p.Ordered, p.Received, p.Invoiced, p.InvoicedPrice, p.InvoicedFee, ifAny(p.Worth), p.Note, p.For)
	})
	lay(&l, bom.TabCharges, a.Charges, func(c *bom.RunCharge) {
		l.row(c.Payee, c.What, c.Currency.Code, c.Planned, c.Invoiced, ifAny(c.Kept), ifAny(c.Stock),
			ifAny(decimal.NewFromInt(c.Over)), ifAny(decimal.NewFromInt(c.Before)), c.Note, c.For)
	})
	lay(&l, bom.TabRates, a.Exchange, func(x *bom.RunRate) { l.row(x.Payee, x.Currency.Code, x.Planned, x.Paid) })
	lay(&l, bom.TabHours, a.Work, func(w *bom.RunWork) {
		l.row(w.Operation, w.AppliesTo, w.Basis, w.Seconds, w.Learning, w.TimedAt, w.Before, w.Planned, w.Cost, w.Hours, w.First, w.FirstH, "", w.For)
	})
	lay(&l, bom.TabPlates, a.Printers, func(p *bom.RunPrinter) {
		l.row(p.Printer, p.Plates, p.Failure, p.Planned, p.Printed, p.Failed)
	})
	lay(&l, bom.TabPrints, a.Prints, func(p *bom.RunPrint) {
		l.row(p.Part, p.File, p.Material, p.Printer, p.Recipe, p.Pieces, p.Laid, p.Planned, ifAny(p.StartH), p.PlannedG, ifAny(p.PrimeG),
			p.Wear, p.Energy, p.Hours, p.Grams, "", p.For)
	})
	lay(&l, bom.TabPopulated, a.Boards, func(b *bom.RunBoard) {
		l.row(b.Board, b.Assembler, b.Chances, b.DPMO, b.Planned, b.Populated, b.Good)
	})
	lay(&l, bom.TabLeft, a.Left, func(x *bom.RunLeft) {
		l.row(x.Part, x.GivenBy, x.Value, x.Before, x.Taken, x.Surplus, x.Named, x.Counted, "", x.For)
	})
	lay(&l, bom.TabNeeded, a.Parts, func(p *bom.RunPart) {
		l.row(p.Part, p.Kind, p.Required, p.Spares, p.AppliesTo, p.Package, "", p.For)
	})
	return l.tables
}

// mayGrow are the tabs that rows may be added to.
var mayGrow = []string{bom.TabPurchases, bom.TabCharges, bom.TabLeft}

// lay lays out a tab with a row for each item of a list.
func lay[T any](l *runLayout, tab string, list []T, row func(*T)) {
	if len(list) == 0 && !slices.Contains(mayGrow, tab) {
		return
	}
	l.tab(tab)
	for i := range list {
		row(&list[i])
	}
}

// ifAny is a figure that a blank cell stands for where it is 0.
func ifAny(d decimal.Decimal) decimal.NullDecimal {
	return decimal.NullDecimal{Decimal: d, Valid: !d.IsZero()}
}

// runLayout lays the tabs out one by one.
type runLayout struct {
	run    *bom.Actuals
	tables []bom.Table
}

// tab begins a tab with its headings.
func (l *runLayout) tab(name string) {
	tab, _ := bom.RunTab(name) // one of those documented
	t := bom.Table{Sheet: tab.Name, Rows: []bom.Row{{Number: 1}}}
	for i, h := range tab.Headings() {
		if h == bom.ForProducts && len(l.run.Products) == 0 {
			break // the last one
		}
		t.Rows[0].Cells = append(t.Rows[0].Cells, bom.Cell{Col: i + 1, Text: h})
	}
	l.tables = append(l.tables, t)
}

// row adds a row with what stands under each heading in order: text, numbers, or nothing.
func (l *runLayout) row(cells ...any) {
	t := &l.tables[len(l.tables)-1]
	r := bom.Row{Number: len(t.Rows) + 1}
	for i, c := range cells {
		out := bom.Cell{Col: i + 1, Kind: bom.Native}
		switch c := c.(type) {
		case string:
			out.Kind, out.Text = bom.Text, c
		case bom.RunShares:
			out.Kind, out.Text = bom.Text, c.String()
		case decimal.Decimal:
			out.Text = c.String()
		case decimal.NullDecimal:
			if c.Valid {
				out.Text = c.Decimal.String()
			}
		case int64:
			out.Text = strconv.FormatInt(c, 10)
		case bom.Quantity:
			out.Text = c.String()
		}
		if out.Text != "" {
			r.Cells = append(r.Cells, out)
		}
	}
	t.Rows = append(t.Rows, r)
}

func (l *runLayout) items() {
	a := l.run
	l.tab(bom.TabRun)
	day := ""
	if !a.PlannedOn.IsZero() {
		day = a.PlannedOn.String()
	}
	paid := "no"
	if a.LabourPaid {
		paid = "yes"
	}
	l.row(bom.RunProduct, a.Product)
	l.row(bom.RunLevel, a.Level)
	l.row(bom.RunHome, a.Home.Code)
	l.row(bom.RunPlannedOn, day)
	l.row(bom.RunPaid, paid)
	l.row(bom.RunRatePaid, a.LabourRate.Planned, a.LabourRate.Actual)
	good, started := a.Good.Actual, a.Started.Actual
	if len(a.Products) > 0 { // they tell of each
		good, started = decimal.NullDecimal{}, decimal.NullDecimal{}
	}
	l.row(bom.RunGood, a.Good.Planned, good)
	l.row(bom.RunStarted, a.Started.Planned, started)
	l.row(bom.RunUnitsYield, a.Yield)
}
