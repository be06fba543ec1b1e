package cost

import (
	"fmt"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// The settings that prices rest on.
const (
	setMargin   = "Margin %"
	setFee      = "Payment fee %"
	setFeeFixed = "Payment fee fixed"
	setStep     = "Round price up to"
	setTax      = "Sales tax %"
)

// tillSums are what comes in and goes out of a batch whatever the price.
type tillSums struct {
	paying, payments    sum.Ref // units that are paid for; payments, those of free units included
	asked               sum.Ref // of all recipients, for what they bear
	each, ofFree        sum.Ref // of one for a unit, and for a free one
	share               sum.Ref // cash that the recipients bear of a unit
	cash, reclaim, cost sum.Ref // of the maker and the recipients: paid, coming back, consumed
	fee, fixed, tax     sum.Ref // settings
}

// Till is the same as figures.
type Till struct {
	Paying, Payments           int
	Asked, Cash, Reclaim, Cost decimal.Decimal
}

// stateTill states what is asked of the recipients (5.10) and what does not hang on the
// price.
func stateTill(s *sums) {
	b, n := s.b, int64(s.b.Size)
	free := min(s.m.free(), n)
	t := &s.till
	t.paying, t.payments = s.counted(OfTotal, 0, "paying units", int(n-free)), s.Count(n-free)
	t.fee, t.fixed, t.tax = s.setting(setFee), s.setting(setFeeFixed), s.setting(setTax)
	t.cash, t.reclaim, t.cost = s.bears[0].cash, s.bears[0].reclaim, s.bears[0].consumed
	set := s.setting(setStep)
	s.step = s.name(OfTotal, 0, "step", s.More(set, 0, set, s.Number(decimal.New(1, -s.digits))), sum.Loose)
	if i := s.m.payers.recipients; i >= 0 {
		p, bears := &b.Payers[i], &s.bears[i]
		t.cash, t.reclaim, t.cost = s.Add(t.cash, bears.cash), s.Add(t.reclaim, bears.reclaim), s.Add(t.cost, bears.consumed)
		t.share = s.name(OfTotal, 0, "recipients' share", s.Div(bears.cash, s.Count(n)), sum.Loose)
		each, ofFree := s.askFor(t.share)
		t.each = s.money(OfTotal, 0, "asked", each)
		b.Ask = Ask{Payer: p.Name, Unpriced: p.Unpriced, Each: s.Value(t.each)}
		all := s.Mul(t.each, t.paying)
		if free > 0 {
			t.ofFree = s.money(OfTotal, 0, "asked of free", ofFree)
			b.Ask.Free = s.Value(t.ofFree)
			t.payments = s.More(t.ofFree, 0, s.Count(n), t.payments)
			all = s.Add(all, s.Mul(t.ofFree, s.Count(free)))
		}
		t.asked = s.money(OfTotal, 0, "asked in all", all)
		askByZone(s, bears, free == n)
	}
	t.cash = s.money(OfTotal, 0, "paid", t.cash)
	if t.reclaim != 0 {
		t.reclaim = s.money(OfTotal, 0, "coming back", t.reclaim)
	}
	count := func(r sum.Ref) int { return int(s.Value(r).IntPart()) }
	b.Till = Till{count(t.paying), count(t.payments), s.Value(t.asked), s.Value(t.cash), s.Value(t.reclaim), s.Value(t.cost)}
	b.till = *t
}

// free is how many units are given away, however many are made.
func (m *Model) free() int64 {
	if m.run.Free != nil {
		return *m.run.Free
	}
	return m.prices.Settings.FreeUnits
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
// postage falls on the zones as the postage itself does.
func askByZone(s *sums, p *bearsSums, free bool) {
	if !s.b.InZones() || !s.Value(s.post).IsPositive() {
		return
	}
	all := s.Count(int64(s.b.Size))
	for i := 0; i < len(s.b.Posts); {
		first, open := i, false
		var cashes, counts []sum.Ref
		for ; i < len(s.b.Posts) && s.posts[i].zone == s.posts[first].zone; i++ {
			open = open || s.b.Posts[i].Unpriced
			cashes, counts = append(cashes, s.posts[i].cash), append(counts, s.posts[i].units)
		}
		if open || s.b.Posts[first].Parcels == 0 {
			continue
		}
		cash, units := s.Add(cashes...), s.Add(counts...)
		rest := s.Div(s.Sub(p.cash, p.postage), all)
		each, ofFree := s.askFor(s.Add(rest, s.Div(s.Mul(p.postage, cash), s.Mul(s.post, units))))
		if free {
			each = ofFree
		}
		each = s.More(p.cash, 0, each, 0)
		for j := first; j < i; j++ {
			s.posts[j].asked = s.money(OfParcel, j, "asked", each)
			s.b.Posts[j].Asked = s.Value(s.posts[j].asked)
		}
	}
}

// stateCharge states the price of a unit that is paid for (5.10), of which fee, margin and
// sales tax are shares:
//
//	before tax: (C + fixed + fee × r (1 + tax)) / (1 − margin − fee (1 + tax))
//
// where C is what the maker's part of the batch costs, by paying unit, and r the cash that
// recipients bear of one unit. With tax it is rounded up to the step, which is the minor
// unit where none is set. Where all units are free there is no price.
func stateCharge(s *sums) {
	t, c := &s.till, &s.b.Charge
	if s.b.Till.Paying == 0 {
		stateQuote(s, 0)
		return
	}
	named := func(what string, r sum.Ref) sum.Ref { return s.name(OfCharge, 0, what, r, sum.Loose) }
	hundred, margin := s.Count(100), s.setting(setMargin)
	gross := s.Add(hundred, t.tax)
	cost, cover := named("unit cost", s.Div(s.bears[0].consumed, t.paying)), t.fixed
	if t.share != 0 {
		cover = s.Add(t.fixed, named("fee on share", s.percent(s.percent(t.share, gross), t.fee)))
	}
	cover = named("to cover", s.Add(cost, cover))
	left := s.Sub(s.Sub(hundred, margin), s.percent(t.fee, gross))
	left = named("left", s.Max(left, 0)) // readers refuse what leaves nothing
	before := named("before tax", s.Div(s.Mul(cover, hundred), left))
	full := named("unrounded", s.Add(before, named("tax unrounded", s.percent(before, t.tax))))
	price := s.money(OfCharge, 0, "price", s.Up(full, s.step))
	c.Step, c.Price = s.Value(s.step), s.Value(price)

	fee := named("fee", s.Add(s.percent(s.Add(price, t.each), t.fee), t.fixed))
	net := s.Div(s.Mul(price, hundred), gross)
	part, tax := named("margin", s.percent(net, margin)), named("tax of one", s.Sub(price, net))
	rounding := named("rounding", s.Sub(s.Sub(s.Sub(s.Sub(price, cost), fee), part), tax))
	c.UnitCost, c.Fee, c.Margin, c.Tax, c.Rounding = s.Value(cost), s.Value(fee), s.Value(part), s.Value(tax), s.Value(rounding)
	c.Income = incomeOf(s.Sheet, 0, price, t, s.digits)
	stateQuote(s, price)
}

// priced states what a given price brings, from the sums of a batch that are stated
// already.
func (b *Batch) priced(price decimal.Decimal, home bom.Currency) Income {
	given := b.Sums.Figure(sum.Figure{Key: sum.Key{Of: OfCharge, At: 1, What: "given"}, Value: price, Unit: home.Code})
	return incomeOf(b.Sums, 1, given, &b.till, home.Digits)
}

// at is what a price brings at some point of a curve.
func (t Till) at(price decimal.Decimal, set *bom.Settings, digits int32) Income {
	s := sum.New(32)
	return incomeOf(s, noName, s.Number(price), &tillSums{
		paying: s.Count(int64(t.Paying)), payments: s.Count(int64(t.Payments)), asked: s.Number(t.Asked), cash: s.Number(t.Cash), reclaim: s.Number(t.Reclaim),
		cost: s.Number(t.Cost), fee: s.Number(set.PaymentFee), fixed: s.Number(set.PaymentFixed), tax: s.Number(set.SalesTax)}, digits)
}

const noName = -1 // of a sum that nobody asks for

// incomeOf states both sides of the account at a price. Payment fees and sales tax of all
// units are each rounded once.
func incomeOf(s *sum.Sheet, at int, price sum.Ref, t *tillSums, digits int32) Income {
	money := func(what string, r sum.Ref) sum.Ref {
		if at == noName {
			return r
		}
		return s.Name(sum.Key{Of: OfCharge, At: at, What: what}, r, digits)
	}
	hundred := s.Count(100)
	sold := money("sold", s.Mul(price, t.paying))
	in := money("in", s.Add(sold, t.asked))
	fees := money("fees", s.Round(s.Add(s.Div(s.Mul(in, t.fee), hundred), s.Mul(t.fixed, t.payments)), digits))
	tax := money("sales tax", s.Round(s.Div(s.Mul(in, t.tax), s.Add(hundred, t.tax)), digits))
	net := money("net", s.Sub(s.Sub(in, fees), tax))
	stays := money("stays", s.Add(s.Sub(net, t.cash), t.reclaim))
	over := money("over", s.Sub(net, t.cost))
	return Income{Price: s.Value(price), Sold: s.Value(sold), Asked: s.Value(t.asked), In: s.Value(in), Fees: s.Value(fees), Tax: s.Value(tax), Net: s.Value(net),
		Stays: s.Value(stays), Over: s.Value(over)}
}

// stateQuote states what the units are offered for: those that are paid for at their price,
// the others for nothing, and what recipients are asked for besides, by zone where that is
// not the same for all.
func stateQuote(s *sums, price sum.Ref) {
	q, t := &s.b.Quote, &s.till
	all := []sum.Ref{}
	add := func(l QuoteLine, each sum.Ref) {
		i := len(q.Lines)
		if each != 0 {
			l.Each = s.Value(s.money(OfQuote, i, "each", each))
		}
		if each != 0 && !l.Open {
			of := s.money(OfQuote, i, "all", s.Mul(each, s.Count(int64(l.Units))))
			l.All, all = s.Value(of), append(all, of)
		}
		q.Lines = append(q.Lines, l)
	}
	paying, free := s.b.Till.Paying, s.b.Size-s.b.Till.Paying
	if paying > 0 {
		add(QuoteLine{Units: paying}, price)
	}
	if free > 0 {
		add(QuoteLine{Units: free, Free: true}, 0)
	}
	zones := quotedZones(s)
	for _, z := range zones {
		add(QuoteLine{Share: true, Zone: z.Zone, Units: z.Units, Open: paying > 0 && free > 0, Unpriced: z.Unpriced}, z.each)
	}
	if len(zones) == 0 && s.Value(t.each).IsPositive() && paying > 0 {
		add(QuoteLine{Share: true, Units: paying}, t.each)
	}
	if len(zones) == 0 && s.Value(t.ofFree).IsPositive() {
		add(QuoteLine{Share: true, Units: free, Free: true}, t.ofFree)
	}
	total := s.money(OfQuote, 0, "in all", s.Add(all...))
	tax := s.money(OfQuote, 0, "tax", s.Round(s.Div(s.Mul(total, t.tax), s.Add(s.Count(100), t.tax)), s.digits))
	q.All, q.Tax = s.Value(total), s.Value(tax)
}

// quotedZone is a zone to which units go, with what is asked of each recipient there.
type quotedZone struct {
	Post
	each sum.Ref
}

// quotedZones are the zones whose recipients are asked for something, each once with all
// its units; none where all are asked the same.
func quotedZones(s *sums) (zones []quotedZone) {
	if s.m.payers.recipients < 0 || !s.b.InZones() {
		return nil
	}
	asks := false
	for i, p := range s.b.Posts {
		asks = asks || s.posts[i].asked != 0
		switch last := len(zones) - 1; {
		case p.Parcels == 0:
		case i > 0 && last >= 0 && s.posts[i].zone == s.posts[i-1].zone:
			zones[last].Units += p.Units
			zones[last].Unpriced = zones[last].Unpriced || p.Unpriced
		default:
			zones = append(zones, quotedZone{p, s.posts[i].asked})
		}
	}
	if !asks {
		return nil
	}
	return zones
}

// asksPrice tells whether the settings say something of a price.
func (m *Model) asksPrice() bool {
	s := &m.prices.Settings
	return decimal.Sum(s.Margin, s.PaymentFee, s.PaymentFixed, s.RoundUpTo, s.SalesTax).IsPositive() || m.free() > 0
}

// warnOfShortage tells where the price leaves the maker short of cash, since surplus stock
// is paid as well.
func warnOfShortage(m *Model, batches []Batch) bom.Problems {
	var sizes, lacks []string
	for _, b := range batches {
		if stays := b.Charge.Income.Stays; b.Till.Paying > 0 && stays.IsNegative() && !b.Total.Unpriced && m.asksPrice() {
			sizes, lacks = append(sizes, fmt.Sprint(b.Size)), append(lacks, m.home.Shown(stays.Neg()))
		}
	}
	var problems bom.Problems
	if sizes != nil {
		problems.Warnf(m.settingPlace(setMargin), "", "raise the margin, or find that much first",
			"the price leaves the maker short of cash by %s %s (batch %s)", strings.Join(lacks, ", "), m.home.Code, strings.Join(sizes, ", "))
	}
	return problems
}
