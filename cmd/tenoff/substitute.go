package main

import (
	"fmt"
	"io"

	"github.com/spf13/cobra"

	"tenoff/cost/waysout"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

func newSubstitute() *cobra.Command {
	j := &job{}
	cmd := &cobra.Command{
		Use:   "substitute --bom FILE --prices FILE|FOLDER --batch N[,N…]",
		Short: "compare every way out where a part runs short",
		Long: `substitute looks at the parts that the stock does not cover, and at those that
are treated as gone. It compares buying them elsewhere, each substitute, a mix
of both, waiting for what is expected, and fewer units. Each way is the whole
run, planned anew. Several short parts are decided together.
Substitutes are rows of the tab substitutes, and two-terminal passives of the
list and the tab offers that are no worse by what their values and descriptions
state. Check the data sheet before you rely on one.`,
		Example: "  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40\n" +
			"  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40 \\\n    --short CHIP-8=12\n" +
			"  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40 \\\n    --dry 'Corner Parts'",
		Args: flagsOnly,
		RunE: j.substitute,
	}
	j.runFlags(cmd)
	j.jsonFlags(cmd.Flags())
	return cmd
}

// substitute reads, compares, and prints.
func (j *job) substitute(cmd *cobra.Command, _ []string) error {
	r, problems, err := j.read(cmd)
	if err != nil {
		return err
	}
	found, more := waysout.Find(r)
	problems = append(problems, j.strictly(more)...)
	if problems.Failed() {
		return refused(problems)
	}
	if cmd.Context().Err() != nil {
		return interrupted()
	}
	home := r.Prices.Settings.Home
	write := func(w io.Writer) error { return reports.WriteWaysOutJSON(w, found, home, r.Today, warnings(problems)) }
	if err := j.writeJSON(cmd, reports.IsWaysOutJSON, write); err != nil {
		return err
	}
	defer sayBriefly(cmd, problems, j.verbose)
	if j.json == "-" {
		return nil
	}
	tables := reports.WaysOutByPart(found, home, r.Today)
	if len(found.Parts) == 0 {
		tables = []reports.Table{{Notes: []string{"no part is short: the offers cover every batch"}}}
	}
	for i, t := range tables {
		if i > 0 {
			_, _ = fmt.Fprintln(cmd.OutOrStdout())
		}
		if err := terminal.Print(cmd.OutOrStdout(), t, terminal.Width); err != nil {
			return err
		}
	}
	return nil
}
