package bom

import (
	"strings"
	"unicode"
)

// PackageKey writes a package so that ways of writing it that differ only in
// case, spaces, hyphens, underscores and dots give one key: "SOT-23" and
// "sot 23" are the same. It knows no packages: ReadPackage does.
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
// 0.06 × 0.03 in, 1608M is 1.6 × 0.8 mm. Where a size has several metric codes,
// the first is the one that is given.
var chipInch, chipMetric = func() (inch, metric map[string]string) {
	inch, metric = map[string]string{}, map[string]string{}
	for _, pair := range strings.Fields("01005=0402 0201=0603 0306=0816 0402=1005 0508=1220 0603=1608 0612=1632 0805=2012,2125 " +
		"1008=2520 1020=2550 1206=3216 1210=3225 1218=3246 1225=3264 1411=3528 1806=4516 1808=4520 1812=4532 1825=4564 " +
		"2010=5025 2220=5750 2225=5764 2312=6032 2512=6432,6332 2917=7343") {
		i, m, _ := strings.Cut(pair, "=")
		for _, code := range strings.Split(m, ",") {
			if metric[code] = i; inch[i] == "" {
				inch[i] = code
			}
		}
	}
	return inch, metric
}()

// chipCode is the size of a chip, or of each of several in one package.
type chipCode struct {
	metric, inch string // 1608M and 0603
	ambiguous    bool   // the code alone reads two ways, and is read as inch
	times        int    // chips in one package
	array        bool   // said in a word, so that times 1 means an unknown number
}

// ChipSize reads the package of a two-terminal chip, 0603 or 1608M for
// instance, alone or within a longer name, as in R_0603, C0603, "0603 (1608
// metric)" or R_0603_1608Metric_Pad0.98x0.95mm. It gives the metric code with
// its M and the inch code. A bare code that is an inch code and a metric one is
// read as inch, as most bills of materials mean it, and ambiguous is true. ok is
// false for every other package.
func ChipSize(pkg string) (metric, inch string, ambiguous, ok bool) {
	c := ReadPackage(pkg).chip
	return c.metric, c.inch, c.ambiguous, c.inch != ""
}

// foundCode is a code that stands in a name.
type foundCode struct {
	text             string
	at               int
	asMetric, asInch bool // what is said of it
}

// chip reads the size of a chip from a name. Digits alone prove nothing: a code
// counts where the name begins with it, where both its codes stand there, where
// it stands beside a word of chips such as R, LED or SMD, or where no word is
// unknown; and nowhere beside a word of something else.
func (r *nameReading) chip() (c chipCode, ok bool) {
	for _, role := range notChips {
		if r.hit[role].word != nil {
			return c, false
		}
	}
	var codes []foundCode
	c.times, c.array = 1, r.hit[roleArray].word != nil
	for i, t := range r.tokens {
		switch {
		case t.number:
			code, n := r.chipCodeAt(i)
			if !code {
				continue
			}
			if len(codes) == 2 || n > 1 && c.times > 1 {
				return c, false
			}
			c.times = max(c.times, n)
			codes = append(codes, foundCode{text: t.text, at: i})
		case !r.chipMark(t.text, i, codes):
			return c, false
		}
	}
	if pins := pinCount(r.tokens); pins > 0 && pins != 2*c.times {
		return c, false
	}
	switch {
	case len(codes) == 1:
		c.metric, c.inch, c.ambiguous, ok = oneChipCode(codes[0].text, codes[0].asMetric, codes[0].asInch)
		ok = ok && r.countsAsChip(codes[0].at, c.times > 1)
	case len(codes) == 2:
		// Two codes are one size in both systems or not a size at all.
		for i := range codes {
			in, mm := codes[i], codes[1-i]
			if chipMetric[mm.text] == in.text && !in.asMetric && !mm.asInch {
				c.inch, ok = chipMetric[mm.text], true
				c.metric = chipInch[c.inch] + "M"
			}
		}
	}
	return c, ok
}

// chipCodeAt tells whether the number at i can be a code, and of how many chips.
func (r *nameReading) chipCodeAt(i int) (code bool, n int) {
	t := r.tokens[i]
	if !t.whole || chipInch[t.text] == "" && chipMetric[t.text] == "" {
		return false, 1
	}
	if w := packageWords[wordAt(r.tokens, i+1)]; w != nil && w.name == "unit" { // 1206 ohm
		return false, 1
	}
	other := -1
	switch {
	case times(r.tokens, i-2):
		other = i - 2
	case times(r.tokens, i):
		other = i + 2
	default:
		return true, 1
	}
	n = wholeAt(r.tokens, other)
	return n >= 2 && n <= 8 && len(r.tokens[other].text) == 1, n
}

// chipMark takes in what a word says of the code before it. A word of the
// systems that is said of no code makes the name none of a chip.
func (r *nameReading) chipMark(word string, i int, codes []foundCode) bool {
	last := len(codes) - 1
	switch word {
	case "METRIC", "INCH", "IMPERIAL":
		if last < 0 {
			return false
		}
	case "M", "MM", "IN":
		if last < 0 || codes[last].at != i-1 {
			return true
		}
	default:
		return true
	}
	if word[0] == 'M' {
		codes[last].asMetric = true
	} else {
		codes[last].asInch = true
	}
	return true
}

// countsAsChip tells whether the name supports that the number at i is a code.
func (r *nameReading) countsAsChip(i int, several bool) bool {
	switch {
	case r.unknown == 0, i == 0, several && i == 2:
		return true
	case several:
		return r.hit[roleArray].word != nil || r.chipWordAt(i-3)
	}
	return r.chipWordAt(i-1) || r.chipWordAt(i+1) && len(r.tokens[i+1].text) > 1
}

func (r *nameReading) chipWordAt(i int) bool {
	w := packageWords[wordAt(r.tokens, i)]
	return w != nil && (w.role == roleChip || w.role == roleSMT)
}

func oneChipCode(code string, asMetric, asInch bool) (metric, inch string, ambiguous, ok bool) {
	ofInch, isInch := chipInch[code]
	ofMetric, isMetric := chipMetric[code]
	switch {
	case asMetric && asInch:
		return "", "", false, false
	case isInch && !asMetric:
		return ofInch + "M", chipMetric[ofInch], isMetric && !asInch, true
	case isMetric && !asInch:
		return chipInch[ofMetric] + "M", ofMetric, false, true
	}
	return "", "", false, false
}

// readChipPackage reads a chip, or several in one package (R_Array_4x0603), each
// with two terminals.
func readChipPackage(r *nameReading) (p Package, ok bool) {
	c, ok := r.chip()
	switch {
	case !ok:
		return p, false
	case c.times > 1:
		name := string(rune('0' + c.times))
		p = family(name+"x"+c.inch, SMT, 2*c.times)
	case c.array:
		p = family(c.inch+" array", SMT, 0)
	default:
		p = family(c.inch, SMT, 2)
		p.chip = c
	}
	return p, true
}
