package cost

import (
	"fmt"
	"strings"

	"tenoff/bom"
	"tenoff/cost/learning"
	"tenoff/cost/sum"
)

// What a row of hand work may apply to besides the classes of line.
const (
	workTest    = "test"
	workBagging = "bagging"
)

// countsAt tells at which levels a row counts.
func countsAt(appliesTo string, level bom.Level) bool {
	switch appliesTo {
	case classTHT, classFastener, classInsert, classWire, classOther:
		return level == bom.LevelBuilt
	case workBagging:
		return level == bom.LevelKit
	case classPrinted:
		return level != bom.LevelBoard
	}
	return true // smt, test, packing
}

// prepareWork counts what each row of hand work is done to in each product; what is done
// once for the batch, or for each plate, is one row of all products that it is done for.
func prepareWork(m *Model) {
	for _, op := range bom.Refs(m.prices.HandWork) {
		var before []int
		for p := range m.products {
			row, ok := productWork(m, op, p)
			if !ok {
				continue
			}
			row.before = before
			before = append(before[:len(before):len(before)], p)
			if last := len(m.work) - 1; len(before) > 1 && !row.byUnit() {
				m.work[last].of = before
				continue
			}
			m.work = append(m.work, row)
		}
	}
}

// productWork counts what a row of hand work is done to in a unit of a product; ok is false
// where that is nothing.
func productWork(m *Model, op *bom.Operation, product int) (row workRow, ok bool) {
	if !countsAt(op.AppliesTo, m.products[product].level) || !basisFits(m, op) {
		return row, false
	}
	pieces, joints, any := 0.0, 0.0, false
	for _, e := range m.entries {
		if e.Product != product || e.StandsFor > 0 || !worksOn(m, op.AppliesTo, e) {
			continue
		}
		any = true
		if e.timed() && op.AppliesTo == classOf(e.Line) {
			continue
		}
		pieces += e.PerUnit.Float()
		if op.Basis == basisJoint {
			wantJoints(&m.problems, e, "hand work by the joint")
			joints += e.PerUnit.Float() * float64(e.Line.Joints.Count)
		}
	}
	row = workRow{op: op, count: 1, place: op.At("Seconds"), of: []int{product}}
	switch op.Basis {
	case basisPiece:
		row.count = pieces
	case basisJoint:
		row.count = joints
	default: // done once however many there are, but not to nothing
		if !any && ofLines(op.AppliesTo) {
			row.count = 0
		}
	}
	return row, row.count > 0
}

// byUnit tells whether a row is done to each unit.
func (r *workRow) byUnit() bool { return r.op.Basis != basisBatch && r.op.Basis != basisPlate }

// timed tells whether a line says itself how long a piece of it takes at the bench.
func (e *Entry) timed() bool { return e.Line.BenchS.Known }

// lineWork makes a row of hand work of each line that says itself how long it takes: it
// counts at the levels of the rows of its class, other lines when the unit is built, and
// not where a machine places it.
func lineWork(m *Model) {
	for _, e := range bom.Refs(m.entries) {
		class, l := classOf(e.Line), e.Line
		if !e.timed() || e.StandsFor > 0 || m.making.placed(e) || l.BenchS.Value == 0 || !countsAt(class, m.products[e.Product].level) {
			continue
		}
		m.work = append(m.work, workRow{op: &bom.Operation{
			Dated: bom.Dated{Origin: l.Origin}, Name: strings.TrimSpace("bench time of " + l.Part + " " + e.Path), AppliesTo: class, Basis: basisPiece,
			Seconds: l.BenchS.Value, Learning: 100, TimedAt: 1, Share: hundred,
		}, count: e.PerUnit.Float(), place: l.At("Bench s"), of: []int{e.Product}})
	}
}

// ofLines tells whether a row is done to lines, so that a unit without such
// lines has none of it; a test or packing is done to the unit.
func ofLines(appliesTo string) bool {
	return appliesTo != workTest && appliesTo != workBagging && appliesTo != classPacking
}

// basisFits refuses a basis that cannot be counted: joints are soldered on SMT
// and THT parts and on wire.
func basisFits(m *Model, op *bom.Operation) bool {
	if op.Basis != basisJoint || op.AppliesTo == classSMT || op.AppliesTo == classTHT || op.AppliesTo == classWire {
		return true
	}
	m.problems.Errorf(op.At("Basis"), op.Basis, "piece, unit or batch", "%s has no solder joints", op.AppliesTo)
	return false
}

// worksOn tells whether a row of hand work is done to a line: a test is done to
// boards, bagging to all that is loose at level kit.
func worksOn(m *Model, appliesTo string, e Entry) bool {
	class := classOf(e.Line)
	switch appliesTo {
	case workTest:
		return class == classBoard
	case workBagging:
		return class != classPacking && class != classSMT && !m.making.placed(&e)
	}
	return class == appliesTo && !m.making.placed(&e)
}

// wantJoints complains where the joints of a line are not known.
func wantJoints(problems *bom.Problems, e Entry, who string) {
	if e.Line.Joints.Known {
		return
	}
	at := e.Line.At("Joints")
	for _, p := range *problems {
		if p.Place == at && p.What == missingJoints(who) {
			return
		}
	}
	problems.Errorf(at, e.Line.Part, "the number of solder joints per piece", "%s", missingJoints(who))
}

func missingJoints(who string) string {
	return fmt.Sprintf("joints are missing, and %s counts them", who)
}

// stateHandWork states hours and money of the rows of hand work.
func stateHandWork(s *sums) {
	b := s.b
	var hours, money []sum.Ref
	for i, row := range s.m.work {
		op := row.op
		w := Work{
			Operation: op.Name, AppliesTo: op.AppliesTo, Basis: op.Basis,
			Product: row.product(), Starts: row.units(b), Count: row.count, Seconds: op.Seconds, Learning: op.Learning, TimedAt: op.TimedAt, Before: op.Before, Share: op.Share, Place: row.place,
		}
		times := s.printed
		if op.Basis == basisPlate {
			times = s.name(OfWork, i, "times", times, sum.Loose)
			w.Times = s.Value(times).InexactFloat64()
		} else {
			w.Times = row.timesIn(b)
			times = s.decided(OfWork, i, "times", allDigits(w.Times))
		}
		each := s.Figure(sum.Figure{Key: sum.Key{Of: OfWork, At: i, What: "seconds"}, Value: allDigits(w.Seconds), Unit: "s", Place: w.Place, AsOf: op.AsOf})
		due := s.Mul(each, times)
		if !op.Share.Equal(hundred) {
			due = s.percent(due, s.Figure(sum.Figure{Key: sum.Key{Of: OfWork, At: i, What: "share"}, Value: op.Share, Unit: "%", Place: op.At("Share %"), AsOf: op.AsOf}))
		}
		seconds := s.Round(due, floatDigits)
		took := s.name(OfWork, i, "hours", s.Div(seconds, s.Count(secondsPerHour)), sum.Loose)
		// The division comes last, so that no third of an hour is lost before rounding.
		worth := s.Round(s.Div(s.Mul(seconds, s.setting(drawnLabour)), s.Count(secondsPerHour)), s.digits)
		if s.m.prices.Settings.LabourPaid {
			s.work = append(s.work, spent(s.money(OfWork, i, "cash", worth)))
		} else {
			s.work = append(s.work, worked(s.money(OfWork, i, "own", worth)))
		}
		w.Hours, w.Cash, w.Own = s.Value(took).InexactFloat64(), s.Value(s.work[i].cash), s.Value(s.work[i].own)
		hours, money = append(hours, took), append(money, worth)
		b.Work = append(b.Work, w)
	}
	s.name(OfTotal, 0, "work hours", s.Add(hours...), sum.Loose)
	s.money(OfTotal, 0, "work", s.Add(money...))
}

// product is the one whose units a row is done to; -1 where it is of several.
func (r *workRow) product() int {
	if len(r.of) > 1 {
		return -1
	}
	return r.of[0]
}

// units is how many of the units begun a row is done to.
func (r *workRow) units(b *Batch) (sum int) {
	for _, p := range r.of {
		sum += b.unitsOf(r.swap, p)
	}
	return sum
}

// done is how many units a row has been done to before, those of products before included.
func (r *workRow) done(b *Batch) int {
	k := r.op.Before
	for _, p := range r.before {
		k += b.unitsOf(r.swap, p)
	}
	return k
}

// timesIn is how many times the seconds of a row count in a batch, learning included.
func (r *workRow) timesIn(b *Batch) float64 {
	n := r.units(b)
	if r.op.Basis == basisBatch {
		return float64(min(1, n))
	}
	return r.count * learned(r.op, r.done(b), n)
}

// learned is how many times the seconds of an operation count for so many units, after so
// many that were done before.
func learned(op *bom.Operation, before, units int) float64 {
	return learning.Lot(before, units, op.TimedAt, op.Learning/100)
}

// Hours are those of all hand work.
func (b *Batch) Hours() (sum float64) {
	for _, w := range b.Work {
		sum += w.Hours
	}
	return sum
}
