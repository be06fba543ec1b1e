package sheet

import (
	"regexp"
	"strings"

	"tenoff/bom"
)

// manyWords are units of many pieces, and ofWords join a unit to its number; common practice, no source.
var (
	manyWords = map[string]int64{"c": 100, "hundred": 100, "m": 1000, "mpcs": 1000, "thousand": 1000, "mille": 1000}
	ofWords   = bom.WordSet("per of")
)

// unitNumber is the number of a unit, with a k for thousands: 100 pcs, per 100, 1k.
var unitNumber = regexp.MustCompile(`^\D*?(\d(?:[\d.,' ]*\d)?)( ?[kK]\b)?\D*$`)

// unitParts parts a unit into its number, what it is multiplied by and its words; number is
// empty where it has none. ok is false where a word stands for neither pieces nor, of several,
// a set of them.
func unitParts(text string) (number string, times int64, words []string, ok bool) {
	times = 1
	rest := text
	if m := unitNumber.FindStringSubmatchIndex(text); m != nil {
		number = text[m[2]:m[3]]
		end := m[3]
		if m[4] >= 0 {
			times, end = 1000, m[5]
		}
		rest = text[:m[2]] + " " + text[end:]
	}
	several := number != "" && (number != "1" || times > 1)
	words = strings.FieldsFunc(strings.ToLower(rest), func(r rune) bool { return strings.ContainsRune(" /().,-", r) })
	for _, w := range words {
		if !bom.IsPieces(w) && !(several && (bom.IsSet(w) || ofWords[w])) {
			return "", 0, nil, false
		}
	}
	return number, times, words, true
}

// unitOf tells how many pieces a unit is; 0: it does not say. A capital M is a thousand, and a
// small one a metre.
func (d *decoder) unitOf(text string) int64 {
	if many, ok := manyWords[strings.ToLower(strings.TrimSpace(text))]; ok && strings.TrimSpace(text) != "m" {
		return many
	}
	number, times, _, ok := unitParts(text)
	if number == "" {
		if ok {
			return 1
		}
		return 0
	}
	f, err := d.parse(bom.Cell{Kind: bom.Text, Text: number})
	if err != nil || !f.Value.IsInteger() || !f.Value.IsPositive() || f.Value.GreaterThan(largest) {
		return 0
	}
	return f.Value.IntPart() * times
}
