// Command tenoff answers what one unit of a small electronic device costs when
// ten, forty or two hundred are made, and what has to be bought, printed, fitted
// and posted to make them.
//
//	tenoff estimate --bom unit.csv --prices prices.xlsx --batch 10,40,100 --out estimate.xlsx
//
// Results go to standard output, complaints to standard error. Exit codes:
// 0 done; 1 the input is wrong; 2 the command line is wrong; 3 done, but
// something has no price.
package main

import (
	"context"
	"math"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"syscall"
)

// A run is short and mostly small: garbage is let lie until it is four times what is
// in use, which saves about a tenth of an estimate's time. From usualMemory bytes on
// it is collected as soon as it takes to stay there. A run that uses over half of that is
// collected as Go does by default and stays within largeMemory, which holds what comes of a
// file of a megabyte, until it needs more.
const (
	garbagePercent, usualGarbage = 400, 100
	usualMemory, largeMemory     = 144 << 20, 176 << 20
)

// eachCollection is called after each collection of garbage until it says to stop.
func eachCollection(look func() (more bool)) {
	type mark struct{ _ *byte } // a pointer keeps it from being put together with others
	var again func(*mark)
	again = func(*mark) {
		if look() {
			runtime.SetFinalizer(&mark{}, again)
		}
	}
	again(nil)
}

// collectLargeRuns raises the limit, and gives it up, where what is in use would leave no
// room below it: the collector would run without end.
func collectLargeRuns() (more bool) {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	limit := int64(math.MaxInt64)
	switch inUse := live[0].Value.Uint64(); {
	case inUse < usualMemory/2:
		return true
	case inUse < largeMemory*3/5:
		limit, more = largeMemory, true
	}
	debug.SetGCPercent(usualGarbage)
	debug.SetMemoryLimit(limit)
	return more
}

func main() {
	debug.SetGCPercent(garbagePercent)
	debug.SetMemoryLimit(usualMemory)
	eachCollection(collectLargeRuns)
	// Signals are listened to until the process is left, so that an interrupt just
	// after the files are in place does not make a run that is done look broken off.
	ends := []os.Signal{os.Interrupt, syscall.SIGTERM}
	if !signal.Ignored(syscall.SIGHUP) { // as nohup has it
		ends = append(ends, syscall.SIGHUP)
	}
	signal.Ignore(syscall.SIGPIPE) // a reader that leaves early ends no run: see watched
	ctx, stop := signal.NotifyContext(context.Background(), ends...)
	context.AfterFunc(ctx, stop) // a second interrupt ends the process at once
	os.Exit(run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr))
}
