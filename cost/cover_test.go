package cost_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// stocked is a unit with two of one part that has an allowance of 10 % but at least 3, and
// what suppliers have of it.
func stocked(offers, settings string, more ...string) input {
	return input{
		"unit.csv":             "Quantity,Part number,Kind\n2,THING,fastener\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n" + settings,
		"prices/attrition.csv": "Applies to,Package,Percent,Pieces\nfastener,,10,3\n",
		"prices/suppliers.csv": "Supplier,Lead days\nCorner Parts,2\nFar Parts,\n",
		"prices/offers.csv":    "Part number,Supplier,Stock,MOQ,Multiple,Pieces,As of,Price\n" + offers,
	}.with(more...)
}

func coversAt(t testing.TB, in input, sizes ...int) []cost.StockCover {
	t.Helper()
	run := in.read(t)
	run.Batches, run.Today = sizes, bom.Date{Year: 2026, Month: 11, Day: 25}
	covers, problems := cost.StockCovers(run)
	if problems.Failed() {
		t.Fatal(said(problems))
	}
	return covers
}

func coverText(c cost.StockCover) string {
	var out []string
	for _, b := range c.Batches {
		text := "enough"
		if b.Cover.Valid {
			text = b.Cover.Decimal.String()
		}
		out = append(out, b.Demand.String()+": "+text)
	}
	return strings.Join(out, ", ")
}

// Cover = stock ÷ demand, over all suppliers, in pieces, the allowance counted. The
// batches of 10 and 40 require 20 + 3 = 23 and 80 + 8 = 88.
func TestCoverIsStockByDemand(t *testing.T) {
	for _, row := range []struct {
		why, offers, settings, want string
		thin                        bool
		sources                     int
	}{
		{"132 ÷ 88 is the limit", "THING,Corner Parts,100,,,,,1\nTHING,Far Parts,32,,,,,1\n", "", "23: 5.73, 88: 1.5", false, 2},
		{"131 ÷ 88 = 1.488…", "THING,Corner Parts,99,,,,,1\nTHING,Far Parts,32,,,,,1\n", "", "23: 5.69, 88: 1.48", true, 2},
		{"2 packs of 50 and 3 of 4", "THING,Corner Parts,2,,,50,,9\nTHING,Far Parts,3,,,4,,1\n", "", "23: 4.86, 88: 1.27", true, 2},
		{"nobody says how many: enough", "THING,Corner Parts,1,,,,,1\nTHING,Far Parts,,,,,,1\n", "", "23: enough, 88: enough", false, 2},
		{"nothing left", "THING,Corner Parts,0,,,,,1\n", "", "23: 0, 88: 0", true, 0},
		{"200 of which 180 make up whole multiples of 60", "THING,Corner Parts,200,,60,,,1\n", "", "23: 7.82, 88: 2.04", false, 1},
		{"less than the least that is sold", "THING,Corner Parts,100,,,,,1\nTHING,Far Parts,90,100,,,,1\n", "", "23: 4.34, 88: 1.13", true, 1},
		{"a limit of 3 times", "THING,Corner Parts,263,,,,,1\n", "Thin cover,3\n", "23: 11.43, 88: 2.98", true, 1},
		{"two order codes of one supplier are one source", "THING,Corner Parts,100,,,,,1\nTHING,corner parts,100,,,10,,9\n", "", "23: 47.82, 88: 12.5", false, 1},
	} {
		in := stocked(row.offers, row.settings)
		if strings.Contains(row.why, "order codes") {
			in = in.with("prices/offers.csv", "Part number,Supplier,Order code,Stock,MOQ,Multiple,Pieces,As of,Price\nTHING,Corner Parts,A,100,,,,,1\nTHING,corner parts,B,100,,,10,,9\n")
		}
		c := coversAt(t, in, 10, 40)
		if len(c) != 1 || coverText(c[0]) != row.want || c[0].MayRunOut != row.thin || c[0].Sources != row.sources {
			t.Errorf("%s: %+v (%s)", row.why, c, coverText(c[0]))
		}
		run := in.read(t)
		run.Batches = []int{10, 40}
		if e := compute(t, run); len(e.RunningOut) == 1 != row.thin {
			t.Errorf("%s: the estimate has %+v", row.why, e.RunningOut)
		}
	}
}

// What is on hand need not be bought: 88 − 60 = 28 at 40 units, and nothing at 10.
func TestCoverOfWhatIsOnHand(t *testing.T) {
	onHand := "Part number,Quantity,Unit value\nTHING,60,0.1\n"
	c := coversAt(t, stocked("THING,Corner Parts,100,,,,,1\n", "", "prices/on-hand.csv", onHand), 10, 40)
	if len(c) != 1 || coverText(c[0]) != "0: enough, 28: 3.57" {
		t.Errorf("%+v", c)
	}
	if c := coversAt(t, stocked("THING,Corner Parts,100,,,,,1\n", "", "prices/on-hand.csv", onHand), 10); len(c) != 0 {
		t.Errorf("nothing is to be bought, and there is %+v", c)
	}
}

// A part has few sources where fewer suppliers than the setting asks for have some of it.
func TestFewSources(t *testing.T) {
	for _, row := range []struct {
		why, offers, settings string
		few                   bool
	}{
		{"one", "THING,Corner Parts,,,,,,1\n", "", true},
		{"two", "THING,Corner Parts,,,,,,1\nTHING,Far Parts,9,,,,,1\n", "", false},
		{"one of two has none left", "THING,Corner Parts,,,,,,1\nTHING,Far Parts,0,,,,,1\n", "", true},
		{"two where three are asked for", "THING,Corner Parts,,,,,,1\nTHING,Far Parts,9,,,,,1\n", "Fewest sources,3\n", true},
		{"one is enough", "THING,Corner Parts,,,,,,1\n", "Fewest sources,1\n", false},
	} {
		if c := coversAt(t, stocked(row.offers, row.settings), 10); c[0].FewSources != row.few {
			t.Errorf("%s: %+v", row.why, c[0])
		}
	}
}

// A figure of exactly the age limit is not old, one of a day more is; what is recent enough
// to cover the batch 1.5 times does not rest on old figures, and a stock without a date has
// no age. Today is 25 November.
func TestOldStock(t *testing.T) {
	for _, row := range []struct {
		why, offers, settings string
		days                  int
	}{
		{"7 days", "THING,Corner Parts,500,,,,2026-11-18,1\n", "", 0},
		{"8 days", "THING,Corner Parts,500,,,,2026-11-17,1\n", "", 8},
		{"8 days of 10", "THING,Corner Parts,500,,,,2026-11-17,1\n", "Stock age limit days,10\n", 0},
		{"no date", "THING,Corner Parts,500,,,,,1\n", "", 0},
		{"old, and a recent 35 ÷ 23 = 1.52", "THING,Corner Parts,500,,,,2026-11-01,1\nTHING,Far Parts,35,,,,2026-11-24,1\n", "", 0},
		{"old, and a recent 34 ÷ 23 = 1.47", "THING,Corner Parts,500,,,,2026-11-01,1\nTHING,Far Parts,34,,,,2026-11-24,1\n", "", 24},
		{"the older of two", "THING,Corner Parts,500,,,,2026-11-02,1\nTHING,Far Parts,500,,,,2026-11-01,1\n", "", 24},
		{"none of the older one", "THING,Corner Parts,500,,,,2026-11-02,1\nTHING,Far Parts,0,,,,2026-11-01,1\n", "", 23},
		{"old, and one that has enough", "THING,Corner Parts,500,,,,2026-11-01,1\nTHING,Far Parts,,,,,2026-11-01,1\n", "", 0},
	} {
		if c := coversAt(t, stocked(row.offers, row.settings), 10); c[0].OldDays != row.days {
			t.Errorf("%s: %d days, want %d", row.why, c[0].OldDays, row.days)
		}
	}
}

// Thin ones come first: what may run out by its cover, then few sources, then old figures,
// then the rest by cover, what has enough last. Each is needed 10 times.
func TestThinOnesFirst(t *testing.T) {
	unit, offers := "Quantity,Part number,Kind\n", ""
	for _, p := range []struct{ key, rows string }{
		{"A-ENOUGH", ",,1 ,,2"}, {"B-400", "400,2026-11-25,1 400,2026-11-25,2"}, {"C-100", "100,2026-11-25,1 100,2026-11-25,2"},
		{"D-OLD", "90,2026-11-01,1 90,2026-11-01,2"}, {"E-ONE", "500,2026-11-25,1"}, {"F-ONE-OLD", "900,2026-11-01,1"},
		{"G-THIN", "7,2026-11-25,1 7,2026-11-25,2"}, {"H-SHORT", "9,2026-11-25,1"}, {"I-ONE-ENOUGH", ",,1"},
	} {
		unit += "1," + p.key + ",other\n"
		for i, r := range strings.Fields(p.rows) {
			f := strings.Split(r, ",")
			offers += p.key + ",Supplier " + strconv.Itoa(i+1) + "," + f[0] + ",,,," + f[1] + ",1\n"
		}
	}
	in := stocked(offers, "", "unit.csv", unit, "prices/suppliers.csv", "Supplier,Lead days\nSupplier 1,1\nSupplier 2,2\n")
	var got []string
	for _, c := range coversAt(t, in, 10) {
		got = append(got, c.Part.Key)
	}
	if want := []string{"H-SHORT", "G-THIN", "F-ONE-OLD", "E-ONE", "I-ONE-ENOUGH", "D-OLD", "C-100", "B-400", "A-ENOUGH"}; !slices.Equal(got, want) {
		t.Errorf("%q\nwant\n%q", got, want)
	}
}

// What is required goes by who makes the boards, and on which panels, as the estimate takes it:
// five boards come on ceil(5 / 4) = 2 panels, of which all eight are populated; an assembler whose
// cheaper quote includes the parts leaves none to be bought. That seven are too few for the panels,
// so that they would be made singly, is what the cover has to tell.
func TestCoverGoesByTheMaking(t *testing.T) {
	in := input{
		"unit.csv":            "Designator,Part number,Package,Mount,Joints\nU1,CHIP,SO8,SMT,8\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Stock,Price\nCHIP,Corner Parts,16,1\n",
		"prices/boards.csv":   "Board,Fabricator,Lot,Price\nunit,Panel House,10,100\nPAN,Panel House,2,10\n",
		"prices/panels.csv":   "Panel,Board,Per panel\nPAN,unit,4\n",
		"prices/assembly.csv": "Assembler,Set-up\nPlacing House,30\n",
	}
	if covers := coversAt(t, in, 5); len(covers) != 1 || coverText(covers[0]) != "8: 2" {
		t.Errorf("on panels: %+v", covers)
	}
	if covers := coversAt(t, in.with("prices/offers.csv", "Part number,Supplier,Stock,Price\nCHIP,Corner Parts,7,1\n"), 5); coverText(covers[0]) != "8: 0.87" {
		t.Errorf("seven left: %+v", covers)
	}
	in = in.with("prices/assembly-quotes.csv", "Assembler,Board,From,Price each,Parts\nOther House,PAN,1,1,included\n")
	if covers := coversAt(t, in, 5); len(covers) != 0 {
		t.Errorf("parts included: %+v", covers)
	}
}

// Substitutes that are not allowed are not named; suppliers come with what they have and
// how long they take; a supplier that is left out is no source. Boards and filament have no
// stock.
func TestCoverOfTheLamp(t *testing.T) {
	in := spare()
	run := in.read(t)
	run.Batches = []int{10, 40}
	covers, problems := cost.StockCovers(run)
	if problems.Failed() {
		t.Fatal(said(problems))
	}
	var keys []string
	for _, c := range covers {
		keys = append(keys, c.Part.Key)
	}
	if want := []string{"TERM-2", "BOX-S", "CAP-100N", "CHIP-8", "RES-1K", "SCREW-M3", "WIRE-R"}; !slices.Equal(keys, want) {
		t.Errorf("%q, want %q", keys, want)
	}
	c := covers[0]
	if coverText(c) != "20: 2.5, 80: 0.62" || !slices.Equal(c.Substitutes, []string{"TERM-2X"}) || len(c.Offers) != 1 || c.Offers[0].LeadDays != 2 || !c.Offers[0].LeadKnown ||
		c.Offers[0].Stock != bom.Whole(50) || c.Offers[0].Supplier != "Corner Parts" || c.Offers[0].Code != "C-12" {
		t.Errorf("%+v", c)
	}
	run.Rules.Without = []string{"Corner Parts"}
	covers, _ = cost.StockCovers(run)
	for _, c := range covers {
		if left := c.Part.Key == "CAP-100N"; (c.Sources == 1) != left || c.MayRunOut == left {
			t.Errorf("without Corner Parts: %+v", c)
		}
	}
	if covers, problems := cost.StockCovers(cost.Run{}); covers != nil || !problems.Failed() {
		t.Error("a run of nothing has covers")
	}
}
