package main

import (
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"tenoff/bom"
)

// completes has a flag completed by names of the price sheet and the list that the command line
// names so far; where they cannot be read there are none.
func (s *source) completes(cmd *cobra.Command, flag string, names func(*bom.Assembly, *bom.Prices) []string) {
	// The only error is an unknown flag name.
	_ = cmd.RegisterFlagCompletionFunc(flag, func(cmd *cobra.Command, _ []string, typed string) ([]cobra.Completion, cobra.ShellCompDirective) {
		unit, prices := s.peek(cmd)
		found := slices.DeleteFunc(names(unit, prices), func(name string) bool {
			return name == "" || !strings.HasPrefix(strings.ToLower(name), strings.ToLower(typed))
		})
		slices.Sort(found)
		return slices.Compact(found), cobra.ShellCompDirectiveNoFileComp
	})
}

// peek reads what the command line names, for completion. Neither is nil.
func (s *source) peek(cmd *cobra.Command) (*bom.Assembly, *bom.Prices) {
	unit, prices := &bom.Assembly{}, &bom.Prices{}
	if s.prepare(cmd) != nil {
		return unit, prices
	}
	s.Options.Assembler = "" // the one that is typed may be half a name
	if name := firstOf(cmd.Flag("prices")); name != "" && name != "-" {
		if read, _ := s.ReadPrices(name); read != nil {
			prices = read
		}
	}
	lists := once(s.BOM) // the flags were parsed twice
	// difference has a flag of its own
	if name := firstOf(cmd.Flag("bom")); len(lists) == 0 && name != "" {
		lists = []string{name}
	}
	if len(lists) > 0 && !slices.Contains(lists, "-") {
		if read, _ := s.ReadBOM(prices, lists...); read != nil {
			unit = read
		}
	}
	return unit, prices
}

// firstOf is the value of a flag, of several the first.
func firstOf(f *pflag.Flag) string {
	if f == nil {
		return ""
	}
	name, _, _ := strings.Cut(f.Value.String(), ", ")
	return name
}

// suppliersOf are the suppliers of a price sheet.
func suppliersOf(_ *bom.Assembly, p *bom.Prices) []string {
	return append(bom.Each(p.Suppliers, func(s *bom.Supplier) string { return s.Name }), bom.Each(p.Offers, func(o *bom.Offer) string { return o.Supplier })...)
}

// assemblersOf are those who may place the SMT parts of a run.
func assemblersOf(_ *bom.Assembly, p *bom.Prices) []string {
	return append(p.AssemblerNames(), bom.AtBench)
}

// partsOf are the parts of a list that are bought.
func partsOf(unit *bom.Assembly, _ *bom.Prices) (names []string) {
	for l := range unit.AllLines() {
		if l.Kind != bom.KindBoard && l.Kind != bom.KindPrinted && l.Sub == nil {
			names = append(names, l.Part)
		}
	}
	return names
}

// swapsOf are the substitutes that a price sheet allows, as --take has them.
func swapsOf(_ *bom.Assembly, p *bom.Prices) (pairs []string) {
	for _, s := range p.Substitutes {
		if s.Allowed {
			pairs = append(pairs, s.Part+"="+s.Substitute)
		}
	}
	return pairs
}

// plainUsage takes the marks out of the usage of flags that name their values: a shell
// shows them as they stand.
func plainUsage(cmd *cobra.Command) {
	cmd.Flags().VisitAll(func(f *pflag.Flag) { f.Usage = strings.ReplaceAll(f.Usage, "`", "") })
	for _, sub := range cmd.Commands() {
		plainUsage(sub)
	}
}
