package bom

import "strings"

// Class is what the letters of a designator let one assume of a part.
type Class struct {
	Letters string // in upper case
	Kind    Kind
	Mount   Mount
	Joints  int  // solder joints of one piece
	Nothing bool // nothing to buy, unless the line has a part number; the other fields are for one that has
}

// classRows are classes of IEEE 315-1975 section 22.4 and a few of the trade
// (IC, LED, MH, JP, REF, PCB for the bare board itself, and the like: common practice, no source): letters, kind,
// mount, joints, and whether there is nothing to buy. The letters tell no mount:
// it is assumed. List and meanings from memory of the standard.
const classRows = `
R RT C L D CR VR DS LED F FB FL Y|part|SMT|2|
Q|part|SMT|3|
U IC|part|SMT|8|
J P K S SW BT LS T TB X CN CON|part|THT|2|
W|wire||0|
H MP MH HOLE FID LOGO G REF PCB|other||0|nothing
TP|part|THT|1|nothing
JP|part|THT|2|nothing
`

var classes = func() map[string]Class {
	table := map[string]Class{}
	for row := range strings.SplitSeq(strings.TrimSpace(classRows), "\n") {
		f := strings.Split(row, "|")
		for letters := range strings.FieldsSeq(f[0]) {
			table[letters] = Class{letters, Kind(f[1]), Mount(f[2]), atoi(f[3]), f[4] != ""}
		}
	}
	return table
}()

// IsClass tells whether a designator begins with letters that a class of parts has: U3, not
// NE555.
func IsClass(designator string) bool {
	_, ok := classes[ClassOf(designator)]
	return ok
}

// ClassAssumption gives what is assumed of a part by the letters of the first of
// its designators: chips, diodes, transistors, circuits and crystals are placed
// by a machine, all else (connectors, switches, relays, and letters that no
// standard has) is fitted by hand with two joints. ok is false where no letters
// stand there.
func ClassAssumption(designators []string) (c Class, ok bool) {
	if len(designators) == 0 {
		return Class{}, false
	}
	letters := ClassOf(strings.TrimSpace(designators[0]))
	if letters == "" {
		return Class{}, false
	}
	if c, ok = classes[letters]; !ok {
		c = Class{Letters: letters, Kind: KindPart, Mount: THT, Joints: 2}
	}
	return c, true
}
