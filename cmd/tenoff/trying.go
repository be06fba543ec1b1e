package main

import (
	"cmp"
	"fmt"
	"math"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/trial"
)

// trying holds the flags that say how often figures are drawn that may turn
// out otherwise.
type trying struct {
	trials int
	seed   uint64
	budget string
}

func (t *trying) flags(f *pflag.FlagSet) {
	f.Var(number[int]{&t.trials, 1, trial.MaxTrials}, "trials", "shows the risk by `N` random trials, such as 10000")
	t.seed = 1
	f.Var(number[uint64]{&t.seed, 0, math.MaxUint64}, "seed", "with --trials: random seed, a `NUMBER`; the same seed gives the same figures")
	f.StringVar(&t.budget, "budget", "", fmt.Sprintf("chance that the cash out of a batch stays within `AMOUNT`, home currency; %d trials unless --trials says otherwise", usualTrials))
}

// usualTrials are made where a budget is given and no number of trials.
const usualTrials = 10_000

// request reads the flags; without --trials and --budget nothing is drawn.
func (t *trying) request() (*trial.Request, error) {
	if t.trials == 0 && t.budget == "" {
		return nil, nil
	}
	out := &trial.Request{Trials: cmp.Or(t.trials, usualTrials), Seed: t.seed}
	if t.budget != "" {
		amount, err := parsePrice("--budget", t.budget)
		if err != nil {
			return nil, err
		}
		out.Budget = amount
	}
	return out, nil
}

// run makes the trials of an estimate and tells on a terminal how far they are.
func (t *trying) run(cmd *cobra.Command, r cost.Run, e *cost.Estimate, request trial.Request) (*trial.Chances, bom.Problems) {
	ctx := cmd.Context()
	shown := newBar(cmd.ErrOrStderr(), "trials")
	shown.size = int64(request.Trials) * int64(len(e.Batches))
	defer shown.clear()
	done := int64(0)
	request.Done = func(trials int) {
		done += int64(trials)
		shown.show(done)
	}
	request.Stop = func() bool { return ctx.Err() != nil }
	return trial.Run(r, e, request)
}
