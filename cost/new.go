package cost

import (
	"slices"
	"strconv"

	"tenoff/bom"
)

// New works out what does not depend on the batch size. With errors among the
// problems the model is nil.
func New(run Run) (*Model, bom.Problems) {
	if problems := run.missing(); problems.Failed() {
		return nil, problems
	}
	m := &Model{run: run, prices: run.Prices, home: run.Prices.Settings.Home}
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
	checkWaysOut(m)
	if m.problems.Failed() {
		return nil, m.problems
	}
	return m, m.problems
}

// missing complains of a run that nothing can be computed of.
func (r *Run) missing() (problems bom.Problems) {
	if r.Unit == nil {
		problems.Errorf(bom.Place{}, "", "the lines of a unit", "the run has no bill of materials")
	}
	if r.Prices == nil {
		problems.Errorf(bom.Place{}, "", "prices in a home currency", "the run has no price sheet")
	}
	if !slices.Contains(bom.Levels, r.Level) {
		problems.Errorf(bom.Place{}, strconv.Itoa(int(r.Level)), "bom.LevelBoard, LevelKit or LevelBuilt", "the run has no level")
	}
	return problems
}
