package workbook

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"image"
	"image/png"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/fixtures"
	"tenoff/fixtures/checks"
	"tenoff/fixtures/typed"
	"tenoff/reports"
)

func records(t *testing.T, data []byte) [][]string {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(data))
	r.FieldsPerRecord = -1
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// Reference: LibreOffice opens the workbook; what it reads in every cell of
// every sheet equals the tables, and the first sheet equals the JSON.
func TestLibreOfficeReadsTheSame(t *testing.T) {
	runs := map[string]*reports.Report{
		"unpriced": {Estimate: typed.Unpriced(t, 10, 40)},
		"yen":      {Estimate: typed.FrostIn(t, "JPY", 10, 40)},
	}
	for name, e := range runs {
		t.Run(name, func(t *testing.T) {
			sheets := map[string][][]string{}
			for file, data := range checks.Converted(t, map[string][]byte{"run": unhidden(t, written(t, e, Options{}))}, checks.Sheets) {
				sheets[strings.TrimSuffix(strings.TrimPrefix(file, "run-"), ".csv")] = records(t, data)
			}
			compareSheets(t, e, sheets)
		})
	}
}

// compareSheets compares what LibreOffice reads in the sheets of a workbook with
// the tables and the JSON of its estimate.
func compareSheets(t *testing.T, e *reports.Report, sheets map[string][][]string) {
	t.Helper()
	l := lives(t, e)
	for _, table := range reports.Tables(e) {
		if len(table.Rows) > 0 && l.tables[table.Name] != nil {
			compareTable(t, l.tables[table.Name], sheets)
		}
	}
	compareJSON(t, e, l, sheets)
}

// same compares text, and figures by their value.
func same(got, want string) bool {
	if got == want {
		return true
	}
	a, errA := decimal.NewFromString(got)
	b, errB := decimal.NewFromString(want)
	return errA == nil && errB == nil && a.Equal(b)
}

// sameTo compares a figure with what it is rounded to, where a tie in binary may fall
// on either side.
func sameTo(places int32, got, rounded string) bool {
	a, errA := decimal.NewFromString(got)
	b, errB := decimal.NewFromString(rounded)
	return errA == nil && errB == nil && a.Sub(b).Abs().LessThanOrEqual(decimal.New(5, -places-1).Add(half))
}

func compareTable(t *testing.T, s *laid, sheets map[string][][]string) {
	t.Helper()
	table := s.table
	for i, r := range table.Rows {
		for j, v := range r.Values {
			f := v.FormatIn(table.Columns[j])
			got, want := in(sheets, s.cell(position{i, j + 1})), v.Exact(f)
			alike := same(got, want)
			if _, number := v.Decimal(); number { // times, masses and figures per unit have more decimals in a workbook
				alike = alike || sameTo(f.Keep, got, want)
			}
			if !alike {
				t.Errorf("%s, row %d, %s: %q, want %q", table.Name, i, table.Columns[j].Label(), got, want)
			}
		}
	}
}

func compareJSON(t *testing.T, e *reports.Report, l *live, sheets map[string][][]string) {
	t.Helper()
	var b bytes.Buffer
	if err := reports.WriteJSON(&b, e); err != nil {
		t.Fatal(err)
	}
	var run struct {
		Batches []struct {
			Batch       json.Number
			Starts      json.Number
			Total, Unit map[string]string
		}
	}
	if err := json.Unmarshal(b.Bytes(), &run); err != nil {
		t.Fatal(err)
	}
	for i, batch := range run.Batches {
		for row, want := range map[string]string{
			reports.RowStarts:   batch.Starts.String(),
			reports.RowUnit:     batch.Unit["consumed"],
			reports.RowCashUnit: batch.Unit["cash"],
			reports.RowCash:     batch.Total["cash"],
			reports.RowSurplus:  batch.Total["surplus"],
			reports.RowStock:    batch.Total["stock"],
		} {
			if len(e.Products) > 1 && (row == reports.RowUnit || row == reports.RowCashUnit) {
				continue // of each product: Products
			}
			s, where, there := l.find(onUnit, row, columnKey("value", e.Batches[i].ID()))
			if !there && want == "0.00" {
				continue // of what there is nothing of there is no row
			}
			if got := in(sheets, s.cell(where)); !same(got, want) && !sameTo(4, got, want) {
				t.Errorf("%s at batch %s is %q, the JSON says %q", row, batch.Batch, got, want)
			}
		}
	}
}

// Reference: printed by LibreOffice, no figure shows as a row of marks and no
// cell as an error.
func TestLibreOfficePrints(t *testing.T) {
	checks.Program(t, "soffice")
	reader, stock := checks.Program(t, "pdftotext"), checks.Program(t, "pdftoppm")
	runs := []*reports.Report{{Estimate: typed.Frost(t, 10, 40, 100_000)}}
	for _, d := range fixtures.Demos() {
		level := bom.LevelBuilt
		if d.Level == bom.LevelKit.String() {
			level = bom.LevelKit
		}
		runs = append(runs, demo(t, d, level))
	}
	for _, e := range runs {
		printed(t, e, reader, stock)
	}
}

// printed prints a workbook and looks for cells that show as marks or errors.
func printed(t *testing.T, e *reports.Report, reader, stock string) {
	t.Helper()
	for name, pdf := range checks.Converted(t, map[string][]byte{"run": written(t, e, Options{})}, "pdf") {
		path := filepath.Join(t.TempDir(), name)
		if err := os.WriteFile(path, pdf, 0o644); err != nil {
			t.Fatal(err)
		}
		text, err := exec.Command(reader, "-layout", path, "-").Output()
		if err != nil {
			t.Fatal(err)
		}
		for _, bad := range []string{"###", "#REF!", "#NAME?", "#VALUE!", "#N/A", "Err:", "does not add up", "is too few"} {
			if strings.Contains(string(text), bad) {
				t.Errorf("%s is in the print", bad)
			}
		}
		drawn(t, path, stock)
		readable(t, path, reader)
		if pages := strings.Count(string(text), "\f"); len(e.Batches) <= 3 && pages > mostPages {
			t.Errorf("%s: %d pages, at most %d are wanted", e.Name, pages, mostPages)
		}
	}
}

// mostPages are those of a run with three batches: fifteen, and one each of Inputs and
// Detail, which say that they are not printed.
const mostPages = 17

// readable tells whether the words of each page are large enough: those of most of its text
// no smaller than 8 points. A word is as high as its typeface's ascent and descent, 1.149
// times its size.
func readable(t *testing.T, pdf, reader string) {
	t.Helper()
	boxes, err := exec.Command(reader, "-bbox", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	word := regexp.MustCompile(`yMin="([0-9.]+)" xMax="[0-9.]+" yMax="([0-9.]+)"`)
	for i, page := range strings.Split(string(boxes), "<page ")[1:] {
		counts, most, common := map[int]int{}, 0, 0
		for _, m := range word.FindAllStringSubmatch(page, -1) {
			from, _ := strconv.ParseFloat(m[1], 64)
			to, _ := strconv.ParseFloat(m[2], 64)
			tenths := int(math.Round((to - from) * 10))
			if counts[tenths]++; counts[tenths] > most {
				most, common = counts[tenths], tenths
			}
		}
		if points := float64(common) / 10 / 1.149; points < 7.9 {
			t.Errorf("page %d: most words are of %.1f points", i+1, points)
		}
	}
}

// drawn looks at every printed page as a picture: none is empty, none is cut at
// an edge, and the chart on the first one shows the colours of its columns.
func drawn(t *testing.T, pdf, stock string) {
	t.Helper()
	if log, err := exec.Command(stock, "-r", "40", "-png", pdf, filepath.Join(filepath.Dir(pdf), "page")).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, log)
	}
	pages, err := filepath.Glob(filepath.Join(filepath.Dir(pdf), "page*.png"))
	if err != nil || len(pages) < 10 {
		t.Fatalf("%d pages were drawn (%v)", len(pages), err)
	}
	for i, path := range pages {
		f, err := os.Open(path)
		if err != nil {
			t.Fatal(err)
		}
		page, err := png.Decode(f)
		f.Close()
		if err != nil {
			t.Fatal(err)
		}
		ink, edge := inked(page)
		if ink < 200 {
			t.Errorf("%s is as good as empty: %d dots", filepath.Base(path), ink)
		}
		if edge > 0 {
			t.Errorf("%s is cut at an edge", filepath.Base(path))
		}
		if colours := coloured(page); i == 0 && colours < 2 {
			t.Errorf("the chart shows %d colours", colours)
		}
	}
}

// inked counts the dots of a page that are not white, and those of them at its
// edges.
func inked(page image.Image) (ink, edge int) {
	b := page.Bounds()
	for y := b.Min.Y; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			if r, g, bl, _ := page.At(x, y).RGBA(); min(r, g, bl) > 0xe000 {
				continue
			}
			ink++
			if x < b.Min.X+3 || x >= b.Max.X-3 {
				edge++
			}
		}
	}
	return ink, edge
}

// coloured counts the colours, greys aside, that fill some area in the lower
// part of a page, where the first sheet has its chart.
func coloured(page image.Image) int {
	b := page.Bounds()
	seen := map[[3]uint32]int{}
	for y := b.Min.Y + b.Dy()/2; y < b.Max.Y; y++ {
		for x := b.Min.X; x < b.Max.X; x++ {
			r, g, bl, _ := page.At(x, y).RGBA()
			if max(r, g, bl)-min(r, g, bl) > 0x3000 {
				seen[[3]uint32{r >> 13, g >> 13, bl >> 13}]++
			}
		}
	}
	count := 0
	for _, n := range seen {
		if n > 15 {
			count++
		}
	}
	return count
}
