package sheet

import (
	"tenoff/bom"
)

type rawRecipe struct {
	Recipe       Cell `csv:"Recipe"`
	Layer        Cell `csv:"Layer mm"`
	Line         Cell `csv:"Line width mm"`
	Walls        Cell `csv:"Walls"`
	SolidLayers  Cell `csv:"Solid layers"`
	Infill       Cell `csv:"Infill %"`
	WallSpeed    Cell `csv:"Wall speed mm/s"`
	SolidSpeed   Cell `csv:"Solid speed mm/s"`
	InfillSpeed  Cell `csv:"Infill speed mm/s"`
	TravelSpeed  Cell `csv:"Travel speed mm/s"`
	FlowLimit    Cell `csv:"Flow limit mm3/s"`
	Acceleration Cell `csv:"Acceleration mm/s2"`
	Start        Cell `csv:"Start seconds"`
	LayerChange  Cell `csv:"Layer change seconds"`
	SkirtLoops   Cell `csv:"Skirt loops"`
	Support      Cell `csv:"Support %"`
	Dated
}

// The largest figures of a recipe that are no slip: a nozzle of 10 mm is beyond
// any, and supports of ten times the part are too.
const (
	mostLayerMM = 10
	mostLineMM  = 20
	mostLoops   = 1000
	mostSupport = 1000
)

func (p *priceReader) recipe(d *decoder, r *rawRecipe, at bom.Origin) {
	if !d.need(r.Recipe) {
		return
	}
	m := bom.DefaultRecipe()
	m.Origin, m.Name, m.AsOf, m.Note = at, d.key(r.Recipe), d.date(r.AsOf), d.text(r.Note)
	for _, f := range []struct {
		cell Cell
		into *float64
		zero bool
		most float64 // 0: any
	}{
		{r.Layer, &m.LayerMM, false, mostLayerMM}, {r.Line, &m.LineMM, false, mostLineMM},
		{r.WallSpeed, &m.WallSpeed, false, 0}, {r.SolidSpeed, &m.SolidSpeed, false, 0},
		{r.InfillSpeed, &m.InfillSpeed, false, 0}, {r.TravelSpeed, &m.TravelSpeed, false, 0},
		{r.FlowLimit, &m.FlowLimit, true, 0}, {r.Acceleration, &m.Acceleration, false, 0},
		{r.Start, &m.StartS, true, 0}, {r.LayerChange, &m.LayerChangeS, true, 0},
	} {
		v := d.measure(f.cell, f.zero)
		if v.Known && f.most > 0 && v.Value > f.most {
			d.wrong(f.cell, "a number up to "+bom.Whole(int64(f.most)).String(), "too large a number")
		}
		if v.Known {
			*f.into = v.Value
		}
	}
	for _, f := range []struct {
		cell Cell
		into *int
	}{{r.Walls, &m.Walls}, {r.SolidLayers, &m.SolidLayers}, {r.SkirtLoops, &m.SkirtLoops}} {
		n := d.whole(f.cell, int64(*f.into), 0)
		if n > mostLoops {
			d.wrong(f.cell, "a whole number up to "+bom.Whole(mostLoops).String(), "too large a number")
		}
		*f.into = int(min(n, mostLoops))
	}
	m.Infill = d.percent(r.Infill, int64(m.Infill), 100).InexactFloat64()
	m.Support = d.percent(r.Support, int64(m.Support), mostSupport).InexactFloat64()
	d.once(r.Recipe, "the recipe", m.Name)
	p.prices.Recipes = append(p.prices.Recipes, m)
}

type rawPrint struct {
	File    Cell `csv:"File"`
	Part    Cell `csv:"Part number"`
	Grams   Cell `csv:"Measured g"`
	Hours   Cell `csv:"Measured hours"`
	Printer Cell `csv:"Printer"`
	Recipe  Cell `csv:"Recipe"`
	Date    Cell `csv:"Date"`
	Dated
}

// finishedPrint reads a row of the print log. The same part may stand there as
// often as it was printed.
func (p *priceReader) finishedPrint(d *decoder, r *rawPrint, at bom.Origin) {
	l := bom.PrintLog{Origin: at, File: d.key(r.File), Part: d.key(r.Part),
		MeasuredG: d.measure(r.Grams, false), MeasuredH: d.measure(r.Hours, false),
		Printer: d.key(r.Printer), Recipe: d.key(r.Recipe), Date: d.date(r.Date), Note: d.text(r.Note)}
	if r.File.Blank() && r.Part.Blank() {
		d.problems.Errorf(d.place(r.File), "", "the mesh or toolpath in File, or a part number", "nothing says what was printed")
	}
	if r.Grams.Blank() && r.Hours.Blank() {
		d.problems.Errorf(d.place(r.Grams), "", "Measured g, Measured hours or both, of one piece", "nothing was measured")
	}
	d.known(r.Printer, l.Printer, p.prices.PrinterNames(), bom.TabPrinters)
	d.known(r.Recipe, l.Recipe, p.prices.RecipeNames(), bom.TabRecipes)
	p.prices.PrintLog = append(p.prices.PrintLog, l)
}

// known complains of a name that has no row in the tab it stands for.
func (d *decoder) known(c Cell, name string, names []string, tab string) {
	if name == "" {
		return
	}
	for _, n := range names {
		if bom.SameName(n, name) {
			return
		}
	}
	want := "the name of a row of the tab " + tab
	if near, ok := bom.Nearest(name, names); ok {
		want = "did you mean " + near
	}
	d.wrong(c, want, "not in the tab %s", tab)
}
