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
R|part|SMT|2|
RT|part|SMT|2|
C|part|SMT|2|
L|part|SMT|2|
D|part|SMT|2|
CR|part|SMT|2|
VR|part|SMT|2|
DS|part|SMT|2|
LED|part|SMT|2|
F|part|SMT|2|
FB|part|SMT|2|
FL|part|SMT|2|
Y|part|SMT|2|
Q|part|SMT|3|
U|part|SMT|8|
IC|part|SMT|8|
W|wire||0|
H|other||0|nothing
MP|other||0|nothing
MH|other||0|nothing
HOLE|other||0|nothing
FID|other||0|nothing
LOGO|other||0|nothing
G|other||0|nothing
REF|other||0|nothing
PCB|other||0|nothing
TP|part|THT|1|nothing
JP|part|THT|2|nothing
`

var classes = func() map[string]Class {
	table := map[string]Class{}
	for _, row := range strings.Split(strings.TrimSpace(classRows), "\n") {
		f := strings.Split(row, "|")
		table[f[0]] = Class{f[0], Kind(f[1]), Mount(f[2]), atoi(f[3]), f[4] != ""}
	}
	return table
}()

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
