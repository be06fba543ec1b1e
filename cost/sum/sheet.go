package sum

import (
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// Ref is a figure or a result of a sheet. The zero Ref is the number 0.
type Ref int32

// Key names a figure or a result: what thing it is of, which of them, and what of
// it; {"order", 2, "duty"}.
type Key struct {
	Of   string
	At   int
	What string
}

// Figure is what stands in a cell of the input, or was decided before the sums are
// made.
type Figure struct {
	Key   Key
	Value decimal.Decimal
	Text  string // where words stand in its cell, see [Sheet.Of]

	// Optional is for a limit whose cell may be left blank; where it is Blank nothing
	// is at least it.
	Optional, Blank bool
	Unit            string
	Place           bom.Place // zero for what was decided
	AsOf            bom.Date

	// Row and Column call the figure where all that was read is listed: what its row is
	// about, and what of it stands in its column, empty where the row has but the one
	// figure. No row: it is listed nowhere. Note is that of the row.
	Row, Column, Note string
}

// op is what a node does with its arguments.
type op uint8

const (
	opNumber  op = iota // a literal number
	opFigure            // a figure
	opSame              // another node under another name
	opAdd               // a + b + …
	opSub               // a − b
	opMul               // a × b × …
	opDiv               // a ÷ b
	opRound             // a to b decimals, half away from zero
	opUp                // a up to a multiple of b
	opMin               // the least
	opMax               // the greatest
	opAtLeast           // c where a ≥ b, else d
	opMore              // c where a > b, else d
	opEqual             // c where a = b, else d
	opMatch             // the row of a table that holds at a
	opPick              // what stands in row a of a table, in a column
	opOf                // the sum of values whose tag is a; see Sheet.Of
	opShare             // share of a by the weights b, c, …
)

// node is a number with how it comes about.
type node struct {
	op       op
	unknown  bool
	from, to int32 // its arguments in Sheet.args
	extra    int32 // of a figure its number, of a share its place, of a pick the column
	table    *Table
	value    decimal.Decimal
}

// Sheet holds sums that belong together. The zero value is not ready: see [New].
type Sheet struct {
	nodes   []node
	args    []Ref
	figures []Figure
	results []result
	shares  []Shares
	index   map[Key]Ref // made when it is first asked for
	named   []int32     // by node: 1 + its first result; 0: none
	counts  [101]Ref    // of small whole numbers, which are used again and again
}

// result is a node under a name.
type result struct {
	key    Key
	ref    Ref
	digits int32
}

// Shares are what a total was shared out into, under the name of the whole.
type Shares struct {
	Key     Key
	Total   Ref
	Weights []Ref
	Refs    []Ref
}

// Shared lists what was shared out, in the order in which it was stated.
func (s *Sheet) Shared() []Shares { return s.shares }

// Loose is for results that are not rounded to a number of decimals.
const Loose int32 = -1

// New makes an empty sheet with room for so many nodes.
func New(room int) *Sheet {
	return &Sheet{nodes: make([]node, 1, room+1), args: make([]Ref, 0, 7*room/2), results: make([]result, 0, 5*room/9),
		figures: make([]Figure, 0, room/9), named: make([]int32, 0, room+1)}
}

// Reset empties a sheet and keeps its room.
func (s *Sheet) Reset() {
	*s = Sheet{nodes: s.nodes[:1], args: s.args[:0], figures: s.figures[:0], results: s.results[:0], named: s.named[:0]}
}

// Clone copies a sheet, so that more can be stated without changing it.
func (s *Sheet) Clone() *Sheet {
	return &Sheet{nodes: slices.Clone(s.nodes), args: slices.Clone(s.args), figures: slices.Clone(s.figures),
		results: slices.Clone(s.results), shares: slices.Clone(s.shares), named: slices.Clone(s.named), counts: s.counts}
}

// add appends a node.
func (s *Sheet) add(n node, args ...Ref) Ref {
	n.from = int32(len(s.args))
	s.args = append(s.args, args...)
	n.to = int32(len(s.args))
	for _, a := range args {
		n.unknown = n.unknown || s.nodes[a].unknown
	}
	s.nodes = append(s.nodes, n)
	return Ref(len(s.nodes) - 1)
}

// argsOf are the arguments of a node.
func (s *Sheet) argsOf(r Ref) []Ref { return s.args[s.nodes[r].from:s.nodes[r].to] }

// Value is the exact value of a node.
func (s *Sheet) Value(r Ref) decimal.Decimal { return s.nodes[r].value }

// Unknown tells whether a node rests on something that nobody knows.
func (s *Sheet) Unknown(r Ref) bool { return s.nodes[r].unknown }

// Name gives a node a name under which it can be found, shown in a cell and told
// of, and the number of decimals that it is rounded to already; [Loose] for none.
// A node that has a name, a figure, a share and a number get a node more, so that each
// result has a cell of its own.
func (s *Sheet) Name(k Key, r Ref, digits int32) Ref {
	if n := &s.nodes[r]; n.op == opNumber || n.op == opFigure || n.op == opSame || n.op == opShare || s.nameOf(r) != nil {
		same := node{op: opSame, value: n.value}
		r = s.add(same, r)
	}
	s.results = append(s.results, result{k, r, digits})
	for len(s.named) <= int(r) {
		s.named = append(s.named, 0)
	}
	s.named[r] = int32(len(s.results))
	if s.index != nil {
		s.index[k] = r
	}
	return r
}

// nameOf is the name of a node; nil for none.
func (s *Sheet) nameOf(r Ref) *result {
	if int(r) >= len(s.named) || s.named[r] == 0 {
		return nil
	}
	return &s.results[s.named[r]-1]
}

// Find gives the result or the figure of a name; false where there is none.
func (s *Sheet) Find(k Key) (Ref, bool) {
	if s.index == nil {
		s.index = make(map[Key]Ref, len(s.results)+len(s.figures))
		for i := range s.nodes {
			if s.nodes[i].op == opFigure {
				s.index[s.figures[s.nodes[i].extra].Key] = Ref(i)
			}
		}
		for _, r := range s.results {
			s.index[r.key] = r.ref
		}
	}
	r, ok := s.index[k]
	return r, ok
}

// Results calls give with every result, in the order in which they were stated.
func (s *Sheet) Results(give func(k Key, r Ref)) {
	for _, r := range s.results {
		give(r.key, r.ref)
	}
}

// Entered are the figures without those of tables, in the order in which they were stated.
func (s *Sheet) Entered() []Figure { return s.figures }

// Figures calls give with every figure, in the order in which they were stated,
// also those that stand in a row of a table that was picked.
func (s *Sheet) Figures(give func(f *Figure, r Ref)) {
	for i := range s.nodes {
		if f := s.FigureOf(Ref(i)); f != nil {
			give(f, Ref(i))
		}
	}
}

// FigureOf is the figure that a node is, also one that stands in the row of a table that
// holds; nil where it is none.
func (s *Sheet) FigureOf(r Ref) *Figure {
	switch n := &s.nodes[r]; n.op {
	case opFigure:
		return &s.figures[n.extra]
	case opPick:
		row := rowOf(s, s.argsOf(r)[0])
		if row < 0 {
			return nil
		}
		f := n.table.Rows.Figure(int(n.extra), row)
		return &f
	}
	return nil
}

// Number is a literal.
func (s *Sheet) Number(d decimal.Decimal) Ref {
	if d.IsZero() {
		return 0
	}
	return s.add(node{op: opNumber, value: d})
}

// Count is a whole number.
func (s *Sheet) Count(n int64) Ref {
	if n < 0 || n >= int64(len(s.counts)) {
		return s.Number(decimal.NewFromInt(n))
	}
	if n > 0 && s.counts[n] == 0 {
		s.counts[n] = s.Number(decimal.NewFromInt(n))
	}
	return s.counts[n]
}

// Figure enters a figure.
func (s *Sheet) Figure(f Figure) Ref {
	s.figures = append(s.figures, f)
	return s.add(node{op: opFigure, extra: int32(len(s.figures) - 1), value: f.Value})
}

// Unpriced is a figure that nobody knows; its value is 0.
func (s *Sheet) Unpriced(k Key) Ref {
	r := s.Figure(Figure{Key: k})
	s.nodes[r].unknown = true
	return r
}

// IsNumber tells whether a node is a literal.
func (s *Sheet) IsNumber(r Ref) bool { return s.nodes[r].op == opNumber }
