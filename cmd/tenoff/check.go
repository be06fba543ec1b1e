package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/cost"
)

func newCheck() *cobra.Command {
	s := &source{}
	var date string
	cmd := &cobra.Command{
		Use:   "check [--bom FILE] [--prices FILE|FOLDER]",
		Short: "read everything, compute nothing, list every complaint",
		Long: `check reads a bill of materials, a price sheet, or both, and lists every
complaint with its place. With both it also tells which parts, boards and
materials have no price, or an old one, at the level built, which holds all
lines.`,
		Example: "  tenoff check --bom unit.csv --prices prices.xlsx",
		Args:    flagsOnly,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if s.bom == "" && s.prices == "" {
				return usage("check needs --bom, --prices or both")
			}
			if err := s.prepare(cmd); err != nil {
				return err
			}
			today, err := parseToday(date)
			if err != nil {
				return err
			}
			return s.check(cmd, today)
		},
	}
	s.flags(cmd)
	cmd.Flags().StringVar(&date, "date", "", dateUsage)
	return cmd
}

func (s *source) check(cmd *cobra.Command, today bom.Date) error {
	var problems, more bom.Problems
	run := cost.Run{Level: bom.LevelBuilt, Today: today}
	if s.bom != "" {
		run.Unit, problems = s.loadBOM(s.bom)
	}
	if s.prices != "" {
		run.Prices, more = s.loadPrices(s.prices)
		problems = append(problems, more...)
	}
	if run.Unit != nil {
		prices := run.Prices
		if prices == nil {
			prices = &bom.Prices{} // the files are read all the same
		}
		problems = append(problems, s.loadPrints(run.Unit, prices)...)
	}
	if run.Unit != nil && run.Prices != nil && !problems.Failed() {
		problems = append(problems, cost.Check(run)...)
	}
	if problems.Failed() {
		return &exitError{code: exitInput, problems: problems, message: counted(problems)}
	}
	say(cmd.ErrOrStderr(), problems)
	out := cmd.OutOrStdout()
	if run.Unit != nil {
		fmt.Fprintf(out, "%s: %s\n", s.bom, plural(lineCount(run.Unit, map[string]bool{}), "line"))
	}
	if run.Prices != nil {
		fmt.Fprintf(out, "%s: %s\n", s.prices, plural(len(run.Prices.Offers), "offer"))
	}
	fmt.Fprintln(out, counted(problems))
	return nil
}

// lineCount counts the lines of all bills of materials, each file once.
func lineCount(a *bom.Assembly, seen map[string]bool) int {
	key := a.File + "#" + a.Sheet
	if seen[key] {
		return 0
	}
	seen[key] = true
	n := len(a.Lines)
	for _, l := range a.Lines {
		if l.Sub != nil {
			n += lineCount(l.Sub, seen)
		}
	}
	return n
}
