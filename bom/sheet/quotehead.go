package sheet

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// quoteHead is what a heading of a quote says.
type quoteHead struct {
	name  string   // in words, without what follows; empty for a price break
	codes []string // currencies that the money under it may be in; nil: it names none
	per   int64    // order units that the price is for; 0: it does not say
	from  int64    // order units from which the price holds, or the number of a pair; 0: it is no price break
	pair  bool     // the column holds the quantity of a pair such as Break qty 1 and Price 1
	bare  bool     // it is a number and nothing else
	tax   bom.TaxSaid
	dated bool // it says of when the prices are
}

// headToken is a word, a whole number with or without groups, or a sign.
var headToken = regexp.MustCompile(`\p{L}[\p{L}'’]*\$?|[0-9]+(?:[.,' ][0-9]{3})*|\S`)

// headTokens takes a heading apart, in small letters and without the currencies
// that it names.
func headTokens(text string) (tokens, codes []string) {
	for _, token := range headToken.FindAllString(text, -1) {
		found := bom.CurrencySigns(token)
		if _, word := bom.FindCurrency(token); word && token != strings.ToUpper(token) {
			found = nil // top, all, try
		}
		if found != nil {
			codes = found
			continue
		}
		if !strings.Contains("()[]:.,_-", token) || token == "-" {
			tokens = append(tokens, strings.ToLower(token))
		}
	}
	return tokens, codes
}

// Words of headings of price breaks, joined, common practice, no source.
var (
	priceWords    = bom.WordSet("price unitprice netprice unitnetprice netunitprice cost unitcost each priceeach breakprice pricebreak itemprice")
	quantityWords = bom.WordSet("qty quantity break breakqty breakquantity qtybreak quantitybreak pricebreakqty pricebreakquantity")
	bothWords     = bom.WordSet("qtyprice priceqty quantityprice pricequantity pricebreakprice")
	fromWords     = bom.WordSet("from at off up more over and or ab dès od da vanaf från")
	perWords      = bom.WordSet("/ per je pro pour por za på")
)

// readQuoteHead reads a heading of a quote that is no documented one as it
// stands: "Unit price (EUR)", "Price per 100", "Price @ 10", "10+", "1 pc",
// "10-99", "Qty 10 price", "Break qty 1".
func readQuoteHead(text string) quoteHead {
	text, dated := withoutDate(text)
	tax, text := taxOfQuote(text)
	tokens, codes := headTokens(text)
	h := quoteHead{codes: codes, dated: dated, tax: tax}
	var words []string
	var numbers []int64
	marked, per := false, false
	for i, token := range tokens {
		n, isNumber := headNumber(token)
		switch {
		case isNumber && per && h.per == 0:
			h.per = n
		case token == "k" && h.per > 0 && i > 0 && isDigits(tokens[i-1]): // per 1k
			h.per *= 1000
		case isNumber && i > 0 && n > 2000 && n < 2100 && n%50 != 0: // a year
			h.dated = true
		case isNumber:
			numbers = append(numbers, n)
		case perWords[token]:
			per = true
		case strings.Contains("@+≥>=", token), fromWords[token]:
			marked = true
		case token == "-" || token == "–" || token == "to":
			marked = marked || len(numbers) == 1 && i+1 < len(tokens)
		case bom.IsPieces(token) && (len(numbers) > 0 || per):
			marked = marked || len(numbers) > 0
		case token == "in":
		default:
			words = append(words, token)
		}
	}
	name := strings.Join(words, "")
	switch {
	case len(numbers) == 0:
		h.name = strings.Join(words, " ")
		if h.name == "" && h.per > 0 {
			h.name = "price"
		}
	case per || len(numbers) > 2 || len(numbers) == 2 && (!marked || numbers[1] <= numbers[0]):
	case quantityWords[name]:
		h.from, h.pair = numbers[0], true
	case name == "" || priceWords[name] || isPriceHead(words) || bothWords[name]:
		h.from = numbers[0]
		h.bare = name == "" && !marked
	}
	return h
}

// isPriceHead tells whether words are a heading of prices in a language of the trade.
func isPriceHead(words []string) bool {
	field, _ := bom.QuoteField(strings.Join(words, " "))
	return field == "Unit price"
}

// taxOfQuote tells what a heading of a quote says of tax. A net price is there one after
// a discount.
func taxOfQuote(text string) (said bom.TaxSaid, rest string) {
	if said, rest = bom.TaxIn(text); said == bom.WithoutTax || said == bom.WithTax {
		return said, rest
	}
	return bom.TaxUnsaid, text
}

func isDigits(token string) bool { return strings.Trim(token, "0123456789") == "" }

// perHead is for how many pieces the prices of a list are, by their heading: 100 for Price/100.
// One of a unit price says from how many on it holds. 0: it does not say.
func perHead(text string) int64 {
	h := readQuoteHead(text)
	if h.per < 2 || bom.SpeaksOfOne(h.name) {
		return 0
	}
	if fields, _ := bom.HeadingFields(h.name); bom.CostHeading(h.name) != "Cost" && !slices.Contains(fields, "Price") {
		return 0
	}
	return h.per
}

// headNumber reads a whole number of at least 1 in a heading.
func headNumber(token string) (n int64, ok bool) {
	if token[0] < '0' || token[0] > '9' {
		return 0, false
	}
	n, _ = strconv.ParseInt(strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, token), 10, 64)
	return n, n > 0 && n <= mostFrom
}

// mostFrom bounds the quantity of a price break in a heading.
const mostFrom = 1_000_000_000

// quoteColumn gives the column of a quote that a heading names together with a
// currency or a number of order units.
func (f finder) quoteColumn(text string) (*bom.Column, bool) {
	h := readQuoteHead(text)
	if h.name == "" || h.codes == nil && h.per == 0 && h.tax == bom.TaxUnsaid && !h.dated {
		return nil, false
	}
	column, ok := f.columns[bom.NormalHeading(h.name)]
	if !ok && h.per > 0 {
		field, _ := bom.QuoteField(h.name)
		column, ok = f.tab.Column(field)
	}
	if !ok || column.Form != bom.FormMoney {
		return nil, false
	}
	return column, true
}

// quoteMeaning gives the column of a quote that the words of a heading mean.
func (f finder) quoteMeaning(text string) []claim {
	fields, loose := bom.QuoteField(text)
	rank := byWords
	if loose {
		rank = loosely
	}
	var out []claim
	for _, field := range strings.Split(fields, ", ") {
		if column, ok := f.tab.Column(field); ok {
			out = append(out, claim{column: column, rank: rank})
		}
	}
	return out
}

// ofTheirOwn tells whether nearly every row has a number of its own in a column, which
// does not count the rows: those of an order or an invoice are the same in many.
func ofTheirOwn(cells []bom.Cell, rows int) bool {
	met := map[string]bool{}
	for _, c := range cells {
		if strings.ContainsAny(c.Text, "0123456789") {
			met[c.Text] = true
		}
	}
	return 10*len(met) >= 9*min(len(cells), contentRows) && 2*len(cells) >= min(rows, contentRows) && !runningNumbers(cells)
}

// currencies takes a column for that of the currency which is headed as what a price
// is for: Price unit EUR.
func (f finder) currencies(taken map[int]*bom.Column, under contents) {
	if columnOf(taken, "Currency") != 0 {
		return
	}
	per := columnOf(taken, "Price per")
	if cells := under[per]; len(cells) > 0 && countOf(cells, isCurrency) == len(cells) {
		taken[per], _ = f.tab.Column("Currency")
	}
}

func isCurrency(text string) bool {
	_, ok := bom.FindCurrency(text)
	return ok
}

// quoteHeadings counts the headings in a row of a quote. It is none where nothing
// says which parts the rows are about. What may mean something else says so beside
// a heading of prices: Name, Price.
func (f finder) quoteHeadings(row bom.Row) (all, sure int) {
	names, loose, priced := 0, 0, false
	for _, c := range row.Cells {
		column, known := f.column(c)
		if m := f.meanings(c); !known && len(m) > 0 {
			if m[0].rank == loosely {
				loose++
				continue
			}
			column, known = m[0].column, true
		}
		s, isBreak := f.step(c)
		switch {
		case known && slices.Contains(bom.QuoteNames, column.Heading):
			names++
			all++
		case known && !slices.Contains(bom.QuoteAsides, column.Heading), isBreak && !s.bare:
			all++
			priced = priced || known && column.Form == bom.FormMoney
		}
	}
	if names == 0 && priced {
		return all + loose, loose
	}
	return all, names
}
