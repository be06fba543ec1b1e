// Package partname tells which part a name means, in a bill of materials or a price sheet:
// by its text, or by value and package however they are written ([Read], [Same],
// [MeansLine]); which parts are known at all ([Gather]); and which passive may stand in for
// another ([PassiveOf]).
package partname

import (
	"strings"
	"unicode"

	"tenoff/bom"
)

// Meaning is value and package in a form in which 4k7 and 4.7 kΩ are the
// same (IEC 60062), and so are 0805 and R_0805_2012Metric. It is not known where the
// text does not read as a value; that text counts as it is beside a package that is known.
type Meaning struct {
	Known   bool
	Value   bom.Value
	Text    string // what stands in the place of a value, such as the name of a circuit
	Package bom.Package
	Class   string // class letters of what is no plain resistor, capacitor or inductor in spite of its unit
}

// Of reads value and package; dimension is the unit where the value states none, empty: not
// known.
func Of(value, pkg, dimension string) Meaning {
	v, ok := bom.ParseValue(value)
	if p := bom.ReadPackage(pkg); !ok && p.Family != "" && value != "" {
		return Meaning{Text: bom.ExactKey(value), Package: p}
	} else if !ok {
		return Meaning{}
	}
	return Meaning{Known: true, Value: v.WithUnit(dimension), Package: bom.ReadPackage(pkg)}
}

// Names tells whether a key of the price sheet means a line: 10u in a price
// sheet is a capacitor if the line is one.
func (c Meaning) Names(line Meaning) bool {
	if c.Known != line.Known || c.Package.Key != line.Package.Key {
		return false
	}
	return c.Known && c.Value.WithUnit(line.Value.Unit).Key() == line.Value.Key() || c.Text != "" && c.Text == line.Text
}

// OfLine reads value and package of a line, with the unit that goes with
// its designators.
func OfLine(l *bom.Line) Meaning {
	class := ""
	if len(l.Designators) > 0 {
		class = bom.ClassOf(l.Designators[0])
	}
	c := Of(l.Value, l.Package, bom.DimensionOf(class))
	switch class {
	case "FB", "RT": // a bead or a thermistor of so many ohms is no resistor
		c.Class = class
	case "R", "C", "L":
		if c.Value.Unit != "" && c.Value.Unit != bom.DimensionOf(class) {
			c.Class = class
		}
	}
	return c
}

// Read reads the key of a row of the price sheet, "4.7 kΩ 0603": the
// package is the shortest text at its end that names one after a value, none where the
// whole is a value with its unit or prefix, or else whatever follows the longest text that
// reads as a value.
func Read(key string) Meaning {
	c, _, _ := Split(key)
	return c
}

// Split is Read, with the text that it takes for the value and that for the package.
func Split(key string) (first Meaning, value, pkg string) {
	words := strings.Fields(key)
	for i := len(words) - 1; i > 0; i-- {
		v, p := strings.Join(words[:i], " "), strings.Join(words[i:], " ")
		c := Of(v, p, "")
		switch {
		case c.Known && c.Package.Family != "":
			return c, v, p
		case c.Known && !first.Known, c.Text != "" && first.Text == "" && !first.Known:
			first, value, pkg = c, v, p
		}
	}
	if whole := Of(key, "", ""); whole.Known && strings.ContainsFunc(key, unicode.IsLetter) { // bare digits are a part number as well
		return whole, key, ""
	}
	return first, value, pkg
}

// Same tells whether two keys name one part: by their text, or by value and
// package that read the same.
func Same(a, b string) bool {
	return bom.ExactKey(a) == bom.ExactKey(b) || Read(a).Names(Read(b))
}

// MeansLine tells whether a key means the part of a line.
func MeansLine(key string, l *bom.Line) bool {
	if exact := bom.ExactKey(key); exact == bom.ExactKey(l.Part) || exact != "" && exact == bom.ExactKey(l.Spelled) {
		return true
	}
	return l.Number == "" && Read(key).Names(OfLine(l))
}

// LineWith finds a line that has a part, in an assembly and those below it; nil where there
// is none.
func LineWith(a *bom.Assembly, key string) *bom.Line {
	for _, l := range a.Lines {
		if MeansLine(key, l) {
			return l
		}
		if l.Sub != nil {
			if found := LineWith(l.Sub, key); found != nil {
				return found
			}
		}
	}
	return nil
}

// index is the same for all that c.Names could be true of.
func (c Meaning) index() string { return c.Value.Number.String() + " " + c.Package.Key }
