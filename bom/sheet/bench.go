package sheet

import (
	"tenoff/bom"
)

// mostAllowance bounds the allowance: more than ten times the need is a slip.
const mostAllowance = 1000

func (p *priceReader) allowance(d *decoder) {
	cell := d.cell
	a := bom.Allowance{Dated: d.dated(), AppliesTo: d.choice(cell("Applies to")), Package: d.key(cell("Package")),
		Percent: d.percent(cell("Percent"), 0, mostAllowance), Pieces: d.whole(cell("Pieces"), 0, 0), AtLeast: d.whole(cell("At least"), 0, 0)}
	if a.AppliesTo == "" {
		return
	}
	d.once(cell("Applies to"), "the allowance", a.AppliesTo, bom.ReadPackage(a.Package).Key)
	p.prices.Allowances = append(p.prices.Allowances, a)
}

func (p *priceReader) operation(d *decoder) {
	cell := d.cell
	o := bom.Operation{Dated: d.dated(), Name: d.key(cell("Operation")), AppliesTo: d.choice(cell("Applies to")), Basis: d.choice(cell("Basis")),
		Seconds: d.measure(cell("Seconds"), true).Value, Range: d.bounds(bom.FormNumber, cell("Seconds"), cell("Low"), cell("High"), limits{}), Learning: d.percent(cell("Learning %"), 100, 100).InexactFloat64(),
		TimedAt: int(d.whole(cell("Timed at"), 1, 1)), Before: int(d.whole(cell("Done before"), 0, 0)), Share: d.percent(cell("Share %"), 100, 100)}
	if o.Learning == 0 {
		d.wrong(cell("Learning %"), "a percentage over 0 and up to 100; 100 is no learning", "out of range")
	}
	if o.Share.IsZero() {
		d.wrong(cell("Share %"), "a percentage over 0 and up to 100, or no row", "out of range")
	}
	warnOfShare(d, cell("Learning %"))
	warnOfShare(d, cell("Share %"))
	if o.Basis == "plate" && o.AppliesTo != "printed" && o.AppliesTo != "" {
		d.wrong(cell("Basis"), "joint, piece, unit or batch, or printed in Applies to", "only printed parts come on plates")
	}
	if o.Name == "" || o.AppliesTo == "" || o.Basis == "" {
		return
	}
	d.once(cell("Operation"), "the operation", o.Name, o.AppliesTo, o.Basis)
	p.prices.HandWork = append(p.prices.HandWork, o)
}

// materials reads the tab materials. A spool that waits for its price needs no more than its name.
func (p *priceReader) materials() {
	if d, ok := p.reader(bom.TabMaterials); ok {
		d.eachRow(func() { p.material(d) })
	}
}

func (p *priceReader) material(d *decoder) {
	cell := d.cell
	if !cell("Material").Blank() && noneOf(d, "Spool price", "Low", "High") {
		noPrice(d, "Spool price", d.key(cell("Material")))
		p.prices.Materials = append(p.prices.Materials, bom.Material{Dated: bom.Dated{Origin: d.reg.origin(d.row)}, Name: d.key(cell("Material")), Unpriced: true,
			Density: d.measure(cell("Density g/cm3"), false).Value, DiameterMM: d.measure(cell("Diameter mm"), false).Value})
		return
	}
	if !d.named() {
		return
	}
	m := bom.Material{Dated: d.dated(), Name: d.key(cell("Material")), Density: d.measure(cell("Density g/cm3"), false).Value,
		DiameterMM: d.measure(cell("Diameter mm"), false).Value, Supplier: d.key(cell("Supplier")),
		Worth: d.percentIfAny(cell("Surplus worth %"), 100)}
	m.SpoolG, _ = d.quantity(cell("Spool g"), bom.One, false)
	m.Currency = p.currency(d, cell("Currency"), p.currencyOf(m.Supplier))
	m.SpoolPrice = d.money(cell("Spool price"), m.Currency)
	m.Range = d.bounds(bom.FormMoney, cell("Spool price"), cell("Low"), cell("High"), limits{})
	d.once(cell("Material"), "the same spool of the material", m.Name, m.Supplier, m.SpoolG.String())
	p.prices.Materials = append(p.prices.Materials, m)
}

func (p *priceReader) printer(d *decoder) {
	cell := d.cell
	m := bom.Printer{Dated: d.dated(), Name: d.key(cell("Printer")), Count: int(d.whole(cell("Count"), 1, 1)),
		BedMM:  [3]bom.Measure{d.measure(cell("Bed X mm"), false), d.measure(cell("Bed Y mm"), false), d.measure(cell("Bed Z mm"), false)},
		PowerW: d.measure(cell("Power W"), true).Value, HourlyRate: d.money(cell("Hourly rate"), p.prices.Settings.Home),
		PowerRange:  d.bounds(bom.FormNumber, orZero(cell("Power W")), cell("Power low W"), cell("Power high W"), limits{}),
		Failure:     d.percent(cell("Failure %"), 0, 100),
		FailRange:   d.bounds(bom.FormPercent, orZero(cell("Failure %")), cell("Failure low %"), cell("Failure high %"), limits{under: hundred}),
		AttendedMin: [2]int{d.clock(cell("Attended from"), 0), d.clock(cell("Attended to"), minutesADay)},
		Watched:     !d.yes(cell("Runs on unattended"), true)}
	for _, h := range bom.LimitHeadings {
		if v := d.measure(cell(h), false); v.Known {
			if m.Limits == nil {
				m.Limits = map[string]float64{}
			}
			m.Limits[h] = v.Value
		}
	}
	if m.Failure.Equal(hundred) {
		d.wrong(cell("Failure %"), "a percentage under 100", "no plate would ever come out")
	}
	if m.AttendedMin[0] == m.AttendedMin[1] {
		d.wrong(cell("Attended to"), "another time than Attended from; 00:00 to 24:00 is always", "the attended hours end as they begin")
	}
	d.once(cell("Printer"), "the printer", m.Name)
	p.prices.Printers = append(p.prices.Printers, m)
}
