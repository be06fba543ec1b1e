package buy

import "math/bits"

// asLucky tells whether the roundings of an exchange add no more to the home
// amount of a than to that of b, which has no less of both.
func (s *supplier) asLucky(a, b total) bool {
	if s.rate.wide != nil {
		return false
	}
	// b.home − a.home ≥ rate × (b.own − a.own)
	hi, lo := bits.Mul64(uint64(b.home-a.home), s.rate.den)
	top, low := bits.Mul64(uint64(b.own-a.own), s.rate.num)
	return hi > top || hi == top && lo >= low
}

// record is where a list of quantities begins: in which span of the model, and at
// which quantity.
type record struct {
	span int
	from int64
}

// records lists the quantities of a span from one on that are luckier than all
// smaller ones.
func (l *lister) records(b *branch, span int, from int64) []pick {
	o := &l.p.offers[b.offer]
	key := record{o.first + span, from}
	if out, ok := l.luckiest[key]; ok {
		return out
	}
	sup, s := &l.m.suppliers[o.supplier], &o.spans[span]
	most := min(s.to, l.m.useful[o.first+span])
	var out []pick
	for q := from; q <= most; q += o.step {
		c := l.m.pick(l.p, b.offer, s, q)
		if n := len(out); n == 0 || !sup.asLucky(out[n-1].total(), c.total()) {
			out = append(out, c)
		}
		if sup.tied {
			break
		}
		if (q-from)/o.step%quantitiesPerStep == 0 {
			l.count(1)
		}
	}
	if l.gaveUp {
		return out
	}
	if l.luckiest == nil {
		l.luckiest = map[record][]pick{}
	}
	l.luckiest[key] = out
	return out
}
