package bom

import "strings"

// ExactKey is how part numbers are compared: letter case counts, since m and M
// differ in a value; the width of gaps does not.
func ExactKey(s string) string { return strings.Join(strings.Fields(s), " ") }

// Fold is how names are compared: case and the width of gaps do not matter.
func Fold(s string) string { return strings.ToLower(ExactKey(s)) }
