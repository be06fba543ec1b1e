package workbook

import (
	"slices"
	"strconv"
	"strings"

	"tenoff/cost/sum"
	"tenoff/cost/workers"
	"tenoff/reports"
)

// onSums is the sheet that tells of every result how it is worked out.
const onSums = "Sums"

// sumsAtMost keeps the sheet from making a workbook that is slow to open.
const sumsAtMost = 20_000

// longestFormula is that which a cell can hold, in characters.
const longestFormula = 8192

// statedSum is a result in its row of Sums.
type statedSum struct {
	row string
	ref sum.Ref
}

// sumsTable lists the results of all batches but those that nothing adds to: what each is, how it is
// worked out, and the cells that it rests on directly.
func sumsTable(l *live) reports.Table {
	t := reports.Table{
		Name:  onSums,
		Title: "how every figure is worked out; for the screen, not for paper",
		Notes: []string{"each figure from others in the column Figure, named without what both are of; what nothing adds to is left out"},
		Lead:  2,
		Columns: []reports.Column{
			{Key: "batch", Heading: "Batch", Format: reports.AsCount},
			{Key: "what", Heading: "Figure"},
			{Key: "value", Heading: "Value", Format: reports.AsQuantity},
			{Key: "unit", Heading: "In"},
			{Key: "how", Heading: "Worked out as"},
			{Key: "from", Heading: "Source"},
		},
	}
	l.told = make([][]statedSum, len(l.e.Batches))
	most := sumsAtMost / len(l.e.Batches)
	left := make([]int, len(l.e.Batches))
	rows := make([][]reports.Row, len(l.e.Batches))
	workers.AtOnce(len(rows), func(_, i int) bool {
		rows[i], left[i] = toldRows(l, i, most)
		return true
	})
	t.Rows = slices.Concat(rows...)
	if n := slices.Max(left); n > 0 {
		t.Notes = append(t.Notes, "up to "+strconv.Itoa(n)+" more of a batch are left out here; the command explain tells them")
	}
	return t
}

// toldRows are the rows of one batch, and the number of those that there are too many.
func toldRows(l *live, batch, most int) (rows []reports.Row, left int) {
	b := &l.e.Batches[batch]
	x, money := reports.NewExplainer(l.e, b), reports.AsUnitMoney(l.e.Currency)
	money.Trim = true
	x.Results(func(words sum.Words, r sum.Ref) {
		if len(rows) == most {
			left++
			return
		}
		how, from := x.HowOf(r)
		if how == "0" { // whatever is edited
			return
		}
		key := reports.RowKey("sum", b.ID(), len(rows))
		l.told[batch] = append(l.told[batch], statedSum{key, r})
		value := reports.Unknown()
		if !b.Sums.Unknown(r) {
			value = reports.Number(b.Sums.Value(r))
		}
		if words.Unit == l.e.Currency.Code {
			value = value.As(money)
		}
		rows = append(rows, reports.Row{Key: key, Values: []reports.Value{reports.BatchValue(b.ID()), reports.Text(words.String()), value,
			reports.Text(words.Unit), reports.Text(how), reports.Text(strings.Join(from, "; "))}})
	})
	return rows, left
}

// tellSums has the values on Sums follow the cells of the results, or what those are
// worked out from.
func tellSums(l *live, batch int, w *sum.Writer) {
	for _, s := range l.told[batch] {
		if text := w.Term(s.ref); len(text) <= longestFormula && !w.Sheet.Unknown(s.ref) {
			l.set(onSums, s.row, "value", text)
		}
	}
}
