package bom

import (
	"strconv"
	"strings"

	"github.com/shopspring/decimal"
)

// Shown is an amount as people read it: with the currency's minor digits, and commas
// between the thousands.
func (c Currency) Shown(d decimal.Decimal) string { return Grouped(d.StringFixed(c.Digits)) }

// GroupedCount is a whole number with commas between its thousands.
func GroupedCount[N ~int | ~int64](n N) string { return Grouped(strconv.FormatInt(int64(n), 10)) }

// Grouped sets commas between the thousands of a number.
func Grouped(s string) string {
	for i := strings.IndexByte(s+".", '.') - 3; i > 0 && isDigit(s[i-1]); i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
