package sheet

import (
	"tenoff/bom"
)

type rawAllowance struct {
	AppliesTo Cell `csv:"Applies to"`
	Package   Cell `csv:"Package"`
	Percent   Cell `csv:"Percent"`
	Pieces    Cell `csv:"Pieces"`
	AtLeast   Cell `csv:"At least"`
	Dated
}

// mostAllowance bounds the allowance: more than ten times the need is a slip.
const mostAllowance = 1000

func (p *priceReader) allowance(d *decoder, r *rawAllowance, at bom.Origin) {
	if !d.need(r.AppliesTo) {
		return
	}
	a := bom.Allowance{Origin: at, AppliesTo: d.choice(r.AppliesTo), Package: d.key(r.Package),
		Percent: d.percent(r.Percent, 0, mostAllowance), Pieces: d.whole(r.Pieces, 0, 0), AtLeast: d.whole(r.AtLeast, 0, 0),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if a.AppliesTo == "" {
		return
	}
	d.once(r.AppliesTo, "the allowance", a.AppliesTo, bom.ReadPackage(a.Package).Key)
	p.prices.Allowances = append(p.prices.Allowances, a)
}

type rawOperation struct {
	Operation Cell `csv:"Operation"`
	AppliesTo Cell `csv:"Applies to"`
	Basis     Cell `csv:"Basis"`
	Seconds   Cell `csv:"Seconds"`
	Low       Cell `csv:"Low"`
	High      Cell `csv:"High"`
	Learning  Cell `csv:"Learning %"`
	TimedAt   Cell `csv:"Timed at"`
	Before    Cell `csv:"Done before"`
	Share     Cell `csv:"Share %"`
	Dated
}

func (p *priceReader) operation(d *decoder, r *rawOperation, at bom.Origin) {
	for _, c := range []Cell{r.Operation, r.AppliesTo, r.Basis, r.Seconds} {
		d.need(c)
	}
	o := bom.Operation{Origin: at, Name: d.key(r.Operation), AppliesTo: d.choice(r.AppliesTo), Basis: d.choice(r.Basis),
		Seconds: d.measure(r.Seconds, true).Value, Range: d.bounds(bom.FormNumber, r.Seconds, r.Low, r.High, limits{}), Learning: d.percent(r.Learning, 100, 100).InexactFloat64(),
		TimedAt: int(d.whole(r.TimedAt, 1, 1)), Before: int(d.whole(r.Before, 0, 0)), Share: d.percent(r.Share, 100, 100),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if o.Learning == 0 {
		d.wrong(r.Learning, "a percentage over 0 and up to 100; 100 is no learning", "out of range")
	}
	if o.Share.IsZero() {
		d.wrong(r.Share, "a percentage over 0 and up to 100, or no row", "out of range")
	}
	warnOfShare(d, r.Learning)
	warnOfShare(d, r.Share)
	if o.Basis == "plate" && o.AppliesTo != "printed" && o.AppliesTo != "" {
		d.wrong(r.Basis, "joint, piece, unit or batch, or printed in Applies to", "only printed parts come on plates")
	}
	if o.Name == "" || o.AppliesTo == "" || o.Basis == "" {
		return
	}
	d.once(r.Operation, "the operation", o.Name, o.AppliesTo, o.Basis)
	p.prices.HandWork = append(p.prices.HandWork, o)
}

type rawMaterial struct {
	Material   Cell `csv:"Material"`
	Density    Cell `csv:"Density g/cm3"`
	Diameter   Cell `csv:"Diameter mm"`
	SpoolG     Cell `csv:"Spool g"`
	SpoolPrice Cell `csv:"Spool price"`
	Low        Cell `csv:"Low"`
	High       Cell `csv:"High"`
	Currency   Cell `csv:"Currency"`
	Supplier   Cell `csv:"Supplier"`
	Worth      Cell `csv:"Surplus worth %"`
	Dated
}

func (p *priceReader) material(d *decoder, r *rawMaterial, at bom.Origin) {
	if named := d.need(r.Material); named && noneOf(d, "Spool price", "Low", "High") {
		noPrice(d, "Spool price", d.key(r.Material))
		p.prices.Materials = append(p.prices.Materials, bom.Material{Origin: at, Name: d.key(r.Material), Unpriced: true,
			Density: d.measure(r.Density, false).Value, DiameterMM: d.measure(r.Diameter, false).Value})
		return
	}
	for _, c := range []Cell{r.SpoolG, r.SpoolPrice} {
		d.need(c)
	}
	m := bom.Material{Origin: at, Name: d.key(r.Material), Density: d.measure(r.Density, false).Value,
		DiameterMM: d.measure(r.Diameter, false).Value, Supplier: d.key(r.Supplier),
		Worth: d.percentIfAny(r.Worth, 100), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	m.SpoolG, _ = d.quantity(r.SpoolG, bom.One, false)
	m.Currency = p.currency(d, r.Currency, p.currencyOf(m.Supplier))
	m.SpoolPrice = d.money(r.SpoolPrice, m.Currency)
	m.Range = d.bounds(bom.FormMoney, r.SpoolPrice, r.Low, r.High, limits{})
	if m.Name == "" {
		return
	}
	d.once(r.Material, "the same spool of the material", m.Name, m.Supplier, m.SpoolG.String())
	p.prices.Materials = append(p.prices.Materials, m)
}

type rawPrinter struct {
	Printer      Cell `csv:"Printer"`
	Count        Cell `csv:"Count"`
	BedX         Cell `csv:"Bed X mm"`
	BedY         Cell `csv:"Bed Y mm"`
	BedZ         Cell `csv:"Bed Z mm"`
	Power        Cell `csv:"Power W"`
	PowerLow     Cell `csv:"Power low W"`
	PowerHigh    Cell `csv:"Power high W"`
	HourlyRate   Cell `csv:"Hourly rate"`
	Failure      Cell `csv:"Failure %"`
	FailureLow   Cell `csv:"Failure low %"`
	FailureHigh  Cell `csv:"Failure high %"`
	AttendedFrom Cell `csv:"Attended from"`
	AttendedTo   Cell `csv:"Attended to"`
	RunsOn       Cell `csv:"Runs on unattended"`
	SpeedX       Cell `csv:"Max speed X mm/s"`
	SpeedY       Cell `csv:"Max speed Y mm/s"`
	SpeedZ       Cell `csv:"Max speed Z mm/s"`
	SpeedE       Cell `csv:"Max speed E mm/s"`
	AccX         Cell `csv:"Max acceleration X mm/s2"`
	AccY         Cell `csv:"Max acceleration Y mm/s2"`
	AccZ         Cell `csv:"Max acceleration Z mm/s2"`
	AccE         Cell `csv:"Max acceleration E mm/s2"`
	Deviation    Cell `csv:"Junction deviation mm"`
	Dated
}

func (p *priceReader) printer(d *decoder, r *rawPrinter, at bom.Origin) {
	if !d.need(r.Printer) {
		return
	}
	m := bom.Printer{Origin: at, Name: d.key(r.Printer), Count: int(d.whole(r.Count, 1, 1)),
		BedMM:  [3]bom.Measure{d.measure(r.BedX, false), d.measure(r.BedY, false), d.measure(r.BedZ, false)},
		PowerW: d.measure(r.Power, true).Value, HourlyRate: d.money(r.HourlyRate, p.prices.Settings.Home),
		PowerRange:  d.bounds(bom.FormNumber, orZero(r.Power), r.PowerLow, r.PowerHigh, limits{}),
		Failure:     d.percent(r.Failure, 0, 100),
		FailRange:   d.bounds(bom.FormPercent, orZero(r.Failure), r.FailureLow, r.FailureHigh, limits{under: hundred}),
		AttendedMin: [2]int{d.clock(r.AttendedFrom, 0), d.clock(r.AttendedTo, minutesADay)},
		Watched:     !d.yes(r.RunsOn, true),
		AsOf:        d.date(r.AsOf), Note: d.text(r.Note)}
	for i, c := range []Cell{r.SpeedX, r.SpeedY, r.SpeedZ, r.SpeedE, r.AccX, r.AccY, r.AccZ, r.AccE, r.Deviation} {
		if v := d.measure(c, false); v.Known {
			if m.Limits == nil {
				m.Limits = map[string]float64{}
			}
			m.Limits[bom.LimitHeadings[i]] = v.Value
		}
	}
	if m.Failure.Equal(hundred) {
		d.wrong(r.Failure, "a percentage under 100", "no plate would ever come out")
	}
	if m.AttendedMin[0] == m.AttendedMin[1] {
		d.wrong(r.AttendedTo, "another time than Attended from; 00:00 to 24:00 is always", "the attended hours end as they begin")
	}
	d.once(r.Printer, "the printer", m.Name)
	p.prices.Printers = append(p.prices.Printers, m)
}
