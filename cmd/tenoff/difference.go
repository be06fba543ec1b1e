package main

import (
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
	"tenoff/reports"
	"tenoff/reports/terminal"
	"tenoff/reports/workbook"
)

func newDifference() *cobra.Command {
	j := &job{}
	var boms, runs, prices filesFlag
	var csv string // the file; j.csvDir is a folder
	cmd := &cobra.Command{
		Use:   "difference --bom OLD --bom NEW --prices FILE|FOLDER --batch N[,N…]",
		Short: "tell what each change between two revisions costs",
		Long: `difference compares two bills of materials, two price sheets, or both: --bom
and --prices are given once or twice, the old one first. It applies the changes
one by one, computes the batches after each, and shows what each does to the
unit cost; the steps add up to the whole change. --run in place of --bom does
it for several products together, in the plans of the new run file.`,
		Example: "  tenoff difference --bom old.csv --bom new.csv --prices prices.xlsx --batch 40\n" +
			"  tenoff difference --bom unit.csv --prices spring.xlsx \\\n    --prices autumn.xlsx --batch 40",
		Args: flagsOnly,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if lists := max(len(boms), len(runs)); lists > 2 || len(prices) > 2 || lists < 2 && len(prices) < 2 {
				return usage("difference needs two --bom, two --run or two --prices, the old one first; at most two of each")
			}
			return j.difference(cmd, boms, runs, prices, csv)
		},
	}
	j.runFlags(cmd)
	j.substitutesFlag(cmd)
	f := cmd.Flags()
	f.StringVar(&csv, "csv", "", "CSV `FILE` to write as well; - is standard output")
	f.StringVar(&j.out, "out", "", "workbook `FILE` to write (XLSX)")
	j.jsonFlags(f)
	for name, value := range map[string]*filesFlag{"bom": &boms, "run": &runs, "prices": &prices} {
		f.Lookup(name).Value = value
		f.Lookup(name).Usage = strings.TrimSuffix(f.Lookup(name).Usage, eachOnce) + "; twice: the old one, then the new one"
	}
	return cmd
}

// difference reads both revisions, compares, and prints.
func (j *job) difference(cmd *cobra.Command, boms, lists, prices filesFlag, csv string) error {
	if slices.Contains(slices.Concat(boms, lists, prices), "-") {
		return usage("difference reads files; standard input cannot be read for both runs")
	}
	batches := j.batches
	var runs [2]cost.Run
	var problems bom.Problems
	for i := range runs {
		j.BOM, j.RunFile, j.Prices = boms.at(i), lists.at(i).String(), prices.at(i).String()
		if j.batches = batches; i == 0 && j.RunFile != "" { // the plans are those of the new one
			j.batches = ""
		}
		run, found, err := j.read(cmd)
		if err != nil {
			return err
		}
		runs[i], problems = run, append(problems, found...)
	}
	revision, more := revision.Compare(runs[0], runs[1])
	problems = once(append(problems, j.strictly(more)...))
	if revision == nil || problems.Failed() {
		return refused(problems)
	}
	defer sayBriefly(cmd, problems, j.verbose)
	return j.writeDifference(cmd, runs[1].Name, revision, warnings(problems), csv)
}

// writeDifference writes the files that were asked for, and prints the steps
// unless standard output is one of them.
func (j *job) writeDifference(cmd *cobra.Command, name string, r *revision.Comparison, warned []string, csv string) error {
	table := reports.Difference(r)
	o := j.outputs(cmd.OutOrStdout())
	o.add(j.out, workbook.IsOurs, func(w io.Writer) error { return workbook.WriteDifference(w, name, r, j.options()) })
	o.add(j.json, reports.IsDifferenceJSON, func(w io.Writer) error { return reports.WriteDifferenceJSON(w, r, warned) })
	o.add(csv, reports.IsDifference, table.WriteCSV)
	if err := o.write(cmd.Context()); err != nil {
		return err
	}
	if slices.Contains([]string{j.out, j.json, csv}, "-") {
		return nil
	}
	return terminal.Print(cmd.OutOrStdout(), table, terminal.Width)
}

// once drops what stands in a list again.
func once[L ~[]T, T comparable](list L) L {
	var out L
	for _, p := range list {
		if !slices.Contains(out, p) {
			out = append(out, p)
		}
	}
	return out
}
