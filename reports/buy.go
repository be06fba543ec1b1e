package reports

import (
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// ToBuy is what to order, by batch and supplier: order code, order units and
// price are as the supplier counts them.
func ToBuy(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "To buy",
		Title: "what to order, by batch and supplier",
		Notes: []string{"set-up, unit price and line total are in the currency of the line; line total = set-up + order quantity × unit price; order charges are in Orders"},
		Lead:  5,
		Columns: slices.Concat(
			batchColumn, tick(),
			columns(Column{Format: AsCount}, "offer"),
			plain("supplier", "code: Order code", "part", "description"),
			columns(Column{Format: AsQuantity}, "demand: Required", "pieces: Pack size"),
			columns(Column{Format: AsCount}, "quantity: Order quantity"),
			columns(Column{Format: AsPrice(e.Currency)}, "setup: Set-up", "price: Unit price"),
			plain("currency: In"),
			columns(Column{Format: money}, "goods: Line total"),
			columns(Column{Unit: code, Format: money, Sum: true}, "cash", "consumed", "surplus: Surplus stock", "written off"),
			columns(Column{Format: AsCount}, "lead: Lead days"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		lead := leadDays(b)
		for _, j := range bySupplier(b) {
			p := b.Purchases[j]
			t.addAs(RowKey(KeyBuy, b.ID(), j), purchaseRow(e, b, p, lead)...)
			if p.Remark != "" {
				t.note(fmt.Sprintf("batch %s, %s from %s: %s", b.ID().Shown(), p.Part, p.Supplier, p.Remark))
			}
		}
		t.addTotal(b, map[string]Value{"supplier": Text("all goods")})
	}
	t.totalsLast()
	return t
}

// purchaseRow is one order line; of what cannot be bought only the part and
// the demand are known.
func purchaseRow(e *cost.Estimate, b *cost.Batch, p cost.Purchase, lead map[string]Value) []Value {
	demand := Quantity(p.Demand)
	if p.Kind == cost.Filament {
		demand = demand.As(asWholeGrams)
	}
	head := []Value{BatchValue(b.ID()), Nothing(), Count(p.Offer).where(p.Offer != 0), Text(p.Supplier), Text(p.OrderCode), Text(p.Part), Text(stockName(e, p)), demand}
	if p.Unpriced {
		head[2], head[3], head[4] = Unknown(), Unknown(), Unknown()
		return append(head, slices.Repeat([]Value{Unknown()}, 11)...)
	}
	own, price := AsMoney(p.Currency), AsPrice(p.Currency)
	return append(head, Quantity(p.Pieces), Count(int(p.Quantity)), Number(p.SetUp).As(price).where(!p.SetUp.IsZero()), Number(p.UnitPrice).As(price),
		Text(p.Currency.Code), Number(p.Goods).As(own), Number(p.Cash), Number(p.Consumed), Number(p.Surplus), Number(p.WrittenOff),
		lead[p.Supplier])
}

// asWholeGrams shows no decimals of the grams of a batch.
var asWholeGrams = Format{Kind: KindGrams, Keep: 6, Trim: true}

// stockName describes what a purchase is of.
func stockName(e *cost.Estimate, p cost.Purchase) string {
	if p.Kind == cost.Goods && p.Index >= 0 && p.Index < len(e.Parts) {
		return partName(e, e.Parts[p.Index])
	}
	return p.Kind
}

// partName describes a part; without a description, by its first line. What its key says
// already is not said again.
func partName(e *cost.Estimate, p cost.Part) string {
	name := p.Description
	if name == "" && len(p.Entries) > 0 {
		name = describe(e.Entries[p.Entries[0]].Line)
	}
	if bom.Fold(name) == bom.Fold(p.Key) {
		return ""
	}
	return name
}

// bySupplier gives the purchases of a batch, by index, in the order of its
// orders; what cannot be bought stands last.
func bySupplier(b *cost.Batch) []int {
	at := map[string]int{}
	for i, o := range b.Orders {
		at[o.Supplier] = i
	}
	rank := func(p cost.Purchase) int {
		if i, ok := at[p.Supplier]; ok && !p.Unpriced {
			return i
		}
		return len(b.Orders)
	}
	sorted := make([]int, len(b.Purchases))
	for i := range sorted {
		sorted[i] = i
	}
	slices.SortStableFunc(sorted, func(i, j int) int { return rank(b.Purchases[i]) - rank(b.Purchases[j]) })
	return sorted
}

// leadDays gives each supplier's lead days, unknown where the price sheet does
// not tell them.
func leadDays(b *cost.Batch) map[string]Value {
	lead := map[string]Value{}
	for _, o := range b.Orders {
		lead[o.Supplier] = Count(o.LeadDays).unless(!o.LeadKnown)
	}
	return lead
}

func blanks(n int) []Value { return make([]Value, n) }

// Orders is what each order costs beside its goods.
func Orders(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Orders",
		Title: "what each order costs in all",
		Notes: []string{"goods hold parts, boards, spools and assembly fees; duty and tax are estimates: the customs office decides"},
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("supplier", "currency"),
			columns(Column{Format: money}, "own: Goods in it"),
			columns(Column{Unit: code, Format: money, Sum: true}, "goods", "delivery", "topup: Minimum-order surcharge", "consign: Consignment fee",
				"value for customs", "duty", "tax", "handling", "total: Order total"),
			columns(Column{Format: AsCount}, "lead: Lead days"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		for _, o := range b.Orders {
			values := []Value{BatchValue(b.ID()), Text(o.Supplier), Text(o.Currency.Code), Number(o.GoodsOwn).As(AsMoney(o.Currency))}
			for _, d := range [...]decimal.Decimal{o.Goods, o.Delivery, o.TopUp, o.Consign, o.Value, o.Duty, o.Tax, o.Handling, o.Total()} {
				values = append(values, Number(d))
			}
			t.addAs(RowKey(KeyOrder, b.ID(), o.Terms), append(values, Count(o.LeadDays).unless(!o.LeadKnown))...)
		}
		t.noOrders(e, b)
		t.addTotal(b, map[string]Value{"supplier": Text("all orders")})
	}
	t.totalsLast()
	return t
}

// noOrders adds a row of nothing for each supplier that the batch could order
// from and does not, so that somebody who changes an offer finds its order.
func (t *Table) noOrders(e *cost.Estimate, b *cost.Batch) {
	if e.Terms == nil || len(b.Orders) == 0 {
		return
	}
	ordered := map[string]bool{}
	for _, o := range b.Orders {
		ordered[o.Supplier] = true
	}
	for i, s := range e.Terms.Suppliers {
		if ordered[s.Name] {
			continue
		}
		values := append([]Value{BatchValue(b.ID()), Text(s.Name), Text(s.Currency.Code), Number(decimal.Zero).As(AsMoney(s.Currency))},
			slices.Repeat([]Value{Number(decimal.Zero)}, 9)...)
		t.addAs(RowKey(KeyOrder, b.ID(), i), append(values, Count(s.LeadDays).unless(!s.LeadKnown))...)
	}
}
