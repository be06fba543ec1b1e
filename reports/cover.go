package reports

import (
	"encoding/json"
	"io"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// asCover is the format of how often a stock holds what is required.
var asCover = Format{Kind: KindPrice, Digits: 2, Keep: 2}

// Cover lays out how far the stock of each part goes, and what speaks against relying on it.
func Cover(covers []cost.StockCover, batches []cost.BatchID, s bom.Settings) Table {
	t := Table{
		Name:    "Cover",
		Title:   "how many times the stock covers each batch, thin parts first",
		Lead:    1,
		Columns: plain("part"),
		Notes: []string{
			"cover: stock of all suppliers ÷ what the batch requires to be bought, spares included; a blank stock is enough; boards and filament have no stock figure",
			"thin: cover under " + s.ThinCover.String() + ", fewer than " + plural(strconv.Itoa(s.FewSources), "source") + ", or stock figures over " +
				plural(strconv.Itoa(s.StockAgeDays), "day") + " old; the settings Thin cover, Fewest sources and Stock age limit days say so",
		},
	}
	for _, id := range batches {
		t.column(Column{Key: "cover", Batch: id, Format: asCover})
	}
	t.column(Column{Key: "sources", Heading: "Sources", Format: AsCount}, Column{Key: "why", Heading: "Thin because"})
	for _, c := range bom.Refs(covers) {
		values := append([]Value{Text(c.Part.Key)}, coverValues(c)...)
		t.add(append(values, Count(c.Sources), Text(strings.Join(ThinReasons(c), "; ")))...)
	}
	return t
}

// RequiredAndStock lays out how much of each part the batches require, how much there is, and
// what may stand in for it.
func RequiredAndStock(covers []cost.StockCover, batches []cost.BatchID) Table {
	t := Table{
		Name:    "Required and stock",
		Title:   "what each batch requires to be bought, and what there is",
		Lead:    1,
		Columns: plain("part"),
	}
	for _, id := range batches {
		t.column(Column{Key: "required", Batch: id, Format: AsQuantity})
	}
	t.column(Column{Key: "stock", Heading: "Stock", Format: AsQuantity}, Column{Key: "unit", Heading: "In"}, Column{Key: "substitutes", Heading: "Substitutes"})
	for _, c := range bom.Refs(covers) {
		values := append([]Value{Text(c.Part.Key)}, requiredValues(c)...)
		t.add(append(values, stocked(c.Stock, c.Enough), unitOf(c), Text(strings.Join(c.Substitutes, ", ")))...)
	}
	return t
}

// StockBySupplier lays out who has how much of each part, as of when, and how long it takes.
func StockBySupplier(covers []cost.StockCover) Table {
	t := Table{
		Name:  "Stock by supplier",
		Title: "who has how many",
		Lead:  2,
		Columns: slices.Concat(
			plain("part", "supplier", "code: Order code"),
			columns(Column{Format: AsQuantity}, "stock", "most: Can be ordered"),
			columns(Column{Format: AsDate}, "as of"),
			columns(Column{Format: AsCount}, "lead: Lead days"),
		),
	}
	short := false
	for i := range covers {
		for _, o := range covers[i].Offers {
			less := !o.Enough && o.Most < o.Stock
			short = short || less
			t.add(Text(covers[i].Part.Key), Text(o.Supplier), Text(o.Code), stocked(o.Stock, o.Enough), Quantity(o.Most).where(less),
				Date(o.AsOf), Count(o.LeadDays).unless(!o.LeadKnown))
		}
	}
	if short {
		t.note("can be ordered: where that is less than the stock, by the MOQ and the multiple")
	}
	return t
}

// RunningOut lays out the parts of an estimate whose cover is thin.
func RunningOut(e *cost.Estimate) Table {
	t := Table{
		Name:    "May run out",
		Title:   "parts that may run out, as of the run",
		Lead:    1,
		Columns: plain("part"),
	}
	t.PerBatch(e, Column{Key: "required", Heading: "Required", Format: AsQuantity}, Column{Key: "cover", Heading: "Cover", Format: asCover})
	t.column(Column{Key: "stock", Heading: "Stock", Format: AsQuantity}, Column{Key: "unit", Heading: "In"}, Column{Key: "sources", Heading: "Sources", Format: AsCount},
		Column{Key: "substitutes", Heading: "Substitutes"}, Column{Key: "why", Heading: "Thin because"})
	for _, c := range bom.Refs(e.RunningOut) {
		values := []Value{Text(c.Part.Key)}
		required, cover := requiredValues(c), coverValues(c)
		for j := range required {
			values = append(values, required[j], cover[j])
		}
		t.add(append(values, stocked(c.Stock, c.Enough), unitOf(c), Count(c.Sources), Text(strings.Join(c.Substitutes, ", ")), Text(strings.Join(ThinReasons(c), "; ")))...)
	}
	return t
}

// PartsRunningOut names the parts of an estimate whose cover is thin, the least first.
func PartsRunningOut(e *cost.Estimate) []string {
	return bom.Each(e.RunningOut, func(c *cost.StockCover) string { return c.Part.Key })
}

// enough stands where a price sheet states no stock.
const enough = "enough"

// coverValues are the covers of a part, one for each batch; nothing where a batch buys none.
func coverValues(c *cost.StockCover) []Value {
	out := make([]Value, len(c.Batches))
	for i, b := range c.Batches {
		switch {
		case b.Demand == 0:
		case b.Cover.Valid:
			out[i] = Number(b.Cover.Decimal)
		default:
			out[i] = Text(enough)
		}
	}
	return out
}

func requiredValues(c *cost.StockCover) []Value {
	return bom.Each(c.Batches, func(b *cost.BatchCover) Value { return Quantity(b.Demand) })
}

// unitOf is what a part is counted in, where that is not pieces.
func unitOf(c *cost.StockCover) Value {
	return Text(c.Part.Unit).where(c.Part.Unit != inPieces)
}

// stocked is how much there is, of what is stated.
func stocked(q bom.Quantity, isEnough bool) Value {
	if isEnough {
		return Text(enough)
	}
	return Quantity(q)
}

// ThinReasons are in words why the stock of a part is thin: "batch 40 is short of 38", "one
// source", "41 days old".
func ThinReasons(c *cost.StockCover) (out []string) {
	if c.MayRunOut {
		out = append(out, thinCover(c))
	}
	switch {
	case c.FewSources && c.Sources == 1:
		out = append(out, "one source")
	case c.FewSources && c.Sources > 1:
		out = append(out, strconv.Itoa(c.Sources)+" sources")
	}
	if c.OldDays > 0 {
		out = append(out, plural(strconv.Itoa(c.OldDays), "day")+" old")
	}
	return out
}

// thinCover says by how much the smallest batch falls short that does, else how little the
// batch leaves that requires the most.
func thinCover(c *cost.StockCover) string {
	switch {
	case len(c.Offers) == 0:
		return "no offer with a price"
	case c.Stock == 0:
		return "nothing can be ordered"
	}
	most := c.Batches[0]
	for _, b := range c.Batches {
		if b.Demand > c.Stock {
			return "batch " + b.Batch.Shown() + " is short of " + Quantity(b.Demand-c.Stock).Shown(AsQuantity)
		}
		if b.Demand > most.Demand {
			most = b
		}
	}
	return "batch " + most.Batch.Shown() + " leaves " + Quantity(c.Stock-most.Demand).Shown(AsQuantity)
}

// StockSchema names the shape of the JSON that WriteStockJSON writes.
const StockSchema = "tenoff-stock-1"

// WriteStockJSON writes for programs how far the stock of each part goes, thin ones first.
// Quantities are in pieces, or in what unit says.
func WriteStockJSON(w io.Writer, covers []cost.StockCover, run *cost.Run, warnings []string) error {
	s, level := run.Prices.Settings, run.Level
	if run.Programme != nil {
		level = 0 // its products have their own
	}
	return writeJSON(w, object{
		{"schema", StockSchema}, {"level", jsonLevel(level)}, {"date", run.Today.String()},
		{"thin_cover", json.RawMessage(s.ThinCover.String())},
		{"fewest_sources", s.FewSources}, {"stock_age_limit_days", s.StockAgeDays}, {"parts", bom.Each(covers, jsonCover)},
		{"warnings", warnings},
	})
}

// jsonCover is how far the stock of a part goes. A stock that is null is enough, a cover that
// is null as well, or nothing is required; lead days that are null are not known. Ages are 0
// but for figures over the limit that the cover rests on.
func jsonCover(c *cost.StockCover) object {
	quantity := func(q bom.Quantity, enough bool) json.RawMessage {
		if enough {
			return jsonNull
		}
		return jsonQuantity(q)
	}
	return object{
		{"part", c.Part.Key}, {"description", c.Part.Description}, {"unit", c.Part.Unit}, {"may_run_out", c.MayRunOut},
		{"few_sources", c.FewSources},
		{"old_days", c.OldDays}, {"why", ThinReasons(c)},
		{"batches", bom.Each(c.Batches, func(b *cost.BatchCover) object {
			cover := jsonNull
			if b.Cover.Valid {
				cover = json.RawMessage(b.Cover.Decimal.String())
			}
			return append(jsonID(b.Size, b.Batch), field{"required", jsonQuantity(b.Demand)}, field{"cover", cover})
		})},
		{"stock", quantity(c.Stock, c.Enough)}, {"sources", c.Sources},
		{"suppliers", bom.Each(c.Offers, func(o *cost.StockOffer) object {
			lead := jsonNull
			if o.LeadKnown {
				lead = json.RawMessage(strconv.Itoa(o.LeadDays))
			}
			return object{{"supplier", o.Supplier}, {"order_code", o.Code}, {"stock", quantity(o.Stock, o.Enough)},
				{"can_be_ordered", quantity(o.Most, o.Enough)},
				{"as_of", ifGiven(o.AsOf.String())}, {"old_days", o.OldDays}, {"lead_days", lead}}
		})},
		{"substitutes", c.Substitutes},
	}
}

// IsStockJSON tells whether the bytes are what WriteStockJSON wrote, of any schema number.
func IsStockJSON(data []byte) bool { return hasSchema(data, "tenoff-stock-") }
