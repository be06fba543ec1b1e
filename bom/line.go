package bom

import (
	"cmp"
	"iter"

	"github.com/shopspring/decimal"
)

// Kind is what a line of a bill of materials is.
type Kind string

// The kinds of line.
const (
	KindBoard    Kind = "board"
	KindPart     Kind = "part"
	KindFastener Kind = "fastener"
	KindInsert   Kind = "insert" // heat-set or pressed
	KindWire     Kind = "wire"
	KindPrinted  Kind = "printed"
	KindPacking  Kind = "packing"
	KindAssembly Kind = "assembly"
	KindOther    Kind = "other"
)

// Kinds lists the kinds in the order in which they are documented.
var Kinds = []Kind{KindBoard, KindPart, KindFastener, KindInsert, KindWire,
	KindPrinted, KindPacking, KindAssembly, KindOther}

// Mount is how a part sits on a board.
type Mount string

// The mounts; MountNone is for lines that are not on a board.
const (
	MountNone Mount = ""
	SMT       Mount = "SMT" // surface mount
	THT       Mount = "THT" // through-hole
)

// Side is the side of a board that a part sits on.
type Side string

// The sides of a board.
const (
	Top    Side = "top"
	Bottom Side = "bottom"
)

// Level is how far a unit is made. Each level holds all that the level before
// it holds. The zero Level is none.
type Level int

// The levels, in order.
const (
	LevelBoard Level = iota + 1 // populated board alone
	LevelKit                    // all parts bagged, nothing fitted by hand
	LevelBuilt                  // finished
)

// Levels lists the levels in order.
var Levels = []Level{LevelBoard, LevelKit, LevelBuilt}

// String gives the level's word.
func (l Level) String() string {
	return cmp.Or(map[Level]string{LevelBoard: "board", LevelKit: "kit", LevelBuilt: "built"}[l], "no level")
}

// Measure is a figure that may be unknown, in the unit its field names.
type Measure struct {
	Value float64
	Known bool
}

// Known makes a measure of a known figure.
func Known(v float64) Measure { return Measure{Value: v, Known: true} }

// Joints is a number of solder joints per piece that may be unknown.
type Joints struct {
	Count int
	Known bool
}

// Line is one row of a bill of materials.
type Line struct {
	Origin

	Designators []string // expanded: R4-R6 stands here as R4, R5, R6
	Quantity    Quantity // per board on a board's BOM, else per unit or assembly
	Unit        string   // of the quantity where the list says another than pieces: "m" or "g"

	Part        string // key into the price sheet, as it is shown
	Spelled     string // the same with the package as it stands there; empty where that is Part
	Described   string // the description that was taken for the value, which stood alone for the part once; else empty
	Number      string // the part number as it stands there; empty where value + package is the key
	Description string
	Maker       string // of the part, as it stands there
	Value       string
	Package     string

	Kind    Kind
	Under   Titled // what a title over the line says of it
	Mount   Mount
	Joints  Joints
	Side    Side
	Given   Given // which of these four the list says itself
	Assumed Given // which of them nothing but the designator's letters tell
	Fitted  bool
	Nothing bool // there is nothing to buy: a mounting hole, a test point

	Level      Level // first level at which the line is included, default applied
	LevelGiven bool  // the level stands in the file

	File string    // as it stands there
	Sub  *Assembly // what File holds, for a board or an assembly

	Files []string   // what File names, for a printed part: resolved
	Print PrintFiles // what they hold, once they are read

	Material  string
	FilamentG Measure // mass of filament of one piece, g
	Hours     Measure // print time of one piece, h
	PerPlate  int     // pieces printed together; 0 where blank
	Printer   string
	Recipe    string

	CutMM Quantity // length that each piece is cut to, mm; 0 where it is not cut

	BenchS Measure // hand work on one piece, s: instead of the rows by joint and by piece

	MassG Measure    // mass of one piece, for postage, g
	Size  [3]Measure // length, width, height of one piece, mm: of a box, for postage; the height of a part is that above its board

	Hazard []string // what a postal service may refuse, in words

	Offered Offered // what the list says about buying the part

	Extra []Extra // cells under headings that are not known
}

// Titled is the kind that a title over a line names, and the title; both are empty where none does.
type Titled struct {
	Kind  Kind
	Title string
}

// Given marks fields of a line: those that stand in its list, and so are not settled
// from anything else, or those that are assumed.
type Given struct{ Kind, Mount, Joints bool }

// Offered is what a list itself says about buying a part. It is no part of the
// price sheet: a price sheet can be made from it.
type Offered struct {
	Supplier string
	Code     string // order code
	Currency string // of the prices: a code or a sign; empty where none stands there
	Stock    string // as it stands there; empty where it says none
	MOQ      string
	Breaks   []OfferedBreak // by rising From
}

// OfferedBreak is a price that a list gives for one piece from a number of pieces on.
type OfferedBreak struct {
	From  int64
	Price decimal.Decimal
	Place Place
}

// Extra is a cell under a heading that is not known: kept and shown.
type Extra struct {
	Heading string
	Text    string
}

// Assembly is one bill of materials: the unit's own, a board's or a
// sub-assembly's.
type Assembly struct {
	File  string // as opened
	Sheet string // of a workbook; empty for CSV
	Lines []*Line
}

// AllLines gives the lines of a bill of materials and of all that it names, fitted or
// not, those of a list once, each before those of its own list. A nil one has none.
func (a *Assembly) AllLines() iter.Seq[*Line] {
	return a.lines(func(*Line) bool { return true })
}

// MadeLines does the same but for what stands in the lists of lines that are not fitted.
func (a *Assembly) MadeLines() iter.Seq[*Line] {
	return a.lines(func(l *Line) bool { return l.Fitted && !l.Nothing })
}

func (a *Assembly) lines(into func(*Line) bool) iter.Seq[*Line] {
	return func(yield func(*Line) bool) {
		seen := map[*Assembly]bool{nil: true}
		var walk func(a *Assembly) bool
		walk = func(a *Assembly) bool {
			if seen[a] {
				return true
			}
			seen[a] = true
			for _, l := range a.Lines {
				if !yield(l) || into(l) && !walk(l.Sub) {
					return false
				}
			}
			return true
		}
		walk(a)
	}
}
