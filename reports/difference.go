package reports

import (
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/revision"
)

// Rows of Difference beneath the steps.
const (
	RowChange = "change"
	RowOld    = "old"
	RowNew    = "new"
)

// Difference lays out what each change between two runs costs, step by step.
// Every column of money adds up to the last digit, but those of one unit, whose figures
// are rounded one by one.
func Difference(r *revision.Comparison) Table {
	code, perUnit, money := r.Currency.Code, AsUnitMoney(r.Currency), AsMoney(r.Currency)
	t := Table{
		Name:  "Difference",
		Title: "what each change does to the unit cost and to what the batch costs, one by one",
		Notes: []string{
			"order: new names in the price sheet; lines removed, added, changed; prices changed; names gone from the price sheet",
			"a change costs what it does after those above it; several in one step can only be bought together",
		},
		Lead:    2,
		Columns: plain("kind: Change", "what", "from", "to"),
	}
	for _, id := range r.IDs {
		t.column(Column{Key: "unit", Heading: "unit cost", Unit: code, Batch: id, Format: perUnit},
			Column{Key: "consumed", Heading: "consumed", Unit: code, Batch: id, Format: money})
	}
	for _, s := range r.Steps {
		var kinds, what, from, to []string
		for _, c := range s.Changes {
			if k := c.Kind.String(); len(kinds) == 0 || kinds[len(kinds)-1] != k {
				kinds = append(kinds, k)
			}
			_, part, _ := strings.Cut(c.What, ": ")
			if !slices.Contains(what, c.What) && !slices.Contains(what, part) { // each part once
				what = append(what, c.What)
			}
			from, to = append(from, c.From), append(to, c.To)
		}
		values := []Value{Text(strings.Join(kinds, ", ")), Text(strings.Join(what, "; ")), Text(joinNotes(from...)), Text(joinNotes(to...))}
		for _, c := range s.Costs {
			values = append(values, Number(c.Unit), Number(c.Consumed))
		}
		t.add(values...)
	}
	t.sums(r)
	t.offBy(r)
	t.moved(r)
	if len(r.Steps) == 0 {
		t.note("nothing differs that a cost rests on")
	}
	return t
}

// offBy notes which steps and sums rest on purchases that are not proven, and by
// how much they can be off.
func (t *Table) offBy(r *revision.Comparison) {
	for k, s := range r.Steps {
		for i, c := range s.Costs {
			t.unsure(r.Currency, "change "+strconv.Itoa(k+1)+", batch "+string(r.IDs[i]), c.OffBy)
		}
	}
	for i, id := range r.IDs {
		of := ", batch " + string(id)
		t.unsure(r.Currency, "change"+of, offByOfChange(r, i))
		t.unsure(r.Currency, "old"+of, r.Old[i].OffBy)
		t.unsure(r.Currency, "new"+of, r.New[i].OffBy)
	}
}

// offByOfChange is how far the whole change to a batch can be off, either way.
func offByOfChange(r *revision.Comparison, i int) decimal.Decimal {
	return decimal.Max(r.Old[i].OffBy, r.New[i].OffBy)
}

// moved notes which batches are ready on another day than before, which no column of money
// shows.
func (t *Table) moved(r *revision.Comparison) {
	for i, id := range r.IDs {
		was, is := readyAt(r.Today, &r.Old[i].Plan), readyAt(r.Today, &r.New[i].Plan)
		if was != is {
			t.note("batch " + id.Shown() + ": " + is + "; without the changes " + was)
		}
	}
}

// sums adds the whole change, and the costs before and after.
func (t *Table) sums(r *revision.Comparison) {
	row := func(role Role, key string, used func(i int) decimal.Decimal) {
		values := []Value{Text(key), Nothing(), Nothing(), Nothing()}
		for i, size := range r.Batches {
			values = append(values, Number(cost.PerUnit(used(i), size)), Number(used(i)))
		}
		t.addRow(Row{Key: key, Role: role, Values: values})
	}
	row(Total, RowChange, func(i int) decimal.Decimal { return r.New[i].Consumed.Sub(r.Old[i].Consumed) })
	row(Figure, RowOld, func(i int) decimal.Decimal { return r.Old[i].Consumed })
	row(Figure, RowNew, func(i int) decimal.Decimal { return r.New[i].Consumed })
}

// DifferenceSchema names the shape of the JSON that WriteDifferenceJSON writes.
const DifferenceSchema = "tenoff-difference-1"

// WriteDifferenceJSON writes what each change costs for programs. The steps stand
// in the order in which they are applied; for each batch their consumed and cash
// add up to the change, to the last digit. Money is a string in home currency, of a
// unit with four decimals, each rounded by itself; off_by, of the cash, is there where
// purchases are not proven. old and new say when the batch is ready, as the plan of an
// estimate does.
func WriteDifferenceJSON(w io.Writer, r *revision.Comparison, warnings []string) error {
	m := money(r.Currency)
	costs := func(unit, used, cash, offBy decimal.Decimal) object {
		return object{{"unit", m.perUnit(unit, false)}, {"consumed", m.amount(used, false)},
			{"cash", m.amount(cash, false)}, {"off_by", ifGiven(m.offBy(offBy))}}
	}
	var batches []object
	for i, size := range r.Batches {
		was, is := r.Old[i], r.New[i]
		of := func(used, cash, off decimal.Decimal) object { return costs(cost.PerUnit(used, size), used, cash, off) }
		run := func(c cost.Costs) object {
			return append(of(c.Consumed, c.Cash, c.OffBy), jsonDay(c.Plan.Day(), c.Plan.Known, r.Today)...)
		}
		batches = append(batches, append(jsonID(size, r.IDs[i]), object{{"old", run(was)}, {"new", run(is)},
			{"change", of(is.Consumed.Sub(was.Consumed), is.Cash.Sub(was.Cash), offByOfChange(r, i))}}...))
	}
	steps := bom.Each(r.Steps, func(s *revision.Step) object {
		var each []object
		for j, c := range s.Costs {
			each = append(each, append(jsonID(r.Batches[j], r.IDs[j]), costs(c.Unit, c.Consumed, c.Cash, c.OffBy)...))
		}
		return object{{"changes", bom.Each(s.Changes, func(c *revision.LineChange) object {
			return object{{"kind", c.Kind.String()}, {"what", c.What}, {"from", c.From}, {"to", c.To}}
		})}, {"costs", each}}
	})
	return writeJSON(w, object{{"schema", DifferenceSchema}, {"currency", r.Currency.Code}, {"batches", batches},
		{"steps", steps}, {"warnings", warnings}})
}

// IsDifferenceJSON tells whether the bytes are a difference that
// WriteDifferenceJSON wrote, of any schema number.
func IsDifferenceJSON(data []byte) bool { return hasSchema(data, "tenoff-difference-") }

// IsDifference tells whether the bytes start with the heading row of Difference,
// whatever the currency and the batch sizes.
func IsDifference(data []byte) bool {
	found, ok := firstShape(data)
	t := Difference(&revision.Comparison{
		Currency: bom.Currency{Code: "XXX"}, Batches: []int{1}, IDs: []cost.BatchID{"1"}, Old: make([]cost.Costs, 1), New: make([]cost.Costs, 1),
	})
	return ok && slices.Equal(found, headingShape(t.headings()))
}
