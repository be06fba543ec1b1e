package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

type rawService struct {
	Service   Cell `csv:"Service"`
	To        Cell `csv:"To"`
	MaxG      Cell `csv:"Max g"`
	MaxLength Cell `csv:"Max length mm"`
	MaxWidth  Cell `csv:"Max width mm"`
	MaxHeight Cell `csv:"Max height mm"`
	MaxValue  Cell `csv:"Max value"`
	Excludes  Cell `csv:"Excludes"`
	Price     Cell `csv:"Price"`
	Currency  Cell `csv:"Currency"`
	Divisor   Cell `csv:"Volumetric divisor"`
	Dated
}

func (p *priceReader) service(d *decoder, r *rawService, at bom.Origin) {
	named := d.need(r.Service)
	d.need(r.Price)
	s := bom.Service{Origin: at, Name: d.key(r.Service), To: d.key(r.To), MaxG: d.measure(r.MaxG, false),
		MaxMM:    [3]bom.Measure{d.measure(r.MaxLength, false), d.measure(r.MaxWidth, false), d.measure(r.MaxHeight, false)},
		Excludes: d.wordList(r.Excludes), Divisor: d.measure(r.Divisor, false).Value, AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	s.Currency = p.currency(d, r.Currency, p.prices.Settings.Home)
	s.Price = d.money(r.Price, s.Currency)
	if !r.MaxValue.Blank() {
		s.MaxValue = decimal.NewNullDecimal(d.money(r.MaxValue, s.Currency))
	}
	if !named {
		return
	}
	d.once(r.Service, "the same service", s.Name, s.To, r.MaxG.Text, r.MaxLength.Text, r.MaxWidth.Text, r.MaxHeight.Text, r.MaxValue.Text, r.Excludes.Text)
	p.prices.Postage = append(p.prices.Postage, s)
}

type rawRecipient struct {
	Zone         Cell `csv:"Zone"`
	Count        Cell `csv:"Count"`
	UnitsPer     Cell `csv:"Units per parcel"`
	CartonG      Cell `csv:"Carton g"`
	CartonLength Cell `csv:"Carton length mm"`
	CartonWidth  Cell `csv:"Carton width mm"`
	CartonHeight Cell `csv:"Carton height mm"`
	Dated
}

func (p *priceReader) recipient(d *decoder, r *rawRecipient, at bom.Origin) {
	named, counted := d.need(r.Zone), d.need(r.Count)
	z := bom.Recipient{Origin: at, Zone: d.key(r.Zone), UnitsPer: d.whole(r.UnitsPer, 1, 1), CartonG: d.measure(r.CartonG, true),
		CartonMM: [3]bom.Measure{d.measure(r.CartonLength, false), d.measure(r.CartonWidth, false), d.measure(r.CartonHeight, false)},
		AsOf:     d.date(r.AsOf), Note: d.text(r.Note)}
	if counted {
		z.Count = d.whole(r.Count, 0, 0)
	}
	if !named {
		return
	}
	d.once(r.Zone, "the zone", z.Zone)
	p.prices.Recipients = append(p.prices.Recipients, z)
}

type rawOnHand struct {
	Part      Cell `csv:"Part number"`
	Quantity  Cell `csv:"Quantity"`
	UnitValue Cell `csv:"Unit value"`
	GivenBy   Cell `csv:"Given by"`
	Dated
}

func (p *priceReader) onHand(d *decoder, r *rawOnHand, at bom.Origin) {
	named, counted := d.need(r.Part), d.need(r.Quantity)
	h := bom.OnHand{Origin: at, Part: d.key(r.Part), UnitValue: d.money(r.UnitValue, p.prices.Settings.Home),
		GivenBy: d.key(r.GivenBy), AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if counted {
		h.Quantity, _ = d.quantity(r.Quantity, 0, true)
	}
	if !named {
		return
	}
	if r.UnitValue.Text == "" && h.Quantity > 0 {
		d.problems.Warnf(d.place(r.UnitValue), "", "what one piece is worth; 0 if it is worth nothing",
			"%s has no unit value, so what is taken from stock counts as nothing", h.Part)
	}
	d.once(r.Part, "the part with this unit value and giver", h.Part, h.UnitValue.String(), h.GivenBy)
	p.prices.OnHand = append(roomFor(p.prices.OnHand, d), h)
}

type rawSubstitute struct {
	Part          Cell `csv:"Part number"`
	Substitute    Cell `csv:"Substitute"`
	ExtraPerUnit  Cell `csv:"Extra per unit"`
	ExtraPerBatch Cell `csv:"Extra per batch"`
	ExtraSeconds  Cell `csv:"Extra seconds per unit"`
	Allowed       Cell `csv:"Allowed"`
	Mix           Cell `csv:"Mix"`
	Dated
}

func (p *priceReader) substitute(d *decoder, r *rawSubstitute, at bom.Origin) {
	home := p.prices.Settings.Home
	whole := d.need(r.Part)
	whole = d.need(r.Substitute) && whole
	s := bom.Substitute{Origin: at, Part: d.key(r.Part), Substitute: d.key(r.Substitute),
		ExtraPerUnit: d.money(r.ExtraPerUnit, home), ExtraPerBatch: d.money(r.ExtraPerBatch, home),
		ExtraSeconds: d.measure(r.ExtraSeconds, true).Value, Allowed: d.yes(r.Allowed, true), Mix: d.yes(r.Mix, false),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if !whole {
		return
	}
	if bom.Fold(s.Part) == bom.Fold(s.Substitute) {
		d.wrong(r.Substitute, "another part", "the part is its own substitute")
	}
	d.once(r.Substitute, "the substitute for "+bom.Shown(s.Part), s.Part, s.Substitute)
	p.prices.Substitutes = append(roomFor(p.prices.Substitutes, d), s)
}

type rawShare struct {
	AppliesTo Cell `csv:"Applies to"`
	Payer     Cell `csv:"Payer"`
	Share     Cell `csv:"Share %"`
	Dated
}

func (p *priceReader) share(d *decoder, r *rawShare, at bom.Origin) {
	before := len(*d.problems)
	for _, c := range []Cell{r.AppliesTo, r.Payer, r.Share} {
		d.need(c)
	}
	s := bom.Share{Origin: at, AppliesTo: d.key(r.AppliesTo), Payer: d.key(r.Payer), Percent: d.percent(r.Share, 0, 100),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if d.failedSince(before) {
		p.openShares[bom.Fold(s.AppliesTo)] = true
		return
	}
	d.once(r.Payer, "the payer for "+bom.Shown(s.AppliesTo), s.AppliesTo, s.Payer)
	p.prices.WhoPays = append(roomFor(p.prices.WhoPays, d), s)
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
			p.problems.Errorf(s.At("Share %"), sum.percent.String(), "shares that come to 100", "the shares of %s do not come to 100 %%", bom.Shown(s.AppliesTo))
		}
	}
}

type rawOneOff struct {
	What        Cell `csv:"What"`
	Category    Cell `csv:"Category"`
	Payee       Cell `csv:"Payee"`
	Price       Cell `csv:"Price"`
	Currency    Cell `csv:"Currency"`
	SpreadOver  Cell `csv:"Spread over"`
	UnitsBefore Cell `csv:"Units before"`
	PaidAlready Cell `csv:"Paid already"`
	Dated
}

// oneOff reads a cost that falls due once.
func (p *priceReader) oneOff(d *decoder, r *rawOneOff, at bom.Origin) {
	named := d.need(r.What)
	d.need(r.Price)
	o := bom.OneOff{Origin: at, What: d.key(r.What), Category: d.key(r.Category), Payee: d.key(r.Payee),
		SpreadOver: d.whole(r.SpreadOver, 0, 1), UnitsBefore: d.whole(r.UnitsBefore, 0, 0), PaidAlready: d.yes(r.PaidAlready, false),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if !r.UnitsBefore.Blank() && r.SpreadOver.Blank() {
		d.wrong(r.UnitsBefore, "the units that bear the cost in Spread over", "units before count where a cost is spread")
	}
	o.Currency = p.currency(d, r.Currency, p.currencyOf(o.Payee))
	o.Price = d.money(r.Price, o.Currency)
	if named {
		d.once(r.What, "the one-off cost", o.What)
		p.prices.OneOffs = append(p.prices.OneOffs, o)
	}
}
