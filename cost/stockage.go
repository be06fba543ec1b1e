package cost

import (
	"strconv"
	"strings"

	"tenoff/bom"
)

// warnOfOldStock warns of purchases that rely on a stock figure older than the age
// limit, one warning for each offer, at the cell of the stock.
func warnOfOldStock(m *Model, batches []Batch) bom.Problems {
	if m.run.Today.IsZero() {
		return nil
	}
	type reliance struct {
		offer   *bom.Offer
		batches []string
	}
	var found []*reliance
	at := map[*bom.Offer]*reliance{}
	for _, b := range batches {
		for _, p := range b.Purchases {
			o := p.offer
			if o == nil || o.Stock < 0 || o.AsOf.IsZero() || o.AsOf.DaysUntil(m.run.Today) <= m.prices.Settings.PriceAgeDays {
				continue
			}
			if at[o] == nil {
				at[o] = &reliance{offer: o}
				found = append(found, at[o])
			}
			at[o].batches = append(at[o].batches, string(b.ID()))
		}
	}
	var problems bom.Problems
	for _, r := range found {
		problems.Warnf(r.offer.At("Stock"), strconv.FormatInt(r.offer.Stock, 10), "ask the supplier whether it is still there",
			"the stock of %s was stated on %s and is needed for batch %s", r.offer.Part, r.offer.AsOf, strings.Join(r.batches, ", "))
	}
	return problems
}
