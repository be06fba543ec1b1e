package buy

import (
	"math"
	"slices"
)

// core holds all options of the parts that can stand in a better plan of a node,
// by part. From there on the node is divided by what is left of these lists, so
// that its bounds need no proof of their own.
type core struct {
	root    *node
	options [][]option
}

// option is one that a node's relaxed problem has chosen.
func (s *search) option(n *node, i, j int) *option {
	if n != nil && n.core != nil {
		return &n.core.options[i][j]
	}
	return &s.pool[i][j]
}

// pooled puts what a node's relaxed problem has chosen into the pool.
func pooled(s *search, n *node, pick []int) []int {
	if n.core == nil {
		return pick
	}
	out := make([]int, len(pick))
	for i, j := range pick {
		out[i] = s.keep(i, n.core.options[i][j].picks)
	}
	return out
}

// enlist lists the options of a node whose orders are in one mode each, by what they
// cost over their parts' least at the node's prices (reduced cost fixing); false where
// they are too many, the gap to the best plan is too wide for that, or it is too
// soon.
func enlist(s *search, n *node, base float64) (nodes []*node, ok bool) {
	gap := s.target() - base
	soon := s.ties || s.best == nil || !s.after(listFrom)
	if soon || gap > coreWithin || gap > n.spread*narrower {
		return nil, false
	}
	c := &combiner{s: s, n: n, bounded: feesBound(s, n), base: base, width: gap, effort: int64(coreOptions + coreOptionsOfPart*len(s.parts))}
	if !c.collect() {
		n.spread = gap
		return nil, false
	}
	root, m := *n, *n
	m.core, m.lists, m.spread = &core{root: &root, options: make([][]option, len(s.parts))}, make([][]int32, len(s.parts)), inf
	for i := range c.lists {
		if len(c.lists[i]) == 0 {
			return nil, true
		}
		for j := range c.lists[i] {
			m.core.options[i] = append(m.core.options[i], c.lists[i][j].option)
			m.lists[i] = append(m.lists[i], int32(j))
		}
	}
	return []*node{&m}, true
}

// listFrom is after how many steps for each part options are listed: most proofs
// come to an end sooner without.
const listFrom = 8_000

// From how small a gap on, in home minor units, options are listed, and how many,
// besides some for each part. Where they were too many in a node, its parts try
// again when the gap is so much narrower.
const coreWithin, coreOptions, coreOptionsOfPart, narrower = 40, 4000, 50, 0.75

// settleCore finds prices for a node of a core, and drops the options that are
// beyond the gap.
func settleCore(s *search, n *node) bool {
	for i := range n.lists {
		if len(n.lists[i]) == 0 {
			n.bound = inf
			return false
		}
	}
	n.bound = max(n.bound, s.climb(n)-slack)
	n.guess = n.bound
	return n.bound <= s.target()+slack
}

// finishCore goes through the combinations of a core's node, or divides it.
func finishCore(s *search, n *node) []*node {
	st := &s.work.prove
	s.size(st)
	s.relax(n, n.price, st)
	base := st.value - slack
	if s.target()-base < -slack {
		return nil
	}
	c := candidates(s, n, st, base)
	c.thinOut()
	logs := 0.0
	lists := make([][]int32, len(s.parts))
	for i, list := range c.lists {
		if len(list) == 0 {
			return nil
		}
		logs += math.Log(float64(len(list)))
		for j := range list {
			lists[i] = append(lists[i], list[j].index)
		}
	}
	n.lists = lists
	full := logs <= meetWithin && logs <= n.spread-lessToMeet || logs == 0
	if full {
		c.effort, n.spread = finishEffort, logs
		if c.run() || s.target()-base < -slack {
			return nil
		}
	}
	return divideCore(s, n, c)
}

// candidates lists what is left of a core's node at its prices.
func candidates(s *search, n *node, st *state, base float64) *combiner {
	gap := s.target() - base
	c := &combiner{s: s, n: n, bounded: feesBound(s, n), base: base, width: gap, effort: tooMuch, sifted: true, lists: make([][]candidate, len(s.parts))}
	for i := range s.parts {
		least := s.option(n, i, st.pick[i]).weigh(st.weight, n.toll(i))
		for _, j := range n.lists[i] {
			o := s.option(n, i, int(j))
			if over := o.weigh(st.weight, n.toll(i)) - least; over <= gap+slack {
				c.lists[i] = append(c.lists[i], candidate{option: *o, index: j, over: over})
			}
		}
	}
	return c
}

// Of how many combinations all are looked at, as a logarithm, and by how much there must
// be less of them to try again.
const meetWithin, lessToMeet = 45, 1.4

// divideCore divides a core's node at one part: where the relaxed problem buys it in
// two ways, or at the one that could best be bought otherwise.
func divideCore(s *search, n *node, c *combiner) []*node {
	tear := n.torn
	if tear.share == 0 || !slices.Contains(n.lists[tear.part], int32(tear.one)) || !slices.Contains(n.lists[tear.part], int32(tear.other)) {
		tear = c.torn()
	}
	i := tear.part
	offer, at := apart(s, tear, s.option(n, i, tear.one), s.option(n, i, tear.other))
	var out []*node
	for _, upper := range []bool{false, true} {
		m := s.newNode(n, slices.Clone(n.mask), n.rules)
		if m == nil {
			continue
		}
		m.core, m.lists, m.spread = n.core, slices.Clone(n.lists), n.spread
		m.lists[i] = slices.DeleteFunc(slices.Clone(n.lists[i]), func(j int32) bool {
			return upper != (s.option(n, i, int(j)).quantity(offer) > at)
		})
		out = append(out, m)
	}
	return out
}

// torn is the part of which most goods can change their supplier for least. There
// is one: a single combination is looked at rather than divided.
func (c *combiner) torn() (out torn) {
	worst := 0.0
	for i, list := range c.lists {
		for j := 1; j < len(list); j++ {
			v := (moves(&list[0].option, &list[j].option) + slack) * (1 - list[j].over/(c.width+1))
			if v > worst {
				out, worst = torn{i, int(list[0].index), int(list[j].index), 0.5}, v
			}
		}
	}
	return out
}
