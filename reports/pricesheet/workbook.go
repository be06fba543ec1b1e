package pricesheet

import (
	"bytes"
	"cmp"
	"errors"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// bookWriter puts cells into one sheet of a workbook.
type bookWriter struct {
	*Edit
	*pack
	book     string // the part that lists the sheets
	rels     map[string]markup.Relation
	sheet    string // the part of the sheet
	id       string // sheetId, by which the order of calculation names it
	index    int    // of the sheet in the list, by which names are local
	formulas bool   // there are formulas in the workbook

	dates    map[int]bool // styles that show dates
	date1904 bool
}

// marks of packages that are signed: any change would break the signature
// (ECMA-376 part 2, 13; the signature of macros is common practice).
var signatures = []string{"_xmlsignatures/", "xl/vbaprojectsignature"}

func (e *Edit) writeWorkbook(data []byte) (out []byte, formulas bool, err error) {
	p, err := openBook(data)
	if err != nil {
		return nil, false, err
	}
	w := &bookWriter{Edit: e, pack: p, dates: map[int]bool{}}
	for _, step := range []func() error{w.find, w.readStyles, w.seekFormulas, w.writeSheet, w.extendTables, w.writeBook} {
		if err := step(); err != nil {
			return nil, false, err
		}
	}
	out, err = p.bytes()
	return out, w.formulas, err
}

// openBook opens a workbook that may be written into.
func openBook(data []byte) (*pack, error) {
	p, err := openPack(data)
	if err != nil {
		return nil, err
	}
	if p.has("mimetype") && p.has("content.xml") { // OpenDocument 1.3, part 2, 3.3
		return nil, refuse("save it as XLSX", "the file is an OpenDocument sheet, which is read and not written into")
	}
	for name := range p.byName {
		for _, mark := range signatures {
			if strings.HasPrefix(name, mark) {
				return nil, refuse("save a copy without the signature", "the workbook is signed, and writing into it would break that")
			}
		}
	}
	return p, nil
}

// bookPart is the part that lists the sheets.
func (p *pack) bookPart() (book string, err error) {
	top, err := p.relations("")
	return markup.First(top, "officeDocument", p.has), err
}

// find finds the part of the sheet that holds the tab.
func (w *bookWriter) find() (err error) {
	if w.book, err = w.bookPart(); err != nil {
		return err
	}
	if w.rels, err = w.relations(w.book); err != nil {
		return err
	}
	data, err := w.read(w.book)
	if err != nil {
		return err
	}
	count := 0
	err = markup.EachStart(data, func(s *markup.Scanner, name string) error {
		switch name {
		case "workbookPr":
			w.date1904 = s.Truth("date1904")
		case "sheet":
			if string(s.Bare("name")) == w.table.Sheet {
				w.sheet, w.id, w.index = w.rels[string(s.Attr("id"))].Target, string(s.Bare("sheetId")), count
			}
			count++
		}
		return nil
	})
	if err == nil && !w.has(w.sheet) {
		err = errors.New("the sheet " + bom.Shown(w.table.Sheet) + " is not where the workbook says")
	}
	return err
}

// readStyles learns which styles show dates.
func (w *bookWriter) readStyles() error {
	part := cmp.Or(markup.First(w.rels, "styles", w.has), "xl/styles.xml")
	if !w.has(part) {
		return nil
	}
	data, err := w.read(part)
	if err != nil {
		return err
	}
	own := map[string]bool{} // formats of the workbook's own
	style := 0
	return markup.EachStart(data, func(s *markup.Scanner, name string) error {
		switch inside := s.Open(max(1, s.Depth()-1)); {
		case name == "numFmt" && inside == "numFmts":
			own[string(s.Bare("numFmtId"))] = isDateCode(string(s.Bare("formatCode")))
		case name == "xf" && inside == "cellXfs":
			format := string(s.Bare("numFmtId"))
			date, known := own[format]
			if id, err := strconv.Atoi(format); err == nil && !known {
				date = id >= 14 && id <= 17 || id == 22 || id >= 27 && id <= 31 || id == 36 || id >= 50 && id <= 58
			}
			w.dates[style] = date
			style++
		}
		return nil
	})
}

// isDateCode tells whether a number format shows a date: it has a year or a day
// outside quotes and brackets (ECMA-376 part 1, 18.8.31).
func isDateCode(code string) bool {
	for i := 0; i < len(code); i++ {
		switch c := code[i] | 0x20; {
		case code[i] == '"' || code[i] == '[':
			end := byte('"')
			if code[i] == '[' {
				end = ']'
			}
			n := strings.IndexByte(code[i+1:], end)
			if n < 0 {
				return false
			}
			i += n + 1
		case code[i] == '\\' || code[i] == '_' || code[i] == '*':
			i++
		case code[i] == ';':
			return false
		case c == 'y' || c == 'd':
			return true
		}
	}
	return false
}

// seekFormulas tells whether any sheet has formulas.
func (w *bookWriter) seekFormulas() error {
	for _, r := range w.rels {
		if r.Kind != "worksheet" || !w.has(r.Target) {
			continue
		}
		data, err := w.read(r.Target)
		if err != nil {
			return err
		}
		for _, tag := range []string{"<f>", "<f ", ":f>", ":f "} {
			w.formulas = w.formulas || bytes.Contains(data, []byte(tag))
		}
	}
	return nil
}

// writeSheet writes the cells into the sheet, and takes those whose formulas go
// out of the order of calculation.
func (w *bookWriter) writeSheet() error {
	s := &sheetWriter{Edit: w.Edit, dates: w.dates, date1904: w.date1904}
	if err := w.edit(w.sheet, s.write); err != nil {
		return err
	}
	return w.uncalculate(s.replaced)
}

// uncalculate takes cells out of the order of calculation (ECMA-376 part 1,
// 18.6.1). An entry without a sheet is on that of the entry before it.
func (w *bookWriter) uncalculate(cells []string) error {
	part := markup.First(w.rels, "calcChain", w.has)
	if part == "" || len(cells) == 0 {
		return nil
	}
	kept := 0
	err := w.edit(part, func(k *walk) ([]splice, error) {
		var splices []splice
		sheet, shown := "", "" // shown: the sheet that an entry is on by the one before it, as they will stand
		err := k.each("c", func() error {
			tag, cell, named := k.tag(), string(k.Bare("r")), k.Bare("i") != nil
			sheet = cmp.Or(string(k.Bare("i")), sheet)
			p, err := k.element(nil)
			switch {
			case sheet == w.id && slices.Contains(cells, cell):
				splices = append(splices, splice{span{tag.start, p.end}, ""})
				return err
			case !named && shown != sheet:
				splices = append(splices, splice{tag, withAttribute(k.text(tag), "i", sheet)})
			}
			shown = sheet
			kept++
			return err
		})
		return splices, err
	})
	if err != nil || kept > 0 {
		return err
	}
	return w.dropPart(part)
}

// dropPart takes a part out, and what names it.
func (w *bookWriter) dropPart(part string) error {
	w.change(part, nil)
	for _, in := range []struct{ part, element, attr string }{
		{"[Content_Types].xml", "Override", "PartName"}, {markup.RelationsPart(w.book), "Relationship", "Target"},
	} {
		err := w.edit(in.part, func(k *walk) ([]splice, error) {
			var splices []splice
			return splices, k.each(in.element, func() error {
				target := markup.PartName(string(k.Attr(in.attr)))
				p, err := k.element(nil)
				if markup.PartName(part) == target || strings.HasSuffix(markup.PartName(part), "/"+target) {
					splices = append(splices, splice{span{p.tag.start, p.end}, ""})
				}
				return err
			})
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// beforeCalc are the elements of a workbook that stand before calcPr in the order
// of the standard (ECMA-376 part 1, 18.2.27), from the one that is always there.
var beforeCalc = []string{"sheets", "functionGroups", "externalReferences", "definedNames"}

// writeBook has the formulas worked out anew when the workbook is next opened,
// and moves the name of the filter along with its range.
func (w *bookWriter) writeBook() error {
	return w.edit(w.book, func(k *walk) ([]splice, error) {
		var splices []splice
		calc, prefix, after := false, "", 0
		for {
			if err := k.next(); err != nil {
				return nil, err
			}
			name := k.token.Name
			switch start, depth := k.token.Kind == markup.Start, k.Depth(); {
			case k.token.Kind == markup.Done:
				if w.formulas && !calc && after > 0 {
					splices = append(splices, splice{span{after, after}, "<" + prefix + `calcPr fullCalcOnLoad="1"/>`})
				}
				return splices, nil
			case start && depth == 1:
				prefix = k.tagPrefix()
			case start && depth == 3 && name == "definedName" && string(k.Bare("name")) == "_xlnm._FilterDatabase" &&
				string(k.Bare("localSheetId")) == strconv.Itoa(w.index):
				p, err := k.element(nil)
				if err != nil {
					return nil, err
				}
				splices = append(splices, splice{p.inner, w.moveRange(k.text(p.inner))})
			case start && depth == 2 && name == "calcPr":
				calc = true
				if w.formulas {
					splices = append(splices, splice{k.tag(), withAttribute(k.text(k.tag()), "fullCalcOnLoad", "1")})
				}
			case k.token.Kind == markup.End && depth == 1 && slices.Contains(beforeCalc, name):
				after = int(k.Offset())
			}
		}
	})
}
