package reports

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"reflect"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// Schema names the shape of the JSON; a key never changes its meaning within
// one name.
const Schema = "tenoff-estimate-2"

// object is a JSON object: its keys in the order in which they stand, each with its value
// beside it. A key whose value is nil is left out.
type object []field

type field struct {
	key   string
	value any
}

// MarshalJSON writes the object; a list that holds nothing is empty, not null.
func (o object) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	out.WriteByte('{')
	for i, f := range slices.DeleteFunc(slices.Clone(o), func(f field) bool { return f.value == nil }) {
		if i > 0 {
			out.WriteByte(',')
		}
		if _, own := f.value.(json.Marshaler); !own && reflect.ValueOf(f.value).Kind() == reflect.Slice && isEmpty(f.value) {
			f.value = []string{}
		}
		fmt.Fprintf(&out, "%q:", f.key)
		if err := enc.Encode(f.value); err != nil {
			return nil, err
		}
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}

// ifGiven is a value whose key is left out where it is empty.
func ifGiven(value any) any {
	if isEmpty(value) {
		return nil
	}
	return value
}

func isEmpty(value any) bool {
	v := reflect.ValueOf(value)
	return v.IsZero() || v.Kind() == reflect.Slice && v.Len() == 0
}

// jsonID tells a batch from the others: by its size, and where plans have as many units in
// all by the name of the plan as well.
func jsonID(size int, id cost.BatchID) object {
	out := object{{"batch", size}}
	if _, sized := id.Size(); !sized {
		out = append(out, field{"run", string(id)})
	}
	return out
}

// jsonMaking is how the boards are made: through_hole is "assembler" or "bench"; others are
// the cheapest way of each other assembler, and of the same one with other panels or the
// through-hole parts fitted elsewhere, with what they cost more: landed cash and the value of
// hand work.
func jsonMaking(b *cost.Batch, m money) object {
	of := func(x cost.Making) object {
		return object{{"assembler", x.Assembler}, {"through_hole", fittedAt(x)}, {"panels", x.Panels}}
	}
	others := bom.Each(b.Others, func(x *cost.OtherMaking) object {
		return append(of(x.Making), field{"more", m.amount(x.More, x.Unpriced)}, field{"hours_more", jsonFloat(x.Hours, AsHours)})
	})
	return append(of(b.Making), field{"others", ifGiven(others)})
}

// WriteJSON writes an estimate for programs. Money is a string in home currency
// with the minor unit's digits, per unit with four decimals; a unit price is
// exact, in the currency of its line; money that is not known is "?", and the
// quantity of what cannot be bought is null. Where the run was swept, sweep holds
// what batches tell of their sums, for every size; levels hold the same for each
// level, where all were asked for. Fees hold the charges of orders as well, so that
// purchases, fees and hand work add up to the total cash and own work. Parts that share
// plates each count the plates they lie on; plates_in_all counts each plate once. The demand
// of filament is what it is bought for, as many plates as are enough at the setting
// Confidence %. Over all payers the amounts are those of the
// batch.
func WriteJSON(w io.Writer, r *Report) error {
	e := r.Estimate
	point := func(p *sweep.Point) object { return jsonPoint(p, e.Currency) }
	var swept []object
	if r.Curve != nil {
		swept = bom.Each(r.Curve.Points, point)
	}
	return writeJSON(w, object{
		{"schema", Schema}, {"currency", e.Currency.Code}, {"level", jsonLevel(e.Level)}, {"complete", e.Complete},
		{"batches", bom.Each(e.Batches, func(b *cost.Batch) object { return jsonBatch(e, b) })},
		{"chances", ifGiven(jsonChances(r))},
		{"levels", ifGiven(bom.Each(r.Levels, func(l *sweep.LevelRun) object {
			return object{{"level", l.Level.String()},
				{"batches", bom.Each(l.Points, func(p *sweep.LevelPoint) object { return point(&p.Point) })}}
		}))},
		{"sweep", ifGiven(swept)},
		{"pricing", ifGiven(jsonPricing(r))},
		{"assumptions", e.Assumptions}, {"warnings", e.Warnings},
		{"cautions", bom.Each(e.Cautions, func(c *cost.Caution) string { return CautionText(*c) })},
	})
}

// jsonLevel is how far all is made; the key is left out where products are made differently far.
func jsonLevel(l bom.Level) any {
	if l == 0 {
		return nil
	}
	return l.String()
}

// writeJSON writes what programs read, indented.
func writeJSON(w io.Writer, out any) error {
	enc := json.NewEncoder(w)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	return enc.Encode(out)
}

// jsonNull stands for what is not known, or not bounded.
var jsonNull = json.RawMessage("null")

// CautionText is a caution with its source behind it.
func CautionText(c cost.Caution) string {
	if c.Source == "" {
		return c.Text
	}
	return c.Text + " (" + c.Source + ")"
}

// IsOursJSON tells whether the bytes are an estimate that WriteJSON wrote, of
// any schema number.
func IsOursJSON(data []byte) bool { return hasSchema(data, "tenoff-estimate-") }

func hasSchema(data []byte, family string) bool {
	var head struct {
		Schema string `json:"schema"`
	}
	return json.Unmarshal(data, &head) == nil && strings.HasPrefix(head.Schema, family)
}

// money writes amounts of one currency.
type money bom.Currency

func (m money) amount(d decimal.Decimal, unpriced bool) string {
	return known(d, unpriced).Exact(AsMoney(bom.Currency(m)))
}

// amounts always hold: cash + own + stock = consumed + surplus + reclaim.
func (m money) amounts(a cost.Amounts) object {
	return bom.Each(amountColumns, func(c *amountColumn) field { return field{c.key, m.amount(c.of(a), a.Unpriced)} })
}

func (m money) category(c int, a cost.Amounts) object {
	return append(object{{"name", cost.Category(c).String()}}, m.amounts(a)...)
}

// offBy is empty where purchases are proven.
func (m money) offBy(d decimal.Decimal) string {
	if !d.IsPositive() {
		return ""
	}
	return m.amount(d, false)
}

func (m money) perUnit(d decimal.Decimal, unpriced bool) string {
	if unpriced {
		return unknownMark
	}
	return d.StringFixed(unitDigits)
}

// jsonPoint writes the figures of one batch size: what a batch and a size of a sweep both
// tell. off_by is by how much purchases that are not proven may be over the cheapest.
func jsonPoint(p *sweep.Point, home bom.Currency) object {
	m, t := money(home), p.Total
	var categories []object
	for c, a := range p.Categories {
		categories = append(categories, m.category(c, a))
	}
	return object{
		{"batch", p.Size}, {"starts", p.Starts}, {"off_by", ifGiven(m.offBy(p.OffBy))}, {"total", m.amounts(t)},
		{"unit", object{{"cash", m.perUnit(p.PerUnit(t.Cash), t.Unpriced)},
			{"consumed", m.perUnit(p.PerUnit(t.Consumed), t.Unpriced)}}},
		{"categories", categories},
	}
}

func jsonBatch(e *cost.Estimate, b *cost.Batch) object {
	m, several := money(e.Currency), several(e)
	out := jsonPoint(&sweep.Point{Size: b.Size, Starts: b.Starts, Total: b.Total, Categories: b.Categories, OffBy: b.OffBy()}, e.Currency)
	if saves, ok := b.Apart(); several { // the plan of a run file
		out = append(out, field{"run", ifGiven(b.Name)}, field{"products", jsonProducts(e, b, m)},
			field{"saved_together", m.amount(saves, !ok)})
	}
	out = append(out, field{"substitutes", ifGiven(jsonSwaps(e, b))},
		field{"purchases", bom.Each(b.Purchases, func(p *cost.Purchase) object { return jsonPurchase(p, m) })},
		field{"fees", jsonFees(b, m)})
	if len(b.Others) > 0 { // there was a choice
		out = append(out, field{"assembly", jsonMaking(b, m)})
	}
	productOf := func(product int) any {
		if !several {
			return nil
		}
		return e.Products[product].Name
	}
	charge := object{{"recipients", ifGiven(b.Ask.Payer)}}
	if !several { // else by product
		charge = jsonCharge(&b.Charge, &b.Ask, b.Till.Paying, b.Size, m, b.Total.Unpriced)
	}
	if b.Till.Paying > 0 {
		charge = append(charge, field{"income", m.income(b.Charge.Income, b.Total.Unpriced)})
	}
	return append(out, object{
		{"plates", bom.Each(b.Plates, func(p *cost.PlateRun) object {
			return object{{"product", productOf(e.Entries[p.Entry].Product)}, {"part", p.Part}, {"material", p.Material}, {"printer", p.Printer}, {"per_plate", p.PerPlate},
				{"plates", p.Plates},
				{"expected", jsonFloat(p.Expected, AsHours)}, {"filament_g", jsonFloat(p.FilamentG, AsGrams)},
				{"hours", jsonFloat(p.Hours, AsHours)}}
		})},
		{"plates_in_all", jsonPlates(b)},
		{"hand_work", bom.Each(b.Work, func(w *cost.Work) object {
			return object{{"operation", w.Operation}, {"hours", jsonFloat(w.Hours, AsHours)},
				{"cash", m.amount(w.Cash, false)}, {"own", m.amount(w.Own, false)}}
		})},
		{"payers", bom.Each(b.Payers, func(p *cost.Payer) object { return jsonPayer(b, p, m) })},
		{"post", jsonPosts(b, m, productOf)}, {"charge", charge}, {"plan", ifGiven(jsonPlan(&b.Plan, e.Today))},
	}...)
}

// jsonPlates counts each plate once, whatever parts or products share it; of a batch that
// prints nothing it is nil.
func jsonPlates(b *cost.Batch) any {
	if len(b.Plates) == 0 {
		return nil
	}
	return object{{"plates", goodPlates(b)}, {"expected", jsonFloat(b.Printed, AsHours)}}
}

// jsonCharge tells the price and what is asked of recipients, of so many units of which
// some are paid for: price = unit_cost + payment_fee + margin + sales_tax + rounding, left out
// where all units are free. asked is what a recipient who pays for a unit is asked besides,
// asked_free one who is given a unit; there only where recipients bear something.
func jsonCharge(c *cost.Charge, ask *cost.Ask, paying, units int, m money, unpriced bool) (out object) {
	if paying > 0 {
		out = object{{"unit_cost", m.perUnit(c.UnitCost, unpriced)}, {"payment_fee", m.perUnit(c.Fee, unpriced)},
			{"margin", m.perUnit(c.Margin, unpriced)},
			{"sales_tax", m.perUnit(c.Tax, unpriced)}, {"rounding", m.perUnit(c.Rounding, unpriced)},
			{"price", m.amount(c.Price, unpriced)}}
	}
	if ask.Payer == "" {
		return out
	}
	return append(append(out, field{"recipients", ask.Payer}), m.asked(ask.Each, ask.Free, paying, units, ask.Unpriced)...)
}

// asked is what each recipient is asked for, who pays for a unit and who is given one.
func (m money) asked(each, given decimal.Decimal, paying, units int, unpriced bool) (out object) {
	if paying > 0 {
		out = append(out, field{"asked", m.amount(each, unpriced)})
	}
	if paying < units {
		out = append(out, field{"asked_free", m.amount(given, unpriced)})
	}
	return out
}

// income is both sides of the account: in = sold + asked; net = in − payment_fees −
// sales_tax.
func (m money) income(x cost.Income, unpriced bool) object {
	return object{{"sold", m.amount(x.Sold, unpriced)}, {"asked", m.amount(x.Asked, unpriced)},
		{"payment_fees", m.amount(x.Fees, unpriced)},
		{"sales_tax", m.amount(x.Tax, unpriced)}, {"net", m.amount(x.Net, unpriced)}, {"cash_surplus", m.amount(x.Stays, unpriced)},
		{"over_cost", m.amount(x.Over, unpriced)}}
}

// jsonPosts lists the parcels to each zone, those that hold as many units together, with
// their product where a run has several; no zone is the empty string. units are those in all
// of them; mass and price are of one parcel, the price in currency. Where recipients of
// several zones bear something, asked and asked_free are there as in the charge, by zone.
// Where the price sheet has no postage there are none.
func jsonPosts(b *cost.Batch, m money, productOf func(int) any) (posts []object) {
	for _, p := range b.Posts {
		out := object{{"product", productOf(p.Product)}, {"zone", p.Zone}, {"parcels", p.Parcels}, {"units", p.Units}}
		mass := field{"mass_g", jsonFloat(p.MassG, AsGrams)}
		switch {
		case p.Service != "":
			out = append(out, field{"service", p.Service}, mass, field{"chargeable_g", jsonFloat(p.Chargeable, AsGrams)},
				field{"price", Number(p.Price).Exact(AsPrice(p.Currency))}, field{"currency", p.Currency.Code},
				field{"cash", m.amount(p.Cash, false)})
			if b.Ask.Payer != "" && b.InZones() {
				x, given := &b.Products[p.Product], p.AskedFree
				if x.Paying == 0 {
					given = p.Asked
				}
				out = append(out, m.asked(p.Asked, given, x.Paying, x.Size, b.Ask.Unpriced)...)
			}
			posts = append(posts, out)
		case p.Unpriced:
			posts = append(posts, append(out, field{"service", unknownMark}, mass, field{"chargeable_g", jsonNull},
				field{"price", unknownMark}, field{"currency", unknownMark}, field{"cash", unknownMark}))
		}
	}
	return posts
}

// jsonPayer is what a payer bears, with the categories that it bears something of.
func jsonPayer(b *cost.Batch, p *cost.Payer, m money) object {
	var categories []object
	for c, a := range p.Categories {
		if !a.Value().IsZero() {
			a.Unpriced = a.Unpriced || b.Categories[c].Unpriced
			categories = append(categories, m.category(c, a))
		}
	}
	return slices.Concat(object{{"payer", p.Name}}, m.amounts(p.Amounts), object{{"categories", categories}})
}

// jsonPricing tells what given prices bring, of several products each; a batch size of 0 is
// none. It is nil where none is given.
func jsonPricing(r *Report) (out object) {
	e, p := r.Estimate, r.Pricing
	if p == nil {
		return nil
	}
	var prices []object
	for i, price := range p.Prices {
		exact := field{"price", Number(price).Exact(AsPrice(e.Currency))}
		if several(e) {
			prices = append(prices, object{{"product", e.Products[i].Name}, exact})
		} else {
			out = append(out, exact)
		}
	}
	var batches []object
	for i, income := range p.Incomes {
		batches = append(batches, append(jsonID(e.Batches[i].Size, e.Batches[i].ID()), money(e.Currency).income(income, false)...))
	}
	under := func(u sweep.Under) object { return object{{"first", u.First}, {"always", u.Always}} }
	return append(out, object{
		{"prices", ifGiven(prices)}, {"from", p.From}, {"to", p.To}, {"unknown", p.Unknown},
		{"covers_maker_cash", under(p.MakerCash)},
		{"covers_cash", under(p.Cash)}, {"covers_consumed", under(p.Consumed)}, {"batches", batches},
	}...)
}

func jsonPurchase(p *cost.Purchase, m money) object {
	var quantity json.RawMessage // null where nothing can be bought
	if !p.Unpriced {
		quantity = fmt.Append(nil, p.Quantity)
	}
	return object{
		{"supplier", p.Supplier}, {"order_code", p.OrderCode}, {"part", p.Part}, {"demand", jsonQuantity(p.Demand)},
		{"quantity", quantity},
		{"unit_price", known(p.UnitPrice, p.Unpriced).Exact(AsPrice(p.Currency))}, {"currency", p.Currency.Code},
		{"line_fee", known(p.LineFee, p.Unpriced).Exact(AsMoney(p.Currency))}, {"cash", m.amount(p.Cash, p.Unpriced)},
		{"consumed", m.amount(p.Consumed, p.Unpriced)}, {"surplus", m.amount(p.Surplus, p.Unpriced)},
	}
}

// jsonFees lists the charges of the orders, then the other fees; charges of
// nothing are left out.
func jsonFees(b *cost.Batch, m money) (fees []object) {
	fee := func(payee, what string, category cost.Category, cash, own decimal.Decimal, unpriced bool) {
		fees = append(fees, object{{"payee", payee}, {"what", what}, {"category", category.String()},
			{"cash", m.amount(cash, unpriced)}, {"own", m.amount(own, unpriced)}})
	}
	for _, o := range b.Orders {
		for _, c := range []struct {
			what     string
			category cost.Category
			cash     decimal.Decimal
		}{
			{"delivery", cost.Delivery, o.Delivery}, {"minimum-order surcharge", cost.Delivery, o.TopUp},
			{"consignment fees", cost.SMTAssembly, o.Consign},
			{"duty", cost.DutyAndTax, o.Duty}, {"tax", cost.DutyAndTax, o.Tax}, {"handling", cost.DutyAndTax, o.Handling},
		} {
			if !c.cash.IsZero() {
				fee(o.Supplier, c.what, c.category, c.cash, decimal.Zero, false)
			}
		}
	}
	for _, f := range b.Fees {
		if f.Unpriced || !f.Amount.IsZero() {
			fee(f.Payee, f.What, f.Category, f.Cash, f.Own, f.Unpriced)
		}
	}
	return fees
}

// jsonQuantity writes a quantity as a number.
func jsonQuantity(q bom.Quantity) json.RawMessage { return json.RawMessage(q.String()) }

// jsonFloat writes a time or a mass without zeros at its end; one that is no
// number cannot stand in JSON and becomes null.
func jsonFloat(f float64, as Format) json.RawMessage {
	as.Digits, as.Trim = 0, true
	v := Float(f)
	if v.IsUnknown() {
		return jsonNull
	}
	return json.RawMessage(v.Exact(as))
}
