package revision

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"hash/fnv"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// field is one figure of a line or a row, as text.
type field struct{ name, text string }

// notCosts are the fields of records that say where a figure was read, when it
// was asked for, under what name a file was found, how far it may turn out
// otherwise, or what only people read: no cost rests on them.
var notCosts = []string{"Origin", "Rows", "SetUpAt", "AsOf", "Note", "Low", "High", "Range", "PowerRange", "FailRange", "OldSpread", "All", "Files"}

// onlyRead are the fields of lines that no cost rests on besides.
var onlyRead = []string{"Description", "Maker", "LevelGiven", "Given", "Offered", "File", "Sub", "Extra"}

// lineFields lists what a line is, but for what its file holds.
func lineFields(l *bom.Line) []field {
	return slices.DeleteFunc(fieldsOf(reflect.ValueOf(*l)), func(f field) bool {
		return slices.ContainsFunc(onlyRead, func(name string) bool { return inWords(name) == f.name })
	})
}

// fieldsOf lists the fields of a record that a cost may rest on.
func fieldsOf(v reflect.Value) []field {
	var out []field
	for i := range v.NumField() {
		name := v.Type().Field(i).Name
		if !slices.Contains(notCosts, name) {
			out = append(out, field{inWords(name), inText(v.Field(i))})
		}
	}
	return out
}

// differing names the fields that differ, on either side.
func differing(a, b []field) (from, to string) {
	var was, is []string
	for i := range a {
		if a[i].text != b[i].text {
			was = append(was, a[i].name+" "+cmp.Or(a[i].text, "none"))
			is = append(is, b[i].name+" "+cmp.Or(b[i].text, "none"))
		}
	}
	return strings.Join(was, "; "), strings.Join(is, "; ")
}

// inWords turns a field's name into words: UnitPrice is "unit price".
func inWords(name string) string {
	var b strings.Builder
	letters := []rune(name)
	for i, r := range letters {
		if unicode.IsUpper(r) && i > 0 && (unicode.IsLower(letters[i-1]) || i+1 < len(letters) && unicode.IsLower(letters[i+1])) {
			b.WriteByte(' ')
		}
		if unicode.IsUpper(r) && (i+1 == len(letters) || !unicode.IsUpper(letters[i+1])) && (i == 0 || !unicode.IsUpper(letters[i-1])) {
			r = unicode.ToLower(r)
		}
		b.WriteRune(r)
	}
	return b.String()
}

// inText is a figure as text, the same for equal figures and another for each
// different one.
func inText(v reflect.Value) string {
	if v.Kind() == reflect.Pointer && v.IsNil() {
		return ""
	}
	switch x := v.Interface().(type) {
	case decimal.Decimal:
		return x.String()
	case decimal.NullDecimal:
		if !x.Valid {
			return ""
		}
		return x.Decimal.String()
	case bom.Measure:
		if !x.Known {
			return ""
		}
		return strconv.FormatFloat(x.Value, 'g', -1, 64)
	case bom.Joints:
		if !x.Known {
			return ""
		}
		return strconv.Itoa(x.Count)
	case bom.Break:
		return fmt.Sprintf("from %d: %s", x.From, x.Price)
	case *bom.Solid:
		return meshText(x)
	case *bom.Path:
		return fmt.Sprintf("toolpath of %s g, %g m, %g h", inText(reflect.ValueOf(x.G)), x.FilamentM, x.Hours)
	case fmt.Stringer:
		return x.String()
	}
	switch v.Kind() {
	case reflect.Bool:
		if v.Bool() {
			return "yes"
		}
		return "no"
	case reflect.Float64:
		return strconv.FormatFloat(v.Float(), 'g', -1, 64)
	case reflect.Pointer:
		return inText(v.Elem())
	case reflect.Slice, reflect.Array:
		var parts []string
		for i := range v.Len() {
			parts = append(parts, inText(v.Index(i)))
		}
		return strings.Join(parts, ", ")
	case reflect.Struct:
		var parts []string
		for _, f := range fieldsOf(v) {
			if f.text != "" {
				parts = append(parts, f.name+" "+f.text)
			}
		}
		return strings.Join(parts, " ")
	}
	return fmt.Sprint(v.Interface()) // texts, whole numbers, and maps, which are printed by rising key
}

// meshText is another text for each mesh, whatever its file is called.
func meshText(s *bom.Solid) string {
	h := fnv.New64a()
	var word [8]byte
	for i := range s.Triangles {
		for j := range s.Triangles[i] {
			binary.LittleEndian.PutUint64(word[:], s.Triangles[i][j].Key())
			h.Write(word[:])
		}
	}
	return fmt.Sprintf("mesh of %d triangles, %016x", len(s.Triangles), h.Sum64())
}
