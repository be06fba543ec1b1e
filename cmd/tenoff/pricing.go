package main

import (
	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
)

// pricing holds the flag that asks what a price brings.
type pricing struct{ price string }

func (p *pricing) flags(f *pflag.FlagSet) {
	f.StringVar(&p.price, "price", "", "tests this selling `PRICE` of one unit, home currency: cash surplus and break-even batch")
}

// request reads the flag; without it no price is looked at.
func (p *pricing) request() (decimal.NullDecimal, error) {
	if p.price == "" {
		return decimal.NullDecimal{}, nil
	}
	price, err := parsePrice("--price", p.price)
	return decimal.NewNullDecimal(price), err
}

// breakEven looks for the batches that a price is enough for: in the sweep of
// the estimate, else in one of its own that is not shown. A sweep that was
// stopped gives nothing.
func breakEven(cmd *cobra.Command, r cost.Run, e *cost.Estimate, price decimal.Decimal) (*cost.Pricing, bom.Problems) {
	curve, problems := e.Curve, bom.Problems(nil)
	if curve == nil {
		from, to := cost.BreakEvenSizes(r.Batches)
		curve, problems = runSweep(cmd, r, cost.Sweeping{From: from, To: to})
	}
	if curve == nil {
		return nil, problems
	}
	return cost.BreakEven(e, curve, price), problems
}
