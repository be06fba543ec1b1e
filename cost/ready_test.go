package cost_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// task finds a task of a plan by what it is called.
func task(t testing.TB, p cost.Plan, name string) cost.Task {
	t.Helper()
	for _, task := range p.Tasks {
		if task.Name == name {
			return task
		}
	}
	t.Fatalf("no task %q in %+v", name, p.Tasks)
	return cost.Task{}
}

func waitsFor(p cost.Plan, task cost.Task) []string {
	var names []string
	for _, i := range task.After {
		names = append(names, p.Tasks[i].Name)
	}
	slices.Sort(names)
	return names
}

func pathOf(p cost.Plan) string {
	var names []string
	for _, i := range p.Path {
		names = append(names, p.Tasks[i].Name)
	}
	return strings.Join(names, " → ")
}

// TestLampReadyByHand: lead days are Corner Parts 2, Panel House 7, Placing House
// 12, Spool House 3; the bench is at work 2 h a day. Boards are at the assembler
// on day 7, and back on day 19. Five plates of 3 h, of 2 shades each, take 15 h =
// 0.625 days from day 3; clearing them 5 × 120 s = 10 min of 2 h = 0.083333 days,
// done by day 3.708333, long before. Then, on day 19, terminals: 2 joints × 2
// boards at 6 s, 10 units by Wright's law at 80 %, 6.315373 units' worth (Heizer
// & Render), 151.57 s = 0.021051 days; 4 screws × 10 at 9 s = 6 min = 0.05 days;
// packing 600 s + 10 × 60 s = 20 min = 0.166666 days: in all 0.237717.
func TestLampReadyByHand(t *testing.T) {
	p := one(t, lamp.read(t), 10).Plan
	for _, w := range []struct {
		name                string
		start, takes, slack float64
		after               string
	}{
		{"Corner Parts", 0, 2, 5, ""},
		{"Panel House", 0, 7, 0, ""},
		{"Spool House", 0, 3, 15.291667, ""},
		{"Placing House", 7, 12, 0, "Corner Parts, Panel House"},
		{"", 3, 0.625, 15.291667, "Spool House"},
		{"printed", 3.625, 0.083333, 15.291667, ""},
		{"tht", 19, 0.021051, 0, "Placing House, printed"},
		{"fastener", 19.021051, 0.05, 0, "tht"},
		{"packing", 19.071051, 0.166667, 0, "fastener"},
	} {
		got := task(t, p, w.name)
		for _, f := range []struct {
			what string
			got  bom.Quantity
			want float64
		}{{"starts on day", got.Start, w.start}, {"takes", got.Takes, w.takes}, {"has slack", got.Slack, w.slack}} {
			if d := f.got - bom.Quantity(f.want*float64(bom.One)+0.5); d < -1 || d > 1 {
				t.Errorf("%q %s %s; want %g", w.name, f.what, f.got, f.want)
			}
		}
		if after := strings.Join(waitsFor(p, got), ", "); after != w.after {
			t.Errorf("%q waits for %q; want %q", w.name, after, w.after)
		}
	}
	if !p.Known || p.Day() != 20 || p.Ready.String() != "19.237717" || pathOf(p) != "Panel House → Placing House → tht → fastener → packing" {
		t.Errorf("ready on day %d, %s, by way of %s", p.Day(), p.Ready, pathOf(p))
	}
}

// TestWhatIsWaitedFor varies the run worked out above; each row says what it is
// about.
func TestWhatIsWaitedFor(t *testing.T) {
	for _, c := range []struct {
		why   string
		texts []string
		level bom.Level
		ready string
		path  string
	}{
		{"an assembler that makes the boards and sells the parts has one order, and its days count once",
			[]string{"prices/boards.csv", strings.ReplaceAll(lamp["prices/boards.csv"], "Panel House", "Placing House"),
				"prices/settings.csv", strings.ReplaceAll(lamp["prices/settings.csv"], "Panel House", "Placing House"),
				"prices/offers.csv", strings.NewReplacer("RES-1K,Corner Parts", "RES-1K,Placing House", "CHIP-8,Corner Parts", "CHIP-8,Placing House").Replace(lamp["prices/offers.csv"])},
			bom.LevelBuilt, "12.237717", "Placing House → tht → fastener → packing"},
		{"consigned parts that come late hold the assembler up",
			[]string{"prices/suppliers.csv", strings.Replace(lamp["prices/suppliers.csv"], "Corner Parts,EUR,5.00,60,,2", "Corner Parts,EUR,5.00,60,,8", 1)},
			bom.LevelBuilt, "20.237717", "Corner Parts → Placing House → tht → fastener → packing"},
		{"boards on hand need not be waited for; parts must",
			[]string{"prices/on-hand.csv", "Part number,Quantity,Unit value\nLAMP-PCB,20,0\n"},
			bom.LevelBuilt, "14.237717", "Corner Parts → Placing House → tht → fastener → packing"},
		{"without an assembler boards are soldered by hand, and none of their parts goes away",
			[]string{"prices/settings.csv", strings.Replace(lamp["prices/settings.csv"], "Assembler,Placing House\n", "Assembler,bench\n", 1)},
			bom.LevelBuilt, "12.237717", "Placing House → tht → fastener → packing"},
		{"a kit is bagged (300 s) and packed, and nothing is soldered or screwed by hand",
			nil, bom.LevelKit, "19.208332", "Panel House → Placing House → bagging → packing"},
		{"a populated board is only packed",
			nil, bom.LevelBoard, "19.166666", "Panel House → Placing House → packing"},
		{"at half the hours a day hand work takes twice the days",
			[]string{"prices/settings.csv", lamp["prices/settings.csv"] + "Bench hours per day,1\n"},
			bom.LevelBuilt, "19.475435", "Panel House → Placing House → tht → fastener → packing"},
		{"prints that take longest are what is waited for: 5 plates of 120 h, 25 days, from day 3, and clearing them; soldering is done by then",
			[]string{"unit.csv", strings.Replace(lamp["unit.csv"], "20,1.5,2", "20,60,2", 1)},
			bom.LevelBuilt, "28.299999", "Spool House →  → printed → fastener → packing"},
		{"filament on hand lets printing start on day 0",
			[]string{"unit.csv", strings.Replace(lamp["unit.csv"], "20,1.5,2", "20,60,2", 1),
				"prices/on-hand.csv", "Part number,Quantity,Unit value\nPLA white,5000,0.02\n"},
			bom.LevelBuilt, "25.299999", " → printed → fastener → packing"},
	} {
		run := lamp.with(c.texts...).read(t)
		run.Level = c.level
		p := one(t, run, 10).Plan
		if !p.Known || p.Ready.String() != c.ready || pathOf(p) != c.path {
			t.Errorf("%s: ready on day %s by way of %s; want %s by way of %s", c.why, p.Ready, pathOf(p), c.ready, c.path)
		}
	}
}

// TestWorkingDays: orders move and hands work from Monday to Friday, printers every day. Day 0
// is Wednesday 25 Nov 2026 (week 48 of ISO 8601).
func TestWorkingDays(t *testing.T) {
	week := lamp.with("prices/settings.csv", lamp["prices/settings.csv"]+"Working days,Mon-Fri\n")
	// Seven days of the boards are over as Friday 4 Dec, day 9, begins; twelve of the assembler
	// from there on as Tuesday 22 Dec, day 27, begins.
	run := week.read(t)
	run.Today = bom.Date{Year: 2026, Month: 11, Day: 25}
	p := one(t, run, 10).Plan
	if p.Ready.String() != "27.237717" || pathOf(p) != "Panel House → Placing House → tht → fastener → packing" {
		t.Errorf("ready on day %s by way of %s", p.Ready, pathOf(p))
	}
	for name, want := range map[string]string{"Corner Parts": "2", "Panel House": "9", "Spool House": "5", "Placing House": "27"} {
		if end := task(t, p, name).End; end.String() != want {
			t.Errorf("%s: done on day %s, want %s", name, end, want)
		}
	}
	// The filament's three days are Wednesday to Friday, and it is there on Monday 30 Nov, day 5.
	// Five plates of 120 h, 25 days, are printed from then to Friday 25 Dec, day 30. Of 132 h, 27.5
	// days, the last is through on Sunday 27 Dec, day 32, and cleared on Monday.
	for hours, ready := range map[string]string{"60": "30.299999", "66": "33.299999"} {
		run := week.with("unit.csv", strings.Replace(lamp["unit.csv"], "20,1.5,2", "20,"+hours+",2", 1)).read(t)
		run.Today = bom.Date{Year: 2026, Month: 11, Day: 25}
		if p := one(t, run, 10).Plan; p.Ready.String() != ready {
			t.Errorf("%s h a plate: ready on day %s by way of %s, want %s", hours, p.Ready, pathOf(p), ready)
		}
	}
}

// TestNothingIsSilentlyNoDays: what is not known is told with its place, and
// everything behind it is marked.
func TestNothingIsSilentlyNoDays(t *testing.T) {
	for _, c := range []struct {
		why     string
		texts   []string
		gap     string
		known   string // a task that can be told
		unknown string // one that cannot
	}{
		{"blank lead days of the fabricator",
			[]string{"prices/suppliers.csv", strings.Replace(lamp["prices/suppliers.csv"], "Panel House,EUR,8.00,,,7", "Panel House,EUR,8.00,,,", 1)},
			"lead days of Panel House at prices/suppliers.csv:4:6", "printed", "Placing House"},
		{"a supplier without a row",
			[]string{"prices/suppliers.csv", strings.Replace(lamp["prices/suppliers.csv"], "Spool House,EUR,3.00,,,3,,,,,,\n", "", 1)},
			"lead days of Spool House at prices:suppliers", "Placing House", "printed"},
		{"a part that nobody sells",
			[]string{"prices/offers.csv", strings.Replace(lamp["prices/offers.csv"], "SCREW-M3", "SCREW-M4", 1)},
			"where SCREW-M3 is to be bought at unit.csv:3:3", "tht", "fastener"},
		{"no printer",
			[]string{"prices/printers.csv", "Printer,Count\n"},
			"days of printing at unit.csv:5", "Placing House", "printed"},
		{"lead days beyond any plan",
			[]string{"prices/suppliers.csv", strings.Replace(lamp["prices/suppliers.csv"], "Corner Parts,EUR,5.00,60,,2", "Corner Parts,EUR,5.00,60,,2000000", 1)},
			"lead days of Corner Parts at prices/suppliers.csv:2:6", "printed", "tht"},
	} {
		run := lamp.with(c.texts...).read(t)
		p := one(t, run, 10).Plan
		var gaps []string
		for _, g := range p.Gaps {
			gaps = append(gaps, g.What+" at "+g.Place.String())
		}
		if p.Known || strings.Join(gaps, "; ") != c.gap {
			t.Errorf("%s: known %v, gaps %s; want %s", c.why, p.Known, gaps, c.gap)
		}
		if !task(t, p, c.known).Known || task(t, p, c.unknown).Known || task(t, p, "packing").Known {
			t.Errorf("%s: %s known %v, %s known %v, packing known %v", c.why,
				c.known, task(t, p, c.known).Known, c.unknown, task(t, p, c.unknown).Known, task(t, p, "packing").Known)
		}
	}
}

// TestPlanHolds: on the demo runs and at random lead days, the path takes as
// long as the whole, nothing starts before what it waits for has ended, hand work
// is done one after the other, and a longer lead or fewer hours a day never make
// the batch ready sooner.
func TestPlanHolds(t *testing.T) {
	for name, run := range runs(t) {
		r := rand.New(rand.NewPCG(7, uint64(len(name))))
		for range checks.Runs(80) {
			for i := range run.Prices.Suppliers {
				s := &run.Prices.Suppliers[i]
				s.LeadDays, s.LeadKnown = r.IntN(30), true
			}
			run.Prices.Settings.BenchHours = decimal.NewFromInt(int64(1 + r.IntN(8)))
			size := 1 + r.IntN(60)
			where := fmt.Sprintf("%s, batch %d", name, size)
			p := one(t, run, size).Plan
			consistent(t, where, p)

			s := &run.Prices.Suppliers[r.IntN(len(run.Prices.Suppliers))]
			s.LeadDays += 1 + r.IntN(5)
			later := one(t, run, size).Plan
			if later.Ready < p.Ready {
				t.Errorf("%s: ready on day %s, with a longer lead of %s on %s", where, p.Ready, s.Name, later.Ready)
			}
			run.Prices.Settings.BenchHours = run.Prices.Settings.BenchHours.Div(decimal.NewFromInt(2))
			slower := one(t, run, size).Plan
			if slower.Ready < later.Ready {
				t.Errorf("%s: ready on day %s, with half the bench hours on %s", where, later.Ready, slower.Ready)
			}
		}
	}
}

func consistent(t *testing.T, where string, p cost.Plan) {
	t.Helper()
	sum, end, bench := bom.Quantity(0), bom.Quantity(0), bom.Quantity(0)
	for _, i := range p.Path {
		sum += p.Tasks[i].Takes
		if !p.Tasks[i].Critical {
			t.Errorf("%s: %q is on the path and not critical", where, p.Tasks[i].Name)
		}
	}
	for _, task := range p.Tasks {
		end = max(end, task.End)
		if task.Slack < 0 || task.End != task.Start+task.Takes || task.Critical != (task.Slack == 0) {
			t.Errorf("%s: %+v", where, task)
		}
		for _, before := range task.After {
			if task.Start < p.Tasks[before].End {
				t.Errorf("%s: %q starts before %q has ended", where, task.Name, p.Tasks[before].Name)
			}
		}
		if task.Kind == cost.BenchTask {
			if task.Start < bench {
				t.Errorf("%s: %q starts while hands are at work elsewhere", where, task.Name)
			}
			bench = task.End
		}
	}
	if !p.Known || sum != p.Ready || end != p.Ready {
		t.Errorf("%s: ready on day %s, the path takes %s, the last task ends on %s", where, p.Ready, sum, end)
	}
}

func TestPlanWhateverTheOrderOfRows(t *testing.T) {
	for name, in := range map[string]input{"frost": demo(t, "frost-alarm"), "morse": demo(t, "morse-kit"), "lamp": lamp} {
		want := one(t, in.read(t), 12).Plan
		for seed := range uint64(checks.Runs(100)) {
			got := one(t, in.shuffledRows(rand.New(rand.NewPCG(seed, 5))).read(t), 12).Plan
			if fmt.Sprint(got) != fmt.Sprint(want) {
				t.Errorf("%s: shuffled rows give\n%+v\nwant\n%+v", name, got, want)
			}
		}
	}
}
