package sum

import (
	"cmp"
	"math"
	"slices"

	"tenoff/bom"
)

// Program evaluates results of a sheet in float64, as often as figures change that
// may turn out otherwise. What does not rest on those is worked out already, so
// that a run costs as many steps as there are nodes between them and the results.
// With every figure at its value a result is that of the sheet, to the noise of
// binary fractions.
type Program struct {
	sheet *Sheet
	v     []float64 // by node
	steps []step
}

// step works a node out: as it is stated, or by what is left of it where a part of it
// never moves.
type step struct {
	node Ref
	op   op
	args []Ref
}

// Compile makes a programme for some results when some figures are drawn.
func (s *Sheet) Compile(results, drawn []Ref) *Program {
	p := &Program{sheet: s, v: make([]float64, len(s.nodes))}
	for i := range s.nodes {
		p.v[i] = s.nodes[i].value.InexactFloat64()
		if isBlank(s, Ref(i)) {
			p.v[i] = math.Inf(1)
		}
	}
	moves := movedBy(s, drawn)
	for i, wanted := range wantedBy(s, results, moves) {
		if wanted {
			p.steps = append(p.steps, stepOf(s, Ref(i), moves))
		}
	}
	p.steps = p.After(drawn...).steps
	return p
}

// Rest tells on which of some figures, where these are drawn, results rest.
func (s *Sheet) Rest(results, drawn []Ref) []bool {
	wanted := wantedBy(s, results, movedBy(s, drawn))
	return bom.Each(drawn, func(r *Ref) bool { return wanted[*r] })
}

// movedBy are the nodes that rest on figures that are drawn.
func movedBy(s *Sheet, drawn []Ref) []bool {
	moves := make([]bool, len(s.nodes))
	for _, r := range drawn {
		moves[r] = true
	}
	for i := range s.nodes {
		moves[i] = moves[i] || slices.ContainsFunc(stepOf(s, Ref(i), moves).args, func(a Ref) bool { return moves[a] })
	}
	return moves
}

// wantedBy are the nodes that results are worked out by.
func wantedBy(s *Sheet, results []Ref, moves []bool) []bool {
	wanted := make([]bool, len(s.nodes))
	for _, r := range results {
		wanted[r] = true
	}
	for i := len(s.nodes) - 1; i >= 0; i-- {
		if wanted[i] && moves[i] {
			for _, x := range stepOf(s, Ref(i), moves).args {
				wanted[x] = true
			}
		}
	}
	return wanted
}

// stepOf is how a node is worked out: of a choice that nothing moves by what is chosen,
// of a sum over tags that do not move by what has the tag.
func stepOf(s *Sheet, r Ref, moves []bool) step {
	a := s.argsOf(r)
	switch s.nodes[r].op {
	case opAtLeast, opMore, opEqual:
		if !moves[a[0]] && !moves[a[1]] {
			return step{r, opSame, []Ref{chosenOf(s, r)}}
		}
	case opOf:
		if tag, tags, _ := ofWhat(a); !moves[tag] && !slices.ContainsFunc(tags, func(x Ref) bool { return moves[x] }) {
			return step{r, opAdd, summands(s, r)}
		}
	}
	return step{r, s.nodes[r].op, a}
}

// After is the programme of what rests on some of the figures. It shares all values
// with the one it is made from.
func (p *Program) After(drawn ...Ref) *Program {
	out := &Program{sheet: p.sheet, v: p.v}
	moves := make([]bool, len(p.v))
	for _, r := range drawn {
		moves[r] = true
	}
	for _, x := range p.steps {
		if !moves[x.node] && slices.ContainsFunc(x.args, func(a Ref) bool { return moves[a] }) {
			moves[x.node] = true
			out.steps = append(out.steps, x)
		}
	}
	return out
}

// Set gives a figure another value.
func (p *Program) Set(r Ref, x float64) { p.v[r] = x }

// Value is what a node came to in the last run.
func (p *Program) Value(r Ref) float64 { return p.v[r] }

// Run works out what rests on the figures that are drawn.
func (p *Program) Run() {
	v := p.v
	for i := range p.steps {
		x := &p.steps[i]
		r, a := x.node, x.args
		switch x.op {
		case opSame:
			v[r] = v[a[0]]
		case opAdd:
			sum := 0.0
			for _, y := range a {
				sum += v[y]
			}
			v[r] = sum
		case opSub:
			v[r] = v[a[0]] - v[a[1]]
		case opMul:
			product := v[a[0]]
			for _, y := range a[1:] {
				product *= v[y]
			}
			v[r] = product
		case opDiv:
			v[r] = 0
			if v[a[1]] != 0 {
				v[r] = v[a[0]] / v[a[1]]
			}
		case opRound:
			v[r] = round(v[a[0]], v[a[1]])
		case opShare:
			p.share(r, a)
		default:
			v[r] = p.other(x.op, a)
		}
	}
}

// other is what a node comes to that is met less often.
func (p *Program) other(o op, a []Ref) float64 {
	v := p.v
	choice := func(holds bool) float64 {
		if holds {
			return v[a[2]]
		}
		return v[a[3]]
	}
	switch o {
	case opUp:
		return math.Ceil(v[a[0]]/v[a[1]]-hair) * v[a[1]]
	case opMin, opMax:
		best := v[a[0]]
		for _, x := range a[1:] {
			if o == opMin {
				best = min(best, v[x])
			} else {
				best = max(best, v[x])
			}
		}
		return best
	case opAtLeast:
		return choice(v[a[0]] > v[a[1]]-nothing)
	case opMore:
		return choice(v[a[0]] > v[a[1]]+nothing)
	case opEqual:
		return choice(math.Abs(v[a[0]]-v[a[1]]) <= nothing)
	}
	// The sum of what has a tag; rows of tables are decisions and do not move.
	sum := 0.0
	tag, tags, values := ofWhat(a)
	for i, t := range tags {
		if v[t] == v[tag] {
			sum += v[values[i]]
		}
	}
	return sum
}

// hair and grain make up for what binary fractions lack, of small numbers and of large
// ones: a half that decimals would round up is not left under it. A third of an hour
// with nine decimals, times a price, can lie a hundred-millionth under a half, and stays
// there. Two numbers that differ by no more than nothing are one.
const hair, grain, nothing = 1e-9, 1e-15, 1e-9

// round rounds half away from zero.
func round(x, digits float64) float64 {
	scale := powers[int(digits)]
	units := float64(x * scale) // not fused with what follows
	if x < 0 {
		return -math.Floor(0.5+hair-units*(1+grain)) / scale
	}
	return math.Floor(units*(1+grain)+(0.5+hair)) / scale
}

// powers of ten, as many as there are decimals to be rounded to.
var powers = func() (out [19]float64) {
	for i := range out {
		out[i] = math.Pow10(i)
	}
	return out
}()

// share works one share out of a total by largest remainder.
func (p *Program) share(r Ref, a []Ref) {
	total, scale, weights := p.v[a[0]], powers[int(p.v[a[1]])], a[2:]
	sum := 0.0
	for _, w := range weights {
		sum += p.v[w]
	}
	at := int(p.sheet.nodes[r].extra)
	if sum == 0 {
		p.v[r] = 0
		if at == 0 {
			p.v[r] = total
		}
		return
	}
	units := math.Round(total * scale)
	rest, order := units, make([]int, len(weights))
	part := func(i int) (whole, over float64) {
		x := units * p.v[weights[i]] / sum
		whole = math.Floor(x + hair)
		return whole, x - whole
	}
	for i := range weights {
		whole, _ := part(i)
		rest, order[i] = rest-whole, i
	}
	slices.SortStableFunc(order, func(i, j int) int {
		_, a := part(i)
		_, b := part(j)
		if math.Abs(a-b) <= nothing {
			return 0
		}
		return cmp.Compare(b, a)
	})
	whole, _ := part(at)
	if slices.Index(order, at) < int(rest) {
		whole++
	}
	p.v[r] = whole / scale
}
