package table

import (
	"bytes"
	"fmt"
	"strings"

	"tenoff/bom/markup"
)

// texts are the texts that the cells of a workbook share by number.
type texts struct {
	list    []string    // trimmed
	tooLong map[int]int // number of a text over the limit -> its characters
}

// readTexts reads the shared texts, if there are any. Their lengths are counted
// here, once: a long text may stand in a million cells.
func (w *workbook) readTexts(rels map[string]markup.Relation, lim Limits) error {
	part := markup.First(rels, "sharedStrings", w.parts.has)
	if part == "" {
		return nil // cells that need one will say so
	}
	data, err := w.parts.read(part)
	if err != nil {
		return err
	}
	w.texts.tooLong = map[int]int{}
	w.texts.list = make([]string, 0, min(bytes.Count(data, []byte("<si")), lim.Cells))
	err = markup.EachStart(data, func(s *markup.Scanner, name string) error {
		switch {
		case s.Depth() != 2 || name != "si":
			return nil
		case len(w.texts.list) == lim.Cells:
			return &refusal{what: fmt.Sprintf("the workbook has more than %d shared texts, the limit", lim.Cells), want: raise("cells", 0)}
		}
		text, err := richText(s)
		text = trim(text)
		if n := excess(text, lim.CellChars); n > 0 {
			w.texts.tooLong[len(w.texts.list)] = n
		}
		w.texts.list = append(w.texts.list, text)
		return err
	})
	if err != nil {
		return fmt.Errorf("the part %s is broken: %w", part, err)
	}
	return nil
}

// richText joins the runs of the element that just started and reads to its
// end. How to pronounce it (rPh) is no part of a text.
func richText(s *markup.Scanner) (string, error) {
	base := s.Depth()
	var text strings.Builder
	err := s.Within(func(t markup.Token) error {
		if t.Kind == markup.Content && inRun(s, base) {
			text.WriteString(unhide(string(t.Text)))
		}
		return nil
	})
	return text.String(), err
}

// inRun tells whether the walk stands in a t, alone or in a run r.
func inRun(s *markup.Scanner, base int) bool {
	d := s.Depth()
	if s.Open(d) != "t" {
		return false
	}
	return d == base+1 || d == base+2 && s.Open(d-1) == "r"
}
