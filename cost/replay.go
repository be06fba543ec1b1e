package cost

import (
	"slices"

	"tenoff/bom"
	"tenoff/cost/chance"
	"tenoff/cost/sum"
)

// Replay is a batch that can be worked out once more, with other figures and other luck, by
// the sums by which it was estimated: its purchases, orders and starts are held as they were
// decided, and prices, rates, charges with their thresholds, hand work and printing
// follow from what is put into an [Outcome]. With every figure at its most likely value and
// all luck as planned an outcome is the estimate. It is for one goroutine at a time.
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
type Replay struct {
	Size       int           // good units wanted
	Sizes      []int         // of each product
	Starts     []int         // units begun of each, as planned
	Inputs     []Ranged      // what may turn out otherwise
	UnitYield  int           // the input of units that come out good; Certain: all do
	Plates     []PlateChance // that are printed until enough come out good
	GoodPlates []int         // plates of each kind that must come out good
	Boards     []BoardChance // of each type

	m        *Model
	moves    [][]move // by input: the figures that follow it
	works    []replayWork
	prints   []replayPrint
	expected []float64 // plates of each kind that are printed until the good ones are there
	printed  sum.Ref   // plates in all
	learned  map[learnedKey]float64

	program    *sum.Program
	cash, used sum.Ref
}

// Certain stands for the input of what cannot turn out otherwise.
const Certain = -1

// Pert is a three-point figure.
type Pert = chance.Pert

// Ranged is a figure that may turn out otherwise, or something that happens by
// chance.
type Ranged struct {
	Name    string // "price of QUOR-M12, Wendelmoor Bauteile"
	Unit    string // what Low, Mode and High are counted in
	Pert           // of the figure
	Old     bool   // it is drawn because it is old
	Happens bool   // by chance besides: how many boards, units or plates come out good
	Key     string // names its draws: the same for every batch, whatever else is drawn
}

// PlateChance are the plates alike in what is on them and what prints them, whose failures
// are drawn for themselves.
type PlateChance struct {
	Key   string // names its draws, wherever its lines stand
	Input int    // of the printer's failures; Certain: none fails
	Kinds []int  // of plates, indices into GoodPlates
}

// BoardChance are the boards of one type, some of which may not come out good.
type BoardChance struct {
	Key            string // names its draws
	Starts, Wanted int
	PerUnit        []int // of each product
	Yield          float64
	Input          int // Certain: all are good
}

// Outcome is what one replay comes to: what turned out is put in, and it is run.
type Outcome struct {
	X     []float64 // value of each input
	Begun []float64 // plates of each kind
	Units []int     // begun of each product
	Good  int       // of those, no more of each than are wanted

	r *Replay
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

// replayWork is a row of hand work whose times are drawn.
type replayWork struct {
	row   *workRow
	times sum.Ref
}

// replayPrint is the printing of one line.
type replayPrint struct {
	lays                   []lay
	laid, starting, primed sum.Ref // pieces, hours of starting plates, and grams pressed out at it
}

// lay is what a printed line has on each plate of one kind.
type lay struct {
	kind   int // index into Replay.GoodPlates
	pieces int
	hours  float64 // that they bear of the start
	g      float64 // and of what is pressed out at it
}

// AsPlanned is the outcome in which all is as it was planned.
func (r *Replay) AsPlanned() *Outcome {
	o := &Outcome{r: r, X: bom.Each(r.Inputs, func(in *Ranged) float64 { return in.Mode }), Begun: slices.Clone(r.expected), Units: slices.Clone(r.Starts), Good: r.Size}
	o.Run()
	return o
}

// Run works out what was put in.
func (o *Outcome) Run() {
	for i := range o.r.moves {
		o.follow(i)
	}
	o.happen()
	o.r.program.Run()
}

// Alone gives what works an outcome out again in which one input alone was put in otherwise.
func (o *Outcome) Alone(input int) (again func()) {
	r := o.r
	p := r.program.After(r.drawn(func(i int) bool { return i == input })...)
	return func() {
		o.follow(input)
		if r.Inputs[input].Happens {
			o.happen()
		}
		p.Run()
	}
}

// drawn are the figures that follow some inputs, or what happens by them.
func (r *Replay) drawn(by func(input int) bool) (out []sum.Ref) {
	for i, moves := range r.moves {
		for _, m := range moves {
			if by(i) {
				out = append(out, m.figure)
			}
		}
	}
	plates, boards := false, r.UnitYield != Certain && by(r.UnitYield)
	for _, g := range r.Plates {
		plates = plates || g.Input != Certain && by(g.Input)
	}
	for _, b := range r.Boards {
		boards = boards || b.Input != Certain && by(b.Input)
	}
	for i := range r.prints {
		if plates {
			out = append(out, r.prints[i].laid)
			for _, once := range []sum.Ref{r.prints[i].starting, r.prints[i].primed} {
				if once != 0 {
					out = append(out, once)
				}
			}
		}
	}
	if plates {
		out = append(out, r.printed)
	}
	for _, w := range r.works {
		if boards {
			out = append(out, w.times)
		}
	}
	return out
}

// follow has the figures follow an input.
func (o *Outcome) follow(input int) {
	for _, m := range o.r.moves[input] {
		o.r.program.Set(m.figure, float64(m.times*o.X[input]))
	}
}

// happen enters what happened to plates and units.
func (o *Outcome) happen() {
	r, p := o.r, o.r.program
	for i := range r.prints {
		x, laid, starting, primed := &r.prints[i], 0.0, 0.0, 0.0
		for _, l := range x.lays {
			laid += float64(o.Begun[l.kind] * float64(l.pieces))
			starting += float64(o.Begun[l.kind] * l.hours)
			primed += float64(o.Begun[l.kind] * l.g)
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
	for _, n := range o.Begun {
		plates += n
	}
	p.Set(r.printed, plates)
	for _, w := range r.works {
		p.Set(w.times, r.times(w.row, o.Units))
	}
}

// times is how many times the seconds of a row count; of all numbers of units few are
// ever asked for.
func (r *Replay) times(row *workRow, units []int) float64 {
	k, planned := learnedKey{op: row.op, before: row.op.Before}, 0
	for _, p := range row.of {
		k.units, planned = k.units+units[p], planned+r.Starts[p]
	}
	if row.op.Basis == basisBatch {
		return float64(min(1, planned))
	}
	for _, p := range row.before {
		k.before += units[p]
	}
	total, known := r.learned[k]
	if !known {
		total = learned(row.op, k.before, k.units)
		r.learned[k] = total
	}
	return row.count * total
}

// Cash is the cash out, in home currency.
func (o *Outcome) Cash() float64 { return o.r.program.Value(o.r.cash) }

// Used is what the batch consumes, in home currency.
func (o *Outcome) Used() float64 { return o.r.program.Value(o.r.used) }
