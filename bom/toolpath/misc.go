package toolpath

import (
	"math"
	"slices"
)

// quietWords are M words that neither move nor extrude: motors, heat, fans, waiting
// for moves to end or for somebody, reports, steps, levelling and tuning, marks of
// objects, spindle and coolant of RS-274/NGC.
var quietWords = []int{30, 40, 50, 70, 80, 90, 170, 180, 310, 420, 730, 750, 760, 770, 800, 810, 840, 850, 920,
	1040, 1050, 1060, 1070, 1080, 1100, 1140, 1150, 1190, 1400, 1410, 1550, 2060, 2110, 2180, 2260,
	3000, 3010, 3020, 3040, 3550, 4000, 4120, 4200, 4860, 5000, 5010, 5020, 5030, 6000, 6010, 6020, 9000, 9070}

func quiet(tenfold int) bool { return slices.Contains(quietWords, tenfold) }

// waitsForHeat tells M words that wait for a temperature.
func waitsForHeat(tenfold int) bool { return tenfold == 1090 || tenfold == 1900 || tenfold == 1910 }

// textWords are M words behind which text stands: messages and names of files.
var textWords = []int{160, 230, 280, 290, 320, 1170, 1180, 9280}

// wordWords are others behind which words stand.
var wordWords = []int{20, 60, 300, 820, 830, 2000, 2010, 2030, 2040, 2050, 2070, 2080, 2200, 2210}

// textFollows tells whether the rest of the line is not words: where the M word
// is not known nobody can tell.
func textFollows(tenfold int) bool {
	return !slices.Contains(wordWords, tenfold) && !quiet(tenfold) && !waitsForHeat(tenfold)
}

// ownWords tells whether the words of the line belong to an M word; those of
// RS-274/NGC itself take none.
func (b *block) ownWords() bool {
	return slices.ContainsFunc(b.m, func(c int) bool { return c >= 100 && c != 300 })
}

// drives tells whether the line names a kind of motion: then its axis words are
// the motion's, whatever else stands there.
func (b *block) drives() bool {
	return slices.ContainsFunc(b.g, func(g int) bool { return g == 0 || g == 10 || g == 20 || g == 30 })
}

// misc carries out an M word.
func (m *machine) misc(c int, b *block) (err *lineError) {
	switch c {
	case 20, 300:
		m.ended = true
	case 60:
		if b.given('T') {
			return m.change(b)
		}
	case 820:
		m.ownE = false
	case 830:
		m.ownE = true
	case 0, 10, 2260, 6000, 6010, // stops, to be told to go on or for another filament
		1090, 1900, 1910: // and for heat
		m.plan.rest(0)
	case 2000:
		m.volume = b.get('D', 0) > 0
	case 2010:
		err = m.perAxis(b, m.scale, func(i int, v float64) { m.limits.Acceleration[i] = v })
	case 2030:
		err = m.perAxis(b, m.scale, func(i int, v float64) { m.limits.Speed[i] = v })
	case 2040:
		err = m.accelerations(b)
	case 2050:
		if b.given('J') {
			m.plan.junction = max(0, b.get('J', 0)*m.scale)
		}
		err = m.perAxis(b, m.scale, func(i int, v float64) { m.plan.jerk[i] = v })
	case 2070:
		m.pull = retraction{length: max(0, b.get('S', m.pull.length/m.scale)*m.scale),
			speed: positive(b.get('F', 0)*m.scale/60, m.pull.speed), lift: b.get('Z', m.pull.lift/m.scale) * m.scale}
	case 2080:
		m.unpull = retraction{length: b.get('S', 0) * m.scale, speed: positive(b.get('F', 0)*m.scale/60, m.unpull.speed)}
	case 2200:
		m.percent = positive(b.get('S', 0)/100, m.percent)
	case 2210:
		m.flow = max(0, b.get('S', m.flow*100)/100)
	default:
		if !quiet(c) && !slices.Contains(textWords, c) {
			m.unknown.count("M" + code(c))
		}
	}
	return err
}

func positive(v, other float64) float64 {
	if v > 0 {
		return v
	}
	return other
}

// perAxis sets a limit for each axis that the line names.
func (m *machine) perAxis(b *block, scale float64, set func(axis int, v float64)) *lineError {
	for i := range 4 {
		if c := motionWords[i]; b.given(c) {
			v := b.value[c-'A'] * scale
			if !(v > 0) {
				return wrong("", "a limit over 0", "the limit of %c forbids all motion", c)
			}
			set(i, v)
		}
	}
	return nil
}

// accelerations is M204: P printing, T travel, R retracting, S the first two.
func (m *machine) accelerations(b *block) *lineError {
	for _, w := range []struct {
		letter  byte
		targets []*float64
	}{{'S', []*float64{&m.printing, &m.travel}}, {'P', []*float64{&m.printing}}, {'T', []*float64{&m.travel}}, {'R', []*float64{&m.retract}}} {
		if !b.given(w.letter) {
			continue
		}
		v := b.value[w.letter-'A'] * m.scale
		if !(v > 0) || math.IsInf(v, 0) {
			return wrong("", "an acceleration over 0", "the acceleration of %c forbids all motion", w.letter)
		}
		for _, t := range w.targets {
			*t = v
		}
	}
	return nil
}
