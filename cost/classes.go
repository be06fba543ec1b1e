package cost

import "tenoff/bom"

// Classes of line: what allowances and rows of hand work apply to.
const (
	classSMT      = "smt"
	classTHT      = "tht"
	classFastener = "fastener"
	classInsert   = "insert"
	classWire     = "wire"
	classPrinted  = "printed"
	classPacking  = "packing"
	classOther    = "other"
	classBoard    = "board"
)

// classOf names the class of a line: its mount where it is a part, else its kind.
func classOf(l *bom.Line) string {
	switch l.Kind {
	case bom.KindPart, bom.KindOther:
		switch l.Mount {
		case bom.SMT:
			return classSMT
		case bom.THT:
			return classTHT
		}
		return classOther
	case bom.KindAssembly:
		return classOther
	}
	return string(l.Kind)
}

var categoryOf = map[string]Category{
	classSMT: SMTParts, classTHT: ThroughHoleParts,
	classFastener: Fasteners, classInsert: Fasteners,
	classWire: OtherParts, classOther: OtherParts,
	classPrinted: PrintedParts, classPacking: Packing, classBoard: BareBoard,
}

// The bases of a row of hand work.
const (
	basisJoint = "joint"
	basisPiece = "piece"
	basisUnit  = "unit"
	basisBatch = "batch"
	basisPlate = "plate"
)
