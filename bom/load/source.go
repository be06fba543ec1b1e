package load

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
)

// StdinName is what complaints call standard input.
const StdinName = "standard input"

// Source names the files of a run and says how they are read.
type Source struct {
	BOM      []string                    // file of the unit's list, or of several that it holds one of each; file.xlsx#Sheet picks a sheet, - is Stdin
	RunFile  string                      // in its place: file of several products, as sheet.ReadProgramme takes it
	Prices   string                      // workbook, or folder with a CSV for each tab; - is Stdin
	Currency string                      // home currency, a code of ISO 4217, of a run without Prices
	Usual    func() ([]bom.Table, error) // tabs with figures of common practice for a run without Prices; may be nil

	Stdin   io.Reader
	Options sheet.Options
	Tables  table.Limits // zero: the defaults
	Prints  mesh.Limits  // zero: the defaults; of toolpaths too, as far as their size goes

	read  []string // files that were opened
	homes []string // the bills of materials and their folders, or that of the run, through links
}

// begins are the files that a run begins with.
func (s *Source) begins() []string {
	if s.RunFile != "" {
		return []string{s.RunFile}
	}
	return s.BOM
}

// Files lists what was opened, in that order.
func (s *Source) Files() []string { return slices.Clip(s.read) }

// Run reads the bill of materials, the price sheet and the files of printed parts, as
// far as they are named. Without a price sheet the prices are those in the list, in
// Currency. What could not be read is nil, with an error among the problems.
func (s *Source) Run() (unit *bom.Assembly, prices *bom.Prices, problems bom.Problems) {
	prices, more := s.sheet()
	if len(s.BOM) > 0 {
		unit, problems = s.ReadBOM(prices, s.BOM...)
	}
	problems = append(problems, more...)
	if unit == nil {
		return nil, prices, problems
	}
	prices, more = s.rest(unit, prices)
	return unit, prices, append(problems, more...)
}

// Programme reads what Run reads, for the products of the run file: the lists that several
// have once. What the products' lists hold together is the unit.
func (s *Source) Programme() (programme *bom.Programme, unit *bom.Assembly, prices *bom.Prices, problems bom.Problems) {
	prices, more := s.sheet()
	s.homes = []string{Resolved(filepath.Dir(s.RunFile))}
	programme, problems = sheet.ReadProgramme(filepath.ToSlash(s.RunFile), s.Open, s.Options)
	if programme != nil {
		problems = append(problems, s.readProducts(programme, prices)...)
	}
	if problems = append(problems, more...); problems.Failed() {
		return programme, nil, prices, problems
	}
	unit = programme.Unit()
	prices, more = s.rest(unit, prices)
	return programme, unit, prices, append(problems, more...)
}

// sheet reads the price sheet, where one is named.
func (s *Source) sheet() (*bom.Prices, bom.Problems) {
	if s.Prices == "" {
		return nil, nil
	}
	return s.ReadPrices(s.Prices)
}

// rest reads what goes with the lists of a run: without a price sheet the prices in them,
// and the files of printed parts, with a price sheet or without.
func (s *Source) rest(unit *bom.Assembly, prices *bom.Prices) (_ *bom.Prices, problems bom.Problems) {
	if s.Prices == "" && s.Currency != "" {
		prices, problems = s.listed(unit)
	}
	return prices, append(problems, s.ReadPrints(unit, cmp.Or(prices, &bom.Prices{}))...)
}

// readProducts reads the lists of the products, each file once.
func (s *Source) readProducts(p *bom.Programme, prices *bom.Prices) (problems bom.Problems) {
	read := map[string]*bom.Assembly{}
	for i := range p.Products {
		product := &p.Products[i]
		if unit, done := read[product.BOM]; done || product.BOM == "" {
			product.Unit = unit
			continue
		}
		file, _ := bom.SplitPiece(product.BOM, IsFile)
		if _, err := os.Stat(filepath.FromSlash(file)); errors.Is(err, fs.ErrNotExist) {
			problems.Errorf(product.At("BOM"), product.BOM, "a bill of materials beside the run", "BOM: file not found")
			continue
		}
		unit, more := s.ReadBOM(prices, product.BOM)
		read[product.BOM], product.Unit = unit, unit
		problems = append(problems, more...)
	}
	return problems
}

// Open reads one file into tables.
func (s *Source) Open(path string) ([]bom.Table, bom.Problems) {
	if path == "-" {
		data, err := io.ReadAll(io.LimitReader(s.Stdin, cmp.Or(s.Tables.FileBytes, table.DefaultLimits().FileBytes)+1))
		if err != nil {
			return nil, Unreadable(StdinName, err)
		}
		return table.Read(StdinName, data, s.Tables)
	}
	s.read = append(s.read, path)
	return table.Open(filepath.FromSlash(path), filepath.ToSlash(path), s.Tables)
}

// Unreadable says that a file cannot be read, and why.
func Unreadable(name string, err error) bom.Problems {
	return bom.Problems{{Place: bom.Place{File: name}, What: "cannot be read: " + table.FileError(err), Want: "the name of a file that can be read"}}
}

// ReadBOM reads the bill of materials of the unit, or the lists that it holds one of
// each, and all that they name, and settles what they leave open. prices may be nil.
func (s *Source) ReadBOM(prices *bom.Prices, paths ...string) (*bom.Assembly, bom.Problems) {
	lists := bom.Each(paths, func(path *string) string { return filepath.ToSlash(*path) })
	if s.RunFile == "" {
		s.homes = nil
		for _, path := range paths {
			file, _ := bom.SplitPiece(path, IsFile)
			s.homes = append(s.homes, Resolved(filepath.Dir(file)), Resolved(file)) // a link may lead elsewhere
		}
	}
	names := map[string]string{} // of files that were read, by where they are
	open := func(name string) ([]bom.Table, bom.Problems) {
		if !s.mayRead(name) {
			return nil, bom.Problems{{Place: bom.Place{File: name}, What: linkOut, Want: wantInside}}
		}
		real := Resolved(name)
		if other := names[real]; other != "" && len(lists) > 1 { // by its name it would pass for another list, and count twice
			return nil, bom.Problems{{Place: bom.Place{File: name}, What: "the file is read as " + other + " as well", Want: "one name for one file"}}
		}
		names[real] = name
		return s.Open(name)
	}
	if prices != nil {
		s.Options.Parts = prices.Parts
	}
	return sheet.ReadLists(lists, open, s.Options)
}

const (
	linkOut    = "a link leads out of the folder of the bill of materials"
	wantInside = "a file in that folder, or --allow-outside"
)

// mayRead tells whether a file lies in the folder of the bill of materials. Its
// reader looks at names only; links are followed here.
func (s *Source) mayRead(name string) bool {
	if s.Options.AllowOutside {
		return true
	}
	real := Resolved(name)
	return slices.ContainsFunc(s.homes, func(home string) bool { return Within(home, real) })
}

// listed are the prices that stand in the lists of a unit.
func (s *Source) listed(unit *bom.Assembly) (*bom.Prices, bom.Problems) {
	home, _ := bom.FindCurrency(s.Currency) // refused before, where it is none
	var usual []bom.Table
	if s.Usual != nil {
		var err error
		if usual, err = s.Usual(); err != nil {
			return nil, Unreadable("figures of common practice", err)
		}
	}
	prices, problems := sheet.PricesOf(unit, home, usual)
	if s.Options.Strict {
		problems = problems.Strict()
	}
	return prices, problems
}

// ReadPrices reads a price sheet.
func (s *Source) ReadPrices(path string) (*bom.Prices, bom.Problems) {
	tables, problems := s.PriceTables(path)
	if problems.Failed() && len(tables) == 0 {
		return nil, problems
	}
	name := filepath.ToSlash(path)
	if path == "-" {
		name = StdinName
	}
	prices, more := sheet.ReadPrices(tables, name, s.Options)
	return prices, append(problems, more...)
}

// PriceTables reads the tables of a price sheet: a workbook, or each tab of a folder.
func (s *Source) PriceTables(path string) ([]bom.Table, bom.Problems) {
	return s.tabs(path, bom.PriceTab, "tab of a price sheet", "files such as settings.csv and offers.csv: "+strings.Join(bom.TabNames(), ", "))
}

// RunTables reads the tables of an actuals workbook, or of a folder with its tabs.
func (s *Source) RunTables(path string) ([]bom.Table, bom.Problems) {
	return s.tabs(path, bom.RunTab, "tab of an actuals workbook", "files such as run.csv and purchases.csv")
}

// tabs reads the tables of a workbook, or each tab of a folder.
func (s *Source) tabs(path string, find func(string) (*bom.Tab, bool), what, want string) ([]bom.Table, bom.Problems) {
	info, err := os.Stat(path)
	if path == "-" || err == nil && !info.IsDir() {
		return s.Open(path)
	}
	if err != nil {
		return nil, Unreadable(filepath.ToSlash(path), err)
	}
	entries, err := os.ReadDir(path)
	if err != nil {
		return nil, Unreadable(filepath.ToSlash(path), err)
	}
	var tables []bom.Table
	var problems bom.Problems
	for _, e := range entries {
		name := e.Name()
		if e.IsDir() || strings.HasPrefix(name, ".") || !tabFile(name, find) {
			continue
		}
		t, ps := s.Open(filepath.ToSlash(filepath.Join(path, name)))
		tables, problems = append(tables, t...), append(problems, ps...)
	}
	if len(tables) == 0 && len(problems) == 0 {
		problems.Errorf(bom.Place{File: filepath.ToSlash(path)}, "", want, "the folder holds no %s", what)
	}
	return tables, problems
}

// tableEndings are the endings under which tables are kept; what is in them is
// told by content all the same, and an old workbook is refused by it.
var tableEndings = []string{".csv", ".tsv", ".txt", ".xlsx", ".ods", ".fods", ".xls"}

// tabFile tells whether a file of a folder may be one of its tabs. A
// table under a name that is no tab is read all the same, so that a misspelt
// name is complained of; other files, such as a text to read, are not.
func tabFile(name string, find func(string) (*bom.Tab, bool)) bool {
	ending := strings.ToLower(filepath.Ext(name))
	if ending == ".txt" {
		_, known := find(strings.TrimSuffix(name, filepath.Ext(name)))
		return known
	}
	return slices.Contains(tableEndings, ending)
}
