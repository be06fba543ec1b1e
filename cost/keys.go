package cost

import (
	"strings"

	"tenoff/bom"
)

// canonical is value and package in a form in which 4k7 and 4.7 kΩ are the
// same (IEC 60062). It is not known where the text does not read as a value.
type canonical struct {
	known bool
	value bom.Value
	pkg   bom.Package
	class string // class letters of what is no plain resistor, capacitor or inductor in spite of its unit
}

func canonicalOf(value, pkg, dimension string) canonical {
	v, ok := bom.ParseValue(value)
	if !ok {
		return canonical{}
	}
	return canonical{known: true, value: v.WithUnit(dimension), pkg: bom.ReadPackage(pkg)}
}

// names tells whether a key of the price sheet means a line: 10u in a price
// sheet is a capacitor if the line is one.
func (c canonical) names(line canonical) bool {
	return c.known && line.known && c.pkg.Key == line.pkg.Key &&
		c.value.WithUnit(line.value.Unit).Key() == line.value.Key()
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
	words := strings.Fields(key)
	first := canonical{}
	for i := len(words) - 1; i > 0; i-- {
		c := canonicalOf(strings.Join(words[:i], " "), strings.Join(words[i:], " "), "")
		if c.known && c.pkg.Family != "" {
			return c
		}
		if !first.known {
			first = c
		}
	}
	return first
}

// exactKey is how part numbers are compared: letter case counts, since m and M
// differ in a value; the width of gaps does not.
func exactKey(s string) string {
	if tidy(s) {
		return s // without the work, since the same names are looked up again and again
	}
	return strings.Join(strings.Fields(s), " ")
}

// tidy tells of plain text that its gaps are single spaces.
func tidy(s string) bool {
	gap := true
	for i := range len(s) {
		c := s[i]
		if c >= 0x80 || c < ' ' || c == ' ' && gap {
			return false
		}
		gap = c == ' '
	}
	return !gap || s == ""
}

// gather groups the lines that are bought under one key.
func (m *Model) gather() {
	m.partOf = make(map[string]int, len(m.entries))
	m.parts = make([]part, 0, len(m.entries))
	for i := range m.entries {
		e := &m.entries[i]
		switch e.Line.Kind {
		case bom.KindBoard, bom.KindPrinted:
			continue
		}
		p := m.partFor(e.Line)
		e.Part = p
		m.parts[p].Entries = append(m.parts[p].Entries, i)
		if m.parts[p].Description == "" {
			m.parts[p].Description = describe(e.Line)
		}
	}
}

// partFor finds or makes the part that a line is an example of: the part number
// tells, without one value and package do.
func (m *Model) partFor(l *bom.Line) int {
	key, c := exactKey(l.Part), canonical{}
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
	if i, ok := m.partOf[exactKey(key)]; ok {
		return []int{i}
	}
	return m.findByValue(key)
}

// findByValue gives the parts whose value and package read the same as a key; of
// several, the one that is spelled like it.
func (m *Model) findByValue(key string) []int {
	c := canonicalKey(key)
	if !c.known {
		return nil
	}
	var found, exact []int
	for i := range m.parts {
		if !c.names(m.parts[i].canon) {
			continue
		}
		found = append(found, i)
		if exactKey(m.parts[i].Key) == exactKey(key) {
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
	if i, ok := m.partOf[exactKey(key)]; ok {
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
