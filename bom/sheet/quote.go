package sheet

import (
	"fmt"
	"maps"
	"path"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// QuoteOptions are the user's say in how a supplier's quote is read.
type QuoteOptions struct {
	Options
	Supplier string       // who is asked for, where several stand side by side
	AsOf     bom.Date     // of the prices, where no column gives the date; zero: as the rows above the table say
	Currency bom.Currency // whose minor unit line totals are rounded to where the quote names none; zero: two decimals
}

// ReadQuote reads a supplier's quote, basket, price list or order confirmation.
// The path has forward slashes; "quote.xlsx#Sheet" names a sheet, else the only
// one with the headings of a quote is taken. Rows that are no parts (titles,
// totals, charges, remarks) are passed over and told of.
//
// A price that is asked for a quantity holds from that quantity on, unless price
// breaks stand beside it.
func ReadQuote(name string, open Opener, opt QuoteOptions) ([]bom.QuotedPart, bom.Problems) {
	file, sheetName := bom.SplitSheet(path.Clean(bom.Slashed(name)))
	tables, problems := open(file)
	opt.checkHeadings(&problems)
	if problems.Failed() {
		return nil, problems
	}
	t := chooseQuote(tables, file, sheetName, opt.Options, &problems)
	if t == nil {
		return nil, problems
	}
	var parts []bom.QuotedPart
	for _, t := range newFinder(&bom.QuoteTab, opt.Headings).apart(t, opt.Supplier, &problems) {
		reg := locate(t, &bom.QuoteTab, opt.Headings, &problems)
		if reg == nil {
			return nil, problems
		}
		m := markings([]*region{reg}, opt.Mark)[t.File]
		q := &quoteReader{decoder: newDecoder(reg, m, &problems), opt: opt, heads: map[string]quoteHead{}, taxed: map[bom.TaxSaid]string{}}
		q.read()
		parts = append(parts, q.parts...)
	}
	return parts, problems
}

// chooseQuote picks the sheet that is named, else the only one with the headings
// of a quote; nil after a complaint.
func chooseQuote(tables []bom.Table, file, sheetName string, opt Options, problems *bom.Problems) *bom.Table {
	at := bom.Place{File: file}
	if sheetName != "" {
		return sheetNamed(tables, sheetName, at, problems)
	}
	quotes := tablesWhere(tables, newFinder(&bom.QuoteTab, opt.Headings).isHeaded)
	switch {
	case len(quotes) == 1:
		return quotes[0]
	case len(quotes) > 1:
		problems.Errorf(at, quoteList(sheetNames(quotes)), "one of them by name: "+file+"#"+quotes[0].Sheet, "several sheets hold a quote")
	case len(tables) > 0:
		return &tables[0]
	}
	return nil
}

// quoteReader reads the rows of a quote.
type quoteReader struct {
	*decoder
	opt   QuoteOptions
	parts []bom.QuotedPart
	asOf  bom.Date // of rows that give no date
	codes []string // currencies that the rows above the table name
	last  bool     // the row before this one was read as a part, which it may go on about
	per   bom.Cell // what the prices of the part are for

	heads map[string]quoteHead   // what the headings of prices say, by column
	taxed map[bom.TaxSaid]string // what rows of tax are called, by what they say
	taxOn bool                   // a row tells of its tax
}

// leave tells of a row that is no part.
func (q *quoteReader) leave(what, text string) {
	q.problems.Add(leftOut(q.place(bom.Cell{}), what, text))
}

// rawQuoted is a row of a quote as it stands there.
type rawQuoted struct {
	Part        bom.Cell `csv:"Part number"`
	MPN         bom.Cell `csv:"Manufacturer part number"`
	Code        bom.Cell `csv:"Order code"`
	OurPart     bom.Cell `csv:"Our part"`
	Description bom.Cell `csv:"Description"`
	Value       bom.Cell `csv:"Value"`
	Package     bom.Cell `csv:"Package"`
	Quantity    bom.Cell `csv:"Quantity"`
	From        bom.Cell `csv:"From"`
	Price       bom.Cell `csv:"Unit price"`
	Per         bom.Cell `csv:"Price per"`
	Discount    bom.Cell `csv:"Discount %"`
	Tax         bom.Cell `csv:"Tax %"`
	Total       bom.Cell `csv:"Line total"`
	Currency    bom.Cell `csv:"Currency"`
	Stock       bom.Cell `csv:"Stock"`
	MOQ         bom.Cell `csv:"MOQ"`
	Multiple    bom.Cell `csv:"Multiple"`
	Pieces      bom.Cell `csv:"Pieces"`
	Unit        bom.Cell `csv:"Unit"`
	Supplier    bom.Cell `csv:"Supplier"`
	Date        bom.Cell `csv:"Date"`
}

func (q *quoteReader) read() {
	q.pairUp()
	head := q.reg.head
	if head.Col["Unit price"] == 0 && head.Col["Line total"] == 0 && !q.pricedSteps() {
		q.problems.Errorf(q.reg.table.At(head.Row, 0), "", "a column headed Unit price, or price breaks such as @10, or --heading 'Their name=Unit price'",
			"no column holds prices")
		return
	}
	q.titleDate()
	q.titleCodes()
	readRecords(q.decoder, q.line)
	q.unsigned()
	q.tax()
	if len(q.parts) == 0 && !q.problems.Failed() {
		q.problems.Errorf(q.reg.table.At(head.Row, 0), "", "a row for each part", "the quote holds no parts")
	}
}

// unsigned gives prices that name no currency the one of all others of their supplier, and
// tells so; where those name several, it tells that nothing says which.
func (q *quoteReader) unsigned() {
	said := map[string][][]string{} // supplier -> what its prices name
	for i := range q.parts {
		p := &q.parts[i]
		if had := said[bom.Fold(p.Supplier)]; p.Codes != nil && !slices.ContainsFunc(had, func(codes []string) bool { return slices.Equal(codes, p.Codes) }) {
			said[bom.Fold(p.Supplier)] = append(had, p.Codes)
		}
	}
	for i := range q.parts {
		p := &q.parts[i]
		others := said[bom.Fold(p.Supplier)]
		if len(others) == 0 || p.Codes != nil || len(p.Breaks) == 0 {
			continue
		}
		what := "the price names no currency, and the others are in several"
		if len(others) == 1 {
			p.Codes, what = others[0], "the price names no currency; that of the others is taken, "+others[0][0]
		}
		b := p.Breaks[0]
		q.problems.Add(bom.Problem{Place: b.At(b.Heading), Severity: bom.Warning, What: what, Want: "a sign or code with each price, or a column headed Currency",
			Found: p.Names(), Each: bom.Shown(p.Names())})
	}
}

// tax notes with each part what the quote says of tax.
func (q *quoteReader) tax() {
	head := q.reg.head.Text["Unit price"]
	said, _ := taxOfQuote(head)
	for _, by := range []bom.TaxSaid{bom.WithTax, bom.WithoutTax} { // what is said to come on top comes on top
		if label := q.taxed[by]; said == bom.TaxUnsaid && label != "" && (by == bom.WithoutTax || q.taxed[bom.WithoutTax] == "") {
			said, head = by, label
		}
	}
	if said == bom.TaxUnsaid && q.taxOn {
		said, head = bom.WithoutTax, q.reg.head.Text["Tax %"]
	}
	for i := range q.parts {
		if said != bom.TaxUnsaid {
			q.parts[i].Tax, q.parts[i].TaxText = said, head
		}
	}
}

// taxIn is the tax that a row tells of, as it stands there; 0 for a word, such as exempt.
func (q *quoteReader) taxIn(raw *rawQuoted) decimal.Decimal {
	f, err := q.parse(raw.Tax)
	if err != nil {
		return decimal.Zero
	}
	return f.Value
}

// pricedSteps tells whether any column holds the prices of a break.
func (q *quoteReader) pricedSteps() bool {
	return slices.ContainsFunc(slices.Collect(maps.Values(q.reg.steps)), func(s step) bool { return !s.pair })
}

// pairUp matches the columns of quantities, Break qty 1, with those of prices,
// Price 1. Where none has a partner the numbers are quantities themselves, and
// the columns hold prices; but of Quantity 1, Quantity 2, with whole numbers alone, the
// numbers count the columns, and those are of quantities.
func (q *quoteReader) pairUp() {
	head, alone := q.reg.head, []int(nil)
	paired := false
	for _, col := range slices.Sorted(maps.Keys(q.reg.steps)) {
		s := q.reg.steps[col]
		switch {
		case !s.pair:
		case head.Col[stepHeading(s.from, false)] != 0:
			paired = true
		default:
			alone = append(alone, col)
		}
	}
	numbered := !paired && q.numbered(alone)
	for _, col := range alone {
		s := q.reg.steps[col]
		if numbered {
			name := head.Text[s.heading]
			q.problems.Warnf(q.reg.table.At(head.Row, col), name, "--heading '"+name+"=@"+strconv.FormatInt(s.from, 10)+"' if it holds prices",
				"the whole numbers of this column are read as quantities without prices, and ignored")
			delete(head.Col, s.heading)
			delete(q.reg.steps, col)
			continue
		}
		if paired {
			q.problems.Errorf(q.reg.table.At(head.Row, col), head.Text[s.heading], "a column headed Price "+strconv.FormatInt(s.from, 10),
				"no price goes with this quantity")
			continue
		}
		plain := step{heading: stepHeading(s.from, false), from: s.from}
		head.Col[plain.heading], head.Text[plain.heading] = col, head.Text[s.heading]
		delete(head.Col, s.heading)
		q.reg.steps[col] = plain
	}
}

// numbered tells whether columns are headed 1, 2, 3 from left to right and hold whole
// numbers alone.
func (q *quoteReader) numbered(columns []int) bool {
	for i, col := range columns {
		if q.reg.steps[col].from != int64(i)+1 {
			return false
		}
		for _, row := range q.reg.rows {
			if c := find(row, col); !c.Blank() && (strings.Trim(c.Text, "0123456789") != "" || q.reg.table.Sign(c) != "") {
				return false
			}
		}
	}
	return len(columns) > 0
}

// line reads one row.
func (q *quoteReader) line(raw *rawQuoted) {
	row := q.reg.rows[q.row]
	goesOn := q.last
	q.last = false
	if len(row.Cells) == 1 && row.Cells[0].Kind == bom.Text && (!q.reg.figures[row.Cells[0].Col] || !strings.ContainsAny(row.Cells[0].Text, "0123456789")) {
		q.leave("a title or remark is not a part", row.Cells[0].Text)
		return
	}
	if label, ok := chargeLabel(raw, row); ok {
		switch {
		case q.discountsAll(label, row):
			q.problems.Add(bom.Problem{Place: q.place(bom.Cell{}), Severity: bom.Warning, Found: label,
				What: "a discount on the whole is not taken off the prices", Want: "prices after it, or a column Discount %"})
			return
		case q.charges(row) && q.taxed[taxRow(label)] == "":
			q.taxed[taxRow(label)] = label
		}
		q.leave("a total or charge is not a part", label)
		return
	}
	named := !raw.Part.Blank() || !raw.MPN.Blank() || !raw.Code.Blank() || !raw.OurPart.Blank() || !raw.Description.Blank() || !raw.Value.Blank()
	switch {
	case named:
	case !q.figured(row):
		return // what is filled down in one column
	case goesOn && !(raw.Price.Blank() && len(q.stepCells(row)) == 0):
		q.goOn(raw)
		return
	case raw.Price.Blank() && raw.Quantity.Blank() && !raw.Total.Blank():
		q.leave("a total or charge is not a part", raw.Total.Text)
		return
	default:
		q.problems.Errorf(q.place(bom.Cell{}), rowText(row), "a part number, an order code or a description", "the row names no part")
		return
	}
	before := len(*q.problems)
	part := q.part(raw)
	if q.failedSince(before) {
		return
	}
	q.taxOn = q.taxOn || q.taxIn(raw).IsPositive()
	if part.Unpriced != "" && raw.Quantity.Text == "0" {
		q.leave("the quantity is 0", part.Names())
		return
	}
	q.parts = append(q.parts, part)
	q.last = true
}

// figured tells whether a row holds a figure.
func (q *quoteReader) figured(row bom.Row) bool {
	return slices.ContainsFunc(row.Cells, func(c bom.Cell) bool { return q.reg.figures[c.Col] })
}

// charges tells whether a row holds a figure over 0.
func (q *quoteReader) charges(row bom.Row) bool {
	return slices.ContainsFunc(row.Cells, func(c bom.Cell) bool { return q.reg.figures[c.Col] && figureIn(row, c.Col).IsPositive() })
}

// discountsAll tells whether a row takes a discount off all prices: one of which no column
// speaks.
func (q *quoteReader) discountsAll(label string, row bom.Row) bool {
	return q.reg.head.Col["Discount %"] == 0 && slices.ContainsFunc(plainWords(label), func(w string) bool { return discountWords[w] }) &&
		slices.ContainsFunc(row.Cells, func(c bom.Cell) bool { return q.reg.figures[c.Col] && !figureIn(row, c.Col).IsZero() })
}

// part reads a row that names a part.
func (q *quoteReader) part(raw *rawQuoted) bom.QuotedPart {
	p := bom.QuotedPart{
		Origin:      q.reg.origin(q.row),
		Description: q.text(raw.Description), Value: q.key(raw.Value), Package: q.key(raw.Package),
		Supplier: q.key(raw.Supplier),
		AsOf:     q.quoteDate(raw.Date),
	}
	splitMultiple(raw)
	p.Quantity, p.MOQ, p.Multiple = q.count(raw.Quantity), q.count(raw.MOQ), q.count(raw.Multiple)
	q.names(&p, raw)
	q.unit(&p, raw)
	if !raw.Pieces.Blank() {
		p.Pieces, _ = q.quantity(q.ofUnits(raw.Pieces), bom.One, false)
	}
	if p.AsOf.IsZero() {
		p.AsOf = q.asOf
	}
	q.stock(&p, raw.Stock)
	q.prices(&p, raw)
	q.per = raw.Per
	return p
}

// names reads what the part is called. A plain part number beside that of the
// maker is the supplier's, or ours where the supplier's has a column too.
func (q *quoteReader) names(p *bom.QuotedPart, raw *rawQuoted) {
	for _, c := range []*bom.Cell{&raw.Part, &raw.MPN, &raw.Code, &raw.OurPart} {
		if c.Kind == bom.Text && noContent(c.Text) { // a dash names nothing
			c.Text = ""
		}
	}
	plain, mpn := q.key(raw.Part), q.key(raw.MPN)
	p.Code, p.OurPart = q.key(raw.Code), q.key(raw.OurPart)
	head := q.reg.head
	if head.Col["Manufacturer part number"] == 0 {
		p.Part = plain
		return
	}
	p.Part = mpn
	switch {
	case head.Col["Order code"] == 0:
		p.Code = plain
	case p.OurPart == "":
		p.OurPart = plain
	}
}

// bare takes words for pieces off a figure: "10 pcs".
func (q *quoteReader) bare(c bom.Cell) bom.Cell {
	if i := strings.LastIndexAny(c.Text, "0123456789"); c.Kind == bom.Text && i >= 0 {
		if word := bom.NormalHeading(c.Text[i+1:]); bom.IsPieces(word) {
			c.Text = strings.TrimSpace(c.Text[:i+1])
		}
	}
	return c
}

// count reads a number of order units; 0 where it is not said.
func (q *quoteReader) count(c bom.Cell) int64 {
	if c.Kind == bom.Text && noContent(c.Text) { // a dash
		return 0
	}
	return q.whole(q.bare(c), 0, 0)
}

// minMultiple is a minimum and a multiple in one cell: 10\5, MOQ 10, mult. of 5; or a
// minimum that says what it is: MOQ 10.
var minMultiple = regexp.MustCompile(`(?i)^(?:moq|min\pL*)?[.: ]*(\d+)(?: *[\\/|] *|[,; ]+(?:and )?mult\pL*[.: ]*(?:of )?)(\d+)$|^(?:moq|min\pL*)[.: ]*(\d+)$`)

// splitMultiple parts a minimum and a multiple that stand in one cell.
func splitMultiple(raw *rawQuoted) {
	switch m := minMultiple.FindStringSubmatch(raw.MOQ.Text); {
	case m == nil:
	case m[3] != "":
		raw.MOQ.Text = m[3]
	case raw.Multiple.Blank():
		raw.Multiple = raw.MOQ
		raw.MOQ.Text, raw.Multiple.Text = m[1], m[2]
	}
}

// Words about the stock, in the normal form of headings; common practice, no
// source.
var (
	noneThere   = bom.WordSet("no none nil outofstock soldout notavailable unavailable notinstock discontinued obsolete")
	enoughThere = bom.WordSet("yes instock available onstock ok plenty exstock")
	stockWords  = bom.WordSet("instock available onstock pcsinstock pcsavailable instockpcs")
)

// stock reads how many there are: a figure, or words.
func (q *quoteReader) stock(p *bom.QuotedPart, c bom.Cell) {
	if c.Blank() || !q.sound(c) {
		return
	}
	word := bom.NormalHeading(c.Text)
	switch {
	case noneThere[word]:
		p.StockSaid = true
		return
	case enoughThere[word]:
		p.StockSaid, p.Stock = true, -1
		return
	}
	f := q.bare(c)
	if c.Kind == bom.Text && len(c.Text) <= headingLength {
		f.Text = strings.Trim(f.Text, " +>≥~")
		for i, r := range f.Text {
			if stockWords[bom.NormalHeading(f.Text[i:])] && r != ' ' {
				f.Text = strings.TrimSpace(f.Text[:i])
				break
			}
		}
	}
	figure, err := q.parse(f)
	if err != nil || figure.Sign != "" || figure.Percent || !figure.Value.IsInteger() || figure.Value.IsNegative() || figure.Value.GreaterThan(largest) {
		q.warn(c, "the stock is not a number and is ignored", "a number, or words such as in stock, out of stock", bom.Shown(c.Text))
		return
	}
	p.StockSaid, p.Stock = true, min(figure.Value.IntPart(), mostFrom)
}

// oneCurrency joins what is said of the currency of a row: each list of codes
// that it may be narrows the others.
func (q *quoteReader) oneCurrency(p *bom.QuotedPart, c bom.Cell, lists ...[]string) {
	for _, codes := range lists {
		switch {
		case codes == nil:
		case p.Codes == nil:
			p.Codes = codes
		default:
			both := slices.DeleteFunc(slices.Clone(p.Codes), func(code string) bool { return !slices.Contains(codes, code) })
			if len(both) == 0 {
				q.problems.Add(bom.Problem{Place: q.place(c), Severity: bom.Error, What: fmt.Sprintf("a price in %s stands on a row in %s", codes[0], p.Codes[0]),
					Found: c.Text, Want: "one currency on a row, as its sign, its heading or the column Currency says", Each: bom.Shown(c.Text)})
				return
			}
			p.Codes = both
		}
	}
}

// shownIn is the currency of the number format of a cell.
func (q *quoteReader) shownIn(c bom.Cell) []string {
	return bom.CurrencySigns(q.reg.table.Sign(c))
}
