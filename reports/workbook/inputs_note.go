package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
)

// The size of notes, in pixels; the width of one of their lines, in digits.
const (
	noteWide = 270
	noteLine = 15
	noteInk  = 38
)

// writeNotes puts a note on each heading, and on each setting that is named.
func (s *inputSheet) writeNotes() {
	for i, c := range s.cols {
		if c.heading != "" {
			s.addNote(i+1, s.headRow(), s.columnNote(c))
		}
	}
	for _, r := range s.data() {
		if def := s.setting(r); def != nil {
			s.addNote(s.index("Setting"), r.Number+s.shift(), settingNote(def))
		}
	}
}

// columnNote explains a column: its name in bold, then a line for each thing
// that is known of it.
func (s *inputSheet) columnNote(c inputColumn) []string {
	switch {
	case c.step:
		return []string{c.heading, "Price of one order unit when at least " + strings.TrimPrefix(c.heading, bom.BreakMark) + " are ordered.",
			"Blank: no break there."}
	case c.def == nil:
		return []string{c.heading, "Not a known heading: the column is kept as a note."}
	}
	d := c.def
	lines := []string{c.heading}
	if c.heading != d.Heading {
		lines = append(lines, "Read as "+d.Heading+".")
	}
	lines = append(lines, aboutCell(d.Doc, d.Unit, d.Required, d.Default, d.Choices)...)
	if d.Example != "" {
		lines = append(lines, "Example: "+d.Example)
	}
	return lines
}

// settingNote explains a setting and where its default comes from.
func settingNote(d *bom.SettingDef) []string {
	blank := d.Default
	if blank != "" && d.Source == bom.SourceCommon {
		blank += " (" + d.Source + ")"
	}
	return append([]string{d.Name}, aboutCell(d.Doc, d.Unit, d.Required, blank, d.Choices)...)
}

// aboutCell tells what goes into a cell, and what it stands for when it is blank.
func aboutCell(doc, unit string, required bool, blank string, choices []string) []string {
	lines := append([]string{doc}, unitLine(unit, doc)...)
	switch {
	case required:
		lines = append(lines, "Must be filled in.")
	case blank != "":
		lines = append(lines, "Blank: "+blank+".")
	}
	if len(choices) > 0 {
		lines = append(lines, "One of: "+strings.Join(choices, ", ")+".")
	}
	return lines
}

// unitLine names the unit where neither the sentence before it nor the heading
// of every percentage does.
func unitLine(unit, doc string) []string {
	if unit == "" || unit == "%" || strings.Contains(doc, "in "+unit) {
		return nil
	}
	return []string{"Unit: " + unit + "."}
}

// addNote puts a note on a cell, high enough for its lines.
func (s *inputSheet) addNote(col, row int, lines []string) {
	rows := 0
	for _, l := range lines {
		rows += len(wrapWords(l, noteInk))
	}
	s.keep(s.f.AddComment(s.name, excelize.Comment{
		Cell: at(col, row), Author: application, Width: noteWide, Height: uint(noteLine * (rows + 1)),
		Paragraph: []excelize.RichTextRun{
			{Text: lines[0], Font: &excelize.Font{Family: inputFont, Size: 9, Bold: true}},
			{Text: "\n" + strings.Join(lines[1:], "\n"), Font: &excelize.Font{Family: inputFont, Size: 9}},
		},
	}))
}
