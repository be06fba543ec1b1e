package reports

import (
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// Schema names the shape of the JSON; a key never changes its meaning within
// one name.
const Schema = "tenoff-estimate-2"

type jsonEstimate struct {
	Schema      string       `json:"schema"`
	Currency    string       `json:"currency"`
	Level       string       `json:"level"`
	Complete    bool         `json:"complete"`
	Batches     []jsonBatch  `json:"batches"`
	Chances     []jsonChance `json:"chances,omitempty"`
	Levels      []jsonLevel  `json:"levels,omitempty"`
	Sweep       []jsonPoint  `json:"sweep,omitempty"`
	Pricing     *jsonPricing `json:"pricing,omitempty"`
	Assumptions []string     `json:"assumptions"`
	Warnings    []string     `json:"warnings"`
	Cautions    []string     `json:"cautions"`
}

// jsonLevel is the run at one level.
type jsonLevel struct {
	Level   string      `json:"level"`
	Batches []jsonPoint `json:"batches"`
}

// jsonBatchID tells a batch from the others: by its size, and where plans have as many units in
// all by the name of the plan as well.
type jsonBatchID struct {
	Batch int    `json:"batch"`
	Run   string `json:"run,omitempty"`
}

func jsonIDOf(size int, id cost.BatchID) jsonBatchID {
	if _, sized := id.Size(); sized {
		return jsonBatchID{Batch: size}
	}
	return jsonBatchID{size, string(id)}
}

// jsonPoint is what a batch and a size of a sweep both tell.
type jsonPoint struct {
	jsonBatchID
	Starts     int            `json:"starts"`
	OffBy      string         `json:"off_by,omitempty"` // of purchases that are not proven: the most over the cheapest
	Total      jsonAmounts    `json:"total"`
	Unit       jsonUnit       `json:"unit"`
	Categories []jsonCategory `json:"categories"`
}

type jsonBatch struct {
	jsonPoint
	Run       string         `json:"run,omitempty"` // the plan of a run file
	Products  []jsonProduct  `json:"products,omitempty"`
	Saved     string         `json:"saved_together,omitempty"`
	Swaps     []jsonSwap     `json:"substitutes,omitempty"`
	Purchases []jsonPurchase `json:"purchases"`
	Fees      []jsonFee      `json:"fees"`
	Assembly  *jsonMaking    `json:"assembly,omitempty"` // where there was a choice
	Plates    []jsonPlate    `json:"plates"`
	HandWork  []jsonWork     `json:"hand_work"`
	Payers    []jsonPayer    `json:"payers"`
	Post      []jsonPost     `json:"post"`
	Charge    jsonCharge     `json:"charge"`
	Plan      *jsonPlan      `json:"plan,omitempty"`
}

// jsonAmounts always hold: cash + own + stock = consumed + surplus + reclaim.
type jsonAmounts struct {
	Cash     string `json:"cash"`
	Own      string `json:"own"`
	Stock    string `json:"stock"`
	Consumed string `json:"consumed"`
	Surplus  string `json:"surplus"`
	Reclaim  string `json:"reclaim"`
}

type jsonUnit struct {
	Cash     string `json:"cash"`
	Consumed string `json:"consumed"`
}

type jsonCategory struct {
	Name string `json:"name"`
	jsonAmounts
}

type jsonPurchase struct {
	Supplier  string          `json:"supplier"`
	OrderCode string          `json:"order_code"`
	Part      string          `json:"part"`
	Demand    json.RawMessage `json:"demand"`
	Quantity  json.RawMessage `json:"quantity"` // null where nothing can be bought
	UnitPrice string          `json:"unit_price"`
	Currency  string          `json:"currency"`
	LineFee   string          `json:"line_fee"`
	Cash      string          `json:"cash"`
	Consumed  string          `json:"consumed"`
	Surplus   string          `json:"surplus"`
}

type jsonFee struct {
	Payee    string `json:"payee"`
	What     string `json:"what"`
	Category string `json:"category"`
	Cash     string `json:"cash"`
	Own      string `json:"own"`
}

// jsonMaking is how the boards are made: through_hole is "assembler" or "bench"; others are
// ways with what they cost more, landed cash and the value of hand work.
type jsonMaking struct {
	Assembler   string          `json:"assembler"`
	ThroughHole string          `json:"through_hole"`
	Panels      []string        `json:"panels"`
	More        string          `json:"more,omitempty"`
	Hours       json.RawMessage `json:"hours_more,omitempty"`
	Others      []jsonMaking    `json:"others,omitempty"`
}

func jsonMakingOf(b *cost.Batch, m money) *jsonMaking {
	of := func(x cost.Making) jsonMaking {
		return jsonMaking{Assembler: x.Assembler, ThroughHole: fittedAt(x), Panels: append([]string{}, x.Panels...)}
	}
	out := of(b.Making())
	for _, x := range b.Others {
		other := of(x)
		other.More, other.Hours = m.amount(x.More, x.Unpriced), jsonFloat(x.Hours, AsHours)
		out.Others = append(out.Others, other)
	}
	return &out
}

type jsonPlate struct {
	Part      string          `json:"part"`
	Material  string          `json:"material"`
	Printer   string          `json:"printer"`
	PerPlate  int             `json:"per_plate"`
	Plates    int             `json:"plates"`
	Expected  json.RawMessage `json:"expected"`
	FilamentG json.RawMessage `json:"filament_g"`
	Hours     json.RawMessage `json:"hours"`
}

type jsonWork struct {
	Operation string          `json:"operation"`
	Hours     json.RawMessage `json:"hours"`
	Cash      string          `json:"cash"`
	Own       string          `json:"own"`
}

type jsonPayer struct {
	Payer string `json:"payer"`
	jsonAmounts
	Categories []jsonCategory `json:"categories"` // those that the payer bears something of
}

// jsonPost is parcels to one zone that hold as many units, counted over all of them; no
// zone is the empty string. Mass and price are those of one parcel, the price in currency;
// asked is there where recipients of several zones bear something.
type jsonPost struct {
	Zone        string          `json:"zone"`
	Parcels     int             `json:"parcels"`
	Units       int             `json:"units"`
	Service     string          `json:"service"`
	MassG       json.RawMessage `json:"mass_g"`
	ChargeableG json.RawMessage `json:"chargeable_g"`
	Price       string          `json:"price"`
	Currency    string          `json:"currency"`
	Cash        string          `json:"cash"`
	Asked       string          `json:"asked,omitempty"`
}

// jsonCharge is the price: price = unit_cost + payment_fee + margin + sales_tax +
// rounding, empty where all units are free. asked is what a recipient who pays for a unit is
// asked besides, asked_free one who is given a unit; there only where recipients bear
// something. The income is that at the price.
type jsonCharge struct {
	UnitCost   string       `json:"unit_cost,omitempty"`
	PaymentFee string       `json:"payment_fee,omitempty"`
	Margin     string       `json:"margin,omitempty"`
	SalesTax   string       `json:"sales_tax,omitempty"`
	Rounding   string       `json:"rounding,omitempty"`
	Price      string       `json:"price,omitempty"`
	Recipients string       `json:"recipients,omitempty"`
	Asked      string       `json:"asked,omitempty"`
	AskedFree  string       `json:"asked_free,omitempty"`
	Income     *jsonAccount `json:"income,omitempty"`
}

// jsonAccount is both sides of the account: in = sold + asked; net = in − payment_fees −
// sales_tax.
type jsonAccount struct {
	Sold        string `json:"sold"`
	Asked       string `json:"asked"`
	PaymentFees string `json:"payment_fees"`
	SalesTax    string `json:"sales_tax"`
	Net         string `json:"net"`
	CashSurplus string `json:"cash_surplus"`
	OverCost    string `json:"over_cost"`
}

// jsonPricing is what given prices bring; a batch size of 0 is none.
type jsonPricing struct {
	Price     string       `json:"price,omitempty"`
	Prices    []jsonPrice  `json:"prices,omitempty"` // of several products
	From      int          `json:"from"`
	To        int          `json:"to"`
	Unknown   int          `json:"unknown"`
	MakerCash jsonUnder    `json:"covers_maker_cash"`
	Cash      jsonUnder    `json:"covers_cash"`
	Consumed  jsonUnder    `json:"covers_consumed"`
	Batches   []jsonIncome `json:"batches"`
}

type jsonPrice struct {
	Product string `json:"product"`
	Price   string `json:"price"`
}

type jsonUnder struct {
	First  int `json:"first"`
	Always int `json:"always"`
}

type jsonIncome struct {
	jsonBatchID
	jsonAccount
}

// WriteJSON writes an estimate for programs. Money is a string in home currency
// with the minor unit's digits, per unit with four decimals; a unit price is
// exact, in the currency of its line; money that is not known is "?", and the
// quantity of what cannot be bought is null. Where the run was swept, sweep holds
// what batches tell of their sums, for every size; levels hold the same for each
// level, where all were asked for. Fees hold the charges of orders as well, so that
// purchases, fees and hand work add up to the total cash and own work. Parts that share
// plates each count the plates they lie on. Over all payers the amounts are those of the
// batch.
func WriteJSON(w io.Writer, r *Report) error {
	e := r.Estimate
	out := jsonEstimate{
		Schema: Schema, Currency: e.Currency.Code, Level: e.Level.String(), Complete: e.Complete,
		Batches:     bom.Each(e.Batches, func(b *cost.Batch) jsonBatch { return jsonOf(e, b) }),
		Assumptions: append([]string{}, e.Assumptions...),
		Warnings:    append([]string{}, e.Warnings...),
		Cautions:    bom.Each(e.Cautions, func(c *cost.Caution) string { return CautionText(*c) }),
		Chances:     jsonChances(r),
		Pricing:     jsonPricingOf(r),
		Levels: bom.Each(r.Levels, func(l *sweep.LevelRun) jsonLevel {
			return jsonLevel{l.Level.String(), bom.Each(l.Points, func(p *sweep.LevelPoint) jsonPoint { return jsonPointOf(&p.Point, e.Currency) })}
		}),
	}
	if r.Curve != nil {
		out.Sweep = bom.Each(r.Curve.Points, func(p *sweep.Point) jsonPoint { return jsonPointOf(p, e.Currency) })
	}
	return writeJSON(w, out)
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

func (m money) amounts(a cost.Amounts) jsonAmounts {
	return jsonAmounts{
		Cash: m.amount(a.Cash, a.Unpriced), Own: m.amount(a.Own, a.Unpriced), Stock: m.amount(a.Stock, a.Unpriced),
		Consumed: m.amount(a.Consumed, a.Unpriced), Surplus: m.amount(a.Surplus, a.Unpriced), Reclaim: m.amount(a.Reclaim, a.Unpriced),
	}
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

// jsonPointOf writes the figures of one batch size.
func jsonPointOf(p *sweep.Point, home bom.Currency) jsonPoint {
	m, t := money(home), p.Total
	out := jsonPoint{
		jsonBatchID: jsonBatchID{Batch: p.Size}, Starts: p.Starts, OffBy: m.offBy(p.OffBy),
		Total: m.amounts(t),
		Unit: jsonUnit{
			Cash:     m.perUnit(p.PerUnit(t.Cash), t.Unpriced),
			Consumed: m.perUnit(p.PerUnit(t.Consumed), t.Unpriced),
		},
		Categories: make([]jsonCategory, len(p.Categories)),
	}
	for c, a := range p.Categories {
		out.Categories[c] = jsonCategory{cost.Category(c).String(), m.amounts(a)}
	}
	return out
}

func jsonOf(e *cost.Estimate, b *cost.Batch) jsonBatch {
	home := e.Currency
	m := money(home)
	out := jsonBatch{
		jsonPoint: jsonPointOf(&sweep.Point{Size: b.Size, Starts: b.Starts, Total: b.Total, Categories: b.Categories, OffBy: b.OffBy()}, home),
		Products:  jsonProducts(e, b, m),
		Saved:     jsonSaved(e, b, m),
		Swaps:     jsonSwaps(e, b),
		Purchases: bom.Each(b.Purchases, func(p *cost.Purchase) jsonPurchase { return jsonPurchaseOf(p, m) }),
		Fees:      jsonFees(b, m),
		Plates: bom.Each(b.Plates, func(p *cost.PlateRun) jsonPlate {
			return jsonPlate{p.Part, p.Material, p.Printer, p.PerPlate, p.Plates, jsonFloat(p.Expected, AsHours),
				jsonFloat(p.FilamentG, AsGrams), jsonFloat(p.Hours, AsHours)}
		}),
		HandWork: bom.Each(b.Work, func(w *cost.Work) jsonWork {
			return jsonWork{w.Operation, jsonFloat(w.Hours, AsHours), m.amount(w.Cash, false), m.amount(w.Own, false)}
		}),
		Payers: bom.Each(b.Payers, func(p *cost.Payer) jsonPayer { return jsonPayerOf(b, p, m) }),
		Post:   jsonPosts(b, m),
		Plan:   jsonPlanOf(&b.Plan, e.Today),
	}
	if len(b.Others) > 0 {
		out.Assembly = jsonMakingOf(b, m)
	}
	if out.Charge.Recipients = b.Ask.Payer; several(e) {
		out.Run = b.Name // the rest by product
	} else {
		out.Charge = jsonChargeOf(&b.Charge, &b.Ask, b.Till.Paying, b.Size, m, b.Total.Unpriced)
	}
	if b.Till.Paying > 0 {
		income := m.income(b.Charge.Income, b.Total.Unpriced)
		out.Charge.Income = &income
	}
	return out
}

// jsonChargeOf tells the price and what is asked of recipients, of so many units of which
// some are paid for.
func jsonChargeOf(c *cost.Charge, ask *cost.Ask, paying, units int, m money, unpriced bool) (out jsonCharge) {
	if paying > 0 {
		out = jsonCharge{UnitCost: m.perUnit(c.UnitCost, unpriced), PaymentFee: m.perUnit(c.Fee, unpriced), Margin: m.perUnit(c.Margin, unpriced),
			SalesTax: m.perUnit(c.Tax, unpriced), Rounding: m.perUnit(c.Rounding, unpriced), Price: m.amount(c.Price, unpriced)}
	}
	if ask.Payer != "" {
		out.Recipients = ask.Payer
		if paying > 0 {
			out.Asked = m.amount(ask.Each, ask.Unpriced)
		}
		if paying < units {
			out.AskedFree = m.amount(ask.Free, ask.Unpriced)
		}
	}
	return out
}

func (m money) income(x cost.Income, unpriced bool) jsonAccount {
	return jsonAccount{m.amount(x.Sold, unpriced), m.amount(x.Asked, unpriced), m.amount(x.Fees, unpriced), m.amount(x.Tax, unpriced), m.amount(x.Net, unpriced),
		m.amount(x.Stays, unpriced), m.amount(x.Over, unpriced)}
}

// jsonPosts lists the zones that parcels go to; where the price sheet has no
// postage there are none.
func jsonPosts(b *cost.Batch, m money) []jsonPost {
	posts := []jsonPost{}
	for _, p := range b.Posts {
		switch {
		case p.Service != "":
			out := jsonPost{p.Zone, p.Parcels, p.Units, p.Service, jsonFloat(p.MassG, AsGrams), jsonFloat(p.Chargeable, AsGrams),
				Number(p.Price).Exact(AsPrice(p.Currency)), p.Currency.Code, m.amount(p.Cash, false), ""}
			if b.Ask.Payer != "" && b.InZones() {
				out.Asked = m.amount(p.Asked, b.Ask.Unpriced)
			}
			posts = append(posts, out)
		case p.Unpriced:
			posts = append(posts, jsonPost{p.Zone, p.Parcels, p.Units, unknownMark, jsonFloat(p.MassG, AsGrams), jsonNull,
				unknownMark, unknownMark, unknownMark, ""})
		}
	}
	return posts
}

func jsonPayerOf(b *cost.Batch, p *cost.Payer, m money) jsonPayer {
	out := jsonPayer{Payer: p.Name, jsonAmounts: m.amounts(p.Amounts), Categories: []jsonCategory{}}
	for c, a := range p.Categories {
		if !a.Value().IsZero() {
			a.Unpriced = a.Unpriced || b.Categories[c].Unpriced
			out.Categories = append(out.Categories, jsonCategory{cost.Category(c).String(), m.amounts(a)})
		}
	}
	return out
}

// jsonPricingOf tells what a given price brings; nil where none is given.
func jsonPricingOf(r *Report) *jsonPricing {
	e := r.Estimate
	p := r.Pricing
	if p == nil {
		return nil
	}
	m := money(e.Currency)
	out := &jsonPricing{
		From: p.From, To: p.To, Unknown: p.Unknown,
		MakerCash: jsonUnder(p.MakerCash), Cash: jsonUnder(p.Cash), Consumed: jsonUnder(p.Consumed),
	}
	for i, price := range p.Prices {
		out.Price = Number(price).Exact(AsPrice(e.Currency))
		if several(e) {
			out.Prices = append(out.Prices, jsonPrice{e.Products[i].Name, out.Price})
			out.Price = ""
		}
	}
	for i, income := range p.Incomes {
		out.Batches = append(out.Batches, jsonIncome{jsonIDOf(e.Batches[i].Size, e.Batches[i].ID()), m.income(income, false)})
	}
	return out
}

func jsonPurchaseOf(p *cost.Purchase, m money) jsonPurchase {
	out := jsonPurchase{
		Supplier: p.Supplier, OrderCode: p.OrderCode, Part: p.Part,
		Demand:    json.RawMessage(p.Demand.String()),
		UnitPrice: known(p.UnitPrice, p.Unpriced).Exact(AsPrice(p.Currency)),
		Currency:  p.Currency.Code, LineFee: known(p.LineFee, p.Unpriced).Exact(AsMoney(p.Currency)),
		Cash: m.amount(p.Cash, p.Unpriced), Consumed: m.amount(p.Consumed, p.Unpriced), Surplus: m.amount(p.Surplus, p.Unpriced),
	}
	if !p.Unpriced {
		out.Quantity = strconv.AppendInt(nil, p.Quantity, 10)
	}
	return out
}

// jsonFees lists the charges of the orders, then the other fees; charges of
// nothing are left out.
func jsonFees(b *cost.Batch, m money) []jsonFee {
	fees := []jsonFee{}
	for _, o := range b.Orders {
		for _, c := range []struct {
			what     string
			category cost.Category
			cash     decimal.Decimal
		}{
			{"delivery", cost.Delivery, o.Delivery}, {"minimum-order surcharge", cost.Delivery, o.TopUp}, {"consignment fees", cost.SMTAssembly, o.Consign},
			{"duty", cost.DutyAndTax, o.Duty}, {"import tax", cost.DutyAndTax, o.Tax}, {"handling", cost.DutyAndTax, o.Handling},
		} {
			if !c.cash.IsZero() {
				fees = append(fees, jsonFee{o.Supplier, c.what, c.category.String(), m.amount(c.cash, false), m.amount(decimal.Zero, false)})
			}
		}
	}
	for _, f := range b.Fees {
		if f.Unpriced || !f.Amount.IsZero() {
			fees = append(fees, jsonFee{f.Payee, f.What, f.Category.String(), m.amount(f.Cash, f.Unpriced), m.amount(f.Own, f.Unpriced)})
		}
	}
	return fees
}

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
