package cost_test

import (
	"maps"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/cost/trial"
)

// A figure of exactly the age limit is not old, one of a day more is: prices,
// stock that is relied on, and prices that a trial draws more widely.
func TestExactlyTheAgeLimit(t *testing.T) {
	today := bom.Date{Year: 2026, Month: 11, Day: 25}
	for _, row := range []struct {
		why, asOf string
		old       bool
	}{{"30 days", "2026-10-26", false}, {"31 days", "2026-10-25", true}, {"undated", "", false}} {
		in := slow.with(
			"prices/settings.csv", "Setting,Value\nHome currency,EUR\nPrice age limit days,30\nOld price spread %,20\n",
			"prices/suppliers.csv", "Supplier,Lead days\nCorner Parts,2\n",
			"prices/offers.csv", "Part number,Supplier,Stock,Price,As of\nTHING,Corner Parts,500,9,"+row.asOf+"\n")
		run := in.read(t)
		run.Today = today
		e, problems := cost.Compute(run)
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		for _, words := range []string{`price older than 30 days ("THING from Corner Parts`, "the stock of THING was stated on " + row.asOf} {
			if got := strings.Contains(said(problems), words); got != row.old {
				t.Errorf("%s: %q said: %v, want %v\n%s", row.why, words, got, row.old, said(problems))
			}
		}
		tried, problems := trial.Run(run, e, trial.Request{Trials: 200, Seed: 1})
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		if moved := tried.Batches[0].Cash.P10 != tried.Batches[0].Cash.P90; moved != row.old {
			t.Errorf("%s: drawn more widely: %v, want %v", row.why, moved, row.old)
		}
	}
}

// Allowances are figures that an estimate rests on: each that a part of the run
// takesText is listed once, with its cell; others are not.
func TestAllowancesAreSources(t *testing.T) {
	e := compute(t, lamp.read(t))
	got := map[string]cost.Source{}
	for _, s := range e.Sources {
		if s.What == "attrition" {
			if _, again := got[s.Name]; again {
				t.Errorf("%s is listed twice", s.Name)
			}
			got[s.Name] = s
		}
	}
	for name, want := range map[string]string{"smt": "2 %, at least 5", "smt 0603": "5 %, at least 10", "fastener": "10 %, at least 0"} {
		if s := got[name]; s.Value != want || s.Place.File != "prices/attrition.csv" || s.Place.Row == 0 {
			t.Errorf("%s: %q at %s, want %q", name, s.Value, s.Place, want)
		}
	}
	if len(got) != 3 {
		t.Errorf("%d allowances are listed, 3 are taken", len(got))
	}
}

// A supplier that takes exactly as many days as there are is in time; one of
// which it is not known is left out with a word.
func TestSlowSuppliersAreLeftOut(t *testing.T) {
	for _, row := range []struct {
		lead, days string // the setting Working days
		out        bool
		said       string
	}{
		{"9", "", false, ""}, {"10", "", true, ""}, {"", "", true, "left out, since it is not known how long it takes"},
		{"6", "Mon-Fri", false, ""}, {"7", "Mon-Fri", true, ""}, // from Sunday 1 Nov 2026 to Tuesday 10
	} {
		in := slow.with(
			"prices/settings.csv", "Setting,Value\nHome currency,EUR\nWorking days,"+row.days+"\n",
			"prices/suppliers.csv", "Supplier,Lead days\nCorner Parts,2\nFar Parts,"+row.lead+"\n",
			"prices/offers.csv", "Part number,Supplier,Price\nTHING,Corner Parts,9\nTHING,Far Parts,8\n")
		run := in.read(t)
		run.Today, run.Rules.By = bom.Date{Year: 2026, Month: 11, Day: 1}, bom.Date{Year: 2026, Month: 11, Day: 10}
		e, problems := cost.Compute(run)
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		want := map[bool]string{false: "Far Parts", true: "Corner Parts"}[row.out]
		if got := e.Batches[0].Purchases[0].Supplier; got != want {
			t.Errorf("lead %q: bought from %s, want %s", row.lead, got, want)
		}
		if told := strings.Contains(said(problems), "left out"); told != (row.said != "") || !strings.Contains(said(problems), row.said) {
			t.Errorf("lead %q: said %s", row.lead, said(problems))
		}
	}
}

// Joints are counted on SMT and THT parts and on wire alone.
func TestJointsOfWhat(t *testing.T) {
	for class, fits := range map[string]bool{"smt": true, "tht": true, "wire": true, "fastener": false, "insert": false, "printed": false, "packing": false, "test": false} {
		run, problems := lamp.with("unit.csv", strings.Replace(lamp["unit.csv"], "wire,,,", "wire,,1,", 1), "prices/hand-work.csv", "Operation,Applies to,Basis,Seconds\nwork,"+class+",joint,6\n").tryRead()
		if !problems.Failed() {
			_, problems = cost.Compute(run)
		}
		told := strings.Contains(said(problems), class+" has no solder joints")
		if problems.Failed() == fits || told == fits {
			t.Errorf("%s: %s", class, said(problems))
		}
	}
}

// Enough is the smallest n with P(Binomial(n, y) >= N) >= confidence: for ten
// good ones of nine in ten, 12 reach 10 in 88.9 % of cases and 13 in 96.6 %
// (binomial distribution, worked out by hand).
func TestStartsAtAConfidence(t *testing.T) {
	for confidence, want := range map[string]int{"88.9": 12, "89": 13, "95": 13, "96.6": 14, "30": 10, "34.9": 11} {
		in := slow.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nUnit yield %,90\nConfidence %,"+confidence+"\n",
			"prices/suppliers.csv", "Supplier,Lead days\nCorner Parts,2\n", "prices/offers.csv", "Part number,Supplier,Price\nTHING,Corner Parts,9\n")
		if b := one(t, in.read(t), 10); b.Starts != want {
			t.Errorf("at %s %%: %d are started, want %d", confidence, b.Starts, want)
		}
	}
	in := slow.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nUnit yield %,0.0000001\n",
		"prices/suppliers.csv", "Supplier,Lead days\nCorner Parts,2\n", "prices/offers.csv", "Part number,Supplier,Price\nTHING,Corner Parts,9\n")
	if _, problems := cost.Compute(in.read(t)); !strings.Contains(said(problems), "set a higher yield or a lower confidence") {
		t.Errorf("hardly any is good: %s", said(problems))
	}
}

// A material without a spool is suggested the nearest name that has one.
func TestNearestMaterial(t *testing.T) {
	for typed, want := range map[string]string{"PLA wite": `there is one for "PLA white"`, "ABS": ""} {
		in := lamp.with("unit.csv", strings.Replace(lamp["unit.csv"], "PLA white", typed, 1))
		_, problems := cost.Compute(in.read(t))
		if text := said(problems); !strings.Contains(text, typed) || strings.Contains(text, "there is one for") != (want != "") || !strings.Contains(text, want) {
			t.Errorf("%s: %s", typed, text)
		}
	}
}

// Whatever a sum of the demo enters with its cell stands among the sources once, with the
// same figure, so that a workbook's reader can change it; what suppliers and offers ask has
// lists of its own. A run with a substitute, whose extras are such figures, as well.
func TestFiguresAreSources(t *testing.T) {
	run := demo(t, "frost-alarm").read(t)
	swapped := spare().read(t)
	swapped.Batches, swapped.Take = []int{10}, []cost.Swap{{Part: "TERM-2", Substitute: "TERM-2X"}}
	run.Batches = []int{10, 40, 100}
	checked := map[string]bool{}
	for _, e := range []*cost.Estimate{compute(t, run), compute(t, swapped)} {
		for i := range e.Batches {
			e.Batches[i].Sums.Figures(func(f *sum.Figure, _ sum.Ref) {
				elsewhere := []string{cost.OfSupplier, cost.OfBreak, cost.OfPart, cost.OfBoard, cost.OfSetting, cost.OfRate}
				if f.Place.Row == 0 || f.Value.IsZero() || slices.Contains(elsewhere, f.Key.Of) {
					return
				}
				checked[f.Key.Of] = true
				found := 0
				for _, s := range e.Sources {
					if s.Place == f.Place && s.Amount.Decimal.Equal(f.Value) {
						found++
					}
				}
				if found != 1 {
					t.Errorf("%v at %s stands %d times among the sources", f.Key, f.Place, found)
				}
			})
		}
	}
	want := []string{cost.OfAssembly, cost.OfTier, cost.OfOneOff, cost.OfParcel, cost.OfPrinter, cost.OfSubstitute, cost.OfShare, cost.OfWork, cost.OfWorth}
	if got := slices.Sorted(maps.Keys(checked)); !slices.Equal(got, want) {
		t.Errorf("figures of %q were looked for, want %q", got, want)
	}
}
