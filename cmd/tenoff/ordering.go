package main

import (
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/buy"
)

// ordering holds the flags that say what may be ordered, and how much work the proof
// that a plan is the cheapest may take.
type ordering struct {
	atMost      int
	without     []string
	by          string
	inStock     bool
	take        []string
	substitutes bool
	gone        []string
	short       []string
	dry         []string
	repeat      bool
	free        string
	effort      int64
}

func (o *ordering) flags(f *pflag.FlagSet) {
	f.Var(number[int]{to: &o.atMost, least: 1}, "suppliers-at-most", "orders from at most `N` suppliers, boards and assembly included")
	f.StringArrayVar(&o.without, "without", nil, "orders nothing from `SUPPLIER` (repeatable)")
	f.StringVar(&o.by, "by", "", "orders only from suppliers that deliver by `DATE`, YYYY-MM-DD")
	f.BoolVar(&o.inStock, "only-in-stock", false, "orders only where the price sheet states a stock")
	f.StringArrayVar(&o.take, "take", nil, "uses a substitute, `PART=SUBSTITUTE` (repeatable)")
	f.StringArrayVar(&o.gone, "out-of-stock", nil, "treats `PART` as out of stock everywhere (repeatable)")
	f.StringArrayVar(&o.short, "short", nil, "treats so many pieces of a part as all that its suppliers have left, `PART=PIECES` (repeatable)")
	f.StringArrayVar(&o.dry, "dry", nil, "treats `SUPPLIER` as out of stock (repeatable)")
	f.BoolVar(&o.repeat, "repeat", false, "repeat run: one-off costs are already paid, and the stencils of an assembler set by name")
	f.StringVar(&o.free, "free", "", "gives `N` units away, or all, whatever the setting Free units says")
	f.Int64Var(&o.effort, "effort", buy.DefaultEffort, "at most `N` steps to prove the purchases of a batch size the cheapest")
}

// substitutesFlag is that of the commands that plan the batches of a run.
func (o *ordering) substitutesFlag(cmd *cobra.Command) {
	cmd.Flags().BoolVar(&o.substitutes, "substitutes", false, "takes what the tab substitutes allows where it lands cheaper or a part runs short")
}

// freeUnits reads how many units are given away.
func freeUnits(text string) (int64, error) {
	if strings.EqualFold(text, "all") {
		return bom.AllFree, nil
	}
	n, err := strconv.ParseInt(text, 10, 64)
	if err != nil || n < 0 {
		return 0, usage("--free %q: expected a whole number of units, or all", text)
	}
	return n, nil
}

// rules turns the flags into the rules of a run.
func (o *ordering) rules(r *cost.Run) error {
	if o.effort < 1 {
		return usage("--effort %d: expected a whole number from 1 on", o.effort)
	}
	r.Effort, r.Repeat, r.Substitutes = o.effort, o.repeat, o.substitutes
	r.Rules = cost.Rules{AtMost: o.atMost, Without: o.without, InStockOnly: o.inStock}
	if o.free != "" {
		n, err := freeUnits(o.free)
		if err != nil {
			return err
		}
		r.Free = &n
	}
	if o.by != "" {
		day, err := parseDate("--by", o.by)
		if err != nil {
			return err
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
	var err error
	r.Scarce, err = o.scarcity()
	return err
}

// scarcity reads what is taken for gone.
func (o *ordering) scarcity() (cost.Scarcity, error) {
	s := cost.Scarcity{Dry: o.dry}
	seen := map[string]bool{}
	add := func(flag, text, part string, pieces bom.Quantity) error {
		if seen[bom.ExactKey(part)] {
			return usage("--%s %q: what is left of %s is said twice", flag, text, part)
		}
		seen[bom.ExactKey(part)] = true
		s.Left = append(s.Left, cost.Left{Part: part, Pieces: pieces})
		return nil
	}
	for _, part := range o.gone {
		if err := add("out-of-stock", part, strings.TrimSpace(part), 0); err != nil {
			return s, err
		}
	}
	for _, text := range o.short {
		at := strings.LastIndex(text, "=")
		if at < 0 {
			return s, usage("--short %q: expected 'PART=PIECES'", text)
		}
		part, number := strings.TrimSpace(text[:at]), strings.TrimSpace(text[at+1:])
		n, err := strconv.ParseInt(number, 10, 64)
		pieces, ok := bom.One.Times(n)
		if part == "" || err != nil || !ok {
			return s, usage("--short %q: expected 'PART=PIECES' with a whole number of 0 or more", text)
		}
		if err := add("short", text, part, pieces); err != nil {
			return s, err
		}
	}
	return s, nil
}
