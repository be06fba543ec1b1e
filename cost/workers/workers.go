// Package workers has many things done on all processors at once.
package workers

import (
	"runtime"
	"sync"
	"sync/atomic"
)

// Count is how many work on n things at once: at least one.
func Count(n int) int { return max(1, min(runtime.GOMAXPROCS(0), n)) }

// AtOnce has something done for 0, 1, …, n−1, by Count(n) workers at once; do is told which
// of them does it. Where something is not done the rest is left, and so is told.
func AtOnce(n int, do func(worker, i int) (done bool)) (whole bool) {
	var next atomic.Int64
	var stopped atomic.Bool
	var all sync.WaitGroup
	for worker := range Count(n) {
		all.Go(func() {
			for !stopped.Load() {
				i := int(next.Add(1)) - 1
				if i >= n {
					return
				}
				if !do(worker, i) {
					stopped.Store(true)
				}
			}
		})
	}
	all.Wait()
	return !stopped.Load()
}
