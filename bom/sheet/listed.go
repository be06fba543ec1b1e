package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// PricesOf makes a price sheet of what the lists of a unit say of prices themselves:
// every setting has its default, and what stands beside a part is an offer for it, in
// pieces. Offers of one part, supplier and order code are one. Prices in another
// currency than home are left out, and so are those in what is none; a warning says
// so once for each. The allowances and bench times of the starter's tabs, figures of
// common practice, are assumed for what the unit holds.
func PricesOf(unit *bom.Assembly, home bom.Currency, starter []bom.Table) (*bom.Prices, bom.Problems) {
	settings := newTab(bom.TabSettings, "Setting", "Value")
	settings.row("Home currency", home.Code)
	assumed, told := usual(unit, home, starter)
	prices, problems := ReadPrices(append([]bom.Table{settings.table}, assumed...), unit.File, Options{})
	prices.Settings.All[0].Origin = bom.Origin{Head: &bom.Heading{File: "--currency"}}
	l := listedOffers{unit: unit, home: home, index: map[[3]string]int{}, spelled: map[string]string{}}
	for line := range unit.MadeLines() {
		if isPiece(line) {
			l.add(line)
		}
	}
	prices.Offers = l.offers
	return prices, slices.Concat(problems, told, l.problems, Untaxed(unit))
}

// usual gives the tabs attrition, hand work and materials, as far as the unit has
// lines for them, with figures of common practice, and says what is assumed by them.
func usual(unit *bom.Assembly, home bom.Currency, starter []bom.Table) (tabs []bom.Table, told bom.Problems) {
	if starter == nil {
		return nil, nil
	}
	b := newBeginner(unit, home, starter)
	b.undated = true
	has := func(class string) bool { return b.has[class] }
	b.taken(bom.TabAttrition, has)
	b.taken(bom.TabHandWork, has)
	if b.meshes {
		b.plastics()
	}
	for _, t := range b.tables {
		for _, row := range t.Rows[1:] {
			said := usualFigures(t, row)
			told.Add(bom.Problem{Place: bom.Place{File: unit.File, Sheet: unit.Sheet}, Severity: bom.Assumption,
				What: "without a price sheet figures of common practice are taken for " + t.File, Found: said, Each: said,
				Want: "if they are wrong, give a price sheet; start --bom writes one"})
		}
	}
	return b.tables, told
}

// usualFigures words a row of common practice: "smt 2 %, at least 2".
func usualFigures(t bom.Table, row bom.Row) string {
	cell := func(heading string) string {
		i := slices.IndexFunc(t.Rows[0].Cells, func(c bom.Cell) bool { return c.Text == heading })
		return find(row, t.Rows[0].Cells[i].Col).Text
	}
	switch t.File {
	case bom.TabAttrition:
		return cell("Applies to") + " " + cell("Percent") + " %, at least " + cell("Pieces")
	case bom.TabHandWork:
		return cell("Operation") + " " + cell("Seconds") + " s"
	}
	return strings.TrimSpace(cell("Material") + " " + cell("Density g/cm3") + " g/cm3")
}

// isPiece tells whether a line is bought as pieces.
func isPiece(l *bom.Line) bool {
	return l.Fitted && !l.Nothing && l.Kind != bom.KindBoard && l.Kind != bom.KindAssembly && l.Kind != bom.KindPrinted
}

// listedOffers gathers the offers that stand in lists.
type listedOffers struct {
	unit     *bom.Assembly
	home     bom.Currency
	offers   []bom.Offer
	index    map[[3]string]int // part, supplier, order code, folded -> into offers
	spelled  map[string]string // supplier, folded -> as it stands first
	problems bom.Problems
}

func (s *listedOffers) add(l *bom.Line) {
	o := l.Offered
	if len(o.Breaks) == 0 {
		return
	}
	if code, ok := currencyOfList(o.Currency, s.home); !ok || code != s.home.Code {
		p := bom.Problem{Place: l.Origin.At("Price"), Severity: bom.Warning, Each: l.Part,
			What: "prices in " + code + " are left out: no exchange rate into " + s.home.Code,
			Want: "give a price sheet with its rate in the tab exchange; start --bom writes one"}
		if !ok {
			p.What, p.Want = "prices in "+bom.Shown(o.Currency)+" are left out: not a known currency", "a code of ISO 4217 such as EUR"
		}
		p.Place = bom.Place{File: s.unit.File}
		s.problems.Add(p)
		return
	}
	if _, known := s.spelled[bom.Fold(o.Supplier)]; !known {
		s.spelled[bom.Fold(o.Supplier)] = o.Supplier
	}
	key := [3]string{sameName(l.Part), bom.Fold(o.Supplier), bom.Fold(o.Code)}
	i, known := s.index[key]
	if known && l.Number == "" && otherPrice(&s.offers[i], l) {
		s.problems.Add(bom.Problem{Place: l.Origin.At("Price"), Severity: bom.Warning, What: "lines of one name have other prices, and are taken for other parts",
			Want: "a part number and one price, if they are one part", Each: bom.Shown(l.Part)})
		l.Part += fmt.Sprintf(" (row %d)", l.Row)
		key[0] = sameName(l.Part)
		i, known = s.index[key]
	}
	if !known {
		i = len(s.offers)
		s.index[key] = i
		s.offers = append(s.offers, bom.Offer{Dated: bom.Dated{Origin: l.Origin}, Part: l.Part, Supplier: s.spelled[bom.Fold(o.Supplier)], Code: o.Code,
			Stock: -1, MOQ: 1, Multiple: 1, Pieces: bom.One, Currency: s.home})
	}
	s.join(&s.offers[i], l)
}

// otherPrice tells whether a line has another price than an offer from the same number on.
func otherPrice(offer *bom.Offer, l *bom.Line) bool {
	return slices.ContainsFunc(l.Offered.Breaks, func(b bom.OfferedBreak) bool {
		return slices.ContainsFunc(offer.Breaks, func(had bom.Break) bool { return had.From == b.From && !had.Price.Equal(b.Price) })
	})
}

// join adds what a line says to the offer it is of. Of two figures for the same the
// first counts; of two prices it is said.
func (s *listedOffers) join(offer *bom.Offer, l *bom.Line) {
	if n, err := strconv.ParseInt(l.Offered.Stock, 10, 64); err == nil && offer.Stock < 0 {
		offer.Stock = n
	}
	if n, err := strconv.ParseInt(l.Offered.MOQ, 10, 64); err == nil {
		offer.MOQ = max(offer.MOQ, n)
	}
	for _, b := range l.Offered.Breaks {
		i := slices.IndexFunc(offer.Breaks, func(had bom.Break) bool { return had.From == b.From })
		if i < 0 {
			offer.Breaks = append(offer.Breaks, bom.Break{Origin: l.Origin, Heading: headingAt(l, b), From: b.From, Price: b.Price})
			continue
		}
		if had := offer.Breaks[i]; !had.Price.Equal(b.Price) {
			s.problems.Warnf(b.Place, b.Price.String(), "one price for a part and supplier",
				"the price of %s differs from that in %s, %s, which counts", bom.Shown(l.Part), had.At(had.Heading), had.Price)
		}
	}
	slices.SortFunc(offer.Breaks, func(a, b bom.Break) int { return cmp.Compare(a.From, b.From) })
	offer.MOQ = max(offer.MOQ, offer.Breaks[0].From)
}

// headingAt is the heading that the price of a line stands under.
func headingAt(l *bom.Line, b bom.OfferedBreak) string {
	if l.Head.Col["Price"] == b.Place.Col {
		return "Price"
	}
	return stepHeading(b.From, false)
}

// currencyOfList reads the currency that stands with a price in a list: home where
// none stands there, or a sign that home goes by; else the likeliest. ok is false
// for what is no currency.
func currencyOfList(text string, home bom.Currency) (code string, ok bool) {
	codes := bom.CurrencySigns(text)
	if c, found := bom.FindCurrency(text); found {
		codes = []string{c.Code}
	}
	switch {
	case text == "" || slices.Contains(codes, home.Code):
		return home.Code, true
	case len(codes) == 0:
		return "", false
	}
	return codes[0], true
}

// madeTab is a tab of a price sheet that is made and not read.
type madeTab struct{ table bom.Table }

func newTab(name string, headings ...string) *madeTab {
	t := &madeTab{bom.Table{File: name, Signs: []string{""}}}
	t.row(bom.Each(headings, func(h *string) any { return *h })...)
	return t
}

// row adds a row: text as it is, and anything else as the number it prints as. A
// cell of no text, or nil, stays blank.
func (t *madeTab) row(values ...any) {
	r := bom.Row{Number: len(t.table.Rows) + 1}
	for i, v := range values {
		kind := bom.Native
		if _, text := v.(string); text {
			kind = bom.Text
		}
		if v == nil || v == "" {
			continue
		}
		r.Cells = append(r.Cells, bom.Cell{Col: i + 1, Kind: kind, Text: fmt.Sprint(v)})
	}
	t.table.Rows = append(t.table.Rows, r)
}

// CurrencyOf is the currency of all prices in the lists of a unit; empty where there
// are none, or of several.
func CurrencyOf(unit *bom.Assembly) string {
	found := ""
	for l := range unit.MadeLines() {
		if !isPiece(l) || len(l.Offered.Breaks) == 0 || l.Offered.Currency == "" {
			continue
		}
		code, ok := currencyOfList(l.Offered.Currency, bom.Currency{})
		if !ok || found != "" && code != found {
			return ""
		}
		found = code
	}
	return found
}

// BoardList gives the board that a list is of, where ReadBOM made a unit of it.
func BoardList(unit *bom.Assembly) (board *bom.Line, ok bool) {
	if len(unit.Lines) != 1 {
		return nil, false
	}
	l := unit.Lines[0]
	return l, l.Kind == bom.KindBoard && l.Sub != nil && l.Sub.File == unit.File && l.Sub.Sheet == unit.Sheet
}
