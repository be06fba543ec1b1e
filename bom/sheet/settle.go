package sheet

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tenoff/bom"
)

// settled settles what the lists of a unit do not say of their lines: kind, mount,
// joints, side, level and key, in this order: the list itself; the tab parts of the
// price sheet; the name of the package; the description; the letters of the
// designator, which is an assumption. It tells, grouped, what was settled how, and
// complains of what cannot be settled. The unit that comes back is the one that was
// given, or, where parts of it stand on a board that it does not name, one with that board.
func settled(lists []*bom.Assembly, opt Options) (*bom.Assembly, bom.Problems) {
	s := &settler{lists: lists, done: map[*bom.Assembly]bool{}, units: map[*bom.Assembly]*bom.Assembly{}, ways: map[way]*settledLines{}, rules: opt.Parts, lacking: opt.lacking()}
	for _, list := range lists {
		s.assembly(list)
	}
	unit := together(lists)
	shorten(unit)
	s.tell()
	if len(unit.Lines) > 0 && !anyFitted(unit) {
		s.problems.Errorf(bom.Place{File: unit.File, Sheet: unit.Sheet}, "", "a line that is fitted, with a quantity over 0", "nothing is made: no line of the list is fitted")
	}
	units := make([]*bom.Assembly, len(lists))
	for i, list := range lists {
		units[i] = s.withBoard(list)
	}
	return together(units), s.problems
}

// together is a unit with one of each list.
func together(lists []*bom.Assembly) *bom.Assembly {
	if len(lists) == 1 {
		return lists[0]
	}
	unit := &bom.Assembly{File: lists[0].File}
	for _, list := range lists {
		unit.Lines = append(unit.Lines, list.Lines...)
	}
	return unit
}

// settler settles the lines of all lists.
type settler struct {
	lists    []*bom.Assembly // that the unit holds
	rules    []bom.PartRule
	lacking  bom.Severity
	done     map[*bom.Assembly]bool
	units    map[*bom.Assembly]*bom.Assembly // of lists that do not name their board: see withBoard
	settled  []*settledLines                 // in the order in which they were met
	ways     map[way]*settledLines
	problems bom.Problems
}

// way is what lines of a list are settled as, and how that is known.
type way struct {
	list    bom.Place
	what    string // "machine-placed"
	how     string // "by package"
	assumed bool
}

// settledLines are those that were settled in one way.
type settledLines struct {
	way
	count int
	names []string // what told it: "0805"
	named map[string]bool
}

func (s *settler) assembly(a *bom.Assembly) {
	if a == nil || s.done[a] {
		return
	}
	s.done[a] = true
	for _, l := range a.Lines {
		s.line(l, bom.Place{File: a.File, Sheet: a.Sheet})
		s.assembly(l.Sub)
		if l.Kind == bom.KindAssembly && l.Sub != nil {
			l.Sub = s.withBoard(l.Sub)
		}
	}
	s.tellApart(a)
}

// tellApart adds to keys that mean several things what tells those apart. Of lines that have
// one value and no package but are described as different things it is the description: an
// M3 that is a screw, and one that is an insert. Of a value without a unit it is the unit,
// where designators of several kinds have it: 100u of a capacitor and of an inductor. Of a
// part number it is the value, where that of a series stands beside several.
// Of a bare name, Resistor, it is a remark with a figure.
// Otherwise values of resistors and the like are one part however they are described.
func (s *settler) tellApart(a *bom.Assembly) {
	said, differ := map[string]string{}, map[string]bool{} // by key: what tells apart
	marks := make([]apart, len(a.Lines))
	for i, l := range a.Lines {
		if marks[i] = apartBy(l); marks[i].what != "" {
			key := bom.ExactKey(l.Part)
			of := key
			if marks[i].code {
				of += "\n" + bom.Fold(l.Offered.Supplier) // each supplier has codes of its own
			}
			before, again := said[of]
			differ[key] = differ[key] || again && before != marks[i].what
			said[of] = marks[i].what
		}
	}
	for i, l := range a.Lines {
		mark := marks[i]
		if mark.what == "" || !differ[bom.ExactKey(l.Part)] {
			continue
		}
		l.Part = mark.part
		if mark.told != "" {
			p := bom.Problem{Place: l.At(mark.at), Severity: bom.Note, What: mark.told, Want: "a part number, if they are one part", Each: bom.Shown(l.Part)}
			if l.Number != "" {
				p.Severity, p.Want = bom.Warning, "the part number of each"
			}
			s.problems.Add(p)
		}
	}
}

// shorten names lines that are known by value and package as people read them, 10k 0805 for
// 10k Resistor_SMD:R_0805_2012Metric, where no other line of the unit would have that name
// and be another part.
func shorten(unit *bom.Assembly) {
	type sense struct{ part, class string }
	one, several := map[string]sense{}, map[string]bool{}
	name := func(l *bom.Line) (string, sense) {
		rest, packaged := strings.CutSuffix(l.Part, " "+l.Package)
		if l.Number != "" || !packaged {
			return l.Part, sense{part: bom.Fold(l.Part)}
		}
		short := rest + " " + bom.ShortPackage(l.Package)
		if bom.PackageKey(rest) == bom.PackageKey(bom.ShortPackage(l.Package)) {
			short = rest
		}
		if _, value := bom.ParseValue(l.Value); value && len(l.Designators) > 0 {
			return short, sense{class: bom.ClassOf(l.Designators[0])}
		}
		return short, sense{part: bom.Fold(l.Part)}
	}
	for l := range unit.AllLines() {
		short, is := name(l)
		key := bom.Fold(short)
		if had, again := one[key]; again && had != is {
			several[key] = true
		}
		one[key] = is
	}
	for l := range unit.AllLines() {
		if short, _ := name(l); short != l.Part && !several[bom.Fold(short)] {
			l.Part, l.Spelled = short, l.Part
		}
	}
}

// apart is what tells a line from others of its key; nothing where nothing may.
type apart struct {
	what string
	code bool   // it is the order code
	part string // the key of the line with it
	told string // how the lines are told apart, and under which heading what tells them stands
	at   string
}

func apartBy(l *bom.Line) apart {
	v, electrical := bom.ParseValue(l.Value)
	switch {
	case !l.Fitted:
	case l.Value == "" && l.Number == "" && l.Offered.Code != "":
		code := l.Offered.Code
		return apart{what: code, code: true, part: l.Part + " " + code, told: "lines of one description are told apart by their order codes", at: "Order code"}
	case l.Value == "" && l.Number == "":
		return figureOf(l)
	case l.Number != "" && electrical:
		return apart{what: v.Number.String(), part: l.Part + " " + strings.TrimSpace(l.Value+" "+l.Package), // with its unit or without
			told: "one part number stands for different values, so the value tells the part", at: "Part number"}
	case l.Number != "":
	case electrical && v.Unit == "" && len(l.Designators) > 0:
		unit := bom.DimensionOf(bom.ClassOf(l.Designators[0]))
		return apart{what: unit, part: strings.TrimSpace(l.Value + unit + " " + l.Package)}
	case electrical || l.Part != l.Value || saysUse.MatchString(l.Description):
	case l.Description != "":
		return apart{what: bom.Fold(l.Description), part: l.Part + " " + bom.ExactKey(l.Description), told: "lines of one value are told apart by their descriptions", at: "Value"}
	default:
		return figureOf(l)
	}
	return apart{}
}

// saysUse tells a description of what a part is for from one of what it is.
var saysUse = regexp.MustCompile(`(?i)^(?:to|for|für|zum|zur|pour|para|per) `)

// remarkHeads head what is remarked on a line; common practice, no source.
var remarkHeads = bom.WordSet("notes note remark remarks comment comments detail details info information spec specs specification specifications type size " +
	"bemerkung bemerkungen anmerkung anmerkungen hinweis notas nota remarque remarques commentaire commentaires 備考 备注")

// remarkLength is how long a remark is at most that may say which part a line is of.
const remarkLength = 40

// figureOf is a short remark with a figure on a line whose name has none: Resistor, 10k.
func figureOf(l *bom.Line) apart {
	const digits = "0123456789"
	for _, e := range l.Extra {
		if remarkHeads[bom.NormalHeading(e.Heading)] && len(e.Text) <= remarkLength && strings.ContainsAny(e.Text, digits) && !strings.ContainsAny(l.Part, digits) {
			return apart{what: bom.Fold(e.Text), part: l.Part + " " + bom.ExactKey(e.Text), told: "lines of one description are told apart by their remarks", at: "Description"}
		}
	}
	return apart{}
}

// line settles one line. What comes later rests on what comes before.
func (s *settler) line(l *bom.Line, list bom.Place) {
	s.sizeOf(l)
	t := teller{settler: s, line: l, list: list, pkg: bom.ReadPackage(l.Package), by: byPackage,
		said: bom.ReadDescription(strings.TrimSpace(l.Description + " " + l.Value + " " + l.Number))}
	t.rule = s.ruleFor(l, t.pkg)
	t.class, _ = bom.ClassAssumption(l.Designators)
	t.packageSaid()
	t.nothing()
	t.kind()
	t.mount()
	t.joints()
	t.side()
	if !l.MassG.Known && t.rule != nil {
		l.MassG = t.rule.MassG
	}
	if !l.Size[2].Known && t.rule != nil {
		l.Size[2] = t.rule.Height
	}
	if l.Hazard == nil && t.rule != nil {
		l.Hazard = t.rule.Hazard
	}
	if !l.LevelGiven {
		l.Level = levelFor(l)
	}
	s.key(l)
	s.complete(l)
}

// sizeOf takes the size of a chip from its description where nothing else names one: 10 uF,
// "1206 capacitor". Other packages in a description may be what it is for.
func (s *settler) sizeOf(l *bom.Line) {
	if _, electrical := bom.ParseValue(l.Value); !electrical || l.Package != "" || l.Number != "" {
		return
	}
	if p := bom.ReadPackage(l.Description); p.Family != "" && strings.Trim(p.Family, "0123456789") == "" {
		l.Package = p.Key
		s.problems.Add(bom.Problem{Place: l.At("Description"), Severity: bom.Note, What: "the size of a chip is taken from its description",
			Want: "a column Package, if that is wrong", Each: bom.Shown(l.Value + " " + l.Package)})
	}
}

// packageSaid takes the package of a part from its description where no column names one:
// "LDO regulator 3.3 V, SOT-23-5", and the leads of resistors and the like: "capacitor,
// radial", and of lamps: "LED, 5mm". Connectors and the like may be what the part is for,
// but not where the designators are those of no chip: J1, "Header 2x3".
func (t *teller) packageSaid() {
	if t.pkg.Mount != bom.MountNone || t.pkg.Nothing || t.line.Given.Mount {
		return
	}
	p, twoLeads := bom.ReadPackage(t.line.Description), t.class.Mount == bom.SMT && t.class.Joints <= 2
	if bodies.MatchString(p.Family) || twoLeads && (p.Family == "axial" || p.Family == "radial") {
		t.pkg, t.by = p, byDescription
		return
	}
	if l := t.line; lamps[t.class.Letters] {
		for _, text := range []string{l.Description, l.Value, l.Value + " " + l.Package} {
			if p := bom.ReadPackage(text); strings.HasPrefix(p.Family, "LED D") {
				t.pkg, t.by = p, byDescription
				return
			}
		}
	}
	if t.class.Mount != bom.THT {
		return
	}
	for _, named := range []bom.Package{bom.ReadPackage(t.line.Value), p} {
		if named.Mount != bom.MountNone && named.Joints.Known && !meansElse[named.Family] {
			t.pkg, t.by = named, byDescription
			return
		}
	}
}

// lamps are the letters of what may be a lamp: IEEE 315 has DS and D, LED is common practice,
// no source.
var lamps = bom.WordSet("D DS LED LD")

// meansElse are names that mean something else in a value: a coaxial connector has that of
// a diode's package, and the poles of a relay are not its pins.
var meansElse = map[string]bool{"SMA": true, "SMB": true, "SMC": true, "relay": true}

// bodies are the packages of chips, semiconductors and crystals, as ReadPackage names them.
var bodies = regexp.MustCompile(`^(?:[A-Z]*SO[A-Z]*|[A-Z]*QF[NP]|[A-Z]*DFN|[A-Z]*BGA|[A-Z]*DIP|TO|DO|HC)-\d+(?:-\d+)*[A-Z]*$|^\d{4,5}$`)

// levelFor is the level from which a line is included where it does not say.
func levelFor(l *bom.Line) bom.Level {
	if l.Kind == bom.KindPacking || l.Kind == bom.KindBoard || l.Mount == bom.SMT {
		return bom.LevelBoard
	}
	return bom.LevelKit
}

// teller settles the fields of one line.
type teller struct {
	*settler
	line  *bom.Line
	list  bom.Place
	rule  *bom.PartRule // of the tab parts; nil where none fits
	pkg   bom.Package
	by    string // how it is known
	said  bom.Said
	class bom.Class // nothing where there are no designators
}

const (
	byRule        = "by the tab parts"
	byPackage     = "by package"
	byDescription = "by description"
	byTitle       = "by the title above"
	byClass       = "by the letters of the designators"
)

func (t *teller) note(what, how, name string) { t.settle(way{t.list, what, how, false}, name) }

// assume notes an assumption about a field of the line.
func (t *teller) assume(field *bool, what, how, name string) {
	*field = t.settle(way{t.list, what, how, true}, name)
}

// settle counts the line among those that were settled in one way, where it is bought.
func (t *teller) settle(w way, name string) bool {
	if !t.line.Fitted || t.line.Nothing {
		return false
	}
	lines := t.ways[w]
	if lines == nil {
		lines = &settledLines{way: w, named: map[string]bool{}}
		t.ways[w], t.settled = lines, append(t.settled, lines)
	}
	if lines.count++; name != "" && !lines.named[name] {
		lines.named[name] = true
		lines.names = append(lines.names, name)
	}
	return true
}

// assumeByClass notes what the letters of the designators, or their lack, let assume.
func (t *teller) assumeByClass(field *bool, what string) {
	switch d := t.line.Designators; {
	case t.class.Letters != "":
		t.assume(field, what, byClass, t.class.Letters)
	case len(d) > 0:
		t.assume(field, what, byClass, d[0])
	default:
		t.assume(field, what, "without a designator", lineName(t.line))
	}
}

// nothing tells lines that there is nothing to buy for: holes, test points, logos.
// A part number, or a row of the tab parts, makes them something.
func (t *teller) nothing() {
	l := t.line
	if l.Number != "" || l.Given.Kind || t.rule != nil || l.Offered.Code != "" {
		return
	}
	if t.pkg.Nothing || t.said.Nothing || t.class.Nothing {
		t.note("nothing to buy", "", strings.Join(l.Designators, " "))
		l.Nothing = true
	}
}

func (t *teller) kind() {
	l := t.line
	switch {
	case l.Given.Kind:
	case t.rule != nil && t.rule.Kind != "":
		l.Kind = t.rule.Kind
		t.note(kindWords(l.Kind), byRule, t.rule.Name())
	case t.said.Kind != "" && t.pkg.Mount == bom.MountNone && (l.Quantity.IsWhole() || divisible(t.said.Kind)):
		l.Kind = t.said.Kind
		t.note(kindWords(l.Kind), byDescription, lineName(l))
	case t.class.Kind != "" && t.class.Kind != bom.KindPart && t.pkg.Mount == bom.MountNone:
		l.Kind = t.class.Kind
		t.assumeByClass(&l.Assumed.Kind, kindWords(l.Kind))
	case len(l.Designators) > 0 || l.Given.Mount || t.pkg.Mount != bom.MountNone || t.said.Mount != bom.MountNone:
		l.Kind = bom.KindPart
	case l.Under.Kind != "":
		l.Kind = l.Under.Kind
		t.note(kindWords(l.Kind), byTitle, l.Under.Title)
	default:
		l.Kind = bom.KindOther
		t.assume(&l.Assumed.Kind, "parts that no board holds (other)", "without a designator, a mount or a kind", lineName(l))
	}
	if l.Kind != bom.KindPart {
		l.Mount = bom.MountNone
	}
}

func kindWords(k bom.Kind) string {
	switch k {
	case bom.KindFastener:
		return "fasteners"
	case bom.KindInsert:
		return "inserts"
	case bom.KindWire:
		return "wire"
	}
	return "of the kind " + string(k)
}

func placedAs(m bom.Mount) string {
	if m == bom.SMT {
		return "machine-placed (SMT)"
	}
	return "through-hole (THT)"
}

func (t *teller) mount() {
	l := t.line
	if l.Kind != bom.KindPart || l.Given.Mount {
		return
	}
	switch {
	case t.rule != nil && t.rule.Mount != bom.MountNone:
		l.Mount = t.rule.Mount
		t.note(placedAs(l.Mount), byRule, t.rule.Name())
	case t.pkg.Mount != bom.MountNone:
		l.Mount = t.pkg.Mount
		t.note(placedAs(l.Mount), t.by, cmp.Or(t.pkg.Family, l.Package))
	case t.said.Mount != bom.MountNone:
		l.Mount = t.said.Mount
		t.note(placedAs(l.Mount), byDescription, lineName(l))
	default:
		l.Mount = cmp.Or(t.class.Mount, bom.THT)
		t.assumeByClass(&l.Assumed.Mount, placedAs(l.Mount))
	}
}

func (t *teller) joints() {
	l := t.line
	if l.Kind != bom.KindPart || l.Given.Joints {
		return
	}
	switch {
	case t.rule != nil && t.rule.Joints.Known:
		l.Joints = t.rule.Joints
	case t.pkg.Joints.Known:
		l.Joints = t.pkg.Joints
	default:
		if n := t.pinsSaid(); n > 0 {
			l.Joints = bom.Joints{Count: n, Known: true}
			return
		}
		l.Joints = bom.Joints{Count: max(t.class.Joints, 2), Known: true}
		t.assumeByClass(&l.Assumed.Joints, fmt.Sprintf("of %d joints a piece", l.Joints.Count))
	}
}

// connectors are classes of designators of which a description counts the pins that are soldered;
// IEEE 315 has J, P, X and TB, the others are common practice, no source.
var connectors = bom.WordSet("J P X TB CN CON CONN XP XS JP")

// pinsSaid is how many pins a connector has by its value, package or description: "8-pin, angled".
func (t *teller) pinsSaid() int {
	if len(t.line.Designators) == 0 || !connectors[bom.ClassOf(t.line.Designators[0])] {
		return 0
	}
	for _, text := range []string{t.line.Package, t.line.Value, t.line.Description} {
		if n := bom.PinsSaid(text); n > 0 {
			return n
		}
	}
	return 0
}

func (t *teller) side() {
	if l := t.line; l.Side == "" {
		l.Side = bom.Top
		if t.rule != nil && t.rule.Side != "" {
			l.Side = t.rule.Side
		}
	}
}

// key settles the key under which the line is looked for in the price sheet.
func (s *settler) key(l *bom.Line) {
	switch {
	case l.Number != "":
		l.Part = l.Number
	case l.Value != "" || l.Package != "" && l.Description == "":
		l.Part = strings.TrimSpace(l.Value + " " + l.Package)
	case l.Description != "":
		l.Part = strings.Join(strings.Fields(l.Description), " ")
	case l.Kind == bom.KindPrinted && l.File != "":
		l.Part = l.File
	case l.Offered.Code != "":
		l.Part = l.Offered.Code
	case (!l.Fitted || l.Nothing) && len(l.Designators) > 0:
		l.Part = l.Designators[0]
	case l.Part == "" && len(l.Designators) > 0:
		l.Part = l.Designators[0]
		s.problems.Add(bom.Problem{Place: l.At("Part number"), Severity: bom.Warning, What: "only its designator says which part this is",
			Want: "a part number, a value and a package, or a description", Each: bom.Shown(lineName(l))})
	case l.Part == "" && l.Fitted:
		s.problems.Add(bom.Problem{Place: l.At("Part number"), What: "nothing says which part this is",
			Want: "a part number, a value and a package, or a description", Each: bom.Shown(lineName(l))})
	}
}

// complete complains of what a line of its kind must say.
func (s *settler) complete(l *bom.Line) {
	if !l.Fitted {
		return
	}
	if !l.Quantity.IsWhole() && !divisible(l.Kind) {
		s.problems.Add(bom.Problem{Place: l.At("Quantity"), What: fmt.Sprintf("Quantity: a fraction of a %s", l.Kind), Found: l.Quantity.String(),
			Want: "whole pieces; only wire, other and packing may be fractions", Each: bom.Shown(lineName(l))})
	}
	if l.Kind != bom.KindPrinted || l.Given.Kind {
		return // the reader has looked at it
	}
	if l.Material == "" {
		s.problems.Add(noMaterial(l, s.lacking))
	}
	if l.File == "" && !(l.FilamentG.Known && l.Hours.Known) {
		s.problems.Add(noFilament(l, s.lacking))
	}
}

// ruleFor is the first row of the tab parts that names the line: by part number,
// else by package.
func (s *settler) ruleFor(l *bom.Line, pkg bom.Package) *bom.PartRule {
	names := ruledNames(l)
	for i := range s.rules {
		if r := &s.rules[i]; slices.ContainsFunc(names, func(name string) bool { return matches(r.Part, name) }) {
			return r
		}
	}
	for i := range s.rules {
		if r := &s.rules[i]; r.Part == "" && l.Package != "" && (matches(r.Package, l.Package) || bom.ReadPackage(r.Package).Key == pkg.Key) {
			return r
		}
	}
	return nil
}

// ruledNames are the names by which a row of the tab parts may mean a line: its part
// number, else whatever may be its key.
func ruledNames(l *bom.Line) []string {
	if l.Number != "" {
		return []string{l.Number}
	}
	names := []string{strings.TrimSpace(l.Value + " " + bom.ShortPackage(l.Package)), strings.TrimSpace(l.Value + " " + l.Package), cmp.Or(l.Description, l.Described), l.Offered.Code}
	if strings.Join(names, "") == "" && len(l.Designators) > 0 {
		return l.Designators[:1]
	}
	return names
}

// matches tells whether a name fits a pattern in which * stands for anything;
// case and the width of gaps do not count.
func matches(pattern, name string) bool {
	pattern, name = bom.Fold(pattern), bom.Fold(name)
	if name == "" {
		return false
	}
	parts := strings.Split(pattern, "*")
	if len(parts) == 1 {
		return pattern == name
	}
	if !strings.HasPrefix(name, parts[0]) {
		return false
	}
	name = name[len(parts[0]):]
	last := parts[len(parts)-1]
	for _, part := range parts[1 : len(parts)-1] {
		i := strings.Index(name, part)
		if i < 0 {
			return false
		}
		name = name[i+len(part):]
	}
	return strings.HasSuffix(name, last)
}

// tell puts what was settled into one message for each list and way.
func (s *settler) tell() {
	for _, w := range s.settled {
		p := bom.Problem{Place: w.list, Severity: bom.Note, What: linesAre(w.count, w.what) + told(w.how, w.names)}
		if w.assumed {
			p.Severity = bom.Assumption
			p.Want = "if that is wrong, add a column to the list or a row to the tab parts"
		}
		s.problems.Add(p)
	}
}

func linesAre(n int, what string) string {
	if n == 1 {
		return "1 line is " + what
	}
	return fmt.Sprintf("%d lines are %s", n, what)
}

// settledShown is how many of the names that settled something are told.
const settledShown = 8

func told(how string, names []string) string {
	out := ""
	if how != "" {
		out = ", " + how
	}
	if len(names) == 0 {
		return out
	}
	shown := names[:min(len(names), settledShown)]
	for i, n := range shown {
		shown[i] = clip(n, 30)
	}
	out += ": " + strings.Join(shown, ", ")
	if more := len(names) - len(shown); more > 0 {
		out += fmt.Sprintf(" and %d more", more)
	}
	return out
}

func anyFitted(a *bom.Assembly) bool {
	return slices.ContainsFunc(a.Lines, func(l *bom.Line) bool { return l.Fitted })
}
