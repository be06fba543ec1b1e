package cost_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// Four boards of 60 × 40 mm, two across, with gaps of 2 mm and borders of 5 mm, make a
// panel of 132 × 92 mm, 1.2144 dm². Ten units take three panels: 15.00 + 3 × 1.2144 × 2.50
// = 24.108 (worked out by hand). The fabricator's own size of the board counts.
func TestPanelByArea(t *testing.T) {
	in := twoBoards.with("unit.csv", "Quantity,Part number,Kind,File\n1,MAIN,board,main.csv\n",
		"prices/panels.csv", "Panel,Board,Per panel,Across,Gap mm,Border mm\nFOUR,MAIN,4,2,2,5\n",
		"prices/boards.csv", "Board,Fabricator,Lot,Price,Length mm,Width mm,Set-up,Per dm2\nMAIN,Field Placers,50,900,70,50,,\nMAIN,Panel House,50,900,60,40,,\nFOUR,Panel House,,,,,15,2.50\n")
	b := one(t, in.read(t), 10)
	equal(t, "three panels by area", b.Categories[cost.BareBoard].Cash, "24.11")
	other := in.with("prices/boards.csv", "Board,Fabricator,Lot,Price,Length mm,Width mm,Set-up,Per dm2\nMAIN,Field Placers,50,900,60,40,,\nMAIN,Panel House,50,900,,,,\nFOUR,Panel House,,,,,15,2.50\n")
	b = one(t, other.read(t), 10)
	equal(t, "of a board that somebody else sized", b.Categories[cost.BareBoard].Cash, "24.11")
	run := in.with("prices/boards.csv", "Board,Fabricator,Lot,Price,Length mm,Width mm,Set-up,Per dm2\nMAIN,Panel House,50,900,60,,,\nFOUR,Panel House,,,,,15,2.50\n").read(t)
	run.Batches = []int{10}
	_, problems := cost.Compute(run)
	const want = `prices/boards.csv:3:8: a rate by area needs the size of the panel ("2.5"); Length mm and Width mm of "MAIN" in a row of the tab boards, or of the panel in this one`
	if !problems.Failed() || problems[0].String() != want {
		t.Errorf("%v, want %s", problems, want)
	}
}

// What names a board that the run does not have is told: loudly where it is likely
// misspelt, or on a panel with boards of the run; a sheet may be for several units.
func TestBoardsThatNobodyHas(t *testing.T) {
	run := twoBoards.with("prices/panels.csv", "Panel,Board,Per panel\nP1,SENS,1\nP1,LEFT,2\nP2,SENZ,4\nP3,LEFT,4\nMAIN,SENS,4\n",
		"prices/assembly-quotes.csv", "Assembler,Board,Price each\nField Placers,SEMS,2\nField Placers,LEFT,2\nField Placers,P3,2\nField Placers,MAIN,2\n").read(t)
	run.Batches = []int{10}
	_, problems := cost.Compute(run)
	var got []string
	for _, p := range problems {
		if strings.HasPrefix(p.Place.File, "prices/panels") || strings.HasPrefix(p.Place.File, "prices/assembly-") {
			got = append(got, fmt.Sprint(p.Severity == bom.Note, " ", p))
		}
	}
	want := []string{
		`false prices/panels.csv:3:2: the panel holds a board that the run does not have, and is not used ("LEFT"); a board of the run, or another panel`,
		`false prices/panels.csv:4:2: the panel holds a board that the run does not have, and is not used ("SENZ"); a board of the run, or another panel (did you mean SENS)`,
		`true prices/panels.csv:5:2: the panel holds a board that the run does not have, and is not used ("LEFT"); a board of the run, or another panel`,
		`false prices/panels.csv:6:1: a board of the run has the name of this panel ("MAIN"); another name for the panel`,
		`true prices/assembly-quotes.csv:3:2: no board or panel of the run has this name, so the quote is not used ("LEFT"); the name of a board or panel`,
		`false prices/assembly-quotes.csv:2:2: no board or panel of the run has this name, so the quote is not used ("SEMS"); the name of a board or panel (did you mean SENS)`,
	}
	if !slices.Equal(got, want) {
		t.Errorf("told\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}

// A panel of one MAIN and two SENS is paid for by those of its boards where it has no row of
// its own: of the 60.00 for 16 panels a third by the maker and two thirds by the club, and so
// of the 6 panels that ten units leave (worked out by hand).
func TestPanelIsPaidForByBoards(t *testing.T) {
	run := twoBoards.with("prices/panels.csv", "Panel,Board,Per panel\nTRIO,MAIN,1\nTRIO,SENS,2\n",
		"prices/boards.csv", "Board,Fabricator,Lot,Price,Surplus worth %\nTRIO,Panel House,16,60,100\n",
		"prices/who-pays.csv", "Applies to,Payer,Share %\nSENS,club,100\n").read(t)
	run.Record = true
	b := one(t, run, 10)
	for _, p := range b.Payers {
		equal(t, "paid by "+p.Name, p.Categories[cost.BareBoard].Cash, map[string]string{"maker": "20", "club": "40"}[p.Name])
	}
	for _, l := range b.Record.Left {
		if l.Part == "TRIO" {
			equal(t, "left to "+l.GivenBy, l.Surplus.Decimal(), map[string]string{"": "2", "club": "4"}[l.GivenBy])
		}
	}
}
