package workbook

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

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

// position is a figure of a table: the index of its row, and the number of its column,
// counted from 1, working columns after those of the table.
type position struct{ row, col int }

// live ties the figures of an estimate's tables together with formulas.
//
// Only functions of the small group of OpenFormula (OpenDocument 1.3 part 4) are
// used, and FIXED of the medium group in sentences. Money is rounded to nine decimals
// before it is rounded to its minor unit, so that the noise of binary fractions does not
// decide a tie: 1.005 is half a cent to a person and a little less to a machine.
type live struct {
	e       *cost.Estimate
	tables  map[string]*laid
	written map[string]*formulas // by sheet
	home    int32
	amounts []string         // keys of the amounts that tables show
	gap     bool             // a reference since the last set found no figure
	read    map[string][]int // figures that were read: what they are -> indices of sources

	cellNames map[sum.Cell]string // names of cells

	told [][]statedSum // by batch: what is in the table Sums

	names []excelize.DefinedName
	named map[string]bool
	err   error // the first table or column that was asked for and is not there
}

// laid is a table with the place of its cells, its formulas and its working columns. Columns
// that are not shown where the table stands, and working columns, stand on another sheet,
// in rows that are as far apart.
type laid struct {
	table *reports.Table
	sheet string                  // on which its rows stand
	rest  string                  // on which its other columns stand
	down  int                     // from a row of sheet to that of rest
	rowAt []int                   // row of each row on sheet
	colAt []int                   // column of each column, on sheet or on rest
	shown []bool                  // columns that stand on sheet
	order []int                   // those columns, in the order in which they stand there
	line  int                     // number of the first row among all rows of tables
	rows  map[string]int          // key -> index into the table's rows
	cols  map[string]int          // key and batch -> column, from 1
	spans map[cost.BatchID][2]int // batch -> first and last of its body rows
	body  [2]int                  // first and last body row

	inputs  map[position]bool
	extras  []string        // headings of the working columns
	working []reports.Value // values of the working columns, row by row
}

func newLive(e *cost.Estimate) *live {
	l := &live{e: e, amounts: reports.AmountKeys(e), tables: map[string]*laid{}, written: map[string]*formulas{}, home: e.Currency.Digits, named: map[string]bool{},
		read: map[string][]int{}, cellNames: map[sum.Cell]string{}}
	for i, s := range e.Sources {
		if !s.Amount.Valid {
			continue
		}
		l.read[s.What] = append(l.read[s.What], i)
	}
	return l
}

func columnKey(key string, batch cost.BatchID) string {
	if batch == "" {
		return key
	}
	return key + "\n" + string(batch)
}

// note takes in what a table holds. Where its cells stand is filled in by its sheet.
func (l *live) note(t *reports.Table, extras ...string) *laid {
	s := &laid{table: t, rowAt: make([]int, len(t.Rows)), rows: map[string]int{}, cols: map[string]int{}, spans: map[cost.BatchID][2]int{},
		inputs: map[position]bool{}, extras: extras, working: make([]reports.Value, len(extras)*len(t.Rows))}
	for i, c := range t.Columns {
		s.cols[columnKey(c.Key, c.Batch)] = i + 1
	}
	for i, key := range extras {
		s.cols[key] = len(t.Columns) + 1 + i
	}
	s.colAt, s.shown = make([]int, len(t.Columns)+len(extras)), make([]bool, len(t.Columns)+len(extras))
	for i := range t.Rows {
		if key := t.Rows[i].Key; key != "" {
			s.rows[key] = i
		}
	}
	for _, before := range l.tables {
		s.line = max(s.line, before.line+len(before.rowAt)+1)
	}
	l.tables[t.Name] = s
	return s
}

// span takes in where the body rows stand, when all rows have their place.
func (s *laid) span() {
	for i, r := range bom.Refs(s.table.Rows) {
		if r.Role != reports.Body {
			continue
		}
		s.body = widened(s.body, s.rowAt[i])
		if id := batchOf(s.table, r); id != "" {
			s.spans[id] = widened(s.spans[id], s.rowAt[i])
		}
	}
}

// widened is a run of rows that takes in one more.
func widened(run [2]int, row int) [2]int {
	if run[0] == 0 {
		return [2]int{row, row}
	}
	return [2]int{min(run[0], row), max(run[1], row)}
}

// batchOf is the batch that a row of a table is about, whose first column tells it.
func batchOf(t *reports.Table, r *reports.Row) cost.BatchID {
	if len(r.Values) == 0 || t.Columns[0].Key != "batch" {
		return ""
	}
	return cost.BatchID(r.Values[0].Exact(reports.AsCount))
}

// cell is where a figure stands.
func (s *laid) cell(at position) sum.Cell {
	c := sum.Cell{Sheet: s.sheet, Col: s.colAt[at.col-1], Row: s.rowAt[at.row], Line: s.line + at.row}
	if !s.shown[at.col-1] {
		c.Sheet, c.Row = s.rest, c.Row+s.down
	}
	return c
}

// give gives a cell its formula.
func (l *live) give(c sum.Cell, f formula) {
	s := l.written[c.Sheet]
	if s == nil {
		s = new(formulas)
		l.written[c.Sheet] = s
	}
	for len(*s) < c.Row {
		*s = append(*s, nil)
	}
	row := &(*s)[c.Row-1]
	for len(*row) < c.Col {
		*row = append(*row, formula{})
	}
	f.text = strings.ReplaceAll(f.text, quoted(c.Sheet), "")
	(*row)[c.Col-1] = f
}

// work is what stands in a cell of a working column.
func (s *laid) work(at position) *reports.Value {
	return &s.working[at.row*len(s.extras)+at.col-1-len(s.table.Columns)]
}

// value is what stands in a cell of a table or of its working columns.
func (s *laid) value(at position) reports.Value {
	if at.col > len(s.table.Columns) {
		return *s.work(at)
	}
	return s.table.Rows[at.row].Values[at.col-1]
}

// find gives the place of a figure. A row may be missing, where the estimate has
// none; a table or a column that is not known is a fault.
func (l *live) find(table, row, col string) (*laid, position, bool) {
	s, c := l.columnOf(table, col)
	if s == nil || c == 0 {
		return nil, position{}, false
	}
	i, ok := s.rows[row]
	return s, position{i, c}, ok
}

// columnOf gives a table and the number of one of its columns; 0 after a fault.
func (l *live) columnOf(table, col string) (*laid, int) {
	s := l.tables[table]
	if s == nil {
		l.fault("no table %s", table)
		return nil, 0
	}
	if s.cols[col] == 0 {
		l.fault("no column %q in the table %s", col, table)
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
	return address(s.cell(at))
}

// address is that of a cell, with its sheet.
func address(c sum.Cell) string { return quoted(c.Sheet) + at(c.Col, c.Row) }

// refIn is ref in the column of one batch size.
func (l *live) refIn(table, row, col string, batch cost.BatchID) string {
	return l.ref(table, row, columnKey(col, batch))
}

// has tells whether a figure is there and known.
func (l *live) has(table, row, col string) bool {
	s, at, ok := l.find(table, row, col)
	return ok && !s.value(at).IsUnknown() && !s.value(at).IsNothing()
}

// span is a column's cells in the body rows of one batch; empty where it has none.
func (l *live) span(table, col string, batch cost.BatchID) string {
	s, c := l.columnOf(table, col)
	if c == 0 {
		return ""
	}
	rows, ok := s.spans[batch]
	if !ok {
		return ""
	}
	return s.area(c, rows)
}

// column is a column's cells in all body rows.
func (l *live) column(table, col string) string {
	s, c := l.columnOf(table, col)
	if c == 0 {
		return ""
	}
	return s.area(c, s.body)
}

// area is a column's cells from one row of the sheet to another.
func (s *laid) area(col int, rows [2]int) string {
	if s.shown[col-1] {
		return area(s.sheet, s.colAt[col-1], rows[0], rows[1])
	}
	return area(s.rest, s.colAt[col-1], rows[0]+s.down, rows[1]+s.down)
}

// area is the address of cells below one another.
func area(sheet string, col, from, to int) string {
	letter := "$" + bom.ColumnLetters(col) + "$"
	return quoted(sheet) + letter + strconv.Itoa(from) + ":" + letter + strconv.Itoa(to)
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
	f := formula{text: text, isStr: v.IsText() || v.IsNothing() && at.col > len(s.table.Columns)} // empty text of a working column
	if !number && !day && !f.isStr {
		return
	}
	if f.isStr {
		f.str = v.Exact(reports.AsText)
	}
	l.give(s.cell(at), f)
}

func (l *live) setIn(table, row, col string, batch cost.BatchID, text string) {
	l.set(table, row, columnKey(col, batch), text)
}

// work fills in a cell of a working column: a formula with its value.
func (l *live) work(table, row, col, text string, v decimal.Decimal) {
	l.constant(table, row, col, v)
	l.set(table, row, col, text)
}

// workText fills in a text of a working column.
func (l *live) workText(table, row, col, text, v string) {
	if s, at, ok := l.find(table, row, col); ok {
		*s.work(at) = reports.Text(v)
	}
	l.set(table, row, col, text)
}

// put gives a cell outside of tables its formula, unless a figure that it needs is missing.
func (l *live) put(c sum.Cell, f formula) {
	if !l.gap {
		l.give(c, f)
	}
	l.gap = false
}

// say is put for a cell that holds text.
func (l *live) say(c sum.Cell, text, str string) {
	l.put(c, formula{text: text, isStr: true, str: str})
}

// constant fills in a cell of a working column that is no formula.
func (l *live) constant(table, row, col string, v decimal.Decimal) {
	if s, at, ok := l.find(table, row, col); ok {
		*s.work(at) = reports.Number(v)
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
		l.names = append(l.names, excelize.DefinedName{Name: n, RefersTo: refersTo})
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
