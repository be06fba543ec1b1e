package cost

import (
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// partNames are the parts that a price sheet, and a bill of materials beside it,
// know: by name, by order code, by value and package.
type partNames struct {
	list   []string               // in the order in which they are met
	exact  map[string]string      // exactKey -> name
	folded map[string][]string    // fold -> names
	codes  map[[2]string][]string // supplier and order code, folded -> parts
	values map[string][]valueName // number and package -> parts that are known by what they are

	suppliers    map[string]string // folded -> name
	supplierList []string
}

// valueName is a part that is known by what it is.
type valueName struct {
	name  string
	canon canonical
}

func newPartNames(p *bom.Prices, unit *bom.Assembly) *partNames {
	n := &partNames{exact: map[string]string{}, folded: map[string][]string{}, codes: map[[2]string][]string{}, values: map[string][]valueName{}, suppliers: map[string]string{}}
	for i := range p.Suppliers {
		n.supplier(p.Suppliers[i].Name)
	}
	for i := range p.Offers {
		o := &p.Offers[i]
		n.supplier(o.Supplier)
		n.add(o.Part, canonical{})
		if o.Code != "" {
			key := [2]string{bom.Fold(o.Supplier), bom.Fold(o.Code)}
			if !slices.Contains(n.codes[key], o.Part) {
				n.codes[key] = append(n.codes[key], o.Part)
			}
		}
	}
	for _, s := range p.Substitutes {
		n.add(s.Part, canonical{})
		n.add(s.Substitute, canonical{})
	}
	for _, h := range p.OnHand {
		n.add(h.Part, canonical{})
	}
	for _, r := range p.Parts {
		if !strings.Contains(r.Part, "*") { // else it stands for many
			n.add(r.Part, canonical{})
		}
	}
	n.addUnit(unit, map[*bom.Assembly]bool{})
	return n
}

func (n *partNames) supplier(name string) {
	if _, known := n.suppliers[bom.Fold(name)]; !known && name != "" {
		n.suppliers[bom.Fold(name)] = name
		n.supplierList = append(n.supplierList, name)
	}
}

// add makes a name known; canon is what it means where that is known besides.
func (n *partNames) add(name string, canon canonical) {
	key := bom.ExactKey(name)
	if _, known := n.exact[key]; known || key == "" {
		return
	}
	n.exact[key] = name
	n.list = append(n.list, name)
	n.folded[bom.Fold(name)] = append(n.folded[bom.Fold(name)], name)
	if !canon.known {
		canon = canonicalKey(name)
	}
	if canon.known {
		n.values[canon.index()] = append(n.values[canon.index()], valueName{name, canon})
	}
}

// addUnit makes the parts of a bill of materials known. A line that means what a
// name of the price sheet means is that part.
func (n *partNames) addUnit(a *bom.Assembly, seen map[*bom.Assembly]bool) {
	if a == nil || seen[a] {
		return
	}
	seen[a] = true
	for _, l := range a.Lines {
		n.addUnit(l.Sub, seen)
		switch {
		case l.Kind == bom.KindBoard, l.Kind == bom.KindPrinted, l.Kind == bom.KindAssembly, l.Part == "":
			continue
		case l.Number != "":
			n.add(l.Part, canonical{})
			continue
		}
		canon := canonicalLine(l)
		if same := n.meaning(canon); len(same) == 1 {
			n.exact[bom.ExactKey(l.Part)] = same[0]
			continue
		}
		n.add(l.Part, canon)
	}
}

// index is the same for all that c.names could be true of.
func (c canonical) index() string { return c.value.Number.String() + " " + c.pkg.Key }

// meaning gives the parts that are known by the same value and package.
func (n *partNames) meaning(c canonical) []string {
	var found []string
	for _, v := range n.values[c.index()] {
		if c.names(v.canon) || v.canon.names(c) {
			found = append(found, v.name)
		}
	}
	return found
}

// named gives the part of a name: exactly, else without regard to case where
// that tells one.
func (n *partNames) named(name string) (part string, ok bool) {
	if name == "" {
		return "", false
	}
	if part, ok = n.exact[bom.ExactKey(name)]; ok {
		return part, true
	}
	if same := n.folded[bom.Fold(name)]; len(same) == 1 {
		return same[0], true
	}
	return "", false
}

// ordered gives the part that an order code of a supplier stands for.
func (n *partNames) ordered(supplier, code string) (part string, ok bool) {
	if found := n.codes[[2]string{bom.Fold(supplier), bom.Fold(code)}]; code != "" && len(found) == 1 {
		return found[0], true
	}
	return "", false
}

// likeness is which part a quote means.
type likeness struct {
	part    string // empty: none that is known
	code    string // the order code where it was read as the part's name
	unclear string // why none of those that it could mean is taken
}

// match finds the part that a line of a quote means. Names and order codes that
// speak of different parts are unclear.
func (n *partNames) match(q *bom.QuotedPart, supplier string) likeness {
	var found likeness
	said := ""
	take := func(what, part string, ok bool) {
		switch {
		case !ok || found.part == part:
		case found.part == "":
			found.part, said = part, what
		case found.unclear == "":
			found.unclear = fmt.Sprintf("%s says %s, %s says %s", said, found.part, what, part)
		}
	}
	part, ok := n.named(q.OurPart)
	take("our part", part, ok)
	part, ok = n.named(q.Part)
	take("part number", part, ok)
	part, ok = n.ordered(supplier, q.Code)
	take("order code", part, ok)
	if part, ok = n.ordered(supplier, q.Part); ok && q.Code == "" && found.part == "" {
		return likeness{part: part, code: q.Part}
	}
	if found.part == "" {
		part, ok = n.named(q.Code)
		take("order code", part, ok)
	}
	switch {
	case found.unclear != "":
		return likeness{unclear: found.unclear}
	case found.part != "":
		return found
	}
	return n.matchValue(q)
}

// matchValue finds the part by value and package.
func (n *partNames) matchValue(q *bom.QuotedPart) likeness {
	texts := []canonical{canonicalOf(q.Value, q.Package, "")}
	for _, text := range []string{q.Value, q.OurPart, q.Part, q.Description} {
		texts = append(texts, canonicalKey(text))
	}
	for _, c := range texts {
		switch found := n.meaning(c); {
		case !c.known || len(found) == 0:
		case len(found) == 1:
			return likeness{part: found[0]}
		default:
			return likeness{unclear: "it could be " + strings.Join(found[:min(len(found), 3)], " or ")}
		}
	}
	return likeness{}
}
