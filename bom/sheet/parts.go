package sheet

import "tenoff/bom"

type rawPartRule struct {
	Part    Cell `csv:"Part number"`
	Package Cell `csv:"Package"`
	Mount   Cell `csv:"Mount"`
	Joints  Cell `csv:"Joints"`
	Side    Cell `csv:"Side"`
	Kind    Cell `csv:"Kind"`
	MassG   Cell `csv:"Mass g"`
	Height  Cell `csv:"Height mm"`
	Hazard  Cell `csv:"Hazard"`
	Dated
}

func (p *priceReader) partRule(d *decoder, r *rawPartRule, at bom.Origin) {
	rule := bom.PartRule{Origin: at, Part: d.key(r.Part), Package: d.key(r.Package), Kind: bom.Kind(d.choice(r.Kind)),
		Mount: mountOf(d, r.Mount), Side: sideOf(d, r.Side), MassG: d.measure(r.MassG, true), Height: d.measure(r.Height, false), Hazard: d.wordList(r.Hazard), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	switch {
	case rule.Part == "" && rule.Package == "":
		d.problems.Errorf(d.place(r.Part), "", "a part number or a package", "the row names neither a part nor a package")
		return
	case rule.Part != "" && rule.Package != "":
		d.wrong(r.Package, "a blank cell, or a row of its own for the package", "a part number stands in the row as well")
	}
	if n := d.whole(r.Joints, -1, 0); n >= 0 {
		rule.Joints = bom.Joints{Count: int(n), Known: true}
	}
	p.prices.Parts = append(p.prices.Parts, rule)
}
