package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/cost"
	"tenoff/cost/settling"
	"tenoff/reports"
)

// settlement is one run of the command settle.
type settlement struct {
	*source
	date   string
	update string
}

func newSettle() *cobra.Command {
	n := &settlement{source: &source{}}
	cmd := &cobra.Command{
		Use:   "settle RUN.xlsx",
		Short: "compare a run that was made with its plan",
		Long: `settle reads a workbook that estimate --actuals wrote and that was filled in
while the run was made, and tells what it cost over or under the plan and why:
prices, quantities, exchange rates, charges, hours, and how many units came out
good. What is left blank counts as planned.

Where too few parts came, it tells how many units they are enough for; with
--bom and --prices also the cheapest way to the rest, with what came on hand.

What the run has shown of seconds, learning, failures, yields and attrition is
proposed; --update writes it into a price sheet, dated and with a note. Besides
it writes what finished prints took into the print log, what is on hand now, and
how many units have borne each one-off cost, which counts as paid from then on.
All else stays as it is; the file as it was is kept beside it, under a name that
ends in .before.`,
		Example: "  tenoff settle run.xlsx\n" +
			"  tenoff settle run.xlsx --bom unit.csv --prices prices.xlsx\n" +
			"  tenoff settle run.xlsx --update prices.xlsx",
		Args: between(1, 1, "a workbook that estimate --actuals wrote"),
		RunE: func(cmd *cobra.Command, args []string) error { return n.run(cmd, args[0]) },
	}
	n.flags(cmd)
	f := cmd.Flags()
	n.runFlag(cmd)
	f.Lookup("run").Usage = "`FILE` of several products that were made together, in place of --bom"
	f.Lookup("bom").Usage = "`FILE` with the bill of materials of the run, for the rest of a short delivery"
	f.Lookup("prices").Usage = "price sheet `FILE` or folder, for the rest of a short delivery"
	f.StringVar(&n.date, "date", "", "`DATE` of what is written, and on which the rest is ordered, YYYY-MM-DD (default: today)")
	f.StringVar(&n.update, "update", "", "price sheet `FILE` or folder to write into what the run has shown, and what is on hand")
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("update", "csv", "xlsx")
	return cmd
}

// run reads, compares, and tells.
func (n *settlement) run(cmd *cobra.Command, name string) error {
	if err := n.prepare(cmd); err != nil {
		return err
	}
	if (len(n.BOM) == 0 && n.RunFile == "") != (n.Prices == "") {
		return usage("settle takes --bom (or --run) and --prices together, for the rest of a short delivery")
	}
	actuals, problems, err := n.read(name)
	if err != nil {
		return err
	}
	s := settling.Settle(actuals)
	problems = append(problems, s.Queries()...)
	var rest *cost.Remainder
	if n.Prices != "" && len(s.Shorts) > 0 {
		var more bom.Problems
		if rest, more, err = n.rest(cmd, s); err != nil {
			return err
		}
		problems = append(problems, more...)
	}
	done := ""
	if n.update != "" {
		var more bom.Problems
		if done, more, err = n.learn(cmd, name, s); err != nil {
			return err
		}
		problems = append(problems, more...)
	}
	say(cmd, problems)
	if err := show(cmd.OutOrStdout(), s, rest); err != nil || done == "" {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "\n%s\n", done)
	return nil
}

// read reads the workbook.
func (n *settlement) read(name string) (*bom.Actuals, bom.Problems, error) {
	tables, problems := n.RunTables(name)
	if problems.Failed() {
		return nil, nil, refused(problems)
	}
	actuals, more := sheet.ReadActuals(tables, filepath.ToSlash(name), sheet.Options{Headings: n.Options.Headings, Mark: n.Options.Mark})
	if problems = append(problems, more...); problems.Failed() {
		return nil, nil, refused(problems)
	}
	return actuals, problems, nil
}

// rest plans the rest of a short delivery.
func (n *settlement) rest(cmd *cobra.Command, s *settling.Settlement) (*cost.Remainder, bom.Problems, error) {
	if several := len(s.Actuals.Products) > 0; several != (n.RunFile != "") {
		return nil, nil, usage("settle takes --run where the run was of several products, else --bom")
	}
	today, err := parseToday(n.date)
	if err != nil {
		return nil, nil, err
	}
	ctx := cmd.Context()
	run := cost.Run{Today: today, Stop: func() bool { return ctx.Err() != nil }}
	problems := n.readRun(&run)
	if !problems.Failed() {
		problems = append(problems, plannedAs(&run, s.Actuals)...)
	}
	if problems.Failed() {
		return nil, nil, refused(problems)
	}
	if n.RunFile == "" {
		if run.Level, err = parseLevel(s.Level); err != nil {
			return nil, nil, err
		}
	}
	var have []cost.Having
	for i, p := range s.Parts {
		if q, ok := bom.QuantityOf(s.There[i].RoundDown(6)); ok {
			have = append(have, cost.Having{Part: p.Part, Pieces: q})
		}
	}
	rest, more := cost.RestOf(run, have)
	if more.Failed() {
		return nil, nil, refused(more)
	}
	if ctx.Err() != nil {
		return nil, nil, interrupted()
	}
	return rest, problems.Of(bom.Warning), nil
}

// plannedAs gives a run the units that an actuals workbook plans.
func plannedAs(run *cost.Run, a *bom.Actuals) (problems bom.Problems) {
	run.Batches = []int{int(a.Good.Planned.IntPart())}
	if run.Programme == nil {
		return nil
	}
	plan := bom.Plan{Name: bom.RunMark}
	for _, p := range bom.Refs(run.Programme.Products) {
		at := slices.IndexFunc(a.Products, func(x bom.RunMade) bool { return bom.SameName(x.Name, p.Name) })
		if at < 0 {
			problems.Errorf(p.At("Product"), p.Name, "the run file that the plan was made of", "the actuals workbook has no product of that name")
			continue
		}
		plan.Units = append(plan.Units, int(a.Products[at].Good.Planned.IntPart()))
	}
	run.Programme.Plans = []bom.Plan{plan}
	return problems
}

// show prints what became of the run.
func show(w io.Writer, s *settling.Settlement, rest *cost.Remainder) error {
	fmt.Fprintln(w, reports.Settled(s))
	if open := reports.SettledOpen(s); open != "" {
		fmt.Fprintln(w, open)
	}
	tables := []reports.Table{reports.SettledTotals(s), reports.SettledProducts(s), reports.Variances(s), reports.VarianceLines(s), reports.ShortParts(s)}
	if rest != nil {
		tables = append(tables, reports.RestOrders(rest, s.Home))
	}
	tables = append(tables, reports.Learnt(s))
	for i := range tables {
		tables[i].Name = "" // the titles say it
	}
	return printTables(w, tables...)
}
