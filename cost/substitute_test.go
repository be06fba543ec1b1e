package cost_test

import (
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/rulecost"
)

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

// TestRowsOfSubstitutes: what the price sheet says of substitutes and of what comes in, and
// cannot be.
func TestRowsOfSubstitutes(t *testing.T) {
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
	short := problems.Of(bom.Warning).ByCause()
	if len(short) != 1 || len(short[0]) != 2 {
		t.Errorf("parts that are short are one cause: %v", short)
	}
	run.Batches = []int{20000}
	_, problems = cost.Compute(run)
	if want := "not enough stock for batch 20,000: 20,000 required, 31 available"; !strings.Contains(said(problems), want) {
		t.Errorf("thousands are not grouped: %s", said(problems))
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
		if x := rulecost.Extras(run); len(x) != 1 || !x[0].Batches[0].Cash.IsPositive() {
			t.Errorf("%s: the rule costs %+v", row.why, x)
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
