package workbook

import (
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// storage is how a cell is stored in the workbook.
type storage int

const (
	storeText storage = iota
	storeNumber
	storeDate
)

// storedCell is a cell as the workbook holds it.
type storedCell struct {
	as   storage
	text string // of a number: plain, with a dot; of a date: days since 1899-12-30
}

// floatDigits is how many significant digits every spreadsheet keeps of a number.
const floatDigits = 15

// store decides how a cell is kept. Nothing that a reader would understand
// differently is turned into a number: a figure with a currency beside it, a
// negative one, one that reads two ways or has too many digits stays text.
func (s *inputSheet) store(c bom.Cell, form bom.Form) storedCell {
	text := storedCell{storeText, c.Text}
	switch {
	case form == bom.FormDate:
		if serial, ok := dateSerial(c.Text); ok {
			return storedCell{storeDate, strconv.Itoa(serial)}
		}
		return text
	case c.Kind == bom.Native && form != bom.FormKey && c.Text[0] != '-':
		if n, ok := storable(c.Text, bom.MarkDot, form); ok {
			return storedCell{storeNumber, n}
		}
		return text
	case !form.Numeric() || c.Kind != bom.Text && c.Kind != bom.Percent:
		return text
	case c.Kind == bom.Percent:
		if n, ok := storable(c.Text, bom.MarkDot, form); ok {
			return storedCell{storeNumber, n}
		}
		return text
	case s.typed && strings.ContainsAny(c.Text, ".,"):
		return text
	}
	if n, ok := storable(c.Text, s.mark, form); ok {
		return storedCell{storeNumber, n}
	}
	return text
}

// storable gives the text of the number that a figure is stored as. Digits that
// were typed plainly stay as they are, zeros at the end and all.
func storable(text string, mark bom.DecimalMark, form bom.Form) (number string, ok bool) {
	fig, err := bom.ParseFigure(text, mark)
	if err != nil || fig.Sign != "" || fig.Value.IsNegative() || fig.Percent && form != bom.FormPercent {
		return "", false
	}
	number = strings.TrimSpace(strings.TrimSuffix(text, "%"))
	if !plainNumber(number) {
		number = fig.Value.String()
	}
	return number, len(strings.Trim(strings.Replace(number, ".", "", 1), "0")) <= floatDigits
}

// plainNumber tells whether text is digits with at most a dot among them, and no
// zero before the whole number.
func plainNumber(text string) bool {
	whole, decimals, dot := strings.Cut(text, ".")
	if whole == "" || dot && decimals == "" || len(whole) > 1 && whole[0] == '0' {
		return false
	}
	return strings.Trim(whole+decimals, "0123456789") == ""
}

// spreadsheetZero is day 0 of the spreadsheets' calendar (ECMA-376 part 1,
// 18.17.4.1); the days before March 1900, which it counts wrongly, are not used.
var (
	spreadsheetZero  = bom.Date{Year: 1899, Month: 12, Day: 30}
	spreadsheetFirst = bom.Date{Year: 1900, Month: 3, Day: 1}
)

// dateSerial counts the days of an ISO date for a spreadsheet.
func dateSerial(text string) (int, bool) {
	d, ok := bom.ParseDate(text)
	if !ok || d.Before(spreadsheetFirst) {
		return 0, false
	}
	return spreadsheetZero.DaysUntil(d), true
}

// readMark learns how the table's figures are typed.
func (s *inputSheet) readMark() {
	var figures []string
	for _, r := range s.data() {
		for _, c := range r.Cells {
			if c.Kind == bom.Text && s.formAt(r, c.Col).Numeric() {
				figures = append(figures, c.Text)
			}
		}
	}
	var seen bom.Evidence
	for _, text := range figures {
		seen.Add(text)
	}
	s.mark = seen.Mark()
	// A price such as 1,234 EUR stays text. It can only be read as long as the
	// other figures show which mark is the decimal one, so they stay as well.
	for _, text := range figures {
		known, err := bom.ParseFigure(text, s.mark)
		if err != nil || known.Sign == "" {
			continue
		}
		if _, err := bom.ParseFigure(text, bom.MarkUnknown); err != nil {
			s.typed = true
		}
	}
}

// put stores a cell. Text never goes through a call that guesses what it is.
func (s *inputSheet) put(col, row int, c storedCell, l look) {
	if c.as != storeText {
		s.number(col, row, c.text, l)
		return
	}
	if len(c.text) > excelize.TotalCellChars && len(utf16.Encode([]rune(c.text))) > excelize.TotalCellChars {
		s.keep(fmt.Errorf("%s: %s: the text is longer than a cell of a workbook holds, %d characters", s.table.At(0, 0), at(col, row), excelize.TotalCellChars))
	}
	s.grid.put(row, gridCell{col, s.grid.look(l), true, markup.Hide(c.text)})
}
