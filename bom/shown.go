package bom

import (
	"strings"

	"github.com/shopspring/decimal"
)

// Shown is an amount as people read it: with the currency's minor digits, and commas
// between the thousands.
func (c Currency) Shown(d decimal.Decimal) string { return Grouped(d.StringFixed(c.Digits)) }

// Grouped sets commas between the thousands of a number.
func Grouped(s string) string {
	whole, rest := s, ""
	if i := strings.IndexByte(s, '.'); i >= 0 {
		whole, rest = s[:i], s[i:]
	}
	sign := ""
	if strings.HasPrefix(whole, "-") {
		sign, whole = "-", whole[1:]
	}
	for i := len(whole) - 3; i > 0; i -= 3 {
		whole = whole[:i] + "," + whole[i:]
	}
	return sign + whole + rest
}
