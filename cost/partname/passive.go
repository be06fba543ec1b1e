package partname

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Passive is a two-terminal passive in a chip package, with the ratings that
// its value and description state.
type Passive struct {
	unit       string // Ω, F or H
	size       string // metric chip size
	value      decimal.Decimal
	tolerance  decimal.Decimal // absolute, in the unit
	tolerated  bool
	volts      decimal.Decimal
	watts      decimal.Decimal
	dielectric string
}

// dielectrics are ceramic codes from the most to the least stable (EIA-198;
// order from memory): a part further up can stand in for one further down.
var dielectrics = []string{"C0G", "X8R", "X7R", "X7S", "X6S", "X5R", "Y5V", "Z5U"}

var (
	voltsText      = regexp.MustCompile(`(?i)(?:^|[^\w.])(\d+(?:[.,]\d+)?)\s*(k?)v(?:dc|ac)?\b`)
	wattsText      = regexp.MustCompile(`(?i)(?:^|[^\w./])(?:(\d+)/(\d+)|(\d+(?:[.,]\d+)?))\s*(m?)w\b`)
	dielectricText = regexp.MustCompile(`(?i)\b(c0g|cog|np0|npo|x[5678][rs]|y5v|z5u)\b`)
	percentText    = regexp.MustCompile(`(\d+(?:[.,]\d+)?)\s*%`)
)

// PassiveOf reads a line as a passive; ok is false for anything else.
func PassiveOf(l *bom.Line) (p Passive, ok bool) {
	size, inch, ambiguous, sized := bom.ChipSize(l.Package)
	if !sized {
		return p, false
	}
	c := OfLine(l)
	c.Value = c.Value.WithUnit(c.Value.Meant())
	if !c.Known || c.Class != "" || !slices.Contains([]string{"Ω", "F", "H"}, c.Value.Unit) {
		return p, false
	}
	if ambiguous { // one way of reading a bare code holds for the whole list
		size = inch
	}
	p = Passive{unit: c.Value.Unit, size: size, value: c.Value.Number}
	text := l.Value + " " + l.Description
	p.readTolerance(c.Value, text)
	p.volts = readVolts(text)
	p.watts = readWatts(text)
	if d := dielectricText.FindString(text); d != "" {
		p.dielectric = strings.NewReplacer("COG", "C0G", "NP0", "C0G", "NPO", "C0G").Replace(strings.ToUpper(d))
	}
	return p, true
}

func (p *Passive) readTolerance(v bom.Value, text string) {
	switch {
	case v.Tolerance.Known && v.Tolerance.Absolute:
		p.tolerance, p.tolerated = v.Tolerance.Amount, true
	case v.Tolerance.Known:
		p.tolerance, p.tolerated = p.value.Mul(v.Tolerance.Amount).Shift(-2), true
	default:
		if found := percentText.FindStringSubmatch(text); found != nil {
			p.tolerance, p.tolerated = p.value.Mul(passiveValue(found[1])).Shift(-2), true
		}
	}
}

func passiveValue(text string) decimal.Decimal {
	d, err := decimal.NewFromString(strings.Replace(text, ",", ".", 1))
	if err != nil {
		return decimal.Zero
	}
	return d
}

func readVolts(text string) decimal.Decimal {
	found := voltsText.FindStringSubmatch(text)
	if found == nil {
		return decimal.Zero
	}
	v := passiveValue(found[1])
	if found[2] != "" {
		v = v.Shift(3)
	}
	return v
}

func readWatts(text string) decimal.Decimal {
	found := wattsText.FindStringSubmatch(text)
	if found == nil {
		return decimal.Zero
	}
	w := passiveValue(found[3])
	if below := passiveValue(found[2]); found[1] != "" && below.IsPositive() {
		w = passiveValue(found[1]).DivRound(below, 9)
	}
	if found[4] != "" {
		w = w.Shift(-3)
	}
	return w
}

// StandsIn tells whether p may stand in for q by the rules that can be written
// down, and says which held. A rating that q states must be stated by p and no
// worse; one that q does not state is named as not compared.
func (p Passive) StandsIn(q Passive) (rule string, ok bool) {
	if p.unit != q.unit || p.size != q.size {
		return "", false
	}
	held := []string{"same chip size"}
	off := p.value.Sub(q.value).Abs()
	switch {
	case q.tolerated:
		if !p.tolerated || off.Add(p.tolerance).GreaterThan(q.tolerance) {
			return "", false
		}
		held = append(held, "value within the tolerance")
	case !off.IsZero():
		return "", false
	default:
		held = append(held, "same value")
	}
	var open []string
	for _, r := range []struct {
		name  string
		asked bool
		met   bool
	}{
		{"voltage", q.volts.IsPositive(), p.volts.GreaterThanOrEqual(q.volts)},
		{"power", q.watts.IsPositive(), p.watts.GreaterThanOrEqual(q.watts)},
		{"dielectric", q.dielectric != "", p.dielectric != "" && rank(p.dielectric) <= rank(q.dielectric)},
	} {
		switch {
		case r.asked && !r.met:
			return "", false
		case r.asked:
			held = append(held, r.name+" no worse")
		case r.name == "voltage" || r.name == "power" && q.unit == "Ω" || r.name == "dielectric" && q.unit == "F":
			open = append(open, r.name)
		}
	}
	rule = strings.Join(held, ", ")
	if len(open) > 0 {
		rule += fmt.Sprintf("; %s not stated", strings.Join(open, " and "))
	}
	return rule + "; check the data sheet", true
}

// rank is the place of a dielectric in the list; one that is not in it comes
// last.
func rank(d string) int {
	if i := slices.Index(dielectrics, d); i >= 0 {
		return i
	}
	return len(dielectrics)
}

// valueDigits tell a value from its neighbours.
const valueDigits = 12

// e24 are the values of a decade that two-terminal parts come in (IEC 60063:2015).
var e24 = []int64{10, 11, 12, 13, 15, 16, 18, 20, 22, 24, 27, 30, 33, 36, 39, 43, 47, 51, 56, 62, 68, 75, 82, 91}

// chipSizes are chip sizes by their metric and inch codes, from the smallest (common
// practice, no source).
var chipSizes = [][2]string{{"0402M", "01005"}, {"0603M", "0201"}, {"1005M", "0402"}, {"1608M", "0603"}, {"2012M", "0805"}, {"3216M", "1206"},
	{"3225M", "1210"}, {"4532M", "1812"}, {"5025M", "2010"}, {"6332M", "2512"}}

// largerChip tells whether a chip size is the next after another.
func largerChip(size, than string) bool {
	place := func(s string) int {
		return slices.IndexFunc(chipSizes, func(codes [2]string) bool { return codes[0] == s || codes[1] == s })
	}
	at := place(than)
	return at >= 0 && place(size) == at+1
}

// Nearly tells in what p differs from q where it does so in one thing that a designer might
// agree to: the next value of the series E24 up or down, or the next larger chip size. All
// ratings that q states are met.
func (p Passive) Nearly(q Passive) (how string, ok bool) {
	same := p
	switch {
	case p.size == q.size && besideInE24(p.value, q.value):
		same.value, same.tolerance = q.value, p.tolerance.Mul(q.value).DivRound(p.value, valueDigits)
		how = "the next value of E24"
	case largerChip(p.size, q.size):
		same.size = q.size
		how = "one chip size larger: another land pattern"
	default:
		return "", false
	}
	_, ok = same.StandsIn(q)
	return how, ok
}

// besideInE24 tells whether two values are neighbours in the series E24.
func besideInE24(a, b decimal.Decimal) bool {
	place := func(d decimal.Decimal) (int, bool) {
		if !d.IsPositive() {
			return 0, false
		}
		decade := d.NumDigits() + int(d.Exponent()) - 2 // of the figures of E24, two digits
		at := slices.IndexFunc(e24, func(n int64) bool { return decimal.New(n, int32(decade)).Equal(d) })
		return at + decade*len(e24), at >= 0
	}
	i, in := place(a)
	j, both := place(b)
	return in && both && (i == j+1 || j == i+1)
}
