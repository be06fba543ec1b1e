package workbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// Words of the check row.
const (
	checked     = "OK"
	uncheckable = "?"
)

// Working columns that find what an edit breaks: a text that names the cell and what is
// wrong with it, empty where nothing is, and 1 where there is such a text.
const (
	faultSays = "What is wrong"
	fault     = "Wrong"

	offerPart  = "Part of the offer"
	offerLeast = "MOQ"
	offerTimes = "Multiple"
	offerMost  = "Stock" // empty where there is no limit
)

// cases is a chain of conditions with what each says; the first that holds counts.
type cases []struct{ when, says string }

func (c cases) formula() string {
	text := `""`
	for i := len(c) - 1; i >= 0; i-- {
		text = "IF(" + c[i].when + "," + c[i].says + "," + text + ")"
	}
	return text
}

// faults fills in the working columns of a row.
func faults(l *live, table, row string, c cases) {
	l.workText(table, row, faultSays, c.formula(), "")
	l.work(table, row, fault, "IF("+l.ref(table, row, faultSays)+`="",0,1)`, decimal.Zero)
}

// plainRef is the address of a figure as people read it.
func (l *live) plainRef(table, row, col string) string {
	return strings.ReplaceAll(l.ref(table, row, col), "'", "")
}

// writeFaults finds order lines of a batch that cannot be ordered as they stand, and parts
// of which too few are bought.
func writeFaults(l *live, b *cost.Batch) {
	n := len(l.e.Terms.Offers)
	for i, p := range b.Purchases {
		if p.Unpriced {
			continue
		}
		row := reports.RowKey(reports.KeyBuy, b.ID(), i)
		ref := func(col string) string { return l.ref(onBuy, row, col) }
		of := func(col string) string { return "INDEX(" + l.column(onOffers, col) + "," + ref("Price row") + ")" }
		offer, quantity := ref("offer"), ref("quantity")
		o := &l.e.Terms.Offers[p.Offer-1]
		number := func(n int64) decimal.Decimal { return decimal.NewFromInt(n) }
		l.work(onBuy, row, offerPart, of("Part no."), number(int64(thingNo(o.Kind, o.Index))))
		l.work(onBuy, row, offerLeast, of("moq"), number(o.MOQ))
		l.work(onBuy, row, offerTimes, of("multiple"), number(o.Multiple))
		if most := "IF(ISNUMBER(" + of("most") + ")," + of("most") + `,"")`; o.Most < 0 {
			l.workText(onBuy, row, offerMost, most, "")
		} else {
			l.work(onBuy, row, offerMost, most, number(o.Most))
		}
		says := func(col, what string) string { return `"` + l.plainRef(onBuy, row, col) + " " + what + `"` }
		where := func(col, what string) string { // in Inputs, in the row of the price
			s, c := l.columnOf(onOffers, col)
			return fmt.Sprintf(`"%s!%s"&(%d+%s)&" %s"`, s.sheet, bom.ColumnLetters(s.colAt[c-1]), s.body[0]-1, ref("Price row"), what)
		}
		words := func(col string) struct{ when, says string } {
			return struct{ when, says string }{"ISTEXT(" + of(col) + ")", where(col, "is no number")}
		}
		over := "IF(ISNUMBER(" + l.refOf(onBuy, row, offerMost) + "),SUMIF(" + l.span(onBuy, "offer", b.ID()) + "," + offer + "," + l.span(onBuy, "quantity", b.ID()) +
			")>" + l.refOf(onBuy, row, offerMost) + ",1=0)"
		faults(l, onBuy, row, cases{
			{"NOT(ISNUMBER(" + offer + "))", says("offer", "is no number of an offer")},
			{fmt.Sprintf("OR(%s<1,%s>%d,INT(%s)<>%s)", offer, offer, n, offer, offer), says("offer", "is no offer that there is")},
			{"NOT(ISNUMBER(" + quantity + "))", says("quantity", "is no order quantity")},
			{"OR(" + quantity + "<0,INT(" + quantity + ")<>" + quantity + ")", says("quantity", "is not a whole number")},
			{ref(offerPart) + "<>" + strconv.Itoa(thingNo(p.Kind, p.Index)), says("offer", `is an offer of another part than "&`+ref("part")+`&"`)},
			{quantity + "=0", `""`},
			{quantity + "<" + ref(offerLeast), says("quantity", `is under the MOQ of "&`+ref(offerLeast)+`&"`)},
			{"ABS(" + quantity + "/" + ref(offerTimes) + "-ROUND(" + quantity + "/" + ref(offerTimes) + ",0))>0.000001", says("quantity", `is no multiple of "&`+ref(offerTimes)+`&"`)},
			{over, says("quantity", `is over the stock of "&`+l.refOf(onBuy, row, offerMost)+`&"`)},
			{"NOT(ISNUMBER(" + of("price") + "))", where("price", "has no price")},
			{of("price") + "<0", where("price", "is below nothing")},
			words("setup"), words("Line fee"), words("Duty %"),
		})
	}
	for i := range b.Boards {
		if b.Boards[i].Idle() {
			continue
		}
		shortFault(l, b, reports.RowKey(reports.KeyBoard, b.ID(), i), firstOf(b, true, i))
	}
	for i := range b.Parts {
		shortFault(l, b, reports.RowKey(reports.KeyPart, b.ID(), i), firstOf(b, false, i))
	}
}

// thingNo tells what a purchase or an offer is of from others.
func thingNo(kind string, index int) int {
	if kind == cost.Lots {
		return -1 - index
	}
	return 1 + index
}

// firstOf is the first purchase of a part or board; -1 where there is none.
func firstOf(b *cost.Batch, lots bool, index int) int {
	return slices.IndexFunc(b.Purchases, func(p cost.Purchase) bool { return (p.Kind == cost.Lots) == lots && p.Index == index && !p.Unpriced })
}

// shortFault finds a part of which less is bought than is required.
func shortFault(l *live, b *cost.Batch, row string, purchase int) {
	if purchase < 0 {
		return
	}
	at := l.plainRef(onBuy, reports.RowKey(reports.KeyBuy, b.ID(), purchase), "quantity")
	demand, bought := l.ref(onParts, row, "demand"), l.ref(onParts, row, "bought")
	faults(l, onParts, row, cases{{l.ref(onParts, row, "Short") + ">0",
		`"` + at + ` is too few: "&ROUND(` + demand + "-" + bought + `,6)&" more of "&` + l.ref(onParts, row, "part")}})
}

// writePriceFaults finds prices, rates and settings that were emptied or are no figures.
func writePriceFaults(l *live) {
	for i := range l.e.Sources {
		row := reports.RowKey(reports.KeySource, "", i)
		if s, at, ok := l.find(onPrices, row, "value"); ok && s.inputs[at] {
			faults(l, onPrices, row, append(figureFault(l, onPrices, row, "value", false), boundFault(l, &l.e.Sources[i], row)...))
		}
	}
	for i := range l.e.Terms.Suppliers {
		row := reports.RowKey(reports.KeyTerms, "", i)
		var all cases
		for _, c := range l.tables[onSuppliers].table.Columns {
			if s, at, ok := l.find(onSuppliers, row, c.Key); ok && s.inputs[at] {
				all = append(all, figureFault(l, onSuppliers, row, c.Key, c.Key != "Lead days")...)
			}
		}
		faults(l, onSuppliers, row, all)
	}
	for _, b := range bom.Refs(l.e.Batches) {
		for j := range b.Plan.Tasks {
			row := taskKey(b, j)
			if s, at, ok := l.find(onPlan, row, "days"); ok && s.inputs[at] {
				faults(l, onPlan, row, figureFault(l, onPlan, row, "days", false))
			}
		}
	}
}

// boundFault finds a figure that the price sheet would refuse: a rate or a day's hours of 0,
// and shares of all or more.
func boundFault(l *live, s *cost.Source, row string) cases {
	ref, says := l.refOf(onPrices, row, "value"), `"`+l.plainOf(onPrices, row, "value")
	switch {
	case s.What == "exchange" || s.Name == "Bench hours per day": // which is divided by
		return cases{{ref + "=0", says + ` is not over 0"`}}
	case s.What == "printer" && strings.HasSuffix(s.Name, ": Failure %"):
		return cases{{"AND(ISNUMBER(" + ref + ")," + ref + ">=100)", says + ` is not under 100"`}}
	case s.What == "setting" && s.Name == "Margin %":
		fee, tax := l.setting("Payment fee %"), l.setting("Sales tax %")
		taken := ref + "+" + fee + "*(1+" + tax + "/100)"
		return cases{{"IF(AND(ISNUMBER(" + ref + "),ISNUMBER(" + fee + "),ISNUMBER(" + tax + "))," + taken + ">=100,1=0)", says + ` leaves nothing of the price with the payment fee"`}}
	case s.What == "setting" && s.Unit == "%" && s.Name != "Sales tax %":
		return cases{{"AND(ISNUMBER(" + ref + ")," + ref + ">100)", says + ` is over 100"`}}
	}
	return nil
}

// figureFault finds a cell that is no figure, or one below nothing; blank tells whether it
// may be left empty.
func figureFault(l *live, table, row, col string, blank bool) cases {
	ref, says := l.refOf(table, row, col), `"`+l.plainOf(table, row, col)
	no := "NOT(ISNUMBER(" + ref + "))"
	if blank {
		no = "AND(" + no + "," + ref + `<>"")`
	}
	return cases{{no, says + ` is no figure"`}, {"AND(ISNUMBER(" + ref + ")," + ref + "<0)", says + ` is below nothing"`}}
}

// refOf is the address of a cell, whether it holds a figure or not.
func (l *live) refOf(table, row, col string) string {
	s, at, _ := l.find(table, row, col)
	return address(s.cell(at))
}

func (l *live) plainOf(table, row, col string) string {
	return strings.ReplaceAll(l.refOf(table, row, col), "'", "")
}

// writeCheck finds what is wrong in a batch: what an edit broke, by the cell that is to
// blame, then sums that come by different ways and differ: categories with orders, fees and
// hand work; what is consumed and surplus with what is paid, worked and taken from stock;
// what the payers bear with the batch.
func writeCheck(l *live, first *summary, i int) {
	b, cell := &l.e.Batches[i], first.of(first.check, i)
	if b.Total.Unpriced {
		return
	}
	text := `"` + checked + `"`
	for _, x := range slices.Backward(identities(l, b)) {
		text = fmt.Sprintf(`IF(ABS(%s-(%s))>%s,"does not add up: %s",%s)`, x.a, x.b, l.minor("0.5"), x.what, text)
	}
	find := func(says, wrong string) {
		if says != "" {
			text = "IF(SUM(" + wrong + ")>0,INDEX(" + says + ",MATCH(1," + wrong + ",0))," + text + ")"
		}
	}
	find(l.span(onPlan, faultSays, b.ID()), l.span(onPlan, fault, b.ID()))
	find(l.columnIf(onSuppliers, faultSays), l.columnIf(onSuppliers, fault))
	find(l.columnIf(onPrices, faultSays), l.columnIf(onPrices, fault))
	find(l.span(onParts, faultSays, b.ID()), l.span(onParts, fault, b.ID()))
	find(l.span(onBuy, faultSays, b.ID()), l.span(onBuy, fault, b.ID()))
	l.say(cell, text, checked)
}

// columnIf is a column of a table that has rows.
func (l *live) columnIf(table, col string) string {
	if len(l.tables[table].table.Rows) == 0 {
		return ""
	}
	return l.column(table, col)
}

// identity is two sums that must be the same.
type identity struct{ a, b, what string }

func identities(l *live, b *cost.Batch) (all []identity) {
	total := reports.TotalKey(b.ID())
	amount := func(col string) string {
		if !slices.Contains(l.amounts, col) {
			return "0"
		}
		return l.refIn(onBatch, "total", col, b.ID())
	}
	var paid, worked []string
	if len(b.Orders) > 0 {
		paid = append(paid, l.ref(onOrders, total, "total"))
	}
	for j, f := range b.Fees {
		row := reports.RowKey(reports.KeyFee, b.ID(), j)
		if f.Kind != cost.AssemblyFee {
			paid, worked = append(paid, l.ref(onFees, row, "cash")), append(worked, l.ref(onFees, row, "own"))
		}
	}
	if len(b.Work) > 0 {
		paid, worked = append(paid, l.ref(onWork, total, "cash")), append(worked, l.ref(onWork, total, "own"))
	}
	stock, surplus := l.allOf(onParts, "stock", b.ID()), l.allOf(onBuy, "surplus", b.ID())
	if l.tables[onFees].cols["surplus"] > 0 {
		stock, surplus = stock+"+"+l.allOf(onFees, "stock", b.ID()), surplus+"+"+l.allOf(onFees, "surplus", b.ID())
	}
	all = append(all, identity{amount("own"), sumOf(worked), "own work with the operations"}, identity{amount("cash"), sumOf(paid), "cash out with the orders"},
		identity{amount("cash") + "+" + amount("own") + "+" + stock, amount("consumed") + "+" + surplus + "+" + amount("reclaim"), "stock with what is bought and consumed"})
	for _, col := range l.amounts {
		all = append(all, identity{amount(col), l.refIn(onPays, "total", col, b.ID()), "the payers, " + col})
	}
	return all
}
