package terminal

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
	"tenoff/reports/internal/sample"
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

func shown(t *testing.T, e *cost.Estimate, o Options) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := Estimate(&b, e, o); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func TestEstimateGolden(t *testing.T) {
	wide := sample.Frost(10, 40)
	wide.Name = "霜警報"
	for name, e := range map[string]*cost.Estimate{
		"frost.txt":    sample.Frost(10, 40, 100),
		"unpriced.txt": sample.Unpriced(sample.Frost(10, 40)),
		"yen.txt":      sample.Whole(sample.Frost(10, 40), "JPY"),
		"many.txt":     sample.Frost(1, 2, 5, 10, 20, 40, 50, 100, 200, 500, 1000),
		"wide.txt":     wide,
	} {
		golden(t, name, shown(t, e, Options{}))
	}
}

func TestPrintGolden(t *testing.T) {
	var b bytes.Buffer
	for _, table := range reports.Tables(sample.Frost(10, 40)) {
		if err := Print(&b, table, 0); err != nil {
			t.Fatal(err)
		}
		b.WriteString("\n")
	}
	golden(t, "tables.txt", b.Bytes())
}

// No line is wider than asked for, whatever the table, and no text is lost.
func TestWidthIsKept(t *testing.T) {
	e := sample.Unpriced(sample.Frost(1, 10, 40, 100, 1000))
	e.Warnings = append(e.Warnings, strings.Repeat("long", 60), "霜警報"+strings.Repeat("警", 90))
	for _, width := range []int{60, 80, 132} {
		var b bytes.Buffer
		b.Write(shown(t, e, Options{Width: width}))
		for _, table := range reports.Tables(e) {
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

// Figures stand flush right under their batch size, in wide text as well.
func TestColumnsAlign(t *testing.T) {
	text := string(shown(t, sample.Frost(10, 40), Options{}))
	end := -1
	for line := range strings.Lines(text) {
		line = strings.TrimSuffix(line, "\n")
		for _, start := range []string{"batch size", "bare boards", "unit cost", "cash out", "starts"} {
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

// The control characters of a name from the input do not reach the terminal;
// bold is written only where it is asked for.
func TestControlCharacters(t *testing.T) {
	e := sample.Frost(10)
	e.Name = "frost\x1b[2Jalarm"
	if text := shown(t, e, Options{}); bytes.Contains(text, []byte("\x1b")) {
		t.Errorf("an escape character in:\n%s", text)
	}
	if text := shown(t, sample.Frost(10), Options{Bold: true}); bytes.Count(text, []byte("\x1b[1m")) != 1 {
		t.Errorf("one row should be bold:\n%s", text)
	}
}

func TestNoBatches(t *testing.T) {
	text := shown(t, &cost.Estimate{Name: "x", Currency: bom.Currency{Code: "EUR", Digits: 2}, Complete: true}, Options{})
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
