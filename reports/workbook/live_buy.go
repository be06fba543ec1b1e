package workbook

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// buyTerms are the working columns of To buy: where the offer's price stands
// among the breaks, its supplier, what its currency is worth, and the goods in
// the supplier's own currency.
var buyTerms = []string{"Price row", "Supplier no.", "Rate", "Own goods"}

// buy prices the purchases of a batch from the offer and the quantity, which are
// the decisions.
func (l *live) buy(b *cost.Batch) {
	for i, p := range b.Purchases {
		if p.Unpriced || p.Offer == 0 {
			continue
		}
		row := reports.RowKey(reports.KeyBuy, b.Size, i)
		l.input(onBuy, row, "offer", "quantity")
		cell := func(col string) string { return l.ref(onBuy, row, col) }
		at, o := l.breakOf(p)
		s := l.e.Terms.Suppliers[o.Supplier]
		l.work(onBuy, row, "Price row", fmt.Sprintf("MATCH(%s*%d+%s,%s,1)", cell("offer"), keyStep, cell("quantity"), l.column(onOffers, "Key")), decimal.NewFromInt(int64(at)))
		pick := func(col string) string {
			return "INDEX(" + l.column(onOffers, col) + "," + cell("Price row") + ")"
		}
		l.work(onBuy, row, "Supplier no.", pick("Supplier no."), decimal.NewFromInt(int64(o.Supplier+1)))
		l.work(onBuy, row, "Rate", pick("Rate"), l.rateOf(o.Currency))
		l.set(onBuy, row, "supplier", pick("supplier"))
		l.set(onBuy, row, "code", pick("code")+`&""`)
		l.set(onBuy, row, "currency", pick("currency"))
		l.set(onBuy, row, "pieces", pick("pieces"))
		l.set(onBuy, row, "setup", pick("setup"))
		l.set(onBuy, row, "price", pick("price"))
		l.set(onBuy, row, "lead", "INDEX("+l.column(onSuppliers, "Lead days")+","+cell("Supplier no.")+")")
		l.set(onBuy, row, "goods", fmt.Sprintf("ROUND(ROUND(%s+%s*%s,9),%s)", pick("setup"), cell("quantity"), cell("price"), pick("Digits")))
		l.set(onBuy, row, "cash", l.money(cell("goods")+"*"+cell("Rate")))
		own := p.Goods
		if o.Currency.Code != s.Currency.Code {
			own = p.Cash.DivRound(l.rateOf(s.Currency), s.Currency.Digits)
		}
		l.work(onBuy, row, "Own goods", fmt.Sprintf("IF(%s=1,%s,ROUND(ROUND(%s/%s,9),%s))",
			pick("Own currency"), cell("goods"), cell("cash"), pick("Supplier's rate"), pick("Supplier's digits")), own)
		l.set(onBuy, row, "leftover", l.clean(cell("cash")+"-"+cell("used")))
	}
	l.total(onBuy, b.Size, "cash", "used", "leftover")
}

// breakOf is the break that a purchase is priced by, counted from 1 among all.
func (l *live) breakOf(p cost.Purchase) (int, cost.Offer) {
	o := l.e.Terms.Offers[p.Offer-1]
	n := 0
	for _, b := range o.Breaks {
		if n == 0 || b.From <= p.Quantity {
			n++
		}
	}
	return l.firstBreak[p.Offer-1] + n, o
}

// partTerms are the working columns of Parts: what of the cash is used, 1 where
// the part costs a consign fee, and 1 where less is bought than has to be.
var partTerms = []string{"Used of cash", "Consigned", "Short"}

// parts adds up what is bought of each part and board, and what is used of it.
func (l *live) parts(b *cost.Batch) {
	lines := map[string][]int{}
	for i, p := range b.Purchases {
		row := partRow(b.Size, p)
		lines[row] = append(lines[row], i)
		l.set(onBuy, reports.RowKey(reports.KeyBuy, b.Size, i), "demand", l.ref(onParts, row, "demand"))
	}
	for i, r := range b.Boards {
		l.part(b, reports.RowKey(reports.KeyBoard, b.Size, i), r.Amounts, l.e.Boards[i].Drawn, lines)
	}
	for i, r := range b.Parts {
		row := reports.RowKey(reports.KeyPart, b.Size, i)
		if weights := l.filament(b, i); weights != nil {
			l.set(onParts, row, "need", "ROUND("+sumOf(weights)+",6)")
		}
		l.part(b, row, r.Amounts, l.e.Parts[i].Drawn, lines)
		if l.e.Parts[i].Machine {
			l.consign(b, row, lines[row])
		}
	}
}

func partRow(size int, p cost.Purchase) string {
	if p.Kind == cost.Lots {
		return reports.RowKey(reports.KeyBoard, size, p.Index)
	}
	return reports.RowKey(reports.KeyPart, size, p.Index)
}

// filament lists the cells of the grams that the plates of a material take.
func (l *live) filament(b *cost.Batch, part int) []string {
	var out []string
	for i, p := range b.Plates {
		if l.e.Entries[p.Entry].Part == part {
			out = append(out, "ROUND("+l.ref(onPrint, reports.RowKey(reports.KeyPlate, b.Size, i), "filament")+",6)")
		}
	}
	return out
}

func (l *live) part(b *cost.Batch, row string, a cost.Amounts, drawn bom.Place, lines map[string][]int) {
	cell := func(col string) string { return l.ref(onParts, row, col) }
	if a.Unpriced {
		return
	}
	var bought, cash []string
	for _, i := range lines[row] {
		buy := reports.RowKey(reports.KeyBuy, b.Size, i)
		bought = append(bought, l.ref(onBuy, buy, "quantity")+"*"+l.ref(onBuy, buy, "pieces"))
		cash = append(cash, l.ref(onBuy, buy, "cash"))
	}
	l.set(onParts, row, "demand", "ROUND(MAX(0,"+cell("need")+"+"+cell("spares")+"-"+cell("on hand")+"),6)")
	l.set(onParts, row, "drawer", l.money(cell("on hand")+"*"+l.worth(drawn)))
	l.gap = false
	l.set(onParts, row, "bought", "ROUND("+sumOf(bought)+",6)")
	l.set(onParts, row, "cash", l.clean(sumOf(cash)))
	l.work(onParts, row, "Used of cash", fmt.Sprintf("IF(%s=0,0,%s)", cell("bought"),
		l.money(fmt.Sprintf("%s*MIN(%s,%s)/%s", cell("cash"), cell("demand"), cell("bought"), cell("bought")))), a.Used.Sub(a.Drawer))
	l.work(onParts, row, "Short", "IF("+cell("bought")+"<"+cell("demand")+",1,0)", decimal.Zero)
	l.set(onParts, row, "used", l.clean(cell("Used of cash")+"+"+cell("drawer")))
	l.set(onParts, row, "leftover", l.clean(cell("cash")+"-"+cell("Used of cash")))
	l.usedOf(b, row, lines[row], a)
}

// worth is the value of one on hand.
func (l *live) worth(drawn bom.Place) string {
	i, ok := l.drawn[drawn]
	return l.priceOf(reports.RowKey(reports.KeySource, 0, i), ok)
}

// usedOf shares what is used of a part's cash out over its purchases, by cash.
func (l *live) usedOf(b *cost.Batch, row string, lines []int, a cost.Amounts) {
	if len(lines) == 0 {
		return
	}
	used := func(i int) string { return reports.RowKey(reports.KeyBuy, b.Size, i) }
	total := portion{figure: a.Used.Sub(a.Drawer), ref: l.ref(onParts, row, "Used of cash")}
	if len(lines) == 1 {
		l.set(onBuy, used(lines[0]), "used", total.ref)
		return
	}
	d := division{size: b.Size, of: b.Purchases[lines[0]].Part + ", used", totals: [3]portion{1: total}}
	for _, i := range lines {
		p := b.Purchases[i]
		d.to = append(d.to, strings.TrimSpace(p.Supplier+" "+p.OrderCode))
		d.weights = append(d.weights, portion{figure: p.Cash, ref: l.ref(onBuy, used(i), "cash")})
	}
	for j, refs := range l.divide(d) {
		l.set(onBuy, used(lines[j]), "used", refs[1].ref)
	}
}

// consign marks a machine-placed part that costs a fee: unless the assembler
// sells all that is bought of it.
func (l *live) consign(b *cost.Batch, row string, lines []int) {
	assembler := l.assembler()
	if assembler < 0 {
		return
	}
	var all, others []string
	sold := true // by the assembler
	for _, i := range lines {
		buy := reports.RowKey(reports.KeyBuy, b.Size, i)
		quantity := l.ref(onBuy, buy, "quantity")
		all = append(all, quantity)
		others = append(others, fmt.Sprintf("IF(%s=%d,0,%s)", l.ref(onBuy, buy, "Supplier no."), assembler+1, quantity))
		sold = sold && b.Purchases[i].Supplier == l.e.Terms.Suppliers[assembler].Name
	}
	if len(lines) == 0 {
		l.constant(onParts, row, "Consigned", decimal.NewFromInt(1))
		return
	}
	l.work(onParts, row, "Consigned", fmt.Sprintf("IF(AND(%s>0,%s=0),0,1)", sumOf(all), sumOf(others)), decimal.NewFromInt(oneIf(!sold)))
}

// assembler is the index of the supplier that places the parts, -1 for none.
func (l *live) assembler() int {
	for i, s := range l.e.Terms.Suppliers {
		if s.Assembler {
			return i
		}
	}
	return -1
}
