package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/learning"
	"tenoff/cost/money"
)

// What a row of hand work may apply to besides the classes of line.
const (
	workTest    = "test"
	workBagging = "bagging"
)

// The bases of a row of hand work.
const (
	basisJoint = "joint"
	basisPiece = "piece"
	basisUnit  = "unit"
	basisBatch = "batch"
	basisPlate = "plate"
)

// workRow is one row of hand work that counts at the level of the run.
type workRow struct {
	op    *bom.Operation
	count float64 // joints or pieces per unit, or 1
}

// countsAt tells at which levels a row counts (5.7).
func countsAt(appliesTo string, level bom.Level) bool {
	switch appliesTo {
	case classTHT, classFastener, classInsert, classWire:
		return level == bom.LevelBuilt
	case workBagging:
		return level == bom.LevelKit
	case classPrinted:
		return level != bom.LevelBoard
	}
	return true // smt, test, packing
}

// prepareWork counts what each row of hand work is done to.
func (m *Model) prepareWork() {
	for i := range m.prices.HandWork {
		op := &m.prices.HandWork[i]
		if !countsAt(op.AppliesTo, m.run.Level) || !m.basisFits(op) {
			continue
		}
		pieces, joints, any := 0.0, 0.0, false
		for _, e := range m.entries {
			if !m.worksOn(op.AppliesTo, e) {
				continue
			}
			any = true
			pieces += e.PerUnit.Float()
			if op.Basis == basisJoint {
				m.wantJoints(e, "hand work by the joint")
				joints += e.PerUnit.Float() * float64(e.Line.Joints.Count)
			}
		}
		row := workRow{op, 1}
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
		if row.count > 0 {
			m.work = append(m.work, row)
		}
	}
	m.swapWork()
}

// ofLines tells whether a row is done to lines, so that a unit without such
// lines has none of it; a test or packing is done to the unit.
func ofLines(appliesTo string) bool {
	return appliesTo != workTest && appliesTo != workBagging && appliesTo != classPacking
}

// basisFits refuses a basis that cannot be counted: joints are soldered on SMT
// and THT parts and on wire.
func (m *Model) basisFits(op *bom.Operation) bool {
	if op.Basis != basisJoint || op.AppliesTo == classSMT || op.AppliesTo == classTHT || op.AppliesTo == classWire {
		return true
	}
	m.problems.Errorf(op.At("Basis"), op.Basis, "piece, unit or batch", "%s has no solder joints", op.AppliesTo)
	return false
}

// worksOn tells whether a row of hand work is done to a line: a test is done to
// boards, bagging to all that is loose at level kit.
func (m *Model) worksOn(appliesTo string, e Entry) bool {
	class := classOf(e.Line)
	switch appliesTo {
	case workTest:
		return class == classBoard
	case workBagging:
		return class != classPacking && class != classSMT
	case classSMT:
		return class == classSMT && !e.Machine
	}
	return class == appliesTo
}

const secondsPerHour = 3600

// handWork fills in hours and money of the rows (5.7).
func (m *Model) handWork(b *Batch) {
	plates := 0
	for _, g := range b.Groups {
		plates += g.Started
	}
	b.Work = make([]Work, 0, len(m.work))
	for _, row := range m.work {
		w := Work{
			Operation: row.op.Name, AppliesTo: row.op.AppliesTo, Basis: row.op.Basis,
			Count: row.count, Seconds: row.op.Seconds, Learning: row.op.Learning,
			Place: row.op.At("Seconds"),
		}
		switch row.op.Basis {
		case basisBatch:
			w.Times = 1
		case basisPlate:
			w.Times = float64(plates)
		default:
			w.Times = row.count * learning.Total(b.Starts, row.op.Learning/100)
		}
		seconds := w.Seconds * w.Times
		w.Hours = seconds / secondsPerHour
		w.Cash = m.labour(seconds)
		b.Work = append(b.Work, w)
		b.Categories[HandWork] = b.Categories[HandWork].Plus(spent(w.Cash))
	}
}

// labour prices seconds of work. The division comes last, in decimals, so that
// no third of an hour is lost before rounding.
func (m *Model) labour(seconds float64) decimal.Decimal {
	exact, _ := money.FromFloat(seconds)
	rate := m.prices.Settings.LabourRate
	return money.Worth(exact, rate, secondsPerHour, m.home.Digits)
}
