package reports

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// ToPrint is what to print, by plate: how many plates of each part must come out good,
// how many that is expected to take, and when the last one is through.
func ToPrint(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "To print",
		Title: "what to print, by plate",
		Notes: []string{
			"filament and hours include plates expected to fail; days allow for as many as may fail at the setting Confidence %",
			"parts that share plates each show all of those plates; days count from the midnight before the first plate; plates start in attended hours",
		},
		Lead: 2,
		Columns: slices.Concat(
			batchColumn, plain("part", "material", "printer", "recipe"),
			columns(Column{Format: AsCount}, "pieces", "per plate", "plates"),
			columns(Column{Format: AsHours}, "expected: Expected plates"),
			columns(Column{Format: AsCount}, "planned: Plates allowed for", "by area: Fewest by area"),
			plain("shares: Shares plates with"),
			columns(Column{Format: AsHours}, "laid: Expected pieces"),
			columns(Column{Unit: "g", Format: AsGrams}, "piece g: One piece"),
			columns(Column{Unit: "h", Format: AsHours}, "piece h: One piece", "start h: Starting plates"),
			columns(Column{Unit: "g", Format: AsGrams}, "prime g: Starting plates"),
			columns(Column{Unit: "g", Format: asBatchGrams, Sum: true}, "filament"),
			columns(Column{Format: AsHours, Sum: true}, "hours"),
			columns(Column{Unit: code, Format: money, Sum: true}, "machine", "energy"),
			columns(Column{Unit: "day", Format: asDays}, "finish: Printing done", "bound: Earliest possible"),
			columns(Column{Unit: "h", Format: AsHours}, "idle: Printers idle"),
			plain("from: Mass and hours from", "others: Other sources say"),
		),
	}
	t.productColumn(e)
	for _, b := range bom.Refs(e.Batches) {
		for j, p := range bom.Refs(b.Plates) {
			g := &b.Groups[p.Group]
			values := []Value{BatchValue(b.ID()), Text(p.Part), Text(p.Material), Text(p.Printer), Text(p.Recipe), Count(p.Pieces),
				Count(p.PerPlate), Count(p.Plates), Float(p.Expected), Count(p.Planned), Count(g.AreaBound).where(g.Packed), Text(sharers(b, j)), Float(p.Laid), Float(p.PieceG), Float(p.PieceH),
				Float(p.StartH), Float(p.PrimeG), Float(p.FilamentG), Float(p.Hours), Number(p.Machine), Number(p.Energy), Nothing(), Nothing(), Nothing(),
				Text(p.From), Text(othersText(p.Others))}
			t.addAs(RowKey(KeyPlate, b.ID(), j), ofProduct(e, values, e.Entries[p.Entry].Product)...)
		}
		t.addTotal(b, printTotals(b))
	}
	t.totalsLast()
	return t
}

// printTotals are the figures of all plates of a batch that are no sums of rows.
func printTotals(b *cost.Batch) map[string]Value {
	p := b.Printing
	return map[string]Value{"part": Text("all plates"), "plates": Count(goodPlates(b)), "expected": Float(b.Printed), "finish": printDays(b),
		"bound": Float(p.BoundH / hoursADay).where(p.Known), "idle": Float(p.IdleH).where(p.Known)}
}

// goodPlates counts the plates that must come out good, each once.
func goodPlates(b *cost.Batch) (good int) {
	for _, g := range b.Groups {
		good += g.Plates
	}
	return good
}

// sharers names the other parts of a run's plates.
func sharers(b *cost.Batch, run int) string {
	var names []string
	for _, other := range b.Groups[b.Plates[run].Group].Runs {
		if b.Plates[other].Entry != b.Plates[run].Entry && !slices.Contains(names, b.Plates[other].Part) {
			names = append(names, b.Plates[other].Part)
		}
	}
	return strings.Join(names, ", ")
}

// othersText is "mesh 39.3 g (+2.1 %), 2.60 h (+4.0 %)".
func othersText(others []cost.PieceFigures) string {
	var texts []string
	for _, o := range others {
		var figures []string
		if o.G.Known {
			figures = append(figures, fmt.Sprintf("%.1f g (%+.1f %%)", o.G.Value, o.DiffersG*100))
		}
		if o.Hours.Known {
			figures = append(figures, fmt.Sprintf("%.2f h (%+.1f %%)", o.Hours.Value, o.DiffersH*100))
		}
		texts = append(texts, o.From+" "+strings.Join(figures, ", "))
	}
	return strings.Join(texts, "; ")
}
