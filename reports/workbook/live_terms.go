package workbook

import (
	"fmt"
	"math"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// Names of the tables that formulas go through.
const (
	onUnit      = "Unit cost"
	onBatch     = "Batch cost"
	onLines     = "Lines"
	onParts     = "Parts"
	onBuy       = "To buy"
	onOrders    = "Orders"
	onBoards    = "Boards"
	onPrint     = "To print"
	onWork      = "Hand work"
	onPlan      = reports.PlanName
	onFees      = "Fees"
	onParcel    = "Parcel"
	onQuote     = "Quote"
	onPays      = "Who pays"
	onCharge    = "Charge"
	onLeft      = "Left over"
	onOffers    = "Offers"
	onSuppliers = "Suppliers"
	onPrices    = "Prices used"
	onShares    = "Shares"
)

// source finds the row of Prices used that holds a figure.
func (l *live) source(what string, match func(s *cost.Source) bool) (row string, ok bool) {
	for _, i := range l.read[what] {
		if match(&l.e.Sources[i]) {
			return reports.RowKey(reports.KeySource, 0, i), true
		}
	}
	return "", false
}

// price is the address of a figure in Prices used, which becomes an input; "0"
// and a gap where it is not listed.
func (l *live) price(what string, match func(s *cost.Source) bool) string {
	return l.priceOf(l.source(what, match))
}

// priceOf is the address of the figure in a row of Prices used, which becomes an input.
func (l *live) priceOf(row string, ok bool) string {
	if !ok {
		l.gap = true
		return "0"
	}
	l.input(onPrices, row, "value")
	return l.ref(onPrices, row, "value")
}

// setting is the name of a setting's cell.
func (l *live) setting(what string) string {
	ref := l.price("setting", func(s *cost.Source) bool { return s.Name == what })
	if l.gap {
		return "0"
	}
	return l.call(what, absolute(ref))
}

// rate is what one unit of a currency is worth at home.
func (l *live) rate(c bom.Currency) string {
	if c.Code == l.e.Currency.Code {
		return "1"
	}
	ref := l.price("exchange", func(s *cost.Source) bool { return s.Name == c.Code })
	if l.gap {
		return "0"
	}
	return l.call("rate_"+c.Code, absolute(ref))
}

// rateOf is the figure of rate.
func (l *live) rateOf(c bom.Currency) decimal.Decimal {
	for _, r := range l.e.Terms.Rates {
		if r.Currency.Code == c.Code {
			return r.Rate
		}
	}
	return decimal.NewFromInt(1)
}

// absolute makes the address of one cell absolute.
func absolute(ref string) string {
	for i := len(ref) - 1; i >= 0; i-- {
		if ref[i] == '!' {
			cell := ref[i+1:]
			for j := range cell {
				if cell[j] >= '0' && cell[j] <= '9' {
					return ref[:i+1] + "$" + cell[:j] + "$" + cell[j:]
				}
			}
		}
	}
	return ref
}

// keyStep keeps the numbers of offers apart from the quantities in the key that
// a price is looked up by: number × keyStep + quantity.
const keyStep int64 = 10_000_000_000

// offerTerms are the working columns of Offers: the key, the supplier's number,
// what the offer's currency is worth, and how its goods count towards the
// supplier's own sum.
var offerTerms = []string{"Key", "Supplier no.", "Rate", "Digits", "Own currency", "Supplier's rate", "Supplier's digits"}

func (l *live) offers() {
	n := 0
	count := decimal.NewFromInt
	for i, o := range l.e.Terms.Offers {
		s := l.e.Terms.Suppliers[o.Supplier]
		own := o.Currency.Code == s.Currency.Code
		for j, b := range o.Breaks {
			row := reports.RowKey(reports.KeyBreak, 0, n)
			n++
			l.input(onOffers, row, "price", "setup")
			from, text := int64(0), l.ref(onOffers, row, "number")+"*"+strconv.FormatInt(keyStep, 10)
			if j > 0 { // the first break holds below its own quantity as well
				l.input(onOffers, row, "from")
				from, text = b.From, text+"+"+l.ref(onOffers, row, "from")
			}
			l.work(onOffers, row, "Key", text, count(int64(i+1)*keyStep+from))
			l.constant(onOffers, row, "Supplier no.", count(int64(o.Supplier+1)))
			l.work(onOffers, row, "Rate", l.rate(o.Currency), l.rateOf(o.Currency))
			l.constant(onOffers, row, "Digits", count(int64(o.Currency.Digits)))
			l.constant(onOffers, row, "Own currency", count(oneIf(own)))
			l.work(onOffers, row, "Supplier's rate", l.rate(s.Currency), l.rateOf(s.Currency))
			l.constant(onOffers, row, "Supplier's digits", count(int64(s.Currency.Digits)))
		}
	}
}

func oneIf(b bool) int64 {
	if b {
		return 1
	}
	return 0
}

func (l *live) suppliers() {
	for i := range l.e.Terms.Suppliers {
		row := reports.RowKey(reports.KeyTerms, 0, i)
		l.input(onSuppliers, row, "Delivery", "Minimum order", "Duty %", "Import tax %", "Duty free under",
			"Tax free under", "Handling fee", "Consign fee per line", "Lead days")
		l.blankInput(onSuppliers, row, "Free delivery over")
	}
}

// sources ties the rows of Prices used that repeat an offer's price or a
// supplier's charge to where it is changed.
func (l *live) sources() {
	supplier := map[string]string{}
	for i, s := range l.e.Terms.Suppliers {
		for _, c := range l.sheets[onSuppliers].table.Columns {
			supplier[s.Name+": "+c.Key] = l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, 0, i), c.Key)
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
			offer[price{o.Part + " from " + l.e.Terms.Suppliers[o.Supplier].Name, b.Place}] = reports.RowKey(reports.KeyBreak, 0, n)
			n++
		}
	}
	for i, s := range l.e.Sources {
		row := reports.RowKey(reports.KeySource, 0, i)
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

// printing works out filament, machine hours and energy of the plates.
func (l *live) printing(b *cost.Batch) {
	for i, p := range b.Plates {
		row := reports.RowKey(reports.KeyPlate, b.Size, i)
		part := l.e.Entries[p.Entry].Line.Part
		cell := func(col string) string { return l.ref(onPrint, row, col) }
		l.piece(row, "piece g", part+": Filament g", p.PieceG)
		l.piece(row, "piece h", part+": Print hours", p.PieceH)
		l.set(onPrint, row, "filament", fmt.Sprintf("ROUND(%s*%s,9)", cell("laid"), cell("piece g")))
		l.set(onPrint, row, "hours", fmt.Sprintf("ROUND(%s*%s,9)", cell("laid"), cell("piece h")))
		if l.feeRow(b, cost.MachineFee, i) != "" {
			rate := l.price("printer", func(s *cost.Source) bool {
				return s.Place == p.RateAt && s.Name == p.Printer+": Hourly rate"
			})
			l.set(onPrint, row, "machine", l.money(cell("hours")+"*"+rate))
		}
		if l.feeRow(b, cost.EnergyFee, i) != "" {
			watts := l.price("printer", func(s *cost.Source) bool {
				return s.Place == p.PowerAt && s.Name == p.Printer+": Power W"
			})
			l.set(onPrint, row, "energy", l.money(fmt.Sprintf("ROUND(%s*%s/1000,9)*%s", cell("hours"), watts, l.setting("Energy price per kWh"))))
		}
	}
	l.total(onPrint, b.Size, "filament", "hours", "machine", "energy")
}

// piece ties mass or hours of a printed piece to the figure in Prices used; one
// that depends on what else lies on its plates is an input where it stands.
func (l *live) piece(row, col, name string, figure float64) {
	const noise = 1e-9
	source, ok := l.source("printed part", func(s *cost.Source) bool {
		return s.Name == name && math.Abs(s.Amount.Decimal.InexactFloat64()-figure) < noise
	})
	if !ok {
		l.input(onPrint, row, col)
		return
	}
	l.input(onPrices, source, "value")
	l.set(onPrint, row, col, l.ref(onPrices, source, "value"))
}

// feeRow is the row of the fee of a kind for a board or a plate.
func (l *live) feeRow(b *cost.Batch, kind cost.FeeKind, index int) string {
	for i, f := range b.Fees {
		if f.Kind == kind && f.Index == index {
			return reports.RowKey(reports.KeyFee, b.Size, i)
		}
	}
	return ""
}

// total makes the cells of a batch's total row the sums of its rows.
func (l *live) total(table string, size int, cols ...string) {
	s := l.sheets[table]
	row := "total " + strconv.Itoa(size)
	for _, col := range cols {
		span := l.span(table, col, size)
		if span == "" {
			return
		}
		digits := int32(9)
		if f := s.table.Columns[s.cols[col]-1].Format; f.Kind == reports.KindMoney {
			digits = l.home
		}
		l.set(table, row, col, "ROUND(SUM("+span+"),"+strconv.Itoa(int(digits))+")")
	}
}

func (l *live) handWork(b *cost.Batch) {
	for i, w := range b.Work {
		row := reports.RowKey(reports.KeyWork, b.Size, i)
		l.set(onWork, row, "seconds", l.price("hand work", func(s *cost.Source) bool {
			return s.Name == w.Operation && s.Place == w.Place
		}))
		seconds := "ROUND(" + l.ref(onWork, row, "seconds") + "*" + l.ref(onWork, row, "times") + ",9)"
		l.set(onWork, row, "hours", seconds+"/3600")
		l.set(onWork, row, "cash", l.money(seconds+"*"+l.setting("Labour rate per hour")+"/3600"))
	}
	l.total(onWork, b.Size, "hours", "cash")
}
