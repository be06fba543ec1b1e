package sheet

import (
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// fuzzLimit keeps one input quick; the table reader has limits of its own.
const fuzzLimit = 1 << 14

// seed adds the texts of files of the demo and of bad input, where there are
// any, and some rows that no file has.
func seed(f *testing.F, add func(name, text string)) {
	f.Helper()
	for _, pattern := range []string{"../../fixtures/bad/*.csv", "../../fixtures/messy/*.csv", "../../fixtures/start/*.csv", "../../fixtures/start/prices/*.csv",
		"../../fixtures/demo/*/*.csv", "../../fixtures/demo/*/prices/*.csv"} {
		names, err := filepath.Glob(pattern)
		if err != nil {
			f.Fatal(err)
		}
		for _, name := range names {
			text, err := os.ReadFile(name)
			if err != nil {
				f.Fatal(err)
			}
			if len(text) <= fuzzLimit {
				name = path.Base(filepath.ToSlash(name))
				if _, tab, ok := strings.Cut(strings.TrimSuffix(name, ".csv"), "."); ok { // fixtures/messy
					name = tab
				}
				add(TabOf(bom.Table{File: name}), string(text))
			}
		}
	}
}

// tint gives the cells of a table the kinds that a workbook would.
func tint(t *bom.Table, kinds uint64) {
	if kinds == 0 {
		return
	}
	t.Separator = 0
	for i := range t.Rows {
		for j := range t.Rows[i].Cells {
			kinds = kinds*6364136223846793005 + 1442695040888963407 // a step of Knuth's generator for MMIX
			if i > 0 {
				t.Rows[i].Cells[j].Kind = bom.CellKind(kinds >> 60 % 10) // three of ten are no kind at all
			}
		}
	}
}

// checkWording makes sure that each complaint is one.
func checkWording(t *testing.T, problems bom.Problems) {
	t.Helper()
	for _, p := range problems {
		s := p.String()
		if p.What == "" || strings.HasSuffix(p.What, ".") || strings.ContainsAny(s, "\n\x1b") {
			t.Errorf("badly worded: %q", s)
		}
		if p.Severity == bom.Error && p.Place.File == "" {
			t.Errorf("without a place: %q", s)
		}
	}
}

func FuzzBOM(f *testing.F) {
	seed(f, func(_, text string) { f.Add(text, uint64(0)); f.Add(text, uint64(7)) })
	f.Add("Ref,Qty,P/N,Kind,File\nR1-R9999,,A\n,1,B,board,u.csv\n,1,C,assembly,b.csv#x\n", uint64(0))
	f.Add("Qty;P/N;Kind;@1;\n1,5;A;wire\n1.234;B;wire\n", uint64(0))
	f.Add("Qty,P/N,Kind,File\n1,C,assembly,00..Csv\n", uint64(0)) // a board of a name that ends in a full stop
	f.Fuzz(func(t *testing.T, text string, kinds uint64) {
		if len(text) > fuzzLimit {
			return
		}
		open := func(path string) ([]bom.Table, bom.Problems) {
			table := csvTable(path, text)
			tint(&table, kinds)
			if path == "u.csv" {
				return []bom.Table{table}, nil
			}
			return []bom.Table{csvTable(path, "Ref,P/N,Mount\nR1,A,SMT\n")}, nil
		}
		got, problems := readSettled("u.csv", open, Options{})
		checkWording(t, problems)
		if problems.Failed() {
			return
		}
		if got == nil || len(got.Lines) == 0 {
			t.Fatal("neither lines nor an error")
		}
		home := bom.Currency{Code: "EUR", Digits: 2}
		_, said := PricesOf(got, home, nil)
		checkWording(t, said)
		Begin(got, home, nil)
		labels := tells(problems, "number the lines")
		slips := tells(problems, "the quantity is counted") || strings.Contains(text, "+") // SW1 + LED1 is one piece
		for _, l := range got.Lines {
			n := int64(len(l.Designators))
			switch {
			case l.Fitted && l.Quantity <= 0, n > 0 && l.Quantity != bom.Whole(n) && !slips && !(labels && n == 1) && !slices.ContainsFunc(l.Designators, isPlaceName), l.Kind == "", l.Fitted && l.Part == "",
				l.Kind == bom.KindPart && l.Fitted && l.Mount == bom.MountNone:
				t.Errorf("no error for %+v", *l)
			}
		}
	})
}

func tells(problems bom.Problems, what string) bool {
	return slices.ContainsFunc(problems, func(p bom.Problem) bool { return strings.Contains(p.What, what) })
}

func isPlaceName(s string) bool { return !bom.IsDesignator(s) }

func FuzzPrices(f *testing.F) {
	seed(f, func(name, text string) {
		if _, ok := bom.PriceTab(name); ok {
			f.Add(name, text, uint64(0))
			f.Add(name, text, uint64(7))
		}
	})
	f.Add("offers", "Part number,Supplier,From,Price,@1,@10\nA,B,1,2,3,4\nA,B,,,,0\n", uint64(0))
	f.Fuzz(func(t *testing.T, name, text string, kinds uint64) {
		if len(text) > fuzzLimit || len(name) > 100 {
			return
		}
		table := csvTable("p/x.csv", text)
		table.Sheet = name
		tint(&table, kinds)
		tables := []bom.Table{table}
		if TabOf(table) != bom.TabSettings {
			tables = append(tables, csvTable("p/settings.csv", home))
		}
		got, problems := ReadPrices(tables, "p", Options{})
		checkWording(t, problems)
		if !problems.Failed() {
			checkPrices(t, got)
		}
	})
}

// checkPrices checks what holds for every price sheet without an error.
func checkPrices(t *testing.T, p *bom.Prices) {
	t.Helper()
	if p.Settings.Home.Code == "" || len(p.Settings.All) != len(bom.SettingDefs) {
		t.Errorf("settings %+v", p.Settings)
	}
	for _, o := range p.Offers {
		priced := len(o.Breaks) > 0 // or it waits for its price
		if o.Part == "" || o.Currency.Code == "" || o.Multiple < 1 || o.Pieces <= 0 || priced && o.MOQ < o.Breaks[0].From {
			t.Errorf("offer %+v", o)
		}
		for i, b := range o.Breaks {
			if b.Price.IsNegative() || b.From < 1 || i > 0 && b.From <= o.Breaks[i-1].From {
				t.Errorf("breaks %+v", o.Breaks)
			}
		}
	}
	for _, q := range p.Quotes {
		if q.Board == "" || q.Fabricator == "" || q.Currency.Code == "" {
			t.Errorf("quote %+v", q)
		}
	}
	checkBoardPrices(t, p)
	sums := map[string]decimal.Decimal{}
	for _, s := range p.WhoPays {
		sums[bom.Fold(s.AppliesTo)] = sums[bom.Fold(s.AppliesTo)].Add(s.Percent)
	}
	for what, sum := range sums {
		if !sum.Equal(hundred) {
			t.Errorf("shares of %q: %s", what, sum)
		}
	}
	for _, r := range p.Exchange {
		if !r.Rate.IsPositive() {
			t.Errorf("rate %+v", r)
		}
	}
}

// checkBoardPrices checks panels and quotes of assemblers.
func checkBoardPrices(t *testing.T, p *bom.Prices) {
	t.Helper()
	for _, r := range p.Panels {
		if r.Panel == "" || r.Board == "" || r.Panel == r.Board || r.Per < 1 || r.Across > r.Per || r.XOuts < 0 || r.XOuts >= r.Per || r.GapMM < 0 || r.BorderMM < 0 {
			t.Errorf("panel %+v", r)
		}
	}
	for i, q := range p.AssemblyQuotes {
		if q.Assembler == "" || q.Board == "" || q.From < 1 || q.Currency.Code == "" || q.Each.IsNegative() || q.SetUp.IsNegative() {
			t.Errorf("quote %+v", q)
		}
		if i == 0 {
			continue
		}
		was := p.AssemblyQuotes[i-1]
		if keyOfQuote(&was) == keyOfQuote(&q) && (was.From >= q.From || !was.SetUp.Equal(q.SetUp) || was.Currency != q.Currency) {
			t.Errorf("tiers %+v, %+v", was, q)
		}
	}
}

func FuzzProgramme(f *testing.F) {
	seed(f, func(_, text string) { f.Add(text, uint64(0)); f.Add(text, uint64(7)) })
	f.Add("Product,BOM,Level,Run small,run  Large\nkit,unit.csv,kit,10,0\nalarm,#Main,,20,1e3\n", uint64(0))
	f.Add("Product;List;Run;Run b\na;..\\x.csv;1,000;\nb;/abs.csv#S;-1;2,5\n", uint64(0))
	f.Fuzz(func(t *testing.T, text string, kinds uint64) {
		if len(text) > fuzzLimit {
			return
		}
		table := csvTable("lists/run.csv", text)
		tint(&table, kinds)
		got, problems := ReadProgramme("lists/run.csv", func(string) ([]bom.Table, bom.Problems) { return []bom.Table{table}, nil }, Options{})
		checkWording(t, problems)
		if problems.Failed() {
			return
		}
		if got == nil || len(got.Products) == 0 || len(got.Plans) == 0 {
			t.Fatal("neither products nor an error")
		}
		names := map[string]bool{}
		for _, p := range got.Products {
			if p.Name == "" || names[bom.ExactKey(p.Name)] || !strings.HasPrefix(p.BOM, "lists/") || p.Level.String() == "" {
				t.Errorf("no error for %+v", p)
			}
			names[bom.ExactKey(p.Name)] = true
		}
		for _, plan := range got.Plans {
			if plan.Name == "" || len(plan.Units) != len(got.Products) || plan.All() <= 0 || slices.Min(plan.Units) < 0 {
				t.Errorf("no error for %+v", plan)
			}
		}
	})
}
