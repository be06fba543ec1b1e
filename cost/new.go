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
	for i := range p.Products {
		m.products = append(m.products, product{name: p.Products[i].Name, level: p.Products[i].Level, unit: p.Products[i].Unit})
	}
}

// At is the model with the plan of one of the run's batches, where it has plans.
func (m *Model) At(batch int) *Model {
	if m.run.Programme == nil {
		return m
	}
	return m.withPlan(&m.run.Programme.Plans[batch])
}

// withPlan is the model of a programme with a plan.
func (m *Model) withPlan(plan *bom.Plan) *Model {
	out := *m
	out.plan, out.ways = plan, nil
	for _, way := range m.ways {
		out.ways = append(out.ways, way.withPlan(plan))
	}
	return &out
}

// missing complains of a run that nothing can be computed of.
func (r *Run) missing() (problems bom.Problems) {
	if r.Unit == nil {
		problems.Errorf(bom.Place{}, "", "the lines of a unit", "the run has no bill of materials")
	}
	if r.Prices == nil {
		problems.Errorf(bom.Place{}, "", "prices in a home currency", "the run has no price sheet")
	}
	if r.Programme != nil {
		problems = append(problems, r.wrongPlans()...)
	} else if !slices.Contains(bom.Levels, r.Level) {
		problems.Errorf(bom.Place{}, strconv.Itoa(int(r.Level)), "bom.LevelBoard, LevelKit or LevelBuilt", "the run has no level")
	}
	return problems
}

// wrongPlans complains of plans that cannot be computed together.
func (r *Run) wrongPlans() (problems bom.Problems) {
	p := r.Programme
	for i := range p.Plans {
		plan := &p.Plans[i]
		all := plan.All()
		if all < 1 || all > MaxBatch {
			problems.Errorf(plan.Place, strconv.Itoa(all), "1 to "+strconv.Itoa(MaxBatch)+" in all", "units of the plan")
		}
	}
	return problems
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
