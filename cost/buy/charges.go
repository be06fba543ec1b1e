package buy

import "slices"

// total is the goods of one order: in the supplier's currency and at home.
type total struct{ own, home int64 }

func (t total) plus(u total) total { return total{t.own + u.own, t.home + u.home} }

func (t total) minus(u total) total { return total{t.own - u.own, t.home - u.home} }

// bill is what an order costs besides its goods, in home minor units.
type bill struct {
	delivery, topUp, value, duty, tax, handling int64
	waived                                      bool
}

// bill works the charges out for an order's goods.
func (m *model) bill(s *supplier, t total) bill {
	var b bill
	b.delivery, b.topUp = s.carriage(t.own)
	b.waived = t.own >= s.freeOwn && s.delivery > 0
	b.value = t.home
	if m.cif {
		b.value += b.delivery
	}
	b.duty, b.tax = m.dues(s, t.home, b.delivery)
	if b.duty > 0 || b.tax > 0 {
		b.handling = s.handling
	}
	return b
}

// carriage gives delivery and top-up for goods in the supplier's minor units.
func (s *supplier) carriage(own int64) (delivery, topUp int64) {
	if own < s.freeOwn {
		delivery = s.delivery
	}
	if own < s.minOwn {
		topUp = s.rate.times(s.minOwn - own)
	}
	return delivery, topUp
}

// dues gives duty and import tax due on goods with their delivery.
func (m *model) dues(s *supplier, goods, delivery int64) (duty, tax int64) {
	value := goods
	if m.cif {
		value += delivery
	}
	if value >= s.dutyFrom {
		duty = s.duty.times(value)
	}
	if value >= s.taxFrom {
		tax = s.tax.times(goods + delivery + duty)
	}
	return duty, tax
}

// sum is the cash of a bill.
func (m *model) sum(b bill) int64 {
	out := b.delivery + b.topUp + b.duty + b.handling
	if !m.taxRecovered {
		out += b.tax
	}
	return out
}

// order is the cash of an order that exists: goods and charges, without
// consign fees.
func (m *model) order(s *supplier, t total) int64 {
	if s.free { // most are, and orders are reckoned more than anything else
		delivery, topUp := s.carriage(t.own)
		return t.home + delivery + topUp
	}
	return t.home + m.sum(m.bill(s, t))
}

// mode is a range of an order's goods in which its cash is bounded from below
// by a plane, exact but for roundings:
//
//	cash ≥ base + slope × home goods − back × own goods
//
// where own goods are in the supplier's minor units and home goods in home
// minor units. A closed order is a mode too.
type mode struct {
	closed            bool
	plain             bool // cash = base + home goods, to the minor unit
	dues              bool // duty or tax counts
	group             int  // modes of one group differ by the top-up only
	lo, hi            total
	base, slope, back float64
	corners           []corner
}

// corner is a corner of the goods that a mode allows.
type corner struct{ own, home float64 }

// modes splits an order at its thresholds; most is the goods of parts that it
// can hold at most.
func (m *model) modes(s *supplier, most total) []mode {
	var out []mode
	if !s.forced {
		out = append(out, mode{closed: true, group: -1, corners: []corner{{}}})
		if s.lines == 0 {
			return out
		}
	}
	cuts := []int64{s.fixedOwn, s.fixedOwn + most.own + 1}
	if s.minOwn > 0 {
		cuts = append(cuts, s.minOwn)
	}
	if s.delivery > 0 && s.freeOwn < tooMuch {
		cuts = append(cuts, s.freeOwn)
	}
	slices.Sort(cuts)
	for i, from := range cuts[:len(cuts)-1] {
		to := cuts[i+1] - 1
		if from <= to && from >= s.fixedOwn && to <= s.fixedOwn+most.own {
			out = m.customsModes(out, s, most, from, to)
		}
	}
	return out
}

// customsModes splits one range of goods again, where duty and tax begin.
func (m *model) customsModes(out []mode, s *supplier, most total, from, to int64) []mode {
	var delivery int64
	if from < s.freeOwn {
		delivery = s.delivery
	}
	dutyFrom := least(func(goods int64) bool { d, _ := m.dues(s, goods, delivery); return d > 0 })
	taxFrom := least(func(goods int64) bool { _, t := m.dues(s, goods, delivery); return t > 0 })
	cuts := []int64{0, min(dutyFrom, taxFrom), max(dutyFrom, taxFrom), tooMuch}
	for i, start := range cuts[:3] {
		md := mode{lo: total{from, max(start, s.fixedHome)}, hi: total{to, min(cuts[i+1]-1, s.fixedHome+most.home)}}
		if md.lo.home > md.hi.home {
			continue
		}
		if md.group = i; from >= s.freeOwn {
			md.group += len(cuts)
		}
		m.plane(&md, s, start >= dutyFrom, start >= taxFrom, delivery)
		if md.corners = s.corners(&md); len(md.corners) > 0 {
			out = append(out, md)
		}
	}
	return out
}

// plane bounds the cash of an order in one mode from below.
func (m *model) plane(md *mode, s *supplier, duty, tax bool, delivery int64) {
	d := float64(delivery)
	md.base, md.slope, md.plain = d, 1, true
	var dutyBase, dutySlope float64
	if duty {
		dutySlope = s.duty.value
		if m.cif {
			dutyBase = dutySlope * d
		}
		dutyBase -= s.duty.gain()
		md.dues = true
	}
	if tax && !m.taxRecovered {
		t := s.tax.value
		md.base += t*(d+dutyBase) - s.tax.gain()
		md.slope += t * (1 + dutySlope)
		md.dues = true
	}
	md.base += dutyBase
	md.slope += dutySlope
	if duty || tax {
		md.base += float64(s.handling)
	}
	if md.lo.own < s.minOwn {
		// The top-up is rate × (minimum − goods): it takes back what the
		// goods cost.
		md.base += s.rate.value*float64(s.minOwn) - s.rate.gain()
		md.back = s.rate.value
		md.plain = false
	}
	md.plain = md.plain && !md.dues
}

// corners gives the corners of the goods of a mode: both amounts within their
// ranges, and tied to each other by the rate but for what the roundings of all
// lines can add up to. The tie is widened by a trifle for float64's sake.
func (s *supplier) corners(md *mode) []corner {
	r, slip := s.rate.value, s.slip*float64(s.lines)+slack
	lo, hi := corner{float64(md.lo.own), float64(md.lo.home)}, corner{float64(md.hi.own), float64(md.hi.home)}
	fixed := corner{float64(s.fixedOwn), float64(s.fixedHome)}
	if s.home && fixed.own == fixed.home {
		from, to := max(lo.own, lo.home), min(hi.own, hi.home)
		if from > to {
			return nil
		}
		return []corner{{from, from}, {to, to}}
	}
	var out []corner
	add := func(own, home float64) {
		if own >= lo.own-slack && own <= hi.own+slack && home >= lo.home-slack && home <= hi.home+slack {
			out = append(out, corner{own, home})
		}
	}
	for _, side := range []float64{-slip, slip} {
		for _, own := range []float64{lo.own, hi.own} {
			add(own, fixed.home+r*(own-fixed.own)+side)
		}
		for _, home := range []float64{lo.home, hi.home} {
			add(fixed.own+(home-fixed.home-side)/r, home)
		}
	}
	for _, own := range []float64{lo.own, hi.own} {
		for _, home := range []float64{lo.home, hi.home} {
			if d := home - fixed.home - r*(own-fixed.own); d >= -slip && d <= slip {
				add(own, home)
			}
		}
	}
	return out
}

// least finds the smallest whole amount for which a rising condition holds;
// tooMuch where none does.
func least(holds func(int64) bool) int64 {
	lo, hi := int64(0), tooMuch>>6
	if !holds(hi) {
		return tooMuch
	}
	for lo < hi {
		if mid := (lo + hi) / 2; holds(mid) {
			hi = mid
		} else {
			lo = mid + 1
		}
	}
	return lo
}
