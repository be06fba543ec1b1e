package sheet

import "tenoff/bom"

// readSettled reads a list and settles its lines, without telling how.
func readSettled(name string, open Opener, opt Options) (*bom.Assembly, bom.Problems) {
	lists, problems := readLists([]string{name}, open, opt)
	s := &settler{done: map[*bom.Assembly]bool{}, ways: map[way]*settledLines{}, units: map[*bom.Assembly]*bom.Assembly{}}
	s.assembly(lists[0])
	return lists[0], append(problems, s.problems...)
}
