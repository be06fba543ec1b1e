package bom

import (
	"cmp"
	"slices"
	"strconv"
	"strings"
)

// outline is a package known by its number in a register: SOT-23, TO-220.
type outline struct {
	*outlineWord
	pins   int // as they stand after the number; 0: none
	suffix string
}

// outlineWord is a row of the table of outlines.
type outlineWord struct {
	name   string // as it is shown
	same   string // the name under which it is compared; empty: its own
	mount  Mount
	joints int  // where no number of pins follows; 0: not told
	varies bool // the number of pins may follow
	tab    bool // soldered by a tab besides the leads that are counted
}

// outlineRows are outlines as they are called in the trade: by JEDEC's registers
// of transistor (TO), diode (DO) and small packages, by IEC 60191 (SOT, SOD) and
// by JEITA ED-7500 (SC). A row is: mount, number of joints (+ where a number of
// pins may follow, t where a soldered tab is not counted with the leads), then
// names, each with other names of the same package behind it. Counts and equal names
// from memory of JEDEC Publication 95 and makers' cross references, but where the test
// names more.
const outlineRows = `
SMT 2 MiniMELF=SOD-80,LL-34,DO-213AA,DO-213AC SOD-106 SOD-110 SOD-123 SOD-128 SOD-323=SC-76 SOD-523=SC-79 SOD-723 SOD-882 SOD-923
SMT 2 SMA=DO-214AC SMB=DO-214AA SMC=DO-214AB SMF=DO-219AB DO-215 DO-216=DO-216AA DO-218=DO-218AB DO-221=DO-221AC MELF=DO-213AB,LL-41
SMT 3 SOT-346=SC-59,SC-59A SOT-416=SC-75,SC-75A SOT-490 SOT-523 SOT-723 SOT-883 TO-277=TO-277A DO-220=DO-220AA
SMT 3+ SOT-23=TO-236,TO-236AA,TO-236AB TSOT-23 SC-70=SOT-323 SOT-89=SC-62,TO-243,TO-243AA
SMT 3t TO-252=SC-63,TO-252AA,TO-252AB TO-263=TO-263AA,TO-263AB TO-268=TO-268AA
SMT 4 SC-70-4=SOT-343,SC-82 SOT-143=TO-253,TO-253AA,SC-61 SOT-543 TO-269=TO-269AA
SMT 4+ SOT-223=SC-73,TO-261,TO-261AA
SMT 5 SOT-23-5=SOT-25,SOT-753,SC-74A SC-70-5=SOT-353,SC-88A SOT-553 SOT-665 SOT-953
SMT 6 SOT-23-6=SOT-26 SOT-457=SC-74 SC-70-6=SOT-363,SC-88 SOT-563 SOT-666 SOT-886 SOT-963
THT 2 DO-7=DO-204AA DO-15=DO-204AC DO-27=DO-201 DO-35=DO-204AH,SOD-27 DO-41=DO-204AL,SOD-66,SOD-81 DO-201AD DO-201AE TO-3=TO-204 TO-66 HC-18
THT 2 HC-25 HC-33 HC-43 HC-45 HC-49 HC-50 HC-51
THT 3 TO-3P=SC-65 TO-5 TO-8 TO-18=TO-206AA TO-39=TO-205AD TO-46 TO-52 TO-126=TO-225,TO-225AA,SOT-32 TO-202 TO-218 TO-251=SC-64,TO-251AA
THT 3 TO-262=TO-262AA TO-274
THT 3+ TO-92=TO-226,TO-226AA,SC-43,SC-43A,SOT-54 TO-220=SC-46,SOT-78 TO-247 TO-264
THT 4 TO-72
THT 6 TO-71
THT 8 TO-78 TO-99 RJ-45
THT 10 TO-100
`

// outlines are outlineRows by name in capitals without hyphens.
var outlines = func() map[string]*outlineWord {
	table := map[string]*outlineWord{}
	for row := range strings.SplitSeq(strings.TrimSpace(outlineRows), "\n") {
		f := strings.Fields(row)
		tab := strings.HasSuffix(f[1], "t")
		word := outlineWord{mount: Mount(f[0]), joints: atoi(strings.TrimRight(f[1], "+t")), varies: tab || strings.HasSuffix(f[1], "+"), tab: tab}
		for _, words := range f[2:] {
			names := strings.FieldsFunc(words, func(r rune) bool { return r == '=' || r == ',' })
			for i, name := range names {
				o := word
				if o.name = name; i > 0 {
					o.same = names[0]
				}
				table[outlineKey(name)] = &o
			}
		}
	}
	return table
}()

// notePrefix takes in an outline that begins with the word at i: its number
// follows, one word with it or not.
func (r *nameReading) notePrefix(w *nameWord, i int) {
	if _, ok := r.landAt(w, i); ok {
		if r.hit[roleLand].word == nil {
			r.hit[roleLand] = nameHit{w, i, i + 1}
		}
		return
	}
	o, ok := r.outlineAt(i)
	if !ok {
		return // TO and SC are words, too
	}
	if h := &r.hit[roleOutline]; h.word == nil {
		*h, r.outline = nameHit{w, i, i + 2}, o
	}
}

// outlineAt reads prefix, number, letters and pins from token i on: SOT 23 5,
// TO 220 AB 3. What follows the number in one word with it may be pins: SOT235.
func (r *nameReading) outlineAt(i int) (o outline, ok bool) {
	t := r.tokens
	if i+1 >= len(t) || !t[i+1].whole || t[i+1].sep != 0 && strings.IndexByte("-_ ", t[i+1].sep) < 0 {
		return o, false
	}
	prefix, number := t[i].text, t[i+1].text
	next, suffix := i+2, ""
	if s := wordAt(t, next); s != "" && glued(t, next) && !glued(t, next+1) && len(s) <= 3 && s != "MM" && s != "X" {
		suffix, next = s, next+1
	}
	if prefix == "HC" && suffix == "" && holders[wordAt(t, next)] && !glued(t, next+1) {
		suffix, next = t[next].text, next+1
	}
	letters := suffix
	if o.outlineWord, o.suffix = outlines[prefix+number+suffix], ""; o.outlineWord == nil {
		o.outlineWord, o.suffix = outlines[prefix+number], letters
	}
	if n := len(number) - 1; o.outlineWord == nil && n > 1 && number[n] > '1' {
		if w := outlines[prefix+number[:n]]; w != nil && w.varies {
			o.outlineWord, o.pins = w, int(number[n]-'0')
		}
	}
	if o.outlineWord == nil {
		return o, false
	}
	if n := wholeAt(t, next); n > 0 && n <= 64 && o.pins == 0 && strings.IndexByte("-_ ", t[next].sep) >= 0 &&
		!times(t, next) && wordAt(t, next+1) != "MM" && !(wordAt(t, next+1) == "EP" && glued(t, next+1)) {
		o.pins = n
	}
	if isVariation(o.suffix) || prefix == "HC" && o.suffix == "U" {
		o.suffix = ""
	}
	return o, true
}

// holders are the letters of crystal holders: U for wires (and nothing besides),
// S for a low can, SM and SD for the surface.
var holders = WordSet("U S US SM SD USM SMX")

func outlineKey(name string) string { return strings.ToUpper(strings.ReplaceAll(name, "-", "")) }

// isVariation tells the letters of a variation in JEDEC's registers, such as AB
// of TO-220AB, from those of another package, such as F of SOD-123F.
func isVariation(s string) bool {
	return len(s) == 2 && s[0] == 'A' && s[1] >= 'A' && s[1] <= 'H'
}

// readOutline gives what is known of an outline.
func readOutline(r *nameReading) (p Package, ok bool) {
	h := r.hit[roleOutline]
	o := r.outline
	switch {
	case h.word == nil:
		return p, false
	case o.outlineWord == nil: // a name without a number: DPAK, SMA
		if h.word.coax && (coaxial(r.tokens) || coaxial(r.around)) {
			return family("coaxial connector "+h.word.name, MountNone, 0), true
		}
		o = outline{outlineWord: outlines[outlineKey(h.word.name)]}
		if o.outlineWord == nil {
			return family(h.word.name, h.word.mount, h.word.joints), true
		}
		if n := r.pinsOf(h.at, h.end); n > 0 && o.varies {
			o.pins = n
		}
	}
	return r.asOutline(o), true
}

// asOutline counts the joints of an outline. Where a tab is soldered, makers
// count it among the pins or not: three stand for two leads and the tab, the
// middle lead being cut off, unless the name says which pin the tab is; more are
// leads besides the tab. SOT-223 has four joints, whether 3 or 4 are named.
func (r *nameReading) asOutline(o outline) Package {
	joints, pins := o.joints, o.pins
	tab := o.tab && r.hit[roleTab].word != nil
	if n := pinCount(r.tokens); o.varies && n > 0 && (tab || !o.tab && pins == 0) {
		pins = n // 2 leads + tab
	}
	named := o.name + o.suffix
	compared := cmp.Or(o.same, o.name)
	compared += o.suffix
	switch {
	case !o.varies || pins == 0:
	case o.tab && (pins > 3 || pins == 3 && tab):
		joints = pins + 1
	case o.tab:
		joints = 3
	case compared == "SOT-223" && pins == 3:
	default:
		joints = pins
	}
	if o.varies && joints != o.joints {
		// It is named by what it says itself, so that the name reads the same again.
		if o.tab {
			pins = joints - 1
		}
		named, compared = named+"-"+strconv.Itoa(pins), compared+"-"+strconv.Itoa(pins)
		if o.tab && pins == 3 {
			named, compared = named+" tab", compared+" TAB"
		}
	}
	if same := outlines[outlineKey(compared)]; same != nil && same.same != "" {
		compared = same.same
	}
	p := family(named, o.mount, joints+r.heatPads())
	p.Key = strings.ToUpper(compared)
	if surface := strings.TrimPrefix(o.suffix, "U"); strings.HasPrefix(o.name, "HC-") && (strings.HasPrefix(surface, "SM") || surface == "SD") {
		p.Mount = SMT
	}
	if r.heatPads() > 0 {
		p = p.sized("EP")
	}
	return p
}

// coaxial tells words of connectors, which SMA, SMB and SMC are as well.
func coaxial(t []nameToken) bool {
	return slices.ContainsFunc(t, func(x nameToken) bool {
		w := packageWords[x.text]
		return w != nil && w.coax && w.role != roleOutline
	})
}
