package sheet

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// differing is a line whose quantity is not the number of its designators, or not there.
type differing struct {
	line *bom.Line
	at   bom.Place
	text string // the quantity as it stands there
}

// label tells whether the one designator of a line is a name of several words, NUT_M3,
// that stands for all its pieces.
func (d differing) label() bool {
	return len(d.line.Designators) == 1 && strings.Contains(d.line.Designators[0], "_")
}

// tellDiffering complains of quantities that are not the number of designators. Where
// at least three of four lines agree the others are slips, and the quantity, which is
// what is bought, is assumed to be right.
func (r *lineReader) tellDiffering() {
	labels := 0
	for _, d := range r.differing {
		if d.label() {
			labels++
		}
	}
	slips := 3*(len(r.differing)-labels) <= r.agreeing
	for _, d := range r.differing[:min(len(r.differing), MaxFaults)] {
		count := len(d.line.Designators)
		if slips {
			r.problems.Add(bom.Problem{Place: d.at, Severity: bom.Assumption, What: "quantity and number of designators differ, and the quantity is counted",
				Want: "the same number in both", Each: fmt.Sprintf("%s: %s, %d named", lineName(d.line), clip(d.text, 20), count)})
			continue
		}
		if each := forMany(r.differing); each > 1 {
			r.problems.Errorf(d.at, d.text, "--heading '"+r.reg.head.Text["Quantity"]+"=' counts the designators",
				"the quantities are those of %d units: so many times the number of designators", each)
			return
		}
		r.problems.Errorf(d.at, d.text, "the same number in both", "Quantity: the quantity differs from the number of designators, %d", count)
	}
}

// forMany is for how many units the quantities are in most rows, by the number of
// designators; 0 where none is.
func forMany(rows []differing) int64 {
	met, most := map[int64]int{}, int64(0)
	for _, d := range rows {
		if q, n := d.line.Quantity, bom.Whole(int64(len(d.line.Designators))); n > 0 && q%n == 0 {
			if met[int64(q/n)]++; met[int64(q/n)] > met[most] {
				most = int64(q / n)
			}
		}
	}
	if met[most] < 3 || 3*met[most] < 2*len(rows) {
		return 0
	}
	return most
}

// heedNoughts counts designators where every quantity is 0: formulas that no program
// has worked out yet are saved so.
func (r *lineReader) heedNoughts() {
	if len(r.noughts) < 3 || r.positive > 0 {
		return
	}
	for _, n := range r.noughts {
		n.line.Fitted, n.line.Quantity = true, bom.Whole(int64(len(n.line.Designators)))
		r.once(n.line, n.at)
	}
	*r.problems = slices.DeleteFunc(*r.problems, func(p bom.Problem) bool {
		return p.What == noughtSaid && p.Place.File == r.reg.table.File && p.Place.Sheet == r.reg.table.Sheet
	})
	r.problems.Warnf(r.reg.table.At(r.reg.head.Row, r.reg.head.Col["Quantity"]), "", "if they are formulas, save the file again in a spreadsheet program",
		"all quantities are 0, so the designators are counted")
}

const noughtSaid = "a quantity of 0 is read as not fitted"

// tellUncounted complains of the lines that do not say how many. Where most do, those
// that do not are remarks more often than parts: they are left out with a warning.
func (r *lineReader) tellUncounted() {
	p := bom.Problem{What: "neither a quantity nor a designator is given", Want: "a quantity, or designators that say it"}
	names := r.reg.mayCount()
	if supplier := r.reg.head.Col["Supplier"]; r.counted == 0 && supplier != 0 && len(names) == 0 && len(r.reg.prices()) > 0 && !r.oneEach() {
		r.problems.Errorf(r.reg.table.At(r.reg.head.Row, supplier), r.reg.head.Text["Supplier"], "a bill of materials here, and the offers in the tab offers of the price sheet that --prices names; of a supplier's quote tenoff enter puts them there",
			"these are offers: they say what parts cost, and not how many a unit has")
		return
	}
	if len(names) == 0 && r.oneEach() {
		for _, u := range r.uncounted {
			if u.line.Quantity = bom.One; u.line.Kind == "" {
				u.line.Kind, u.line.Given.Kind = bom.KindOther, true // a purchase: a bag of screws, not one of them
			}
		}
		r.problems.Add(bom.Problem{Place: r.reg.table.At(r.reg.head.Row, 0), Severity: bom.Assumption, What: "no column gives quantities, and each row counts as one piece",
			Want: "if that is wrong, add a column Quantity, or --heading 'Their name=Quantity'"})
		return
	}
	switch len(names) {
	case 0:
	case 1:
		p.Want += "; if it counts them, --heading '" + names[0] + "=Quantity'"
	default:
		p.Want += "; if one of " + bom.Shown(strings.Join(names, ", ")) + " counts them, --heading 'Its name=Quantity'"
	}
	if len(r.uncounted) < r.counted {
		p = bom.Problem{Severity: bom.Warning, What: "a line without a quantity is not counted", Want: "a quantity, where it is a part"}
	}
	for i, u := range r.uncounted {
		u.line.Part, u.line.Fitted = lineName(u.line), p.Severity == bom.Error
		if i >= MaxFaults {
			continue
		}
		p.Place, p.Each = u.at, bom.Shown(lineName(u.line))
		r.problems.Add(p)
	}
}

// oneEach tells whether the rows of a list are one piece each: it has a column for neither
// quantities nor designators, nor one without a heading that may be either. Suppliers of part
// numbers and nothing that describes them are a list of offers.
func (r *lineReader) oneEach() bool {
	col := r.reg.head.Col
	if col["Quantity"] != 0 || col["Designator"] != 0 || col["Part number"] != 0 && col["Supplier"] != 0 && col["Description"]+col["Value"] == 0 {
		return false
	}
	for _, cells := range contentsOf(bom.Row{}, r.reg.rows) {
		if 2*countOf(cells, looksLikeDesignators) > len(cells) {
			return false
		}
	}
	return true
}

// unread is a cell of designators that reads as none.
type unread struct {
	cell bom.Cell
	at   bom.Place
	err  *bom.DesignatorError
}

// tellUnread complains of cells that list no designators. Where they are few and the
// quantity stands beside them, it is counted, and the cell names one place.
func (r *lineReader) tellUnread() {
	for _, u := range r.unread {
		if 4*len(r.unread) <= r.designed {
			r.problems.Add(bom.Problem{Place: u.at, Severity: bom.Warning, What: "not a designator, so read as the name of a place; the quantity is counted",
				Found: u.cell.Text, Want: u.err.Want, Each: bom.Shown(u.cell.Text)})
			continue
		}
		r.problems.Errorf(u.at, u.cell.Text, u.err.Want, "Designator: %s", u.err.What)
	}
}

// tellWords warns of a list without quantities whose designators are mostly words:
// each counts as one piece.
func (r *lineReader) tellWords() {
	if r.reg.head.Col["Quantity"] == 0 && 2*r.words > r.named {
		r.problems.Warnf(r.reg.table.At(r.reg.head.Row, r.reg.head.Col["Designator"]), "", "if that is wrong, add a column Quantity, or --heading 'Their name=Quantity'",
			"no column gives quantities, and most designators are words: each counts as one piece")
	}
}

// mayCount lists the headings that are not known over columns of whole numbers, where
// none is headed Quantity.
func (reg *region) mayCount() []string {
	var out []string
	under := contentsOf(bom.Row{}, reg.rows)
	for _, col := range slices.Sorted(maps.Keys(reg.extra)) {
		cells := under[col]
		if reg.head.Col["Quantity"] == 0 && headed(reg.extra[col]) && 2*len(cells) > len(reg.rows) &&
			wholeNumbers(cells) && fewDigits(cells) && !runningNumbers(cells) && !years(cells) {
			out = append(out, clip(reg.extra[col], 40))
		}
	}
	return out
}

// headed tells a heading of the user's from the name that a column without one has.
func headed(name string) bool { return !strings.HasPrefix(name, "column ") }

// count is the quantity that stands there, or the number of designators; the
// two must agree, unless the designators are words: see tellDiffering.
func (r *lineReader) count(l *bom.Line, raw *rawLine, words, unread bool) {
	count := int64(len(l.Designators))
	if l.Quantity = bom.Whole(count); words {
		r.words += int(count)
	}
	if q := raw.Quantity; noContent(q.Text) || q.Kind == bom.Text && r.inWords(l, q) {
		if count == 0 && l.Fitted && !unread {
			r.uncounted = append(r.uncounted, differing{line: l, at: r.place(raw.Quantity)})
			return
		}
		r.counted++
		return
	}
	r.counted++
	q, amount, ok := r.pieces(raw.Quantity)
	if q > 0 {
		r.positive++
	}
	switch {
	case !ok:
	case q == 0 && l.Fitted:
		if l.Fitted = false; count > 0 {
			r.noughts = append(r.noughts, differing{l, r.place(raw.Designator), raw.Designator.Text})
		}
		r.problems.Add(bom.Problem{Place: r.place(raw.Quantity), Severity: bom.Warning, What: noughtSaid,
			Want: "not fitted in a column Fitted, or a quantity over 0", Each: bom.Shown(lineName(l))})
	case q == 0: // what is not fitted is none of them
	case count > 0 && q != bom.Whole(count) && !words && !r.labels:
		l.Quantity = q
		r.differing = append(r.differing, differing{l, r.place(raw.Quantity), raw.Quantity.Text})
	default:
		if l.Quantity = q; q == bom.Whole(count) {
			r.agreeing++
		}
		if amount.Length && l.Kind == "" {
			l.Kind, l.Given.Kind = bom.KindWire, true
		}
		if amount.Sets != "" && l.Kind == "" && bom.ReadDescription(lineName(l)).Kind == bom.KindFastener {
			l.Kind, l.Given.Kind = bom.KindOther, true // a bag of screws is no screw of which some are lost
		}
		l.Unit = amount.Unit()
		r.tellAmount(l, raw.Quantity, amount)
	}
}

// inWords tells whether a quantity says no figure: some, as needed. Beside designators
// that is told, and they are counted.
func (r *lineReader) inWords(l *bom.Line, c bom.Cell) bool {
	if _, ok := bom.SplitQuantity(c.Text); ok || strings.ContainsFunc(c.Text, unicode.IsDigit) {
		return false
	}
	if len(l.Designators) > 0 && (len(c.Text) < 3 && !unsure[c.Text] || errorValue(c.Text)) {
		return false // an x, or #N/A
	}
	if len(l.Designators) > 0 && l.Fitted {
		r.warn(c, "a quantity without a number is ignored, and the designators are counted", "if that is wrong, give a number", bom.Shown(lineName(l)+", "+c.Text))
	}
	return true
}

// tellAmount tells how a quantity was taken that is no bare number of pieces.
func (r *lineReader) tellAmount(l *bom.Line, c bom.Cell, a bom.Amount) {
	p := bom.Problem{Place: r.place(c), Severity: bom.Warning, Found: c.Text, Each: bom.Shown(lineName(l) + ", " + c.Text)}
	switch {
	case a.Open:
		p.What, p.Want = "an open quantity is counted by its greatest number", "if that is wrong, give one number"
		p.Each += " counts as " + l.Quantity.String()
		p.Found += " counts as " + l.Quantity.String()
	case a.Sets != "":
		p.What, p.Want = "a quantity in sets, pairs or rolls is counted as it stands", "if one of them is not bought as one piece, give the number of pieces"
	case a.Length:
		p.Severity, p.What = bom.Note, "a length is counted in metres"
	case a.Mass:
		p.Severity, p.What = bom.Note, "a mass is counted in grams"
	default:
		return
	}
	r.problems.Add(p)
}

// pieces reads a quantity: a number, alone or with a word for pieces or for sets of
// them, a length, which is taken to metres, or a mass, which is taken to grams.
func (r *lineReader) pieces(c bom.Cell) (q bom.Quantity, a bom.Amount, ok bool) {
	a, split := bom.SplitQuantity(c.Text)
	if !split {
		q, ok = r.quantity(c, 0, true)
		return q, bom.Amount{}, ok
	}
	bare := c
	bare.Text = a.Figure
	if a.Scale.Equal(decimal.New(1, 0)) {
		q, ok = r.quantity(bare, 0, true)
		return q, a, ok
	}
	f, ok := r.figure(bare, bom.FormNumber)
	if !ok {
		return 0, a, false
	}
	q, fits := bom.QuantityOf(f.Value.Mul(a.Scale).Round(quantityDecimals))
	if !fits {
		r.wrong(c, "a quantity up to "+bom.MaxQuantity.String(), "too large a quantity")
		return 0, a, false
	}
	return q, a, true
}

// designatorsAreLabels tells whether the designators of a list number its lines, A1
// for four standoffs: one stands in each line, and many lines are of several pieces.
func designatorsAreLabels(reg *region) bool {
	ones, several := 0, 0
	for _, row := range reg.rows {
		d, err := bom.ExpandDesignators(find(row, reg.head.Col["Designator"]).Text)
		switch n, _ := bom.ParseWhole(find(row, reg.head.Col["Quantity"]).Text, bom.MarkDot); {
		case err != nil || len(d.Names) > 1:
			return false
		case len(d.Names) == 1 && n > 1:
			several++
		case len(d.Names) == 1:
			ones++
		}
	}
	return several >= 3 && 2*several >= ones
}

// doublings counts the lines with numbered designators that stand in a line before too.
type doublings struct {
	list  []doubled // the first of them
	lines int
	names int // designators again
	same  int // lines of the same part as before
	near  int // lines that no title or gap parts from the one before
	named int // lines of another board, by what they say
}

// doubled is one of them.
type doubled struct {
	line  *bom.Line
	at    bom.Place
	names []string
	first *bom.Line // that the first of them stands in
}

// once notes numbered designators that stood before: see tellDoubled. Of parts that
// stand in for one another in one place all but one are not fitted, and do not count.
func (r *lineReader) once(l *bom.Line, at bom.Place) {
	if !l.Fitted {
		return
	}
	d := doubled{line: l, at: at}
	for _, name := range l.Designators {
		key := strings.ToUpper(name)
		had, ok := r.places[key]
		switch {
		case !ok:
			r.places[key] = l
		case bom.IsDesignator(name):
			if d.names == nil {
				d.first = had
			}
			d.names = append(d.names, name)
		}
	}
	if d.names == nil {
		return
	}
	r.doubled.lines++
	r.doubled.names += len(d.names)
	if lineParts(d.line) == lineParts(d.first) {
		r.doubled.same++
	}
	switch {
	case boardOf(d.line) != boardOf(d.first):
		r.doubled.named++
	case r.reg.block[d.line.Row] == r.reg.block[d.first.Row]:
		r.doubled.near++
	}
	if len(r.doubled.list) < MaxFaults {
		r.doubled.list = append(r.doubled.list, d)
	}
}

// tellDoubled complains of designators that stand in several lines. A few that are of
// other parts each time are slips of the pen, and every line is counted. So is it where
// they begin anew under a title or a gap, as those of another board do. Else, and where
// one part is named again, something may be counted twice.
func (r *lineReader) tellDoubled() {
	if r.faults >= MaxFaults {
		return // the table has not been read to its end
	}
	few := 8*r.doubled.names <= r.named
	anew := r.doubled.named == r.doubled.lines || r.doubled.near == 0 && 2*r.doubled.same < r.doubled.lines
	for _, d := range r.doubled.list {
		p := bom.Problem{Place: d.at, Severity: bom.Warning, Found: d.names[0], Want: wantOnce, Each: fmt.Sprintf("%s, also in row %d", d.names[0], d.first.Row)}
		switch {
		case few && lineParts(d.line) != lineParts(d.first):
			p.What = "a designator stands in two lines of different parts, and both are counted"
		case anew:
			p.What = "designators start again under a title, a gap or another name of a board; all are counted"
			p.Want = "if that is wrong, name each designator once; a list for each board tells what is on which"
		default:
			more := ""
			if n := len(d.names) - 1; n > 0 {
				more = fmt.Sprintf(" and %d more of its cell", n)
			}
			p.Severity, p.What, p.Each = bom.Error, "Designator: a designator stands twice", fmt.Sprintf("%s%s, also in row %d", d.names[0], more, d.first.Row)
			p.Found = p.Each
		}
		r.problems.Add(p)
	}
}

// boardHeads head the names of the boards of a list of several; common practice, no source.
var boardHeads = bom.WordSet("board boardname pcb pcbname module platine baugruppe carte placa scheda")

// boardOf is the board that a line says it is of, in a column that nothing else reads.
func boardOf(l *bom.Line) string {
	for _, e := range l.Extra {
		if boardHeads[bom.NormalHeading(e.Heading)] {
			return bom.Fold(e.Text)
		}
	}
	return ""
}

// lineParts is all that names the part of a line.
func lineParts(l *bom.Line) [4]string {
	return [4]string{bom.Fold(l.Number), bom.Fold(l.Value), bom.Fold(l.Package), bom.Fold(l.Description)}
}

const wantOnce = "each designator once on a board"
