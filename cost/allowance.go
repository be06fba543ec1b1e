package cost

import (
	"math/bits"
	"slices"

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
// are, not by their spelling. A part that is used in two ways has the row of each, and
// the greatest allowance counts, in whatever order its lines stand; none is wanted for
// lines that the assembler's price holds.
func findAllowances(m *Model) {
	type rowKey struct{ class, pkg string }
	rows := map[rowKey]allowance{}
	for _, a := range bom.Refs(m.prices.Allowances) {
		rows[rowKey{a.AppliesTo, bom.ReadPackage(a.Package).Key}] = allowance{a, scaledPercent(a.Percent)}
	}
	packages := map[string][]string{} // keys of those met so far: lines share a few
	find := func(class, pkg string) (allowance, bool) {
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
		return allowance{}, false
	}
	for i := range m.parts {
		m.parts[i].allowances = nil
		for _, e := range m.parts[i].Entries {
			if m.making.provided(&m.entries[e]) {
				continue
			}
			l := m.entries[e].Line
			a, ok := find(attritionClass[classOf(l)], l.Package)
			if ok && m.parts[i].Unit != grams && !slices.Contains(m.parts[i].allowances, a) {
				m.parts[i].allowances = append(m.parts[i].allowances, a)
			}
		}
	}
}

// allowanceOver is the spares, or what lacks to the least that is supplied in all where
// that is more; nothing is allowed over no need.
func (p *part) allowanceOver(need bom.Quantity) bom.Quantity {
	if need == 0 {
		return 0
	}
	return max(p.spareOf(need), bom.Whole(p.suppliedAtLeast())-need)
}

// spareOf is max(ceil(need × percent), pieces), the greatest of the rows of the part.
func (p *part) spareOf(need bom.Quantity) bom.Quantity {
	most := bom.Quantity(0)
	for _, a := range p.allowances {
		if need > 0 {
			most = max(most, bom.Whole(ceilPercent(need, a.percent)), bom.Whole(a.Pieces))
		}
	}
	return most
}

// suppliedAtLeast is the least that is supplied in all.
func (p *part) suppliedAtLeast() int64 {
	most := int64(0)
	for _, a := range p.allowances {
		most = max(most, a.AtLeast)
	}
	return most
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
