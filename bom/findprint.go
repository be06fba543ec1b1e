package bom

import (
	"cmp"
	"strings"
)

// slack is less than any printer places to, mm.
const slack = 1e-6

// Holds tells whether a piece fits on the printer, turned by a quarter or not.
// A side of the bed that is not known holds anything.
func (p *Printer) Holds(size Point) bool {
	fits := func(x, y float64) bool {
		for i, v := range [3]float64{x, y, size[2]} {
			if p.BedMM[i].Known && v > p.BedMM[i].Value+slack {
				return false
			}
		}
		return true
	}
	return fits(size[0], size[1]) || fits(size[1], size[0])
}

// FirstPrinter is the first printer of the sheet that holds a piece, the first
// of all where its size is not known; nil where there is none.
func (p *Prices) FirstPrinter(size Point, known bool) *Printer {
	return First(p.Printers, func(m *Printer) bool { return !known || m.Holds(size) })
}

// FindPrinter gives the printer of a name, without regard to case and spaces.
func (p *Prices) FindPrinter(name string) *Printer {
	return First(p.Printers, func(m *Printer) bool { return SameName(m.Name, name) })
}

// PrinterFor is the printer that is named, else the first that holds the piece;
// nil where there is none.
func (p *Prices) PrinterFor(name string, files PrintFiles) *Printer {
	if name != "" {
		return p.FindPrinter(name)
	}
	return p.FirstPrinter(files.SizeMM())
}

// FindRecipe gives the recipe of a name; for a blank one the first of the sheet,
// and DefaultRecipe where the sheet has none. It is nil where there is no such
// recipe.
func (p *Prices) FindRecipe(name string) *Recipe {
	if name == "" && len(p.Recipes) == 0 {
		r := DefaultRecipe()
		return &r
	}
	return First(p.Recipes, func(r *Recipe) bool { return name == "" || SameName(r.Name, name) })
}

// FilamentOf is the density, g/cm³, and diameter, mm, of a material: each from
// its first row that gives it, 0 where none does.
func (p *Prices) FilamentOf(material string) (density, diameter float64) {
	for i := range p.Materials {
		if m := &p.Materials[i]; SameName(m.Name, material) {
			density = cmp.Or(density, m.Density)
			diameter = cmp.Or(diameter, m.DiameterMM)
		}
	}
	return density, diameter
}

// RecipeNames lists the recipes in order.
func (p *Prices) RecipeNames() []string {
	return Each(p.Recipes, func(r *Recipe) string { return r.Name })
}

// PrinterNames lists the printers in order.
func (p *Prices) PrinterNames() []string {
	return Each(p.Printers, func(r *Printer) string { return r.Name })
}

// MaterialNames lists the materials in order, one with several spools as often.
func (p *Prices) MaterialNames() []string {
	return Each(p.Materials, func(m *Material) string { return m.Name })
}

// SameName compares names of the price sheet: case and the width of gaps do not
// matter.
func SameName(a, b string) bool {
	return strings.EqualFold(ExactKey(a), ExactKey(b))
}
