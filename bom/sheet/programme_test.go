package sheet

import (
	"slices"
	"testing"

	"tenoff/bom"
)

// readProgramme reads a run file given as CSV text.
func readProgramme(text string, opt Options) (*bom.Programme, bom.Problems) {
	return ReadProgramme("lists/run.csv", func(string) ([]bom.Table, bom.Problems) {
		return []bom.Table{csvTable("lists/run.csv", text)}, nil
	}, opt)
}

func TestReadProgramme(t *testing.T) {
	const text = `Autumn run of the allotments

Product,BOM,Level,Run small,run  Large,Colour
alarm kit,unit.csv,kit,10,0,white
alarm,unit.csv,,20,200,black
spare board,parts\board.xlsx#Main,board,5,1000,
`
	got, problems := readProgramme(text, Options{})
	if problems.Failed() {
		t.Fatal(problems)
	}
	if len(got.Plans) != 2 || got.Plans[0].Name != "Run small" || got.Plans[1].Name != "run Large" {
		t.Errorf("plans %+v", got.Plans)
	}
	if !slices.Equal(got.Plans[0].Units, []int{10, 20, 5}) || !slices.Equal(got.Plans[1].Units, []int{0, 200, 1000}) {
		t.Errorf("units %v and %v", got.Plans[0].Units, got.Plans[1].Units)
	}
	for i, want := range []bom.Product{
		{Name: "alarm kit", BOM: "lists/unit.csv", Level: bom.LevelKit},
		{Name: "alarm", BOM: "lists/unit.csv", Level: bom.LevelBuilt},
		{Name: "spare board", BOM: "lists/parts/board.xlsx#Main", Level: bom.LevelBoard},
	} {
		if p := got.Products[i]; p.Name != want.Name || p.BOM != want.BOM || p.Level != want.Level || p.Row != i+4 {
			t.Errorf("product %d: %+v; want %+v in row %d", i, p, want, i+4)
		}
	}
}

func TestReadRun_complains(t *testing.T) {
	for _, test := range []struct{ why, text, want string }{
		{"no numbers", "Product,BOM,Level\nalarm,unit.csv,kit\n",
			`lists/run.csv:1: no column holds the numbers of a plan; a column headed Run, or one for each plan: Run small, Run large`},
		{"no list", "Product,Level,Run\nalarm,kit,3\n",
			`lists/run.csv:1: no column is headed BOM; a column headed BOM, or --heading 'Their name=BOM'`},
		{"a blank list", "Product,BOM,Run\nalarm,,3\n", `lists/run.csv:2:2: BOM is blank; such as unit.csv`},
		{"a level that is none", "Product,BOM,Level,Run\nalarm,unit.csv,bilt,3\n",
			`lists/run.csv:2:3: Level: not one of the choices ("bilt"); one of board, kit, built; did you mean built`},
		{"a negative number", "Product,BOM,Run small\nalarm,unit.csv,-3\n", `lists/run.csv:2:3: Run small: a negative number ("-3"); a number of 0 or more`},
		{"part of a unit", "Product,BOM,Run\nalarm,unit.csv,2.5\n", `lists/run.csv:2:3: Run: not a whole number ("2.5"); a whole number such as 12`},
		{"a word", "Product,BOM,Run\nalarm,unit.csv,few\n", `lists/run.csv:2:3: Run: not a number ("few"); a number such as 1234.56`},
		{"a blank number", "Product,BOM,Run\nalarm,unit.csv,\n", `lists/run.csv:2:3: Run is blank; a whole number; 0 where the plan has none of the product`},
		{"a product twice", "Product,BOM,Run\nalarm,unit.csv,3\nAlarm,other.csv,2\n",
			`lists/run.csv:3:1: Product: the product stands twice, here and in row 2 ("Alarm"); keep one row for it`},
		{"a plan of nothing", "Product,BOM,Run a,Run b\nalarm,unit.csv,3,0\nbeeper,b.csv,1,0\n",
			`lists/run.csv:1:4: nothing is made: every number of the plan is 0 ("Run b"); a number over 0 for some product`},
		{"a plan twice", "Product,BOM,Run a,run  A\nalarm,unit.csv,3,0\n",
			`lists/run.csv:1:4: run a is headed twice, as "Run a" in C1 and here ("run  A"); keep one column for it; --heading 'run  A=' ignores this one`},
		{"no products", "Product,BOM,Run\n", `lists/run.csv:1: the run holds no products; a row for each product`},
		{"another folder", "Product,BOM,Run\nalarm,../unit.csv,3\n",
			`lists/run.csv:2:2: BOM: leads out of the folder of the run ("../unit.csv"); a file in the folder of the run, or --allow-outside`},
		{"no table of products", "a,b\n1,2\n", `lists/run.csv:1: no heading row of the run was found; this row looks most like one ("a, b"); a row among the first 30 with at least two of Product, BOM, Level, Run`},
	} {
		_, problems := readProgramme(test.text, Options{})
		if got := problems.Of(bom.Error); len(got) != 1 || got[0].String() != test.want {
			t.Errorf("%s: %v\nwant %s", test.why, got, test.want)
		}
	}
}
