package reports

import "tenoff/cost"

// Required lists what each batch takes of every part, board and material, allowances
// included and stock on hand taken off: the shopping list of a run without prices.
func Required(e *cost.Estimate) Table {
	t := Table{
		Name:    "Required",
		Title:   "required, spares included",
		Lead:    2,
		Columns: plain("part", "description"),
	}
	t.PerBatch(e, Column{Key: "required", Heading: "required", Format: AsQuantity})
	type key struct{ kind, part string }
	rows := map[key]int{}
	for i := range e.Batches {
		for _, p := range e.Batches[i].Purchases {
			k := key{p.Kind, p.Part}
			at, ok := rows[k]
			if !ok {
				at = len(t.Rows)
				rows[k] = at
				what := stockName(e, p)
				if p.Kind == cost.Filament {
					what += ", g"
				}
				t.add(append([]Value{Text(p.Part), Text(what)}, blanks(len(e.Batches))...)...)
			}
			t.Rows[at].Values[2+i] = Quantity(p.Demand)
			if p.Kind == cost.Filament {
				t.Rows[at].Values[2+i] = Quantity(p.Demand).As(AsGrams)
			}
		}
	}
	return t
}
