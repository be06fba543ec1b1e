package main

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

// How far a figure is told where nobody says: as deep as fits, but not too deep.
const (
	depthUsual = 3
	linesUsual = 40
)

func newExplain() *cobra.Command {
	j := &job{}
	var depth int
	var asJSON bool
	cmd := &cobra.Command{
		Use:   "explain --bom FILE --prices FILE|FOLDER --batch N[,N…] [FIGURE]",
		Short: "tell how a figure of an estimate came about",
		Long: `explain computes the batches and tells how one figure of each came about: what
it was worked out from, down to the cells that were read, with their dates.
FIGURE is "unit cost", "cash out", a category, or the name of a supplier, a
payer, a part, a line (by designator), a fee, an operation, a setting and so on,
alone or with what of it: "Corner Parts: duty". Without FIGURE it lists what
there is.`,
		Example: `  tenoff explain --bom unit.csv --prices prices.xlsx --batch 40 "duty and tax"`,
		Args:    between(0, 1, "one figure, in quotes"),
		RunE: func(cmd *cobra.Command, args []string) error {
			if cmd.Flags().Changed("depth") && depth < 0 {
				return usage("--depth %d: expected a whole number; 0 is all", depth)
			}
			if depth < 0 && asJSON { // programs know no screen
				depth = depthUsual
			}
			return j.explain(cmd, strings.Join(args, ""), depth, asJSON)
		},
		ValidArgsFunction: func(cmd *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
			if len(args) > 0 || slices.Contains(j.BOM, "-") || j.Prices == "-" || needed(cmd, args) != nil {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return j.askable(cmd), cobra.ShellCompDirectiveNoFileComp
		},
	}
	j.runFlags(cmd)
	j.substitutesFlag(cmd)
	f := cmd.Flags()
	f.IntVar(&depth, "depth", -1, "shows `N` levels below the figure; 0: all, down to the cells (default: as many as fit in 40 lines, at most 3; in JSON 3)")
	f.Lookup("depth").DefValue = "0" // as if none: that it is -1 says nothing
	f.BoolVar(&asJSON, "json", false, "prints JSON for programs")
	return cmd
}

// explain reads, computes, and tells.
func (j *job) explain(cmd *cobra.Command, figure string, depth int, asJSON bool) error {
	if err := j.prepare(cmd); err != nil {
		return err
	}
	request, err := j.request(cmd.Context())
	if err != nil {
		return err
	}
	e, problems, err := j.compute(cmd, request, asked{})
	if err != nil {
		return err
	}
	defer sayBriefly(cmd, problems, j.verbose)
	if figure == "" {
		return terminal.Askable(cmd.OutOrStdout(), reports.NewExplainer(e.Estimate, &e.Batches[0]), terminal.Width)
	}
	var told []reports.Explained
	further := 0 // levels, where what is told is cut
	for _, b := range bom.Refs(e.Batches) {
		x := reports.NewExplainer(e.Estimate, b)
		r, err := x.Find(figure)
		var none *reports.NoFigure
		if errors.As(err, &none) {
			return usage("batch %s, %q: %v", b.ID(), figure, none)
		}
		it, levels := tellFitting(x, r, depth)
		if depth < 0 && terminal.Cut(it) {
			further = levels + 1
		}
		told = append(told, reports.Explained{Batch: b, Figure: it})
	}
	err = showTold(cmd.OutOrStdout(), e.Estimate, told, asJSON)
	if further > 0 && !asJSON {
		fmt.Fprintf(cmd.OutOrStdout(), "--depth %d goes further, --depth 0 down to the cells\n", further)
	}
	return err
}

// tellFitting tells a figure as deep as is said, else as deep as fits on a screen.
func tellFitting(x *reports.Explainer, r sum.Ref, depth int) (told sum.Told, levels int) {
	if depth >= 0 {
		return x.Tell(r, depth), depth
	}
	for levels = depthUsual; ; levels-- {
		if told = x.Tell(r, levels); levels == 1 || terminal.ExplainedLines(told, terminal.Width) <= linesUsual {
			return told, levels
		}
	}
}

// askable are the things that can be asked for in the first batch; none where the run
// cannot be computed.
func (j *job) askable(cmd *cobra.Command) []string {
	j.BOM = once(j.BOM) // the flags were parsed twice
	r, _, err := j.read(cmd)
	if err != nil {
		return nil
	}
	e, problems := cost.Compute(r)
	if problems.Failed() {
		return nil
	}
	var out []string
	for _, a := range reports.NewExplainer(e, &e.Batches[0]).Asking() {
		out = append(out, a.Things...)
	}
	return out
}

// headOf names one of the batches of an estimate.
func headOf(e *cost.Estimate, i int) string {
	b := &e.Batches[i]
	if b.Name != "" {
		return fmt.Sprintf("%s, %s of %s", b.Name, reports.Counted(b.Size, "unit"), reports.Counted(len(e.Products), "product"))
	}
	return fmt.Sprintf("batch %s, level %s", reports.ShownCount(b.Size), e.Level)
}

// showTold prints what is told of each batch.
func showTold(w io.Writer, e *cost.Estimate, told []reports.Explained, asJSON bool) error {
	if asJSON {
		if err := reports.WriteExplainedJSON(w, e, told); err != nil {
			return err
		}
	}
	unknown := false
	for i, t := range told {
		unknown = unknown || t.Figure.Unknown
		if asJSON {
			continue
		}
		if i > 0 {
			fmt.Fprintln(w)
		}
		fmt.Fprintln(w, headOf(e, i))
		if err := terminal.Explain(w, t.Figure, terminal.Width); err != nil {
			return err
		}
	}
	if unknown {
		return &exitError{code: exitIncomplete, message: "the figure rests on something that has no price"}
	}
	return nil
}
