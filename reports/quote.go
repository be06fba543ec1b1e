package reports

import (
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// Quote is what to charge for one unit at each batch size, without any of the
// costs behind it. Where the recipients are a payer it is what each of them is
// asked for, beside what a unit is worth.
func Quote(e *cost.Estimate) Table {
	if recipients(e) != "" {
		return asking(e)
	}
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Quote",
		Title: "what one unit costs you",
		Lead:  1,
		Columns: []Column{
			{Key: "batch", Heading: "Units ordered", Format: AsCount},
			{Key: "price", Heading: "Price of one unit", Unit: code, Format: money},
			{Key: "total", Heading: "Price of all", Unit: code, Format: money},
			{Key: "postage", Heading: "Postage of one unit, in the price", Unit: code, Format: money},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		t.quoteRow(b, b.Total.Unpriced)
	}
	return t
}

// asking is the quote to recipients who are asked for their share.
func asking(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Quote",
		Title: "what each recipient is asked for",
		Lead:  1,
		Columns: []Column{
			{Key: "batch", Heading: "Units made", Format: AsCount},
			{Key: "price", Heading: "Asked for one unit", Unit: code, Format: money},
			{Key: "total", Heading: "Asked for all", Unit: code, Format: money},
			{Key: "postage", Heading: "Postage of one unit, in it", Unit: code, Format: money},
			{Key: "value", Heading: "Value of one unit", Unit: code, Format: money},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		t.quoteRow(b, b.Ask.Unpriced)
		last := &t.Rows[len(t.Rows)-1]
		last.Values = append(last.Values, known(b.Quote.Value, b.Total.Unpriced))
	}
	return t
}

// quoteRow adds the price of one unit and of all, and the postage in it; nothing where
// none is paid.
func (t *Table) quoteRow(b *cost.Batch, unpriced bool) {
	postage := Nothing()
	if slices.ContainsFunc(b.Fees, func(f cost.Fee) bool { return f.Category == cost.Postage }) {
		postage = known(b.Quote.Postage, b.Categories[cost.Postage].Unpriced)
	}
	t.addAs(RowKey(KeyQuote, b.Size, 0), Count(b.Size), known(b.Quote.Price, unpriced), known(b.Quote.All, unpriced), postage)
}

// Remark is a line of text with what it is about.
type Remark struct{ About, Text string }

// included tells what a unit is at each level.
var included = map[bom.Level]string{
	bom.LevelBoard: "populated circuit boards alone; no case, no fasteners, nothing put together",
	bom.LevelKit:   "a kit: all parts bagged, nothing fitted by hand; you solder and put it together",
	bom.LevelBuilt: "a finished unit, put together and packed",
}

// QuoteRemarks is what a quote says besides its prices: what is in a unit, who
// pays for postage, how long the prices hold, and the cautions. on is the day of
// the quote; zero where it is not known.
func QuoteRemarks(e *cost.Estimate, on bom.Date) []Remark {
	out := []Remark{{"included", included[e.Level]}}
	if list := contents(e); list != "" {
		out = append(out, Remark{"in one unit", list})
	}
	out = append(out, Remark{"postage", postageText(e)})
	if !e.Complete {
		out = append(out, Remark{"not final", "some parts have no price yet, so there is no price where ? stands"})
	}
	out = append(out, Remark{"holds", holds(e, on)})
	for _, c := range e.Cautions {
		out = append(out, Remark{"caution", CautionText(c)})
	}
	return out
}

// contents lists what a person finds in a unit: its boards and all that does not
// sit on one.
func contents(e *cost.Estimate) string {
	var items []string
	for _, entry := range e.Entries {
		if entry.Line.Kind != bom.KindBoard && entry.Board >= 0 {
			continue
		}
		name := describe(entry.Line)
		if name == "" {
			name = entry.Line.Part
		}
		items = append(items, entry.PerUnit.String()+" × "+name)
	}
	return strings.Join(items, "; ")
}

// postageText tells who pays the postage and how a unit is sent.
func postageText(e *cost.Estimate) string {
	payers := slices.DeleteFunc(payers(e), func(name string) bool { return !bears(e, name, cost.Postage) })
	if len(payers) == 0 {
		return "not in the price"
	}
	b := &e.Batches[len(e.Batches)-1]
	text := parcels(b) + services(b)
	switch who := recipients(e); {
	case who != "" && !slices.Contains(payers, who):
		return text + "; paid by " + strings.Join(payers, " and ") + ", you are not asked for it"
	case who != "":
		return text + "; in what is asked"
	case len(payers) == 1 && payers[0] == cost.Maker:
		return text + "; in the price"
	}
	return text + "; in the price, paid by " + strings.Join(payers, " and ")
}

// parcels tells how many units are sent together.
func parcels(b *cost.Batch) string {
	most := 1
	for _, p := range b.Posts {
		if p.Parcels > 0 {
			most = max(most, p.Units/p.Parcels)
		}
	}
	if most == 1 {
		return "one parcel for each unit"
	}
	return "in parcels of up to " + strconv.Itoa(most) + " units"
}

// services names the services of a batch, with the zone that each goes to.
func services(b *cost.Batch) string {
	var names []string
	for _, p := range b.Posts {
		if p.Service == "" || p.Parcels == 0 {
			continue
		}
		name := strings.TrimSpace(p.Service + " " + p.To)
		if p.Zone != "" {
			name = p.Service + " to " + p.Zone
		}
		if !slices.Contains(names, name) { // as the last parcel of a zone may go
			names = append(names, name)
		}
	}
	return strings.Join(append([]string{""}, names...), ", ")
}

// holds tells until when the prices hold: until the first of the prices that the
// estimate rests on reaches the age limit of the settings.
func holds(e *cost.Estimate, on bom.Date) string {
	var oldest bom.Date
	for _, s := range e.Sources {
		if !s.AsOf.IsZero() && (oldest.IsZero() || s.AsOf.Before(oldest)) {
			oldest = s.AsOf
		}
	}
	if oldest.IsZero() || e.Terms == nil || e.Terms.Settings.PriceAgeDays <= 0 {
		return "until prices change; ask before you order"
	}
	days := e.Terms.Settings.PriceAgeDays
	if !on.IsZero() && oldest.DaysUntil(on) > days {
		return "some prices behind it are more than " + strconv.Itoa(days) + " days old; ask before you order"
	}
	return "until " + oldest.Plus(days).String() + "; duty, tax and postage as they are now"
}
