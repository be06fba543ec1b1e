package workbook

import (
	"slices"
	"strings"

	"tenoff/bom"
)

// exampleWord opens the note, or the description where there is no note, of a
// row that only shows how a table is filled in.
const exampleWord = "example"

// isExample tells whether a row is marked as an example.
func (s *inputSheet) isExample(r bom.Row) bool {
	for i, c := range s.cols {
		if c.def != nil && (c.def.Heading == "Note" || c.def.Heading == "Description") &&
			strings.HasPrefix(strings.ToLower(textIn(r, i+1)), exampleWord) {
			return true
		}
	}
	return false
}

// guidance gives the lines above a table: its title, what it holds and how to
// fill it in. They cannot be taken for headings, which never stand alone in a row.
func (s *inputSheet) guidance(starter bool) []string {
	pointAt := "a heading"
	if s.tab.Name == bom.TabSettings {
		pointAt = "a heading or a setting"
	}
	text := []string{s.tab.Doc, "Point at " + pointAt + " to read what it is for."}
	switch {
	case s.fills():
		text = append(text, "Fill in the columns with dark headings.")
	case slices.ContainsFunc(s.cols, s.dark):
		text = append(text, "Dark headings must be filled in.")
	}
	if slices.ContainsFunc(s.data(), s.isExample) {
		text = append(text, "Rows in italics are examples: write over them or delete them.")
	}
	if left := s.leftOut(); starter && len(left) > 0 {
		text = append(text, "Further columns that are read: "+strings.Join(left, ", ")+".")
	}
	// A line no wider than the table, so that it is not cut off on paper.
	return append([]string{s.title}, wrapWords(strings.Join(text, " "), s.width())...)
}

// leftOut lists the documented columns that the table does not have.
func (s *inputSheet) leftOut() []string {
	return slices.DeleteFunc(s.tab.Headings(), func(h string) bool { return s.index(h) > 0 })
}
