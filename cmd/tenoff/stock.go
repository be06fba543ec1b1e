package main

import (
	"io"

	"github.com/spf13/cobra"

	"tenoff/cost"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

func newStock() *cobra.Command {
	j := &job{}
	cmd := &cobra.Command{
		Use:   "stock --bom FILE --prices FILE|FOLDER --batch N[,N…]",
		Short: "tell how far the stock of every part goes, thin ones first",
		Long: `stock compares what each batch requires of a part with what its suppliers have.
It tells first of parts that may run out, that have one source only, or whose
stock was last looked up long ago; the settings Thin cover, Fewest sources and
Stock age limit days say what that is. It looks nothing up: the stock is that of
the tab offers.`,
		Example: "  tenoff stock --bom unit.csv --prices prices.xlsx --batch 10,40,100",
		Args:    flagsOnly,
		RunE:    j.stock,
	}
	j.runFlags(cmd)
	j.jsonFlags(cmd.Flags())
	return cmd
}

// stock reads, compares, writes and prints.
func (j *job) stock(cmd *cobra.Command, _ []string) error {
	r, problems, err := j.read(cmd)
	if err != nil {
		return err
	}
	covers, more := cost.StockCovers(r)
	problems = append(problems, j.strictly(more)...)
	if problems.Failed() {
		return refused(problems)
	}
	defer sayBriefly(cmd, problems, j.verbose)
	write := func(w io.Writer) error { return reports.WriteStockJSON(w, covers, &r, warnings(problems)) }
	if err := j.writeJSON(cmd, reports.IsStockJSON, write); err != nil || j.json == "-" {
		return err
	}
	return showStock(cmd.OutOrStdout(), covers, &r)
}

// showStock prints how far the stock goes, then what that rests on.
func showStock(w io.Writer, covers []cost.StockCover, r *cost.Run) error {
	table := reports.Cover(covers, r.IDs(), r.Prices.Settings)
	if len(covers) == 0 {
		table.Notes = []string{"no part has to be bought"}
	}
	if err := terminal.Print(w, table, terminal.Width); err != nil {
		return err
	}
	return printTables(w, reports.RequiredAndStock(covers, r.IDs()), reports.StockBySupplier(covers))
}
