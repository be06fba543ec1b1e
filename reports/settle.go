package reports

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/settling"
)

// Settled tells in two lines what became of a run: "morse-kit: 38 of 40 units good", "cash out
// and own work 422.40 EUR, 12.40 EUR over the plan".
func Settled(s *settling.Settlement) string {
	over := s.Actual.Spent().Sub(s.Planned.Spent())
	how := "as planned"
	switch {
	case over.IsPositive():
		how = s.Home.Shown(over) + " " + s.Home.Code + " over the plan"
	case over.IsNegative():
		how = s.Home.Shown(over.Neg()) + " " + s.Home.Code + " under the plan"
	}
	name := cmp.Or(s.Product, "run")
	return fmt.Sprintf("%s: %s of %s units good\ncash out and own work %s %s, %s", bom.Printable(name), bom.Grouped(s.Actual.Good.String()), bom.Grouped(s.Good.Planned.String()),
		s.Home.Shown(s.Actual.Spent()), s.Home.Code, how)
}

// SettledOpen counts the lines of which nothing is known yet; empty where something is
// known of all.
func SettledOpen(s *settling.Settlement) string {
	open := 0
	for i := range s.Lines {
		if s.Lines[i].Open {
			open++
		}
	}
	if open == 0 {
		return ""
	}
	return fmt.Sprintf("as planned so far, with nothing filled in: %s of %s lines", ShownCount(open), ShownCount(len(s.Lines)))
}

// SettledTotals lays the run out against its plan.
func SettledTotals(s *settling.Settlement) Table {
	money := AsMoney(s.Home)
	t := Table{Name: "Settled", Title: "the run against its plan", Lead: 1, Columns: slices.Concat(
		plain("what"),
		columns(Column{Unit: s.Home.Code, Format: money}, "planned", "actual", "variance"),
	)}
	row := func(what string, of func(settling.Totals) decimal.Decimal, always bool) {
		planned, actual := of(s.Planned), of(s.Actual)
		if always || !planned.IsZero() || !actual.IsZero() {
			t.add(Text(what), Number(planned), Number(actual), Number(actual.Sub(planned)))
		}
	}
	row("cash out", func(t settling.Totals) decimal.Decimal { return t.Cash }, true)
	row("own work", func(t settling.Totals) decimal.Decimal { return t.Own }, false)
	row("from stock, less surplus stock", func(t settling.Totals) decimal.Decimal { return t.Stock }, false)
	row("to reclaim and later batches", func(t settling.Totals) decimal.Decimal { return t.Kept.Neg() }, false)
	row("consumed", func(t settling.Totals) decimal.Decimal { return t.Consumed }, true)
	unit := AsUnitMoney(s.Home)
	t.addRow(Row{Role: Figure, Values: []Value{Text("unit cost"), Number(s.Planned.Unit).As(unit), known(s.Actual.Unit, s.NoneGood).As(unit),
		known(s.Actual.Unit.Sub(s.Planned.Unit), s.NoneGood).As(unit)}})
	return t
}

// SettledProducts lays out what each of several products came to. It has no rows where there
// is one.
func SettledProducts(s *settling.Settlement) Table {
	money, unit, code := AsMoney(s.Home), AsUnitMoney(s.Home), s.Home.Code
	t := Table{Name: "Settled products", Title: "the products: what came over the plan falls on those that it is for", Lead: 1, Columns: slices.Concat(
		plain("product"),
		columns(Column{Unit: "units", Format: AsCount}, "planned good: Planned"),
		columns(Column{Format: AsCount}, "good"),
		columns(Column{Unit: code, Format: money}, "planned", "consumed"),
		columns(Column{Unit: code, Format: unit}, "planned unit: Planned unit cost", "unit: Unit cost", "yield: Yield variance"),
	)}
	for _, p := range bom.Refs(s.Products) {
		t.add(Text(p.Name), Number(p.Good.Planned), Number(p.Good.Is()), Number(p.Consumed), Number(p.Actual), Number(p.Planned),
			known(p.Unit, p.NoneGood), known(p.Yield, p.NoneGood))
	}
	if len(t.Rows) > 0 {
		t.addRow(Row{Role: Total, Values: []Value{Text("all products"), Number(s.Good.Planned), Number(s.Actual.Good), Number(s.Planned.Consumed), Number(s.Actual.Consumed), Nothing(), Nothing(), Nothing()}})
	}
	return t
}

// Variances lays out why a run came to more or less than planned. They add up to the last
// digit.
func Variances(s *settling.Settlement) Table {
	t := Table{Name: "Variances", Title: "why: over 0 is more than planned", Lead: 1,
		Columns: slices.Concat(plain("variance"), columns(Column{Unit: s.Home.Code, Format: AsMoney(s.Home)}, "money: Comes to"))}
	spent := decimal.Zero
	for _, k := range settling.Kinds {
		if k.Spent() {
			spent = spent.Add(s.By[k])
			t.ifAny(k.String(), s.By[k])
		}
	}
	t.addRow(Row{Role: Total, Values: []Value{Text("cash out and own work, actual − plan"), Number(spent)}})
	rest := decimal.Zero
	for _, k := range settling.Kinds {
		if !k.Spent() && !s.By[k].IsZero() {
			rest = rest.Add(s.By[k])
			t.addRow(Row{Role: Figure, Values: []Value{Text(k.String()), Number(s.By[k])}})
		}
	}
	if !rest.IsZero() || !s.By[settling.Stock].IsZero() {
		t.addRow(Row{Role: Total, Values: []Value{Text("consumed, actual − plan"), Number(spent.Add(rest))}})
	}
	if !s.NoneGood && !s.Actual.Good.Equal(s.Good.Planned) {
		t.addRow(Row{Role: Figure, Values: []Value{Text("yield variance of a unit"), Number(s.Yield).As(AsUnitMoney(s.Home))}})
	}
	return t
}

func (t *Table) ifAny(what string, d decimal.Decimal) {
	if !d.IsZero() {
		t.add(Text(what), Number(d))
	}
}

// VarianceLines lays out the lines that came to more or less than planned, and why.
func VarianceLines(s *settling.Settlement) Table {
	money := AsMoney(s.Home)
	t := Table{Name: "Variance lines", Title: "lines that differ", Lead: 2, Columns: slices.Concat(
		plain("what", "who"),
		columns(Column{Unit: s.Home.Code, Format: money}, "planned", "actual", "variance"),
		plain("why: Of that"),
	)}
	counted, rest := []settling.Line{}, settling.Line{What: "stock that was not counted"}
	for _, l := range s.Stocks {
		if !l.Open {
			counted = append(counted, l)
			continue
		}
		rest.Planned, rest.Actual = rest.Planned.Add(l.Planned), rest.Actual.Add(l.Actual)
		rest.By[settling.Stock] = rest.By[settling.Stock].Add(l.By[settling.Stock])
	}
	for _, list := range [][]settling.Line{s.Lines, append(counted, rest)} {
		for _, l := range bom.Refs(list) {
			var why []string
			for _, k := range settling.Kinds {
				if k != settling.NotConsumed && !l.By[k].IsZero() {
					why = append(why, strings.TrimSuffix(k.String(), " variance")+" "+s.Home.Shown(l.By[k]))
				}
			}
			if why != nil {
				t.add(Text(l.What), Text(l.Who), Number(l.Planned), Number(l.Actual), Number(l.Variance()), Text(strings.Join(why, ", ")))
			}
		}
	}
	return t
}

// ShortParts lays out the parts of which too few came.
func ShortParts(s *settling.Settlement) Table {
	t := Table{Name: "Short", Title: "parts of which too few came", Lead: 2, Columns: slices.Concat(
		plain("part", "supplier"),
		columns(Column{Format: AsQuantity}, "ordered", "received", "required", "has: There"),
		columns(Column{Unit: "units", Format: AsCount}, "builds: Enough for"),
	)}
	for _, x := range s.Shorts {
		t.add(Text(x.Part), Text(strings.Join(x.Suppliers, ", ")), Number(x.Ordered), Number(x.Received), Number(x.Required), Number(x.Has), Number(x.Builds))
	}
	if len(s.Shorts) > 0 {
		t.note("what came is enough for " + bom.Grouped(s.Builds.String()) + " of " + bom.Grouped(s.Good.Planned.String()) + " units, with no spares")
		t.note("there: received and taken from stock; required: with spares")
	}
	return t
}

// RestOrders lays out what the rest of a short delivery costs: what is bought for it and
// what its orders are charged.
func RestOrders(r *cost.Remainder, home bom.Currency) Table {
	t := Table{Name: "Rest", Title: "the cheapest way to the rest", Lead: 2, Columns: slices.Concat(
		plain("supplier", "what", "code: Order code"),
		columns(Column{Format: AsCount}, "quantity: Order quantity"),
		columns(Column{Unit: home.Code, Format: AsMoney(home)}, "cash: Cash out"),
	)}
	for _, p := range bom.Refs(r.Purchases) {
		if p.Unpriced {
			t.add(Text("nobody"), Text(p.Part), Nothing(), Unknown(), Unknown())
			continue
		}
		t.add(Text(p.Supplier), Text(p.Part), Text(p.OrderCode), Number(decimal.NewFromInt(p.Quantity)), Number(p.Cash))
	}
	for i := range r.Orders {
		if o := &r.Orders[i]; o.Total().GreaterThan(o.Goods) {
			t.add(Text(o.Supplier), Text("delivery, duty, tax and other charges"), Nothing(), Nothing(), Number(o.Total().Sub(o.Goods)))
		}
	}
	if len(t.Rows) > 0 {
		t.addRow(Row{Role: Total, Values: []Value{Text("in all"), Nothing(), Nothing(), Nothing(), known(r.Cash, r.Unpriced)}})
	}
	return t
}

// Learnt lays out the figures that the run has shown to be others than planned.
func Learnt(s *settling.Settlement) Table {
	t := Table{Name: "Learnt", Title: "what the run has shown", Lead: 2, Columns: slices.Concat(
		plain("what", "figure"),
		columns(Column{Format: AsQuantity}, "planned", "seen: Proposed", "low: From", "high: To"),
		plain("of: Seen of"),
	)}
	for _, p := range s.Proposals() {
		figure := p.Heading
		if p.Tab == bom.TabSettings {
			figure = ""
		} else if p.Tab == bom.TabAttrition {
			figure = "attrition %"
		}
		what := p.Row[0]
		if p.Tab == bom.TabAttrition && p.Row[1] != "" {
			what += " " + p.Row[1]
		}
		apart := !p.Low.Equal(p.High)
		t.add(Text(what), Text(figure), Number(p.Was), Number(p.Is), Number(p.Low).where(apart), Number(p.High).where(apart),
			Text(fmt.Sprintf("%d %s", p.Observations, p.Of)))
	}
	for _, p := range s.PrintLog() {
		for _, x := range []struct {
			figure string
			d      decimal.NullDecimal
		}{{"g of a piece", p.G}, {"hours of a piece", p.Hours}} {
			if x.d.Valid {
				t.add(Text(p.Part), Text(x.figure), Nothing(), Number(x.d.Decimal), Nothing(), Nothing(), Text("print log"))
			}
		}
	}
	return t
}
