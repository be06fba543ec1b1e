package bom

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// landAt tells whether a land pattern of the naming of IPC-7351 begins with the
// word at i: a number is one word with it, and sizes follow.
func (r *nameReading) landAt(w *nameWord, i int) (*nameWord, bool) {
	t := r.tokens
	if !glued(t, i+1) || wholeAt(t, i+1) <= 0 {
		return nil, false
	}
	digits, letter := len(t[i+1].text), ""
	if glued(t, i+2) {
		letter = wordAt(t, i+2)
	}
	sizes := glued(t, i+3) && t[i+3].whole
	switch {
	case w.role == roleLand && strings.HasPrefix(w.name, "pin "):
		return w, letter == "W" && wholeAt(t, i+1) <= mostPins
	case w.role == roleLand:
		return w, digits >= 3
	case w.role == roleCrystal && letter == "X":
		return &crystalLand, sizes && digits >= 3
	case w.role == roleLeaded && w.name == "DIP" && letter == "W":
		return w, sizes && digits >= 3
	case w.role == rolePrefix && w.name == "SOD" && letter == "X":
		return w, sizes && digits >= 4
	case w.role != roleLeaded && w.role != rolePrefix:
		return nil, false
	case letter == "C" || letter == "N":
		return w, sizes && wordAt(t, i+4) == "P" && glued(t, i+4) && glued(t, i+5) && wholeAt(t, i+1) <= mostPins
	}
	return w, letter == "P" && sizes && len(t[i+3].text) >= 3
}

var crystalLand = nameWord{role: roleLand, name: "crystal", mount: SMT, joints: 2}

// readLandPattern reads a name by IPC-7351B for the surface, or by its draft for
// leads in holes (IPC-7251, from memory). Its number of pins, pads for heat
// included, stands at the end; of a ball grid and a header, before the sizes; of
// a dual in-line package, after Q. What has two pins does not say so.
func readLandPattern(r *nameReading) (p Package, ok bool) {
	h := r.hit[roleLand]
	if h.word == nil {
		return p, false
	}
	t := r.tokens
	end := h.at + 2
	for glued(t, end) {
		end++
	}
	body := t[h.at:end]
	pins := 0
	if n := wholeAt(t, end); n > 0 && n <= mostPins && t[end].sep == '-' {
		pins, end = n, end+1
	} else if last := end - 1; last > h.at+1 && strings.Contains("N L M A B C", wordAt(t, last)) && wordAt(t, last) != "" {
		end-- // the letter of the density, which tells nothing of the part
	}
	first := wholeAt(t, h.at+1)
	switch {
	case h.word.name == "pin header" || h.word.name == "pin socket":
		return r.headerPattern(h.word, first), true
	case pins == 0 && h.word.role == roleLeaded && (wordAt(body, 2) == "C" || wordAt(body, 2) == "N"):
		pins = first
	case pins == 0:
		for i := range body {
			if body[i].text == "Q" {
				pins = max(0, wholeAt(body, i+1))
			}
		}
	}
	text := r.name[t[h.at].at : t[end-1].at+len(t[end-1].text)]
	return r.asPattern(h.word, body, pins, text), true
}

// asPattern gives a land pattern the name that its package has in the trade,
// where pitch and size are those of one.
func (r *nameReading) asPattern(w *nameWord, body []nameToken, pins int, text string) Package {
	if w.name == "chip" {
		inch := chipOf(body[1].text)
		if code := chipInch[body[1].text]; code != "" && slices.ContainsFunc(r.tokens, func(t nameToken) bool { return t.text == code }) {
			inch = body[1].text // CAPC0402(1005)60_M: both codes
		}
		if inch != "" {
			p := family(inch, SMT, 2)
			p.chip = chipCode{metric: chipInch[inch] + "M", inch: inch}
			return p
		}
	}
	if name := tradeName(w, body, pins); name != "" {
		if q := readWhole(name); q.Key != "" {
			return q
		}
	}
	name, mount, joints := w.name, w.mount, w.joints
	if w.role != roleLand {
		joints = 0
	}
	if w.name == "SOD" {
		joints = 2
	}
	if pins > 0 {
		name, joints = name+"-"+strconv.Itoa(pins), pins
	}
	p := family(name, mount, joints)
	p.base, p.Key = p.Key, text
	switch {
	case w.role == roleLeaded:
		p.kind = w.name
	case w.role == rolePrefix, w.name == "array": // the name without sizes tells no package
		p.Family, p.base = text, ""
	}
	return p
}

// headerPattern reads HDRV6W64P254_2X3_762X508X838.
func (r *nameReading) headerPattern(w *nameWord, pins int) Package {
	rows, columns := rowsAndColumns(r.tokens)
	if rows*columns != pins {
		rows, columns = 1, pins
	}
	p := family(fmt.Sprintf("%s %dx%02d", w.name, rows, columns), THT, pins)
	p.kind = strings.ToUpper(w.name)
	return p
}

// chipOf finds the inch code of the length and width in a land pattern, in
// tenths of a millimetre, which may be off the code by one each: RESC2013.
func chipOf(size string) string {
	if chipMetric[size] != "" {
		return chipMetric[size]
	}
	if len(size) != 4 {
		return ""
	}
	for _, code := range plainChips {
		l, w := atoi(code[:2])-atoi(size[:2]), atoi(code[2:])-atoi(size[2:])
		if max(l, -l) <= 1 && max(w, -w) <= 1 {
			return chipMetric[code]
		}
	}
	return ""
}

// plainChips are the metric codes of the usual chips.
var plainChips = strings.Fields("0603 1005 1608 2012 3216 3225 5025 6332")

// tradeName gives the name in the trade of a pattern by its pitch and by the
// span of its leads, in hundredths of a millimetre: JEDEC MS-012 and MS-013
// (SOIC), MO-153 (TSSOP), MO-150 (SSOP), MO-187 (MSOP), TO-236 and MO-178
// (SOT-23), MO-203 (SC-70), TO-261 (SOT-223), TO-252, MS-001 (DIP); spans from memory.
func tradeName(w *nameWord, body []nameToken, pins int) string {
	first := wholeAt(body, 1)
	n := strconv.Itoa(pins)
	if w.name == "SOD" {
		return diodeName(body[1].text)
	}
	if w.name == "DIP" {
		if pins > 0 {
			return "DIP-" + n + " W" + hundredths(first)
		}
		return ""
	}
	span := wholeAt(body, 3)
	for _, t := range tradeNames {
		if slices.Contains(strings.Fields(t.families), w.name) && first == t.pitch && span >= t.least && span <= t.most &&
			(t.pins == "" || slices.Contains(strings.Fields(t.pins), n)) {
			return strings.Replace(t.name, "#", n, 1)
		}
	}
	if slices.Contains([]string{"QFN", "PQFN", "DFN", "SON"}, w.name) { // the pad for heat makes the number odd
		if heat := ""; pins > 4 && len(body) > 5 && body[5].whole {
			if pins%2 == 1 {
				n, heat = strconv.Itoa(pins-1), " EP"
			}
			return w.name + "-" + n + heat + " " + hundredths(span) + "X" + hundredths(wholeAt(body, 5))
		}
	}
	return ""
}

// tradeNames are the names of families by the pitch and the span of their leads.
var tradeNames = []struct {
	families           string
	pitch, least, most int
	pins               string // that it may have; empty: any
	name               string // # stands for the number of pins
}{
	{"SOIC SOP", 127, 580, 620, "", "SOIC-#"},
	{"SOIC SOP", 127, 1000, 1065, "", "SOIC-#W"},
	{"SOIC SOP", 65, 620, 660, "", "TSSOP-#"},
	{"SOIC SOP", 65, 760, 820, "", "SSOP-#"},
	{"SOIC SOP", 65, 475, 505, "8", "MSOP-#"},
	{"SOIC SOP", 50, 475, 505, "10", "MSOP-#"},
	{"TO", 228, 900, 1050, "3", "TO-252"},
	{"SOT", 95, 210, 260, "3", "SOT-23"},
	{"SOT", 95, 260, 300, "5 6 8", "SOT-23-#"},
	{"SOT", 65, 190, 230, "3 5 6", "SC-70-#"},
	{"SOT", 230, 670, 730, "4", "SOT-223"},
}

// hundredths writes hundredths of a millimetre in millimetres.
func hundredths(n int) string { return plainNumber(fmt.Sprintf("%d.%02d", n/100, n%100)) }

// diodeName tells small outlines of diodes by length and width in tenths of a
// millimetre, leads included (from memory of makers' outlines).
func diodeName(size string) string {
	if len(size) != 4 {
		return ""
	}
	switch l, w := atoi(size[:2]), atoi(size[2:]); {
	case l >= 36 && l <= 38 && w >= 15 && w <= 17:
		return "SOD-123"
	case l >= 24 && l <= 26 && w >= 12 && w <= 14:
		return "SOD-323"
	case l == 16 && w == 8:
		return "SOD-523"
	}
	return ""
}
