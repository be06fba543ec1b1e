package main

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/table"
	"tenoff/fixtures"
	"tenoff/reports/workbook"
)

func newStart() *cobra.Command {
	b := &beginning{}
	cmd := &cobra.Command{
		Use:   "start DIR [--bom FILE…] [--currency CODE]",
		Short: "write a bill of materials and a price sheet to fill in",
		Long: `start writes unit.xlsx, a bill of materials, and prices.xlsx, a price sheet,
into DIR. Every column is explained in a note, closed choices have drop-downs,
and rows marked "example" show how a row looks: overwrite or delete them.

With --bom the lists are copied into DIR, unit.xlsx has a line for each board,
and prices.xlsx holds every part, board, material and package of the lists and
what they say of suppliers and prices: what is missing is left to type. A list
of a whole unit, given alone, is used as it is.`,
		Example: "  tenoff start my-device\n" +
			"  tenoff start my-device --bom main.csv --bom panel.csv --currency EUR",
		Args: between(1, 1, "a folder to write into"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if err := b.prepare(cmd); err != nil {
				return err
			}
			b.dir = args[0]
			if len(b.BOM) > 0 {
				return b.fromLists(cmd)
			}
			return b.fromStarter(cmd)
		},
	}
	f := cmd.Flags()
	f.BoolVar(&b.force, "force", false, "overwrites files that are there")
	f.Var((*filesFlag)(&b.BOM), "bom", "`FILE` with the list of a board or of the unit, CSV, XLSX or ODS (repeatable)")
	f.StringVar(&b.Currency, "currency", "", "home currency, a `CODE` of ISO 4217 (default: that of the lists, else EUR)")
	b.readFlags(f)
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("bom", "csv", "xlsx", "ods", "tsv", "txt")
	return cmd
}

// beginning is one run of start.
type beginning struct {
	source
	force bool
	dir   string
}

// fromStarter writes examples to fill in.
func (b *beginning) fromStarter(cmd *cobra.Command) error {
	o := &outputs{force: b.force, dirs: []string{b.dir}}
	if err := addWorkbooks(o, fixtures.Starter(), b.dir, "starter", true, b.Currency); err != nil {
		return err
	}
	if err := o.write(cmd.Context()); err != nil {
		return err
	}
	unit, prices := filepath.Join(b.dir, unitBook), filepath.Join(b.dir, pricesBook)
	fmt.Fprintf(cmd.OutOrStdout(), "wrote %s\nwrote %s\nfill both in, then run:\n", unit, prices)
	b.next(cmd.OutOrStdout(), unit, prices)
	return nil
}

// next tells the commands that come next.
func (b *beginning) next(w io.Writer, unit, prices string) {
	fmt.Fprintf(w, `  tenoff check --bom %s --prices %s
  tenoff estimate --bom %s --prices %s \
    --batch 10,40 --out %s
`, unit, prices, unit, prices, filepath.Join(b.dir, "estimate.xlsx"))
}

// The files that start writes.
const (
	unitBook   = "unit.xlsx"
	pricesBook = "prices.xlsx"
)

// addWorkbooks writes the run in files as workbooks: one for each bill of
// materials at the root, and one for the folder of prices.
func addWorkbooks(o *outputs, files fs.FS, dir, title string, starter bool, currency string) error {
	boms, err := fs.Glob(files, "*.csv")
	if err != nil {
		return err
	}
	boms = slices.DeleteFunc(boms, func(name string) bool { return name == fixtures.RunFile })
	for _, name := range boms {
		tables, err := embedded(files, name)
		if err != nil {
			return err
		}
		nameWorkbooks(tables, boms)
		addInputs(o, filepath.Join(dir, asWorkbook(name)), tables, workbook.InputsOptions{Title: title, BOM: true, Starter: starter})
	}
	all, err := priceTabs(files)
	if err != nil {
		return err
	}
	if currency != "" {
		setHome(all, strings.ToUpper(currency))
	}
	addInputs(o, filepath.Join(dir, pricesBook), all, workbook.InputsOptions{Title: title, Starter: starter})
	return nil
}

// priceTabs reads the tabs of a folder of ours.
func priceTabs(files fs.FS) ([]bom.Table, error) {
	tabs, err := fs.Glob(files, "prices/*.csv")
	if err != nil {
		return nil, err
	}
	var all []bom.Table
	for _, name := range tabs {
		tables, err := embedded(files, name)
		if err != nil {
			return nil, err
		}
		all = append(all, tables...)
	}
	return all, nil
}

func addInputs(o *outputs, path string, tables []bom.Table, opt workbook.InputsOptions) {
	var made strings.Builder
	if err := workbook.WriteInputs(&made, tables, opt); err != nil {
		o.add(path, nil, func(io.Writer) error { return err })
		return
	}
	data := []byte(made.String())
	// Somebody who filled a starter in must not lose it to a second start: only
	// an untouched one is written again.
	o.add(path, same(data), writeBytes(data))
}

// embedded reads a file of ours; complaints about it are a fault of the build.
func embedded(files fs.FS, name string) ([]bom.Table, error) {
	data, err := fs.ReadFile(files, name)
	if err != nil {
		return nil, err
	}
	tables, problems := table.Read(path.Base(name), data, table.DefaultLimits())
	if problems.Failed() {
		return nil, fmt.Errorf("%s", problems[0])
	}
	return tables, nil
}

func asWorkbook(name string) string { return strings.TrimSuffix(name, ".csv") + ".xlsx" }

// nameWorkbooks makes bills of materials that become workbooks name one another
// as such.
func nameWorkbooks(tables []bom.Table, boms []string) {
	known := map[string]bool{}
	for _, name := range boms {
		known[name] = true
	}
	for _, t := range tables {
		for _, row := range t.Rows {
			for i, c := range row.Cells {
				if known[c.Text] {
					row.Cells[i].Text = asWorkbook(c.Text)
				}
			}
		}
	}
}
