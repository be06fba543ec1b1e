package table

import (
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/fixtures/checks"
)

// converted has LibreOffice save files in another format, all in one run. A file
// that it cannot open is left out: its exit code says nothing of that.
func converted(t *testing.T, files map[string][]byte, to string) map[string][]byte {
	t.Helper()
	dir := t.TempDir()
	out := filepath.Join(dir, "out")
	args := []string{"-env:UserInstallation=file://" + filepath.ToSlash(filepath.Join(dir, "profile")), "--headless", "--convert-to", to, "--outdir", out}
	for name, content := range files {
		path := filepath.Join(dir, name)
		must(t, os.WriteFile(path, content, 0o644))
		args = append(args, path)
	}
	if log, err := exec.Command(checks.Program(t, "soffice"), args...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, log)
	}
	got := map[string][]byte{}
	for name := range files {
		content, err := os.ReadFile(filepath.Join(out, strings.TrimSuffix(name, filepath.Ext(name))+"."+to))
		if err == nil {
			got[name] = content
		}
	}
	return got
}

// formatted is a workbook with the formats that a price sheet uses.
func formatted(t testing.TB) []byte {
	day := time.Date(2026, 10, 12, 17, 30, 0, 0, time.UTC)
	return write(t, func(f *excelize.File) {
		for i, cell := range []struct {
			value any
			code  string
		}{
			{0.07, "0%"}, {0.035, "0.00%"}, {day, "yyyy-mm-dd"}, {day, "d.m.yy h:mm"}, {0.3340278, "h:mm"}, {1.5, "[h]:mm"},
			{471, "000000"}, {0.012, "#,##0.000\\ [$€-407]"}, {0.02, "[$$-409]#,##0.000"}, {0.02, `"$"0.00`}, {1234.5, "[$£-809]#,##0.00"},
			{15, `"USD" 0`}, {1.25, "0.00E+00"}, {4006381333931.0, "0"}, {-2.5, "0.0;[Red]-0.0"}, {0.1 + 0.2, "General"}, {2.5, `0.0" mm"`},
			{" a  b\n\n d ", "@"}, {"007", "@"}, {"<&>\"'", "General"}, {true, `"yes";"yes";"no"`},
		} {
			name, _ := excelize.CoordinatesToCellName(i%4+1, i/4*2+1)
			id, err := f.NewStyle(&excelize.Style{CustomNumFmt: &cell.code})
			must(t, err)
			must(t, f.SetCellValue("Sheet1", name, cell.value))
			must(t, f.SetCellStyle("Sheet1", name, name, id))
		}
		must(t, f.AddComment("Sheet1", excelize.Comment{Cell: "A1", Author: "Ada", Text: "an annotation"}))
		must(t, f.SetCellValue("Sheet1", "C21", "merged"))
		must(t, f.MergeCell("Sheet1", "C21", "E24"))
		must(t, f.SetCellValue("Sheet1", "A30", "far away"))
	})
}

// bare are workbooks without the parts that LibreOffice asks for.
var bare = []string{"error-cells.bom.xlsx", "formulas.bom.xlsx", "formulas-without-results.bom.xlsx"}

// Reference: LibreOffice saves workbooks as OpenDocument; the same cells are
// read from both.
func TestLibreOfficeSavesTheSame(t *testing.T) {
	checks.Program(t, "soffice")
	books := map[string][]byte{"formatted.xlsx": formatted(t), "sample.xlsx": sample(t)}
	names, err := filepath.Glob(filepath.Join(badDir, "..", "messy", "*.xlsx"))
	must(t, err)
	for _, name := range names {
		if slices.Contains(bare, filepath.Base(name)) {
			continue
		}
		content, err := os.ReadFile(name)
		must(t, err)
		books[filepath.Base(name)] = content
	}
	saved := converted(t, books, "ods")
	for name, content := range books {
		t.Run(name, func(t *testing.T) {
			sameCells(t, content, saved[name])
		})
	}
}

// Reference: LibreOffice opens a spreadsheet and saves it as a workbook; the same
// cells are read from both, as are the rows and columns that it hides.
func TestLibreOfficeReadsTheSame(t *testing.T) {
	checks.Program(t, "soffice")
	spreadsheet := ods(t, sheetOf(`<table:table-column/><table:table-column table:visibility="collapse"/>`+
		`<table:table-header-rows><table:table-row table:number-rows-repeated="2"><table:table-cell table:number-columns-repeated="2"/><table:table-cell office:value-type="float" office:value="5" table:number-columns-repeated="2"/></table:table-row></table:table-header-rows>`+
		`<table:table-row table:number-rows-repeated="3"><table:table-cell/></table:table-row>`+
		`<table:table-row-group table:display="false"><table:table-row table:visibility="collapse"><table:table-cell office:value-type="string"><text:p>a<text:s text:c="2"/>b</text:p><text:p><text:span>c</text:span><text:s/>d</text:p></table:table-cell>`+
		`<table:table-cell office:value-type="string"><office:annotation><text:p>no</text:p></office:annotation><text:p>e</text:p></table:table-cell></table:table-row></table:table-row-group>`+
		`<table:table-row><table:table-cell office:value-type="string" table:number-columns-spanned="2" table:number-rows-spanned="1"><text:p>f</text:p></table:table-cell><table:covered-table-cell/><table:table-cell office:value-type="float" office:value="7"/></table:table-row>`+
		`<table:table-row><table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell></table:table-row>`))
	sameCells(t, spreadsheet, converted(t, map[string][]byte{"x.ods": spreadsheet}, "xlsx")["x.ods"])
}

// Reference: an old binary workbook as LibreOffice writes it is told as one.
func TestLibreOfficeWritesAnOldWorkbook(t *testing.T) {
	checks.Program(t, "soffice")
	old := converted(t, map[string][]byte{"x.xlsx": sample(t)}, "xls")["x.xlsx"]
	if p := oneError(t, "x", old, Limits{}); p.What != "the file is an old binary workbook (.xls)" {
		t.Errorf("got %s", p)
	}
}

// sameCells reads a file, and the same in another format.
func sameCells(t *testing.T, content, other []byte) {
	t.Helper()
	if other == nil {
		t.Fatal("LibreOffice has not converted it")
	}
	want, wantSaid := Read("x", content, Limits{})
	got, gotSaid := Read("x", other, Limits{})
	if a, b := show(want), show(got); a != b || said(wantSaid) != said(gotSaid) {
		t.Fatalf("it is read as\n%s%sand converted by LibreOffice as\n%s%s", a, said(wantSaid), b, said(gotSaid))
	}
	for i := range want {
		for r, row := range want[i].Rows {
			for c, cell := range row.Cells {
				sameCurrency(t, want[i].Sign(cell), got[i].Sign(got[i].Rows[r].Cells[c]))
			}
		}
	}
}

// sameCurrency holds a sign that may stand for several currencies against the one
// that OpenDocument names.
func sameCurrency(t *testing.T, sign, named string) {
	t.Helper()
	if a, b := bom.CurrencySigns(sign), bom.CurrencySigns(named); (a == nil) != (b == nil) || b != nil && !slices.Contains(a, b[0]) {
		t.Errorf("the currency %q is read as %q", sign, named)
	}
}
