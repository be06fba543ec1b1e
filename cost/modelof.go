package cost

import (
	"slices"

	"tenoff/bom"
)

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

// allWays are the models of all makings, one or several.
func (m *Model) allWays() []*Model {
	if m.ways == nil {
		return []*Model{m}
	}
	return m.ways
}

// of is the model of the making by which the boards of a batch are made.
func (m *Model) of(b *Batch) *Model {
	if m.undecided() {
		m = m.with(b.takes)
	}
	if m.ways == nil {
		return m
	}
	return m.ways[b.way]
}

// undecided tells whether it is yet to be decided what substitutes a batch takes.
func (m *Model) undecided() bool {
	return m.swapped == nil && slices.ContainsFunc(m.swaps, func(s swap) bool { return s.optional })
}

// with is the model with so many pieces of each substitute. Shared with the model is its
// solver.
func (m *Model) with(takes []bom.Quantity) *Model {
	out := *m
	out.swapped, out.spare = takes, nil
	if out.swapped == nil {
		out.swapped = make([]bom.Quantity, len(m.swaps))
	}
	hazardsWith(&out)
	out.ways = nil
	for _, way := range m.ways {
		out.ways = append(out.ways, way.with(out.swapped))
	}
	return &out
}

// hazardsWith finds the hazards of a unit again, where a substitute has others than its part.
func hazardsWith(m *Model) {
	differs := slices.ContainsFunc(m.entries, func(e Entry) bool {
		return e.StandsFor > 0 && !slices.Equal(e.Line.Hazard, m.entries[e.StandsFor-1].Line.Hazard)
	})
	if !differs {
		return
	}
	gone, taken := make([]bool, len(m.entries)), make([]bool, len(m.entries))
	for i := range m.swaps {
		for _, e := range m.swaps[i].lines {
			of := m.entries[e].StandsFor - 1
			taken[e], gone[of] = m.swapped[i] > 0, gone[of] || m.swapped[i] == bom.MaxQuantity
		}
	}
	m.products = slices.Clone(m.products)
	for i := range m.products {
		m.products[i].mass.hazards = nil
	}
	m.zones, m.problems = nil, nil // what there is to say of them New said
	for i, e := range bom.Refs(m.entries) {
		if e.StandsFor == 0 && !gone[i] || taken[i] {
			mass := &m.products[e.Product].mass
			mass.hazards = addNames(mass.hazards, e.Line.Hazard)
		}
	}
	prepareZones(m)
}

// twin is a model of the same run that another goroutine can use at the same
// time. All else that the two share is only read once the model is made.
func (m *Model) twin() *Model {
	out := *m
	out.spare = nil
	if m.solver != nil {
		out.solver = m.solver.Twin()
	}
	out.ways = make([]*Model, len(m.ways))
	for i, way := range m.ways {
		out.ways[i] = way.twin()
	}
	if m.ways == nil {
		out.ways = nil
	}
	return &out
}
