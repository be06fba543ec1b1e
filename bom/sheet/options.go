package sheet

import (
	"maps"
	"slices"
	"strings"

	"tenoff/bom"
)

// Options are the user's say in how tables are read.
type Options struct {
	// Headings maps a heading of the user's to a documented one, or to nothing
	// where its column is to be passed over.
	Headings map[string]string
	// Mark is the decimal mark of all tables; MarkUnknown: each file shows its own.
	Mark bom.DecimalMark
	// AllowOutside lets File in a bill of materials leave the folder of the
	// bill of materials.
	AllowOutside bool
	// Parts is the tab parts of the price sheet: what lists do not say.
	Parts []bom.PartRule
	// Assembler is who places the SMT parts, whatever the setting says; empty: the setting.
	Assembler string
	// Strict makes errors of assumptions.
	Strict bool
	// Unfinished makes warnings of what printed parts lack: whoever begins with a list
	// fills that in.
	Unfinished bool
}

// lacking is how grave it is that a figure of a printed part is missing.
func (o Options) lacking() bom.Severity {
	if o.Unfinished {
		return bom.Warning
	}
	return bom.Error
}

// checkHeadings complains of headings that are mapped to one that is not
// documented anywhere.
func (o Options) checkHeadings(problems *bom.Problems) {
	for _, theirs := range slices.Sorted(maps.Keys(o.Headings)) {
		ours := o.Headings[theirs]
		if ours == "" || documented(ours) {
			continue
		}
		want := "one of " + quoteList(bom.BOMTab.Headings()) + " or a heading of the price sheet"
		if near, ok := bom.Nearest(ours, allHeadings()); ok {
			want = "did you mean --heading '" + clip(theirs, 40) + "=" + near + "'"
		}
		problems.Errorf(bom.Place{}, ours, want, "the heading that %s is mapped to is not known", bom.Shown(theirs))
	}
}

func documented(heading string) bool {
	if s, ok := typedStep(heading); ok && s.from > 0 {
		return true
	}
	tabs := append(slices.Clone(bom.PriceTabs), bom.BOMTab, bom.QuoteTab, bom.ProgrammeTab)
	return slices.ContainsFunc(tabs, func(t bom.Tab) bool {
		_, ok := t.Find(heading)
		return ok
	})
}

func allHeadings() []string {
	all := append(bom.BOMTab.Headings(), bom.QuoteTab.Headings()...)
	for i := range bom.PriceTabs {
		all = append(all, bom.PriceTabs[i].Headings()...)
	}
	return all
}

func quoteList(words []string) string { return strings.Join(words, ", ") }

// clip shortens text from the input that a message carries besides what stands
// in the cell.
func clip(s string, limit int) string {
	if r := []rune(s); len(r) > limit {
		return string(r[:limit]) + "…"
	}
	return s
}
