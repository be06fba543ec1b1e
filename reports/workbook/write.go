package workbook

import (
	"errors"
	"io"

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
	if opt.Date.IsZero() {
		opt.Date = e.AsOf
	}
	f := excelize.NewFile()
	defer f.Close()
	b := &book{f: f, e: e, date: opt.Date, looks: map[look]int{}}
	b.f.SetZipWriter(func(w io.Writer) excelize.ZipWriter { return &pack{to: w, rewrite: b.rewrite} })
	if err := b.build(); err != nil {
		return err
	}
	_, err := f.WriteTo(w)
	return err
}

// book is a workbook that is being built. The first error is kept and stops
// what follows from doing harm; build returns it.
type book struct {
	f        *excelize.File
	e        *cost.Estimate
	date     bom.Date
	looks    map[look]int
	patterns []pattern // of the chart's series, in order
	err      error
}

func (b *book) keep(err error) {
	if b.err == nil {
		b.err = err
	}
}

func (b *book) build() error {
	b.keep(b.f.SetDefaultFont(inputFont))
	b.properties()
	for i, t := range reports.Tables(b.e) {
		if i == 0 {
			b.keep(b.f.SetSheetName(b.f.GetSheetName(0), t.Name))
			b.first(t)
			continue
		}
		if len(t.Rows) == 0 {
			continue
		}
		_, err := b.f.NewSheet(t.Name)
		b.keep(err)
		b.sheet(t)
	}
	b.f.SetActiveSheet(0)
	return b.err
}

// properties fill in the document's properties; none of them tells the time
// at which the file was written.
func (b *book) properties() {
	stamp := "1980-01-01T00:00:00Z" // the earliest date that a zip archive can hold
	if !b.date.IsZero() {
		stamp = b.date.String() + "T00:00:00Z"
	}
	b.keep(b.f.SetDocProps(&excelize.DocProperties{
		Title: bom.Printable(b.e.Name), Subject: "what one unit costs, by batch size",
		Creator: application, LastModifiedBy: application, Keywords: keywords,
		Created: stamp, Modified: stamp,
	}))
	b.keep(b.f.SetAppProps(&excelize.AppProperties{Application: application}))
}
