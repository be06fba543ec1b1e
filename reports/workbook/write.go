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
	// Date stands in the footers and in the document's properties. Where it is
	// not given the newest date of the price sheet does.
	Date bom.Date
}

// Names in the document's properties, by which IsOurs knows a workbook.
const (
	application = "tenoff"
	keywords    = reports.Schema
)

// Write writes the workbook of an estimate. The estimate must hold at least one
// batch. The same estimate and options give the same bytes.
func Write(w io.Writer, e *cost.Estimate, opt Options) error {
	if len(e.Batches) == 0 {
		return errors.New("an estimate without a batch size has no workbook")
	}
	return write(w, e, opt, (*book).build)
}

// write builds a workbook and writes it.
func write(w io.Writer, e *cost.Estimate, opt Options, build func(*book) error) error {
	if opt.Date.IsZero() {
		opt.Date = e.AsOf
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
	patterns []pattern // of the chart's series, in order
	live     *live     // the formulas; nil where the estimate does not tell its terms
	grids    []*grid   // the cells of each sheet, in order
	err      error
}

func (b *book) keep(err error) {
	if b.err == nil {
		b.err = err
	}
}

func (b *book) build() error {
	b.properties("what one unit costs, by batch size")
	tables := reports.Tables(b.e)
	if b.e.Terms != nil {
		tables = b.makeLive(tables)
	}
	var pages []*page
	for i, t := range tables {
		if i > 0 && len(t.Rows) == 0 {
			continue
		}
		pages = append(pages, b.page(t))
		if t.Name == onPlan && b.live != nil {
			pages = append(pages, b.page(reports.Table{Name: onBars, Title: t.Title}))
		}
	}
	b.add(pages...)
	b.nameInputs()
	b.f.SetActiveSheet(0)
	return b.err
}

// makeLive works out the formulas of all tables and adds the table that they
// need besides.
func (b *book) makeLive(tables []reports.Table) []reports.Table {
	b.live = newLive(b.e)
	last := len(tables) - 1
	tables = append(slices.Insert(tables, last, sharesTable(b.live)), sumsTable(b.live))
	for i := range tables {
		t := &tables[i]
		var extras []string
		switch t.Name {
		case onOffers:
			extras = offerTerms
		case onBuy:
			extras = buyTerms
		case onParts:
			extras = partTerms
		case onOrders:
			extras = orderTerms
		case onShares:
			extras = shareTerms
		case onPlan:
			extras = planTerms
		case onLines:
			for _, batch := range b.e.Batches {
				extras = append(extras, workingCol("stock", batch.Size), workingCol("own", batch.Size))
			}
		}
		_, body := rowsOf(t)
		b.live.lay(t, body, extras...)
	}
	b.live.build()
	b.keep(b.live.err)
	return tables
}

// nameInputs names the cells and columns of inputs.
func (b *book) nameInputs() {
	if b.live == nil {
		return
	}
	for _, n := range b.live.names {
		b.define(excelize.DefinedName{Name: n.name, RefersTo: n.refersTo})
	}
}

// define names cells. The names that are there, with none of which this one may
// clash, are put aside meanwhile: the library looks up the sheet of each of them.
func (b *book) define(n excelize.DefinedName) {
	before := b.f.WorkBook.DefinedNames
	b.f.WorkBook.DefinedNames = nil
	b.keep(b.f.SetDefinedName(&n))
	if before == nil || b.err != nil {
		return
	}
	before.DefinedName = append(before.DefinedName, b.f.WorkBook.DefinedNames.DefinedName...)
	b.f.WorkBook.DefinedNames = before
}

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
