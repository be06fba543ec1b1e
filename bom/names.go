package bom

import (
	"cmp"
	"path"
	"strings"
)

// ExactKey is how part numbers are compared: letter case counts, since m and M
// differ in a value; the width of gaps does not.
func ExactKey(s string) string { return strings.Join(strings.Fields(s), " ") }

// Fold is how names are compared: case and the width of gaps do not matter.
func Fold(s string) string { return strings.ToLower(ExactKey(s)) }

// Slashed gives a path with forward slashes, whichever way they were typed.
func Slashed(name string) string { return strings.ReplaceAll(name, `\`, "/") }

// SplitSheet parts "file.xlsx#Sheet". A # in a name without an ending before it
// belongs to the name.
func SplitSheet(name string) (file, sheet string) {
	i := strings.LastIndexByte(name, '#')
	if i < 0 || i > 0 && path.Ext(name[:i]) == "" {
		return name, ""
	}
	return name[:i], name[i+1:]
}

// Stem is the name of a file without its folder and its ending.
func Stem(file string) string {
	if file == "" {
		return ""
	}
	name := path.Base(Slashed(file))
	return cmp.Or(strings.TrimRight(strings.TrimSuffix(name, path.Ext(name)), "."), name)
}
