package quoting

import (
	"cmp"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/partname"
)

// Enter works out what suppliers' quotes change in the offers of a price sheet.
// A part is known by its name, by an order code of the same supplier, or by
// value and package; one that is not is told of and left. With errors among the
// problems nothing may be entered.
//
// A list of price breaks takes the place of the prices that stand there. A price
// for one quantity, as in a basket, holds from that quantity on; where the price
// sheet is cheaper there, the price break that holds is raised to it.
func Enter(run Entering) (*Entered, bom.Problems) {
	e := &enterer{run: run, names: partname.Gather(run.Prices, run.Unit), rates: map[string]decimal.Decimal{}, suppliers: map[string]string{},
		offers: map[[2]string][]int{}, told: map[string]bool{}}
	home := run.Prices.Settings.Home
	e.rates[home.Code] = decimal.NewFromInt(1)
	for _, r := range run.Prices.Exchange {
		e.rates[r.Currency.Code] = r.Rate
	}
	for i := range run.Prices.Suppliers {
		e.knowSupplier(run.Prices.Suppliers[i].Name)
	}
	for i, o := range bom.Refs(run.Prices.Offers) {
		e.knowSupplier(o.Supplier)
		pair := [2]string{bom.Fold(o.Part), bom.Fold(o.Supplier)}
		e.offers[pair] = append(e.offers[pair], i)
	}
	for _, d := range e.drafts() {
		e.enter(d)
	}
	slices.SortStableFunc(e.result.Lines, func(a, b Line) int {
		return cmp.Or(cmp.Compare(a.Kind, b.Kind), b.Percent.Decimal.Abs().Cmp(a.Percent.Decimal.Abs()))
	})
	return &e.result, e.problems
}

// drafts sorts the parts of the quotes by the offers they are about, and tells of
// those that are about none.
func (e *enterer) drafts() []*draft {
	var all []*draft
	byOffer := map[*bom.Offer]*draft{}
	byName := map[[3]string]*draft{}
	for _, q := range bom.Refs(e.run.Quoted) {
		supplier, ok := e.supplier(q)
		if !ok {
			continue
		}
		m := match(e.names, q, supplier)
		if m.part == "" && e.run.AddUnknown && m.unclear == "" {
			m.part = cmp.Or(q.Part, q.OurPart)
		}
		if m.part == "" {
			e.unknown(q, supplier, m.unclear)
			continue
		}
		d := &draft{part: m.part, supplier: supplier, code: cmp.Or(q.Code, m.code)}
		if m.named && len(e.offers[[2]string{bom.Fold(d.part), bom.Fold(supplier)}]) == 1 {
			d.code = "" // the name of the one offer's part, which has another code or none
		}
		if d.old, ok = e.offerOf(d); !ok {
			e.unknown(q, supplier, "the supplier has several offers of it, and no order code is given")
			continue
		}
		if m.word {
			e.warn(q.At("Description"), "the part is known by a word of its description alone", "a column of part numbers, if it is another", m.part+" in "+q.Description)
		}
		had := byName[d.key()]
		if d.old != nil {
			had = byOffer[d.old]
		}
		if had == nil {
			had = d
			all = append(all, d)
			byName[d.key()] = d
			if d.old != nil {
				byOffer[d.old] = d
			}
		}
		had.code = cmp.Or(had.code, d.code)
		had.quoted = append(had.quoted, q)
	}
	return all
}

func (e *enterer) knowSupplier(name string) {
	if _, known := e.suppliers[bom.Fold(name)]; !known && name != "" {
		e.suppliers[bom.Fold(name)] = name
		e.supplierList = append(e.supplierList, name)
	}
}

func (d *draft) key() [3]string {
	return [3]string{bom.Fold(d.part), bom.Fold(d.supplier), bom.Fold(d.code)}
}

// supplier gives the supplier of a part in the spelling of the price sheet.
func (e *enterer) supplier(q *bom.QuotedPart) (name string, ok bool) {
	name = cmp.Or(q.Supplier, e.run.Supplier)
	if name == "" {
		if e.once("supplier") {
			e.problems.Errorf(q.At("Supplier"), "", "--supplier 'NAME', or a column headed Supplier", "no supplier is given")
		}
		return "", false
	}
	if known, ok := e.suppliers[bom.Fold(name)]; ok {
		e.tellTax(q, known)
		return known, true
	}
	if e.once("supplier " + bom.Fold(name)) {
		problem := bom.Problem{Place: q.At("Supplier"), Severity: bom.Warning, Found: name, Each: bom.Shown(name),
			What: "the price sheet does not know this supplier", Want: "add a row for it to the tab suppliers"}
		if near, ok := bom.Nearest(name, e.supplierList); ok {
			problem.Hint = "did you mean " + near
		}
		e.problems.Add(problem)
	}
	return name, true
}

// tellTax tells where what a quote says of tax does not go with the supplier's row.
func (e *enterer) tellTax(q *bom.QuotedPart, supplier string) {
	if q.Tax == bom.TaxUnsaid {
		return
	}
	row, at := supplierRow(e.run.Prices, supplier), q.At("Unit price")
	if row == nil || (q.Tax == bom.WithTax) != row.Tax.IsPositive() || !e.once("tax of "+row.Name) {
		return
	}
	p := bom.Problem{Place: bom.Place{File: at.File, Sheet: at.Sheet}, Severity: bom.Warning, Found: q.TaxText, Each: row.Name,
		What: "the quote shows tax on top of its prices, and the supplier has no Import tax %",
		Want: "its rate in the supplier's row, unless the prices that are entered hold it"}
	if q.Tax == bom.WithTax {
		p.What, p.Want = "the prices of the quote hold tax, which Import tax % of the supplier adds once more", "prices without it, or 0 there"
	}
	e.problems.Add(p)
}

// offerOf gives the offer of the price sheet that a draft is about, nil for a new
// one. An offer without an order code takes the one of the quote, and one that waits
// for a price and names nobody the first supplier that quotes it. ok is false where it could be any of several.
func (e *enterer) offerOf(d *draft) (old *bom.Offer, ok bool) {
	pair, nobodys := [2]string{bom.Fold(d.part), bom.Fold(d.supplier)}, [2]string{bom.Fold(d.part), ""}
	if free := e.offers[nobodys]; len(e.offers[pair]) == 0 && len(free) == 1 && len(e.run.Prices.Offers[free[0]].Breaks) == 0 {
		delete(e.offers, nobodys)
		e.offers[pair] = free
	}
	found := e.offers[pair]
	for _, i := range found {
		if o := &e.run.Prices.Offers[i]; bom.Fold(o.Code) == bom.Fold(d.code) || len(found) == 1 && (o.Code == "" || d.code == "") {
			return o, true
		}
	}
	return nil, d.code != "" || len(found) == 0
}

// hintsAtMost bounds for how many parts a near name is looked for among at most
// so many.
const hintsAtMost, hintNames = 20, 5000

// unknown tells of a part that is not entered.
func (e *enterer) unknown(q *bom.QuotedPart, supplier, why string) {
	l := Line{Kind: Unknown, Part: q.Names(), Supplier: supplier, Code: q.Code}
	if why == "" && q.Part != "" && e.result.Count(Unknown) < hintsAtMost && len(e.names.List) <= hintNames {
		if near, ok := bom.Nearest(q.Part, e.names.List); ok {
			why = "did you mean " + near
		}
	}
	if why == "" && q.Description != "" && q.Description != l.Part {
		why = q.Description
	}
	if why != "" {
		l.Besides = []string{why}
	}
	if len(q.Breaks) > 0 {
		b := q.Breaks[0]
		l.From, l.Is, l.IsIn = b.From, b.Price, CurrencyOf(e.run.Prices, supplier)
		if e.run.Currency.Code != "" {
			l.IsIn = e.run.Currency
		} else if len(q.Codes) > 0 && !slices.Contains(q.Codes, l.IsIn.Code) {
			l.IsIn, _ = bom.FindCurrency(q.Codes[0])
		}
	}
	e.result.Lines = append(e.result.Lines, l)
}
