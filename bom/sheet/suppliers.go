package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

func (p *priceReader) rate(d *decoder) {
	cell := d.cell
	rate := bom.Rate{Dated: d.dated(), Currency: d.currency(cell("Currency"), bom.Currency{}), Rate: d.number(cell("Rate"), decimal.NewFromInt(1))}
	if rate.Currency.Code == "" {
		return
	}
	d.once(cell("Currency"), "the currency "+rate.Currency.Code, rate.Currency.Code)
	p.rates[rate.Currency.Code] = true
	home := p.prices.Settings.Home.Code
	rate.Range = d.bounds(bom.FormNumber, cell("Rate"), cell("Low"), cell("High"), limits{over: true})
	switch {
	case rate.Rate.IsZero():
		d.wrong(cell("Rate"), "what one "+rate.Currency.Code+" costs in home currency", "a rate of 0")
	case rate.Currency.Code == home && !rate.Rate.Equal(decimal.NewFromInt(1)):
		d.wrong(cell("Rate"), "1, or no row for the home currency", "the home currency costs 1 of itself")
	}
	p.prices.Exchange = append(p.prices.Exchange, rate)
}

// mostDuty bounds duty and import tax: some goods bear more than their value.
const mostDuty = 1000

func (p *priceReader) supplier(d *decoder) {
	cell := d.cell
	home := p.prices.Settings.Home
	cur := p.currency(d, cell("Currency"), home)
	s := bom.Supplier{
		Dated: d.dated(), Name: d.key(cell("Supplier")), Currency: cur,
		Delivery: d.money(cell("Delivery"), cur), FreeOver: d.moneyOrNone(cell("Free delivery over"), cur), MinOrder: d.money(cell("Minimum order"), cur),
		LeadDays: int(d.whole(cell("Lead days"), 0, 0)), LeadKnown: !cell("Lead days").Blank(),
		Duty: d.percent(cell("Duty %"), 0, mostDuty), Tax: d.percent(cell("Import tax %"), 0, mostDuty),
		DutyFreeUpTo: d.money(cell("Duty free up to"), home), TaxFreeUpTo: d.money(cell("Tax free up to"), home), FlatDuty: d.money(cell("Flat duty per heading"), home),
		Handling: d.money(cell("Handling fee"), home), ConsignPerLine: d.money(cell("Consignment fee per line"), cur), PartsSent: d.yes(cell("Parts sent count"), false),
	}
	d.once(cell("Supplier"), "the supplier", s.Name)
	if _, doubled := p.suppliers[bom.Fold(s.Name)]; !doubled {
		p.suppliers[bom.Fold(s.Name)] = len(p.prices.Suppliers)
	}
	p.prices.Suppliers = append(p.prices.Suppliers, s)
}
