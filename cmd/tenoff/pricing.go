package main

import (
	"slices"
	"strings"

	"github.com/shopspring/decimal"
	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/reports"
)

// pricing holds the flag that asks what a price brings.
type pricing struct{ price []string }

func (p *pricing) flags(f *pflag.FlagSet) {
	f.StringArrayVar(&p.price, "price", nil, "tests this selling `PRICE` of one unit, home currency: cash surplus or shortfall and break-even batch; of several products PRODUCT=PRICE (repeatable)")
}

// eachPrice is what a flag says of a unit of each product, by PRICE or PRODUCT=PRICE; nil
// where it is not given. What it says nothing of is 0.
func eachPrice(flag string, words []string, r *cost.Run) ([]decimal.Decimal, error) {
	if words == nil {
		return nil, nil
	}
	names := []string{r.Name}
	if p := r.Programme; p != nil {
		names = bom.Each(p.Products, func(p *bom.Product) string { return p.Name })
	}
	out, all := make([]decimal.Decimal, len(names)), decimal.Zero
	for _, word := range words {
		cut := strings.LastIndex(word, "=")
		price, err := parsePrice(flag, strings.TrimSpace(word[cut+1:]))
		if err != nil {
			return nil, err
		}
		to := &all
		if cut >= 0 {
			at := slices.IndexFunc(names, func(name string) bool { return bom.SameName(name, word[:cut]) })
			if at < 0 {
				return nil, usage("%s %q: there is no product of that name; expected one of %s", flag, word, strings.Join(names, ", "))
			}
			to = &out[at]
		}
		if !to.IsZero() {
			return nil, usage("%s %q: the price of it is given twice", flag, word)
		}
		*to = price
	}
	for i := range out {
		if out[i].IsZero() {
			out[i] = all
		}
	}
	return out, nil
}

// request reads the flag; without it no price is looked at.
func (p *pricing) request(r *cost.Run) (err error) {
	r.Price, err = eachPrice("--price", p.price, r)
	for i, price := range r.Price {
		if price.IsZero() && slices.ContainsFunc(r.Programme.Plans, func(p bom.Plan) bool { return p.Units[i] > 0 }) {
			name := r.Programme.Products[i].Name
			return usage("--price: no price of %s is given; expected --price '%s=PRICE' as well", name, name)
		}
	}
	return err
}

// breakEven looks for the batches that prices are enough for: in the sweep of
// the estimate, else in one of its own that is not shown. A sweep that was
// stopped gives nothing.
func breakEven(cmd *cobra.Command, r cost.Run, e *reports.Report) (*sweep.Pricing, bom.Problems) {
	curve, problems := e.Curve, bom.Problems(nil)
	if curve == nil {
		from, to, ok := sweep.BreakEvenSizes(&r)
		if !ok {
			return sweep.BreakEven(e.Estimate, nil, r.Price), nil
		}
		if curve, problems = runSweep(cmd, r, sweep.Request{From: from, To: to}); curve == nil {
			return nil, problems
		}
	}
	return sweep.BreakEven(e.Estimate, curve, r.Price), problems
}
