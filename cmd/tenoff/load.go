package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/bom/mesh"
	"tenoff/bom/table"
	"tenoff/cost"
	"tenoff/fixtures"
)

// source holds the flags that say what is read, and how.
type source struct {
	load.Source
	batches     string // sizes, or plans of a run file
	headings    []string
	decimalMark string
	limits      []string
}

func (s *source) flags(cmd *cobra.Command) {
	s.priceFlags(cmd)
	f := cmd.Flags()
	f.Var((*filesFlag)(&s.BOM), "bom", "`FILE` with the bill of materials of one unit, CSV, XLSX or ODS (file.xlsx#Sheet picks a sheet; - is standard input)"+eachOnce)
	f.BoolVar(&s.Options.AllowOutside, "allow-outside", false, "allows files outside the folder of the bill of materials, or of the run file")
	f.BoolVar(&s.Options.Strict, "strict", false, "treats assumptions as errors")
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("bom", "csv", "xlsx", "ods", "tsv", "txt")
}

// eachOnce is what several lists make.
const eachOnce = "; given again: a unit with one of each"

// strictly makes errors of what is assumed beyond the reading, where --strict is given.
func (s *source) strictly(problems bom.Problems) bom.Problems {
	if s.Options.Strict {
		return problems.Strict()
	}
	return problems
}

// runFlag lets several products stand in the place of one.
func (s *source) runFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&s.RunFile, "run", "", "in place of --bom and --batch: `FILE` of several products that are made together, with the columns Product, BOM, Level and Run")
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("run", "csv", "xlsx", "ods", "tsv", "txt")
}

// currencyFlag lets a run do without a price sheet.
func (s *source) currencyFlag(cmd *cobra.Command) {
	cmd.Flags().StringVar(&s.Currency, "currency", "", "home currency, a `CODE` of ISO 4217, for a run without --prices: the prices in the list count")
}

// priceFlags say how the price sheet is read.
func (s *source) priceFlags(cmd *cobra.Command) {
	f := cmd.Flags()
	f.StringVar(&s.Prices, "prices", "", "price sheet `FILE`: an XLSX or ODS workbook, or a folder with one CSV for each tab")
	s.readFlags(f)
	// The only error is an unknown flag name.
	_ = cmd.MarkFlagFilename("prices", "csv", "xlsx", "ods", "tsv", "txt")
}

// readFlags say how any table is read.
func (s *source) readFlags(f *pflag.FlagSet) {
	f.StringArrayVar(&s.headings, "heading", nil, "reads another heading as a known one, `PAIR` such as 'Their name=Quantity' (repeatable)")
	f.StringVar(&s.decimalMark, "decimal-mark", "", "decimal `MARK` of figures typed as text: dot or comma (default: each file shows its own)")
	f.StringArrayVar(&s.limits, "limit", nil, "raises a limit on what is read, `LIMIT` such as rows=500000 (repeatable; see README)")
}

// prepare turns the flags into options.
func (s *source) prepare(cmd *cobra.Command) error {
	s.Stdin = cmd.InOrStdin()
	s.Usual = func() ([]bom.Table, error) { return priceTabs(fixtures.Starter()) }
	if slices.Contains(s.BOM, "-") && s.Prices == "-" {
		return usage("--bom and --prices cannot both be standard input")
	}
	if s.Options.Assembler != "" && s.Prices == "" {
		return usage("--assembler needs --prices, which hold what assemblers ask")
	}
	if s.RunFile != "" {
		if err := s.onlyRun(cmd); err != nil {
			return err
		}
	}
	if s.Currency != "" {
		if s.Prices != "" {
			return usage("--currency is for a run without --prices; a price sheet has the setting Home currency")
		}
		if _, err := parseCurrency(s.Currency); err != nil {
			return err
		}
	}
	s.Options.Headings = map[string]string{}
	for _, h := range s.headings {
		theirs, ours, ok := strings.Cut(h, "=")
		if !ok || strings.TrimSpace(theirs) == "" {
			return usage("--heading %q: expected 'Their name=Our name'", h)
		}
		s.Options.Headings[strings.TrimSpace(theirs)] = strings.TrimSpace(ours)
	}
	switch s.decimalMark {
	case "":
	case "dot", ".":
		s.Options.Mark = bom.MarkDot
	case "comma", ",":
		s.Options.Mark = bom.MarkComma
	default:
		return usage("--decimal-mark %q: expected dot or comma", s.decimalMark)
	}
	return s.setLimits()
}

// onlyRun refuses what a run file says itself.
func (s *source) onlyRun(cmd *cobra.Command) error {
	for _, f := range []struct{ name, column string }{{"bom", "BOM"}, {"level", "Level"}} {
		if flag := cmd.Flag(f.name); flag != nil && flag.Changed {
			return usage("--%s does not go with --run: the run file has the column %s", f.name, f.column)
		}
	}
	if s.RunFile == "-" && s.Prices == "-" {
		return usage("--run and --prices cannot both be standard input")
	}
	return nil
}

// readRun reads the run that the flags name.
func (s *source) readRun(r *cost.Run) (problems bom.Problems) {
	if s.RunFile == "" {
		r.Unit, r.Prices, problems = s.Run()
		return problems
	}
	r.Programme, r.Unit, r.Prices, problems = s.Programme()
	if r.Programme != nil {
		s.pickPlans(r.Programme, &problems)
		r.Batches = nil
		for i := range r.Programme.Plans {
			r.Batches = append(r.Batches, r.Programme.Plans[i].All())
		}
	}
	return problems
}

// pickPlans leaves the plans of a run file that --batch names, "Run small" or "small"; all
// where it names none.
func (s *source) pickPlans(p *bom.Programme, problems *bom.Problems) {
	if s.batches == "" {
		return
	}
	names := bom.Each(p.Plans, func(plan *bom.Plan) string { return plan.Name })
	picked := make([]bool, len(p.Plans))
	for _, word := range strings.Split(s.batches, ",") {
		word = strings.TrimSpace(word)
		at := slices.IndexFunc(names, func(name string) bool { return bom.SameName(name, word) || bom.SameName(name, bom.RunMark+" "+word) })
		if at < 0 {
			problems.Errorf(bom.Place{File: p.File}, word, "one of "+strings.Join(names, ", "), "--batch: the run file has no plan of that name")
			continue
		}
		picked[at] = true
	}
	var kept []bom.Plan
	for i, plan := range p.Plans {
		if picked[i] {
			kept = append(kept, plan)
		}
	}
	p.Plans = kept
}

func parseCurrency(text string) (bom.Currency, error) {
	currency, ok := bom.FindCurrency(text)
	if !ok {
		return currency, usage("--currency %q: expected a code of ISO 4217 such as EUR", text)
	}
	return currency, nil
}

// limitKeys are all that --limit knows.
func limitKeys() []string {
	keys := slices.Clone(table.LimitKeys)
	for _, key := range mesh.LimitKeys {
		if !slices.Contains(keys, key) {
			keys = append(keys, key)
		}
	}
	return keys
}

func (s *source) setLimits() error {
	s.Tables, s.Prints = table.DefaultLimits(), mesh.DefaultLimits()
	for _, l := range s.limits {
		key, value, _ := strings.Cut(l, "=")
		n, err := strconv.ParseInt(value, 10, 64)
		if err != nil {
			return usage("--limit %q: expected KEY=NUMBER, with KEY one of %s", l, strings.Join(limitKeys(), ", "))
		}
		known := false
		if slices.Contains(table.LimitKeys, key) {
			known, err = true, s.Tables.Set(key, n)
		}
		if err == nil && slices.Contains(mesh.LimitKeys, key) {
			known, err = true, s.Prints.Set(key, n)
		}
		switch {
		case err != nil:
			return usage("--limit: %v", err)
		case !known:
			return usage("--limit: there is no limit %q; known are %s", key, strings.Join(limitKeys(), ", "))
		}
	}
	return nil
}
