package reports

import (
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// ActualsTables lays a plan out as the tabs of an actuals workbook, with what is filled in
// by now. Tabs without rows are left out but for those that may get some.
func ActualsTables(a *bom.Actuals) []bom.Table {
	l := runLayout{run: a}
	l.items()
	l.products()
	l.purchases()
	l.charges()
	l.rates()
	l.hours()
	l.plates()
	l.prints()
	l.boards()
	l.left()
	l.parts()
	return l.tables
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

func (l *runLayout) products() {
	if len(l.run.Products) == 0 {
		return
	}
	l.tab(bom.TabProducts)
	for _, p := range l.run.Products {
		l.row(p.Name, p.Level, p.Good.Planned, p.Started.Planned, p.Consumed, p.Good.Actual, p.Started.Actual)
	}
}

// ifAny is a figure that a blank cell stands for where it is 0.
func ifAny(d decimal.Decimal) decimal.NullDecimal {
	return decimal.NullDecimal{Decimal: d, Valid: !d.IsZero()}
}

func (l *runLayout) purchases() {
	l.tab(bom.TabPurchases)
	for _, p := range l.run.Purchases {
		quantity, price := decimal.NewNullDecimal(p.Quantity), decimal.NewNullDecimal(p.Price)
		if p.Unplanned {
			quantity, price = decimal.NullDecimal{}, decimal.NullDecimal{}
		}
		l.row(p.Supplier, p.Part, p.Code, p.Kind, p.Pieces, p.Currency.Code, quantity, price, ifAny(p.Fee),
			p.Ordered, p.Received, p.Invoiced, p.InvoicedPrice, p.InvoicedFee, ifAny(p.Worth), p.Note, p.For)
	}
}

func (l *runLayout) charges() {
	l.tab(bom.TabCharges)
	for _, c := range l.run.Charges {
		l.row(c.Payee, c.What, c.Currency.Code, c.Planned, c.Invoiced, ifAny(c.Kept), ifAny(c.Stock), ifAny(decimal.NewFromInt(c.Over)), ifAny(decimal.NewFromInt(c.Before)), c.Note, c.For)
	}
}

func (l *runLayout) rates() {
	if len(l.run.Exchange) == 0 {
		return
	}
	l.tab(bom.TabRates)
	for _, x := range l.run.Exchange {
		l.row(x.Payee, x.Currency.Code, x.Planned, x.Paid)
	}
}

func (l *runLayout) hours() {
	if len(l.run.Work) == 0 {
		return
	}
	l.tab(bom.TabHours)
	for _, w := range l.run.Work {
		l.row(w.Operation, w.AppliesTo, w.Basis, w.Seconds, w.Learning, w.TimedAt, w.Before, w.Planned, w.Cost, w.Hours, w.First, w.FirstH, "", w.For)
	}
}

func (l *runLayout) plates() {
	if len(l.run.Printers) == 0 {
		return
	}
	l.tab(bom.TabPlates)
	for _, p := range l.run.Printers {
		l.row(p.Printer, p.Plates, p.Failure, p.Planned, p.Printed, p.Failed)
	}
}

func (l *runLayout) prints() {
	if len(l.run.Prints) == 0 {
		return
	}
	l.tab(bom.TabPrints)
	for _, p := range l.run.Prints {
		l.row(p.Part, p.File, p.Printer, p.Recipe, p.Pieces, p.Laid, p.Planned, ifAny(p.StartH), p.PlannedG, ifAny(p.PrimeG), p.Wear, p.Energy, p.Hours, p.Grams, "", p.For)
	}
}

func (l *runLayout) boards() {
	if len(l.run.Boards) == 0 {
		return
	}
	l.tab(bom.TabPopulated)
	for _, b := range l.run.Boards {
		l.row(b.Board, b.Assembler, b.Chances, b.DPMO, b.Planned, b.Populated, b.Good)
	}
}

func (l *runLayout) left() {
	l.tab(bom.TabLeft)
	for _, x := range l.run.Left {
		l.row(x.Part, x.GivenBy, x.Value, x.Before, x.Taken, x.Surplus, x.Named, x.Counted, "", x.For)
	}
}

func (l *runLayout) parts() {
	if len(l.run.Parts) == 0 {
		return
	}
	l.tab(bom.TabNeeded)
	for _, p := range l.run.Parts {
		l.row(p.Part, p.Kind, p.Required, p.Spares, p.AppliesTo, p.Package, "", p.For)
	}
}
