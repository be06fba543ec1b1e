package workbook

import (
	"archive/zip"
	"bytes"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
	"tenoff/reports"
)

func written(t testing.TB, e *reports.Report, opt Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Write(&b, e, opt); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func opened(t *testing.T, data []byte) *excelize.File {
	t.Helper()
	f, err := excelize.OpenReader(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// part reads one part of the archive.
func part(t *testing.T, data []byte, name string) string {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	f, err := z.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	text, err := io.ReadAll(f)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// frost is the frost alarm with nothing asked for besides.
func frost(t testing.TB, sizes ...int) *reports.Report {
	return &reports.Report{Estimate: typed.Frost(t, sizes...)}
}

// estimates are the runs that the tests of the whole workbook go through.
func estimates(t *testing.T) map[string]*reports.Report {
	levels, run := frost(t, 10, 40), frost(t, 10)
	levels.Levels, _ = sweep.Levels(typed.FrostRun(t, []int{10, 40}))
	run.Curve = swept(t, 1, 60)
	return map[string]*reports.Report{
		"one batch":        frost(t, 10),
		"three batches":    frost(t, 10, 40, 100),
		"many batches":     frost(t, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000),
		"unpriced":         {Estimate: typed.Unpriced(t, 10, 40)},
		"no minor digits":  {Estimate: typed.FrostIn(t, "JPY", 10, 40)},
		"three minor ones": {Estimate: typed.FrostIn(t, "KWD", 10, 40)},
		"all levels":       levels,
		"swept":            run,
	}
}

// Every value of every table stands in its cell, whether a formula works it out or not:
// numbers as numeric cells with no fewer than their exact digits, text as text, unknown figures as "?".
func TestEveryCell(t *testing.T) {
	for name, e := range estimates(t) {
		f := opened(t, written(t, e, Options{}))
		for _, s := range lives(t, e).tables {
			table := s.table
			for i, r := range table.Rows {
				for j, v := range r.Values {
					where := s.cell(position{i, j + 1})
					cell := at(where.Col, where.Row)
					got, err := f.GetCellValue(where.Sheet, cell, excelize.Options{RawCellValue: true})
					if err != nil {
						t.Fatal(err)
					}
					want := v.Exact(v.FormatIn(table.Columns[j]))
					if day, ok := v.Day(); ok {
						serial, _ := dateSerial(day.String())
						want = strconv.Itoa(serial)
					}
					kind, _ := f.GetCellType(where.Sheet, cell)
					text := v.IsText() || v.IsUnknown()
					if d, err := decimal.NewFromString(got); !text && err == nil { // times and masses have all their digits
						got = d.StringFixed(int32(decimalsIn(want)))
					}
					if got != want || text != (kind == excelize.CellTypeInlineString || kind == excelize.CellTypeFormula) {
						t.Errorf("%s: %s!%s holds %q of type %d, want %q", name, table.Name, cell, got, kind, want)
					}
				}
			}
		}
	}
}

// A price keeps the digits it was typed with; text that starts like a formula
// is shared text.
func TestExactDigits(t *testing.T) {
	data := written(t, frost(t, 10), Options{})
	f := opened(t, data)
	index, err := f.GetSheetIndex(sheetBuy)
	if err != nil {
		t.Fatal(err)
	}
	sheet := part(t, data, "xl/worksheets/sheet"+strconv.Itoa(index+1)+".xml")
	for _, digits := range []string{"<v>0.0123</v>", "<v>3.40</v>"} {
		if !strings.Contains(sheet, digits) {
			t.Errorf("%s is not in the sheet", digits)
		}
	}
}

// Nothing is a dash on the sheets as on the terminal.
func TestNothingIsADash(t *testing.T) {
	for f, want := range map[reports.Format]string{
		reports.AsCount: `#,##0;-#,##0;"–"`, reports.AsHours: `#,##0.00;-#,##0.00;"–"`, reports.AsPercent: "#,##0",
	} {
		if got := numberFormat(f, "0"); got != want {
			t.Errorf("%+v: %s, want %s", f, got, want)
		}
	}
}

// A figure before a box to tick stands off its border by a digit.
func TestFiguresStandOffBoxes(t *testing.T) {
	f := opened(t, written(t, frost(t, 10), Options{}))
	rows, err := f.GetRows(sheetBuy)
	if err != nil {
		t.Fatal(err)
	}
	head := slices.IndexFunc(rows, func(row []string) bool { return slices.Contains(row, "✓") })
	style, _ := f.GetCellStyle(sheetBuy, at(slices.Index(rows[head], "✓"), head+4)) // below the titles of batch and order
	if s, err := f.GetStyle(style); err != nil || s.CustomNumFmt == nil || *s.CustomNumFmt != `#,##0.00_0;-#,##0.00_0;"–"_0` {
		t.Errorf("%+v, %v", s, err)
	}
}

// What there is nothing of is not counted.
func TestAttention(t *testing.T) {
	e := &cost.Estimate{Complete: true}
	if got := attention(e); !slices.Equal(got, []string{"nothing"}) {
		t.Errorf("%q", got)
	}
	e.Warnings, e.Cautions = []string{"prices/offers.csv:3:2: old"}, make([]cost.Caution, 2)
	if got, want := attention(e), []string{"offers.csv:3:2: old", "1 warning, 2 cautions: see the sheet Notes"}; !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// A day that leaves out what is not known is said as on the terminal, with its date; no cell
// moves it, and that is said.
func TestEarliestPossible(t *testing.T) {
	e := frost(t, 10).Estimate
	e.Today = bom.Date{Year: 2026, Month: 11, Day: 25}
	b := &e.Batches[0]
	const want = "earliest possible 5 Dec 2026 (day 10), as of the run"
	if text := sentence(e, b); b.Plan.Known || !strings.Contains(text, ", "+want) {
		t.Errorf("Summary: %q, want %q in it", text, want)
	}
	if text := planHead(e, b); !strings.Contains(text, ": "+want) {
		t.Errorf("Plan: %q, want %q in it", text, want)
	}
}

// The first sheet tells the answer in a sentence for each batch and repeats the unit cost in
// large figures.
func TestAnswer(t *testing.T) {
	e := frost(t, 10, 40)
	f := opened(t, written(t, e, Options{}))
	for _, row := range []struct {
		cell, want, why string
	}{
		{"A1", "frost-alarm", "name of the run"},
		{"A3", sentence(e.Estimate, &e.Batches[0]), "sentence"},
		{"A4", sentence(e.Estimate, &e.Batches[1]), "sentence"},
		{"C7", "10", "batch size"},
		{"D7", "40", "batch size"},
		{"C8", e.Batches[0].PerUnit(e.Batches[0].Total.Consumed).StringFixed(4), "unit cost"},
		{"D8", e.Batches[1].PerUnit(e.Batches[1].Total.Consumed).StringFixed(4), "unit cost"},
		{"D9", e.Batches[1].Total.Cash.StringFixed(2), "cash out"},
	} {
		got, err := f.GetCellValue(sheetSummary, row.cell, excelize.Options{RawCellValue: true})
		if err != nil || got != row.want {
			t.Errorf("%s in %s is %q, want %q (%v)", row.why, row.cell, got, row.want, err)
		}
	}
	shown, _ := f.GetCellValue(sheetSummary, "C8")
	if want := e.Batches[0].PerUnit(e.Batches[0].Total.Consumed).StringFixed(2); shown != want {
		t.Errorf("the unit cost is shown as %s, want %s", shown, want)
	}
}

// The same estimate gives the same bytes, although the library goes through
// maps.
func TestStableBytes(t *testing.T) {
	want := written(t, frost(t, 10, 40), Options{})
	for range 10 {
		if !bytes.Equal(written(t, frost(t, 10, 40), Options{}), want) {
			t.Fatal("the bytes differ from one time to the next")
		}
	}
}

// No clock: the document's dates are the day of the run, where one is given, or the date
// asked for.
func TestDates(t *testing.T) {
	day := bom.Date{Year: 2031, Month: 2, Day: 3}
	for _, row := range []struct {
		opt  Options
		want string
	}{{Options{}, "1980-01-01T00:00:00Z"}, {Options{Date: day}, "2031-02-03T00:00:00Z"}} {
		data := written(t, frost(t, 10), row.opt)
		core := part(t, data, "docProps/core.xml")
		if strings.Count(core, row.want) != 2 {
			t.Errorf("created and modified should be %s: %s", row.want, core)
		}
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range z.File {
			if f.ModifiedTime != 0 || f.ModifiedDate != 0 {
				t.Errorf("%s carries a time", f.Name)
			}
		}
	}
}

// Every sheet prints on A4, with its name, the run, the day on which it was computed and the
// page in the footer, and its title stays in sight.
func TestPaper(t *testing.T) {
	e := frost(t, 10, 40)
	e.Name, e.Today = "frost & thaw", bom.Date{Year: 2026, Month: 3, Day: 20}
	data := written(t, e, Options{})
	f := opened(t, data)
	for _, name := range f.GetSheetList() {
		layout, err := f.GetPageLayout(name)
		if err != nil || *layout.Size != paperA4 {
			t.Errorf("%s: page layout %+v (%v)", name, layout, err)
		}
		if layout.AdjustTo != nil && *layout.AdjustTo < smallestPrint {
			t.Errorf("%s: printed at %d %%", name, *layout.AdjustTo)
		}
		// What is for the screen has none, so that no page of it is printed.
		footer, err := f.GetHeaderFooter(name)
		screen := name == sheetInputs || name == sheetDetail
		if err != nil || screen != (footer == nil) || !screen && footer.OddFooter != "&L&A&Cfrost && thaw&Rcomputed 2026-03-20    &P / &N" {
			t.Errorf("%s: footer %v (%v)", name, footer, err)
		}
		if panes, err := f.GetPanes(name); err != nil || !panes.Freeze || panes.YSplit < 1 {
			t.Errorf("%s: panes %+v (%v)", name, panes, err)
		}
	}
	titles := map[string]string{}
	for _, d := range f.GetDefinedName() {
		if d.Name == "_xlnm.Print_Titles" {
			titles[d.Scope] = d.RefersTo
		}
		if v, err := f.GetCellValue(d.Scope, "XFD1"); d.Name == "_xlnm.Print_Area" && (!strings.HasSuffix(d.RefersTo, "!$XFD$1") || v != "" || err != nil) {
			t.Errorf("%s: what is printed is %q: %q, %v", d.Scope, d.RefersTo, v, err)
		}
	}
	if titles[sheetBuy] != "'Buy'!$2:$2" || titles[sheetNotes] == "" {
		t.Errorf("headings that are repeated in print: %v", titles)
	}
}

// Every order has its block on the sheet Buy, those of nothing but fees as well, so that what
// is in sight adds up to all orders.
func TestBuyShowsEveryOrder(t *testing.T) {
	bare := 0
	for name, e := range demos(t) {
		rows, err := opened(t, written(t, e, Options{})).GetRows(sheetBuy)
		if err != nil {
			t.Fatal(err)
		}
		heads, orders := map[string]int{}, map[string]int{}
		for _, r := range rows {
			if len(r) > 0 {
				who, _, _ := strings.Cut(r[0], ", in ")
				heads[who]++
			}
		}
		for _, b := range e.Batches {
			for _, o := range b.Orders {
				orders[o.Supplier]++
				if !slices.ContainsFunc(b.Purchases, func(p cost.Purchase) bool { return p.Supplier == o.Supplier }) {
					bare++
				}
			}
		}
		for supplier, n := range orders {
			if heads[supplier] != n {
				t.Errorf("%s: %s has %d of %d orders on the sheet", name, supplier, heads[supplier], n)
			}
		}
	}
	if bare == 0 {
		t.Error("no order is of fees alone")
	}
}

// The sheets stand in their order, whatever is asked for.
func TestSheetsInOrder(t *testing.T) {
	all := []string{sheetSummary, sheetProducts, sheetBuy, sheetBoards, sheetPrint, sheetBench, sheetPlan, sheetPayers, sheetSweep, sheetRisk, sheetInputs, sheetNotes, sheetDetail}
	for name, e := range estimates(t) {
		list, at := opened(t, written(t, e, Options{})).GetSheetList(), -1
		for _, s := range list {
			i := slices.Index(all, s)
			if i <= at {
				t.Errorf("%s: sheets %v", name, list)
			}
			at = i
		}
		if list[0] != sheetSummary {
			t.Errorf("%s: the first sheet is %s", name, list[0])
		}
	}
}

// The chart shows each group that costs something, in its own pattern, from the cells that
// hold it, and the totals; neighbours never share a pattern, and every category is in one
// group.
func TestChart(t *testing.T) {
	e := frost(t, 10, 40)
	data := written(t, e, Options{})
	xml := part(t, data, "xl/charts/chart1.xml")
	series := strings.Split(xml, "<ser>")[1:]
	table, n := lives(t, e).tables[onGroups], 0
	for _, g := range groups {
		i, there := table.rows[g.name]
		if !there {
			continue
		}
		row := strconv.Itoa(table.rowAt[i])
		for _, want := range []string{"$A$" + row + "<", "$B$" + row + ":$C$" + row + "<", g.ink, outline} {
			if !strings.Contains(series[n], want) {
				t.Errorf("%s: %s is not in its series", g.name, want)
			}
		}
		if (g.preset != "") != strings.Contains(series[n], "pattFill") {
			t.Errorf("%s: pattern %q", g.name, g.preset)
		}
		n++
	}
	if n+1 != len(series) || n != len(table.table.Rows) || n < 3 {
		t.Errorf("%d series for %d groups and their totals", len(series), n)
	}
	if !strings.Contains(xml, fmt.Sprintf(`<legendEntry><idx val="%d"/><delete val="1"/>`, n)) {
		t.Error("the legend names the totals, which have no swatch")
	}
	inks, of := map[string]bool{}, map[cost.Category]int{}
	for i, g := range groups {
		if g.ink == "" || inks[g.ink] {
			t.Errorf("%s: the ink %q is missing or not its own", g.name, g.ink)
		}
		inks[g.ink] = true
		if i > 0 && g.preset == groups[i-1].preset && contrast(g.ink, groups[i-1].ink) < 1.5 {
			t.Errorf("%s looks like its neighbour in black and white", g.name)
		}
		for _, c := range g.of {
			of[c]++
		}
	}
	for _, c := range cost.Categories {
		if of[c] != 1 {
			t.Errorf("%s is in %d groups", c, of[c])
		}
	}
	if len(groups) > 6 {
		t.Errorf("%d groups", len(groups))
	}
}

// contrast is the contrast ratio of WCAG 2.1 (W3C), section 1.4.3: relative
// luminances with 0.05 added to each.
func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	if la < lb {
		la, lb = lb, la
	}
	return (la + 0.05) / (lb + 0.05)
}

func luminance(hex string) float64 {
	sum := 0.0
	for i, weight := range []float64{0.2126, 0.7152, 0.0722} {
		n, _ := strconv.ParseUint(hex[2*i:2*i+2], 16, 8)
		// A square in place of the two-part curve: the difference is far
		// below what the eye sees.
		x := float64(n) / 255
		sum += weight * x * x
	}
	return sum
}

// A run in which nothing costs anything has no chart of costs, and still a workbook.
func TestNothingToDraw(t *testing.T) {
	run := typed.Steady.With("prices/offers.csv", "Part number,Supplier,Price\nTHING,Corner Parts,0\n",
		"prices/suppliers.csv", "Supplier,Delivery\nCorner Parts,0\n").Read(t)
	run.Batches = []int{5}
	data := written(t, &reports.Report{Estimate: typed.Compute(t, run)}, Options{})
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		if strings.HasPrefix(f.Name, "xl/charts/") && strings.Contains(part(t, data, f.Name), "unit cost") {
			t.Errorf("%s is there", f.Name)
		}
	}
	if err := Write(io.Discard, &reports.Report{Estimate: &cost.Estimate{}}, Options{}); err == nil {
		t.Error("an estimate without batches gives a workbook")
	}
}

// Text longer than a cell holds is clipped and marked; a very long list of
// what is missing points to its sheet; control characters do no harm.
func TestHardTexts(t *testing.T) {
	e := &reports.Report{Estimate: typed.Unpriced(t, 10)}
	e.Name = "a\x00b\x1b[2J"
	e.Warnings = []string{strings.Repeat("霜", 40_000), "bell\x07", "=cmd|' /C calc'!A0"}
	for i := range e.Batches[0].Purchases {
		p := &e.Batches[0].Purchases[i]
		p.Unpriced, p.Part = true, strings.Repeat("part ", 100)+strconv.Itoa(i)
	}
	f := opened(t, written(t, e, Options{}))
	state, _ := f.GetCellValue(sheetSummary, "A4")
	if !strings.HasSuffix(state, "more on the sheet Notes") {
		t.Errorf("state: %s", state)
	}
	rows, err := f.GetRows(sheetNotes)
	if err != nil {
		t.Fatal(err)
	}
	found := false
	for _, r := range rows {
		if len(r) > 1 && strings.HasPrefix(r[1], "霜") {
			found = true
			if !strings.HasSuffix(r[1], "…") || len([]rune(r[1])) > excelize.TotalCellChars {
				t.Errorf("long text: %d characters", len([]rune(r[1])))
			}
		}
	}
	if !found {
		t.Error("the long warning is lost")
	}
}

func TestIsOurs(t *testing.T) {
	data := written(t, frost(t, 10), Options{})
	if !IsOurs(data) {
		t.Error("our own workbook is not known")
	}
	other := excelize.NewFile()
	defer other.Close()
	var b bytes.Buffer
	if err := other.Write(&b); err != nil {
		t.Fatal(err)
	}
	// Somebody changed the workbook in another program and saved it.
	f := opened(t, data)
	if err := f.SetAppProps(&excelize.AppProperties{Application: "another program"}); err != nil {
		t.Fatal(err)
	}
	var changed bytes.Buffer
	if err := f.Write(&changed); err != nil {
		t.Fatal(err)
	}
	for why, foreign := range map[string][]byte{
		"another workbook": b.Bytes(), "saved by another program": changed.Bytes(),
		"nothing": nil, "text": []byte("a,b\n"), "cut short": data[:len(data)/2],
	} {
		if IsOurs(foreign) {
			t.Errorf("%s is taken for our own", why)
		}
	}
}

// No column is narrower than its numbers as they are shown, so none prints as
// a row of marks.
func TestWidths(t *testing.T) {
	e := frost(t, 10, 100_000)
	f := opened(t, written(t, e, Options{}))
	number := regexp.MustCompile(`^-?[\d,.]+$`)
	for _, name := range f.GetSheetList() {
		rows, err := f.GetRows(name)
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range rows {
			for j, s := range r {
				width, _ := f.GetColWidth(name, bom.ColumnLetters(j+1))
				if head := inkWidth(s) * boldWider; (s == "Pack size" || s == "Line total") && head > width-1 {
					t.Errorf("%s: %s fills its %.0f characters and touches the next heading", name, s, width)
				}
				if number.MatchString(s) && float64(len(s))*inputSize/normalSize > width-1 {
					t.Errorf("%s: %s does not fit in %.0f characters", name, s, width)
				}
			}
		}
	}
}

func BenchmarkWrite(b *testing.B) {
	e := frost(b, 10, 40, 100)
	for b.Loop() {
		if err := Write(io.Discard, e, Options{}); err != nil {
			b.Fatal(err)
		}
	}
}

// A digit of 11 points is the measure of a column's width, so ten of 10 points
// take 9.1 of it and a little to spare; narrow and wide letters keep their order.
func TestInkWidth(t *testing.T) {
	if w := inkWidth("0123456789"); w < 9.1 || w > 9.6 {
		t.Errorf("ten digits take %.2f widths", w)
	}
	for _, row := range []struct{ narrow, wide, why string }{
		{"iiii", "nnnn", "narrow letters"}, {"nnnn", "MMMM", "wide letters"}, {"ab", "警報", "wide characters"}, {"", " ", "a blank takes room"},
	} {
		if inkWidth(row.narrow) >= inkWidth(row.wide) {
			t.Errorf("%s: %q is not narrower than %q", row.why, row.narrow, row.wide)
		}
	}
	if lines := linesIn("one two three", 100); lines != 1 {
		t.Errorf("%d lines, want 1", lines)
	}
	if lines := linesIn(strings.Repeat("0", 105), 10); lines != 10 {
		t.Errorf("a long word takes %d lines, want 10", lines)
	}
}
