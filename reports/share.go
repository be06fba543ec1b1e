package reports

import (
	"slices"

	"tenoff/cost"
)

// Fees is money for what leaves no stock, beside the charges of an order.
func Fees(e *cost.Estimate) Table {
	t := Table{
		Name:  "Fees",
		Title: "fees beside goods and order charges",
		Lead:  3,
		Columns: []Column{
			batchColumn,
			{Key: "payee", Heading: "Payee"},
			{Key: "what", Heading: "What"},
			{Key: "category", Heading: "Category"},
			{Key: "own", Heading: "Amount", Format: AsMoney(e.Currency)},
			{Key: "currency", Heading: "Currency"},
			{Key: "cash", Heading: "Cash", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
			{Key: "place", Heading: "Read from"},
		},
	}
	var totals []Row
	for i := range e.Batches {
		b := &e.Batches[i]
		var cash sum
		for j, f := range b.Fees {
			t.addAs(RowKey(KeyFee, b.Size, j), Count(b.Size), Text(f.Payee), Text(f.What), Text(f.Category.String()),
				known(f.Own, f.Unpriced).As(AsMoney(f.Currency)), Text(f.Currency.Code), known(f.Cash, f.Unpriced), place(f.Place))
			cash.add(f.Cash, f.Unpriced)
		}
		if len(b.Fees) == 0 {
			continue
		}
		values := blanks(len(t.Columns))
		values[0], values[1], values[6] = Count(b.Size), Text("all fees"), cash.value()
		totals = append(totals, Row{Key: totalKey(b.Size), Role: Total, Values: values})
	}
	t.Rows = append(t.Rows, totals...)
	return t
}

// WhoPays is what each payer bears of the cash, by category.
func WhoPays(e *cost.Estimate) Table {
	money, perUnit, code := AsMoney(e.Currency), AsUnitMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Who pays",
		Title: "who pays what of the cash",
		Lead:  3,
		Columns: []Column{
			{Key: "payer", Heading: "Payer"},
			{Key: "category", Heading: "Category"},
			{Key: "unit", Heading: "In"},
		},
	}
	t.perBatch(e, Column{Key: "cash", Format: money})
	names := payers(e)
	row := func(role Role, key string, head []Value, f Format, figure func(*cost.Batch) Value) {
		values := head
		for i := range e.Batches {
			values = append(values, figure(&e.Batches[i]).As(f))
		}
		t.addRow(Row{Key: key, Role: role, Values: values})
	}
	for _, name := range names {
		for _, c := range cost.Categories {
			if !bears(e, name, c) {
				continue
			}
			head := []Value{Text(name), Text(c.String()), Text(code)}
			row(Body, name+" "+c.String(), head, money, func(b *cost.Batch) Value {
				p := payer(b, name)
				return known(p.Categories[c], b.Categories[c].Unpriced)
			})
		}
	}
	for _, name := range names {
		head := []Value{Text(name), Text("all"), Text(code)}
		row(Total, "total "+name, head, money, func(b *cost.Batch) Value {
			p := payer(b, name)
			return known(p.Cash, p.Unpriced)
		})
		head = []Value{Text(name), Text("all"), Text(code + " per unit")}
		row(Figure, "unit "+name, head, perUnit, func(b *cost.Batch) Value {
			p := payer(b, name)
			return known(b.PerUnit(p.Cash), p.Unpriced)
		})
	}
	row(Total, "total", []Value{Text("all payers"), Text("all"), Text(code)}, money, func(b *cost.Batch) Value {
		return known(b.Total.Cash, b.Total.Unpriced)
	})
	return t
}

// payers lists the names in the order in which they first bear something.
func payers(e *cost.Estimate) []string {
	var names []string
	seen := map[string]bool{}
	for i := range e.Batches {
		for _, p := range e.Batches[i].Payers {
			if !seen[p.Name] {
				seen[p.Name] = true
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
	for i := range e.Batches {
		if !payer(&e.Batches[i], name).Categories[c].IsZero() {
			return true
		}
		for _, pot := range e.Batches[i].Pots {
			if pot.Category == c && slices.Contains(pot.Payers, name) {
				return true
			}
		}
	}
	return false
}
