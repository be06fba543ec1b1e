package cost

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// dated is a row of the price sheet that a run may rest on.
type dated struct {
	tab  string
	name string
	asOf bom.Date
	at   bom.Place
}

// datedRows lists the rows with a date that matter to the run: offers of its
// parts, quotes of its boards, and what its suppliers and printers ask.
func datedRows(m *Model) (out []dated) {
	add := func(tab string, asOf bom.Date, o bom.Origin, name ...string) {
		out = append(out, dated{tab, strings.Join(name, ""), asOf, o.At("As of")})
	}
	for _, r := range m.prices.Exchange {
		add("exchange", r.AsOf, r.Origin, r.Currency.Code)
	}
	for _, p := range m.parts {
		for _, o := range p.rows {
			add("offers", o.AsOf, o.Origin, p.Key, " from ", o.Supplier)
		}
		for _, s := range p.spools {
			add("materials", s.AsOf, s.Origin, s.Name)
		}
	}
	for i := range m.bareBoards {
		for _, v := range m.bareBoards[i].variants {
			quotes := v.lots
			if v.area != nil {
				quotes = append(quotes[:len(quotes):len(quotes)], *v.area)
			}
			for _, q := range quotes {
				add("boards", q.AsOf, q.Origin, q.Board, ", lot of ", strconv.FormatInt(q.Lot, 10))
			}
		}
	}
	for _, s := range m.supply.list {
		add("suppliers", s.AsOf, s.Origin, s.Name)
	}
	for _, a := range m.terms.Assemblers {
		add("assembly", a.AsOf, a.Origin, a.Name)
	}
	for _, q := range m.terms.Tiers {
		add("assembly quotes", q.AsOf, q.Origin, q.Assembler, " for ", q.Board)
	}
	for _, s := range m.prices.Postage {
		add("postage", s.AsOf, s.Origin, s.Name)
	}
	return out
}

// checkAges names the prices that are older than the limit, the oldest of a tab first.
func checkAges(m *Model) {
	old := map[string][]dated{}
	var tabs []string
	for _, d := range datedRows(m) {
		if m.run.isOld(d.asOf) {
			if old[d.tab] == nil {
				tabs = append(tabs, d.tab)
			}
			old[d.tab] = append(old[d.tab], d)
		}
	}
	for _, tab := range tabs {
		rows := old[tab]
		slices.SortStableFunc(rows, func(a, b dated) int { return b.asOf.DaysUntil(a.asOf) })
		for _, d := range rows {
			name := fmt.Sprintf("%s, %s", d.name, d.asOf)
			m.problems.Add(bom.Problem{Place: d.at, Severity: bom.Warning, Found: name, Each: name, Cause: "price older than the limit",
				What: fmt.Sprintf("price older than %d days", m.prices.Settings.PriceAgeDays), Want: "ask for a new one"})
		}
	}
}

// warnOfOldStock warns of purchases that rely on a stock figure older than the age
// limit, one warning for each offer, at the cell of the stock.
func warnOfOldStock(m *Model, batches []Batch) (problems bom.Problems) {
	type reliance struct {
		offer   *bom.Offer
		batches []string
	}
	var found []*reliance
	at := map[*bom.Offer]*reliance{}
	for _, b := range batches {
		for _, p := range b.Purchases {
			o := p.offer
			if o == nil || o.Stock < 0 || !m.run.isOld(o.AsOf) {
				continue
			}
			if at[o] == nil {
				at[o] = &reliance{offer: o}
				found = append(found, at[o])
			}
			at[o].batches = append(at[o].batches, b.ID().Shown())
		}
	}
	for _, r := range found {
		problems.Warnf(r.offer.At("Stock"), strconv.FormatInt(r.offer.Stock, 10), "ask the supplier whether it is still there",
			"the stock of %s was stated on %s and is needed for batch %s", r.offer.Part, r.offer.AsOf, strings.Join(r.batches, ", "))
	}
	return problems
}
