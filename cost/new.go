package cost

import "tenoff/bom"

// New works out what does not depend on the batch size. With errors among the
// problems the model is nil.
func New(run Run) (*Model, bom.Problems) {
	if problems := run.missing(); problems.Failed() {
		return nil, problems
	}
	m := &Model{run: run, prices: run.Prices, home: run.Prices.Settings.Home}
	listProducts(m)
	readRates(m)
	listSuppliers(m)
	applyRules(m)
	prepareSwaps(m)
	flattenUnit(m)
	mixLines(m)
	gatherParts(m)
	prepareCuts(m)
	prepareMakings(m)
	checkBoardNames(m)
	takeScarce(m)
	tieOffers(m)
	tieStock(m)
	sortQuotes(m)
	findAllowances(m)
	preparePrinted(m)
	onePiece(m)
	groupPlates(m)
	prepareWork(m)
	lineWork(m)
	swapWork(m)
	preparePayers(m)
	prepareOneOffs(m)
	prepareMass(m)
	prepareZones(m)
	warnOfMass(m)
	sortLines(m)
	prepareTerms(m)
	markSent(m)
	prepareWays(m)
	checkAges(m)
	warnOfUnmet(m)
	checkSubstitutes(m)
	if len(m.products) > 1 { // a line that several have is wrong once
		m.problems = m.problems.Once()
	}
	if m.problems.Failed() {
		return nil, m.problems
	}
	return m, m.problems
}

// listProducts lists what is made: the unit of the run, or the products of a programme.
func listProducts(m *Model) {
	p := m.run.Programme
	if p == nil {
		m.products = []product{{level: m.run.Level, unit: m.run.Unit}}
		return
	}
	m.products = bom.Each(p.Products, func(of *bom.Product) product { return product{name: of.Name, level: of.Level, unit: of.Unit} })
}

// IDs tell the batches of a run apart.
func (r *Run) IDs() []BatchID {
	m := &Model{run: *r}
	out := make([]BatchID, len(r.Batches))
	for i, size := range r.Batches {
		out[i] = m.At(i).id(size)
	}
	return out
}
