package sheet

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// headlessRows is how many rows a list without headings has at least: fewer tell too
// little of what their columns hold.
const headlessRows = 5

// headless reads a list that has no heading row by what stands in its columns: one of
// designators, or one alone of whole numbers beside one of words. ok is false where
// that is not plain. What was taken for what is an assumption.
func (f finder) headless(t *bom.Table, problems *bom.Problems) (head bom.Row, ok bool) {
	if f.tab.Name != bom.BOMTab.Name {
		return head, false
	}
	under, rows := contents{}, 0
	for _, row := range t.Rows[:min(len(t.Rows), contentRows)] {
		if len(row.Cells) < 2 {
			continue
		}
		rows++
		for _, c := range row.Cells {
			under[c.Col] = append(under[c.Col], c)
		}
	}
	if rows < headlessRows || 4*rows < 3*len(t.Rows) {
		return head, false
	}
	names := map[int]string{}
	for _, col := range slices.Sorted(maps.Keys(under)) {
		if 10*len(under[col]) >= 9*rows && looksLikeDesignators(under[col][0].Text) && holdsDesignators(under[col]) && classed(under[col]) {
			names[col] = "Designator"
			break
		}
	}
	designated := len(names) > 0
	if counts := countColumns(f, t, under, rows, names); len(counts) == 1 {
		names[counts[0]] = "Quantity"
	} else if !designated || holdsWhole(under) {
		return head, false
	}
	f.nameColumns(under, rows, names)
	var told []string
	for _, col := range slices.Sorted(maps.Keys(names)) {
		head.Cells = append(head.Cells, bom.Cell{Col: col, Text: names[col]})
		told = append(told, bom.ColumnLetters(col)+" "+names[col])
	}
	problems.Add(bom.Problem{Place: t.At(0, 0), Severity: bom.Assumption, Want: "if that is wrong, put a row of headings above the list",
		What: "the list has no headings: its columns are read by what stands in them, " + strings.Join(told, ", ")})
	return head, true
}

// countColumns are the columns of whole numbers that may be quantities: with
// designators those that agree with them, without them all but running numbers.
func countColumns(f finder, t *bom.Table, under contents, rows int, names map[int]string) []int {
	var out []int
	for _, col := range slices.Sorted(maps.Keys(under)) {
		if 4*len(under[col]) >= 3*rows && wholeNumbers(under[col]) && !countsOn(under[col]) && !years(under[col]) {
			out = append(out, col)
		}
	}
	if len(names) == 0 {
		return out
	}
	quantity, _ := f.tab.Column("Quantity")
	rivals := bom.Each(out, func(col *int) claim { return claim{col: *col, column: quantity} })
	return bom.Each(agreeing(rivals, t.Rows), func(r *claim) int { return r.col })
}

// countsOn tells whether most cells are one more than the one above: pins of several
// plugs, one under another.
func countsOn(cells []bom.Cell) bool {
	steps, last := 0, int64(-1)
	for _, c := range cells {
		n, _ := bom.ParseWhole(c.Text, bom.MarkDot)
		if n == last+1 {
			steps++
		}
		last = n
	}
	return 3*steps >= 2*(len(cells)-1)
}

// wholeNumbers tells whether all cells are whole numbers of pieces: where the first
// says something else, it is a heading.
func wholeNumbers(cells []bom.Cell) bool {
	return !slices.ContainsFunc(cells, func(c bom.Cell) bool {
		a, ok := bom.SplitQuantity(c.Text)
		n, err := bom.ParseWhole(a.Figure, bom.MarkDot)
		return !ok || a.Open || err != nil || n >= bom.MaxQuantity.Ceil() || a.Length
	})
}

// nameColumns gives the columns of words the fields that name a part: the first is the
// value, the others the package, where one reads so, and the description.
func (f finder) nameColumns(under contents, rows int, names map[int]string) {
	pkg, _ := f.tab.Column("Package")
	had := map[string]bool{}
	for _, col := range slices.Sorted(maps.Keys(under)) {
		cells := under[col]
		field := "Description"
		switch {
		case names[col] != "" || 2*len(cells) < rows || addresses(cells):
			continue
		case !had["Value"] && wordy(cells):
			field = "Value"
		case !had["Package"] && reads(pkg, cells):
			field = "Package"
		case had["Description"] || !wordy(cells):
			continue
		}
		names[col], had[field] = field, true
	}
	for _, col := range slices.Sorted(maps.Keys(under)) {
		if len(had) == 0 && names[col] == "" && codes(under[col], rows) {
			names[col] = "Part number"
			return
		}
	}
}

// codes tells whether a column holds a code of its own in nearly every row: 10-4711.
func codes(cells []bom.Cell, rows int) bool {
	return ofTheirOwn(cells, rows) && 10*countOf(cells, func(text string) bool {
		_, err := bom.ParseFigure(text, bom.MarkUnknown)
		return err != nil && !err.Ambiguous && !strings.Contains(strings.TrimSpace(text), " ")
	}) >= 9*len(cells)
}

// unheaded is a row of headings that a list without any may want, by what stands under each; ok is
// false where its first row may be one, or nothing in it counts.
func (f finder) unheaded(t *bom.Table) (head string, ok bool) {
	under, rows := contents{}, 0
	for _, row := range t.Rows[:min(len(t.Rows), contentRows)] {
		for _, c := range row.Cells {
			under[c.Col] = append(under[c.Col], c)
		}
		rows++
	}
	several := false // pieces in a row, which as many designators have
	for _, cells := range under {
		several = several || wholeNumbers(cells) && !runningNumbers(cells) && countOf(cells, func(text string) bool { return text != "1" }) > 0
	}
	var heads []string
	for col := 1; col <= len(under); col++ {
		head, cells := "Note", under[col]
		spaced := countOf(cells, func(text string) bool { return strings.Contains(strings.TrimSpace(text), " ") })
		switch {
		case 2*len(cells) < rows:
		case holdsDesignators(cells) && classed(cells) && (!several || countOf(cells, func(text string) bool { return strings.ContainsAny(text, ",;- ") }) > 0):
			head, ok = "Designator", true
		case wholeNumbers(cells) && cells[0].Text == "1" && runningNumbers(cells):
			head = "Position"
		case wholeNumbers(cells) && !countsOn(cells):
			head, ok = "Quantity", true
		case codes(cells, rows), wordy(cells) && 2*spaced < len(cells):
			head = "Part number"
		case wordy(cells):
			head = "Description"
		}
		if slices.Contains(heads, head) && head == "Part number" {
			head = "Description"
		}
		if slices.Contains(heads, head) {
			head = "Note"
		}
		heads = append(heads, head)
	}
	return strings.Join(heads, ","), ok
}

// holdsWhole tells whether a column holds whole numbers, which may count something.
func holdsWhole(under contents) bool {
	for _, cells := range under {
		if wholeNumbers(cells) && !runningNumbers(cells) {
			return true
		}
	}
	return false
}

// classed tells whether three of four cells list designators with letters that a class of
// parts has.
func classed(cells []bom.Cell) bool {
	return 4*countOf(cells, func(text string) bool {
		d, _ := bom.ExpandDesignators(text)
		return slices.ContainsFunc(d.Names, bom.IsClass)
	}) >= 3*len(cells)
}

// years tells whether whole numbers are all years.
func years(cells []bom.Cell) bool {
	return !slices.ContainsFunc(cells, func(c bom.Cell) bool {
		n, err := bom.ParseWhole(c.Text, bom.MarkDot)
		return err != nil || n < 1900 || n > 2100
	})
}

// wordy tells whether most cells hold a letter.
func wordy(cells []bom.Cell) bool {
	return 3*countOf(cells, func(text string) bool { return strings.ContainsFunc(text, unicode.IsLetter) }) >= 2*len(cells)
}

// addresses tells whether a column holds links.
func addresses(cells []bom.Cell) bool {
	return 2*countOf(cells, isAddress) >= len(cells)
}

func isAddress(text string) bool {
	return strings.Contains(text, "://") || strings.HasPrefix(text, "www.")
}
