package sum

import (
	"cmp"
	"math"
	"slices"
)

// Program evaluates results of a sheet in float64, as often as figures change that
// may turn out otherwise. What does not rest on those is worked out already, so
// that a run costs as many steps as there are nodes between them and the results.
// With every figure at its value a result is that of the sheet, to the noise of
// binary fractions.
type Program struct {
	sheet *Sheet
	v     []float64 // by node
	code  []Ref
}

// Compile makes a programme for some results when some figures are drawn.
func (s *Sheet) Compile(results, drawn []Ref) *Program {
	p := &Program{sheet: s, v: make([]float64, len(s.nodes))}
	for i := range s.nodes {
		p.v[i] = s.nodes[i].value.InexactFloat64()
		if s.blank(Ref(i)) {
			p.v[i] = math.Inf(1)
		}
	}
	wanted := make([]bool, len(s.nodes))
	for _, r := range results {
		wanted[r] = true
	}
	for i := len(s.nodes) - 1; i >= 0; i-- {
		if wanted[i] {
			for _, a := range s.argsOf(Ref(i)) {
				wanted[a] = true
			}
		}
	}
	for i := range s.nodes {
		if wanted[i] {
			p.code = append(p.code, Ref(i))
		}
	}
	p.code = p.After(drawn...).code
	return p
}

// After is the programme of what rests on some of the figures. It shares all values
// with the one it is made from.
func (p *Program) After(drawn ...Ref) *Program {
	out := &Program{sheet: p.sheet, v: p.v}
	moves := make([]bool, len(p.v))
	for _, r := range drawn {
		moves[r] = true
	}
	for _, r := range p.code {
		if moves[r] {
			continue
		}
		for _, a := range p.sheet.argsOf(r) {
			if moves[a] {
				moves[r] = true
				out.code = append(out.code, r)
				break
			}
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
	s, v := p.sheet, p.v
	for _, r := range p.code {
		n := &s.nodes[r]
		a := s.args[n.from:n.to]
		switch n.op {
		case opSame:
			v[r] = v[a[0]]
		case opAdd:
			sum := 0.0
			for _, x := range a {
				sum += v[x]
			}
			v[r] = sum
		case opSub:
			v[r] = v[a[0]] - v[a[1]]
		case opMul:
			product := v[a[0]]
			for _, x := range a[1:] {
				product *= v[x]
			}
			v[r] = product
		case opDiv:
			v[r] = 0
			if v[a[1]] != 0 {
				v[r] = v[a[0]] / v[a[1]]
			}
		case opShare:
			p.share(r, a)
		default:
			v[r] = p.other(n, a)
		}
	}
}

// other is what a node comes to that is met less often.
func (p *Program) other(n *node, a []Ref) float64 {
	v := p.v
	choice := func(holds bool) float64 {
		if holds {
			return v[a[2]]
		}
		return v[a[3]]
	}
	switch n.op {
	case opRound:
		return round(v[a[0]], v[a[1]])
	case opUp:
		return math.Ceil(v[a[0]]/v[a[1]]-hair) * v[a[1]]
	case opMin, opMax:
		best := v[a[0]]
		for _, x := range a[1:] {
			if n.op == opMin {
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
	case opOf:
		sum, half := 0.0, (len(a)-1)/2
		for i, tag := range a[1 : 1+half] {
			if v[tag] == v[a[0]] {
				sum += v[a[1+half+i]]
			}
		}
		return sum
	}
	return n.value.InexactFloat64()
}

// hair makes up for what binary fractions lack: a half that decimals would round up
// is not left under it. Two numbers that differ by no more than nothing are one:
// both are far below a minor unit.
const hair, nothing = 1e-6, 1e-9

// round rounds half away from zero.
func round(x, digits float64) float64 {
	scale := powers[int(digits)]
	if x < 0 {
		return -math.Floor(-x*scale+(0.5+hair)) / scale
	}
	return math.Floor(x*scale+(0.5+hair)) / scale
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
