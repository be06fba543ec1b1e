package table

import (
	"bytes"
	"errors"
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
	s := markup.New(data)
	for {
		t, err := s.Next()
		switch {
		case err != nil:
			return fmt.Errorf("the part %s is broken: %w", part, err)
		case t.Kind == markup.Done:
			return nil
		case t.Kind != markup.Start || s.Depth() != 2 || string(t.Name) != "si":
			continue
		case len(w.texts.list) == lim.Cells:
			return &limitError{fmt.Sprintf("the workbook has more than %d shared texts, the limit", lim.Cells), raise("cells", 0)}
		}
		text, err := richText(s)
		if err != nil {
			return fmt.Errorf("the part %s is broken: %w", part, err)
		}
		text = trim(text)
		if n := excess(text, lim.CellChars); n > 0 {
			w.texts.tooLong[len(w.texts.list)] = n
		}
		w.texts.list = append(w.texts.list, text)
	}
}

// richText joins the runs of the element that just started and reads to its
// end. How to pronounce it (rPh) is no part of a text.
func richText(s *markup.Scanner) (string, error) {
	base := s.Depth()
	first, more := "", strings.Builder{}
	for {
		t, err := s.Next()
		switch {
		case err != nil:
			return "", err
		case t.Kind == markup.Done:
			return "", errors.New("a text does not end")
		case t.Kind == markup.End && s.Depth() < base:
			return first + more.String(), nil
		case t.Kind == markup.Content || t.Kind == markup.Plain:
			if !inRun(s, base) {
				continue
			}
			raw, err := markup.Text(t)
			if err != nil {
				return "", err
			}
			if text := unhide(string(raw)); first == "" {
				first = text
			} else {
				more.WriteString(text)
			}
		}
	}
}

// inRun tells whether the walk stands in a t, alone or in a run r.
func inRun(s *markup.Scanner, base int) bool {
	d := s.Depth()
	if string(s.Open(d)) != "t" {
		return false
	}
	return d == base+1 || d == base+2 && string(s.Open(d-1)) == "r"
}
