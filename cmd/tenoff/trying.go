package main

import (
	"github.com/spf13/pflag"

	"tenoff/cost"
)

// trying holds the flags that say how often figures are drawn that may turn
// out otherwise.
type trying struct {
	trials int
	seed   uint64
	budget string
}

func (t *trying) flags(f *pflag.FlagSet) {
	f.IntVar(&t.trials, "trials", 0, "draws the settings that carry Low and High `N` times, such as 10000, and tells what may come out")
	f.Uint64Var(&t.seed, "seed", 1, "with --trials: `NUMBER` that the draws start from; the same one gives the same figures")
	f.StringVar(&t.budget, "budget", "", "with --trials: the chance that the cash of a batch is at most this `AMOUNT`, home currency")
}

// request reads the flags; without --trials nothing is drawn.
func (t *trying) request() (*cost.Trying, error) {
	switch {
	case t.trials < 0 || t.trials > cost.MaxTrials:
		return nil, usage("--trials %d: a whole number from 1 to %d is wanted", t.trials, cost.MaxTrials)
	case t.trials == 0 && t.budget != "":
		return nil, usage("--budget needs --trials")
	case t.trials == 0:
		return nil, nil
	}
	out := &cost.Trying{Trials: t.trials, Seed: t.seed}
	if t.budget != "" {
		amount, err := parsePrice("--budget", t.budget)
		if err != nil {
			return nil, err
		}
		out.Budget = amount
	}
	return out, nil
}
