package sheet

import (
	"strings"

	"tenoff/bom"
)

// rawLine is a row of a bill of materials as it stands there.
type rawLine struct {
	Designator   Cell `csv:"Designator"`
	Quantity     Cell `csv:"Quantity"`
	PartNumber   Cell `csv:"Part number"`
	Manufacturer Cell `csv:"Manufacturer"`
	Description  Cell `csv:"Description"`
	Value        Cell `csv:"Value"`
	Package      Cell `csv:"Package"`
	Kind         Cell `csv:"Kind"`
	Mount        Cell `csv:"Mount"`
	Joints       Cell `csv:"Joints"`
	Side         Cell `csv:"Side"`
	Fitted       Cell `csv:"Fitted"`
	DNP          Cell `csv:"DNP"`
	Level        Cell `csv:"Level"`
	File         Cell `csv:"File"`
	Material     Cell `csv:"Material"`
	FilamentG    Cell `csv:"Filament g"`
	PrintHours   Cell `csv:"Print hours"`
	PerPlate     Cell `csv:"Per plate"`
	Printer      Cell `csv:"Printer"`
	Recipe       Cell `csv:"Recipe"`
	MassG        Cell `csv:"Mass g"`
	LengthMM     Cell `csv:"Length mm"`
	WidthMM      Cell `csv:"Width mm"`
	HeightMM     Cell `csv:"Height mm"`
}

// lineReader reads the rows of one bill of materials.
type lineReader struct {
	*decoder
	places map[string]int // designator in capitals -> row where it first stands
	named  int            // designators so far
}

// rows reads the rows one by one.
func (r *lineReader) rows(read func(*rawLine)) {
	readRows(r.decoder, read)
}

// checkHeads refuses two columns that say the same thing in opposite words.
func (r *lineReader) checkHeads() {
	r.places = map[string]int{}
	fitted, dnp := r.reg.head.Col["Fitted"], r.reg.head.Col["DNP"]
	if fitted != 0 && dnp != 0 {
		at := r.reg.table.At(r.reg.head.Row, max(fitted, dnp))
		r.problems.Errorf(at, "", "one column for it", "what is fitted is headed twice, %s in %s and %s in %s",
			r.reg.head.Text["Fitted"], r.reg.table.At(at.Row, fitted).Cell(),
			r.reg.head.Text["DNP"], r.reg.table.At(at.Row, dnp).Cell())
	}
}

// line reads one row. What depends on something else comes after it: the key on
// the kind, the quantity on the designators.
func (r *lineReader) line(raw *rawLine) *bom.Line {
	l := &bom.Line{
		Origin:      r.reg.origin(r.row),
		Number:      r.key(raw.PartNumber),
		Description: r.text(raw.Description),
		Maker:       r.text(raw.Manufacturer),
		Value:       r.key(raw.Value),
		Package:     r.key(raw.Package),
		Fitted:      r.fitted(raw),
		File:        r.path(raw.File),
		Extra:       r.reg.extras(r.reg.rows[r.row]),
	}
	l.Designators = r.designators(raw.Designator)
	r.kind(l, raw)
	r.mount(l, raw)
	r.joints(l, raw)
	l.Side = r.side(raw.Side)
	r.count(l, raw)
	r.level(l, raw.Level)
	r.part(l, raw)
	r.printed(l, raw)
	if l.Kind == bom.KindBoard && l.Fitted && raw.File.Blank() {
		r.problems.Warnf(r.place(raw.File), "", "the board's own bill of materials in File", "nothing says what is placed on the board")
	}
	l.MassG = r.measure(raw.MassG, true)
	l.Size = [3]bom.Measure{r.measure(raw.LengthMM, false), r.measure(raw.WidthMM, false), r.measure(raw.HeightMM, false)}
	return l
}

// path reads the name of a file, in which every character may count.
func (r *lineReader) path(c Cell) string {
	if r.key(c) == "" {
		return ""
	}
	return c.Text
}

// MaxDesignators bounds those of one bill of materials: a few short ranges
// must not stand for an endless board.
const MaxDesignators = 100_000

// designators lists those of a cell and refuses those that stood before.
func (r *lineReader) designators(c Cell) []string {
	text := r.key(c)
	switch {
	case text == "" || r.named > MaxDesignators:
		return nil
	case likeDate(text):
		r.wrong(c, "the designators as they were before, in a column formatted as text", "looks like a date that a spreadsheet made of something else")
		return nil
	}
	names, err := bom.ExpandDesignators(text)
	if err != nil {
		r.wrong(c, err.Want, "%s", err.What)
		return nil
	}
	if r.named += len(names); r.named > MaxDesignators {
		r.wrong(c, "fewer designators", "there are more than %d designators on the board", MaxDesignators)
		return nil
	}
	doubled, first := []string(nil), 0
	for _, name := range names {
		key := strings.ToUpper(name)
		if had, ok := r.places[key]; ok {
			if doubled == nil {
				first = had
			}
			doubled = append(doubled, name)
			continue
		}
		r.places[key] = r.rowNumber()
	}
	switch len(doubled) {
	case 0:
	case 1:
		r.wrong(c, wantOnce, "designator %s stands twice, here and in row %d", doubled[0], first)
	default:
		r.wrong(c, wantOnce, "designator %s stands twice, here and in row %d, and so do %d more of this cell", doubled[0], first, len(doubled)-1)
	}
	return names
}

const wantOnce = "each designator once on a board"

// notFitted are words for a part that is left out, common practice, no source.
var notFitted = map[string]string{"dnp": "yes", "dnf": "yes", "dni": "yes", "notfitted": "yes", "donotfit": "yes",
	"donotplace": "yes", "donotpopulate": "yes", "fitted": "no", "fit": "no", "populate": "no"}

func (r *lineReader) fitted(raw *rawLine) bool {
	if word, ok := notFitted[bom.NormalHeading(raw.Fitted.Text)]; ok {
		return word == "no"
	}
	if word, ok := notFitted[bom.NormalHeading(raw.DNP.Text)]; ok {
		return word == "no"
	}
	return r.yes(raw.Fitted, true) && !r.yes(raw.DNP, false)
}

func (r *lineReader) kind(l *bom.Line, raw *rawLine) {
	l.Kind = bom.Kind(r.choice(raw.Kind))
	switch {
	case l.Kind != "" || !raw.Kind.Blank():
	case !raw.Designator.Blank() || !raw.Mount.Blank():
		l.Kind = bom.KindPart
	default:
		r.problems.Errorf(r.place(raw.Kind), "", "one of "+quoteList(r.kinds())+", or a designator or a mount, which make it a part",
			"nothing says what kind of line this is")
	}
}

func (r *lineReader) kinds() []string {
	column, _ := bom.BOMTab.Column("Kind")
	return column.Choices
}

var mountWords = map[string]string{"smd": "SMT", "surfacemount": "SMT", "surface": "SMT", "th": "THT", "pth": "THT", "throughhole": "THT"}

func (r *lineReader) mount(l *bom.Line, raw *rawLine) {
	l.Mount = bom.Mount(r.oneOf(raw.Mount, []string{string(bom.SMT), string(bom.THT)}, mountWords))
	switch {
	case l.Kind == bom.KindPart && raw.Mount.Blank() && bom.TwoTerminalChip(l.Package):
		l.Mount = bom.SMT
	case l.Kind == bom.KindPart && raw.Mount.Blank() && l.Fitted:
		r.problems.Errorf(r.place(raw.Mount), "", "SMT or THT, or another kind than part for what is not soldered to a board",
			"nothing says how the part is mounted")
	case l.Kind != bom.KindPart && l.Kind != "" && l.Mount != bom.MountNone:
		r.problems.Warnf(r.place(raw.Mount), raw.Mount.Text, "a blank cell, or the kind part",
			"Mount: only parts have a mount, for the kind %s it is passed over", l.Kind)
		l.Mount = bom.MountNone
	}
}

func (r *lineReader) joints(l *bom.Line, raw *rawLine) {
	switch {
	case !raw.Joints.Blank():
		if n := r.whole(raw.Joints, -1, 0); n >= 0 {
			l.Joints = bom.Joints{Count: int(n), Known: true}
		}
	case l.Kind == bom.KindPart && bom.TwoTerminalChip(l.Package):
		l.Joints = bom.Joints{Count: 2, Known: true}
	}
}

var sideWords = map[string]string{"t": "top", "toplayer": "top", "topside": "top", "front": "top",
	"b": "bottom", "bottomlayer": "bottom", "bottomside": "bottom", "bot": "bottom", "back": "bottom"}

func (r *lineReader) side(c Cell) bom.Side {
	if side := r.oneOf(c, []string{string(bom.Top), string(bom.Bottom)}, sideWords); side != "" {
		return bom.Side(side)
	}
	return bom.Top
}

// count is the quantity that stands there, or the number of designators; the
// two must agree.
func (r *lineReader) count(l *bom.Line, raw *rawLine) {
	count := int64(len(l.Designators))
	if raw.Quantity.Blank() {
		if raw.Designator.Blank() {
			r.problems.Errorf(r.place(raw.Quantity), "", "a quantity, or designators that say it", "neither a quantity nor a designator stands here")
		}
		l.Quantity = bom.Whole(count)
		return
	}
	q, ok := r.quantity(raw.Quantity, 0, !l.Fitted && count > 0)
	if !ok {
		return
	}
	if l.Quantity = q; q == 0 { // what is not fitted is none of them
		l.Quantity = bom.Whole(count)
		return
	}
	switch {
	case count > 0 && q != bom.Whole(count):
		r.wrong(raw.Quantity, "the same number in both", "the quantity differs from the number of designators, %d", count)
	case !q.IsWhole() && !divisible(l.Kind):
		r.wrong(raw.Quantity, "whole pieces; only wire, other and packing can be parts of one", "a broken quantity of a %s", l.Kind)
	}
}

func divisible(k bom.Kind) bool {
	return k == bom.KindWire || k == bom.KindOther || k == bom.KindPacking || k == ""
}

// levelFor is the level from which a line is included where it does not say.
func levelFor(l *bom.Line) bom.Level {
	if l.Kind == bom.KindPacking || l.Kind == bom.KindBoard || l.Mount == bom.SMT {
		return bom.LevelBoard
	}
	return bom.LevelKit
}

func (r *lineReader) level(l *bom.Line, c Cell) {
	l.Level = levelFor(l)
	word := r.choice(c)
	for _, level := range bom.Levels {
		if level.String() == word {
			l.Level, l.LevelGiven = level, true
		}
	}
}

// part settles the key under which the line is looked for in the price sheet.
func (r *lineReader) part(l *bom.Line, raw *rawLine) {
	byWords := l.Kind != bom.KindPart && l.Kind != bom.KindFastener && l.Kind != bom.KindInsert && l.Kind != bom.KindWire
	switch {
	case l.Number != "":
		l.Part = l.Number
	case l.Value != "":
		l.Part = strings.TrimSpace(l.Value + " " + l.Package)
	case l.Description != "" && (byWords || !l.Fitted):
		l.Part = r.key(raw.Description)
	case l.Kind == bom.KindPrinted && l.File != "":
		l.Part = l.File
	case !l.Fitted && len(l.Designators) > 0:
		l.Part = l.Designators[0]
	case raw.PartNumber.Blank() && raw.Value.Blank() && (raw.Description.Blank() || !byWords) && l.Kind != "":
		want := "a part number, or a value and a package"
		if byWords {
			want = "a part number, a value or a description"
		}
		r.problems.Errorf(r.place(raw.PartNumber), "", want, "nothing says which %s this is", l.Kind)
	}
}

func (r *lineReader) printed(l *bom.Line, raw *rawLine) {
	l.Material, l.Printer, l.Recipe = r.key(raw.Material), r.key(raw.Printer), r.key(raw.Recipe)
	l.FilamentG, l.Hours = r.measure(raw.FilamentG, false), r.measure(raw.PrintHours, false)
	l.PerPlate = int(r.whole(raw.PerPlate, 0, 1))
	if l.Kind != bom.KindPrinted || !l.Fitted {
		return
	}
	if raw.Material.Blank() {
		r.problems.Errorf(r.place(raw.Material), "", "a material of the tab materials", "nothing says what the part is printed in")
	}
	if raw.File.Blank() && (raw.FilamentG.Blank() || raw.PrintHours.Blank()) {
		r.problems.Errorf(r.place(raw.FilamentG), "", "both Filament g and Print hours of one piece, or a mesh or toolpath in File",
			"nothing says how much filament and time a piece takes")
	}
}
