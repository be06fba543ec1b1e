package main

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/reports/pricesheet"
)

// priceFiles are the files of a price sheet that rows of tabs are put into, one tab after
// the other. Nothing is written before all are in place.
type priceFiles struct {
	name   string
	folder bool // with a file for each tab; else a workbook
	tables []bom.Table
	prices *bom.Prices
	option sheet.Options
	limits table.Limits
	said   bom.Problems // complaints about its tables
	faults bom.Problems // and about what they say, as it is by now

	files    []string          // as tables name them
	old, now map[string][]byte // by file
	formulas bool              // some are not worked out anew
}

// keptEnding is that of the copy of a price sheet as it was before.
const keptEnding = ".before"

// openFiles reads a price sheet with the bytes of its files.
func (s *source) openFiles(option sheet.Options) (*priceFiles, error) {
	p := &priceFiles{name: filepath.ToSlash(s.Prices), option: option, limits: s.Tables, old: map[string][]byte{}, now: map[string][]byte{}}
	if info, err := os.Stat(s.Prices); err == nil {
		p.folder = info.IsDir()
	}
	if p.tables, p.said = s.PriceTables(s.Prices); p.said.Failed() {
		return nil, refused(p.said)
	}
	if p.prices, p.faults = sheet.ReadPrices(p.tables, p.name, p.option); p.faults.Failed() {
		return nil, refused(p.faults)
	}
	for _, t := range p.tables {
		if p.old[t.File] != nil {
			continue
		}
		data, err := os.ReadFile(load.Resolved(filepath.FromSlash(t.File)))
		if err != nil {
			return nil, failed("%s: %v", filepath.FromSlash(t.File), table.FileError(err))
		}
		if again, _ := table.Read(t.File, data, p.limits); !reflect.DeepEqual(again, p.of(t.File)) {
			return nil, failed("%s: was changed while it was read; run it again", t.File)
		}
		p.files = append(p.files, t.File)
		p.old[t.File], p.now[t.File] = data, data
	}
	return p, nil
}

// of gives the tables of a file.
func (p *priceFiles) of(file string) (out []bom.Table) {
	for _, t := range p.tables {
		if t.File == file {
			out = append(out, t)
		}
	}
	return out
}

// tab is the table that holds a tab, nil where none does.
func (p *priceFiles) tab(name string) *bom.Table {
	i := slices.IndexFunc(p.tables, func(t bom.Table) bool { return sheet.TabOf(t) == name })
	if i < 0 {
		return nil
	}
	return &p.tables[i]
}

// put puts rows into a tab, whose last row of data is 0 where it has none. A complaint says
// why the file cannot take them.
func (p *priceFiles) put(tab string, last int, changes []pricesheet.RowChange) (bom.Problems, error) {
	if len(changes) == 0 {
		return nil, nil
	}
	t := p.tab(tab)
	if t == nil {
		return p.addTab(tab, changes)
	}
	edit, problems := pricesheet.LayRows(t, p.prices.Heads[tab], tab, last, changes)
	if problems.Failed() || edit.Empty() {
		return problems, nil
	}
	more, err := p.write(t.File, edit)
	return append(problems, more...), err
}

// write puts cells into a file, reads it again, and holds it against what was meant. A
// complaint says why the file cannot take them.
func (p *priceFiles) write(file string, edit *pricesheet.Edit) (bom.Problems, error) {
	made, formulas, err := edit.Write(p.now[file])
	p.formulas = p.formulas || formulas
	return p.take(file, made, err, func(after []bom.Table) error { return edit.Check(p.of(file), after) })
}

// unmeant says that a file as it was made does not read back as meant.
func unmeant(file string, err error) error {
	return failed("%s: what would be written does not read back as meant: %v; nothing was written", file, err)
}

// take takes a file as it was made, or says why it could not be: read again, it gives rise to
// no new complaint and passes a check.
func (p *priceFiles) take(file string, made []byte, err error, check func(after []bom.Table) error) (problems bom.Problems, _ error) {
	if no := (*pricesheet.Refusal)(nil); errors.As(err, &no) {
		problems.Errorf(bom.Place{File: file}, "", no.Want, "%s", no.What)
		return problems, nil
	}
	after, more := table.Read(file, made, p.limits)
	if err == nil {
		err = check(after)
	}
	if err == nil && more.Failed() {
		err = errors.New(more.Of(bom.Error)[0].String())
	}
	if err == nil {
		first := slices.IndexFunc(p.tables, func(t bom.Table) bool { return t.File == file })
		rest := slices.DeleteFunc(slices.Clone(p.tables), func(t bom.Table) bool { return t.File == file })
		if first < 0 {
			first = len(rest)
		}
		p.tables = slices.Insert(rest, min(first, len(rest)), after...)
		if p.prices, p.faults = sheet.ReadPrices(p.tables, p.name, p.option); p.faults.Failed() {
			err = errors.New(p.faults.Of(bom.Error)[0].String())
		}
	}
	if err != nil {
		return nil, unmeant(file, err)
	}
	p.now[file] = made
	return nil, nil
}

// addTab adds a tab that the price sheet does not have: a sheet of the workbook, or a file
// of the folder.
func (p *priceFiles) addTab(tab string, changes []pricesheet.RowChange) (bom.Problems, error) {
	t, err := pricesheet.NewTab(tab, changes)
	if err != nil {
		return nil, err
	}
	file := strings.TrimSuffix(p.name, "/") + "/" + strings.ReplaceAll(tab, " ", "-") + ".csv"
	var made []byte
	if p.folder {
		made, err = pricesheet.NewCSV(&t)
		p.files = append(p.files, file)
	} else {
		file = p.files[0]
		made, err = pricesheet.AddSheet(p.now[file], t)
	}
	return p.take(file, made, err, func([]bom.Table) error { return nil })
}
