package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// formula is what a cell works out. The cell keeps the value of the estimate
// beside it, so that a viewer that does not calculate shows the same.
type formula struct {
	text  string // without the equals sign
	str   string // the carried value, where isStr
	isStr bool
}

// formulas are those of a sheet, by row and column, both counted from 0 here;
// rows without any are nil.
type formulas [][]formula

// at is the formula of a cell; its text is empty where there is none.
func (f formulas) at(s spot) formula {
	if s.row > len(f) || s.col > len(f[s.row-1]) {
		return formula{}
	}
	return f[s.row-1][s.col-1]
}

// spot is a cell of a sheet, both counted from 1.
type spot struct{ row, col int }

// live ties the figures of an estimate's tables together with formulas.
//
// Only functions of the small group of OpenFormula (OpenDocument 1.3 part 4) are
// used. Money is rounded to nine decimals before it is rounded to its minor
// unit, so that the noise of binary fractions does not decide a tie: 1.005 is
// half a cent to a person and a little less to a machine.
type live struct {
	e       *cost.Estimate
	sheets  map[string]*laid
	home    int32
	amounts []string          // keys of the amounts that tables show
	gap     bool              // a reference since the last set found no figure
	read    map[string][]int  // figures that were read: what they are -> indices of sources
	drawn   map[bom.Place]int // value of what is on hand: its place -> index of its source

	cellNames map[sum.Cell]string // names of cells

	told [][]statedSum // by batch: what is on the sheet Sums

	names []name
	named map[string]bool
	err   error // the first sheet or column that was asked for and is not there
}

// laid is a table with the place of its cells, its formulas and the working
// columns to its right.
type laid struct {
	table    *reports.Table
	prefix   string         // of the address of its cells in formulas of other sheets
	body     int            // number of the first row
	length   int            // rows of the body, those before the first other one
	rows     map[string]int // key -> index into the table's rows
	cols     map[string]int // key and batch -> column, from 1
	spans    map[int][2]int // batch -> first and last row of its body rows
	formulas formulas
	inputs   map[spot]bool
	extras   []string // headings of the working columns
	working  map[spot]reports.Value
}

// name is a name for a cell or a range.
type name struct{ name, refersTo string }

func newLive(e *cost.Estimate) *live {
	l := &live{e: e, amounts: reports.AmountKeys(e), sheets: map[string]*laid{}, home: e.Currency.Digits, named: map[string]bool{},
		read: map[string][]int{}, drawn: map[bom.Place]int{}, cellNames: map[sum.Cell]string{}}
	for i, s := range e.Sources {
		if !s.Amount.Valid {
			continue
		}
		l.read[s.What] = append(l.read[s.What], i)
		if _, had := l.drawn[s.Place]; s.What == "on hand" && !had {
			l.drawn[s.Place] = i
		}
	}
	return l
}

func columnKey(key string, batch int) string {
	if batch == 0 {
		return key
	}
	return key + "\n" + strconv.Itoa(batch)
}

// lay notes where the cells of a table stand. Working columns begin one column
// beyond it.
func (l *live) lay(t *reports.Table, body int, extras ...string) *laid {
	s := &laid{table: t, prefix: quoted(t.Name), body: body, rows: map[string]int{}, cols: map[string]int{}, spans: map[int][2]int{},
		inputs: map[spot]bool{}, extras: extras, working: make(map[spot]reports.Value, len(extras)*len(t.Rows))}
	for i, c := range t.Columns {
		s.cols[columnKey(c.Key, c.Batch)] = i + 1
	}
	for i, key := range extras {
		s.cols[key] = len(t.Columns) + 2 + i
	}
	for i := range t.Rows {
		s.note(i)
	}
	l.sheets[t.Name] = s
	return s
}

// note takes in the table's row of that index.
func (s *laid) note(i int) {
	r := &s.table.Rows[i]
	if r.Key != "" {
		s.rows[r.Key] = i
	}
	if r.Role == reports.Body && i == s.length {
		s.length++
	}
	if len(r.Values) == 0 || r.Role != reports.Body || s.table.Columns[0].Key != "batch" {
		return
	}
	size, ok := r.Values[0].Decimal()
	if !ok {
		return
	}
	n := int(size.IntPart())
	span, again := s.spans[n]
	if !again {
		span[0] = s.body + i
	}
	span[1] = s.body + i
	s.spans[n] = span
}

// width is the last column of the table and of its working columns.
func (s *laid) width() int { return len(s.table.Columns) + 1 + len(s.extras) }

// give gives a cell its formula.
func (s *laid) give(at spot, f formula) {
	for len(s.formulas) < at.row {
		s.formulas = append(s.formulas, nil)
	}
	row := &s.formulas[at.row-1]
	if *row == nil {
		*row = make([]formula, s.width())
	}
	(*row)[at.col-1] = f
}

// value is what stands in a cell, of the table, of its working columns or above
// them.
func (s *laid) value(at spot) reports.Value {
	if at.row < s.body || at.col > len(s.table.Columns) {
		return s.working[at]
	}
	return s.table.Rows[at.row-s.body].Values[at.col-1]
}

// find gives the place of a figure. A row may be missing, where the estimate has
// none; a sheet or a column that is not known is a fault.
func (l *live) find(table, row, col string) (*laid, spot, bool) {
	s, c := l.columnOf(table, col)
	if s == nil || c == 0 {
		return nil, spot{}, false
	}
	i, ok := s.rows[row]
	return s, spot{s.body + i, c}, ok
}

// columnOf gives a sheet and the number of one of its columns; 0 after a fault.
func (l *live) columnOf(table, col string) (*laid, int) {
	s := l.sheets[table]
	if s == nil {
		l.fault("no sheet %s", table)
		return nil, 0
	}
	if s.cols[col] == 0 {
		l.fault("no column %q on the sheet %s", col, table)
	}
	return s, s.cols[col]
}

// fault keeps the first fault of what formulas are asked for.
func (l *live) fault(format string, args ...any) {
	if l.err == nil {
		l.err = fmt.Errorf("formulas: "+format, args...)
	}
}

func quoted(sheet string) string { return "'" + strings.ReplaceAll(sheet, "'", "''") + "'!" }

// ref is the address of a figure. Where there is none a gap is noted and the
// formula it was meant for is not set.
func (l *live) ref(table, row, col string) string {
	s, at, ok := l.find(table, row, col)
	if !ok || s.value(at).IsUnknown() {
		l.gap = true
		return "0"
	}
	return s.prefix + bom.ColumnLetters(at.col) + strconv.Itoa(at.row)
}

// refIn is ref in the column of one batch size.
func (l *live) refIn(table, row, col string, batch int) string {
	return l.ref(table, row, columnKey(col, batch))
}

// has tells whether a figure is there and known.
func (l *live) has(table, row, col string) bool {
	s, at, ok := l.find(table, row, col)
	return ok && !s.value(at).IsUnknown() && !s.value(at).IsNothing()
}

// span is a column's cells in the body rows of one batch; empty where it has none.
func (l *live) span(table, col string, batch int) string {
	s, c := l.columnOf(table, col)
	if c == 0 {
		return ""
	}
	rows, ok := s.spans[batch]
	if !ok {
		return ""
	}
	return s.area(c, rows[0], rows[1])
}

// column is a column's cells in all body rows.
func (l *live) column(table, col string) string {
	s, c := l.columnOf(table, col)
	if c == 0 {
		return ""
	}
	return s.area(c, s.body, s.body+max(1, s.length)-1)
}

func (s *laid) area(col, from, to int) string {
	letter := "$" + bom.ColumnLetters(col) + "$"
	return s.prefix + letter + strconv.Itoa(from) + ":" + letter + strconv.Itoa(to)
}

// set gives a cell its formula, unless a figure it needs is missing or the cell
// itself holds none.
func (l *live) set(table, row, col, text string) {
	gap := l.gap
	l.gap = false
	s, at, ok := l.find(table, row, col)
	if gap || !ok {
		return
	}
	v := s.value(at)
	_, number := v.Decimal()
	_, day := v.Day()
	if !number && !day && !v.IsText() {
		return
	}
	f := formula{text: strings.ReplaceAll(text, s.prefix, "")}
	if v.IsText() {
		f.isStr, f.str = true, v.Exact(reports.AsText)
	}
	s.give(at, f)
}

func (l *live) setIn(table, row, col string, batch int, text string) {
	l.set(table, row, columnKey(col, batch), text)
}

// work fills in a cell of a working column: a formula with its value.
func (l *live) work(table, row, col, text string, v decimal.Decimal) {
	s, at, ok := l.find(table, row, col)
	if ok {
		s.working[at] = reports.Number(v)
	}
	l.set(table, row, col, text)
}

// word gives a cell above a table a formula that gives a word.
func (l *live) word(table string, at spot, text, word string) {
	gap := l.gap
	l.gap = false
	s := l.sheets[table]
	s.working[at] = reports.Text(word)
	if !gap {
		s.give(at, formula{text: strings.ReplaceAll(text, s.prefix, ""), str: word, isStr: true})
	}
}

// constant fills in a cell of a working column that is no formula.
func (l *live) constant(table, row, col string, v decimal.Decimal) {
	if s, at, ok := l.find(table, row, col); ok {
		s.working[at] = reports.Number(v)
	}
}

// input marks a cell as one that may be changed, where it holds a figure.
func (l *live) input(table, row string, cols ...string) {
	for _, col := range cols {
		s, at, ok := l.find(table, row, col)
		if !ok {
			continue
		}
		if _, number := s.value(at).Decimal(); number {
			s.inputs[at] = true
		}
	}
}

// blankInput marks a cell as one that may be filled in.
func (l *live) blankInput(table, row, col string) {
	if s, at, ok := l.find(table, row, col); ok {
		s.inputs[at] = true
	}
}

// call names an input, once.
func (l *live) call(word, refersTo string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(strings.ReplaceAll(word, "%", "percent")) {
		if r < 'a' || r > 'z' {
			if r < '0' || r > '9' {
				r = '_'
			}
		}
		b.WriteRune(r)
	}
	n := b.String()
	if !l.named[n] {
		l.named[n] = true
		l.names = append(l.names, name{n, refersTo})
	}
	return n
}

// clean drops the noise of adding amounts that are rounded already.
func (l *live) clean(x string) string { return "ROUND(" + x + "," + strconv.Itoa(int(l.home)) + ")" }

// sumOf adds references up; of none it is 0.
func sumOf(refs []string) string {
	if len(refs) == 0 {
		return "0"
	}
	return strings.Join(refs, "+")
}
