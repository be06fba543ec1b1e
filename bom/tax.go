package bom

import (
	"regexp"
	"slices"
	"strings"
)

// TaxSaid is what words about prices say of sales tax.
type TaxSaid int

// A net price is without tax, or one after a discount: by itself the word tells only which
// of two columns is which. A gross price is likewise.
const (
	TaxUnsaid TaxSaid = iota
	WithoutTax
	WithTax
	NetPrice
	GrossPrice
)

// taxWords are words for sales tax; these and what goes before or behind them are common
// practice, no source.
var taxWords = words("vat gst hst tax mwst mehrwertsteuer ust tva iva btw moms dph")

const (
	beforeNot = `(?:excl|excluding|exclusive of|exc|ex|without|w/o|before|plus|\+|net of|hors|ohne|exkl|zzgl|sin|senza|sem|bez|zonder|uten|uden)\.?`
	beforeSo  = `(?:incl|including|inclusive of|inc|with|after|inkl|mit|con|avec|com|met|med)\.?`
	behindNot = `(?:excl|exclu(?:ded|se|s)?|esclus[ao]|exc|not incl|not included|extra|exempt)\b\.?`
	behindSo  = `(?:incl|included|inc|inclus(?:e|a|o)?|comprise?)\b\.?`
)

// taxNames are the words, with sales tax and more than one of them.
var taxNames = `(?:(?:sales )?taxes|sales tax|` + strings.Join(taxWords, "|") + `)\b\.?`

var taxPhrases = []struct {
	said   TaxSaid
	phrase *regexp.Regexp
}{
	{WithoutTax, regexp.MustCompile(`(?i)(?:^|[^\pL])(` + beforeNot + `\s*` + taxNames + `|` + taxNames + `\s*` + behindNot + `)`)},
	{WithTax, regexp.MustCompile(`(?i)(?:^|[^\pL])(` + beforeSo + `\s*` + taxNames + `|` + taxNames + `\s*` + behindSo + `)`)},
	{WithoutTax, regexp.MustCompile(`(?:^|[^\pL])(HT|H\.T\.)(?:$|[^\pL])|(税抜|税别|不含税|未税|без НДС)`)},
	{WithTax, regexp.MustCompile(`(?:^|[^\pL])(TTC|T\.T\.C\.)(?:$|[^\pL])|(税込|含税|с НДС)`)},
	{WithoutTax, regexp.MustCompile(`(?i)(?:^|[^\pL])(s/\s*iva|ex[ck]l\.?)\)?$`)},
	{WithTax, regexp.MustCompile(`(?i)(?:^|[^\pL])(c/\s*iva|s dph|ivat[ao]|in[ck]l\.?)\)?$`)},
	{NetPrice, regexp.MustCompile(`(?i)(?:^|[^\pL])(nett?o?)(?:$|[^\pL]|(?:einzel)?(?:preis|prijs|pris))`)},
	{GrossPrice, regexp.MustCompile(`(?i)(?:^|[^\pL])(gross|brutt?o?|lordo)(?:$|[^\pL]|(?:einzel)?(?:preis|prijs|pris))`)},
}

// taxSigns are what each of the phrases holds one of, in small letters.
var taxSigns = append(words("ht h.t. ttc t.t.c. 税 ндс net gross brut lordo excl exkl incl inkl"), taxWords...)

// TaxIn tells what a text about prices says of sales tax, and gives it without that:
// "Unit price excl. VAT (EUR)" is without tax, and "Unit price (EUR)".
func TaxIn(text string) (said TaxSaid, rest string) {
	lower := strings.ToLower(text)
	if !slices.ContainsFunc(taxSigns, func(sign string) bool { return strings.Contains(lower, sign) }) {
		return TaxUnsaid, text // most say nothing, and every cell of a table may be a heading
	}
	for _, p := range taxPhrases {
		at := p.phrase.FindStringSubmatchIndex(text)
		if at == nil {
			continue
		}
		from, to := at[2], at[3]
		if from < 0 {
			from, to = at[4], at[5]
		}
		rest := strings.NewReplacer("()", "", "[]", "").Replace(text[:from] + text[to:])
		return p.said, strings.TrimRight(strings.TrimSpace(rest), ",;: ")
	}
	return TaxUnsaid, text
}
