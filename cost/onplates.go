package cost

import (
	"cmp"
	"slices"

	"tenoff/bom"
	"tenoff/cost/printing/plates"
	"tenoff/cost/yield"
)

// groupPlates puts lines together whose pieces are laid on beds by their size, of the
// same material, recipe and printer, and the lines of one piece.
func groupPlates(m *Model) {
	type key struct {
		pieceKey
		material int
	}
	at := map[key]int{}
	for i := range m.printed {
		pl := &m.printed[i]
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

// planPlates fills in what is printed (5.6), and gives the plates of each group.
func planPlates(m *Model, b *Batch, problems *bom.Problems) (beds []loads) {
	b.Plates = make([]PlateRun, len(m.printed))
	for i := range m.printed {
		pl := &m.printed[i]
		line := m.entries[pl.entry].Line
		b.Plates[i] = PlateRun{
			Entry: pl.entry, Part: line.Part, Material: m.parts[pl.material].Key, Recipe: line.Recipe,
			Pieces: b.Needs[pl.entry], PerPlate: pl.perPlate, PieceG: pl.g.G.Value,
			From: pl.fromText(), Others: pl.others(),
		}
		if pl.printer != nil {
			r := &b.Plates[i]
			r.Printer, r.PowerW = pl.printer.Name, pl.printer.PowerW
			r.PowerAt, r.RateAt = pl.printer.At("Power W"), pl.printer.At("Hourly rate")
		}
	}
	for _, g := range m.groups {
		var on loads
		if g.packed {
			on = packPlates(m, b, g, problems)
		} else {
			on = ownPlates(m, b, g)
		}
		on.started = m.startedOf(on.good, g.printer, problems)
		fillRuns(m, b, g, &on)
		beds = append(beds, on)
	}
	return beds
}

// startedOf is how many plates are begun so that enough come out good.
func (m *Model) startedOf(good int, printer *bom.Printer, problems *bom.Problems) int {
	if printer == nil {
		return good
	}
	started, err := yield.Enough(good, 1-share(printer.Failure), share(m.prices.Settings.Confidence))
	if err != nil {
		problems.Errorf(printer.At("Failure %"), printer.Failure.String(), "a lower failure rate", "%v", err)
	}
	return max(started, good)
}

// ownPlates are those of one piece with so many on each (5.6), line after line. The
// last line fills up the last plate.
func ownPlates(m *Model, b *Batch, g plateGroup) loads {
	var on loads
	per := m.printed[g.lines[0]].perPlate
	begun, laid := make([]int, len(g.lines)), 0 // the plate that still has room
	finish := func() {
		layPlates(m, &on, g, begun, 1)
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
			layPlates(m, &on, g, pieces, full)
		}
		if rest := left % per; rest > 0 {
			begun[i], laid = rest, rest
		}
	}
	if laid > 0 {
		begun[len(begun)-1] += per - laid
		finish()
	}
	return on
}

// layPlates adds plates with so many pieces of each line of a group.
func layPlates(m *Model, on *loads, g plateGroup, pieces []int, times int) {
	on.good += times
	if n := len(on.list); n > 0 && slices.Equal(on.list[n-1].pieces, pieces) {
		on.list[n-1].times += times
		return
	}
	l := load{times: times, pieces: pieces}
	weighPlate(m, &l, g.lines)
	on.list = append(on.list, l)
}

// packPlates packs the pieces of a group on beds.
func packPlates(m *Model, b *Batch, g plateGroup, problems *bom.Problems) loads {
	pieces := make([]plates.Piece, len(g.lines))
	for i, line := range g.lines {
		pl := &m.printed[line]
		pieces[i] = plates.Piece{X: pl.size[0], Y: pl.size[1], Count: int(b.Needs[pl.entry].Ceil())}
	}
	plan, err := plates.Pack(m.bed(g.printer), pieces)
	if err != nil {
		line := m.entries[m.printed[g.lines[0]].entry].Line
		problems.Errorf(line.At("Per plate"), "", "Per plate, the pieces that are printed in one go", "the plates of %s cannot be laid out: %v", line.Part, err)
		return loads{}
	}
	on := loads{areaBound: plan.AreaBound, bound: plan.Bound, proven: plan.Proven}
	for _, p := range plan.Plates {
		pieces := make([]int, len(g.lines))
		for _, at := range p {
			pieces[at.Piece]++
		}
		layPlates(m, &on, g, pieces, 1)
	}
	slices.SortStableFunc(on.list, func(a, b load) int { return cmp.Or(cmp.Compare(b.g, a.g), cmp.Compare(b.hours, a.hours)) })
	return on
}

// weighPlate sums up a plate. It is started once, whatever lies on it.
func weighPlate(m *Model, l *load, lines []int) {
	start := 0.0
	for i, n := range l.pieces {
		pl := &m.printed[lines[i]]
		if n > 0 {
			l.g += float64(n) * pl.g.G.Value
			l.hours += float64(n) * pl.hours.Hours.Value
			start = max(start, pl.hours.StartS)
		}
	}
	l.hours += start / secondsPerHour
}

// fillRuns fills in the runs of the lines of a group. The start of a plate is borne
// evenly by the pieces on it that do not hold it already.
func fillRuns(m *Model, b *Batch, g plateGroup, on *loads) {
	group := PlateGroup{Plates: on.good, Started: on.started, AreaBound: on.areaBound, Bound: on.bound, Proven: on.proven, Packed: g.packed}
	for i, line := range g.lines {
		pl, run := &m.printed[line], &b.Plates[line]
		run.Group = len(b.Groups)
		group.Runs = append(group.Runs, line)
		most, pieces := 0, 0.0
		on.eachStarted(func(l *load, times int) {
			n := l.pieces[i]
			if n == 0 {
				return
			}
			run.Plates += l.times
			run.Started += times
			most = max(most, n)
			run.Laid += times * n
			laid := float64(times * n)
			pieces += laid
			run.FilamentG += laid * pl.g.G.Value
			run.Hours += laid * (pl.hours.Hours.Value + m.startShare(pl, l, g.lines))
		})
		if most > 0 {
			run.PerPlate, run.PieceH = most, run.Hours/pieces
		}
	}
	b.Groups = append(b.Groups, group)
}

// startShare is what a piece bears of the start of a plate, h.
func (m *Model) startShare(pl *printedLine, l *load, lines []int) float64 {
	if pl.hours.StartS == 0 {
		return 0
	}
	bearers, start := 0, 0.0
	for i, n := range l.pieces {
		if s := m.printed[lines[i]].hours.StartS; n > 0 && s > 0 {
			bearers += n
			start = max(start, s)
		}
	}
	return start / secondsPerHour / float64(bearers)
}
