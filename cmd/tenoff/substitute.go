package main

import (
	"slices"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

func newSubstitute() *cobra.Command {
	j := &job{}
	var parts, dry []string
	var outOfStock bool
	cmd := &cobra.Command{
		Use:   "substitute --bom FILE --prices FILE|FOLDER --batch N[,N…]",
		Short: "compare what each substitute does to the run",
		Long: `substitute looks for what may replace a part that --part, --out-of-stock or
--dry names: rows of the tab substitutes, and two-terminal passives of the same
list that are no worse by what their values and descriptions state. It plans the
purchases anew with each, and ranks them. Where several parts are short at once,
the others are replaced by their best substitute together. Check the data sheet
before you rely on one.`,
		Example: "  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40 --part CHIP-8\n" +
			"  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40 \\\n    --dry 'Corner Parts'",
		Args: flagsOnly,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := require(cmd, "bom", "prices", "batch"); err != nil {
				return err
			}
			if len(parts) == 0 && !outOfStock && len(dry) == 0 {
				return usage("substitute needs --part, --out-of-stock or --dry")
			}
			return j.substitute(cmd, parts, dry)
		},
	}
	j.runFlags(cmd)
	f := cmd.Flags()
	f.StringArrayVar(&parts, "part", nil, "the `PART` to replace (repeatable)")
	f.BoolVar(&outOfStock, "out-of-stock", false, "looks at all parts that are short for the largest batch")
	f.StringArrayVar(&dry, "dry", nil, "treats `SUPPLIER` as out of stock (repeatable)")
	j.completes(cmd, "part", partsOf)
	j.completes(cmd, "dry", suppliersOf)
	return cmd
}

// substitute reads, compares, and prints.
func (j *job) substitute(cmd *cobra.Command, parts, dry []string) error {
	if err := j.prepare(cmd); err != nil {
		return err
	}
	r, err := j.request(cmd.Context())
	if err != nil {
		return err
	}
	problems, err := j.load(&r)
	if err != nil {
		return err
	}
	if r.Prices, err = soldOut(r.Prices, dry); err != nil {
		return err
	}
	troubles, more := cost.Substitutes(r, parts)
	problems = append(problems, more...)
	if problems.Failed() {
		return refused(problems)
	}
	defer sayBriefly(cmd, problems, j.verbose)
	table := reports.Substitutes(troubles, r.Batches, r.Prices.Settings.Home)
	if len(troubles) == 0 {
		table.Notes = []string{"no part is short: the offers cover the largest batch of every part"}
	}
	return terminal.Print(cmd.OutOrStdout(), table, 0)
}

// soldOut is the price sheet as if some suppliers had nothing left. Boards,
// assembly and spools are still to be had.
func soldOut(p *bom.Prices, suppliers []string) (*bom.Prices, error) {
	out := *p
	out.Offers = slices.Clone(p.Offers)
	for _, name := range suppliers {
		found := false
		for i := range out.Offers {
			if out.Offers[i].Supplier == name {
				out.Offers[i].Stock, found = 0, true
			}
		}
		if !found {
			return nil, usage("--dry %q: no offer is from this supplier", name)
		}
	}
	return &out, nil
}
