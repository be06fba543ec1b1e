package workbook

import (
	"bufio"
	"bytes"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"
	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost/sum"
	"tenoff/fixtures"
	"tenoff/reports"
)

// demos are the demo runs at the levels of their stories.
func demos(t *testing.T) map[string]*reports.Report {
	t.Helper()
	out := map[string]*reports.Report{}
	for i, d := range fixtures.Demos() {
		out[d.Name] = demo(t, d, []bom.Level{bom.LevelBuilt, bom.LevelKit}[i])
	}
	return out
}

// smallGroup are the functions that formulas may use: all of them stand in the
// small group of OpenFormula, OpenDocument 1.3 part 4, section 2.3.2 (list from
// memory), which every spreadsheet program shares, but FIXED, of the medium group.
var smallGroup = []string{"ABS", "AND", "CHOOSE", "COUNTIF", "DATE", "DAY", "FIXED", "IF", "INDEX", "INT", "ISNUMBER", "ISTEXT", "MATCH", "MAX", "MIN", "MOD", "MONTH", "NOT", "OR", "ROUND", "SUM", "SUMIF", "YEAR"}

// Every figure of every table stands in its cell, whether a formula stands
// beside it or not, and formulas use the shared functions alone, no arrays.
func TestLiveCells(t *testing.T) {
	function := regexp.MustCompile(`[A-Z][A-Z0-9.]*\(`)
	runs := demos(t)
	runs["swapped"], runs["programme"] = swapped(t), priced(t)
	for name, e := range runs {
		f := opened(t, written(t, e, Options{}))
		l := lives(t, e)
		formulas := 0
		for _, s := range l.tables {
			for i, r := range s.table.Rows {
				for j, v := range r.Values {
					where := s.cell(position{i, j + 1})
					table, cell := where.Sheet, at(where.Col, where.Row)
					got, err := f.GetCellValue(table, cell, excelize.Options{RawCellValue: true})
					if err != nil {
						t.Fatal(err)
					}
					if want, number := v.Decimal(); number {
						keep := v.FormatIn(s.table.Columns[j]).Keep
						d, err := decimal.NewFromString(got)
						if err != nil || !d.Round(keep).Equal(want.Round(keep)) {
							t.Errorf("%s: %s!%s holds %q, want %s", name, table, cell, got, want)
						}
					} else if _, day := v.Day(); !day && got != v.Exact(reports.AsText) {
						t.Errorf("%s: %s!%s holds %q, want %q", name, table, cell, got, v.Exact(reports.AsText))
					}
				}
			}
		}
		for table, written := range l.written {
			for where, want := range written.all() {
				formulas++
				got, err := f.GetCellFormula(table, at(where.col, where.row))
				if err != nil || got != want.text {
					t.Errorf("%s: %s!%s is =%s, want =%s (%v)", name, table, at(where.col, where.row), got, want.text, err)
				}
				for _, call := range function.FindAllString(got, -1) {
					if !slices.Contains(smallGroup, strings.TrimSuffix(call, "(")) {
						t.Errorf("%s: %s!%s calls %s", name, table, at(where.col, where.row), call)
					}
				}
				if strings.Contains(got, "{") || len(got) > 8192 { // the longest formula that a workbook allows
					t.Errorf("%s: %s!%s: %.80s…", name, table, at(where.col, where.row), got)
				}
			}
		}
		if formulas < 1000 {
			t.Errorf("%s: %d formulas", name, formulas)
		}
	}
}

// deadTables say that they are as of the run.
var deadTables = map[string]bool{onSides: true, reports.SweepName: true, onSteps: true, onRisk: true, onMakings: true, reports.SpreadName: true, onSwaps: true, onRules: true}

// deadColumns are those of other tables that say so.
var deadColumns = map[[2]string]bool{{onProducts, "alone"}: true}

// Every figure of money that is computed is a formula: what remains is typed,
// counted, or a price that stands in an input cell.
func TestMoneyIsLive(t *testing.T) {
	runs := demos(t)
	runs["shared"], runs["swapped"], runs["programme"] = sharedOut(t), swapped(t), priced(t)
	for name, e := range runs {
		l := lives(t, e)
		for table, s := range l.tables {
			if deadTables[table] {
				continue
			}
			for i, r := range s.table.Rows {
				for j, v := range r.Values {
					where := position{i, j + 1}
					if deadColumns[[2]string{table, s.table.Columns[j].Key}] {
						continue
					}
					d, number := v.Decimal()
					cell := s.cell(where)
					written := l.written[cell.Sheet]
					live := written != nil && written.at(spot{cell.Row, cell.Col}).text != ""
					if number && v.FormatIn(s.table.Columns[j]).Kind == reports.KindMoney && !live && !d.IsZero() {
						t.Errorf("%s: %s, %s!%s holds %s and no formula", name, table, cell.Sheet, at(cell.Col, cell.Row), d)
					}
					if live && s.inputs[where] {
						t.Errorf("%s: %s, %s!%s is an input with a formula", name, table, cell.Sheet, at(cell.Col, cell.Row))
					}
				}
			}
		}
	}
}

// The spreadsheet library works the first sheet out as well; it goes through all
// that the unit cost hangs on.
func TestLibraryCalculates(t *testing.T) {
	e := demos(t)["morse-kit"]
	f := opened(t, written(t, e, Options{}))
	s := lives(t, e).tables[onUnit]
	for _, row := range []string{"SMT parts", "delivery", "labour", reports.RowUnit, reports.RowPrice} {
		_, where, ok := lives(t, e).find(onUnit, row, columnKey("value", e.Batches[1].ID()))
		if !ok {
			t.Fatalf("no row %s", row)
		}
		cell := s.cell(where)
		got, err := f.CalcCellValue(cell.Sheet, at(cell.Col, cell.Row), excelize.Options{RawCellValue: true})
		want, _ := s.value(where).Decimal()
		if d, errNumber := decimal.NewFromString(got); err != nil || errNumber != nil || d.Sub(want).Abs().GreaterThan(half) {
			t.Errorf("%s is %q, want %s (%v)", row, got, want, err)
		}
	}
}

// Half a minor unit rounds away from zero, although binary fractions hold some
// halves a little short.
func TestRoundFormula(t *testing.T) {
	f := excelize.NewFile()
	defer f.Close()
	for _, row := range []struct{ x, want, why string }{
		{"1.005*1", "1.01", "held as 1.00499999999999989"},
		{"3*0.335", "1.01", "1.005 as a product"},
		{"2.675*1", "2.68", "held as 2.67499999999999982"},
		{"-1.005*1", "-1.01", "below zero"},
		{"1.0049999*1", "1", "short of half"},
		{"123456.785*1", "123456.79", "a large sum"},
	} {
		sums := sum.New(4)
		a, b, _ := strings.Cut(row.x, "*")
		w := sum.Writer{Sheet: sums}
		if err := f.SetCellFormula("Sheet1", "A1", w.Formula(sums.Round(sums.Mul(sums.Number(dec(a)), sums.Number(dec(b))), 2))); err != nil {
			t.Fatal(err)
		}
		got, err := f.CalcCellValue("Sheet1", "A1", excelize.Options{RawCellValue: true})
		if err != nil || !same(got, row.want) {
			t.Errorf("%s: %s, want %s (%v)", row.why, got, row.want, err)
		}
	}
}

// The same run gives the same bytes, and each input has one name at most.
func TestLiveIsStable(t *testing.T) {
	d := fixtures.Demos()[0]
	want := written(t, demo(t, d, bom.LevelBuilt), Options{})
	for range 3 {
		if !bytes.Equal(written(t, demo(t, d, bom.LevelBuilt), Options{}), want) {
			t.Fatal("the bytes differ from one time to the next")
		}
	}
	names := map[string]string{}
	for _, n := range opened(t, want).GetDefinedName() {
		if !strings.HasPrefix(n.Name, "_") {
			names[n.Name] = n.RefersTo
		}
	}
	for _, n := range []string{"labour_rate_per_hour", "energy_price_per_kwh", "rate_usd", "assembly_per_placement"} {
		if names[n] == "" {
			t.Errorf("no name %s", n)
		}
	}
}

// A formula or chart that asks for what no sheet has fails the writing: a
// misspelt key must not leave a cell without its formula.
func TestUnknownKeysFail(t *testing.T) {
	e := demos(t)["frost-alarm"]
	id := e.Batches[0].ID()
	for why, ask := range map[string]func(l *live){
		"sheet of a figure":  func(l *live) { l.ref("Nowhere", "total", "cash") },
		"column of a figure": func(l *live) { l.refIn(onBatch, "total", "cahs", id) },
		"column that is set": func(l *live) { l.setIn(onBatch, "total", "cahs", id, "1") },
		"working column":     func(l *live) { l.work(onBuy, reports.RowKey(reports.KeyBuy, id, 0), "Nothing", "1", decimal.Zero) },
		"column of a span":   func(l *live) { l.span(onBuy, "cahs", id) },
		"whole column":       func(l *live) { l.column(onParts, "cahs") },
		"column of an input": func(l *live) {
			l.input(onOffers, breakRow(t, e.Estimate, e.Terms.Offers[0].Part, e.Terms.Suppliers[e.Terms.Offers[0].Supplier].Name), "prize")
		},
		"sheet of a question": func(l *live) { l.has("Nowhere", "total", "cash") },
	} {
		l := lives(t, e)
		if l.err != nil {
			t.Fatal(l.err)
		}
		if ask(l); l.err == nil {
			t.Errorf("%s: no fault", why)
		}
	}
	b := &book{patterns: []group{{ink: "ABCDEF"}}}
	var out bytes.Buffer
	w := bufio.NewWriter(&out)
	if b.rewrite(w, "xl/charts/chart1.xml", []byte(`<c:chart/>`)); b.err == nil {
		t.Error("a pattern without its series: no fault")
	}
}
