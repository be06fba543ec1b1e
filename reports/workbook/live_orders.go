package workbook

import (
	"fmt"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/cost"
	"tenoff/reports"
)

// orderTerms are the working columns of Orders: 1 where the order is made, and
// the import tax that falls due whether it is recovered or not.
var orderTerms = []string{"Ordered", "Tax due"}

// orders works out what each order of a batch costs beside its goods (5.9 of the
// rules: delivery and its waiver, the top-up to the minimum, duty, tax, handling).
func (l *live) orders(b *cost.Batch) {
	placed := map[string]bool{}
	for i, o := range b.Orders {
		placed[o.Supplier] = true
		l.order(b, reports.RowKey(reports.KeyOrder, b.Size, i), l.supplier(o.Supplier), o, true)
	}
	if len(b.Orders) == 0 {
		return
	}
	for i, s := range l.e.Terms.Suppliers {
		if !placed[s.Name] {
			l.order(b, reports.RowKey(reports.KeyNone, b.Size, i), i, cost.Order{Supplier: s.Name, Currency: s.Currency}, false)
		}
	}
	l.total(onOrders, b.Size, "goods", "delivery", "topup", "consign", "duty", "tax", "handling", "total")
}

func (l *live) supplier(name string) int {
	for i, s := range l.e.Terms.Suppliers {
		if s.Name == name {
			return i
		}
	}
	return -1
}

func (l *live) order(b *cost.Batch, row string, supplier int, o cost.Order, placed bool) {
	if supplier < 0 {
		return
	}
	s := l.e.Terms.Suppliers[supplier]
	settings := l.e.Terms.Settings
	cell := func(col string) string { return l.ref(onOrders, row, col) }
	term := func(col string) string { return l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, 0, supplier), col) }
	rate, own := l.rate(s.Currency), s.Currency.Digits
	home := func(x string) string { return l.money(round(x, own) + "*" + rate) }
	sums := l.goodsOf(b, supplier)

	l.set(onOrders, row, "own", "ROUND("+sums.own+","+strconv.Itoa(int(own))+")")
	l.set(onOrders, row, "goods", l.clean(sums.cash))
	l.work(onOrders, row, "Ordered", "IF("+sums.lines+">0,1,0)", decimal.NewFromInt(oneIf(placed)))
	free := term("Free delivery over")
	l.set(onOrders, row, "delivery", fmt.Sprintf("IF(%s=0,0,IF(AND(ISNUMBER(%s),%s>=%s),0,%s))",
		cell("Ordered"), free, cell("own"), free, home(term("Delivery"))))
	least := round(term("Minimum order"), own)
	l.set(onOrders, row, "topup", fmt.Sprintf("IF(AND(%s=1,%s<%s),%s,0)", cell("Ordered"), cell("own"), least, home(least+"-"+cell("own"))))
	consign := "0"
	if s.Assembler {
		if span := l.span(onParts, "Consigned", b.Size); span != "" {
			consign = "SUM(" + span + ")*" + home(term("Consign fee per line"))
		}
	}
	l.set(onOrders, row, "consign", l.clean(consign))
	value := cell("goods")
	if settings.CIF {
		value += "+" + cell("delivery")
	}
	value = l.clean(value)
	l.set(onOrders, row, "duty", fmt.Sprintf("IF(AND(%s=1,%s>=%s),%s,0)", cell("Ordered"), value, term("Duty free under"), l.money(value+"*"+term("Duty %")+"/100")))
	due := fmt.Sprintf("IF(AND(%s=1,%s>=%s),%s,0)", cell("Ordered"), value, term("Tax free under"),
		l.money("("+cell("goods")+"+"+cell("delivery")+"+"+cell("duty")+")*"+term("Import tax %")+"/100"))
	l.work(onOrders, row, "Tax due", due, o.TaxDue)
	if settings.TaxRecovered {
		l.set(onOrders, row, "tax", "0*"+cell("Tax due"))
	} else {
		l.set(onOrders, row, "tax", cell("Tax due"))
	}
	l.set(onOrders, row, "handling", fmt.Sprintf("IF(OR(%s>0,%s>0),%s,0)", cell("duty"), cell("Tax due"), l.clean(term("Handling fee"))))
	l.set(onOrders, row, "lead", term("Lead days"))
	l.set(onOrders, row, "total", l.clean("SUM("+l.between(onOrders, row, "goods", "handling")+")"))
}

// between is a row's cells from one column to another.
func (l *live) between(table, row, from, to string) string {
	a, b := l.ref(table, row, from), l.ref(table, row, to)
	return a + ":" + b[len(quoted(table)):]
}

// orderSums are the sums that an order's goods come from: in the supplier's
// currency, at home, and a number that is above 0 where anything is ordered.
type orderSums struct{ own, cash, lines string }

func (l *live) goodsOf(b *cost.Batch, supplier int) orderSums {
	var out orderSums
	if numbers := l.span(onBuy, "Supplier no.", b.Size); numbers != "" {
		pick := func(col string) string {
			return fmt.Sprintf("SUMIF(%s,%d,%s)", numbers, supplier+1, l.span(onBuy, col, b.Size))
		}
		out = orderSums{pick("Own goods"), pick("cash"), pick("quantity")}
	} else {
		out = orderSums{"0", "0", "0"}
	}
	s := l.e.Terms.Suppliers[supplier]
	if !s.Assembler {
		return out
	}
	if s.ConsignPerLine.IsPositive() {
		if span := l.span(onParts, "Consigned", b.Size); span != "" {
			out.lines += "+SUM(" + span + ")"
		}
	}
	for i, f := range b.Fees {
		if f.Kind != cost.AssemblyFee || f.Unpriced {
			continue
		}
		row := reports.RowKey(reports.KeyFee, b.Size, i)
		cash := l.ref(onFees, row, "cash")
		out.cash += "+" + cash
		out.lines += "+1"
		if f.Currency.Code == s.Currency.Code {
			out.own += "+" + l.ref(onFees, row, "own")
		} else {
			out.own += "+" + round(cash+"/"+l.rate(s.Currency), s.Currency.Digits)
		}
	}
	return out
}

// fees works out fees from the rates of the assembler, the printers and the
// postal service.
func (l *live) fees(b *cost.Batch) {
	for i, f := range b.Fees {
		if f.Unpriced {
			continue
		}
		row := reports.RowKey(reports.KeyFee, b.Size, i)
		switch f.Kind {
		case cost.AssemblyFee:
			l.set(onFees, row, "own", round(l.assembly(b, f.Index), f.Currency.Digits))
		case cost.PostageFee:
			parcel := reports.RowKey(reports.KeyParcel, b.Size, f.Index)
			l.set(onParcel, parcel, "price", l.price("postage", func(s *cost.Source) bool { return s.Place == f.Place }))
			l.set(onFees, row, "own", round(l.ref(onParcel, parcel, "price")+"*"+l.ref(onParcel, parcel, "parcels"), f.Currency.Digits))
			l.set(onParcel, parcel, "cash", l.ref(onFees, row, "cash"))
		case cost.MachineFee:
			l.set(onFees, row, "own", l.ref(onPrint, reports.RowKey(reports.KeyPlate, b.Size, f.Index), "machine"))
		case cost.EnergyFee:
			l.set(onFees, row, "own", l.ref(onPrint, reports.RowKey(reports.KeyPlate, b.Size, f.Index), "energy"))
		}
		l.set(onFees, row, "cash", l.money(l.ref(onFees, row, "own")+"*"+l.rate(f.Currency)))
	}
	l.total(onFees, b.Size, "cash")
}

// assembly is what populating the boards of one type costs (5.5).
func (l *live) assembly(b *cost.Batch, board int) string {
	row := reports.RowKey(reports.KeyBoard, b.Size, board)
	cell := func(col string) string { return l.ref(onBoards, row, col) }
	a := l.e.Terms.Assembly
	sum := "0"
	for _, f := range []struct {
		heading string
		rate    decimal.Decimal
		times   string
	}{
		{"Set-up", a.SetUp, ""},
		{"Stencil", a.Stencil, "*" + cell("sides")},
		{"Second side", a.SecondSide, "*IF(" + cell("sides") + ">1,1,0)"},
		{"Per line", a.PerLine, "*" + cell("part lines")},
		{"Per placement", a.PerPlacement, "*" + cell("placements") + "*" + cell("starts")},
		{"Per joint", a.PerJoint, "*" + cell("joints") + "*" + cell("starts")},
	} {
		if !f.rate.IsZero() {
			sum += "+" + l.assemblyRate(f.heading) + f.times
		}
	}
	if a.Minimum.IsPositive() {
		return "MAX(" + sum + "," + l.assemblyRate("Minimum") + ")"
	}
	return sum
}

func (l *live) assemblyRate(heading string) string {
	a := l.e.Terms.Assembly
	ref := l.price("assembly", func(s *cost.Source) bool { return s.Name == a.Name+": "+heading })
	if l.gap {
		return "0"
	}
	return l.call("assembly "+heading, absolute(ref))
}
