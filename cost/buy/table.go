package buy

// table finds labels with the same totals: open addressing over the totals
// themselves.
type table struct {
	slots  []int32 // label + 1; 0: free
	used   int
	stride int
}

func (t *table) reset(stride int) {
	t.stride, t.used = stride, 0
	t.clear(64)
}

func (t *table) clear(slots int) {
	t.slots = resized(t.slots, slots)
	clear(t.slots)
}

// find gives the label whose totals are the same, or enters a new one.
func (t *table) find(sum, goods []total, watch []watched, fresh int) (int32, bool) {
	if 2*t.used >= len(t.slots) {
		t.clear(2 * len(t.slots))
		for at := range t.used {
			row := goods[at*t.stride:]
			i := hash(row, watch) & uint64(len(t.slots)-1)
			for t.slots[i] != 0 {
				i = (i + 1) & uint64(len(t.slots)-1)
			}
			t.slots[i] = int32(at + 1)
		}
	}
	i := hash(sum, watch) & uint64(len(t.slots)-1)
	for ; t.slots[i] != 0; i = (i + 1) & uint64(len(t.slots)-1) {
		if at := t.slots[i] - 1; equal(sum, goods[int(at)*t.stride:], watch) {
			return at, false
		}
	}
	t.slots[i] = int32(fresh + 1)
	t.used++
	return int32(fresh), true
}

// hash mixes the totals that the charges depend on.
func hash(goods []total, watch []watched) uint64 {
	h := uint64(1)
	for i := range watch {
		h = (h ^ uint64(goods[i].own)) * 0x9e3779b97f4a7c15
		h ^= h >> 29
		if watch[i].two {
			h = (h ^ uint64(goods[i].home)) * 0xbf58476d1ce4e5b9
			h ^= h >> 32
		}
		if watch[i].mixed {
			h = (h ^ uint64(goods[i].duty)) * 0x94d049bb133111eb
			h ^= h >> 31
		}
	}
	return h
}

func equal(a, b []total, watch []watched) bool {
	for i := range watch {
		if a[i].own != b[i].own || watch[i].two && a[i].home != b[i].home || watch[i].mixed && a[i].duty != b[i].duty {
			return false
		}
	}
	return true
}
