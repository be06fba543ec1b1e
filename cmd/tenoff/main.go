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
// it is collected as soon as it takes to stay there, and a run that uses over half of
// that is collected as Go does by default.
const garbagePercent, usualGarbage, usualMemory = 400, 100, 144 << 20

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

// collectLargeRuns gives the limit up where what is in use would leave no room below
// it: the collector would run without end.
func collectLargeRuns() (more bool) {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	metrics.Read(live)
	if live[0].Value.Uint64() < usualMemory/2 {
		return true
	}
	debug.SetGCPercent(usualGarbage)
	debug.SetMemoryLimit(math.MaxInt64)
	return false
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
