package cost

import (
	"cmp"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// gatherParts groups the lines that are bought under one key.
func gatherParts(m *Model) {
	m.partOf, m.spelled, m.described = make(map[string]int, len(m.entries)), map[string]int{}, map[string]int{}
	m.parts = make([]part, 0, len(m.entries))
	for i, e := range bom.Refs(m.entries) {
		switch e.Line.Kind {
		case bom.KindBoard, bom.KindPrinted:
			continue
		}
		p := addPart(m, e.Line)
		e.Part = p
		m.parts[p].Entries = append(m.parts[p].Entries, i)
		m.parts[p].Description = cmp.Or(m.parts[p].Description, e.Line.Description, strings.TrimSpace(e.Line.Value+" "+bom.ShortPackage(e.Line.Package)))
	}
	for i := range m.parts { // lists of several products may call unlike parts alike
		if p := &m.parts[i]; m.spelled[bom.ExactKey(p.Key)] == severalParts {
			p.Key = cmp.Or(m.entries[p.Entries[0]].Line.Spelled, p.Key)
		}
	}
}

// addPart finds or makes the part that a line is an example of: the part number
// tells, without one value and package do.
func addPart(m *Model, l *bom.Line) int {
	key, c := bom.ExactKey(cmp.Or(l.Spelled, l.Part)), partname.Meaning{}
	if l.Number == "" {
		if c = partname.OfLine(l); c.Known {
			key = c.Value.Key() + " " + c.Package.Key + valueMark + c.Class
		}
	}
	i, ok := m.partOf[key]
	if !ok {
		i = len(m.parts)
		m.partOf[key] = i
		m.parts = append(m.parts, part{Part: Part{Key: l.Part, Unit: "pieces"}, canon: c})
	}
	for _, spelling := range []string{l.Part, l.Spelled} {
		spelling = bom.ExactKey(spelling)
		spell(m.spelled, spelling, i)
	}
	if l.Described != "" {
		spell(m.described, bom.ExactKey(l.Described), i)
	}
	return i
}

// spell notes which part a spelling names.
func spell(names map[string]int, spelling string, part int) {
	if other, again := names[spelling]; again && other != part {
		part = severalParts
	}
	names[spelling] = part
}

// severalParts stands for unlike parts that are spelled alike: 10u of a capacitor and of an
// inductor.
const severalParts = -1

// valueMark keeps a part known by its value apart from one with a part number
// that reads the same; no key holds a line feed.
const valueMark = "\n"

// Find gives the parts, indices into Estimate.Parts, that a key of the price sheet names: one
// by its exact text, else those whose value and package read the same, else the only one
// that is described so.
func (m *Model) Find(key string) []int {
	if i, ok := m.spelledSo(key); ok {
		return []int{i}
	}
	if found := m.findByValue(key); found != nil {
		return found
	}
	if i, ok := m.describedSo(key); ok {
		return []int{i}
	}
	return nil
}

// describedSo gives the only part of a description that was taken for a value: 10k of a list
// in which nothing else is 10k.
func (m *Model) describedSo(key string) (int, bool) {
	i, ok := m.described[bom.ExactKey(key)]
	return i, ok && i != severalParts
}

// spelledSo gives the part whose key is the same text.
func (m *Model) spelledSo(key string) (int, bool) {
	exact := bom.ExactKey(key)
	if i, ok := m.partOf[exact]; ok {
		return i, true
	}
	i, ok := m.spelled[exact]
	return i, ok && i != severalParts
}

// findByValue gives the parts whose value and package read the same as a key; of
// several, the one that is spelled like it.
func (m *Model) findByValue(key string) []int {
	c := partname.Read(key)
	if !c.Known && c.Text == "" {
		return nil
	}
	var found, exact []int
	for i := range m.parts {
		if !c.Names(m.parts[i].canon) {
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

// findOne is Find where the price sheet must mean a single part; two that it
// could mean are an error at the place of the key.
func (m *Model) findOne(key string, at bom.Place) (int, bool) {
	if i, ok := m.spelledSo(key); ok {
		return i, true
	}
	found := m.findByValue(key)
	if len(found) > 1 {
		want := "write the unit with the value (10 µF, 10 µH)"
		if m.parts[found[0]].canon.Value.Unit == m.parts[found[1]].canon.Value.Unit {
			want = "a part number in the bill of materials for each of them"
		}
		m.problems.Errorf(at, key, want, "the key means several parts of the bill of materials")
	}
	if len(found) == 1 {
		return found[0], true
	}
	i, ok := m.describedSo(key)
	if ok = ok && len(found) == 0; ok {
		meant := key + " for " + m.parts[i].Key
		m.problems.Add(bom.Problem{Place: at, Severity: bom.Note, Found: meant, What: "a value without a package is taken for the only part of that description",
			Want: "the package beside it, if that is wrong", Each: bom.Shown(meant)})
	}
	return i, ok
}

// sortLines puts the lines of every part under the categories they fall in.
func sortLines(m *Model) {
	all := make([]categoryLines, 0, len(m.parts))
	for _, p := range bom.Refs(m.parts) {
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
