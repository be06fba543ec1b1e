package workbook

import (
	"archive/zip"
	"bytes"
	"io"
	"iter"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/fixtures"
	"tenoff/fixtures/checks"
	"tenoff/reports"
)

// recalculated has LibreOffice work out workbooks, all in one run, and gives the
// cells of their sheets: by workbook, then by sheet.
func recalculated(t *testing.T, books map[string][]byte) map[string]map[string][][]string {
	t.Helper()
	all, plain := map[string]map[string][][]string{}, map[string][]byte{}
	for name, data := range books {
		plain[name] = unhidden(t, data)
	}
	for file, data := range checks.Recalculated(t, plain, checks.Sheets) {
		for name := range books {
			if sheet, ok := strings.CutPrefix(file, name+"-"); ok {
				if all[name] == nil {
					all[name] = map[string][][]string{}
				}
				all[name][strings.TrimSuffix(sheet, ".csv")] = records(t, data)
			}
		}
	}
	return all
}

// unhidden is a workbook without hidden rows, which LibreOffice leaves out of CSV.
func unhidden(t *testing.T, data []byte) []byte {
	t.Helper()
	r, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range r.File {
		in, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(in)
		if err != nil {
			t.Fatal(err)
		}
		to, err := w.Create(f.Name)
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(f.Name, "xl/worksheets/sheet") {
			text = bytes.ReplaceAll(text, []byte(` hidden="1"`), nil)
		}
		if _, err := to.Write(text); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// all goes through the cells that have a formula.
func (f formulas) all() iter.Seq2[spot, formula] {
	return func(yield func(spot, formula) bool) {
		for i, row := range f {
			for j, x := range row {
				if x.text != "" && !yield(spot{i + 1, j + 1}, x) {
					return
				}
			}
		}
	}
}

// lives gives the formulas of an estimate's workbook.
func lives(t *testing.T, e *reports.Report) *live {
	t.Helper()
	b := &book{e: e.Estimate}
	b.lay(e)
	if b.err != nil {
		t.Fatal(b.err)
	}
	return b.live
}

// half is the most by which a figure that is worked out anew may differ: money
// must be the same to the minor unit, so any difference shows at all; times and
// masses may differ by the noise of binary fractions.
var half = decimal.New(1, -7)

// compareFormulas compares every formula cell with the value that the workbook of an
// estimate carries beside it.
func compareFormulas(t *testing.T, e *reports.Report, sheets map[string][][]string) int {
	t.Helper()
	n, carried := 0, opened(t, written(t, e, Options{}))
	for name, s := range lives(t, e).written {
		for where, f := range s.all() {
			n++
			rows := sheets[name]
			if where.row > len(rows) || where.col > len(rows[where.row-1]) {
				t.Errorf("%s: no cell in row %d, column %d", name, where.row, where.col)
				continue
			}
			got := rows[where.row-1][where.col-1]
			want, err := carried.GetCellValue(name, at(where.col, where.row), excelize.Options{RawCellValue: true})
			if err != nil {
				t.Fatal(err)
			}
			if !alike(got, want) {
				t.Errorf("%s!%s: %q, want %q; =%s", name, at(where.col, where.row), got, want, f.text)
			}
		}
	}
	return n
}

// alike compares what a spreadsheet works out with what a cell carries: text to the letter,
// figures but for noise, days by their number.
func alike(got, want string) bool {
	if got == want {
		return true
	}
	if serial, day := dateSerial(got); day {
		got = strconv.Itoa(serial)
	}
	a, errA := decimal.NewFromString(got)
	b, errB := decimal.NewFromString(want)
	return errA == nil && errB == nil && a.Sub(b).Abs().LessThanOrEqual(half)
}

// sharedOut is a demo run in which several bear parts of the same things, a part
// of two categories comes from stock as gifts of several, and a price and a margin
// are asked for.
func sharedOut(t *testing.T) *reports.Report {
	t.Helper()
	run := demoRun(t, fixtures.Demos()[0], bom.LevelBuilt)
	run.Batches = []int{7, 40}
	s := &run.Prices.Settings
	s.Margin, s.PaymentFee, s.PaymentFixed = dec("12.5"), dec("2.9"), dec("0.35")
	run.Prices.WhoPays = nil
	for i, share := range []struct{ of, payer, percent string }{
		{"SMT parts", "maker", "33.3"}, {"SMT parts", "club", "33.3"}, {"SMT parts", "recipient", "33.4"},
		{"postage", "recipient", "50"}, {"postage", "maker", "50"}, {"Kelldorn Filament", "club", "12.5"}, {"Kelldorn Filament", "maker", "87.5"},
		{"FA-LID", "club", "60"}, {"FA-LID", "maker", "40"},
	} {
		run.Prices.WhoPays = append(run.Prices.WhoPays, bom.Share{
			Dated: bom.Dated{Origin: bom.Origin{Head: &bom.Heading{File: "who-pays.csv"}, Row: i + 2}}, AppliesTo: share.of, Payer: share.payer, Percent: dec(share.percent),
		})
	}
	for i := range run.Prices.OnHand {
		run.Prices.OnHand[i].GivenBy = []string{"club", "", "neighbour"}[i%3]
	}
	for i, oh := range run.Prices.OnHand { // and more of each, of another giver and value
		oh.Row, oh.Quantity, oh.UnitValue, oh.GivenBy = 100+i, bom.Whole(3), oh.UnitValue.Add(dec("0.013")), "library"
		run.Prices.OnHand = append(run.Prices.OnHand, oh)
	}
	e := estimated(t, run)
	curve, problems := sweep.Run(run, sweep.Request{From: 5, To: 9})
	if problems.Failed() {
		t.Fatal(problems)
	}
	e.Pricing = sweep.BreakEven(e.Estimate, curve, []decimal.Decimal{dec("29.95")})
	return e
}

// swapped is a demo whose batches take substitutes: one for all pieces, another for as many
// as the stock of the part does not cover.
func swapped(t *testing.T) *reports.Report {
	t.Helper()
	run := demoRun(t, fixtures.Demos()[0], bom.LevelBuilt)
	run.Batches, run.Substitutes = []int{10, 40, 100}, true
	run.Prices.Settings.WorkingDays, _ = bom.ParseWorkdays("Mon-Fri")
	run.Scarce.Left = []cost.Left{{Part: "QUOR-M12", Pieces: bom.Whole(70)}, {Part: "PIPP-S12"}}
	for i := range run.Prices.Substitutes {
		s := &run.Prices.Substitutes[i]
		s.Allowed = s.Allowed && s.Substitute != "QUOR-M12E"
	}
	e := estimated(t, run)
	all, part := e.Batches[0].Swaps, e.Batches[2].Swaps
	if len(all) != 1 || all[0].Pieces != all[0].Of || len(part) != 2 || part[0].Pieces >= part[0].Of {
		t.Fatalf("the substitutes are %+v and %+v", all, part)
	}
	return e
}

// Reference: LibreOffice works out both demos' workbooks from scratch, at every
// batch and level, one whose money several share, and programmes; every formula cell gives the
// figure of the estimate, and the check finds nothing.
func TestLibreOfficeRecalculates(t *testing.T) {
	checks.Program(t, "soffice")
	books, runs := map[string][]byte{}, map[string]*reports.Report{}
	for _, d := range fixtures.Demos() {
		for _, level := range bom.Levels {
			name := d.Name + "-" + level.String()
			runs[name] = demo(t, d, level)
		}
	}
	runs["shared"], runs["swapped"] = sharedOut(t), swapped(t)
	runs["programme"] = priced(t)
	for seed := range checks.Runs(40) / 2 {
		runs["random"+strconv.Itoa(seed)] = randomProgramme(t, uint64(seed))
	}
	for name, e := range runs {
		books[name] = written(t, e, Options{})
	}
	all := recalculated(t, books)
	for name, e := range runs {
		t.Run(name, func(t *testing.T) {
			if n := compareFormulas(t, e, all[name]); n < 500 {
				t.Errorf("%d formulas in the workbook", n)
			}
			compareSheets(t, e, all[name])
			for i := range e.Batches {
				if got := checkIn(t, lives(t, e), all[name], i); got != checked {
					t.Errorf("the check says %q", got)
				}
			}
		})
	}
}
