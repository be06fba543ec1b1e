package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// Keys of the columns of Sweep that are drawn.
const (
	ColumnBatch    = "batch"
	ColumnUnit     = "unit cost"
	ColumnCashUnit = "cash per unit"
)

// SweepName is the name of the table Sweep.
const SweepName = "Sweep"

// Sweep is what one unit costs at every batch size of a range, one row for
// each. Without a sweep it has no rows.
func Sweep(r *Report) Table {
	e := r.Estimate
	code, perUnit, money := e.Currency.Code, AsUnitMoney(e.Currency), AsMoney(e.Currency)
	t := Table{
		Name:  SweepName,
		Title: "what one unit costs at every batch size",
		Notes: CurveNotes(r),
		Lead:  1,
		Columns: slices.Concat(
			columns(Column{Format: AsCount}, ColumnBatch),
			columns(Column{Unit: code, Format: perUnit}, ColumnUnit, ColumnCashUnit),
			columns(Column{Unit: code, Format: money}, "cash: Cash out", "surplus: Surplus stock"),
			columns(Column{Format: AsCount}, "starts: Units to start"),
		),
	}
	for _, c := range cost.Categories {
		t.column(Column{Key: c.String(), Heading: c.String() + " per unit", Unit: code, Format: perUnit})
	}
	if r.Curve == nil {
		return t
	}
	unsure := r.Curve.Unproven() > 0
	if unsure {
		t.column(Column{Key: "off by", Heading: "Over the cheapest by up to", Unit: code, Format: money})
	}
	for _, p := range bom.Refs(r.Curve.Points) {
		unknown := p.Total.Unpriced
		values := []Value{
			Count(p.Size), known(p.PerUnit(p.Total.Consumed), unknown), known(p.PerUnit(p.Total.Cash), unknown),
			known(p.Total.Cash, unknown), known(p.Total.Surplus, unknown), Count(p.Starts),
		}
		values = append(values, bom.Each(p.Categories[:], func(a *cost.Amounts) Value { return known(p.PerUnit(a.Consumed), a.Unpriced) })...)
		if unsure {
			values = append(values, known(p.OffBy, unknown))
		}
		t.addRow(Row{Key: strconv.Itoa(p.Size), Values: values})
	}
	return t
}

// Jumps is where the cash of a batch jumps from one size to the next, and why.
// Small ones are counted in a note.
func Jumps(r *Report) Table {
	e := r.Estimate
	t := Table{
		Name:  "Cost steps",
		Title: "cost steps: where packs, price breaks, lots, spools and charges raise or lower the cash from one batch size to the next",
		Notes: []string{
			"cash: what the item itself costs more (or less), for an order its charges alone; a spare costs nothing by itself, its parts are spread over the batch",
		},
		Lead: 1,
		Columns: slices.Concat(
			batchColumn, plain("kind", "what", "from", "to"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)}, "cash: More cash"),
		),
	}
	if r.Curve == nil {
		return t
	}
	large, small := r.Curve.LargeJumps()
	if small > 0 {
		t.note("not listed: " + Counted(small, "cost step") + " of less than half a percent of the cash of their batch")
	}
	for _, j := range large {
		t.addJump(j)
	}
	return t
}

func (t *Table) addJump(j sweep.Jump) {
	t.add(Count(j.Size), Text(j.Kind.String()), Text(j.What), Text(j.From), Text(j.To), Number(j.Cash).where(j.Kind != sweep.NewSpare))
}

// LargestJumps is Jumps with no more than the largest few, which still stand by
// batch size.
func LargestJumps(r *Report, few int) Table {
	t := Jumps(r)
	if len(t.Rows) <= few {
		return t
	}
	jumps, _ := r.Curve.LargeJumps()
	slices.SortStableFunc(jumps, func(a, b sweep.Jump) int { return b.Cash.Abs().Cmp(a.Cash.Abs()) })
	jumps = jumps[:few]
	slices.SortStableFunc(jumps, func(a, b sweep.Jump) int { return cmp.Compare(a.Size, b.Size) })
	t.Title = fmt.Sprintf("the %d largest cost steps from one batch size to the next", few)
	t.Rows, t.Notes = nil, nil
	for _, j := range jumps {
		t.addJump(j)
	}
	return t
}

// CurveNotes say in words what the curve shows: the lowest unit cost, better
// sizes near each batch of the run, where the target is met, and where the
// curve flattens.
func CurveNotes(r *Report) []string {
	e := r.Estimate
	c := r.Curve
	if c == nil {
		return nil
	}
	lowest := c.Lowest()
	if lowest == nil {
		return []string{"no size of the sweep has a price"}
	}
	lead := "lowest unit cost"
	if several(e) {
		lead = "lowest average unit cost"
	}
	notes := []string{fmt.Sprintf(lead+": %s %s, at %s", e.Currency.Shown(lowest.PerUnit(lowest.Total.Consumed)), e.Currency.Code, ShownCount(lowest.Size))}
	for i := range e.Batches {
		notes = append(notes, nearNotes(r, r.Batches[i].Size)...)
	}
	for i, target := range c.Targets {
		if target.IsPositive() {
			notes = append(notes, targetNote(r, i, target))
		}
	}
	if n := c.Unproven(); n > 0 {
		notes = append(notes, fmt.Sprintf("the purchases of %d of %d sizes are not proven to be the cheapest: these sizes may cost up to %s %s less, and cost steps may differ by as much",
			n, len(c.Points), e.Currency.Shown(c.OffBy()), e.Currency.Code))
	}
	return append(notes, flatNote(c))
}

func nearNotes(r *Report, wanted int) []string {
	e := r.Estimate
	if r.Curve.At(wanted) == nil {
		return []string{fmt.Sprintf("%s is not among the sizes of the sweep that have a price", ShownCount(wanted))}
	}
	near := r.Curve.Near(wanted)
	if len(near) == 0 {
		return []string{fmt.Sprintf("no size within a quarter of %s is much better value", ShownCount(wanted))}
	}
	var notes []string
	for _, n := range near {
		usual := n.Usual.Mul(decimal.NewFromInt(int64(n.Size - wanted))).Abs()
		does := "costs " + e.Currency.Shown(n.Cash) + " more"
		switch {
		case n.Cash.IsZero():
			does = "costs no more"
		case n.Cash.IsNegative():
			does = "costs " + e.Currency.Shown(n.Cash.Abs()) + " less"
		}
		notes = append(notes, fmt.Sprintf("%s instead of %s %s in all (usually the difference is %s there)", ShownCount(n.Size), ShownCount(wanted), does, e.Currency.Shown(usual)))
	}
	return notes
}

// targetNote tells where the target of a product is met, and of how many sizes it is not
// known.
func targetNote(r *Report, product int, target decimal.Decimal) string {
	e := r.Estimate
	c := r.Curve
	note := Number(target).Shown(AsPrice(e.Currency)) + " " + e.Currency.Code + " per unit: "
	if several(e) {
		note = e.Products[product].Name + ", " + note
	}
	last, unknown := c.Priced()
	note += coverText(c.Under(product, target), last)
	if unknown > 0 {
		note += fmt.Sprintf("; not known for %s of %s sizes, which cannot be bought", ShownCount(unknown), ShownCount(len(c.Points)))
	}
	return note
}

func flatNote(c *sweep.Curve) string {
	flat := c.Flat()
	if flat == 0 {
		return fmt.Sprintf("the sweep does not reach the sizes from which making twice as many takes less than %d %% off the unit cost", sweep.FlatPercent)
	}
	return fmt.Sprintf("from %s on the curve is flat: making twice as many takes less than %d %% off the unit cost", ShownCount(flat), sweep.FlatPercent)
}
