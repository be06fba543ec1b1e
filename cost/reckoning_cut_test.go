package cost_test

import (
	"cmp"
	"math/big"
	"slices"
)

// Leads from rings (README, Sums: wire).

// lengths are those that a part is cut to, the longest first, and how many leads of each
// the batch needs.
func (k *reckoning) lengths(part string) (lengths []string, leads []int64) {
	for _, item := range k.items {
		if item.row.part != part || item.row.cut == "" {
			continue
		}
		i := slices.Index(lengths, item.row.cut)
		if i < 0 {
			i = len(lengths)
			lengths, leads = append(lengths, item.row.cut), append(leads, 0)
		}
		leads[i] += ceil(times(ratOf(k.starts), item.perUnit))
	}
	for range lengths { // few
		for i := 1; i < len(lengths); i++ {
			if rat(lengths[i]).Cmp(rat(lengths[i-1])) > 0 {
				lengths[i], lengths[i-1], leads[i], leads[i-1] = lengths[i-1], lengths[i], leads[i-1], leads[i]
			}
		}
	}
	return lengths, leads
}

// ringsFor works out how many rings are needed of a part that is cut to several lengths.
// How they are cut is a choice: the program's is taken where it is no worse than the
// longest first with first fit, and no better than the length alone allows.
func (k *reckoning) ringsFor(p *reckPart) bool {
	lengths, leads := k.lengths(p.key)
	i := slices.IndexFunc(k.offers, func(o jobOffer) bool { return o.part == p.key && o.cutFrom != "" })
	if len(lengths) < 2 || i < 0 {
		return false
	}
	ring := times(rat(k.offers[i].cutFrom), ratOf(1000))
	told := k.rings[p.key]
	need := within(told[0], ring, lengths, leads)
	spares := int64(0)
	if rows := k.allowancesOf(p); len(rows) > 0 {
		least := int64(0)
		for i, n := range leads {
			for _, a := range rows {
				leads[i] = max(leads[i], n+max(ceil(times(ratOf(n), share(a.percent, "0"))), atoi(a.pieces, 0)))
				least = max(least, atoi(a.atLeast, 0))
			}
		}
		all := int64(0)
		for _, n := range leads {
			all += n
		}
		if most := slices.Index(leads, slices.Max(leads)); all > 0 {
			leads[most] += max(0, least-all)
		}
		spares = within(told[0]+told[1], ring, lengths, leads) - need
	}
	p.need, p.allowance = ratOf(need), ratOf(spares)
	want := ratOf(need + spares)
	p.onHand = minRat(k.inDrawer(p.key), want)
	p.demand = minus(want, p.onHand)
	p.takes = p.demand
	for i, item := range p.items { // money is shared out by length
		p.needs[i] = times(p.needs[i], rat(item.row.cut))
	}
	return true
}

// within gives a number of rings back that can be right, else one that can.
func within(told int64, ring *big.Rat, lengths []string, leads []int64) int64 {
	all := new(big.Rat)
	var left []*big.Rat
	for i, length := range lengths {
		for range leads[i] {
			all.Add(all, rat(length))
			at := slices.IndexFunc(left, func(r *big.Rat) bool { return r.Cmp(rat(length)) >= 0 })
			if at < 0 {
				at = len(left)
				left = append(left, ring)
			}
			left[at] = minus(left[at], rat(length))
		}
	}
	return min(int64(len(left)), max(ceil(over(all, ring)), cmp.Or(told, 0)))
}
