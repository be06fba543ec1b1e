package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
	stated "tenoff/cost/sum"
)

// Explainer tells how the figures of one batch come about.
type Explainer struct {
	e     *cost.Estimate
	b     *cost.Batch
	names map[stated.Key]string // of purchases' offers and what else could share a name
	taken map[string]int        // how often each name was given

	had     map[stated.Key]stated.Words
	figures []askable
	index   map[string][]int // folded text -> figures that it names; made when it is first asked for
}

// perEntry is about how many words there are for each line.
const perEntry = 50

// NewExplainer gives words to the figures of a batch of an estimate.
func NewExplainer(e *cost.Estimate, b *cost.Batch) *Explainer {
	t := &Explainer{e: e, b: b, names: map[stated.Key]string{}, taken: map[string]int{}, had: make(map[stated.Key]stated.Words, perEntry*len(e.Entries))}
	for i := range e.Terms.Offers {
		t.call(cost.OfBreak, i, t.offerNames(i)...)
	}
	for i, x := range b.Purchases {
		if x.Unpriced {
			t.call(cost.OfBuy, i, x.Part+", which has no price")
		}
	}
	for i := range e.Entries {
		t.call(cost.OfLine, i, lineThing(&e.Entries[i]))
	}
	for i, x := range e.Parts {
		t.call(cost.OfPart, i, "part "+x.Key)
	}
	for i, x := range e.Boards {
		t.call(cost.OfBoard, i, "board "+x.Name)
	}
	for i, x := range b.Fees {
		name := "fee for " + x.What
		if x.Kind == cost.MachineFee || x.Kind == cost.EnergyFee {
			name = strings.Replace(x.What, ": ", " of ", 1)
		}
		t.call(cost.OfFee, i, name, name+", to "+x.Payee)
	}
	for i, x := range b.Plates {
		t.call(cost.OfPlate, i, "printing of "+x.Part, "printing of "+x.Part+" on "+x.Printer)
	}
	for i, x := range b.Work {
		product := t.productName(x.Product)
		t.call(cost.OfWork, i, "operation "+x.Operation+product, "operation "+x.Operation+" on "+x.AppliesTo+product)
	}
	for i, x := range b.Posts {
		name := strings.TrimSuffix("parcels to "+x.Zone, " to ") + t.productName(x.Product)
		t.call(cost.OfParcel, i, name, name+", the last one")
	}
	return t
}

// productName is what the name of a thing of a product ends with, where there are several.
func (t *Explainer) productName(product int) string {
	if !several(t.e) || product < 0 {
		return ""
	}
	return ", " + t.e.Products[product].Name
}

// call gives a thing the first of some names that is still free, else the last with a
// number.
func (t *Explainer) call(of string, at int, names ...string) {
	name := names[len(names)-1]
	for _, n := range names {
		if t.taken[n] == 0 {
			name = n
			break
		}
	}
	if t.taken[name]++; t.taken[name] > 1 {
		name += " no. " + strconv.Itoa(t.taken[name])
	}
	t.names[stated.Key{Of: of, At: at}] = name
}

// offerNames are what an offer can be called, the shortest first.
func (t *Explainer) offerNames(i int) []string {
	o := &t.e.Terms.Offers[i]
	short := o.Part + " from " + t.e.Terms.Suppliers[o.Supplier].Name
	long := strings.TrimSpace(short + " " + o.Code)
	if o.Kind == cost.Lots && o.SetUp.IsZero() {
		lot := ", lot of " + o.Pieces.String()
		return []string{short + lot, long + lot}
	}
	return []string{short, long, long + ", " + o.Pieces.String() + " in one"}
}

// lineThing tells lines of the same part apart.
func lineThing(e *cost.Entry) string {
	name := "line " + e.Line.Part
	if d := Designators(e.Line.Designators); d != "" {
		name = "line " + d
	}
	if e.Path != "" {
		name += " on " + e.Path
	}
	if e.StandsFor > 0 {
		name += ", with " + e.Line.Part
	}
	return name
}

// Words call a figure or a result of the batch (see [stated.Telling]).
func (t *Explainer) Words(k stated.Key) stated.Words {
	w, ok := t.had[k]
	if !ok {
		if w = t.wordsOf(k); w.What != "" || w.Thing != "" {
			w.Why = t.decidedBy(k)
		}
		t.had[k] = w
	}
	return w
}

func (t *Explainer) wordsOf(k stated.Key) stated.Words {
	home := t.e.Currency.Code
	if strings.HasPrefix(k.What, "over ") && slices.Contains(sharedOver, k.Of) {
		return t.shareWords(k)
	}
	switch k.Of {
	case cost.OfSetting:
		return stated.Words{Thing: "setting " + k.What}
	case cost.OfRate:
		if k.What == home {
			return stated.Words{} // is 1
		}
		return stated.Words{Thing: "rate of " + k.What}
	case cost.OfSupplier:
		return stated.Words{Thing: t.orderThing(k.At), What: k.What}
	case cost.OfBreak, cost.OfBuy:
		return t.buyWords(k)
	case cost.OfAssembly:
		return stated.Words{Thing: "assembly by " + t.e.Terms.Assemblers[k.At].Name, What: k.What}
	case cost.OfTier:
		q := t.e.Terms.Tiers[k.At]
		return stated.Words{Thing: fmt.Sprintf("quote of %s for %s from %d", q.Assembler, q.Board, q.From), What: k.What}
	case cost.OfWorth:
		of, row := stockRow(k.What)
		return t.named(stated.Key{Of: of, At: k.At}, map[string]string{of: "value of one on hand" + row}, of, home)
	case cost.OfShare:
		return stated.Words{Thing: "share of " + k.What + " in " + t.e.Terms.Shares[k.At]}
	case cost.OfPrinter:
		name, heading, _ := cutLast(k.What, ": ")
		return stated.Words{Thing: "printer " + name, What: heading}
	case cost.OfOrder:
		return t.orderWords(k)
	case cost.OfCategory, cost.OfPayer:
		return t.borneWords(k)
	case cost.OfProduct, cost.OfBorne, cost.OfMade:
		return t.productWords(k)
	case cost.OfCharge, cost.OfQuote, cost.OfTotal:
		return t.priceWords(k)
	case cost.OfPlate:
		w := t.named(stated.Key{Of: k.Of, At: k.At}, plateWords, k.What, t.unitOf(k))
		if strings.HasPrefix(k.What, "piece ") {
			w.What += " by " + t.b.Plates[k.At].From
		}
		return w
	case cost.OfCount:
		return t.named(stated.Key{Of: cost.OfBoard, At: k.At}, countWords, k.What, "")
	case cost.OfPlates:
		return stated.Words{Thing: strings.TrimSuffix("plates on "+k.What, " on ")}
	case cost.OfOneOff:
		for _, f := range t.b.Fees {
			if f.Kind == cost.OneOffFee && f.Index == k.At {
				return stated.Words{Thing: "one-off " + f.What, What: k.What}
			}
		}
	case cost.OfSubstitute:
		return stated.Words{Thing: "substitute no. " + strconv.Itoa(k.At+1), What: k.What}
	}
	if k.Of == cost.OfFee && k.What == "amount" && t.b.Fees[k.At].Currency == t.e.Currency && !t.b.Fees[k.At].Unpriced {
		return stated.Words{} // is the same
	}
	var row string
	if k.Of == cost.OfPart || k.Of == cost.OfBoard {
		k.What, row = stockRow(k.What)
	}
	w := t.named(stated.Key{Of: k.Of, At: k.At}, thingWords[k.Of], k.What, t.unitOf(k))
	w.What += row
	return w
}

// sharedOver are the things of which a sum may be a share over others.
var sharedOver = []string{cost.OfPart, cost.OfBoard, cost.OfLine, cost.OfBuy, cost.OfStock, cost.OfPot, cost.OfProduct}

// stockRow parts what is asked of a part from the row of its stock, where it has several.
func stockRow(what string) (of, row string) {
	of, number, several := cutLast(what, cost.RowMark)
	if several {
		row = cost.RowMark + number
	}
	return of, row
}

// shareWords call a share of what is shared out, "over lines, cash, 2".
func (t *Explainer) shareWords(k stated.Key) stated.Words {
	over, at, _ := cutLast(k.What, ", ")
	over, what, _ := strings.Cut(over, ", ")
	of := stated.Key{Of: k.Of, At: k.At}
	switch k.Of {
	case cost.OfLine:
		of = stated.Key{Of: cost.OfPart, At: t.e.Entries[k.At].Part}
	case cost.OfStock:
		of = stated.Key{Of: cost.OfPart, At: k.At % len(t.e.Parts)}
	case cost.OfBuy:
		of = t.offerOf(k.At)
	}
	thing := t.names[of]
	if k.Of == cost.OfPot {
		pot := &t.b.Pots[k.At]
		thing = pot.Category.String() + ", " + pot.What
	}
	if k.Of == cost.OfProduct {
		thing = SplitName(&t.b.Splits[k.At])
	}
	if k.Of == cost.OfLine && t.mixed(of.At) {
		thing += ", " + t.e.Entries[k.At].Category.String()
	}
	what = cmp.Or(what, "plain")
	if over == cost.OverLines {
		if line := t.lineOf(k.At, at); line != "" {
			return stated.Words{Thing: thing + " for " + line, What: borneWords[what], Unit: t.e.Currency.Code}
		}
	}
	return stated.Words{Thing: "share " + at + " " + over + " of " + thing, What: borneWords[what], Unit: t.e.Currency.Code}
}

// lineOf names a line by its number, from 1, among those of one part and category that
// begin with the first.
func (t *Explainer) lineOf(first int, number string) string {
	n, err := strconv.Atoi(number)
	for i := first; err == nil && i < len(t.e.Entries); i++ {
		if a, b := &t.e.Entries[first], &t.e.Entries[i]; a.Part == b.Part && a.Category == b.Category {
			if n--; n == 0 {
				return t.names[stated.Key{Of: cost.OfLine, At: i}]
			}
		}
	}
	return ""
}

// SplitName is what products share.
func SplitName(s *cost.Split) string {
	name := strings.Trim(s.Category.String()+", "+s.What, ", ")
	if s.Payer != "" && s.Payer != cost.Maker {
		name += ", paid by " + s.Payer
	}
	return name
}

// productWords call what a product costs, in all or of a category, or a payer bears of it.
func (t *Explainer) productWords(k stated.Key) stated.Words {
	w := stated.Words{What: borneWords[k.What], Unit: t.e.Currency.Code}
	if w.What == "" {
		return stated.Words{}
	}
	if k.Of == cost.OfProduct {
		if w.Thing = t.productThing(k.At); k.What == "consumed per unit" {
			w.What = RowUnit
		}
		return w
	}
	if k.Of == cost.OfMade {
		n := int(cost.AllCategories)
		w.Thing = t.productThing(k.At/n) + ", " + cost.Category(k.At%n).String()
		return w
	}
	w.Thing = t.productThing(k.At/len(t.b.Payers)) + ", payer " + t.b.Payers[k.At%len(t.b.Payers)].Name
	return w
}

// forProduct calls what of a purchase or an order is for a product; empty for all else.
func (t *Explainer) forProduct(k stated.Key) string {
	for i := range t.e.Products {
		if k.What == cost.ForProduct(i) {
			return "value for " + t.e.Products[i].Name
		}
	}
	return ""
}

func (t *Explainer) productThing(product int) string { return "product " + t.e.Products[product].Name }

// saleThing calls whose units a price is of; empty for those of all.
func (t *Explainer) saleThing(at int) string {
	for i := range t.e.Products {
		if several(t.e) && at == cost.SaleKey(i, len(t.e.Products)) {
			return t.productThing(i)
		}
	}
	return ""
}

// mixed tells of a part whether it falls in several categories.
func (t *Explainer) mixed(part int) bool {
	lines := t.e.Parts[part].Entries
	return slices.ContainsFunc(lines, func(i int) bool { return t.e.Entries[i].Category != t.e.Entries[lines[0]].Category })
}

// offerOf is what holds the name of a purchase.
func (t *Explainer) offerOf(i int) stated.Key {
	if p := &t.b.Purchases[i]; !p.Unpriced {
		return stated.Key{Of: cost.OfBreak, At: p.Offer - 1}
	}
	return stated.Key{Of: cost.OfBuy, At: i}
}

// cutLast is strings.Cut at the last place.
func cutLast(s, sep string) (before, after string, ok bool) {
	i := strings.LastIndex(s, sep)
	if i < 0 {
		return s, "", false
	}
	return s[:i], s[i+len(sep):], true
}

// named calls what of a thing that has a name; nothing where there are no words for it.
func (t *Explainer) named(thing stated.Key, words map[string]string, what, unit string) stated.Words {
	w := words[what]
	if w == "" {
		return stated.Words{}
	}
	return stated.Words{Thing: t.names[thing], What: w, Unit: unit}
}

// Words for what of a thing.
var (
	stockWords = map[string]string{
		"need": "required", "spares": "spares", "held": "stock on hand", "on hand": "taken from stock", "demand": "to buy", "takes": "taken of what is bought", "to have": "to have", "bought": "bought",
		"cash": "cash out", "Consumed of cash": "consumed of what is bought", "consumed": "consumed", "surplus": "surplus stock", "stock": "from stock",
		"plain": "cost of the surplus", "Short": "short", "Consigned": "with a consignment fee",
	}
	borneWords = map[string]string{
		"cash": "cash out", "own": "own work", "stock": "from stock", "consumed": "consumed", "surplus": "surplus stock", "reclaim": "to reclaim",
		"plain": "cost of the surplus", "consumed per unit": "consumed per unit", "cash per unit": "cash out per unit",
	}
	countWords = map[string]string{
		"starts": "to start", "sides": "sides with machine-placed parts", "part lines": "part lines", "placements": "placements", "joints": "joints",
	}
	plateWords = map[string]string{
		"plates": "plates", "expected": "plates expected", "planned": "plates allowed for", "pieces": "pieces", "laid": "pieces expected",
		"piece g": "grams of a piece", "piece h": "hours of a piece", "start h": "hours of starting plates", "starting": "hours of starting plates expected",
		"prime g": "grams pressed out at the start of plates", "primed": "grams pressed out expected",
		"filament": "filament", "to have": "filament to have", "hours": "hours",
		"machine": "cost of printer hours", "energy": "cost of energy",
	}
	thingWords = map[string]map[string]string{
		cost.OfWork:  {"seconds": "seconds of one", "times": "equivalent repeats", "share": "share of them", "hours": "hours", "cash": "cash out", "own": "own work"},
		cost.OfBoard: stockWords,
		cost.OfPart:  stockWords,
		cost.OfFee:   {"amount": "in its currency", "cash": "cash out", "own": "own work", "stock": "from stock", "consumed": "consumed", "surplus": "surplus stock"},
		cost.OfParcel: {"price": "price of one", "parcels": "parcels", "units": "units in them", "cash": "cash out", "asked": "charge per recipient",
			"asked of free": "charge per recipient of a free unit"},
		cost.OfLine: borneWords,
	}
	buyWords = map[string]string{
		"quantity": "order quantity", "goods": "goods", "cash": "cash out", "Own goods": "goods in the supplier's currency", "consumed": "consumed",
		"surplus": "surplus stock", "Taken at cost": "cost of what is taken", "written off": "written off", "demand": "part to buy in all",
		"Line fee": "line fee", "Dutied": "goods with a duty of their own", "Own duty": "goods with a duty of their own × its %",
	}
	orderWords = map[string]string{
		"own": "goods in the supplier's currency", "goods": "goods", "Ordered": "made", "delivery": "delivery charged",
		"topup": "minimum-order surcharge", "consign": "consignment fees", "value for customs": "value for customs", "headings": "customs headings", "duty": "duty",
		"tax": "tax", "handling": "handling", "total": "total",
	}
	chargeWords = map[string]string{
		"given": "", "price": "", "fee on share": "payment fee on the recipients' share", "to cover": "to cover with one unit",
		"left": "left of 100 before tax", "before tax": "before tax", "tax unrounded": "sales tax before rounding", "unrounded": "before rounding", "unit cost": "cost of a unit that is paid for", "fee": "payment fee", "margin": "margin", "tax of one": "sales tax", "rounding": "rounding",
		"sold": "in for units that are paid for", "in": "in", "fees": "payment fees", "sales tax": "sales tax on all", "net": "income after fees and tax",
		"stays": "cash surplus (or shortfall) of the maker", "over": "margin over cost",
	}
	quoteWords = map[string]string{"each": "price of one", "all": "price of all of them", "in all": "price of all", "tax": "sales tax in it"}
	totalWords = map[string]string{"plates": "plates expected in all", "work": "value of all hand work", "work hours": "hours of all hand work", "asked": "charge per recipient", "asked of free": "charge per recipient of a free unit", "asked in all": "charge of all recipients", "paid": "cash of the maker and the recipients", "coming back": "what of it is reclaimed",
		"paying units": "units that are paid for", "recipients' share": "recipients' share of one unit", "step": "step that prices are rounded up to"}
)

// unitOf is what a result of a thing is counted in.
func (t *Explainer) unitOf(k stated.Key) string {
	switch k.What {
	case "filament", "piece g", "prime g", "primed":
		return "g"
	case "hours", "piece h", "start h", "starting":
		return "h"
	case "to have":
		return "g"
	case "cash", "own", "stock", "consumed", "surplus", "reclaim", "plain", "Taken at cost", "written off", "Consumed of cash", "machine", "energy", "asked":
		return t.e.Currency.Code
	case "amount":
		return t.b.Fees[k.At].Currency.Code
	case "need", "spares", "held", "on hand", "demand", "takes", "bought", "pieces", "laid":
		if k.Of == cost.OfPart {
			return t.e.Parts[k.At].Unit
		}
		return "pieces"
	case "Short", "Consigned":
		return stated.YesIsOne
	}
	return ""
}

// buyWords call a purchase, and the offer that it is of.
func (t *Explainer) buyWords(k stated.Key) stated.Words {
	home := t.e.Currency.Code
	if k.Of == cost.OfBreak {
		return t.breakWords(k)
	}
	p, unit := &t.b.Purchases[k.At], home
	if product := t.forProduct(k); product != "" {
		return stated.Words{Thing: t.names[t.offerOf(k.At)], What: product, Unit: unit}
	}
	switch k.What {
	case "goods":
		unit = p.Currency.Code
	case "quantity":
		unit = ""
	case "demand":
		unit = "pieces"
		if p.Kind != cost.Lots {
			unit = t.e.Parts[p.Index].Unit
		}
	case "Own goods":
		unit = t.e.Terms.Suppliers[t.e.Terms.Offers[p.Offer-1].Supplier].Currency.Code
	}
	return t.named(t.offerOf(k.At), buyWords, k.What, unit)
}

// breakWords call a price of an offer by the quantity from which on it holds.
func (t *Explainer) breakWords(k stated.Key) stated.Words {
	offer, at := 0, k.At
	for at >= len(t.e.Terms.Offers[offer].Breaks) {
		at -= len(t.e.Terms.Offers[offer].Breaks)
		offer++
	}
	o := &t.e.Terms.Offers[offer]
	thing := t.names[stated.Key{Of: cost.OfBreak, At: offer}]
	switch k.What {
	case "price":
		if len(o.Breaks) > 1 {
			return stated.Words{Thing: thing, What: "price from " + strconv.FormatInt(o.Breaks[at].From, 10) + " on"}
		}
		return stated.Words{Thing: thing, What: "price"}
	case "setup":
		if !o.SetUp.IsZero() {
			return stated.Words{Thing: thing, What: "set-up"}
		}
	case "Line fee":
		if !o.LineFee.IsZero() {
			return stated.Words{Thing: thing, What: "line fee"}
		}
	case "Duty %":
		if o.Duty.Valid {
			return stated.Words{Thing: thing, What: "duty", Unit: "%"}
		}
	case "pieces":
		if o.Pieces != bom.One {
			return stated.Words{Thing: thing, What: "pack size", Unit: t.unitOf(stated.Key{Of: stockKind(o.Kind), At: o.Index, What: "bought"})}
		}
	}
	return stated.Words{}
}

// stockKind is what keys of the stock are of that offers of a kind fill.
func stockKind(kind string) string {
	if kind == cost.Lots {
		return cost.OfBoard
	}
	return cost.OfPart
}

func (t *Explainer) orderThing(i int) string { return "order to " + t.e.Terms.Suppliers[i].Name }

func (t *Explainer) orderWords(k stated.Key) stated.Words {
	w := stated.Words{Thing: t.orderThing(k.At), What: orderWords[k.What], Unit: t.e.Currency.Code}
	if product := t.forProduct(k); product != "" {
		w.What = product
	}
	switch k.What {
	case "own":
		w.Unit = t.e.Terms.Suppliers[k.At].Currency.Code
	case "Ordered":
		w.Unit = stated.YesIsOne
	}
	return w
}

// borneWords call what falls in a category, or on a payer.
func (t *Explainer) borneWords(k stated.Key) stated.Words {
	w := stated.Words{What: borneWords[k.What], Unit: t.e.Currency.Code}
	if w.What == "" {
		return stated.Words{}
	}
	category := cost.Category(k.At)
	if k.Of == cost.OfPayer {
		var payer int
		payer, category = cost.PayerOf(k.At)
		w.Thing = "payer " + t.b.Payers[payer].Name
	}
	switch {
	case category < cost.AllCategories:
		w.Thing = strings.TrimPrefix(w.Thing+", "+category.String(), ", ")
	case k.What == "consumed per unit":
		w.What = RowUnit
	}
	return w
}

// sellingPrice is what the price of a unit is called among other prices.
const sellingPrice = "selling price"

// priceWords call what comes of the price, the quote, and sums over all of a batch.
func (t *Explainer) priceWords(k stated.Key) stated.Words {
	w := stated.Words{Unit: t.e.Currency.Code}
	switch k.Of {
	case cost.OfCharge:
		switch product := t.saleThing(k.At); {
		case product != "":
			w.Thing = sellingPrice + ", " + product
		case k.At > 0:
			w.Thing = "given price"
		default:
			w.Thing = sellingPrice
		}
		if w.What = chargeWords[k.What]; k.What == "left" {
			w.Unit = ""
		}
	case cost.OfQuote:
		w.Thing, w.What = t.quoteThing(k), quoteWords[k.What]
	default:
		w.Thing, w.What = t.saleThing(k.At), totalWords[k.What]
		switch k.What {
		case "work hours":
			w.Unit = "h"
		case "plates":
			w.Unit = ""
		}
	}
	return w
}

// quoteThing calls a line of the quote, or all of it.
func (t *Explainer) quoteThing(k stated.Key) string {
	if k.What != "each" && k.What != "all" {
		return "quote"
	}
	l := t.b.Quote.Lines[k.At]
	thing := "units of the quote" + t.productName(l.Product)
	if l.Share {
		thing = "quoted " + quotedWhat(t.e, l) + t.productName(l.Product)
	}
	if l.Free {
		thing += ", free ones"
	}
	return thing
}
