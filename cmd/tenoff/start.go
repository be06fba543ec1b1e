package main

import (
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/table"
	"tenoff/fixtures"
	"tenoff/reports/workbook"
)

func newStart() *cobra.Command {
	var force bool
	cmd := &cobra.Command{
		Use:   "start DIR",
		Short: "write a bill of materials and a price sheet to fill in",
		Long: `start writes unit.xlsx, a bill of materials, and prices.xlsx, a price sheet, into
DIR. Every column is explained in a note, closed choices have drop-downs, and
rows marked "example" show how a row looks: overwrite or delete them.`,
		Example: "  tenoff start my-device",
		Args:    between(1, 1, "a folder to write into"),
		RunE: func(cmd *cobra.Command, args []string) error {
			dir := args[0]
			o := &outputs{force: force, dirs: []string{dir}}
			if err := addWorkbooks(o, fixtures.Starter(), dir, "starter", true); err != nil {
				return err
			}
			if err := o.check(); err != nil {
				return err
			}
			if err := o.commit(cmd.Context()); err != nil {
				return err
			}
			unit, prices := filepath.Join(dir, "unit.xlsx"), filepath.Join(dir, "prices.xlsx")
			fmt.Fprintf(cmd.OutOrStdout(), `wrote %s
wrote %s
fill both in, then run:
  tenoff check --bom %s --prices %s
  tenoff estimate --bom %s --prices %s \
    --batch 10,40 --out %s
`, unit, prices, unit, prices, unit, prices, filepath.Join(dir, "estimate.xlsx"))
			return nil
		},
	}
	cmd.Flags().BoolVar(&force, "force", false, "overwrites files that are there")
	return cmd
}

// addWorkbooks writes the run in files as workbooks: one for each bill of
// materials at the root, and one for the folder of prices.
func addWorkbooks(o *outputs, files fs.FS, dir, title string, starter bool) error {
	boms, err := fs.Glob(files, "*.csv")
	if err != nil {
		return err
	}
	for _, name := range boms {
		tables, err := embedded(files, name)
		if err != nil {
			return err
		}
		nameWorkbooks(tables, boms)
		addInputs(o, filepath.Join(dir, asWorkbook(name)), tables, workbook.InputsOptions{Title: title, BOM: true, Starter: starter})
	}
	tabs, err := fs.Glob(files, "prices/*.csv")
	if err != nil {
		return err
	}
	var all []bom.Table
	for _, name := range tabs {
		tables, err := embedded(files, name)
		if err != nil {
			return err
		}
		all = append(all, tables...)
	}
	addInputs(o, filepath.Join(dir, "prices.xlsx"), all, workbook.InputsOptions{Title: title, Starter: starter})
	return nil
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
