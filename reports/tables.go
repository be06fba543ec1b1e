package reports

import (
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// Tables lays out every sheet of an estimate, in the order in which they are
// shown. Tables to which the run gives no rows are there all the same.
func Tables(r *Report) []Table {
	e := r.Estimate
	return []Table{
		UnitCost(e), Products(e), ProductCosts(e), Charge(r), BreakEven(r), BatchCost(e), Lines(e), Parts(e), ToBuy(e), Orders(e), Boards(e), Makings(e), ToPrint(e), Spools(e), Work(e), Plan(e),
		PickList(e), Cutting(e), FitOrder(e), Screws(e), Bags(e), Fees(e), Parcel(e), WhoPays(e), Surplus(e), RunningOut(e),
		Levels(r), Sweep(r), Jumps(r), Chances(r), Spreads(r),
		Swaps(e), RuleCosts(r), OtherOffers(e), OtherSuppliers(e),
		Offers(e), Suppliers(e), PricesUsed(e), Warnings(e),
	}
}

// batchColumn is the leading column of tables with one row for each batch and
// thing.
var batchColumn = columns(Column{Format: AsCount}, "batch")

// BatchValue is what stands in that column: the size of a batch, or the name of its plan.
func BatchValue(id cost.BatchID) Value {
	if size, ok := id.Size(); ok {
		return Count(size)
	}
	return Text(string(id))
}

// unitsOf is a batch in a sentence: "40 units", or the name of its plan.
func unitsOf(id cost.BatchID) string {
	if size, ok := id.Size(); ok {
		return Counted(size, "unit")
	}
	return string(id)
}

// PerBatch adds columns that stand once for each batch size.
func (t *Table) PerBatch(e *cost.Estimate, columns ...Column) {
	for _, b := range e.Batches {
		for _, c := range columns {
			c.Batch = b.ID()
			t.column(c)
		}
	}
}

// row adds a row that says something of each batch; what stands before that is what it is
// about.
func (t *Table) row(e *cost.Estimate, role Role, key string, about []string, figure func(*cost.Batch) Value) {
	values := bom.Each(about, func(s *string) Value { return Text(*s) })
	t.addRow(Row{Key: key, Role: role, Values: append(values, bom.Each(e.Batches, figure)...)})
}

// addTotal adds the row that sums the rows of a batch, where it has any; figures, by the
// keys of columns, stand where rows are not added up.
func (t *Table) addTotal(b *cost.Batch, figures map[string]Value) {
	batch := BatchValue(b.ID()).Exact(AsCount)
	rows := slices.DeleteFunc(slices.Clone(t.Rows), func(r Row) bool { return r.Role != Body || r.Values[0].Exact(AsCount) != batch })
	if len(rows) == 0 {
		return
	}
	total := Row{Key: TotalKey(b.ID()), Role: Total, Values: make([]Value, len(t.Columns))}
	for i, c := range t.Columns {
		total.Values[i] = figures[c.Key]
		if c.Sum {
			var all sum
			for _, r := range rows {
				d, _ := r.Values[i].Decimal()
				all.add(d, r.Values[i].IsUnknown())
			}
			total.Values[i] = all.value()
		}
	}
	total.Values[0] = BatchValue(b.ID())
	t.addRow(total)
}

// totalsLast moves the totals of batches below all other rows.
func (t *Table) totalsLast() {
	slices.SortStableFunc(t.Rows, func(a, b Row) int { return bom.TrueFirst(a.Role == Body, b.Role == Body) })
}

// TotalKey is the key of the row that sums the rows of one batch.
func TotalKey(batch cost.BatchID) string { return "total " + string(batch) }

// RowKey is the key of the row that stands for the i-th of one kind of thing in
// a batch; without one where it stands for all.
func RowKey(what string, batch cost.BatchID, i int) string {
	return what + " " + string(batch) + " " + strconv.Itoa(i)
}

// What the rows of tables stand for, in their keys: the index is that of the
// thing in its batch, or in the estimate.
const (
	KeyLine   = "line"
	KeyPart   = "part"
	KeyBoard  = "board"
	KeyBuy    = "buy"
	KeyOrder  = "order" // index of the supplier in the terms
	KeyPlate  = "plate"
	KeyWork   = "work"
	KeyTask   = "task"
	KeyFee    = "fee"
	KeyParcel = "parcel"
	KeySource = "source"
	KeyQuote  = "quote"
	KeyTerms  = "supplier"
	KeyBreak  = "break" // index of the break among all breaks
)

// sum adds up money that may be unknown.
type sum struct {
	money   decimal.Decimal
	unknown bool
}

func (s *sum) add(d decimal.Decimal, unpriced bool) {
	s.money = s.money.Add(d)
	s.unknown = s.unknown || unpriced
}

func (s sum) value() Value { return known(s.money, s.unknown) }
