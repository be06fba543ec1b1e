package reports

import (
	"encoding/json"
	"io"
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
		Name:  "Cover",
		Title: "how many times the stock covers each batch, thin parts first",
		Lead:  1,
		Columns: []Column{
			{Key: "part", Heading: "Part"},
		},
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
	for i := range covers {
		c := &covers[i]
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
		Columns: []Column{{Key: "part", Heading: "Part"}},
	}
	for _, id := range batches {
		t.column(Column{Key: "required", Batch: id, Format: AsQuantity})
	}
	t.column(Column{Key: "stock", Heading: "Stock", Format: AsQuantity}, Column{Key: "unit", Heading: "In"}, Column{Key: "substitutes", Heading: "Substitutes"})
	for i := range covers {
		c := &covers[i]
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
		Columns: []Column{
			{Key: "part", Heading: "Part"},
			{Key: "supplier", Heading: "Supplier"},
			{Key: "code", Heading: "Order code"},
			{Key: "stock", Heading: "Stock", Format: AsQuantity},
			{Key: "most", Heading: "Can be ordered", Format: AsQuantity},
			{Key: "as of", Heading: "As of", Format: AsDate},
			{Key: "lead", Heading: "Lead days", Format: AsCount},
		},
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
		Columns: []Column{{Key: "part", Heading: "Part"}},
	}
	t.perBatch(e, Column{Key: "required", Heading: "Required", Format: AsQuantity}, Column{Key: "cover", Heading: "Cover", Format: asCover})
	t.column(Column{Key: "stock", Heading: "Stock", Format: AsQuantity}, Column{Key: "unit", Heading: "In"}, Column{Key: "sources", Heading: "Sources", Format: AsCount},
		Column{Key: "substitutes", Heading: "Substitutes"}, Column{Key: "why", Heading: "Thin because"})
	for i := range e.RunningOut {
		c := &e.RunningOut[i]
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
			return "batch " + ShownBatch(b.Batch) + " is short of " + Quantity(b.Demand-c.Stock).Shown(AsQuantity)
		}
		if b.Demand > most.Demand {
			most = b
		}
	}
	return "batch " + ShownBatch(most.Batch) + " leaves " + Quantity(c.Stock-most.Demand).Shown(AsQuantity)
}

// StockSchema names the shape of the JSON that WriteStockJSON writes.
const StockSchema = "tenoff-stock-1"

type jsonStock struct {
	Schema       string          `json:"schema"`
	Level        string          `json:"level"`
	Date         string          `json:"date"`
	ThinCover    json.RawMessage `json:"thin_cover"`
	FewSources   int             `json:"fewest_sources"`
	StockAgeDays int             `json:"stock_age_limit_days"`
	Parts        []jsonCover     `json:"parts"`
	Warnings     []string        `json:"warnings"`
}

type jsonCover struct {
	Part        string           `json:"part"`
	Description string           `json:"description"`
	Unit        string           `json:"unit"`
	MayRunOut   bool             `json:"may_run_out"`
	FewSources  bool             `json:"few_sources"`
	OldDays     int              `json:"old_days"` // of the oldest figure, where the cover rests on old ones; else 0
	Why         []string         `json:"why"`
	Batches     []jsonCovered    `json:"batches"`
	Stock       json.RawMessage  `json:"stock"` // null: enough
	Sources     int              `json:"sources"`
	Suppliers   []jsonStockOffer `json:"suppliers"`
	Substitutes []string         `json:"substitutes"`
}

type jsonCovered struct {
	jsonBatchID
	Required json.RawMessage `json:"required"`
	Cover    json.RawMessage `json:"cover"` // null where the stock is enough, or nothing is required
}

type jsonStockOffer struct {
	Supplier  string          `json:"supplier"`
	OrderCode string          `json:"order_code"`
	Stock     json.RawMessage `json:"stock"`          // null: enough
	Most      json.RawMessage `json:"can_be_ordered"` // null: enough
	AsOf      string          `json:"as_of,omitempty"`
	OldDays   int             `json:"old_days"`  // its age, where that is over the limit; else 0
	LeadDays  json.RawMessage `json:"lead_days"` // null where they are not known
}

// WriteStockJSON writes for programs how far the stock of each part goes, thin ones first.
// Quantities are in pieces, or in what unit says.
func WriteStockJSON(w io.Writer, covers []cost.StockCover, run *cost.Run, warnings []string) error {
	s := run.Prices.Settings
	out := jsonStock{
		Schema: StockSchema, Level: run.Level.String(), Date: run.Today.String(), ThinCover: json.RawMessage(s.ThinCover.String()), FewSources: s.FewSources,
		StockAgeDays: s.StockAgeDays, Parts: bom.Each(covers, jsonCoverOf), Warnings: append([]string{}, warnings...),
	}
	return writeJSON(w, out)
}

func jsonCoverOf(c *cost.StockCover) jsonCover {
	quantity := func(q bom.Quantity, enough bool) json.RawMessage {
		if enough {
			return jsonNull
		}
		return json.RawMessage(q.String())
	}
	out := jsonCover{
		Part: c.Part.Key, Description: c.Part.Description, Unit: c.Part.Unit, MayRunOut: c.MayRunOut, FewSources: c.FewSources, OldDays: c.OldDays,
		Why: append([]string{}, ThinReasons(c)...), Stock: quantity(c.Stock, c.Enough), Sources: c.Sources, Substitutes: append([]string{}, c.Substitutes...),
		Suppliers: bom.Each(c.Offers, func(o *cost.StockOffer) jsonStockOffer {
			lead := jsonNull
			if o.LeadKnown {
				lead = json.RawMessage(strconv.Itoa(o.LeadDays))
			}
			return jsonStockOffer{o.Supplier, o.Code, quantity(o.Stock, o.Enough), quantity(o.Most, o.Enough), o.AsOf.String(), o.OldDays, lead}
		}),
	}
	for _, b := range c.Batches {
		covered := jsonCovered{jsonIDOf(b.Size, b.Batch), quantity(b.Demand, false), jsonNull}
		if b.Cover.Valid {
			covered.Cover = json.RawMessage(b.Cover.Decimal.String())
		}
		out.Batches = append(out.Batches, covered)
	}
	return out
}

// IsStockJSON tells whether the bytes are what WriteStockJSON wrote, of any schema number.
func IsStockJSON(data []byte) bool { return hasSchema(data, "tenoff-stock-") }
