package pricesheet

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Kept is how much is on hand of a part of one giver and value once a run is made.
type Kept struct {
	bom.RunLeft
	Is decimal.Decimal // pieces or grams
}

// Planned are the rows of a plan with what it leaves.
func Planned(left []bom.RunLeft) []Kept {
	return bom.Each(left, func(l *bom.RunLeft) Kept { return Kept{*l, l.Planned().Decimal()} })
}

// Carry works out what changes in the tab on hand by what is there after a run: rows that
// the run took of hold what is left, and what it bought and did not take is added to the
// row of its part, giver and unit value, else to one that is empty now, else to one of its
// own. A complaint names stock that the run took of and that has no row.
func Carry(p *bom.Prices, left []Kept, day bom.Date) (changes []RowChange, problems bom.Problems) {
	if carried(p, left) {
		return nil, nil
	}
	c := carrier{prices: p, day: day, is: map[int]decimal.Decimal{}, used: map[int]bool{}, changed: map[int]*RowChange{}}
	for _, l := range bom.Refs(left) {
		if l.Before == 0 {
			continue
		}
		row := c.rowOf(l)
		if row < 0 {
			problems.Errorf(bom.Place{File: p.Name, Sheet: bom.TabOnHand}, l.Part, "the row that the run took of, as it was planned",
				"no row holds %s of this part at %s", l.Before, l.Value)
			continue
		}
		c.set(row, l.Is)
	}
	for i := range left {
		if l := &left[i]; l.Before == 0 && l.Is.IsPositive() {
			c.add(l)
		}
	}
	for i := range p.OnHand {
		if change := c.changed[i]; change != nil {
			changes = append(changes, *change)
		}
	}
	return append(changes, c.added...), problems
}

// carried tells whether the tab says all of it already.
func carried(p *bom.Prices, left []Kept) bool {
	type key struct{ part, giver, value string }
	is, holds := map[key]decimal.Decimal{}, map[key]decimal.Decimal{}
	for _, l := range bom.Refs(left) {
		k := key{bom.Fold(cmp.Or(l.Named, l.Part)), bom.Fold(l.GivenBy), l.Value.String()}
		is[k] = is[k].Add(l.Is)
	}
	for _, oh := range bom.Refs(p.OnHand) {
		k := key{bom.Fold(oh.Part), bom.Fold(oh.GivenBy), oh.UnitValue.String()}
		holds[k] = holds[k].Add(oh.Quantity.Decimal())
	}
	for k, d := range is {
		if !holds[k].Equal(d) {
			return false
		}
	}
	return true
}

// carrier carries stock over into the tab on hand.
type carrier struct {
	prices  *bom.Prices
	day     bom.Date
	is      map[int]decimal.Decimal // what rows of the tab hold by now
	used    map[int]bool            // rows that were empty and hold something else now
	changed map[int]*RowChange
	added   []RowChange
}

// rowOf finds the row that stock was taken of: where it was read, else by part, giver and
// unit value. It gives -1 where there is none.
func (c *carrier) rowOf(l *Kept) int {
	if i := slices.IndexFunc(c.prices.OnHand, func(oh bom.OnHand) bool { return l.Head != nil && oh.At("") == l.At("") }); i >= 0 {
		return i
	}
	for i := range c.prices.OnHand {
		if same(&c.prices.OnHand[i], l) && !c.used[i] {
			return i
		}
	}
	return -1
}

func same(oh *bom.OnHand, l *Kept) bool {
	return bom.Fold(oh.Part) == bom.Fold(cmp.Or(l.Named, l.Part)) && bom.Fold(oh.GivenBy) == bom.Fold(l.GivenBy) && oh.UnitValue.Equal(l.Value)
}

// holds is how much a row holds by now.
func (c *carrier) holds(row int) decimal.Decimal {
	if d, ok := c.is[row]; ok {
		return d
	}
	return c.prices.OnHand[row].Quantity.Decimal()
}

// set has a row hold so much.
func (c *carrier) set(row int, quantity decimal.Decimal) *RowChange {
	if c.is[row] = quantity; c.changed[row] == nil {
		c.changed[row] = &RowChange{Row: c.prices.OnHand[row].Row, Cells: c.dated(map[string]Value{})}
	}
	c.changed[row].Cells["Quantity"] = Value{Kind: Number, Number: short(quantity)}
	return c.changed[row]
}

func (c *carrier) dated(cells map[string]Value) map[string]Value {
	if !c.day.IsZero() {
		cells["As of"] = Value{Kind: Date, Date: c.day}
	}
	return cells
}

// add puts what was bought and not taken into the tab.
func (c *carrier) add(l *Kept) {
	row := c.rowOf(l)
	if row >= 0 {
		c.set(row, c.holds(row).Add(l.Is))
		return
	}
	cells := c.dated(map[string]Value{"Part number": {Kind: Text, Text: l.Part}, "Quantity": {Kind: Number, Number: short(l.Is)}, "Unit value": {Kind: Number, Number: l.Value},
		"Given by": {}})
	if l.GivenBy != "" {
		cells["Given by"] = Value{Kind: Text, Text: l.GivenBy}
	}
	for i := range c.prices.OnHand {
		if oh := &c.prices.OnHand[i]; bom.Fold(oh.Part) == bom.Fold(l.Part) && c.holds(i).IsZero() && !c.used[i] {
			change := c.set(i, l.Is)
			delete(cells, "Part number")
			cells["Note"] = Value{} // is about what is gone
			change.Cells, c.used[i] = cells, true
			return
		}
	}
	for i := range c.added {
		had := c.added[i].Cells
		if bom.Fold(had["Part number"].Text) == bom.Fold(l.Part) && bom.Fold(had["Given by"].Text) == bom.Fold(l.GivenBy) && had["Unit value"].Number.Equal(l.Value) {
			had["Quantity"] = Value{Kind: Number, Number: had["Quantity"].Number.Add(l.Is)}
			return
		}
	}
	c.added = append(c.added, RowChange{Cells: cells})
}

// short is a figure without zeros at its end.
func short(d decimal.Decimal) decimal.Decimal { return decimal.RequireFromString(d.String()) }

// LastOnHand is the last row of the tab on hand that holds data, 0 where none does.
func LastOnHand(p *bom.Prices) int {
	last := 0
	for i := range p.OnHand {
		last = max(last, p.OnHand[i].Row)
	}
	return last
}
