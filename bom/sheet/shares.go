package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

func (p *priceReader) service(d *decoder) {
	cell := d.cell
	s := bom.Service{Dated: d.dated(), Name: d.key(cell("Service")), To: d.key(cell("To")), MaxG: d.measure(cell("Max g"), false),
		MaxMM:    [3]bom.Measure{d.measure(cell("Max length mm"), false), d.measure(cell("Max width mm"), false), d.measure(cell("Max height mm"), false)},
		Excludes: d.wordList(cell("Excludes")), Divisor: d.measure(cell("Volumetric divisor"), false).Value}
	s.Currency = p.currency(d, cell("Currency"), p.prices.Settings.Home)
	s.Price = d.money(cell("Price"), s.Currency)
	s.MaxValue = d.moneyOrNone(cell("Max value"), s.Currency)
	d.once(cell("Service"), "the same service", s.Name, s.To, cell("Max g").Text, cell("Max length mm").Text, cell("Max width mm").Text, cell("Max height mm").Text, cell("Max value").Text, cell("Excludes").Text)
	p.prices.Postage = append(p.prices.Postage, s)
}

func (p *priceReader) recipient(d *decoder) {
	cell := d.cell
	z := bom.Recipient{Dated: d.dated(), Zone: d.key(cell("Zone")), Count: d.whole(cell("Count"), 0, 0), UnitsPer: d.whole(cell("Units per parcel"), 1, 1), CartonG: d.measure(cell("Carton g"), true),
		CartonMM: [3]bom.Measure{d.measure(cell("Carton length mm"), false), d.measure(cell("Carton width mm"), false), d.measure(cell("Carton height mm"), false)}}
	d.once(cell("Zone"), "the zone", z.Zone)
	p.prices.Recipients = append(p.prices.Recipients, z)
}

func (p *priceReader) onHand(d *decoder) {
	cell := d.cell
	h := bom.OnHand{Dated: d.dated(), Part: d.key(cell("Part number")), UnitValue: d.money(cell("Unit value"), p.prices.Settings.Home),
		GivenBy: d.key(cell("Given by"))}
	h.Quantity, _ = d.quantity(cell("Quantity"), 0, true)
	if cell("Unit value").Text == "" && h.Quantity > 0 {
		d.problems.Warnf(d.place(cell("Unit value")), "", "what one piece is worth; 0 if it is worth nothing",
			"%s has no unit value, so what is taken from stock counts as nothing", h.Part)
	}
	d.once(cell("Part number"), "the part with this unit value and giver", h.Part, h.UnitValue.String(), h.GivenBy)
	p.prices.OnHand = append(p.prices.OnHand, h)
}

func (p *priceReader) substitute(d *decoder) {
	cell := d.cell
	home := p.prices.Settings.Home
	s := bom.Substitute{Dated: d.dated(), Part: d.key(cell("Part number")), Substitute: d.key(cell("Substitute")),
		ExtraPerUnit: d.money(cell("Extra per unit"), home), ExtraPerBatch: d.money(cell("Extra per batch"), home),
		ExtraSeconds: d.measure(cell("Extra seconds per unit"), true).Value, Allowed: d.yes(cell("Allowed"), true), Mix: d.yes(cell("Mix"), false)}
	if cell("Substitute").Blank() {
		return
	}
	if bom.Fold(s.Part) == bom.Fold(s.Substitute) {
		d.wrong(cell("Substitute"), "another part", "the part is its own substitute")
	}
	d.once(cell("Substitute"), "the substitute for "+bom.Shown(s.Part), s.Part, s.Substitute)
	p.prices.Substitutes = append(p.prices.Substitutes, s)
}

func (p *priceReader) share(d *decoder) {
	cell := d.cell
	before := len(*d.problems)
	s := bom.Share{Dated: d.dated(), AppliesTo: d.key(cell("Applies to")), Payer: d.key(cell("Payer")), Percent: d.percent(cell("Share %"), 0, 100)}
	if d.failedSince(before) || cell("Payer").Blank() || cell("Share %").Blank() {
		p.openShares[bom.Fold(s.AppliesTo)] = true
		return
	}
	d.once(cell("Payer"), "the payer for "+bom.Shown(s.AppliesTo), s.AppliesTo, s.Payer)
	p.prices.WhoPays = append(p.prices.WhoPays, s)
}

// shareSum is what the shares of one thing come to.
type shareSum struct {
	percent decimal.Decimal
	row     int // of the last of them
}

// checkShares refuses shares of one thing that do not come to the whole of it.
func (p *priceReader) checkShares() {
	sums := map[string]shareSum{}
	for _, s := range p.prices.WhoPays {
		sum := shareSum{s.Percent, s.Row}
		if had, ok := sums[bom.Fold(s.AppliesTo)]; ok {
			sum.percent = had.percent.Add(s.Percent)
		}
		sums[bom.Fold(s.AppliesTo)] = sum
	}
	wrong := 0
	for _, s := range p.prices.WhoPays {
		key := bom.Fold(s.AppliesTo)
		if sum := sums[key]; s.Row == sum.row && !p.openShares[key] && !sum.percent.Equal(hundred) && wrong < MaxFaults {
			wrong++
			found := s.AppliesTo + ", " + sum.percent.String() + " %"
			p.problems.Add(bom.Problem{Place: s.At("Share %"), What: "the shares of one thing do not come to 100 %", Found: found, Each: found,
				Want: "a row for each who pays some of it, of the maker as well"})
		}
	}
}

// oneOff reads a cost that falls due once.
func (p *priceReader) oneOff(d *decoder) {
	cell := d.cell
	o := bom.OneOff{Dated: d.dated(), What: d.key(cell("What")), Category: d.key(cell("Category")), Payee: d.key(cell("Payee")),
		SpreadOver: d.whole(cell("Spread over"), 0, 1), UnitsBefore: d.whole(cell("Units before"), 0, 0), PaidAlready: d.yes(cell("Paid already"), false)}
	if !cell("Units before").Blank() && cell("Spread over").Blank() {
		d.wrong(cell("Units before"), "the units that bear the cost in Spread over", "units before count where a cost is spread")
	}
	o.Currency = p.currency(d, cell("Currency"), p.currencyOf(o.Payee))
	o.Price = d.money(cell("Price"), o.Currency)
	d.once(cell("What"), "the one-off cost", o.What)
	p.prices.OneOffs = append(p.prices.OneOffs, o)
}
