package workbook

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// buyShown are the columns of To buy that the sheet Buy shows.
var buyShown = []string{"code", "part", "description", "demand", "pieces", "quantity", "price", "goods", "surplus", "tick"}

// orderSum is a cell with what an order, or all orders of a batch, come to.
type orderSum struct {
	batch, terms int
	sum          int // index into orderSums
	label        string
	row          int
	value        decimal.Decimal
}

// What a sum is of, where it is of no supplier's order.
const (
	ofAll    = -1
	ofOthers = -2 // suppliers that no order was planned to
)

// orderSums are what each order comes to, in the columns right of its lines.
var orderSums = []struct {
	heading string
	keys    []string // columns of Orders
	of      func(o *cost.Order) decimal.Decimal
}{
	{"Goods", []string{"goods"}, func(o *cost.Order) decimal.Decimal { return o.Goods }},
	{"Delivery", []string{"delivery"}, func(o *cost.Order) decimal.Decimal { return o.Delivery }},
	{"Charges, duty, tax", []string{"topup", "consign", "duty", "tax", "handling"}, func(o *cost.Order) decimal.Decimal {
		return decimal.Sum(o.TopUp, o.Consign, o.Duty, o.Tax, o.Handling)
	}},
	{"Order total", []string{"total"}, func(o *cost.Order) decimal.Decimal { return o.Total() }},
}

// orderTotal is the index of the whole among orderSums.
var orderTotal = len(orderSums) - 1

// buySheet is what to order: for each batch a block for each supplier.
func (b *book) buySheet() *page {
	p := b.newPage(sheetBuy, "Buy: what to order; tinted quantities may be changed here, the offer of a line on the sheet "+sheetDetail)
	p.next, p.landscape = 2, true
	s := b.table(onBuy)
	if s == nil {
		return p
	}
	keys := buyShown
	if slices.ContainsFunc(b.e.Batches, func(x cost.Batch) bool {
		return slices.ContainsFunc(x.Purchases, func(p cost.Purchase) bool { return !p.SetUp.IsZero() })
	}) {
		keys = slices.Insert(slices.Clone(keys), 6, "setup")
	}
	s.show(keys...)
	p.place(&block{laid: s}) // the headings, which every page repeats
	p.repeat, p.next = p.blocks[0].head, p.blocks[0].head+1
	for i := range b.e.Batches {
		b.buyBatch(p, s, i)
	}
	p.widths = make([]float64, sumColumn(p, orderTotal))
	for i := range orderSums {
		p.widths[sumColumn(p, i)-1] = 9.5
	}
	money := reports.AsMoney(b.e.Currency)
	for _, s := range p.sums {
		i := sumColumn(p, s.sum) - 1
		p.widths[i] = max(p.widths[i], shownWidth(reports.Number(s.value), money)*boldWider+padding)
	}
	p.draw = func(p *page) { fillBuy(p) }
	return p
}

// buyBatch places the orders of one batch, each as a block.
func (b *book) buyBatch(p *page, s *laid, i int) {
	batch := &b.e.Batches[i]
	rows := s.of(batch.ID())
	if len(rows) == 0 {
		return
	}
	p.sections = append(p.sections, section{p.next, planned(batch)})
	p.next++
	body := slices.DeleteFunc(slices.Clone(rows), func(i int) bool { return s.table.Rows[i].Role != reports.Body })
	for len(body) > 0 {
		name := supplierIn(s.table, body[0])
		n := 1
		for n < len(body) && supplierIn(s.table, body[n]) == name {
			n++
		}
		bl := &block{laid: s, rows: body[:n], title: name, bare: true}
		o := slices.IndexFunc(batch.Orders, func(o cost.Order) bool { return o.Supplier == name })
		if o < 0 {
			bl.title = "not to be had"
		} else {
			bl.title = leadText(b.e, &batch.Orders[o])
		}
		p.place(bl)
		p.next--
		if o >= 0 {
			p.orders = append(p.orders, orderTitle{i, bl.top, &batch.Orders[o]})
			p.orderSums(i, &batch.Orders[o], bl.top)
		}
		body = body[n:]
	}
	for k := range batch.Orders { // those of nothing but fees
		o := &batch.Orders[k]
		if !slices.ContainsFunc(p.sums, func(s orderSum) bool { return s.batch == i && s.terms == o.Terms }) {
			bl := &block{laid: s, title: orderHead(o) + ": assembly, see the sheet " + sheetBoards, bare: true}
			p.place(bl)
			p.next--
			p.orderSums(i, o, bl.top)
		}
	}
	p.sums = append(p.sums, orderSum{i, ofOthers, orderTotal, "orders to other suppliers", p.next, decimal.Zero},
		orderSum{i, ofAll, orderTotal, "all orders", p.next + 1, allOrders(batch)})
	p.next += 2
	for _, i := range rows[len(rows)-1:] { // what the lines come to
		p.place(&block{laid: s, rows: []int{i}, bare: true, unseen: true})
		p.next--
	}
	if second := secondSources(b.e, batch); len(second) > 0 {
		p.remarks = append(p.remarks, section{p.next, "second sources, as of the run:"})
		for _, line := range second {
			p.next++
			p.remarks = append(p.remarks, section{p.next, line})
		}
		p.next += 2
	}
}

// orderTitle is the line above an order that is delivered.
type orderTitle struct {
	batch, row int
	order      *cost.Order
}

// orderSums notes what an order comes to, beside the title of its block.
func (p *page) orderSums(batch int, o *cost.Order, row int) {
	for k, x := range orderSums {
		p.sums = append(p.sums, orderSum{batch, o.Terms, k, "", row, x.of(o)})
	}
}

// secondSources tells what each part would be bought from instead, and what that would
// cost more; parts that nobody else has stand together.
func secondSources(e *cost.Estimate, b *cost.Batch) (lines []string) {
	for _, o := range b.Why.Parts {
		if o.Next != "" {
			lines = append(lines, o.Part+": "+o.Next+", "+e.Currency.Shown(o.More)+" "+e.Currency.Code+" more")
		}
	}
	if alone := reports.NoOtherSource(b); alone != "" {
		lines = append(lines, "no other source: "+alone)
	}
	return lines
}

func allOrders(b *cost.Batch) (all decimal.Decimal) {
	for i := range b.Orders {
		all = all.Add(b.Orders[i].Total())
	}
	return all
}

// orderHead tells from whom an order is, and in which currency.
func orderHead(o *cost.Order) string { return o.Supplier + ", in " + o.Currency.Code }

// delivers leads to the days of an order.
const delivers = ", delivers in "

// leadText tells also in how many days an order is there.
func leadText(e *cost.Estimate, o *cost.Order) string {
	if !o.LeadKnown {
		return orderHead(o)
	}
	return orderHead(o) + delivers + reports.Counted(o.LeadDays, e.WorkingDays.Day())
}

// supplierIn is the supplier of a purchase as planned.
func supplierIn(t *reports.Table, i int) string {
	for j, c := range t.Columns {
		if c.Key == "supplier" {
			return t.Rows[i].Values[j].Exact(reports.AsText)
		}
	}
	return ""
}

// fillBuy writes what stands around the lines.
func fillBuy(p *page) {
	money, head := reports.AsMoney(p.e.Currency), p.blocks[0].head
	for i, x := range orderSums {
		text, col := x.heading+" "+p.e.Currency.Code, sumColumn(p, i)
		p.text(col, head, text, look{bold: true, fill: inputPale, wrap: true, below: 2, right: true})
		p.height(head, max(p.grid.row(head).height, headHeight(headLines(text, p.widths[col-1]))))
	}
	for _, s := range p.sums {
		col := sumColumn(p, s.sum)
		l := look{right: true, low: true, bold: s.sum == orderTotal && s.terms != ofOthers}
		if s.label != "" {
			p.text(col-1, s.row, s.label, l)
		}
		if s.terms == ofAll {
			l.above = 1
		}
		p.value(col, s.row, reports.Number(s.value), money, l)
	}
}

// sumColumn is the column of what orders come to, right of what lines show.
func sumColumn(p *page, sum int) int { return len(p.live.tables[onBuy].order) + 1 + sum }

// writeBuy ties what orders come to, and their days, to their cells.
func writeBuy(l *live, p *page) {
	for _, t := range p.orders {
		if o := t.order; o.LeadKnown {
			lead := l.ref(onOrders, reports.RowKey(reports.KeyOrder, l.e.Batches[t.batch].ID(), o.Terms), "lead")
			text := textOf(orderHead(o)+delivers) + "&" + lead + "&" + textOf(" "+l.e.WorkingDays.Day()) + "&IF(" + lead + `=1,"","s")`
			l.say(sum.Cell{Sheet: sheetBuy, Col: 1, Row: t.row}, text, leadText(l.e, o))
		}
	}
	for _, s := range p.sums {
		b := &l.e.Batches[s.batch]
		cell := sum.Cell{Sheet: sheetBuy, Col: sumColumn(p, s.sum), Row: s.row}
		total := reports.TotalKey(b.ID())
		switch s.terms {
		case ofOthers:
			refs := []string{l.ref(onOrders, total, "total")}
			for i := range l.e.Terms.Suppliers {
				if slices.ContainsFunc(b.Orders, func(o cost.Order) bool { return o.Terms == i }) {
					refs = append(refs, l.ref(onOrders, reports.RowKey(reports.KeyOrder, b.ID(), i), "total"))
				}
			}
			l.put(cell, formula{text: l.clean(strings.Join(refs, "-"))})
		case ofAll:
			l.put(cell, formula{text: l.ref(onOrders, total, "total")})
		default:
			refs := bom.Each(orderSums[s.sum].keys, func(key *string) string {
				return l.ref(onOrders, reports.RowKey(reports.KeyOrder, b.ID(), s.terms), *key)
			})
			l.put(cell, formula{text: l.clean(sumOf(refs))})
		}
	}
}

// movedTo shows beside an order code that the line now goes to another supplier than the
// block says.
func movedTo(l *live, row string, planned int) string {
	return fmt.Sprintf(`&IF(%s=%d,"",", now from "&%s)`, l.ref(onBuy, row, "Supplier no."), planned+1, l.ref(onBuy, row, "supplier"))
}
