package bom

import (
	"fmt"
	"strconv"
	"strings"
)

// readHeader reads connectors that are known by rows and columns, 1x06 or 2x05,
// or by their number of pins.
func readHeader(r *nameReading) (p Package, ok bool) {
	h := r.hit[roleHeader]
	rows, columns := rowsAndColumns(r.tokens)
	pitch := r.pitch()
	w := h.word
	switch {
	case w == nil && (rows == 0 || afterLetter(r.tokens, "P") == ""):
		return p, false
	case w == nil: // a connector's family that is not known, with its pitch
		w = packageWords["CONNECTOR"]
	case w.name == "pin header" && r.hit[roleFemale].word != nil:
		w = packageWords["PINSOCKET"]
	}
	if rows == 0 {
		rows, columns = 1, r.connectorPins(h)
		if w.name == "box header" && columns%2 == 0 {
			rows, columns = 2, columns/2
		}
	}
	if columns == 0 {
		if w.needsPins {
			return p, false
		}
		return family(w.name, w.mount, 0), true
	}
	mount, hold := w.mount, ""
	if w.name == "connector" && r.hit[roleHold].word != nil {
		mount, hold = SMT, "MP" // pads that hold it down
	}
	p = family(fmt.Sprintf("%s %dx%02d", w.name, rows, columns), mount, rows*columns)
	p.kind = family(w.name, mount, 0).Key
	lying := ""
	if r.hit[roleLying].word != nil && w.name != "terminal block" {
		lying = "HORIZONTAL"
	}
	if w.pitch == pitch {
		pitch = ""
	}
	return p.sized(detail("P", pitch), lying, hold), true
}

// rowsAndColumns gives 1 and 6 for 1x06. Sizes in mm are none.
func rowsAndColumns(t []nameToken) (rows, columns int) {
	for i := range t {
		if !times(t, i) || t[i].sep == 0 && wordAt(t, i-1) != "" && len(wordAt(t, i-1)) < 3 {
			continue
		}
		a, b := wholeAt(t, i), wholeAt(t, i+2)
		if wordAt(t, i+3) == "MM" || wordAt(t, i+3) == "X" && glued(t, i+3) || a < 1 || b < 1 {
			continue
		}
		if a > b {
			a, b = b, a
		}
		if a <= 8 && b <= 150 {
			return a, b
		}
	}
	return 0, 0
}

// pitch is the distance between pins in mm: P2.54mm or 2.54mm.
func (r *nameReading) pitch() string {
	if p := afterLetter(r.tokens, "P"); p != "" {
		return p
	}
	for i, t := range r.tokens {
		if t.number && !t.whole && t.sep != 0 && wordAt(r.tokens, i+1) == "MM" {
			return plainNumber(t.text)
		}
	}
	return ""
}

// connectorPins gives a number of pins that stands without rows: 4P, header 4,
// or the number before the pitch, as in -2_P5.08mm.
func (r *nameReading) connectorPins(h nameHit) int {
	const most = 150
	if n := pinCount(r.tokens); n > 0 {
		return n
	}
	t := r.tokens
	if n := r.pinsOf(h.at, h.end); n > 0 && n <= most {
		return n
	}
	for i := 0; i+2 < len(t); i++ {
		if n := wholeAt(t, i); n > 0 && n <= most && t[i].sep != 0 && t[i+1].text == "P" && t[i+1].sep != 0 && t[i+2].number && t[i+2].sep == 0 {
			return n
		}
	}
	return 0
}

// readPort reads connectors of the Universal Serial Bus. Receptacles of the
// series A and B have four contacts and two legs of the shell in the board (USB
// 2.0, chapter 6, from memory), mini and micro five contacts; how their shells
// are held differs.
func readPort(r *nameReading) (p Package, ok bool) {
	h := r.hit[rolePort]
	if h.word == nil {
		return p, false
	}
	series := h.word.name
	small := ""
	for i := h.end; i < len(r.tokens) && i < h.end+4; i++ {
		switch w := strings.TrimPrefix(wordAt(r.tokens, i), "TYPE"); {
		case w == "MINI", w == "MICRO":
			small = strings.ToLower(w) + " "
		case len(w) == 1 && w[0] >= 'A' && w[0] <= 'C' && len(series) < 5 && !glued(r.tokens, i+1):
			series = "USB-" + w
		}
	}
	switch {
	case small != "":
		p = family("USB "+small+"B", SMT, 5)
	case series == "USB-A", series == "USB-B":
		p = family(series, THT, 6)
	case series == "USB-C":
		n := pinCount(r.tokens)
		p = family(series, SMT, n)
		if n > 0 {
			p = p.sized(strconv.Itoa(n) + "P")
		}
	case series == "USB mini B", series == "USB micro B":
		p = family(series, SMT, 5)
	default:
		p = family("USB", MountNone, 0)
	}
	return p, true
}

// readSwitch reads switches by poles and throws, and tactile ones, which have
// four legs.
func readSwitch(r *nameReading) (p Package, ok bool) {
	h, poles := r.hit[roleSwitch], r.hit[rolePoles]
	switch {
	case poles.word != nil:
		return family(poles.word.name+" switch", MountNone, poles.word.joints), true
	case h.word == nil:
		return p, false
	case h.word.joints > 0 || r.hit[rolePush].word != nil && smallPush(r.tokens):
		return family("tactile switch", MountNone, 4).sized(bodySize(r.tokens)), true
	case r.hit[rolePush].word != nil:
		return family("push button", MountNone, 0), true
	}
	return p, false
}

// smallPush tells the sizes in which tactile switches come: 6 or 12 mm square.
func smallPush(t []nameToken) bool {
	size := bodySize(t)
	for i, x := range t {
		if x.whole && wordAt(t, i+1) == "MM" && size == "" {
			size = plainNumber(x.text) + "X" + plainNumber(x.text)
		}
	}
	return size == "6X6" || size == "12X12"
}

// dipSwitch is a row of switches in the shape of a dual in-line package: two
// pins for each.
func (r *nameReading) dipSwitch(pins int) Package {
	switches := pins
	if h := r.hit[roleSwitch]; switches == 0 {
		switches = r.pinsOf(h.at, h.end)
	}
	for i := range r.tokens {
		if w := wordAt(r.tokens, i); (w == "SPSTX" || w == "X") && glued(r.tokens, i+1) && !times(r.tokens, i-1) {
			switches = max(0, wholeAt(r.tokens, i+1))
		}
	}
	if switches == 0 {
		return family("DIP switch", THT, 0)
	}
	p := family(fmt.Sprintf("DIP switch %d", switches), THT, 2*switches)
	p.kind = "DIP SWITCH"
	return p
}
