package terminal

import (
	"bufio"
	"io"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/reports"
)

// Size of the plot in characters, without its scales. The number of rows is
// odd, so that one is the middle.
const (
	plotRows  = 13
	plotLeast = 20
)

// Marks of the plot. Where both fall on one place the unit cost's stands.
const (
	markUnit = '*'
	markCash = '+'
	markOver = '^'
)

// cutAt is how many times the lowest unit cost the plot reaches up to; the
// first few sizes cost so much that the rest would lie flat on the floor.
const cutAt = 4

// Curve draws what one unit costs over the batch sizes of a sweep, in plain
// characters, and says below what is to be seen in it. Without a sweep it
// writes nothing.
func Curve(w io.Writer, r *reports.Report, width int) error {
	if r.Curve == nil {
		return nil
	}
	out := bufio.NewWriter(w)
	if r.Curve.Lowest() != nil {
		newPlot(r, width).write(out, r.Estimate, width)
	}
	for _, n := range reports.CurveNotes(r) {
		writeWrapped(out, n, "  ", width)
	}
	return out.Flush()
}

// plot is a grid of characters with its scales.
type plot struct {
	low, high decimal.Decimal
	first     int // batch size
	sizes     int
	width     int
	label     int // characters of the scale at the left
	currency  bom.Currency
	cells     [plotRows][]rune
	cut       bool
}

func newPlot(r *reports.Report, width int) *plot {
	e := r.Estimate
	points := r.Curve.Points
	p := &plot{first: points[0].Size, sizes: len(points), currency: e.Currency}
	for i := range points {
		unit, cash, ok := heights(&points[i])
		if !ok {
			continue
		}
		if p.high.IsZero() || unit.LessThan(p.low) {
			p.low = unit
		}
		p.low, p.high = decimal.Min(p.low, cash), decimal.Max(p.high, unit, cash)
	}
	if top := p.low.Mul(decimal.NewFromInt(cutAt)); top.IsPositive() && p.high.GreaterThan(top) {
		p.high, p.cut = top, true
	}
	p.label = max(len(p.currency.Shown(p.high)), len(p.currency.Shown(p.low)))
	p.width = min(width-p.label-2, max(plotLeast, p.sizes))
	for i := range p.cells {
		p.cells[i] = []rune(strings.Repeat(" ", p.width))
	}
	for i := range points {
		if _, cash, ok := heights(&points[i]); ok {
			p.set(i, cash, markCash)
		}
	}
	for i := range points {
		if unit, _, ok := heights(&points[i]); ok {
			p.set(i, unit, markUnit)
		}
	}
	return p
}

// heights are what is drawn of a size.
func heights(p *sweep.Point) (unit, cash decimal.Decimal, ok bool) {
	return p.PerUnit(p.Total.Consumed), p.PerUnit(p.Total.Cash), !p.Total.Unpriced
}

// set marks a figure in the column of its size.
func (p *plot) set(i int, d decimal.Decimal, mark rune) {
	column := p.columnOf(i)
	if d.GreaterThan(p.high) {
		p.cells[0][column] = markOver
		return
	}
	row := plotRows - 1
	if span := p.high.Sub(p.low); span.IsPositive() {
		share := p.high.Sub(d).DivRound(span, 6)
		row = int(share.Mul(decimal.NewFromInt(plotRows - 1)).Round(0).IntPart())
	}
	p.cells[row][column] = mark
}

// columnOf is the column of the i-th size.
func (p *plot) columnOf(i int) int {
	if p.sizes <= 1 {
		return 0
	}
	return i * (min(p.width, p.sizes) - 1) / (p.sizes - 1)
}

func (p *plot) write(out *bufio.Writer, e *cost.Estimate, width int) {
	head := e.Currency.Code + " per unit by batch size: " + string(markUnit) + " unit cost, " + string(markCash) + " cash per unit"
	if p.cut {
		head += ", " + string(markOver) + " above the plot"
	}
	writeWrapped(out, head, "  ", width)
	middle := p.low.Add(p.high).DivRound(decimal.NewFromInt(2), p.currency.Digits)
	for i, cells := range p.cells {
		label := ""
		switch i {
		case 0:
			label = p.currency.Shown(p.high)
		case plotRows / 2:
			label = p.currency.Shown(middle)
		case plotRows - 1:
			label = p.currency.Shown(p.low)
		}
		line := strings.Repeat(" ", p.label-len(label)) + label + " |" + strings.TrimRight(string(cells), " ")
		_, _ = out.WriteString(line + "\n")
	}
	_, _ = out.WriteString(strings.Repeat(" ", p.label+1) + "+" + strings.Repeat("-", p.width) + "\n")
	_, _ = out.WriteString(strings.Repeat(" ", p.label+2) + p.sizesBelow() + "\n")
}

// sizesBelow names the first size, the last, and the one in the middle.
func (p *plot) sizesBelow() string {
	line := []rune(strings.Repeat(" ", p.width))
	put := func(i int, flushRight bool) {
		text := []rune(strconv.Itoa(p.first + i))
		at := p.columnOf(i)
		if flushRight {
			at -= len(text) - 1
		}
		at = max(0, min(at, p.width-len(text)))
		copy(line[at:], text)
	}
	put(0, false)
	if p.sizes > 1 {
		if p.width >= 3*plotLeast/2 && p.sizes > 2 {
			put((p.sizes-1)/2, false)
		}
		put(p.sizes-1, true)
	}
	return strings.TrimRight(string(line), " ")
}
