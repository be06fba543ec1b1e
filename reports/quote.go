package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// QuoteTerms are what a quote says besides what its estimate does.
type QuoteTerms struct {
	On     bom.Date // day of issue
	To     string   // empty: a line to fill in
	Number string   // the same
}

// QuotePaper is a quote to hand over: prices and what they are for, and nothing of the
// costs behind them.
type QuotePaper struct {
	Heads   []Remark // who offers to whom, and when
	Offer   []Remark // what is offered
	Prices  Table
	Remarks []Remark // what is included, how to pay, what to mind
}

// Remark is a line of text with what it is about. Without a text it is a line to fill in.
type Remark struct{ About, Text string }

// Quote is the quote of an estimate.
func Quote(e *cost.Estimate, terms QuoteTerms) QuotePaper {
	var set bom.Settings
	if e.Terms != nil {
		set = e.Terms.Settings
	}
	until, _ := QuoteUntil(e, terms.On)
	q := QuotePaper{
		Heads: []Remark{{"From", set.QuoteFrom}, {"To", terms.To}, {"Number", terms.Number},
			{"Date of issue", ShownDate(terms.On)}, {"Valid until", ShownDate(until)}},
		Prices: quotePrices(e, set),
	}
	for _, p := range quoted(e) {
		q.Offer = append(q.Offer, Remark{"Offered", productName(e, p) + ": " + offered(e, p)})
		if list := contents(e, p); list != "" {
			q.Offer = append(q.Offer, Remark{"In one unit", list})
		}
	}
	q.Remarks = slices.Concat(byProduct(e, "Included", includedIn), byProduct(e, "Not included", notIncluded), byProduct(e, "Postage", postageText))
	if !e.Complete {
		q.Remarks = append(q.Remarks, Remark{"Not final", "where ? stands there is no price yet"})
	}
	q.Remarks = append(q.Remarks, Remark{"Payment", set.QuoteTerms})
	for _, c := range e.Cautions {
		if c.User != "" {
			q.Remarks = append(q.Remarks, Remark{"Caution", c.User})
		}
	}
	return q
}

// productName is what a unit is called.
func productName(e *cost.Estimate, product int) string {
	if several(e) {
		return e.Products[product].Name
	}
	return e.Name
}

// isOf tells whether a line is of a product; of the one there is all are.
func isOf(e *cost.Estimate, x *cost.Entry, product int) bool {
	return !several(e) || x.Product == product
}

// byProduct says something of each product, once where it is the same of all; nothing where
// there is nothing to say.
func byProduct(e *cost.Estimate, about string, text func(*cost.Estimate, int) string) (out []Remark) {
	all := quoted(e)
	differs := slices.ContainsFunc(all, func(p int) bool { return text(e, p) != text(e, all[0]) })
	for _, p := range all {
		said := text(e, p)
		if said != "" && differs {
			said = productName(e, p) + ": " + said
		}
		if said != "" && (differs || out == nil) {
			out = append(out, Remark{about, said})
		}
	}
	return out
}

// quoted are the products of which some units are offered.
func quoted(e *cost.Estimate) (out []int) {
	if !several(e) {
		return []int{0}
	}
	for p := range e.Products {
		if slices.ContainsFunc(e.Batches, func(b cost.Batch) bool { return b.Products[p].Size > 0 }) {
			out = append(out, p)
		}
	}
	return out
}

// QuoteUntil is the last day on which a quote of some day is valid, and the price that
// makes that earlier than the settings would have it; what the price is of is empty where
// none does. A price older than the limit leaves the day of issue alone.
func QuoteUntil(e *cost.Estimate, on bom.Date) (until bom.Date, price cost.Source) {
	days, limit := 30, 0
	if e.Terms != nil {
		days, limit = e.Terms.Settings.QuoteDays, e.Terms.Settings.PriceAgeDays
	}
	until = on.Plus(days)
	if limit <= 0 {
		return until, price
	}
	for _, s := range e.Sources {
		if s.AsOf.IsZero() || !slices.Contains(agingPrices, s.What) {
			continue
		}
		last := s.AsOf.Plus(limit)
		if last.Before(on) {
			last = on
		}
		if last.Before(until) || price.What != "" && last == until && s.AsOf.Before(price.AsOf) {
			until, price = last, s
		}
	}
	return until, price
}

// agingPrices are the sources that others may ask more of when they are asked again.
var agingPrices = []string{"offer", "board", "material", cost.OfAssembly, cost.OfTier, "postage", "exchange"}

// offered tells what a unit of a product is at each level.
func offered(e *cost.Estimate, product int) string {
	switch levelOf(e, product) {
	case bom.LevelBoard:
		return "populated circuit boards"
	case bom.LevelKit:
		if toSolder(e, product) {
			return "a kit of parts to solder and put together"
		}
		return "a kit of parts to put together"
	}
	return "finished units"
}

// toSolder tells whether the receiver of a kit solders.
func toSolder(e *cost.Estimate, product int) bool {
	return hasEntry(e, product, func(x cost.Entry) bool { return x.Line.Mount != bom.MountNone && !e.Placed(&x) && !fittedHere(e, x) })
}

func includedIn(e *cost.Estimate, product int) string {
	var items []string
	add := func(item string, is bool) {
		if is {
			items = append(items, item)
		}
	}
	soldered := func(x cost.Entry) bool { return x.Line.Mount != bom.MountNone && (e.Placed(&x) || fittedHere(e, x)) }
	switch levelOf(e, product) {
	case bom.LevelBoard:
		add("soldering", hasEntry(e, product, soldered))
	case bom.LevelKit:
		add("all parts, in bags", true)
		add("the soldering of "+partsSoldered(e, product), hasEntry(e, product, soldered))
	default:
		add("all parts, soldering and putting together", true)
	}
	add("a test of each", tested(e, product))
	add("packing", hasEntry(e, product, func(x cost.Entry) bool { return x.Line.Kind == bom.KindPacking }))
	return strings.Join(items, ", ")
}

// partsSoldered names the parts of a kit that are soldered before.
func partsSoldered(e *cost.Estimate, product int) string {
	if hasEntry(e, product, func(x cost.Entry) bool { return x.Line.Mount == bom.THT && e.Placed(&x) }) {
		return "SMT and through-hole parts"
	}
	return "the SMT parts"
}

func hasEntry(e *cost.Estimate, product int, is func(cost.Entry) bool) bool {
	return slices.ContainsFunc(e.Entries, func(x cost.Entry) bool { return isOf(e, &x, product) && is(x) })
}

// tested tells whether work is counted to test every unit of a product.
func tested(e *cost.Estimate, product int) bool {
	return slices.ContainsFunc(e.Batches, func(b cost.Batch) bool {
		return slices.ContainsFunc(b.Work, func(w cost.Work) bool {
			return (w.Product == product || w.Product < 0 || !several(e)) && w.AppliesTo == "test" && w.Basis != "batch" && w.Share.Equal(decimal.NewFromInt(100))
		})
	})
}

func notIncluded(e *cost.Estimate, product int) string {
	var items []string
	switch levelOf(e, product) {
	case bom.LevelBoard:
		items = append(items, "case, fasteners and putting together")
	case bom.LevelKit:
		if items = append(items, "tools", "putting together"); toSolder(e, product) {
			items = append(items, "solder", "soldering")
		}
	}
	if postageText(e, product) == "" {
		items = append(items, "postage")
	}
	return strings.Join(append(items, "duty and tax that another country asks on import"), ", ")
}

// contents lists what a person finds in a unit of a product: its boards and larger pieces; of a kit
// all that is loose, and how much is in each bag.
func contents(e *cost.Estimate, product int) string {
	var items []string
	for _, entry := range bagged(e) {
		if !isOf(e, &entry, product) {
			continue
		}
		if several(e) { // whose name its path begins with
			entry.Path = strings.TrimPrefix(strings.TrimPrefix(entry.Path, e.Products[product].Name), " / ")
		}
		item := "bag " + entry.Path
		if l, q := entry.Line, counted(entry.Line, entry.PerUnit); entry.Path == "" {
			item = q[0].Exact(q[0].FormatIn(Column{Format: AsQuantity})) + " " + q[1].Exact(AsText) + " " + cmp.Or(benchName(l), l.Part)
			if q[1].Exact(AsText) != inMetres && q[1].Exact(AsText) != inGrams {
				item = timesWhat(entry)
			}
			if inSome(e, &entry) {
				item += " in some units, in place of " + e.Entries[entry.StandsFor-1].Line.Part
			}
		}
		if !slices.Contains(items, item) {
			items = append(items, item)
		}
	}
	if levelOf(e, product) == bom.LevelKit {
		return strings.Join(items, "; ")
	}
	for i, entry := range e.Entries {
		if !isOf(e, &entry, product) || !e.Uses(i) || inSome(e, &entry) {
			continue
		}
		switch l := entry.Line; l.Kind {
		case bom.KindBoard, bom.KindPrinted, bom.KindOther, bom.KindAssembly:
			if l.Kind == bom.KindBoard || entry.Board < 0 {
				items = append(items, timesWhat(entry)+orElse(e, i))
			}
		}
	}
	return strings.Join(items, "; ")
}

// orElse names what some units have in the place of a line.
func orElse(e *cost.Estimate, at int) (text string) {
	for i := range e.Entries {
		if x := &e.Entries[i]; x.StandsFor == at+1 && e.Uses(i) {
			text += " or " + x.Line.Part
		}
	}
	return text
}

// timesWhat is how many of a line there are: "2 × key arm".
func timesWhat(entry cost.Entry) string {
	return entry.PerUnit.String() + " × " + cmp.Or(benchName(entry.Line), entry.Line.Part)
}

// quotePrices are the prices of each batch: of its units, of what recipients are asked
// for besides, by zone where that is not the same for all, and of all together.
func quotePrices(e *cost.Estimate, set bom.Settings) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Quote",
		Title: "prices",
		Lead:  2,
		Columns: slices.Concat(
			columns(Column{Format: AsCount}, "batch: Units ordered"),
			plain("what"),
			columns(Column{Format: AsCount}, "units: Quantity"),
			columns(Column{Unit: code, Format: money}, "each: Price each", "all: Price in all"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		unknown, open := false, false
		for j, l := range b.Quote.Lines {
			short := l.Unpriced || l.Share && b.Ask.Unpriced || !l.Share && !l.Free && b.Total.Unpriced
			unknown, open = unknown || short, open || l.Open
			paid := !l.Free || l.Share
			t.addAs(RowKey(KeyQuote, b.ID(), j), BatchValue(b.ID()), Text(quotedWhat(e, l)),
				Count(l.Units).where(!l.Open), known(l.Each, short).where(paid), known(l.All, short).where(paid && !l.Open))
		}
		if len(b.Quote.Lines) == 1 && b.Quote.Tax.IsZero() {
			continue
		}
		in := "in all"
		if open {
			in = "in all, without what depends on where units go"
		}
		t.addRow(Row{Key: TotalKey(b.ID()), Role: Total, Values: []Value{BatchValue(b.ID()), Text(in), Nothing(), Nothing(), known(b.Quote.All, unknown)}})
		if !b.Quote.Tax.IsZero() {
			t.addRow(Row{Key: RowKey("tax", b.ID(), 0), Role: Figure, Values: []Value{BatchValue(b.ID()),
				Text("of which sales tax, " + set.SalesTax.String() + " %"), Nothing(), Nothing(), known(b.Quote.Tax, unknown)}})
		}
	}
	return t
}

// quotedWhat says what a price is for.
func quotedWhat(e *cost.Estimate, l cost.QuoteLine) string {
	name := productName(e, l.Product)
	switch {
	case !l.Share && l.Free:
		return name + ", free of charge"
	case !l.Share:
		return name
	}
	what := "charge per recipient"
	if who := recipients(e); !slices.ContainsFunc(cost.Categories, func(c cost.Category) bool { return c != cost.Postage && bears(e, who, c) }) {
		what = "postage"
	}
	if l.Zone != "" {
		what += " to " + l.Zone
		if l.Free {
			what += ", of a free unit"
		}
	}
	if several(e) {
		what = name + ", " + what
	}
	return what
}

// postageText tells how a unit of a product is sent and whether that is paid for; nothing
// where no postage is reckoned.
func postageText(e *cost.Estimate, product int) string {
	if len(e.Batches) == 0 {
		return ""
	}
	b := &e.Batches[len(e.Batches)-1]
	posts := slices.DeleteFunc(slices.Clone(b.Posts), func(p cost.Post) bool { return p.Product != product })
	if !slices.ContainsFunc(posts, func(p cost.Post) bool { return p.Service != "" }) {
		return ""
	}
	text := parcels(posts) + services(posts)
	switch who := recipients(e); {
	case who != "" && bears(e, who, cost.Postage):
		return text + "; in the prices as listed"
	default:
		return text + "; nothing to pay besides the price"
	}
}

// parcels tells how many units are sent together.
func parcels(posts []cost.Post) string {
	most := 1
	for _, p := range posts {
		if p.Parcels > 0 {
			most = max(most, p.Units/p.Parcels)
		}
	}
	if most == 1 {
		return "one parcel for each unit"
	}
	return "in parcels of up to " + strconv.Itoa(most) + " units"
}

// services names the services, with the zone that each goes to.
func services(posts []cost.Post) string {
	var names []string
	for _, p := range posts {
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

// QuoteShortened tells which price leaves a quote valid for less than the settings say;
// nothing where none does.
func QuoteShortened(e *cost.Estimate, on bom.Date) string {
	until, price := QuoteUntil(e, on)
	if price.What == "" {
		return ""
	}
	return fmt.Sprintf("the quote is valid until %s alone: the price of %s is of %s", ShownDate(until), price.Name, ShownDate(price.AsOf))
}
