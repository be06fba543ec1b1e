package workbook

import (
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/reports"
)

// look is all that tells one cell's appearance from another's.
type look struct {
	format string // number format; empty: none
	fill   string
	colour string
	size   float64 // 0: inputSize
	bold   bool
	right  bool
	indent bool // off the figure in the column before
	wrap   bool
	middle bool // vertically; otherwise at the top
	rule   bool // a pale line below
	above  int  // dark lines: 0 none, 1 thin, 2 medium
	below  int
}

// style gives the number of a look, making each once.
func (b *book) style(l look) int {
	if id, ok := b.looks[l]; ok {
		return id
	}
	size := l.size
	if size == 0 {
		size = inputSize
	}
	s := &excelize.Style{
		Font:      &excelize.Font{Family: inputFont, Size: size, Bold: l.bold, Color: l.colour},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: l.wrap},
	}
	if l.middle {
		s.Alignment.Vertical = "center"
	}
	switch {
	case l.right:
		s.Alignment.Horizontal = "right"
	case l.indent:
		s.Alignment.Horizontal, s.Alignment.Indent = "left", 1
	}
	if l.format != "" {
		s.CustomNumFmt = &l.format
	}
	if l.fill != "" {
		s.Fill = excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{l.fill}}
	}
	if l.above > 0 {
		s.Border = append(s.Border, excelize.Border{Type: "top", Color: inputDark, Style: l.above})
	}
	if l.below > 0 {
		s.Border = append(s.Border, excelize.Border{Type: "bottom", Color: inputDark, Style: l.below})
	} else if l.rule {
		s.Border = append(s.Border, excelize.Border{Type: "bottom", Color: inputLine, Style: 1})
	}
	id, err := b.f.NewStyle(s)
	b.keep(err)
	b.looks[l] = id
	return id
}

// numberFormat is how a spreadsheet shows a number; money of nothing shows as
// a dash. exact is the number as it is stored.
func numberFormat(f reports.Format, exact string) string {
	decimals := int(f.Digits)
	if f.All {
		_, after, _ := strings.Cut(exact, ".")
		decimals = len(after)
	}
	format := "#,##0"
	if decimals > 0 {
		format += "." + strings.Repeat("0", decimals)
	}
	if f.Kind == reports.KindMoney {
		format += ";-" + format + `;"–"`
	}
	return format
}

// shownWidth is the room that a value takes in a cell, in widths of a digit: as
// shown, and the marks between thousands.
func shownWidth(v reports.Value, f reports.Format) float64 {
	if d, ok := v.Decimal(); ok {
		whole := len(d.Abs().Truncate(0).String())
		return float64(len(v.Shown(f)) + (whole-1)/3)
	}
	return inkWidth(v.Shown(f))
}

// inkWidth is about how wide text is in the sheets' typeface, in widths of a
// digit, rounded up by class of letter. Classes from the advance widths that
// the typeface's metrics give: a digit 556 of 1000, i and l 222, space and full
// stop 278, m 833, capitals 611 to 778, M 833, W 944 (from memory).
func inkWidth(s string) (w float64) {
	for _, r := range s {
		switch {
		case strings.ContainsRune("ijlftI.,:;'|!/ ()[]-", r):
			w += 0.6
		case strings.ContainsRune("mMwW%@", r):
			w += 1.7
		case r >= 'A' && r <= 'Z':
			w += 1.3
		case r < 0x80:
			w++
		default:
			w += 1.2 * float64(reports.RuneWidth(r))
		}
	}
	return w
}
