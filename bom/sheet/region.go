package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// headingRows is how far down a heading row is looked for.
const headingRows = 30

// region is the part of a table under its heading row.
type region struct {
	table *bom.Table
	tab   *bom.Tab
	head  *bom.Heading
	cols  []heading    // known headings
	steps map[int]step // price-break column -> what it holds
	plans []bom.Cell   // of a run: the headings of its plans
	rows  []bom.Row    // those that hold data

	figures map[int]bool   // columns in which figures stand
	known   map[int]bool   // columns that are read, or that an error was given for
	extra   map[int]string // column -> heading that is not known
	zeroLed map[int]int    // column -> length of its longest digit text that starts with 0
	lone    int            // rows that are no record, and were complained of

	sections map[int]section // row number -> what the title above it says
	again    []titledAgain
	sums     []bom.Row      // of totals, and of figures that name nothing
	charges  []bom.Row      // on the whole order
	block    map[int]int    // row number -> how many titles, headings and gaps stand above it
	sign     map[int]string // column -> the currency that its heading names
	ofRows   bool           // the prices are those of whole rows
	unit     int            // column of units of several pieces, which a price is for; 0: none
	gross    int            // column of gross prices beside those that are taken
}

// rowText shows how a row begins.
func rowText(row bom.Row) string {
	return strings.Join(bom.Each(row.Cells[:min(8, len(row.Cells))], func(c *bom.Cell) string { return clip(c.Text, 20) }), ", ")
}

// heading is a known heading in its column.
type heading struct {
	col    int
	column *bom.Column
}

// finder finds the columns of one tab.
type finder struct {
	tab     *bom.Tab
	columns map[string]*bom.Column // by the normal form of a heading
	dropped map[string]bool        // normal forms that the user wants left out
	mapped  map[string]bool        // normal forms that the user maps
	theirs  map[string]string      // normal forms that the user maps -> what to, of whatever tab
	steps   map[string]step        // by the normal form of a heading that the user maps to a price break
}

// newFinder knows the documented headings, their synonyms and those that the
// user maps, which go before.
func newFinder(tab *bom.Tab, headings map[string]string) finder {
	f := finder{tab, map[string]*bom.Column{}, map[string]bool{}, map[string]bool{}, map[string]string{}, map[string]step{}}
	for i := range tab.Columns {
		c := &tab.Columns[i]
		f.columns[bom.NormalHeading(c.Heading)] = c
		for _, s := range c.Synonyms {
			f.columns[bom.NormalHeading(s)] = c
		}
	}
	for _, theirs := range slices.Sorted(maps.Keys(headings)) {
		ours := headings[theirs]
		f.theirs[bom.NormalHeading(theirs)] = ours
		if c, ok := tab.Find(ours); ok {
			f.columns[bom.NormalHeading(theirs)] = c
			f.mapped[bom.NormalHeading(theirs)] = true
		} else if ours == "" {
			delete(f.columns, bom.NormalHeading(theirs))
			f.dropped[bom.NormalHeading(theirs)] = true
		} else if s, ok := typedStep(ours); ok {
			f.steps[bom.NormalHeading(theirs)] = s
		}
	}
	return f
}

// headingLength bounds what is compared with the headings.
const headingLength = 200

// column gives the column that a heading cell names.
func (f finder) column(c bom.Cell) (*bom.Column, bool) {
	if c.Kind != bom.Text || len(c.Text) > headingLength {
		return nil, false
	}
	if column, ok := f.columns[bom.NormalHeading(c.Text)]; ok {
		return column, true
	}
	if name, unit, ok := splitUnit(c.Text); ok {
		if column, ok := f.columns[bom.NormalHeading(name)]; ok && sameUnit(column, unit) {
			return column, true
		}
	}
	if isQuote(f.tab) && !f.dropped[bom.NormalHeading(c.Text)] {
		return f.quoteColumn(c.Text)
	}
	return nil, false
}

// splitUnit parts a heading such as "Quantity (pcs)" or "Seconds [s]".
func splitUnit(heading string) (name, unit string, ok bool) {
	i := strings.IndexAny(heading, "([")
	if i < 1 || !strings.ContainsAny(heading[len(heading)-1:], ")]") {
		return "", "", false
	}
	return heading[:i], heading[i+1 : len(heading)-1], true
}

// sameUnit tells whether a unit is the one that the figures of a column are
// documented in.
func sameUnit(column *bom.Column, unit string) bool {
	switch unit = bom.NormalHeading(unit); column.Unit {
	case "":
		return false
	case "pieces", "order units", "boards", "joints":
		return bom.IsPieces(unit) || unit == bom.NormalHeading(column.Unit)
	}
	return unit == bom.NormalHeading(column.Unit)
}

// isQuote tells whether the table is a supplier's quote.
func isQuote(tab *bom.Tab) bool { return tab.Name == bom.QuoteTab.Name }

// hasSteps tells whether the table may have columns of price breaks.
func (f finder) hasSteps() bool {
	return f.tab.Name == bom.TabOffers || f.tab.Name == bom.BOMTab.Name || isQuote(f.tab)
}

// step reads the heading of a price break that is no documented heading; a
// number of order units that cannot be read is 0.
func (f finder) step(c bom.Cell) (s step, ok bool) {
	if !f.hasSteps() || len(c.Text) > headingLength {
		return step{}, false
	}
	if s, ok = f.steps[bom.NormalHeading(c.Text)]; ok {
		return s, true
	}
	if s, ok = typedStep(c.Text); ok || !isQuote(f.tab) || f.dropped[bom.NormalHeading(c.Text)] {
		return s, ok
	}
	h := readQuoteHead(c.Text)
	return step{stepHeading(h.from, h.pair), h.from, h.pair, h.bare}, h.from > 0
}

// typedStep reads "@10".
func typedStep(text string) (s step, ok bool) {
	text, ok = strings.CutPrefix(text, bom.BreakMark)
	if !ok {
		return step{}, false
	}
	mark := bom.MarkDot
	if strings.Contains(text, ".") { // nobody parts a whole number from its decimals: 1.000 is a thousand, as 1,000 is
		mark = bom.MarkComma
	}
	from, err := bom.ParseWhole(text, mark)
	if err != nil || from < 1 {
		return step{}, true
	}
	return step{heading: stepHeading(from, false), from: from}, true
}

// headings counts the headings in a row: all that may be one, and those that are
// surely one.
func (f finder) headings(row bom.Row) (all, sure int) {
	if isQuote(f.tab) {
		return f.quoteHeadings(row)
	}
	for _, c := range row.Cells {
		m := f.hints(c)
		_, isBreak := f.step(c)
		switch {
		case isBreak, len(m) > 0 && m[0].rank < loosely:
			all, sure = all+1, sure+1
		case len(m) > 0:
			all++
		}
	}
	return all, sure
}

// isCost tells whether a heading of a list is about money, though not for sure of one piece.
func (f finder) isCost(c bom.Cell) bool {
	return f.tab.Name == bom.BOMTab.Name && c.Kind == bom.Text && len(c.Text) <= headingLength && !f.dropped[bom.NormalHeading(c.Text)] && bom.CostHeading(c.Text) == "Cost"
}

// headingRow is the index of the heading row in the table: the first row with two
// headings, of which one is sure, unless one below has more than twice as many, as
// under a block of titles. ok is false where none of the first rows is one.
func (f finder) headingRow(t *bom.Table) (index int, ok bool) {
	most := 0
	for i, row := range t.Rows[:min(len(t.Rows), headingRows)] {
		all, sure := f.headings(row)
		if slices.ContainsFunc(row.Cells, f.isCost) {
			all, sure = all+1, sure+1
		}
		if all >= 2 && sure >= 1 && all > 2*most {
			index, most = i, all
		}
	}
	return index, most > 0 || f.tab.Name == bom.BOMTab.Name && f.loneHeading(t, &index)
}

// isHeaded tells whether a table has a heading row.
func (f finder) isHeaded(t *bom.Table) bool {
	_, ok := f.headingRow(t)
	return ok
}

// loneHeading finds a row with one heading, of quantities or designators, that what
// stands under it bears out, and with something else beside it. One that may mean
// something else needs designators or counts under it.
func (f finder) loneHeading(t *bom.Table, index *int) bool {
	for i, row := range t.Rows[:min(len(t.Rows), headingRows)] {
		for _, c := range row.Cells {
			m := f.hints(c)
			if len(m) == 0 || m[0].column.Heading != "Quantity" && m[0].column.Heading != "Designator" {
				continue
			}
			under := contentsOf(row, t.Rows[i+1:])
			if m[0].rank == loosely && !borneOut(f, m[0].column, row, under[c.Col]) {
				continue
			}
			if len(under[c.Col]) >= 2 && len(under) >= 2 && reads(m[0].column, under[c.Col]) {
				*index = i
				return true
			}
		}
	}
	return false
}

// borneOut tells whether what stands under a heading that may mean something else leaves no
// doubt: designators, or counts where another cell of its row may head something too.
func borneOut(f finder, column *bom.Column, row bom.Row, cells []bom.Cell) bool {
	if column.Heading == "Designator" {
		return holdsDesignators(cells) && len(row.Cells) >= 2
	}
	all, _ := f.headings(row)
	return all >= 2 && counts(cells)
}

// holdsList tells whether a sheet holds a bill of materials: headings with a column
// of quantities or designators among them, and rows under them.
func (f finder) holdsList(t *bom.Table) bool {
	i, ok := f.headingRow(t)
	if !ok || i+1 == len(t.Rows) {
		return false
	}
	under := contentsOf(t.Rows[i], t.Rows[i+1:])
	return slices.ContainsFunc(f.claims(t.Rows[i]), func(c claim) bool {
		return (c.column.Heading == "Quantity" || c.column.Heading == "Designator") && (c.rank < loosely || reads(c.column, under[c.col]))
	})
}

// locate finds the heading row of a table and what stands under it; nil with an
// error where it has none.
func locate(t *bom.Table, tab *bom.Tab, headings map[string]string, problems *bom.Problems) *region {
	f := newFinder(tab, headings)
	at, ok := f.headingRow(t)
	head, rows := bom.Row{}, t.Rows
	if ok {
		head, rows = t.Rows[at], t.Rows[at+1:]
	} else if head, ok = f.headless(t, problems); !ok {
		f.noHeading(t, problems)
		return nil
	}
	reg := &region{table: t, tab: tab, steps: map[int]step{}, figures: map[int]bool{}, known: map[int]bool{}, extra: map[int]string{},
		zeroLed: map[int]int{}, sections: map[int]section{}, block: map[int]int{}, sign: map[int]string{}}
	if len(rows) > 0 && head.Number > 0 {
		joined, second := f.join(head, rows[0])
		switch {
		case joined != nil:
			problems.Notef(t.At(rows[0].Number, 0), "the headings stand in two rows, %d and %d", head.Number, rows[0].Number)
			head.Cells, rows = joined, rows[1:]
		case second:
			problems.Errorf(t.At(rows[0].Number, 0), rowText(rows[0]), "one row of headings, without titles of groups that are headings themselves",
				"a second row of headings stands under the first, in row %d", head.Number)
			return nil
		}
	}
	if tab.Name == bom.BOMTab.Name {
		head, rows = cutBeside(reg, f, head, rows, problems)
		rows = joinDesignators(reg, f, head, rows, problems)
	}
	reg.readHeadings(f, head, rows, problems)
	if tab.Name == bom.BOMTab.Name {
		reg.notePlacement(head, problems)
		reg.noteLongRows(head, rows, problems)
	}
	reg.sift(f, rows, problems)
	reg.noteExtras(f, problems)
	reg.findZeroLed()
	return reg
}

// noHeading tells what was looked for and what stands there instead.
func (f finder) noHeading(t *bom.Table, problems *bom.Problems) {
	what := "tab " + f.tab.Name
	switch f.tab.Name {
	case bom.BOMTab.Name:
		what = "bill of materials"
	case bom.QuoteTab.Name:
		what = "quote"
	case bom.ProgrammeTab.Name:
		what = "run"
	}
	if len(t.Rows) == 0 {
		problems.Errorf(t.At(0, 0), "", "a heading row with at least two of "+quoteList(f.tab.Headings()), "the %s is empty", what)
		return
	}
	if head, ok := f.unheaded(t); ok && f.tab.Name == bom.BOMTab.Name {
		problems.Errorf(t.At(t.Rows[0].Number, 0), rowText(t.Rows[0]), "put a row above it that says what each column holds, such as "+bom.Shown(head),
			"the %s has no heading row", what)
		return
	}
	row, below := likeliestHeads(t)
	want := "a row among the first " + strconv.Itoa(headingRows) + " with at least two of " + quoteList(f.tab.Headings())
	if flags := f.guessedFlags(row, below); flags != "" {
		want = "if this is the heading row, say what its headings mean: " + flags
	}
	problems.Errorf(t.At(row.Number, 0), rowText(row), want, "no heading row of the %s was found; this row looks most like one", what)
}

// likeliestHeads is the row that looks most like headings, and the rows below it:
// the one with the most texts without a digit among the first rows.
func likeliestHeads(t *bom.Table) (row bom.Row, below []bom.Row) {
	most := -1
	for i, r := range t.Rows[:min(len(t.Rows), headingRows)] {
		n := 0
		for _, c := range r.Cells {
			if c.Kind == bom.Text && len(c.Text) < headingLength && !strings.ContainsAny(c.Text, "0123456789") {
				n++
			}
		}
		if n > most {
			row, below, most = r, t.Rows[i+1:], n
		}
	}
	return row, below
}

// guessedFlags are the flags that map the headings of a row, by what stands under
// them; what the user has to fill in is written OURS. Empty where no column reads as
// quantities or designators.
func (f finder) guessedFlags(row bom.Row, below []bom.Row) string {
	under := contentsOf(row, below)
	var flags []string
	for _, name := range []string{"Designator", "Quantity"} {
		column, ok := f.tab.Column(name)
		if !ok {
			continue
		}
		for _, c := range row.Cells {
			if cells := under[c.Col]; len(cells) > 0 && reads(column, cells) && !runningNumbers(cells) && !countsOn(cells) && f.mayMean(c, column) &&
				(name != "Quantity" || wholeNumbers(cells)) {
				flags = append(flags, fmt.Sprintf("--heading '%s=%s'", clip(c.Text, 40), name))
				break
			}
		}
	}
	if len(flags) == 0 {
		return ""
	}
	return strings.Join(flags, " ") + ", and likewise Part number, Value, Package or Description"
}

// mayMean tells whether a heading cell means a column, or nothing that is known.
func (f finder) mayMean(c bom.Cell, column *bom.Column) bool {
	m := f.meanings(c)
	return len(m) == 0 || slices.ContainsFunc(m, func(m claim) bool { return m.column == column })
}

func (reg *region) readHeadings(f finder, row bom.Row, rows []bom.Row, problems *bom.Problems) {
	reg.head = &bom.Heading{File: reg.table.File, Sheet: reg.table.Sheet, Row: row.Number,
		Col: map[string]int{}, Text: map[string]string{}}
	columns := reg.settleHeads(f, row, rows, problems)
	for _, c := range withBlanks(row, columns) {
		column := columns[c.Col]
		s, isBreak := f.step(c)
		switch {
		case column == nil && isBreak:
			reg.known[c.Col] = true
			addStep(reg, c, s, problems)
		case column == nil && f.isPlan(c) || column != nil && column.Heading == bom.RunMark:
			reg.known[c.Col] = true
			addPlan(reg, c, problems)
		case column == nil:
			reg.extra[c.Col] = c.Text
		default:
			reg.known[c.Col] = true
			reg.cols = append(reg.cols, heading{c.Col, column})
			reg.head.Col[column.Heading] = c.Col
			reg.head.Text[column.Heading] = c.Text
			reg.figures[c.Col] = column.Form.Numeric()
			reg.sign[c.Col] = headingCurrency(c.Text)
		}
	}
}

// withBlanks gives the heading cells in order, with a blank one for each column that
// was found by what stands in it alone.
func withBlanks(row bom.Row, columns map[int]*bom.Column) []bom.Cell {
	cells := slices.Clone(row.Cells)
	for _, col := range slices.Sorted(maps.Keys(columns)) {
		if find(row, col).Text == "" {
			cells = append(cells, bom.Cell{Col: col})
		}
	}
	slices.SortStableFunc(cells, func(a, b bom.Cell) int { return a.Col - b.Col })
	return slices.CompactFunc(cells, func(a, b bom.Cell) bool { return a.Col == b.Col })
}

// headingCurrency is the currency that a heading names: Price (EUR), Unit cost [$],
// Preis in €.
func headingCurrency(heading string) string {
	for _, w := range strings.FieldsFunc(heading, func(r rune) bool { return strings.ContainsRune(" ()[]/_,.:", r) }) {
		if codes := bom.CurrencySigns(w); len(codes) > 0 {
			return w
		}
	}
	return ""
}

func addStep(reg *region, c bom.Cell, s step, problems *bom.Problems) {
	if s.from == 0 {
		problems.Errorf(reg.table.At(reg.head.Row, c.Col), c.Text, "@ and a whole number of order units, such as @10",
			"not a heading for a price break")
		return
	}
	if reg.takes(c, s.heading, problems) {
		reg.steps[c.Col] = s
	}
}

// takes gives a heading of figures the key under which it is found, unless one has it.
func (reg *region) takes(c bom.Cell, key string, problems *bom.Problems) bool {
	if col := reg.head.Col[key]; col != 0 {
		reg.twice(c, key, col, problems)
		return false
	}
	reg.head.Col[key], reg.head.Text[key], reg.figures[c.Col] = c.Col, c.Text, true
	return true
}

// step is what a price under a heading is about.
type step struct {
	heading string // under which Heading.Col holds the column
	from    int64  // order units from which it holds
	pair    bool   // of a quote: the quantity of the pair of that number, and no price
	bare    bool   // of a quote: the heading is nothing but the number
}

// stepHeading is the key under which Heading.Col holds a price-break column, or
// one of the quantities of pairs.
func stepHeading(from int64, pair bool) string {
	if pair {
		return "Break qty " + strconv.FormatInt(from, 10)
	}
	return bom.BreakMark + strconv.FormatInt(from, 10)
}

func (reg *region) twice(c bom.Cell, name string, first int, problems *bom.Problems) {
	here := reg.table.At(reg.head.Row, c.Col)
	problems.Errorf(here, c.Text,
		"keep one column for it; --heading '"+c.Text+"=' ignores this one",
		"%s is headed twice, as %s in %s and here", name, bom.Shown(reg.head.Text[name]), reg.table.At(reg.head.Row, first).Cell())
}

// hintLimit is for how many unknown headings a known one is looked for.
const hintLimit = 50

// noteExtras tells of each column that is not read.
func (reg *region) noteExtras(f finder, problems *bom.Problems) {
	for _, row := range reg.rows {
		for _, c := range row.Cells {
			if _, headed := reg.extra[c.Col]; !headed && !reg.known[c.Col] {
				reg.extra[c.Col] = ""
			}
		}
	}
	fate := "ignored"
	if reg.tab.Name == bom.BOMTab.Name {
		fate = "kept as a note"
	}
	near, hints, under := reg.unused(), 0, contentsOf(bom.Row{}, reg.rows)
	for _, col := range slices.Sorted(maps.Keys(reg.extra)) {
		at := reg.table.At(reg.head.Row, col)
		name := reg.extra[col]
		switch {
		case name == "":
			problems.Notef(at, "column %s has no heading and is %s", bom.ColumnLetters(col), fate)
			reg.extra[col] = "column " + bom.ColumnLetters(col)
		case f.dropped[bom.NormalHeading(name)]:
			problems.Notef(at, "the column headed %s is %s, as asked for", bom.Shown(name), fate)
		case reg.takesUnit(col, under[col]): // told with the prices
		case reg.known[col]: // why it is not read was told
		case f.theirs[bom.NormalHeading(name)] != "":
			if ours := f.theirs[bom.NormalHeading(name)]; documented(ours) { // else that was told
				problems.Notef(at, "the heading %s stands for %s, which is no column here: it is %s", bom.Shown(name), bom.Shown(ours), fate)
			}
		default:
			hint := ""
			if hints++; hints > hintLimit {
				near = nil
			}
			if word, ok := bom.Nearest(name, near); ok && bom.NormalHeading(word) != bom.NormalHeading(name) && !reg.otherUnit(name, word) && reg.wouldRead(word, under[col]) {
				hint = "; --heading '" + clip(name, 40) + "=" + word + "' reads it as " + word
			}
			what := "is not known"
			if len(f.meanings(bom.Cell{Text: name})) > 0 {
				what = "is not needed"
			}
			problems.Notef(at, "the heading %s %s, its column is %s%s", bom.Shown(name), what, fate, hint)
		}
	}
}

// wouldRead tells whether what stands in a column reads as the field of a heading:
// a hint to read it so must not lead astray.
func (reg *region) wouldRead(heading string, cells []bom.Cell) bool {
	column, _ := reg.tab.Find(heading)
	return len(cells) == 0 || reads(column, cells)
}

// otherUnit tells whether an unknown heading differs from a known one by its
// unit: to read kilograms as grams is no help.
func (reg *region) otherUnit(name, known string) bool {
	column, _ := reg.tab.Find(known)
	if column.Unit == "" {
		return false
	}
	stem, ended := strings.CutSuffix(bom.NormalHeading(known), bom.NormalHeading(column.Unit))
	return ended && strings.HasPrefix(bom.NormalHeading(name), stem)
}

// unused lists the headings, synonyms too, of columns that the table does not
// have.
func (reg *region) unused() []string {
	var out []string
	for _, c := range reg.tab.Columns {
		if reg.head.Col[c.Heading] == 0 {
			out = append(append(out, c.Heading), c.Synonyms...)
		}
	}
	return out
}

// extras gives the cells of a row that are under no known heading.
func (reg *region) extras(row bom.Row) []bom.Extra {
	var out []bom.Extra
	for _, c := range row.Cells {
		if name, ok := reg.extra[c.Col]; ok {
			out = append(out, bom.Extra{Heading: name, Text: c.Text})
		}
	}
	return out
}

// findZeroLed notes the columns in which numbers typed as text start with 0: a
// number among them that is stored as one has lost its own.
func (reg *region) findZeroLed() {
	for _, row := range reg.rows {
		for _, c := range row.Cells {
			if c.Kind == bom.Text && len(c.Text) > 1 && c.Text[0] == '0' && strings.Trim(c.Text, "0123456789") == "" {
				reg.zeroLed[c.Col] = max(reg.zeroLed[c.Col], len(c.Text))
			}
		}
	}
}

// find gives the cell of a row in a column; without text where nothing stands.
func find(row bom.Row, col int) bom.Cell {
	for _, c := range row.Cells {
		if c.Col == col {
			return c
		}
	}
	return bom.Cell{Col: col}
}

// origin ties a record to its row.
func (reg *region) origin(i int) bom.Origin {
	return bom.Origin{Head: reg.head, Row: reg.rows[i].Number}
}
