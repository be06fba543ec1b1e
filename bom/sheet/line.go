package sheet

import (
	"cmp"
	"maps"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// rawLine is a row of a bill of materials as it stands there.
type rawLine struct {
	Designator   bom.Cell `csv:"Designator"`
	Quantity     bom.Cell `csv:"Quantity"`
	PartNumber   bom.Cell `csv:"Part number"`
	Manufacturer bom.Cell `csv:"Manufacturer"`
	Description  bom.Cell `csv:"Description"`
	Value        bom.Cell `csv:"Value"`
	Package      bom.Cell `csv:"Package"`
	Kind         bom.Cell `csv:"Kind"`
	Mount        bom.Cell `csv:"Mount"`
	Joints       bom.Cell `csv:"Joints"`
	Side         bom.Cell `csv:"Side"`
	Fitted       bom.Cell `csv:"Fitted"`
	DNP          bom.Cell `csv:"DNP"`
	Level        bom.Cell `csv:"Level"`
	File         bom.Cell `csv:"File"`
	Material     bom.Cell `csv:"Material"`
	FilamentG    bom.Cell `csv:"Filament g"`
	PrintHours   bom.Cell `csv:"Print hours"`
	PerPlate     bom.Cell `csv:"Per plate"`
	Printer      bom.Cell `csv:"Printer"`
	Recipe       bom.Cell `csv:"Recipe"`
	CutMM        bom.Cell `csv:"Cut mm"`
	MassG        bom.Cell `csv:"Mass g"`
	LengthMM     bom.Cell `csv:"Length mm"`
	WidthMM      bom.Cell `csv:"Width mm"`
	HeightMM     bom.Cell `csv:"Height mm"`
	BenchS       bom.Cell `csv:"Bench s"`
	Hazard       bom.Cell `csv:"Hazard"`
	Supplier     bom.Cell `csv:"Supplier"`
	OrderCode    bom.Cell `csv:"Order code"`
	Price        bom.Cell `csv:"Price"`
	Currency     bom.Cell `csv:"Currency"`
	Stock        bom.Cell `csv:"Stock"`
	MOQ          bom.Cell `csv:"MOQ"`
}

// lineReader reads the rows of one bill of materials.
type lineReader struct {
	*decoder
	places    map[string]*bom.Line // designator in capitals -> line in which it first stands
	doubled   doublings
	named     int         // designators so far
	counted   int         // lines that say how many
	positive  int         // those of a quantity over 0
	noughts   []differing // those of a quantity of 0 that have designators
	uncounted []differing
	unread    []unread    // cells of designators that read as none, beside a quantity
	designed  int         // cells of designators
	words     int         // designators in cells that list words
	agreeing  int         // lines whose quantity is the number of their designators
	differing []differing // those where it is not
	labels    bool        // the designators number the lines and not the pieces
	pack      int         // column of the pieces that a price is for; 0: one
	per       int64       // pieces that a price is for, by its heading; 0: one
	unit      int         // column of units, which say what a price is for; 0: none does
	packs     bool        // quantities count units of several pieces where nothing tells
	lacking   bom.Severity
}

// checkHeads refuses two columns that say the same thing in opposite words.
func (r *lineReader) checkHeads() {
	r.places, r.labels = map[string]*bom.Line{}, designatorsAreLabels(r.reg)
	if r.pack = r.reg.packColumn(); r.pack != 0 {
		r.problems.Notef(r.reg.table.At(r.reg.head.Row, r.reg.head.Col["Price"]), "a price is that of as many pieces as stand in column %s, as another column bears out", bom.ColumnLetters(r.pack))
	} else if price := r.reg.head.Col["Price"]; r.reg.ofRows {
		r.pack = r.reg.head.Col["Quantity"]
		r.problems.Notef(r.reg.table.At(r.reg.head.Row, price), "what stands in column %s is what all pieces of a row cost", columnName(price, r.reg.head.Text["Price"]))
	} else if r.per = perHead(r.reg.head.Text["Price"]); r.per > 0 {
		r.problems.Notef(r.reg.table.At(r.reg.head.Row, price), "what stands in column %s is what %d pieces cost", columnName(price, r.reg.head.Text["Price"]), r.per)
	} else {
		r.checkTotal()
		r.checkUnits()
		r.checkRows()
	}
	fitted, dnp := r.reg.head.Col["Fitted"], r.reg.head.Col["DNP"]
	if fitted != 0 && dnp != 0 {
		at := r.reg.table.At(r.reg.head.Row, max(fitted, dnp))
		r.problems.Errorf(at, "", "keep one column for it", "what is fitted is headed twice, %s in %s and %s in %s",
			r.reg.head.Text["Fitted"], r.reg.table.At(at.Row, fitted).Cell(),
			r.reg.head.Text["DNP"], r.reg.table.At(at.Row, dnp).Cell())
	}
}

// line reads one row as it stands there. What the list does not say is settled when
// all lists are read: see settled.
func (r *lineReader) line(raw *rawLine) *bom.Line {
	before := len(*r.problems)
	l := &bom.Line{
		Origin:      r.reg.origin(r.row),
		Number:      r.number(raw.PartNumber),
		Description: r.text(raw.Description),
		Maker:       r.text(raw.Manufacturer),
		Value:       r.value(raw.Value),
		Package:     r.name(raw.Package),
		File:        r.path(raw.File),
		Extra:       r.reg.extras(r.reg.rows[r.row]),
	}
	r.nameless(l, raw.Material)
	if l.Value == "" && threadSize.MatchString(l.Number) && bom.NormalHeading(r.reg.head.Text["Part number"]) != bom.NormalHeading("Part number") {
		l.Number, l.Value = "", l.Number // of a screw and of a nut
	}
	if _, value := bom.ParseValue(l.Description); value && l.Value == "" && l.Number == "" && l.Package != "" {
		l.Value, l.Described, l.Description = l.Description, l.Description, "" // 10k, of which there are several sizes
	}
	words := r.designators(l, raw.Designator, raw.Quantity)
	unread := r.failedSince(before) || r.named > MaxDesignators // and has been complained of
	l.Fitted = r.fitted(l, raw)
	r.kind(l, raw)
	l.Under = r.reg.sections[r.rowNumber()].Titled
	r.mount(l, raw.Mount)
	r.side(l, raw.Side)
	if n := r.whole(raw.Joints, -1, 0); n >= 0 {
		l.Joints, l.Given.Joints = bom.Joints{Count: int(n), Known: true}, true
	}
	r.count(l, raw, words, unread)
	r.once(l, r.place(raw.Designator))
	r.level(l, raw.Level)
	r.printed(l, raw)
	r.benchWork(l, raw)
	if l.Kind == bom.KindBoard && l.Fitted && raw.File.Blank() {
		r.problems.Warnf(r.place(raw.File), "", "the board's own bill of materials in File", "nothing says what is on the board")
	}
	l.MassG = r.measure(raw.MassG, true)
	l.Size = [3]bom.Measure{r.size(l, raw.LengthMM), r.size(l, raw.WidthMM), r.size(l, raw.HeightMM)}
	l.Hazard = r.wordList(raw.Hazard)
	l.Offered = r.offered(l, raw)
	if r.failedSince(before) {
		l.Part = lineName(l) // its key may be what is wrong, and has been complained of
	}
	return l
}

// threadSize is the size of a fastener and nothing else: M3, M3x8, M3*6+6.
var threadSize = regexp.MustCompile(`^[mM]\d{1,2}(\.\d)?( ?[xX×*] ?\d+(\.\d+)?(\+\d+)?)?( ?mm)?$`)

// nameless takes the description of a line that nothing names from its material, or
// from the first text under a heading that is missing, as where parts stand one column further in than
// the assembly above them.
func (r *lineReader) nameless(l *bom.Line, material bom.Cell) {
	if l.Number != "" || l.Value != "" || l.Package != "" || l.Description != "" || l.File != "" {
		return
	}
	if l.Description = r.text(material); l.Description != "" {
		return // a list of materials may head its parts so
	}
	for _, e := range l.Extra {
		if strings.HasPrefix(e.Heading, "column ") && strings.ContainsFunc(e.Text, unicode.IsLetter) && !strings.Contains(e.Text, "://") {
			l.Description = e.Text
			return
		}
	}
}

// name is a key, where dashes and the like stand for nothing.
func (r *lineReader) name(c bom.Cell) string {
	if noContent(c.Text) || noName[strings.ToLower(strings.TrimSpace(c.Text))] {
		return ""
	}
	return r.decoder.key(c)
}

// noName are what people write where they have no name for something; common practice,
// no source.
var noName = bom.WordSet("? ?? ??? tbd t.b.d.")

// value is a name beside which X, in place of a value, stands for nothing as well.
func (r *lineReader) value(c bom.Cell) string {
	if strings.Trim(c.Text, "xX ") == "" {
		return ""
	}
	return r.name(c)
}

// number is a part number, where NA stands for none, and words for a part of any make for
// what value and package say.
func (r *lineReader) number(c bom.Cell) string {
	if anyMake[strings.ToLower(strings.Trim(c.Text, " ."))] {
		return ""
	}
	return r.name(c)
}

// anyMake are words in place of a part number; common practice, no source.
var anyMake = bom.WordSet("na std standard any generic various misc custom")

// path reads the name of a file, in which every character may count.
func (r *lineReader) path(c bom.Cell) string {
	if r.key(c) == "" {
		return ""
	}
	return c.Text
}

// MaxDesignators bounds those of one bill of materials: a few short ranges
// must not stand for an endless board.
const MaxDesignators = 100_000

// designators lists those of a cell; words tells that some are words.
func (r *lineReader) designators(l *bom.Line, c, quantity bom.Cell) (words bool) {
	text := r.key(c)
	if text == "+" && r.reg.hasDesignator("-") || text == "-" && r.reg.hasDesignator("+") {
		l.Designators = []string{text} // the two poles of a supply, each a place
		r.designed++
		r.named++
		return true
	}
	switch {
	case noContent(text) || r.named > MaxDesignators:
		return false
	case likeDate(text):
		r.wrong(c, "the designators as they were before, in a column formatted as text", "looks like a date that a spreadsheet made of something else")
		return false
	}
	r.designed++
	read, err := bom.ExpandDesignators(text)
	if end := strings.TrimSuffix(text, "-"); err != nil && r.reg.hasDesignator(end+"+") {
		read, err = bom.Designators{Names: []string{text}}, nil // the other end of a part is in another row
	}
	if err != nil {
		if dotted, fault := bom.ExpandDotted(text); fault == nil && bearsOut(r.reg, dotted.Names, quantity) {
			read, err = dotted, nil
		}
	}
	if a, _ := bom.SplitQuantity(quantity.Text); err != nil && strings.Trim(a.Figure, "0") != "" && len(r.unread) < MaxFaults {
		r.unread = append(r.unread, unread{c, r.place(c), err})
		l.Designators = []string{text}
		r.named++
		return true
	}
	if err != nil {
		r.wrong(c, err.Want, "%s", err.What)
		return false
	}
	if r.named += len(read.Names); r.named > MaxDesignators {
		r.wrong(c, "fewer designators", "there are more than %d designators on the board", MaxDesignators)
		return false
	}
	l.Designators = read.Names
	return read.Words
}

// bearsOut tells whether dots belong to the names of a cell and do not part two: the
// quantity is their number, or what follows each dot is no bare number, or the column
// has others that begin alike, as TP1.1 and TP1.2.
func bearsOut(reg *region, names []string, quantity bom.Cell) bool {
	if n, err := bom.ParseWhole(quantity.Text, bom.MarkDot); err == nil {
		return n == int64(len(names))
	}
	return !slices.ContainsFunc(names, func(name string) bool {
		stem, tail, dotted := strings.Cut(name, ".")
		return dotted && strings.Trim(tail, "0123456789") == "" && dottedTails(reg, stem) < 2
	})
}

// dottedTails counts the cells under the designators in which a stem has a dot behind it.
func dottedTails(reg *region, stem string) int {
	n, col := 0, reg.head.Col["Designator"]
	for _, row := range reg.rows {
		n += strings.Count(" "+find(row, col).Text, " "+stem+".")
	}
	return n
}

// hasDesignator tells whether a cell under the designators holds a name and nothing else.
func (reg *region) hasDesignator(name string) bool {
	col := reg.head.Col["Designator"]
	return slices.ContainsFunc(reg.rows, func(row bom.Row) bool { return find(row, col).Text == name })
}

// notFitted are words for a part that is left out, common practice, no source.
var notFitted = bom.WordSet("dnp dnf dni dnm notfitted donotfit donotplace donotpopulate donotinstall nofit nostuff notpopulated notmounted donotmount " +
	"unpopulated notplaced notinstalled notassembled notstuffed")

// notFittedText tells whether a text says that a part is left out: in a word for it, or
// in one that something follows on, as DNP - do not fit.
func notFittedText(text string) bool {
	first := strings.FieldsFunc(text[:min(len(text), headingLength)], func(r rune) bool { return strings.ContainsRune(" -:,;(", r) })
	return len(first) > 0 && notFitted[strings.ToLower(first[0])] || len(text) <= headingLength && notFitted[bom.NormalHeading(text)]
}

// fittedWord reads what a column about fitting says: ok is false for a word that
// says neither.
func fittedWord(text string) (fitted, ok bool) {
	word := bom.NormalHeading(text)
	if notFittedText(text) {
		return false, true
	}
	switch word {
	case "fitted", "fit", "populate", "populated", "placed", "place", "mounted", "install", "installed":
		return true, true
	}
	fitted, ok = yesWords[word]
	return fitted, ok
}

// fitted tells whether the line is fitted: what a column for it says, else a value
// or description such as DNP.
func (r *lineReader) fitted(l *bom.Line, raw *rawLine) bool {
	if fitted, ok := fittedWord(raw.DNP.Text); ok && !isYesNo(raw.DNP.Text) {
		return fitted
	}
	if fitted, ok := fittedWord(raw.Fitted.Text); ok {
		return fitted
	}
	if noContent(raw.Designator.Text) && noContent(raw.Quantity.Text) && !isYesNo(raw.DNP.Text) {
		return true // a row that counts nothing may hold anything there, such as the word of a total
	}
	if !r.yes(raw.Fitted, true) || r.yes(raw.DNP, false) {
		return false
	}
	for _, text := range []string{l.Value, l.Description, raw.Quantity.Text, l.Package} {
		if bom.ReadDescription(text).NotFitted || notFittedText(text) {
			r.problems.Add(bom.Problem{Place: r.place(raw.Value), Severity: bom.Note, What: "a value, description, quantity or package says that the line is not fitted",
				Want: "if that is wrong, change it", Each: strings.TrimSpace(bom.Shown(lineName(l)) + " " + strings.Join(l.Designators, ","))})
			return false
		}
	}
	return !notFitted[bom.NormalHeading(l.Number)] && !r.remarked(l)
}

// remarked tells whether a note of the line begins with a word such as DNP: what is
// headed Remark may say that a part is left out, and why. It is told.
func (r *lineReader) remarked(l *bom.Line) bool {
	for _, e := range l.Extra {
		word, _, _ := strings.Cut(e.Text, ":")
		if word, _, _ = strings.Cut(word, ","); len(word) <= headingLength && notFitted[bom.NormalHeading(word)] {
			r.problems.Add(bom.Problem{Place: l.At(e.Heading), Severity: bom.Warning, What: "a remark says that the line is not fitted",
				Want: "if it is fitted, add a column Fitted", Each: bom.Shown(lineName(l))})
			return true
		}
	}
	return false
}

func isYesNo(text string) bool {
	_, ok := yesWords[bom.NormalHeading(text)]
	return ok
}

// kind is what the list says, or what follows from a file or a material.
func (r *lineReader) kind(l *bom.Line, raw *rawLine) {
	l.Kind = bom.Kind(r.choice(raw.Kind))
	l.Given.Kind = !raw.Kind.Blank()
	if l.Given.Kind {
		return
	}
	switch ending := strings.ToLower(path.Ext(firstFile(l.File))); {
	case slices.Contains([]string{".stl", ".3mf", ".gcode", ".gco", ".g"}, ending), !raw.FilamentG.Blank():
		l.Kind, l.Given.Kind = bom.KindPrinted, true
	case !raw.CutMM.Blank():
		l.Kind, l.Given.Kind = bom.KindWire, true
	case slices.Contains([]string{".csv", ".tsv", ".txt", ".xlsx", ".ods"}, ending):
		r.problems.Errorf(r.place(raw.Kind), "", "board or assembly in a column Kind", "nothing says whether the list in File is that of a board or of an assembly")
		l.Kind, l.Given.Kind = bom.KindAssembly, true
	}
}

// firstFile is the first of the files that a cell names.
func firstFile(cell string) string {
	name, _, _ := strings.Cut(cell, ";")
	name, _, _ = strings.Cut(strings.TrimSpace(name), "#")
	return name
}

// mountWords and sideWords are other words for the choices, common practice, no
// source.
var (
	mountWords = map[string]string{"smd": "SMT", "surfacemount": "SMT", "surface": "SMT", "surfacemounted": "SMT",
		"th": "THT", "pth": "THT", "throughhole": "THT", "thruhole": "THT"}
	sideWords = map[string]string{"t": "top", "toplayer": "top", "topside": "top", "front": "top", "f": "top", "fcu": "top",
		"b": "bottom", "bottomlayer": "bottom", "bottomside": "bottom", "bot": "bottom", "back": "bottom", "bcu": "bottom"}
)

// mountOf reads a mount; none for a blank cell and after a complaint.
func mountOf(d *decoder, c bom.Cell) bom.Mount {
	return bom.Mount(d.oneOf(c, []string{string(bom.SMT), string(bom.THT)}, mountWords))
}

// sideOf reads a side of a board; none for a blank cell and after a complaint.
func sideOf(d *decoder, c bom.Cell) bom.Side {
	return bom.Side(d.oneOf(c, []string{string(bom.Top), string(bom.Bottom)}, sideWords))
}

// mount is what the list says; a title above the row says it where the row does
// not.
func (r *lineReader) mount(l *bom.Line, c bom.Cell) {
	l.Mount = mountOf(r.decoder, c)
	told := l.Mount != bom.MountNone
	if c.Blank() {
		l.Mount = r.reg.sections[r.rowNumber()].mount
	}
	l.Given.Mount = l.Mount != bom.MountNone || !c.Blank()
	if l.Kind != bom.KindPart && l.Kind != "" {
		if told {
			r.problems.Warnf(r.place(c), c.Text, "a blank cell, or the kind part", "Mount: only parts have a mount, for the kind %s it is ignored", l.Kind)
		}
		l.Mount = bom.MountNone
	}
}

// side is what the list says, or a title above the row.
func (r *lineReader) side(l *bom.Line, c bom.Cell) {
	l.Side = sideOf(r.decoder, c)
	if c.Blank() {
		l.Side = r.reg.sections[r.rowNumber()].side
	}
}

// lineName names a line for people before its key is settled.
func lineName(l *bom.Line) string {
	sized := strings.TrimSpace(l.Value + " " + l.Package)
	if l.Value == "" && l.Description != "" { // as settler.key names it
		sized = ""
	}
	return cmp.Or(l.Number, sized, l.Description, strings.Join(l.Designators, ","), "row "+strconv.Itoa(l.Row))
}

// size reads a length that may be unknown: an export writes 0 for that.
func (r *lineReader) size(l *bom.Line, c bom.Cell) bom.Measure {
	if f, err := r.parse(c); err != nil || !f.Value.IsZero() {
		return r.measure(c, false)
	}
	r.warn(c, "a size of 0 is ignored", "a number over 0, or a blank cell", bom.Shown(lineName(l)+", "+r.decoder.name(c)))
	return bom.Measure{}
}

func divisible(k bom.Kind) bool {
	return k == bom.KindWire || k == bom.KindOther || k == bom.KindPacking
}

// level is the one that the list says.
func (r *lineReader) level(l *bom.Line, c bom.Cell) {
	l.Level, l.LevelGiven = bom.FindLevel(r.choice(c))
}

func (r *lineReader) printed(l *bom.Line, raw *rawLine) {
	l.Material, l.Printer, l.Recipe = r.key(raw.Material), r.key(raw.Printer), r.key(raw.Recipe)
	l.FilamentG, l.Hours = r.measure(raw.FilamentG, false), r.measure(raw.PrintHours, false)
	l.PerPlate = int(r.whole(raw.PerPlate, 0, 1))
	if l.Kind != bom.KindPrinted || !l.Fitted {
		return
	}
	if raw.Material.Blank() {
		r.problems.Add(noMaterial(l, r.lacking))
	}
	if raw.File.Blank() && (raw.FilamentG.Blank() || raw.PrintHours.Blank()) {
		r.problems.Add(noFilament(l, r.lacking))
	}
}

// benchWork reads what a line is cut to, and how long it takes at the bench. A list of
// its own says that of each of its lines.
func (r *lineReader) benchWork(l *bom.Line, raw *rawLine) {
	for _, c := range []bom.Cell{raw.CutMM, raw.BenchS} {
		if !c.Blank() && (l.Kind == bom.KindBoard || l.Kind == bom.KindAssembly) {
			r.wrong(c, "the figure on the lines of its list, or a row of the tab hand work", "stands at a line of kind %s", l.Kind)
			return
		}
	}
	if !raw.CutMM.Blank() {
		l.CutMM, _ = r.quantity(raw.CutMM, 0, false)
	}
	l.BenchS = r.measure(raw.BenchS, true)
}

func noMaterial(l *bom.Line, grave bom.Severity) bom.Problem {
	return bom.Problem{Place: l.At("Material"), Severity: grave, What: "no material is given for the printed part",
		Want: "a material of the tab materials", Each: bom.Shown(lineName(l))}
}

func noFilament(l *bom.Line, grave bom.Severity) bom.Problem {
	return bom.Problem{Place: l.At("Filament g"), Severity: grave, What: "no filament and time are given for a piece",
		Want: "both Filament g and Print hours of one piece, or a mesh or toolpath in File", Each: bom.Shown(lineName(l))}
}

// offered is what the row says about buying the part.
func (r *lineReader) offered(l *bom.Line, raw *rawLine) bom.Offered {
	o := bom.Offered{Supplier: r.text(raw.Supplier), Code: r.text(raw.OrderCode), Currency: raw.Currency.Text}
	for _, f := range []struct {
		cell bom.Cell
		to   *string
	}{{raw.Stock, &o.Stock}, {raw.MOQ, &o.MOQ}} {
		if n, err := bom.ParseWhole(f.cell.Text, r.marking.mark); err == nil && n >= 0 {
			*f.to = strconv.FormatInt(n, 10)
		}
	}
	row := r.reg.rows[r.row]
	unit := sync.OnceValue(func() decimal.Decimal { return decimal.NewFromInt(r.piecesOfUnit(l)) }) // told once
	add := func(c bom.Cell, from int64, ofOne func(decimal.Decimal) decimal.Decimal) {
		n := len(o.Breaks)
		if says := r.offeredPrice(l, &o, c, from); !says && len(o.Breaks) > n {
			o.Breaks[n].Price = ofOne(o.Breaks[n].Price).DivRound(unit(), priceDecimals)
		}
	}
	add(raw.Price, 1, r.ofOne)
	for _, col := range slices.Sorted(maps.Keys(r.reg.steps)) {
		add(find(row, col), r.reg.steps[col].from, r.stepOfOne)
	}
	slices.SortStableFunc(o.Breaks, func(a, b bom.OfferedBreak) int { return cmp.Compare(a.From, b.From) })
	return o
}
