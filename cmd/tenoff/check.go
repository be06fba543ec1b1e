package main

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

func newCheck() *cobra.Command {
	s := &source{}
	var date string
	cmd := &cobra.Command{
		Use:   "check [--bom FILE] [--prices FILE|FOLDER] [--batch N[,N…]]",
		Short: "read everything, list every complaint and assumption",
		Long: `check reads a bill of materials, a price sheet, or both, and lists every
complaint with its place, and what is assumed where a list does not say it. With
both it also tells which parts, boards and materials have no price, or an old
one, at the level built, which holds all lines; with --batch also whether each
batch can be bought. With --currency in the place of --prices it takes the
prices that stand in the list. It exits 3 where something has no price.`,
		Example: "  tenoff check --bom unit.csv --prices prices.xlsx --batch 10,40",
		Args:    flagsOnly,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if len(s.BOM) == 0 && s.RunFile == "" && s.Prices == "" {
				return usage("check needs --bom or --run, --prices or both")
			}
			if err := s.prepare(cmd); err != nil {
				return err
			}
			today, err := parseToday(date)
			if err != nil {
				return err
			}
			run := cost.Run{Level: bom.LevelBuilt, Today: today}
			if s.batches != "" && s.RunFile == "" {
				if run.Batches, err = parseBatches(s.batches); err != nil {
					return err
				}
			}
			return s.check(cmd, run)
		},
	}
	s.flags(cmd)
	s.runFlag(cmd)
	s.currencyFlag(cmd)
	cmd.Flags().StringVar(&date, "date", "", dateUsage)
	cmd.Flags().StringVar(&s.batches, "batch", "", "`NUMBERS` of good units, 10,40,100: tells whether they can be bought; with --run names of its plans (default: all)")
	return cmd
}

func (s *source) check(cmd *cobra.Command, run cost.Run) error {
	var more bom.Problems
	problems := s.readRun(&run)
	priced := true
	if run.Unit != nil && run.Prices != nil && !problems.Failed() {
		priced, more = cost.Check(run)
		problems = withoutRepeats(append(problems, s.strictly(more)...))
	}
	if problems.Failed() {
		return &exitError{code: exitInput, problems: problems, message: counted(problems)}
	}
	say(cmd, problems)
	out := cmd.OutOrStdout()
	if run.Unit != nil {
		fmt.Fprintf(out, "%s: %s\n", cmp.Or(filesFlag(s.BOM).String(), s.RunFile), reports.Counted(lineCount(run.Unit), "line"))
	}
	if run.Prices != nil {
		fmt.Fprintf(out, "%s: %s\n", cmp.Or(s.Prices, "prices in the list"), reports.Counted(pricedOffers(run.Prices), "offer"))
	}
	fmt.Fprintln(out, counted(problems))
	if !priced {
		return &exitError{code: exitIncomplete, message: "something has no price"}
	}
	return nil
}

// withoutRepeats leaves out the notes on rows that wait for their price where the part or
// board is complained of as well.
func withoutRepeats(problems bom.Problems) bom.Problems {
	named := map[string]bool{}
	for _, p := range problems {
		named[bom.Fold(p.Each)] = named[bom.Fold(p.Each)] || p.Severity < bom.Note
	}
	return slices.DeleteFunc(problems, func(p bom.Problem) bool {
		return p.Severity == bom.Note && p.What == bom.NoPriceYet && named[bom.Fold(p.Each)]
	})
}

// pricedOffers counts the offers that have a price.
func pricedOffers(p *bom.Prices) int {
	n := 0
	for i := range p.Offers {
		if len(p.Offers[i].Breaks) > 0 {
			n++
		}
	}
	return n
}

// lineCount counts the lines of all bills of materials, each file once.
func lineCount(unit *bom.Assembly) int {
	n := 0
	for l := range unit.AllLines() {
		if l.Head == nil || l.Row > 0 { // a board that the program makes of its list has no row
			n++
		}
	}
	return n
}
