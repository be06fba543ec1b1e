package workbook

import (
	"math"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// cells tell where the figures and results of one batch stand (see [sum.Cells]).
type cells struct {
	l      *live
	b      *cost.Batch
	shares map[sum.Ref]sum.Cell
}

// At is the cell of a result, or of a figure.
func (c *cells) At(k sum.Key, f *sum.Figure) (sum.Cell, bool) {
	if f != nil {
		if source, ok := c.sourceOf(k, f); ok {
			c.l.input(onPrices, source, "value")
			return c.l.cellAt(onPrices, source, "value")
		}
	}
	table, row, col := c.where(k)
	if table == "" {
		return sum.Cell{}, false
	}
	return c.l.cellAt(table, row, col)
}

// rowsOfThings are the tables in which the things of a batch stand, one to a row, and the
// kind of their rows. A column is named as what of the thing stands in it.
var rowsOfThings = map[string]struct{ table, kind string }{
	cost.OfPlate: {onPrint, reports.KeyPlate}, cost.OfWork: {onWork, reports.KeyWork},
	cost.OfCount: {onBoards, reports.KeyBoard}, cost.OfBoard: {onParts, reports.KeyBoard}, cost.OfPart: {onParts, reports.KeyPart},
	cost.OfBuy: {onBuy, reports.KeyBuy}, cost.OfOrder: {onOrders, reports.KeyOrder}, cost.OfFee: {onFees, reports.KeyFee},
	cost.OfParcel: {onParcel, reports.KeyParcel}, cost.OfProduct: {onProducts, reports.KeyProduct},
}

// where is the table, the row and the column in which a result stands; no table where
// it stands nowhere.
func (c *cells) where(k sum.Key) (table, row, col string) {
	id := c.b.ID()
	if table, row, col := c.sold(k); table != "" {
		return table, row, col
	}
	if of, ok := rowsOfThings[k.Of]; ok {
		return of.table, reports.RowKey(of.kind, id, k.At), k.What
	}
	switch k.Of {
	case cost.OfMade:
		if n := int(cost.AllCategories); k.What == "consumed" {
			return onMade, reports.RowKey(reports.KeyMade, id, k.At%n), reports.ProductColumn(k.At / n)
		}
		return "", "", ""
	case cost.OfSupplier:
		return onSuppliers, reports.RowKey(reports.KeyTerms, "", k.At), k.What
	case cost.OfLine:
		return onLines, reports.RowKey(reports.KeyLine, "", k.At), lineColumn(k.What, id)
	}
	return c.summed(k)
}

// sold is the row of a product, where there are several, and the column in which what is
// asked for a unit of it stands, or a part of its price; no table of anything else.
func (c *cells) sold(k sum.Key) (table, row, col string) {
	products := len(c.b.Products)
	if k.Of != cost.OfCharge && k.Of != cost.OfTotal || products < 2 {
		return "", "", ""
	}
	for i := range c.b.Products {
		if k.At != cost.SaleKey(i, products) {
			continue
		}
		if part, ok := chargeRows[k.What]; ok && k.Of == cost.OfCharge {
			return onCharge, reports.OfProduct(i, part), columnKey("value", c.b.ID())
		}
		col = k.What
		if k.What == "asked of free" && c.b.Products[i].Paying == 0 {
			col = "asked"
		} else if k.What == "asked" && c.b.Products[i].Paying == 0 || k.What != "price" && k.What != "asked" {
			col = "–"
		}
		return onProducts, reports.RowKey(reports.KeyProduct, c.b.ID(), i), col
	}
	return "", "", ""
}

// lineColumn is the column of Lines that holds something.
func lineColumn(what string, batch cost.BatchID) string {
	switch what {
	case "category":
		return what
	case "stock", "own":
		return workingCol(what, batch)
	}
	return columnKey(what, batch)
}

// workingCol is the working column of Lines that holds what each line takes from stock
// on hand, or own work, in one batch.
func workingCol(what string, batch cost.BatchID) string { return "Batch " + string(batch) + " " + what }

// summed is where a sum over all of a batch stands.
func (c *cells) summed(k sum.Key) (table, row, col string) {
	id := c.b.ID()
	total := reports.TotalKey(id)
	switch k.Of {
	case cost.OfCategory:
		row := "total"
		if k.At < int(cost.AllCategories) {
			row = cost.Category(k.At).String()
		}
		switch {
		case strings.HasSuffix(k.What, " per unit") && len(c.b.Products) > 1:
			return "", "", ""
		case k.What == "cash per unit":
			return onUnit, reports.RowCashUnit, columnKey("value", id)
		case k.What == "consumed per unit" && row == "total":
			return onUnit, reports.RowUnit, columnKey("value", id)
		case k.What == "consumed per unit":
			return onUnit, row, columnKey("value", id)
		}
		return onBatch, row, columnKey(k.What, id)
	case cost.OfPayer:
		payer, category := cost.PayerOf(k.At)
		if category == cost.AllCategories {
			return onPays, "total " + c.b.Payers[payer].Name, columnKey(k.What, id)
		}
		return onPays, c.b.Payers[payer].Name + " " + category.String(), columnKey(k.What, id)
	case cost.OfCharge:
		return c.charged(k)
	case cost.OfTotal:
		switch k.What {
		case "plates":
			return onPrint, total, "expected"
		case "work":
			if c.l.e.Terms.Settings.LabourPaid {
				return onWork, total, "cash"
			}
			return onWork, total, "own"
		case "work hours":
			return onWork, total, "hours"
		case "asked", "asked of free":
			if (k.What == "asked") == (c.b.Till.Paying == 0) {
				break // the other is shown
			}
			return onPays, reports.RowAsked, columnKey("cash", id)
		case "asked in all", "paid", "coming back":
			row := tillRows[k.What]
			if !c.l.has(onCharge, row, columnKey("value", id)) {
				row = reports.AtPrice(row)
			}
			return onCharge, row, columnKey("value", id)
		}
	}
	return "", "", ""
}

// tillRows are the rows of Charge that hold whatever the price.
var tillRows = map[string]string{"asked in all": reports.RowShared, "paid": reports.RowPaid, "coming back": reports.RowBack}

// chargeRows are the rows of Charge by what stands in them.
var chargeRows = map[string]string{
	"unit cost": reports.RowCost, "fee": reports.RowFee, "margin": reports.RowMargin, "tax of one": reports.RowTax, "rounding": reports.RowRounding,
	"sold": reports.RowSold, "fees": reports.RowFees, "sales tax": reports.RowTaxes, "net": reports.RowNet, "stays": reports.RowStays, "over": reports.RowOver,
}

func (c *cells) charged(k sum.Key) (table, row, col string) {
	col = columnKey("value", c.b.ID())
	if k.What == "price" {
		return onUnit, reports.RowPrice, col
	}
	row, ok := chargeRows[k.What]
	if !ok {
		return "", "", ""
	}
	if k.At > 0 {
		row = reports.AtPrice(row)
	}
	return onCharge, row, col
}

// Share is the cell of a share.
func (c *cells) Share(r sum.Ref) (sum.Cell, bool) {
	cell, ok := c.shares[r]
	return cell, ok
}

// Column is the address of a column of the table of offers.
func (c *cells) Column(_ *sum.Table, column string) string { return c.l.column(onOffers, column) }

// Address is that of a cell, by its name where it has one, or of cells below one another.
func (c *cells) Address(from, to sum.Cell) string {
	if from == to {
		if name, ok := c.l.cellNames[from]; ok {
			return name
		}
		return address(from)
	}
	return area(from.Sheet, from.Col, from.Row, to.Row)
}

// cellAt is the cell of a table that holds a known number or a text; false where there
// is none.
func (l *live) cellAt(table, row, col string) (sum.Cell, bool) {
	s := l.tables[table]
	if s == nil {
		l.fault("no table %s", table)
		return sum.Cell{}, false
	}
	i, ok := s.rows[row]
	if !ok || s.cols[col] == 0 {
		return sum.Cell{}, false
	}
	at := position{i, s.cols[col]}
	if v := s.value(at); at.col <= len(s.table.Columns) && (v.IsUnknown() || v.IsNothing()) && !s.inputs[at] {
		return sum.Cell{}, false
	}
	return s.cell(at), true
}

// sourceOf is the row of Prices used that holds a figure. What is asked of suppliers and
// offers has tables of its own.
func (c *cells) sourceOf(k sum.Key, f *sum.Figure) (row string, ok bool) {
	l := c.l
	switch k.Of {
	case cost.OfSetting:
		row, ok = l.source("setting", func(s *cost.Source) bool { return s.Name == k.What })
		return l.nameFigure(k.What, row, ok)
	case cost.OfRate:
		row, ok = l.source("exchange", func(s *cost.Source) bool { return s.Name == k.What })
		return l.nameFigure("rate_"+k.What, row, ok)
	case cost.OfAssembly:
		row, ok = l.placed(f)
		word := "assembly " + k.What
		if len(l.e.Terms.Assemblers) > 1 {
			word = l.e.Terms.Assemblers[k.At].Name + " " + k.What
		}
		return l.nameFigure(word, row, ok)
	case cost.OfPlate:
		heading, ok := map[string]string{"piece g": "Filament g", "piece h": "Print hours"}[k.What]
		if !ok {
			return "", false
		}
		name, figure := l.e.Entries[c.b.Plates[k.At].Entry].Line.Part+": "+heading, f.Value.InexactFloat64()
		return l.source("printed part", func(s *cost.Source) bool {
			return (s.Name == name || s.Name == name+" on "+c.b.Plates[k.At].Printer) && math.Abs(s.Amount.Decimal.InexactFloat64()-figure) < noise
		})
	case cost.OfSupplier, cost.OfBreak:
		return "", false
	case cost.OfWork:
		name := c.b.Work[k.At].Operation
		if k.What == "share" {
			name += ": Share %"
		}
		return l.source(cost.SourceKind(k.Of), func(s *cost.Source) bool { return s.Name == name && s.Place == f.Place })
	}
	return l.placed(f)
}

// placed is the row of Prices used that was read from where a figure stands.
func (l *live) placed(f *sum.Figure) (row string, ok bool) {
	return l.source(cost.SourceKind(f.Key.Of), func(s *cost.Source) bool { return s.Place == f.Place && s.Amount.Decimal.Equal(f.Value) })
}

// noise is how far a figure can be off that went through binary fractions.
const noise = 1e-9

// nameFigure names the cell of a figure in Prices used.
func (l *live) nameFigure(word, row string, ok bool) (string, bool) {
	if c, there := l.cellAt(onPrices, row, "value"); ok && there && l.cellNames[c] == "" {
		l.cellNames[c] = l.call(word, quoted(c.Sheet)+"$"+bom.ColumnLetters(c.Col)+"$"+strconv.Itoa(c.Row))
	}
	return row, ok
}

// state writes the formulas of all results of a batch that have cells.
func (l *live) state(i int) {
	b := &l.e.Batches[i]
	s := b.Sums
	c := &cells{l: l, b: b, shares: map[sum.Ref]sum.Cell{}}
	w := &sum.Writer{Sheet: s, Cells: c}
	l.figures(c, s)
	divisions(l, c, w)
	s.Results(func(k sum.Key, r sum.Ref) {
		table, row, col := c.where(k)
		if table == "" || s.Unknown(r) {
			return
		}
		if _, ok := c.l.cellAt(table, row, col); !ok {
			return
		}
		if l.tables[table].isWorking(col) {
			l.work(table, row, col, w.Formula(r), s.Value(r))
		} else {
			l.set(table, row, col, w.Formula(r))
		}
	})
	tellSums(l, i, w)
}

// figures fills in the figures that stand in working columns, and ties those that
// stand in a table to the row of Prices used that they were read from. What stands there
// needs no column of its own.
func (l *live) figures(c *cells, s *sum.Sheet) {
	s.Figures(func(f *sum.Figure, _ sum.Ref) {
		table, row, col := c.where(f.Key)
		if table == "" {
			return
		}
		source, ok := c.sourceOf(f.Key, f)
		if ok && l.tables[table].cols[col] == 0 {
			return
		}
		if l.tables[table].isWorking(col) {
			l.constant(table, row, col, f.Value)
		}
		if ok {
			l.input(onPrices, source, "value")
			l.set(table, row, col, l.ref(onPrices, source, "value"))
		} else if f.Key.Of == cost.OfPlate && strings.HasPrefix(f.Key.What, "piece ") || f.Key.Of == cost.OfBuy {
			l.input(table, row, col)
		}
	})
}

// isWorking tells whether a column is a working column.
func (s *laid) isWorking(col string) bool { return s.cols[col] > len(s.table.Columns) }

// rateOf is the figure of rate.
func (l *live) rateOf(c bom.Currency) decimal.Decimal {
	for _, r := range l.e.Terms.Rates {
		if r.Currency.Code == c.Code {
			return r.Rate
		}
	}
	return decimal.NewFromInt(1)
}
