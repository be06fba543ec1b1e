package buy

import (
	"cmp"
	"fmt"
	"slices"

	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// model is a problem in whole minor units, in an order of its own: parts by
// name, offers by supplier and code, so that the plan does not depend on the
// order in which they came.
type model struct {
	home         bom.Currency
	cif          bool
	taxRecovered bool
	suppliers    []supplier
	parts        []part
	assembler    int
	consign      int64 // home minor units per machine-placed part bought elsewhere
	feeCounts    bool  // the consign fee counts to the value of the assembler's order
	sent         bool  // so does what others send for the machine-placed parts
	receives     bool  // the assembler has an order where something is sent to it
	heads        bool  // some supplier asks duty by heading
	atMost       int
	idle         int64 // cash that is the same in all plans and stands on no order

	// Of the batch that is fixed: of each offer, see perPiece, and of each of
	// their spans, see mostUseful.
	perUnit []float64
	useful  []int64

	spans []span // of all offers
}

// supplier holds the charges of one order. Amounts are home minor units but
// for those that end in Own, which are the supplier's.
type supplier struct {
	name        string
	currency    bom.Currency
	home        bool    // its currency is the home currency
	rate        ratio   // supplier's minor units to home minor units
	back        ratio   // home minor units to the supplier's
	tied        bool    // own goods are home goods, to the minor unit
	slip        float64 // most by which a line's home amount can differ from rate × own amount
	delivery    int64
	freeOwn     int64 // goods from which delivery is free
	minOwn      int64
	duty        ratio
	tax         ratio
	dutyTo      int64 // value up to which duty is flat
	taxTo       int64 // value up to which no tax is due
	flat        int64 // duty for each heading
	heads       []string
	mixed       bool  // some lines have a duty of their own
	dutyNum     int64 // duty in parts of dutyScale
	leastDuty   int64 // of all lines, and of what is no line
	mostDuty    int64
	free        bool // neither duty nor tax is asked
	handling    int64
	fixedOwn    int64
	fixedHome   int64
	fixedBeside int64 // of that, what is counted to the value and no goods
	fixedHead   bool  // something stands on the order that counts as a heading
	forced      bool  // the order exists whatever is bought
	fees        bool  // consignment fees are on this order
	lines       int   // offers of parts that are needed: most lines the order can have
}

// part is a part that may be needed, with its offers.
type part struct {
	name    string
	index   int // in Problem.Parts
	demand  int64
	taken   int64 // of what is bought: the rest is surplus
	placed  bool  // by machine
	machine bool  // and wanted
	brought bool  // some of it from stock: its consign fee is due whatever is bought
	offers  []offer
	from    uint64 // bits of the offers' suppliers
}

// offer is an offer in whole minor units.
type offer struct {
	index    int // in Part.Offers
	supplier int
	code     string
	own      bool // its currency is the supplier's
	rate     ratio
	isHome   bool
	fee      int64 // of the line, minor units of the offer's currency
	head     int   // of the supplier's headings
	duty     int64 // what its duty is above the supplier's, in parts of dutyScale
	worth    ratio // of a surplus, of what it cost
	pieces   int64 // millionths of a piece per order unit
	step     int64
	spans    []span
	gain     gain
	most     int64 // pieces it can cover at most, in millionths; at most demandLimit
	at       int   // among all offers of the model
	first    int   // of its spans, among all spans of the model
}

// gain is the most that rounding takes off a line, in home minor units: once
// when quantity × price is rounded, once when that is exchanged.
type gain struct{ price, rate float64 }

// span is a run of allowed quantities at one price.
type span struct {
	from, to int64 // both allowed quantities
	price    ratio // per order unit, minor units of the offer's currency
	unit     float64
}

// demandLimit bounds what is needed of one part, and mostMillionths what one
// line can hold, in millionths: sums over a run still fit an int64.
const (
	demandLimit    = int64(bom.MaxQuantity)
	mostMillionths = int64(1) << 56
)

func compile(p *Problem) (*model, error) {
	m := &model{home: p.Home, cif: p.CIF, taxRecovered: p.TaxRecovered,
		assembler: p.Assembler, atMost: p.AtMost}
	if p.Assembler < -1 || p.Assembler >= len(p.Suppliers) {
		return nil, fmt.Errorf("assembler %d is not among the %d suppliers", p.Assembler, len(p.Suppliers))
	}
	if len(p.Suppliers) > 64 {
		return nil, fmt.Errorf("%d suppliers; at most 64 can be planned together", len(p.Suppliers))
	}
	count := 0
	for i := range p.Parts {
		for j := range p.Parts[i].Offers {
			count += len(p.Parts[i].Offers[j].Breaks)
		}
	}
	m.spans = make([]span, 0, count)
	m.suppliers, m.parts = make([]supplier, 0, len(p.Suppliers)), make([]part, 0, len(p.Parts))
	for i := range p.Suppliers {
		s, err := m.compileSupplier(&p.Suppliers[i])
		if err != nil {
			return nil, fmt.Errorf("supplier %q: %w", p.Suppliers[i].Name, err)
		}
		m.suppliers = append(m.suppliers, s)
	}
	for i := range p.Parts {
		q, err := m.compilePart(&p.Parts[i], p)
		if err != nil {
			return nil, fmt.Errorf("part %q: %w", p.Parts[i].Name, err)
		}
		q.index = i
		m.parts = append(m.parts, q)
	}
	slices.SortStableFunc(m.parts, func(a, b part) int { return cmp.Compare(a.name, b.name) })
	offers, spans := 0, 0
	for i := range m.parts {
		for j := range m.parts[i].offers {
			o := &m.parts[i].offers[j]
			o.at, o.first = offers, spans
			offers, spans = offers+1, spans+len(o.spans)
		}
	}
	m.perUnit, m.useful = make([]float64, offers), make([]int64, spans)
	if p.Assembler >= 0 {
		a := &p.Suppliers[p.Assembler]
		m.consign = m.suppliers[p.Assembler].rate.times(minor(a.Consign, a.Currency.Digits))
		m.sent, m.receives = a.PartsSent, a.PartsSent
	}
	m.readCustoms()
	return m, nil
}

// readCustoms notes what the charges of each supplier hang on, its offers being known.
func (m *model) readCustoms() {
	fees := make([]bool, len(m.suppliers))
	for i := range m.parts {
		for j := range m.parts[i].offers {
			o := &m.parts[i].offers[j]
			s := &m.suppliers[o.supplier]
			s.mixed = s.mixed || o.duty != 0
			s.leastDuty, s.mostDuty = min(s.leastDuty, s.dutyNum+o.duty), max(s.mostDuty, s.dutyNum+o.duty)
			fees[o.supplier] = fees[o.supplier] || o.fee > 0
		}
	}
	for i := range m.suppliers {
		s := &m.suppliers[i]
		s.free = s.duty.zero() && s.tax.zero() && !s.mixed && s.flat == 0
		m.heads = m.heads || s.flat > 0
		m.sortHeads(i)
		if i == m.assembler {
			m.sent = m.sent && !s.free
			m.feeCounts = m.consign > 0 && !s.free
			fees[i] = fees[i] || m.sent || m.feeCounts
		}
		s.tied = s.home && !fees[i]
	}
}

// sortHeads puts the headings of a supplier in an order of their own.
func (m *model) sortHeads(supplier int) {
	s := &m.suppliers[supplier]
	was := slices.Clone(s.heads)
	slices.Sort(s.heads) // none comes first
	for i := range m.parts {
		for j := range m.parts[i].offers {
			if o := &m.parts[i].offers[j]; o.supplier == supplier && o.head > 0 {
				o.head = slices.Index(s.heads, was[o.head])
			}
		}
	}
}

// twin copies all of the model that fix changes; the offers are shared.
func (m *model) twin() *model {
	out := *m
	out.suppliers, out.parts = slices.Clone(m.suppliers), slices.Clone(m.parts)
	out.perUnit, out.useful = make([]float64, len(m.perUnit)), make([]int64, len(m.useful))
	return &out
}

func (m *model) compileSupplier(s *Supplier) (supplier, error) {
	for _, d := range []struct {
		what string
		neg  bool
	}{
		{"delivery", s.Delivery.IsNegative()}, {"minimum order", s.MinOrder.IsNegative()},
		{"duty", s.Duty.IsNegative()}, {"import tax", s.Tax.IsNegative()},
		{"handling fee", s.Handling.IsNegative()}, {"consign fee", s.Consign.IsNegative()},
		{"duty free up to", s.DutyFreeUpTo.IsNegative()}, {"tax free up to", s.TaxFreeUpTo.IsNegative()},
		{"flat duty", s.FlatDuty.IsNegative()},
	} {
		if d.neg {
			return supplier{}, fmt.Errorf("%s is negative", d.what)
		}
	}
	out := supplier{name: s.Name, currency: s.Currency, home: s.Currency.Code == m.home.Code, rate: unchanged}
	if !out.home {
		if !s.Rate.IsPositive() {
			return supplier{}, fmt.Errorf("no exchange rate for %s", s.Currency)
		}
		out.rate = ratioOf(s.Rate, m.home.Digits-s.Currency.Digits)
		out.slip = max(0.5, 0.5*out.rate.value)
	}
	out.back = out.rate.over()
	digits := s.Currency.Digits
	out.delivery = out.rate.times(minor(s.Delivery, digits))
	out.freeOwn = tooMuch
	if s.FreeOver.Valid {
		out.freeOwn = max(0, minorUp(s.FreeOver.Decimal, digits))
	}
	out.minOwn = minor(s.MinOrder, digits)
	out.duty, out.tax = ratioOf(s.Duty, -2), ratioOf(s.Tax, -2)
	out.dutyTo, out.taxTo = minorDown(s.DutyFreeUpTo, m.home.Digits), minorDown(s.TaxFreeUpTo, m.home.Digits)
	out.flat = minor(s.FlatDuty, m.home.Digits)
	out.heads = []string{""}
	out.dutyNum = dutyNum(s.Duty)
	out.leastDuty, out.mostDuty = out.dutyNum, out.dutyNum
	out.handling = minor(s.Handling, m.home.Digits)
	return out, nil
}

// dutyNum is a percentage in parts of dutyScale, rounded down.
func dutyNum(d decimal.Decimal) int64 { return d.Shift(dutyDecimals).IntPart() }

func (m *model) compilePart(p *Part, problem *Problem) (part, error) {
	if len(p.Offers) > 64 {
		return part{}, fmt.Errorf("%d offers; at most 64 can be planned together", len(p.Offers))
	}
	out := part{name: p.Name, placed: p.Machine, machine: p.Machine, offers: make([]offer, 0, len(p.Offers))}
	for i := range p.Offers {
		o := &p.Offers[i]
		if o.Supplier < 0 || o.Supplier >= len(m.suppliers) {
			return part{}, fmt.Errorf("offer %q: supplier %d is not among the %d suppliers", o.Code, o.Supplier, len(m.suppliers))
		}
		c, err := m.compileOffer(o, &problem.Suppliers[o.Supplier])
		if err != nil {
			return part{}, fmt.Errorf("offer %q of %q: %w", o.Code, problem.Suppliers[o.Supplier].Name, err)
		}
		c.index = i
		if len(c.spans) > 0 {
			out.offers = append(out.offers, c)
			out.from |= 1 << c.supplier
		}
	}
	slices.SortStableFunc(out.offers, func(a, b offer) int {
		return cmp.Or(cmp.Compare(a.supplier, b.supplier), cmp.Compare(a.code, b.code),
			cmp.Compare(a.pieces, b.pieces), cmp.Compare(a.step, b.step),
			cmp.Compare(a.spans[0].from, b.spans[0].from), cmp.Compare(a.spans[0].unit, b.spans[0].unit),
			cmp.Compare(a.most, b.most), cmp.Compare(a.worth.value, b.worth.value))
	})
	return out, nil
}

func (m *model) compileOffer(o *Offer, s *Supplier) (offer, error) {
	out := offer{supplier: o.Supplier, code: o.Code, pieces: int64(o.Pieces), step: o.Multiple,
		own: o.Currency.Code == s.Currency.Code, isHome: o.Currency.Code == m.home.Code, rate: unchanged, worth: unchanged}
	if o.Worth.Valid {
		if o.Worth.Decimal.IsNegative() || o.Worth.Decimal.GreaterThan(decimal.NewFromInt(100)) {
			return offer{}, fmt.Errorf("a surplus is worth %s %% of what it cost", o.Worth.Decimal)
		}
		out.worth = ratioOf(o.Worth.Decimal, -2)
	}
	if o.Pieces <= 0 || o.Pieces > bom.MaxQuantity {
		return offer{}, fmt.Errorf("an order unit holds %s pieces", o.Pieces)
	}
	if o.Multiple < 1 {
		return offer{}, fmt.Errorf("multiple is %d", o.Multiple)
	}
	switch {
	case out.isHome:
	case out.own:
		// The order's thresholds are in the same currency, so that one
		// rate has to serve both.
		if !o.Rate.IsZero() && !o.Rate.Equal(s.Rate) {
			return offer{}, fmt.Errorf("rate %s differs from the supplier's %s for %s", o.Rate, s.Rate, o.Currency)
		}
		out.rate = m.suppliers[o.Supplier].rate
	case !o.Rate.IsPositive():
		return offer{}, fmt.Errorf("no exchange rate for %s", o.Currency)
	default:
		out.rate = ratioOf(o.Rate, m.home.Digits-o.Currency.Digits)
	}
	if err := m.compileCustoms(&out, o, s); err != nil {
		return offer{}, err
	}
	// Pieces beyond demandLimit are never needed; the cap keeps q × Pieces small.
	last := ceilDiv(demandLimit, out.pieces)
	last = ceilDiv(last, out.step) * out.step
	if o.Stock >= 0 {
		last = min(last, o.Stock/out.step*out.step)
	}
	if first := ceilDiv(max(1, o.MOQ), out.step) * out.step; max(last, first) > mostMillionths/out.pieces {
		return offer{}, fmt.Errorf("the least order of %d holds more pieces than can be counted", first)
	} else if o.Stock < 0 {
		last = max(last, first)
	}
	if err := m.addSpans(&out, o, last); err != nil {
		return offer{}, err
	}
	if n := len(out.spans); n > 0 {
		out.most = min(demandLimit, out.spans[n-1].to*out.pieces)
	}
	return out, nil
}

// mostHeadings is how many headings of one supplier can be planned together.
const mostHeadings = 64

// compileCustoms reads what a line of an offer adds to the charges of its order.
func (m *model) compileCustoms(out *offer, o *Offer, s *Supplier) error {
	to := &m.suppliers[o.Supplier]
	if o.LineFee.IsNegative() {
		return fmt.Errorf("line fee %s is negative", o.LineFee)
	}
	out.fee = minor(o.LineFee, o.Currency.Digits)
	if out.head = slices.Index(to.heads, o.Heading); out.head < 0 && to.flat > 0 {
		if out.head = len(to.heads); out.head == mostHeadings {
			return fmt.Errorf("more than %d customs headings; no more can be planned together", mostHeadings-1)
		}
		to.heads = append(to.heads, o.Heading)
	}
	out.head = max(0, out.head)
	if !o.Duty.Valid || o.Duty.Decimal.Equal(s.Duty) {
		return nil
	}
	for _, d := range []decimal.Decimal{o.Duty.Decimal, s.Duty} {
		if d.IsNegative() || !d.Equal(d.Truncate(dutyDecimals)) {
			return fmt.Errorf("duty of %s %%, beside others, has to have at most %d decimals", d, dutyDecimals)
		}
	}
	out.duty = dutyNum(o.Duty.Decimal) - to.dutyNum
	return nil
}

// addSpans turns MOQ, multiple, stock and breaks into runs of allowed
// quantities up to last.
func (m *model) addSpans(o *offer, in *Offer, last int64) error {
	if len(in.Breaks) == 0 {
		return fmt.Errorf("no price")
	}
	first := len(m.spans)
	for i, b := range in.Breaks {
		if b.Price.IsNegative() {
			return fmt.Errorf("price %s is negative", b.Price)
		}
		if i > 0 && b.From <= in.Breaks[i-1].From {
			return fmt.Errorf("breaks do not rise: %d after %d", b.From, in.Breaks[i-1].From)
		}
		from := max(1, b.From, in.MOQ)
		from = ceilDiv(from, o.step) * o.step
		to := last
		if i+1 < len(in.Breaks) {
			to = min(to, (in.Breaks[i+1].From-1)/o.step*o.step)
		}
		if from > to {
			continue
		}
		s := span{from: from, to: to, price: ratioOf(b.Price, in.Currency.Digits)}
		s.unit = s.price.value * o.rate.value
		o.gain.price = max(o.gain.price, s.price.gain()*o.rate.value)
		m.spans = append(m.spans, s)
	}
	o.spans = m.spans[first:len(m.spans):len(m.spans)]
	o.gain.rate = o.rate.gain()
	return nil
}

// cash is what q order units cost: in the supplier's currency without the fee of
// the line, and in home currency with it, minor units each.
func (m *model) cash(o *offer, s *span, q int64) (own, home int64) {
	cash := s.price.times(q)
	home = cash
	if !o.isHome {
		home = o.rate.times(cash)
	}
	own = cash
	if !o.own {
		own = m.suppliers[o.supplier].back.times(home)
	}
	if o.fee > 0 {
		cash += o.fee
		if home = cash; !o.isHome {
			home = o.rate.times(cash)
		}
	}
	return own, home
}

// covers is how much of a demand q order units cover, in millionths of a piece.
func (o *offer) covers(q int64) int64 {
	if q > demandLimit/o.pieces {
		return demandLimit
	}
	return q * o.pieces
}

// fix sets the demands and the fixed goods of one batch and derives from them
// which orders exist in any case.
func (m *model) fix(demand, taken []bom.Quantity, fixed []Fixed, unwanted, brought []bool) error {
	fees, sent, idle := false, false, int64(0)
	for i := range m.suppliers {
		m.suppliers[i].lines = 0
	}
	for i := range m.parts {
		p := &m.parts[i]
		p.demand = int64(demand[p.index])
		if p.demand < 0 || p.demand > demandLimit {
			return fmt.Errorf("part %q: demand %s is out of range", p.name, demand[p.index])
		}
		if p.taken = p.demand; taken != nil {
			p.taken = min(p.demand, int64(taken[p.index]))
		}
		p.machine = p.placed && (unwanted == nil || !unwanted[p.index])
		fees = fees || p.machine && m.consign > 0
		sent = sent || p.machine && m.receives
		p.brought = p.machine && brought != nil && brought[p.index]
		if p.machine && (p.brought || p.demand == 0 || p.reach() < p.demand) { // not bought, or not all of it
			idle += m.consign
		}
		if p.demand > 0 {
			for j := range p.offers {
				m.suppliers[p.offers[j].supplier].lines++
			}
		}
	}
	for i := range m.parts {
		p := &m.parts[i]
		for j := range p.offers {
			o := &p.offers[j]
			m.perUnit[o.at] = o.perPiece(p.demand, 0, tooMuch)
			for k := range o.spans {
				m.useful[o.first+k] = m.mostUseful(p, j, &o.spans[k])
			}
		}
	}
	m.idle = idle
	for i := range m.suppliers {
		s, f := &m.suppliers[i], &fixed[i]
		if f.Amount.IsNegative() || f.Home.IsNegative() || f.Sent.IsNegative() {
			return fmt.Errorf("supplier %q: fixed goods are negative", s.name)
		}
		s.fixedOwn = minor(f.Amount, s.currency.Digits)
		s.fixedHome = minor(f.Home, m.home.Digits)
		s.fees, s.fixedBeside = fees && i == m.assembler, 0
		s.fixedHead = f.Ordered || s.fixedOwn > 0 || s.fixedHome > 0
		// Either a fee is due or all machine-placed parts are bought
		// from the assembler: it gets an order both ways.
		s.forced = s.fixedHead || s.fees || i == m.assembler && sent
		if i != m.assembler {
			continue
		}
		// What is the same in all plans counts to the value as well.
		if m.feeCounts {
			s.fixedBeside, m.idle = s.fixedBeside+idle, m.idle-idle
		}
		value := minor(f.Sent, m.home.Digits)
		s.forced = s.forced || m.receives && value > 0
		if m.sent {
			s.fixedBeside, m.idle = s.fixedBeside+value, m.idle-value
		}
		s.fixedHome += s.fixedBeside
	}
	return nil
}
