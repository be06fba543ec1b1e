package settling_test

import (
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost/settling"
)

// runTab is the tab without which there is no run.
const runTab = "Item,Planned,Actual\nHome currency,EUR\nGood units,10,9\nUnits started,11\nLabour rate per hour,20,22.5\n"

// The same of a run of several products, which the tab products tells of.
const (
	runOfSeveral = "Item,Planned,Actual\nHome currency,EUR\nGood units,10,\nUnits started,11,\nLabour rate per hour,20,22.5\n"
	productsTab  = "Product,Level,Planned good,Planned starts,Planned consumed,Good,Started\nkit,kit,4,4,30.10,3,5\nboard,board,6,7,12.34,,6\n"
)

// closes checks that the variances of a run add up to actual − plan, to the cent.
func closes(t *testing.T, s *settling.Settlement) {
	t.Helper()
	spent, all := decimal.Zero, decimal.Zero
	for _, k := range settling.Kinds {
		if all = all.Add(s.By[k]); k.Spent() {
			spent = spent.Add(s.By[k])
		}
	}
	if got := s.Actual.Spent().Sub(s.Planned.Spent()); !got.Equal(spent) {
		t.Errorf("spent %s over the plan; the variances come to %s", got, spent)
	}
	if got := s.Actual.Consumed.Sub(s.Planned.Consumed); !got.Equal(all) {
		t.Errorf("consumed %s over the plan; the variances come to %s", got, all)
	}
	products := decimal.Zero
	for i := range s.Products {
		products = products.Add(s.Products[i].Actual)
	}
	if s.Products != nil && !products.Equal(s.Actual.Consumed) {
		t.Errorf("the products consumed %s, the run %s", products, s.Actual.Consumed)
	}
	for i := range s.Lines {
		l, sum := &s.Lines[i], decimal.Zero
		for _, k := range settling.Kinds {
			if k.Spent() {
				sum = sum.Add(l.By[k])
			}
		}
		if !sum.Equal(l.Variance()) {
			t.Errorf("%s: %s over the plan; the variances come to %s", l.What, l.Variance(), sum)
		}
	}
	if !s.NoneGood {
		perUnit := s.Actual.Consumed.Sub(s.Planned.Consumed).DivRound(s.Good.Planned, 12).Add(s.Yield)
		if off := s.Actual.Unit.Sub(s.Planned.Unit).Sub(perUnit).Abs(); off.GreaterThan(decimal.New(1, -9)) {
			t.Errorf("a unit costs %s over the plan; its variances come to %s", s.Actual.Unit.Sub(s.Planned.Unit), perUnit)
		}
	}
}

// FuzzActuals reads a tab of an actuals workbook that may hold anything. What reads
// settles, and its variances add up.
func FuzzActuals(f *testing.F) {
	f.Add("run", runTab)
	f.Add("purchases", "Supplier,Part number,Kind,Pack size,Currency,Planned quantity,Planned price,Planned fee,Ordered,Received,Invoiced,Invoiced price,Worth each\n"+
		"Larch,A,part,10,USD,3,4.05,1.1,3,2.5,3,4.1,0.4\nLarch,GLUE,,,,,,,,,2,3.50,\n")
	f.Add("charges", "Payee,Charge,Currency,Planned,Invoiced,Not consumed %,From stock\nLarch,delivery,USD,6.50,8,,\nState,import tax,,12,13.01,100,\n")
	f.Add("rates", "Payee;Currency;Planned rate;Rate paid\nLarch;USD;0,92;0,95\n")
	f.Add("hours", "Operation,Applies to,Seconds,Learning %,Planned hours,Planned cost,Hours,First units,First hours\nsolder,tht,6,90,3.333333,66.67,4,5,2\n")
	f.Add("plates", "Printer,Good plates,Failure %,Planned plates,Printed,Failed\nbench,10,4,10.416667,12,1\n")
	f.Add("prints", "Part number,Printer,Pieces,Planned hours,Planned wear,Planned energy,Hours,Filament g\nCASE,bench,40,60,12,3.3,66,\n")
	f.Add("boards made", "Board,Opportunities,DPMO,Planned,Populated,Good\nmain,240,100,41,,40\n")
	f.Add("required", "Part number,Kind,Required,Spares\nA,part,22,3\n")
	f.Add("on hand after", "Part number,Given by,Unit value,Before,Taken,Surplus,Counted\nA,club,0.31,7,7,,\nA,,0.333333333,,,5,2\n")
	f.Add("products", productsTab)
	f.Add("purchases", "Supplier,Part number,Planned quantity,Planned price,Received,Invoiced price,Note,For products\nLarch,A,3,4.05,2,4.1,,0; 100\nLarch,B,3,4.05,2,4.1,,62.5;37.5\n")
	f.Add("required", "Part number,Kind,Required,Spares,Note,For products\nA,part,22,3,,1; 3\n")
	f.Add("on hand after", "Part number,Unit value,Before,Taken,Counted,Note,For products\nA,0.31,7,7,,,2; 1\n")
	f.Fuzz(func(t *testing.T, name, text string) {
		if len(text) > 1<<14 || len(name) > 100 {
			return
		}
		var tables []bom.Table
		run := [][2]string{{"run", runTab}}
		if name == bom.TabProducts || strings.Contains(text, bom.ForProducts) {
			run = [][2]string{{"run", runOfSeveral}, {bom.TabProducts, productsTab}}
		}
		for _, tab := range append(run, [][2]string{{"rates", "Payee,Currency,Planned rate,Rate paid\nLarch,USD,0.92,0.95\n"}, {name, text}}...) {
			n, csv := tab[0], tab[1]
			if n == name && csv != text {
				continue // it is the one that may hold anything
			}
			read, problems := table.Read(n+".csv", []byte(csv), table.DefaultLimits())
			if problems.Failed() {
				return
			}
			for i := range read {
				read[i].Sheet = n
			}
			tables = append(tables, read...)
		}
		a, problems := sheet.ReadActuals(tables, "run.xlsx", sheet.Options{})
		for _, p := range problems {
			if s := p.String(); p.What == "" || strings.HasSuffix(p.What, ".") || strings.ContainsAny(s, "\n\x1b") || p.Place.File == "" && p.Severity == bom.Error {
				t.Errorf("badly worded, or without a place: %q", s)
			}
		}
		if !problems.Failed() {
			s := settling.Settle(a)
			s.Queries()
			s.PrintLog()
			for _, p := range s.Proposals() {
				if p.Is.IsNegative() || p.Low.GreaterThan(p.High) || p.Is.LessThan(p.Low) || p.Is.GreaterThan(p.High) || p.Observations < 1 {
					t.Errorf("proposed: %+v", p)
				}
			}
			closes(t, s)
		}
	})
}
