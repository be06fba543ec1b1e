package reports

import "tenoff/cost"

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
			{Key: "starts", Heading: "Starts", Format: AsCount},
			{Key: "on hand", Heading: "From the drawer", Format: AsCount},
		},
	}
	for i := range e.Batches {
		b := &e.Batches[i]
		for j, r := range b.Boards {
			board := e.Boards[j]
			t.addAs(RowKey(KeyBoard, b.Size, j), Count(b.Size), Text(board.Name), Count(board.PerUnit), Count(board.Placements),
				Count(board.Joints), Count(board.PartLines), Count(board.Sides), Count(r.Wanted),
				Float(r.Yield*100), Count(r.Starts), Count(r.OnHand))
		}
	}
	return t
}

// ToPrint is what to print, by plate: how many plates of each part to start,
// and what they take.
func ToPrint(e *cost.Estimate) Table {
	money, code := AsMoney(e.Currency), e.Currency.Code
	t := Table{
		Name:  "To print",
		Title: "what to print, by plate",
		Notes: []string{"filament and hours are of all plates started, failed ones included"},
		Lead:  2,
		Columns: []Column{
			batchColumn,
			{Key: "part", Heading: "Part"},
			{Key: "material", Heading: "Material"},
			{Key: "printer", Heading: "Printer"},
			{Key: "pieces", Heading: "Pieces", Format: AsQuantity},
			{Key: "per plate", Heading: "Per plate", Format: AsCount},
			{Key: "plates", Heading: "Good plates", Format: AsCount},
			{Key: "started", Heading: "Plates to start", Format: AsCount},
			{Key: "piece g", Heading: "One piece", Unit: "g", Format: AsGrams},
			{Key: "piece h", Heading: "One piece", Unit: "h", Format: AsHours},
			{Key: "filament", Heading: "Filament", Unit: "g", Format: AsGrams},
			{Key: "hours", Heading: "Hours", Format: AsHours},
			{Key: "machine", Heading: "Machine", Unit: code, Format: money},
			{Key: "energy", Heading: "Energy", Unit: code, Format: money},
			{Key: "from", Heading: "Mass and hours from"},
		},
	}
	var totals []Row
	for i := range e.Batches {
		b := &e.Batches[i]
		var machine, energy sum
		started := 0
		for j, p := range b.Plates {
			t.addAs(RowKey(KeyPlate, b.Size, j), Count(b.Size), Text(p.Part), Text(p.Material), Text(p.Printer), Quantity(p.Pieces),
				Count(p.PerPlate), Count(p.Plates), Count(p.Started), Float(p.PieceG), Float(p.PieceH),
				Float(p.FilamentG), Float(p.Hours), Number(p.Machine), Number(p.Energy), Text(p.From))
			machine.add(p.Machine, false)
			energy.add(p.Energy, false)
			started += p.Started
		}
		if len(b.Plates) == 0 {
			continue
		}
		values := blanks(len(t.Columns))
		values[0], values[1], values[7] = Count(b.Size), Text("all plates"), Count(started)
		values[10], values[11] = Float(filament(b)), Float(printHours(b))
		values[12], values[13] = machine.value(), energy.value()
		totals = append(totals, Row{Key: totalKey(b.Size), Role: Total, Values: values})
	}
	t.Rows = append(t.Rows, totals...)
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
			{Key: "times", Heading: "Times", Format: asTimes},
			{Key: "hours", Heading: "Hours", Format: AsHours},
			{Key: "cash", Heading: "Cash", Unit: e.Currency.Code, Format: AsMoney(e.Currency)},
			{Key: "place", Heading: "Read from"},
		},
	}
	var totals []Row
	for i := range e.Batches {
		b := &e.Batches[i]
		var cash sum
		for j, w := range b.Work {
			t.addAs(RowKey(KeyWork, b.Size, j), Count(b.Size), Text(w.Operation), Text(w.AppliesTo), Text(w.Basis), Float(w.Seconds),
				Float(w.Count), Float(w.Learning), Float(w.Times), Float(w.Hours), Number(w.Cash), place(w.Place))
			cash.add(w.Cash, false)
		}
		if len(b.Work) == 0 {
			continue
		}
		values := blanks(len(t.Columns))
		values[0], values[1], values[8], values[9] = Count(b.Size), Text("all hand work"), Float(workHours(b)), cash.value()
		totals = append(totals, Row{Key: totalKey(b.Size), Role: Total, Values: values})
	}
	t.Rows = append(t.Rows, totals...)
	return t
}

// Parcel is how one unit is sent.
func Parcel(e *cost.Estimate) Table {
	t := Table{
		Name:  "Parcel",
		Title: "how one unit is sent",
		Lead:  2,
		Columns: []Column{
			batchColumn,
			{Key: "service", Heading: "Service"},
			{Key: "to", Heading: "To"},
			{Key: "mass", Heading: "Mass", Unit: "g", Format: AsGrams},
			{Key: "length", Heading: "Length", Unit: "mm", Format: AsQuantity},
			{Key: "width", Heading: "Width", Unit: "mm", Format: AsQuantity},
			{Key: "height", Heading: "Height", Unit: "mm", Format: AsQuantity},
			{Key: "chargeable", Heading: "Charged mass", Unit: "g", Format: AsGrams},
			{Key: "price", Heading: "Price", Format: AsPrice(e.Currency)},
			{Key: "currency", Heading: "Currency"},
			{Key: "unknown", Heading: "Lines without a mass", Format: AsCount},
			{Key: "place", Heading: "Read from"},
		},
	}
	for i := range e.Batches {
		p := &e.Batches[i].Post
		if p.Service == "" {
			continue
		}
		t.addAs(RowKey(KeyParcel, e.Batches[i].Size, 0), Count(e.Batches[i].Size), Text(p.Service), Text(p.To), Float(p.MassG), Measure(p.SizeMM[0]),
			Measure(p.SizeMM[1]), Measure(p.SizeMM[2]), Float(p.Chargeable), Number(p.Price).As(AsPrice(p.Currency)),
			Text(p.Currency.Code), Count(p.Unknown), place(p.Place))
	}
	return t
}
