package sheet

import (
	"maps"
	"slices"
	"strings"
	"unicode"

	"tenoff/bom"
)

// beside is one of several groups of columns that each speak of another supplier.
type beside struct {
	name  string         // of the supplier, as it stands there; empty: the rows say
	heads map[int]string // its columns, with the headings that they would have alone
}

// comparison is a table in which the prices of several suppliers stand side by side.
type comparison struct {
	groups []beside
	names  int // the row under the headings that holds the names; 0: they stand elsewhere
}

// apart gives the tables that are to be read in place of one: itself, or where suppliers
// stand side by side the columns of the one that is asked for, and of each where the rows
// name them. nil after a complaint.
func (f finder) apart(t *bom.Table, asked string, problems *bom.Problems) []*bom.Table {
	for i := range t.Rows[:min(len(t.Rows), headingRows)] {
		c, ok := f.compares(t, i, asked)
		if !ok {
			continue
		}
		var all []*bom.Table
		var names []string
		for n, g := range c.groups {
			if g.name == "" || sameSupplier(g.name, asked) {
				all = append(all, c.only(t, i, n))
			}
			names = append(names, g.name)
		}
		named := len(all) == len(c.groups) && c.groups[0].name == ""
		if len(all) == 1 || named {
			return all
		}
		problems.Errorf(t.At(t.Rows[i].Number, 0), quoteList(names), "--supplier with one of these names, for each of them in turn",
			"prices of several suppliers stand side by side")
		return nil
	}
	return []*bom.Table{t}
}

// sameSupplier tells whether two names are the same, or one is the other in short.
func sameSupplier(a, b string) bool {
	a, b = bom.Fold(a), bom.Fold(b)
	return a == b || strings.HasPrefix(a, b+" ") || strings.HasPrefix(b, a+" ")
}

// compares finds groups of columns in a row of headings: by names in the row above or below
// it, by names in the headings, or by numbers in them beside a column of names.
func (f finder) compares(t *bom.Table, i int, asked string) (c comparison, ok bool) {
	row := t.Rows[i]
	twice := f.twiceHeaded(row)
	switch {
	case len(twice) > 0:
		if i+1 < len(t.Rows) && namesUnder(f, &c, row, t.Rows[i+1], twice) {
			break
		}
		if i > 0 {
			namesOver(f, &c, t.Rows[i-1], row, twice)
		}
	default:
		if f.numbered(&c, row); len(c.groups) < 2 {
			c.groups = nil
			f.namesIn(&c, row, asked)
		}
	}
	if len(c.groups) < 2 && !(len(c.groups) == 1 && sameSupplier(c.groups[0].name, asked)) {
		return c, false
	}
	first := c.only(t, i, 0)
	head := slices.IndexFunc(first.Rows, func(r bom.Row) bool { return r.Number == row.Number }) // titles may be left out above it
	all, _ := f.headings(first.Rows[head])
	return c, all >= 2
}

// only gives the table without the columns of the other groups, and without the rows in
// which a group that has no name says nothing.
func (c *comparison) only(t *bom.Table, head, group int) *bom.Table {
	out := *t
	out.Rows = make([]bom.Row, 0, len(t.Rows))
	own := c.groups[group].heads
	for i, row := range t.Rows {
		if row.Number == c.names {
			continue
		}
		var cells []bom.Cell
		for _, cell := range row.Cells {
			text, mine := own[cell.Col]
			if mine && i == head {
				cell.Text = text
			}
			if mine || !slices.ContainsFunc(c.groups, func(g beside) bool { return g.heads[cell.Col] != "" }) {
				cells = append(cells, cell)
			}
		}
		said := slices.ContainsFunc(cells, func(cell bom.Cell) bool { return own[cell.Col] != "" })
		if len(cells) > 0 && (said || i <= head || c.groups[group].name != "") {
			out.Rows = append(out.Rows, bom.Row{Number: row.Number, Cells: cells})
		}
	}
	return &out
}

// plainHead is a heading without what stands in brackets behind it.
func (f finder) plainHead(c bom.Cell) bom.Cell {
	if i := strings.IndexAny(c.Text, "(["); i > 0 {
		c.Text = strings.TrimSpace(c.Text[:i])
	}
	return c
}

// priced tells whether a heading is one of prices.
func (f finder) priced(c bom.Cell) bool {
	_, isBreak := f.step(c)
	m := f.meanings(c)
	return isBreak || len(m) > 0 && m[0].column.Heading == "Unit price"
}

// twiceHeaded gives the columns whose heading stands in the row several times, where a
// heading of prices is among them: column -> heading.
func (f finder) twiceHeaded(row bom.Row) map[int]string {
	times, out, priced := map[string]int{}, map[int]string{}, false
	for _, c := range row.Cells {
		times[bom.NormalHeading(c.Text)]++
	}
	for _, c := range row.Cells {
		if times[bom.NormalHeading(c.Text)] > 1 {
			c = f.plainHead(c)
			out[c.Col] = c.Text
			priced = priced || f.priced(c)
		}
	}
	if !priced {
		return nil
	}
	return out
}

// namesUnder finds the names of suppliers in the row under the headings, one for each of
// those that stand there several times.
func namesUnder(f finder, c *comparison, head, under bom.Row, twice map[int]string) bool {
	groups := map[string]map[int]string{}
	for _, cell := range under.Cells {
		text, ok := twice[cell.Col]
		if !ok || !strings.ContainsFunc(cell.Text, unicode.IsLetter) {
			return false
		}
		if groups[cell.Text] == nil {
			groups[cell.Text] = map[int]string{}
		}
		groups[cell.Text][cell.Col] = text
	}
	c.names = under.Number
	return f.add(c, groups, head)
}

// namesOver finds the names of suppliers over groups of columns: each holds up to the next,
// the last up to where the headings that stand several times end.
func namesOver(f finder, c *comparison, over, head bom.Row, twice map[int]string) {
	groups, last := map[string]map[int]string{}, slices.Max(slices.Collect(maps.Keys(twice)))
	for i, name := range over.Cells {
		if !strings.ContainsFunc(name.Text, unicode.IsLetter) || f.priced(name) || groups[name.Text] != nil {
			return
		}
		end := last
		if i+1 < len(over.Cells) {
			end = over.Cells[i+1].Col - 1
		}
		groups[name.Text] = map[int]string{}
		for _, cell := range head.Cells {
			if cell.Col >= name.Col && cell.Col <= end {
				groups[name.Text][cell.Col] = f.plainHead(cell).Text
			}
		}
	}
	f.add(c, groups, head)
}

// add takes the groups that have a column of prices, from left to right.
func (f finder) add(c *comparison, groups map[string]map[int]string, head bom.Row) bool {
	for _, cell := range head.Cells {
		for name, heads := range groups {
			if cell.Text = heads[cell.Col]; f.priced(cell) {
				c.groups = append(c.groups, beside{name, heads})
				delete(groups, name)
			}
		}
	}
	return len(c.groups) >= 2
}

// numbered finds groups of columns that are numbered and of which one names the supplier:
// Supplier 1, Supplier price 1, Supplier 2, Supplier price 2.
func (f finder) numbered(c *comparison, row bom.Row) {
	groups, named := map[string]map[int]string{}, map[string]bool{}
	for _, cell := range row.Cells {
		i := strings.LastIndexByte(cell.Text, ' ')
		if i < 1 || len(cell.Text) > headingLength || strings.Trim(cell.Text[i+1:], "0123456789") != "" {
			continue
		}
		n := cell.Text[i+1:]
		if groups[n] == nil {
			groups[n] = map[int]string{}
		}
		groups[n][cell.Col] = cell.Text[:i]
		cell.Text = cell.Text[:i]
		m := f.meanings(cell)
		named[n] = named[n] || len(m) > 0 && m[0].column.Heading == "Supplier"
	}
	maps.DeleteFunc(groups, func(n string, _ map[int]string) bool { return !named[n] })
	f.add(c, groups, row)
	for i := range c.groups {
		c.groups[i].name = ""
	}
}

// otherPrices are words beside those for a price that name no supplier; common practice, no
// source.
var otherPrices = bom.WordSet("per each unit total ext extended line excl excluding incl including without with before after vat tax gst net gross old new min max minimum maximum " +
	"low high lowest best list target est estimated approx discount discounted sale retail wholesale current last previous original regular our your in at of for one single pc pcs piece " +
	"item break currency shipping qty quantity each")

// namesIn finds the names of suppliers in the headings: Price Larkfield, Dunmere price. The
// name of the supplier that is asked for alone heads prices too, where nothing else does.
func (f finder) namesIn(c *comparison, row bom.Row, asked string) {
	groups := map[string]map[int]string{}
	for _, cell := range row.Cells {
		if f.priced(cell) {
			return
		}
		name, head := f.nameIn(cell)
		if name == "" && bom.Fold(cell.Text) == bom.Fold(asked) {
			name, head = cell.Text, "Unit price"
		}
		if name == "" {
			continue
		}
		if groups[name] == nil {
			groups[name] = map[int]string{}
		}
		groups[name][cell.Col] = head
	}
	f.add(c, groups, row)
}

// nameIn parts a heading into the name of a supplier and a heading that is known.
func (f finder) nameIn(cell bom.Cell) (name, head string) {
	if len(cell.Text) > headingLength || len(f.meanings(cell)) > 0 || f.dropped[bom.NormalHeading(cell.Text)] {
		return "", ""
	}
	words := strings.FieldsFunc(cell.Text, func(r rune) bool { return unicode.IsSpace(r) || strings.ContainsRune("()[]:/–,", r) })
	currency := ""
	words = slices.DeleteFunc(words, func(w string) bool {
		if bom.CurrencySigns(w) == nil {
			return false
		}
		currency += " " + w
		return true
	})
	for n := len(words) - 1; n > 0; n-- { // the longest heading at either end
		for _, cut := range [][2][]string{{words[:n], words[n:]}, {words[len(words)-n:], words[:len(words)-n]}} {
			text, rest := strings.Join(cut[0], " "), strings.Join(cut[1], " ")
			if _, ok := f.column(bom.Cell{Text: text}); !ok {
				continue
			}
			if !strings.ContainsFunc(rest, unicode.IsLetter) || slices.ContainsFunc(cut[1], func(w string) bool {
				return otherPrices[strings.ToLower(w)]
			}) {
				return "", ""
			}
			if column, _ := f.column(bom.Cell{Text: text}); column.Form == bom.FormMoney {
				text += currency
			}
			return rest, text
		}
	}
	return "", ""
}
