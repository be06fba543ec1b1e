package buy

import "tenoff/bom"

// Solve finds the cheapest plan of a problem.
func Solve(p Problem) (Plan, error) {
	s, err := New(p)
	if err != nil {
		return Plan{}, err
	}
	demand, fixed := demands(p)
	return s.Solve(demand, nil, fixed)
}

// demands gives what a problem needs of each part, and each supplier's fixed
// goods.
func demands(p Problem) ([]bom.Quantity, []Fixed) {
	demand := make([]bom.Quantity, len(p.Parts))
	for i := range p.Parts {
		demand[i] = p.Parts[i].Demand
	}
	fixed := make([]Fixed, len(p.Suppliers))
	for i := range p.Suppliers {
		fixed[i] = p.Suppliers[i].Fixed
	}
	return demand, fixed
}

// solveEagerly solves with the means of hard proofs from the first step on.
func solveEagerly(p Problem) (Plan, error) {
	s, err := New(p)
	if err != nil {
		return Plan{}, err
	}
	s.eager = true
	demand, fixed := demands(p)
	return s.Solve(demand, nil, fixed)
}
