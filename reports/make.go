package reports

import (
	"cmp"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
)

// Boards is how many boards of each type are started, so that enough are good.
func Boards(e *cost.Estimate) Table {
	t := Table{
		Name:  "Boards",
		Title: "how many boards to start, so that enough are good",
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("board", "panel: On panel"),
			columns(Column{Format: AsCount}, "per unit", "placements", "joints", "hand joints", "part lines: Part numbers",
				"sides: Sides with parts", "wanted: Good ones wanted"),
			columns(Column{Unit: "%", Format: asYield}, "yield"),
			columns(Column{Format: AsCount}, "starts: To start", "on hand: From stock", "bought"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)}, "lots: Bare boards", "assembly: SMT assembly"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		for j, r := range b.Boards {
			if r.Idle() {
				continue
			}
			board := e.Boards[j]
			on := ""
			if r.Panel > 0 {
				on = e.Boards[r.Panel-1].Name
			}
			single := board.Holds == nil
			t.addAs(RowKey(KeyBoard, b.ID(), j), BatchValue(b.ID()), Text(board.Name), Text(on),
				Count(board.PerUnit).where(single && !several(e)), Count(board.Placements),
				Count(board.Joints), Count(board.HandJoints), Count(r.PartLines), Count(board.Sides), Count(r.Wanted),
				Float(r.Yield*100).where(single), Count(r.Starts), Count(r.OnHand), Count(int(r.Bought)), known(r.Amounts.Cash, r.Amounts.Unpriced),
				assemblyOf(b, j))
		}
	}
	if several(e) {
		t.dropEmpty("per unit")
	}
	return t
}

// asYield shows one decimal of a share of a hundred that was worked out.
var asYield = Format{Kind: KindPercent, Digits: 1, Keep: 4, Trim: true}

// Makings are the ways to have the boards of each batch made: the one that is taken, and
// of each other kind the best with what it costs more.
func Makings(e *cost.Estimate) Table {
	t := Table{
		Name:  "Assembly",
		Title: "ways to have the boards made",
		Notes: []string{"the first of each batch is taken; the others are the best of their kind, each a whole plan of purchases", "more: landed cash and the value of hand work; as of the run"},
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("by: Assembled by", "boards", "hand: Through-hole parts"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)}, "more", "landed: of which landed cash"),
			columns(Column{Unit: "h", Format: AsHours}, "hours: Bench hours more"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		if len(b.Others) == 0 {
			continue
		}
		for _, x := range append([]cost.OtherMaking{{Making: b.Making}}, b.Others...) {
			t.add(BatchValue(b.ID()), Text(x.Assembler), Text(boardsAs(x.Making)), Text(fittedAt(x.Making)), known(x.More, x.Unpriced), known(x.Landed, x.Unpriced), Float(x.Hours))
		}
	}
	return t
}

// boardsAs says on which panels boards are made.
func boardsAs(x cost.Making) string {
	switch len(x.Panels) {
	case 0:
		return "singly"
	case 1:
		return "panel " + x.Panels[0]
	}
	return "panels " + strings.Join(x.Panels, ", ")
}

func fittedAt(x cost.Making) string {
	if x.Fitted {
		return "assembler"
	}
	return "bench"
}

// MakingLines says how the boards of each batch are made where there was a choice, and what
// other ways would cost more.
func MakingLines(e *cost.Estimate) (lines []string) {
	for _, b := range bom.Refs(e.Batches) {
		if len(b.Others) == 0 {
			continue
		}
		others := slices.Clone(b.Others)
		slices.SortStableFunc(others, func(x, y cost.OtherMaking) int {
			return cmp.Or(bom.TrueFirst(!x.Unpriced, !y.Unpriced), x.More.Cmp(y.More))
		})
		var parts []string
		for _, x := range others {
			more := "not to be had"
			if !x.Unpriced {
				more = Number(x.More).Shown(AsMoney(e.Currency)) + " more"
			}
			parts = append(parts, howMade(x.Making)+" "+more)
		}
		lines = append(lines, "boards of "+b.ID().Shown()+": "+howMade(b.Making)+"; else "+strings.Join(parts, "; "))
	}
	return lines
}

// howMade says how boards are made in a few words.
func howMade(x cost.Making) string {
	words := boardsAs(x)
	if x.Assembler != "" {
		words = x.Assembler + ", " + words
	}
	if x.Fitted {
		words += ", through-hole parts too"
	}
	return words
}

// nextMaking is the cheapest of the other ways.
func nextMaking(b *cost.Batch) (best cost.OtherMaking, ok bool) {
	for _, x := range b.Others {
		if !x.Unpriced && (!ok || x.More.LessThan(best.More)) {
			best, ok = x, true
		}
	}
	return best, ok
}

// assemblyOf is what the assembler asks for a board type.
func assemblyOf(b *cost.Batch, board int) Value {
	fees, all := AssemblyFees(b, board), sum{}
	for _, i := range fees {
		all.add(b.Fees[i].Cash, b.Fees[i].Unpriced)
	}
	return all.value().where(len(fees) > 0)
}

// AssemblyFees are the indices of the fees for a board type among those of its batch: none
// where nobody is paid for it, two where it is quoted in one currency and fitted in another.
func AssemblyFees(b *cost.Batch, board int) (out []int) {
	for i, f := range b.Fees {
		if f.Kind == cost.AssemblyFee && f.Index == board {
			out = append(out, i)
		}
	}
	return out
}

// Spools is the filament that each batch takes and has bought.
func Spools(e *cost.Estimate) Table {
	t := Table{
		Name:  "Spools",
		Title: "filament",
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("material"),
			columns(Column{Unit: "g", Format: asWholeGrams}, "need: Consumed", "on hand: From stock", "bought"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency)}, "cash"),
		),
	}
	for _, b := range bom.Refs(e.Batches) {
		for j, r := range b.Parts {
			if p := e.Parts[j]; p.Unit == "g" {
				t.addAs(RowKey(KeyPart, b.ID(), j), BatchValue(b.ID()), Text(p.Key), Quantity(r.Need), Quantity(r.OnHand),
					Quantity(r.Bought).unless(r.Unpriced), known(r.Cash, r.Unpriced))
			}
		}
	}
	return t
}

// asTimes is the format of seconds and of counts that learning has shrunk.
var asTimes = Format{Kind: KindQuantity, Keep: 3, Trim: true, All: true}

// Work is what to do by hand, in hours.
func Work(e *cost.Estimate) Table {
	t := Table{
		Name:  "Hand work",
		Title: "what to do by hand, in hours",
		Notes: []string{"count: joints or pieces in one unit; times: how often the seconds fall due in the batch, learning included"},
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("operation", "applies to", "basis"),
			columns(Column{Format: asTimes}, "seconds"),
			columns(Column{Format: AsQuantity}, "count"),
			columns(Column{Unit: "%", Format: AsPercent}, "learning"),
			columns(Column{Unit: "unit", Format: AsCount}, "timed at"),
			columns(Column{Unit: "units", Format: AsCount}, "before: Done before"),
			columns(Column{Unit: "%", Format: AsPercent}, "share"),
			columns(Column{Format: asTimes}, "times: Equivalent repeats"),
			columns(Column{Format: AsHours, Sum: true}, "hours"),
			columns(Column{Unit: e.Currency.Code, Format: AsMoney(e.Currency), Sum: true}, "cash: Cash out", "own: Own work"),
			plain("place: Source"),
		),
	}
	t.productColumn(e)
	for _, b := range bom.Refs(e.Batches) {
		for j, w := range b.Work {
			values := []Value{BatchValue(b.ID()), Text(w.Operation), Text(w.AppliesTo), Text(w.Basis), Float(w.Seconds),
				Float(w.Count), Float(w.Learning), Count(w.TimedAt), Count(w.Before), Number(w.Share), Float(w.Times), Float(w.Hours), Number(w.Cash), Number(w.Own), place(w.Place)}
			t.addAs(RowKey(KeyWork, b.ID(), j), ofProduct(e, values, w.Product)...)
		}
		t.addTotal(b, map[string]Value{"operation": Text("all hand work")})
	}
	t.totalsLast()
	return t
}

// Parcel is how the units are sent, by zone where the tab recipients tells
// zones, full parcels apart from the one with the rest, and what each recipient there is
// asked for.
func Parcel(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "Parcel",
		Title: "how the units are sent",
		Lead:  2,
		Columns: slices.Concat(
			batchColumn, plain("zone"),
			columns(Column{Format: AsCount}, "parcels", "units"),
			plain("service", "to"),
			columns(Column{Unit: "g", Format: AsGrams}, "mass"),
			columns(Column{Unit: "mm", Format: AsQuantity}, "length", "width", "height"),
			columns(Column{Unit: "g", Format: AsGrams}, "chargeable: Charged mass"),
			columns(Column{Format: AsPrice(e.Currency)}, "price"),
			plain("currency"),
			columns(Column{Unit: code, Format: money}, "cash: Postage", "asked: Charge per recipient"),
			columns(Column{Format: AsCount}, "unknown: Lines with no weight"),
			plain("place: Source"),
		),
	}
	t.productColumn(e)
	for _, b := range bom.Refs(e.Batches) {
		for j := range b.Posts {
			if p := &b.Posts[j]; (p.Service != "" || p.Zone != "") && !(several(e) && b.Products[p.Product].Size == 0) {
				t.addAs(RowKey(KeyParcel, b.ID(), j), ofProduct(e, parcelRow(e, b, p), p.Product)...)
			}
		}
	}
	return t
}

// parcelRow is one zone; of one that no service goes to only the parcels are
// known.
func parcelRow(e *cost.Estimate, b *cost.Batch, p *cost.Post) []Value {
	out := []Value{BatchValue(b.ID()), Text(p.Zone), Count(p.Parcels), Count(p.Units), Text(p.Service), Text(p.To), Float(p.MassG),
		Measure(p.SizeMM[0]), Measure(p.SizeMM[1]), Measure(p.SizeMM[2])}
	if p.Service == "" {
		out[4], out[5] = Unknown(), Unknown()
		out = append(out, slices.Repeat([]Value{Unknown()}, 5)...)
	} else {
		asked := known(p.Asked, b.Ask.Unpriced).where(recipients(e) != "" && b.InZones() && p.Parcels > 0)
		out = append(out, Float(p.Chargeable), Number(p.Price).As(AsPrice(p.Currency)), Text(p.Currency.Code), Number(p.Cash), asked)
	}
	return append(out, Count(p.Unknown), place(p.Place))
}
