package sheet

import "tenoff/bom"

// readSettled reads a list and settles its lines, without telling how.
func readSettled(name string, open Opener, opt Options) (*bom.Assembly, bom.Problems) {
	unit, problems := readLists(name, open, opt)
	s := &settler{done: map[*bom.Assembly]bool{}, units: map[*bom.Assembly]*bom.Assembly{}}
	s.assembly(unit)
	return unit, append(problems, s.problems...)
}
