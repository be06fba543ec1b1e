package sheet

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// limits are what both ends of a range have to keep to besides lying on either
// side of the figure; the zero value asks nothing.
type limits struct {
	over  bool            // over 0
	under decimal.Decimal // under this; 0: no limit
	most  decimal.Decimal // at most this; 0: no limit
}

// settingLimits are those of the settings that are drawn.
var settingLimits = map[string]limits{"Unit yield %": {over: true, most: hundred}}

// bounds reads how far a figure may turn out otherwise, and checks that the
// lowest and the highest lie on either side of it.
func (d *decoder) bounds(form bom.Form, value, low, high bom.Cell, l limits) bom.Range {
	if low.Blank() && high.Blank() {
		return bom.Range{}
	}
	quiet := *d
	quiet.problems = &bom.Problems{} // the figure has been complained of, or will be
	v, known := quiet.figure(value, form)
	least, hasLeast := d.figure(low, form)
	most, hasMost := d.figure(high, form)
	if known && hasLeast && least.Value.GreaterThan(v.Value) {
		d.wrong(low, "no more than the value, "+v.Value.String(), "lowest is over the value")
		hasLeast = false
	}
	if known && hasMost && most.Value.LessThan(v.Value) {
		d.wrong(high, "no less than the value, "+v.Value.String(), "highest is under the value")
		hasMost = false
	}
	return bom.Range{Least: rangeEnd(d, low, least, hasLeast, l), Most: rangeEnd(d, high, most, hasMost, l)}
}

// rangeEnd checks one end of a range against its limits.
func rangeEnd(d *decoder, c bom.Cell, f bom.Figure, given bool, l limits) decimal.NullDecimal {
	switch {
	case !given:
		return decimal.NullDecimal{}
	case l.over && f.Value.IsZero():
		d.wrong(c, "a number over 0", "0 at the end of a range")
	case l.under.IsPositive() && f.Value.GreaterThanOrEqual(l.under):
		d.wrong(c, "a figure under "+l.under.String(), "out of range")
	case l.most.IsPositive() && f.Value.GreaterThan(l.most):
		d.wrong(c, "a figure up to "+l.most.String(), "out of range")
	default:
		return decimal.NewNullDecimal(f.Value)
	}
	return decimal.NullDecimal{}
}

// orZero is a figure that counts as 0 where it is blank.
func orZero(c bom.Cell) bom.Cell {
	if c.Blank() {
		c.Kind, c.Text = bom.Native, "0"
	}
	return c
}
