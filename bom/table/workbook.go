package table

import (
	"archive/zip"
	"bytes"
	"errors"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"

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
	p := openParts(at, data, lim, &probs)
	if p == nil {
		return nil, probs
	}
	if p.isDocument() {
		tables = p.readDocument(at, lim, &probs)
		return tables, probs
	}
	w := workbook{parts: p}
	if !w.open(at, lim, &probs) {
		return nil, probs
	}
	if len(w.sheets) > lim.Sheets {
		probs.Errorf(at, "", raise("sheets", int64(len(w.sheets))),
			"the workbook has %d sheets, over the limit of %d", len(w.sheets), lim.Sheets)
		return nil, probs
	}
	for _, s := range w.sheets {
		b := builder{table: bom.Table{File: name, Sheet: s.name, Signs: w.formats.signs}, lim: lim}
		w.readSheet(s, &b)
		tables = append(tables, b.done()...)
		probs = append(probs, b.probs...)
	}
	if err := p.checkRest(); err != nil {
		probs.Errorf(at, "", wantWhole, "the workbook is damaged: %s", err)
	}
	return tables, probs
}

// open reads all but the sheets themselves.
func (w *workbook) open(at bom.Place, lim Limits, probs *bom.Problems) bool {
	main, otherwise, err := w.mainPart()
	if otherwise != "" {
		probs.Errorf(at, "", wantSaved, "%s", otherwise)
		return false
	}
	var rels map[string]markup.Relation
	if err == nil {
		rels, err = w.parts.relations(main)
	}
	if err == nil {
		err = w.describe(main, rels)
	}
	if err == nil {
		err = w.readTexts(rels, lim)
	}
	var limit *limitError
	switch {
	case errors.As(err, &limit):
		probs.Errorf(at, "", limit.want, "%s", limit.what)
	case err != nil:
		probs.Errorf(at, "", wantWhole, "the workbook is damaged: %s", err)
	}
	return err == nil
}

// stylesPart is where every program writes the styles, and the only place where
// excelize looks for them.
const stylesPart = "xl/styles.xml"

// mainPart names the part that lists the sheets; otherwise tells what the
// archive is instead.
func (w *workbook) mainPart() (name, otherwise string, err error) {
	switch {
	case !w.parts.has("[content_types].xml"), !w.parts.has(markup.RelationsPart("")):
		return "", "the file is a zip archive without a workbook in it", nil
	}
	rels, err := w.parts.relations("")
	name = markup.First(rels, "officeDocument", w.parts.has)
	switch ext := path.Ext(name); {
	case err != nil:
		return "", "", err
	case ext == ".bin":
		return "", "the file is a binary workbook (.xlsb)", nil
	case name == "", strings.HasPrefix(name, "word/"), strings.HasPrefix(name, "ppt/"):
		return "", "the file is a zip archive without a workbook in it", nil
	}
	return name, "", nil
}

// describe lets excelize read the list of sheets, the styles and the date
// system. It is given these parts alone, so that it neither unpacks the sheets
// into memory or temporary files nor reads them.
func (w *workbook) describe(main string, rels map[string]markup.Relation) error {
	names := []string{markup.RelationsPart(""), markup.RelationsPart(main), main}
	if w.parts.has(stylesPart) {
		names = append(names, stylesPart)
	}
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	for _, name := range names {
		data, err := w.parts.readSmall(name)
		if err != nil {
			return err
		}
		f, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: zip.Store})
		if err == nil {
			_, err = f.Write(data)
		}
		if err != nil {
			return err
		}
	}
	if err := z.Close(); err != nil {
		return err
	}
	size := int64(packed.Len()) + 1
	f, err := excelize.OpenReader(&packed, excelize.Options{UnzipSizeLimit: size, UnzipXMLSizeLimit: size})
	if f != nil {
		defer f.Close() // also after a failed opening
	}
	if err != nil {
		return err
	}
	w.takeFormats(f)
	w.takeSheets(f, rels)
	return nil
}

// takeSheets lists the work sheets; a sheet of another kind, such as a chart
// alone, has no cells.
func (w *workbook) takeSheets(f *excelize.File, rels map[string]markup.Relation) {
	for _, s := range f.WorkBook.Sheets.Sheet {
		r, ok := rels[s.ID]
		if ok && r.Kind != "worksheet" {
			continue
		}
		sheet := sheetPart{name: s.Name, hidden: s.State == "hidden" || s.State == "veryHidden"}
		if ok && w.parts.has(r.Target) {
			sheet.part = r.Target
		}
		w.sheets = append(w.sheets, sheet)
	}
}

func (w *workbook) takeFormats(f *excelize.File) {
	if pr := f.WorkBook.WorkbookPr; pr != nil {
		w.formats.date1904 = pr.Date1904
	}
	if f.Styles == nil || f.Styles.CellXfs == nil {
		return
	}
	own := map[int]format{}
	if f.Styles.NumFmts != nil {
		for _, n := range f.Styles.NumFmts.NumFmt {
			own[n.NumFmtID] = w.formats.read(n.FormatCode)
		}
	}
	for _, xf := range f.Styles.CellXfs.Xf {
		var style format
		if xf.NumFmtID != nil {
			known := false
			if style, known = own[*xf.NumFmtID]; !known {
				style.how = builtIn(*xf.NumFmtID)
			}
		}
		w.formats.styles = append(w.formats.styles, style)
	}
}
