package pricesheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// OneOffs works out what changes in the tab one-off by a run of so many good units: a cost that is
// spread is paid, and they have borne their part of it. Charges are those of the run.
func OneOffs(p *bom.Prices, charges []bom.RunCharge, good decimal.Decimal) (changes []RowChange, last int) {
	for i := range p.OneOffs {
		o := &p.OneOffs[i]
		last = max(last, o.Row)
		for _, c := range charges {
			if c.Over > 0 && bom.Fold(c.What) == bom.Fold(o.What) && c.Before == o.UnitsBefore {
				changes = append(changes, RowChange{Row: o.Row, Cells: map[string]Value{
					"Units before": {Kind: Number, Number: good.Add(decimal.NewFromInt(c.Before))}, "Paid already": {Kind: Text, Text: "yes"}}})
				break
			}
		}
	}
	return changes, last
}
