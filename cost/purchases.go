package cost

import (
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// pieceDigits are those of pieces and grams.
const pieceDigits = 6

// fromStock states what of a demand is on hand, and what that is worth. Where more
// is to be had than is taken, that is bought for.
func (s *sums) fromStock(of string, at int, out *stockSums, spares, toHave sum.Ref, rows []*bom.OnHand) {
	wanted := s.Add(out.need, spares)
	have, taken := s.takeRows(of, at, out, wanted, rows)
	if toHave == 0 {
		out.demand = s.name(of, at, "demand", s.Sub(wanted, taken), pieceDigits)
		out.takes = out.demand
		return
	}
	out.takes = s.name(of, at, "takes", s.Sub(wanted, taken), pieceDigits)
	out.demand = s.name(of, at, "demand", s.Sub(toHave, s.Min(have, toHave)), pieceDigits)
}

// takeRows states what is taken of each row of stock, in the order of the file, and what
// that is worth; it gives what all hold and what is taken of all.
func (s *sums) takeRows(of string, at int, out *stockSums, wanted sum.Ref, rows []*bom.OnHand) (have, taken sum.Ref) {
	var held []sum.Ref
	for j, oh := range rows {
		mark := ""
		if len(rows) > 1 {
			mark = RowMark + strconv.Itoa(j+1)
		}
		quantity := oh.Quantity
		if of == OfBoard {
			quantity = bom.Whole(int64(quantity / bom.One))
		}
		had := s.Figure(sum.Figure{Key: sum.Key{Of: of, At: at, What: "held" + mark}, Value: quantity.Decimal(), Place: oh.At("Quantity"), AsOf: oh.AsOf})
		worth := s.Figure(sum.Figure{Key: sum.Key{Of: OfWorth, At: at, What: of + mark}, Value: oh.UnitValue, Unit: s.m.home.Code, Place: oh.At("Unit value"), AsOf: oh.AsOf})
		rest := wanted
		if j > 0 {
			rest = s.Sub(wanted, s.Add(out.taken...))
		}
		take := s.name(of, at, "on hand"+mark, s.Min(had, rest), pieceDigits)
		held, out.taken = append(held, had), append(out.taken, take)
		out.stocks = append(out.stocks, s.money(of, at, "stock"+mark, s.Round(s.Mul(take, worth), s.digits)))
	}
	switch len(rows) {
	case 0:
		return 0, 0
	case 1:
		out.stock = out.stocks[0]
		return held[0], out.taken[0]
	}
	out.stock = s.money(of, at, "stock", s.Add(out.stocks...))
	return s.Add(held...), s.name(of, at, "on hand", s.Add(out.taken...), pieceDigits)
}

// boardDemands state how many bare boards of each type have to be bought.
func boardDemands(s *sums) {
	s.boards = make([]stockSums, len(s.m.boards))
	for i := range s.m.boards {
		r, out := &s.b.Boards[i], &s.boards[i]
		out.starts = s.counted(OfCount, i, "starts", r.Starts)
		need := out.starts
		if r.Panel > 0 {
			need = 0 // the panel is bought
		}
		out.need = s.name(OfBoard, i, "need", need, pieceDigits)
		s.fromStock(OfBoard, i, out, 0, 0, s.m.bareBoards[i].onHand)
		r.OnHand = int(s.Value(out.need).Sub(s.Value(out.demand)).IntPart())
		r.Stock = s.Value(out.stock)
		r.Consumed = r.Stock
	}
}

// stateDemands state what of each part has to be bought.
func stateDemands(s *sums) {
	s.parts, s.b.Parts = make([]stockSums, len(s.m.parts)), make([]PartRun, len(s.m.parts))
	for i := range s.m.parts {
		s.parts[i], s.b.Parts[i] = s.demandOf(i)
	}
}

// demandOf states what of a part has to be bought: the need over all lines, the
// allowance over it, less what is on hand.
func (s *sums) demandOf(i int) (out stockSums, r PartRun) {
	p, toHave := &s.m.parts[i], sum.Ref(0)
	if p.Unit == grams {
		var all, had []sum.Ref
		for j := range s.b.Plates {
			if s.m.entries[s.b.Plates[j].Entry].Part == i {
				all, had = append(all, s.plates[j].grams), append(had, s.plates[j].toHave)
			}
		}
		out.need = s.name(OfPart, i, "need", s.Add(all...), gramDigits)
		toHave = s.name(OfPart, i, "to have", s.Add(had...), gramDigits)
		r.Need = s.quantity(out.need)
	} else {
		var cut bool
		if r.Need, r.Allowance, cut = p.ringsOf(s.b); !cut {
			for _, e := range p.Entries {
				r.Need += s.b.Needs[e]
			}
			r.Allowance = p.allowanceOver(r.Need)
		}
		out.need = s.decided(OfPart, i, "need", r.Need.Decimal())
	}
	spares := sum.Ref(0)
	if r.Allowance > 0 {
		spares = s.decided(OfPart, i, "spares", r.Allowance.Decimal())
	}
	s.fromStock(OfPart, i, &out, spares, toHave, p.onHand)
	r.Demand, r.Takes = s.quantity(out.demand), s.quantity(out.takes)
	r.OnHand, r.Stock = r.Need+r.Allowance-r.Takes, s.Value(out.stock)
	r.Consumed = r.Stock
	return out, r
}

// lineCash states what an order line costs, in its currency and at home.
func (s *sums) lineCash(setUp, quantity, price, digits, rate sum.Ref) (goods, cash sum.Ref) {
	goods = s.RoundTo(s.Add(setUp, s.Mul(quantity, price)), digits)
	return goods, s.Round(s.Mul(goods, rate), s.digits)
}

// paidFor works an order line out before it is decided on.
func paidFor(m *Model, setUp, price decimal.Decimal, quantity int64, c bom.Currency) (goods, cash decimal.Decimal) {
	s := m.scratch(nil)
	own, home := s.lineCash(s.Number(setUp), s.Count(quantity), s.Number(price), s.Count(int64(c.Digits)), s.rate(c))
	return s.Value(own), s.Value(home)
}

// inOwnCurrency works out what goods add to an order's sum before it is decided on.
func inOwnCurrency(m *Model, c bom.Currency, goods, cash decimal.Decimal, own bom.Currency) decimal.Decimal {
	s := m.scratch(nil)
	return s.Value(s.inOwn(s.Number(goods), s.Number(cash), c, own))
}

// purchase states what a purchase costs, by the row of the table of offers that holds
// at its offer and quantity.
func (s *sums) purchase(i int, p *Purchase) (out buySums) {
	if p.Unpriced {
		out.cash = s.Unpriced(sum.Key{Of: OfBuy, At: i, What: "cash"})
		out.consumed = out.cash
		return out
	}
	t := s.m.terms.table
	p.Offer = s.m.terms.numberOf(p)
	offer := s.counted(OfBuy, i, "offer", p.Offer)
	out.quantity = s.decided(OfBuy, i, "quantity", decimal.NewFromInt(p.Quantity))
	row := s.name(OfBuy, i, "Price row", s.Match(t, s.Add(s.Mul(offer, s.Count(OfferStep)), out.quantity)), 0)
	pick := func(column int) sum.Ref { return s.Pick(t, column, row) }
	out.supplier = s.name(OfBuy, i, "Supplier no.", pick(offerSupplier), 0)
	out.pieces = s.name(OfBuy, i, "pieces", pick(offerPieces), pieceDigits)
	rate := s.name(OfBuy, i, "Rate", pick(offerRate), sum.Loose)
	setUp := s.name(OfBuy, i, "setup", pick(offerSetUp), sum.Loose)
	price := s.name(OfBuy, i, "price", pick(offerPrice), sum.Loose)
	out.goods, out.cash = s.lineCash(setUp, out.quantity, price, pick(offerDigits), rate)
	s.name(OfBuy, i, "goods", out.goods, p.Currency.Digits)
	own := s.RoundTo(s.Div(out.cash, pick(offerOwnRate)), pick(offerOwnDigits))
	if s.m.terms.fees {
		fee := s.name(OfBuy, i, "Line fee", s.RoundTo(pick(offerFee), pick(offerDigits)), sum.Loose)
		out.cash = s.Round(s.Mul(s.Add(out.goods, fee), rate), s.digits)
		p.LineFee = s.Value(fee)
	}
	s.money(OfBuy, i, "cash", out.cash)
	out.customs(s, i, pick)
	out.own = s.name(OfBuy, i, "Own goods", s.Equal(pick(offerOwn), s.Count(1), out.goods, own), sum.Loose)
	p.Goods, p.Cash = s.Value(out.goods), s.Value(out.cash)
	out.worth = s.name(OfBuy, i, "Worth", pick(offerWorth), sum.Loose)
	return out
}

// customs states under which heading a purchase stands at its supplier, and its duty,
// where some have one of their own.
func (b *buySums) customs(s *sums, i int, pick func(column int) sum.Ref) {
	if len(s.m.terms.headings) > 0 {
		b.heading = s.name(OfBuy, i, "Heading no.", s.Add(s.Mul(b.supplier, s.Count(headingStep)), pick(offerHeading)), 0)
	}
	if s.m.terms.duties {
		b.dutied = s.money(OfBuy, i, "Dutied", s.Equal(pick(offerDutied), s.Count(1), b.cash, 0))
		b.duty = s.name(OfBuy, i, "Own duty", s.Mul(b.dutied, pick(offerDuty)), sum.Loose)
	}
}

// statePurchases state what is bought of each part and board, and what is used of it.
func statePurchases(s *sums) {
	b := s.b
	s.buys = make([]buySums, len(b.Purchases))
	parts, boards := make([][]int, len(s.parts)), make([][]int, len(s.boards))
	for i, p := range bom.Refs(b.Purchases) {
		s.buys[i] = s.purchase(i, p)
		if p.Kind == Lots {
			boards[p.Index] = append(boards[p.Index], i)
		} else {
			parts[p.Index] = append(parts[p.Index], i)
		}
	}
	for i := range s.boards {
		a := s.stock(OfBoard, i, &s.boards[i], boards[i])
		b.Boards[i].Bought, b.Boards[i].Amounts = int(s.Value(s.boards[i].bought).IntPart()), a
	}
	for i := range s.parts {
		a := s.stock(OfPart, i, &s.parts[i], parts[i])
		b.Parts[i].Bought, b.Parts[i].Amounts = s.quantity(s.parts[i].bought), a
		if s.m.parts[i].sent && b.Parts[i].Need > 0 {
			stateConsigned(s, i, parts[i], b.Parts[i].OnHand > 0)
		}
	}
}

// stock states what is consumed of the purchases of one part or board, and what stays
// behind is worth. For each purchase of a part, and once for all lots of a board:
//
//	plain = cash − round(cash × min(what is taken, bought) / bought)
//	surplus = round(plain × worth %)
func (s *sums) stock(of string, at int, out *stockSums, lines []int) Amounts {
	var bought, cash []sum.Ref
	for _, i := range lines {
		if l := &s.buys[i]; l.quantity != 0 {
			bought = append(bought, s.Mul(l.quantity, l.pieces))
		}
		cash = append(cash, s.buys[i].cash)
	}
	out.bought = s.name(of, at, "bought", s.Add(bought...), pieceDigits)
	out.cash = s.money(of, at, "cash", s.Add(cash...))
	s.name(of, at, "Short", s.AtLeast(out.bought, out.demand, 0, s.Count(1)), 0)
	plain, surplus := make([]sum.Ref, len(lines)), make([]sum.Ref, len(lines))
	if of == OfBoard && len(lines) > 1 { // all are of one quote, and worth the same
		whole := s.money(of, at, "plain", s.Sub(out.cash, s.taken(out.cash, out)))
		plain = s.Share(sum.Key{Of: of, At: at, What: OverPurchases}, whole, cash, s.digits)
		surplus = s.Share(sum.Key{Of: of, At: at, What: OverPurchases + ", surplus"}, s.surplus(whole, s.buys[lines[0]].worth), plain, s.digits)
	}
	var consumed, left []sum.Ref
	for j, i := range lines {
		p, l := &s.b.Purchases[i], &s.buys[i]
		p.Demand = s.quantity(out.demand)
		if p.Unpriced {
			consumed = append(consumed, l.consumed)
			continue
		}
		if plain[j] == 0 {
			plain[j] = s.Sub(l.cash, s.money(OfBuy, i, "Taken at cost", s.taken(l.cash, out)))
			surplus[j] = s.surplus(plain[j], l.worth)
		}
		rest := s.money(OfBuy, i, "surplus", surplus[j])
		l.consumed = s.money(OfBuy, i, "consumed", s.Sub(l.cash, rest))
		p.Consumed, p.Surplus = s.Value(l.consumed), s.Value(rest)
		p.WrittenOff = s.Value(s.money(OfBuy, i, "written off", s.Sub(plain[j], rest)))
		s.b.WrittenOff = s.b.WrittenOff.Add(p.WrittenOff)
		s.name(OfBuy, i, "demand", out.demand, pieceDigits)
		consumed, left = append(consumed, l.consumed), append(left, rest)
	}
	out.ofCash = s.money(of, at, "Consumed of cash", s.Add(consumed...))
	out.consumed = s.money(of, at, "consumed", s.Add(out.ofCash, out.stock))
	return s.amountsOf(out.portion(), s.money(of, at, "surplus", s.Add(left...)))
}

// taken is what the part of a purchase cost that the batch takes.
func (s *sums) taken(cash sum.Ref, of *stockSums) sum.Ref {
	return s.Round(s.Div(s.Mul(cash, s.Min(of.takes, of.bought)), of.bought), s.digits)
}

// surplus is what that which is not taken is worth.
func (s *sums) surplus(plain, worth sum.Ref) sum.Ref {
	return s.Round(s.percent(plain, worth), s.digits)
}
