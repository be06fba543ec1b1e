package workbook

import (
	"fmt"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/reports"
)

// build writes the formulas of a whole estimate. The tables must be laid out.
func (l *live) build() {
	l.split = map[splitKey][][3]portion{}
	l.suppliers()
	l.offers()
	l.sources()
	for i := range l.e.Batches {
		b := &l.e.Batches[i]
		l.printing(b)
		l.handWork(b)
		l.fees(b)
		l.buy(b)
		l.parts(b)
		l.orders(b)
		l.spread(b)
		l.categories(b)
		l.payers(b)
		l.leftOver(b)
		l.plan(b)
		l.answer(b)
		l.charging(b)
		l.check(b, i)
	}
	l.repeat(rowAnswer, reports.RowUnit)
	l.repeat(rowCash, reports.RowCash)
	l.repeat(rowDays, reports.RowReady)
	l.rangeNames()
}

// rangeNames names the columns of inputs.
func (l *live) rangeNames() {
	for _, n := range []struct{ name, table, col string }{
		{"buy_offer", onBuy, "offer"}, {"buy_quantity", onBuy, "quantity"},
		{"offer_from", onOffers, "from"}, {"offer_price", onOffers, "price"},
		{"supplier_delivery", onSuppliers, "Delivery"}, {"supplier_free_delivery_over", onSuppliers, "Free delivery over"},
		{"supplier_minimum_order", onSuppliers, "Minimum order"}, {"supplier_duty_percent", onSuppliers, "Duty %"},
		{"supplier_import_tax_percent", onSuppliers, "Import tax %"}, {"supplier_duty_free_under", onSuppliers, "Duty free under"},
		{"supplier_tax_free_under", onSuppliers, "Tax free under"}, {"supplier_handling_fee", onSuppliers, "Handling fee"},
		{"supplier_consign_fee", onSuppliers, "Consign fee per line"}, {"supplier_lead_days", onSuppliers, "Lead days"},
	} {
		if len(l.sheets[n.table].table.Rows) > 0 {
			l.call(n.name, l.column(n.table, n.col))
		}
	}
}

// categories adds up lines, fees, order charges and hand work.
func (l *live) categories(b *cost.Batch) {
	in := l.column(onLines, "category")
	orders := "total " + strconv.Itoa(b.Size)
	for _, c := range cost.Categories {
		row := c.String()
		var more []string
		switch c {
		case cost.HandWork:
			if len(b.Work) > 0 {
				more = append(more, l.ref(onWork, orders, "cash"))
			}
		default:
			if len(b.Orders) > 0 {
				more = l.charges(orders, c)
			}
		}
		for i, f := range b.Fees {
			if f.Category == c && f.Line() < 0 && !f.Unpriced {
				more = append(more, l.ref(onFees, reports.RowKey(reports.KeyFee, b.Size, i), "cash"))
			}
		}
		lines := func(col string) string {
			return fmt.Sprintf("SUMIF(%s,\"%s\",%s)", in, c, l.column(onLines, col))
		}
		spent := sumOf(more)
		l.setIn(onBatch, row, "cash", b.Size, l.clean(lines(columnKey("cash", b.Size))+"+"+spent))
		l.setIn(onBatch, row, "used", b.Size, l.clean(lines(columnKey("used", b.Size))+"+"+spent))
		l.setIn(onBatch, row, "drawer", b.Size, l.clean(lines(drawerCol(b.Size))))
		l.setIn(onBatch, row, "leftover", b.Size, l.clean(l.refIn(onBatch, row, "cash", b.Size)+"+"+
			l.refIn(onBatch, row, "drawer", b.Size)+"-"+l.refIn(onBatch, row, "used", b.Size)))
	}
	for _, col := range []string{"cash", "drawer", "used", "leftover"} {
		l.setIn(onBatch, "total", col, b.Size, l.clean("SUM("+l.column(onBatch, columnKey(col, b.Size))+")"))
	}
}

// leftOver repeats the rows of Parts that move stock.
func (l *live) leftOver(b *cost.Batch) {
	row := func(key string) {
		if _, _, ok := l.find(onLeft, key, "what"); !ok {
			return
		}
		for _, c := range [][2]string{{"demand", "demand"}, {"bought", "bought"}, {"leftover", "leftover"}, {"drawer", "drawer"}} {
			l.set(onLeft, key, c[0], l.ref(onParts, key, c[1]))
		}
		l.set(onLeft, key, "left", "ROUND("+l.ref(onLeft, key, "bought")+"-"+l.ref(onLeft, key, "demand")+",6)")
	}
	for i := range b.Boards {
		row(reports.RowKey(reports.KeyBoard, b.Size, i))
	}
	for i := range b.Parts {
		row(reports.RowKey(reports.KeyPart, b.Size, i))
	}
	total := "total " + strconv.Itoa(b.Size)
	l.set(onLeft, total, "leftover", l.refIn(onBatch, "total", "leftover", b.Size))
	l.set(onLeft, total, "drawer", l.refIn(onBatch, "total", "drawer", b.Size))
}

// answer is the unit cost, by category and in all, and the price to charge.
func (l *live) answer(b *cost.Batch) {
	unit := func(row, from, col string) {
		l.setIn(onUnit, row, "value", b.Size, perUnit(l.refIn(onBatch, from, col, b.Size), b.Size))
	}
	for _, c := range cost.Categories {
		unit(c.String(), c.String(), "used")
	}
	unit(reports.RowUnit, "total", "used")
	unit(reports.RowCashUnit, "total", "cash")
	for _, r := range [][2]string{{reports.RowCash, "cash"}, {reports.RowLeftover, "leftover"}, {reports.RowDrawer, "drawer"}} {
		l.setIn(onUnit, r[0], "value", b.Size, l.refIn(onBatch, "total", r[1], b.Size))
	}
	total := "total " + strconv.Itoa(b.Size)
	if len(b.Work) > 0 {
		l.setIn(onUnit, reports.RowWork, "value", b.Size, l.ref(onWork, total, "hours"))
	}
	if len(b.Plates) > 0 {
		l.setIn(onUnit, reports.RowPrinting, "value", b.Size, l.ref(onPrint, total, "hours"))
		l.setIn(onUnit, reports.RowFilament, "value", b.Size, l.ref(onPrint, total, "filament"))
	}
	if span := l.span(onOrders, "Ordered", b.Size); span != "" {
		l.setIn(onUnit, reports.RowOrders, "value", b.Size, "SUM("+span+")")
	}
	if len(b.Plan.Tasks) > 0 {
		l.setIn(onUnit, reports.RowReady, "value", b.Size, wholeDay(l.ref(onPlan, total, "end")))
	}
	l.setIn(onUnit, reports.RowPrice, "value", b.Size, l.charge(b))
	l.quote(b)
}

// quote is the price to charge, of one unit and of all; where recipients are
// asked for their share, that and what a unit is worth.
func (l *live) quote(b *cost.Batch) {
	row := reports.RowKey(reports.KeyQuote, b.Size, 0)
	units := l.ref(onQuote, row, "batch")
	price, postage := l.charge(b), l.refIn(onBatch, cost.Postage.String(), "cash", b.Size)
	if who := b.Ask.Payer; who != "" {
		price, postage = l.refIn(onPays, reports.RowAsked, "cash", b.Size), "0"
		if bears := who + " " + cost.Postage.String(); l.has(onPays, bears, columnKey("cash", b.Size)) {
			postage = l.refIn(onPays, bears, "cash", b.Size)
		}
		l.set(onQuote, row, "value", l.money(l.refIn(onBatch, "total", "used", b.Size)+"/"+units))
	}
	l.set(onQuote, row, "price", price)
	l.set(onQuote, row, "total", l.clean(l.ref(onQuote, row, "price")+"*"+units))
	l.set(onQuote, row, "postage", l.money(postage+"/"+units))
}

// Words of the check row.
const (
	checked     = "adds up"
	uncheckable = "?"
)

// check compares sums that come by different ways: categories with orders, fees
// and hand work; what is used and left over with what is paid and drawn; what
// the payers bear with the cash. It also tells where too little is bought.
func (l *live) check(b *cost.Batch, i int) {
	at := spot{rowCheck, l.sheets[onUnit].table.Lead + 1 + i}
	if b.Total.Unpriced {
		l.sheets[onUnit].working[at] = reports.Text(uncheckable)
		return
	}
	total := "total " + strconv.Itoa(b.Size)
	sum := func(col string) string { return l.refIn(onBatch, "total", col, b.Size) }
	var paid, left []string
	if len(b.Orders) > 0 {
		paid = append(paid, l.ref(onOrders, total, "total"))
	}
	for j, f := range b.Fees {
		if f.Kind != cost.AssemblyFee {
			paid = append(paid, l.ref(onFees, reports.RowKey(reports.KeyFee, b.Size, j), "cash"))
		}
	}
	if len(b.Work) > 0 {
		paid = append(paid, l.ref(onWork, total, "cash"))
	}
	if len(b.Purchases) > 0 {
		left = append(left, l.ref(onBuy, total, "leftover"))
	}
	drawer := "0"
	text := "\"" + checked + "\""
	off := func(a, b, word string) {
		text = fmt.Sprintf("IF(ABS(%s-(%s))>%s,\"%s\",%s)", a, b, l.minor("0.5"), word, text)
	}
	if span := l.span(onParts, "drawer", b.Size); span != "" {
		drawer = "SUM(" + span + ")"
	}
	for _, col := range shareCols {
		off(sum(col), l.refIn(onPays, "total", col, b.Size), "payers do not add up")
	}
	off(sum("cash")+"+"+drawer, sum("used")+"+"+sumOf(left), "stock does not add up")
	off(sum("cash"), sumOf(paid), "orders do not add up")
	if span := l.span(onParts, "Short", b.Size); span != "" {
		text = "IF(SUM(" + span + ")>0,\"not enough bought\"," + text + ")"
	}
	l.word(onUnit, at, text, checked)
}

// minor is a part of a minor unit, written out.
func (l *live) minor(part string) string {
	return decimal.RequireFromString(part).Shift(-l.home).String()
}

// charge is the price to ask for one unit (5.10).
func (l *live) charge(b *cost.Batch) string {
	return l.priceFor(l.refIn(onBatch, "total", "used", b.Size), b.Size, l.setting("Payment fee %")+"-"+l.setting("Margin %"))
}

// priceFor is the price of which the part of an amount that falls on one unit is
// left after the fixed fee and shares of the price in %, rounded up to the step.
func (l *live) priceFor(amount string, size int, shares string) string {
	set := l.setting("Round price up to")
	step := fmt.Sprintf("IF(%s>0,%s,%s)", set, set, l.minor("1"))
	left := "(100-" + shares + ")"
	cost := fmt.Sprintf("(%s+%s*%d)*100", amount, l.setting("Payment fee fixed"), size)
	return l.clean(fmt.Sprintf("IF(%s>0,-INT(-ROUND(%s/(%s*%d*%s),9))*%s,0)", left, cost, left, size, step, step))
}

// fee is what one payment of a price costs, exactly.
func (l *live) fee(price string) string {
	return fmt.Sprintf("(%s*%s/100+%s)", price, l.setting("Payment fee %"), l.setting("Payment fee fixed"))
}

// charging shows the parts of the price to charge, and what stays of it and of a
// given price.
func (l *live) charging(b *cost.Batch) {
	set := func(row, text string) { l.setIn(onCharge, row, "value", b.Size, text) }
	cell := func(row string) string { return l.refIn(onCharge, row, "value", b.Size) }
	if l.has(onCharge, reports.RowPrice, columnKey("value", b.Size)) {
		set(reports.RowUnit, l.refIn(onUnit, reports.RowUnit, "value", b.Size))
		set(reports.RowPrice, l.charge(b))
		set(reports.RowFee, l.fee(cell(reports.RowPrice)))
		set(reports.RowMargin, cell(reports.RowPrice)+"*"+l.setting("Margin %")+"/100")
		set(reports.RowRounding, fmt.Sprintf("%s-%s-%s-%s", cell(reports.RowPrice), cell(reports.RowUnit), cell(reports.RowFee), cell(reports.RowMargin)))
		l.income(b, cell(reports.RowPrice), func(key string) string { return key })
	}
	if p := l.e.Pricing; p != nil {
		set(reports.AtPrice(reports.RowFee), l.fee(p.Price.String()))
		l.income(b, p.Price.String(), reports.AtPrice)
	}
}

// income is what comes in at a price and what of it stays.
func (l *live) income(b *cost.Batch, price string, key func(string) string) {
	net := key(reports.RowNet)
	cell := func(row string) string { return l.refIn(onCharge, row, "value", b.Size) }
	l.setIn(onCharge, net, "value", b.Size, l.clean(fmt.Sprintf("%s*%d-%s", price, b.Size, l.money(fmt.Sprintf("%s*%d", l.fee(price), b.Size)))))
	less := func(row, from string) {
		l.setIn(onCharge, row, "value", b.Size, l.clean(cell(net)+"-"+from))
		l.setIn(onCharge, reports.UnitOf(row), "value", b.Size, perUnit(cell(row), b.Size))
	}
	less(key(reports.RowStays), l.refIn(onPays, "total "+cost.Maker, "cash", b.Size))
	less(key(reports.RowOver), l.refIn(onBatch, "total", "used", b.Size))
}
