package workers

import (
	"sync/atomic"
	"testing"
)

// TestAtOnce: each thing is done once, by a worker that does nothing else meanwhile; where
// one is not done the rest is left.
func TestAtOnce(t *testing.T) {
	for _, n := range []int{0, 1, 7, 1000} {
		done := make([]atomic.Int64, n)
		busy := make([]atomic.Bool, Count(n))
		whole := AtOnce(n, func(worker, i int) bool {
			if busy[worker].Swap(true) {
				t.Errorf("worker %d does two things", worker)
			}
			done[i].Add(1)
			busy[worker].Store(false)
			return true
		})
		for i := range done {
			if done[i].Load() != 1 {
				t.Errorf("%d of %d is done %d times", i, n, done[i].Load())
			}
		}
		if !whole {
			t.Errorf("%d things are not whole", n)
		}
	}
	var count atomic.Int64
	if AtOnce(1_000_000, func(_, i int) bool { count.Add(1); return i != 10 }) || count.Load() == 1_000_000 {
		t.Errorf("%d are done though one is not", count.Load())
	}
}
