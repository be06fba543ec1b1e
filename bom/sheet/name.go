package sheet

import (
	"regexp"
	"strings"
	"unicode"

	"tenoff/bom"
)

// What programs make of names that are typed into them, common practice, no
// source.

// powerOfTen is a long number as a spreadsheet shows it in a narrow column, its
// last digits gone: 1.23E+12.
var powerOfTen = regexp.MustCompile(`^[0-9]([.,][0-9]+)?E\+[0-9]{2,3}$`)

// errorValues are what spreadsheets show where a formula fails.
var errorValues = bom.WordSet("#N/A #REF! #VALUE! #NAME? #DIV/0! #NULL! #NUM! #SPILL! #CALC! #NV #BEZUG! #WERT!")

var numberedError = regexp.MustCompile(`^Err:[0-9]{3}$`)

func errorValue(text string) bool {
	return text != "" && (text[0] == '#' && errorValues[text] || text[0] == 'E' && numberedError.MatchString(text))
}

// months are the names of months as spreadsheets shorten them.
const months = `(?:Jan|Feb|Mar|Apr|May|Jun|Jul|Aug|Sep|Sept|Oct|Nov|Dec|Mrz|Mär|Mai|Okt|Dez)\.?`

// dateForms are the forms in which spreadsheets show dates: 12-Oct, 12. Oct,
// Oct-12, 12-Oct-26, 10/12/2026, 12.10.2026, 2026-10-12.
var dateForms = regexp.MustCompile(`^(?:\d{1,2}(?:-|\. ?| )` + months + `(?:[- ]\d{2}(?:\d{2})?)?` +
	`|` + months + `[- ]\d{2}(?:\d{2})?` +
	`|\d{1,2}/\d{1,2}/\d{4}|\d{1,2}\.\d{1,2}\.\d{4}|\d{4}-\d{2}-\d{2})$`)

func likeDate(text string) bool {
	return len(text) <= len("12. Sept.-2026")+2 && strings.ContainsAny(text, "-/. ") && dateForms.MatchString(text)
}

// clean takes off a name what cannot be seen or was only there to keep a
// spreadsheet from changing it, and says so: two names that look alike must be
// alike.
func (d *decoder) clean(c bom.Cell) string {
	text := c.Text
	if inside, ok := strings.CutPrefix(text, `="`); ok {
		text = strings.TrimSuffix(inside, `"`)
		noteClean(d, c, "the formula around the text %s is left out")
	}
	if rest, ok := strings.CutPrefix(text, "'"); ok && rest != "" && strings.ContainsRune("0123456789=+-@", rune(rest[0])) {
		text = rest
		noteClean(d, c, "the apostrophe that keeps %s as text is left out")
	}
	if strings.IndexFunc(text, invisible) >= 0 {
		text = strings.Map(func(r rune) rune {
			if invisible(r) {
				return -1
			}
			return r
		}, text)
		noteClean(d, c, "characters that cannot be seen are left out of %s")
	}
	text = unquote(d, c, text)
	if strings.ContainsFunc(text, func(r rune) bool { return r != ' ' && unicode.IsSpace(r) }) {
		text = strings.Join(strings.Fields(text), " ")
	}
	return text
}

func noteClean(d *decoder, c bom.Cell, what string) {
	d.problems.Notef(d.place(c), d.name(c)+": "+what, bom.Shown(c.Text))
}

// invisible tells characters of no width that mean nothing in a name: soft
// hyphens, marks of direction, byte order marks. Joiners belong to spelling.
func invisible(r rune) bool {
	return r >= 0xAD && unicode.Is(unicode.Cf, r) && r != '\u200C' && r != '\u200D'
}

// curly are typographic quotes that open, and what closes them.
var curly = [...]struct{ open, closed string }{{"“", "”"}, {"„", "“"}, {"”", "”"}}

// unquote takes typographic quotes off a name. One that opens and does not
// close has been cut off at a separator.
func unquote(d *decoder, c bom.Cell, text string) string {
	for _, quotes := range curly {
		inside, ok := strings.CutPrefix(text, quotes.open)
		if !ok {
			continue
		}
		if word, ok := strings.CutSuffix(inside, quotes.closed); ok {
			noteClean(d, c, "the typographic quotes around %s are left out")
			return word
		}
		d.wrong(c, `plain quotes (") around what holds a separator`, "a typographic quote opens here and is not closed")
		return ""
	}
	return text
}
