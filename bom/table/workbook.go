package table

import (
	"errors"
	"fmt"
	"path"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// workbook is what the sheets of a workbook share.
type workbook struct {
	parts   *parts
	sheets  []sheetPart
	formats formats
	texts   texts
}

// sheetPart is one entry of the list of sheets.
type sheetPart struct {
	name   string
	hidden bool
	part   string // empty: the list names a part that is not there
}

func readWorkbook(name string, data []byte, lim Limits) (tables []bom.Table, probs bom.Problems) {
	at := bom.Place{File: name}
	p, err := openParts(data, lim)
	switch {
	case err != nil:
	case p.isDocument():
		tables, err = p.readDocument(at, lim, &probs)
	default:
		tables, err = p.readSheets(at, lim, &probs)
	}
	if err == nil {
		err = p.checkRest()
	}
	var refused *refusal
	switch {
	case errors.As(err, &refused):
		probs.Errorf(at, refused.found, refused.want, "%s", refused.what)
	case err != nil:
		probs.Errorf(at, "", wantWhole, "the workbook is damaged: %s", err)
	}
	return tables, probs
}

func (p *parts) readSheets(at bom.Place, lim Limits, probs *bom.Problems) (tables []bom.Table, err error) {
	w := workbook{parts: p}
	main, err := w.mainPart()
	var rels map[string]markup.Relation
	if err == nil {
		rels, err = p.relations(main)
	}
	if err == nil {
		err = w.describe(main, rels)
	}
	if err == nil {
		err = w.readTexts(rels, lim)
	}
	if n := len(w.sheets); err == nil && n > lim.Sheets {
		err = &refusal{what: fmt.Sprintf("the workbook has %d sheets, over the limit of %d", n, lim.Sheets), want: raise("sheets", int64(n))}
	}
	if err != nil {
		return nil, err
	}
	for _, s := range w.sheets {
		b := builder{table: bom.Table{File: at.File, Sheet: s.name, Signs: w.formats.signs}, lim: lim}
		w.readSheet(s, &b)
		tables = append(tables, b.done()...)
		*probs = append(*probs, b.probs...)
	}
	return tables, nil
}

// stylesPart is where every program writes the styles.
const stylesPart = "xl/styles.xml"

// mainPart names the part that lists the sheets.
func (w *workbook) mainPart() (string, error) {
	other := &refusal{what: "the file is a zip archive without a workbook in it", want: wantSaved}
	if !w.parts.has("[content_types].xml") || !w.parts.has(markup.RelationsPart("")) {
		return "", other
	}
	rels, err := w.parts.relations("")
	if err != nil {
		return "", err
	}
	name := markup.First(rels, "officeDocument", w.parts.has)
	switch {
	case path.Ext(name) == ".bin":
		return "", &refusal{what: "the file is a binary workbook (.xlsb)", want: wantSaved}
	case name == "", strings.HasPrefix(name, "word/"), strings.HasPrefix(name, "ppt/"):
		return "", other
	}
	return name, nil
}

// describe reads the list of sheets, the date system and the number formats. A sheet of
// another kind than a work sheet, such as a chart alone, has no cells.
func (w *workbook) describe(main string, rels map[string]markup.Relation) error {
	err := w.parts.eachStart(main, func(s *markup.Scanner, name string) error {
		switch depth := s.Depth(); {
		case depth == 2 && name == "workbookPr":
			w.formats.date1904 = s.Truth("date1904")
		case depth == 3 && name == "sheet" && s.Open(2) == "sheets":
			r, ok := rels[string(s.Attr("id"))]
			if ok && r.Kind != "worksheet" {
				return nil
			}
			state := string(s.Bare("state"))
			sheet := sheetPart{name: string(s.Bare("name")), hidden: state == "hidden" || state == "veryHidden"}
			if ok && w.parts.has(r.Target) {
				sheet.part = r.Target
			}
			w.sheets = append(w.sheets, sheet)
		}
		return nil
	})
	if err != nil || !w.parts.has(stylesPart) {
		return err
	}
	own := map[string]format{}
	return w.parts.eachStart(stylesPart, func(s *markup.Scanner, name string) error {
		id := string(s.Bare("numFmtId"))
		switch depth := s.Depth(); {
		case depth == 3 && name == "numFmt":
			own[id] = w.formats.read(string(s.Bare("formatCode")))
		case depth == 3 && name == "xf" && s.Open(2) == "cellXfs":
			style, known := own[id]
			if n, err := strconv.Atoi(id); err == nil && !known {
				style.how = builtIn(n)
			}
			w.formats.styles = append(w.formats.styles, style)
		}
		return nil
	})
}
