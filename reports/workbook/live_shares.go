package workbook

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// shareTerms are the working columns of Shares: whole minor units, and a number by
// which the rest is given away.
var shareTerms = []string{"Whole", "Order"}

// sharesTable is the sheet on which amounts are shared out so that the shares
// add up (largest remainder): each share gets its whole minor units, and what is
// then left of the amount goes, one unit each, to the largest remainders; of
// equal ones to the earlier.
func sharesTable(l *live) reports.Table {
	t := reports.Table{
		Name:  onShares,
		Title: "how amounts are shared out over lines, orders and payers",
		Notes: []string{"whole minor units by weight; the rest goes, one minor unit each, to the largest remainders, so that the shares add up"},
		Lead:  3,
		Columns: []reports.Column{
			{Key: "batch", Heading: "Batch", Format: reports.AsCount},
			{Key: "of", Heading: "Shared out"},
			{Key: "to", Heading: "Goes to"},
			{Key: "weight", Heading: "Weight", Format: reports.AsQuantity},
			{Key: "share", Heading: "Share", Unit: l.e.Currency.Code, Format: reports.AsMoney(l.e.Currency)},
		},
	}
	for _, b := range bom.Refs(l.e.Batches) {
		for j, d := range b.Sums.Shared() {
			if b.Sums.Unknown(d.Total) {
				continue
			}
			of, to := shareNames(l, b, d.Key)
			for k, r := range d.Refs {
				t.Rows = append(t.Rows, reports.Row{Key: shareKey(b, j, k), Values: []reports.Value{reports.BatchValue(b.ID()),
					reports.Text(of), reports.Text(to[k]), reports.Number(b.Sums.Value(d.Weights[k])), reports.Number(b.Sums.Value(r))}})
			}
		}
	}
	return t
}

func shareKey(b *cost.Batch, group, at int) string {
	return reports.RowKey("share "+strconv.Itoa(group), b.ID(), at)
}

// remainderScale is how finely remainders of a minor unit are told apart.
const remainderScale = 1_000_000

// divisions writes the formulas of what is shared out in a batch.
func divisions(l *live, c *cells, w *sum.Writer) {
	groups := c.b.Sums.Shared()
	for j, d := range groups {
		for k, r := range d.Refs {
			if !c.b.Sums.Unknown(d.Total) {
				c.shares[r], _ = l.cellAt(onShares, shareKey(c.b, j, k), "share")
			}
		}
	}
	for j, d := range groups {
		if !c.b.Sums.Unknown(d.Total) {
			divide(l, c, w, j, d)
		}
	}
}

func divide(l *live, c *cells, w *sum.Writer, group int, d sum.Shares) {
	s, n := c.b.Sums, len(d.Refs)
	whole, order := wholeParts(s, d, l.home)
	t := l.tables[onShares]
	first := t.rowAt[t.rows[shareKey(c.b, group, 0)]]
	column := func(col string) string { return t.area(t.cols[col], [2]int{first, first + n - 1}) }
	units := w.Term(d.Total) + "*" + decimal.New(1, l.home).String()
	for k := range d.Refs {
		row := shareKey(c.b, group, k)
		if !s.IsNumber(d.Weights[k]) {
			l.set(onShares, row, "weight", w.Term(d.Weights[k]))
		}
		ref := func(col string) string { return l.ref(onShares, row, col) }
		alone := "0"
		if k == 0 {
			alone = units
		}
		weights := "SUM(" + column("weight") + ")"
		part := fmt.Sprintf("IF(%s=0,%s,ROUND(%s*%s/%s,6))", weights, alone, units, ref("weight"), weights)
		l.work(onShares, row, "Whole", "INT("+part+")", whole[k])
		l.work(onShares, row, "Order", fmt.Sprintf("ROUND((%s-%s)*%d,0)*%d+%d", part, ref("Whole"), remainderScale, n+1, n-k), order[k])
		l.set(onShares, row, "share", fmt.Sprintf("ROUND((%s+IF(COUNTIF(%s,\">\"&%s)<ROUND(%s,0)-SUM(%s),1,0))/%s,%d)",
			ref("Whole"), column("Order"), ref("Order"), units, column("Whole"), decimal.New(1, l.home), l.home))
	}
}

// wholeParts works out what stands in the working columns.
func wholeParts(s *sum.Sheet, d sum.Shares, home int32) (whole, order []decimal.Decimal) {
	all := decimal.Zero
	for _, w := range d.Weights {
		all = all.Add(s.Value(w))
	}
	units, n := s.Value(d.Total).Shift(home), int64(len(d.Refs))
	for i, w := range d.Weights {
		part := decimal.Zero
		switch {
		case !all.IsZero():
			part = units.Mul(s.Value(w)).DivRound(all, 6)
		case i == 0:
			part = units
		}
		rest := part.Sub(part.Floor()).Mul(decimal.NewFromInt(remainderScale)).Round(0)
		whole = append(whole, part.Floor())
		order = append(order, rest.Mul(decimal.NewFromInt(n+1)).Add(decimal.NewFromInt(n-int64(i))))
	}
	return whole, order
}

// shareNames tells what is shared out, and what each share goes to.
func shareNames(l *live, b *cost.Batch, k sum.Key) (of string, to []string) {
	over, what, _ := strings.Cut(k.What, ", ")
	part := func(i int) (string, []string) {
		for _, c := range cost.Categories {
			for _, e := range l.e.Parts[i].Entries {
				if l.e.Entries[e].Category == c {
					to = append(to, c.String())
					break
				}
			}
		}
		return l.e.Parts[i].Key, to
	}
	switch {
	case over == cost.OverPurchases:
		for _, p := range b.Purchases {
			if (p.Kind == cost.Lots) == (k.Of == cost.OfBoard) && p.Index == k.At {
				of, to = p.Part+", used", append(to, strings.TrimSpace(p.Supplier+" "+p.OrderCode))
			}
		}
		return of, to
	case over == cost.OverPayers:
		return b.Pots[k.At].Category.String() + ", who pays, " + what, b.Pots[k.At].Payers
	case over == cost.OverProducts:
		to = bom.Each(l.e.Products, func(p *cost.Product) string { return p.Name })
		return reports.SplitName(&b.Splits[k.At]) + ", " + what, to
	case over == cost.OverLines:
		first := &l.e.Entries[k.At]
		for _, e := range l.e.Parts[first.Part].Entries {
			if l.e.Entries[e].Category == first.Category {
				to = append(to, lineName(&l.e.Entries[e]))
			}
		}
		return l.e.Parts[first.Part].Key + ", " + what, to
	case over == cost.OverBoards:
		panel := k.At
		if k.Of == cost.OfBuy {
			panel = b.Purchases[k.At].Index
		}
		to = bom.Each(l.e.Boards[panel].Holds, func(h *cost.Held) string { return l.e.Boards[h.Board].Name })
		return l.e.Boards[panel].Name + ", " + what, to
	case over == cost.OverPrinted:
		p := &b.Purchases[k.At]
		to = bom.Each(l.e.Parts[p.Index].PaidAs, func(name *string) string { return cmp.Or(*name, "other printed parts") })
		return p.Part + " from " + p.Supplier + ", " + what, to
	case k.Of == cost.OfBuy:
		p := &b.Purchases[k.At]
		_, to = part(p.Index)
		return p.Part + " from " + p.Supplier + ", " + what, to
	}
	of, to = part(k.At % len(l.e.Parts))
	return of + " from stock, " + what, to
}

// lineName tells lines of the same part apart.
func lineName(e *cost.Entry) string {
	name := cmp.Or(e.Path, "unit")
	if d := reports.Designators(e.Line.Designators); d != "" {
		return name + ": " + d
	}
	if e.Line.Kind == bom.KindPrinted {
		return name + ": " + e.Line.Part
	}
	return name
}
