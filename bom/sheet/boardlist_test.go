package sheet

import (
	"slices"
	"testing"

	"tenoff/bom"
)

// TestBoardOfList: which lists have a board that they do not name, what stands beside it.
func TestBoardOfList(t *testing.T) {
	const head = "Reference,Quantity,Description,Package,Kind,File\n"
	const parts = "\"R1,R2\",2,10k,0603,,\n"
	for _, c := range []struct {
		why, rows string
		lines     int // of the unit
		board     bool
	}{
		{"designators alone", parts, 1, true},
		{"a battery beside them", parts + ",1,CR2032 cell,,,\n", 2, true},
		{"most lines beside them, but SMT parts stand on boards", parts + ",1,cell,,,\n,1,lid,,,\n,1,strap,,,\n", 4, true},
		{"few designators of through-hole parts: wired by hand", "J1,1,jack,,,\n,1,cell,,,\n,1,strap,,,\n", 3, false},
		{"the board is a line of the list", parts + ",1,lantern PCB (rev 2),,,\n", 2, false},
		{"a perfboard takes its place", parts + ",1,\"Perf board, 5 x 7 cm\",,,\n", 2, false},
		{"a spacer for a board is none", parts + ",2,PCB spacer,,,\n", 2, true},
		{"no designators", ",2,10k resistor,0603,,\n", 1, false},
		{"a part without a designator is soldered all the same", parts + ",1,regulator,SOT-223,,\n", 1, true},
		{"what is left out has no place", parts + ",0,CR2032 cell,,,\n", 1, true},
	} {
		read, problems := ReadBOM("u.csv", files(csvTable("u.csv", head+c.rows)), Options{})
		if problems.Failed() {
			t.Fatalf("%s: %v", c.why, problems)
		}
		board := len(read.Lines) > 0 && read.Lines[0].Kind == bom.KindBoard
		if len(read.Lines) != c.lines || board != c.board {
			t.Errorf("%s: %d lines, board %v, want %d, %v", c.why, len(read.Lines), board, c.lines, c.board)
		}
	}
}

// TestBoardOfAssembly: the list of an assembly that stands in a unit twice has one board, not
// one for each line.
func TestBoardOfAssembly(t *testing.T) {
	const head = "Reference,Quantity,Part number,Package,Kind,File\n"
	read, problems := ReadBOM("u.csv", files(csvTable("u.csv", head+",1,LEFT,,assembly,arm.csv\n,1,RIGHT,,assembly,arm.csv\n"),
		csvTable("arm.csv", head+"R1,1,10k,0603,,\n,1,STRAP,,,\n")), Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	left, right := read.Lines[0].Sub, read.Lines[1].Sub
	if left != right || len(left.Lines) != 2 || left.Lines[0].Part != "arm" || left.Lines[0].Kind != bom.KindBoard {
		t.Errorf("%+v, %+v", left, right)
	}
}

// TestBoardsOfLists: each list of a unit without one of its own is a board; sheets of one
// file and files of one name are told apart.
func TestBoardsOfLists(t *testing.T) {
	const list = "Reference,Quantity,Value,Package\nR1,1,10k,0603\n"
	book := func(sheet string) bom.Table {
		t := csvTable("device.xlsx", list)
		t.Sheet = sheet
		return t
	}
	open := files(csvTable("main.csv", list), csvTable("panel.csv", list), csvTable("left/main.csv", list), csvTable("right/main.csv", list),
		book("Logic"), book("Power"), csvTable("case.csv", "Quantity,Part number\n2,LID\n"))
	for _, c := range []struct{ lists, parts []string }{
		{[]string{"main.csv", "panel.csv"}, []string{"main", "panel"}},
		{[]string{"main.csv", "case.csv"}, []string{"main", "LID"}},
		{[]string{"left/main.csv", "right/main.csv"}, []string{"left", "right"}},
		{[]string{"main.csv", "right/main.csv"}, []string{"main", "right"}},
		{[]string{"device.xlsx#Power", "device.xlsx#Logic"}, []string{"Power", "Logic"}},
		{[]string{"device.xlsx#Power", "panel.csv"}, []string{"device", "panel"}},
	} {
		read, problems := ReadLists(c.lists, open, Options{})
		if problems.Failed() {
			t.Fatalf("%s: %v", c.lists, problems)
		}
		got := bom.Each(read.Lines, func(l **bom.Line) string { return (*l).Part })
		if !slices.Equal(got, c.parts) {
			t.Errorf("%s: %s, want %s", c.lists, got, c.parts)
		}
	}
}
