package sheet

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// How sure a heading is that it means its field.
const (
	mapped = iota // the user maps it
	listed        // a documented heading
	synonym
	byWords // of the trade's words for the field
	loosely // one of several fields: what stands under it decides
)

// claim is a column that may hold a field.
type claim struct {
	col    int
	column *bom.Column
	rank   int
}

// claims lists what the headings of a row may mean, surest first, and of equally
// sure ones the leftmost first.
func (f finder) claims(row bom.Row) []claim {
	var out []claim
	steps := 0
	for _, c := range row.Cells {
		if _, isBreak := f.step(c); isBreak {
			steps++
		}
	}
	for _, c := range row.Cells {
		_, isBreak := f.step(c)
		for _, m := range f.meanings(c) {
			if m.col = c.Col; !isBreak || m.rank < byWords || steps == 1 { // Price 1 among price breaks is one
				out = append(out, m)
			}
		}
	}
	slices.SortStableFunc(out, func(a, b claim) int { return a.rank - b.rank })
	return out
}

// meanings lists the columns that a heading cell may name.
func (f finder) meanings(c bom.Cell) []claim {
	if column, ok := f.column(c); ok {
		rank := synonym
		switch key := bom.NormalHeading(c.Text); {
		case f.mapped[key]:
			rank = mapped
		case key == bom.NormalHeading(column.Heading):
			rank = listed
		}
		return []claim{{column: column, rank: rank}}
	}
	if f.tab.Name != bom.BOMTab.Name && !isQuote(f.tab) || c.Kind != bom.Text || len(c.Text) > headingLength || f.dropped[bom.NormalHeading(c.Text)] {
		return nil
	}
	if isQuote(f.tab) {
		return f.quoteMeaning(c.Text)
	}
	fields, loose := bom.HeadingFields(c.Text)
	rank := byWords
	if len(fields) == 0 && perHead(c.Text) > 0 {
		fields, loose = []string{"Price"}, true
	}
	if loose {
		rank = loosely
	}
	var out []claim
	for _, name := range fields {
		if column, ok := f.tab.Column(name); ok {
			out = append(out, claim{column: column, rank: rank})
		}
	}
	return out
}

// misspeltFields are the fields that a heading with a slip in it may mean: see byContent.
var misspeltFields = []string{"Quantity", "Designator", "Package", "Description"}

// hints are the meanings of a heading cell, also of one with a slip in it.
func (f finder) hints(c bom.Cell) []claim {
	m := f.meanings(c)
	if len(m) > 0 || f.tab.Name != bom.BOMTab.Name || len(c.Text) > headingLength {
		return m
	}
	for _, name := range misspeltFields {
		column, _ := f.tab.Column(name)
		if bom.Misspelt(c.Text, append([]string{column.Heading}, column.Synonyms...)) {
			return []claim{{column: column, rank: loosely}}
		}
	}
	return nil
}

// contents are the cells under each heading, as far down as is needed to tell what
// a column holds.
type contents map[int][]bom.Cell

// contentFew is up to how many rows a column of a few cells may be anything.
const contentFew = 8

// contentRows is how many rows are looked at.
const contentRows = 200

// contentsOf gathers what stands under a heading row, without the headings once
// more, without totals and without titles.
func contentsOf(head bom.Row, rows []bom.Row) contents {
	names := map[int]string{}
	for _, c := range head.Cells {
		names[c.Col] = c.Text
	}
	under := contents{}
	for _, row := range rows[:min(len(rows), contentRows)] {
		if totalWords[totalWord(row.Cells[0].Text)] || len(row.Cells) == 1 && len(head.Cells) >= fewColumns {
			continue // a total, or a title
		}
		for _, c := range row.Cells {
			if c.Text != names[c.Col] {
				under[c.Col] = append(under[c.Col], c)
			}
		}
	}
	return under
}

// settleHeads gives each field its column: the user's own first, then the surest
// heading; of equally sure ones the one whose cells read as the field, if only one
// does. Columns that lose stay notes.
func (reg *region) settleHeads(f finder, row bom.Row, rows []bom.Row, problems *bom.Problems) map[int]*bom.Column {
	under := contentsOf(row, rows)
	claims := f.claims(row)
	if isQuote(f.tab) || f.tab.Name == bom.BOMTab.Name {
		claims = f.withoutTotals(reg.agreeOnTax(claims, row, problems), row, rows)
	}
	field := map[*bom.Column]int{} // -> its column
	taken := map[int]*bom.Column{} // column -> its field
	for i, c := range claims {
		if taken[c.col] != nil || field[c.column] != 0 {
			continue
		}
		rivals := []claim{c}
		for j, o := range claims[i+1:] {
			// A column is no rival for its second meaning while its first is open.
			rather := c.rank == loosely && slices.ContainsFunc(claims[i+1:i+1+j], func(r claim) bool { return r.col == o.col && field[r.column] == 0 })
			if (o.rank == c.rank || c.rank == listed && o.rank == synonym) && o.column == c.column && taken[o.col] == nil && !rather {
				rivals = append(rivals, o)
			}
		}
		best, ok := reg.choose(rivals, under, row, rows, problems)
		if !ok {
			continue
		}
		field[c.column], taken[best.col] = best.col, c.column
	}
	if f.tab.Name == bom.BOMTab.Name {
		f.byContent(reg.table, row, rows, taken, problems)
		reg.ofRows = f.ofRows(row, rows, taken)
	}
	if isQuote(f.tab) {
		f.currencies(taken, under)
	}
	if f.tab.Name == bom.BOMTab.Name || isQuote(f.tab) {
		leaveAllotted(reg, row, taken, rows, problems)
	}
	return taken
}

// leaveAllotted leaves out a column of stock that repeats the quantity or stands beside a
// back order: baskets tell so how many of the pieces asked for can be had, and not how many
// there are.
func leaveAllotted(reg *region, head bom.Row, taken map[int]*bom.Column, rows []bom.Row, problems *bom.Problems) {
	col, quantities := columnOf(taken, "Stock"), columnOf(taken, "Quantity")
	basket := slices.ContainsFunc(head.Cells, func(c bom.Cell) bool { return strings.HasPrefix(bom.NormalHeading(c.Text), "backorder") })
	alike, all := 0, 0
	for _, row := range rows[:min(len(rows), contentRows)] {
		if stock, quantity := find(row, col).Text, find(row, quantities).Text; stock != "" {
			all++
			if stock == quantity {
				alike++
			}
		}
	}
	what := "column %s repeats the quantity, and is not read as stock"
	if basket {
		what = "column %s stands beside a back order: it tells how many of the quantity can be had, and is not read as stock"
	}
	if col > 0 && (all >= 3 && 10*alike >= 9*all || basket) {
		delete(taken, col)
		reg.known[col] = true // is told here
		problems.Notef(reg.table.At(head.Number, col), what, columnName(col, find(head, col).Text))
	}
}

// holdsDesignators tells whether nearly all cells list designators.
func holdsDesignators(cells []bom.Cell) bool {
	if 2*countOf(cells, times) > len(cells) {
		return false // x3
	}
	good := countOf(cells, looksLikeDesignators)
	return good >= 3 && 10*good >= 9*len(cells)
}

// times tells x3 and X 12, which are quantities.
func times(text string) bool {
	return strings.Trim(strings.TrimPrefix(strings.ToLower(text), "x"), " 0123456789") == ""
}

// wordsIn counts the letters of cells that are no addresses.
func wordsIn(cells []bom.Cell) int {
	n := 0
	for _, c := range cells {
		if !strings.Contains(c.Text, "://") {
			n += min(len(c.Text), 60)
		}
	}
	return n
}

// choose picks one of several columns that claim one field alike.
func (reg *region) choose(rivals []claim, under contents, head bom.Row, rows []bom.Row, problems *bom.Problems) (best claim, ok bool) {
	best = rivals[0]
	if best.rank == loosely {
		for _, r := range rivals {
			switch {
			case isQuote(reg.tab):
				if r.column.Heading != "Order code" || ofTheirOwn(under[r.col], len(rows)) {
					return r, true
				}
			case !reads(r.column, under[r.col]):
			case r.column.Heading == "Part number" && !numbered(under[r.col]):
			case r.column.Heading == "Value" && 2*len(under[r.col]) < len(rows) && len(rows) > contentFew: // remarks to some
			case r.column.Heading == "Quantity" && (countsOthers(r.col, rows) || mayBe("Part number", find(head, r.col).Text) && numbersRows(under[r.col])):
			default:
				return r, true
			}
		}
		return best, len(under[best.col]) == 0
	}
	if len(rivals) == 1 {
		return best, reg.alone(best, under[best.col])
	}
	if best.column.Heading == "Quantity" {
		rivals = withoutOrders(rivals, head)
		best = rivals[0]
	}
	var fit []claim
	for _, r := range rivals {
		if reads(r.column, under[r.col]) {
			fit = append(fit, r)
		}
	}
	switch {
	case len(fit) == 1:
		return fit[0], true
	case len(fit) == 0:
		return best, false
	case alike(fit, under):
		return fit[0], true
	}
	if best.column.Heading != "Quantity" && !(isQuote(reg.tab) && best.column.Form.Numeric()) {
		return reg.fullest(fit, under), true
	}
	if agree := agreeing(fit, rows); len(agree) == 1 {
		return agree[0], true
	}
	for _, r := range rivals[1:] {
		c := find(head, r.col)
		here := reg.table.At(head.Number, r.col)
		want := "keep one column for it; --heading '" + c.Text + "=' leaves this one out"
		if bom.NormalHeading(c.Text) == bom.NormalHeading(find(head, best.col).Text) {
			want = "keep one column for it, or another word over one of the two" // the flag would leave out both
		}
		problems.Errorf(here, c.Text, want,
			"%s is headed twice, as %s in %s and here", r.column.Heading, bom.Shown(find(head, best.col).Text), reg.table.At(head.Number, best.col).Cell())
		reg.known[r.col] = true // complained of
	}
	return best, true
}

// drawingNumber is what a drawing of a part is called: CK.000.001.
var drawingNumber = regexp.MustCompile(`^\p{L}+(\.\d{2,}){2,}$`)

// alone tells whether a column that nothing rivals holds what its heading says.
func (reg *region) alone(c claim, cells []bom.Cell) bool {
	switch {
	case c.column.Heading == "Mount" && saysFitted(cells): // placed, not placed
		return false
	case c.column.Heading == "Order code" && c.rank == byWords && counts(cells): // # order
		return false
	case c.column.Heading == "Designator" && 4*countOf(cells, drawingNumber.MatchString) > 3*len(cells):
		return false // обозначение: that of a drawing
	case (isQuote(reg.tab) && c.column.Heading == "Order code" || !isQuote(reg.tab) && c.column.Heading == "Part number" && len(cells) > 2) &&
		c.rank != mapped && runningNumbers(cells): // Item no, Part #
		return false
	case c.rank == byWords:
		return fitsForm(c.column, cells)
	}
	return c.rank <= listed || isQuote(reg.tab) || fitsForm(c.column, cells)
}

// mayBe tells whether a heading may mean a field, among others: Number may be quantities,
// or what parts are called.
func mayBe(field, heading string) bool {
	fields, _ := bom.HeadingFields(heading)
	return slices.Contains(fields, field)
}

// numbersRows tells whether three cells or more are 1, 2, 3 and so on.
func numbersRows(cells []bom.Cell) bool {
	for i, c := range cells {
		if n, _ := bom.ParseWhole(strings.TrimSuffix(c.Text, "."), bom.MarkDot); n != int64(i+1) {
			return false
		}
	}
	return len(cells) > 2
}

// withoutOrders leaves out columns of what is ordered in all where another of the same
// field says what is needed.
func withoutOrders(rivals []claim, head bom.Row) []claim {
	needed := slices.DeleteFunc(slices.Clone(rivals), func(r claim) bool { return bom.SpeaksOfOrder(find(head, r.col).Text) })
	if len(needed) == 0 {
		return rivals
	}
	return needed
}

// countsOthers tells whether a column of numbers counts something else than the pieces
// of one unit: rows of several designators are there, and in most rows it is not
// their number.
func countsOthers(col int, rows []bom.Row) bool {
	t := tallyPlaces(col, rows)
	return t.several && t.differ > t.agree
}

// placeTally compares a column of numbers with the designators beside it.
type placeTally struct {
	agree, differ, without int  // rows in which it is their number, is not, and that have none
	several                bool // some row has several designators
}

func tallyPlaces(col int, rows []bom.Row) (t placeTally) {
	for _, row := range rows[:min(len(rows), contentRows)] {
		n, err := bom.ParseWhole(find(row, col).Text, bom.MarkDot)
		if err != nil {
			continue
		}
		met, agrees := false, false
		for _, c := range row.Cells {
			if !looksLikeDesignators(c.Text) {
				continue
			}
			if d, err := bom.ExpandDesignators(c.Text); err == nil {
				met, agrees = true, agrees || int64(len(d.Names)) == n
				t.several = t.several || len(d.Names) > 1
			}
		}
		switch {
		case agrees:
			t.agree++
		case met:
			t.differ++
		default:
			t.without++
		}
	}
	return t
}

// fullest is the column with the most cells, of equal ones the first: what names a
// part is in any of them, and a price is taken over as a proposal. Of a quote, which may have
// nothing else to name a part, it is the description with the most texts.
func (reg *region) fullest(rivals []claim, under contents) claim {
	if isQuote(reg.tab) {
		return slices.MaxFunc(rivals, func(a, b claim) int { return kinds(under[a.col]) - kinds(under[b.col]) })
	}
	return slices.MaxFunc(rivals, func(a, b claim) int { return len(under[a.col]) - len(under[b.col]) })
}

// agreeing are the columns of quantities that agree with the number of designators
// in every row that has both.
func agreeing(rivals []claim, rows []bom.Row) []claim {
	return slices.DeleteFunc(slices.Clone(rivals), func(r claim) bool {
		t := tallyPlaces(r.col, rows)
		return t.differ+t.without > 0
	})
}

// alike tells whether the columns hold the same in every row.
func alike(rivals []claim, under contents) bool {
	same := func(a, b bom.Cell) bool { return a.Text == b.Text }
	return !slices.ContainsFunc(rivals[1:], func(r claim) bool { return !slices.EqualFunc(under[rivals[0].col], under[r.col], same) })
}

// fitsForm tells whether a column that is headed in the trade's words can hold its
// field: one of words where figures are wanted, or of other words than the choices,
// is something else.
func fitsForm(column *bom.Column, cells []bom.Cell) bool {
	asked := column.Form.Numeric() || len(column.Choices) > 0
	return len(cells) == 0 || !asked || reads(column, cells)
}

// reads tells whether cells read as what a column holds. A column without any cells
// does not.
func reads(column *bom.Column, cells []bom.Cell) bool {
	good, all := 0, 0
	for _, c := range cells {
		if noContent(c.Text) || unsure[strings.ToLower(c.Text)] {
			continue
		}
		all++
		if readsAs(column, c) {
			good++
		}
	}
	switch {
	case all == 0:
		return false
	case column.Heading == "Package":
		return 3*good >= all
	case column.Heading == "Designator":
		return 2*good >= all
	case !column.Form.Numeric() && len(column.Choices) == 0 && column.Heading != "File":
		return !runningNumbers(cells)
	}
	return 5*good >= 3*all
}

func readsAs(column *bom.Column, c bom.Cell) bool {
	switch {
	case column.Heading == "Designator":
		return looksLikeDesignators(c.Text)
	case column.Heading == "File":
		return strings.Contains(c.Text, ".")
	case column.Heading == "Package":
		p := bom.ReadPackage(c.Text)
		return p.Family != "" || p.Mount != bom.MountNone
	case column.Heading == "Mount":
		return oneWord(c.Text, column.Choices, mountWords) != ""
	case column.Heading == "Side":
		return oneWord(c.Text, column.Choices, sideWords) != ""
	case column.Heading == "Fitted" || column.Heading == "DNP":
		_, ok := fittedWord(c.Text)
		return ok
	case len(column.Choices) > 0:
		_, ok := bom.Choice(c.Text, column.Choices)
		return ok
	case column.Heading == "Quantity":
		a, ok := bom.SplitQuantity(c.Text)
		return ok && !a.Open
	case column.Heading == "MOQ" && minMultiple.MatchString(c.Text):
		return true
	case column.Heading == "Price":
		return readsAsPrice(c.Text)
	case column.Form.Numeric():
		_, err := bom.ParseFigure(c.Text, bom.MarkUnknown)
		return err == nil || err.Ambiguous
	}
	return true
}

// mostDigits is how long the number of a designator is at most: C37635331 is an order
// code.
const mostDigits = 5

// looksLikeDesignators tells whether most words of a cell are letters with a
// number behind them, R12 or U$3, or ranges of such.
func looksLikeDesignators(text string) bool {
	good, all := 0, 0
	for _, w := range strings.FieldsFunc(text, func(r rune) bool { return strings.ContainsRune(",;|/ \n\t-–…&", r) }) {
		if strings.Trim(w, "0123456789") == "" && good > 0 {
			continue // C1,4,9
		}
		all++
		if digits := strings.TrimLeftFunc(w, func(r rune) bool { return !unicode.IsDigit(r) }); bom.IsDesignator(w) && len(digits) <= mostDigits {
			good++
		}
	}
	return 2*good > all
}

// numbered tells whether half of the cells that are no addresses hold a digit, as part
// numbers do, where kinds of parts (resistor, cable) do not.
func numbered(cells []bom.Cell) bool {
	names := len(cells) - countOf(cells, isAddress)
	return names > 0 && 2*countOf(cells, func(text string) bool { return !isAddress(text) && strings.ContainsAny(text, "0123456789") }) >= names
}

// countOf counts the cells whose text passes a test.
func countOf(cells []bom.Cell, test func(text string) bool) int {
	n := 0
	for _, c := range cells {
		if test(c.Text) {
			n++
		}
	}
	return n
}

// runningNumbers tells whether cells count the rows: 1, 2, 3.
func runningNumbers(cells []bom.Cell) bool {
	last := int64(0)
	for _, c := range cells {
		n, err := bom.ParseWhole(strings.TrimSuffix(c.Text, "."), bom.MarkDot)
		if err != nil || n <= last || n > int64(len(cells))*10+10 {
			return false
		}
		last = n
	}
	return len(cells) > 1
}

// noContent tells whether a cell says that nothing stands in it: a dash, dashes or N/A.
func noContent(text string) bool {
	word := strings.ToLower(strings.TrimSpace(text))
	return word == "n/a" || word == "n.a." || !strings.ContainsFunc(text, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || r == '+' || r == '?' })
}
