package printing

import "tenoff/bom"

// even is the rise over run under which a face counts as level.
const even = 0.02

// rim is the edge of what lies open at a layer.
type rim struct {
	out  float64 // length along which the part ends there, mm: walls run along it
	step float64 // the same where the layers of a slope step back, each by more than a line
	in   float64 // length along which the part goes on above or below, mm
}

// face is a level face, which lies open at one layer.
type face struct {
	triangle int32
	layer    int32 // at which it lies open
	up       bool
}

// rims finds the rims of the level faces. Where the other face at an edge
// goes on upwards from a top, or downwards from what lies open below, the part goes
// on there; else it ends.
func (k *knife) rims() {
	if len(k.levels) == 0 {
		return
	}
	edges := map[uint64]int{} // key of an edge -> index of the one level face at it; settled: the other face was met
	const settled = -1
	level := make([]bool, len(k.triangles))
	at := make([]bool, len(k.sums)+1) // layers that have an edge
	for i, f := range k.levels {
		level[f.triangle] = true
		t := &k.triangles[f.triangle]
		for c := range t {
			at[k.layer(t[c][2])] = true
			key := edgeKey(t, c)
			if _, met := edges[key]; met {
				edges[key] = settled
			} else if key != 0 {
				edges[key] = i
			}
		}
	}
	for i := range k.triangles {
		if level[i] {
			continue
		}
		t := &k.triangles[i]
		layers := [3]int{k.layer(t[0][2]), k.layer(t[1][2]), k.layer(t[2][2])}
		for c, l := range layers {
			if l != layers[(c+1)%3] || !at[l] {
				continue
			}
			key := edgeKey(t, c)
			if f, met := edges[key]; met && f != settled {
				edges[key] = settled
				k.border(k.levels[f], t, c)
			}
		}
	}
}

func edgeKey(t *bom.Triangle, c int) uint64 {
	a, b := &t[c], &t[(c+1)%3]
	key, _ := bom.EdgeKey(a.Key(), b.Key())
	return key
}

// border adds the edge of a level face that another triangle has as its side c.
func (k *knife) border(f face, t *bom.Triangle, c int) {
	a, b, o := &t[c], &t[(c+1)%3], &t[(c+2)%3]
	rise := o[2] - (a[2]+b[2])/2
	length := distance(place{a[0], a[1]}, place{b[0], b[1]})
	r := &k.sums[f.layer].open(f.up).rim
	if (rise > 0) == f.up {
		r.in += length
	} else {
		r.out += length
	}
}
