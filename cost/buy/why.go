package buy

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Why tells what the choices of a plan are worth.
type Why struct {
	Plan      Plan
	Parts     []Alternative // one for each part that the plan buys, in the order of the problem
	Suppliers []Absence     // one for each supplier of the plan's lines, in the order of the problem
}

// Alternative is the next best for a part: the whole run planned anew with the
// part bought from none of the offers that the plan takes.
type Alternative struct {
	Part  int
	Lines []Line // of this part in the other plan; none where Change.None
	Change
}

// Absence is the whole run planned anew with no parts from one supplier. Its
// fixed goods and consignment fees stay.
type Absence struct {
	Supplier int
	Short    []int // parts that the others do not cover
	Change
}

// Change is what another plan costs the whole run.
type Change struct {
	None  bool            // there is no other plan; the rest is empty
	Extra decimal.Decimal // over the plan; never negative where OffBy is 0
	OffBy decimal.Decimal // how far Extra can be off, either way; 0 where both plans are proven cheapest
}

// Why solves a batch, and once more for each of its parts and suppliers without
// what was chosen there, each with an effort of its own.
func (s *Solver) Why(demand, taken []bom.Quantity, fixed []Fixed) (Why, error) {
	plan, err := s.Solve(demand, taken, fixed)
	if err != nil {
		return Why{}, err
	}
	out := Why{Plan: plan}
	chosen := map[[2]int]bool{} // part and offer
	var parts, suppliers []int
	for _, l := range plan.Lines {
		chosen[[2]int{l.Part, l.Offer}] = true
		parts, suppliers = append(parts, l.Part), append(suppliers, l.Supplier)
	}
	for _, i := range distinct(parts) {
		other, err := s.without(demand, taken, fixed, func(part int, o *offer) bool {
			return part == i && chosen[[2]int{i, o.index}]
		})
		if err != nil {
			return Why{}, err
		}
		a := Alternative{Part: i, Change: change(&plan, &other)}
		for _, l := range other.Lines {
			if l.Part == i {
				a.Lines = append(a.Lines, l)
			}
		}
		out.Parts = append(out.Parts, a)
	}
	for _, i := range distinct(suppliers) {
		other, err := s.without(demand, taken, fixed, func(_ int, o *offer) bool { return o.supplier == i })
		if err != nil {
			return Why{}, err
		}
		a := Absence{Supplier: i, Change: change(&plan, &other)}
		for _, x := range other.Short {
			if !slices.ContainsFunc(plan.Short, func(y Shortage) bool { return y.Part == x.Part }) {
				a.Short = append(a.Short, x.Part)
			}
		}
		out.Suppliers = append(out.Suppliers, a)
	}
	return out, nil
}

func distinct(x []int) []int {
	slices.Sort(x)
	return slices.Compact(x)
}

// change compares two plans of the same batch.
func change(plan, other *Plan) Change {
	if other.TooFewOrders || len(other.Short) > len(plan.Short) {
		return Change{None: true}
	}
	return Change{Extra: other.Landed.Sub(plan.Landed),
		OffBy: decimal.Max(plan.Landed.Sub(plan.Bound), other.Landed.Sub(other.Bound))}
}

// without solves a batch without some offers.
func (s *Solver) without(demand, taken []bom.Quantity, fixed []Fixed, drop func(part int, o *offer) bool) (Plan, error) {
	twin := s.Twin()
	for i := range twin.model.parts {
		p := &twin.model.parts[i]
		p.offers = slices.DeleteFunc(slices.Clone(p.offers), func(o offer) bool { return drop(p.index, &o) })
	}
	return twin.Solve(demand, taken, fixed)
}
