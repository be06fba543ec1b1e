package sheet

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"tenoff/bom"
)

// Words of rows that are no goods: charges, taxes and sums. The others may stand
// with them. Common practice, no source.
var (
	chargeWords = bom.WordSet("shipping delivery freight postage carriage courier handling packing packaging insurance surcharge fee fees vat tax taxes gst " +
		"discount rebate rounding deposit customs duty duties total totals subtotal sum balance " +
		"versand fracht porto mwst rabatt summe gesamt zwischensumme gesamtsumme frais livraison tva remise total totale spedizione iva somme totaal verzending btw")
	besideWords = bom.WordSet("and cost costs charge charges of for the by express standard economy air small order minimum sales purchase value added net gross goods " +
		"excl excluding incl including without with before after estimated est approx amount due payable grand invoice day days service option flat rate merchandise items item lines " +
		"sub price on at in to quote basket p post which eur usd gbp chf")
	sumsWords     = bom.WordSet("net gross") // alone
	discountWords = bom.WordSet("discount rebate rabatt remise")
)

var (
	rateIn    = regexp.MustCompile(`\d[\d.,]*\s*%`)
	plainWord = regexp.MustCompile(`\pL+(?:-?\d[\pL\d]*)*`)
)

// plainWords are the words of a text, in small letters, without rates. One that digits are
// joined to stays whole with them: BTW-69 is a part, and BTW 21 % a tax.
func plainWords(text string) []string {
	return plainWord.FindAllString(strings.ToLower(rateIn.ReplaceAllString(text, " ")), -1)
}

// chargeLabel tells whether a row is a charge or a sum, and what it is called:
// its description, or what stands in place of a part or before all else where it
// has none, is made of such words alone. Where nothing names a part, it need only begin with one.
func chargeLabel(raw *rawQuoted, row bom.Row) (label string, ok bool) {
	for _, c := range []bom.Cell{raw.Description, raw.Part, raw.MPN, raw.Code, raw.OurPart, row.Cells[0]} {
		if c.Blank() {
			continue
		}
		label = cmp.Or(label, c.Text)
		if len(c.Text) > headingLength {
			return "", false
		}
	}
	words := plainWords(label)
	unnamed := raw.Part.Blank() && raw.MPN.Blank() && raw.Code.Blank() && raw.OurPart.Blank()
	if unnamed && len(words) > 0 && chargeWords[words[0]] || len(words) == 1 && sumsWords[words[0]] {
		return label, true
	}
	return label, allCharges(words, chargeWords, besideWords)
}

// allCharges tells whether words name a charge, and nothing but it and what may stand with one.
func allCharges(words []string, charges map[string]bool, beside ...map[string]bool) bool {
	found := false
	for _, w := range words {
		switch {
		case charges[w]:
			found = true
		case !slices.ContainsFunc(beside, func(set map[string]bool) bool { return set[w] }) && bom.CurrencySigns(strings.ToUpper(w)) == nil:
			return false
		}
	}
	return found
}

// taxRow tells what a row of tax says of the prices over it: that it comes on top of them, or
// that they hold it already. A sum with tax says neither.
func taxRow(label string) bom.TaxSaid {
	said, rest := bom.TaxIn(label)
	has := func(text string, set map[string]bool) bool {
		return slices.ContainsFunc(plainWords(text), func(w string) bool { return set[w] })
	}
	switch {
	case said == bom.WithTax && !has(label, sumWords), said == bom.TaxUnsaid && has(rest, taxWords) && has(rest, insideWords):
		return bom.WithTax
	case said == bom.TaxUnsaid && has(rest, taxWords):
		return bom.WithoutTax
	}
	return bom.TaxUnsaid
}

// Words for tax, and those by which it is part of what is asked; common practice, no source.
var (
	taxWords    = bom.WordSet("vat tax taxes gst hst mwst tva iva btw moms dph")
	sumWords    = bom.WordSet("total totals subtotal sum summe gesamt gesamtsumme zwischensumme totale somme totaal")
	insideWords = bom.WordSet("which incl included including inclusive darin enthalten enthaltene dont")
)
