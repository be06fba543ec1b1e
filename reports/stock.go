package reports

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Surplus is what stays behind as stock after a batch, and what the batch
// took from stock.
func Surplus(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Surplus",
		Title: "the surplus, and what came from stock",
		Notes: []string{"required: what had to be bought, spares included; surplus = bought − required"},
		Lead:  3,
		Columns: slices.Concat(
			batchColumn, plain("what", "description", "counted in"),
			columns(Column{Format: AsQuantity}, "demand: Required", "bought", "left: Surplus"),
			columns(Column{Unit: code, Format: money}, "surplus: Surplus stock"),
			columns(Column{Format: AsQuantity}, "on hand: From stock"),
			columns(Column{Unit: code, Format: money}, "stock: From stock"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		for _, s := range slices.Concat(boardStock(e, b), partStock(e, b), oneOffStock(b)) {
			if s.moves() {
				t.addAs(s.key, s.row(b.ID())...)
			}
		}
		t.addTotal(b, map[string]Value{"what": Text("in all"), "surplus": known(b.Total.Surplus, b.Total.Unpriced), "stock": known(b.Total.Stock, b.Total.Unpriced)})
	}
	t.totalsLast()
	return t
}

// stock is one thing that is kept in stock, over one batch.
type stock struct {
	key                     string // of its row
	name, description, unit string
	demand, bought, onHand  bom.Quantity
	surplus, stock          decimal.Decimal
	unpriced                bool
	money                   bool // it is not counted
}

// oneOffStock is what later batches bear of one-off costs, and what this one bears of
// those that are paid already.
func oneOffStock(b *cost.Batch) (all []stock) {
	for i, f := range b.Fees {
		if f.Kind == cost.OneOffFee {
			all = append(all, stock{key: RowKey(KeyFee, b.ID(), i), name: f.What, description: "one-off cost", surplus: f.Surplus, stock: f.Stock, money: true})
		}
	}
	return all
}

// moves tells whether something is surplus or came from stock.
func (s stock) moves() bool {
	return s.unpriced || s.bought != s.demand || s.onHand != 0 || !s.surplus.IsZero() || !s.stock.IsZero()
}

func (s stock) row(batch cost.BatchID) []Value {
	count := func(q bom.Quantity) Value { return Quantity(q).where(!s.money) }
	return []Value{BatchValue(batch), Text(s.name), Text(s.description), Text(s.unit), count(s.demand), count(s.bought).unless(s.unpriced),
		count(s.bought - s.demand).unless(s.unpriced), known(s.surplus, s.unpriced), count(s.onHand), known(s.stock, s.unpriced)}
}

func partStock(e *cost.Estimate, b *cost.Batch) []stock {
	all := make([]stock, len(b.Parts))
	for i, r := range b.Parts {
		p := e.Parts[i]
		all[i] = stock{key: RowKey(KeyPart, b.ID(), i), name: p.Key, description: partName(e, p), unit: p.Unit, demand: r.Takes, bought: r.Bought,
			onHand: r.OnHand, surplus: r.Surplus, stock: r.Stock, unpriced: r.Unpriced}
	}
	return all
}

func boardStock(e *cost.Estimate, b *cost.Batch) []stock {
	var all []stock
	for i, r := range b.Boards {
		if r.Idle() {
			continue
		}
		all = append(all, stock{key: RowKey(KeyBoard, b.ID(), i), name: e.Boards[i].Name, description: cost.Lots, unit: "boards",
			demand: bom.Whole(int64(r.Bare() - r.OnHand)), bought: bom.Whole(int64(r.Bought)), onHand: bom.Whole(int64(r.OnHand)),
			surplus: r.Surplus, stock: r.Stock, unpriced: r.Unpriced})
	}
	return all
}
