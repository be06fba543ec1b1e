package cost

import (
	"slices"
	"strings"

	"tenoff/bom"
)

func canonicalOf(value, pkg, dimension string) canonical {
	v, ok := bom.ParseValue(value)
	if p := bom.ReadPackage(pkg); !ok && p.Family != "" && value != "" {
		return canonical{text: bom.ExactKey(value), pkg: p}
	} else if !ok {
		return canonical{}
	}
	return canonical{known: true, value: v.WithUnit(dimension), pkg: bom.ReadPackage(pkg)}
}

// names tells whether a key of the price sheet means a line: 10u in a price
// sheet is a capacitor if the line is one.
func (c canonical) names(line canonical) bool {
	if c.known != line.known || c.pkg.Key != line.pkg.Key {
		return false
	}
	return c.known && c.value.WithUnit(line.value.Unit).Key() == line.value.Key() || c.text != "" && c.text == line.text
}

// canonicalLine reads value and package of a line, with the unit that goes with
// its designators.
func canonicalLine(l *bom.Line) canonical {
	class := ""
	if len(l.Designators) > 0 {
		class = bom.ClassOf(l.Designators[0])
	}
	c := canonicalOf(l.Value, l.Package, bom.DimensionOf(class))
	switch class {
	case "FB", "RT": // a bead or a thermistor of so many ohms is no resistor
		c.class = class
	case "R", "C", "L":
		if c.value.Unit != "" && c.value.Unit != bom.DimensionOf(class) {
			c.class = class
		}
	}
	return c
}

// canonicalKey reads the key of a row of the price sheet, "4.7 kΩ 0603": the
// package is the shortest text at its end that names one after a value, or else
// whatever follows the longest text that reads as a value.
func canonicalKey(key string) canonical {
	c, _, _ := splitKey(key)
	return c
}

// splitKey is canonicalKey, with the text that it takes for the value and that for the package.
func splitKey(key string) (first canonical, value, pkg string) {
	words := strings.Fields(key)
	for i := len(words) - 1; i > 0; i-- {
		v, p := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		c := canonicalOf(v, p, "")
		switch {
		case c.known && c.pkg.Family != "":
			return c, v, p
		case c.known && !first.known, c.text != "" && first.text == "" && !first.known:
			first, value, pkg = c, v, p
		}
	}
	return first, value, pkg
}

// gatherParts groups the lines that are bought under one key.
func gatherParts(m *Model) {
	m.partOf = make(map[string]int, len(m.entries))
	m.parts = make([]part, 0, len(m.entries))
	for i := range m.entries {
		e := &m.entries[i]
		switch e.Line.Kind {
		case bom.KindBoard, bom.KindPrinted:
			continue
		}
		p := addPart(m, e.Line)
		e.Part = p
		m.parts[p].Entries = append(m.parts[p].Entries, i)
		if m.parts[p].Description == "" {
			m.parts[p].Description = describe(e.Line)
		}
	}
}

// addPart finds or makes the part that a line is an example of: the part number
// tells, without one value and package do.
func addPart(m *Model, l *bom.Line) int {
	key, c := bom.ExactKey(l.Part), canonical{}
	if l.Number == "" {
		if c = canonicalLine(l); c.known {
			key = c.value.Key() + " " + c.pkg.Key + valueMark + c.class
		}
	}
	i, ok := m.partOf[key]
	if !ok {
		i = len(m.parts)
		m.partOf[key] = i
		m.parts = append(m.parts, part{Part: Part{Key: l.Part, Unit: "pieces"}, canon: c})
	}
	return i
}

// valueMark keeps a part known by its value apart from one with a part number
// that reads the same; no key holds a line feed.
const valueMark = "\n"

func describe(l *bom.Line) string {
	if l.Description != "" {
		return l.Description
	}
	return strings.TrimSpace(l.Value + " " + l.Package)
}

// find gives the parts that a key of the price sheet names: one by its exact
// text, else those whose value and package read the same.
func (m *Model) find(key string) []int {
	if i, ok := m.partOf[bom.ExactKey(key)]; ok {
		return []int{i}
	}
	return m.findByValue(key)
}

// findByValue gives the parts whose value and package read the same as a key; of
// several, the one that is spelled like it.
func (m *Model) findByValue(key string) []int {
	c := canonicalKey(key)
	if !c.known && c.text == "" {
		return nil
	}
	var found, exact []int
	for i := range m.parts {
		if !c.names(m.parts[i].canon) {
			continue
		}
		found = append(found, i)
		if bom.ExactKey(m.parts[i].Key) == bom.ExactKey(key) {
			exact = append(exact, i)
		}
	}
	if len(exact) == 1 {
		return exact
	}
	return found
}

// findOne is find where the price sheet must mean a single part; two that it
// could mean are an error at the place of the key.
func (m *Model) findOne(key string, at bom.Place) (int, bool) {
	if i, ok := m.partOf[bom.ExactKey(key)]; ok {
		return i, true
	}
	found := m.findByValue(key)
	if len(found) > 1 {
		want := "write the unit with the value (10 µF, 10 µH)"
		if m.parts[found[0]].canon.value.Unit == m.parts[found[1]].canon.value.Unit {
			want = "a part number in the bill of materials for each of them"
		}
		m.problems.Errorf(at, key, want, "the key means several parts of the bill of materials")
	}
	if len(found) != 1 {
		return 0, false
	}
	return found[0], true
}

// sortLines puts the lines of every part under the categories they fall in.
func sortLines(m *Model) {
	all := make([]categoryLines, 0, len(m.parts))
	for i := range m.parts {
		p := &m.parts[i]
		if first := m.entries[p.Entries[0]].Category; !slices.ContainsFunc(p.Entries, func(e int) bool { return m.entries[e].Category != first }) {
			all = append(all, categoryLines{first, p.Entries})
			p.in = all[len(all)-1 : len(all) : len(all)]
			continue
		}
		for _, c := range Categories {
			var lines []int
			for _, e := range p.Entries {
				if m.entries[e].Category == c {
					lines = append(lines, e)
				}
			}
			if lines != nil {
				p.in = append(p.in, categoryLines{c, lines})
			}
		}
	}
}
