package reports

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// LeftOver is what stays behind as stock after a batch, and what the batch
// took from the drawer.
func LeftOver(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Left over",
		Title: "what is left over, and what came from the drawer",
		Notes: []string{"demand: what had to be bought, spares included; left over = bought − demand"},
		Lead:  3,
		Columns: []Column{
			batchColumn,
			{Key: "what", Heading: "What"},
			{Key: "description", Heading: "Description"},
			{Key: "counted in", Heading: "Counted in"},
			{Key: "demand", Heading: "Demand", Format: AsQuantity},
			{Key: "bought", Heading: "Bought", Format: AsQuantity},
			{Key: "left", Heading: "Left over", Format: AsQuantity},
			{Key: "leftover", Heading: "Left over", Unit: code, Format: money},
			{Key: "on hand", Heading: "From the drawer", Format: AsQuantity},
			{Key: "drawer", Heading: "From the drawer", Unit: code, Format: money},
		},
	}
	var totals []Row
	for i := range e.Batches {
		b := &e.Batches[i]
		for _, s := range append(boardStock(e, b), partStock(e, b)...) {
			if s.moves() {
				t.addAs(s.key, s.row(b.Size)...)
			}
		}
		values := blanks(len(t.Columns))
		values[0], values[1] = Count(b.Size), Text("in all")
		values[7], values[9] = known(b.Total.Leftover, b.Total.Unpriced), known(b.Total.Drawer, b.Total.Unpriced)
		totals = append(totals, Row{Key: totalKey(b.Size), Role: Total, Values: values})
	}
	if len(t.Rows) > 0 {
		t.Rows = append(t.Rows, totals...)
	}
	return t
}

// stock is one thing that is kept in stock, over one batch.
type stock struct {
	key                     string // of its row
	name, description, unit string
	demand, bought, onHand  bom.Quantity
	leftover, drawer        decimal.Decimal
	unpriced                bool
}

// moves tells whether something is left over or came from the drawer.
func (s stock) moves() bool {
	return s.unpriced || s.bought != s.demand || s.onHand != 0 || !s.leftover.IsZero() || !s.drawer.IsZero()
}

func (s stock) row(size int) []Value {
	values := []Value{Count(size), Text(s.name), Text(s.description), Text(s.unit), Quantity(s.demand)}
	if s.unpriced {
		return append(values, Unknown(), Unknown(), Unknown(), Quantity(s.onHand), Unknown())
	}
	return append(values, Quantity(s.bought), Quantity(s.bought-s.demand), Number(s.leftover),
		Quantity(s.onHand), Number(s.drawer))
}

func partStock(e *cost.Estimate, b *cost.Batch) []stock {
	all := make([]stock, len(b.Parts))
	for i, r := range b.Parts {
		p := e.Parts[i]
		all[i] = stock{key: RowKey(KeyPart, b.Size, i), name: p.Key, description: partName(e, p), unit: p.Unit, demand: r.Demand, bought: r.Bought,
			onHand: r.OnHand, leftover: r.Leftover, drawer: r.Drawer, unpriced: r.Unpriced}
	}
	return all
}

func boardStock(e *cost.Estimate, b *cost.Batch) []stock {
	all := make([]stock, len(b.Boards))
	for i, r := range b.Boards {
		all[i] = stock{key: RowKey(KeyBoard, b.Size, i), name: e.Boards[i].Name, description: cost.Lots, unit: "boards",
			demand: bom.Whole(int64(r.Starts - r.OnHand)), bought: bom.Whole(int64(r.Bought)), onHand: bom.Whole(int64(r.OnHand)),
			leftover: r.Leftover, drawer: r.Drawer, unpriced: r.Unpriced}
	}
	return all
}
