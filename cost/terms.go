package cost

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Terms are the figures of the price sheet that the sums start from, for
// writers that show how a sum is made.
type Terms struct {
	Settings  bom.Settings
	Rates     []TermRate     // home currency first
	Suppliers []TermSupplier // all that an order goes to, or could go to
	Offers    []Offer        // all offers of what is bought, numbered from 1 in this order
	Assembly  *bom.Assembler // nil: nobody places parts
}

// TermRate is what one unit of a currency is worth at home.
type TermRate struct {
	Currency bom.Currency
	Rate     decimal.Decimal
}

// TermSupplier is a supplier with the charges of its orders.
type TermSupplier struct {
	bom.Supplier
	Assembler bool // places the parts of the run
}

// Offer is a price of a part, a lot of boards or a spool, whether it was taken
// or not.
type Offer struct {
	Kind     string // Goods, Lots or Filament
	Index    int    // into Estimate.Parts; into Estimate.Boards for bare boards
	Part     string
	Supplier int // index into Terms.Suppliers
	Code     string
	Pieces   bom.Quantity // in one order unit
	Currency bom.Currency
	SetUp    decimal.Decimal // once, in Currency
	Breaks   []OfferBreak    // by rising From
	AsOf     bom.Date
}

// OfferBreak is the price of one order unit from a number of them on.
type OfferBreak struct {
	From  int64
	Price decimal.Decimal
	Place bom.Place
}

// Pot is what one rule shares out of one category.
type Pot struct {
	Category Category
	Payers   []string
	Percents []decimal.Decimal
	Places   []bom.Place // of the percentages; zero where nobody set one
	Borne
	Unpriced bool
	Of       []Portion
}

// Portion is one thing whose money, as far as it falls in the pot's category,
// stands in a pot.
type Portion struct {
	Of    PortionOf
	Index int // into Batch.Purchases, Fees, Orders, Boards or Parts
}

// PortionOf tells what a portion is of.
type PortionOf int

// What portions are of.
const (
	OfPurchase PortionOf = iota
	OfFee
	OfOrder // its charges of the category
	OfWork  // all hand work
	OfBoardDrawer
	OfPartDrawer
)

// choiceKey finds the number of an offer: by part and offer, or by board,
// variant and lot.
type choiceKey struct {
	board                  bool
	index, variant, choice int
}

// terms lists the offers of everything that some batch buys, and numbers the
// purchases by them.
func (m *Model) terms(batches []Batch) *Terms {
	t := &Terms{Settings: m.prices.Settings, Assembly: m.assembly}
	l := termLister{m: m, t: t, number: map[choiceKey]int{}, supplier: map[int]int{}}
	l.listSuppliers(batches)
	l.listOffers(batches)
	for i := range batches {
		for j := range batches[i].Purchases {
			p := &batches[i].Purchases[j]
			if !p.Unpriced {
				p.Offer = l.number[choiceKey{p.Kind == Lots, p.Index, p.variant, p.choice}]
			}
		}
	}
	l.listRates(batches)
	return t
}

type termLister struct {
	m        *Model
	t        *Terms
	number   map[choiceKey]int
	supplier map[int]int // index in the model -> in the terms
}

// wanted tells which parts or boards are bought in some batch.
func wanted(batches []Batch, boards bool) map[int]bool {
	out := map[int]bool{}
	for _, b := range batches {
		for _, p := range b.Purchases {
			if (p.Kind == Lots) == boards {
				out[p.Index] = true
			}
		}
	}
	return out
}

func (l *termLister) listSuppliers(batches []Batch) {
	m, used := l.m, map[int]bool{}
	for _, b := range batches {
		for _, o := range b.Orders {
			used[m.supplierOf[fold(o.Supplier)]] = true
		}
	}
	for i := range wanted(batches, false) {
		for _, o := range m.parts[i].offers {
			used[o.Supplier] = true
		}
	}
	for i := range wanted(batches, true) {
		for _, v := range m.bareBoards[i].variants {
			used[m.supplierOf[fold(v.fabricator)]] = true
		}
	}
	for i, s := range m.suppliers {
		if used[i] {
			l.supplier[i] = len(l.t.Suppliers)
			l.t.Suppliers = append(l.t.Suppliers, TermSupplier{s, i == m.assembler})
		}
	}
}

func (l *termLister) add(k choiceKey, o Offer) {
	l.t.Offers = append(l.t.Offers, o)
	l.number[k] = len(l.t.Offers)
}

func (l *termLister) listOffers(batches []Batch) {
	m, boards, parts := l.m, wanted(batches, true), wanted(batches, false)
	for i := range m.boards {
		if boards[i] {
			l.listQuotes(i)
		}
	}
	for i := range m.parts {
		if !parts[i] {
			continue
		}
		p := &m.parts[i]
		for j, o := range p.offers {
			out := Offer{Kind: kindOf(p), Index: i, Part: p.Key, Supplier: l.supplier[o.Supplier], Code: o.Code,
				Pieces: o.Pieces, Currency: o.Currency}
			for _, b := range o.Breaks {
				out.Breaks = append(out.Breaks, OfferBreak{b.From, b.Price, b.At(b.Heading)})
			}
			if out.Kind == Filament {
				out.AsOf = p.spools[j].AsOf
			} else {
				out.AsOf = p.rows[j].AsOf
			}
			l.add(choiceKey{index: i, choice: j}, out)
		}
	}
}

// listQuotes lists the lots of one board type, and its set-ups and rates as the
// price of one board.
func (l *termLister) listQuotes(board int) {
	for i, v := range l.m.bareBoards[board].variants {
		base := Offer{Kind: Lots, Index: board, Part: l.m.boards[board].Name, Code: v.option,
			Supplier: l.supplier[l.m.supplierOf[fold(v.fabricator)]]}
		for j, q := range v.lots {
			o := base
			o.Pieces, o.Currency, o.AsOf = bom.Whole(q.Lot), q.Currency, q.AsOf
			o.Breaks = []OfferBreak{{1, q.Price, q.At("Price")}}
			l.add(choiceKey{true, board, i, j}, o)
		}
		if q := v.area; q != nil {
			o := base
			o.Pieces, o.Currency, o.AsOf, o.SetUp = bom.One, q.Currency, q.AsOf, q.SetUp
			o.Breaks = []OfferBreak{{1, areaPrice(*q), q.At("Per dm2")}}
			l.add(choiceKey{true, board, i, byArea}, o)
		}
	}
}

// listRates lists the currencies that the offers, suppliers and fees are in.
func (l *termLister) listRates(batches []Batch) {
	used := []bom.Currency{l.m.home}
	note := func(c bom.Currency) {
		if !slices.Contains(used, c) {
			used = append(used, c)
		}
	}
	for _, s := range l.t.Suppliers {
		note(s.Currency)
	}
	for _, o := range l.t.Offers {
		note(o.Currency)
	}
	for _, b := range batches {
		for _, f := range b.Fees {
			note(f.Currency)
		}
	}
	for _, c := range used {
		l.t.Rates = append(l.t.Rates, TermRate{c, l.m.rate(c, bom.Place{})})
	}
}
