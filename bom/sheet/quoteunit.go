package sheet

import (
	"regexp"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Words in a column of units; common practice, no source.
var (
	oneWords  = bom.WordSet("pce stk st stck stück stueck unit item items st. 1")
	packWords = bom.WordSet("pack packs pkt pk box bag reel roll tube tray strip set bundle per of rolle packung")
	manyWords = map[string]int64{"c": 100, "hundred": 100, "m": 1000, "mpcs": 1000, "thousand": 1000, "mille": 1000}
)

// unitNumber is the number of a unit, with a k for thousands: 100 pcs, per 100, 1k.
var unitNumber = regexp.MustCompile(`^\D*?(\d(?:[\d.,' ]*\d)?)( ?[kK]\b)?\D*$`)

// unitOf tells how many pieces a unit is; 0: it does not say. A capital M is a thousand, and a
// small one a metre.
func (q *quoteReader) unitOf(text string) int64 {
	n := int64(1)
	words := text
	if m := unitNumber.FindStringSubmatchIndex(text); m != nil {
		f, err := q.parse(bom.Cell{Kind: bom.Text, Text: text[m[2]:m[3]]})
		if err != nil || !f.Value.IsInteger() || !f.Value.IsPositive() || f.Value.GreaterThan(largest) {
			return 0
		}
		n = f.Value.IntPart()
		end := m[3]
		if m[4] >= 0 {
			n, end = n*1000, m[5]
		}
		words = text[:m[2]] + " " + text[end:]
	} else if many, ok := manyWords[strings.ToLower(strings.TrimSpace(text))]; ok && strings.TrimSpace(text) != "m" {
		return many
	} else if strings.ContainsAny(text, "0123456789") {
		return 0
	}
	for _, w := range strings.FieldsFunc(strings.ToLower(words), func(r rune) bool { return strings.ContainsRune(" /().,-", r) }) {
		if !pieceWords[w] && !oneWords[w] && !(n > 1 && packWords[w]) {
			return 0
		}
	}
	return n
}

// ofUnits reads a number of pieces that may stand as a unit does: per 100, pcs.
func (q *quoteReader) ofUnits(c bom.Cell) bom.Cell {
	if n := q.unitOf(c.Text); c.Kind == bom.Text && !c.Blank() && n > 0 {
		c.Text = decimal.NewFromInt(n).String()
	}
	return c
}

// unit settles what a price is for by the column of units, which may say 100 pcs. The line total
// tells whether the quantity counts those, which are packs then, or pieces.
func (q *quoteReader) unit(p *bom.QuotedPart, raw *rawQuoted) {
	head := q.reg.head
	if raw.Unit.Blank() || noContent(raw.Unit.Text) || head.Col["Unit price"] == 0 && !q.pricedSteps() {
		return
	}
	n := q.unitOf(raw.Unit.Text)
	told := !raw.Pieces.Blank() || !raw.Per.Blank() || q.headOf("Unit price").per > 1
	switch name := head.Text["Unit"]; {
	case n == 1 || told:
		return
	case n == 0:
		q.warn(raw.Unit, "nothing says how many pieces the price is for; it is taken for one of a piece", "pieces such as 100 pcs, or a column Pieces", bom.Shown(raw.Unit.Text))
		return
	default:
		price, err := q.parse(raw.Price)
		total, err2 := q.parse(raw.Total)
		if err != nil || err2 != nil || p.Quantity == 0 || !total.Value.IsPositive() {
			q.wrong(raw.Unit, "--heading '"+name+"=Pieces' if it counts packs of so many, --heading '"+name+"=Price per' if it counts pieces",
				"the price is for %d, and no line total tells what the quantity counts", n)
			return
		}
		plain := price.Value.Mul(decimal.NewFromInt(p.Quantity))
		if total.Value.Mul(total.Value).Mul(decimal.NewFromInt(n)).LessThan(plain.Mul(plain)) { // nearer to a price per so many
			raw.Per = raw.Unit
			return
		}
		raw.Pieces = raw.Unit
	}
}
