package cost

import (
	"math/bits"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// attritionClass maps a class of line to the rows of the tab attrition, which
// knows fewer.
var attritionClass = map[string]string{
	classSMT: classSMT, classTHT: classTHT,
	classFastener: classFastener, classInsert: classFastener,
	classPacking: classPacking,
	classWire:    classOther, classOther: classOther,
}

// findAllowances finds the row of attrition for each part: the row that names the
// package wins over the one for any package, and of several that name it the one
// that says most of it (QFN-16 before QFN). Packages are compared by what they
// are, not by their spelling. A part that is used in two ways gets the row of its
// first line that has one.
func findAllowances(m *Model) {
	type rowKey struct{ class, pkg string }
	type row struct {
		*bom.Allowance
		percent int64
	}
	rows := map[rowKey]row{}
	for i := range m.prices.Allowances {
		a := &m.prices.Allowances[i]
		rows[rowKey{a.AppliesTo, bom.ReadPackage(a.Package).Key}] = row{a, scaledPercent(a.Percent)}
	}
	packages := map[string][]string{} // keys of those met so far: lines share a few
	find := func(class, pkg string) (row, bool) {
		keys, met := packages[pkg]
		if !met {
			keys = append(bom.ReadPackage(pkg).Keys(), "")
			packages[pkg] = keys
		}
		for _, key := range keys {
			if a, ok := rows[rowKey{class, key}]; ok {
				return a, true
			}
		}
		return row{}, false
	}
	for i := range m.parts {
		for _, e := range m.parts[i].Entries {
			l := m.entries[e].Line
			a, ok := find(attritionClass[classOf(l)], l.Package)
			if ok && m.parts[i].Unit != grams {
				m.parts[i].allowance, m.parts[i].percent = a.Allowance, a.percent
				break
			}
		}
	}
}

// allowanceOver is max(ceil(need × percent), pieces), or what lacks to the least that is
// supplied in all where that is more; nothing is allowed over no need.
func (p *part) allowanceOver(need bom.Quantity) bom.Quantity {
	if p.allowance == nil || need == 0 {
		return 0
	}
	return max(p.spareOf(need), bom.Whole(p.allowance.AtLeast)-need)
}

// spareOf is max(ceil(need × percent), pieces).
func (p *part) spareOf(need bom.Quantity) bom.Quantity {
	if p.allowance == nil || need == 0 {
		return 0
	}
	return max(bom.Whole(ceilPercent(need, p.percent)), bom.Whole(p.allowance.Pieces))
}

// percentScale holds a percentage in whole millionths.
const percentScale = 1_000_000

// scaledPercent is a percentage in millionths. One with more than six decimals,
// which no allowance has, is rounded up to them.
func scaledPercent(percent decimal.Decimal) int64 { return percent.Shift(6).Ceil().IntPart() }

// ceilPercent is the whole number of pieces that hold a percentage, in
// millionths, of q.
func ceilPercent(q bom.Quantity, percent int64) int64 {
	hi, lo := bits.Mul64(uint64(q), uint64(percent))
	const whole = uint64(bom.One) * 100 * percentScale
	quo, rem := bits.Div64(hi, lo, whole)
	if rem > 0 {
		quo++
	}
	return int64(quo)
}
