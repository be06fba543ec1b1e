package workbook

import (
	"runtime"
	"sync"
)

// atOnce does the pieces of a piece of work, numbered from 0, on all processors.
// Each call of work takes pieces from next until there are none left; no two may
// write to the same place, so that the order in which they are done does not show.
func atOnce(pieces int, work func(next <-chan int)) {
	next := make(chan int, pieces)
	for i := range pieces {
		next <- i
	}
	close(next)
	var all sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), pieces) {
		all.Go(func() { work(next) })
	}
	all.Wait()
}
