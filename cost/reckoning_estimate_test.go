package cost_test

import (
	"fmt"
	"maps"
	"math/big"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// The program's answer, as figures of the same names as the second reckoning's.

// inMinor turns money into minor units; money that has a part of one is a fault.
func inMinor(d decimal.Decimal, digits int) int64 {
	m := d.Shift(int32(digits))
	if !m.IsInteger() {
		panic(fmt.Sprintf("%s has a part of a minor unit", d))
	}
	return m.IntPart()
}

func figuresOf(e *cost.Estimate, b cost.Batch) figures {
	f := newFigures()
	home := isoDigits[e.Currency.Code]
	money := func(d decimal.Decimal, format string, args ...any) { f.add(inMinor(d, home), format, args...) }
	amounts := func(a cost.Amounts, format string, args ...any) {
		f.addAmounts(reckAmounts{inMinor(a.Cash, home), inMinor(a.Own, home), inMinor(a.Stock, home), inMinor(a.Consumed, home), inMinor(a.Surplus, home),
			inMinor(a.Reclaim, home)}, format, args...)
	}
	f.add(int64(b.Starts), "starts")
	for _, p := range b.Purchases {
		f.add(p.Quantity, "purchase %s %s from %s, %s: quantity", p.Kind, p.Part, p.Supplier, p.OrderCode)
		f.add(inMinor(p.Goods, isoDigits[p.Currency.Code]), "purchase %s %s from %s, %s: goods", p.Kind, p.Part, p.Supplier, p.OrderCode)
		money(p.Cash, "purchase %s %s from %s, %s: cash", p.Kind, p.Part, p.Supplier, p.OrderCode)
	}
	for i, r := range b.Boards {
		t := e.Boards[i]
		counts := map[string]int{"starts": r.Starts, "on hand": r.OnHand, "bought": r.Bought}
		if len(t.Holds) == 0 {
			maps.Copy(counts, map[string]int{"per unit": t.PerUnit, "placements": t.Placements, "joints": t.Joints, "part numbers": r.PartLines, "sides": t.Sides, "wanted": r.Wanted})
		}
		for what, n := range counts {
			f.add(int64(n), "board %s: %s", t.Name, what)
		}
		amounts(r.Amounts, "board %s", t.Name)
	}
	for i, r := range b.Parts {
		key := e.Parts[i].Key
		f.add(int64(r.Need), "part %s: need", key)
		f.add(int64(r.Allowance), "part %s: allowance", key)
		f.add(int64(r.OnHand), "part %s: on hand", key)
		f.add(int64(r.Demand), "part %s: demand", key)
		f.add(int64(r.Takes), "part %s: taken of it", key)
		f.add(int64(r.Bought), "part %s: bought", key)
		amounts(r.Amounts, "part %s", key)
	}
	for _, fee := range b.Fees {
		if fee.Kind == cost.AssemblyFee {
			money(fee.Cash, "fee SMT assembly to %s", fee.Payee)
		}
	}
	for _, o := range b.Orders {
		for what, sum := range map[string]decimal.Decimal{"goods": o.Goods, "delivery": o.Delivery, "top-up": o.TopUp, "consign": o.Consign,
			"duty": o.Duty, "tax": o.Tax, "handling": o.Handling} {
			money(sum, "order to %s: %s", o.Supplier, what)
		}
	}
	money(b.Landed, "landed")
	for _, p := range b.Plates {
		name := p.Part + " on " + p.Printer
		f.add(int64(p.Pieces), "plates of %s: pieces", name)
		f.add(int64(p.Plates), "plates of %s: wanted", name)
		f.add(int64(p.Planned), "plates of %s: enough", name)
		f.addClose(p.FilamentG, "plates of %s: g", name)
		f.addClose(p.Hours, "plates of %s: h", name)
		money(p.Machine, "plates of %s: machine", name)
		money(p.Energy, "plates of %s: energy", name)
	}
	for _, w := range b.Work {
		name := w.Operation
		if words := strings.Fields(name); words[0] == "bench" {
			name = strings.Join(words[:4], " ") // without the board it is on
		}
		f.addClose(w.Hours, "work %s: hours", name)
		money(w.Cash.Add(w.Own), "work %s: cash", name)
	}
	for i, p := range b.Posts {
		if p.Service != "" {
			f.add(int64(p.Parcels), "post of %d to %s by %s", p.Units, p.Zone, p.Service)
			money(p.Cash, "post of %d to %s: cash", p.Units, p.Zone)
			f.addClose(p.MassG, "post of %d to %s: g", p.Units, p.Zone)
			f.addClose(p.Chargeable, "post of %d to %s: chargeable g", p.Units, p.Zone)
			if i == 0 || p.Zone != b.Posts[i-1].Zone {
				money(p.Asked, "post to %s: asked of each", p.Zone)
			}
		}
	}
	for i, a := range b.Categories {
		amounts(a, "category %s", cost.Category(i))
	}
	amounts(b.Total, "total")
	for _, p := range b.Payers {
		amounts(p.Amounts, "payer %s", p.Name)
		for i, c := range p.Categories {
			amounts(c, "payer %s: %s", p.Name, cost.Category(i))
		}
	}
	f.add(inMinor(b.PerUnit(b.Total.Consumed).Round(4), 4), "unit: consumed, four decimals")
	money(b.Ask.Each, "asked of each")
	money(b.Ask.Free, "asked of each of the free")
	if b.Till.Paying > 0 {
		f.add(inMinor(b.Charge.UnitCost.Round(4), 4), "cost of a paid unit, four decimals")
		money(b.Charge.Price, "charge")
		money(b.Charge.Income.Net, "charge: income")
		money(b.Charge.Income.Stays, "charge: cash surplus")
	}
	return f
}

// purchasesOf takes what the program buys as a choice, and checks it against
// the price sheet: each line is an offer as it stands there, in a quantity that
// the offer allows, at the right price.
func (k *reckoning) purchasesOf(b cost.Batch) (list []reckPurchase, faults []string) {
	for _, p := range b.Purchases {
		r := reckPurchase{kind: p.Kind, supplier: p.Supplier, code: p.OrderCode, key: p.Part, quantity: p.Quantity, currency: p.Currency.Code}
		var why string
		switch p.Kind {
		case cost.Goods:
			why = k.priceOffer(&r)
		case cost.Filament:
			why = k.priceSpool(&r, p)
		case cost.Lots:
			why = k.priceLot(&r, p)
		}
		if why != "" {
			faults = append(faults, fmt.Sprintf("purchase of %d × %s from %s (%s): %s", p.Quantity, p.Part, p.Supplier, p.OrderCode, why))
			continue
		}
		list = append(list, r)
	}
	return list, append(faults, k.covered(list)...)
}

func (k *reckoning) priceOffer(r *reckPurchase) string {
	for i := range k.offers {
		o := &k.offers[i]
		if o.part != r.key || o.supplier != r.supplier || o.code != r.code {
			continue
		}
		if !o.allows(r.quantity) {
			return "the offer does not allow this quantity"
		}
		*r = k.ordered(o, r.quantity)
		return ""
	}
	return "there is no such offer"
}

// allows is MOQ, multiple, stock and the first break.
func (o *jobOffer) allows(q int64) bool {
	return q >= atoi(o.moq, 1) && q%atoi(o.multiple, 1) == 0 && (o.stock == "" || q <= atoi(o.stock, 0)) && q >= atoi(o.from[0], 1)
}

// piecesOf is what an order unit holds: of a ring, where leads of one length are cut from
// it, as many as are whole.
func (k *reckoning) piecesOf(o *jobOffer) *big.Rat {
	pieces := rat(orElse(o.pieces, "1"))
	if lengths, _ := k.lengths(o.part); o.cutFrom != "" && len(lengths) == 1 {
		ring := times(rat(o.cutFrom), ratOf(1000))
		pieces = times(pieces, ratOf(-ceil(minus(new(big.Rat), over(ring, rat(lengths[0]))))))
	}
	return pieces
}

// ordered prices q order units at the highest break that q reaches.
func (k *reckoning) ordered(o *jobOffer, q int64) reckPurchase {
	price := o.price[0]
	for i, from := range o.from {
		if atoi(from, 1) <= q {
			price = o.price[i]
		}
	}
	currency := orElse(o.currency, k.supplier(o.supplier).currency)
	sum := times(ratOf(q), rat(price))
	own, fee := minorOf(sum, currency), minorOf(rat(o.fee), currency)
	return reckPurchase{kind: cost.Goods, supplier: o.supplier, code: o.code, key: o.part, quantity: q, pieces: k.piecesOf(o),
		own: own, fee: fee, currency: currency, cash: k.toHome(majorOf(own+fee, currency), currency), heading: o.heading, duty: o.duty,
		worth: k.worthOf(o.worth, "Surplus worth %", "100")}
}

// worthOf is what the row says of a surplus, else the setting, else its default.
func (k *reckoning) worthOf(given, setting, otherwise string) *big.Rat {
	return share(orElse(given, k.settings[setting]), otherwise)
}

func (k *reckoning) priceSpool(r *reckPurchase, p cost.Purchase) string {
	for _, s := range k.spools {
		if s.material == r.key && s.supplier == r.supplier && rat(s.grams).Cmp(rat(p.Pieces.String())) == 0 && rat(s.price).Cmp(rat(p.UnitPrice.String())) == 0 {
			currency := orElse(s.currency, k.supplier(s.supplier).currency)
			sum := times(ratOf(r.quantity), rat(s.price))
			r.pieces, r.currency, r.own, r.cash = rat(s.grams), currency, minorOf(sum, currency), k.toHome(sum, currency)
			r.worth = k.worthOf(s.worth, "Surplus worth %", "100")
			return ""
		}
	}
	return "there is no such spool"
}

func (k *reckoning) priceLot(r *reckPurchase, p cost.Purchase) string {
	for _, q := range k.quotes {
		if q.board != r.key || orElse(q.fabricator, k.settings["Board fabricator"]) != r.supplier {
			continue
		}
		currency := orElse(q.currency, k.supplier(r.supplier).currency)
		sum, pieces := new(big.Rat), ""
		switch {
		case q.lot != "" && p.SetUp.IsZero() && p.Pieces == bom.Whole(atoi(q.lot, 0)) && rat(q.price).Cmp(rat(p.UnitPrice.String())) == 0:
			sum, pieces = times(ratOf(r.quantity), rat(q.price)), q.lot
			if q.atMost != "" && r.quantity > atoi(q.atMost, 0) {
				return "the lot is sold fewer times"
			}
		case q.lot == "" && p.Pieces == bom.One && rat(q.setUp).Cmp(rat(p.SetUp.String())) == 0:
			sum, pieces = plus(rat(q.setUp), times(ratOf(r.quantity), k.perBoard(q))), "1"
		default:
			continue
		}
		r.pieces, r.currency, r.own, r.cash = rat(pieces), currency, minorOf(sum, currency), k.toHome(sum, currency)
		r.worth = k.worthOf(q.worth, "Board surplus worth %", "0")
		return ""
	}
	return "there is no such quote"
}

// perBoard is dm² × rate.
func (k *reckoning) perBoard(q jobQuote) *big.Rat {
	length, width := rat(q.length), rat(q.width)
	if q.length == "" {
		length, width = k.panelSides(q)
	}
	return over(times(times(length, width), rat(q.perDM2)), ratOf(10_000))
}

// panelSides are those of a panel with one board type, of the board that is sized in the
// same fabricator's rows, else of the largest: as many as lie across and the gaps
// between them and two borders, else what is nearest to a square.
func (k *reckoning) panelSides(q jobQuote) (length, width *big.Rat) {
	p := k.panels[slices.IndexFunc(k.panels, func(p jobPanel) bool { return p.panel == q.board })]
	maker := func(q jobQuote) string { return orElse(q.fabricator, k.settings["Board fabricator"]) }
	var board jobQuote
	rank := func(b jobQuote) *big.Rat {
		area := plus(times(rat(b.length), rat(b.width)), over(rat(b.length), power10(9)))
		if maker(b) == maker(q) {
			return times(area, power10(12))
		}
		return area
	}
	for _, b := range k.quotes {
		if b.board == p.board && b.length != "" && rank(b).Cmp(rank(board)) > 0 {
			board = b
		}
	}
	side := func(one string, n int64) *big.Rat {
		return plus(plus(times(rat(one), ratOf(n)), times(rat(p.gap), ratOf(n-1))), times(rat(p.border), ratOf(2)))
	}
	var shape, area *big.Rat
	for n := int64(1); n <= atoi(p.per, 0); n++ {
		if p.across != "" && atoi(p.across, 0) != n {
			continue
		}
		x, y := side(board.length, n), side(board.width, ceil(over(rat(p.per), ratOf(n))))
		s, a := over(maxRat(x, y), minRat(x, y)), times(x, y)
		if shape == nil || s.Cmp(shape) < 0 || s.Cmp(shape) == 0 && a.Cmp(area) < 0 {
			shape, area, length, width = s, a, x, y
		}
	}
	return length, width
}

// covered checks that all that is needed is bought.
func (k *reckoning) covered(list []reckPurchase) (faults []string) {
	l := ledger{reckoning: k, purchases: list}
	for _, p := range k.parts {
		kind := cost.Goods
		if p.printed {
			kind = cost.Filament
		}
		if bought, _ := l.bought(kind, p.key); bought.Cmp(p.demand) < 0 {
			faults = append(faults, fmt.Sprintf("%s: %s bought of %s", p.key, bought.FloatString(3), p.demand.FloatString(3)))
		}
	}
	for _, b := range k.bareThings() {
		if bought, _ := l.bought(cost.Lots, b.name); bought.Cmp(ratOf(b.bought)) < 0 {
			faults = append(faults, fmt.Sprintf("%s: %s bought of %d", b.name, bought.FloatString(0), b.bought))
		}
	}
	return faults
}
