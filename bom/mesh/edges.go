package mesh

import "tenoff/bom"

// edgesAtOnce bounds the memory of countEdges: a mesh with more edges is gone
// through several times, each time for another share of them.
const edgesAtOnce = 4_000_000

// countEdges counts the edges that keep a mesh from being closed, and those at
// which it is not consistently oriented. Edges are the same where their ends
// are, bit for bit.
func countEdges(each func(func([]bom.Triangle) error) error, triangles int64) (open, clashing int64, err error) {
	shares := uint64(triangles*3/2/edgesAtOnce + 1)
	type use struct{ forward, backward int32 }
	for share := range shares {
		uses := map[uint64]use{}
		err := each(func(batch []bom.Triangle) error {
			for i := range batch {
				a, b, c := batch[i][0].Key(), batch[i][1].Key(), batch[i][2].Key()
				for _, e := range [3][2]uint64{{a, b}, {b, c}, {c, a}} {
					key, sign := bom.EdgeKey(e[0], e[1])
					if key == 0 || key%shares != share {
						continue
					}
					u := uses[key]
					if sign == 0 {
						u.forward++
					} else {
						u.backward++
					}
					if u.forward == u.backward {
						delete(uses, key) // settled for now, and mostly for good
					} else {
						uses[key] = u
					}
				}
			}
			return nil
		})
		if err != nil {
			return 0, 0, err
		}
		for _, u := range uses {
			switch {
			case (u.forward+u.backward)%2 != 0:
				open++
			case u.forward != u.backward:
				clashing++
			}
		}
	}
	return open, clashing, nil
}
