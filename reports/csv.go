package reports

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"io"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tenoff/bom"
	"tenoff/cost"
)

// WriteCSV writes the table as UTF-8 with commas and decimal dots: the heading
// row, then all rows, each with one line feed at its end. Numbers keep all their
// decimals. Text that a spreadsheet would take for a formula gets an
// apostrophe in front, and no control character is written.
func (t *Table) WriteCSV(w io.Writer) error {
	out := bufio.NewWriter(w)
	enc := csv.NewWriter(out)
	if err := enc.Write(t.headings()); err != nil {
		return err
	}
	record := make([]string, len(t.Columns))
	for _, r := range t.Rows {
		for i, v := range r.Values {
			record[i] = v.Exact(v.FormatIn(t.Columns[i]))
			if v.IsText() {
				record[i] = safeText(record[i])
			}
		}
		if err := enc.Write(record); err != nil {
			return err
		}
	}
	enc.Flush()
	if err := enc.Error(); err != nil {
		return err
	}
	return out.Flush()
}

// headings is the heading row.
func (t *Table) headings() []string {
	return bom.Each(t.Columns, func(c *Column) string { return c.label(string(c.Batch)) })
}

// safeText keeps a spreadsheet from taking text for a formula when it opens
// the file: with an apostrophe in front it stays text. Gaps before a sign are passed
// over by some, and full-width signs read as the narrow ones.
func safeText(s string) string {
	s = bom.Printable(s)
	if first, _ := utf8.DecodeRuneInString(strings.TrimLeftFunc(s, unicode.IsSpace)); strings.ContainsRune("=+-@＝＋－＠", first) {
		return "'" + s
	}
	return s
}

// IsOursCSV tells whether the bytes start with the heading row of one of the
// Tables, whatever the currency, the batch sizes and the products.
func IsOursCSV(data []byte) bool {
	found, ok := firstShape(data)
	if !ok {
		return false
	}
	for products := 1; products <= 2; products++ { // one, or several
		for _, fees := range [][]cost.Fee{nil, {{Kind: cost.OneOffFee}}} { // fees have more amounts where some are spread
			blank := &Report{Estimate: &cost.Estimate{Currency: bom.Currency{Code: "XXX"}, Products: make([]cost.Product, products),
				Batches: []cost.Batch{{Size: 1, Products: make([]cost.ProductRun, products), Fees: fees}}}}
			for _, t := range Tables(blank) {
				if slices.Equal(found, headingShape(t.headings())) {
					return true
				}
			}
		}
	}
	return false
}

// firstShape is the shape of the headings in the first line of a CSV file.
func firstShape(data []byte) (shape []string, ok bool) {
	record, err := firstRecord(data)
	return headingShape(record), err == nil
}

func firstRecord(data []byte) ([]string, error) {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	return csv.NewReader(bytes.NewReader(line)).Read()
}

var (
	batchHead    = regexp.MustCompile("^(?:" + batchWord + `\d+|(?i:` + bom.RunMark + `)\b(?:.*:|[^:]*$))`)
	productHead  = regexp.MustCompile("^" + forProduct + ".*")
	currencyCode = regexp.MustCompile(` [A-Z]{3}$`)
)

// ifAsked are headings that stand there only where something is asked.
var ifAsked = []string{"Price", "Charge per recipient"}

// headingShape is a heading row without batch sizes, names of plans and products, currency codes and amounts
// that stand there only where there are any, each heading once.
func headingShape(record []string) []string {
	var shape []string
	for _, s := range record {
		s = currencyCode.ReplaceAllString(batchHead.ReplaceAllString(productHead.ReplaceAllString(s, forProduct), batchWord), "")
		sometimes := slices.Contains(ifAsked, s) || slices.ContainsFunc(amountColumns, func(c amountColumn) bool {
			return c.sometimes() && strings.EqualFold(strings.TrimPrefix(s, batchWord+" "), c.heading)
		})
		if !sometimes && !slices.Contains(shape, s) {
			shape = append(shape, s)
		}
	}
	return shape
}
