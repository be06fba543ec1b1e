package sheet

import (
	"slices"

	"tenoff/bom"
)

// TabOf is the tab that a table of a price sheet holds: the sheet's name, or
// the file's without its ending, in the documented spelling where it is one of
// the documented tabs ("hand-work.csv" is "hand work").
func TabOf(t bom.Table) string {
	name := tableName(t)
	if tab, ok := bom.PriceTab(name); ok {
		return tab.Name
	}
	return name
}

// ReadPrices reads a price sheet from its tables: the sheets of a workbook, or
// the files of a folder. The name is that of the workbook or folder, for
// complaints about the whole. Defaults are filled in; names of suppliers are
// spelled as in the tab suppliers.
func ReadPrices(tables []bom.Table, name string, opt Options) (*bom.Prices, bom.Problems) {
	p := &priceReader{prices: &bom.Prices{Name: name, Heads: map[string]*bom.Heading{}}, regions: map[string]*region{},
		suppliers: map[string]int{}, rates: map[string]bool{},
		lost: map[string]bool{}, openShares: map[string]bool{}, onPanel: map[string]int{}}
	p.locate(tables, opt)
	p.settings(name, opt)
	each(p, bom.TabExchange, p.rate)
	each(p, bom.TabSuppliers, p.supplier)
	p.offers()
	p.panels()
	each(p, bom.TabBoards, p.quote)
	each(p, bom.TabAssembly, p.assembler)
	p.assemblyQuotes()
	each(p, bom.TabAttrition, p.allowance)
	each(p, bom.TabParts, p.partRule)
	each(p, bom.TabHandWork, p.operation)
	each(p, bom.TabMaterials, p.material)
	each(p, bom.TabPrinters, p.printer)
	each(p, bom.TabRecipes, p.recipe)
	each(p, bom.TabPrintLog, p.finishedPrint)
	each(p, bom.TabPostage, p.service)
	each(p, bom.TabRecipients, p.recipient)
	each(p, bom.TabOnHand, p.onHand)
	each(p, bom.TabSubstitutes, p.substitute)
	each(p, bom.TabWhoPays, p.share)
	each(p, bom.TabOneOff, p.oneOff)
	p.checkShares()
	p.spellSuppliers()
	p.checkAssembler()
	return p.prices, p.problems
}

type priceReader struct {
	prices   *bom.Prices
	problems bom.Problems
	regions  map[string]*region // tab -> where it stands
	lost     map[string]bool    // tabs whose headings were not found
	markings map[string]marking // file -> how its figures are read

	rates      map[string]bool // currencies that have a rate
	suppliers  map[string]int  // supplier, folded -> index into prices.Suppliers
	onPanel    map[string]int  // panel -> its board types
	openShares map[string]bool // what is shared, folded, with a share that could not be read
}

// Dated are the columns that every tab has. It is exported because gocsv passes
// over fields that are not, and so over an embedded type that is not.
type Dated struct {
	AsOf Cell `csv:"As of"`
	Note Cell `csv:"Note"`
}

// locate finds the tabs among the tables.
func (p *priceReader) locate(tables []bom.Table, opt Options) {
	var all []*region
	first := map[string]*bom.Table{}
	for i := range tables {
		t := &tables[i]
		tab, ok := bom.PriceTab(TabOf(*t))
		switch {
		case !ok:
			p.noteUnknown(t)
			continue
		case first[tab.Name] != nil:
			p.problems.Errorf(t.At(0, 0), "", "keep one table for it", "the tab %s stands twice, here and in %s", tab.Name, first[tab.Name].At(0, 0))
			continue
		}
		first[tab.Name] = t
		if reg := locate(t, tab, opt.Headings, &p.problems); reg != nil {
			p.regions[tab.Name] = reg
			all = append(all, reg)
		} else {
			p.lost[tab.Name] = true
		}
	}
	p.markings = markings(all, opt.Mark)
}

func (p *priceReader) noteUnknown(t *bom.Table) {
	name := TabOf(*t)
	if near, ok := bom.Nearest(name, bom.TabNames()); ok {
		p.problems.Notef(t.At(0, 0), "%s is not a tab of the price sheet and is ignored; did you mean %s", bom.Shown(name), near)
		return
	}
	p.problems.Notef(t.At(0, 0), "%s is not a tab of the price sheet and is ignored", bom.Shown(name))
}

// reader gives the decoder of a tab; ok is false where the sheet has no such
// tab.
func (p *priceReader) reader(tab string) (d *decoder, ok bool) {
	reg := p.regions[tab]
	if reg == nil {
		return nil, false
	}
	d = newDecoder(reg, p.markings[reg.table.File], &p.problems)
	head := *reg.head
	head.Mark = d.marking.mark
	p.prices.Heads[tab] = &head
	var must []string
	for _, c := range reg.tab.Columns {
		if c.Required && !(tab == bom.TabOffers && c.Heading == "Price" && len(reg.steps) > 0) {
			must = append(must, c.Heading)
		}
	}
	d.needColumns(must...)
	return d, true
}

// each reads the rows of a tab one by one.
func each[T any](p *priceReader, tab string, read func(*decoder, *T, bom.Origin)) {
	if d, ok := p.reader(tab); ok {
		readRows(d, func(record *T) { read(d, record, d.reg.origin(d.row)) })
	}
}

// currency reads the currency of a row's money, and complains where it has no
// rate, once for each currency.
func (p *priceReader) currency(d *decoder, c Cell, fallback bom.Currency) bom.Currency {
	cur := d.currency(c, fallback)
	home := p.prices.Settings.Home.Code
	if cur.Code == "" || home == "" || cur.Code == home || p.rates[cur.Code] {
		return cur
	}
	p.rates[cur.Code] = true // complained of
	want := "a row for " + cur.Code + " in the tab exchange"
	d.problems.Errorf(d.place(c), cur.Code, want, "no rate into the home currency %s is known", home)
	return cur
}

// currencyOf is the currency of a supplier: home where it has no row.
func (p *priceReader) currencyOf(supplier string) bom.Currency {
	if i, ok := p.suppliers[bom.Fold(supplier)]; ok {
		return p.prices.Suppliers[i].Currency
	}
	return p.prices.Settings.Home
}

// supplierNames are all places where a supplier is named outside the tab
// suppliers.
func (p *priceReader) supplierNames(yield func(*string) bool) {
	for i := range p.prices.Offers {
		if !yield(&p.prices.Offers[i].Supplier) {
			return
		}
	}
	for i := range p.prices.Quotes {
		if !yield(&p.prices.Quotes[i].Fabricator) {
			return
		}
	}
	for i := range p.prices.Assemblers {
		if !yield(&p.prices.Assemblers[i].Name) {
			return
		}
	}
	for i := range p.prices.AssemblyQuotes {
		if !yield(&p.prices.AssemblyQuotes[i].Assembler) {
			return
		}
	}
	for i := range p.prices.Materials {
		if !yield(&p.prices.Materials[i].Supplier) {
			return
		}
	}
	if p.prices.Settings.Assembler != bom.AtBench && !yield(&p.prices.Settings.Assembler) {
		return
	}
	yield(&p.prices.Settings.Fabricator)
}

// spellSuppliers gives every supplier one spelling: that of the tab suppliers,
// else the first in the order of the alphabet.
func (p *priceReader) spellSuppliers() {
	least := map[string]string{}
	for n := range p.supplierNames {
		if had, ok := least[bom.Fold(*n)]; !ok || *n < had {
			least[bom.Fold(*n)] = *n
		}
	}
	for n := range p.supplierNames {
		if i, ok := p.suppliers[bom.Fold(*n)]; ok {
			*n = p.prices.Suppliers[i].Name
			continue
		}
		*n = least[bom.Fold(*n)]
	}
	p.warnOfStrangers()
}

// warnOfStrangers tells of suppliers that offers, boards, assembly and spools name and that
// have no row, where there is a tab for them: a misspelt one would be paid in home
// currency, without delivery and duty. Rows that nothing names are told beside.
func (p *priceReader) warnOfStrangers() {
	if len(p.prices.Suppliers) == 0 {
		return
	}
	var known []string
	for _, s := range p.prices.Suppliers {
		known = append(known, s.Name)
	}
	var strangers []string
	tell := func(name string, at bom.Place) {
		if _, ok := p.suppliers[bom.Fold(name)]; ok || name == "" || slices.Contains(strangers, name) {
			return
		}
		strangers = append(strangers, name)
		problem := bom.Problem{Place: at, Severity: bom.Warning, Found: name, Each: bom.Shown(name),
			What: "no row in the tab suppliers, so taken as home currency without delivery, duty or tax", Want: "add a row for it"}
		if near, ok := bom.Nearest(name, known); ok {
			problem.Hint = "did you mean " + near
		}
		p.problems.Add(problem)
	}
	for _, o := range p.prices.Offers {
		tell(o.Supplier, o.At("Supplier"))
	}
	for _, q := range p.prices.Quotes {
		tell(q.Fabricator, q.At("Fabricator"))
	}
	for _, a := range p.prices.Assemblers {
		tell(a.Name, a.At("Assembler"))
	}
	for _, q := range p.prices.AssemblyQuotes {
		tell(q.Assembler, q.At("Assembler"))
	}
	for _, m := range p.prices.Materials {
		if m.Unpriced {
			continue
		}
		tell(m.Supplier, m.At("Supplier"))
	}
	if len(strangers) > 0 {
		p.warnOfIdle(strangers)
	}
}

// warnOfIdle tells of suppliers with a row that nothing names.
func (p *priceReader) warnOfIdle(strangers []string) {
	named := map[string]bool{}
	for n := range p.supplierNames {
		named[bom.Fold(*n)] = true
	}
	for _, s := range p.prices.Suppliers {
		if named[bom.Fold(s.Name)] {
			continue
		}
		problem := bom.Problem{Place: s.At("Supplier"), Severity: bom.Warning, Found: s.Name, Each: bom.Shown(s.Name),
			What: "this supplier has no offers, while others have no row", Want: "its name as it stands in the offers"}
		if near, ok := bom.Nearest(s.Name, strangers); ok {
			problem.Hint = "did you mean " + near
		}
		p.problems.Add(problem)
	}
}

// checkAssembler refuses an assembler that asks no price.
func (p *priceReader) checkAssembler() {
	s, names := p.prices.Settings, p.prices.AssemblerNames()
	if s.Assembler == "" || s.Assembler == bom.AtBench || slices.Contains(names, s.Assembler) {
		return
	}
	var at bom.Place
	for _, set := range s.All {
		if set.Name == "Assembler" {
			at = set.At("Value")
		}
	}
	want := "add a row for it to the tab assembly or assembly quotes"
	if near, ok := bom.Nearest(s.Assembler, append(names, bom.AtBench)); ok {
		want += "; did you mean " + near
	}
	p.problems.Errorf(at, s.Assembler, want, "the assembler has no prices")
}
