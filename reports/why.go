package reports

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// OtherOffers tells for each part what it is bought from, what the next best
// would be, and what that would cost.
func OtherOffers(e *cost.Estimate) Table {
	t := Table{
		Name:  "Second sources",
		Title: "what each part is bought from, and what its second source would cost",
		Notes: []string{"more: on the whole run, its purchases planned anew"},
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("part", "chosen: Bought from", "next: Second source"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)}, "more"),
		),
	}
	alone := map[string][]string{} // parts with no other source -> the batches
	for _, b := range e.Batches {
		none := 0
		for _, o := range b.Why.Parts {
			if o.Next == "" {
				none++
				continue
			}
			t.add(BatchValue(b.ID()), Text(o.Part), Text(o.Chosen), Text(o.Next), Number(o.More))
			t.unsure(e.Currency, "batch "+b.ID().Shown()+", "+o.Part, o.OffBy)
		}
		if none > 0 {
			t.add(BatchValue(b.ID()), Text(Counted(none, "part")), Nothing(), Text("no other source"), Nothing())
			parts := NoOtherSource(&b)
			alone[parts] = append(alone[parts], b.ID().Shown())
		}
	}
	for _, b := range e.Batches {
		parts := NoOtherSource(&b)
		if batches := alone[parts]; parts != "" && batches[0] == b.ID().Shown() {
			t.note("no other source, batch " + strings.Join(batches, ", ") + ": " + parts)
		}
	}
	return t
}

// NoOtherSource lists the parts of a batch that nobody else offers enough of.
func NoOtherSource(b *cost.Batch) string {
	var parts []string
	for _, o := range b.Why.Parts {
		if o.Next == "" {
			parts = append(parts, o.Part)
		}
	}
	return strings.Join(parts, ", ")
}

// neededShown is how many parts a supplier is the only source of until they are counted: the
// second sources have named them.
const neededShown = 3

// OtherSuppliers tells what leaving out each supplier would cost.
func OtherSuppliers(e *cost.Estimate) Table {
	t := Table{
		Name:  "Suppliers left out",
		Title: "what buying no parts from a supplier would cost",
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("supplier"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)}, "more"),
			plain("but"),
		),
	}
	for _, b := range e.Batches {
		for _, o := range b.Why.Suppliers {
			if len(o.Needed) > 0 {
				needed := strings.Join(o.Needed, ", ")
				if len(o.Needed) > neededShown {
					needed = Counted(len(o.Needed), "part")
				}
				t.add(BatchValue(b.ID()), Text(o.Supplier), Nothing(), Text("no other source: "+needed))
				continue
			}
			t.add(BatchValue(b.ID()), Text(o.Supplier), Number(o.More), Nothing())
			t.unsure(e.Currency, "batch "+b.ID().Shown()+", "+o.Supplier, o.OffBy)
		}
	}
	return t
}

// unsure notes by how much a figure can be off, where a plan is not proven.
func (t *Table) unsure(in bom.Currency, what string, offBy decimal.Decimal) {
	if offBy.IsPositive() {
		t.note(what + ": may be off by up to " + Number(offBy).Shown(AsMoney(in)) + " " + in.Code + ", as its purchases are not proven to be the cheapest")
	}
}
