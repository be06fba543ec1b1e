package bom

import (
	"strings"
	"unicode"
)

// PackageKey writes a package so that ways of writing it that differ only in
// case, spaces, hyphens, underscores and dots give one key: "SOT-23" and
// "sot 23" are the same.
func PackageKey(pkg string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r), unicode.Is(unicode.Pd, r), r == '_', r == '.':
			return -1
		}
		return unicode.ToUpper(r)
	}, foldWidth(pkg))
}

// chipInch gives the metric code of each inch code of two-terminal chips, and
// chipMetric the other way. The codes are the length and the width: 0603 is
// 0.06 × 0.03 in, 1608M is 1.6 × 0.8 mm.
var chipInch, chipMetric = func() (inch, metric map[string]string) {
	inch, metric = map[string]string{}, map[string]string{}
	for _, pair := range strings.Fields("01005=0402 0201=0603 0402=1005 0603=1608 0805=2012 1206=3216 1210=3225 " +
		"1808=4520 1812=4532 2010=5025 2220=5750 2512=6432") {
		i, m, _ := strings.Cut(pair, "=")
		inch[i], metric[m] = m, i
	}
	return inch, metric
}()

// chipWords are what people write beside the size of a chip. Anything else, an
// array of four in one package for instance, makes it no plain chip.
var chipWords = func() map[string]bool {
	words := map[string]bool{}
	for _, w := range strings.Fields("R RES RESISTOR C CAP CAPACITOR L IND INDUCTOR D DIODE LED F FUSE FB FERRITE " +
		"BEAD SMD SMT CHIP SIZE CASE PACKAGE CODE") {
		words[w] = true
	}
	return words
}()

// ChipSize reads the package of a two-terminal chip, 0603 or 1608M for
// instance, alone or decorated as in R_0603, C0603 or "0603 (1608 metric)". It
// gives the metric code with its M and the inch code. A bare code that is an
// inch code and a metric one is read as inch, as most bills of materials mean
// it, and ambiguous is true. ok is false for every other package.
func ChipSize(pkg string) (metric, inch string, ambiguous, ok bool) {
	if len(pkg) > valueBytes {
		return "", "", false, false
	}
	var codes []string
	var asMetric, asInch []bool // what is said of each code
	for _, w := range chipTokens(pkg) {
		last := len(codes) - 1
		switch {
		case unicode.IsDigit([]rune(w)[0]):
			codes = append(codes, w)
			asMetric, asInch = append(asMetric, false), append(asInch, false)
		case w == "M" || w == "METRIC" || w == "MM":
			if last < 0 {
				return "", "", false, false
			}
			asMetric[last] = true
		case w == "IN" || w == "INCH" || w == "IMPERIAL":
			if last < 0 {
				return "", "", false, false
			}
			asInch[last] = true
		case !chipWords[w]:
			return "", "", false, false
		}
	}
	switch len(codes) {
	case 1:
		return oneChipCode(codes[0], asMetric[0], asInch[0])
	case 2:
		// Two codes are one size in both systems or not a size at all.
		for i := range codes {
			in, mm := codes[i], codes[1-i]
			if chipInch[in] == mm && !asMetric[i] && !asInch[1-i] {
				return mm + "M", in, false, true
			}
		}
	}
	return "", "", false, false
}

func oneChipCode(code string, asMetric, asInch bool) (metric, inch string, ambiguous, ok bool) {
	ofInch, isInch := chipInch[code]
	ofMetric, isMetric := chipMetric[code]
	switch {
	case asMetric && asInch:
		return "", "", false, false
	case isInch && !asMetric:
		return ofInch + "M", code, isMetric && !asInch, true
	case isMetric && !asInch:
		return code + "M", ofMetric, false, true
	}
	return "", "", false, false
}

// chipTokens parts a text into runs of digits and runs of letters, in upper
// case, and drops what lies between them.
func chipTokens(s string) []string {
	var tokens []string
	kind := 0
	for _, r := range strings.ToUpper(foldWidth(s)) {
		k := 0
		switch {
		case r >= '0' && r <= '9':
			k = 1
		case unicode.IsLetter(r):
			k = 2
		}
		switch {
		case k == 0:
		case k == kind:
			tokens[len(tokens)-1] += string(r)
		default:
			tokens = append(tokens, string(r))
		}
		kind = k
	}
	return tokens
}

// TwoTerminalChip tells whether a package is a chip with two terminals, and so
// two solder joints.
func TwoTerminalChip(pkg string) bool {
	_, _, _, ok := ChipSize(pkg)
	return ok
}
