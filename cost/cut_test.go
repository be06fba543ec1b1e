package cost_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

var wires = input{
	"unit.csv":             "Quantity,Part number,Kind,Cut mm\n2,RED,wire,1300\n",
	"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
	"prices/offers.csv":    "Part number,Supplier,Pieces,Cut from m,Price\nRED,Corner Parts,,10,4\n",
	"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\nstrip,wire,piece,60\n",
}

func cutsOf(b cost.Batch) string {
	var out []string
	for _, r := range b.Cuts {
		out = append(out, fmt.Sprintf("%d rings of %s mm to %v, rest %s", r.Times, r.RingMM, r.Leads, r.RestMM))
	}
	return strings.Join(out, "; ")
}

// A ring of 10 m gives 7 leads of 1.3 m, so that 80 leads take 12 rings, where by metres
// alone it would be 11. Work counts leads: 80 of 60 s.
func TestLeadsFromRings(t *testing.T) {
	b := one(t, wires.read(t), 40)
	p := b.Purchases[0]
	if p.Quantity != 12 || p.Pieces != bom.Whole(7) || b.Parts[0].Demand != bom.Whole(80) || !near(b.Work[0].Hours, 80.0/60) {
		t.Errorf("%d rings of %s leads for %s; %v h", p.Quantity, p.Pieces, b.Parts[0].Demand, b.Work[0].Hours)
	}
	equal(t, "cash", b.Total.Cash, "48")
	equal(t, "consumed", b.Total.Consumed, "45.71") // 80 of 84 leads
	if got, want := cutsOf(b), "11 rings of 10000 mm to [7 × 1300 mm], rest 900; 1 rings of 10000 mm to [3 × 1300 mm], rest 6100"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	in := wires.with("prices/offers.csv", "Part number,Supplier,Pieces,Cut from m,Price\nRED,Corner Parts,2,10,8\nRED,Far Parts,,,0.9\n")
	if b := one(t, in.read(t), 40); b.Purchases[0].Quantity != 6 || b.Purchases[0].Pieces != bom.Whole(14) {
		t.Errorf("two rings in one: %+v", b.Purchases)
	}
	in = wires.with("prices/offers.csv", "Part number,Supplier,Pieces,Cut from m,Price\nRED,Corner Parts,2,10,8\nRED,Far Parts,,,0.5\n")
	if b := one(t, in.read(t), 40); b.Purchases[0].Supplier != "Far Parts" || b.Purchases[0].Quantity != 80 || b.Cuts != nil {
		t.Errorf("leads that are sold cut: %+v", b.Purchases)
	}
	in = wires.with("prices/on-hand.csv", "Part number,Quantity\nRED,10\n", "prices/attrition.csv", "Applies to,Percent\nother,5\n")
	if r := one(t, in.read(t), 40).Parts[0]; r.Allowance != bom.Whole(4) || r.Demand != bom.Whole(74) {
		t.Errorf("spares and stock in leads: %+v", r)
	}
	in = wires.with("unit.csv", "Quantity,Part number,Cut mm\n2,RED,1300\n")
	if e := compute(t, in.read(t)); e.Entries[0].Line.Kind != bom.KindWire || e.Parts[0].Unit != "leads" {
		t.Errorf("what is cut is wire: %+v", e.Entries[0].Line)
	}
}

// Of 6 + 4 m and 5 + 3 + 2 m each fills a ring of 10 m, though the longest first leaves
// gaps; what the rings cost is shared out by the length of the leads.
func TestSeveralLengthsFromOneRing(t *testing.T) {
	in := wires.with("unit.csv", `Quantity,Part number,Kind,Cut mm
1,RED,wire,6000
1,RED,wire,5000
1,RED,wire,4000
1,RED,wire,3000
1,RED,wire,2000
`, "prices/offers.csv", "Part number,Supplier,Pieces,Cut from m,Price\nRED,Corner Parts,,10,4\nRED,Far Parts,3,10,20\n")
	run := in.read(t)
	run.Batches = []int{10}
	e := compute(t, run)
	b := e.Batches[0]
	if r := b.Parts[0]; r.Need != bom.Whole(20) || e.Parts[0].Unit != "rings" || !near(b.Work[0].Hours, 50.0/60) {
		t.Errorf("%+v, %v h", r, b.Work[0].Hours)
	}
	if got, want := cutsOf(b), "10 rings of 10000 mm to [1 × 6000 mm 1 × 4000 mm], rest 0; 5 rings of 10000 mm to [2 × 5000 mm], rest 0; 5 rings of 10000 mm to [2 × 3000 mm 2 × 2000 mm], rest 0"; got != want {
		t.Errorf("%s\nwant %s", got, want)
	}
	for i, want := range []string{"24", "20", "16", "12", "8"} {
		equal(t, fmt.Sprint("line ", i), b.Lines[i].Consumed, want)
	}
	in = in.with("prices/attrition.csv", "Applies to,Pieces\nother,1\n", "prices/on-hand.csv", "Part number,Quantity\nRED,3\n")
	// One lead more of each length is a ring or two more; three rings are there.
	if r := one(t, in.read(t), 10).Parts[0]; r.Need != bom.Whole(20) || r.Allowance != bom.Whole(2) || r.Demand != bom.Whole(19) {
		t.Errorf("spares and stock in rings: %+v", r)
	}
}

// What stock on hand counts of a wire goes by what the list cuts it to now, and is told.
func TestStockOfWireSaysItsLength(t *testing.T) {
	stock := "Part number,Quantity\nRED,3\n"
	two := "Quantity,Part number,Kind,Cut mm\n1,RED,wire,1300\n1,RED,wire,900\n"
	for _, c := range []struct{ unit, hand, want string }{
		{wires["unit.csv"], stock, "RED: stock on hand counts as leads of 1300 mm"},
		{strings.ReplaceAll(wires["unit.csv"], "1300", "900"), stock, "RED: stock on hand counts as leads of 900 mm"},
		{two, stock, "RED: stock on hand counts as whole rings of 10 m"},
		{two, "Part number,Quantity\nRED,0\n", ""},
	} {
		in := wires.with("unit.csv", c.unit, "prices/offers.csv", "Part number,Supplier,Cut from m,Price\nRED,Corner Parts,10,4\n", "prices/on-hand.csv", c.hand)
		_, problems := cost.Compute(in.read(t))
		at := slices.IndexFunc(problems, func(p bom.Problem) bool { return strings.Contains(p.What, "stock on hand counts") })
		if c.want == "" && at >= 0 || c.want != "" && (at < 0 || problems[at].What != c.want) {
			t.Errorf("want %q: %v", c.want, problems)
		}
	}
}

func TestWhatCannotBeCut(t *testing.T) {
	two := "Quantity,Part number,Kind,Cut mm\n1,RED,wire,1300\n1,RED,wire,900\n"
	offers := func(rows string) []string {
		return []string{"prices/offers.csv", "Part number,Supplier,Pieces,Cut from m,Price\n" + rows}
	}
	for _, c := range []struct {
		why  string
		with []string
		want string
	}{
		{"nothing is cut", append(offers("RED,Corner Parts,,10,4\n"), "unit.csv", "Quantity,Part number,Kind\n2,RED,wire\n"),
			`prices/offers.csv:2:4: nothing says what RED is cut to ("10"); Cut mm in the bill of materials, or a blank cell and metres in Pieces`},
		{"a lead longer than the ring", offers("RED,Corner Parts,,1.2,4\n"),
			`prices/offers.csv:2:4: warning: RED: a lead of 1300 mm is longer than the ring, and the offer is ignored ("1.2"); harmless if there is a longer one`},
		{"two lengths from nobody knows what", append(offers("RED,Corner Parts,,,4\n"), "unit.csv", two),
			`RED is cut to 2 lengths, and nothing says from what; the length of the ring or roll, or a part number for each length`},
		{"two lengths from two rings", append(offers("RED,Corner Parts,,10,4\nRED,Far Parts,,25,9\n"), "unit.csv", two),
			`prices/offers.csv:3:4: RED is cut to 2 lengths, from rings of 10 m in prices/offers.csv:2:4 ("25"); rings of one length, or a part number for each length of lead`},
		{"part of a ring", offers("RED,Corner Parts,2.5,10,4\n"),
			`prices/offers.csv:2:3: RED is cut from rings, and part of one is sold ("2.5"); how many rings are sold in one`},
		{"part of a lead", []string{"unit.csv", "Quantity,Part number,Kind,Cut mm\n1.5,RED,wire,1300\n"},
			`unit.csv:2:1: RED has a Cut mm, and part of a lead ("1.5"); how many leads of that length there are`},
		{"cut in one line only", []string{"unit.csv", "Quantity,Part number,Kind,Cut mm\n1,RED,wire,1300\n1,RED,wire,\n"},
			`unit.csv:3:4: RED is cut to length in unit.csv:2:4 and not here; the length here as well, or a part number of its own`},
		{"a screw", []string{"unit.csv", "Quantity,Part number,Kind,Cut mm\n1,RED,fastener,1300\n"},
			`unit.csv:2:4: RED is of kind fastener, which is not cut to length ("1300"); wire or other under Kind, or a blank cell`},
		{"no length", []string{"unit.csv", "Quantity,Part number,Kind,Cut mm\n1,RED,wire,0\n"}, `unit.csv:2:4: `},
	} {
		run, problems := wires.with(c.with...).tryRead()
		if !problems.Failed() {
			_, problems = cost.Compute(run)
		}
		if !strings.Contains(said(problems), c.want) {
			t.Errorf("%s: %s\nwant %s", c.why, said(problems), c.want)
		}
	}
}
