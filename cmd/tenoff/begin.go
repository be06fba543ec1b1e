package main

import (
	"fmt"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/fixtures"
	"tenoff/reports/workbook"
)

// begun is what start --bom has found out about its lists.
type begun struct {
	copies map[string]string // name in the folder, with forward slashes -> file that is copied
	order  []string          // the names, in the order in which they were met
	unit   *bom.Table        // the list that is written; nil where the one that was given is used
	name   string            // of the unit's list in the folder
}

// fromLists writes a price sheet for lists, and a unit that holds them.
func (b *beginning) fromLists(cmd *cobra.Command) error {
	b.Options.Unfinished = true
	g, err := b.gather()
	if err != nil {
		return err
	}
	unit, problems := sheet.ReadBOM(g.name, g.open(b), b.Options)
	if problems.Failed() {
		return refused(problems)
	}
	home, err := b.homeOf(unit)
	if err != nil {
		return err
	}
	tabs, err := priceTabs(fixtures.Starter())
	if err != nil {
		return err
	}
	start := sheet.Begin(unit, home, tabs)
	o := &outputs{force: b.force, dirs: []string{b.dir}}
	for _, name := range g.order {
		if err := b.addCopy(o, name, g.copies[name]); err != nil {
			return err
		}
	}
	if g.unit != nil {
		addInputs(o, filepath.Join(b.dir, unitBook), []bom.Table{*g.unit}, workbook.InputsOptions{BOM: true})
	}
	addInputs(o, filepath.Join(b.dir, pricesBook), start.Tables, workbook.InputsOptions{})
	if err := o.write(cmd.Context()); err != nil {
		return err
	}
	say(cmd, append(problems, sheet.Untaxed(unit)...))
	w := cmd.OutOrStdout()
	for _, f := range o.files {
		fmt.Fprintf(w, "wrote %s\n", f.path)
	}
	prices := filepath.Join(b.dir, pricesBook)
	fmt.Fprintf(w, "home currency %s; %s\n", home, leftIn(pricesBook, start.Left))
	if slices.ContainsFunc(start.Tables, func(t bom.Table) bool { return t.File == bom.TabParts }) {
		fmt.Fprint(w, "look over the tab parts as well, ")
	}
	fmt.Fprintln(w, "then run:")
	b.next(w, filepath.Join(b.dir, filepath.FromSlash(g.name)), prices)
	return nil
}

// leftIn tells how much of a price sheet is left to type.
func leftIn(book string, cells int) string {
	switch cells {
	case 0:
		return book + " has a price and a supplier for all that is bought;"
	case 1:
		return "in " + book + " 1 cell is left to fill in\n(a price, the name of a supplier), and a row of the tab suppliers for that one;"
	}
	return fmt.Sprintf("in %s %d cells are left to fill in\n(prices, names of suppliers), and a row of the tab suppliers for each of those;", book, cells)
}

// homeOf is the currency that is named, else the one of all prices in the lists.
func (b *beginning) homeOf(unit *bom.Assembly) (bom.Currency, error) {
	if b.Currency != "" {
		return parseCurrency(b.Currency)
	}
	if code := sheet.CurrencyOf(unit); code != "" {
		return parseCurrency(code)
	}
	return parseCurrency("EUR")
}

// gather reads each list and finds the files that go with it.
func (b *beginning) gather() (*begun, error) {
	g := &begun{copies: map[string]string{}, name: unitBook}
	var lists []startList
	for _, given := range b.BOM {
		if given == "-" {
			return nil, usage("start reads files; --bom - is standard input, which cannot be copied")
		}
		before := len(b.Files())
		unit, problems := b.ReadBOM(nil, given)
		if problems.Failed() {
			return nil, refused(problems)
		}
		file, part, _ := strings.Cut(path.Base(filepath.ToSlash(given)), "#")
		one := startList{name: unitName(file), file: path.Base(filepath.ToSlash(given))}
		if part != "" {
			one.name = part
		}
		_, one.board = sheet.BoardList(unit)
		lists = append(lists, one)
		folder := filepath.Dir(filepath.FromSlash(unit.File))
		for _, from := range append(b.Files()[before:], printFiles(unit)...) {
			name, err := filepath.Rel(folder, filepath.FromSlash(from))
			if err != nil {
				return nil, failed("%s: is not beside %s", from, given)
			}
			if err := g.copy(filepath.ToSlash(name), from); err != nil {
				return nil, err
			}
		}
	}
	if len(lists) > 1 {
		if _, problems := b.ReadBOM(nil, b.BOM...); problems.Failed() { // one that counts twice
			return nil, refused(problems)
		}
	}
	if len(lists) == 1 && !lists[0].board {
		g.name = lists[0].file
		return g, nil
	}
	if from, taken := g.copies[unitBook]; taken {
		return nil, usage(wouldHide, from)
	}
	g.unit = unitOf(lists)
	return g, nil
}

// startList is a list that start was given.
type startList struct {
	name, file string // of the board or assembly; as a cell under File names it
	board      bool
}

// unitOf is the list of a unit with one of each board or assembly.
func unitOf(lists []startList) *bom.Table {
	t := &bom.Table{File: unitBook}
	t.Rows = append(t.Rows, tableRow(1, "Quantity", "Part number", "Description", "Kind", "File", "Material", "Filament g", "Print hours"))
	for i, l := range lists {
		kind, what := bom.KindAssembly, "assembly"
		if l.board {
			kind, what = bom.KindBoard, "circuit board"
		}
		t.Rows = append(t.Rows, tableRow(i+2, "1", l.name, what, string(kind), l.file))
	}
	return t
}

func tableRow(number int, texts ...string) bom.Row {
	r := bom.Row{Number: number}
	for i, text := range texts {
		r.Cells = append(r.Cells, bom.Cell{Col: i + 1, Text: text})
	}
	return r
}

const wouldHide = "--bom: %s has the name of a file that start writes; rename it"

// copy notes a file to be copied; two may not take one name, nor that of a file that
// is written.
func (g *begun) copy(name, from string) error {
	if name == pricesBook {
		return usage(wouldHide, from)
	}
	had, known := g.copies[name]
	switch {
	case !known:
		g.copies[name], g.order = from, append(g.order, name)
	case load.Resolved(had) != load.Resolved(from):
		return usage("--bom: %s and %s would both be called %s; rename one", had, from, name)
	}
	return nil
}

// printFiles lists the meshes and toolpaths that lists name.
func printFiles(unit *bom.Assembly) []string {
	var files []string
	for l := range unit.AllLines() {
		if l.Fitted {
			files = append(files, l.Files...)
		}
	}
	return files
}

// open gives the tables of the files as they will stand in the folder.
func (g *begun) open(b *beginning) sheet.Opener {
	return func(name string) ([]bom.Table, bom.Problems) {
		if name == unitBook && g.unit != nil {
			return []bom.Table{*g.unit}, nil
		}
		return b.Open(g.copies[name])
	}
}

// addCopy copies a file byte for byte, unless it exists already.
func (b *beginning) addCopy(o *outputs, name, from string) error {
	to := filepath.Join(b.dir, filepath.FromSlash(name))
	if load.Resolved(to) == load.Resolved(from) {
		return nil
	}
	data, err := os.ReadFile(filepath.FromSlash(from))
	if err != nil {
		return failed("%s: cannot be read: %v", from, table.FileError(err))
	}
	o.dirs = append(o.dirs, filepath.Dir(to))
	o.add(to, same(data), writeBytes(data))
	return nil
}

// setHome makes code the home currency of the starter's price sheet: its examples are in
// that currency, and it has no rate of exchange.
func setHome(tabs []bom.Table, code string) {
	for i, t := range tabs {
		if sheet.TabOf(t) == bom.TabExchange {
			tabs[i].Rows = slices.DeleteFunc(t.Rows, func(r bom.Row) bool { return r.Cells[0].Text == code })
		}
		for _, r := range tabs[i].Rows {
			for n, c := range r.Cells {
				r.Cells[n].Text = strings.ReplaceAll(c.Text, starterHome, code)
			}
		}
	}
}

// starterHome is the home currency of the starter as it is kept.
const starterHome = "EUR"
