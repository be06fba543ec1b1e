package sheet

import (
	"tenoff/bom"
)

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

func (p *priceReader) recipe(d *decoder) {
	cell := d.cell
	m := bom.DefaultRecipe()
	m.Dated, m.Name = d.dated(), d.key(cell("Recipe"))
	recipeNumbers(d, &m)
	recipeCounts(d, &m)
	m.Infill = d.percent(cell("Infill %"), int64(m.Infill), 100).InexactFloat64()
	m.InfillLinked, m.PullInside = d.yes(cell("Infill linked"), m.InfillLinked), d.yes(cell("Pull back inside"), m.PullInside)
	m.Support = d.percent(cell("Support %"), int64(m.Support), mostSupport).InexactFloat64()
	m.Flow = d.flow(cell("Flow %"), m.Flow)
	d.once(cell("Recipe"), "the recipe", m.Name)
	p.prices.Recipes = append(p.prices.Recipes, m)
}

// recipeNumbers reads lengths, speeds and times.
func recipeNumbers(d *decoder, m *bom.Recipe) {
	cell := d.cell
	for _, f := range []struct {
		cell bom.Cell
		into *float64
		zero bool
		most float64 // 0: any
	}{
		{cell("Layer mm"), &m.LayerMM, false, mostLayerMM}, {cell("Line width mm"), &m.LineMM, false, mostLineMM},
		{cell("Wall speed mm/s"), &m.WallSpeed, false, 0}, {cell("Solid speed mm/s"), &m.SolidSpeed, false, 0},
		{cell("Infill speed mm/s"), &m.InfillSpeed, false, 0}, {cell("Travel speed mm/s"), &m.TravelSpeed, false, 0},
		{cell("Flow limit mm3/s"), &m.FlowLimit, true, 0}, {cell("Acceleration mm/s2"), &m.Acceleration, false, 0},
		{cell("Start seconds"), &m.StartS, true, 0}, {cell("Layer change seconds"), &m.LayerChangeS, true, 0},
		{cell("Least layer seconds"), &m.LeastS, true, mostLayerS}, {cell("Slowest speed mm/s"), &m.SlowestSpeed, false, 0}, {cell("Prime mm"), &m.PrimeMM, true, mostPrimeMM},
		{cell("Pull-back seconds"), &m.PullBackS, true, mostLayerS}, {cell("Restart mm"), &m.RestartMM, true, mostRestartMM},
		{cell("Solid under mm2"), &m.SolidUnder, true, 0}, {cell("Outline inset mm"), &m.InsetMM, true, mostInsetMM},
	} {
		if v := d.upTo(f.cell, f.zero, f.most); v.Known {
			*f.into = v.Value
		}
	}
	s := &m.Special
	s.FirstLayerMM, s.FillLineMM = d.upTo(cell("First layer mm"), false, mostLayerMM), d.upTo(cell("Infill line mm"), false, mostLineMM)
	s.FirstLineMM, s.BridgeMM = d.upTo(cell("First layer line mm"), false, mostLineMM), d.upTo(cell("Bridge strand mm"), false, mostLineMM)
	s.BridgeSpeed, s.GapSpeed = d.measure(cell("Bridge speed mm/s"), false), d.measure(cell("Gap speed mm/s"), true)
	s.OuterSpeed, s.SmallSpeed = d.measure(cell("Outer wall speed mm/s"), false), d.measure(cell("Small outline speed mm/s"), false)
	s.FirstSpeed, s.FirstFillSpeed = d.measure(cell("First layer speed mm/s"), false), d.measure(cell("First layer fill speed mm/s"), false)
	s.FirstAcceleration = d.measure(cell("First layer acceleration mm/s2"), false)
	s.TopSpeed, s.TopLineMM = d.measure(cell("Top speed mm/s"), false), d.upTo(cell("Top line mm"), false, mostLineMM)
}

// flow reads a percentage over 0.
func (d *decoder) flow(c bom.Cell, fallback float64) float64 {
	v := d.percent(c, int64(fallback), mostFlow)
	if v.IsZero() {
		d.wrong(c, "a percentage over 0", "out of range")
	}
	warnOfShare(d, c)
	return v.InexactFloat64()
}

// upTo reads a number that is no larger than most, where that is over 0.
func (d *decoder) upTo(c bom.Cell, zero bool, most float64) bom.Measure {
	v := d.measure(c, zero)
	if v.Known && most > 0 && v.Value > most {
		d.wrong(c, "a number up to "+bom.Whole(int64(most)).String(), "too large a number")
	}
	return v
}

// recipeCounts reads numbers of lines and layers.
func recipeCounts(d *decoder, m *bom.Recipe) {
	cell := d.cell
	count := func(c bom.Cell, fallback int) int {
		n := d.whole(c, int64(fallback), 0)
		if n > mostLoops {
			d.wrong(c, "a whole number up to "+bom.Whole(mostLoops).String(), "too large a number")
		}
		return int(min(n, mostLoops))
	}
	m.Walls, m.SolidLayers, m.SkirtLoops = count(cell("Walls"), m.Walls), count(cell("Solid layers"), m.SolidLayers), count(cell("Skirt loops"), m.SkirtLoops)
	for _, f := range []struct {
		cell bom.Cell
		into *bom.Measure
	}{{cell("Top layers"), &m.Special.TopLayers}, {cell("Bottom layers"), &m.Special.BottomLayers}} {
		if !f.cell.Blank() {
			*f.into = bom.Known(float64(count(f.cell, m.SolidLayers)))
		}
	}
}

// finishedPrint reads a row of the print log. The same part may stand there as
// often as it was printed.
func (p *priceReader) finishedPrint(d *decoder) {
	cell := d.cell
	l := bom.PrintLog{Dated: d.dated(), File: d.key(cell("File")), Part: d.key(cell("Part number")),
		MeasuredG: d.measure(cell("Measured g"), false), MeasuredH: d.measure(cell("Measured hours"), false),
		Printer: d.key(cell("Printer")), Recipe: d.key(cell("Recipe"))}
	if cell("File").Blank() && cell("Part number").Blank() {
		d.problems.Errorf(d.place(cell("File")), "", "the mesh or toolpath in File, or a part number", "nothing says what was printed")
	}
	if cell("Measured g").Blank() && cell("Measured hours").Blank() {
		d.problems.Errorf(d.place(cell("Measured g")), "", "Measured g, Measured hours or both, of one piece", "nothing was measured")
	}
	inTab(d, cell("Printer"), l.Printer, p.prices.PrinterNames(), bom.TabPrinters)
	inTab(d, cell("Recipe"), l.Recipe, p.prices.RecipeNames(), bom.TabRecipes)
	p.prices.PrintLog = append(p.prices.PrintLog, l)
}

// inTab complains of a name that has no row in the tab it stands for.
func inTab(d *decoder, c bom.Cell, name string, names []string, tab string) {
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
