package sheet

import (
	"path"
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// withBoard gives the board that the parts of a list stand on where the list names none:
// the list of a board becomes a unit with one of that board, and what cannot stand on a
// board (a battery, screws, a case) stays beside it. The list comes back as it is where it
// names a board, where the bare board is bought like a part, or where hardly anything has
// a designator.
func (s *settler) withBoard(list *bom.Assembly) *bom.Assembly {
	if s.units[list] == nil {
		s.units[list] = s.unitOf(list)
	}
	return s.units[list]
}

func (s *settler) unitOf(list *bom.Assembly) *bom.Assembly {
	at := bom.Place{File: list.File, Sheet: list.Sheet}
	d := divide(list)
	switch {
	case d.named:
	case d.bare != nil && d.placed > 0:
		s.problems.Add(bom.Problem{Place: d.bare.At("Part number"), Severity: bom.Note, What: "the bare board is bought like a part; no other is counted",
			Each: bom.Shown(lineName(d.bare))})
	case d.placed == 0 && d.bare == nil && d.mounted:
		s.problems.Add(bom.Problem{Place: at, Severity: bom.Assumption, What: "no bare board is counted: no line is one, and none has a designator",
			Want: "if that is wrong, add a line of kind board"})
	case d.placed == 0 || !d.soldered && d.placed <= len(d.beside):
	case len(d.beside) == 0:
		board := s.oneBoard(list)
		s.problems.Notef(at, "this is the list of a board: the unit is one board %s", board.Part)
		return &bom.Assembly{File: list.File, Sheet: list.Sheet, Lines: []*bom.Line{board}}
	default:
		on := *list
		on.Lines = d.on
		board := s.oneBoard(&on)
		var names []string
		for _, l := range d.beside {
			names = append(names, lineName(l))
		}
		s.problems.Add(bom.Problem{Place: at, Severity: bom.Assumption,
			What: "the lines with designators stand on one bare board, " + board.Part + "; beside it" + told("", names),
			Want: "if that is wrong, give the unit a list of its own, with a line of kind board for each board and the board's list under File"})
		unit := *list
		unit.Lines = append([]*bom.Line{board}, d.beside...)
		return &unit
	}
	return list
}

// divided are the lines of a list that could stand on a board, and the others.
type divided struct {
	on, beside []*bom.Line
	named      bool      // a line is a board
	bare       *bom.Line // that is bought like a part
	placed     int       // lines to buy that have designators
	soldered   bool      // some line to buy is machine-placed
	mounted    bool      // or through-hole
}

func divide(list *bom.Assembly) (d divided) {
	for _, l := range list.Lines {
		bought := l.Fitted && !l.Nothing
		if l.Kind == bom.KindBoard {
			d.named = true
		}
		if bought && isBare(l) {
			d.bare = l
		}
		if len(l.Designators) == 0 && l.Mount == bom.MountNone && bought {
			d.beside = append(d.beside, l)
			continue
		}
		d.on = append(d.on, l)
		if bought {
			d.soldered, d.mounted = d.soldered || l.Mount == bom.SMT, d.mounted || l.Mount != bom.MountNone
			if len(l.Designators) > 0 {
				d.placed++
			}
		}
	}
	return d
}

// isBare tells whether a line without a designator is a bare board: PCB, "main PCB, 1.6 mm",
// a perfboard. A standoff for one is not.
func isBare(l *bom.Line) bool {
	if len(l.Designators) > 0 || l.Kind != bom.KindPart && l.Kind != bom.KindOther {
		return false
	}
	for _, text := range []string{l.Number, l.Value, l.Description, l.Part} {
		if end := strings.IndexAny(text, ",;([:"); end > 0 {
			text = text[:end]
		}
		words := strings.FieldsFunc(strings.ToLower(text), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
		if len(words) == 0 {
			continue
		}
		last := words[len(words)-1]
		if slices.Contains(bareBoards, last) || slices.Contains(bareBoards, words[max(0, len(words)-2)]+last) ||
			words[0] == "pcb" && unicode.IsDigit([]rune(words[1])[0]) {
			return true
		}
	}
	return false
}

// bareBoards are the words for a bare board, and for what takes its place.
var bareBoards = []string{"pcb", "pcbs", "circuitboard", "bareboard", "pcbboard", "leiterplatte", "platine", "perfboard", "protoboard", "stripboard", "breadboard"}

// oneBoard is one of the board that a list is of. It is named by its file; by its sheet,
// where that file holds another list of the unit, and by its folder, where another file
// has the name.
func (s *settler) oneBoard(list *bom.Assembly) *bom.Line {
	name, folder := bom.Stem(list.File), path.Base(path.Dir(list.File))
	for _, other := range s.lists {
		switch {
		case other.File == list.File && other.Sheet != list.Sheet:
			name = list.Sheet
		case other.File != list.File && bom.Stem(other.File) == name && strings.Trim(folder, "./") != "":
			name = folder
		}
	}
	head := &bom.Heading{File: list.File, Sheet: list.Sheet, Col: map[string]int{}, Text: map[string]string{}}
	return &bom.Line{Origin: bom.Origin{Head: head}, Quantity: bom.One, Part: name, Number: name, Description: "bare board",
		Kind: bom.KindBoard, Given: bom.Given{Kind: true}, Side: bom.Top, Fitted: true, Level: bom.LevelBoard, Sub: list}
}
