package sheet

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// nameFields are the fields that can name a part.
var nameFields = []string{"Part number", "Value", "Description", "Package"}

// byContent finds the fields without which a list cannot be read among the columns
// that nothing else claims, by what stands in them: designators and quantities where
// there is neither, and what names the parts. Each is told.
func (f finder) byContent(t *bom.Table, head bom.Row, rows []bom.Row, taken map[int]*bom.Column, problems *bom.Problems) {
	under := contentsOf(head, rows)
	has := map[string]bool{}
	for _, column := range taken {
		has[column.Heading] = true
	}
	take := func(name string, fits func(col int, heading string) bool) {
		column, _ := f.tab.Column(name)
		for _, col := range slices.Sorted(maps.Keys(under)) {
			heading := find(head, col).Text
			if taken[col] != nil || f.dropped[bom.NormalHeading(heading)] || !fits(col, heading) {
				continue
			}
			taken[col], has[name] = column, true
			problems.Notef(t.At(head.Number, col), "column %s is read as %s, by what stands in it", columnName(col, heading), name)
			return
		}
	}
	f.misspelt(under, has, take)
	if !has["Fitted"] && !has["DNP"] {
		take("Fitted", func(col int, _ string) bool { return saysFitted(under[col]) })
	}
	if !has["Designator"] {
		take("Designator", func(col int, _ string) bool { return holdsDesignators(under[col]) })
	}
	if col := columnOf(taken, "Description"); !has["Designator"] && (has["Value"] || has["Part number"]) && f.describesPlaces(find(head, col), under[col]) {
		delete(taken, col)
		has["Description"] = false
		take("Designator", func(c int, _ string) bool { return c == col })
	}
	if !has["Quantity"] {
		quantity, _ := f.tab.Column("Quantity")
		take("Quantity", func(col int, heading string) bool {
			return bom.SpeaksOfQuantity(heading) && reads(quantity, under[col]) && !runningNumbers(under[col]) &&
				(!has["Designator"] || countsPlaces(col, rows))
		})
	}
	if price := columnOf(taken, "Price"); !has["Quantity"] {
		if stock := columnOf(taken, "Stock"); totalColumn(tallyCash(rows, stock, price)) != 0 {
			delete(taken, stock)
		}
		take("Quantity", func(col int, _ string) bool {
			return wholeNumbers(under[col]) && totalColumn(tallyCash(rows, col, price)) != 0
		})
	}
	if !has["Quantity"] && !has["Designator"] {
		take("Quantity", func(col int, heading string) bool {
			return heading == "" && counts(under[col]) && 4*len(under[col]) >= 3*len(under[columnOf(taken, "Description")])
		})
	}
	if col := columnOf(taken, "Description"); has["Description"] && !has["Part number"] && !has["Value"] {
		take("Value", func(c int, heading string) bool { return namesBeside(c, col, heading, rows, under) })
	}
	if pkg := columnOf(taken, "Package"); pkg != 0 && !has["Description"] && !has["Part number"] && !has["Value"] {
		take("Value", func(col int, _ string) bool { return tellsMore(under[col], under[pkg]) })
	}
	if breaks := func(c bom.Cell) bool { _, is := f.step(c); return is }; !has["Price"] && !slices.ContainsFunc(head.Cells, breaks) {
		costByContent(t, head, rows, taken, take, problems)
	}
	nameByContent(under, rows, taken, has, take)
	if !has["Part number"] {
		take("Part number", func(col int, heading string) bool {
			return bom.SpeaksOfParts(heading) && tellsApart(col, rows, taken)
		})
	}
}

// namesBeside tells whether a column names the parts of a list that has nothing else for them
// but descriptions: it may be headed so, fills in where those are missing, or is a second one
// that tells more of them apart.
func namesBeside(col, described int, heading string, rows []bom.Row, under contents) bool {
	cells, many := under[col], len(under[described])
	return heading != "" && namesAll(cells) && (len(cells)+1 >= many && (bom.MayDescribe(heading) || fillsIn(rows, col, described)) ||
		mayBe("Description", heading) && 4*len(cells) >= 3*many)
}

// describesPlaces tells whether a heading of descriptions, if it is not the user's word for
// them, stands over designators.
func (f finder) describesPlaces(head bom.Cell, cells []bom.Cell) bool {
	return !f.mapped[bom.NormalHeading(head.Text)] && holdsDesignators(cells) && classed(cells)
}

// tellsMore tells whether cells are names or values in nearly all rows of a list that says no
// more of its parts than their packages, and of more kinds than those.
func tellsMore(cells, packages []bom.Cell) bool {
	named := countOf(cells, func(text string) bool {
		_, value := bom.ParseValue(text)
		return !isAddress(text) && strings.ContainsFunc(text, unicode.IsLetter) && (value || !unicode.IsDigit(rune(text[0])))
	})
	return 4*len(cells) >= 3*len(packages) && 4*named >= 3*len(cells) && kinds(cells) > kinds(packages)
}

// kinds is how many texts stand in cells.
func kinds(cells []bom.Cell) int {
	texts := map[string]bool{}
	for _, c := range cells {
		texts[bom.Fold(c.Text)] = true
	}
	return len(texts)
}

// misspelt takes the columns whose headings have a slip in them.
func (f finder) misspelt(under contents, has map[string]bool, take func(name string, fits func(col int, heading string) bool)) {
	for _, name := range misspeltFields {
		if has[name] {
			continue
		}
		column, _ := f.tab.Column(name)
		known := bom.HeadingsOf(column)
		if name == "Quantity" {
			known = append([]string{column.Heading}, column.Synonyms...) // its other words mean too much else
		}
		take(name, func(col int, heading string) bool {
			return bom.Misspelt(heading, known) && reads(column, under[col]) && !(name == "Quantity" && runningNumbers(under[col]))
		})
	}
}

// fewestApart is how many rows it takes to see that names do not tell parts apart.
const fewestApart = 5

// tellsApart tells whether a column has another text in nearly every row, where what names
// the parts is often the same: IC, IC, diode.
func tellsApart(col int, rows []bom.Row, taken map[int]*bom.Column) bool {
	n, filled, texts, names := 0, 0, map[string]bool{}, map[string]bool{}
	for _, row := range rows[:min(len(rows), contentRows)] {
		name := ""
		for _, c := range row.Cells {
			if column := taken[c.Col]; column != nil && slices.Contains(nameFields, column.Heading) {
				name += "\n" + bom.Fold(c.Text)
			}
		}
		if name == "" {
			continue
		}
		n++
		names[name] = true
		if text := find(row, col).Text; !noContent(text) {
			filled++
			texts[bom.Fold(text)] = true
		}
	}
	return n >= fewestApart && 5*filled >= 4*n && 5*len(texts) >= 4*filled && 5*len(names) <= 3*n
}

// nameByContent takes the longest texts for what names the parts where nothing does, or
// nothing in many rows: as the description, or whatever of the names is free.
func nameByContent(under contents, rows []bom.Row, taken map[int]*bom.Column, has map[string]bool, take func(string, func(int, string) bool)) {
	nameless := namelessRows(rows, taken)
	if len(nameless) < 3 && slices.ContainsFunc(nameFields, func(name string) bool { return has[name] }) {
		return
	}
	if material := columnOf(taken, "Material"); len(nameless) >= 3 && namesEach(material, nameless) {
		return // a list of materials heads its parts so: see nameless
	}
	longest, most := 0, 0
	for _, col := range slices.Sorted(maps.Keys(under)) {
		n := 0
		for _, row := range nameless {
			if find(row, col).Text != "" {
				n++
			}
		}
		if words := wordsIn(under[col]); taken[col] == nil && 4*n >= 3*len(nameless) && words > most && wordy(under[col]) {
			longest, most = col, words
		}
	}
	for _, name := range []string{"Description", "Value", "Part number"} {
		if !has[name] {
			take(name, func(col int, _ string) bool { return col == longest })
			return
		}
	}
}

// namesEach tells whether a column has another text in nearly every row.
func namesEach(col int, rows []bom.Row) bool {
	texts := map[string]bool{}
	for _, row := range rows {
		if text := find(row, col).Text; strings.ContainsFunc(text, unicode.IsLetter) {
			texts[bom.Fold(text)] = true
		}
	}
	return 5*len(texts) >= 4*len(rows)
}

// namelessRows are the rows of several cells in which nothing stands that names a part.
func namelessRows(rows []bom.Row, taken map[int]*bom.Column) []bom.Row {
	var out []bom.Row
	for _, row := range rows[:min(len(rows), contentRows)] {
		named := len(row.Cells) < fewColumns || totalWords[totalWord(row.Cells[0].Text)]
		for _, c := range row.Cells {
			column := taken[c.Col]
			named = named || column != nil && (slices.Contains(nameFields, column.Heading) || column.Heading == "Designator")
		}
		if !named {
			out = append(out, row)
		}
	}
	return out
}

// fewDigits tells whether nearly all cells are numbers of pieces that a unit may have,
// and no numbers of parts.
func fewDigits(cells []bom.Cell) bool {
	return 10*countOf(cells, func(text string) bool { return len(strings.Trim(text, " ")) <= mostDigits }) >= 9*len(cells)
}

// counts tells whether all cells are whole numbers of three digits at most that do not
// run on.
func counts(cells []bom.Cell) bool {
	return len(cells) > 1 && wholeNumbers(cells) && !runningNumbers(cells) && countOf(cells, func(text string) bool { return len(text) <= 3 }) == len(cells)
}

// countsPlaces tells whether a column of numbers is the number of the designators beside
// it in at least three of four rows.
func countsPlaces(col int, rows []bom.Row) bool {
	t := tallyPlaces(col, rows)
	return t.several && 3*t.differ <= t.agree
}

// saysFitted tells whether all cells say that a part is fitted or left out, in words
// for that, and some of either.
func saysFitted(cells []bom.Cell) bool {
	left := countOf(cells, notFittedText)
	return left < len(cells) && countOf(cells, func(text string) bool {
		_, ok := fittedWord(text)
		return ok && !isYesNo(text)
	}) == len(cells)
}

// fillsIn tells whether a column holds a text in a row that has none in another, and
// something else beside it.
func fillsIn(rows []bom.Row, col, other int) bool {
	return slices.ContainsFunc(rows[:min(len(rows), contentRows)], func(row bom.Row) bool {
		return find(row, col).Text != "" && noContent(find(row, other).Text)
	})
}

// namesAll tells whether cells are words that seldom stand twice, as names do.
func namesAll(cells []bom.Cell) bool {
	return wordy(cells) && !addresses(cells) && 4*kinds(cells) >= 3*len(cells)
}

func columnName(col int, heading string) string {
	if heading == "" {
		return bom.ColumnLetters(col)
	}
	return bom.ColumnLetters(col) + ", headed " + bom.Shown(heading) + ","
}
