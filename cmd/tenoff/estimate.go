package main

import (
	"cmp"
	"context"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/rulecost"
	"tenoff/cost/sweep"
	"tenoff/cost/trial"
	"tenoff/reports"
	"tenoff/reports/terminal"
	"tenoff/reports/workbook"
)

// job is one run of estimate.
type job struct {
	source
	ordering
	sweeping
	trying
	pricing
	name       string
	level      string
	sideBySide bool // all levels
	date       string
	out        string
	quote      string
	quoteTo    string
	quoteNo    string
	json       string
	csvDir     string
	force      bool
	orders     string
	actuals    string
	carry      string
	why        bool
	detail     bool
	verbose    bool
}

func newEstimate() *cobra.Command {
	j := &job{}
	cmd := &cobra.Command{
		Use:   "estimate --bom FILE --prices FILE|FOLDER --batch N[,N…]",
		Short: "compute what one unit costs at each batch size",
		Long: `estimate reads a bill of materials and a price sheet, prints what one unit costs
at each batch size, and writes the workbook, JSON or CSV that the flags ask for.
With --run it computes several products that are bought and made together.
Without --prices it takes --currency and the prices that stand in the list.`,
		Example: `  tenoff estimate --bom unit.csv --prices prices.xlsx \
    --batch 10,40,100 --out estimate.xlsx
  tenoff estimate --run run.csv --prices prices.xlsx
  tenoff estimate --bom main.csv --currency EUR --batch 10,40`,
		Args: flagsOnly,
		RunE: j.run,
	}
	j.runFlags(cmd, levelAll)
	f := cmd.Flags()
	j.sweeping.flags(f)
	j.trying.flags(f)
	j.pricing.flags(f)
	cmd.Flag("level").Usage += "; " + levelAll + " puts them side by side"
	j.substitutesFlag(cmd)
	f.StringVar(&j.name, "name", "", "`NAME` of the unit (default: that of the file)")
	f.StringVar(&j.out, "out", "", "workbook `FILE` to write (XLSX)")
	f.StringVar(&j.quote, "quote", "", "workbook `FILE` to write with a quote to hand over (XLSX)")
	f.StringVar(&j.quoteTo, "quote-to", "", "who the quote is for, `NAME` and address (default: a line to fill in)")
	f.StringVar(&j.quoteNo, "quote-number", "", "`NUMBER` of the quote (default: a line to fill in)")
	f.StringVar(&j.csvDir, "csv", "", "folder `DIR` to write the tables into, one CSV file each; those of earlier runs go")
	f.StringVar(&j.orders, "orders", "", "folder `DIR` to write an order list (CSV) for each supplier into; those of earlier runs go")
	f.StringVar(&j.actuals, "actuals", "", "workbook `FILE` to write with the plan of one batch, to fill in while it is made (XLSX); settle reads it")
	f.StringVar(&j.carry, "carry", "", "`PATH` of a copy of the price sheet to write, with what is on hand after the one batch")
	f.BoolVar(&j.why, "why", false, "shows the second source of each part, and what leaving out each supplier would cost")
	f.BoolVar(&j.detail, "detail", false, "prints as well what the answer rests on: costs by category, hours, payers, parcels")
	j.jsonFlags(f)
	return cmd
}

// jsonFlags are the flags of every command that writes files for programs.
func (j *job) jsonFlags(f *pflag.FlagSet) {
	f.StringVar(&j.json, "json", "", "JSON `FILE` to write; - is standard output")
	f.BoolVar(&j.force, "force", false, "overwrites files that tenoff did not write")
}

// writeJSON writes the file for programs, where one is asked for.
func (j *job) writeJSON(cmd *cobra.Command, ours func([]byte) bool, write func(io.Writer) error) error {
	o := j.outputs(cmd.OutOrStdout())
	o.add(j.json, ours, write)
	return o.write(cmd.Context())
}

func (j *job) outputs(stdout io.Writer) *outputs {
	return &outputs{force: j.force, stdout: stdout, inputs: j.Files()}
}

// runFlags are the flags of every command that computes a run; levels are those that it
// takes besides the usual ones.
func (j *job) runFlags(cmd *cobra.Command, levels ...string) {
	cmd.PreRunE = needed
	j.source.flags(cmd)
	j.runFlag(cmd)
	j.currencyFlag(cmd)
	f := cmd.Flags()
	f.StringVar(&j.batches, "batch", "", "`NUMBERS` of good units wanted, 10,40,100; with --run names of its plans, 'small,large' (default: all)")
	f.StringVar(&j.level, "level", "built", "how far the unit is made, `LEVEL`: board, kit or built")
	f.StringVar(&j.date, "date", "", dateUsage)
	f.BoolVar(&j.verbose, "verbose", false, "lists every place of every warning, assumption and note")
	f.StringVar(&j.Options.Assembler, "assembler", "", "who places the SMT parts, `NAME` or bench, whatever the setting Assembler says")
	j.ordering.flags(f)
	j.completes(cmd, "assembler", assemblersOf)
	j.completes(cmd, "without", suppliersOf)
	j.completes(cmd, "dry", suppliersOf)
	j.completes(cmd, "out-of-stock", partsOf)
	j.completes(cmd, "take", swapsOf)
	// The only error is an unknown flag name.
	_ = cmd.RegisterFlagCompletionFunc("level", cobra.FixedCompletions(append(bom.LevelNames(), levels...), cobra.ShellCompDirectiveNoFileComp))
}

// levelAll asks for every level; what else is shown is the finished unit.
const levelAll = "all"

// needed asks for the flags that every run needs, all at once. --run does in the place of
// --bom and --batch, --currency in that of --prices.
func needed(cmd *cobra.Command, _ []string) error {
	given := func(flags ...string) bool {
		return slices.ContainsFunc(flags, func(flag string) bool { return cmd.Flag(flag).Value.String() != "" })
	}
	var missing []string
	if !given("bom", "run") {
		missing = append(missing, "--bom")
	}
	if !given("prices", "currency") {
		missing = append(missing, "--prices (or --currency, with the prices in the list)")
	}
	if !given("batch", "run") {
		missing = append(missing, "--batch")
	}
	if len(missing) > 0 {
		return usage("%s needs %s", cmd.Name(), strings.Join(missing, " and "))
	}
	return nil
}

// run reads, computes, and writes.
func (j *job) run(cmd *cobra.Command, _ []string) error {
	if err := j.prepare(cmd); err != nil {
		return err
	}
	if strings.EqualFold(strings.TrimSpace(j.level), levelAll) {
		j.level, j.sideBySide = bom.LevelBuilt.String(), true
	}
	request, err := j.request(cmd.Context())
	if err != nil {
		return err
	}
	sweep, err := j.sweeping.request()
	if err != nil {
		return err
	}
	try, err := j.trying.request()
	if err != nil {
		return err
	}
	if err := j.record(&request); err != nil {
		return err
	}
	e, problems, err := j.compute(cmd, request, asked{sweep, try})
	if err != nil {
		return err
	}
	if cmd.Context().Err() != nil {
		return interrupted()
	}
	if short := reports.QuoteShortened(e.Estimate, j.quoteTerms().On); j.quote != "" && short != "" {
		problems = append(problems, bom.Problem{Severity: bom.Warning, What: short, Want: "ask for that price again"})
	}
	if err := j.write(cmd.Context(), cmd.OutOrStdout(), e, problems); err != nil {
		return err
	}
	sayBriefly(cmd, problems, j.verbose)
	if !e.Complete {
		return &exitError{code: exitIncomplete, message: "the estimate is incomplete: what has no price shows ?"}
	}
	return nil
}

// request reads the flags that do not name files.
func (j *job) request(ctx context.Context) (cost.Run, error) {
	r := cost.Run{Why: j.why, Stop: func() bool { return ctx.Err() != nil }}
	err := j.rules(&r)
	if err != nil {
		return r, err
	}
	if j.RunFile == "" {
		if r.Batches, err = parseBatches(j.batches); err != nil {
			return r, err
		}
	}
	if r.Level, err = parseLevel(j.level); err != nil {
		return r, err
	}
	r.Today, err = parseToday(j.date)
	return r, err
}

// batchesAtMost is how many batch sizes one run holds: each has columns on the sheets.
const batchesAtMost = 50

func parseBatches(text string) ([]int, error) {
	var out []int
	for _, word := range strings.Split(text, ",") {
		n, err := strconv.Atoi(strings.TrimSpace(word))
		if err != nil || n < 1 || n > cost.MaxBatch {
			return nil, usage("--batch %q: expected whole numbers from 1 to %d, e.g. 10,40,100", text, cost.MaxBatch)
		}
		if slices.Contains(out, n) {
			return nil, usage("--batch %q: %d is given twice", text, n)
		}
		out = append(out, n)
	}
	if len(out) > batchesAtMost {
		return nil, usage("--batch: %d sizes; at most %d are computed side by side, and --sweep takes more", len(out), batchesAtMost)
	}
	slices.Sort(out)
	return out, nil
}

func parseLevel(text string) (bom.Level, error) {
	if level, ok := bom.FindLevel(strings.ToLower(strings.TrimSpace(text))); ok {
		return level, nil
	}
	return 0, usage("--level %q: expected one of %s; estimate takes %s as well", text, strings.Join(bom.LevelNames(), ", "), levelAll)
}

const dateUsage = "`DATE` of the run, YYYY-MM-DD (default: today): orders leave on it, and it is used to judge the age of prices"

// now is stopped by the tests that run the commands of the README.
var now = time.Now

func parseToday(text string) (bom.Date, error) {
	if text == "" {
		text = now().Format(time.DateOnly)
	}
	return parseDate("--date", text)
}

func parseDate(flag, text string) (bom.Date, error) {
	d, ok := bom.ParseDate(text)
	if !ok {
		return d, usage("%s %q: expected a date YYYY-MM-DD", flag, text)
	}
	return d, nil
}

// asked is what is computed besides the batches.
type asked struct {
	sweep *sweep.Request // nil: no curve
	try   *trial.Request // nil: no chances
}

// compute reads the input and computes the estimate; it gives the complaints that do not
// stop it.
func (j *job) compute(cmd *cobra.Command, r cost.Run, want asked) (*reports.Report, bom.Problems, error) {
	problems, err := j.load(&r)
	if err != nil {
		return nil, nil, err
	}
	if err := j.pricing.request(&r); err != nil {
		return nil, nil, err
	}
	if want.sweep != nil {
		if want.sweep.Targets, err = eachPrice("--target", j.sweeping.target, &r); err != nil {
			return nil, nil, err
		}
	}
	e, more := cost.Compute(r)
	if more = j.strictly(more); more.Failed() {
		return nil, nil, refused(append(problems, more...))
	}
	e.Warnings = append(warnings(problems), e.Warnings...)
	e.Assumptions = texts(append(problems.Of(bom.Assumption), more.Of(bom.Assumption)...))
	out := &reports.Report{Estimate: e, Extras: rulecost.Extras(r)}
	tell := func(found bom.Problems) {
		e.Warnings = append(e.Warnings, warnings(found)...)
		more = append(more, found...)
	}
	var found bom.Problems
	if j.sideBySide {
		if out.Levels, found = sweep.Levels(r); out.Levels != nil { // what is wrong with the run was told by now
			tell(found)
		}
	}
	if want.try != nil {
		out.Chances, found = j.trying.run(cmd, r, e, *want.try)
		tell(found)
	}
	if want.sweep != nil {
		out.Curve, found = runSweep(cmd, r, *want.sweep)
		tell(found)
	}
	if r.Price != nil {
		out.Pricing, found = breakEven(cmd, r, out)
		tell(found)
	}
	return out, append(problems, more...), nil
}

// read reads the run that the command line asks for.
func (j *job) read(cmd *cobra.Command) (cost.Run, bom.Problems, error) {
	if err := j.prepare(cmd); err != nil {
		return cost.Run{}, nil, err
	}
	r, err := j.request(cmd.Context())
	if err != nil {
		return cost.Run{}, nil, err
	}
	problems, err := j.load(&r)
	return r, problems, err
}

// load reads the bill of materials and the price sheet of a run.
func (j *job) load(r *cost.Run) (bom.Problems, error) {
	problems := j.readRun(r)
	if problems.Failed() {
		return nil, refused(problems)
	}
	r.Name = cmp.Or(j.name, j.unitName())
	if r.Programme == nil {
		return problems, nil
	}
	return problems, j.checkRun(r.Programme)
}

// checkRun refuses what makes no sense of several products, or of several plans.
func (j *job) checkRun(p *bom.Programme) error {
	switch plans := len(p.Plans); {
	case plans > batchesAtMost:
		return usage("--run: %d plans; at most %d are computed side by side", plans, batchesAtMost)
	case j.sweeping.sizes != "" && plans > 1:
		return usage("--sweep computes the multiples of one plan, and this run file has %d; --batch picks one", plans)
	case j.actuals+j.carry != "" && plans > 1:
		return usage("--actuals and --carry are for one plan, and this run file has %d; --batch picks one", plans)
	}
	return nil
}

// warnings are what the reports show of the complaints.
func warnings(problems bom.Problems) []string { return texts(problems.Of(bom.Warning)) }

// texts are complaints in words, one for each cause.
func texts(problems bom.Problems) []string {
	return bom.Each(problems.Grouped(), func(p *bom.Problem) string { return p.String() })
}

// unitName is what the files that a run begins with are called, each once.
func (j *job) unitName() string {
	var names []string
	for _, file := range append(slices.Clone(j.BOM), j.RunFile) {
		if name := unitName(file); file != "" && !slices.Contains(names, name) {
			names = append(names, name)
		}
	}
	return strings.Join(names, " + ")
}

// unitName is the file's name without folder, ending and sheet.
func unitName(path string) string {
	if path == "-" {
		return "unit"
	}
	file, _ := bom.SplitSheet(filepath.ToSlash(path))
	return bom.Stem(file)
}

// write writes the files that were asked for and prints the answer.
func (j *job) write(ctx context.Context, stdout io.Writer, r *reports.Report, problems bom.Problems) error {
	e := r.Estimate
	o := j.outputs(stdout)
	o.add(j.out, workbook.IsOurs, func(w io.Writer) error { return workbook.Write(w, r, j.options()) })
	o.add(j.quote, workbook.IsOurs, func(w io.Writer) error { return workbook.WriteQuote(w, e, j.quoteTerms()) })
	if err := j.addRecord(o, e); err != nil {
		return err
	}
	o.add(j.json, reports.IsOursJSON, func(w io.Writer) error { return reports.WriteJSON(w, r) })
	if j.csvDir != "" {
		if err := addTables(o, j.csvDir, reports.IsOursCSV, reports.Tables(r)); err != nil {
			return err
		}
	}
	if j.orders != "" {
		if err := addTables(o, j.orders, reports.IsOrderList, reports.OrderLists(e)); err != nil {
			return err
		}
	}
	if err := o.write(ctx); err != nil {
		return err
	}
	if j.json == "-" || j.out == "-" || j.quote == "-" || j.actuals == "-" {
		return nil // standard output is a file now
	}
	return j.show(stdout, r, terminal.Said{Counts: countsBriefly(problems, j.verbose), Files: j.written(o)})
}

// written names the files and folders that a run wrote.
func (j *job) written(o *outputs) []string {
	names := []string{}
	for _, f := range []string{j.out, j.quote, j.actuals, j.json} {
		if f != "" {
			names = append(names, f)
		}
	}
	for _, dir := range []string{j.csvDir, j.orders, j.carry} {
		if dir == "" {
			continue
		}
		if slices.ContainsFunc(o.files, func(f *output) bool { return f.path == dir }) {
			names = append(names, dir)
			continue
		}
		n := 0
		for _, f := range o.files {
			if !f.drop && filepath.Dir(f.path) == filepath.Clean(dir) {
				n++
			}
		}
		names = append(names, dir+" ("+reports.Counted(n, "file")+")")
	}
	return names
}

// jumpsShown is how many jumps of a sweep the terminal shows; the workbook has
// them all.
const jumpsShown = 8

// show prints the answer, with --detail what it rests on, and what else flags asked for. The
// first error counts.
func (j *job) show(w io.Writer, r *reports.Report, said terminal.Said) error {
	e := r.Estimate
	err := terminal.Estimate(w, r, said, terminal.Width)
	if j.detail {
		err = cmp.Or(err, j.showDetail(w, r))
	}
	err = cmp.Or(err, terminal.BreakEven(w, r, terminal.Width))
	if r.Curve != nil {
		fmt.Fprintln(w)
		err = cmp.Or(err, terminal.Curve(w, r, terminal.Width))
	}
	return cmp.Or(err, printTables(w, reports.Swaps(e), reports.Levels(r), reports.LargestJumps(r, jumpsShown), reports.Chances(r), reports.LargestSpreads(r),
		reports.RuleCosts(r), reports.OtherOffers(e), reports.OtherSuppliers(e)))
}

// showDetail prints what the answer rests on.
func (j *job) showDetail(w io.Writer, r *reports.Report) error {
	e := r.Estimate
	fmt.Fprintln(w)
	err := terminal.Detail(w, e, terminal.Width)
	if j.Prices == "" { // what is to be bought is not known yet, but how many are
		err = cmp.Or(err, printTables(w, reports.Required(e)))
	}
	return cmp.Or(err, printTables(w, reports.Shares(e), reports.Charge(r), reports.Parcel(e).Only("batch", "product", "zone", "service", "parcels", "units", "chargeable", "cash", "asked")))
}

// printTables prints the tables that hold something, each after an empty line.
func printTables(w io.Writer, tables ...reports.Table) (err error) {
	for _, t := range tables {
		if len(t.Rows) > 0 {
			fmt.Fprintln(w)
			err = cmp.Or(err, terminal.Print(w, t, terminal.Width))
		}
	}
	return err
}

// addTables writes the tables that hold something as CSV files into a folder, and removes
// those of earlier runs.
func addTables(o *outputs, dir string, ours func([]byte) bool, tables []reports.Table) error {
	if info, err := os.Stat(dir); err == nil && !info.IsDir() {
		return failed("%s: is a file; expected a folder", dir)
	}
	o.dirs = append(o.dirs, dir)
	for _, t := range tables {
		if len(t.Rows) > 0 {
			o.add(filepath.Join(dir, t.FileName()+".csv"), ours, t.WriteCSV)
		}
	}
	return o.dropOthers(dir, ours)
}

// quoteTerms issues a quote on the day of the run.
func (j *job) quoteTerms() reports.QuoteTerms {
	day, _ := parseToday(j.date) // refused before, where it is no date
	return reports.QuoteTerms{On: day, To: j.quoteTo, Number: j.quoteNo}
}

// options dates the workbooks only where a day was asked for: the same input
// gives the same bytes on any other day, but for ages of prices and for the days
// on which something is ready.
func (j *job) options() workbook.Options {
	day, _ := bom.ParseDate(j.date) // refused before, where it is no date
	return workbook.Options{Date: day}
}
