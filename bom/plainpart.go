package bom

import (
	"cmp"
	"strconv"
	"strings"
)

// readPlain reads families that are known by a word alone: axial, trimmer.
func readPlain(r *nameReading) (p Package, ok bool) {
	h := r.hit[rolePlain]
	if h.word == nil {
		if h = r.hit[roleCan]; h.word == nil || h.word.needsPins && r.hit[roleChip].word == nil {
			return p, false
		}
	}
	joints := h.word.joints
	if n := pinCount(r.tokens); n > 0 && h.word.role == rolePlain {
		joints = n
	}
	p = family(h.word.name, h.word.mount, joints)
	t := r.tokens
	switch h.word.name {
	case "axial": // the pitch to which leads are bent is none of the part's
		return p.sized(detail("L", afterLetter(t, "L")), detail("D", afterLetter(t, "D"))), true
	case "radial", "disc capacitor", "box capacitor":
		return p.sized(detail("L", afterLetter(t, "L")), detail("D", afterLetter(t, "D")), detail("W", afterLetter(t, "W")),
			detail("P", afterLetter(t, "P")), bodySize(t)), true
	case "electrolytic":
		return p.sized(bodySize(t)), true
	}
	return p, true
}

// readCrystal reads crystals, oscillators and resonators by their size and
// number of pads: Crystal_SMD_3225-4Pin.
func readCrystal(r *nameReading) (p Package, ok bool) {
	h := r.hit[roleCrystal]
	if h.word == nil {
		return p, false
	}
	const most = 14 // pads, of an oscillator
	pins, code := pinCount(r.tokens), ""
	pins = cmp.Or(pins, r.pinsOf(h.at, h.end))
	if pins > most {
		pins = 0
	}
	for i, t := range r.tokens {
		if !t.whole || len(t.text) != 4 || times(r.tokens, i) || times(r.tokens, i-2) || t.text[0] == '0' {
			continue
		}
		code = t.text
		if n := wholeAt(r.tokens, i+1); n >= 2 && n <= most && pins == 0 && r.tokens[i+1].sep == '-' && len(r.tokens[i+1].text) == 1 {
			pins = n
		}
		break
	}
	name, mount := h.word.name, MountNone
	size := ""
	if code != "" {
		name, mount = name+" "+code, SMT
	} else {
		size = bodySize(r.tokens)
	}
	if pins > 0 {
		name += "-" + strconv.Itoa(pins)
	}
	if code == "" && r.hit[roleRound].word != nil {
		mount = THT
		pins = cmp.Or(pins, 2)
		size = detail("D", afterLetter(r.tokens, "D"))
		name = "round " + h.word.name
	}
	return family(name, mount, pins).sized(size), true
}

// caseLetters are the sizes of molded tantalum capacitors by their letter: the
// metric code of length and width, and the height in tenths of a millimetre
// (EIA-535BAAC, from memory).
var caseLetters = map[string]string{"A": "3216-18", "B": "3528-21", "C": "6032-28", "D": "7343-31", "E": "7343-43"}

// readTantalum reads molded tantalum capacitors: Tantalum_Case-A, EIA-3216-18.
func readTantalum(r *nameReading) (p Package, ok bool) {
	t := r.tokens
	for i := range t {
		n := wholeAt(t, i+1)
		if n < 10 || n > 50 || len(t[i+1].text) != 2 || t[i+1].sep != '-' || !t[i].whole || len(t[i].text) != 4 {
			continue
		}
		switch t[i].text {
		case "2012", "3216", "3528", "6032", "7343", "7360", "7361":
			return family("EIA "+t[i].text+"-"+t[i+1].text, SMT, 2), true
		}
	}
	h := r.hit[roleTantalum]
	for i := range t {
		beside := wordAt(t, i-1)
		if size := caseLetters[wordAt(t, i)]; size != "" && h.word != nil && !glued(t, i+1) &&
			(beside == "CASE" || beside == "SIZE" || beside == "TANTALUM" || beside == "TANT") {
			return family("EIA "+size, SMT, 2), true
		}
	}
	return p, false
}

// readDomedLight reads lamps with leads, which are known by the diameter of
// their dome: LED_D5.0mm, 5mm LED.
func readDomedLight(r *nameReading) (p Package, ok bool) {
	if !r.light() || r.said() == SMT || bodySize(r.tokens) != "" {
		return p, false
	}
	t := r.tokens
	for i := range t {
		if !t[i].number || !strings.Contains(" 1.8 2 3 4 5 8 10 ", " "+plainNumber(t[i].text)+" ") {
			continue
		}
		millimetres, end := wordAt(t, i+1) == "MM", i+1
		if millimetres {
			end++
		}
		switch before := wordAt(t, i-1); {
		case before == "D" && t[i].sep == 0 && t[i-1].sep != 0:
		case millimetres && t[i].sep != 0, millimetres && before == "LED":
		default:
			continue
		}
		joints := 2
		if n := wholeAt(t, end); n >= 2 && n <= 8 && t[end].sep == '-' && !times(t, end) {
			joints = n
		} else if n := pinCount(t); n > 0 {
			joints = n
		} else if hasWord(t, "RGB") { // one lead for each colour, and one for all
			joints = 4
		}
		name := "LED D" + plainNumber(t[i].text)
		if joints != 2 {
			name += "-" + strconv.Itoa(joints)
		}
		return family(name, THT, joints), true
	}
	return p, false
}

// light tells that the name is one of a lamp.
func (r *nameReading) light() bool {
	return hasWord(r.tokens, "LED") || hasWord(r.around, "LED") || hasWord(r.around, "LEDS")
}

// readPinnedCode reads a body of four digits with a number of pads: SMD3225-4P,
// LED_5050-6.
func readPinnedCode(r *nameReading) (p Package, ok bool) {
	t := r.tokens
	surface := r.said() == SMT || r.light()
	for i := range t {
		if !t[i].whole || len(t[i].text) != 4 || times(t, i) || times(t, i-2) {
			continue
		}
		n := pinCount(t)
		if after := wholeAt(t, i+1); n == 0 && surface && after >= 3 && after <= 8 && t[i+1].sep == '-' && len(t[i+1].text) == 1 {
			n = after
		}
		if n >= 3 && n <= 24 && (surface || i == 0) {
			return family(t[i].text+"-"+strconv.Itoa(n)+"P", SMT, n), true
		}
	}
	return p, false
}
