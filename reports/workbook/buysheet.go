package workbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// buyShown are the columns of To buy that the sheet Buy shows.
var buyShown = []string{"tick", "code", "part", "description", "demand", "pieces", "offer", "quantity", "price", "currency", "goods", "cash", "surplus"}

// orderSum is a line below the goods of an order.
type orderSum struct {
	batch, terms int
	what         string
	keys         []string // columns of Orders that it adds up
	row          int
	value        decimal.Decimal
}

// orderSums are the lines below the goods of each order: its subtotal, delivery, charges
// and total, in the column right of all others.
var orderSums = []struct {
	what string
	keys []string
	of   func(o *cost.Order) decimal.Decimal
}{
	{"goods", []string{"goods"}, func(o *cost.Order) decimal.Decimal { return o.Goods }},
	{"delivery", []string{"delivery"}, func(o *cost.Order) decimal.Decimal { return o.Delivery }},
	{"surcharge, fees, duty and tax", []string{"topup", "consign", "duty", "tax", "handling"}, func(o *cost.Order) decimal.Decimal {
		return decimal.Sum(o.TopUp, o.Consign, o.Duty, o.Tax, o.Handling)
	}},
	{"total", []string{"total"}, func(o *cost.Order) decimal.Decimal { return o.Total() }},
}

// buySheet is what to order: for each batch a block for each supplier.
func (b *book) buySheet() *page {
	p := b.newPage(sheetBuy, "Buy: what to order, by batch and supplier; tinted cells may be changed")
	p.landscape, p.next = true, 2
	s := b.table(onBuy)
	if s == nil {
		return p
	}
	keys := buyShown
	if slices.ContainsFunc(b.e.Batches, func(x cost.Batch) bool {
		return slices.ContainsFunc(x.Purchases, func(p cost.Purchase) bool { return !p.SetUp.IsZero() })
	}) {
		keys = slices.Insert(slices.Clone(keys), 8, "setup")
	}
	s.show(keys...)
	p.place(&block{laid: s}) // the headings, which every page repeats
	p.repeat, p.next = p.blocks[0].head, p.blocks[0].head+1
	for i := range b.e.Batches {
		b.buyBatch(p, s, i)
	}
	p.widths = make([]float64, p.sumColumn())
	p.widths[p.sumColumn()-1] = 11
	p.draw = func(p *page) { p.fillBuy() }
	return p
}

// buyBatch places the orders of one batch, each as a block.
func (b *book) buyBatch(p *page, s *laid, i int) {
	batch := &b.e.Batches[i]
	rows := s.of(batch.Size)
	if len(rows) == 0 {
		return
	}
	if len(p.blocks) > 1 {
		p.breaks = append(p.breaks, p.next)
	}
	p.sections = append(p.sections, section{p.next, units(batch.Size)})
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
			bl.title += leadText(&batch.Orders[o])
		}
		p.place(bl)
		p.next--
		if o >= 0 {
			p.orderLines(batch, &batch.Orders[o], i)
		}
		body = body[n:]
	}
	p.sums = append(p.sums, orderSum{batch: i, terms: -1, what: "orders to others", row: p.next})
	p.sums = append(p.sums, orderSum{batch: i, terms: -2, what: "all orders", row: p.next + 1, value: allOrders(batch)})
	p.next += 2
	for _, i := range rows[len(rows)-1:] { // what the lines come to
		p.place(&block{laid: s, rows: []int{i}, bare: true})
	}
	if t := b.table(onOther); t != nil {
		t.show(t.keysBut("batch")...)
		p.place(&block{laid: t, rows: t.of(batch.Size), title: "second sources", notes: t.table.Notes})
	}
}

func allOrders(b *cost.Batch) (all decimal.Decimal) {
	for i := range b.Orders {
		all = all.Add(b.Orders[i].Total())
	}
	return all
}

// leadText tells in how many days an order is there.
func leadText(o *cost.Order) string {
	text := ", in " + o.Currency.Code
	if o.LeadKnown {
		text += ", " + counted(o.LeadDays, "day")
	}
	return text
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

// orderLines makes room for what an order comes to; what its supplier never asks for is
// left out.
func (p *page) orderLines(b *cost.Batch, o *cost.Order, batch int) {
	for _, x := range orderSums {
		value := x.of(o)
		if x.what != "total" && x.what != "goods" && value.IsZero() && !p.mayCharge(o, x.keys[0]) {
			continue
		}
		p.sums = append(p.sums, orderSum{batch, o.Terms, x.what, x.keys, p.next, value})
		p.next++
	}
}

// mayCharge tells whether a supplier may come to ask for something after a change.
func (p *page) mayCharge(o *cost.Order, key string) bool {
	if p.e.Terms == nil {
		return false
	}
	s := &p.e.Terms.Suppliers[o.Terms]
	if key == "delivery" {
		return s.Delivery.IsPositive()
	}
	return s.MinOrder.IsPositive() || s.Duty.IsPositive() || s.Tax.IsPositive() || s.FlatDuty.IsPositive()
}

// fillBuy writes what stands around the lines.
func (p *page) fillBuy() {
	money := reports.AsMoney(p.e.Currency)
	last := p.sumColumn()
	for _, bl := range p.blocks {
		if bl.head > 0 && bl.laid.table.Name == onBuy {
			p.text(last, bl.head, "Order "+p.e.Currency.Code, look{bold: true, fill: inputPale, wrap: true, below: 2, right: true})
		}
	}
	for _, s := range p.sums {
		l := look{right: true}
		if s.what == "total" || s.terms < -1 {
			l.bold, l.above = true, 1
		}
		p.text(last-1, s.row, s.what, l)
		p.value(last, s.row, reports.Number(s.value), money, l)
	}
}

// sumColumn is the column of what orders come to, right of all others.
func (p *page) sumColumn() int {
	last := 0
	s := p.live.tables[onBuy]
	for j := range s.table.Columns {
		if s.shown[j] {
			last = max(last, s.colAt[j])
		}
	}
	return last + 1
}

// writeBuy ties what orders come to to their cells.
func writeBuy(l *live, p *page) {
	for _, s := range p.sums {
		b := &l.e.Batches[s.batch]
		cell := sum.Cell{Sheet: sheetBuy, Col: p.sumColumn(), Row: s.row}
		total := "total " + strconv.Itoa(b.Size)
		switch s.terms {
		case -1:
			refs := []string{l.ref(onOrders, total, "total")}
			for i := range l.e.Terms.Suppliers {
				if slices.ContainsFunc(b.Orders, func(o cost.Order) bool { return o.Terms == i }) {
					refs = append(refs, l.ref(onOrders, reports.RowKey(reports.KeyOrder, b.Size, i), "total"))
				}
			}
			l.put(cell, l.clean(strings.Join(refs, "-")))
		case -2:
			l.put(cell, l.ref(onOrders, total, "total"))
		default:
			var refs []string
			for _, key := range s.keys {
				refs = append(refs, l.ref(onOrders, reports.RowKey(reports.KeyOrder, b.Size, s.terms), key))
			}
			l.put(cell, l.clean(strings.Join(refs, "+")))
		}
	}
}

// movedTo shows beside an order code that the line now goes to another supplier than the
// block says.
func movedTo(l *live, row string, planned int) string {
	return fmt.Sprintf(`&IF(%s=%d,"",", now from "&%s)`, l.ref(onBuy, row, "Supplier no."), planned+1, l.ref(onBuy, row, "supplier"))
}
