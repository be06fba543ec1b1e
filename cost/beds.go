package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/printing/plates"
)

// groupPlates puts lines together whose pieces are laid on beds by their size, of the
// same material, recipe and printer, and the lines of one piece.
func groupPlates(m *Model) {
	type key struct {
		pieceKey
		material int
	}
	at := map[key]int{}
	for i, pl := range bom.Refs(m.printed) {
		k := key{pieceOf(m, pl), pl.material}
		if pl.packed {
			k.part = ""
		}
		if g, ok := at[k]; ok && (pl.packed || lineOf(m, pl).Number != "") {
			m.groups[g].lines = append(m.groups[g].lines, i)
			continue
		}
		at[k] = len(m.groups)
		m.groups = append(m.groups, plateGroup{lines: []int{i}, printer: pl.printer, packed: pl.packed})
	}
}

// ownPlates are those of one piece with so many on each, line after line: full
// ones, and one with the rest.
func ownPlates(m *Model, b *Batch, g plateGroup) loads {
	var on loads
	per := m.printed[g.lines[0]].perPlate
	begun, laid := make([]int, len(g.lines)), 0 // the plate that still has room
	finish := func() {
		layPlates(m, &on, g, begun, 1, bom.Point{})
		begun, laid = make([]int, len(g.lines)), 0
	}
	for i, line := range g.lines {
		left := int(b.Needs[m.printed[line].entry].Ceil())
		if laid > 0 {
			begun[i] = min(left, per-laid)
			laid, left = laid+begun[i], left-begun[i]
		}
		if laid == per {
			finish()
		}
		if full := left / per; full > 0 {
			pieces := make([]int, len(g.lines))
			pieces[i] = per
			layPlates(m, &on, g, pieces, full, bom.Point{})
		}
		if rest := left % per; rest > 0 {
			begun[i], laid = rest, rest
		}
	}
	if laid > 0 {
		finish()
	}
	return on
}

// layPlates adds plates with so many pieces of each line of a group, laid out on so much
// of the bed; nothing where that is not known.
func layPlates(m *Model, on *loads, g plateGroup, pieces []int, times int, size bom.Point) {
	if n := len(on.list); n > 0 && slices.Equal(on.list[n-1].pieces, pieces) {
		last := &on.list[n-1]
		last.times += times
		last.size = bom.Point{max(last.size[0], size[0]), max(last.size[1], size[1])}
		return
	}
	l := load{times: times, pieces: pieces, size: size}
	l.hours = hoursOn(m, &l, g.lines, g.printer)
	on.list = append(on.list, l)
}

// packPlates packs the pieces of a group on beds.
func packPlates(m *Model, b *Batch, g plateGroup, problems *bom.Problems) loads {
	pieces := make([]plates.Piece, len(g.lines))
	for i, line := range g.lines {
		pl := &m.printed[line]
		pieces[i] = plates.Piece{X: pl.size[0], Y: pl.size[1], Count: int(b.Needs[pl.entry].Ceil())}
	}
	plan, err := plates.Pack(bedOf(&m.prices.Settings, g.printer), pieces)
	if err != nil {
		line := m.entries[m.printed[g.lines[0]].entry].Line
		problems.Errorf(line.At("Per plate"), "", "Per plate, the pieces that are printed in one go", "the plates of %s cannot be laid out: %v", line.Part, err)
		return loads{}
	}
	on := loads{areaBound: plan.AreaBound}
	for _, p := range plan.Plates {
		count, size := make([]int, len(g.lines)), bom.Point{}
		for _, at := range p {
			count[at.Piece]++
			x, y := pieces[at.Piece].X, pieces[at.Piece].Y
			if at.Turned {
				x, y = y, x
			}
			size = bom.Point{max(size[0], at.X+x), max(size[1], at.Y+y)}
		}
		layPlates(m, &on, g, count, 1, size)
	}
	return on
}

// hoursOn is what a plate takes on a printer. It is started once, whatever lies on it.
func hoursOn(m *Model, l *load, lines []int, printer *bom.Printer) (h float64) {
	start := 0.0
	for i, n := range l.pieces {
		if n > 0 {
			took := m.printed[lines[i]].by(printer).hours
			h += float64(n) * took.Hours.Value
			start = max(start, took.StartS)
		}
	}
	return h + start/secondsPerHour
}

// loads are the plates of a group that must come out good.
type loads struct {
	list      []load
	areaBound int // 0 where plates are not packed
}
