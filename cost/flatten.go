package cost

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// occurrence is where in the unit a bill of materials is being walked.
type occurrence struct {
	perUnit  bom.Quantity // of this assembly
	board    int          // innermost board around it, -1 for none
	perBoard bom.Quantity // of this assembly on that board
	counting bool         // the board's own lines are being met for the first time
	path     string
	floor    bom.Level // level that the assemblies above ask for
	above    []string  // boards above, to refuse one inside itself
	weighed  bool      // the mass of a populated board above holds what is here
}

// entryKey tells one line of one file from another, however often the file is
// used; a line that was not read from a file is told by its address.
type entryKey struct {
	place   bom.Place
	line    *bom.Line
	board   int
	product int
}

func keyOf(l *bom.Line, board, product int) entryKey {
	if l.Head == nil {
		return entryKey{line: l, board: board, product: product}
	}
	return entryKey{place: l.At(""), board: board, product: product}
}

// flattener walks the tree of assemblies once.
type flattener struct {
	*Model
	seen  map[entryKey]int  // -> entries
	known map[string]int    // folded board name -> boards
	lists map[int]*bom.Line // the first line of each board

	product int
	called  map[string]*bom.Line // BOM of a board -> the line that names it
}

// flattenUnit lists the lines of all assemblies with their quantities per unit and
// per board, product after product.
func flattenUnit(m *Model) {
	f := &flattener{Model: m, seen: make(map[entryKey]int, len(m.run.Unit.Lines)), known: map[string]int{}, lists: map[int]*bom.Line{}, called: map[string]*bom.Line{}}
	for l := range m.run.Unit.AllLines() {
		if l.Kind == bom.KindBoard && l.Sub != nil && l.File != "" && f.called[listOf(l)] == nil {
			f.called[listOf(l)] = l
		}
	}
	for i := range m.products {
		f.product = i
		f.walk(m.products[i].unit, occurrence{perUnit: bom.One, board: -1, perBoard: bom.One, path: m.products.pathOf(i)})
	}
	tellBoards(m)
	checkSwaps(m)
}

// pathOf is the path of a product's own lines: its name, where there are several.
func (ps productList) pathOf(product int) string {
	if len(ps) == 1 {
		return ""
	}
	return ps[product].name
}

// listOf names the list that a board's line stands for; empty where it has none.
func listOf(l *bom.Line) string {
	if l.Sub == nil {
		return l.File
	}
	return l.Sub.File + "#" + l.Sub.Sheet
}

func (f *flattener) walk(a *bom.Assembly, at occurrence) {
	f.entries = slices.Grow(f.entries, len(a.Lines))
	for _, l := range a.Lines {
		f.line(l, at)
	}
}

func (f *flattener) line(l *bom.Line, at occurrence) {
	l = swappedLine(f.Model, f.product, l)
	level := max(l.Level, at.floor)
	holdsLines := l.Kind == bom.KindAssembly && l.Sub != nil
	if holdsLines && !l.LevelGiven {
		level = at.floor // its lines speak for themselves
	}
	switch {
	case !l.Fitted:
		f.leaveOut(l, at, "not fitted")
		return
	case l.Nothing:
		f.leaveOut(l, at, "nothing to buy")
		return
	case level > f.products[f.product].level:
		f.leaveOut(l, at, fmt.Sprintf("from level %s on", level))
		return
	}
	perUnit, ok1 := at.perUnit.Mul(l.Quantity)
	perBoard, ok2 := at.perBoard.Mul(l.Quantity)
	if !ok1 || !ok2 {
		f.problems.Errorf(l.At("Quantity"), l.Quantity.String(),
			"at most "+bom.MaxQuantity.String()+" of one line per unit, with six decimals", "quantities multiply to more than can be counted")
		return
	}
	if holdsLines {
		f.walk(l.Sub, occurrence{perUnit, at.board, perBoard, at.counting, join(at.path, l.Part), level, at.above, at.weighed})
		return
	}
	if l.Kind == bom.KindBoard {
		f.boardLine(l, at, perUnit, level)
		return
	}
	f.add(l, at, perUnit, perBoard)
}

// add counts a line, once however often its assembly is used.
func (f *flattener) add(l *bom.Line, at occurrence, perUnit, perBoard bom.Quantity) int {
	key := keyOf(l, at.board, f.product)
	i, again := f.seen[key]
	if !again {
		i = len(f.entries)
		f.seen[key] = i
		f.entries = append(f.entries, Entry{
			Line: l, Category: categoryOf[classOf(l)], Path: at.path, Product: f.product, Board: at.board, Part: -1,
		})
	}
	e := &f.entries[i]
	e.PerUnit += perUnit
	if !at.weighed {
		e.weighs += perUnit
	}
	if at.board >= 0 && at.counting {
		e.PerBoard += perBoard
	}
	return i
}

// boardLine counts a board type and walks what is on it.
func (f *flattener) boardLine(l *bom.Line, at occurrence, perUnit bom.Quantity, level bom.Level) {
	l = f.named(l)
	name := bom.Fold(l.Part)
	for _, above := range at.above {
		if above == name {
			f.problems.Errorf(l.At("Part number"), l.Part, "a board's BOM lists what is on the board, not the board itself", "a board inside itself")
			return
		}
	}
	b, again := f.known[name]
	if !again {
		b = len(f.boards)
		f.known[name] = b
		f.boards = append(f.boards, Board{Name: l.Part, on: make([]boardOn, len(f.products))})
		for i := range f.boards[b].on {
			f.boards[b].on[i].entry = -1
		}
		f.lists[b] = l
	} else if had := f.lists[b]; listOf(had) != listOf(l) {
		f.problems.Errorf(l.At("File"), l.File, "one BOM for one board: "+strings.TrimSuffix(listOf(had), "#"), "board %s has two bills of materials", l.Part)
		return
	}
	on := &f.boards[b].on[f.product]
	on.perUnit += int(perUnit.Ceil())
	bare := at
	bare.board, bare.counting = b, false // a bare board does not sit on itself: no PerBoard
	i := f.add(l, bare, perUnit, 0)
	if !again {
		f.boards[b].Entry = i
	}
	first := on.entry < 0
	if first {
		on.entry = i
	}
	if l.Sub != nil {
		f.walk(l.Sub, occurrence{perUnit, b, bom.One, first, join(at.path, l.Part), level, append(at.above[:len(at.above):len(at.above)], name),
			at.weighed || l.MassG.Known})
	}
}

// named is the line of a board; that which stands for the list of a board has the name and
// the mass that the line of another product gives the board.
func (f *flattener) named(l *bom.Line) *bom.Line {
	if l.File != "" || l.Sub == nil || f.called[listOf(l)] == nil {
		return l
	}
	out, as := *l, f.called[listOf(l)]
	out.Part, out.Number, out.MassG, out.Size = as.Part, as.Number, as.MassG, as.Size
	return &out
}

// tellBoards tells of each board type how many a unit takes, where all products that have
// it take as many.
func tellBoards(m *Model) {
	for b := range m.boards {
		var per []int
		for _, on := range m.boards[b].on {
			if on.perUnit > 0 {
				per = addNew(per, on.perUnit)
			}
		}
		if len(per) == 1 {
			m.boards[b].PerUnit = per[0]
		}
	}
}

func (f *flattener) leaveOut(l *bom.Line, at occurrence, why string) {
	f.unfitted = append(f.unfitted, Entry{
		Line: l, Category: categoryOf[classOf(l)], Path: at.path, Product: f.product, PerUnit: l.Quantity, Board: at.board, Part: -1, Why: why,
	})
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + " / " + name
}

// onlyBareBoard tells whether an entry is the bare board of a board type.
func (e Entry) onlyBareBoard() bool { return e.Line.Kind == bom.KindBoard }
