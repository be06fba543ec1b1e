package cost

import "tenoff/bom"

// attritionClass maps a class of line to the rows of the tab attrition, which
// knows fewer.
var attritionClass = map[string]string{
	classSMT: classSMT, classTHT: classTHT,
	classFastener: classFastener, classInsert: classFastener,
	classPacking: classPacking,
	classWire:    classOther, classOther: classOther,
}

// allowances finds the row of attrition for each part: the row that names the
// package wins over the one for any package. A part that is used in two ways
// gets the row of its first line that has one.
func (m *Model) allowances() {
	type rowKey struct{ class, pkg string }
	rows := map[rowKey]*bom.Allowance{}
	for i := range m.prices.Allowances {
		a := &m.prices.Allowances[i]
		rows[rowKey{a.AppliesTo, bom.PackageKey(a.Package)}] = a
	}
	for i := range m.parts {
		for _, e := range m.parts[i].Entries {
			l := m.entries[e].Line
			class := attritionClass[classOf(l)]
			a := rows[rowKey{class, bom.PackageKey(l.Package)}]
			if a == nil {
				a = rows[rowKey{class, ""}]
			}
			if a != nil && m.parts[i].Unit != grams {
				m.parts[i].allowance = a
				break
			}
		}
	}
}
