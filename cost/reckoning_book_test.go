package cost_test

import (
	"archive/zip"
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/checks"
	"tenoff/reports"
	"tenoff/reports/workbook"
)

// formulaCell is a cell that holds a formula, with the value that the program
// wrote beside it.
type formulaCell struct {
	at      string // "E14"
	formula string
	value   string
}

// formulaCells gives the formulas of every sheet of a workbook, read from its
// XML (ECMA-376 part 1, 18.3.1: c, f and v), by the sheet's name.
func formulaCells(t *testing.T, book []byte) map[string][]formulaCell {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	decode := func(name string, into any) {
		f, err := z.Open(name)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if err := xml.NewDecoder(f).Decode(into); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
	}
	var list struct {
		Sheets []struct {
			Name string `xml:"name,attr"`
			ID   string `xml:"http://schemas.openxmlformats.org/officeDocument/2006/relationships id,attr"`
		} `xml:"sheets>sheet"`
	}
	var relations struct {
		Relationship []struct {
			ID     string `xml:"Id,attr"`
			Target string `xml:"Target,attr"`
		}
	}
	decode("xl/workbook.xml", &list)
	decode("xl/_rels/workbook.xml.rels", &relations)
	out := map[string][]formulaCell{}
	for _, s := range list.Sheets {
		var sheet struct {
			Cells []struct {
				At      string `xml:"r,attr"`
				Formula string `xml:"f"`
				Value   string `xml:"v"`
			} `xml:"sheetData>row>c"`
		}
		for _, r := range relations.Relationship {
			if r.ID == s.ID {
				decode("xl/"+strings.TrimPrefix(strings.TrimPrefix(r.Target, "/"), "xl/"), &sheet)
			}
		}
		for _, c := range sheet.Cells {
			if c.Formula != "" {
				out[s.Name] = append(out[s.Name], formulaCell{c.At, c.Formula, c.Value})
			}
		}
	}
	return out
}

// sameFigure compares words as they are, and figures but for the noise of binary
// fractions: money has three decimals at most, so that any difference shows.
func sameFigure(got, want string) bool {
	if got == want {
		return true
	}
	a, errA := decimal.NewFromString(got)
	b, errB := decimal.NewFromString(want)
	return errA == nil && errB == nil && a.Sub(b).Abs().LessThan(decimal.New(1, -7))
}

// recalculatedFaults are the cells of a workbook that LibreOffice works out to
// something else than the program wrote; n counts all with a formula.
func recalculatedFaults(t *testing.T, book []byte, sheets map[string][][]string) (faults []string, n int) {
	t.Helper()
	for name, cells := range formulaCells(t, book) {
		rows := sheets[name]
		for _, c := range cells {
			n++
			letters := strings.TrimRight(c.at, "0123456789")
			row, _ := strconv.Atoi(c.at[len(letters):])
			col := 1
			for bom.ColumnLetters(col) != letters {
				col++
			}
			got := "nothing"
			if row <= len(rows) && col <= len(rows[row-1]) {
				got = rows[row-1][col-1]
			}
			if !sameFigure(got, c.value) {
				faults = append(faults, fmt.Sprintf("%s!%s: %s, want %s; =%s", name, c.at, got, c.value, c.formula))
			}
		}
	}
	slices.Sort(faults)
	return faults, n
}

// Reference: LibreOffice works out the workbooks of random runs from scratch, at
// every level; every cell with a formula gives the figure of the estimate.
func TestLibreOfficeRecalculatesAnyRun(t *testing.T) {
	checks.Program(t, "soffice")
	t.Parallel() // it waits for the other program
	const atOnce = 50
	jobs := checks.Runs(300)
	for first := 0; first < jobs; first += atOnce {
		books := map[string][]byte{}
		for seed := first; seed < min(first+atOnce, jobs); seed++ {
			var b bytes.Buffer
			e, problems := cost.Compute(bookJob(seed).run(t))
			if problems.Failed() {
				t.Fatalf("job %d: %s", seed, said(problems))
			}
			if err := workbook.Write(&b, &reports.Report{Estimate: e}, workbook.Options{}); err != nil {
				t.Fatal(err)
			}
			books[fmt.Sprintf("job%d", seed)] = b.Bytes()
		}
		sheets := map[string]map[string][][]string{}
		for file, data := range checks.Recalculated(t, books, checks.Sheets) {
			job, sheet, _ := strings.Cut(strings.TrimSuffix(file, ".csv"), "-")
			r := csv.NewReader(bytes.NewReader(data))
			r.FieldsPerRecord = -1
			rows, err := r.ReadAll()
			if err != nil {
				t.Fatal(err)
			}
			if sheets[job] == nil {
				sheets[job] = map[string][][]string{}
			}
			sheets[job][sheet] = rows
		}
		for seed := first; seed < min(first+atOnce, jobs); seed++ {
			name := fmt.Sprintf("job%d", seed)
			faults, n := recalculatedFaults(t, books[name], sheets[name])
			if len(faults) > 0 {
				t.Errorf("job %d: %d of %d cells:\n%s", seed, len(faults), n, strings.Join(faults, "\n"))
			}
			if n < 100 {
				t.Errorf("job %d: only %d formulas", seed, n)
			}
		}
	}
}

// TestWorkbookOfNoLines: a list that holds nothing at its level adds up no rows.
func TestWorkbookOfNoLines(t *testing.T) {
	run := input{"unit.csv": "Quantity,Part number,Kind,Mount,Joints\n1,TERM,part,THT,2\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n"}.read(t)
	run.Level, run.Batches = bom.LevelBoard, []int{10}
	var b bytes.Buffer
	if err := workbook.Write(&b, &reports.Report{Estimate: compute(t, run)}, workbook.Options{}); err != nil {
		t.Fatal(err)
	}
	for sheet, cells := range formulaCells(t, b.Bytes()) {
		for _, c := range cells {
			if strings.Contains(c.formula, "$0") {
				t.Errorf("%s!%s: =%s", sheet, c.at, c.formula)
			}
		}
	}
}

// bookJob draws a run for a workbook.
func bookJob(seed int) *job {
	return anyJob(uint64(seed)+40_000, []string{"built", "kit", "built", "board"}[seed/2%4])
}
