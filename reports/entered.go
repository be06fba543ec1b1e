package reports

import (
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/quoting"
)

// Entered lays out what suppliers' quotes mean for the tab offers, a row for each
// offer or line of a quote.
func Entered(e *quoting.Entered) Table {
	t := Table{
		Name:  "Entered",
		Title: "what the quotes change in the tab offers",
		Lead:  2,
		Columns: slices.Concat(
			plain("kind: What", "part", "supplier", "code: Order code"),
			columns(Column{Format: AsCount}, "from"),
			columns(Column{Format: AsPrice(bom.Currency{})}, "was", "is"),
			plain("currency: In"),
			columns(Column{Unit: "%", Format: Format{Kind: KindPercent, Digits: 1, Keep: 1}}, "change"),
			plain("besides"),
		),
	}
	several := false // suppliers
	for _, l := range e.Lines {
		several = several || l.Supplier != e.Lines[0].Supplier
	}
	for _, l := range e.Lines {
		supplier := ""
		if several {
			supplier = l.Supplier
		}
		t.add(Text(l.Kind.String()), Text(l.Part), Text(supplier), Text(l.Code), Count(int(l.From)).where(l.From > 0),
			priceIn(l.Was, l.WasIn, l.IsIn), priceIn(l.Is, l.IsIn, l.IsIn), Text(l.IsIn.Code), Number(l.Percent.Decimal).where(l.Percent.Valid),
			Text(strings.Join(l.Besides, ", ")))
	}
	t.note("from: order units at which the prices of one order unit stand; change: of a piece")
	return t
}

// priceIn is a price; one that is in another currency than the row says names it.
func priceIn(price decimal.Decimal, in, row bom.Currency) Value {
	switch {
	case in.Code == "":
		return Nothing()
	case in != row:
		return Text(Number(price).Exact(AsPrice(in)) + " " + in.Code)
	}
	return Number(price).As(AsPrice(in))
}

// EnteredCounts counts the lines of each kind: "2 dearer, 1 new".
func EnteredCounts(e *quoting.Entered) string {
	var out []string
	for _, kind := range quoting.Kinds {
		if n := e.Count(kind); n > 0 {
			out = append(out, fmt.Sprintf("%d %s", n, kind))
		}
	}
	return strings.Join(out, ", ")
}
