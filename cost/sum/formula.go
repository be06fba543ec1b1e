package sum

import (
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"

	"github.com/shopspring/decimal"
)

// Cell is where a number stands in a workbook.
type Cell struct {
	Sheet    string
	Col, Row int // from 1
	Line     int // number of its row: between rows of consecutive numbers stand no figures
}

// Cells tells where things stand in a workbook.
type Cells interface {
	// At is the cell of a result, or of a figure; false where it has none.
	At(k Key, f *Figure) (Cell, bool)
	// Share is the cell of a share, which a workbook lays out by itself; false where it
	// has none, since the total is not known.
	Share(r Ref) (Cell, bool)
	// Column is the address of all rows of a table's column; the keys are in the
	// column "Key".
	Column(t *Table, column string) string
	// Address writes the address of one cell, or of the cells from one to another in
	// a column, as a formula on the sheet that is being written has it.
	Address(from, to Cell) string
}

// Writer writes the sums of a sheet as formulas of OpenFormula's small group.
//
// Money is rounded to nine decimals before it is rounded to its minor unit, so that
// the noise of binary fractions does not decide a tie: 1.005 is half a cent to a
// person and a little less to a machine.
type Writer struct {
	Sheet *Sheet
	Cells Cells
	found []place // by node
}

// place is where a node stands, once that was asked for.
type place struct {
	Cell
	asked, ok bool
}

// How tightly the operators of a term bind.
const (
	loose = iota // a + b
	tight        // a × b
	whole        // one name, number or call
)

// term is a piece of a formula.
type term struct {
	text  string
	binds int
}

func (t term) within(binds int) string {
	if t.binds < binds {
		return "(" + t.text + ")"
	}
	return t.text
}

// Formula is the formula of a result, without the equals sign.
func (w *Writer) Formula(r Ref) string { return w.worked(r).text }

// worked is what a node is worked out from.
func (w *Writer) worked(r Ref) term {
	t := w.open(r)
	n := w.Sheet.nameOf(r)
	if n == nil || n.digits < 0 || w.clean(r, true) {
		return t
	}
	return term{"ROUND(" + t.text + "," + strconv.Itoa(int(n.digits)) + ")", whole} // of the noise of adding what is rounded already
}

// clean tells whether a node comes out without the noise of binary fractions: one
// that is rounded, read, shared out or chosen among such, or a result that stands
// cleaned in its cell.
func (w *Writer) clean(r Ref, top bool) bool {
	s, n := w.Sheet, &w.Sheet.nodes[r]
	if named := s.nameOf(r); !top && named != nil && named.digits >= 0 {
		return true
	}
	a := s.argsOf(r)
	switch n.op {
	case opNumber, opFigure, opPick, opMatch, opRound, opShare:
		return true
	case opSame, opMin, opMax:
	case opAtLeast, opMore, opEqual:
		a = a[2:]
	default:
		return false
	}
	return !slices.ContainsFunc(a, func(x Ref) bool { return !w.clean(x, false) })
}

// term is the address of a node that has a cell, else what it is worked out from.
func (w *Writer) term(r Ref) term {
	if c, ok := w.cell(r); ok {
		return term{w.Cells.Address(c, c), whole}
	}
	return w.worked(r)
}

// cell is where a node stands.
func (w *Writer) cell(r Ref) (Cell, bool) {
	if len(w.found) < len(w.Sheet.nodes) {
		w.found = append(w.found, make([]place, len(w.Sheet.nodes)-len(w.found))...)
	}
	p := &w.found[r]
	if !p.asked {
		p.asked = true
		p.Cell, p.ok = w.look(r)
	}
	return p.Cell, p.ok
}

func (w *Writer) look(r Ref) (Cell, bool) {
	n := &w.Sheet.nodes[r]
	if n.op == opShare {
		return w.Cells.Share(r)
	}
	if named := w.Sheet.nameOf(r); named != nil {
		if c, ok := w.Cells.At(named.key, nil); ok {
			return c, true
		}
	}
	if n.op == opFigure {
		f := &w.Sheet.figures[n.extra]
		return w.Cells.At(f.Key, f)
	}
	return Cell{}, false
}

// open writes a node by its operation.
func (w *Writer) open(r Ref) term {
	s, a := w.Sheet, w.Sheet.argsOf(r)
	n := &s.nodes[r]
	arg := func(i int) string { return w.term(a[i]).text }
	choice := func(relation string) term {
		return term{"IF(" + arg(0) + relation + arg(1) + "," + arg(2) + "," + arg(3) + ")", whole}
	}
	switch n.op {
	case opFigure:
		if f := &s.figures[n.extra]; f.Text != "" {
			return term{`"` + strings.ReplaceAll(f.Text, `"`, `""`) + `"`, whole}
		}
	case opSame:
		return w.term(a[0])
	case opAdd:
		return w.total(a)
	case opSub:
		return term{w.term(a[0]).text + "-" + w.term(a[1]).within(tight), loose}
	case opMul:
		return w.product(a)
	case opDiv:
		over, under := w.term(a[0]).within(tight), w.term(a[1]).within(whole)
		if s.nodes[a[1]].op == opNumber {
			return term{over + "/" + under, tight}
		}
		return term{"IF(" + under + "=0,0," + over + "/" + under + ")", whole}
	case opRound:
		return w.rounded(a)
	case opUp:
		step := w.term(a[1]).within(whole)
		return term{"-INT(-ROUND(" + w.term(a[0]).within(tight) + "/" + step + ",9))*" + step, tight}
	case opMin:
		return w.call("MIN", a)
	case opMax:
		return w.call("MAX", a)
	case opAtLeast:
		return w.atLeast(a, choice)
	case opMore:
		return choice(">")
	case opEqual:
		return choice("=")
	case opMatch:
		return term{"MATCH(" + arg(0) + "," + w.Cells.Column(n.table, "Key") + ",1)", whole}
	case opPick:
		return term{"INDEX(" + w.Cells.Column(n.table, n.table.Columns[n.extra]) + "," + arg(0) + ")", whole}
	case opOf:
		return w.of(a)
	}
	if n.value.IsNegative() {
		return term{n.value.String(), loose}
	}
	return term{n.value.String(), whole}
}

// atLeast writes a comparison with a limit, which holds for nothing where the limit's
// cell is left blank.
func (w *Writer) atLeast(a []Ref, choice func(relation string) term) term {
	limit := w.Sheet.FigureOf(a[1])
	if limit == nil || !limit.Optional {
		return choice(">=")
	}
	cell, ok := w.cell(a[1])
	if !ok && limit.Blank {
		return w.term(a[3])
	} else if !ok {
		return choice(">=")
	}
	at := w.Cells.Address(cell, cell)
	return term{"IF(AND(ISNUMBER(" + at + ")," + w.term(a[0]).text + ">=" + at + ")," + w.term(a[2]).text + "," + w.term(a[3]).text + ")", whole}
}

func (w *Writer) call(function string, a []Ref) term {
	parts := bom.Each(a, func(x *Ref) string { return w.term(*x).text })
	return term{function + "(" + strings.Join(parts, ",") + ")", whole}
}

func (w *Writer) product(a []Ref) term {
	parts := bom.Each(a, func(x *Ref) string { return w.term(*x).within(tight) })
	return term{strings.Join(parts, "*"), tight}
}

// rounded is cleaned first of what binary fractions leave behind the digits that they hold
// for sure; nine more than are asked for are enough. No less may go: a third of an hour
// with nine decimals, times a price, can truly lie that near to a half.
func (w *Writer) rounded(a []Ref) term {
	digits := w.term(a[1]).text
	x := w.term(a[0]).text
	asked := w.Sheet.nodes[a[1]].value.IntPart()
	if sure := sureDigits(w.Sheet.nodes[a[0]].value); asked < 9 && asked < sure {
		x = "ROUND(" + x + "," + strconv.FormatInt(min(asked+9, sure), 10) + ")"
	}
	return term{"ROUND(" + x + "," + digits + ")", whole}
}

// sureDigits are the decimals that a binary fraction of 53 bits holds of a value and of
// others up to ten times as large.
func sureDigits(value decimal.Decimal) int64 {
	return 14 - int64(value.NumDigits()) - int64(value.Exponent())
}

// total adds terms up; cells that stand below one another are summed as a range.
func (w *Writer) total(a []Ref) term {
	var parts []string
	for i := 0; i < len(a); {
		if n, from, to := w.run(a[i:]); n > 2 {
			parts = append(parts, "SUM("+w.Cells.Address(from, to)+")")
			i += n
			continue
		}
		parts = append(parts, w.term(a[i]).text)
		i++
	}
	if len(parts) == 1 {
		return term{parts[0], whole}
	}
	return term{strings.Join(parts, "+"), loose}
}

// run is how many of some nodes stand below one another with no figure between, and the
// first and the last cell of them.
func (w *Writer) run(a []Ref) (n int, from, to Cell) {
	from, ok := w.cell(a[0])
	if !ok {
		return 0, from, to
	}
	n, to = 1, from
	for n < len(a) {
		c, ok := w.cell(a[n])
		if !ok || c.Sheet != from.Sheet || c.Col != from.Col || c.Line != from.Line+n {
			break
		}
		n, to = n+1, c
	}
	return n, from, to
}

// of adds up what has a tag: by ranges where tags and values stand in columns.
func (w *Writer) of(a []Ref) term {
	of, tags, values := ofWhat(a)
	tag := w.term(of).text
	n, from, to := w.run(tags)
	m, first, last := w.run(values)
	if n == len(tags) && m == len(values) && to.Row-from.Row == last.Row-first.Row {
		return term{"SUMIF(" + w.Cells.Address(from, to) + "," + tag + "," + w.Cells.Address(first, last) + ")", whole}
	}
	parts := make([]string, len(tags))
	for i := range tags {
		parts[i] = "IF(" + w.term(tags[i]).text + "=" + tag + "," + w.term(values[i]).text + ",0)"
	}
	return term{strings.Join(parts, "+"), loose}
}

// Term is a node as it stands in a formula: its address, else what it is worked out
// from, in brackets where it is more than one name, number or call.
func (w *Writer) Term(r Ref) string { return w.term(r).within(whole) }
