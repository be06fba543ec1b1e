package workbook

import (
	"cmp"
	"strings"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
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
	indent bool // a text off the figure in the column before, a figure off the box in the next
	wrap   bool
	middle bool // vertically; otherwise at the top
	low    bool // at the bottom
	rule   bool // a pale line below
	above  int  // dark lines: 0 none, 1 thin, 2 medium
	below  int
	italic bool
	box    string // colour of lines all around; empty: none
}

// makeStyles makes the style of each look, once, in the order of the sheets and
// of their cells.
func (b *book) makeStyles() error {
	made := map[look]int{}
	for _, g := range b.grids {
		for _, l := range g.looks {
			id, ok := made[l]
			if !ok {
				var err error
				if id, err = b.makeStyle(l); err != nil {
					return err
				}
				made[l] = id
			}
			g.styles = append(g.styles, id)
		}
	}
	return nil
}

func (b *book) makeStyle(l look) (int, error) {
	size := cmp.Or(l.size, inputSize)
	s := &excelize.Style{
		Font:      &excelize.Font{Family: inputFont, Size: size, Bold: l.bold, Italic: l.italic, Color: l.colour},
		Alignment: &excelize.Alignment{Vertical: "top", WrapText: l.wrap},
	}
	if l.middle {
		s.Alignment.Vertical = "center"
	}
	if l.low {
		s.Alignment.Vertical = "bottom"
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
	if l.box != "" {
		s.Border = bom.Each([]string{"left", "right", "top", "bottom"}, func(side *string) excelize.Border {
			return excelize.Border{Type: *side, Color: l.box, Style: 1}
		})
	}
	return b.f.NewStyle(s)
}

// numberFormat is how a spreadsheet shows a number; nothing shows as a
// dash. exact is the number as it is stored.
func numberFormat(f reports.Format, exact string) string {
	decimals := int(f.Digits)
	if f.All {
		decimals = decimalsIn(exact)
	}
	format := "#,##0"
	if decimals > 0 {
		format += "." + strings.Repeat("0", decimals)
	}
	if f.Dashed() {
		format += ";-" + format + `;"–"`
	}
	return format
}

func decimalsIn(exact string) int {
	_, after, _ := strings.Cut(exact, ".")
	return len(after)
}

// shownWidth is the room that a value takes in a cell: as shown, and the marks
// between thousands, which are as wide as a digit at most.
func shownWidth(v reports.Value, f reports.Format) float64 {
	shown := v.Shown(f)
	if d, ok := v.Decimal(); ok && !d.IsZero() {
		if whole := d.NumDigits() + int(d.Exponent()); whole > 3 {
			shown += strings.Repeat("0", (whole-1)/3)
		}
	}
	return inkWidth(shown)
}
