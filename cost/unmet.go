package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// stockNames are the names under which the unit's lines may have stock on hand.
type stockNames struct {
	*partname.Known
	boards, materials, printed map[string]bool // by what tells them apart
}

func namesOfStock(m *Model) *stockNames {
	n := &stockNames{partname.Gather(&bom.Prices{Substitutes: m.prices.Substitutes}, m.run.Unit), map[string]bool{}, map[string]bool{}, map[string]bool{}}
	add := func(known map[string]bool, key, name string) {
		if key != "" && !known[key] {
			known[key] = true
			n.List = append(n.List, name)
		}
	}
	for l := range m.run.Unit.AllLines() {
		switch l.Kind {
		case bom.KindBoard:
			add(n.boards, bom.ExactKey(l.Part), l.Part)
		case bom.KindPrinted:
			n.printed[bom.ExactKey(l.Part)] = true
			add(n.materials, bom.Fold(l.Material), l.Material)
		case bom.KindAssembly:
			if l.Sub == nil { // it is bought as it is
				n.Add(l.Part)
			}
		}
	}
	foreign := map[string]bool{} // panels that hold a board of another unit, which are not used
	for _, row := range m.prices.Panels {
		foreign[bom.ExactKey(row.Panel)] = foreign[bom.ExactKey(row.Panel)] || !n.boards[bom.ExactKey(row.Board)]
	}
	for _, row := range m.prices.Panels {
		if !foreign[bom.ExactKey(row.Panel)] {
			add(n.boards, bom.ExactKey(row.Panel), row.Panel)
		}
	}
	return n
}

// have tells whether a name of the price sheet means one of them.
func (n *stockNames) have(name string) bool {
	return n.Has(name) || n.boards[bom.ExactKey(name)] || n.materials[bom.Fold(name)] || len(n.Meant(partname.Read(name))) > 0
}

// warnOfUnmet tells of names in the price sheet that no line has: a misspelt one would
// leave its row without effect.
func warnOfUnmet(m *Model) {
	var names *stockNames
	for _, oh := range bom.Refs(m.prices.OnHand) {
		if oh.Quantity == 0 || len(m.Find(oh.Part)) > 0 {
			continue
		}
		if names == nil {
			names = namesOfStock(m)
		}
		switch {
		case names.printed[bom.ExactKey(oh.Part)]:
			m.problems.Add(bom.Problem{Place: oh.At("Part number"), Severity: bom.Warning, Found: oh.Part, Each: bom.Shown(oh.Part),
				What: "printed parts are printed anew, and what is on hand of this one is not used",
				Want: "leave the row out, and lower the quantity of the line where fewer are to be printed"})
		case !names.have(oh.Part):
			unmet(&m.problems, oh.At("Part number"), oh.Part, "no line has this part, and its stock is not used",
				"a part, board or material of the bill of materials", names.List)
		}
	}
	warnOfUnmetPackages(m)
}

// warnOfUnmetPackages tells of rows of attrition for a package that no line has which
// they apply to.
func warnOfUnmetPackages(m *Model) {
	packages, keys := map[string][]string{}, map[[2]string]bool{} // of each class of attrition
	if slices.ContainsFunc(m.prices.Allowances, func(a bom.Allowance) bool { return a.Package != "" }) {
		for l := range m.run.Unit.AllLines() {
			class := attritionClass[classOf(l)]
			if slices.Contains(packages[class], l.Package) {
				continue
			}
			packages[class] = append(packages[class], l.Package)
			for _, key := range bom.ReadPackage(l.Package).Keys() {
				keys[[2]string{class, key}] = true
			}
		}
	}
	for _, a := range bom.Refs(m.prices.Allowances) {
		if a.Package != "" && !keys[[2]string{a.AppliesTo, bom.ReadPackage(a.Package).Key}] {
			unmet(&m.problems, a.At("Package"), a.Package, "no "+a.AppliesTo+" line has this package, and its allowance is not used",
				"a package of the bill of materials", packages[a.AppliesTo])
		}
	}
}
