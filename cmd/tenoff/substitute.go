package main

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

func newSubstitute() *cobra.Command {
	j := &job{}
	var gone, short, dry []string
	cmd := &cobra.Command{
		Use:   "substitute --bom FILE --prices FILE|FOLDER --batch N[,N…]",
		Short: "compare every way out where a part runs short",
		Long: `substitute looks at the parts that the stock does not cover, and at those that
are treated as gone. It compares buying them elsewhere, each substitute, a mix
of both, waiting for what is expected, and fewer units. Each way is the whole
run, planned anew. Several short parts are decided together.
Substitutes are rows of the tab substitutes, and two-terminal passives of the
same list that are no worse by what their values and descriptions state. Check
the data sheet before you rely on one.`,
		Example: "  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40\n" +
			"  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40 \\\n    --short CHIP-8=12\n" +
			"  tenoff substitute --bom unit.csv --prices prices.xlsx --batch 40 \\\n    --dry 'Corner Parts'",
		Args: flagsOnly,
		RunE: func(cmd *cobra.Command, _ []string) error {
			if err := require(cmd, "bom", "prices", "batch"); err != nil {
				return err
			}
			scarce, err := scarcity(gone, short, dry)
			if err != nil {
				return err
			}
			return j.substitute(cmd, scarce)
		},
	}
	j.runFlags(cmd)
	f := cmd.Flags()
	f.StringArrayVar(&gone, "out-of-stock", nil, "treats `PART` as out of stock everywhere (repeatable)")
	f.StringArrayVar(&short, "short", nil, "treats so many pieces of a part as all that its suppliers have left, `PART=PIECES` (repeatable)")
	f.StringArrayVar(&dry, "dry", nil, "treats `SUPPLIER` as out of stock (repeatable)")
	j.completes(cmd, "out-of-stock", partsOf)
	j.completes(cmd, "dry", suppliersOf)
	return cmd
}

// scarcity reads what is taken for gone.
func scarcity(gone, short, dry []string) (cost.Scarcity, error) {
	s := cost.Scarcity{Dry: dry}
	seen := map[string]bool{}
	add := func(flag, text, part string, pieces bom.Quantity) error {
		if seen[bom.ExactKey(part)] {
			return usage("--%s %q: what is left of %s is said twice", flag, text, part)
		}
		seen[bom.ExactKey(part)] = true
		s.Left = append(s.Left, cost.Left{Part: part, Pieces: pieces})
		return nil
	}
	for _, part := range gone {
		if err := add("out-of-stock", part, strings.TrimSpace(part), 0); err != nil {
			return s, err
		}
	}
	for _, text := range short {
		at := strings.LastIndex(text, "=")
		if at < 0 {
			return s, usage("--short %q: expected 'PART=PIECES'", text)
		}
		part, number := strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
		n, err := strconv.ParseInt(number, 10, 64)
		pieces, ok := bom.One.Times(n)
		if part == "" || err != nil || !ok {
			return s, usage("--short %q: expected 'PART=PIECES' with a whole number of 0 or more", text)
		}
		if err := add("short", text, part, pieces); err != nil {
			return s, err
		}
	}
	return s, nil
}

// substitute reads, compares, and prints.
func (j *job) substitute(cmd *cobra.Command, scarce cost.Scarcity) error {
	r, problems, err := j.read(cmd)
	if err != nil {
		return err
	}
	found, more := cost.WaysOut(r, scarce)
	problems = append(problems, more...)
	if problems.Failed() {
		return refused(problems)
	}
	if cmd.Context().Err() != nil {
		return interrupted()
	}
	defer sayBriefly(cmd, problems, j.verbose)
	tables := reports.WaysOutByPart(found, r.Prices.Settings.Home, r.Today)
	if len(found.Parts) == 0 {
		tables = []reports.Table{{Notes: []string{"no part is short: the offers cover every batch"}}}
	}
	for i, t := range tables {
		if i > 0 {
			_, _ = fmt.Fprintln(cmd.OutOrStdout())
		}
		if err := terminal.Print(cmd.OutOrStdout(), t, 0); err != nil {
			return err
		}
	}
	return nil
}
