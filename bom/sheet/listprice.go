package sheet

import (
	"cmp"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// offeredPrice takes a price over where it reads as one, and tells whether it says itself
// for how many pieces it is. One that does not read is no error, for the part may have
// another; it is told.
func (r *lineReader) offeredPrice(l *bom.Line, o *bom.Offered, c bom.Cell, from int64) (saysPieces bool) {
	p := r.listed(c)
	if l.Fitted {
		r.tellPrice(l, c, p)
	}
	if p.err != nil || !p.Value.IsPositive() || p.Value.GreaterThan(largest) {
		return false
	}
	o.Currency = cmp.Or(o.Currency, p.Sign, r.reg.table.Sign(c), r.reg.sign[c.Col])
	o.Breaks = append(o.Breaks, bom.OfferedBreak{From: from, Price: p.Value, Place: r.place(c)})
	return p.per > 0
}

// listedPrice is a price as it stands in a list.
type listedPrice struct {
	bom.Figure
	per  int64 // pieces that it says it is for; 0: it does not
	open bool  // about, or a range: its greater end
	err  *bom.NumberError
}

// betweenPrices parts the ends of a range of prices.
var betweenPrices = regexp.MustCompile(`(?i)\d\s*(?:\.-)?\s*(-|–|—|~|\bto\b|\bbis\b)\s*[^\d-]{0,5}\d`)

// listed reads a price: a figure, alone or with words for about it, as one end of a range,
// or for some pieces.
func (r *lineReader) listed(c bom.Cell) (p listedPrice) {
	if p.Figure, p.err = r.parse(c); p.err == nil {
		return p
	}
	ends, per, open := priceEnds(c.Text)
	for i, end := range ends {
		bare := c
		bare.Text = strings.TrimSpace(end)
		f, err := r.parse(bare)
		if err != nil {
			return p
		}
		if i == 0 || f.Value.GreaterThan(p.Value) {
			f.Sign = cmp.Or(f.Sign, p.Sign)
			p.Figure = f
		}
	}
	p.per, p.open, p.err = per, open, nil
	if per > 1 {
		p.Value = p.Value.DivRound(decimal.NewFromInt(per), priceDecimals)
	}
	return p
}

// priceEnds parts a price from what stands about it: its one figure or the two ends of a
// range, how many pieces it says it is for, and whether it is left open.
func priceEnds(text string) (ends []string, per int64, open bool) {
	if m := perPieces.FindStringSubmatchIndex(text); m != nil {
		if m[2] >= 0 || m[6] >= 0 {
			per = 1
		}
		if m[2] < m[3] {
			per, _ = headNumber(text[m[2]:m[3]])
		}
		text = text[:m[0]]
	}
	text, open = bom.WithoutAbout(text)
	if m := betweenPrices.FindStringSubmatchIndex(text); m != nil {
		return []string{text[:m[2]], text[m[3]:]}, per, true
	}
	return []string{text}, per, open
}

// readsAsPrice tells whether a text reads as a price, with whatever mark.
func readsAsPrice(text string) bool {
	ends, _, _ := priceEnds(text)
	return !slices.ContainsFunc(ends, func(end string) bool {
		_, err := bom.ParseFigure(strings.TrimSpace(end), bom.MarkUnknown)
		return err != nil && !err.Ambiguous
	})
}

// tellPrice tells of a price that is not sure, and of one that does not read. A word in
// place of a price says that there is none.
func (r *lineReader) tellPrice(l *bom.Line, c bom.Cell, p listedPrice) {
	told := bom.Problem{Place: r.place(c), Severity: bom.Warning, Found: c.Text, Each: bom.Shown(lineName(l) + ", " + c.Text)}
	switch {
	case p.Value.IsNegative():
		told.What, told.Want = "a negative price is left out", "a price of 0 or more"
	case p.open:
		told.What, told.Want = "a price that is left open counts with its greatest figure", "the price of one piece, where it is known"
	case p.err == nil || !strings.ContainsFunc(c.Text, unicode.IsDigit) || errorValue(c.Text):
		return
	default:
		told.What, told.Want = "a price that does not read as one is left out", p.err.Want
	}
	r.problems.Add(told)
}
