package table

import (
	"bytes"
	"errors"
	"fmt"
	"strings"
)

// texts are the texts that the cells of a workbook share by number.
type texts struct {
	list    []string    // trimmed
	tooLong map[int]int // number of a text over the limit -> its characters
}

// readTexts reads the shared texts, if there are any. Their lengths are counted
// here, once: a long text may stand in a million cells.
func (w *workbook) readTexts(rels map[string]relation, lim Limits) error {
	part := ""
	for _, r := range rels {
		if r.kind == "sharedStrings" && (part == "" || r.target < part) {
			part = r.target
		}
	}
	if part == "" || !w.parts.has(part) {
		return nil // cells that need one will say so
	}
	data, err := w.parts.read(part)
	if err != nil {
		return err
	}
	w.texts.tooLong = map[int]int{}
	w.texts.list = make([]string, 0, min(bytes.Count(data, []byte("<si")), lim.Cells))
	s := newScanner(data)
	for {
		t, err := s.next()
		switch {
		case err != nil:
			return fmt.Errorf("the part %s is broken: %w", part, err)
		case t.kind == tokenDone:
			return nil
		case t.kind != tokenStart || s.depth() != 2 || string(t.name) != "si":
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
func richText(s *scanner) (string, error) {
	base := s.depth()
	first, more := "", strings.Builder{}
	for {
		t, err := s.next()
		switch {
		case err != nil:
			return "", err
		case t.kind == tokenDone:
			return "", errors.New("a text does not end")
		case t.kind == tokenEnd && s.depth() < base:
			return first + more.String(), nil
		case t.kind == tokenText || t.kind == tokenPlain:
			if !inRun(s, base) {
				continue
			}
			raw, err := textOf(t)
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
func inRun(s *scanner, base int) bool {
	d := s.depth()
	if string(local(s.stack[d-1])) != "t" {
		return false
	}
	return d == base+1 || d == base+2 && string(local(s.stack[d-2])) == "r"
}
