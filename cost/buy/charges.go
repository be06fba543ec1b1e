package buy

import (
	"math"
	"math/big"
	"math/bits"
	"slices"
)

// total is the goods of one order: in the supplier's currency, which minimum and free
// delivery go by; at home, with line and consign fees and what is sent to the assembler,
// which is the value for customs but for a top-up; and by how much duty on lines differs
// from the supplier's rate, in millionths of a home minor unit.
type total struct{ own, home, duty int64 }

func (t total) plus(u total) total { return total{t.own + u.own, t.home + u.home, t.duty + u.duty} }

func (t total) minus(u total) total { return total{t.own - u.own, t.home - u.home, t.duty - u.duty} }

// lower and upper span two totals.
func (t total) lower(u total) total {
	return total{min(t.own, u.own), min(t.home, u.home), min(t.duty, u.duty)}
}

func (t total) upper(u total) total {
	return total{max(t.own, u.own), max(t.home, u.home), max(t.duty, u.duty)}
}

// highest and lowest are beyond all totals.
var highest, lowest = total{tooMuch, tooMuch, mostDuty}, total{-tooMuch, -tooMuch, -mostDuty}

// bill is what an order costs besides its goods, in home minor units.
type bill struct {
	delivery, topUp, value, duty, tax, handling int64
}

// bill works the charges out for an order's goods under so many headings.
func (m *model) bill(s *supplier, t total, heads int) bill {
	var b bill
	b.delivery, b.topUp = s.carriage(t.own)
	b.value = t.home + b.topUp
	b.duty, b.tax = m.dues(s, b.value, b.delivery, t.duty, heads)
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

// dues gives duty and import tax due on a value with its delivery.
func (m *model) dues(s *supplier, value, delivery, extra int64, heads int) (duty, tax int64) {
	switch {
	case value <= s.dutyTo:
		duty = s.flat * int64(max(1, heads))
	case s.mixed:
		duty = s.mixedDuty(value, m.insured(delivery), extra)
	default:
		duty = s.duty.times(value + m.insured(delivery))
	}
	if value > s.taxTo {
		tax = s.tax.times(value + delivery + duty)
	}
	return duty, tax
}

// insured is what of a delivery counts to the value that duty is worked out from.
func (m *model) insured(delivery int64) int64 {
	if m.cif {
		return delivery
	}
	return 0
}

// dutyScale is how many parts of a minor unit duty is summed up in: rates are percentages
// with up to four decimals.
const dutyScale, dutyDecimals = 1_000_000, 4

// mixedDuty is the duty of an order whose lines have rates of their own, each on its
// value and the share of the delivery that falls on it by value: round((Σ value × rate) ×
// (value + delivery) ÷ value).
func (s *supplier) mixedDuty(value, delivery, extra int64) int64 {
	n := s.dutyNum*value + extra
	if n <= 0 || value <= 0 {
		return 0
	}
	if delivery == 0 {
		return (n + dutyScale/2) / dutyScale
	}
	hi, lo := bits.Mul64(uint64(n), uint64(value+delivery))
	if den := uint64(value) * dutyScale; value < 1<<43 && hi < den {
		quo, rem := bits.Div64(hi, lo, den)
		if rem >= den-rem {
			quo++
		}
		return int64(min(quo, uint64(tooMuch)))
	}
	r := ratioFrom(new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(n), big.NewInt(value+delivery)), new(big.Int).Mul(big.NewInt(value), big.NewInt(dutyScale))))
	return r.times(1)
}

// sum is the cash of a bill.
func (m *model) sum(b bill) int64 {
	out := b.delivery + b.topUp + b.duty + b.handling
	if !m.taxRecovered {
		out += b.tax
	}
	return out
}

// order is the cash of an order that exists: goods and charges.
func (m *model) order(s *supplier, t total, heads int) int64 {
	if s.free { // most are, and orders are reckoned more than anything else
		delivery, topUp := s.carriage(t.own)
		return t.home + delivery + topUp
	}
	return t.home + m.sum(m.bill(s, t, heads))
}

// mode is a range of an order's goods in which its cash is bounded from below
// by a plane, exact but for roundings:
//
//	cash ≥ base + slope × home goods − back × own goods + flat × headings + steep × duty beside
//
// where own goods are in the supplier's minor units and home goods in home
// minor units. A closed order is a mode too.
type mode struct {
	closed            bool
	plain             bool // cash = base + home goods, to the minor unit
	dues              bool // duty or tax counts
	group             int  // modes of one group differ by the top-up only
	lo, hi            total
	topped            bool  // with a top-up; the value is then within from and to
	from, to          int64 // the value for customs
	base, slope, back float64
	tilt              float64 // what the value costs on the average
	flat              float64 // of each heading; 0 where duty goes by value
	steep             float64 // of duty beside the supplier's rate, without its delivery
	insured           float64 // the delivery that counts to it
	spared            bool    // no line bears duty that comes to anything
	dutiable          bool    // some line does: without it no handling falls due
	corners           []corner
	steps             uint64 // modes of its values one by one, where it has been divided
	halves            [2]int // modes of smaller and larger values, where it has been divided
}

// corner is a corner of the goods that a mode allows.
type corner struct{ own, home float64 }

// reach is the most that the lines of all parts can add to an order.
type reach struct {
	total        // duty: where it is above the supplier's rate
	beside int64 // of the home goods, those that own goods do not hold
	less   int64 // duty: where it is below the supplier's rate
}

// modes splits an order at its thresholds; most is the goods of parts that it
// can hold at most.
func (m *model) modes(s *supplier, most reach) []mode {
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

// customsModes splits one range of goods again, where duty and tax begin or change.
func (m *model) customsModes(out []mode, s *supplier, most reach, from, to int64) []mode {
	var delivery int64
	if from < s.freeOwn {
		delivery = s.delivery
	}
	// Where all duty goes by one rate it begins with the first minor unit of it.
	dutyFrom := s.dutyTo + 1
	if s.flat == 0 && !s.mixed {
		dutyFrom = least(func(value int64) bool { d, _ := m.dues(s, value, delivery, 0, 1); return d > 0 })
	}
	taxFrom := least(func(value int64) bool { return value > s.taxTo && s.tax.times(value+delivery) > 0 })
	cuts := []int64{0, min(dutyFrom, taxFrom), max(dutyFrom, taxFrom), tooMuch}
	if (s.mixed || s.flat > 0) && s.leastDuty > 0 {
		// From here on some duty is sure, and handling with it.
		if sure := ceilDiv(dutyScale/2, s.leastDuty); sure > dutyFrom {
			cuts = append(cuts, sure)
			slices.Sort(cuts)
		}
	}
	for i, start := range cuts[:len(cuts)-1] {
		md := mode{lo: total{from, s.fixedHome, 0}, hi: total{to, s.fixedHome + most.home, 0}, from: start, to: cuts[i+1] - 1, topped: from < s.minOwn}
		if !md.topped {
			md.lo.home, md.hi.home = max(start, md.lo.home), min(md.to, md.hi.home)
		}
		if md.lo.home > md.hi.home || md.from > md.to {
			continue
		}
		if md.group = i; from >= s.freeOwn {
			md.group += mostCuts
		}
		duty, tax := start >= dutyFrom, start >= taxFrom
		m.plane(&md, s, duty, tax, delivery)
		if md.corners = s.corners(&md, most.beside); len(md.corners) == 0 {
			continue
		}
		s.narrow(&md)
		if duty && !tax && s.mixed && s.leastDuty == 0 && s.handling > 0 {
			// Lines free of duty alone are spared the handling too.
			spared := md
			spared.spared, spared.group = true, md.group+2*mostCuts
			spared.slope, spared.base, spared.back, spared.steep, spared.insured = 1, 0, 0, 0, 0
			m.plane(&spared, s, false, false, delivery)
			md.base, md.dutiable = md.base+float64(s.handling), true
			out = append(out, spared)
		}
		out = append(out, md)
	}
	return out
}

// mostCuts is more than there are ranges of the value.
const mostCuts = 8

// plane bounds the cash of an order in one mode from below.
func (m *model) plane(md *mode, s *supplier, duty, tax bool, delivery int64) {
	d, t := float64(delivery), 0.0
	if tax && !m.taxRecovered {
		t = s.tax.value
		md.base -= s.tax.gain()
	}
	md.base += d * (1 + t)
	md.slope, md.plain = 1+t, true
	// Duty is paid and taxed.
	switch {
	case duty && s.mixed:
		md.insured = float64(m.insured(delivery))
		md.steep = (1 + t) / dutyScale
		md.base += (1 + t) * (s.duty.value*md.insured - 0.5)
		md.slope += (1 + t) * s.duty.value
	case duty:
		md.base += (1 + t) * (s.duty.value*float64(m.insured(delivery)) - s.duty.gain())
		md.slope += (1 + t) * s.duty.value
	case s.flat > 0 && !md.spared:
		md.flat = (1 + t) * float64(s.flat)
	}
	md.dues, md.tilt = duty || tax || md.flat > 0, md.slope
	if tax || duty && !s.mixed && s.flat == 0 || md.flat > 0 || duty && s.sureDuty(md.from) {
		md.base += float64(s.handling)
	}
	if md.topped {
		// The top-up is rate × (minimum − goods): it takes back what the
		// goods cost, and counts to the value.
		md.base += md.slope * (s.rate.value*float64(s.minOwn) - s.rate.gain())
		md.back = md.slope * s.rate.value
		md.plain = false
	}
	md.plain = md.plain && !md.dues
}

// sureDuty tells whether some duty falls due on a value whatever lines it has.
func (s *supplier) sureDuty(value int64) bool {
	return s.leastDuty > 0 && s.leastDuty*value >= dutyScale/2
}

// corners gives the corners of the goods of a mode: both amounts within their
// ranges, and tied to each other by the rate but for what the roundings of all
// lines can add up to and for what home goods hold beside. The tie is widened by a
// trifle for float64's sake.
func (s *supplier) corners(md *mode, beside int64) []corner {
	lo, hi := corner{float64(md.lo.own), float64(md.lo.home)}, corner{float64(md.hi.own), float64(md.hi.home)}
	fixed := corner{float64(s.fixedOwn), float64(s.fixedHome)}
	if s.tied && fixed.own == fixed.home {
		from, to := max(lo.own, lo.home), min(hi.own, hi.home)
		if md.topped && (s.minOwn < md.from || s.minOwn > md.to) || from > to {
			return nil
		}
		return []corner{{from, from}, {to, to}}
	}
	r, slip := s.rate.value, s.slip*float64(s.lines)+slack
	out := []corner{{lo.own, lo.home}, {hi.own, lo.home}, {hi.own, hi.home}, {lo.own, hi.home}}
	tie := fixed.home - r*fixed.own
	out = clip(out, r, 1, tie-slip)
	out = clip(out, r, -1, -(tie + slip + float64(beside)))
	if md.topped {
		out = clip(out, r, 1, float64(md.from)-r*float64(s.minOwn)-0.5-slack)
		out = clip(out, r, -1, -(float64(md.to) - r*float64(s.minOwn) + 0.5 + slack))
	}
	return out
}

// narrow brings the value for customs of an order that is topped up to what its goods
// allow: little but the minimum order.
func (s *supplier) narrow(md *mode) {
	if !md.topped {
		return
	}
	least, most := inf, -inf
	for _, c := range md.corners {
		value := c.home + s.rate.value*(float64(s.minOwn)-c.own)
		least, most = min(least, value), max(most, value)
	}
	md.from = max(md.from, int64(math.Floor(least-0.5-slack)))
	md.to = min(md.to, int64(math.Ceil(most+0.5+slack)))
}

// clip cuts a convex polygon to where sign × (home − rate × own) is at least a bound
// (Sutherland and Hodgman, Communications of the ACM 17, 1974, cited from memory).
func clip(polygon []corner, rate, sign, bound float64) (out []corner) {
	side := func(c corner) float64 { return sign*(c.home-rate*c.own) - bound }
	for i, c := range polygon {
		b := polygon[(i+len(polygon)-1)%len(polygon)]
		was, is := side(b), side(c)
		if was < 0 != (is < 0) {
			f := was / (was - is)
			out = append(out, corner{b.own + f*(c.own-b.own), b.home + f*(c.home-b.home)})
		}
		if is >= 0 {
			out = append(out, c)
		}
	}
	return out
}

// beside is the least that a mode says duty beside the supplier's rate costs, where that
// lies between two amounts and the value does too, less what it is weighed at. Under is how
// far the least rate of all lines is below the supplier's.
func (md *mode) beside(least, most, from, to, under int64, weight float64) float64 {
	if md.steep == 0 && weight == 0 {
		return 0
	}
	if md.spared {
		return -weight * float64(most)
	}
	low, share := md.steep, 0.0
	if md.insured > 0 {
		low *= 1 + md.insured/float64(max(1, to)) // the share of the delivery is least at the greatest value
		share = md.insured / float64(max(1, from))
	}
	at := func(extra int64) float64 {
		if extra >= 0 {
			return (low - weight) * float64(extra)
		}
		// All lines at the least rate bear no less than that on the delivery, whatever the value.
		onDelivery := max(share*float64(extra), -float64(under)*md.insured)
		return (md.steep-weight)*float64(extra) + md.steep*onDelivery
	}
	out := min(at(least), at(most))
	if least < 0 && most > 0 {
		out = min(out, 0)
	}
	if bend := -under * max(1, from); least < bend && bend < most {
		out = min(out, at(bend))
	}
	return out
}

// besideDuty spans what duty on lines can differ by from the supplier's rate, on a value
// of at most so much.
func (s *supplier) besideDuty(md *mode, most *reach, value int64) (less, more int64) {
	less, more = most.less, most.duty
	if md.spared {
		return less, dutyScale / 2
	}
	if value < 1<<32 { // no product overflows
		less, more = max(less, (s.leastDuty-s.dutyNum)*value), min(more, (s.mostDuty-s.dutyNum)*value)
	}
	return less, more
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
