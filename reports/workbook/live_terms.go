package workbook

import (
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// Names of the tables.
const (
	onUnit      = "Unit cost"
	onBatch     = "Batch cost"
	onProducts  = reports.ProductsName
	onMade      = reports.ProductCostsName
	onEach      = "Unit cost by product"
	onLines     = "Lines"
	onParts     = "Parts"
	onBuy       = "To buy"
	onOrders    = "Orders"
	onBoards    = "Boards"
	onMakings   = "Assembly"
	onPrint     = "To print"
	onSpools    = "Spools"
	onWork      = "Hand work"
	onPlan      = reports.PlanName
	onFees      = "Fees"
	onParcel    = "Parcel"
	onPays      = "Who pays"
	onCharge    = "Charge"
	onEven      = "Break-even"
	onLeft      = "Surplus"
	onOffers    = "Offers"
	onSuppliers = "Suppliers"
	onPrices    = "Prices used"
	onShares    = "Shares"
	onPick      = "Pick list"
	onCutting   = "Cutting list"
	onFit       = "Fit order"
	onScrews    = "Screws"
	onBags      = "Bags"
	onSteps     = "Cost steps"
	onRisk      = "Risk"
	onNotes     = "Warnings"
	onThin      = "May run out"
	onRules     = "Rules"
	onSwaps     = "Substitutes"
	onLeftOut   = "Suppliers left out"
	onOther     = "Second sources"
	onLevels    = "Levels"
	onGroups    = "Unit cost by group"
	onFind      = "Cash by payer"
	onSides     = "Unit cost by level"
)

// source finds the row of Prices used that holds a figure.
func (l *live) source(what string, match func(s *cost.Source) bool) (row string, ok bool) {
	for _, i := range l.read[what] {
		if match(&l.e.Sources[i]) {
			return reports.RowKey(reports.KeySource, "", i), true
		}
	}
	return "", false
}

// setting is the name of a setting's cell.
func (l *live) setting(what string) string {
	row, ok := l.source("setting", func(s *cost.Source) bool { return s.Name == what })
	return l.figureIn(l.nameFigure(what, row, ok))
}

// rate is what one unit of a currency is worth at home.
func (l *live) rate(c bom.Currency) string {
	if c.Code == l.e.Currency.Code {
		return "1"
	}
	row, ok := l.source("exchange", func(s *cost.Source) bool { return s.Name == c.Code })
	return l.figureIn(l.nameFigure("rate_"+c.Code, row, ok))
}

// figureIn is the name or address of the figure in a row of Prices used, which becomes
// an input; "0" and a gap where it is not listed.
func (l *live) figureIn(row string, ok bool) string {
	cell, there := l.cellAt(onPrices, row, "value")
	if !ok || !there {
		l.gap = true
		return "0"
	}
	l.input(onPrices, row, "value")
	if name := l.cellNames[cell]; name != "" {
		return name
	}
	return l.ref(onPrices, row, "value")
}

// offerTerms are the working columns of Offers: the key, the supplier's number,
// what the offer's currency is worth, and how its goods count towards the
// supplier's own sum.
var offerTerms = []string{"Key", "Supplier no.", "Rate", "Digits", "Own currency", "Supplier's rate", "Supplier's digits", "Surplus worth %", "Heading no.", "Duty of its own", "Part no."}

func writeOffers(l *live) {
	n := 0
	count := decimal.NewFromInt
	for i, o := range l.e.Terms.Offers {
		s := l.e.Terms.Suppliers[o.Supplier]
		own := o.Currency.Code == s.Currency.Code
		for j, b := range o.Breaks {
			row := reports.RowKey(reports.KeyBreak, "", n)
			n++
			l.input(onOffers, row, "price", "setup")
			from, text := int64(0), l.ref(onOffers, row, "number")+"*"+strconv.FormatInt(cost.OfferStep, 10)
			if j > 0 { // the first break holds below its own quantity as well
				l.input(onOffers, row, "from")
				from, text = b.From, text+"+"+l.ref(onOffers, row, "from")
			}
			l.work(onOffers, row, "Key", text, count(int64(i+1)*cost.OfferStep+from))
			l.constant(onOffers, row, "Supplier no.", count(int64(o.Supplier+1)))
			l.work(onOffers, row, "Rate", l.rate(o.Currency), l.rateOf(o.Currency))
			l.constant(onOffers, row, "Part no.", count(int64(thingNo(o.Kind, o.Index))))
			l.constant(onOffers, row, "Digits", count(int64(o.Currency.Digits)))
			l.constant(onOffers, row, "Own currency", count(oneIf(own)))
			l.work(onOffers, row, "Supplier's rate", l.rate(s.Currency), l.rateOf(s.Currency))
			l.constant(onOffers, row, "Supplier's digits", count(int64(s.Currency.Digits)))
			if o.Worth.Setting != "" {
				l.work(onOffers, row, "Surplus worth %", l.setting(o.Worth.Setting), o.Worth.Percent)
			} else {
				l.constant(onOffers, row, "Surplus worth %", o.Worth.Percent)
			}
			l.constant(onOffers, row, "Heading no.", count(int64(o.Heading)))
			l.constant(onOffers, row, "Duty of its own", count(oneIf(o.Duty.Valid)))
			l.input(onOffers, row, "Line fee", "Duty %")
		}
	}
}

func oneIf(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

func writeSuppliers(l *live) {
	for i := range l.e.Terms.Suppliers {
		row := reports.RowKey(reports.KeyTerms, "", i)
		l.input(onSuppliers, row, "Delivery", "Minimum order", "Duty %", "Import tax %", "Duty free up to",
			"Tax free up to", "Flat duty per heading", "Handling fee", "Consignment fee per line", "Lead days")
		l.blankInput(onSuppliers, row, "Free delivery over")
	}
}

// tieSources ties the rows of Prices used that repeat an offer's price or a
// supplier's charge to where it is changed.
func tieSources(l *live) {
	supplier := map[string]string{}
	for i, s := range l.e.Terms.Suppliers {
		for _, c := range l.tables[onSuppliers].table.Columns {
			supplier[s.Name+": "+c.Key] = l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, "", i), c.Key)
		}
	}
	l.gap = false
	type price struct {
		part  string
		place bom.Place
	}
	offer := map[price]string{}
	n := 0
	for _, o := range l.e.Terms.Offers {
		for _, b := range o.Breaks {
			offer[price{o.Part + " from " + l.e.Terms.Suppliers[o.Supplier].Name, b.Place}] = reports.RowKey(reports.KeyBreak, "", n)
			n++
		}
	}
	for i, s := range l.e.Sources {
		row := reports.RowKey(reports.KeySource, "", i)
		switch s.What {
		case "supplier":
			if ref, ok := supplier[s.Name]; ok {
				l.set(onPrices, row, "value", ref)
			}
		case "offer", "board", "material":
			if key, ok := offer[price{s.Name, s.Place}]; ok {
				l.set(onPrices, row, "value", l.ref(onOffers, key, "price"))
			}
		}
	}
}

// total makes the cells of a batch's total row the sums of its rows.
func (l *live) total(table string, batch cost.BatchID) {
	for _, c := range l.tables[table].table.Columns {
		span, digits := l.span(table, c.Key, batch), int32(9)
		if c.Format.Kind == reports.KindMoney {
			digits = l.home
		}
		if c.Sum && span != "" {
			l.set(table, reports.TotalKey(batch), c.Key, "ROUND(SUM("+span+"),"+strconv.Itoa(int(digits))+")")
		}
	}
}

// supplier is the index of a supplier in the terms.
func (l *live) supplier(name string) int {
	return slices.IndexFunc(l.e.Terms.Suppliers, func(s bom.Supplier) bool { return s.Name == name })
}
