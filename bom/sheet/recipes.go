package sheet

import (
	"tenoff/bom"
)

type rawRecipe struct {
	Recipe       Cell `csv:"Recipe"`
	Layer        Cell `csv:"Layer mm"`
	FirstLayer   Cell `csv:"First layer mm"`
	Line         Cell `csv:"Line width mm"`
	FillLine     Cell `csv:"Infill line mm"`
	TopLine      Cell `csv:"Top line mm"`
	FirstLine    Cell `csv:"First layer line mm"`
	Flow         Cell `csv:"Flow %"`
	Inset        Cell `csv:"Outline inset mm"`
	Walls        Cell `csv:"Walls"`
	SolidLayers  Cell `csv:"Solid layers"`
	TopLayers    Cell `csv:"Top layers"`
	BottomLayers Cell `csv:"Bottom layers"`
	Infill       Cell `csv:"Infill %"`
	InfillLinked Cell `csv:"Infill linked"`
	SolidUnder   Cell `csv:"Solid under mm2"`
	WallSpeed    Cell `csv:"Wall speed mm/s"`
	SolidSpeed   Cell `csv:"Solid speed mm/s"`
	OuterSpeed   Cell `csv:"Outer wall speed mm/s"`
	SmallSpeed   Cell `csv:"Small outline speed mm/s"`
	FirstSpeed   Cell `csv:"First layer speed mm/s"`
	FirstFill    Cell `csv:"First layer fill speed mm/s"`
	TopSpeed     Cell `csv:"Top speed mm/s"`
	BridgeSpeed  Cell `csv:"Bridge speed mm/s"`
	Strand       Cell `csv:"Bridge strand mm"`
	GapSpeed     Cell `csv:"Gap speed mm/s"`
	InfillSpeed  Cell `csv:"Infill speed mm/s"`
	TravelSpeed  Cell `csv:"Travel speed mm/s"`
	FlowLimit    Cell `csv:"Flow limit mm3/s"`
	Acceleration Cell `csv:"Acceleration mm/s2"`
	FirstAccel   Cell `csv:"First layer acceleration mm/s2"`
	Start        Cell `csv:"Start seconds"`
	LayerChange  Cell `csv:"Layer change seconds"`
	PullBack     Cell `csv:"Pull-back seconds"`
	PullInside   Cell `csv:"Pull back inside"`
	Restart      Cell `csv:"Restart mm"`
	SkirtLoops   Cell `csv:"Skirt loops"`
	Least        Cell `csv:"Least layer seconds"`
	Slowest      Cell `csv:"Slowest speed mm/s"`
	Prime        Cell `csv:"Prime mm"`
	Support      Cell `csv:"Support %"`
	Dated
}

// The largest figures of a recipe that are no slip: a nozzle of 10 mm is beyond
// any, and so are supports of ten times the part, an hour for each layer, 100 m of
// filament before the first and 100 mm after each way.
const (
	mostLayerMM = 10
	mostLineMM  = 20
	mostInsetMM = 1
	mostLoops   = 1000
	mostSupport = 1000
	mostFlow    = 200
	mostLayerS  = 3600
	mostPrimeMM = 100_000

	mostRestartMM = 100
)

func (p *priceReader) recipe(d *decoder, r *rawRecipe, at bom.Origin) {
	if !d.need(r.Recipe) {
		return
	}
	m := bom.DefaultRecipe()
	m.Origin, m.Name, m.AsOf, m.Note = at, d.key(r.Recipe), d.date(r.AsOf), d.text(r.Note)
	recipeNumbers(d, r, &m)
	recipeCounts(d, r, &m)
	m.Infill = d.percent(r.Infill, int64(m.Infill), 100).InexactFloat64()
	m.InfillLinked, m.PullInside = d.yes(r.InfillLinked, m.InfillLinked), d.yes(r.PullInside, m.PullInside)
	m.Support = d.percent(r.Support, int64(m.Support), mostSupport).InexactFloat64()
	m.Flow = d.flow(r.Flow, m.Flow)
	d.once(r.Recipe, "the recipe", m.Name)
	p.prices.Recipes = append(p.prices.Recipes, m)
}

// recipeNumbers reads lengths, speeds and times.
func recipeNumbers(d *decoder, r *rawRecipe, m *bom.Recipe) {
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
		{r.Least, &m.LeastS, true, mostLayerS}, {r.Slowest, &m.SlowestSpeed, false, 0}, {r.Prime, &m.PrimeMM, true, mostPrimeMM},
		{r.PullBack, &m.PullBackS, true, mostLayerS}, {r.Restart, &m.RestartMM, true, mostRestartMM},
		{r.SolidUnder, &m.SolidUnder, true, 0}, {r.Inset, &m.InsetMM, true, mostInsetMM},
	} {
		if v := d.upTo(f.cell, f.zero, f.most); v.Known {
			*f.into = v.Value
		}
	}
	s := &m.Special
	s.FirstLayerMM, s.FillLineMM = d.upTo(r.FirstLayer, false, mostLayerMM), d.upTo(r.FillLine, false, mostLineMM)
	s.FirstLineMM, s.BridgeMM = d.upTo(r.FirstLine, false, mostLineMM), d.upTo(r.Strand, false, mostLineMM)
	s.BridgeSpeed, s.GapSpeed = d.measure(r.BridgeSpeed, false), d.measure(r.GapSpeed, true)
	s.OuterSpeed, s.SmallSpeed = d.measure(r.OuterSpeed, false), d.measure(r.SmallSpeed, false)
	s.FirstSpeed, s.FirstFillSpeed = d.measure(r.FirstSpeed, false), d.measure(r.FirstFill, false)
	s.FirstAcceleration = d.measure(r.FirstAccel, false)
	s.TopSpeed, s.TopLineMM = d.measure(r.TopSpeed, false), d.upTo(r.TopLine, false, mostLineMM)
}

// flow reads a percentage over 0.
func (d *decoder) flow(c Cell, fallback float64) float64 {
	v := d.percent(c, int64(fallback), mostFlow)
	if v.IsZero() {
		d.wrong(c, "a percentage over 0", "out of range")
	}
	warnOfShare(d, c)
	return v.InexactFloat64()
}

// upTo reads a number that is no larger than most, where that is over 0.
func (d *decoder) upTo(c Cell, zero bool, most float64) bom.Measure {
	v := d.measure(c, zero)
	if v.Known && most > 0 && v.Value > most {
		d.wrong(c, "a number up to "+bom.Whole(int64(most)).String(), "too large a number")
	}
	return v
}

// recipeCounts reads numbers of lines and layers.
func recipeCounts(d *decoder, r *rawRecipe, m *bom.Recipe) {
	count := func(c Cell, fallback int) int {
		n := d.whole(c, int64(fallback), 0)
		if n > mostLoops {
			d.wrong(c, "a whole number up to "+bom.Whole(mostLoops).String(), "too large a number")
		}
		return int(min(n, mostLoops))
	}
	m.Walls, m.SolidLayers, m.SkirtLoops = count(r.Walls, m.Walls), count(r.SolidLayers, m.SolidLayers), count(r.SkirtLoops, m.SkirtLoops)
	for _, f := range []struct {
		cell Cell
		into *bom.Measure
	}{{r.TopLayers, &m.Special.TopLayers}, {r.BottomLayers, &m.Special.BottomLayers}} {
		if !f.cell.Blank() {
			*f.into = bom.Known(float64(count(f.cell, m.SolidLayers)))
		}
	}
}

type rawPrint struct {
	File    Cell `csv:"File"`
	Part    Cell `csv:"Part number"`
	Grams   Cell `csv:"Measured g"`
	Hours   Cell `csv:"Measured hours"`
	Printer Cell `csv:"Printer"`
	Recipe  Cell `csv:"Recipe"`
	Dated
}

// finishedPrint reads a row of the print log. The same part may stand there as
// often as it was printed.
func (p *priceReader) finishedPrint(d *decoder, r *rawPrint, at bom.Origin) {
	l := bom.PrintLog{Origin: at, File: d.key(r.File), Part: d.key(r.Part),
		MeasuredG: d.measure(r.Grams, false), MeasuredH: d.measure(r.Hours, false),
		Printer: d.key(r.Printer), Recipe: d.key(r.Recipe), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if r.File.Blank() && r.Part.Blank() {
		d.problems.Errorf(d.place(r.File), "", "the mesh or toolpath in File, or a part number", "nothing says what was printed")
	}
	if r.Grams.Blank() && r.Hours.Blank() {
		d.problems.Errorf(d.place(r.Grams), "", "Measured g, Measured hours or both, of one piece", "nothing was measured")
	}
	inTab(d, r.Printer, l.Printer, p.prices.PrinterNames(), bom.TabPrinters)
	inTab(d, r.Recipe, l.Recipe, p.prices.RecipeNames(), bom.TabRecipes)
	p.prices.PrintLog = append(p.prices.PrintLog, l)
}

// inTab complains of a name that has no row in the tab it stands for.
func inTab(d *decoder, c Cell, name string, names []string, tab string) {
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
