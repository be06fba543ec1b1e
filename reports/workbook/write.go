package workbook

import (
	"errors"
	"io"
	"slices"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// Options say what is shown beside the estimate itself.
type Options struct {
	// Date is the day on which it is written, for the footers and the document's
	// properties. Where it is not given that of the estimate stands there.
	Date bom.Date
}

// Names in the document's properties, by which IsOurs knows a workbook.
const (
	application = "tenoff"
	keywords    = reports.Schema
)

// Write writes the workbook of an estimate that was computed from a run. It must hold at
// least one batch. The same estimate and options give the same bytes.
func Write(w io.Writer, r *reports.Report, opt Options) error {
	if len(r.Batches) == 0 {
		return errors.New("an estimate without a batch size has no workbook")
	}
	return write(w, r.Estimate, opt, func(b *book) error { return b.build(r) })
}

// write builds a workbook and writes it.
func write(w io.Writer, e *cost.Estimate, opt Options, build func(*book) error) error {
	if opt.Date.IsZero() {
		opt.Date = e.Today
	}
	f := excelize.NewFile()
	defer f.Close()
	b := &book{f: f, e: e, date: opt.Date}
	b.f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &pack{to: w, rewrite: b.rewrite} })
	b.keep(b.f.SetDefaultFont(inputFont))
	if err := build(b); err != nil {
		return err
	}
	if err := b.makeStyles(); err != nil {
		return err
	}
	if _, err := f.WriteTo(w); err != nil {
		return err
	}
	return b.err // what the parts could not be given
}

// book is a workbook that is being built. The first error is kept and stops
// what follows from doing harm; build returns it.
type book struct {
	f        *excelize.File
	e        *cost.Estimate
	date     bom.Date
	patterns []group  // of the chart's series, in order
	live     *live    // the tables and where their cells stand, and the formulas
	names    []string // of the tables, in their order
	first    *summary
	grids    []*grid // the cells of each sheet, in order
	err      error
}

func (b *book) keep(err error) {
	if b.err == nil {
		b.err = err
	}
}

func (b *book) build(r *reports.Report) error {
	b.properties("what one unit costs, by batch size")
	b.addSheets(b.lay(r)...)
	for _, n := range b.live.names {
		b.define(n)
	}
	b.f.SetActiveSheet(0)
	return b.err
}

// lay works out where all tables stand, and all formulas.
func (b *book) lay(r *reports.Report) []*page {
	b.live = newLive(b.e)
	tables := append(reports.Tables(r), findTable(b.e), sidesTable(r), eachTable(b.e), groupsTable(b.e), sharesTable(b.live), sumsTable(b.live))
	for _, t := range bom.Refs(tables) {
		b.names = append(b.names, t.Name)
		b.live.note(t, b.workingColumns(t.Name)...)
	}
	pages := b.sheets()
	for _, s := range b.live.tables {
		s.span()
	}
	b.live.build(b.first, pages)
	b.keep(b.live.err)
	return pages
}

// workingColumns are the columns that formulas need beside those of a table.
func (b *book) workingColumns(table string) []string {
	switch table {
	case onOffers:
		return offerTerms
	case onBuy:
		return slices.Concat(buyTerms, b.forProducts())
	case onParts:
		return partTerms
	case onOrders:
		return slices.Concat(orderTerms, b.forProducts())
	case onShares:
		return shareTerms
	case onPlan:
		if b.e.WorkingDays != 0 {
			return slices.Concat(planTerms, weekTerms)
		}
		return planTerms
	case onPrices, onSuppliers:
		return []string{faultSays, fault}
	case onLines:
		var extras []string
		for _, batch := range b.e.Batches {
			extras = append(extras, workingCol("stock", batch.ID()), workingCol("own", batch.ID()))
		}
		return extras
	}
	return nil
}

// forProducts are the columns of what is for which product, where there are several.
func (b *book) forProducts() (columns []string) {
	for i := range b.e.Products {
		if len(b.e.Products) > 1 {
			columns = append(columns, cost.ForProduct(i))
		}
	}
	return columns
}

// define names cells.
func (b *book) define(n excelize.DefinedName) { b.keep(b.f.SetDefinedName(&n)) }

// properties fill in the document's properties; none of them tells the time
// at which the file was written.
func (b *book) properties(subject string) {
	stamp := "1980-01-01T00:00:00Z" // the earliest date that a zip archive can hold
	if !b.date.IsZero() {
		stamp = b.date.String() + "T00:00:00Z"
	}
	b.keep(b.f.SetDocProps(&excelize.DocProperties{
		Title: bom.Printable(b.e.Name), Subject: subject,
		Creator: application, LastModifiedBy: application, Keywords: keywords,
		Created: stamp, Modified: stamp,
	}))
	b.keep(b.f.SetAppProps(&excelize.AppProperties{Application: application}))
}
