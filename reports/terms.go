package reports

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Parts is what each bare board, part and material takes and costs in each
// batch, over all its lines and orders.
func Parts(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Parts",
		Title: "what each part takes and costs in each batch",
		Notes: []string{"to buy = required + spares − from stock; cash out + from stock = consumed + surplus"},
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("part", "description", "unit: Counted in"),
			columns(Column{Format: AsQuantity}, "need: Required", "spares", "on hand: From stock", "demand: To buy", "bought"),
			columns(Column{Unit: code, Format: money}, "cash", "stock: From stock", "consumed", "surplus: Surplus stock"),
		),
	}
	row := func(key string, batch cost.BatchID, head [3]string, need, spares, onHand, demand, bought bom.Quantity, a cost.Amounts) {
		t.addAs(key, BatchValue(batch), Text(head[0]), Text(head[1]), Text(head[2]), Quantity(need), Quantity(spares), Quantity(onHand),
			Quantity(demand), Quantity(bought).unless(a.Unpriced), known(a.Cash, a.Unpriced), known(a.Stock, a.Unpriced), known(a.Consumed, a.Unpriced), known(a.Surplus, a.Unpriced))
	}
	for _, b := range bom.Refs(e.Batches) {
		for j, r := range b.Boards {
			if r.Idle() {
				continue
			}
			starts, onHand := bom.Whole(int64(r.Bare())), bom.Whole(int64(r.OnHand))
			row(RowKey(KeyBoard, b.ID(), j), b.ID(), [3]string{e.Boards[j].Name, cost.Lots, "boards"},
				starts, 0, onHand, starts-onHand, bom.Whole(int64(r.Bought)), r.Amounts)
		}
		for j, r := range b.Parts {
			p := e.Parts[j]
			if !slices.ContainsFunc(p.Entries, func(i int) bool { return b.Uses(&e.Entries[i], i) }) {
				continue
			}
			row(RowKey(KeyPart, b.ID(), j), b.ID(), [3]string{p.Key, partName(e, p), p.Unit},
				r.Need, r.Allowance, r.OnHand, r.Demand, r.Bought, r.Amounts)
		}
	}
	return t
}

// Offers is every price of everything that is bought, taken or not: one row for
// each break. The number names the offer in To buy.
func Offers(e *cost.Estimate) Table {
	t := Table{
		Name:  "Offers",
		Title: "what is offered for each part, with all price breaks",
		Notes: []string{"set-up and price are in the currency of the row; from counts order units"},
		Lead:  2,
		Columns: slices.Concat(
			columns(Column{Format: AsCount}, "number: Offer"),
			plain("part", "supplier", "code: Order code", "currency"),
			columns(Column{Format: AsQuantity}, "pieces: Pack size"),
			columns(Column{Format: AsCount}, "moq: MOQ", "multiple", "most: Stock"),
			columns(Column{Format: AsPrice(e.Currency)}, "setup: Set-up"),
			columns(Column{Format: AsCount}, "from"),
			columns(Column{Format: AsPrice(e.Currency)}, "price: Unit price", "Line fee"),
			columns(Column{Format: AsPercent}, "Duty %"),
			columns(Column{Format: AsDate}, "as of"),
			plain("place: Source"),
		),
	}
	if e.Terms == nil {
		return t
	}
	n := 0
	for i, o := range e.Terms.Offers {
		price := AsPrice(o.Currency)
		for _, b := range o.Breaks {
			t.addAs(RowKey(KeyBreak, "", n), Count(i+1), Text(o.Part), Text(e.Terms.Suppliers[o.Supplier].Name), Text(o.Code),
				Text(o.Currency.Code), Quantity(o.Pieces), Count(int(o.MOQ)), Count(int(o.Multiple)), Count(int(o.Most)).where(o.Most >= 0),
				Number(o.SetUp).As(price).where(!o.SetUp.IsZero()), Number(decimal.NewFromInt(b.From)), Number(b.Price).As(price),
				Number(o.LineFee).As(price).where(!o.LineFee.IsZero()), Number(o.Duty.Decimal).where(o.Duty.Valid), Date(o.AsOf), place(b.Place))
			n++
		}
	}
	return t
}

// Suppliers is what each supplier charges for an order beside its goods.
func Suppliers(e *cost.Estimate) Table {
	price, home := AsPrice(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Suppliers",
		Title: "what each supplier charges for an order beside its goods",
		Notes: []string{"delivery, free delivery over, minimum order and consignment fee are in the supplier's currency"},
		Lead:  1,
		Columns: slices.Concat(
			plain("supplier", "currency"),
			columns(Column{Format: price}, "Delivery", "Free delivery over", "Minimum order"),
			columns(Column{Format: AsPercent}, "Duty %", "Import tax %"),
			columns(Column{Unit: home, Format: price}, "Duty free up to", "Tax free up to", "Flat duty per heading", "Handling fee"),
			columns(Column{Format: price}, "Consignment fee per line"),
			columns(Column{Format: AsCount}, "Lead days"),
			columns(Column{Format: AsDate}, "as of"),
			plain("place: Source"),
		),
	}
	if e.Terms == nil {
		return t
	}
	for i, s := range e.Terms.Suppliers {
		own := AsPrice(s.Currency)
		t.addAs(RowKey(KeyTerms, "", i), Text(s.Name), Text(s.Currency.Code), Number(s.Delivery).As(own),
			Number(s.FreeOver.Decimal).As(own).where(s.FreeOver.Valid),
			Number(s.MinOrder).As(own), Number(s.Duty), Number(s.Tax), Number(s.DutyFreeUpTo), Number(s.TaxFreeUpTo),
			Number(s.FlatDuty), Number(s.Handling), Number(s.ConsignPerLine).As(own),
			Count(s.LeadDays).unless(!s.LeadKnown), Date(s.AsOf), place(s.At("")))
	}
	return t
}
