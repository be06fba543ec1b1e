package sheet

import "tenoff/bom"

func (p *priceReader) partRule(d *decoder) {
	cell := d.cell
	rule := bom.PartRule{Dated: d.dated(), Part: d.key(cell("Part number")), Package: d.key(cell("Package")), Kind: bom.Kind(d.choice(cell("Kind"))),
		Mount: mountOf(d, cell("Mount")), Side: sideOf(d, cell("Side")), MassG: d.measure(cell("Mass g"), true), Height: d.measure(cell("Height mm"), false), Hazard: d.wordList(cell("Hazard"))}
	switch {
	case rule.Part == "" && rule.Package == "":
		d.problems.Errorf(d.place(cell("Part number")), "", "a part number or a package", "the row names neither a part nor a package")
		return
	case rule.Part != "" && rule.Package != "":
		d.wrong(cell("Package"), "a blank cell, or a row of its own for the package", "a part number stands in the row as well")
	}
	if n := d.whole(cell("Joints"), -1, 0); n >= 0 {
		rule.Joints = bom.Joints{Count: int(n), Known: true}
	}
	p.prices.Parts = append(p.prices.Parts, rule)
}
