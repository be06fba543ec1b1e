package cost

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// twin is a model of the same run that another goroutine can use at the same
// time. All else that the two share is only read once the model is made.
func (m *Model) twin() *Model {
	out := *m
	out.solver, out.spare = m.solver.Twin(), nil
	return &out
}

// together has something done for 0, 1, …, n−1, on all processors at once: each
// time with the model or a twin of it that nobody else uses meanwhile. Where
// something is not done the rest is left, and so is told.
func (m *Model) together(n int, do func(m *Model, i int) (done bool)) (whole bool) {
	var next atomic.Int64
	var stopped atomic.Bool
	work := func(m *Model) {
		for !stopped.Load() {
			i := int(next.Add(1)) - 1
			if i >= n {
				return
			}
			if !do(m, i) {
				stopped.Store(true)
			}
		}
	}
	twins := make([]*Model, max(0, min(runtime.GOMAXPROCS(0), n)-1))
	for i := range twins {
		twins[i] = m.twin() // before any batch is under way
	}
	var all sync.WaitGroup
	for _, twin := range twins {
		all.Go(func() { work(twin) })
	}
	work(m)
	all.Wait()
	return !stopped.Load()
}
