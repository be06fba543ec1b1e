package cost

import (
	"slices"

	"tenoff/bom"
)

// Entry is one line of a bill of materials with its place in the unit.
type Entry struct {
	Line     *bom.Line
	Category Category
	Path     string       // boards and assemblies above it, "sensor board" or "stand / sensor board", of several products the name first; empty on the unit itself
	Product  int          // index into Estimate.Products
	PerUnit  bom.Quantity // of its product through all nesting; for machine-placed lines per unit as well
	Board    int          // index into Estimate.Boards of the board it sits on, or is; -1 for none
	PerBoard bom.Quantity // on one board, where Board ≥ 0
	Machine  bool         // placed by the assembler
	Part     int          // index into Estimate.Parts; -1 where nothing is bought under a key (printed parts, boards)
	Why      string       // in Unfitted: why it costs nothing

	fits   bool         // a through-hole part on a board, which the assembler may fit at the level of the product
	weighs bom.Quantity // of PerUnit, what no mass of a populated board holds

	StandsFor int  // 1 + index of the entry whose part it may stand in for; 0: for none
	Replaced  bool // others may stand in for its part; of it and of those a batch takes what it decides on
}

// Product is one of what is made together.
type Product struct {
	Name  string
	Level bom.Level
}

// Board is a board type.
type Board struct {
	Name       string
	PerUnit    int // of the products that have it; 0 where these differ
	Placements int // machine-placed, on one board
	Joints     int // of those
	Sides      int // with machine-placed parts
	HandParts  int // through-hole, on one board
	HandJoints int // of those
	Entry      int // the first line that names it; of a panel, its first board

	Holds []Held // of a panel: its boards; none of a board type

	rows      []*bom.PanelRow // of Holds
	partLines int             // distinct part numbers that an assembler places, without substitutes
	on        []boardOn       // by product
}

// boardOn is a board type in one product.
type boardOn struct {
	perUnit    int
	entry      int // the first line that names it; -1: none does
	handParts  int // through-hole, on one board
	handJoints int // through-hole, on one board
}

// Held are the boards of one type on a panel.
type Held struct {
	Board int // index into Estimate.Boards
	Per   int // on a panel
	Good  int // of those, what is not marked as bad
}

// Part is what is bought under one key: all lines of one part number, or all
// printed parts of one material.
type Part struct {
	Key         string
	Description string
	Unit        string   // what is counted: "pieces", "g"
	Entries     []int    // indices into Estimate.Entries
	PaidAs      []string // of a material: the printed parts that rows of who pays name, by name; first, without a name, what others take

}

// boardNamed is the board or panel of a name; -1 where there is none.
func boardNamed(boards []Board, name string) int {
	return slices.IndexFunc(boards, func(b Board) bool { return bom.ExactKey(b.Name) == bom.ExactKey(name) })
}

// boardsOn are the boards on a panel, or of a board type one.
func boardsOn(boards []Board, i int) []Held {
	if on := boards[i].Holds; len(on) > 0 {
		return on
	}
	return []Held{{Board: i}}
}
