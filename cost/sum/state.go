package sum

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/cost/money"
)

// divisionDecimals are those that a quotient keeps which is not rounded at once:
// no figure of a run lies so near to a half.
const divisionDecimals = 24

// Add is a + b + …; of nothing it is 0.
func (s *Sheet) Add(of ...Ref) Ref {
	of = without(of, 0)
	switch len(of) {
	case 0:
		return 0
	case 1:
		return of[0]
	}
	total := decimal.Zero
	for _, r := range of {
		total = plus(total, s.nodes[r].value)
	}
	return s.add(node{op: opAdd, value: total}, of...)
}

// plus adds, without the work where one of the two is nothing, as most are.
func plus(a, b decimal.Decimal) decimal.Decimal {
	switch {
	case b.IsZero():
		return a
	case a.IsZero():
		return b
	}
	return a.Add(b)
}

// without leaves out a literal.
func without(of []Ref, r Ref) []Ref {
	if !slices.Contains(of, r) {
		return of
	}
	return slices.DeleteFunc(slices.Clone(of), func(x Ref) bool { return x == r })
}

// Sub is a − b.
func (s *Sheet) Sub(a, b Ref) Ref {
	if b == 0 {
		return a
	}
	v := s.nodes[a].value
	if by := s.nodes[b].value; !by.IsZero() {
		v = v.Sub(by)
	}
	return s.add(node{op: opSub, value: v}, a, b)
}

// Mul is a × b × …, 0 where one is the literal 0.
func (s *Sheet) Mul(of ...Ref) Ref {
	if slices.Contains(of, 0) {
		return 0
	}
	v := s.nodes[of[0]].value
	for _, r := range of[1:] {
		v = v.Mul(s.nodes[r].value)
	}
	return s.add(node{op: opMul, value: v}, of...)
}

// Div is a ÷ b. Where b comes to 0 so does the quotient.
func (s *Sheet) Div(a, b Ref) Ref {
	if a == 0 {
		return 0
	}
	v := decimal.Zero
	if by := s.nodes[b].value; !by.IsZero() {
		v = s.nodes[a].value.DivRound(by, divisionDecimals)
	}
	return s.add(node{op: opDiv, value: v}, a, b)
}

// Round is a to so many decimals, half away from zero.
func (s *Sheet) Round(a Ref, digits int32) Ref { return s.RoundTo(a, s.Count(int64(digits))) }

// RoundTo is a to b decimals, half away from zero.
func (s *Sheet) RoundTo(a, b Ref) Ref {
	if a == 0 {
		return 0
	}
	digits := int32(s.nodes[b].value.IntPart())
	v := s.nodes[a].value
	if n := &s.nodes[a]; n.op == opDiv { // rounded once, from the exact quotient
		args := s.argsOf(a)
		if by := s.nodes[args[1]].value; !by.IsZero() {
			v = s.nodes[args[0]].value.DivRound(by, digits)
		}
	}
	return s.add(node{op: opRound, value: v.Round(digits)}, a, b)
}

// Up is a, which is not negative, up to a multiple of b, which is positive.
func (s *Sheet) Up(a, b Ref) Ref {
	if a == 0 {
		return 0
	}
	over, under := fraction(s, a) // whether there is a rest is exact too
	under = under.Mul(s.nodes[b].value)
	v := decimal.Zero
	if !under.IsZero() {
		steps, rest := over.QuoRem(under, 0)
		if rest.IsPositive() {
			steps = steps.Add(decimal.NewFromInt(1))
		}
		v = steps.Mul(s.nodes[b].value)
	}
	return s.add(node{op: opUp, value: v}, a, b)
}

// fraction is what a node comes to exactly, also where a quotient in it goes on without
// end: over ÷ under.
func fraction(s *Sheet, r Ref) (over, under decimal.Decimal) {
	a := s.argsOf(r)
	switch s.nodes[r].op {
	case opSame:
		return fraction(s, a[0])
	case opMore, opAtLeast, opEqual:
		return fraction(s, chosenOf(s, r))
	case opOf:
		over, under = decimal.Zero, one
		for _, x := range summands(s, r) {
			o, u := fraction(s, x)
			over, under = plusFraction(over, under, o, u)
		}
		return over, under
	case opDiv:
		over, under = fraction(s, a[0])
		by, of := fraction(s, a[1])
		if by.IsZero() {
			return decimal.Zero, one
		}
		return over.Mul(of), under.Mul(by)
	case opMul:
		over, under = one, one
		for _, x := range a {
			o, u := fraction(s, x)
			over, under = over.Mul(o), under.Mul(u)
		}
		return over, under
	case opAdd, opSub:
		over, under = fraction(s, a[0])
		for _, x := range a[1:] {
			o, u := fraction(s, x)
			if s.nodes[r].op == opSub {
				o = o.Neg()
			}
			over, under = plusFraction(over, under, o, u)
		}
		return over, under
	}
	return s.nodes[r].value, one
}

var one = decimal.NewFromInt(1)

// plusFraction adds two fractions.
func plusFraction(over, under, o, u decimal.Decimal) (decimal.Decimal, decimal.Decimal) {
	if !u.Equal(under) {
		over, o, under = over.Mul(u), o.Mul(under), under.Mul(u)
	}
	return over.Add(o), under
}

// Min is the least of some.
func (s *Sheet) Min(of ...Ref) Ref {
	v := s.nodes[of[0]].value
	for _, r := range of[1:] {
		v = decimal.Min(v, s.nodes[r].value)
	}
	return s.add(node{op: opMin, value: v}, of...)
}

// Max is the greatest of some.
func (s *Sheet) Max(of ...Ref) Ref {
	v := s.nodes[of[0]].value
	for _, r := range of[1:] {
		v = decimal.Max(v, s.nodes[r].value)
	}
	return s.add(node{op: opMax, value: v}, of...)
}

// AtLeast is yes where a ≥ b, else no; also where b is a figure that is blank.
func (s *Sheet) AtLeast(a, b, yes, no Ref) Ref { return choose(s, opAtLeast, a, b, yes, no) }

// More is yes where a > b, else no.
func (s *Sheet) More(a, b, yes, no Ref) Ref { return choose(s, opMore, a, b, yes, no) }

// Equal is yes where a = b, else no.
func (s *Sheet) Equal(a, b, yes, no Ref) Ref { return choose(s, opEqual, a, b, yes, no) }

func choose(s *Sheet, o op, a, b, yes, no Ref) Ref {
	r := s.add(node{op: o}, a, b, yes, no)
	s.nodes[r].value = s.nodes[chosenOf(s, r)].value
	return r
}

// chosenOf is what a choice comes to.
func chosenOf(s *Sheet, r Ref) Ref {
	a := s.argsOf(r)
	x, y := s.nodes[a[0]].value, s.nodes[a[1]].value
	holds := x.Equal(y)
	switch s.nodes[r].op {
	case opAtLeast:
		holds = !isBlank(s, a[1]) && x.GreaterThanOrEqual(y)
	case opMore:
		holds = x.GreaterThan(y)
	}
	if holds {
		return a[2]
	}
	return a[3]
}

// isBlank tells whether a node is a figure of which nothing stands in its cell.
func isBlank(s *Sheet, r Ref) bool {
	n := &s.nodes[r]
	return n.op == opFigure && s.figures[n.extra].Blank
}

// Of is the sum of the values whose tags equal a tag: what belongs to one supplier,
// one category. There are as many tags as values.
func (s *Sheet) Of(tag Ref, tags, values []Ref) Ref {
	if len(tags) == 0 {
		return 0
	}
	total, is, unknown := decimal.Zero, s.nodes[tag].value, false
	for i, t := range tags {
		if s.nodes[t].value.Equal(is) {
			total = plus(total, s.nodes[values[i]].value)
			unknown = unknown || s.nodes[values[i]].unknown
		}
	}
	r := s.add(node{op: opOf, value: total}, slices.Concat([]Ref{tag}, tags, values)...)
	s.nodes[r].unknown = unknown
	return r
}

// ofWhat parts the arguments of such a sum.
func ofWhat(a []Ref) (tag Ref, tags, values []Ref) {
	half := (len(a) - 1) / 2
	return a[0], a[1 : 1+half], a[1+half:]
}

// summands are all terms of a sum; none of what is no sum.
func summands(s *Sheet, r Ref) (out []Ref) {
	switch s.nodes[r].op {
	case opAdd:
		return s.argsOf(r)
	case opOf:
		tag, tags, values := ofWhat(s.argsOf(r))
		for i, t := range tags {
			if s.nodes[t].value.Equal(s.nodes[tag].value) {
				out = append(out, values[i])
			}
		}
	}
	return out
}

// Share shares a total, which is rounded to so many decimals, out by weights
// (largest remainder, see [money.Apportion]), under a name. A share whose weight is 0 rests on
// nothing unknown.
func (s *Sheet) Share(k Key, total Ref, weights []Ref, digits int32) []Ref {
	out := make([]Ref, len(weights))
	if len(weights) == 1 {
		out[0] = total
		return out
	}
	if total == 0 || len(weights) == 0 {
		return out
	}
	by := inProportion(s, weights)
	args := append([]Ref{total, s.Count(int64(digits))}, weights...)
	for i, share := range money.Apportion(s.nodes[total].value, by, digits) {
		if i == 0 {
			out[0] = s.add(node{op: opShare, value: share}, args...)
			continue
		}
		first := s.nodes[out[0]]
		n := node{op: opShare, extra: int32(i), value: share, from: first.from, to: first.to}
		s.nodes = append(s.nodes, n)
		out[i] = Ref(len(s.nodes) - 1)
	}
	for i, r := range out {
		s.nodes[r].unknown = s.nodes[total].unknown && !by[i].IsZero()
	}
	s.shares = append(s.shares, Shares{k, total, weights, out})
	return out
}

// inProportion are what nodes come to, or where quotients are among them, the same times
// what they are divided by, so that no place at which one was cut off decides a tie.
func inProportion(s *Sheet, of []Ref) []decimal.Decimal {
	out, under := make([]decimal.Decimal, len(of)), make([]decimal.Decimal, len(of))
	for i, r := range of {
		if out[i], under[i] = s.nodes[r].value, one; s.nodes[r].value.Exponent() <= -divisionDecimals {
			out[i], under[i] = fraction(s, r)
		}
	}
	if !slices.ContainsFunc(under, func(by decimal.Decimal) bool { return !by.Equal(under[0]) }) {
		return out
	}
	for i := range of {
		for j, by := range under {
			if j != i {
				out[i] = out[i].Mul(by)
			}
		}
	}
	return out
}

// Table is a list of rows by rising keys, such as the price breaks of all offers.
type Table struct {
	Keys    []int64
	Columns []string
	Rows    Rows
}

// Rows give what stands in a column and a row of a table, both counted from 0.
type Rows interface {
	Figure(column, row int) Figure
}

// Row is the row of the greatest key that is no more than a; -1 where none is.
func (t *Table) Row(a int64) int {
	at, found := slices.BinarySearch(t.Keys, a)
	if !found {
		at--
	}
	return at
}

// Match is the row of a table that holds at a, counted from 1.
func (s *Sheet) Match(t *Table, a Ref) Ref {
	row := t.Row(s.nodes[a].value.IntPart())
	return s.add(node{op: opMatch, table: t, value: decimal.NewFromInt(int64(row + 1))}, a)
}

// rowOf is the row that a match gives, counted from 0.
func rowOf(s *Sheet, match Ref) int { return int(s.nodes[match].value.IntPart()) - 1 }

// Pick is what stands in a column, counted from 0, of the row that a match gives.
func (s *Sheet) Pick(t *Table, column int, match Ref) Ref {
	n := node{op: opPick, table: t, extra: int32(column)}
	if row := rowOf(s, match); row >= 0 {
		n.value = t.Rows.Figure(column, row).Value
	}
	return s.add(n, match)
}
