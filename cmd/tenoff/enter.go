package main

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/sheet"
	"tenoff/cost/quoting"
	"tenoff/reports"
	"tenoff/reports/pricesheet"
	"tenoff/reports/terminal"
)

// entering is one run of the command enter.
type entering struct {
	*source
	supplier, asOf, currency string
	addUnknown, preview      bool
}

func newEnter() *cobra.Command {
	n := &entering{source: &source{}}
	cmd := &cobra.Command{
		Use:   "enter --prices FILE|FOLDER QUOTE…",
		Short: "take a supplier's quote into the tab offers of a price sheet",
		Long: `enter reads quotes, baskets, price lists or order confirmations of suppliers,
tells what in them is new, dearer, cheaper or unknown, and puts prices, stock
and terms into the tab offers of the price sheet. All else in the file stays as
it is; the file as it was is kept beside it, under a name that ends in .before.

A part is known by its name, by an order code of the same supplier, or by value
and package; one that is not is told of and left. Price breaks take the place of
those that stand there. A price for one quantity, as in a basket, holds from
that quantity on; where the price sheet is cheaper there, the price break that
holds is raised to it.`,
		Example: "  tenoff enter --prices prices.xlsx --supplier 'north parts' --preview quote.csv\n" +
			"  tenoff enter --prices prices --bom unit.csv basket.xlsx#Sheet1",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return usage("enter needs a quote to read")
			}
			return nil
		},
		RunE: func(cmd *cobra.Command, quotes []string) error {
			if n.Prices == "" {
				return usage("enter needs --prices")
			}
			return n.run(cmd, quotes)
		},
	}
	n.flags(cmd)
	f := cmd.Flags()
	f.Lookup("bom").Usage = "`FILE` with a bill of materials whose parts are known as well"
	f.Lookup("decimal-mark").Usage = "decimal `MARK` of figures typed as text in the quotes: dot or comma (default: each file shows its own)"
	f.StringVar(&n.supplier, "supplier", "", "`NAME` of the supplier, where no column of the quote names one; of several that stand side by side, whose prices are taken")
	n.completes(cmd, "supplier", suppliersOf)
	f.StringVar(&n.asOf, "as-of", "", "`DATE` of the prices, YYYY-MM-DD, where no column gives it (default: as the quote says above its table, else today)")
	f.StringVar(&n.currency, "currency", "", "`CODE` of the prices' currency by ISO 4217 (default: as the quote says, else the supplier's)")
	f.BoolVar(&n.addUnknown, "add-unknown", false, "enters unknown parts as well, under their own part numbers")
	f.BoolVar(&n.preview, "preview", false, "shows what would change and writes nothing")
	return cmd
}

// run reads, tells, and writes.
func (n *entering) run(cmd *cobra.Command, quotes []string) error {
	if err := n.prepare(cmd); err != nil {
		return err
	}
	run, quoteOptions, err := n.options(quotes)
	if err != nil {
		return err
	}
	p, err := n.openSheet()
	if err != nil {
		return err
	}
	problems := p.said
	if quoteOptions.Currency = run.Currency; run.Currency.Code == "" {
		quoteOptions.Currency = quoting.CurrencyOf(p.prices, run.Supplier)
	}
	for _, name := range quotes {
		parts, more := sheet.ReadQuote(filepath.ToSlash(name), n.Open, quoteOptions)
		run.Quoted, problems = append(run.Quoted, parts...), append(problems, more...)
	}
	if len(n.BOM) > 0 {
		unit, more := n.ReadBOM(p.prices, n.BOM...)
		run.Unit, problems = unit, append(problems, more.Of(bom.Error)...) // what it assumes is of no account here
	}
	if problems.Failed() {
		return refused(problems.Once())
	}
	run.Prices = p.prices
	entered, more := quoting.Enter(run)
	if problems = append(problems, more...); problems.Failed() {
		return refused(problems.Once())
	}
	shown := p.tab(bom.TabOffers).File
	rows, more, err := p.enter(entered.Offers)
	if err != nil {
		return err
	}
	if problems = append(problems, more...); problems.Failed() {
		return refused(problems.Once())
	}
	say(cmd, problems.Once())
	done := "nothing to enter"
	switch {
	case len(entered.Offers) == 0:
	case n.preview:
		done = "nothing was written, as --preview asks"
	default:
		if done, err = p.replace(cmd, shown, n.Files(), rows); err != nil {
			return err
		}
	}
	if err := terminal.Print(cmd.OutOrStdout(), reports.Entered(entered), terminal.Width); err != nil {
		return err
	}
	fmt.Fprintf(cmd.OutOrStdout(), "\n%s\n%s\n", reports.EnteredCounts(entered), done)
	return nil
}

// options turns the flags into what is asked of the readers.
func (n *entering) options(quotes []string) (run quoting.Entering, quote sheet.QuoteOptions, err error) {
	piped := slices.Contains(quotes, "-")
	switch {
	case n.Prices == "-":
		return run, quote, usage("enter writes into the price sheet, which cannot be standard input")
	case piped && slices.Contains(n.BOM, "-"):
		return run, quote, usage("the quote and --bom cannot both be standard input")
	}
	run.Supplier, run.AddUnknown = strings.TrimSpace(n.supplier), n.addUnknown
	if run.Today, err = parseToday(""); err != nil {
		return run, quote, err
	}
	quote.Options, quote.Supplier = n.Options, run.Supplier
	if n.asOf != "" {
		if quote.AsOf, err = parseDate("--as-of", n.asOf); err != nil {
			return run, quote, err
		}
	}
	if n.currency != "" {
		run.Currency, err = parseCurrency(n.currency)
	}
	return run, quote, err
}

// openSheet reads the price sheet, which must have the tab offers.
func (n *entering) openSheet() (*priceFiles, error) {
	p, err := n.openFiles(sheet.Options{Headings: n.Options.Headings})
	if err == nil && p.tab(bom.TabOffers) == nil {
		p.said.Errorf(bom.Place{File: p.name}, "", "the tab, with the headings Part number, Supplier and Price", "the price sheet has no tab offers")
		return nil, refused(p.said)
	}
	return p, err
}

// enter puts offers into their tab; it tells how many rows that adds and changes. The
// complaints that the price sheet gives rise to now, and did not before, are said.
func (p *priceFiles) enter(offers []quoting.Offer) (rows string, problems bom.Problems, err error) {
	t, faults := p.tab(bom.TabOffers), p.faults
	edit, problems := pricesheet.Lay(p.prices, t, offers)
	if problems.Failed() || edit.Empty() {
		return "", problems, nil
	}
	more, err := p.write(t.File, edit)
	if problems = append(problems, more...); err != nil || problems.Failed() {
		return "", problems, err
	}
	if err := pricesheet.CheckOffers(p.prices, offers); err != nil {
		return "", problems, unmeant(t.File, err)
	}
	if p.formulas {
		problems.Warnf(bom.Place{File: t.File}, "", "recalculate the workbook in a spreadsheet and save it", "formulas in the workbook are not recalculated")
	}
	for _, f := range p.faults {
		if f.Severity != bom.Note && !slices.Contains(faults, f) {
			problems = append(problems, f)
		}
	}
	added, changed := edit.Rows()
	return fmt.Sprintf("%s added, %d changed", reports.Counted(added, "row"), changed), problems, nil
}
