package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// decoder reads the cells of one table. Its methods complain of what they
// cannot read and then give the default, so that a row is read to its end.
type decoder struct {
	reg      *region
	marking  marking
	problems *bom.Problems
	counted  int // complaints that the three below have taken in
	faults   int // errors of this table
	hints    int // its warnings and notes
	dropped  int // those of them that are not listed
	row      int // index into reg.rows
	column   map[int]*bom.Column
	must     []string       // headings of what every row must fill in
	seen     map[string]int // what once has met -> the row that holds it
}

func newDecoder(reg *region, m marking, problems *bom.Problems) *decoder {
	d := &decoder{reg: reg, marking: m, problems: problems, counted: len(*problems),
		column: map[int]*bom.Column{}, seen: map[string]int{}}
	for _, h := range reg.cols {
		d.column[h.col] = h.column
	}
	return d
}

// eachRow reads the rows of a table one by one, up to where too many faults have been
// met.
func (d *decoder) eachRow(read func()) {
	for d.row = range d.reg.rows {
		if read(); d.tooMany() {
			break
		}
	}
	if d.dropped > 0 {
		d.problems.Notef(d.reg.table.At(0, 0), "there are %d more warnings and notes on the rows of this table, which are not listed", d.dropped)
		d.dropped = 0
	}
}

// MaxFaults bounds the errors of one table, and apart from them its warnings
// and notes: a table of another kind would give a few for each of its rows.
const MaxFaults = 1000

// tooMany tells whether so many errors were given that reading on makes no
// sense, and says so once.
func (d *decoder) tooMany() bool {
	before := d.faults
	kept := (*d.problems)[:d.counted]
	for _, p := range (*d.problems)[d.counted:] {
		if p.Severity == bom.Error {
			d.faults++
		} else if d.hints++; d.hints > MaxFaults {
			d.dropped++
			continue
		}
		kept = append(kept, p)
	}
	*d.problems, d.counted = kept, len(kept)
	if before < MaxFaults && d.faults >= MaxFaults {
		d.problems.Errorf(d.place(bom.Cell{}), "", "correct those listed so far first",
			"%d errors in this table up to here; the rest of it is not read", d.faults)
	}
	return d.faults >= MaxFaults
}

// rowNumber is that of the row that is read, from 1.
func (d *decoder) rowNumber() int { return d.reg.rows[d.row].Number }

// place is that of a cell in the row that is read; of the row itself where the
// table has no such column.
func (d *decoder) place(c bom.Cell) bom.Place {
	return d.reg.table.At(d.rowNumber(), c.Col)
}

// name is the heading a cell stands under.
func (d *decoder) name(c bom.Cell) string {
	if column := d.column[c.Col]; column != nil {
		return column.Heading
	}
	return d.reg.steps[c.Col].heading
}

// wrong complains of what stands in a cell.
func (d *decoder) wrong(c bom.Cell, want, what string, args ...any) {
	what = fmt.Sprintf(what, args...)
	if name := d.name(c); name != "" {
		what = name + ": " + what
	}
	d.problems.Errorf(d.place(c), c.Text, want, "%s", what)
}

// warn tells of a cell for a cause that may be met in many rows; about names this
// one.
func (d *decoder) warn(c bom.Cell, what, want, about string) {
	d.problems.Add(bom.Problem{Place: d.place(c), Severity: bom.Warning, What: what, Found: c.Text, Want: want, Each: about})
}

// needColumns complains, once, of each column that every row must fill in and
// that the table does not have.
func (d *decoder) needColumns(headings ...string) {
	for _, h := range headings {
		if d.reg.head.Col[h] == 0 {
			d.problems.Errorf(d.reg.table.At(d.reg.head.Row, 0), "", "a column headed "+h+", or --heading 'Their name="+h+"'",
				"no column is headed %s", h)
		}
	}
}

// need complains of a blank cell that must be filled in.
func (d *decoder) need(c bom.Cell) bool {
	if c.Blank() && c.Col != 0 {
		d.problems.Errorf(d.place(c), "", d.wanted(c), "%s is blank", d.name(c))
	}
	return !c.Blank()
}

// named complains of what the row that is read must say and does not; false where that is
// what the row is about, which the first of the columns says that every row must fill in.
func (d *decoder) named() bool {
	named := true
	for i, heading := range d.must {
		filled := d.need(d.cell(heading))
		named = named && (filled || i > 0)
	}
	return named
}

// dated is where the row that is read stands, the date of its figures, and its note.
func (d *decoder) dated() bom.Dated {
	return bom.Dated{Origin: d.reg.origin(d.row), AsOf: d.date(d.cell("As of")), Note: d.text(d.cell("Note"))}
}

// wanted words what belongs into a cell, from the documentation of its column.
func (d *decoder) wanted(c bom.Cell) string {
	column := d.column[c.Col]
	switch {
	case column == nil:
		return "a price"
	case len(column.Choices) > 0:
		return "one of " + quoteList(column.Choices)
	case column.Example != "":
		return "such as " + column.Example
	}
	return column.Doc
}

// sound refuses cells that hold no value of their own.
func (d *decoder) sound(c bom.Cell) bool {
	switch c.Kind {
	case bom.Fault:
		d.wrong(c, "the value that the formula should give", "error value from the spreadsheet")
	case bom.Stale:
		d.wrong(c, "open and save it in a spreadsheet", "formula without a stored result")
	case bom.Text:
		if !errorValue(c.Text) {
			return true
		}
		d.wrong(c, "the value that the formula should give", "error value from a spreadsheet")
	default:
		return true
	}
	return false
}

// cell is what stands under a documented heading in the row that is read.
func (d *decoder) cell(heading string) bom.Cell {
	col := d.reg.head.Col[heading]
	if col == 0 {
		if _, ok := d.reg.tab.Column(heading); !ok {
			panic("the tab " + d.reg.tab.Name + " has no column " + heading)
		}
		return bom.Cell{}
	}
	return find(d.reg.rows[d.row], col)
}

// failedSince tells whether an error was given after the first so many
// complaints.
func (d *decoder) failedSince(before int) bool { return (*d.problems)[before:].Failed() }

// text reads a cell that nothing is looked up by.
func (d *decoder) text(c bom.Cell) string {
	if !d.sound(c) {
		return ""
	}
	return c.Text
}

// key reads a name that is looked for elsewhere.
func (d *decoder) key(c bom.Cell) string {
	const want = "the text as it was before; format the column as text"
	switch {
	case !d.sound(c):
		return ""
	case c.Kind == bom.DateISO:
		d.wrong(c, want, "a spreadsheet turned this into a date")
		return ""
	case c.Kind == bom.Logic:
		d.wrong(c, want, "a spreadsheet turned this into TRUE or FALSE")
		return ""
	case c.Kind == bom.Text && digitNames[d.name(c)] && powerOfTen.MatchString(c.Text) && d.reg.tab.Name == bom.BOMTab.Name:
		d.warn(c, d.name(c)+": a spreadsheet turned this into a power of ten, and it is left out", "the name in full; format the column as text", bom.Shown(c.Text))
		return ""
	case c.Kind == bom.Text && digitNames[d.name(c)] && powerOfTen.MatchString(c.Text):
		d.wrong(c, "the name in full; format the column as text", "a spreadsheet turned this into a power of ten")
		return ""
	case c.Kind == bom.Native:
		warnOfNumber(d, c)
	case (digitNames[d.name(c)] || d.name(c) == "Value") && likeDate(c.Text):
		d.problems.Warnf(d.place(c), c.Text, "if so, restore the text", "%s: looks like a date that a spreadsheet made of something else", d.name(c))
	}
	return d.clean(c)
}

// digitNames are the columns whose names often look like numbers.
var digitNames = map[string]bool{"Part number": true, "Order code": true, "Substitute": true, "Package": true,
	"Manufacturer part number": true, "Our part": true}

// exactDigits is how many digits a spreadsheet keeps of a number.
const exactDigits = 15

// warnOfNumber warns where a name that a spreadsheet keeps as a number looks as
// if it had lost digits on the way.
func warnOfNumber(d *decoder, c bom.Cell) {
	if !digitNames[d.name(c)] {
		return
	}
	// Chip sizes have four digits, or five: 0603 is left as 603, 01005 as 1005.
	short := d.reg.zeroLed[c.Col] > len(c.Text) || d.name(c) == "Package" && (len(c.Text) == 3 || c.Text == "1005")
	what := ""
	switch {
	case strings.Trim(c.Text, "0123456789") != "":
		what = "stored as a number that is not whole"
	case len(c.Text) >= exactDigits:
		what = "stored as a number of 15 digits or more, of which a spreadsheet keeps only 15"
	case short:
		what = "stored as a number, which may have lost a leading 0"
	default:
		return
	}
	d.warn(c, d.name(c)+": "+what, "the text as it is written; format the column as text", bom.Shown(c.Text))
}

// largest bounds every figure: far over anything a small series needs, and low
// enough that sums and products stay exact and quick. It is written in full, not
// as a power of ten, so that whole numbers are compared as they are.
var largest = decimal.NewFromInt(1_000_000_000_000)

// unsure stand in lists where a figure is still to be found out.
var unsure = bom.WordSet("? ?? ??? tbd tba tbc unknown")

// figure reads a number of 0 or more; ok is false for a blank cell and after a
// complaint.
func (d *decoder) figure(c bom.Cell, form bom.Form) (f bom.Figure, ok bool) {
	if c.Blank() || !d.sound(c) {
		return f, false
	}
	switch c.Kind {
	case bom.DateISO:
		d.wrong(c, "the number as it was before; format the column as text", "a spreadsheet turned this into a date")
		return f, false
	case bom.Logic:
		d.wrong(c, "a number", "TRUE or FALSE stands where a number is expected")
		return f, false
	}
	if d.reg.tab.Name == bom.BOMTab.Name && unsure[strings.ToLower(c.Text)] {
		d.warn(c, d.name(c)+": nothing is known yet, so the cell counts as blank", "a number", bom.Shown(c.Text))
		return f, false
	}
	f, err := d.parse(c)
	switch {
	case err != nil:
		d.wrong(c, err.Want, "%s", err.What)
	case f.Value.IsNegative():
		d.wrong(c, d.least(c, "a number of 0 or more"), "a negative number")
	case f.Value.GreaterThan(largest):
		d.wrong(c, "a number up to "+largest.String(), "too large a number")
	case f.Percent && form != bom.FormPercent:
		d.wrong(c, "a bare number, in the unit of the heading", "a per cent sign stands with a figure that is not a percentage")
	case f.Sign != "" && form != bom.FormMoney:
		d.wrong(c, "a bare number, in the unit of the heading", "a currency stands with a figure that is not a price")
	default:
		return f, true
	}
	return f, false
}

// least words how small a figure may be.
func (d *decoder) least(c bom.Cell, usual string) string {
	if d.reg.tab.Name == bom.BOMTab.Name && d.name(c) == "Quantity" {
		return "a quantity over 0; a line that is not fitted says so in Fitted"
	}
	return usual
}

func (d *decoder) parse(c bom.Cell) (bom.Figure, *bom.NumberError) {
	if c.Kind != bom.Text {
		return bom.ParseFigure(c.Text, bom.MarkDot)
	}
	f, err := bom.ParseFigure(c.Text, d.marking.mark)
	if err != nil && err.Ambiguous && d.marking.dotOnly && !strings.Contains(c.Text, ",") {
		return bom.ParseFigure(c.Text, bom.MarkDot)
	}
	return f, err
}

// number reads a decimal of at least 0.
func (d *decoder) number(c bom.Cell, fallback decimal.Decimal) decimal.Decimal {
	if f, ok := d.figure(c, bom.FormNumber); ok {
		return f.Value
	}
	return fallback
}

// money reads an amount whose currency the row gives; an amount typed in
// another one is refused.
func (d *decoder) money(c bom.Cell, currency bom.Currency) decimal.Decimal {
	f, ok := d.figure(c, bom.FormMoney)
	if !ok {
		return decimal.Zero
	}
	if shown := d.reg.table.Sign(c); shown != "" && currency.Code != "" &&
		!slices.Contains(bom.CurrencySigns(shown), currency.Code) {
		d.problems.Warnf(d.place(c), c.Text, "the right currency in the column for it, or another number format",
			"%s: shown in %s by its number format, and read as %s", d.name(c), shown, currency.Code)
	}
	if f.Sign != "" && currency.Code != "" && !slices.Contains(bom.CurrencySigns(f.Sign), currency.Code) {
		d.wrong(c, "an amount in "+currency.Code+", or the other currency in the column for it",
			"typed in %s where the amount is in %s", f.Sign, currency.Code)
	}
	return f.Value
}

// moneyOrNone is money that may be blank.
func (d *decoder) moneyOrNone(c bom.Cell, currency bom.Currency) decimal.NullDecimal {
	if c.Blank() {
		return decimal.NullDecimal{}
	}
	return decimal.NewNullDecimal(d.money(c, currency))
}

// percent reads a percentage up to a limit: 4 and 4 % are 4.
func (d *decoder) percent(c bom.Cell, fallback, most int64) decimal.Decimal {
	f, ok := d.figure(c, bom.FormPercent)
	switch {
	case !ok:
		return decimal.NewFromInt(fallback)
	case f.Value.GreaterThan(decimal.NewFromInt(most)):
		d.wrong(c, fmt.Sprintf("a percentage from 0 to %d", most), "out of range")
	}
	return f.Value
}

// percentIfAny is percent where something stands in the cell.
func (d *decoder) percentIfAny(c bom.Cell, most int64) decimal.NullDecimal {
	if c.Blank() {
		return decimal.NullDecimal{}
	}
	return decimal.NewNullDecimal(d.percent(c, 0, most))
}

// warnOfShare asks about a percentage under 1 where hardly anybody can mean one:
// it may have been typed as a share of one, 0.95 for 95 %.
func warnOfShare(d *decoder, c bom.Cell) {
	f, _ := d.parse(c)
	if f.Percent || !f.Value.IsPositive() || !f.Value.LessThan(decimal.NewFromInt(1)) {
		return
	}
	d.problems.Warnf(d.place(c), c.Text, fmt.Sprintf("%s if that was meant", f.Value.Shift(2)),
		"%s is read as %s %%", d.name(c), f.Value)
}

// whole reads a whole number of at least least.
func (d *decoder) whole(c bom.Cell, fallback, least int64) int64 {
	f, ok := d.figure(c, bom.FormWhole)
	switch {
	case !ok:
		return fallback
	case !f.Value.IsInteger():
		d.wrong(c, "a whole number such as 12", "not a whole number")
	case f.Value.IntPart() < least:
		d.wrong(c, fmt.Sprintf("a whole number of %d or more", least), "too small a number")
	case f.Value.IntPart() > int64(bom.MaxQuantity/bom.One):
		d.wrong(c, "a whole number up to "+bom.MaxQuantity.String(), "too large a number")
	default:
		return f.Value.IntPart()
	}
	return fallback
}

// quantityDecimals is to how many decimals a quantity counts.
const quantityDecimals = 6

// quantity reads a number of pieces over 0, or of 0 with zero set, in millionths.
func (d *decoder) quantity(c bom.Cell, fallback bom.Quantity, zero bool) (q bom.Quantity, ok bool) {
	f, ok := d.figure(c, bom.FormNumber)
	if !ok {
		return fallback, false
	}
	q, fits := bom.QuantityOf(f.Value.Round(quantityDecimals)) // a part of a pack that was worked out
	switch {
	case f.Value.IsZero() && zero:
		return 0, true
	case f.Value.IsZero():
		d.wrong(c, d.least(c, "a quantity over 0"), "a quantity of 0")
	case !fits:
		d.wrong(c, "a quantity up to "+bom.MaxQuantity.String(), "too large a quantity")
	case q == 0:
		d.wrong(c, "a quantity of a millionth or more", "too small a quantity")
	default:
		return q, true
	}
	return fallback, false
}

// measure reads a figure for geometry, mass or time that may be unknown; where
// it is given it is over 0, or at least 0 with zero set.
func (d *decoder) measure(c bom.Cell, zero bool) bom.Measure {
	f, ok := d.figure(c, bom.FormNumber)
	if !ok {
		return bom.Measure{}
	}
	if f.Value.IsZero() && !zero {
		d.wrong(c, "a number over 0, or a blank cell", "0 where something is measured")
		return bom.Measure{}
	}
	return bom.Known(f.Value.InexactFloat64())
}

var yesWords = map[string]bool{"yes": true, "y": true, "true": true, "1": true, "x": true,
	"no": false, "n": false, "false": false, "0": false}

// yes reads yes or no.
func (d *decoder) yes(c bom.Cell, fallback bool) bool {
	if c.Blank() || !d.sound(c) {
		return fallback
	}
	v, ok := yesWords[bom.NormalHeading(c.Text)]
	if !ok {
		d.wrong(c, "yes or no", "neither yes nor no")
		return fallback
	}
	return v
}

// choice reads one of the choices of the cell's column; empty for a blank cell
// and after a complaint.
func (d *decoder) choice(c bom.Cell) string {
	return d.oneOf(c, d.choices(c), nil)
}

func (d *decoder) choices(c bom.Cell) []string {
	if column := d.column[c.Col]; column != nil {
		return column.Choices
	}
	return nil
}

// oneWord is the choice that a text stands for; empty where it is none.
func oneWord(text string, choices []string, others map[string]string) string {
	if word, ok := others[bom.NormalHeading(text)]; ok {
		return word
	}
	word, _ := bom.Choice(text, choices)
	return word
}

// oneOf reads one of the choices, or another word for one of them.
func (d *decoder) oneOf(c bom.Cell, choices []string, others map[string]string) string {
	if c.Blank() || !d.sound(c) {
		return ""
	}
	word := oneWord(c.Text, choices, others)
	if word == "" && d.reg.tab.Name == bom.BOMTab.Name && bom.NormalHeading(d.reg.head.Text[d.name(c)]) != bom.NormalHeading(d.name(c)) {
		d.warn(c, d.name(c)+": not one of the choices, and ignored", "if it matters, give one of "+quoteList(choices), bom.Shown(c.Text))
		return ""
	}
	if word == "" {
		want := "one of " + quoteList(choices)
		if near, ok := bom.Nearest(c.Text, choices); ok {
			want += "; did you mean " + near
		}
		d.wrong(c, want, "not one of the choices")
	}
	return word
}

// wordList reads words with commas between them, each once, without regard to case.
func (d *decoder) wordList(c bom.Cell) []string {
	var out []string
	for word := range strings.SplitSeq(d.key(c), ",") {
		word = strings.TrimSpace(word)
		if word != "" && !slices.ContainsFunc(out, func(w string) bool { return bom.Fold(w) == bom.Fold(word) }) {
			out = append(out, word)
		}
	}
	return out
}

// date reads an ISO date.
func (d *decoder) date(c bom.Cell) bom.Date {
	if c.Blank() || !d.sound(c) {
		return bom.Date{}
	}
	date, ok := bom.ParseDate(c.Text)
	if !ok {
		d.wrong(c, "a date written YYYY-MM-DD", "not a date that reads one way")
	}
	return date
}

// currency reads a code of ISO 4217.
func (d *decoder) currency(c bom.Cell, fallback bom.Currency) bom.Currency {
	if c.Blank() {
		return fallback
	}
	code := d.key(c)
	if code == "" {
		return fallback
	}
	if codes := bom.CurrencySigns(code); len(codes) == 1 {
		code = codes[0] // a sign that stands for one currency only
	}
	currency, ok := bom.FindCurrency(code)
	if !ok {
		d.wrong(c, "a code of ISO 4217 such as EUR", "not a currency of ISO 4217")
		return fallback
	}
	return currency
}

const minutesADay = 24 * 60

// clock reads a time of day in minutes after midnight: 08:00, 8, or the
// fraction of a day that a spreadsheet keeps.
func (d *decoder) clock(c bom.Cell, fallback int) int {
	if c.Blank() || !d.sound(c) {
		return fallback
	}
	const want = "a time of day such as 08:00"
	if minutes, ok := clockText(c.Text); ok {
		return minutes
	}
	f, err := d.parse(c)
	hours := f.Value.InexactFloat64()
	switch {
	case err != nil || c.Kind != bom.Text && c.Kind != bom.Native || f.Sign != "" || f.Percent || hours < 0 || hours > 24:
		d.wrong(c, want, "not a time of day")
	case c.Kind == bom.Native && hours == 1:
		d.wrong(c, "01:00 or 24:00 typed as text", "reads two ways, as 01:00 and as 24:00")
	case c.Kind == bom.Native && hours < 1:
		return int(math.Round(hours * minutesADay))
	case !f.Value.IsInteger():
		d.wrong(c, want, "not a time of day")
	default:
		return int(hours) * 60
	}
	return fallback
}

func clockText(text string) (minutes int, ok bool) {
	if text == "24:00" || text == "24:00:00" {
		return minutesADay, true
	}
	for _, layout := range []string{"15:04", "15:04:05"} {
		if t, err := time.Parse(layout, text); err == nil {
			return t.Hour()*60 + t.Minute(), true
		}
	}
	return 0, false
}

// once complains where a second row has what only one may have.
func (d *decoder) once(c bom.Cell, what string, key ...string) {
	for i := range key {
		key[i] = bom.Fold(key[i])
	}
	k := strings.Join(key, "\x00")
	if first, doubled := d.seen[k]; doubled {
		d.wrong(c, "keep one row for it", "%s stands twice, here and in row %d", what, first)
		return
	}
	d.seen[k] = d.rowNumber()
}
