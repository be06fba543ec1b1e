package reports

import (
	"fmt"
	"slices"
	"strconv"

	"tenoff/bom"
	"tenoff/cost"
	stated "tenoff/cost/sum"
)

// requiredOf tells what the order lines of a part are to cover: "to buy: 131 pieces; ".
func (t *Explainer) requiredOf(purchase int) string {
	if purchase >= len(t.b.Purchases) || t.b.Purchases[purchase].Demand <= 0 {
		return ""
	}
	p := &t.b.Purchases[purchase]
	text := bom.Grouped(p.Demand.Decimal().Round(2).String())
	switch p.Kind {
	case cost.Filament:
		text = bom.Grouped(p.Demand.Decimal().Round(0).String()) // as it is shown on the sheets
		return "to buy: " + text + " g, with plates that may fail; "
	case cost.Goods:
		return "to buy: " + text + " " + UnitOfOne(text, t.e.Parts[p.Index].Unit) + "; "
	}
	return "to buy: " + text + "; "
}

// decidedBy tells by what rule a figure was counted or decided that stands nowhere; nothing
// where there is no more to say.
func (t *Explainer) decidedBy(k stated.Key) string {
	switch k.Of {
	case cost.OfCount:
		if k.What == "starts" {
			return t.whyStarts(&t.b.Boards[k.At])
		}
		return "counted in the list of the board"
	case cost.OfPart:
		switch {
		case k.What == "spares":
			return "by the tab attrition"
		case k.What == "need" && t.placed(k.At):
			return "of all its lines, for the boards to start"
		case k.What == "need":
			return "of all its lines, for " + plural(strconv.Itoa(t.b.Starts), "unit") + " to start"
		}
	case cost.OfBuy:
		why := "of the cheapest orders that were found"
		if k.What == "quantity" && t.b.Proven {
			why = "with it all orders together are cheapest"
		}
		return t.requiredOf(k.At) + why
	case cost.OfParcel:
		if k.What == "parcels" {
			return "as many as hold the units"
		}
		units := t.b.Size
		if several(t.e) {
			units = t.b.Products[t.b.Posts[k.At].Product].Size
		}
		return "of " + plural(strconv.Itoa(units), "unit") + " by the tab recipients"
	case cost.OfPlate:
		return t.whyPlate(k)
	case cost.OfPlates:
		return "plates that must come out good"
	case cost.OfWork:
		return t.whyTimes(&t.b.Work[k.At])
	case cost.OfCharge:
		return "as it was given"
	case cost.OfTotal:
		units := t.b.Size
		for i := range t.b.Products {
			if several(t.e) && k.At == cost.SaleKey(i, len(t.b.Products)) {
				units = t.b.Products[i].Size
			}
		}
		return plural(strconv.Itoa(units), "unit") + " less those that are free"
	}
	return ""
}

// whyStarts tells why so many boards are started.
func (t *Explainer) whyStarts(b *cost.BoardRun) string {
	if b.Starts == b.Wanted {
		return "one for each that the units to start take"
	}
	return fmt.Sprintf("so that %d are good with %s %% confidence at a board yield of %s %%",
		b.Wanted, t.e.Terms.Settings.Confidence, strconv.FormatFloat(100*b.Yield, 'f', 2, 64))
}

func (t *Explainer) whyPlate(k stated.Key) string {
	p := &t.b.Plates[k.At]
	switch k.What {
	case "pieces":
		return "for " + plural(strconv.Itoa(t.b.Starts), "unit") + " to start"
	case "plates":
		return fmt.Sprintf("on which %s lie, at most %d on each", plural(strconv.Itoa(p.Pieces), "piece"), p.PerPlate)
	case "planned":
		return fmt.Sprintf("so that %d come out good with %s %% confidence", p.Plates, t.e.Terms.Settings.Confidence)
	case "start h", "prime g":
		return "its share of the plates that it lies on"
	}
	return "one piece" // of what source stands in its name
}

// whyTimes tells how often the seconds of hand work count.
func (t *Explainer) whyTimes(w *cost.Work) string {
	switch w.Basis {
	case "batch":
		return "once for the batch"
	case "plate":
		return "once for each plate that is expected"
	}
	starts := t.b.Starts
	if several(t.e) {
		starts = w.Starts
	}
	text := strconv.FormatFloat(w.Count, 'g', 6, 64) + " in a unit, " + plural(strconv.Itoa(starts), "unit") + " to start"
	if w.Learning != 100 {
		text += fmt.Sprintf("; by the learning curve of %g %% later ones take less", w.Learning)
	}
	return text
}

// placed tells whether some of a part is placed by the assembler.
func (t *Explainer) placed(part int) bool {
	return slices.ContainsFunc(t.e.Parts[part].Entries, func(i int) bool { return t.b.Places(&t.e.Entries[i]) })
}
