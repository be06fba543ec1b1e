package quoting

import (
	"fmt"
	"strings"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// likeness is which part a quote means.
type likeness struct {
	part    string // empty: none that is known
	code    string // the order code where it was read as the part's name
	named   bool   // what was read as the order code is the part's name
	word    bool   // it is a word of the description
	unclear string // why none of those that it could mean is taken
}

// match finds the part that a line of a quote means. Names and order codes that
// speak of different parts are unclear.
func match(n *partname.Known, q *bom.QuotedPart, supplier string) likeness {
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
	part, ok := n.Named(q.OurPart)
	take("our part", part, ok)
	part, ok = n.Named(q.Part)
	take("part number", part, ok)
	part, ok = n.Ordered(supplier, q.Code)
	take("order code", part, ok)
	if part, ok = n.Ordered(supplier, q.Part); ok && q.Code == "" && found.part == "" {
		return likeness{part: part, code: q.Part}
	}
	if found.part == "" {
		part, ok = n.Named(q.Code)
		take("order code", part, ok)
		found.named = ok
	}
	switch {
	case found.unclear != "":
		return likeness{unclear: found.unclear}
	case found.part != "":
		return found
	}
	if found = matchValue(n, q); found.part == "" && found.unclear == "" {
		return matchWords(n, q)
	}
	return found
}

// matchWords finds the part whose number stands in the description, alone or as its first
// or last word: what a part goes with stands in the middle.
func matchWords(n *partname.Known, q *bom.QuotedPart) (found likeness) {
	words := strings.Fields(q.Description)
	if q.Part != "" || q.OurPart != "" || len(words) == 0 {
		return found
	}
	if part, ok := n.Named(q.Description); ok {
		return likeness{part: part}
	}
	for _, word := range []string{words[0], words[len(words)-1]} {
		part, ok := n.Named(strings.Trim(word, ",;:()"))
		switch {
		case !ok || len(part) < shortestNumber || !strings.ContainsAny(part, "0123456789") || part == found.part:
		case found.part != "":
			return likeness{unclear: "it could be " + found.part + " or " + part}
		default:
			found = likeness{part: part, word: true}
		}
	}
	return found
}

// shortestNumber is how long a part number is at least that is taken for one inside a text.
const shortestNumber = 5

// matchValue finds the part by value and package.
func matchValue(n *partname.Known, q *bom.QuotedPart) likeness {
	texts := []partname.Meaning{partname.Of(q.Value, q.Package, "")}
	for _, text := range []string{q.Value, q.OurPart, q.Part, q.Description} {
		texts = append(texts, partname.Read(text))
	}
	for _, c := range texts {
		switch found := n.Meant(c); {
		case !c.Known || len(found) == 0:
		case len(found) == 1:
			return likeness{part: found[0]}
		default:
			return likeness{unclear: "it could be " + strings.Join(found[:min(len(found), 3)], " or ")}
		}
	}
	return likeness{}
}
