package cost_test

import (
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// spare is the lamp with a listed substitute and stocks that run out.
func spare() input {
	return lamp.with(
		"prices/offers.csv", strings.Replace(lamp["prices/offers.csv"], "TERM-2,Corner Parts,C-12,,", "TERM-2,Corner Parts,C-12,50,", 1)+
			"TERM-2X,Corner Parts,C-13,,1,1,1,1,0.55\nTERM-2Y,Far Parts,F-13,,1,1,1,1,0.10\n",
		"prices/substitutes.csv", `Part number,Substitute,Extra per unit,Extra per batch,Extra seconds per unit,Allowed,Note
TERM-2,TERM-2X,0.10,5,30,yes,taller
TERM-2,TERM-2Y,0,0,0,no,wrong pitch
`)
}

func TestTake(t *testing.T) {
	run := spare().read(t)
	before := one(t, run, 10)
	run.Take = []cost.Swap{{Part: "TERM-2", Substitute: "TERM-2X"}}
	after := one(t, run, 10)
	// 20 terminals at 0.55 instead of 0.40; 10 × 0.10 + 5 on top; 300 s at 12 an
	// hour; the order stays under the free delivery.
	equal(t, "through-hole parts", after.Categories[cost.ThroughHoleParts].Cash.Sub(before.Categories[cost.ThroughHoleParts].Cash), "3.00")
	equal(t, "other parts", after.Categories[cost.OtherParts].Cash.Sub(before.Categories[cost.OtherParts].Cash), "6.00")
	equal(t, "labour", after.Categories[cost.Labour].Own.Sub(before.Categories[cost.Labour].Own), "1.00")
	equal(t, "total", after.Total.Consumed.Sub(before.Total.Consumed), "10.00")

	run.Take = []cost.Swap{{Part: "TERM-2", Substitute: "TERM-2Y"}}
	if _, problems := cost.Compute(run); !strings.Contains(said(problems), "prices/substitutes.csv:3:6: this substitute for TERM-2 is not allowed") {
		t.Errorf("one that is not allowed is taken: %s", said(problems))
	}
	run.Take = []cost.Swap{{Part: "TERM-9", Substitute: "TERM-2X"}}
	if _, problems := cost.Compute(run); !strings.Contains(said(problems), `unknown part to replace with TERM-2X ("TERM-9")`) {
		t.Errorf("a part that is not there is replaced: %s", said(problems))
	}
	for other, hint := range map[string]string{"LED-9": "", "term-2x": ` (did you mean TERM-2X)`} {
		run.Take = []cost.Swap{{Part: "TERM-2", Substitute: other}}
		want := `prices: no substitute for TERM-2 has that name ("` + other + `"); add a row for it to the tab substitutes` + hint
		if _, problems := cost.Compute(run); !strings.Contains(said(problems), want) {
			t.Errorf("%q; want %q", said(problems), want)
		}
	}
}

// wayOut finds a way out of a part that is short at a size.
func wayOut(t *testing.T, s cost.Shortages, part string, size int, kind cost.WayKind, substitute string) cost.Way {
	t.Helper()
	for _, p := range s.Parts {
		for _, w := range p.Ways {
			if p.Part == part && p.Size == size && w.Kind == kind && w.Substitute == substitute {
				return w
			}
		}
	}
	t.Fatalf("%s at %d: no way out of kind %d %s among %+v", part, size, kind, substitute, s.Parts)
	return cost.Way{}
}

// waysOut finds the ways out, and fails the test on errors.
func waysOut(t *testing.T, run cost.Run, scarce cost.Scarcity) cost.Shortages {
	t.Helper()
	run.Scarce = scarce
	out, problems := cost.WaysOut(run)
	if problems.Failed() {
		t.Fatal(said(problems))
	}
	return out
}

// TestWaysOut: 50 terminals for 40 lamps that take 80, each way worked by hand against the
// run with terminals enough. The order stays on its side of the free delivery.
func TestWaysOut(t *testing.T) {
	in := spare()
	in = in.with(
		"prices/offers.csv", strings.NewReplacer("Price\n", "Price,More,More on\n", "TERM-2,Corner Parts,C-12,50,1,1,1,1,0.40", "TERM-2,Corner Parts,C-12,50,1,1,1,1,0.40,30,2026-12-01").Replace(in["prices/offers.csv"]),
		"prices/substitutes.csv", strings.NewReplacer("Allowed,", "Allowed,Mix,", "yes,", "yes,yes,", "no,", "no,no,").Replace(in["prices/substitutes.csv"]))
	run := in.read(t)
	run.Batches, run.Today = []int{10, 40}, bom.Date{Year: 2026, Month: 11, Day: 21}
	found := waysOut(t, run, cost.Scarcity{})
	if len(found.Parts) != 1 || len(found.Together) != 0 || found.Parts[0].Part != "TERM-2" || found.Parts[0].Size != 40 {
		t.Fatalf("want TERM-2 alone at 40; got %+v", found)
	}
	p := found.Parts[0]
	if p.Left != bom.Whole(50) || p.Required != bom.Whole(80) || len(p.Barred) != 1 || p.Barred[0].Substitute != "TERM-2Y" {
		t.Errorf("%s left, %s required, %v barred", p.Left, p.Required, p.Barred)
	}
	before := p.Before
	more := func(what string, w cost.Way, cash, consumed string) {
		t.Helper()
		equal(t, what+": more cash", w.Cash.Sub(before.Cash), cash)
		equal(t, what+": more unit cost", w.Unit.Sub(before.Unit).Mul(d("40")).Round(4), consumed)
		if w.Size != 40 {
			t.Errorf("%s builds %d", what, w.Size)
		}
	}
	// 80 terminals at 0.15 more, 40 × 0.10 + 5; 1200 s at 12 an hour.
	more("the substitute for all", wayOut(t, found, "TERM-2", 40, cost.Substituted, "TERM-2X"), "21.00", "25.00")
	// 30 of them, 15 units: 4.50 + 1.50 + 5; 450 s.
	more("a mix", wayOut(t, found, "TERM-2", 40, cost.Mixed, "TERM-2X"), "11.00", "12.50")
	wait := wayOut(t, found, "TERM-2", 40, cost.Waiting, "")
	more("waiting", wait, "0", "0")
	fewer := wayOut(t, found, "TERM-2", 40, cost.Fewer, "")
	if same := one(t, run, 25); fewer.Size != 25 || !fewer.Cash.Equal(same.Total.Cash) {
		t.Errorf("fewer: %+v", fewer)
	}
	for i := range p.Ways[1:] {
		if a, b := p.Ways[i], p.Ways[i+1]; a.Unit.GreaterThan(b.Unit) || a.Unit.Equal(b.Unit) && a.Day > b.Day {
			t.Errorf("%+v stands before %+v", a, b)
		}
	}
	if p.Ways[0].Kind != cost.Waiting {
		t.Errorf("the best is %+v, want waiting", p.Ways[0])
	}
}

// TestWaitingForWhatComes: an order that takes more than is in stock leaves on the day
// More on, ten days from now; one that does not leaves at once.
func TestWaitingForWhatComes(t *testing.T) {
	in := slow.with(
		"prices/suppliers.csv", "Supplier,Lead days\nCorner Parts,2\n",
		"prices/offers.csv", "Part number,Supplier,Stock,Price,More,More on\nTHING,Corner Parts,5,9,400,2026-12-01\n")
	run := in.read(t)
	run.Batches, run.Today = []int{10}, bom.Date{Year: 2026, Month: 11, Day: 21}
	w := wayOut(t, waysOut(t, run, cost.Scarcity{}), "THING", 10, cost.Waiting, "")
	p := waysOut(t, run, cost.Scarcity{}).Parts[0]
	if w.Day-p.Before.Day != 10 || w.DayOpen || len(w.Expected) != 1 {
		t.Errorf("ready on day %d, and on day %d with stock enough", w.Day, p.Before.Day)
	}
	if !w.Cash.Equal(p.Before.Cash) {
		t.Errorf("waiting costs %s, not %s", w.Cash, p.Before.Cash)
	}
}

// TestScarcity: what is taken for gone, and names that nothing has.
func TestScarcity(t *testing.T) {
	in := spare()
	in = in.with("prices/offers.csv", in["prices/offers.csv"]+"TERM-2,Far Parts,F-1,,1,1,1,1,0.45\n")
	run := in.read(t)
	run.Batches = []int{10}
	if found := waysOut(t, run, cost.Scarcity{}); len(found.Parts) != 0 {
		t.Errorf("nothing is short, yet %+v", found)
	}
	// 12 at the cheaper of both, nothing at the other: 6 lamps.
	found := waysOut(t, run, cost.Scarcity{Left: []cost.Left{{Part: "TERM-2", Pieces: bom.Whole(12)}}})
	if w := wayOut(t, found, "TERM-2", 10, cost.Fewer, ""); w.Size != 6 || found.Parts[0].Left != bom.Whole(12) {
		t.Errorf("12 terminals build %d", w.Size)
	}
	// Without Corner Parts the terminals come from elsewhere, and its substitute is gone as well.
	found = waysOut(t, run, cost.Scarcity{Dry: []string{"Corner Parts"}})
	if w := wayOut(t, found, "TERM-2", 10, cost.Elsewhere, ""); len(w.Sellers) != 1 || w.Sellers[0] != "Far Parts" {
		t.Errorf("bought at %v", w.Sellers)
	}
	for _, p := range found.Parts {
		if p.Part == "TERM-2" && (len(p.Lacking) != 1 || p.Lacking[0] != "TERM-2X") {
			t.Errorf("the substitute is of the same supplier, yet %+v", p)
		}
	}
	for _, bad := range []cost.Scarcity{{Dry: []string{"Corner Part"}}, {Left: []cost.Left{{Part: "TERM-3"}}}} {
		run.Scarce = bad
		if _, problems := cost.WaysOut(run); !strings.Contains(said(problems), "no offer is from this supplier") && !strings.Contains(said(problems), "unknown part") {
			t.Errorf("%+v: %s", bad, said(problems))
		}
	}
}

// TestRowsOfWaysOut: what the price sheet says of substitutes and of what comes in, and
// cannot be.
func TestRowsOfWaysOut(t *testing.T) {
	for _, row := range []struct {
		why, substitutes, offers, want string
		failed                         bool
	}{
		{"two land patterns", "4k7 0603,4k7 0805,yes\n", "", "4k7 0805\" is in another package than \"4k7 0603\", 0805, and one board has one land pattern", true},
		{"one land pattern in two spellings", "4k7 0603,4k8 R_0603,yes\n", "", "", false},
		{"two land patterns, not mixed", "4k7 0603,4k7 0805,no\n", "", "", false},
		{"a circle", "4k7 0603,QX-1,\nQX-1,QX-2,\nQX-2,4k7 0603,\n", "", "substitutes in a circle: 4k7 0603, QX-1, QX-2, 4k7 0603", false},
		{"a chain", "4k7 0603,QX-1,\nQX-1,QX-2,\n", "", "", false},
		{"a day that is past", "", "4k7 0603,Corner Parts,0.01,5,10,2026-11-20\n", "the day on which more come in is past", false},
		{"today", "", "4k7 0603,Corner Parts,0.01,5,10,2026-11-21\n", "", false},
	} {
		run := input{
			"unit.csv":               "Designator,Value,Package,Mount\nR1,4k7,R_0603,SMT\n",
			"prices/settings.csv":    "Setting,Value\nHome currency,EUR\n",
			"prices/offers.csv":      "Part number,Supplier,Price,Stock,More,More on\n" + row.offers,
			"prices/substitutes.csv": "Part number,Substitute,Mix\n" + row.substitutes,
		}.read(t)
		run.Today = bom.Date{Year: 2026, Month: 11, Day: 21}
		_, problems := cost.New(run)
		text := said(problems)
		if problems.Failed() != row.failed || row.want == "" && text != "" || !strings.Contains(text, row.want) {
			t.Errorf("%s: %s", row.why, text)
		}
	}
}

// TestShortage: what the stock builds, what limits it, and what comes next.
func TestShortage(t *testing.T) {
	in := spare()
	in = in.with("prices/offers.csv", strings.Replace(in["prices/offers.csv"], "BOX-S,Corner Parts,C-60,,", "BOX-S,Corner Parts,C-60,31,", 1))
	run := in.read(t)
	run.Batches = []int{40}
	_, problems := cost.Compute(run)
	for _, want := range []string{
		"not enough stock for batch 40: 80 required, 50 available", "not enough stock for batch 40: 40 required, 31 available",
		"the stock is enough for 25 units, limited by TERM-2, then 31 by BOX-S",
	} {
		if !strings.Contains(said(problems), want) {
			t.Errorf("missing %q in %s", want, said(problems))
		}
	}
}

func TestRules(t *testing.T) {
	in := lamp.with("prices/offers.csv", lamp["prices/offers.csv"]+"TERM-2,Far Parts,F-1,500,1,1,1,1,0.01\nCAP-100N,Corner Parts,C-7,,1,1,1,1,0.06\n")
	run := in.read(t)
	run.Batches = []int{100}
	run.Today = bom.Date{Year: 2026, Month: 11, Day: 1}
	free := compute(t, run).Batches[0]
	bought := func(b cost.Batch, part string) string {
		for _, p := range b.Purchases {
			if p.Part == part {
				return p.Supplier
			}
		}
		return ""
	}
	if got := bought(free, "TERM-2"); got != "Far Parts" {
		t.Fatalf("without a rule %s sells the terminals", got)
	}
	for _, row := range []struct {
		why   string
		rules cost.Rules
	}{
		{"left out by name", cost.Rules{Without: []string{"far parts"}}},
		{"nine days are too long", cost.Rules{By: bom.Date{Year: 2026, Month: 11, Day: 9}}},
		{"one order fewer", cost.Rules{AtMost: 4}},
	} {
		run.Rules = row.rules
		if row.rules.By.Day > 0 { // the assembler takes 12 days
			run.Prices.Settings.Assembler = bom.AtBench
		}
		e := compute(t, run)
		if got := bought(e.Batches[0], "TERM-2"); got != "Corner Parts" {
			t.Errorf("%s: %s sells the terminals", row.why, got)
		}
		if len(e.Extras) != 1 || !e.Extras[0].Batches[0].Cash.IsPositive() {
			t.Errorf("%s: the rule costs %+v", row.why, e.Extras)
		}
		run.Prices.Settings.Assembler = "Placing House"
	}
	run.Rules = cost.Rules{InStockOnly: true}
	if _, problems := cost.Compute(run); !strings.Contains(said(problems), "every offer for this part is ruled out") {
		t.Errorf("only one offer states a stock: %s", said(problems))
	}
	run.Rules = cost.Rules{AtMost: 2}
	tooFew, problems := cost.Compute(run)
	if !strings.Contains(said(problems), `cannot be bought in so few orders ("at most 2"); at least 4`) {
		t.Errorf("got %s", said(problems))
	}
	for _, c := range []cost.Category{cost.BareBoard, cost.SMTParts, cost.ThroughHoleParts} {
		if !tooFew.Batches[0].Categories[c].Unpriced {
			t.Errorf("nothing is bought, and %s cost %+v", c, tooFew.Batches[0].Categories[c])
		}
	}
	run.Rules = cost.Rules{Without: []string{"Nobody"}}
	if _, problems := cost.Compute(run); !strings.Contains(said(problems), "unknown supplier to leave out") {
		t.Errorf("got %s", said(problems))
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
		in := input{
			"unit.csv": "Designator,Part number,Value,Description,Package,Mount\n" +
				row.part + "1,WANTED," + row.value + "," + row.text + ",0805,SMT\n" +
				row.part + "2,OTHER," + row.value2 + "," + row.text2 + "," + row.size2 + ",SMT\n",
			"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
			"prices/offers.csv":   "Part number,Supplier,Price\nWANTED,Corner Parts,0.01\nOTHER,Corner Parts,0.01\n",
		}
		run := in.read(t)
		var found []cost.Way
		for _, w := range waysOut(t, run, cost.Scarcity{Left: []cost.Left{{Part: "WANTED"}}}).Parts[0].Ways {
			if w.Kind == cost.Substituted {
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
		run := input{
			"unit.csv": "Designator,Part number,Value,Description,Package,Mount\n" +
				"R1,WANTED," + row.value + "," + row.text + "," + row.size + ",SMT\nR2,OTHER," + row.value2 + "," + row.text2 + "," + row.size2 + ",SMT\n",
			"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
			"prices/offers.csv":   "Part number,Supplier,Price\nWANTED,Corner Parts,0.01\nOTHER,Corner Parts,0.01\n",
		}.read(t)
		p := waysOut(t, run, cost.Scarcity{Left: []cost.Left{{Part: "WANTED"}}}).Parts[0]
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

// TestWhy: what the plan did not choose, and what it would have cost, worked by
// hand from the offers.
func TestWhy(t *testing.T) {
	in := lamp.with("prices/offers.csv", lamp["prices/offers.csv"]+
		"TERM-2,Corner Parts,C-99,,1,1,1,1,0.45\nBOX-S,Spool House,S-1,,1,1,1,1,0.90\n")
	run := in.read(t)
	run.Why = true
	b := one(t, run, 10)
	found := 0
	for _, w := range b.Why.Parts {
		switch w.Part {
		case "TERM-2": // 20 × 0.05, in the same order
			found++
			if w.Chosen != "Corner Parts C-12" || w.Next != "Corner Parts C-99" {
				t.Errorf("got %+v", w)
			}
			equal(t, "the dearer terminal", w.More, "1.00")
		case "BOX-S": // 10 × 0.10; both orders are made anyway
			found++
			if w.Next != "Spool House S-1" {
				t.Errorf("got %+v", w)
			}
			equal(t, "the dearer box", w.More, "1.00")
		case "CHIP-8":
			found++
			if w.Next != "" {
				t.Errorf("nobody else sells it, yet %+v", w)
			}
		}
	}
	if found != 3 {
		t.Errorf("only %d of the parts are explained: %+v", found, b.Why.Parts)
	}
	for _, s := range b.Why.Suppliers {
		if len(s.Needed) == 0 && s.Supplier != "Spool House" {
			t.Errorf("%s is needed for something, yet %+v", s.Supplier, s)
		}
	}
	spare := in.with("prices/offers.csv", in["prices/offers.csv"]+
		"EXTRA,Field Parts,X-1,,1,1,1,1,0.20\nEXTRA,Corner Parts,X-2,,1,1,1,1,0.40\n",
		"prices/suppliers.csv", in["prices/suppliers.csv"]+"Field Parts,EUR,0.50,,,,,,,,,\n",
		"unit.csv", in["unit.csv"]+",1,EXTRA,extra,other,,,,,,,,1,,,\n")
	run = spare.read(t)
	run.Why = true
	for _, s := range one(t, run, 10).Why.Suppliers {
		if s.Supplier == "Field Parts" { // 10 × 0.20 less the delivery of 0.50, far from free delivery
			equal(t, "without Field Parts", s.More, "1.50")
			return
		}
	}
	t.Error("Field Parts sells nothing")
}

// TestOneMoreSavesTheDelivery: goods of 56.50 pay a delivery of 5.00, which 60
// do not; 3.50 more of goods cost less than that, and it is said.
func TestOneMoreSavesTheDelivery(t *testing.T) {
	in := lamp.with(
		"prices/offers.csv", lamp["prices/offers.csv"]+"EXTRA,Corner Parts,X-2,,1,1,1,1,1.20\n",
		"unit.csv", lamp["unit.csv"]+",1,EXTRA,extra,other,,,,,,,,1,,,\n")
	b := one(t, in.read(t), 10)
	for _, o := range b.Orders {
		if o.Supplier == "Corner Parts" && (!o.Delivery.IsZero() || o.Goods.LessThan(d("60"))) {
			t.Errorf("the order pays %s for the delivery of %s", o.Delivery, o.Goods)
		}
	}
	said := false
	for _, p := range b.Purchases {
		said = said || strings.Contains(p.Remark, "more than needed: the order is spared a charge")
	}
	if !said {
		t.Error("nothing says that more is ordered than needed")
	}
}
