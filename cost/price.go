package cost

import (
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// stateTill states what is asked of the recipients and what does not hang on the
// price.
func stateTill(s *sums) {
	b := s.b
	t := &s.till
	t.fee, t.fixed, t.tax = s.setting(setFee), s.setting(setFeeFixed), s.setting(setTax)
	t.cash, t.reclaim, t.cost = s.bears[0].cash, s.bears[0].reclaim, s.bears[0].consumed
	set := s.setting(setStep)
	s.step = s.name(OfTotal, 0, "step", s.More(set, 0, set, s.Number(decimal.New(1, -s.digits))), sum.Loose)
	if i := s.m.payers.recipients; i >= 0 {
		p, bears := &b.Payers[i], &s.bears[i]
		t.cash, t.reclaim, t.cost = s.Add(t.cash, bears.cash), s.Add(t.reclaim, bears.reclaim), s.Add(t.cost, bears.consumed)
		b.Ask = Ask{Payer: p.Name, Unpriced: p.Unpriced}
	}
	var paying, payments, asked []sum.Ref
	for i, free := range freeUnits(s.m, b) {
		sale, all := stateSale(s, i, free)
		t.sales = append(t.sales, sale)
		paying, payments, asked = append(paying, sale.paying), append(payments, sale.payments), append(asked, all)
	}
	t.paying, t.payments, t.asked = s.Add(paying...), s.Add(payments...), s.Add(asked...)
	t.asked = s.money(OfTotal, 0, "asked in all", t.asked)
	t.cash = s.money(OfTotal, 0, "paid", t.cash)
	t.reclaim = s.money(OfTotal, 0, "coming back", t.reclaim)
	count := func(r sum.Ref) int { return int(s.Value(r).IntPart()) }
	by := bom.Each(b.Products, func(p *ProductRun) int { return p.Paying })
	b.Till = Till{count(t.paying), count(t.payments), by, s.Value(t.asked), s.Value(t.cash), s.Value(t.reclaim), s.Value(t.cost)}
	b.till = *t
}

// freeUnits are the units of each product that are given away: in proportion (largest
// remainder).
func freeUnits(m *Model, b *Batch) []int {
	sizes := bom.Each(b.Products, func(p *ProductRun) int { return p.Size })
	return apportioned(int(min(m.run.free(), int64(b.Size))), sizes)
}

// stateSale states how many units of a product are paid for, and what is asked of its
// recipients: of each, which is the mean where zones differ, and of all.
func stateSale(s *sums, product, free int) (t saleSums, asked sum.Ref) {
	p := &s.b.Products[product]
	n := p.Size
	t = saleSums{product: product, at: SaleKey(product, len(s.b.Products))}
	t.paying, t.payments = s.counted(OfTotal, t.at, "paying units", n-free), s.Count(int64(n-free))
	p.Paying = n - free
	i := s.m.payers.recipients
	if i < 0 || n == 0 {
		return t, 0
	}
	bears := s.borneOf(i, product)
	t.share = s.name(OfTotal, t.at, "recipients' share", s.Div(bears.cash, s.Count(int64(n))), sum.Loose)
	each, ofFree := s.askFor(t.share)
	zones, zonesFree := askByZone(s, product, &bears, free)
	if zones != 0 {
		each = s.Round(s.Div(zones, s.Count(int64(n))), s.digits)
	}
	if zonesFree != 0 {
		ofFree = s.Round(s.Div(zonesFree, s.Count(int64(n))), s.digits)
	}
	t.each = s.money(OfTotal, t.at, "asked", each)
	p.Ask = Ask{Payer: s.b.Ask.Payer, Unpriced: s.b.Ask.Unpriced, Each: s.Value(t.each)}
	all := s.Mul(t.each, t.paying)
	if free > 0 {
		t.ofFree = s.money(OfTotal, t.at, "asked of free", ofFree)
		p.Ask.Free = s.Value(t.ofFree)
		t.payments = s.More(t.ofFree, 0, s.Count(int64(n)), t.payments)
		all = s.Add(all, s.Mul(t.ofFree, s.Count(int64(free))))
	}
	if !s.several() {
		s.b.Ask = p.Ask
	}
	switch { // by zone, where who is given one lives in any, as all do
	case zones != 0 && zonesFree != 0:
		all = s.Round(s.Div(s.Add(s.Mul(zones, t.paying), s.Mul(zonesFree, s.Count(int64(free)))), s.Count(int64(n))), s.digits)
	case zones != 0 || zonesFree != 0:
		all = s.Add(zones, zonesFree)
	}
	return t, all
}

// borneOf is what a payer bears of a product.
func (s *sums) borneOf(payer, product int) bearsSums {
	if !s.several() {
		return s.bears[payer]
	}
	return bearsSums{s.products[product][payer].whole(), s.postages[product][payer]}
}

// askFor states what is asked for a share of a unit, with sales tax: of who pays for the
// unit besides, and of who is given one, who pays the payment fee as well.
func (s *sums) askFor(share sum.Ref) (each, ofFree sum.Ref) {
	t, hundred := &s.till, s.Count(100)
	gross := s.Add(hundred, t.tax)
	each = s.Up(s.percent(share, gross), s.step)
	keep := s.Sub(hundred, s.percent(t.fee, gross))
	ofFree = s.Up(s.Div(s.Mul(s.Add(share, t.fixed), gross), keep), s.step)
	return each, s.More(share, 0, ofFree, 0)
}

// askByZone states what each recipient in a zone is asked for where all pay the
// postage of their own zone and share the rest evenly: what they bear of the
// postage falls on the zones as the postage itself does. It gives what would be asked of all
// if all paid for their units, and if none did, of which those alone are stated that
// somebody does; nothing where all are asked the same, or some zone's postage is not known.
func askByZone(s *sums, product int, p *bearsSums, free int) (all, allFree sum.Ref) {
	post := s.postOf(product)
	if !s.b.InZones() || !s.Value(post).IsPositive() {
		return 0, 0
	}
	var of, ofFree []sum.Ref
	unknown := false
	size := s.b.Products[product].Size
	for i := 0; i < len(s.b.Posts); {
		first, open := i, false
		var cashes, counts []sum.Ref
		for ; i < len(s.b.Posts) && s.posts[i].zone == s.posts[first].zone; i++ {
			open = open || s.b.Posts[i].Unpriced
			cashes, counts = append(cashes, s.posts[i].cash), append(counts, s.posts[i].units)
		}
		if s.b.Posts[first].Product != product {
			continue
		}
		unknown = unknown || open
		if open || s.b.Posts[first].Parcels == 0 {
			continue
		}
		cash, units := s.Add(cashes...), s.Add(counts...)
		rest := s.Div(s.Sub(p.cash, p.postage), s.Count(int64(size)))
		each, given := s.askFor(s.Add(rest, s.Div(s.Mul(p.postage, cash), s.Mul(post, units))))
		if free < size {
			each = s.askIn(first, i, "asked", s.More(p.cash, 0, each, 0))
			of = append(of, s.Mul(each, units))
		}
		if free > 0 {
			what := "asked of free"
			if free == size {
				what = "asked"
			}
			given = s.askIn(first, i, what, s.More(p.cash, 0, given, 0))
			ofFree = append(ofFree, s.Mul(given, units))
		}
	}
	if unknown {
		return 0, 0
	}
	return s.Add(of...), s.Add(ofFree...)
}

// askIn names what each recipient is asked for in the zone of these parcels.
func (s *sums) askIn(first, end int, what string, ask sum.Ref) (each sum.Ref) {
	for j := first; j < end; j++ {
		r := s.money(OfParcel, j, what, ask)
		if j == first {
			each = r
		}
		if what == "asked" {
			s.posts[j].asked, s.b.Posts[j].Asked = r, s.Value(r)
		} else {
			s.posts[j].askedFree, s.b.Posts[j].AskedFree = r, s.Value(r)
		}
	}
	return each
}

// postOf is the cash of all postage of a product.
func (s *sums) postOf(product int) sum.Ref {
	if !s.several() {
		return s.post
	}
	var all []sum.Ref
	for i := range s.posts {
		if s.b.Posts[i].Product == product {
			all = append(all, s.posts[i].cash)
		}
	}
	return s.Add(all...)
}

// stateCharge states the price of a unit that is paid for, of which fee, margin and
// sales tax are shares:
//
//	before tax: (C + fixed + fee × r (1 + tax)) / (1 − margin − fee (1 + tax))
//
// where C is what the maker's part of the batch costs, by paying unit, and r the cash that
// recipients bear of one unit. With tax it is rounded up to the step, which is the minor
// unit where none is set. Where all units are free there is no price.
func stateCharge(s *sums) {
	t := &s.till
	var sold []sum.Ref
	for i := range t.sales {
		if t.sales[i].price = statePrice(s, &t.sales[i]); t.sales[i].price != 0 {
			sold = append(sold, s.Mul(t.sales[i].price, t.sales[i].paying))
		}
	}
	if s.b.Till.Paying > 0 {
		c := &s.b.Charge
		if !s.several() {
			*c = s.b.Products[0].Charge
		}
		c.Income = incomeOf(s.Sheet, saleOfAll, s.Add(sold...), t, s.digits)
	}
	stateQuote(s)
}

// statePrice states the price of a unit of a product; nothing where all are free.
func statePrice(s *sums, sale *saleSums) (price sum.Ref) {
	t, p := &s.till, &s.b.Products[sale.product]
	if p.Paying == 0 {
		return 0
	}
	named := func(what string, r sum.Ref) sum.Ref { return s.name(OfCharge, sale.at, what, r, sum.Loose) }
	hundred, margin := s.Count(100), s.setting(setMargin)
	gross := s.Add(hundred, t.tax)
	cost, cover := named("unit cost", s.Div(s.borneOf(0, sale.product).consumed, sale.paying)), t.fixed
	if sale.share != 0 {
		cover = s.Add(t.fixed, named("fee on share", s.percent(s.percent(sale.share, gross), t.fee)))
	}
	cover = named("to cover", s.Add(cost, cover))
	left := s.Sub(s.Sub(hundred, margin), s.percent(t.fee, gross))
	left = named("left", s.Max(left, 0)) // readers refuse what leaves nothing
	before := named("before tax", s.Div(s.Mul(cover, hundred), left))
	full := named("unrounded", s.Add(before, named("tax unrounded", s.percent(before, t.tax))))
	price = s.money(OfCharge, sale.at, "price", s.Up(full, s.step))

	fee := named("fee", s.Add(s.percent(s.Add(price, sale.each), t.fee), t.fixed))
	net := s.Div(s.Mul(price, hundred), gross)
	part, tax := named("margin", s.percent(net, margin)), named("tax of one", s.Sub(price, net))
	rounding := named("rounding", s.Sub(s.Sub(s.Sub(s.Sub(price, cost), fee), part), tax))
	p.Charge = Charge{Price: s.Value(price), UnitCost: s.Value(cost), Fee: s.Value(fee), Margin: s.Value(part),
		Tax: s.Value(tax), Rounding: s.Value(rounding)}
	return price
}

// Priced states what given prices bring, from the sums of a batch that are stated
// already.
func (b *Batch) Priced(prices []decimal.Decimal, home bom.Currency) Income {
	var sold []sum.Ref
	for i, sale := range b.till.sales {
		at := sale.at
		if at == saleOfAll {
			at = saleGiven
		}
		given := b.Sums.Figure(sum.Figure{Key: sum.Key{Of: OfCharge, At: at, What: "given"}, Value: prices[i], Unit: home.Code})
		sold = append(sold, b.Sums.Mul(given, sale.paying))
	}
	return incomeOf(b.Sums, saleGiven, b.Sums.Add(sold...), &b.till, home.Digits)
}

// At is what prices bring where a batch comes to this, by the payment fee and the sales tax
// of the settings.
func (t Till) At(prices []decimal.Decimal, set *bom.Settings, digits int32) Income {
	s := sum.New(32)
	var sold []sum.Ref
	for i, n := range t.By {
		sold = append(sold, s.Mul(s.Number(prices[i]), s.Count(int64(n))))
	}
	return incomeOf(s, saleGiven, s.Add(sold...), &tillSums{
		payments: s.Count(int64(t.Payments)), asked: s.Number(t.Asked), cash: s.Number(t.Cash), reclaim: s.Number(t.Reclaim),
		cost: s.Number(t.Cost), fee: s.Number(set.PaymentFee), fixed: s.Number(set.PaymentFixed), tax: s.Number(set.SalesTax)}, digits)
}

// incomeOf states both sides of the account by what is sold. Payment fees and sales tax of
// all units are each rounded once.
func incomeOf(s *sum.Sheet, at int, sold sum.Ref, t *tillSums, digits int32) Income {
	money := func(what string, r sum.Ref) sum.Ref {
		return s.Name(sum.Key{Of: OfCharge, At: at, What: what}, r, digits)
	}
	hundred := s.Count(100)
	sold = money("sold", sold)
	in := money("in", s.Add(sold, t.asked))
	fees := money("fees", s.Round(s.Add(s.Div(s.Mul(in, t.fee), hundred), s.Mul(t.fixed, t.payments)), digits))
	tax := money("sales tax", s.Round(s.Div(s.Mul(in, t.tax), s.Add(hundred, t.tax)), digits))
	net := money("net", s.Sub(s.Sub(in, fees), tax))
	stays := money("stays", s.Add(s.Sub(net, t.cash), t.reclaim))
	over := money("over", s.Sub(net, t.cost))
	return Income{Sold: s.Value(sold), Asked: s.Value(t.asked), In: s.Value(in), Fees: s.Value(fees), Tax: s.Value(tax), Net: s.Value(net),
		Stays: s.Value(stays), Over: s.Value(over)}
}

// stateQuote states what the units are offered for: those that are paid for at their price,
// the others for nothing, and what recipients are asked for besides, by zone where that is
// not the same for all.
func stateQuote(s *sums) {
	q, t := &s.b.Quote, &s.till
	all := []sum.Ref{}
	for i := range t.sales {
		quoteSale(s, &t.sales[i], func(l QuoteLine, each sum.Ref) {
			i := len(q.Lines)
			if each != 0 {
				l.Each = s.Value(s.money(OfQuote, i, "each", each))
			}
			if each != 0 && !l.Open {
				of := s.money(OfQuote, i, "all", s.Mul(each, s.Count(int64(l.Units))))
				l.All, all = s.Value(of), append(all, of)
			}
			q.Lines = append(q.Lines, l)
		})
	}
	total := s.money(OfQuote, 0, "in all", s.Add(all...))
	tax := s.money(OfQuote, 0, "tax", s.Round(s.Div(s.Mul(total, t.tax), s.Add(s.Count(100), t.tax)), s.digits))
	q.All, q.Tax = s.Value(total), s.Value(tax)
}

// quoteSale lists what the units of a product are offered for.
func quoteSale(s *sums, t *saleSums, add func(l QuoteLine, each sum.Ref)) {
	p := &s.b.Products[t.product]
	paying, free := p.Paying, p.Size-p.Paying
	if paying > 0 {
		add(QuoteLine{Product: t.product, Units: paying}, t.price)
	}
	if free > 0 {
		add(QuoteLine{Product: t.product, Units: free, Free: true}, 0)
	}
	zones := quotedZones(s, t.product)
	for _, z := range zones {
		l := QuoteLine{Product: t.product, Share: true, Zone: z.Zone, Units: z.Units, Unpriced: z.Unpriced}
		l.Open = z.given != 0 && !z.AskedFree.Equal(z.Asked) // how many of them pay is not known by zone
		add(l, z.each)
		if l.Free = l.Open; l.Free {
			add(l, z.given)
		}
	}
	if len(zones) == 0 && s.Value(t.each).IsPositive() && paying > 0 {
		add(QuoteLine{Product: t.product, Share: true, Units: paying}, t.each)
	}
	if len(zones) == 0 && s.Value(t.ofFree).IsPositive() {
		add(QuoteLine{Product: t.product, Share: true, Units: free, Free: true}, t.ofFree)
	}
}

// quotedZone is a zone to which units go, with the charge per recipient there.
type quotedZone struct {
	Post
	each, given sum.Ref // given: of free units, where others are paid for
}

// quotedZones are the zones of a product whose recipients are asked for something, each once with all
// its units; none where all are asked the same.
func quotedZones(s *sums, product int) (zones []quotedZone) {
	asks := false
	for i, p := range s.b.Posts {
		if p.Product != product {
			continue
		}
		asks = asks || p.Asked.IsPositive()
		switch last := len(zones) - 1; {
		case p.Parcels == 0:
		case i > 0 && last >= 0 && s.posts[i].zone == s.posts[i-1].zone:
			zones[last].Units += p.Units
			zones[last].Unpriced = zones[last].Unpriced || p.Unpriced
		default:
			zones = append(zones, quotedZone{p, s.posts[i].asked, s.posts[i].askedFree})
		}
	}
	if !asks {
		return nil
	}
	return zones
}

// asksPrice tells whether the settings say something of a price.
func (r *Run) asksPrice() bool {
	s := &r.Prices.Settings
	return decimal.Sum(s.Margin, s.PaymentFee, s.PaymentFixed, s.RoundUpTo, s.SalesTax).IsPositive() || r.free() > 0
}

// warnOfShortage tells where the price leaves the maker short of cash, since surplus stock
// is paid as well.
func warnOfShortage(m *Model, batches []Batch) (problems bom.Problems) {
	var sizes, lacks []string
	for _, b := range batches {
		if stays := b.Charge.Income.Stays; b.Till.Paying > 0 && stays.IsNegative() && !b.Total.Unpriced && m.run.asksPrice() {
			sizes, lacks = append(sizes, b.ID().Shown()), append(lacks, m.home.Shown(stays.Neg()))
		}
	}
	if sizes != nil {
		price := "the price"
		if m.run.Price != nil {
			price = "the price by the settings, and not the one that is tested,"
		}
		problems.Warnf(m.prices.SettingPlace(setMargin), "", "raise the margin, or find that much first",
			"%s leaves the maker short of cash by %s %s (batch %s)", price, strings.Join(lacks, ", "), m.home.Code, strings.Join(sizes, ", "))
	}
	return problems
}
