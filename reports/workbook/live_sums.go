package workbook

import (
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// build writes the formulas of a whole estimate. The tables must be laid out.
func (l *live) build(first *summary, pages []*page) {
	writeSuppliers(l)
	writeOffers(l)
	tieSources(l)
	for i, b := range bom.Refs(l.e.Batches) {
		l.state(i)
		followOffers(l, b)
		writeTotals(l, b)
		writeSurplus(l, b)
		writePlan(l, b)
		writeAnswer(l, b)
		writeGroups(l, b)
		writeBoards(l, b)
		writeFaults(l, b)
	}
	writeFind(l)
	writeSummary(l, first)
	for _, p := range pages {
		writeBuy(l, p)
		for _, h := range p.heads {
			writeHead(l, &l.e.Batches[h.batch], h.row)
		}
	}
	writePriceFaults(l)
	for i := range l.e.Batches {
		writeCheck(l, first, i)
	}
}

// buyTerms, partTerms and orderTerms are the working columns of To buy, Parts and
// Orders: where the offer's price stands among the breaks, its supplier, what its
// currency is worth, the goods in the supplier's own currency, the number of its customs
// heading there, what of the cash has a duty of its own, and that times the percentage; what of the cash is used,
// 1 where the part costs a consignment fee, 1 where less is bought than has to be, and what
// of what is bought is taken; 1 where the order is made, and how many headings it has.
var (
	buyTerms   = []string{"Price row", "Supplier no.", "Rate", "Own goods", "Taken at cost", "Heading no.", "Dutied", "Own duty", offerPart, offerLeast, offerTimes, offerMost, faultSays, fault}
	partTerms  = []string{"Consumed of cash", "Consigned", "Short", "takes", faultSays, fault}
	orderTerms = []string{"Ordered", "headings"}
)

// followOffers has the words beside a purchase and an order follow what is ordered.
func followOffers(l *live, b *cost.Batch) {
	for i, p := range b.Purchases {
		row := reports.RowKey(reports.KeyBuy, b.ID(), i)
		if p.Unpriced {
			continue
		}
		pick := func(col string) string {
			return "INDEX(" + l.column(onOffers, col) + "," + l.ref(onBuy, row, "Price row") + ")"
		}
		l.set(onBuy, row, "supplier", pick("supplier"))
		l.set(onBuy, row, "code", pick("code")+`&""`+movedTo(l, row, l.supplier(p.Supplier)))
		l.set(onBuy, row, "currency", pick("currency"))
		l.set(onBuy, row, "lead", "INDEX("+l.column(onSuppliers, "Lead days")+","+l.ref(onBuy, row, "Supplier no.")+")")
	}
	for i := range l.e.Terms.Suppliers {
		l.set(onOrders, reports.RowKey(reports.KeyOrder, b.ID(), i), "lead", l.ref(onSuppliers, reports.RowKey(reports.KeyTerms, "", i), "Lead days"))
	}
}

// writeTotals writes the rows of tables that add others up.
func writeTotals(l *live, b *cost.Batch) {
	for _, table := range []string{onPrint, onFees, onBuy, onOrders, onProducts, onMade} {
		l.total(table, b.ID())
	}
	writeProducts(l, b)
	for _, col := range []string{"cash", "consumed"} {
		if len(l.e.Entries) > 0 {
			l.setIn(onLines, "total", col, b.ID(), l.clean("SUM("+l.column(onLines, columnKey(col, b.ID()))+")"))
		}
	}
	var all []string // keys of the rows of the payers' totals
	for _, p := range b.Payers {
		if row := "total " + p.Name; l.has(onPays, row, columnKey("cash", b.ID())) {
			all = append(all, row)
		}
	}
	sumRows(l, b, "total", all)
	sumRows(l, b, reports.RowSponsored, reports.SponsorTotals(l.e))
	for key := range l.tables[onPays].rows {
		for _, col := range l.amounts {
			if _, there := l.tables[onPays].rows[reports.UnitOf(key)]; there && l.has(onPays, reports.UnitOf(key), columnKey(col, b.ID())) {
				l.setIn(onPays, reports.UnitOf(key), col, b.ID(), perUnit(l.refIn(onPays, key, col, b.ID()), b.Size))
			}
		}
	}
}

// writeProducts adds up what several products cost, and has what repeats it follow.
func writeProducts(l *live, b *cost.Batch) {
	if len(b.Products) < 2 {
		return
	}
	total := reports.TotalKey(b.ID())
	for c := range cost.AllCategories {
		row, all := reports.RowKey(reports.KeyMade, b.ID(), int(c)), l.refIn(onBatch, c.String(), "consumed", b.ID())
		if l.has(onMade, row, reports.RowAll) {
			l.set(onMade, row, reports.RowAll, all)
		}
		l.setIn(onUnit, c.String(), "value", b.ID(), all)
	}
	l.set(onMade, total, reports.RowAll, l.refIn(onBatch, "total", "consumed", b.ID()))
	l.setIn(onUnit, reports.RowConsumed, "value", b.ID(), l.refIn(onBatch, "total", "consumed", b.ID()))
	for j := range b.Products {
		product, col := reports.RowKey(reports.KeyProduct, b.ID(), j), reports.ProductColumn(j)
		if !l.has(onProducts, product, "consumed per unit") {
			continue
		}
		l.set(onMade, reports.UnitOf(total), col, l.ref(onProducts, product, "consumed per unit"))
		for _, of := range eachOf {
			if s := l.tables[onProducts]; s.cols[of.col] > 0 && l.has(onProducts, product, of.col) {
				l.setIn(onEach, eachKey(j, of.col), "value", b.ID(), l.ref(onProducts, product, of.col))
			}
		}
	}
}

// sumRows makes a row of Who pays the sum of others.
func sumRows(l *live, b *cost.Batch, row string, of []string) {
	for _, col := range l.amounts {
		refs := bom.Each(of, func(row *string) string { return l.refIn(onPays, *row, col, b.ID()) })
		l.setIn(onPays, row, col, b.ID(), l.clean(sumOf(refs)))
	}
}

// perUnit divides by the batch size; only what is shown of it is rounded.
func perUnit(ref string, size int) string { return ref + "/" + strconv.Itoa(size) }

// writeLeftOver repeats the rows of Parts that move stock.
func writeSurplus(l *live, b *cost.Batch) {
	row := func(key, demand string) {
		if _, _, ok := l.find(onLeft, key, "what"); !ok {
			return
		}
		for _, c := range [][2]string{{"demand", demand}, {"bought", "bought"}, {"surplus", "surplus"}, {"stock", "stock"}} {
			l.set(onLeft, key, c[0], l.ref(onParts, key, c[1]))
		}
		l.set(onLeft, key, "left", "ROUND("+l.ref(onLeft, key, "bought")+"-"+l.ref(onLeft, key, "demand")+",6)")
	}
	for i := range b.Boards {
		if b.Boards[i].Idle() {
			continue
		}
		row(reports.RowKey(reports.KeyBoard, b.ID(), i), "demand")
	}
	for i := range b.Parts {
		demand := "demand"
		if l.e.Parts[i].Unit == "g" { // more filament is bought for than is expected to be taken
			demand = "takes"
		}
		row(reports.RowKey(reports.KeyPart, b.ID(), i), demand)
	}
	for i, f := range b.Fees {
		if key := reports.RowKey(reports.KeyFee, b.ID(), i); f.Kind == cost.OneOffFee {
			if _, _, ok := l.find(onLeft, key, "what"); ok {
				l.set(onLeft, key, "surplus", l.ref(onFees, key, "surplus"))
				l.set(onLeft, key, "stock", l.ref(onFees, key, "stock"))
			}
		}
	}
	for _, col := range []string{"surplus", "stock"} {
		if slices.Contains(l.amounts, col) {
			l.set(onLeft, reports.TotalKey(b.ID()), col, l.refIn(onBatch, "total", col, b.ID()))
		}
	}
}

// writeBoards has the sheets of boards and filament repeat what those come to.
func writeBoards(l *live, b *cost.Batch) {
	for i := range b.Boards {
		if b.Boards[i].Idle() {
			continue
		}
		row := reports.RowKey(reports.KeyBoard, b.ID(), i)
		l.set(onBoards, row, "bought", l.ref(onParts, row, "bought"))
		l.set(onBoards, row, "lots", l.ref(onParts, row, "cash"))
		fees := bom.Each(reports.AssemblyFees(b, i), func(f *int) string {
			return l.ref(onFees, reports.RowKey(reports.KeyFee, b.ID(), *f), "cash")
		})
		if len(fees) > 0 {
			l.set(onBoards, row, "assembly", strings.Join(fees, "+"))
		}
	}
	for i := range b.Parts {
		row := reports.RowKey(reports.KeyPart, b.ID(), i)
		if _, _, ok := l.find(onSpools, row, "cash"); !ok {
			continue
		}
		for _, col := range []string{"need", "on hand", "bought", "cash"} {
			l.set(onSpools, row, col, l.ref(onParts, row, col))
		}
	}
}

// writeFind has the cash that each payer must find follow what they bear.
func writeFind(l *live) {
	for _, b := range l.e.Batches {
		for key := range l.tables[onFind].rows {
			l.setIn(onFind, key, "cash", b.ID(), l.refIn(onPays, key, "cash", b.ID()))
		}
	}
}

// writeAnswer has the rows of Unit cost and Charge that repeat a figure follow it.
func writeAnswer(l *live, b *cost.Batch) {
	repeat := func(row, table, key, col string) {
		l.setIn(onUnit, row, "value", b.ID(), l.ref(table, key, col))
	}
	for _, r := range reports.AmountRows(l.e) {
		repeat(r[0], onBatch, "total", columnKey(r[1], b.ID()))
	}
	if l.has(onUnit, reports.RowWrittenOff, columnKey("value", b.ID())) && len(b.Purchases) > 0 {
		repeat(reports.RowWrittenOff, onBuy, reports.TotalKey(b.ID()), "written off")
	}
	total := reports.TotalKey(b.ID())
	if len(b.Work) > 0 {
		repeat(reports.RowWork, onWork, total, "hours")
	}
	if len(b.Plates) > 0 {
		repeat(reports.RowPrinting, onPrint, total, "hours")
		repeat(reports.RowFilament, onPrint, total, "filament")
	}
	if span := l.span(onOrders, "Ordered", b.ID()); span != "" {
		l.setIn(onUnit, reports.RowOrders, "value", b.ID(), "SUM("+span+")")
	}
	if len(b.Plan.Tasks) > 0 {
		l.setIn(onUnit, reports.RowReady, "value", b.ID(), wholeDay(l.ref(onPlan, total, "end")))
	}
	for _, key := range []string{reports.RowStays, reports.RowOver, reports.AtPrice(reports.RowStays), reports.AtPrice(reports.RowOver)} {
		if l.has(onCharge, key, columnKey("value", b.ID())) {
			l.setIn(onCharge, reports.UnitOf(key), "value", b.ID(), perUnit(l.refIn(onCharge, key, "value", b.ID()), b.Size))
		}
	}
	for _, row := range []string{reports.RowShared, reports.RowPaid, reports.RowBack} {
		if col := columnKey("value", b.ID()); l.has(onCharge, row, col) && l.has(onCharge, reports.AtPrice(row), col) {
			l.set(onCharge, reports.AtPrice(row), col, l.ref(onCharge, row, col))
		}
	}
	if l.has(onCharge, reports.RowPrice, columnKey("value", b.ID())) {
		l.setIn(onCharge, reports.RowPrice, "value", b.ID(), l.refIn(onUnit, reports.RowPrice, "value", b.ID()))
	}
	for i := range b.Products {
		if row := reports.OfProduct(i, reports.RowPrice); l.has(onCharge, row, columnKey("value", b.ID())) {
			l.setIn(onCharge, row, "value", b.ID(), l.ref(onProducts, reports.RowKey(reports.KeyProduct, b.ID(), i), "price"))
		}
	}
}

// allOf adds a column of a batch up; 0 where it has no rows.
func (l *live) allOf(table, col string, batch cost.BatchID) string {
	if span := l.span(table, col, batch); span != "" {
		return "SUM(" + span + ")"
	}
	return "0"
}

// minor is a part of a minor unit, written out.
func (l *live) minor(part string) string {
	return decimal.RequireFromString(part).Shift(-l.home).String()
}
