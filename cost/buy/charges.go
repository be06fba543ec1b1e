package buy

import "sort"

// total is the goods of one order: in the supplier's currency and at home.
type total struct{ own, home int64 }

// bill is what an order costs besides its goods, in home minor units.
type bill struct {
	delivery, topUp, value, duty, tax, handling int64
	waived                                      bool
}

// bill works the charges out for an order's goods.
func (m *model) bill(s *supplier, t total) bill {
	var b bill
	if t.own < s.freeOwn {
		b.delivery = s.delivery
	} else {
		b.waived = s.delivery > 0
	}
	if t.own < s.minOwn {
		b.topUp = s.rate.times(s.minOwn - t.own)
	}
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
	return t.home + m.sum(m.bill(s, t))
}

// mode is a range of an order's goods in which its cash is bounded from below
// by a straight line, exact but for roundings: cash ≥ base + slope × goods,
// goods in home minor units and between lo and hi. A closed order is a mode
// too.
type mode struct {
	closed      bool
	exact       bool // cash = base + slope × goods, to the minor unit
	lo, hi      float64
	base, slope float64
}

// modes splits an order at its thresholds. The goods in the supplier's own
// currency are mapped to home currency with all that roundings of the lines
// can add up to, so that each mode's range holds every order it stands for.
func (m *model) modes(s *supplier, most float64) []mode {
	var out []mode
	if !s.forced {
		out = append(out, mode{closed: true, exact: true})
		if s.lines == 0 {
			return out
		}
	}
	slip := s.slip * float64(s.lines)
	cuts := []int64{0}
	if s.minOwn > 0 {
		cuts = append(cuts, s.minOwn)
	}
	if s.delivery > 0 && s.freeOwn > 0 && s.freeOwn < tooMuch && s.freeOwn != s.minOwn {
		cuts = append(cuts, s.freeOwn)
	}
	sort.Slice(cuts, func(i, j int) bool { return cuts[i] < cuts[j] })
	for i, from := range cuts {
		lo, hi := float64(s.fixedHome), most
		if from > 0 {
			lo = max(lo, lo+s.rate.value*float64(from-s.fixedOwn)-slip)
		}
		if i+1 < len(cuts) {
			hi = min(hi, float64(s.fixedHome)+s.rate.value*float64(cuts[i+1]-1-s.fixedOwn)+slip)
		}
		out = m.customsModes(out, s, from, lo, hi, slip)
	}
	return out
}

// customsModes splits one range of goods again, where duty and tax begin.
func (m *model) customsModes(out []mode, s *supplier, own int64, lo, hi, slip float64) []mode {
	var delivery int64
	if own < s.freeOwn {
		delivery = s.delivery
	}
	dutyFrom := least(func(goods int64) bool { d, _ := m.dues(s, goods, delivery); return d > 0 })
	taxFrom := least(func(goods int64) bool { _, t := m.dues(s, goods, delivery); return t > 0 })
	cuts := []int64{0, min(dutyFrom, taxFrom), max(dutyFrom, taxFrom), tooMuch}
	for i, from := range cuts[:3] {
		if from >= cuts[i+1] {
			continue
		}
		md := mode{lo: max(lo, float64(from)), hi: min(hi, float64(cuts[i+1]-1))}
		if md.lo > md.hi {
			continue
		}
		m.line(&md, s, own, from >= dutyFrom, from >= taxFrom, delivery, slip)
		out = append(out, md)
	}
	return out
}

// line bounds the cash of an order in one mode from below.
func (m *model) line(md *mode, s *supplier, own int64, duty, tax bool, delivery int64, slip float64) {
	d := float64(delivery)
	md.base, md.slope, md.exact = d, 1, true
	var dutyBase, dutySlope float64
	if duty {
		dutySlope = s.duty.value
		if m.cif {
			dutyBase = dutySlope * d
		}
		dutyBase -= s.duty.gain()
		md.exact = false
	}
	if tax && !m.taxRecovered {
		t := s.tax.value
		md.base += t*(d+dutyBase) - s.tax.gain()
		md.slope += t * (1 + dutySlope)
		md.exact = false
	}
	md.base += dutyBase
	md.slope += dutySlope
	if duty || tax {
		md.base += float64(s.handling)
	}
	if own < s.minOwn {
		// The top-up is rate × (minimum − goods): it takes back what the
		// goods cost. The goods' own amount is at most
		// fixed + (home goods − fixed + slip) / rate.
		r := s.rate.value
		md.base += r*float64(s.minOwn-s.fixedOwn) - s.rate.gain() + float64(s.fixedHome) - slip
		md.slope--
		md.exact = false
	}
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
