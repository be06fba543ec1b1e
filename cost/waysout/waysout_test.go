package waysout_test

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/waysout"
	"tenoff/fixtures/typed"
)

// wayOut finds a way out of a part that is short at a size.
func wayOut(t *testing.T, s waysout.Shortages, part string, size int, kind waysout.WayKind, substitute string) waysout.Way {
	t.Helper()
	for _, p := range s.Parts {
		for _, w := range p.Ways {
			if p.Part == part && p.Size == size && w.Kind == kind && w.Substitute == substitute {
				return w
			}
		}
	}
	t.Fatalf("%s at %d: no way out of kind %d %s among %+v", part, size, kind, substitute, s.Parts)
	return waysout.Way{}
}

// find finds the ways out, and fails the test on errors.
func find(t *testing.T, run cost.Run, scarce cost.Scarcity) waysout.Shortages {
	t.Helper()
	run.Scarce = scarce
	out, problems := waysout.Find(run)
	if problems.Failed() {
		t.Fatal(typed.Said(problems))
	}
	return out
}

// TestWaysOut: 50 terminals for 40 lamps that take 80, each way worked by hand against the
// run with terminals enough. The order stays on its side of the free delivery.
func TestWaysOut(t *testing.T) {
	in := typed.Spare()
	in = in.With(
		"prices/offers.csv", strings.NewReplacer("Price\n", "Price,More,More on\n", "TERM-2,Corner Parts,C-12,50,1,1,1,1,0.40", "TERM-2,Corner Parts,C-12,50,1,1,1,1,0.40,30,2026-12-01").Replace(in["prices/offers.csv"]),
		"prices/substitutes.csv", strings.NewReplacer("Allowed,", "Allowed,Mix,", "yes,", "yes,yes,", "no,", "no,no,").Replace(in["prices/substitutes.csv"]))
	run := in.Read(t)
	run.Batches, run.Today = []int{10, 40}, bom.Date{Year: 2026, Month: 11, Day: 21}
	found := find(t, run, cost.Scarcity{})
	if len(found.Parts) != 1 || len(found.Together) != 0 || found.Parts[0].Part != "TERM-2" || found.Parts[0].Size != 40 {
		t.Fatalf("want TERM-2 alone at 40; got %+v", found)
	}
	p := found.Parts[0]
	if p.Left != bom.Whole(50) || p.Required != bom.Whole(80) || len(p.Barred) != 1 || p.Barred[0].Substitute != "TERM-2Y" {
		t.Errorf("%s left, %s required, %v barred", p.Left, p.Required, p.Barred)
	}
	before := p.Before
	more := func(what string, w waysout.Way, cash, consumed string) {
		t.Helper()
		typed.Equal(t, what+": more cash", w.Cash.Sub(before.Cash), cash)
		typed.Equal(t, what+": more unit cost", w.Unit.Sub(before.Unit).Mul(typed.D("40")).Round(4), consumed)
		if w.Size != 40 {
			t.Errorf("%s builds %d", what, w.Size)
		}
	}
	// 80 terminals at 0.15 more, 40 × 0.10 + 5; 1200 s at 12 an hour.
	more("the substitute for all", wayOut(t, found, "TERM-2", 40, waysout.Substituted, "TERM-2X"), "21.00", "25.00")
	// 30 of them, 15 units: 4.50 + 1.50 + 5; 450 s.
	more("a mix", wayOut(t, found, "TERM-2", 40, waysout.Mixed, "TERM-2X"), "11.00", "12.50")
	wait := wayOut(t, found, "TERM-2", 40, waysout.Waiting, "")
	more("waiting", wait, "0", "0")
	fewer := wayOut(t, found, "TERM-2", 40, waysout.Fewer, "")
	if same := typed.One(t, run, 25); fewer.Size != 25 || !fewer.Cash.Equal(same.Total.Cash) {
		t.Errorf("fewer: %+v", fewer)
	}
	for i := range p.Ways[1:] {
		if a, b := p.Ways[i], p.Ways[i+1]; a.Unit.GreaterThan(b.Unit) || a.Unit.Equal(b.Unit) && a.Day > b.Day {
			t.Errorf("%+v stands before %+v", a, b)
		}
	}
	if p.Ways[0].Kind != waysout.Waiting {
		t.Errorf("the best is %+v, want waiting", p.Ways[0])
	}
}

// TestWaitingForWhatComes: an order that takes more than is in stock leaves on the day
// More on, ten days from now; one that does not leaves at once.
func TestWaitingForWhatComes(t *testing.T) {
	in := typed.Slow.With(
		"prices/suppliers.csv", "Supplier,Lead days\nCorner Parts,2\n",
		"prices/offers.csv", "Part number,Supplier,Stock,Price,More,More on\nTHING,Corner Parts,5,9,400,2026-12-01\n")
	run := in.Read(t)
	run.Batches, run.Today = []int{10}, bom.Date{Year: 2026, Month: 11, Day: 21}
	w := wayOut(t, find(t, run, cost.Scarcity{}), "THING", 10, waysout.Waiting, "")
	p := find(t, run, cost.Scarcity{}).Parts[0]
	if w.Day-p.Before.Day != 10 || w.DayOpen || len(w.Expected) != 1 {
		t.Errorf("ready on day %d, and on day %d with stock enough", w.Day, p.Before.Day)
	}
	if !w.Cash.Equal(p.Before.Cash) {
		t.Errorf("waiting costs %s, not %s", w.Cash, p.Before.Cash)
	}
}

// TestScarcity: what is taken for gone, and names that nothing has.
func TestScarcity(t *testing.T) {
	in := typed.Spare()
	in = in.With("prices/offers.csv", in["prices/offers.csv"]+"TERM-2,Far Parts,F-1,,1,1,1,1,0.45\n")
	run := in.Read(t)
	run.Batches = []int{10}
	if found := find(t, run, cost.Scarcity{}); len(found.Parts) != 0 {
		t.Errorf("nothing is short, yet %+v", found)
	}
	// 12 at the cheaper of both, nothing at the other: 6 lamps.
	found := find(t, run, cost.Scarcity{Left: []cost.Left{{Part: "TERM-2", Pieces: bom.Whole(12)}}})
	if w := wayOut(t, found, "TERM-2", 10, waysout.Fewer, ""); w.Size != 6 || found.Parts[0].Left != bom.Whole(12) {
		t.Errorf("12 terminals build %d", w.Size)
	}
	// Without Corner Parts the terminals come from elsewhere, and its substitute is gone as well.
	found = find(t, run, cost.Scarcity{Dry: []string{"Corner Parts"}})
	if w := wayOut(t, found, "TERM-2", 10, waysout.Elsewhere, ""); len(w.Sellers) != 1 || w.Sellers[0] != "Far Parts" {
		t.Errorf("bought at %v", w.Sellers)
	}
	for _, p := range found.Parts {
		if p.Part == "TERM-2" && (len(p.Lacking) != 1 || p.Lacking[0] != "TERM-2X") {
			t.Errorf("the substitute is of the same supplier, yet %+v", p)
		}
	}
	for _, bad := range []cost.Scarcity{{Dry: []string{"Corner Part"}}, {Left: []cost.Left{{Part: "TERM-3"}}}} {
		run.Scarce = bad
		if _, problems := waysout.Find(run); !strings.Contains(typed.Said(problems), "no offer is from this supplier") && !strings.Contains(typed.Said(problems), "unknown part") {
			t.Errorf("%+v: %s", bad, typed.Said(problems))
		}
	}
}

// TestPassives: the written rules for two-terminal passives. Values, tolerance
// letters and chip codes as IEC 60062 and IEC 60063 have them; the order of the
// dielectrics is that of EIA-198, from memory.
func TestPassives(t *testing.T) {
	for _, row := range []struct {
		why                  string
		part, value, text    string // what is wanted
		value2, text2, size2 string // what might stand in
		want                 bool
	}{
		{"the same value, tighter", "R", "4K7", "5 %", "4.7 kΩ", "1 %", "0805", true},
		{"the same value, looser", "R", "4K7", "1 %", "4K7", "5 %", "0805", false},
		{"another size", "R", "4K7", "5 %", "4K7", "1 %", "1206", false},
		{"its whole band lies within", "R", "10K", "10 %", "10.2K", "5 %", "0805", true},
		{"its band reaches out", "R", "10K", "5 %", "10.2K", "5 %", "0805", false},
		{"no tolerance is stated, so the value must be equal", "R", "10K", "", "10.2K", "1 %", "0805", false},
		{"tolerance by letter: J is 5 %", "R", "4K7J", "", "4K7F", "", "0805", true},
		{"more power", "R", "100R", "1 % 1/8 W", "100R", "1 % 0.25 W", "0805", true},
		{"less power", "R", "100R", "1 % 250 mW", "100R", "1 % 1/8 W", "0805", false},
		{"power not stated by the other", "R", "100R", "1 % 0.125 W", "100R", "1 %", "0805", false},
		{"more voltage", "C", "100n", "10 % 16 V X7R", "0.1 µF", "10 % 50 V X7R", "0805", true},
		{"less voltage", "C", "100n", "10 % 50 V X7R", "100n", "10 % 16 V X7R", "0805", false},
		{"a better dielectric", "C", "1n", "10 % 50 V X7R", "1n", "5 % 50 V NP0", "0805", true},
		{"a worse dielectric", "C", "100n", "10 % 16 V X7R", "100n", "10 % 16 V Y5V", "0805", false},
		{"kilovolts", "C", "1n", "10 % 500 V X7R", "1n", "10 % 1 kV X7R", "0805", true},
	} {
		in := typed.Input{
			"unit.csv": "Designator,Part number,Value,Description,Package,Mount\n" +
				row.part + "1,WANTED," + row.value + "," + row.text + ",0805,SMT\n" +
				row.part + "2,OTHER," + row.value2 + "," + row.text2 + "," + row.size2 + ",SMT\n",
			"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
			"prices/offers.csv":   "Part number,Supplier,Price\nWANTED,Corner Parts,0.01\nOTHER,Corner Parts,0.01\n",
		}
		run := in.Read(t)
		var found []waysout.Way
		for _, w := range find(t, run, cost.Scarcity{Left: []cost.Left{{Part: "WANTED"}}}).Parts[0].Ways {
			if w.Kind == waysout.Substituted {
				found = append(found, w)
			}
		}
		if (len(found) == 1) != row.want {
			t.Errorf("%s: candidates %+v", row.why, found)
		}
		if len(found) > 0 && !strings.Contains(found[0].Rule, "check the data sheet") {
			t.Errorf("%s: the rule %q does not send to the data sheet", row.why, found[0].Rule)
		}
	}
}

// TestNearMisses: what differs in one thing alone is named, and never used. The values of
// E24 are those of IEC 60063:2015.
func TestNearMisses(t *testing.T) {
	for _, row := range []struct {
		why, value, text, size, value2, text2, size2, want string
	}{
		{"next up", "4k7", "1 %", "0805", "5k1", "1 %", "0805", "the next value of E24"},
		{"next down over the decade", "10k", "1 %", "0805", "9k1", "1 %", "0805", "the next value of E24"},
		{"two up", "4k7", "1 %", "0805", "5k6", "1 %", "0805", ""},
		{"a decade off", "4k7", "1 %", "0805", "51k", "1 %", "0805", ""},
		{"no value of E24", "4k7", "1 %", "0805", "4k8", "1 %", "0805", ""},
		{"one size larger", "4k7", "1 %", "0805", "4k7", "1 %", "1206", "one chip size larger: another land pattern"},
		{"two sizes larger", "4k7", "1 %", "0805", "4k7", "1 %", "1210", ""},
		{"one size smaller", "4k7", "1 %", "1206", "4k7", "1 %", "0805", ""},
		{"both at once", "4k7", "1 %", "0805", "5k1", "1 %", "1206", ""},
		{"a rating that is not met", "4k7", "1 % 0.25 W", "0805", "5k1", "1 % 0.1 W", "0805", ""},
		{"a wider tolerance", "4k7", "1 %", "0805", "5k1", "5 %", "0805", ""},
		{"one that may stand in", "4k7", "1 %", "0805", "4k7", "0.5 %", "0805", ""},
	} {
		run := typed.Input{
			"unit.csv": "Designator,Part number,Value,Description,Package,Mount\n" +
				"R1,WANTED," + row.value + "," + row.text + "," + row.size + ",SMT\nR2,OTHER," + row.value2 + "," + row.text2 + "," + row.size2 + ",SMT\n",
			"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
			"prices/offers.csv":   "Part number,Supplier,Price\nWANTED,Corner Parts,0.01\nOTHER,Corner Parts,0.01\n",
		}.Read(t)
		p := find(t, run, cost.Scarcity{Left: []cost.Left{{Part: "WANTED"}}}).Parts[0]
		got := ""
		for _, n := range p.Near {
			got += n.How
			if n.Part != "OTHER" || len(p.Ways) > 0 {
				t.Errorf("%s: %+v", row.why, p)
			}
		}
		if got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}

// TestTheSoonerOfTheSame: waiting leaves a surplus and so the lower unit cost; for the same
// money the substitute is ready sooner, and is chosen.
func TestTheSoonerOfTheSame(t *testing.T) {
	in := typed.Input{
		"unit.csv":               "Part number,Quantity,Kind\nA,1,other\nB,1,other\n",
		"prices/settings.csv":    "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv":   "Supplier,Lead days\nS,2\n",
		"prices/offers.csv":      "Part number,Supplier,Stock,Pieces,Price,More,More on\nA,S,1,4,2.00,9,2026-12-24\nB,S,1,4,2.00,9,2026-12-24\nC,S,,1,0.80,,\n",
		"prices/substitutes.csv": "Part number,Substitute\nA,C\nB,C\n",
	}
	run := in.Read(t)
	run.Batches, run.Today = []int{5}, bom.Date{Year: 2026, Month: 12, Day: 1}
	found := find(t, run, cost.Scarcity{})
	if w := found.Parts[0].Ways; len(w) != 3 || w[0].Kind != waysout.Fewer || w[1].Kind != waysout.Waiting {
		t.Errorf("want fewer, waiting, the substitute by unit cost; got %+v", w)
	}
	j := found.Together[0]
	if j.Ways[0].Kind != waysout.Substituted || j.Ways[1].Kind != waysout.Substituted || j.Day != 2 {
		t.Errorf("ready on day %d: %+v", j.Day, j.Ways)
	}
	typed.Equal(t, "either way", j.Weight, "8.00")
}

// TestPassivesAmongOffers: what the tab offers holds besides the parts of the run is looked
// at as well, where its key reads as a value and a chip size. Letters without a unit mark
// resistance and capacitance by IEC 60062; the values of E24 are those of IEC 60063:2015.
func TestPassivesAmongOffers(t *testing.T) {
	for _, row := range []struct{ why, designator, value, offer, near, stands string }{
		{"a stand-in in another spelling", "R1", "4k7 5 %", "4.7 kΩ 1 % 0805", "", "4.7 kΩ 1 % 0805"},
		{"the letter alone", "R1", "4k7 5 %", "4K7F 0805", "", "4K7F 0805"},
		{"the next value up", "R1", "4k7", "5k1 0805", "5k1 0805", ""},
		{"the next size", "R1", "4k7", "4k7 1206", "4k7 1206", ""},
		{"two sizes", "R1", "4k7", "4k7 1210", "", ""},
		{"a capacitor by its letter", "C1", "100n", "110n 0805", "110n 0805", ""},
		{"no inductor by its letter", "L1", "100n", "110n 0805", "", ""},
		{"an inductor by its unit", "L1", "100n", "110nH 0805", "110nH 0805", ""},
		{"a part number", "R1", "4k7", "QX-5k1-0805", "", ""},
	} {
		run := typed.Input{
			"unit.csv":            "Designator,Value,Package,Mount\n" + row.designator + "," + row.value + ",0805,SMT\n",
			"prices/boards.csv":   "Board,Fabricator,Lot,Price\nunit,Etch House,10,0\n",
			"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
			"prices/offers.csv":   "Part number,Supplier,Price\n" + row.value + " 0805,Near,0.01\n" + row.offer + ",Near,0.02\n" + row.offer + ",Far,0.015\n",
		}.Read(t)
		run.Scarce.Left = []cost.Left{{Part: row.value + " 0805"}}
		p := find(t, run, run.Scarce).Parts[0]
		near, stands := "", ""
		for _, n := range p.Near {
			near += n.Part
		}
		for _, w := range p.Ways {
			stands += w.Substitute
			typed.Equal(t, row.why, w.Cash.Sub(p.Before.Cash), "0.05") // ten at 0.015 for 0.01
		}
		if near != row.near || stands != row.stands {
			t.Errorf("%s: near %q, stands in %q", row.why, near, stands)
		}
	}
}

// BenchmarkFind finds every way out of three short parts of 60 lines: three substitutes,
// each for all units or in a mix, and waiting; 343 choices for all of them.
func BenchmarkFind(b *testing.B) {
	typed.AsTheCommand(b)
	in := typed.Lines(60)
	offers := strings.Replace(in["prices/offers.csv"], "Price\n", "Price,More,More on\n", 1)
	rows := "Part number,Substitute,Extra per unit,Extra seconds per unit,Mix\n"
	for i, part := range []string{"TERM-2", "CHIP-8", "BOX-S"} {
		code := []string{"C-12", "C-8", "C-60"}[i]
		offers = strings.ReplaceAll(offers, part+",Corner Parts,"+code+",,1,1,1,1,", part+",Corner Parts,"+code+",30,1,1,1,1,")
		offers = strings.ReplaceAll(offers, part+",Corner Parts,"+code+",,1,1,1,25,", part+",Corner Parts,"+code+",30,1,1,1,25,")
		offers += fmt.Sprintf("%s,Far Parts,,10,1,1,1,1,1.40,500,2026-12-24\n", part)
		for n := range 3 {
			rows += fmt.Sprintf("%s,%s-%d,0.05,%d,yes\n", part, part, n, 10*n)
			offers += fmt.Sprintf("%s-%d,%s,,,1,1,1,1,%d.50\n", part, n, []string{"Corner Parts", "Far Parts", "Spool House"}[n], 1+n)
		}
	}
	run := in.With("prices/offers.csv", offers, "prices/substitutes.csv", rows).Read(b)
	run.Batches, run.Today = []int{100}, bom.Date{Year: 2026, Month: 12, Day: 1}
	for b.Loop() {
		found, problems := waysout.Find(run)
		if problems.Failed() || len(found.Together) != 1 || found.Together[0].Tried != 343 || found.Together[0].Stuck != nil {
			b.Fatalf("%s %+v", typed.Said(problems), found)
		}
	}
}

// TestNoMixOfOne: where another supplier has all that is required there is no rest for a
// substitute to take.
func TestNoMixOfOne(t *testing.T) {
	run := typed.Input{
		"unit.csv":               "Quantity,Part number,Kind\n1,A,other\n",
		"prices/settings.csv":    "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":      "Part number,Supplier,Stock,Price\nA,Corner Parts,,1\nA,Far Parts,12,3\nB,Far Parts,,2\n",
		"prices/substitutes.csv": "Part number,Substitute,Mix\nA,B,yes\n",
	}.Read(t)
	run.Batches = []int{10, 20}
	found := find(t, run, cost.Scarcity{Dry: []string{"Corner Parts"}})
	for _, p := range found.Parts {
		mixes := 0
		for _, w := range p.Ways {
			if w.Kind == waysout.Mixed {
				mixes++
			}
		}
		if want := p.Size / 20; mixes != want {
			t.Errorf("%d of 12 required: %d mixes, want %d", p.Size, mixes, want)
		}
	}
}

// TestNoWayOut: of a part that nothing can be done about it is told as well what the run
// would cost with it in stock: ten at 3.00.
func TestNoWayOut(t *testing.T) {
	run := typed.Input{
		"unit.csv":            "Quantity,Part number,Kind\n1,A,other\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Stock,Price\nA,Far Parts,0,3\n",
	}.Read(t)
	run.Batches = []int{10}
	found := find(t, run, cost.Scarcity{})
	if len(found.Parts) != 1 || found.Parts[0].Ways != nil {
		t.Fatalf("want one part and no way out; got %+v", found.Parts)
	}
	typed.Equal(t, "cash with the part in stock", found.Parts[0].Before.Cash, "30")
}
