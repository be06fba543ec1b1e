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

// lotKey finds the number of an offer of boards.
type lotKey struct{ board, variant, choice int }

// terms lists the offers of everything that some batch buys, and numbers the
// purchases by them.
func (m *Model) terms(batches []Batch) *Terms {
	t := &Terms{Settings: m.prices.Settings, Assembly: m.assembly}
	l := termLister{m: m, t: t, lots: map[lotKey]int{}, offers: make([]int, len(m.parts)), supplier: map[int]int{}}
	l.boards, l.parts = make([]bool, len(m.boards)), make([]bool, len(m.parts))
	for i := range batches {
		purchased(batches[i].Purchases, true, l.boards, l.parts)
	}
	l.listSuppliers(batches)
	l.listOffers()
	for i := range batches {
		for j := range batches[i].Purchases {
			p := &batches[i].Purchases[j]
			switch {
			case p.Unpriced:
			case p.Kind == Lots:
				p.Offer = l.lots[lotKey{p.Index, p.variant, p.choice}]
			default:
				p.Offer = l.offers[p.Index] + p.choice
			}
		}
	}
	l.listRates(batches)
	return t
}

type termLister struct {
	m             *Model
	t             *Terms
	boards, parts []bool         // that some batch buys, or would if they were to be had
	lots          map[lotKey]int // -> number
	offers        []int          // by part: number of its first offer
	supplier      map[int]int    // index in the model -> in the terms
	breaks        []OfferBreak   // of all parts: room for them
}

// purchased notes which boards and which parts some purchases are of; also those
// that are not to be had, where wanted.
func purchased(purchases []Purchase, wanted bool, boards, parts []bool) {
	for i := range purchases {
		switch p := &purchases[i]; {
		case p.Unpriced && !wanted:
		case p.Kind == Lots:
			boards[p.Index] = true
		default:
			parts[p.Index] = true
		}
	}
}

func (l *termLister) listSuppliers(batches []Batch) {
	m, used := l.m, make([]bool, len(l.m.suppliers))
	for _, b := range batches {
		for _, o := range b.Orders {
			used[m.supplierIndex(o.Supplier)] = true
		}
	}
	for i, bought := range l.parts {
		if bought {
			for j := range m.parts[i].offers {
				used[m.parts[i].offers[j].Supplier] = true
			}
		}
	}
	for i, bought := range l.boards {
		if bought {
			for _, v := range m.bareBoards[i].variants {
				used[m.supplierOf[fold(v.fabricator)]] = true
			}
		}
	}
	for i, s := range m.suppliers {
		if used[i] {
			l.supplier[i] = len(l.t.Suppliers)
			l.t.Suppliers = append(l.t.Suppliers, TermSupplier{s, i == m.assembler})
		}
	}
}

// add lists an offer and gives its number.
func (l *termLister) add(o Offer) int {
	l.t.Offers = append(l.t.Offers, o)
	return len(l.t.Offers)
}

func (l *termLister) listOffers() {
	count, breaks := 0, 0
	for i, bought := range l.parts {
		if bought {
			for j := range l.m.parts[i].offers {
				count, breaks = count+1, breaks+len(l.m.parts[i].offers[j].Breaks)
			}
		}
	}
	l.breaks = make([]OfferBreak, 0, breaks)
	for i, bought := range l.boards {
		if bought {
			for _, v := range l.m.bareBoards[i].variants {
				count += len(v.lots) + 1 // and the price by area
			}
		}
	}
	l.t.Offers = make([]Offer, 0, count)
	for i, bought := range l.boards {
		if bought {
			l.listQuotes(i)
		}
	}
	for i, bought := range l.parts {
		if bought {
			l.listPart(i)
		}
	}
}

// listPart lists the offers of one part or material.
func (l *termLister) listPart(index int) {
	p := &l.m.parts[index]
	l.offers[index] = len(l.t.Offers) + 1
	for i := range p.offers {
		o := &p.offers[i]
		out := Offer{Kind: kindOf(p), Index: index, Part: p.Key, Supplier: l.supplier[o.Supplier], Code: o.Code,
			Pieces: o.Pieces, Currency: o.Currency}
		first := len(l.breaks)
		for j := range o.Breaks {
			b := &o.Breaks[j]
			l.breaks = append(l.breaks, OfferBreak{b.From, b.Price, b.At(b.Heading)})
		}
		out.Breaks = l.breaks[first:len(l.breaks):len(l.breaks)]
		if out.Kind == Filament {
			out.AsOf = p.spools[i].AsOf
		} else {
			out.AsOf = p.rows[i].AsOf
		}
		l.add(out)
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
			l.lots[lotKey{board, i, j}] = l.add(o)
		}
		if q := v.area; q != nil {
			o := base
			o.Pieces, o.Currency, o.AsOf, o.SetUp = bom.One, q.Currency, q.AsOf, q.SetUp
			o.Breaks = []OfferBreak{{1, areaPrice(*q), q.At("Per dm2")}}
			l.lots[lotKey{board, i, byArea}] = l.add(o)
		}
	}
}

// addNew appends to a short list what is not in it yet.
func addNew[T comparable](list []T, x T) []T {
	if slices.Contains(list, x) {
		return list
	}
	return append(list, x)
}

// listRates lists the currencies that the offers, suppliers and fees are in.
func (l *termLister) listRates(batches []Batch) {
	used := []bom.Currency{l.m.home}
	note := func(c bom.Currency) { used = addNew(used, c) }
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
