package reports

import (
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/cost"
)

// Tables lays out every sheet of an estimate, in the order in which they are
// shown. Tables to which the run gives no rows are there all the same.
func Tables(e *cost.Estimate) []Table {
	return []Table{
		UnitCost(e), Products(e), Charge(e), BreakEven(e), BatchCost(e), Lines(e), Parts(e), ToBuy(e), Orders(e), Boards(e), Makings(e), ToPrint(e), Spools(e), Work(e), Plan(e),
		PickList(e), Cutting(e), FitOrder(e), Screws(e), Bags(e), Fees(e), Parcel(e), WhoPays(e), Surplus(e), RunningOut(e),
		Levels(e), Sweep(e), Jumps(e), Chances(e), Spreads(e),
		Swaps(e), RuleCosts(e), OtherOffers(e), OtherSuppliers(e), WaysOut(e.Shortages, e.Currency, e.Today),
		Offers(e), Suppliers(e), PricesUsed(e), Warnings(e),
	}
}

// batchColumn is the leading column of tables with one row for each batch and
// thing.
var batchColumn = Column{Key: "batch", Heading: "Batch", Format: AsCount}

// perBatch adds columns that stand once for each batch size.
func (t *Table) perBatch(e *cost.Estimate, columns ...Column) {
	for _, b := range e.Batches {
		for _, c := range columns {
			c.Batch = b.Size
			t.column(c)
		}
	}
}

// totalKey is the key of the row that sums the rows of one batch.
func totalKey(size int) string { return "total " + strconv.Itoa(size) }

// RowKey is the key of the row that stands for the i-th of one kind of thing in
// a batch; size 0 where it stands for all batches.
func RowKey(what string, size, i int) string {
	return what + " " + strconv.Itoa(size) + " " + strconv.Itoa(i)
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
