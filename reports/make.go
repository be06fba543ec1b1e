package reports

import (
	"slices"

	"tenoff/cost"
)

// Boards is how many boards of each type are started, so that enough are good.
func Boards(e *cost.Estimate) Table {
	t := Table{
		Name:  "Boards",
		Title: "how many boards to start, so that enough are good",
		Lead:  2,
		Columns: []Column{
			batchColumn,
			{Key: "board", Heading: "Board"},
			{Key: "per unit", Heading: "Per unit", Format: AsCount},
			{Key: "placements", Heading: "Placements", Format: AsCount},
			{Key: "joints", Heading: "Joints", Format: AsCount},
			{Key: "part lines", Heading: "Part numbers", Format: AsCount},
			{Key: "sides", Heading: "Sides with parts", Format: AsCount},
			{Key: "wanted", Heading: "Good ones wanted", Format: AsCount},
			{Key: "yield", Heading: "Yield", Unit: "%", Format: AsPercent},
			{Key: "starts", Heading: "To start", Format: AsCount},
			{Key: "on hand", Heading: "From stock", Format: AsCount},
			{Key: "bought", Heading: "Bought", Format: AsCount},
			{Key: "lots", Heading: "Bare boards", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
			{Key: "assembly", Heading: "SMT assembly", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		for j, r := range b.Boards {
			board := e.Boards[j]
			t.addAs(RowKey(KeyBoard, b.Size, j), Count(b.Size), Text(board.Name), Count(board.PerUnit), Count(board.Placements),
				Count(board.Joints), Count(board.PartLines), Count(board.Sides), Count(r.Wanted),
				Float(r.Yield*100), Count(r.Starts), Count(r.OnHand), Count(int(r.Bought)), known(r.Amounts.Cash, r.Amounts.Unpriced),
				assemblyOf(b, j))
		}
	}
	return t
}

// assemblyOf is what the assembler asks for a board type.
func assemblyOf(b *cost.Batch, board int) Value {
	if i := AssemblyFee(b, board); i >= 0 {
		return known(b.Fees[i].Cash, b.Fees[i].Unpriced)
	}
	return Nothing()
}

// AssemblyFee is the index of the fee for a board type among those of its batch; -1 where
// nobody is paid for it.
func AssemblyFee(b *cost.Batch, board int) int {
	return slices.IndexFunc(b.Fees, func(f cost.Fee) bool { return f.Kind == cost.AssemblyFee && f.Index == board })
}

// Spools is the filament that each batch takes and has bought.
func Spools(e *cost.Estimate) Table {
	t := Table{
		Name:  "Spools",
		Title: "filament",
		Lead:  2,
		Columns: []Column{
			batchColumn,
			{Key: "material", Heading: "Material"},
			{Key: "need", Heading: "Consumed", Unit: "g", Format: asWholeGrams},
			{Key: "on hand", Heading: "From stock", Unit: "g", Format: asWholeGrams},
			{Key: "bought", Heading: "Bought", Unit: "g", Format: asWholeGrams},
			{Key: "cash", Heading: "Cash", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		for j, r := range b.Parts {
			if p := e.Parts[j]; p.Unit == "g" {
				bought := Quantity(r.Bought)
				if r.Amounts.Unpriced {
					bought = Unknown()
				}
				t.addAs(RowKey(KeyPart, b.Size, j), Count(b.Size), Text(p.Key), Quantity(r.Need), Quantity(r.OnHand), bought, known(r.Cash, r.Amounts.Unpriced))
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
		Columns: []Column{
			batchColumn,
			{Key: "operation", Heading: "Operation"},
			{Key: "applies to", Heading: "Applies to"},
			{Key: "basis", Heading: "Basis"},
			{Key: "seconds", Heading: "Seconds", Format: asTimes},
			{Key: "count", Heading: "Count", Format: AsQuantity},
			{Key: "learning", Heading: "Learning", Unit: "%", Format: AsPercent},
			{Key: "timed at", Heading: "Timed at", Unit: "unit", Format: AsCount},
			{Key: "before", Heading: "Done before", Unit: "units", Format: AsCount},
			{Key: "share", Heading: "Share", Unit: "%", Format: AsPercent},
			{Key: "times", Heading: "Equivalent repeats", Format: asTimes},
			{Key: "hours", Heading: "Hours", Format: AsHours},
			{Key: "cash", Heading: "Cash out", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
			{Key: "own", Heading: "Own work", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
			{Key: "place", Heading: "Source"},
		},
	}
	var totals []Row
	for i := range e.Batches {
		b := &e.Batches[i]
		var cash, own sum
		for j, w := range b.Work {
			t.addAs(RowKey(KeyWork, b.Size, j), Count(b.Size), Text(w.Operation), Text(w.AppliesTo), Text(w.Basis), Float(w.Seconds),
				Float(w.Count), Float(w.Learning), Count(w.TimedAt), Count(w.Before), Number(w.Share), Float(w.Times), Float(w.Hours), Number(w.Cash), Number(w.Own), place(w.Place))
			cash.add(w.Cash, false)
			own.add(w.Own, false)
		}
		if len(b.Work) == 0 {
			continue
		}
		values := blanks(len(t.Columns))
		values[0], values[1], values[11], values[12] = Count(b.Size), Text("all hand work"), Float(workHours(b)), cash.value()
		values[13] = own.value()
		totals = append(totals, Row{Key: totalKey(b.Size), Role: Total, Values: values})
	}
	t.Rows = append(t.Rows, totals...)
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
		Columns: []Column{
			batchColumn,
			{Key: "zone", Heading: "Zone"},
			{Key: "parcels", Heading: "Parcels", Format: AsCount},
			{Key: "units", Heading: "Units", Format: AsCount},
			{Key: "service", Heading: "Service"},
			{Key: "to", Heading: "To"},
			{Key: "mass", Heading: "Mass", Unit: "g", Format: AsGrams},
			{Key: "length", Heading: "Length", Unit: "mm", Format: AsQuantity},
			{Key: "width", Heading: "Width", Unit: "mm", Format: AsQuantity},
			{Key: "height", Heading: "Height", Unit: "mm", Format: AsQuantity},
			{Key: "chargeable", Heading: "Charged mass", Unit: "g", Format: AsGrams},
			{Key: "price", Heading: "Price", Format: AsPrice(e.Currency)},
			{Key: "currency", Heading: "Currency"},
			{Key: "cash", Heading: "Postage", Unit: code, Format: money},
			{Key: "asked", Heading: "Charge per recipient", Unit: code, Format: money},
			{Key: "unknown", Heading: "Lines with no weight", Format: AsCount},
			{Key: "place", Heading: "Source"},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		for j := range b.Posts {
			if p := &b.Posts[j]; p.Service != "" || p.Zone != "" {
				t.addAs(RowKey(KeyParcel, b.Size, j), parcelRow(e, b, p)...)
			}
		}
	}
	return t
}

// parcelRow is one zone; of one that no service goes to only the parcels are
// known.
func parcelRow(e *cost.Estimate, b *cost.Batch, p *cost.Post) []Value {
	out := []Value{Count(b.Size), Text(p.Zone), Count(p.Parcels), Count(p.Units), Text(p.Service), Text(p.To), Float(p.MassG),
		Measure(p.SizeMM[0]), Measure(p.SizeMM[1]), Measure(p.SizeMM[2])}
	if p.Service == "" {
		out[4], out[5] = Unknown(), Unknown()
		for range 5 {
			out = append(out, Unknown())
		}
	} else {
		asked := Nothing()
		if recipients(e) != "" && b.InZones() && p.Parcels > 0 {
			asked = known(p.Asked, b.Ask.Unpriced)
		}
		out = append(out, Float(p.Chargeable), Number(p.Price).As(AsPrice(p.Currency)), Text(p.Currency.Code), Number(p.Cash), asked)
	}
	return append(out, Count(p.Unknown), place(p.Place))
}
