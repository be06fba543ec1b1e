package pricesheet

import (
	"path"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// Names of the standard (ECMA-376 part 1, annex A; part 2, 8 and 9).
const (
	sheetSpace    = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
	relationSpace = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
	sheetType     = "application/vnd.openxmlformats-officedocument.spreadsheetml.worksheet+xml"
)

// AddSheet gives the bytes of a workbook with a table as a sheet of its own after the
// others.
func AddSheet(data []byte, t bom.Table) ([]byte, error) {
	p, err := openBook(data)
	if err != nil {
		return nil, err
	}
	book, err := p.bookPart()
	if err != nil {
		return nil, err
	}
	rels, err := p.relations(book)
	if err != nil {
		return nil, err
	}
	part, id := "", ""
	for n := 1; part == "" || p.has(part); n++ {
		part = path.Join(path.Dir(book), "worksheets", "sheet"+strconv.Itoa(n)+".xml")
	}
	for n := len(rels) + 1; ; n++ {
		if id = "rId" + strconv.Itoa(n); rels[id] == (markup.Relation{}) {
			break
		}
	}
	number := 0
	text, err := p.read(book)
	if err == nil {
		err = markup.EachStart(text, func(s *markup.Scanner, name string) error {
			if name == "sheet" {
				n, _ := strconv.Atoi(string(s.Bare("sheetId"))) // 0 where it is none
				number = max(number, n)
			}
			return nil
		})
	}
	for _, in := range []struct {
		part, end string
		text      func(prefix string) string
	}{
		{book, "sheets", func(prefix string) string {
			return "<" + prefix + `sheet xmlns:r="` + relationSpace + `" name="` + escape(t.Sheet) + `" sheetId="` + strconv.Itoa(number+1) + `" r:id="` + id + `"/>`
		}},
		{markup.RelationsPart(book), "Relationships", func(prefix string) string {
			return "<" + prefix + `Relationship Id="` + id + `" Type="` + relationSpace + `/worksheet" Target="/` + part + `"/>`
		}},
		{"[Content_Types].xml", "Types", func(prefix string) string {
			return "<" + prefix + `Override PartName="/` + part + `" ContentType="` + sheetType + `"/>`
		}},
	} {
		if err == nil {
			err = p.insert(in.part, in.end, in.text)
		}
	}
	if err != nil {
		return nil, err
	}
	p.added = append(p.added, part)
	p.change(part, []byte(sheetText(&t)))
	return p.bytes()
}

// insert puts text before the end of an element of a part.
func (p *pack) insert(part, element string, text func(prefix string) string) error {
	return p.edit(part, func(k *walk) ([]splice, error) {
		for {
			if err := k.next(); err != nil {
				return nil, err
			}
			switch {
			case k.token.Kind == markup.Done:
				return nil, refuse("save it again in a spreadsheet", "the workbook has no list of %s", element)
			case k.token.Kind == markup.End && k.token.Name == element:
				at := k.tag().start
				return []splice{{span{at, at}, text(k.tagPrefix())}}, nil
			}
		}
	})
}

// sheetText writes a table as the text of a sheet.
func sheetText(t *bom.Table) string {
	var b strings.Builder
	b.WriteString(`<?xml version="1.0" encoding="UTF-8" standalone="yes"?>` + "\n" + `<worksheet xmlns="` + sheetSpace + `"><sheetData>`)
	for _, r := range t.Rows {
		b.WriteString(`<row r="` + strconv.Itoa(r.Number) + `">`)
		for _, c := range r.Cells {
			open := `<c r="` + cellName(r.Number, c.Col) + `"`
			if c.Kind == bom.Native {
				b.WriteString(open + "><v>" + c.Text + "</v></c>")
			} else {
				b.WriteString(open + ` t="inlineStr"><is><t>` + escape(c.Text) + "</t></is></c>")
			}
		}
		b.WriteString("</row>")
	}
	b.WriteString("</sheetData></worksheet>")
	return b.String()
}
