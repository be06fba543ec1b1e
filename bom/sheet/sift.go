package sheet

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// join puts two rows of headings together, as merged cells make them: the lower
// one names columns that the upper one does not. second tells that the lower row
// holds headings too, but not such ones.
func (f finder) join(upper, lower bom.Row) (joined []bom.Cell, second bool) {
	above := map[int]bom.Cell{}
	had := map[*bom.Column]bool{}
	for _, c := range upper.Cells {
		above[c.Col] = c
		if column, ok := f.column(c); ok {
			had[column] = true
		}
	}
	known, breaks, clash := 0, 0, false
	for _, c := range lower.Cells {
		column, ok := f.column(c)
		if !ok && f.lowerBreak(above[c.Col], c) {
			breaks++
			continue
		}
		if !ok && (c.Kind != bom.Text || strings.ContainsAny(c.Text, "0123456789")) {
			return nil, false
		}
		if !ok {
			continue
		}
		known++
		_, taken := f.column(above[c.Col])
		clash = clash || taken || had[column]
		had[column] = true
	}
	whole := known+breaks == len(lower.Cells)
	if known == 0 && breaks < 2 || !whole && (known < 2 || breaks > 0) {
		return nil, false
	}
	if clash {
		return nil, known >= 2 && !f.sameHeads(above, lower)
	}
	for _, c := range lower.Cells {
		if _, ok := f.column(c); ok || above[c.Col].Text == "" || f.lowerBreak(above[c.Col], c) {
			above[c.Col] = c
		}
	}
	for _, col := range slices.Sorted(maps.Keys(above)) {
		joined = append(joined, above[col])
	}
	return joined, false
}

// lowerBreak tells whether a cell of a quote is the heading of a price break that
// stands under the title of a group.
func (f finder) lowerBreak(above, c bom.Cell) bool {
	if !isQuote(f.tab) {
		return false
	}
	_, taken := f.column(above)
	_, before := f.step(above)
	_, isBreak := f.step(c)
	return isBreak && !taken && !before
}

// sameHeads tells whether the known headings of a row stand above as well.
func (f finder) sameHeads(above map[int]bom.Cell, lower bom.Row) bool {
	return !slices.ContainsFunc(lower.Cells, func(c bom.Cell) bool {
		here, ok := f.column(c)
		there, _ := f.column(above[c.Col])
		return ok && here != there
	})
}

// sift parts the rows under the headings: records, and what people write
// between and under them.
func (reg *region) sift(f finder, rows []bom.Row, problems *bom.Problems) {
	wide, isBOM := reg.isWide() || reg.head.Row == 0, reg.tab.Name == bom.BOMTab.Name
	if wide && !isBOM {
		rows = rows[:len(rows)-reg.remarks(rows, problems)]
	}
	said, now := bom.Problems{}, section{}
	reg.rows = make([]bom.Row, 0, len(rows))
	repeats := func(row bom.Row) bool { return f.repeats(reg, row) }
	if isQuote(f.tab) {
		repeats = reg.sameWords()
	}
	var blocks []int // where rows under a repeated heading row begin
	block, last, summed, title := 0, reg.head.Row, false, ""
sifting:
	for i, row := range rows {
		at := reg.table.At(row.Number, 0)
		if row.Number != last+1 {
			block++
		}
		last = row.Number
		switch {
		case repeats(row):
			blocks, block = append(blocks, len(reg.rows)), block+1
			said.Add(leftOut(at, "repeated headings are ignored", rowText(row)))
			if isBOM {
				reg.again = append(reg.again, titledAgain{at, title, len(reg.rows)})
			}
		case isBOM && f.otherList(row):
			reg.lone++
			said.Errorf(at, rowText(row), "a sheet or a file of its own for each", "another list, with headings of its own, stands under the first")
			break sifting
		case i == 0 && reg.isUnits(row):
			said.Notef(at, "a row of units is ignored")
		case reg.isTotal(row):
			reg.sums, summed = append(reg.sums, row), true
			said.Add(leftOut(at, "a row of totals is ignored", rowText(row)))
		case reg.isAside(row, at, summed, &said):
		case wide && isBOM && reg.isTitle(row):
			now, block, title = titleSays(rowText(row)), block+1, rowText(row)
			said.Add(leftOut(at, "a title or remark is not a line", rowText(row)))
		case isBOM && (wide || find(row, reg.head.Col["Quantity"]).Text == "") && reg.saysNothing(row):
			reg.sums = append(reg.sums, row)
			said.Add(leftOut(at, "a row that names no part is not a line", rowText(row)))
		case wide && !isBOM && reg.isBare(row):
			reg.lone++
			said.Errorf(at, rowText(row), "a whole row; a remark belongs above the headings", "%s", bareWhat(row))
		default:
			reg.rows, reg.block[row.Number], title = append(reg.rows, row), block, ""
			if now != (section{}) {
				reg.sections[row.Number] = now
			}
		}
		if len(said) > MaxFaults {
			said.Errorf(at, "", "a table with a record in each row", "more than %d rows up to here are none; the rest of them is not named", MaxFaults)
			break
		}
	}
	*problems = append(*problems, said...)
	if isBOM {
		reg.tellGap(problems)
		reg.tellAgain(problems)
		if len(blocks) == 1 {
			dropSameParts(reg, blocks[0], problems)
		}
	}
}

// isAside tells of a row that is none of the table's, and says nothing of those under it.
func (reg *region) isAside(row bom.Row, at bom.Place, summed bool, said *bom.Problems) bool {
	isBOM, open := reg.tab.Name == bom.BOMTab.Name, splitQuote(row)
	switch {
	case isBOM && reg.isCharge(row):
		reg.charges = append(reg.charges, row)
		said.Add(aCharge(at, row))
	case summed && isBOM && reg.sizeAlone(row):
		said.Add(doubtful(at, "a row under the totals that names no part is not a line", rowText(row), "give it a part number, a value or a description"))
	case open >= 0:
		reg.lone++
		said.Add(openQuote(at, row.Cells[open]))
	case isBOM && isExample(row):
		said.Add(doubtful(at, "a row that is marked as an example is not a line", rowText(row), "take the mark away"))
	default:
		return false
	}
	return true
}

// bareWhat says what is wrong with a row that names nothing.
func bareWhat(row bom.Row) string {
	if len(row.Cells) == 1 {
		return "nothing else stands in the row"
	}
	return "nothing but figures stands in the row"
}

// openQuote refuses a quote that a typographic sign opens and another cell closes.
func openQuote(at bom.Place, c bom.Cell) bom.Problem {
	at.Col = c.Col
	return bom.Problem{Place: at, Severity: bom.Error, Found: c.Text, What: "a typographic quote opens here and closes in another cell",
		Want: `plain quotes (") around what holds a separator`}
}

// doubtful tells of a row that is left out though it might be a line.
func doubtful(at bom.Place, what, text, mend string) bom.Problem {
	p := leftOut(at, what, text)
	p.Severity, p.Want = bom.Warning, "if it is a line, "+mend
	return p
}

// otherList tells whether a row holds the headings of another list: three or more, one of
// them of quantities or designators, and no figure.
func (f finder) otherList(row bom.Row) bool {
	if len(row.Cells) < fewColumns || slices.ContainsFunc(row.Cells, func(c bom.Cell) bool { return c.Kind != bom.Text || strings.ContainsAny(c.Text, "0123456789") }) {
		return false
	}
	all, sure := f.headings(row)
	return all >= fewColumns && sure >= 2 && slices.ContainsFunc(f.claims(row), func(c claim) bool {
		return c.rank < loosely && (c.column.Heading == "Quantity" || c.column.Heading == "Designator")
	})
}

// titledAgain is where the headings of a list stand once more.
type titledAgain struct {
	at    bom.Place
	title string // the last one above
	row   int    // index of the first row under them
}

// tellAgain tells of rows under a title and the headings once more that are not of other
// kinds of parts than those above: they may be of another board. Where their designators
// begin anew that is told elsewhere.
func (reg *region) tellAgain(problems *bom.Problems) {
	for i, a := range reg.again {
		end := len(reg.rows)
		if i+1 < len(reg.again) {
			end = reg.again[i+1].row
		}
		above, classes, both := map[string]bool{}, map[string]bool{}, map[string]bool{}
		for _, name := range reg.designatorsOf(reg.rows[:a.row]) {
			above[name], classes[bom.ClassOf(name)] = true, true
		}
		anew := false
		for _, name := range reg.designatorsOf(reg.rows[a.row:end]) {
			anew = anew || above[name]
			if class := bom.ClassOf(name); classes[class] {
				both[class] = true
			}
		}
		if len(both) >= 2 && !anew {
			problems.Add(bom.Problem{Place: a.at, Severity: bom.Assumption, What: "what stands under another title and the headings once more is counted on the same board",
				Found: a.title, Want: "if it is another, give it a list of its own", Each: bom.Shown(a.title)})
		}
	}
}

// gapRows is how many blank rows part what may be something else from a list.
const gapRows = 5

// tellGap tells of rows far under the others: they may sum up or plan, and are read as
// lines.
func (reg *region) tellGap(problems *bom.Problems) {
	for i, row := range reg.rows {
		if i == 0 || row.Number-reg.rows[i-1].Number <= gapRows {
			continue
		}
		for _, below := range reg.rows[i:] {
			problems.Add(bom.Problem{Place: reg.table.At(below.Number, 0), Severity: bom.Assumption, What: "what stands under a gap of blank rows is read as lines of the list",
				Found: rowText(below), Want: "if that is wrong, move it to a sheet of its own", Each: bom.Shown(rowText(below))})
		}
		return
	}
}

// dropSameParts leaves one of two lists that stand under each other in one table and
// are of the same designators, one a row for each and one a row for each part: the
// longer one.
func dropSameParts(reg *region, split int, problems *bom.Problems) {
	above, below := reg.rows[:split], reg.rows[split:]
	if !slices.Equal(reg.designatorsOf(above), reg.designatorsOf(below)) || len(reg.designatorsOf(above)) == 0 {
		return
	}
	kept, dropped := above, below
	if len(below) < len(above) {
		kept, dropped = below, above
	}
	reg.rows = kept
	problems.Warnf(reg.table.At(dropped[0].Number, 0), "", "if they are other parts, give them designators of their own",
		"%d rows from here on name the same designators as those from row %d on, and are not counted again", len(dropped), kept[0].Number)
}

// designatorsOf lists the designators of rows in order.
func (reg *region) designatorsOf(rows []bom.Row) []string {
	var out []string
	for _, row := range rows {
		d, _ := bom.ExpandDesignators(find(row, reg.head.Col["Designator"]).Text)
		out = append(out, d.Names...)
	}
	slices.Sort(out)
	return out
}

// leftOut tells of a row that is no record.
func leftOut(at bom.Place, what, text string) bom.Problem {
	return bom.Problem{Place: at, Severity: bom.Note, What: what, Found: text, Each: bom.Shown(text)}
}

// section is what a title says of the rows under it.
type section struct {
	mount bom.Mount
	side  bom.Side
	bom.Titled
}

// titleKinds are words of titles over parts of one kind; common practice, no source.
var titleKinds = map[string]bom.Kind{
	"fastener": bom.KindFastener, "fasteners": bom.KindFastener, "screw": bom.KindFastener, "screws": bom.KindFastener,
	"bolt": bom.KindFastener, "bolts": bom.KindFastener, "nut": bom.KindFastener, "nuts": bom.KindFastener,
	"washer": bom.KindFastener, "washers": bom.KindFastener, "rivets": bom.KindFastener, "standoffs": bom.KindFastener, "spacers": bom.KindFastener,
	"schrauben": bom.KindFastener, "muttern": bom.KindFastener, "scheiben": bom.KindFastener, "unterlegscheiben": bom.KindFastener,
	"inserts": bom.KindInsert, "packing": bom.KindPacking, "packaging": bom.KindPacking, "verpackung": bom.KindPacking,
}

// titleFill are words that may stand beside those of a kind.
var titleFill = bom.WordSet("and und or parts list threaded heat set material")

// kindOf is the kind that a title names, where it speaks of nothing else.
func kindOf(words string) (kind bom.Kind) {
	for word := range strings.FieldsSeq(words) {
		named, known := titleKinds[word]
		switch {
		case titleFill[word]:
		case !known, kind != "" && kind != named:
			return ""
		default:
			kind = named
		}
	}
	return kind
}

// titleSays reads mount, side and kind from a title such as "Through-hole parts",
// "SMD, bottom side" or "Screws and nuts".
func titleSays(title string) section {
	words := " " + strings.Join(strings.FieldsFunc(strings.ToLower(title), func(r rune) bool {
		return !unicode.IsLetter(r) && !unicode.IsDigit(r)
	}), " ") + " "
	has := func(list ...string) bool {
		return slices.ContainsFunc(list, func(w string) bool { return strings.Contains(words, " "+w+" ") })
	}
	var s section
	smt, tht := has("smd", "smt", "surface mount", "surface mounted"), has("tht", "pth", "through hole", "thru hole", "throughhole", "bedrahtet")
	switch {
	case smt && !tht:
		s.mount = bom.SMT
	case tht && !smt:
		s.mount = bom.THT
	}
	top, bottom := has("top", "front", "top side", "component side"), has("bottom", "back", "solder side")
	switch {
	case top && !bottom:
		s.side = bom.Top
	case bottom && !top:
		s.side = bom.Bottom
	}
	if kind := kindOf(words); kind != "" {
		s.Titled = bom.Titled{Kind: kind, Title: title}
	}
	return s
}

// isTitle tells whether a row of a list holds one text alone, repeated where cells
// were merged, that is neither a designator nor a figure.
func (reg *region) isTitle(row bom.Row) bool {
	row.Cells = reg.withoutNoughts(row.Cells)
	if len(row.Cells) == 0 {
		return false
	}
	first := row.Cells[0]
	if len(row.Cells) == 1 && noContent(first.Text) {
		return true
	}
	if slices.ContainsFunc(row.Cells, func(c bom.Cell) bool { return c.Text != first.Text }) {
		return false
	}
	if first.Col == reg.head.Col["Designator"] && looksLikeDesignators(first.Text) {
		return false
	}
	return strings.ContainsFunc(first.Text, unicode.IsLetter)
}

// withoutNoughts leaves out cells of 0 that count no pieces: formulas of a column of
// amounts run on through the titles.
func (reg *region) withoutNoughts(cells []bom.Cell) []bom.Cell {
	quantity := reg.head.Col["Quantity"]
	nought := func(c bom.Cell) bool {
		if c.Col == quantity || !strings.Contains(c.Text, "0") || strings.ContainsAny(c.Text, "123456789") {
			return false // most cells, without the work of reading them
		}
		_, err := bom.ParseFigure(c.Text, bom.MarkDot)
		return err == nil
	}
	if !slices.ContainsFunc(cells, nought) {
		return cells
	}
	return slices.DeleteFunc(slices.Clone(cells), nought)
}

// exampleWords mark the rows of a form that show how it is filled in; common practice,
// no source.
var exampleWords = bom.WordSet("example eg beispiel zb exemple ejemplo esempio exemplo 例 記入例 示例 пример")

// isExample tells whether the first cell of a row marks it as an example.
func isExample(row bom.Row) bool {
	first := strings.TrimRight(row.Cells[0].Text, ":：)）.0123456789 ")
	return len(first) <= headingLength && exampleWords[bom.NormalHeading(first)]
}

// saysNothing tells whether a row of a list names nothing and counts nothing: a
// running number or a price alone. One with a quantity and a text under another
// heading may be a part.
func (reg *region) saysNothing(row bom.Row) bool {
	if n, _ := bom.ParseWhole(find(row, reg.head.Col["Quantity"]).Text, bom.MarkDot); n > 0 {
		for _, c := range row.Cells {
			if !reg.known[c.Col] && strings.ContainsFunc(c.Text, unicode.IsLetter) {
				return false
			}
		}
	}
	for _, h := range reg.cols {
		if c := find(row, h.col); !h.column.Form.Numeric() && h.column.Heading != "Currency" && !noContent(c.Text) {
			return false
		}
	}
	return true
}

// splitQuote is the index of the first cell of a row that opens a typographic
// quote which another cell closes: they are one cell that was parted at a
// separator. It is -1 where there is none.
func splitQuote(row bom.Row) int {
	open := -1
	for i, c := range row.Cells {
		opens, closes := strings.HasPrefix(c.Text, "“"), strings.HasSuffix(c.Text, "”")
		switch {
		case opens && !closes:
			open = i
		case closes && !opens:
			return open
		}
	}
	return -1
}

// mostRemarks bounds the sentences under a table; more are a table of sentences.
const mostRemarks = 20

// remarks counts the rows at the end that hold one sentence each, and tells of
// them.
func (reg *region) remarks(rows []bom.Row, problems *bom.Problems) int {
	n := 0
	for n < len(rows) && isRemark(rows[len(rows)-1-n]) {
		if n++; n > mostRemarks {
			return 0
		}
	}
	for _, row := range rows[len(rows)-n:] {
		c := row.Cells[0]
		problems.Warnf(reg.table.At(row.Number, c.Col), c.Text, "if it is a row, fill it in like the others", "a remark under the table is ignored")
	}
	return n
}

// isRemark tells whether a row is one cell with a sentence: three words or more
// that are letters alone.
func isRemark(row bom.Row) bool {
	if len(row.Cells) != 1 {
		return false
	}
	words := 0
	for word := range strings.FieldsSeq(row.Cells[0].Text) {
		word = strings.TrimRight(word, ".,:;")
		if len(word) > 1 && strings.IndexFunc(word, func(r rune) bool { return !unicode.IsLetter(r) }) < 0 {
			words++
		}
	}
	return words >= 3
}

// repeats tells whether a row is the heading row once more: in other words
// perhaps, but with the same fields in the same columns.
func (f finder) repeats(reg *region, row bom.Row) bool {
	n := 0
	if mostlyHeads(reg, row) {
		return true
	}
	for _, c := range row.Cells {
		column, known := f.column(c)
		_, isBreak := f.step(c)
		switch {
		case known && reg.head.Col[column.Heading] == c.Col, reg.headedAs(c):
			n++
		case len(c.Text) <= headingLength && bom.NormalHeading(c.Text) == bom.NormalHeading(reg.extra[c.Col]):
		case isBreak:
		default:
			return false
		}
	}
	return n >= 2
}

// mostlyHeads tells whether three cells or more, and over half of a row, repeat the
// headings of their columns, and the others hold no figure.
func mostlyHeads(reg *region, row bom.Row) bool {
	same := 0
	for _, c := range row.Cells {
		switch {
		case reg.headedAs(c), len(c.Text) <= headingLength && reg.extra[c.Col] != "" && bom.NormalHeading(c.Text) == bom.NormalHeading(reg.extra[c.Col]):
			same++
		case strings.ContainsAny(c.Text, "0123456789"):
			return false
		}
	}
	return same >= 3 && 2*same > len(row.Cells)
}

// headedAs tells whether a cell repeats the heading of its column.
func (reg *region) headedAs(c bom.Cell) bool {
	for _, h := range reg.cols {
		if h.col == c.Col {
			return len(c.Text) <= headingLength && bom.NormalHeading(c.Text) == bom.NormalHeading(reg.head.Text[h.column.Heading])
		}
	}
	return false
}

// sameWords gives a test of whether a row is the heading row once more, in the
// same words: those of a quote take too long to be read for what they mean in
// every row.
func (reg *region) sameWords() func(bom.Row) bool {
	heads := map[int]string{}
	for heading, col := range reg.head.Col {
		heads[col] = bom.NormalHeading(reg.head.Text[heading])
	}
	for col, text := range reg.extra {
		heads[col] = bom.NormalHeading(text)
	}
	return func(row bom.Row) bool {
		for _, c := range row.Cells {
			if len(c.Text) > headingLength || heads[c.Col] != bom.NormalHeading(c.Text) {
				return false
			}
		}
		return len(row.Cells) >= 2
	}
}

// isUnits tells whether a row under the headings says in what units the figures
// stand, and those are the documented ones.
func (reg *region) isUnits(row bom.Row) bool {
	n := 0
	for _, h := range reg.cols {
		c := find(row, h.col)
		switch {
		case c.Text == "":
		case !sameUnit(h.column, strings.Trim(c.Text, "()[]")):
			return false
		default:
			n++
		}
	}
	return n > 0
}

// totalWords head rows that sum up others, in languages whose tables come with
// semicolons too; common practice, no source.
var totalWords = bom.WordSet("total cost costs totals sum subtotal subtotals grandtotal totalparts totalquantity totalqty totalcost totalprice totallines " +
	"totalitems summe gesamt gesamtsumme zwischensumme somme totale suma totaal 合計 小計 总计 合计")

// isTotal tells whether a row sums up those above it: its first words or its
// description say so, and nothing on it names a part.
func (reg *region) isTotal(row bom.Row) bool {
	word := 0
	first := slices.IndexFunc(row.Cells, func(c bom.Cell) bool { return strings.ContainsFunc(c.Text, unicode.IsLetter) })
	for i, c := range row.Cells {
		if (i == first || c.Col == reg.head.Col["Description"]) && len(c.Text) <= headingLength && totalWords[totalWord(c.Text)] {
			word = c.Col
		}
	}
	if word == 0 {
		return false
	}
	for _, h := range reg.cols {
		if c := find(row, h.col); h.column.Form == bom.FormKey && h.col != word && strings.ContainsFunc(c.Text, unicode.IsLetter) && !totalWords[totalWord(c.Text)] {
			return false
		}
	}
	return true
}

// sizeAlone tells whether all that a row of a list with designators says of a part is under
// Package.
func (reg *region) sizeAlone(row bom.Row) bool {
	for _, h := range reg.cols {
		names := h.column.Form == bom.FormKey && h.column.Heading != "Package" || h.column.Heading == "Description"
		if names && find(row, h.col).Text != "" {
			return false
		}
	}
	return reg.head.Col["Designator"] > 0 && find(row, reg.head.Col["Package"]).Text != ""
}

// totalWord is what a cell says before its figures: "Total (net): 14 pieces".
func totalWord(text string) string {
	if i := strings.IndexAny(text, ":=([0123456789"); i >= 0 {
		text = text[:i]
	}
	_, text = bom.TaxIn(text)
	word := bom.NormalHeading(text)
	for _, first := range []string{"grandtotal", "subtotal", "totalcost", "totalprice", "totalper", "totalnumber", "totalcomponent", "totalamount"} {
		if strings.HasPrefix(word, first) {
			return "total" // grand total cost
		}
	}
	return word
}

// fewColumns is how many headings a table has at least for a row with a single
// cell to be no record of it.
const fewColumns = 3

// isWide tells whether a record of the table takes several cells, so that a row
// with a single one is none.
func (reg *region) isWide() bool {
	must := 0
	for _, h := range reg.cols {
		if h.column.Required {
			must++
		}
	}
	return (reg.tab.Name == bom.BOMTab.Name || must >= 2) && len(reg.cols)+len(reg.steps) >= fewColumns
}

// isBare tells whether a row names nothing: a title between the records, or
// figures alone.
func (reg *region) isBare(row bom.Row) bool {
	return len(row.Cells) == 1 || !slices.ContainsFunc(row.Cells, func(c bom.Cell) bool { return !reg.figures[c.Col] })
}
