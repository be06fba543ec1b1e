package cost

import "tenoff/bom"

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
