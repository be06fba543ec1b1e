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
	p := &priceReader{prices: &bom.Prices{Name: name, Heads: map[string]*bom.Heading{}},
		suppliers: map[string]int{}, rates: map[string]bool{}, openShares: map[string]bool{}, onPanel: map[string]int{}}
	if p.locate(tables, bom.PriceTab, p.noteUnknown, opt); len(p.regions)+len(p.lost) == 0 {
		if !p.misnamed {
			p.problems = nil
		}
		p.problems.Errorf(bom.Place{File: name}, "", "tenoff start --bom LIST DIR writes a price sheet, and tenoff enter takes a price list into it",
			"no tab of a price sheet stands here")
	}
	for tab, reg := range p.regions {
		head := *reg.head
		head.Mark = p.markings[reg.table.File].mark
		p.prices.Heads[tab] = &head
	}
	p.settings(name, opt)
	p.each(bom.TabExchange, p.rate)
	p.each(bom.TabSuppliers, p.supplier)
	p.offers()
	p.panels()
	p.each(bom.TabBoards, p.quote)
	p.each(bom.TabAssembly, p.assembler)
	p.assemblyQuotes()
	p.each(bom.TabAttrition, p.allowance)
	p.each(bom.TabParts, p.partRule)
	p.each(bom.TabHandWork, p.operation)
	p.materials()
	p.each(bom.TabPrinters, p.printer)
	p.each(bom.TabRecipes, p.recipe)
	p.each(bom.TabPrintLog, p.finishedPrint)
	p.each(bom.TabPostage, p.service)
	p.each(bom.TabRecipients, p.recipient)
	p.each(bom.TabOnHand, p.onHand)
	p.each(bom.TabSubstitutes, p.substitute)
	p.each(bom.TabWhoPays, p.share)
	p.each(bom.TabOneOff, p.oneOff)
	p.checkShares()
	p.spellSuppliers()
	p.checkAssembler()
	return p.prices, p.problems
}

// noteUnknown tells of a table that is no tab.
func (p *priceReader) noteUnknown(at bom.Place, name string) {
	if near, ok := bom.Nearest(name, bom.TabNames()); ok {
		p.misnamed = true
		p.problems.Notef(at, "%s is not a tab of the price sheet and is ignored; did you mean %s", bom.Shown(name), near)
		return
	}
	p.problems.Notef(at, "%s is not a tab of the price sheet and is ignored", bom.Shown(name))
}

type priceReader struct {
	tabs
	prices *bom.Prices

	rates      map[string]bool // currencies that have a rate
	suppliers  map[string]int  // supplier, folded -> index into prices.Suppliers
	onPanel    map[string]int  // panel -> its board types
	openShares map[string]bool // what is shared, folded, with a share that could not be read
	misnamed   bool            // a table has nearly the name of a tab
}

// currency reads the currency of a row's money, and complains where it has no
// rate, once for each currency.
func (p *priceReader) currency(d *decoder, c bom.Cell, fallback bom.Currency) bom.Currency {
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

// mention is where a supplier is named outside the tab suppliers.
type mention struct {
	bom.Origin
	name    *string
	heading string // empty where one without a row need not be told
}

// mentions are all places where a supplier is named outside the tab suppliers.
func (p *priceReader) mentions() (all []mention) {
	for _, o := range bom.Refs(p.prices.Offers) {
		all = append(all, mention{o.Origin, &o.Supplier, "Supplier"})
	}
	for _, q := range bom.Refs(p.prices.Quotes) {
		all = append(all, mention{q.Origin, &q.Fabricator, "Fabricator"})
	}
	for _, a := range bom.Refs(p.prices.Assemblers) {
		all = append(all, mention{a.Origin, &a.Name, "Assembler"})
	}
	for _, q := range bom.Refs(p.prices.AssemblyQuotes) {
		all = append(all, mention{q.Origin, &q.Assembler, "Assembler"})
	}
	for _, m := range bom.Refs(p.prices.Materials) {
		heading := "Supplier"
		if m.Unpriced {
			heading = ""
		}
		all = append(all, mention{m.Origin, &m.Supplier, heading})
	}
	if s := &p.prices.Settings; s.Assembler != bom.AtBench {
		all = append(all, mention{name: &s.Assembler})
	}
	return append(all, mention{name: &p.prices.Settings.Fabricator})
}

// spellSuppliers gives every supplier one spelling: that of the tab suppliers,
// else the first in the order of the alphabet.
func (p *priceReader) spellSuppliers() {
	mentions := p.mentions()
	least := map[string]string{}
	for _, m := range mentions {
		if had, ok := least[bom.Fold(*m.name)]; !ok || *m.name < had {
			least[bom.Fold(*m.name)] = *m.name
		}
	}
	for _, m := range mentions {
		if i, ok := p.suppliers[bom.Fold(*m.name)]; ok {
			*m.name = p.prices.Suppliers[i].Name
			continue
		}
		*m.name = least[bom.Fold(*m.name)]
	}
	p.warnOfStrangers(mentions)
}

// warnOfStrangers tells of suppliers that offers, boards, assembly and spools name and that
// have no row, where there is a tab for them: a misspelt one would be paid in home
// currency, without delivery and duty. Rows that nothing names are told beside.
func (p *priceReader) warnOfStrangers(mentions []mention) {
	if len(p.prices.Suppliers) == 0 {
		return
	}
	known := bom.Each(p.prices.Suppliers, func(s *bom.Supplier) string { return s.Name })
	var strangers []string
	for _, m := range mentions {
		name := *m.name
		if _, ok := p.suppliers[bom.Fold(name)]; ok || name == "" || m.heading == "" || slices.Contains(strangers, name) {
			continue
		}
		strangers = append(strangers, name)
		problem := bom.Problem{Place: m.At(m.heading), Severity: bom.Warning, Found: name, Each: bom.Shown(name),
			What: "no row in the tab suppliers, so taken as home currency without delivery, duty or tax", Want: "add a row for it"}
		if near, ok := bom.Nearest(name, known); ok {
			problem.Hint = "did you mean " + near
		}
		p.problems.Add(problem)
	}
	if len(strangers) > 0 {
		p.warnOfIdle(mentions, strangers)
	}
}

// warnOfIdle tells of suppliers with a row that nothing names.
func (p *priceReader) warnOfIdle(mentions []mention, strangers []string) {
	named := map[string]bool{}
	for _, m := range mentions {
		named[bom.Fold(*m.name)] = true
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
