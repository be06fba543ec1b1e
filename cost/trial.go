package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/sum"
)

// A trial works a batch out once more, with other figures and other luck, by the sums
// by which it was estimated: its purchases, orders and starts are held as they were
// decided, and prices, rates, charges with their thresholds, hand work and printing
// follow from what was drawn. With every figure at its most likely value and all luck
// as planned a trial gives the estimate.
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
	size      int   // good units wanted
	sizes     []int // of each product
	starts    []int // units begun of each, as planned
	unitYield int   // index into inputs; -1: all are good
	inputs    []Ranged
	moves     [][]move // by input: the figures that follow it
	works     []trialWork
	prints    []trialPrint
	kinds     []trialPlates
	plates    sum.Ref // printed in all
	groups    []trialGroup
	boards    []trialBoards
	learned   map[learnedKey]float64

	program    *sum.Program
	cash, used sum.Ref
}

// learnedKey is an operation, and how many units it is done to.
type learnedKey struct {
	op            *bom.Operation
	before, units int
}

// move is a figure that is so many times an input.
type move struct {
	figure sum.Ref
	times  float64
}

// trialWork is a row of hand work whose times are drawn.
type trialWork struct {
	row   *workRow
	times sum.Ref
}

// trialPlates are plates alike: as many as must come out good, and as many as are
// expected to be printed until they do.
type trialPlates struct {
	good     int
	expected float64
}

// trialGroup are the plates of one group, which a printer prints.
type trialGroup struct {
	name  string
	input int // index into inputs of the printer's failures; -1: none fails
	kinds []int
}

// trialPrint is the printing of one line.
type trialPrint struct {
	lays                   []lay
	laid, starting, primed sum.Ref // pieces, hours of starting plates, and grams pressed out at it
}

// lay is what a printed line has on each plate of one kind.
type lay struct {
	kind   int // index into trial.kinds
	pieces int
	hours  float64 // that they bear of the start
	g      float64 // and of what is pressed out at it
}

// trialBoards are the boards of one type.
type trialBoards struct {
	name           string
	starts, wanted int
	perUnit        []int // of each product
	yield          float64
	input          int // index into inputs; -1: all are good
}

// outcome is what a trial came to.
type outcome struct {
	t     *trial
	x     []float64 // value of each input
	begun []float64 // plates of each kind
	units []int     // begun of each product
	good  int       // of those, no more of each than are wanted
}

// asPlanned is the outcome of a trial in which all is as it was planned.
func (t *trial) asPlanned() *outcome {
	o := &outcome{t: t, x: make([]float64, len(t.inputs)), begun: make([]float64, len(t.kinds)), units: slices.Clone(t.starts), good: t.size}
	for i, in := range t.inputs {
		o.x[i] = in.Mode
	}
	for k, plates := range t.kinds {
		o.begun[k] = plates.expected
	}
	o.run()
	return o
}

// run works out what was drawn.
func (o *outcome) run() {
	for i := range o.t.moves {
		o.follow(i)
	}
	o.happen()
	o.t.program.Run()
}

// follow has the figures follow an input.
func (o *outcome) follow(input int) {
	for _, m := range o.t.moves[input] {
		o.t.program.Set(m.figure, float64(m.times*o.x[input]))
	}
}

// happen enters what happened to plates and units.
func (o *outcome) happen() {
	t, p := o.t, o.t.program
	for i := range t.prints {
		x, laid, starting, primed := &t.prints[i], 0.0, 0.0, 0.0
		for _, l := range x.lays {
			laid += float64(o.begun[l.kind] * float64(l.pieces))
			starting += float64(o.begun[l.kind] * l.hours)
			primed += float64(o.begun[l.kind] * l.g)
		}
		p.Set(x.laid, laid)
		if x.starting != 0 {
			p.Set(x.starting, starting)
		}
		if x.primed != 0 {
			p.Set(x.primed, primed)
		}
	}
	plates := 0.0
	for _, n := range o.begun {
		plates += n
	}
	p.Set(t.plates, plates)
	for _, w := range t.works {
		p.Set(w.times, t.times(w.row, o.units))
	}
}

// times is how many times the seconds of a row count; of all numbers of units few are
// ever asked for.
func (t *trial) times(row *workRow, units []int) float64 {
	k, planned := learnedKey{op: row.op, before: row.op.Before}, 0
	for _, p := range row.of {
		k.units, planned = k.units+units[p], planned+t.starts[p]
	}
	if row.op.Basis == basisBatch {
		return float64(min(1, planned))
	}
	for _, p := range row.before {
		k.before += units[p]
	}
	total, known := t.learned[k]
	if !known {
		total = learned(row.op, k.before, k.units)
		t.learned[k] = total
	}
	return row.count * total
}

// unit is what a good unit costs, of what the batch uses: of no more than are
// wanted, and as if one had come out good where none did.
func (o *outcome) unit() float64 {
	return o.t.program.Value(o.t.used) / float64(max(1, o.good))
}

func (o *outcome) cash() float64 { return o.t.program.Value(o.t.cash) }
