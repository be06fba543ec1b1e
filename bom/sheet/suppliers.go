package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

type rawRate struct {
	Currency Cell `csv:"Currency"`
	Rate     Cell `csv:"Rate"`
	Low      Cell `csv:"Low"`
	High     Cell `csv:"High"`
	Dated
}

func (p *priceReader) rate(d *decoder, r *rawRate, at bom.Origin) {
	named, priced := d.need(r.Currency), d.need(r.Rate)
	rate := bom.Rate{Origin: at, Currency: d.currency(r.Currency, bom.Currency{}), Rate: d.number(r.Rate, decimal.NewFromInt(1)),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note)}
	if !named || rate.Currency.Code == "" {
		return
	}
	d.once(r.Currency, "the currency "+rate.Currency.Code, rate.Currency.Code)
	p.rates[rate.Currency.Code] = true
	home := p.prices.Settings.Home.Code
	rate.Range = d.bounds(bom.FormNumber, r.Rate, r.Low, r.High, limits{over: true})
	switch {
	case priced && rate.Rate.IsZero():
		d.wrong(r.Rate, "what one "+rate.Currency.Code+" costs in home currency", "a rate of 0")
	case rate.Currency.Code == home && !rate.Rate.Equal(decimal.NewFromInt(1)):
		d.wrong(r.Rate, "1, or no row for the home currency", "the home currency costs 1 of itself")
	}
	p.prices.Exchange = append(p.prices.Exchange, rate)
}

type rawSupplier struct {
	Supplier     Cell `csv:"Supplier"`
	Currency     Cell `csv:"Currency"`
	Delivery     Cell `csv:"Delivery"`
	FreeOver     Cell `csv:"Free delivery over"`
	MinOrder     Cell `csv:"Minimum order"`
	LeadDays     Cell `csv:"Lead days"`
	Duty         Cell `csv:"Duty %"`
	Tax          Cell `csv:"Import tax %"`
	DutyFreeUpTo Cell `csv:"Duty free up to"`
	TaxFreeUpTo  Cell `csv:"Tax free up to"`
	FlatDuty     Cell `csv:"Flat duty per heading"`
	Handling     Cell `csv:"Handling fee"`
	Consign      Cell `csv:"Consignment fee per line"`
	PartsSent    Cell `csv:"Parts sent count"`
	Dated
}

// mostDuty bounds duty and import tax: some goods bear more than their value.
const mostDuty = 1000

func (p *priceReader) supplier(d *decoder, r *rawSupplier, at bom.Origin) {
	if !d.need(r.Supplier) {
		return
	}
	home := p.prices.Settings.Home
	cur := p.currency(d, r.Currency, home)
	s := bom.Supplier{
		Origin: at, Name: d.key(r.Supplier), Currency: cur,
		Delivery: d.money(r.Delivery, cur), FreeOver: d.moneyOrNone(r.FreeOver, cur), MinOrder: d.money(r.MinOrder, cur),
		LeadDays: int(d.whole(r.LeadDays, 0, 0)), LeadKnown: !r.LeadDays.Blank(),
		Duty: d.percent(r.Duty, 0, mostDuty), Tax: d.percent(r.Tax, 0, mostDuty),
		DutyFreeUpTo: d.money(r.DutyFreeUpTo, home), TaxFreeUpTo: d.money(r.TaxFreeUpTo, home), FlatDuty: d.money(r.FlatDuty, home),
		Handling: d.money(r.Handling, home), ConsignPerLine: d.money(r.Consign, cur), PartsSent: d.yes(r.PartsSent, false),
		AsOf: d.date(r.AsOf), Note: d.text(r.Note),
	}
	d.once(r.Supplier, "the supplier", s.Name)
	if _, doubled := p.suppliers[bom.Fold(s.Name)]; !doubled {
		p.suppliers[bom.Fold(s.Name)] = len(p.prices.Suppliers)
	}
	p.prices.Suppliers = append(roomFor(p.prices.Suppliers, d), s)
}
