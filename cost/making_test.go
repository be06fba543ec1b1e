package cost_test

import (
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// twoBoards is a small run of a main board and two small ones, with two assemblers.
var twoBoards = input{
	"unit.csv": `Quantity,Part number,Kind,File,Mass g
1,MAIN,board,main.csv,5
2,SENS,board,sens.csv,2
`,
	"main.csv": `Designator,Part number,Package,Kind,Mount,Joints,Side
"R1, R2",RES,0603,part,SMT,2,top
U1,CHIP,SO8,part,SMT,8,top
J1,TERM,,part,THT,4,top
`,
	"sens.csv": `Designator,Part number,Package,Kind,Mount,Joints,Side
R1,RES,0603,part,SMT,2,top
J1,TERM,,part,THT,4,top
`,
	"prices/settings.csv": `Setting,Value
Home currency,EUR
Labour rate per hour,12
`,
	"prices/offers.csv": `Part number,Supplier,Price
RES,Corner Parts,0.01
CHIP,Corner Parts,1.00
TERM,Corner Parts,0.20
`,
	"prices/suppliers.csv": `Supplier,Currency,Lead days,Consignment fee per line
Corner Parts,EUR,3,
Panel House,EUR,5,
Placing House,EUR,10,1.00
Field Placers,EUR,4,0.50
`,
	"prices/boards.csv": `Board,Fabricator,Lot,Price
MAIN,Panel House,10,20.00
SENS,Panel House,20,16.00
FAMILY,Panel House,10,24.00
`,
	"prices/assembly.csv": `Assembler,Set-up,Stencil,Per line,Per placement,Per board,Hand set-up,Per hand joint
Placing House,20,9,1.20,0.01,0.25,6,0.05
`,
	"prices/hand-work.csv": `Operation,Applies to,Basis,Seconds
solder joints,tht,joint,10
`,
}

const family = `Panel,Board,Per panel,X-outs
FAMILY,MAIN,1,
FAMILY,SENS,2,
`

// Ten units, every sum by hand.
//
// Singly: boards 20.00 + 16.00; MAIN 20 + 9 + 2 × 1.20 + 3 × 10 × 0.01 + 10 × 0.25 = 34.20;
// SENS 20 + 9 + 1.20 + 20 × 0.01 + 20 × 0.25 = 35.40; on the panel 10 panels for 24.00, and
// 20 + 9 + 2 × 1.20 + (30 + 20) × 0.01 + 30 × 0.25 = 39.40. Consignment 2 × 1.00 both times.
func TestPanelIsOneSetUp(t *testing.T) {
	single := one(t, twoBoards.read(t), 10)
	equal(t, "boards singly", single.Categories[cost.BareBoard].Cash, "36")
	equal(t, "assembly singly", single.Categories[cost.SMTAssembly].Cash, "71.60")
	b := one(t, twoBoards.with("prices/panels.csv", family).read(t), 10)
	equal(t, "panels", b.Categories[cost.BareBoard].Cash, "24")
	equal(t, "assembly of panels", b.Categories[cost.SMTAssembly].Cash, "41.40")
	if b.Boards[0].Starts != 10 || b.Boards[1].Starts != 20 || b.Boards[2].Starts != 10 || b.Boards[1].Panel != 3 {
		t.Errorf("boards and panels begun: %+v", b.Boards)
	}
	// 24.00 over 10 and 20 boards.
	equal(t, "of the panels, the main boards", b.Lines[0].Cash, "8")
	equal(t, "of the panels, the sensor boards", b.Lines[4].Cash, "16")
	if i := slices.IndexFunc(b.Others, func(x cost.OtherMaking) bool { return x.Panels == nil }); i < 0 {
		t.Errorf("no other way is told: %+v", b.Others)
	} else {
		equal(t, "boards made singly cost more", b.Others[i].More, "42.20") // 36 + 71.60 − 24 − 41.40
	}
}

// 41 boards six to a panel take 7 panels and parts for 42; with one of the six marked as
// bad on each 9 panels and parts for 45 (worked out from the rule).
func TestWholePanels(t *testing.T) {
	for _, row := range []struct {
		outs          string
		panels, parts int
	}{{"", 7, 42}, {"1", 9, 45}} {
		in := twoBoards.with("unit.csv", "Quantity,Part number,Kind,File\n1,MAIN,board,main.csv\n",
			"prices/panels.csv", "Panel,Board,Per panel,X-outs\nSIX,MAIN,6,"+row.outs+"\n",
			"prices/boards.csv", "Board,Fabricator,Lot,Price\nSIX,Panel House,1,9.00\n")
		b := one(t, in.read(t), 41)
		if b.Boards[1].Starts != row.panels || b.Boards[0].Starts != row.parts || b.Needs[2].Ceil() != int64(row.parts) {
			t.Errorf("x-outs %q: %d panels, %d boards, %d circuits; want %d and parts for %d", row.outs, b.Boards[1].Starts, b.Boards[0].Starts, b.Needs[2].Ceil(), row.panels, row.parts)
		}
		if b.Needs[3].Ceil() != 41 {
			t.Errorf("%d terminals for units by hand", b.Needs[3].Ceil())
		}
	}
}

// Quotes of 10 → 150, 50 → 412, 100 → 590 in all: 41 boards cost 412, since the tier of 10
// asks 41 × 15.00 = 615 (worked out from the tiers); 60 cost 60 × 8.24 = 494.40; 80 cost
// 590 for a hundred and not 659.20; 4 cost the price of ten.
func TestQuoteTiers(t *testing.T) {
	in := twoBoards.with("unit.csv", "Quantity,Part number,Kind,File\n1,MAIN,board,main.csv\n", "prices/assembly.csv", "Assembler,Set-up\n",
		"prices/assembly-quotes.csv", "Assembler,Board,From,Price each,Set-up,Parts\nField Placers,MAIN,10,15.00,7,sent\nField Placers,MAIN,50,8.24,7,sent\nField Placers,MAIN,100,5.90,7,sent\n")
	for size, want := range map[int]string{4: "157", 10: "157", 41: "419", 60: "501.40", 80: "597", 120: "715"} {
		b := one(t, in.read(t), size)
		if len(b.Fees) == 0 || b.Fees[0].Payee != "Field Placers" {
			t.Fatalf("fees %+v", b.Fees)
		}
		equal(t, "the quote", b.Fees[0].Cash, want)
		equal(t, "consignment", b.Orders[slices.IndexFunc(b.Orders, func(o cost.Order) bool { return o.Supplier == "Field Placers" })].Consign, "1") // two part numbers
	}
}

// An assembler whose price holds the parts gets none sent, and no line of theirs is bought.
func TestPartsIncluded(t *testing.T) {
	in := twoBoards.with("prices/assembly-quotes.csv", "Assembler,Board,From,Price each,Parts,Lead days\nField Placers,MAIN,1,3.50,included,20\nField Placers,SENS,1,0.60,included,2\n",
		"prices/on-hand.csv", "Part number,Quantity,Unit value\nRES,100,0.01\n")
	b := one(t, in.read(t), 10)
	if b.Assembler != "Field Placers" {
		t.Fatalf("the boards are populated by %q", b.Assembler)
	}
	equal(t, "assembly", b.Categories[cost.SMTAssembly].Cash, "47") // 35 + 12, and no consignment fee
	for _, p := range b.Purchases {
		if p.Part == "RES" || p.Part == "CHIP" {
			t.Errorf("%s is bought, and the assembler provides it", p.Part)
		}
	}
	if b.Parts[0].OnHand != 0 {
		t.Errorf("%s resistors are taken from stock for boards that come with theirs", b.Parts[0].OnHand)
	}
	var lead []string
	for _, task := range b.Plan.Tasks {
		if task.Kind == cost.AssemblyTask {
			lead = append(lead, task.Takes.String())
		}
	}
	if strings.Join(lead, " ") != "20" {
		t.Errorf("the boards take %v days; the slower quote says 20", lead)
	}
}

// Four joints on each of 30 boards at 0.05 and twice 6.00 to set up: 18.00 at the assembler,
// with two consignment fees of 1.00 saved or not: TERM is sent as well, 1.00. At the bench
// 120 joints of 10 s at 12 an hour: 4.00.
func TestThroughHoleAt(t *testing.T) {
	at := func(who, rate string) cost.Batch {
		return one(t, twoBoards.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nLabour rate per hour,"+rate+"\nThrough-hole at,"+who+"\n").read(t), 10)
	}
	bench, shop := at("bench", "12"), at("assembler", "12")
	equal(t, "fitting costs more at the assembler", shop.Categories[cost.SMTAssembly].Cash.Sub(bench.Categories[cost.SMTAssembly].Cash), "19")
	equal(t, "work at the bench", bench.Categories[cost.Labour].Own, "4")
	equal(t, "work at the bench, fitted by the assembler", shop.Categories[cost.Labour].Own, "0")
	for rate, fitted := range map[string]bool{"12": false, "56": false, "58": true} { // 19.00 is 120 × 10 s at 57.00
		b := at("cheapest", rate)
		if b.Fitted != fitted {
			t.Errorf("at %s an hour the assembler fits: %v", rate, b.Fitted)
		}
		if i := slices.IndexFunc(b.Others, func(x cost.OtherMaking) bool { return x.Fitted != fitted }); i < 0 || b.Others[i].More.IsNegative() {
			t.Errorf("at %s an hour the other way is %+v", rate, b.Others)
		}
	}
}

// Who asks that an assembler fits through-hole parts is told where there is none.
func TestNobodyFits(t *testing.T) {
	for _, c := range []struct{ settings, assembly, want string }{
		{"Assembler,bench\n", twoBoards["prices/assembly.csv"], `prices/settings.csv:3:2: warning: the Assembler is bench, so through-hole parts are hand work too ("assembler"); bench here, or another Assembler`},
		{"", "Assembler,Set-up\n", `prices/settings.csv:3:2: no assembler is known that fits through-hole parts ("assembler"); bench, or a row in the tab assembly`},
		{"", "Assembler,Set-up\nField Placers,3\n", `no prices of Field Placers for the through-hole parts of MAIN, Field Placers for the through-hole parts of SENS; give it rates in the tab assembly, or quotes for each board in the tab assembly quotes`},
	} {
		run := twoBoards.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nThrough-hole at,assembler\n"+c.settings, "prices/assembly.csv", c.assembly).read(t)
		run.Batches = []int{3}
		e, problems := cost.Compute(run)
		if got := said(problems); !strings.Contains(got, c.want) {
			t.Errorf("%s\nis told, want\n%s", got, c.want)
		}
		if c.settings != "" && (e == nil || e.Batches[0].Fitted || e.Batches[0].Assembler != "") {
			t.Errorf("%s: %+v", c.settings, e)
		}
		if c.settings == "" && !problems.Failed() {
			t.Errorf("%s: no error", c.assembly)
		}
	}
}

// At ten one assembler is cheaper, at a hundred the other: the one without a set-up for few.
func TestAssemblersCompete(t *testing.T) {
	in := twoBoards.with("prices/assembly.csv", twoBoards["prices/assembly.csv"]+"Field Placers,,,,0.5,,,\n")
	small, large := one(t, in.read(t), 3), one(t, in.read(t), 200)
	if small.Assembler != "Field Placers" || large.Assembler != "Placing House" {
		t.Errorf("3 by %s, 200 by %s", small.Assembler, large.Assembler)
	}
	// 3 units: Field Placers 15 × 0.5 + 2 × 0.50 = 8.50; Placing House 32.24 + 31.76 + 2 × 1.00.
	i := slices.IndexFunc(small.Others, func(x cost.OtherMaking) bool { return x.Assembler == "Placing House" })
	if i < 0 {
		t.Fatalf("others: %+v", small.Others)
	}
	equal(t, "the next best costs more", small.Others[i].More, "57.50")
	set := in.with("prices/settings.csv", "Setting,Value\nHome currency,EUR\nAssembler,Placing House\n")
	if b := one(t, set.read(t), 3); b.Assembler != "Placing House" || len(b.Others) > 0 {
		t.Errorf("the assembler that is set: %s, others %+v", b.Assembler, b.Others)
	}
}

// In the larger demo the bounds settle most of the ways to have the boards made: at most
// five plans of purchases are made in full.
func TestBoundsSettle(t *testing.T) {
	run := demo(t, "frost-alarm").read(t)
	run.Batches = []int{10, 40, 100, 200, 500}
	e := compute(t, run)
	for i := range e.Batches {
		if b := &e.Batches[i]; b.Full < 1 || b.Full > 5 || len(b.Others) < 2 {
			t.Errorf("batch %d: %d plans in full, others %+v", b.Size, b.Full, b.Others)
		}
	}
}

// A part that the assembler's price holds is bought for its other uses alone, with the
// allowance of those: 10 in the bags and 1 over, without the strip that a machine wants.
func TestAllowanceWithoutWhatAQuoteHolds(t *testing.T) {
	in := input{
		"unit.csv":                   "Quantity,Part number,Kind,File\n1,PCB,board,pcb.csv\n1,RES,other,\n",
		"pcb.csv":                    "Designators,Part number,Mount,Joints\nR1,RES,smt,2\n",
		"prices/settings.csv":        "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv":       "Supplier,Delivery\nPlacer,0\nPlates,0\n",
		"prices/assembly-quotes.csv": "Assembler,Board,From,Price each,Parts\nPlacer,PCB,1,1,included\n",
		"prices/boards.csv":          "Board,Fabricator,Lot,Price\nPCB,Plates,10,6\n",
		"prices/offers.csv":          "Part number,Supplier,Price\nRES,Plates,0.05\n",
		"prices/attrition.csv":       "Applies to,Pieces,At least\nsmt,5,40\nother,1,\n",
	}
	run := in.read(t)
	run.Batches = []int{10}
	if b := compute(t, run).Batches[0]; b.Parts[0].Demand != bom.Whole(11) {
		t.Errorf("%v of RES; want 11", b.Parts[0].Demand)
	}
}
