package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// byProduct says what an amount is for: one product, or several by their weights.
type byProduct struct {
	one     int
	weights []sum.Ref
}

// forOne is what is for one product alone.
func forOne(product int) byProduct { return byProduct{one: product} }

// forSome is what is for products by their weights, each a number; by the units that are
// wanted where no weight is over 0.
func forSome(s *sums, weights []sum.Ref) byProduct {
	positive := func(w sum.Ref) bool { return s.Value(w).IsPositive() }
	switch one := slices.IndexFunc(weights, positive); {
	case one < 0:
		if all := slices.IndexFunc(s.b.Products, func(p ProductRun) bool { return p.Size == s.b.Size }); all >= 0 {
			return forOne(all)
		}
		weights = bom.Each(s.b.Products, func(p *ProductRun) sum.Ref { return s.Count(int64(p.Size)) })
	case !slices.ContainsFunc(weights[one+1:], positive):
		return forOne(one)
	}
	return byProduct{weights: weights}
}

// forLines is what some lines of a part are for: by what each product needs.
func forLines(s *sums, lines []int) byProduct {
	if !s.several() {
		return forOne(0)
	}
	of := make([][]sum.Ref, len(s.b.Products))
	for _, e := range lines {
		p := s.m.entries[e].Product
		of[p] = append(of[p], weightOf(s, e))
	}
	return forSome(s, bom.Each(of, func(lines *[]sum.Ref) sum.Ref { return s.Add(*lines...) }))
}

// forPurchase is what a purchase is for.
func forPurchase(s *sums, p *Purchase) byProduct {
	if p.Kind == Lots {
		return forBoards(s, p.Index)
	}
	return forLines(s, s.m.parts[p.Index].Entries)
}

// forBoards is what the boards of a type, or on a panel, are for: by those that are begun.
func forBoards(s *sums, board int) byProduct {
	if !s.several() {
		return forOne(0)
	}
	weights := make([]sum.Ref, len(s.b.Products))
	for p := range weights {
		begun := 0
		for _, h := range boardsOn(s.m.boards, board) {
			begun += s.b.Boards[h.Board].Of[p]
		}
		weights[p] = s.Count(int64(begun))
	}
	return forSome(s, weights)
}

// forFee is what a fee is for: the product of its line or parcels, the boards that it is for,
// the units that take a substitute, or for one-off costs the units that are wanted.
func forFee(s *sums, f *Fee) byProduct {
	switch {
	case !s.several():
		return forOne(0)
	case f.Line() >= 0:
		return forOne(s.m.entries[f.Line()].Product)
	case f.Kind == AssemblyFee:
		return forBoards(s, f.Index)
	case f.Kind == PostageFee:
		return forOne(s.b.Posts[f.Index].Product)
	}
	weights := make([]sum.Ref, len(s.b.Products))
	for p := range weights {
		n := s.b.Products[p].Size
		if f.units != nil {
			n = f.units[p]
		}
		weights[p] = s.Count(int64(n))
	}
	return forSome(s, weights)
}

// forWork is what a row of hand work is for: a product; of what is done for each plate, those
// that lie on it, evenly by piece; of what is done once, by the units begun.
func forWork(s *sums, row *workRow) byProduct {
	if len(row.of) == 1 {
		return forOne(row.of[0])
	}
	var plates []sum.Ref
	if row.op.Basis == basisPlate {
		plates = platesByProduct(s)
	}
	weights := make([]sum.Ref, len(s.b.Products))
	for _, p := range row.of {
		if plates != nil {
			weights[p] = plates[p]
		} else {
			weights[p] = s.Count(int64(s.b.unitsOf(row.swap, p)))
		}
	}
	return forSome(s, weights)
}

// platesByProduct is how many plates are printed for each product, failing ones included, a
// shared one evenly by piece.
func platesByProduct(s *sums) []sum.Ref {
	good := make([][]decimal.Decimal, len(s.b.Products)) // by product and printer
	for p := range good {
		good[p] = make([]decimal.Decimal, len(s.m.prices.Printers)+1)
	}
	for _, bed := range bom.Refs(s.b.beds) {
		all := 0
		for _, n := range bed.pieces {
			all += n
		}
		on := printerIndex(s.m.prices.Printers, bed.printer)
		for k, n := range bed.pieces {
			of := good[s.m.entries[s.m.printed[s.m.groups[bed.group].lines[k]].entry].Product]
			of[on] = of[on].Add(decimal.NewFromInt(int64(n*bed.times)).DivRound(decimal.NewFromInt(int64(all)), unitDecimals))
		}
	}
	out := make([]sum.Ref, len(good))
	for p, of := range good {
		var printed []sum.Ref
		for on, n := range of {
			if n.IsPositive() {
				printed = append(printed, s.printedFor(s.Number(n), s.goodPlates(s.printerAt(on))))
			}
		}
		out[p] = s.Add(printed...)
	}
	return out
}

// forOrder is what the charges of an order are for: by the value of what is ordered for each
// product; by the units that are wanted where that is nothing.
func forOrder(s *sums, term int) byProduct {
	if !s.several() {
		return forOne(0)
	}
	return byProduct{weights: s.ordered[term]}
}

// stateOrdered states what of each order is for which product, by the cash of its purchases and
// of the fees of an assembler.
func stateOrdered(s *sums) {
	if !s.several() {
		return
	}
	values, suppliers := make([][]sum.Ref, len(s.b.Products)), []sum.Ref{}
	for i := range s.buys {
		if s.buys[i].quantity == 0 {
			continue
		}
		suppliers = append(suppliers, s.buys[i].supplier)
		for product, value := range forPurchase(s, &s.b.Purchases[i]).parts(s, s.buys[i].cash) {
			values[product] = append(values[product], s.name(OfBuy, i, ForProduct(product), value, sum.Loose))
		}
	}
	fees := make([][]sum.Ref, len(s.b.Products))
	for i := range s.b.Fees {
		if f := &s.b.Fees[i]; f.Kind == AssemblyFee {
			for product, value := range forBoards(s, f.Index).parts(s, s.fees[i].cash) {
				fees[product] = append(fees[product], value)
			}
		}
	}
	s.ordered = make([][]sum.Ref, len(s.orders))
	for i := range s.orders {
		goods := sumNamed(s.Sheet, OfOrder, i, "goods")
		for product := range s.b.Products {
			value := s.Of(s.Count(int64(i+1)), suppliers, values[product])
			if s.m.populatedBy(i) {
				value = s.Add(append(fees[product], value)...)
			}
			value = s.More(goods, 0, value, s.Count(int64(s.b.Products[product].Size)))
			s.ordered[i] = append(s.ordered[i], s.name(OfOrder, i, ForProduct(product), value, sum.Loose))
		}
	}
}

// parts are an amount parted, without rounding.
func (by byProduct) parts(s *sums, amount sum.Ref) []sum.Ref {
	out := make([]sum.Ref, len(s.b.Products))
	if by.weights == nil {
		out[by.one] = amount
		return out
	}
	all := s.Add(by.weights...)
	for p, w := range by.weights {
		out[p] = s.Div(s.Mul(amount, w), all)
	}
	return out
}

// of shares a value out without rounding it to the minor unit.
func (by byProduct) of(s *sums, value decimal.Decimal) []decimal.Decimal {
	out := make([]decimal.Decimal, len(s.b.Products))
	if by.weights == nil {
		out[by.one] = value
		return out
	}
	all := decimal.Zero
	for _, w := range by.weights {
		all = all.Add(s.Value(w))
	}
	for p, w := range by.weights {
		out[p] = value.Mul(s.Value(w)).DivRound(all, unitDecimals)
	}
	return out
}

// split shares an amount out over products.
func (s *sums) split(what Split, p portion, by byProduct) []portion {
	at := len(s.b.Splits)
	s.b.Splits = append(s.b.Splits, what)
	return shareOut(s, OfProduct, at, OverProducts, p, by.weights)
}

// productWorth is what the batch consumes for a product so far.
func productWorth(s *sums, product int) (all decimal.Decimal) {
	add := func(p portion, by byProduct) {
		if p.consumed != 0 {
			all = all.Add(by.of(s, s.Value(p.consumed))[product])
		}
	}
	for i := range s.parts {
		add(s.parts[i].portion(), forLines(s, s.m.parts[i].Entries))
	}
	for i := range s.boards {
		add(s.boards[i].portion(), forBoards(s, i))
	}
	for i := range s.fees {
		add(s.fees[i].portion, forFee(s, &s.b.Fees[i]))
	}
	for i := range s.orders {
		by := forOrder(s, i)
		for _, c := range chargedIn {
			for _, x := range s.orders[i].charges(c) {
				add(x.portion, by)
			}
		}
	}
	for i, p := range s.work {
		add(p, forWork(s, &s.m.work[i]))
	}
	return all
}
