package table

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// Section numbers here and below are those of OASIS OpenDocument 1.3: part 2 is
// about packages, part 3 about what stands in them.
const (
	officeSpace = "urn:oasis:names:tc:opendocument:xmlns:office:1.0"
	textSpace   = "urn:oasis:names:tc:opendocument:xmlns:text:1.0"
	mimePart    = "mimetype" // part 2, 3.3
	mimeStart   = "application/vnd.oasis.opendocument."
	contentPart = "content.xml"
	listPart    = "META-INF/manifest.xml"
)

// isDocument tells whether a package is of OpenDocument: by what it says it is,
// or where it does not say so by its parts.
func (p *parts) isDocument() bool {
	if p.has(mimePart) {
		said, err := p.read(mimePart)
		return bytes.HasPrefix(said, []byte(mimeStart)) || err != nil && p.has(contentPart)
	}
	return p.has(listPart) && p.has(contentPart)
}

// readDocument reads a package of OpenDocument.
func (p *parts) readDocument(at bom.Place, lim Limits, probs *bom.Problems) ([]bom.Table, error) {
	for _, part := range []string{mimePart, listPart} {
		if !p.has(part) {
			continue
		}
		text, err := p.read(part)
		if err != nil {
			return nil, err
		}
		if bytes.Contains(text, []byte("encryption-data")) { // part 2, 4.4
			return nil, &refusal{what: "the workbook is encrypted", want: wantOpen}
		}
	}
	content, err := p.read(contentPart)
	if err != nil {
		return nil, err
	}
	return readSpreadsheet(at, content, lim, probs), nil
}

// isFlatDocument tells the form of OpenDocument that is one XML file (part 3,
// 3.1.2).
func isFlatDocument(data []byte) bool {
	s := markup.New(data)
	t, err := s.Next()
	return err == nil && t.Kind == markup.Start && t.Name == "document" && s.Space(t.Prefix) == officeSpace
}

// documentWalk is one walk over the XML of a spreadsheet.
type documentWalk struct {
	*markup.Scanner
	at     bom.Place // the file
	lim    Limits
	tables []bom.Table
	probs  bom.Problems
	sheets int

	section string          // the child of the root that is open
	style   string          // the style of tables that is open or was last
	hidden  map[string]bool // styles that hide a sheet
	room    int             // blanks that may still be asked for
	found   bool            // a spreadsheet

	b      *builder // of the sheet that is open; nil between sheets
	row    int      // the row that is open or was last
	col    int      // the last cell of that row
	column int      // the last column that was described
	folded int      // depth of the group of rows or columns that is folded away
	cell   documentCell
	unseen
}

// farthest is where rows and columns are no longer counted: far beyond what a
// sheet can have, and far from where numbers overflow.
const farthest = 1 << 30

// readSpreadsheet reads the sheets of a spreadsheet, from the content of its
// package or from a flat file.
func readSpreadsheet(at bom.Place, data []byte, lim Limits, probs *bom.Problems) []bom.Table {
	w := documentWalk{Scanner: markup.New(data), at: at, lim: lim, hidden: map[string]bool{}, room: max(len(data)/4, mebi)}
	err := w.all()
	if err != nil && w.b != nil {
		w.b.stop(w.b.table.At(w.row, 0), "", wantWhole, "the sheet is damaged here or after this: %s", err)
		err = nil
		w.endSheet()
	}
	var limit *refusal
	switch {
	case errors.As(err, &limit):
		w.tables = nil
		w.probs.Errorf(at, "", limit.want, "%s", limit.what)
	case err != nil:
		w.probs.Errorf(at, "", wantWhole, "the workbook is damaged: its content is broken: %s", err)
	case !w.found:
		w.probs.Errorf(at, "", wantSaved, "the file is an OpenDocument file without a spreadsheet in it")
	case w.sheets == 0:
		w.probs.Errorf(at, "", wantWhole, "the workbook has no sheets")
	}
	*probs = append(*probs, w.probs...)
	return w.tables
}

// all goes to the end of the XML.
func (w *documentWalk) all() error {
	return w.Each(func(t markup.Token) error {
		if t.Kind == markup.Start {
			return w.start(t.Name)
		}
		return nil
	})
}

// start goes into what holds styles and sheets (part 3, 3.1.2, 3.1.3 and 3.7).
func (w *documentWalk) start(name string) error {
	styles := strings.HasSuffix(w.section, "styles")
	switch depth := w.Depth(); {
	case depth == 1 && name != "document-content" && name != "document":
		return fmt.Errorf("its root is %q, not a document", short(name))
	case depth == 2:
		w.section = name
	case depth == 3 && w.section == "body" && name == "spreadsheet":
		w.found = true
	case depth == 4 && w.section == "body" && name == "table":
		return w.sheet()
	case depth == 3 && styles && name == "style":
		w.style = string(w.Attr("name"))
	case depth == 4 && styles && name == "table-properties" && string(w.Attr("display")) == "false":
		w.hidden[w.style] = true // part 3, 20.416
	case depth > 2:
		return w.skip()
	}
	return nil
}

// skip goes to the end of the element that just started.
func (w *documentWalk) skip() error {
	return w.Within(func(markup.Token) error { return nil })
}

// sheet reads the sheet that just started (part 3, 9.1).
func (w *documentWalk) sheet() error {
	name := string(w.Attr("name"))
	if isCopy(name) {
		return w.skip()
	}
	if w.sheets++; w.sheets > w.lim.Sheets {
		return &refusal{what: fmt.Sprintf("the workbook has more than %d sheets, the limit", w.lim.Sheets), want: raise("sheets", 0)}
	}
	name = cmp.Or(name, "Sheet"+strconv.Itoa(w.sheets))
	w.b = &builder{table: bom.Table{File: w.at.File, Sheet: name}, lim: w.lim}
	w.row, w.column, w.folded, w.unseen = 0, 0, 0, unseen{}
	if w.hidden[string(w.Attr("style-name"))] {
		w.b.noteHiddenSheet()
	}
	if err := w.rows(); err != nil {
		return err
	}
	w.endSheet()
	return nil
}

// isCopy tells the tables in which a workbook keeps what it has read of other
// files: common practice, no source. They are no sheets of its own.
func isCopy(name string) bool {
	return strings.HasPrefix(name, "'") && strings.Contains(name, "://") && strings.Contains(name, "'#")
}

func (w *documentWalk) endSheet() {
	if !w.b.cut {
		w.note(w.b)
	}
	w.tables = append(w.tables, w.b.done()...)
	w.probs = append(w.probs, w.b.probs...)
	w.b = nil
}

// rows reads to the end of the sheet that just started.
func (w *documentWalk) rows() error {
	return w.Within(func(t markup.Token) error {
		switch t.Kind {
		case markup.End:
			if w.Depth() < w.folded {
				w.folded = 0
			}
		case markup.Start:
			return w.partOfSheet(t.Name)
		}
		return nil
	})
}

func (w *documentWalk) partOfSheet(name string) error {
	switch name {
	case "table-row":
		return w.tableRow()
	case "table-column":
		return w.tableColumn()
	case "table-row-group", "table-column-group":
		if w.folded == 0 && string(w.Attr("display")) == "false" { // part 3, 19.621
			w.folded = w.Depth()
		}
	case "table-rows", "table-header-rows", "table-columns", "table-header-columns":
	default:
		return w.skip()
	}
	return nil
}

// repeats reads how often a row, column or cell stands there (part 3, 19.679
// and 19.681), and whether a row or column is hidden (19.754).
func (w *documentWalk) repeats(attr string) (times int, hidden bool, err error) {
	times = 1
	if v := w.Attr(attr); v != nil {
		times, _ = strconv.Atoi(string(v)) // 0 for a word, the most there is for what is more
		if times < 1 {
			return 0, false, fmt.Errorf("%q is no number of repetitions", markup.Short(v))
		}
	}
	seen := string(w.Attr("visibility"))
	return min(times, farthest), w.folded > 0 || seen == "collapse" || seen == "filter", nil
}

func (w *documentWalk) tableColumn() error {
	times, hidden, err := w.repeats("number-columns-repeated")
	if err != nil {
		return err
	}
	first := w.column + 1
	if w.column = min(w.column+times, farthest); hidden {
		w.hideColumns(first, w.column)
	}
	return nil
}

// tableRow reads the row that just started, to its end.
func (w *documentWalk) tableRow() error {
	times, hidden, err := w.repeats("number-rows-repeated")
	if err != nil {
		return err
	}
	first, covered := w.row+1, false
	w.row, w.col = first, 0
	err = w.Within(func(t markup.Token) error {
		switch {
		case t.Kind != markup.Start:
			return nil
		case t.Name == "table-cell":
			_, err := w.tableCell(true)
			return err
		case t.Name == "covered-table-cell": // part 3, 9.1.5
			filled, err := w.tableCell(false)
			covered = covered || filled
			return err
		}
		return w.skip()
	})
	if err != nil {
		return err
	}
	if covered {
		w.covered = append(w.covered, first)
	}
	if err := w.giveRows(times, hidden); err != nil {
		return err
	}
	w.row = min(first+times-1, farthest)
	return nil
}

// giveRows hands over the row that was read, as often as it stands there.
func (w *documentWalk) giveRows(times int, hidden bool) error {
	cells := w.b.row
	if len(cells) == 0 {
		return nil
	}
	if times > 1 {
		cells = slices.Clone(cells)
	}
	for i := 0; i < times && !w.b.cut; i++ {
		number := w.row + i
		if number > sheetRows {
			return fmt.Errorf("row %d is beyond the last that a sheet can have", number)
		}
		for _, c := range cells {
			if i > 0 {
				w.b.put(number, c)
			}
		}
		if hidden {
			w.hiddenRows = append(w.hiddenRows, number)
		}
		w.b.endRow(number)
	}
	return nil
}
