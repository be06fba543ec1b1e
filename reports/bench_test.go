package reports

import (
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports/internal/sample"
)

// texts gives the texts of one column of a table.
func texts(t Table, key string) []string {
	var out []string
	for i, c := range t.Columns {
		if c.Key != key {
			continue
		}
		for _, r := range t.Rows {
			out = append(out, r.Values[i].Exact(r.Values[i].FormatIn(c)))
		}
		break
	}
	return out
}

// handFit is an estimate with through-hole parts of several heights.
func handFit(level bom.Level) *cost.Estimate {
	e := &cost.Estimate{Currency: bom.Currency{Code: "EUR", Digits: 2}, Level: level, Batches: []cost.Batch{{Size: 10, Starts: 11}}}
	add := func(part, designator string, category cost.Category, kind bom.Kind, mount bom.Mount, height float64, path string, machine bool) {
		l := &bom.Line{Part: part, Kind: kind, Mount: mount, Joints: bom.Joints{Count: 2, Known: true}}
		if designator != "" {
			l.Designators = []string{designator}
		}
		if height > 0 {
			l.Size[2] = bom.Known(height)
		}
		board := -1
		if path != "" {
			board = 0
		}
		e.Entries = append(e.Entries, cost.Entry{Line: l, Category: category, Path: path, Board: board, PerUnit: bom.Whole(1), PerBoard: bom.Whole(1), Machine: machine})
		e.Batches[0].Needs = append(e.Batches[0].Needs, bom.Whole(11))
	}
	add("BOARD", "", cost.BareBoard, bom.KindBoard, bom.MountNone, 0, "", false)
	add("SOUNDER", "LS1", cost.ThroughHoleParts, bom.KindPart, bom.THT, 0, "main", false)
	add("LOW-HEADER", "J1", cost.ThroughHoleParts, bom.KindPart, bom.THT, 2.5, "main", false)
	add("RESISTOR", "R1", cost.ThroughHoleParts, bom.KindPart, bom.THT, 0, "main", false)
	add("CHIP", "U1", cost.SMTParts, bom.KindPart, bom.SMT, 0, "main", true)
	add("SCREW", "", cost.Fasteners, bom.KindFastener, bom.MountNone, 0, "", false)
	add("INSERT", "", cost.Fasteners, bom.KindInsert, bom.MountNone, 0, "", false)
	add("BOX", "", cost.Packing, bom.KindPacking, bom.MountNone, 0, "", false)
	return e
}

// Low parts come first, by height where it is given and by class otherwise;
// what a machine places is in none of the papers.
func TestBenchPapers(t *testing.T) {
	built, kit := handFit(bom.LevelBuilt), handFit(bom.LevelKit)
	if got, want := texts(FitOrder(built), "part"), []string{"RESISTOR", "LOW-HEADER", "SOUNDER"}; !slices.Equal(got, want) {
		t.Errorf("fit order %v, want %v", got, want)
	}
	if got, want := texts(Fasteners(built), "part"), []string{"INSERT", "SCREW"}; !slices.Equal(got, want) {
		t.Errorf("fasteners %v, want %v: inserts go in first", got, want)
	}
	if got := texts(PickList(built), "part"); slices.Contains(got, "CHIP") || len(got) != 7 {
		t.Errorf("pick list %v", got)
	}
	if got := texts(PickList(built), "need"); got[0] != "11" {
		t.Errorf("a batch of 10 begins 11 units, the pick list says %s", got[0])
	}
	if got, want := texts(Bags(kit), "part"), []string{"BOARD", "SOUNDER", "LOW-HEADER", "RESISTOR", "SCREW", "INSERT"}; !slices.Equal(got, want) {
		t.Errorf("bags %v, want %v", got, want)
	}
	if len(FitOrder(kit).Rows)+len(Fasteners(kit).Rows)+len(Bags(built).Rows) > 0 {
		t.Error("papers of one level show at another")
	}
}

// A quote says how long it holds: until the oldest of its dated prices reaches
// the age limit, 90 days from 2025-12-01 is 2026-03-01.
func TestQuoteHolds(t *testing.T) {
	e := sample.Frost(10)
	e.Terms = &cost.Terms{Settings: bom.Settings{PriceAgeDays: 90}}
	for _, row := range []struct {
		on        bom.Date
		want, why string
	}{
		{bom.Date{}, "until 2026-03-01", "no day is known"},
		{bom.Date{Year: 2026, Month: 3, Day: 1}, "until 2026-03-01", "the last day"},
		{bom.Date{Year: 2026, Month: 3, Day: 2}, "some prices behind it are more than 90 days old", "too old"},
	} {
		found := ""
		for _, r := range QuoteRemarks(e, row.on) {
			if r.About == "holds" {
				found = r.Text
			}
		}
		if !strings.HasPrefix(found, row.want) {
			t.Errorf("%s: %q, want %q", row.why, found, row.want)
		}
	}
	unpriced := sample.Unpriced(sample.Frost(10))
	q := Quote(unpriced)
	if q.Rows[0].Values[1].Exact(AsText) != "?" {
		t.Error("a price is quoted for what has none")
	}
}
