package cost_test

import (
	"math"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

var benches = input{
	"unit.csv": `Quantity,Part number,Kind,Mount,Joints,Bench s
3,HEADER,part,THT,4,
2,SWITCH,part,THT,3,
4,SCREW,fastener,,,
1,BOX,packing,,,
`,
	"prices/settings.csv": "Setting,Value\nHome currency,EUR\nLabour rate per hour,36\n",
	"prices/offers.csv":   "Part number,Supplier,Price\nHEADER,S,1\nSWITCH,S,1\nSCREW,S,1\nBOX,S,1\nLEVER,S,1\n",
	"prices/hand-work.csv": `Operation,Applies to,Basis,Seconds
solder,tht,joint,6
bend,tht,piece,10
begin,tht,unit,20
screw,fastener,piece,9
`,
}

// Crawford's unit form: 600 s at 90 % are 4.423786 h for units 1 to 40 and 3.585193 h for
// units 41 to 80; 100 s timed at unit 20 are 157.67 s for the first (computed from the
// formula).
func TestLearningGoesOn(t *testing.T) {
	for _, c := range []struct {
		why, row string
		size     int
		hours    float64
		off      float64
	}{
		{"units 1 to 40", "unit,600,90,,,", 40, 4.423786, 5e-7},
		{"units 41 to 80", "unit,600,90,,40,", 40, 3.585193, 5e-7},
		{"timed at unit 20", "unit,100,90,20,,", 1, 157.67 / 3600, 2e-6},
		{"the twentieth", "unit,100,90,20,19,", 1, 100.0 / 3600, 1e-12},
		{"one in four", "unit,600,90,,,25", 40, 4.423786 / 4, 2e-7},
		{"a batch learns nothing", "batch,600,90,20,40,", 40, 1.0 / 6, 1e-12},
		{"half of the times a batch is set up", "batch,600,,,,50", 40, 1.0 / 12, 1e-12},
		{"without learning it is all the same", "unit,600,,20,1000000,", 40, 40.0 / 6, 1e-12},
	} {
		in := benches.with("prices/hand-work.csv", "Operation,Applies to,Basis,Seconds,Learning %,Timed at,Done before,Share %\nx,test,"+c.row+"\n")
		b := one(t, in.read(t), c.size)
		if h := b.Work[0].Hours; math.Abs(h-c.hours) > c.off {
			t.Errorf("%s: %.9f h, want %v", c.why, h, c.hours)
		}
	}
}

// A plate is cleared as often as it is printed: 4 plates at 20 % failures 5 times, of 60 s
// and half of them.
func TestPlatesAreCleared(t *testing.T) {
	in := prints.with("prices/printers.csv", "Printer,Failure %\nP,20\n", "prices/hand-work.csv",
		"Operation,Applies to,Basis,Seconds,Learning %,Done before,Share %\nclear,printed,plate,60,80,100,50\n")
	if w := one(t, printsOf(t, in, "1,A,printed,M,,10,1,1,P,"), 4).Work[0]; !near(w.Times, 5) || !near(w.Hours, 2.5/60) {
		t.Errorf("%+v", w)
	}
}

// A line that says itself how long it takes is left out of the rows by joint and by piece
// of its class, and learns nothing; rows by unit stay.
func TestBenchSeconds(t *testing.T) {
	hours := func(b cost.Batch) map[string]float64 {
		out := map[string]float64{}
		for _, w := range b.Work {
			out[w.Operation] += w.Hours * 3600
		}
		return out
	}
	check := func(why string, b cost.Batch, want map[string]float64) {
		t.Helper()
		got := hours(b)
		for op, s := range want {
			if !near(got[op], s) {
				t.Errorf("%s: %s takes %v s, want %v", why, op, got[op], s)
			}
		}
		if len(got) != len(want) {
			t.Errorf("%s: %v, want %v", why, got, want)
		}
	}
	check("none", one(t, benches.read(t), 10), map[string]float64{"solder": 10 * 18 * 6, "bend": 500, "begin": 200, "screw": 360})
	timed := strings.NewReplacer("SWITCH,part,THT,3,", "SWITCH,part,THT,,7.5", "BOX,packing,,,", "BOX,packing,,,30\n1,LEVER,other,,,12").Replace(benches["unit.csv"])
	run := benches.with("unit.csv", timed).read(t)
	b := one(t, run, 10)
	check("a switch, the box and a lever", b, map[string]float64{"solder": 10 * 12 * 6, "bend": 300, "begin": 200, "screw": 360,
		"bench time of SWITCH": 150, "bench time of BOX": 300, "bench time of LEVER": 120})
	for _, w := range b.Work {
		if w.Operation == "bench time of SWITCH" {
			equal(t, "its cost", w.Own, "1.5")
			if w.Place.String() != "unit.csv:3:6" {
				t.Errorf("read from %s", w.Place)
			}
		}
	}
	run.Level = bom.LevelKit
	check("at level kit", one(t, run, 10), map[string]float64{"bench time of BOX": 300})
	nothing := strings.ReplaceAll(benches["unit.csv"], "SWITCH,part,THT,3,", "SWITCH,part,THT,3,0")
	check("a switch that is snapped in", one(t, benches.with("unit.csv", nothing).read(t), 10),
		map[string]float64{"solder": 10 * 12 * 6, "bend": 300, "begin": 200, "screw": 360})
	all := strings.NewReplacer("THT,4,", "THT,4,1", "THT,3,", "THT,3,1").Replace(benches["unit.csv"])
	check("of every line", one(t, benches.with("unit.csv", all).read(t), 10),
		map[string]float64{"begin": 200, "screw": 360, "bench time of HEADER": 30, "bench time of SWITCH": 20})
	_, problems := benches.with("unit.csv", "Quantity,Part number,Kind,File,Bench s\n1,MAIN,board,,20\n").tryRead()
	if want := `unit.csv:2:5: Bench s: stands at a line of kind board ("20"); the figure on the lines of its list, or a row of the tab hand work`; !strings.Contains(said(problems), want) {
		t.Errorf("%s", said(problems))
	}
}

// Each line's bench time is rounded by itself: 0.125 of three lines is 0.13 each.
func TestBenchSecondsAreRoundedByLine(t *testing.T) {
	in := benches.with("unit.csv", "Quantity,Part number,Kind,Bench s\n1,HEADER,other,12.5\n1,SWITCH,other,12.5\n1,LEVER,other,12.5\n", "prices/hand-work.csv", "Operation,Applies to,Basis,Seconds\nx,bagging,unit,1\n")
	if got := one(t, in.read(t), 1).Categories[cost.Labour].Consumed; !got.Equal(decimal.RequireFromString("0.39")) {
		t.Errorf("%s", got)
	}
}
