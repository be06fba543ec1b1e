package cost

import (
	"math"

	"tenoff/bom"
	"tenoff/cost/buy"
	"tenoff/cost/learning"
)

// A trial reckons a batch once more, with other figures and other luck, by the
// rules by which it was estimated: its purchases, orders and starts are held as
// they were decided, and prices, rates, charges with their thresholds, hand work
// and printing follow from what was drawn. All amounts are whole minor units,
// rounded where the estimate rounds, so that with every figure at its most likely
// value and all luck as planned a trial gives the estimate.
//
// What happens otherwise than planned:
//   - A plate that fails is printed again until all that are wanted are there.
//     Its filament, hours, energy and hand work count.
//   - Filament that is then short is bought in one order more, of whole spools
//     from whoever comes cheapest with the charges of that order.
//   - Units are begun as far as there are good boards for them. Hand work is done
//     on those that are begun; parts that lie ready for the others are not given
//     back.
//   - Parcels are posted for all units that are wanted.
type trial struct {
	m         *Model
	size      int // good units wanted
	starts    int // units begun, as planned
	scale     float64
	unitYield int // index into inputs; -1: all are good
	inputs    []Ranged
	suppliers []trialSupplier
	lines     []trialLine
	orders    []trialOrder
	stocks    []trialStock
	works     []trialWork
	prints    []trialPrint
	kinds     []trialPlates
	groups    []trialGroup
	boards    []trialBoards
	energy    varying // home minor units per kWh
	labour    varying // home minor units per hour
	drawer    int64   // value of what is taken from the drawer, but for filament
	learned   map[[2]float64]float64
}

// trialSupplier is what orders from one supplier are charged.
type trialSupplier struct {
	index    int     // in the model
	isHome   bool    // its currency is the home currency
	rate     varying // home minor units for one of its own
	delivery varying // its own minor units
	consign  varying // the same, per part number
	handling varying // home minor units
}

// trialLine is goods or a fee.
type trialLine struct {
	amount varying // minor units of its currency, not yet rounded
	rate   varying // home minor units for one of those
	isHome bool
	order  int  // index into orders; -1: on none
	stock  int  // index into stocks; -1: used in full
	other  bool // its currency is not that of the order's supplier
}

// trialOrder is an order with what its charges rest on.
type trialOrder struct {
	supplier  int   // index into trial.suppliers
	consigned int64 // part numbers that cost a consign fee
}

// trialStock is what is bought of one part, board or filament: of its cash as
// much is used as of its quantity.
type trialStock struct {
	demand, bought bom.Quantity
	spools         []trialSpool // of filament, whose demand follows from its plates
	prints         []int        // index into trial.prints
	onHand         *bom.OnHand
}

// trialSpool is a spool that can be bought if filament runs short.
type trialSpool struct {
	price    varying // minor units of its currency
	rate     varying // home minor units for one of those
	isHome   bool
	pieces   bom.Quantity
	supplier int  // index into trial.suppliers
	other    bool // its currency is not the supplier's
}

// trialWork is a row of hand work.
type trialWork struct {
	seconds  varying
	basis    string
	count    float64
	learning float64 // share
}

// trialPlates are plates alike: as many as must come out good, and as many as
// were planned to be begun.
type trialPlates struct{ good, planned int }

// trialGroup are the plates of one group, which a printer prints.
type trialGroup struct {
	name  string
	input int // index into inputs of the printer's failures; -1: none fails
	kinds []int
}

// trialPrint is the printing of one line.
type trialPrint struct {
	lays    []lay
	machine float64 // home minor units per hour
	power   varying // W
	printed bool    // on a printer that is known
}

// lay is what a printed line has on each plate of one kind.
type lay struct {
	kind   int // index into trial.kinds
	pieces int
	hours  float64 // of one piece, with its share of the start
	g      float64 // of one piece
}

// trialBoards are the boards of one type.
type trialBoards struct {
	name            string
	starts, perUnit int
	yield           float64
	input           int // index into inputs; -1: all are good
}

// hair makes up for what binary fractions lack: a half that decimals would
// round up is not left under it.
const hair = 1e-6

// whole rounds an amount of 0 or more to minor units, half up.
func whole(amount float64) int64 { return int64(math.Floor(float64(amount) + (0.5 + hair))) }

// outcome is what a trial came to. It is kept from trial to trial, and only what
// rests on changed figures is reckoned again.
type outcome struct {
	t       *trial
	x       []float64 // value of each input
	begun   []int     // plates of each kind
	units   int       // begun
	good    int       // of those
	line    []lineOutcome
	own     []int64 // goods of each order, supplier's minor units
	goods   []int64 // the same at home
	charges []int64 // of each order
	bought  []int64 // home cash of each stock, without what was short
	stock   []paid
	work    []int64
	print   []printOutcome
	total   paid
}

type lineOutcome struct{ own, home int64 }

// paid is money in home minor units.
type paid struct{ cash, used int64 }

type printOutcome struct {
	cash int64
	g    bom.Quantity
}

// touched lists what has to be reckoned again.
type touched struct{ prints, lines, stocks, orders, works []int }

// asPlanned is the outcome of a trial in which all is as it was planned.
func (t *trial) asPlanned() *outcome {
	o := &outcome{
		t: t, x: make([]float64, len(t.inputs)), begun: make([]int, len(t.kinds)), units: t.starts, good: t.size,
		line: make([]lineOutcome, len(t.lines)), own: make([]int64, len(t.orders)), goods: make([]int64, len(t.orders)),
		charges: make([]int64, len(t.orders)), bought: make([]int64, len(t.stocks)), stock: make([]paid, len(t.stocks)),
		work: make([]int64, len(t.works)), print: make([]printOutcome, len(t.prints)),
		total: paid{0, t.drawer},
	}
	for i, in := range t.inputs {
		o.x[i] = in.Mode
	}
	for k, plates := range t.kinds {
		o.begun[k] = plates.planned
	}
	o.again(t.all())
	return o
}

// unit is what a good unit costs, of what the batch uses: of no more than are
// wanted, and as if one had come out good where none did.
func (o *outcome) unit() float64 {
	return float64(o.total.used) / float64(max(1, min(o.good, o.t.size))) / o.t.scale
}

func (o *outcome) cash() float64 { return float64(o.total.cash) / o.t.scale }

// again reckons what is touched.
func (o *outcome) again(what touched) {
	for _, i := range what.prints {
		o.againPrint(i)
	}
	for _, i := range what.lines {
		o.againLine(i)
	}
	for _, i := range what.stocks {
		was := o.stock[i]
		o.stock[i] = o.settle(i)
		o.total.cash += o.stock[i].cash - was.cash
		o.total.used += o.stock[i].used - was.used
	}
	for _, i := range what.orders {
		o.spend(&o.charges[i], o.chargesOf(i))
	}
	for _, i := range what.works {
		o.spend(&o.work[i], o.workOf(&o.t.works[i]))
	}
}

// spend sets what is used in full.
func (o *outcome) spend(was *int64, is int64) {
	o.total.cash += is - *was
	o.total.used += is - *was
	*was = is
}

func (o *outcome) againLine(i int) {
	l, was := &o.t.lines[i], o.line[i]
	is := lineOutcome{own: whole(l.amount.at(o.x))}
	is.home = is.own
	if !l.isHome {
		is.home = whole(float64(is.own) * l.rate.at(o.x))
	}
	if l.order >= 0 && l.other {
		is.own = whole(float64(is.home) / o.t.suppliers[o.t.orders[l.order].supplier].rate.at(o.x))
	}
	o.line[i] = is
	if l.order >= 0 {
		o.own[l.order] += is.own - was.own
		o.goods[l.order] += is.home - was.home
	}
	o.total.cash += is.home - was.home
	if l.stock >= 0 {
		o.bought[l.stock] += is.home - was.home
	} else {
		o.total.used += is.home - was.home
	}
}

// settle is what is used of a stock, besides what is spent on top of its lines
// where it runs short.
func (o *outcome) settle(i int) paid {
	s := &o.t.stocks[i]
	cash := o.bought[i]
	if s.prints == nil {
		return paid{0, usedOf(cash, s.demand, s.bought)}
	}
	var wanted bom.Quantity
	for _, p := range s.prints {
		wanted += o.print[p].g
	}
	var drawn int64
	if s.onHand != nil {
		taken := min(s.onHand.Quantity, wanted)
		drawn = whole(taken.Float() * s.onHand.UnitValue.InexactFloat64() * o.t.scale)
		wanted -= taken
	}
	if wanted <= s.bought || len(s.spools) == 0 {
		return paid{0, drawn + usedOf(cash, wanted, s.bought)}
	}
	more := o.shortOf(s, wanted-s.bought)
	return paid{more.goods + more.charges, drawn + more.charges + usedOf(cash+more.goods, wanted, s.bought+more.bought)}
}

// usedOf is round(cash × demand / bought), all of it where the demand is not
// less.
func usedOf(cash int64, demand, bought bom.Quantity) int64 {
	if demand >= bought {
		return cash
	}
	return whole(float64(cash) * (float64(demand) / float64(bought)))
}

// extra is an order of spools more.
type extra struct {
	goods, charges int64
	bought         bom.Quantity
}

// shortOf is the cheapest single order that makes up for filament that is
// short; of equal ones that which brings more.
func (o *outcome) shortOf(s *trialStock, short bom.Quantity) extra {
	var best extra
	for i := range s.spools {
		sp := &s.spools[i]
		n := (short + sp.pieces - 1) / sp.pieces
		own := whole(float64(n) * sp.price.at(o.x))
		home := own
		if !sp.isHome {
			home = whole(float64(own) * sp.rate.at(o.x))
		}
		if sp.other {
			own = whole(float64(home) / o.t.suppliers[sp.supplier].rate.at(o.x))
		}
		e := extra{home, o.orderCharges(sp.supplier, own, home), n * sp.pieces}
		sum, least := e.goods+e.charges, best.goods+best.charges
		if best.bought == 0 || sum < least || sum == least && e.bought > best.bought {
			best = e
		}
	}
	return best
}

func (o *outcome) chargesOf(i int) int64 {
	order := &o.t.orders[i]
	s := &o.t.suppliers[order.supplier]
	fee := whole(s.consign.at(o.x))
	if !s.isHome {
		fee = whole(float64(fee) * s.rate.at(o.x))
	}
	return order.consigned*fee + o.orderCharges(order.supplier, o.own[i], o.goods[i])
}

// orderCharges is what an order costs besides goods and consign fees.
func (o *outcome) orderCharges(supplier int, own, home int64) int64 {
	s := &o.t.suppliers[supplier]
	terms := buy.Terms{Delivery: whole(s.delivery.at(o.x)), Handling: whole(s.handling.at(o.x))}
	if !s.isHome {
		terms.Rate = s.rate.at(o.x)
		terms.Delivery = whole(float64(terms.Delivery) * terms.Rate)
	}
	return o.t.m.solver.Charges(s.index, own, home, terms)
}

func (o *outcome) againPrint(i int) {
	p := &o.t.prints[i]
	hours, g := 0.0, 0.0
	for _, l := range p.lays {
		pieces := float64(o.begun[l.kind] * l.pieces)
		hours += float64(pieces * l.hours)
		g += float64(pieces * l.g)
	}
	was := o.print[i].cash
	o.print[i].g = gramsOf(g)
	if p.printed {
		o.print[i].cash = whole(hours*p.machine) + whole(hours*p.power.at(o.x)/1000*o.t.energy.at(o.x))
	}
	o.total.cash += o.print[i].cash - was
	o.total.used += o.print[i].cash - was
}

// workOf is what a row of hand work costs.
func (o *outcome) workOf(w *trialWork) int64 {
	times := 1.0
	switch w.basis {
	case basisBatch:
	case basisPlate:
		plates := 0
		for _, n := range o.begun {
			plates += n
		}
		times = float64(plates)
	default:
		times = w.count * o.t.learn(o.units, w.learning)
	}
	return whole(w.seconds.at(o.x) * times * o.t.labour.at(o.x) / secondsPerHour)
}

// learn is learning.Total, of which few are ever asked for.
func (t *trial) learn(units int, rate float64) float64 {
	k := [2]float64{float64(units), rate}
	total, known := t.learned[k]
	if !known {
		total = learning.Total(units, rate)
		t.learned[k] = total
	}
	return total
}
