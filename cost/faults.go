package cost

import (
	"strings"

	"tenoff/bom"
)

// faults gathers what the batches complain of. The same fault at several sizes
// is one complaint, in the words of the first batch, that names the others.
type faults struct {
	list  bom.Problems
	index map[faultKey]int
	also  [][]string
}

type faultKey struct {
	place       bom.Place
	found, want string
}

func (f *faults) add(batch BatchID, problems bom.Problems) {
	if f.index == nil {
		f.index = map[faultKey]int{}
	}
	for _, p := range problems {
		k := faultKey{p.Place, p.Found, p.Want}
		if i, again := f.index[k]; again && f.list[i].What == p.What {
			continue
		} else if again {
			f.also[i] = append(f.also[i], string(batch))
			continue
		}
		f.index[k] = len(f.list)
		f.list, f.also = append(f.list, p), append(f.also, nil)
	}
}

func (f *faults) merged() bom.Problems {
	for i, sizes := range f.also {
		if len(sizes) > 0 {
			f.list[i].What += " (and for batch " + strings.Join(sizes, ", ") + ")"
		}
	}
	return f.list
}
