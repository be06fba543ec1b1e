package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/bom/sheet"
	"tenoff/bom/table"
	"tenoff/cost/quoting"
	"tenoff/reports"
	"tenoff/reports/pricesheet"
	"tenoff/reports/terminal"
)

// keptEnding is that of the copy of a price sheet as it was before.
const keptEnding = ".before"

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
those that stand there. A price that was asked for one quantity holds from that
quantity on; where the sheet has a lower one for it, that is what goes up.`,
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
	f.StringVar(&n.supplier, "supplier", "", "`NAME` of the supplier, where no column of the quote names one")
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
	p, problems, err := n.openSheet()
	if err != nil {
		return err
	}
	for _, name := range quotes {
		parts, more := sheet.ReadQuote(filepath.ToSlash(name), n.Open, quoteOptions)
		run.Quoted, problems = append(run.Quoted, parts...), append(problems, more...)
	}
	if n.BOM != "" {
		unit, more := n.ReadBOM(n.BOM, p.prices)
		run.Unit, problems = unit, append(problems, more.Of(bom.Error)...) // what it assumes is of no account here
	}
	if problems.Failed() {
		return refused(once(problems))
	}
	run.Prices = p.prices
	entered, more := quoting.Enter(run)
	if problems = append(problems, more...); problems.Failed() {
		return refused(once(problems))
	}
	if more, err = p.write(entered.Offers, n.Tables); err != nil {
		return err
	}
	if problems = append(problems, more...); problems.Failed() {
		return refused(once(problems))
	}
	say(cmd, once(problems))
	done := "nothing to enter"
	if len(entered.Offers) > 0 {
		if done, err = n.commit(cmd, p); err != nil {
			return err
		}
	}
	if err := terminal.Print(cmd.OutOrStdout(), reports.Entered(entered), 0); err != nil {
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
	case piped && n.BOM == "-":
		return run, quote, usage("the quote and --bom cannot both be standard input")
	}
	run.Supplier, run.AddUnknown = strings.TrimSpace(n.supplier), n.addUnknown
	if run.Today, err = parseToday(""); err != nil {
		return run, quote, err
	}
	quote.Options = n.Options
	ok := true
	if n.asOf != "" {
		if quote.AsOf, ok = bom.ParseDate(n.asOf); !ok {
			return run, quote, usage("--as-of %q: expected a date YYYY-MM-DD", n.asOf)
		}
	}
	if n.currency != "" {
		if run.Currency, ok = bom.FindCurrency(n.currency); !ok {
			return run, quote, usage("--currency %q: expected a code of ISO 4217 such as EUR", n.currency)
		}
	}
	return run, quote, nil
}

// keptSheet is a price sheet that is written into.
type keptSheet struct {
	name   string
	all    []bom.Table
	prices *bom.Prices
	option sheet.Options
	faults bom.Problems // complaints that it was read with

	table   int    // among all: the tab offers
	path    string // of the file that holds it, through links
	old     []byte // that file
	new     []byte // as it shall be; nil: nothing changes
	added   int    // rows
	changed int
}

// openSheet reads the price sheet and the bytes of the file that holds its offers.
func (n *entering) openSheet() (*keptSheet, bom.Problems, error) {
	p := &keptSheet{name: filepath.ToSlash(n.Prices), option: sheet.Options{Headings: n.Options.Headings}}
	var problems bom.Problems
	p.all, problems = n.PriceTables(n.Prices)
	if problems.Failed() {
		return nil, nil, refused(problems)
	}
	p.prices, p.faults = sheet.ReadPrices(p.all, p.name, p.option)
	p.table = slices.IndexFunc(p.all, func(t bom.Table) bool { return sheet.TabOf(t) == bom.TabOffers })
	if p.table < 0 {
		problems.Errorf(bom.Place{File: p.name}, "", "the tab, with the headings Part number, Supplier and Price", "the price sheet has no tab offers")
		return nil, nil, refused(problems)
	}
	if p.faults.Failed() {
		return nil, nil, refused(p.faults)
	}
	t := &p.all[p.table]
	p.path = load.Resolved(filepath.FromSlash(t.File))
	data, err := os.ReadFile(p.path)
	if err != nil {
		return nil, nil, failed("%s: %v", filepath.FromSlash(t.File), load.Reason(err))
	}
	p.old = data
	if again, _ := table.Read(t.File, data, n.Tables); !reflect.DeepEqual(again, p.file()) {
		return nil, nil, failed("%s: was changed while it was read; run enter again", t.File)
	}
	return p, problems, nil
}

// file gives the tables of the file that holds the offers.
func (p *keptSheet) file() []bom.Table {
	var out []bom.Table
	for _, t := range p.all {
		if t.File == p.all[p.table].File {
			out = append(out, t)
		}
	}
	return out
}

// write makes the new bytes, reads them again, and holds them against what was
// meant.
func (p *keptSheet) write(offers []quoting.Offer, limit table.Limits) (bom.Problems, error) {
	t := &p.all[p.table]
	edit, problems := pricesheet.Lay(p.prices, t, offers)
	if problems.Failed() || edit.Empty() {
		return problems, nil
	}
	made, formulas, err := edit.Write(p.old)
	var no *pricesheet.Refusal
	if errors.As(err, &no) {
		problems.Errorf(bom.Place{File: t.File}, "", no.Want, "%s", no.What)
		return problems, nil
	}
	after, more := table.Read(t.File, made, limit)
	if err == nil {
		err = edit.Check(p.file(), after)
	}
	if err == nil && more.Failed() {
		err = errors.New(more.Of(bom.Error)[0].String())
	}
	if err == nil {
		more, err = p.readAgain(after, offers)
	}
	if err != nil {
		return problems, failed("%s: what would be written does not read back as meant: %v; nothing was written", t.File, err)
	}
	p.new = made
	p.added, p.changed = edit.Rows()
	if formulas {
		problems.Warnf(bom.Place{File: t.File}, "", "recalculate the workbook in a spreadsheet and save it", "formulas in the workbook are not recalculated")
	}
	return append(problems, more...), nil
}

// readAgain reads the price sheet with the new tables of one file. The offers are
// those that were meant, and no complaint is new but warnings, which it gives.
func (p *keptSheet) readAgain(after []bom.Table, offers []quoting.Offer) (bom.Problems, error) {
	all := slices.Clone(p.all)
	for i, next := range all {
		if next.File == p.all[p.table].File {
			all[i], after = after[0], after[1:]
		}
	}
	prices, found := sheet.ReadPrices(all, p.name, p.option)
	var fresh bom.Problems
	for _, f := range found {
		if f.Severity != bom.Note && !slices.Contains(p.faults, f) {
			fresh = append(fresh, f)
		}
	}
	if fresh.Failed() {
		return nil, errors.New(fresh.Of(bom.Error)[0].String())
	}
	return fresh, pricesheet.CheckOffers(prices, offers)
}

// commit puts the new file into place, with the old one beside it, and says so.
func (n *entering) commit(cmd *cobra.Command, p *keptSheet) (done string, err error) {
	shown := p.all[p.table].File
	switch {
	case n.preview:
		return "nothing was written, as --preview asks", nil
	case p.new == nil:
		return shown + " says all of it already; nothing was written", nil
	}
	o := &outputs{force: true, inputs: slices.DeleteFunc(slices.Clone(n.Files()), func(name string) bool { return p.isOurs(name) })}
	o.add(p.path+keptEnding, nil, writeBytes(p.old))
	o.files[0].like = p.path
	o.add(p.path, nil, writeBytes(p.new))
	if err := o.check(); err != nil {
		return "", err
	}
	if now, err := os.ReadFile(p.path); err != nil || !bytes.Equal(now, p.old) {
		return "", failed("%s: was changed meanwhile; run enter again", shown)
	}
	if err := o.commit(cmd.Context()); err != nil {
		return "", err
	}
	return fmt.Sprintf("wrote %s: %s added, %d changed\nkept as it was before: %s", shown, plural(p.added, "row"), p.changed, shown+keptEnding), nil
}

// isOurs tells whether a file that was read is of the price sheet.
func (p *keptSheet) isOurs(name string) bool {
	return slices.ContainsFunc(p.all, func(t bom.Table) bool { return t.File == name })
}
