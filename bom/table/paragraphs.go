package table

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"

	"tenoff/bom/markup"
)

// paragraphs joins the paragraphs of a cell to one text, with a line end between
// them.
type paragraphs struct {
	text  []byte
	any   bool // there is a paragraph
	space bool // white space that follows adds nothing, and is taken away at the end
}

func (p *paragraphs) add(text []byte) {
	if len(text) > 0 {
		p.text, p.space = append(p.text, text...), false
	}
}

// collapse adds running text, in which white space counts as one blank, and as
// none at the ends of a paragraph (part 3, 6.1.2). Blanks alone are kept as they
// stand, a variation that the standard leaves open: LibreOffice writes them so
// in a cell of several lines.
func (p *paragraphs) collapse(text []byte) {
	for len(text) > 0 {
		n := bytes.IndexFunc(text, white)
		if n < 0 {
			n = len(text)
		}
		p.add(text[:n])
		rest := bytes.TrimLeftFunc(text[n:], white)
		run := text[n : len(text)-len(rest)]
		text = rest
		if len(bytes.Trim(run, " ")) == 0 {
			p.add(run)
		} else if !p.space {
			p.add(oneBlank)
			p.space = true
		}
	}
}

func white(r rune) bool { return r == ' ' || r == '\t' || r == '\n' || r == '\r' }

var oneBlank = []byte(" ")

func (p *paragraphs) begin() {
	if p.any {
		p.add([]byte("\n"))
	}
	p.any, p.space = true, true
}

// end takes away the white space at the end of a paragraph.
func (p *paragraphs) end() {
	if n := len(p.text) - 1; p.space && n >= 0 && p.text[n] == ' ' {
		p.text = p.text[:n]
	}
}

// blanks adds the blanks of a text:s (part 3, 6.1.3).
// Those of a whole file are bounded by its size, which no sheet comes near: a
// small file could ask for much room.
func (w *documentWalk) blanks(p *paragraphs, count []byte) error {
	n := 1
	if count != nil {
		var err error
		if n, err = strconv.Atoi(string(count)); n < 0 || n == 0 && err != nil {
			return fmt.Errorf("%q is no number of blanks", markup.Short(count))
		}
	}
	if w.room -= min(n, farthest); w.room < 0 {
		return errors.New("more blanks stand in it than a sheet has use for")
	}
	p.add(bytes.Repeat(oneBlank, n))
	return nil
}

// content reads to the end of the cell that just started, and keeps the text of
// its paragraphs. What else there is, such as annotations (part 3, 14.1) and
// drawings, is no text of the cell.
func (w *documentWalk) content(p *paragraphs) error {
	return w.Within(func(t markup.Token) error {
		if t.Kind != markup.Start {
			return nil
		}
		switch t.Name {
		case "p", "h":
			return w.paragraph(p)
		case "list", "list-item", "list-header", "section":
			return nil
		}
		return w.skip()
	})
}

// paragraph reads the paragraph that just started, to its end (part 3, 6.1).
func (w *documentWalk) paragraph(p *paragraphs) error {
	p.begin()
	defer p.end()
	return w.Within(func(t markup.Token) error {
		switch t.Kind {
		case markup.Start:
			return w.inParagraph(p, t)
		case markup.End:
			return nil
		}
		p.collapse(t.Text)
		return nil
	})
}

// inParagraph opens an element of a paragraph. Its text is read on where it is
// one of text; notes and how to pronounce a word stand apart from it.
func (w *documentWalk) inParagraph(p *paragraphs, t markup.Token) error {
	if w.Space(t.Prefix) != textSpace {
		return w.skip()
	}
	switch t.Name {
	case "s":
		return w.blanks(p, w.Attr("c"))
	case "tab":
		p.add([]byte("\t"))
	case "line-break":
		p.add([]byte("\n"))
	case "note", "ruby-text":
		return w.skip()
	}
	return nil
}
