package terminal

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures/typed"
	"tenoff/reports"
)

var update = flag.Bool("update", false, "rewrite the golden files")

func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, got, 0o644); err != nil {
			t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got, want) {
		t.Errorf("%s differs; -update rewrites it\ngot:\n%s", path, got)
	}
}

var said = Said{Counts: "2 warnings (9 places); --verbose lists all", Files: []string{"estimate.xlsx", "tables (34 files)"}}

func estimate(t *testing.T, e *cost.Estimate, width int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Estimate(&b, &reports.Report{Estimate: e}, said, width); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func detail(t *testing.T, e *cost.Estimate, width int) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Detail(&b, e, width); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestEstimateGolden(t *testing.T) {
	wide := typed.Frost(t, 10, 40)
	wide.Name = "霜警報"
	for name, e := range map[string]*cost.Estimate{
		"frost.txt":    typed.Frost(t, 10, 40, 100),
		"unpriced.txt": typed.Unpriced(t, 10, 40),
		"yen.txt":      typed.FrostIn(t, "JPY", 10, 40),
		"many.txt":     typed.Frost(t, 1, 2, 5, 10, 20, 40, 50, 100, 200, 500, 1000),
		"wide.txt":     wide,
	} {
		golden(t, name, slices.Concat(estimate(t, e, Width), []byte("\n"), detail(t, e, Width)))
	}
}

func TestPrintGolden(t *testing.T) {
	var b bytes.Buffer
	for _, table := range reports.Tables(&reports.Report{Estimate: typed.Frost(t, 10, 40)}) {
		if err := Print(&b, table, Width); err != nil {
			t.Fatal(err)
		}
		b.WriteString("\n")
	}
	golden(t, "tables.txt", b.Bytes())
}

// No line is wider than asked for, whatever the table, and no text is lost.
func TestWidthIsKept(t *testing.T) {
	e := typed.Unpriced(t, 1, 10, 40, 100, 1000)
	e.Warnings = append(e.Warnings, strings.Repeat("long", 60), "霜警報"+strings.Repeat("警", 90))
	for _, width := range []int{60, 80, 132} {
		var b bytes.Buffer
		b.Write(estimate(t, e, width))
		b.Write(detail(t, e, width))
		for _, table := range reports.Tables(&reports.Report{Estimate: e}) {
			if err := Print(&b, table, width); err != nil {
				t.Fatal(err)
			}
		}
		for line := range strings.Lines(b.String()) {
			if w := reports.Width(strings.TrimSuffix(line, "\n")); w > width {
				t.Errorf("%d columns, %d asked for: %s", w, width, line)
			}
		}
		if got := strings.Count(b.String(), "警"); got < 91 {
			t.Errorf("%d of the wide characters are left", got)
		}
	}
}

// The answer of three batches is read at one glance, whatever there is to say: many payers,
// long names, every row, what is missing, many files.
func TestAnswerFitsAScreen(t *testing.T) {
	for _, payers := range []int{1, 2, 4, 9} {
		e := typed.Unpriced(t, 10, 400, 1000000)
		e.Name = strings.Repeat("very long name ", 12)
		e.Today = bom.Date{Year: 2026, Month: 11, Day: 29}
		e.RunningOut = nil
		for n := range payers {
			e.RunningOut = append(e.RunningOut, cost.StockCover{Part: cost.Part{Key: strings.Repeat("LONG-PART-", n+2)}})
		}
		price := &sweep.Pricing{Prices: []decimal.Decimal{decimal.NewFromInt(40)}, Incomes: make([]cost.Income, 3), From: 1, To: 100}
		for i := range e.Batches {
			b := &e.Batches[i]
			b.Ask.Payer = "recipient"
			b.Total.Own, b.Total.Surplus = b.Total.Cash, b.Total.Cash
			b.Till.Paying, b.Charge.Price = b.Size, decimal.NewFromInt(99)
			b.Plan = cost.Plan{Known: i > 0, Gaps: []cost.Gap{{What: "lead days"}}, Path: []int{0},
				Tasks: []cost.Task{{Kind: cost.OrderTask, Name: strings.Repeat("Long Supplier Name ", 4), Takes: bom.Whole(16)}}}
			b.Payers = nil
			for n := range payers {
				b.Payers = append(b.Payers, cost.Payer{Name: "payer " + strconv.Itoa(n+1), Amounts: cost.Amounts{Cash: decimal.NewFromInt(int64(n + 1))}})
			}
		}
		var b bytes.Buffer
		many := Said{Counts: said.Counts, Files: strings.Fields(strings.Repeat("folder/of/files/estimate.xlsx ", 9))}
		if err := Estimate(&b, &reports.Report{Estimate: e, Pricing: price}, many, Width); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSuffix(b.String(), "\n"), "\n")
		if len(lines) > 24 || len(lines) < 15 {
			t.Errorf("%d payers: %d lines:\n%s", payers, len(lines), b.String())
		}
		for _, line := range lines {
			if reports.Width(line) > Width {
				t.Errorf("%d columns: %s", reports.Width(line), line)
			}
		}
	}
}

// However many batches there are, each has its column with every row, and no block is wider
// than the screen.
func TestEveryBatchIsShown(t *testing.T) {
	var sizes []int
	for n := 1; n <= 12; n++ {
		sizes = append(sizes, 1000*n)
		text := string(estimate(t, typed.Frost(t, sizes...), Width))
		for _, row := range []string{"unit cost", "cash out", "surplus stock"} {
			figures := 0
			for line := range strings.Lines(text) {
				if rest, is := strings.CutPrefix(line, row+" "); is {
					figures += len(strings.Fields(rest))
				}
			}
			if figures != n {
				t.Errorf("%d batches, %d figures of %s:\n%s", n, figures, row, text)
			}
		}
	}
}

// Figures stand flush right under their batch size, in wide text as well.
func TestColumnsAlign(t *testing.T) {
	text := string(estimate(t, typed.Frost(t, 10, 40), Width))
	end := -1
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		for _, start := range []string{"batch size", "unit cost", "cash out", "surplus stock"} {
			if !strings.HasPrefix(line, start) {
				continue
			}
			if end < 0 {
				end = reports.Width(line)
			}
			if reports.Width(line) != end {
				t.Errorf("ends in column %d, the batch sizes in %d: %s", reports.Width(line), end, line)
			}
		}
	}
}

// Nothing is a dash whatever is counted; what was typed keeps its 0, and so does a day.
func TestNothingIsADash(t *testing.T) {
	eur := bom.Currency{Code: "EUR", Digits: 2}
	for _, f := range []reports.Format{reports.AsMoney(eur), reports.AsCount, reports.AsHours, reports.AsGrams, reports.AsPercent, reports.AsPrice(eur)} {
		got, want := shown(reports.Count(0), reports.Column{Format: f}), "–"
		if f.All {
			want = reports.Count(0).Shown(f)
		}
		if got != want {
			t.Errorf("%+v: %q, want %q", f, got, want)
		}
	}
}

// The control characters of a name from the input do not reach the terminal.
func TestControlCharacters(t *testing.T) {
	e := typed.Frost(t, 10)
	e.Name = "frost\x1b[2Jalarm"
	if text := estimate(t, e, Width); bytes.Contains(text, []byte("\x1b")) {
		t.Errorf("an escape character in:\n%s", text)
	}
}

func TestNoBatches(t *testing.T) {
	text := estimate(t, &cost.Estimate{Name: "x", Currency: bom.Currency{Code: "EUR", Digits: 2}, Complete: true}, Width)
	if len(text) == 0 {
		t.Error("nothing is shown")
	}
}

func TestWrap(t *testing.T) {
	for _, row := range []struct {
		text  string
		limit int
		want  []string
		why   string
	}{
		{"", 10, []string{""}, "an empty cell is one line"},
		{"one two", 10, []string{"one two"}, "fits"},
		{"one two three", 7, []string{"one two", "three"}, "at a blank"},
		{"abcdefghij", 4, []string{"abcd", "efgh", "ij"}, "inside a long word"},
		{"警報警報", 5, []string{"警報", "警報"}, "a wide character is not halved"},
	} {
		got := wrap(row.text, row.limit)
		if strings.Join(got, "|") != strings.Join(row.want, "|") {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}

// A text in two lines is cut only where no break between words leaves it whole.
func TestHalves(t *testing.T) {
	for _, c := range []struct {
		text         string
		room         int
		upper, lower string
	}{
		{"printing, 6.6 days", 20, "printing, 6.6 days", ""},
		{"Lotquay Circuits, 16 days", 20, "Lotquay Circuits,", "16 days"},
		{"assembly at Brunnhof Boards, 14 days", 26, "assembly at Brunnhof", "Boards, 14 days"},
		{"assembly at a workshop far away in the hills, 14 days", 20, "assembly at a works…", "14 days"},
		{"29 Dec 2026 (day 34)", 12, "29 Dec 2026", "(day 34)"},
		{"Mühlgrien Lötwerk", 12, "Mühlgrien", "Lötwerk"},
		{"Donaudampfschiffbauteile", 12, "Donaudampfs…", ""},
	} {
		if upper, lower := halves(c.text, c.room); upper != c.upper || lower != c.lower {
			t.Errorf("%q in %d: %q, %q; want %q, %q", c.text, c.room, upper, lower, c.upper, c.lower)
		}
	}
}
