package main

import (
	"cmp"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
)

// sweeping holds the flags that say which range of batch sizes is computed.
type sweeping struct {
	sizes  string
	target []string
}

func (s *sweeping) flags(f *pflag.FlagSet) {
	f.StringVar(&s.sizes, "sweep", "", fmt.Sprintf("computes every batch size of a `RANGE` such as 1:300, at most %d sizes", sweep.MaxSizes))
	f.StringArrayVar(&s.target, "target", nil, "with --sweep: looks for the smallest batch at this `PRICE` of one unit or less, home currency; of several products PRODUCT=PRICE (repeatable)")
}

// request reads the flags; without --sweep there is nothing to run.
func (s *sweeping) request() (*sweep.Request, error) {
	if s.sizes == "" {
		if s.target != nil {
			return nil, usage("--target needs --sweep")
		}
		return nil, nil
	}
	from, to, _ := strings.Cut(s.sizes, ":")
	first, errFirst := strconv.Atoi(strings.TrimSpace(from))
	last, errLast := strconv.Atoi(strings.TrimSpace(to))
	switch {
	case cmp.Or(errFirst, errLast) != nil || first < 1 || last > cost.MaxBatch || last < first:
		return nil, usage("--sweep %q: expected two whole numbers from 1 to %d, the smaller first, e.g. 1:300", s.sizes, cost.MaxBatch)
	case last-first >= sweep.MaxSizes:
		return nil, usage("--sweep %q: %d sizes; at most %d can be swept at once", s.sizes, last-first+1, sweep.MaxSizes)
	}
	return &sweep.Request{From: first, To: last}, nil
}

// parsePrice reads an amount over 0 from the command line, where a dot is the
// decimal mark.
func parsePrice(flag, text string) (decimal.Decimal, error) {
	figure, err := bom.ParseFigure(text, bom.MarkDot)
	if err != nil || figure.Percent || figure.Sign != "" || !figure.Value.IsPositive() {
		return decimal.Zero, usage("%s %q: expected an amount over 0, e.g. 8.50", flag, text)
	}
	return figure.Value, nil
}

// runSweep computes the sweep of a run and tells on a terminal how far it is.
func runSweep(cmd *cobra.Command, r cost.Run, request sweep.Request) (*sweep.Curve, bom.Problems) {
	ctx := cmd.Context()
	shown := newBar(cmd.ErrOrStderr(), "batch sizes")
	shown.size = int64(request.To - request.From + 1)
	defer shown.clear()
	var one sync.Mutex // sizes are done by several at once
	done := int64(0)
	request.Done = func() {
		one.Lock()
		defer one.Unlock()
		done++
		shown.show(done)
	}
	request.Stop = func() bool { return ctx.Err() != nil }
	return sweep.Run(r, request)
}
