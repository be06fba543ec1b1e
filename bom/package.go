package bom

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// Package is what the name of a package tells of a part.
type Package struct {
	Family  string // for lists that people read: "0805", "SOT-23-5", "pin header 1x06"; empty where the name tells none
	Key     string // what is compared: one for all spellings of one package; PackageKey of the text where nothing is known
	Mount   Mount  // MountNone where the name tells none
	Joints  Joints // solder joints of one piece, pads for heat included, where the name tells them
	Nothing bool   // nothing to buy: a hole, a test pad, a fiducial, a bridge of solder, a logo

	base string // Key without the sizes of the body; empty: they are the same
	kind string // and without the number of pins; empty where the name without it means another package
	more bool   // the name says of a connector or the like which it is, beyond the key
	chip chipCode
}

// Keys gives the keys under which a rule for packages may name this one, the
// narrowest first: that of the package, that without the sizes of its body, and
// that without its number of pins: "QFN-16 3X3", "QFN-16", "QFN".
func (p Package) Keys() []string {
	keys := []string{p.Key}
	for _, k := range []string{p.base, p.kind} {
		if k != "" && k != keys[len(keys)-1] {
			keys = append(keys, k)
		}
	}
	return keys
}

// ReadPackage reads the name of a package: sizes of chips, land patterns by
// IPC-7351, outlines by JEDEC, IEC and JEITA, families of the trade, connectors by
// rows and columns, and words such as SMD. Of a name in a library, Lib:Name or
// Lib/Name, the name tells before the library does. What can be read two ways is
// not told, but for a bare 0402 or 0603, which is inch (see ChipSize). A longer
// text than any name gives its PackageKey alone.
func ReadPackage(text string) Package {
	switch {
	case text == "": // as it is in most rows
		return Package{}
	case len(text) > valueBytes:
		return Package{Key: PackageKey(libraryless(text))}
	}
	folded := wholeChip(foldName(text))
	p := readFolded(folded)
	if p.Key != "" {
		return p
	}
	// Hyphens and points within a word tell nothing apart: S.O.T.23.
	key := PackageKey(libraryless(text))
	if compact := foldName(key); !p.Nothing && compact != folded {
		switch q := readFolded(compact); {
		case q.chip.inch != "": // 06-03 may be a day
			p.Key = q.Key
		case q.Key != "":
			p = q.mounted(p.Mount)
		case q.Nothing:
			p = q
		}
	}
	p.Key = cmp.Or(p.Key, key)
	return p
}

// ShortPackage names a package as shortly as still reads as the same one: 0805 for
// Resistor_SMD:R_0805_2012Metric. The name of a library is left out; what tells one
// connector, switch or holder from others of its kind stays. A chip size that lost its
// leading 0 has it again, so that it is the same part as where it kept it.
func ShortPackage(text string) string {
	if whole := wholeChip(text); len(whole) > len(text) {
		return whole
	}
	p := ReadPackage(text)
	sizes := detailWords.Replace(strings.TrimPrefix(p.Key, cmp.Or(p.base, p.Key)))
	if p.more {
		p.Family, sizes = "", ""
	}
	for _, short := range []string{p.Family + sizes, libraryless(text)} {
		if short != "" && len(short) < len(text) && ReadPackage(short).Key == p.Key {
			return short
		}
	}
	return text
}

// detailWords writes what a key says of sizes as people read it.
var detailWords = strings.NewReplacer("X", "x", "HORIZONTAL", "horizontal", "SOCKET", "socket")

// libraryless takes the library off a name in it, Lib:Name.
func libraryless(text string) string {
	if i := strings.LastIndexByte(text, ':'); i >= 0 && i+1 < len(text) && text[i+1] != ' ' {
		return text[i+1:]
	}
	return text
}

// wholeChip gives the inch code of a chip that is written without its leading 0, as
// spreadsheets leave it, or with SM before it; common practice, no source.
func wholeChip(folded string) string {
	switch folded {
	case "402", "603", "805":
		return "0" + folded
	}
	if code, ok := strings.CutPrefix(folded, "SM"); ok && chipInch[code] != "" {
		return code
	}
	return folded
}

// readFolded reads a folded name; without a key where it tells no family.
func readFolded(s string) Package {
	library, name := splitLibrary(s)
	around := nameTokens(library)
	r := nameReading{name: name, tokens: nameTokens(name), around: around}
	r.scan()
	p := r.read()
	if len(around) == 0 {
		return p
	}
	l := nameReading{name: library, tokens: around}
	l.scan()
	switch {
	case l.hit[roleNothing].word != nil && p.Family == "" && !p.Nothing:
		p = l.nothing()
	case p.Family == "" && !p.Nothing:
		p = r.within(&l, p)
	}
	if p.Mount == MountNone && !p.Nothing {
		return p.mounted(l.said())
	}
	return p
}

// splitLibrary parts the name of a library from the name within it. A stroke
// parts them where nothing before it is a package itself, as in 0603/1608M.
func splitLibrary(s string) (library, name string) {
	if i := strings.LastIndexByte(s, ':'); i >= 0 && strings.TrimSpace(s[i+1:]) != "" {
		return s[:i], s[i+1:]
	}
	i := strings.LastIndexAny(s, `/\`)
	if i <= 0 || strings.TrimSpace(s[i+1:]) == "" {
		return "", s
	}
	before := readWhole(s[:i])
	if before.Key == "" && !before.Nothing && readWhole(s[i+1:]).Key != "" {
		return s[:i], s[i+1:]
	}
	return "", s
}

func readWhole(s string) Package {
	r := nameReading{name: s, tokens: nameTokens(s)}
	r.scan()
	return r.read()
}

// nameReading is a name with what its words are known for.
type nameReading struct {
	name    string // folded
	tokens  []nameToken
	around  []nameToken // of the library
	hit     [roles]nameHit
	outline outline // of the first word and number that make one
	unknown int     // words that are not known
}

// nameHit is the first word of a role.
type nameHit struct {
	word *nameWord
	at   int // its first token; -1: it stands in the name of the library
	end  int // the token after its last
}

// scan looks up all words.
func (r *nameReading) scan() {
	for i := 0; i < len(r.tokens); {
		if r.tokens[i].number {
			i++
			continue
		}
		w, end := r.wordFrom(i)
		switch {
		case w == nil:
			if !r.letterOfSize(i) {
				r.unknown++
			}
		case r.tokens[i].text == "TH" && (glued(r.tokens, i) || glued(r.tokens, end)):
			r.unknown++ // TH1
		case w.role == rolePrefix:
			r.notePrefix(w, i)
		default:
			r.note(w, i, end)
		}
		i = end
	}
}

// letterOfSize tells a letter that belongs to a number: P2.54mm, 0805K.
func (r *nameReading) letterOfSize(i int) bool {
	t := r.tokens
	if len(t[i].text) > 1 {
		return false
	}
	return glued(t, i) || glued(t, i+1) && chipInch[t[i+1].text] == "" && chipMetric[t[i+1].text] == ""
}

// wordFrom finds the longest known word that begins with token i.
func (r *nameReading) wordFrom(i int) (*nameWord, int) {
	t := r.tokens
	if i+2 < len(t) && len(t[i].text) == 1 && t[i+1].sep == 0 && len(t[i+1].text) == 1 && t[i+2].sep == 0 { // D2PAK
		if w := packageWords[t[i].text+t[i+1].text+t[i+2].text]; w != nil {
			return w, i + 3
		}
	}
	text := t[i].text
	w := knownWord(text)
	if w != nil && w.opens && wordAt(t, i+1) != "" {
		if two := knownWord(text + " " + t[i+1].text); two != nil {
			return two, i + 2
		}
	}
	if w != nil && w.role == roleOpener {
		return nil, i + 1
	}
	return w, i + 1
}

// knownWord finds a word or phrase, or a plural by its singular.
func knownWord(text string) *nameWord {
	w := packageWords[text]
	if w == nil && len(text) > 3 {
		w = packageWords[strings.TrimSuffix(text, "S")]
	}
	return w
}

// note keeps the first word of each role; of the families that are written with
// their pins, the first with its pins.
func (r *nameReading) note(w *nameWord, at, end int) {
	if land, ok := r.landAt(w, at); ok {
		if r.hit[roleLand].word == nil {
			r.hit[roleLand] = nameHit{land, at, end}
		}
		return
	}
	if w.role == roleLand {
		r.unknown++
		return
	}
	if w.role == roleLeaded && w.needsPins && r.pinsOf(at, end) == 0 {
		r.unknown++
		return
	}
	h := &r.hit[w.role]
	if h.word == nil || w.role == roleLeaded && r.pinsOf(h.at, h.end) == 0 && r.pinsOf(at, end) > 0 {
		*h = nameHit{w, at, end}
	}
}

// read tells what the name is, without a key where it tells no family.
func (r *nameReading) read() Package {
	if h := r.hit[roleNothing]; h.word != nil {
		if h.word.name != "test pad" || r.hit[roleLoop].word == nil {
			return r.nothing()
		}
		r.hit[rolePlain] = nameHit{packageWords["TESTLOOP"], h.at, h.end}
	}
	// The surer a way of naming, the earlier; many unlike parts have one family of those marked more.
	for _, way := range []struct {
		read func(*nameReading) (Package, bool)
		more bool
	}{
		{readLandPattern, false}, {readOutline, false}, {readLeaded, false}, {readPort, true}, {readHeader, true}, {readCrystal, false},
		{readTantalum, false}, {readPlain, true}, {readSwitch, true}, {readDomedLight, true}, {readChipPackage, false}, {readPinnedCode, true},
	} {
		if p, ok := way.read(r); ok {
			p.more = way.more && r.saysMore(p)
			return p.mounted(r.said())
		}
	}
	return Package{Mount: r.said()}
}

// saysMore tells whether a name holds words or numbers that are not in its key: those of a
// series or of a maker's part, such as QX3342. Of what has but leads, value and size say
// enough.
func (r *nameReading) saysMore(p Package) bool {
	const long = 3 // digits
	if p.Family == "axial" || p.Family == "radial" {
		return false
	}
	return r.unknown > 0 || slices.ContainsFunc(r.tokens, func(t nameToken) bool {
		return t.number && len(t.text) >= long && !strings.Contains(t.text, ".") && !strings.Contains(p.Key, t.text)
	})
}

// nothing is what has no part to buy.
func (r *nameReading) nothing() Package {
	return Package{Family: r.hit[roleNothing].word.name, Nothing: true}
}

// said is the mount that a word states; none where words state both.
func (r *nameReading) said() Mount {
	smt, tht := r.hit[roleSMT].word != nil, r.hit[roleTHT].word != nil
	switch {
	case smt && !tht:
		return SMT
	case tht && !smt:
		return THT
	}
	return MountNone
}

// within reads a name that tells nothing by itself, such as 1x06, with the words
// of its library.
func (r *nameReading) within(l *nameReading, p Package) Package {
	for _, role := range []nameRole{roleHeader, roleCrystal, rolePlain, roleArray} {
		if r.hit[role].word == nil && l.hit[role].word != nil {
			r.hit[role] = nameHit{l.hit[role].word, -1, 0}
		}
	}
	if l.hit[roleChip].word != nil && l.said() != THT {
		r.unknown = 0
	}
	if q := r.read(); q.Key != "" {
		return q
	}
	return p
}

// family makes a package of a family that has one name for all its sizes.
func family(name string, mount Mount, joints int) Package {
	return Package{Family: name, Key: strings.ToUpper(name), Mount: mount, Joints: Joints{joints, joints > 0}}
}

// mounted gives a package the mount that a word states. One that its family has
// not makes it another package: DIP-8 SMD.
func (p Package) mounted(said Mount) Package {
	if said != MountNone && p.Mount != said {
		if p.Key != "" {
			p = p.sized(string(said))
		}
		p.Mount = said
	}
	return p
}

// sized adds to the key what tells packages of one family and number of pins
// apart.
func (p Package) sized(details ...string) Package {
	p.base = cmp.Or(p.base, p.Key)
	for _, d := range details {
		if d != "" {
			p.Key += " " + d
		}
	}
	return p
}

// detail is a size with its letter, or nothing.
func detail(letter, number string) string {
	if number == "" {
		return ""
	}
	return letter + number
}

// pinsOf gives the number of pins that goes with the word of tokens at to end:
// after it (SOIC-8, QFN16), or before it (8-SOIC); 0 where none does.
func (r *nameReading) pinsOf(at, end int) int {
	t := r.tokens
	if at < 0 {
		return 0
	}
	if n := wholeAt(t, end); n > 0 && n <= mostPins && !times(t, end) && wordAt(t, end+1) != "MM" {
		switch t[end].sep {
		case 0, '-', '_', ' ', '(':
			// A number of pads for heat is none of pins: QFN-1EP.
			if w := packageWords[wordAt(t, end+1)]; w == nil || w.role != rolePad || !glued(t, end+1) || n > 2 {
				return n
			}
		}
	}
	if n := wholeAt(t, at-1); n > 1 && n <= mostPins && t[at-1].sep != 0 && !times(t, at-3) {
		switch t[at].sep {
		case 0, '-', ' ':
			return n
		}
	}
	return 0
}

// heatPads gives the number of pads for heat that the name tells: EP, 1EP.
func (r *nameReading) heatPads() int {
	h := r.hit[rolePad]
	switch {
	case h.word == nil:
		return 0
	case wholeAt(r.tokens, h.at-1) >= 1 && wholeAt(r.tokens, h.at-1) <= 4 && r.tokens[h.at].sep == 0:
		return wholeAt(r.tokens, h.at-1)
	}
	return 1
}

// readLeaded reads a family that is written with its number of pins: SOIC-8,
// QFN-16-1EP_3x3mm, 20-SSOP, DIP-8.
func readLeaded(r *nameReading) (p Package, ok bool) {
	h := r.hit[roleLeaded]
	if h.word == nil {
		return p, false
	}
	w, name := h.word, h.word.name
	pins := cmp.Or(r.pinsOf(h.at, h.end), pinCount(r.tokens))
	if name == "DIP" && r.hit[roleSwitch].word != nil {
		return r.dipSwitch(pins), true
	}
	pads := max(w.joints, r.heatPads())
	if pins > 0 {
		name += "-" + strconv.Itoa(pins)
	}
	if w.name == "SOIC" && r.wide(h, pins) {
		name += "W"
	}
	p = family(name, w.mount, 0)
	if pins > 0 {
		p.Joints = Joints{pins + pads, true}
	}
	p.kind = w.name
	heat := ""
	if pads > w.joints {
		heat = "EP"
	}
	switch {
	case w.sized:
		p = p.sized(heat, bodySize(r.tokens))
	case w.name == "DIP":
		p = p.sized(rowsApart(r.tokens, pins), r.socket())
	default:
		p = p.sized(heat)
	}
	return p, true
}

// wide tells of a small outline that its body is 7.5 mm wide (JEDEC MS-013) and
// not 3.9 mm (MS-012).
func (r *nameReading) wide(h nameHit, pins int) bool {
	if pins > 0 && wordAt(r.tokens, h.end+1) == "W" && glued(r.tokens, h.end+1) && !glued(r.tokens, h.end+2) {
		return true
	}
	return h.word.wide || r.hit[roleWide].word != nil || strings.HasPrefix(bodySize(r.tokens), "7.5X")
}

// rowsApart is the distance between the rows of a dual in-line package, in mm,
// unless it is the usual one: 7.62 mm up to 20 pins.
func rowsApart(t []nameToken, pins int) string {
	w := afterLetter(t, "W")
	if w == "7.62" && pins > 0 && pins <= 20 {
		return ""
	}
	return detail("W", w)
}

func (r *nameReading) socket() string {
	if h := r.hit[roleHeader]; h.word != nil && h.word.name == "pin socket" {
		return "SOCKET"
	}
	return ""
}
