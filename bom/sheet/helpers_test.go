package sheet

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
)

// csvTable splits CSV text as the table reader does: cells without the white
// space at their ends, empty ones left out, true line numbers.
func csvTable(file, text string) bom.Table {
	comma := ','
	if strings.Count(text, ";") > strings.Count(text, ",") {
		comma = ';'
	}
	t := bom.Table{File: file, Separator: comma}
	r := csv.NewReader(strings.NewReader(text))
	r.Comma, r.FieldsPerRecord, r.LazyQuotes = comma, -1, true
	for {
		fields, err := r.Read()
		if err != nil {
			return t
		}
		line, _ := r.FieldPos(0)
		row := bom.Row{Number: line}
		for i, f := range fields {
			if f = strings.TrimSpace(f); f != "" {
				row.Cells = append(row.Cells, bom.Cell{Col: i + 1, Text: f})
			}
		}
		if len(row.Cells) > 0 {
			t.Rows = append(t.Rows, row)
		}
	}
}

// Cells of a workbook that are not text.
type (
	number  string // a number stored as one
	percent string // shown as a percentage
	day     string // a stored date
	logic   string
	fault   string
	stale   string
)

// workbookTable makes a sheet of a workbook: a nil is an empty cell.
func workbookTable(file, name string, rows ...[]any) bom.Table {
	t := bom.Table{File: file, Sheet: name}
	for i, values := range rows {
		row := bom.Row{Number: i + 1}
		for j, v := range values {
			kind := bom.Text
			switch v.(type) {
			case nil:
				continue
			case number:
				kind = bom.Native
			case percent:
				kind = bom.Percent
			case day:
				kind = bom.DateISO
			case logic:
				kind = bom.Logic
			case fault:
				kind = bom.Fault
			case stale:
				kind = bom.Stale
			}
			row.Cells = append(row.Cells, bom.Cell{Col: j + 1, Kind: kind, Text: fmt.Sprint(v)})
		}
		if len(row.Cells) > 0 {
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// files opens the tables it is given by their file.
func files(tables ...bom.Table) Opener {
	return func(path string) ([]bom.Table, bom.Problems) {
		var found []bom.Table
		for _, t := range tables {
			if t.File == path {
				found = append(found, t)
			}
		}
		var problems bom.Problems
		if found == nil {
			problems.Errorf(bom.Place{File: path}, "", "", "no such file")
		}
		return found, problems
	}
}

// expect compares complaints, all of them and in order. Notes are left out
// where none is wanted.
func expect(t *testing.T, got bom.Problems, want ...string) {
	t.Helper()
	noted := false
	for _, w := range want {
		noted = noted || strings.HasPrefix(w, "note: ")
	}
	var lines []string
	for _, p := range got {
		switch {
		case p.Severity == bom.Note && noted:
			lines = append(lines, "note: "+p.String())
		case p.Severity == bom.Warning:
			lines = append(lines, "warning: "+p.String())
		case p.Severity == bom.Error:
			lines = append(lines, p.String())
		}
	}
	if a, b := strings.Join(lines, "\n"), strings.Join(want, "\n"); a != b {
		t.Errorf("complaints:\n%s\nwant:\n%s", a, b)
	}
}
