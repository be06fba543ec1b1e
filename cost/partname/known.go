package partname

import (
	"slices"
	"strings"

	"tenoff/bom"
)

// Known are the parts that a price sheet, and a bill of materials beside it,
// know: by name, by order code, by value and package.
type Known struct {
	List   []string               // in the order in which they are met
	exact  map[string]string      // exactKey -> name
	folded map[string][]string    // fold -> names
	codes  map[[2]string][]string // supplier and order code, folded -> parts
	values map[string][]valueName // number and package -> parts that are known by what they are
}

// valueName is a part that is known by what it is.
type valueName struct {
	name  string
	canon Meaning
}

// Gather lists what a price sheet and a bill of materials know; unit may be nil.
func Gather(p *bom.Prices, unit *bom.Assembly) *Known {
	n := &Known{exact: map[string]string{}, folded: map[string][]string{}, codes: map[[2]string][]string{}, values: map[string][]valueName{}}
	for _, o := range bom.Refs(p.Offers) {
		n.Add(o.Part)
		if o.Code != "" {
			key := [2]string{bom.Fold(o.Supplier), bom.Fold(o.Code)}
			if !slices.Contains(n.codes[key], o.Part) {
				n.codes[key] = append(n.codes[key], o.Part)
			}
		}
	}
	for _, s := range p.Substitutes {
		n.Add(s.Part)
		n.Add(s.Substitute)
	}
	for _, h := range p.OnHand {
		n.Add(h.Part)
	}
	for _, r := range p.Parts {
		if !strings.Contains(r.Part, "*") { // else it stands for many
			n.Add(r.Part)
		}
	}
	n.addUnit(unit, map[*bom.Assembly]bool{})
	return n
}

// Add makes a name known.
func (n *Known) Add(name string) { n.add(name, Meaning{}) }

// add makes a name known; canon is what it means where that is known besides.
func (n *Known) add(name string, canon Meaning) {
	key := bom.ExactKey(name)
	if _, known := n.exact[key]; known || key == "" {
		return
	}
	n.exact[key] = name
	n.List = append(n.List, name)
	n.folded[bom.Fold(name)] = append(n.folded[bom.Fold(name)], name)
	if !canon.Known {
		canon = Read(name)
	}
	if canon.Known {
		n.values[canon.index()] = append(n.values[canon.index()], valueName{name, canon})
	}
}

// addUnit makes the parts of a bill of materials known. A line that means what a
// name of the price sheet means is that part.
func (n *Known) addUnit(a *bom.Assembly, seen map[*bom.Assembly]bool) {
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
			n.Add(l.Part)
			continue
		}
		canon := OfLine(l)
		part := l.Part
		long, asSpelled := n.exact[bom.ExactKey(l.Spelled)]
		switch same := n.Meant(canon); {
		case len(same) == 1:
			part = same[0]
			n.exact[bom.ExactKey(l.Part)] = part
		case asSpelled && !n.Has(l.Part): // the price sheet has the long name
			part = long
			n.exact[bom.ExactKey(l.Part)] = part
		default:
			n.add(part, canon)
		}
		if l.Spelled != "" && !asSpelled {
			n.exact[bom.ExactKey(l.Spelled)] = part
		}
	}
}

// Meant gives the parts that are known by the same value and package.
func (n *Known) Meant(c Meaning) []string {
	var found []string
	for _, v := range n.values[c.index()] {
		if c.Names(v.canon) || v.canon.Names(c) {
			found = append(found, v.name)
		}
	}
	return found
}

// Named gives the part of a name: exactly, else without regard to case where
// that tells one.
func (n *Known) Named(name string) (part string, ok bool) {
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

// Ordered gives the part that an order code of a supplier stands for.
func (n *Known) Ordered(supplier, code string) (part string, ok bool) {
	if found := n.codes[[2]string{bom.Fold(supplier), bom.Fold(code)}]; code != "" && len(found) == 1 {
		return found[0], true
	}
	return "", false
}

// Has tells whether a name is known exactly.
func (n *Known) Has(name string) bool {
	_, ok := n.exact[bom.ExactKey(name)]
	return ok
}
