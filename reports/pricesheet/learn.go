package pricesheet

import (
	"maps"
	"slices"
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/settling"
)

// TabChange are changes of rows of one tab.
type TabChange struct {
	Tab  string
	Last int // row of data; 0 where the tab has none
	Rows []RowChange
}

// Learn works out what changes in the tabs by figures that a run has shown to be others,
// each dated and with a note that ends in what it rests on, and by the print log. It gives
// the proposals whose row the price sheet does not have.
func Learn(p *bom.Prices, s *settling.Settlement, day bom.Date, note string) (changes []TabChange, left []settling.Proposal) {
	l := learner{prices: p, day: day, note: note}
	for _, x := range s.Proposals() {
		if !l.propose(&x) {
			left = append(left, x)
		}
	}
	return l.tabs, append(left, l.log(s.PrintLog())...)
}

// learner puts what was learnt into rows.
type learner struct {
	prices *bom.Prices
	day    bom.Date
	note   string
	tabs   []TabChange
}

// row finds the row of a proposal, where it has one, with its note, and the last row of the
// tab.
func (l *learner) row(x *settling.Proposal) (row, last int, note string, had bom.Range) {
	p := l.prices
	find := func(at int, said string, r bom.Range, names ...string) {
		last = max(last, at)
		same := func(a, b string) bool { return bom.Fold(a) == bom.Fold(b) }
		if row == 0 && slices.EqualFunc(names, x.Row, same) {
			row, note, had = at, said, r
		}
	}
	switch x.Tab {
	case bom.TabSettings:
		for i := range p.Settings.All {
			if s := &p.Settings.All[i]; !s.Default {
				find(s.Row, s.Note, s.Range, s.Name)
			}
		}
	case bom.TabHandWork:
		for _, o := range bom.Refs(p.HandWork) {
			find(o.Row, o.Note, o.Range, o.Name, o.AppliesTo, o.Basis)
		}
	case bom.TabOneOff:
		for i := range p.OneOffs {
			find(p.OneOffs[i].Row, p.OneOffs[i].Note, bom.Range{}, p.OneOffs[i].What)
		}
	case bom.TabPrinters:
		for i := range p.Printers {
			find(p.Printers[i].Row, p.Printers[i].Note, p.Printers[i].FailRange, p.Printers[i].Name)
		}
	case bom.TabAssembly:
		for i := range p.Assemblers {
			find(p.Assemblers[i].Row, p.Assemblers[i].Note, bom.Range{}, p.Assemblers[i].Name)
		}
	case bom.TabAttrition:
		for _, a := range bom.Refs(p.Allowances) {
			find(a.Row, a.Note, bom.Range{}, a.AppliesTo, a.Package)
		}
	}
	return row, last, note, had
}

// propose puts a proposal into its row; false where there is none. A setting that stands
// at its default gets a row.
func (l *learner) propose(x *settling.Proposal) bool {
	row, last, note, had := l.row(x)
	if row == 0 && x.Tab != bom.TabSettings {
		return false
	}
	cells := map[string]Value{x.Heading: {Kind: Number, Number: x.Is}}
	if x.Tab == bom.TabOneOff { // the run has paid it
		cells["Paid already"] = Value{Kind: Text, Text: "yes"}
	}
	if x.Heading != "Done before" {
		heading := x.Heading
		if x.Tab == bom.TabSettings {
			heading = x.Row[0]
		}
		cells["Note"] = Value{Kind: Text, Text: l.noted(x.Tab, row, note, heading+" "+x.Is.String()+" seen of "+x.Seen())}
	}
	if row == 0 {
		cells["Setting"] = Value{Kind: Text, Text: x.Row[0]}
	}
	maps.Copy(cells, bounds(x, had))
	l.put(x.Tab, last, row, cells)
	return true
}

// noted is the note of a row with what was seen, once, after what was seen of it before.
func (l *learner) noted(tab string, row int, note, seen string) string {
	run, between := l.note+": ", "; "+l.note+": "
	for _, t := range l.tabs {
		for _, r := range t.Rows {
			if had := r.Cells["Note"].Text; t.Tab == tab && r.Row == row && row > 0 && had != "" {
				note, between = had, "; "
			}
		}
	}
	if _, said, ok := strings.Cut(note, run); ok && strings.Contains(said, seen) {
		return note
	}
	if note == "" {
		return run + seen
	}
	return note + between + seen
}

// bounds widen the range of a figure that has one so that it holds what was seen.
func bounds(x *settling.Proposal, r bom.Range) map[string]Value {
	names := [2]string{"Low", "High"}
	switch {
	case x.Tab == bom.TabPrinters:
		names = [2]string{"Failure low %", "Failure high %"}
	case x.Tab == bom.TabHandWork && x.Heading != "Seconds": // which the range is of
		return nil
	}
	out := map[string]Value{}
	if r.Least.Valid && x.Is.LessThan(r.Least.Decimal) {
		out[names[0]] = Value{Kind: Number, Number: decimal.Min(x.Is, x.Low)}
	}
	if r.Most.Valid && x.Is.GreaterThan(r.Most.Decimal) {
		out[names[1]] = Value{Kind: Number, Number: decimal.Max(x.Is, x.High)}
	}
	return out
}

// put adds cells to the row of a tab, dated where they hold a figure with a note.
func (l *learner) put(tab string, last, row int, cells map[string]Value) {
	if cells["Note"].Text != "" && !l.day.IsZero() {
		cells["As of"] = Value{Kind: Date, Date: l.day}
	}
	at := slices.IndexFunc(l.tabs, func(t TabChange) bool { return t.Tab == tab })
	if at < 0 {
		at = len(l.tabs)
		l.tabs = append(l.tabs, TabChange{Tab: tab, Last: last})
	}
	t := &l.tabs[at]
	for i := range t.Rows {
		if row == 0 || t.Rows[i].Row != row {
			continue
		}
		maps.Copy(t.Rows[i].Cells, cells)
		return
	}
	t.Rows = append(t.Rows, RowChange{Row: row, Cells: cells})
}

// log adds rows to the print log, but for those that it has. It gives those whose printer
// or recipe the price sheet does not have.
func (l *learner) log(prints []settling.Print) (left []settling.Proposal) {
	known := func(name string, names []string) bool {
		return name == "" || slices.ContainsFunc(names, func(n string) bool { return bom.SameName(n, name) })
	}
	last := 0
	for i := range l.prices.PrintLog {
		last = max(last, l.prices.PrintLog[i].Row)
	}
	for _, x := range prints {
		if slices.ContainsFunc(l.prices.PrintLog, func(had bom.PrintLog) bool { return sameLog(&had, &x, l.day) }) {
			continue
		}
		switch {
		case !known(x.Printer, l.prices.PrinterNames()):
			left = append(left, settling.Proposal{Tab: bom.TabPrinters, Row: []string{x.Printer}, Heading: "the print of " + x.Part})
			continue
		case !known(x.Recipe, l.prices.RecipeNames()):
			left = append(left, settling.Proposal{Tab: bom.TabRecipes, Row: []string{x.Recipe}, Heading: "the print of " + x.Part})
			continue
		}
		cells := map[string]Value{}
		text := func(heading, s string) {
			if s != "" {
				cells[heading] = Value{Kind: Text, Text: s}
			}
		}
		if file := logFile(&x); file != "" {
			text("File", file)
		} else {
			text("Part number", x.Part)
		}
		text("Printer", x.Printer)
		text("Recipe", x.Recipe)
		text("Note", l.note)
		for heading, d := range map[string]decimal.NullDecimal{"Measured g": x.G, "Measured hours": x.Hours} {
			if d.Valid {
				cells[heading] = Value{Kind: Number, Number: d.Decimal}
			}
		}
		l.put(bom.TabPrintLog, last, 0, cells)
	}
	return left
}

// logFile is the mesh or toolpath that was printed; empty where a line names none or two.
func logFile(x *settling.Print) string {
	if slices.Contains([]byte(x.File), ';') {
		return ""
	}
	return x.File
}

// sameLog tells whether a row of the print log says what is to be added.
func sameLog(had *bom.PrintLog, x *settling.Print, day bom.Date) bool {
	is := func(m bom.Measure, d decimal.NullDecimal) bool {
		return m.Known == d.Valid && (!d.Valid || m.Value == d.Decimal.InexactFloat64())
	}
	name := bom.SameName(had.File, logFile(x)) && had.File != "" || bom.SameName(had.Part, x.Part) && logFile(x) == ""
	return name && bom.SameName(had.Printer, x.Printer) && bom.SameName(had.Recipe, x.Recipe) && had.AsOf == day && is(had.MeasuredG, x.G) && is(had.MeasuredH, x.Hours)
}
