package cost

import (
	"slices"

	"tenoff/bom"
)

// planPlates lays what is printed on plates and gives each a printer.
func planPlates(m *Model, b *Batch, problems *bom.Problems) {
	for g, group := range bom.Refs(m.groups) {
		var on loads
		if group.packed {
			on = packPlates(m, b, *group, problems)
		} else {
			on = ownPlates(m, b, *group)
		}
		b.Groups = append(b.Groups, PlateGroup{AreaBound: on.areaBound, Packed: group.packed})
		for i := range on.list {
			b.beds = append(b.beds, bed{load: on.list[i], group: g, printer: group.printer})
		}
	}
	givePrinters(m, b, problems)
	listRuns(m, b)
	for _, run := range bom.Refs(b.Plates) {
		run.Planned = enoughPlates(&m.prices.Settings, run.Plates, run.printer, problems)
	}
}

// laidOut are the plates of a batch, which are the same by every making of its boards.
type laidOut struct {
	plates   []PlateRun
	groups   []PlateGroup
	beds     []bed
	problems bom.Problems
}

// layOut plans the plates of a batch for others that print the same.
func layOut(m *Model, b *Batch) *laidOut {
	on := &laidOut{}
	planPlates(m, b, &on.problems)
	on.plates, on.groups, on.beds = slices.Clone(b.Plates), slices.Clone(b.Groups), slices.Clone(b.beds)
	return on
}

// take has a batch printed on plates that are laid.
func (b *Batch) take(on *laidOut) { b.Plates, b.Groups, b.beds = on.plates, on.groups, on.beds }

// listRuns sums up what is printed of each line on each printer.
func listRuns(m *Model, b *Batch) {
	for _, pl := range bom.Refs(m.printed) {
		first := len(b.Plates)
		for _, on := range append([]pieceOn{pl.pieceOn}, pl.others...) {
			if run := newRun(m, b, pl, on); run.Plates > 0 || on.printer == pl.printer && len(pl.others) == 0 {
				b.Plates = append(b.Plates, run)
			}
		}
		for j := first; j < len(b.Plates); j++ {
			group := &b.Groups[b.Plates[j].Group]
			group.Runs = append(group.Runs, j)
		}
	}
	for i := range b.beds {
		b.Groups[b.beds[i].group].Plates += b.beds[i].times
	}
}

// newRun is the printing of a line on one of its printers.
func newRun(m *Model, b *Batch, pl *printedLine, on pieceOn) PlateRun {
	line := m.entries[pl.entry].Line
	r := PlateRun{
		Entry: pl.entry, Part: line.Part, Material: m.parts[pl.material].Key, Recipe: line.Recipe,
		PieceG: on.g.G.Value, PieceH: on.hours.Hours.Value, From: on.fromText(), Others: on.unused(pl.perPlate), printer: on.printer,
	}
	if p := on.printer; p != nil {
		r.Printer = p.Name
	}
	for _, l := range bom.Refs(b.beds) {
		at := slices.IndexFunc(m.groups[l.group].lines, func(line int) bool { return &m.printed[line] == pl })
		if at < 0 {
			continue
		}
		r.Group = l.group
		if n := l.pieces[at]; n > 0 && l.printer == on.printer {
			r.Pieces += n * l.times
			r.Plates += l.times
			r.PerPlate = max(r.PerPlate, n)
			r.StartH += float64(n*l.times) * onceShare(m, l, at, startOf)
			r.PrimeG += float64(n*l.times) * onceShare(m, l, at, primeOf)
		}
	}
	return r
}

// onceShare is what a piece bears of what a plate takes once: it is borne evenly by the
// pieces whose figures do not hold it already.
func onceShare(m *Model, l *bed, line int, of func(*pieceOn) float64) float64 {
	lines := m.groups[l.group].lines
	if of(m.printed[lines[line]].by(l.printer)) == 0 {
		return 0
	}
	bearers, once := 0, 0.0
	for i, n := range l.pieces {
		if v := of(m.printed[lines[i]].by(l.printer)); n > 0 && v > 0 {
			bearers += n
			once = max(once, v)
		}
	}
	return once / float64(bearers)
}

// startOf and primeOf are what a plate of a piece takes once, h and g.
func startOf(on *pieceOn) float64 { return on.hours.StartS / secondsPerHour }
func primeOf(on *pieceOn) float64 { return on.g.PrimeG }
