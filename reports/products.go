package reports

import (
	"slices"
	"strconv"

	"tenoff/bom"
	"tenoff/cost"
)

// KeyProduct is the key of the row of a product of a batch.
const KeyProduct = "product"

// ProductsName is the sheet that puts the products side by side.
const ProductsName = "Products"

// several tells whether an estimate is of several products.
func several(e *cost.Estimate) bool { return len(e.Products) > 1 }

// Products puts the products of each plan side by side: what each costs by need, use and
// value, what one unit of it costs and what is asked for it, and what its purchases would
// land at by itself. It has no rows where there is one product.
func Products(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  ProductsName,
		Title: "what each product costs",
		Notes: []string{"parts and boards by what each needs, orders' charges by value, one-off costs by unit; " + identity,
			"alone: landed cash of the purchases if each product were bought by itself, one after the other"},
		Lead: 3,
		Columns: slices.Concat(
			batchColumn, plain("product", "level"),
			columns(Column{Format: AsCount}, "units", "starts: To start"),
			columns(Column{Unit: code, Format: AsUnitMoney(e.Currency)}, "consumed per unit: Unit cost"),
		),
	}
	if !several(e) {
		return t
	}
	amounts := amountsOf(e)
	for _, c := range amounts {
		t.column(Column{Key: c.key, Heading: c.heading, Unit: code, Format: money, Sum: true})
	}
	t.column(Column{Key: "price", Heading: "Price", Unit: code, Format: money}, Column{Key: "asked", Heading: "Charge per recipient", Unit: code, Format: money},
		Column{Key: "alone", Heading: "Alone", Unit: code, Format: money, Sum: true})
	for _, b := range bom.Refs(e.Batches) {
		for j := range b.Products {
			t.addAs(RowKey(KeyProduct, b.ID(), j), productRow(e, b, j, amounts)...)
		}
		saves, ok := b.Apart()
		t.addTotal(b, map[string]Value{"product": Text("all products"), "units": Count(b.Size), "starts": Count(b.Starts)})
		saved := blanks(len(t.Columns))
		saved[0], saved[1], saved[len(saved)-1] = BatchValue(b.ID()), Text(savedWords), known(saves, !ok)
		t.addRow(Row{Key: SavedKey(b), Role: Total, Values: saved})
	}
	t.totalsLast()
	t.dropEmpty("price", "asked")
	return t
}

// dropEmpty leaves out columns in which nothing stands.
func (t *Table) dropEmpty(keys ...string) {
	for i := len(t.Columns) - 1; i >= 0; i-- {
		if !slices.Contains(keys, t.Columns[i].Key) || slices.ContainsFunc(t.Rows, func(r Row) bool { return !r.Values[i].IsNothing() }) {
			continue
		}
		t.Columns = slices.Delete(t.Columns, i, i+1)
		for j := range t.Rows {
			t.Rows[j].Values = slices.Delete(t.Rows[j].Values, i, i+1)
		}
	}
}

// savedWords call what buying together saves.
const savedWords = "saved by buying together"

// SavedKey is the key of the row of Products that tells what buying together saves.
func SavedKey(b *cost.Batch) string { return "saved " + string(b.ID()) }

func productRow(e *cost.Estimate, b *cost.Batch, product int, amounts []amountColumn) []Value {
	p := &b.Products[product]
	values := []Value{BatchValue(b.ID()), Text(e.Products[product].Name), Text(e.Products[product].Level.String()), Count(p.Size), Count(p.Starts),
		known(p.PerUnit(p.Consumed), p.Unpriced).where(p.Size > 0)}
	return append(append(values, amountValues(amounts, p.Amounts)...), productPrice(e, b, p), productAsked(p), landedAlone(p))
}

// productPrice is the price of a unit of a product; nothing where none is paid for, or
// where the settings ask for none.
func productPrice(e *cost.Estimate, b *cost.Batch, p *cost.ProductRun) Value {
	return known(p.Charge.Price, b.Total.Unpriced).where(p.Paying > 0 && charges(e))
}

// productAsked is what each recipient of a product is asked for besides a price; nothing
// where they bear nothing.
func productAsked(p *cost.ProductRun) Value {
	each := p.Ask.Each
	if p.Paying == 0 {
		each = p.Ask.Free
	}
	return known(each, p.Ask.Unpriced).where(p.Ask.Payer != "" && p.Size > 0)
}

func landedAlone(p *cost.ProductRun) Value { return known(p.Alone.Decimal, !p.Alone.Valid) }

// BatchHead is what stands before the batches of an estimate where they head columns.
func BatchHead(e *cost.Estimate) string {
	if !several(e) {
		return "batch size"
	}
	if _, sized := e.Batches[0].ID().Size(); !sized {
		return "plan"
	}
	return "units in all"
}

// productRows add to the answer what each product costs, and what buying together saves.
func (t *Table) productRows(e *cost.Estimate) {
	row := func(key, label string, figure func(*cost.Batch) Value) {
		values := []Value{Text(label)}
		some := false
		for i := range e.Batches {
			v := figure(&e.Batches[i])
			some = some || !v.IsNothing()
			values = append(values, v)
		}
		if some {
			t.addAs(key, values...)
		}
	}
	if _, sized := e.Batches[0].ID().Size(); sized {
		row("plan", "plan", func(b *cost.Batch) Value { return Text(b.Name) })
	} else {
		row("all units", "units in all", func(b *cost.Batch) Value { return Count(b.Size).As(AsCount) })
	}
	for j, p := range e.Products {
		of := func(what string) string { return KeyProduct + " " + strconv.Itoa(j) + " " + what }
		row(of("units"), p.Name, func(b *cost.Batch) Value { return Count(b.Products[j].Size).As(AsCount) })
		row(of("unit cost"), "  unit cost", func(b *cost.Batch) Value {
			run := &b.Products[j]
			return known(run.PerUnit(run.Consumed), run.Unpriced || b.Total.Unpriced).As(AsUnitMoney(e.Currency)).where(run.Size > 0)
		})
		row(of("price"), "  price", func(b *cost.Batch) Value { return productPrice(e, b, &b.Products[j]) })
		row(of("asked"), "  charge per recipient", func(b *cost.Batch) Value { return productAsked(&b.Products[j]) })
	}
	row("saved", savedWords, func(b *cost.Batch) Value {
		saves, ok := b.Apart()
		return known(saves, !ok)
	})
}

// made tells how far an estimate's product is made; of several how many there are.
func made(e *cost.Estimate) string {
	if several(e) {
		return plural(strconv.Itoa(len(e.Products)), "product")
	}
	return "level " + e.Level.String()
}

// levelOf is how far a product is made.
func levelOf(e *cost.Estimate, product int) bom.Level {
	if !several(e) {
		return e.Level
	}
	return e.Products[product].Level
}

// startsOf is how many units of the product of a line are begun.
func startsOf(b *cost.Batch, entry *cost.Entry) int {
	if len(b.Products) < 2 {
		return b.Starts
	}
	return b.Products[entry.Product].Starts
}

// jsonProducts are the products of a batch. landed_alone is the landed cash of the purchases
// of each by itself.
func jsonProducts(e *cost.Estimate, b *cost.Batch, m money) (out []object) {
	for i, p := range bom.Refs(b.Products) {
		unpriced := p.Unpriced || b.Total.Unpriced
		var categories []object
		for c, a := range p.Categories {
			if a.Unpriced = a.Unpriced || b.Categories[c].Unpriced; a.Unpriced || !a.Value().IsZero() {
				categories = append(categories, m.category(c, a))
			}
		}
		out = append(out, append(object{
			{"product", e.Products[i].Name}, {"level", e.Products[i].Level.String()}, {"units", p.Size}, {"starts", p.Starts},
			{"consumed", m.amount(p.Consumed, unpriced)}, {"unit", m.perUnit(p.PerUnit(p.Consumed), unpriced)},
			{"total", m.amounts(p.Amounts)},
			{"categories", categories}, {"landed_alone", m.amount(p.Alone.Decimal, !p.Alone.Valid)},
		}, jsonCharge(&p.Charge, &p.Ask, p.Paying, p.Size, m, unpriced)...))
	}
	return out
}

// productColumn adds a column that names the product of a row, where there are several.
func (t *Table) productColumn(e *cost.Estimate) {
	if several(e) {
		t.column(Column{Key: "product", Heading: "Product"})
	}
}

// ofProduct adds the name of its product to a row, where there are several; −1: it is of more
// than one.
func ofProduct(e *cost.Estimate, values []Value, product int) []Value {
	switch {
	case !several(e):
		return values
	case product < 0:
		return append(values, Text("all products"))
	}
	return append(values, Text(e.Products[product].Name))
}
