package reports

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Fees is money for what leaves no stock, beside the charges of an order, and one-off
// costs.
func Fees(e *cost.Estimate) Table {
	money := AsMoney(e.Currency)
	t := Table{
		Name:  "Fees",
		Title: "fees beside goods and order charges",
		Lead:  3,
		Columns: slices.Concat(
			batchColumn, plain("payee", "what", "category"),
			columns(Column{Format: money}, "amount"),
			plain("currency"),
		),
	}
	amounts := amountsOfFees(e)
	for _, c := range amounts {
		t.Columns = append(t.Columns, Column{Key: c.key, Heading: strings.ToUpper(c.heading[:1]) + c.heading[1:], Unit: e.Currency.Code, Format: money, Sum: true})
	}
	t.Columns = append(t.Columns, Column{Key: "place", Heading: "Source"})
	for _, b := range bom.Refs(e.Batches) {
		for j, f := range b.Fees {
			values := []Value{BatchValue(b.ID()), Text(f.Payee), Text(f.What), Text(f.Category.String()),
				known(f.Amount, f.Unpriced).As(AsMoney(f.Currency)), Text(f.Currency.Code)}
			t.addAs(RowKey(KeyFee, b.ID(), j), slices.Concat(values, amountValues(amounts, f.Amounts), []Value{place(f.Place)})...)
		}
		t.addTotal(b, map[string]Value{"payee": Text("all fees")})
	}
	t.totalsLast()
	return t
}

// amountsOfFees are the amounts that fees are of: cash out and own work, and where a
// one-off cost is borne by other batches as well the others.
func amountsOfFees(e *cost.Estimate) []amountColumn {
	spread := slices.ContainsFunc(e.Batches, func(b cost.Batch) bool {
		return slices.ContainsFunc(b.Fees, func(f cost.Fee) bool { return f.Kind == cost.OneOffFee })
	})
	return slices.DeleteFunc(slices.Clone(amountColumns), func(c amountColumn) bool {
		return c.key == "reclaim" || !spread && c.key != "cash" && c.key != "own"
	})
}

// WhoPays is what each payer bears, by category, in all and for one unit. Over all
// payers the amounts are those of the batch, so that what somebody sponsors counts as
// value and not as nothing.
func WhoPays(e *cost.Estimate) Table {
	t := Table{
		Name:    "Who pays",
		Title:   "who bears what; " + identity,
		Lead:    3,
		Columns: plain("payer", "category", "unit: In"),
	}
	t.amountColumns(e, Column{Format: AsMoney(e.Currency)})
	names := payers(e)
	borne := func(role Role, key, who, what string, of func(*cost.Batch) cost.Amounts) {
		t.amountRow(e, role, key, []string{who, what, e.Currency.Code}, of)
	}
	for _, name := range names {
		for _, c := range cost.Categories {
			if bears(e, name, c) {
				borne(Body, name+" "+c.String(), name, c.String(), func(b *cost.Batch) cost.Amounts {
					a := payer(b, name).Categories[c]
					a.Unpriced = a.Unpriced || b.Categories[c].Unpriced
					return a
				})
			}
		}
	}
	for _, name := range names {
		borne(Total, "total "+name, name, "all", func(b *cost.Batch) cost.Amounts { return payer(b, name).Amounts })
	}
	borne(Total, "total", "all payers", "all", func(b *cost.Batch) cost.Amounts { return b.Total })
	if sponsors := sponsors(e); len(sponsors) > 0 {
		borne(Total, RowSponsored, "sponsored", "all", func(b *cost.Batch) cost.Amounts { return sponsored(b, sponsors) })
		t.note("sponsored: what payers other than the maker and the recipients bear, here " + strings.Join(sponsors, ", "))
	}
	if !several(e) {
		t.perUnitBelow(e)
	}
	return t
}

// RowSponsored is the key of the row of what sponsors bear; no payer's name
// gives it.
const RowSponsored = "sponsored\n"

// SponsorTotals are the keys of the rows of Who pays that RowSponsored adds up.
func SponsorTotals(e *cost.Estimate) []string {
	return bom.Each(sponsors(e), func(name *string) string { return "total " + *name })
}

// UnitOf is the key of the row that shows another for one unit.
func UnitOf(key string) string { return "unit " + key }

// perUnitBelow adds the totals once more, for one unit, and what each recipient is
// asked for.
func (t *Table) perUnitBelow(e *cost.Estimate) {
	perUnit := AsUnitMoney(e.Currency)
	for _, r := range slices.Clone(t.Rows) {
		if r.Role == Body {
			continue
		}
		values := append(slices.Clone(r.Values[:2]), Text(e.Currency.Code+" per unit"))
		for i, v := range r.Values[t.Lead:] {
			if d, ok := v.Decimal(); ok {
				v = Number(e.Batches[i/len(amountsOf(e))].PerUnit(d))
			}
			values = append(values, v.As(perUnit))
		}
		t.addRow(Row{Key: UnitOf(r.Key), Role: Figure, Values: values})
	}
	if who := recipients(e); who != "" {
		values := []Value{Text(who), Text(meanCharge(e)), Text(e.Currency.Code + " per unit")}
		for i := range e.Batches {
			ask := e.Batches[i].Ask
			values = append(values, known(askedOfEach(&e.Batches[i]), ask.Unpriced).As(AsMoney(e.Currency)))
			values = append(values, blanks(len(amountsOf(e))-1)...)
		}
		t.addRow(Row{Key: RowAsked, Role: Figure, Values: values})
	}
}

// recipients is what the recipients of the units are called, where they are
// asked for something; else it is empty.
func recipients(e *cost.Estimate) string {
	for i := range e.Batches {
		if who := e.Batches[i].Ask.Payer; who != "" {
			return who
		}
	}
	return ""
}

// sponsors are the payers but for the maker and the recipients who bear
// something in any batch.
func sponsors(e *cost.Estimate) []string {
	return slices.DeleteFunc(bearers(e), func(name string) bool {
		return name == cost.Maker || name == recipients(e)
	})
}

// bearers are the payers who bear something in any batch.
func bearers(e *cost.Estimate) []string {
	return slices.DeleteFunc(payers(e), func(name string) bool {
		return !slices.ContainsFunc(cost.Categories, func(c cost.Category) bool { return bears(e, name, c) })
	})
}

// Shares is what each payer bears of the unit cost, or of what several products cost, and
// what each recipient is asked for. It has no rows where one payer bears all.
func Shares(e *cost.Estimate) Table {
	format, key := AsUnitMoney(e.Currency), RowUnit
	of := func(b *cost.Batch, amount decimal.Decimal) decimal.Decimal { return b.PerUnit(amount) }
	if several(e) {
		format, key = AsMoney(e.Currency), RowConsumed
		of = func(_ *cost.Batch, amount decimal.Decimal) decimal.Decimal { return amount }
	}
	t := Table{
		Name:    "Shares",
		Title:   "cost by payer, in " + e.Currency.Code,
		Lead:    1,
		Columns: plain("payer"),
	}
	t.PerBatch(e, Column{Key: "consumed", Format: format})
	names := bearers(e)
	if len(names) < 2 {
		return t
	}
	row := func(role Role, key, name string, figure func(*cost.Batch) Value) {
		t.row(e, role, key, []string{name}, figure)
	}
	for _, name := range names {
		row(Body, "payer "+name, name, func(b *cost.Batch) Value {
			p := payer(b, name)
			return known(of(b, p.Consumed), p.Unpriced)
		})
	}
	row(Total, key, key, func(b *cost.Batch) Value { return known(of(b, b.Total.Consumed), b.Total.Unpriced) })
	if who := sponsors(e); len(who) > 0 {
		row(Figure, RowSponsored, "of which sponsored", func(b *cost.Batch) Value {
			a := sponsored(b, who)
			return known(of(b, a.Consumed), a.Unpriced)
		})
	}
	if recipients(e) != "" && !several(e) {
		row(Figure, RowAsked, meanCharge(e), func(b *cost.Batch) Value { return known(askedOfEach(b), b.Ask.Unpriced) })
		t.note(askedByZone(e)...)
	}
	return t
}

// askedOfEach is what each recipient is asked for besides a price; where all units are
// free, with the fee of the payment.
func askedOfEach(b *cost.Batch) decimal.Decimal {
	if b.Till.Paying == 0 {
		return b.Ask.Free
	}
	return b.Ask.Each
}

// meanCharge names what a recipient is asked for over all zones.
func meanCharge(e *cost.Estimate) string {
	if slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return !zoneRange(e, &b).IsNothing() }) {
		return "charge per recipient, mean"
	}
	return "charge per recipient"
}

// zoneRange is the least and the most that somebody is asked for where all pay the postage of
// their own zone; nothing where that is the same.
func zoneRange(e *cost.Estimate, b *cost.Batch) Value {
	var asked []decimal.Decimal
	for _, p := range b.Posts {
		if p.Parcels > 0 && !b.Ask.Unpriced {
			asked = append(asked, p.Asked)
		}
	}
	if len(asked) == 0 {
		return Nothing()
	}
	least, most := slices.MinFunc(asked, decimal.Decimal.Compare), slices.MaxFunc(asked, decimal.Decimal.Compare)
	if least.Equal(most) {
		return Nothing()
	}
	money := AsMoney(e.Currency)
	return Text(Number(least).Shown(money) + " to " + Number(most).Shown(money))
}

// askedByZone says what each is asked for where all pay the postage of their own
// zone, at the largest batch; nothing where there are no zones.
func askedByZone(e *cost.Estimate) []string {
	b := &e.Batches[len(e.Batches)-1]
	var zones []string
	for i, p := range b.Posts {
		if (i == 0 || p.Zone != b.Posts[i-1].Zone) && p.Parcels > 0 && p.Asked.IsPositive() && !b.Ask.Unpriced {
			zones = append(zones, p.Zone+" "+Number(p.Asked).Shown(AsMoney(e.Currency)))
		}
	}
	if len(zones) == 0 {
		return nil
	}
	return []string{"charge by zone at batch " + b.ID().Shown() + ", each paying their own postage: " + strings.Join(zones, ", ")}
}

// sponsored is what sponsors bear of a batch.
func sponsored(b *cost.Batch, sponsors []string) (sum cost.Amounts) {
	for _, name := range sponsors {
		sum = sum.Plus(payer(b, name).Amounts)
	}
	return sum
}

// payers lists the names in the order in which they first bear something.
func payers(e *cost.Estimate) []string {
	var names []string
	for _, b := range e.Batches {
		for _, p := range b.Payers {
			if !slices.Contains(names, p.Name) {
				names = append(names, p.Name)
			}
		}
	}
	return names
}

// payer finds one payer's share of a batch; who bears nothing has a zero share.
func payer(b *cost.Batch, name string) cost.Payer {
	for _, p := range b.Payers {
		if p.Name == name {
			return p
		}
	}
	return cost.Payer{Name: name}
}

// bears tells whether a payer bears some of a category in any batch, or would
// where it cost something.
func bears(e *cost.Estimate, name string, c cost.Category) bool {
	return slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return payer(&b, name).Bears[c] })
}
