package main

import (
	"context"
	"slices"
	"strings"
	"time"

	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
)

// ordering holds the flags that say what may be ordered, and how long the proof
// that a plan is the cheapest may take.
type ordering struct {
	atMost  int
	without []string
	by      string
	inStock bool
	take    []string
	seconds float64
}

// provingSeconds bounds the proof by default; small runs need a thousandth of it.
const provingSeconds = 2

func (o *ordering) flags(f *pflag.FlagSet) {
	f.IntVar(&o.atMost, "suppliers-at-most", 0, "orders from at most `N` suppliers, boards and assembly included")
	f.StringArrayVar(&o.without, "without", nil, "orders nothing from `SUPPLIER` (repeatable)")
	f.StringVar(&o.by, "by", "", "orders only from suppliers whose lead days end by `DATE`, YYYY-MM-DD")
	f.BoolVar(&o.inStock, "only-in-stock", false, "orders only where the price sheet states a stock")
	f.StringArrayVar(&o.take, "take", nil, "uses a substitute, `PART=SUBSTITUTE` (repeatable)")
	f.Float64Var(&o.seconds, "proof-seconds", provingSeconds, "`SECONDS` for proving that the purchases are the cheapest, over all batch sizes")
}

// rules turns the flags into the rules of a run.
func (o *ordering) rules(r *cost.Run) error {
	if o.atMost < 0 {
		return usage("--suppliers-at-most %d: a whole number of 1 or more is wanted", o.atMost)
	}
	if !(o.seconds > 0) {
		return usage("--proof-seconds %g: a number over 0 is wanted", o.seconds)
	}
	r.Rules = cost.Rules{AtMost: o.atMost, Without: o.without, InStockOnly: o.inStock}
	if o.by != "" {
		day, ok := bom.ParseDate(o.by)
		if !ok {
			return usage("--by %q: a day as YYYY-MM-DD is wanted", o.by)
		}
		r.Rules.By = day
	}
	for _, t := range o.take {
		part, substitute, ok := strings.Cut(t, "=")
		part, substitute = strings.TrimSpace(part), strings.TrimSpace(substitute)
		if !ok || part == "" || substitute == "" {
			return usage("--take %q: 'PART=SUBSTITUTE' is wanted", t)
		}
		if slices.ContainsFunc(r.Take, func(s cost.Swap) bool { return s.Part == part }) {
			return usage("--take %q: %s is replaced twice", t, part)
		}
		r.Take = append(r.Take, cost.Swap{Part: part, Substitute: substitute})
	}
	return nil
}

// provingLimit ends the proof after some seconds, or when the run is interrupted.
func provingLimit(ctx context.Context, seconds float64) func() bool {
	end := time.Now().Add(time.Duration(seconds * float64(time.Second)))
	return func() bool { return ctx.Err() != nil || time.Now().After(end) }
}
