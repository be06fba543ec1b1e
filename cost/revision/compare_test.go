package revision_test

import (
	"reflect"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
	"tenoff/fixtures/typed"
)

// revised is a run read as another revision: its files have names of their own.
func revised(t testing.TB, in typed.Input, change func(text map[string]string)) cost.Run {
	t.Helper()
	out := in.With()
	change(out)
	run := out.Read(t)
	renameLines(run.Unit, "new/")
	for i := range run.Prices.PrintLog {
		files := run.Prices.PrintLog[i].Files
		for j := range files {
			files[j] = "new/" + files[j]
		}
	}
	return run
}

// renameLines moves a bill of materials to another folder, as a second file has
// another name.
func renameLines(a *bom.Assembly, folder string) {
	a.File = folder + a.File
	for _, l := range a.Lines {
		if l.Head != nil {
			head := *l.Head
			head.File = folder + head.File
			l.Head = &head
		}
		if l.Sub != nil {
			renameLines(l.Sub, folder)
		}
	}
}

func difference(t testing.TB, before, after cost.Run) *revision.Comparison {
	t.Helper()
	r, problems := revision.Compare(before, after)
	if problems.Failed() {
		t.Fatalf("unexpected: %s", typed.Said(problems))
	}
	sumsUp(t, before, after, r)
	return r
}

// sumsUp: the steps add up to the difference between the two estimates made
// alone, to the last digit; per unit, as far as divisions go.
func sumsUp(t testing.TB, before, after cost.Run, r *revision.Comparison) {
	t.Helper()
	before.Batches = after.Batches
	was, is := typed.Compute(t, before), typed.Compute(t, after)
	for i := range after.Batches {
		var used, cash, unit decimal.Decimal
		for _, s := range r.Steps {
			used, cash, unit = used.Add(s.Costs[i].Consumed), cash.Add(s.Costs[i].Cash), unit.Add(s.Costs[i].Unit)
		}
		a, b := &was.Batches[i], &is.Batches[i]
		typed.Equal(t, "used in all", used, b.Total.Consumed.Sub(a.Total.Consumed).String())
		typed.Equal(t, "cash in all", cash, b.Total.Cash.Sub(a.Total.Cash).String())
		typed.Equal(t, "per unit", unit.Round(9), b.PerUnit(b.Total.Consumed).Sub(a.PerUnit(a.Total.Consumed)).Round(9).String())
	}
}

// shown is every step as "kind what: from -> to".
func shown(r *revision.Comparison) []string {
	var out []string
	for _, s := range r.Steps {
		var names []string
		for _, c := range s.Changes {
			names = append(names, c.Kind.String()+" "+c.What+": "+c.From+" -> "+c.To)
		}
		out = append(out, strings.Join(names, " & "))
	}
	return out
}

// TestDifferenceByHand: three parts at 2.00, 3.00 and 0.50; ten units. One part
// goes (−2.00 a unit), one comes (+4.00), one is needed twice (+0.50), and then
// it costs 0.60 instead of 0.50 (2 × 0.10 = +0.20).
func TestDifferenceByHand(t *testing.T) {
	in := typed.Input{
		"unit.csv":            "Quantity,Part number,Kind\n1,OLD,other\n1,KEPT,other\n1,SCREW,fastener\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nOLD,Corner Parts,2\nKEPT,Corner Parts,3\nSCREW,Corner Parts,0.5\n",
	}
	before := in.Read(t)
	after := revised(t, in, func(text map[string]string) {
		text["unit.csv"] = "Quantity,Part number,Kind\n1,KEPT,other\n2,SCREW,fastener\n1,FRESH,other\n"
		text["prices/offers.csv"] = "Part number,Supplier,Price\nKEPT,Corner Parts,3\nSCREW,Corner Parts,0.6\nFRESH,Corner Parts,4\n"
	})
	r := difference(t, before, after)
	want := []struct{ step, unit string }{
		{"price added offers: FRESH:  -> 1 row", "0"},
		{"line removed OLD: 1 -> ", "-2"},
		{"line added FRESH:  -> 1", "4"},
		{"line changed SCREW: quantity 1 -> quantity 2", "0.5"},
		{"price changed offers: SCREW: breaks from 1: 0.5 -> breaks from 1: 0.6", "0.2"},
		{"price removed offers: OLD: 1 row -> ", "0"},
	}
	got := shown(r)
	if len(got) != len(want) {
		t.Fatalf("%d steps: %q", len(got), got)
	}
	for i, w := range want {
		if got[i] != w.step {
			t.Errorf("step %d is %q; want %q", i+1, got[i], w.step)
		}
		typed.Equal(t, w.step, r.Steps[i].Costs[0].Unit, w.unit)
	}
}

// TestDifferenceOfHeadings: an order of 12.00, free of duty by its value, at a flat duty of 3.00
// for each customs heading: a second heading is 3.00 more.
func TestDifferenceOfHeadings(t *testing.T) {
	in := typed.Input{
		"unit.csv":             "Quantity,Part number,Kind\n1,KNOB,other\n1,FOOT,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv": "Supplier,Flat duty per heading,Duty free up to\nFar Parts,3,150\n",
		"prices/offers.csv":    "Part number,Supplier,Heading,Price\nKNOB,Far Parts,8541,1\nFOOT,Far Parts,8541,2\n",
	}
	before := in.Read(t)
	after := revised(t, in, func(text map[string]string) {
		text["prices/offers.csv"] = "Part number,Supplier,Heading,Price\nKNOB,Far Parts,8541,1\nFOOT,Far Parts,7318,2\n"
	})
	after.Batches = []int{4}
	r := difference(t, before, after)
	if got := shown(r); len(got) != 1 || got[0] != "price changed offers: FOOT: heading 8541 -> heading 7318" {
		t.Fatalf("steps %q", got)
	}
	typed.Equal(t, "a heading more", r.Steps[0].Costs[0].Consumed, "3")
}

// TestDifferenceSaysWhose: of several offers of a part it is said whose price changed.
func TestDifferenceSaysWhose(t *testing.T) {
	in := typed.Input{
		"unit.csv":            "Quantity,Part number,Kind\n1,KNOB,other\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nKNOB,Corner Parts,1\nKNOB,Far Parts,2\n",
	}
	after := revised(t, in, func(text map[string]string) {
		text["prices/offers.csv"] = "Part number,Supplier,Price\nKNOB,Corner Parts,1\nKNOB,Far Parts,3\n"
	})
	if got := shown(difference(t, in.Read(t), after)); len(got) != 1 || got[0] != "price changed offers: KNOB: Far Parts breaks from 1: 2 -> Far Parts breaks from 1: 3" {
		t.Errorf("steps %q", got)
	}
}

// TestDifferenceOfTheSame: a run against itself, read twice from different
// places, has no steps.
func TestDifferenceOfTheSame(t *testing.T) {
	for _, name := range []string{"frost-alarm", "morse-kit"} {
		in := typed.Demo(t, name)
		after := revised(t, in, func(map[string]string) {})
		after.Batches = []int{10, 40}
		if got := shown(difference(t, in.Read(t), after)); len(got) != 0 {
			t.Errorf("%s against itself: %q", name, got)
		}
	}
}

// TestDifferenceSums changes the demos in many ways at once; the steps sum to
// the whole, forth and back.
func TestDifferenceSums(t *testing.T) {
	for _, name := range []string{"frost-alarm", "morse-kit"} {
		in := typed.Demo(t, name)
		before := in.Read(t)
		after := revised(t, in, func(text map[string]string) {
			for file, s := range text {
				lines := strings.Split(strings.TrimSuffix(s, "\n"), "\n")
				n := len(lines)
				switch {
				case !strings.HasSuffix(file, ".csv"), n < 4:
				case file == "prices/offers.csv":
					lines[n/2], lines[n-1] = lines[n-1], lines[n/2] // another order
				case file == "prices/hand-work.csv", file == "prices/attrition.csv":
					lines = lines[:n-1]
				case strings.HasPrefix(file, "prices/"):
				default:
					lines = append(lines[:n-2], lines[n-1]) // a line goes
				}
				text[file] = strings.Join(lines, "\n") + "\n"
			}
			text["prices/settings.csv"] = strings.Replace(text["prices/settings.csv"], "Confidence %,95", "Confidence %,80", 1)
			text["prices/settings.csv"] = strings.Replace(text["prices/settings.csv"], "Labour rate per hour,", "Labour rate per hour,1", 1)
		})
		before.Batches, after.Batches = []int{7, 40}, []int{7, 40}
		forth, problems := revision.Compare(before, after)
		if problems.Failed() {
			t.Logf("%s: %s", name, typed.Said(problems))
			t.Fatal("the changed demo should still be a run")
		}
		sumsUp(t, before, after, forth)
		if len(forth.Steps) < 3 {
			t.Errorf("%s: only %q", name, shown(forth))
		}
		difference(t, after, before)
	}
}

// TestDifferencePairs: a line that keeps its designators but not its value has
// changed; an unpriced state in between joins its neighbours.
func TestDifferencePairs(t *testing.T) {
	in := typed.Input{
		"unit.csv":            "Designator,Value,Package,Mount\n\"R1, R2\",4k7,0603,THT\nR3,1k,0603,THT\n",
		"prices/boards.csv":   "Board,Fabricator,Lot,Price\nunit,Corner Boards,10,0\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Price\n4k7 0603,Corner Parts,0.02\n1k 0603,Corner Parts,0.01\n10k 0603,Corner Parts,0.03\n",
	}
	after := revised(t, in, func(text map[string]string) {
		text["unit.csv"] = "Designator,Value,Package,Mount\n\"R1, R2\",10k,0603,THT\nR3,1k,0603,THT\n"
	})
	got := shown(difference(t, in.Read(t), after))
	if len(got) != 1 || !strings.HasPrefix(got[0], "line changed unit: 4k7 0603 (R1, R2): part 4k7 0603; value 4k7") {
		t.Errorf("steps: %q", got)
	}
	// The one supplier is renamed: its old offers go before the new ones come
	// in no order that can be bought part by part.
	renamed := revised(t, in, func(text map[string]string) {
		text["prices/offers.csv"] = strings.ReplaceAll(text["prices/offers.csv"], "Corner Parts", "Far Parts")
	})
	if got := shown(difference(t, in.Read(t), renamed)); len(got) != 3 {
		t.Errorf("steps: %q", got)
	}
}

func TestDifferenceRefuses(t *testing.T) {
	other := typed.Steady.With("prices/settings.csv", "Setting,Value\nHome currency,USD\n")
	if r, problems := revision.Compare(typed.Steady.Read(t), other.Read(t)); r != nil || !strings.Contains(typed.Said(problems), "different home currencies") {
		t.Errorf("said: %s", typed.Said(problems))
	}
	short := typed.Steady.With("prices/offers.csv", "Part number,Supplier,Price\nOTHER,Corner Parts,2\n")
	for _, pair := range [][2]typed.Input{{typed.Steady, short}, {short, typed.Steady}} {
		if r, problems := revision.Compare(pair[0].Read(t), pair[1].Read(t)); r != nil || !problems.Failed() {
			t.Error("a revision that cannot be bought is compared")
		}
	}
}

// A run file of one product changes as its list does. Of several, a product that is new or
// gone, another level and what changes in a list are told, and come to the whole change.
func TestDifferenceOfProgrammes(t *testing.T) {
	before := typed.Lamp.Read(t)
	before.Level, before.Batches = bom.LevelBuilt, []int{12}
	after := revised(t, typed.Lamp, func(text map[string]string) {
		text["unit.csv"] = strings.Replace(text["unit.csv"], ",4,SCREW-M3", ",6,SCREW-M3", 1)
		text["prices/offers.csv"] = strings.Replace(text["prices/offers.csv"], "BOX-S,Corner Parts,C-60,,1,1,1,1,0.80", "BOX-S,Corner Parts,C-60,,1,1,1,1,0.95", 1)
	})
	after.Level, after.Batches = bom.LevelBuilt, []int{12}
	plain := difference(t, before, after)
	one := func(run cost.Run) cost.Run {
		return typed.AsProgramme(run, []int{12}, bom.Product{Name: "lamp", Level: bom.LevelBuilt, Unit: run.Unit})
	}
	same := difference(t, one(before), one(after))
	if !reflect.DeepEqual(plain.Steps, same.Steps) || len(plain.Steps) != 2 {
		t.Errorf("a programme of one product changes by %+v, its list by %+v", same.Steps, plain.Steps)
	}
	old := typed.AsProgramme(before, []int{9, 9, 1}, bom.Product{Name: "lamp", Level: bom.LevelBuilt, Unit: before.Unit},
		bom.Product{Name: "bag", Level: bom.LevelKit, Unit: before.Unit}, bom.Product{Name: "sample", Level: bom.LevelBuilt, Unit: before.Unit})
	many := typed.AsProgramme(after, []int{7, 5, 4}, bom.Product{Name: "lamp", Level: bom.LevelBuilt, Unit: after.Unit},
		bom.Product{Name: "spare", Level: bom.LevelKit, Unit: after.Unit}, bom.Product{Name: "bag", Level: bom.LevelBuilt, Unit: after.Unit})
	r, problems := revision.Compare(old, many)
	if problems.Failed() {
		t.Fatal(typed.Said(problems))
	}
	var told []string
	sum := decimal.Zero
	for _, s := range r.Steps {
		sum = sum.Add(s.Costs[0].Consumed)
		for _, c := range s.Changes {
			told = append(told, c.Kind.String()+" "+c.What)
		}
	}
	want := []string{"line removed product sample", "line added product spare", "line changed SCREW-M3", "line changed product bag", "price changed offers: BOX-S"}
	slices.Sort(want)
	slices.Sort(told)
	if !slices.Equal(told, want) || !sum.Equal(r.New[0].Consumed.Sub(r.Old[0].Consumed)) || !r.New[0].Consumed.Equal(typed.Compute(t, many).Batches[0].Total.Consumed) {
		t.Errorf("told: %q, %s in all; from %s to %s", told, sum, r.Old[0].Consumed, r.New[0].Consumed)
	}
	stale := typed.AsProgramme(before, []int{7, 0, 4}, bom.Product{Name: "lamp", Level: bom.LevelBuilt, Unit: before.Unit},
		bom.Product{Name: "spare", Level: bom.LevelKit, Unit: before.Unit}, bom.Product{Name: "bag", Level: bom.LevelKit, Unit: before.Unit})
	stale.Prices = before.Prices
	if alone := typed.Compute(t, stale).Batches[0].Total; !r.Old[0].Consumed.Equal(alone.Consumed) {
		t.Errorf("the old run consumes %s; its products in the new plan %s", r.Old[0].Consumed, alone.Consumed)
	}
	if _, problems = revision.Compare(one(before), typed.AsProgramme(after, []int{3}, bom.Product{Name: "spare", Level: bom.LevelKit, Unit: after.Unit})); !strings.Contains(typed.Said(problems), "every product of the plan is new") {
		t.Errorf("said: %s", typed.Said(problems))
	}
}

// TestWhatIfOfADifference: the step of a price that only counts where the supplier beside
// it has nothing; a supplier that one revision alone knows.
func TestWhatIfOfADifference(t *testing.T) {
	in := typed.TwoShops()
	before := in.Read(t)
	after := revised(t, in, func(text map[string]string) {
		text["prices/offers.csv"] = strings.Replace(text["prices/offers.csv"], "A,Far,,1.50", "A,Far,,1.60\nA,New,,1.55", 1)
		text["prices/offers.csv"] = strings.Replace(text["prices/offers.csv"], "B,Far,20,0.40", "B,Far,20,0.45", 1)
	})
	after.Batches = []int{10}
	for _, row := range []struct {
		dry  []string
		want string
	}{
		{nil, "0"},
		{[]string{"Near"}, "1"}, // A from 1.50 to 1.55, B from 0.40 to 0.45
		{[]string{"Near", "New"}, "1.5"},
		{[]string{"Near", "Far"}, "-"},
		{[]string{"Nobody"}, "no offer is from this supplier"},
	} {
		after.Scarce = cost.Scarcity{Dry: row.dry}
		r, problems := revision.Compare(before, after)
		switch {
		case strings.HasPrefix(row.want, "no"), row.want == "-":
			if r != nil || !strings.Contains(typed.Said(problems), strings.Trim(row.want, "-")) {
				t.Errorf("%v: %s", row.dry, typed.Said(problems))
			}
		case r == nil:
			t.Errorf("%v: %s", row.dry, typed.Said(problems))
		default:
			typed.Equal(t, strings.Join(row.dry, ", "), r.New[0].Cash.Sub(r.Old[0].Cash), row.want)
			steps := typed.D("0")
			for _, s := range r.Steps {
				steps = steps.Add(s.Costs[0].Cash)
			}
			typed.Equal(t, "steps with "+strings.Join(row.dry, ", "), steps, row.want)
		}
	}
	after.Scarce, before.Batches = cost.Scarcity{}, after.Batches
	before.Scarce = cost.Scarcity{Dry: []string{"Near", "New"}}
	if r, problems := revision.Compare(after, before); r == nil || len(r.Steps) != 2 {
		t.Errorf("A and B are two steps back: %+v, %s", r, typed.Said(problems))
	}
}
