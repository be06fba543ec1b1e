package workbook

import (
	"fmt"

	"github.com/shopspring/decimal"

	"tenoff/reports"
)

// portion is an amount with the address of its cell.
type portion struct {
	figure decimal.Decimal
	ref    string
}

// division shares up to three amounts (cash, used, drawer) out: cash and drawer
// by the same weights, what is used of them by what each share then has of both, or
// by the weights where neither is shared out. An amount without an address is not shared out.
type division struct {
	size    int
	of      string
	to      []string
	weights []portion // a weight without an address is a plain figure
	totals  [3]portion
}

// shareCols are the amounts that are shared out; shareTerms the working columns
// of each: whole minor units, and a number by which the rest is given away.
const (
	cashShare = iota
	usedShare
	drawerShare
)

var (
	shareCols  = [3]string{"cash", "used", "drawer"}
	shareTerms = []string{"Whole cash", "Order cash", "Whole used", "Order used", "Whole drawer", "Order drawer"}
)

// sharesTable is the sheet on which amounts are shared out so that the shares
// add up (largest remainder): each share gets its whole minor units, and what is
// then left of the amount goes, one unit each, to the largest remainders; of
// equal ones to the earlier.
func (l *live) sharesTable() reports.Table {
	money := reports.AsMoney(l.e.Currency)
	return reports.Table{
		Name:  onShares,
		Title: "how amounts are shared out over lines, orders and payers",
		Notes: []string{"whole minor units by weight; the rest goes, one minor unit each, to the largest remainders, so that the shares add up"},
		Lead:  3,
		Columns: []reports.Column{
			{Key: "batch", Heading: "Batch", Format: reports.AsCount},
			{Key: "of", Heading: "Shared out"},
			{Key: "to", Heading: "Goes to"},
			{Key: "weight", Heading: "Weight", Format: reports.AsQuantity},
			{Key: "cash", Heading: "Cash", Unit: l.e.Currency.Code, Format: money},
			{Key: "used", Heading: "Used", Unit: l.e.Currency.Code, Format: money},
			{Key: "drawer", Heading: "Drawer", Unit: l.e.Currency.Code, Format: money},
		},
	}
}

// remainderScale is how finely remainders of a minor unit are told apart.
const remainderScale = 1_000_000

// divide writes the rows of a division and gives, for each share, the amounts
// with their addresses.
func (l *live) divide(d division) [][3]portion {
	s := l.sheets[onShares]
	first := len(s.table.Rows)
	out := make([][3]portion, len(d.to))
	key := func(i int) string { return reports.RowKey("share", 0, first+i) }
	figures := [3][]shared{}
	value := d.weights // what each share has; where only what is used is shared out, its weight
	if d.hasValue() {
		value = make([]portion, len(d.to))
	}
	for _, k := range []int{cashShare, drawerShare} {
		if d.totals[k].ref == "" {
			continue
		}
		figures[k] = l.apportioned(d.totals[k].figure, d.weights)
		for i, f := range figures[k] {
			value[i].figure = value[i].figure.Add(f.amount)
		}
	}
	if d.totals[usedShare].ref != "" {
		figures[usedShare] = l.apportioned(d.totals[usedShare].figure, value)
	}
	for i := range d.to {
		values := []reports.Value{reports.Count(d.size), reports.Text(d.of), reports.Text(d.to[i]), reports.Number(d.weights[i].figure)}
		for k := range d.totals {
			if figures[k] == nil {
				values = append(values, reports.Nothing())
				continue
			}
			values = append(values, reports.Number(figures[k][i].amount))
		}
		s.table.Rows = append(s.table.Rows, reports.Row{Key: key(i), Values: values})
		s.note(first + i)
		if ref := d.weights[i].ref; ref != "" {
			l.set(onShares, key(i), "weight", ref)
		}
	}
	column := func(col string) string { return s.area(s.cols[col], s.body+first, s.body+first+len(d.to)-1) }
	sum := decimal.Zero
	for _, w := range d.weights {
		sum = sum.Add(w.figure)
	}
	n := len(d.to)
	for k, total := range d.totals {
		if total.ref == "" {
			continue
		}
		col, whole, order := shareCols[k], shareTerms[2*k], shareTerms[2*k+1]
		units := fmt.Sprintf("%s*%s", total.ref, decimal.New(1, l.home))
		for i := range d.to {
			out[i][k] = portion{figures[k][i].amount, l.ref(onShares, key(i), col)}
			if sum.IsZero() { // the first takes all
				if i == 0 {
					l.set(onShares, key(i), col, total.ref)
				}
				continue
			}
			part := fmt.Sprintf("ROUND(%s*%s/SUM(%s),6)", units, l.ref(onShares, key(i), "weight"), column("weight"))
			if k == usedShare && d.hasValue() {
				part = l.usedPart(d, units, key, column, i)
			}
			wholeAt := l.ref(onShares, key(i), whole)
			l.work(onShares, key(i), whole, "INT("+part+")", figures[k][i].whole)
			l.work(onShares, key(i), order, fmt.Sprintf("ROUND((%s-%s)*%d,0)*%d+%d", part, wholeAt, remainderScale, n+1, n-i), figures[k][i].order)
			l.set(onShares, key(i), col, fmt.Sprintf("ROUND((%s+IF(COUNTIF(%s,\">\"&%s)<ROUND(%s,0)-SUM(%s),1,0))/%s,%d)",
				wholeAt, column(order), l.ref(onShares, key(i), order), units, column(whole), decimal.New(1, l.home), l.home))
		}
	}
	return out
}

// hasValue tells whether cash or drawer are shared out.
func (d *division) hasValue() bool {
	return d.totals[cashShare].ref != "" || d.totals[drawerShare].ref != ""
}

// usedPart is what a share uses, unrounded: by what it has, cash and drawer. Where
// the shares have nothing, nothing is used.
func (l *live) usedPart(d division, units string, key func(int) string, column func(string) string, i int) string {
	var has, all []string
	for _, k := range []int{cashShare, drawerShare} {
		if d.totals[k].ref != "" {
			has = append(has, l.ref(onShares, key(i), shareCols[k]))
			all = append(all, "SUM("+column(shareCols[k])+")")
		}
	}
	return fmt.Sprintf("ROUND(%s*(%s)/MAX(%s,%s),6)", units, sumOf(has), sumOf(all), decimal.New(1, -l.home))
}

// shared is one share: its amount, and the working figures behind it.
type shared struct{ amount, whole, order decimal.Decimal }

// apportioned works out what the formulas of divide give.
func (l *live) apportioned(total decimal.Decimal, weights []portion) []shared {
	out := make([]shared, len(weights))
	sum := decimal.Zero
	for _, w := range weights {
		sum = sum.Add(w.figure)
	}
	n := int64(len(weights))
	if sum.IsZero() {
		out[0].amount = total
		for i := range out {
			out[i].order = decimal.NewFromInt(n - int64(i))
		}
		return out
	}
	units := total.Shift(l.home)
	rest := units.Round(0)
	for i, w := range weights {
		part := units.Mul(w.figure).DivRound(sum, 6)
		out[i].whole = part.Floor()
		rest = rest.Sub(out[i].whole)
		out[i].order = part.Sub(out[i].whole).Mul(decimal.NewFromInt(remainderScale)).Round(0).Mul(decimal.NewFromInt(n + 1)).Add(decimal.NewFromInt(n - int64(i)))
	}
	for i := range out {
		before := int64(0)
		for j := range out {
			before += oneIf(out[j].order.GreaterThan(out[i].order))
		}
		amount := out[i].whole
		if decimal.NewFromInt(before).LessThan(rest) {
			amount = amount.Add(decimal.NewFromInt(1))
		}
		out[i].amount = amount.Shift(-l.home)
	}
	return out
}
