package sheet

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tenoff/bom"
)

// Begun is a price sheet that is ready to be filled in.
type Begun struct {
	Tables []bom.Table // its tabs, each a table of its own without a file
	Left   int         // cells to be typed before everything the unit needs has a price
}

// Begin makes a price sheet of what the lists of a unit say: each part that is bought,
// with what stands there of suppliers and prices, each board, each material, and in the
// tab parts whatever is assumed, to be looked over. Figures of common practice, such as
// the time that a joint takes, come from the tabs of a starter, also for what the unit is
// still to get, such as a case and its screws. Tabs that many runs need further stand
// there with their headings. Prices in another currency than home stand in the note.
func Begin(unit *bom.Assembly, home bom.Currency, starter []bom.Table) Begun {
	b := newBeginner(unit, home, starter)
	b.settings()
	b.offers()
	b.suppliers()
	b.boards()
	b.parts()
	b.taken(bom.TabAttrition, anyClass)
	b.taken(bom.TabHandWork, anyClass)
	b.printing()
	for _, tab := range furtherTabs {
		headings, _ := b.common(tab)
		b.add(newTab(tab, headings...))
	}
	return Begun{b.tables, b.left}
}

// furtherTabs are what many a run needs that no list says anything of.
var furtherTabs = []string{bom.TabExchange, bom.TabAssembly, bom.TabPostage, bom.TabRecipients, bom.TabWhoPays}

func anyClass(string) bool { return true }

func newBeginner(unit *bom.Assembly, home bom.Currency, starter []bom.Table) *beginner {
	b := &beginner{unit: unit, home: home, starter: starter, board: map[*bom.Line]string{}, has: map[string]bool{}}
	b.look()
	return b
}

type beginner struct {
	unit    *bom.Assembly
	home    bom.Currency
	starter []bom.Table

	lines     []*bom.Line          // that are bought
	board     map[*bom.Line]string // what they stand on; empty: the unit
	bare      []*bom.Line
	materials []string
	printers  []string
	recipes   []string
	undated   bool            // rows of the starter are taken without the day they are of
	meshes    bool            // some printed part is computed from a file
	cut       bool            // some part is cut to length
	has       map[string]bool // classes of lines, as attrition and hand work call them

	tables []bom.Table
	left   int
}

// look gathers what the lists hold, the lines of each list once.
func (b *beginner) look() {
	for l := range b.unit.MadeLines() {
		if l.Sub != nil {
			for _, on := range l.Sub.Lines {
				b.board[on] = cmp.Or(b.board[on], l.Part)
			}
		}
		switch {
		case isPiece(l):
			b.lines = append(b.lines, l)
			b.cut = b.cut || l.CutMM > 0
			b.has[string(l.Kind)] = true
			b.has[strings.ToLower(string(l.Mount))] = true
			b.has["other"] = b.has["other"] || l.Kind == bom.KindWire || l.Kind == bom.KindInsert
		case !l.Fitted || l.Nothing:
		case l.Kind == bom.KindBoard:
			if !slices.ContainsFunc(b.bare, func(had *bom.Line) bool { return bom.Fold(had.Part) == bom.Fold(l.Part) }) {
				b.bare = append(b.bare, l)
			}
		case l.Kind == bom.KindPrinted:
			b.has["printed"] = true
			b.meshes = b.meshes || l.File != ""
			for _, n := range []struct {
				to   *[]string
				name string
			}{{&b.materials, l.Material}, {&b.printers, l.Printer}, {&b.recipes, l.Recipe}} {
				if n.name != "" && !slices.ContainsFunc(*n.to, func(had string) bool { return bom.Fold(had) == bom.Fold(n.name) }) {
					*n.to = append(*n.to, n.name)
				}
			}
		}
	}
}

// add adds a tab, unless the starter that its headings come from has none.
func (b *beginner) add(t *madeTab) {
	if len(t.table.Rows[0].Cells) > 0 {
		b.tables = append(b.tables, t.table)
	}
}

// addFilled adds a tab that holds more than its headings.
func (b *beginner) addFilled(t *madeTab) {
	if len(t.table.Rows) > 1 {
		b.add(t)
	}
}

// common gives the rows of a tab of the starter as heading -> text. That a row is an
// example is left out of its note.
func (b *beginner) common(tab string) (headings []string, rows []map[string]string) {
	i := slices.IndexFunc(b.starter, func(t bom.Table) bool { return TabOf(t) == tab })
	if i < 0 {
		return nil, nil
	}
	t := b.starter[i]
	headings = bom.Each(t.Rows[0].Cells, func(c *bom.Cell) string { return c.Text })
	for _, r := range t.Rows[1:] {
		row := map[string]string{}
		for _, c := range r.Cells {
			row[headings[c.Col-1]] = c.Text
		}
		row["Note"] = strings.TrimPrefix(row["Note"], "example: ")
		rows = append(rows, row)
	}
	return headings, rows
}

func rowOf(headings []string, row map[string]string) []any {
	return bom.Each(headings, func(h *string) any { return row[*h] })
}

// askedSettings are what a maker must think of; all others have their defaults.
var askedSettings = []string{"Home currency", "Labour rate per hour", "Energy price per kWh", "Confidence %", "Unit yield %", "Assembler"}

func (b *beginner) settings() {
	headings, rows := b.common(bom.TabSettings)
	t := newTab(bom.TabSettings, headings...)
	for _, row := range rows {
		name := row["Setting"]
		if !slices.Contains(askedSettings, name) || name == "Assembler" && !b.has["smt"] {
			continue
		}
		if name == "Home currency" {
			row["Value"] = b.home.Code
		}
		t.row(rowOf(headings, row)...)
	}
	b.add(t)
}

// taken takes over the rows of a tab of the starter that the unit has lines for.
func (b *beginner) taken(tab string, wanted func(appliesTo string) bool) {
	headings, rows := b.common(tab)
	t := newTab(tab, headings...)
	for _, row := range rows {
		// A row for one package is an example of how it is done.
		if wanted(row["Applies to"]) && row["Package"] == "" {
			if b.undated {
				row["As of"] = ""
			}
			t.row(rowOf(headings, row)...)
		}
	}
	b.addFilled(t)
}

// offers writes a row for each part, supplier and order code; one without a price for
// each part that the lists have no price for.
func (b *beginner) offers() {
	prices, _ := PricesOf(b.unit, b.home, nil)
	steps := []int64{1, 10, 100}
	priced := map[string][]bom.Offer{}
	for _, o := range prices.Offers {
		priced[bom.Fold(o.Part)] = append(priced[bom.Fold(o.Part)], o)
		for _, br := range o.Breaks {
			if !slices.Contains(steps, br.From) {
				steps = append(steps, br.From)
			}
		}
	}
	slices.Sort(steps)
	headings := []string{"Part number", "Supplier", "Order code", "Stock", "MOQ"}
	for _, from := range steps {
		headings = append(headings, stepHeading(from, false))
	}
	headings = append(headings, "Currency", "Note")
	if b.cut {
		headings = append(headings, "Cut from m")
	}
	t := newTab(bom.TabOffers, headings...)
	done := map[string]bool{}
	for _, l := range b.lines {
		if done[bom.Fold(l.Part)] {
			continue
		}
		done[bom.Fold(l.Part)] = true
		offers := priced[bom.Fold(l.Part)]
		if len(offers) == 0 {
			offers = []bom.Offer{b.unpriced(l.Part)}
		}
		for _, o := range offers {
			b.offer(t, o, steps)
		}
	}
	b.addFilled(t)
}

// unpriced is what the lists know of buying a part without a price.
func (b *beginner) unpriced(part string) bom.Offer {
	o := bom.Offer{Part: part, Stock: -1, MOQ: 1}
	for _, l := range b.lines {
		if bom.Fold(l.Part) == bom.Fold(part) {
			o.Supplier, o.Code = cmp.Or(o.Supplier, l.Offered.Supplier), cmp.Or(o.Code, l.Offered.Code)
		}
	}
	return o
}

func (b *beginner) offer(t *madeTab, o bom.Offer, steps []int64) {
	row := []any{o.Part, o.Supplier, o.Code, nil, nil}
	if o.Stock >= 0 {
		row[3] = o.Stock
	}
	if o.MOQ > 1 {
		row[4] = o.MOQ
	}
	for _, from := range steps {
		var price any
		for _, br := range o.Breaks {
			if br.From == from {
				price = br.Price
			}
		}
		row = append(row, price)
	}
	if len(o.Breaks) == 0 {
		b.left++
	}
	if o.Supplier == "" {
		b.left++
	}
	t.row(append(row, o.Currency.Code, b.what(o.Part))...)
}

// what tells what a part is and what it is for: "resistor 1 %; R1, R2 of main, 2 a
// board; 0.02 USD in the list".
func (b *beginner) what(part string) string {
	var said []string
	cut := false
	add := func(text string) {
		if text != "" && !slices.Contains(said, text) {
			said = append(said, text)
		}
	}
	for _, l := range b.lines {
		if bom.Fold(l.Part) != bom.Fold(part) {
			continue
		}
		for _, text := range []string{l.Description, strings.TrimSpace(l.Value + " " + bom.ShortPackage(l.Package)), l.Maker} {
			if bom.Fold(text) != bom.Fold(part) {
				add(clip(text, 80))
			}
		}
		used := l.Quantity.String()
		if l.CutMM > 0 {
			used += " × " + l.CutMM.String() + " mm"
			cut = true
		}
		if len(l.Designators) > 0 {
			used += " × " + clip(strings.Join(l.Designators, " "), 40)
		}
		if on := b.board[l]; on != "" {
			used += " on " + on
		}
		add(used)
		for _, br := range l.Offered.Breaks {
			if code, ok := currencyOfList(l.Offered.Currency, b.home); !ok || code != b.home.Code {
				add(fmt.Sprintf("%s %s from %d on in the list", br.Price, l.Offered.Currency, br.From))
			}
		}
	}
	if cut {
		add("leads, cut from rings where Cut from m has their length")
	}
	return strings.Join(said, "; ")
}

// suppliers writes a row for each that the lists name.
func (b *beginner) suppliers() {
	headings, _ := b.common(bom.TabSuppliers)
	t := newTab(bom.TabSuppliers, headings...)
	seen := map[string]bool{}
	for _, l := range b.lines {
		if name := l.Offered.Supplier; name != "" && !seen[bom.Fold(name)] {
			seen[bom.Fold(name)] = true
			t.row(rowOf(headings, map[string]string{"Supplier": name, "Currency": b.home.Code,
				"Note": "what delivering one order costs, and how many days it takes; from abroad duty and tax as well"})...)
		}
	}
	b.add(t)
}

// firstLot is the lot that a price is asked for, as small as most are sold.
const firstLot = 10

func (b *beginner) boards() {
	t := newTab(bom.TabBoards, "Board", "Fabricator", "Lot", "Price", "Currency", "Length mm", "Width mm", "Option", "Set-up", "Per dm2", "Note")
	for _, l := range b.bare {
		t.row(l.Part, nil, firstLot, nil, b.home.Code, nil, nil, nil, nil, nil, "the price of the whole lot; a row for each lot that is quoted")
		b.left += 2 // who makes it, and the price
	}
	b.addFilled(t)
}

// parts writes what is assumed: of a package where all its lines agree, else of the part.
func (b *beginner) parts() {
	t := newTab(bom.TabParts, "Part number", "Package", "Mount", "Joints", "Side", "Kind", "Note")
	done := map[string]bool{}
	for _, l := range b.lines {
		if l.Assumed == (bom.Given{}) {
			continue
		}
		part, pkg := cmp.Or(ruledNames(l)...), ""
		if b.agree(l) {
			part, pkg = "", l.Package
		}
		key := bom.Fold(part) + "\n" + bom.ReadPackage(pkg).Key
		if done[key] {
			continue
		}
		done[key] = true
		var joints any
		if l.Joints.Known && l.Assumed.Joints {
			joints = l.Joints.Count
		}
		mount, kind := "", ""
		if l.Assumed.Mount {
			mount = string(l.Mount)
		}
		if l.Assumed.Kind {
			kind = string(l.Kind)
		}
		t.row(part, pkg, mount, joints, nil, kind, "assumed by the program, please check: "+b.what(l.Part))
	}
	b.addFilled(t)
}

// agree tells whether a row for the package of a line would be true of every line in it.
func (b *beginner) agree(l *bom.Line) bool {
	if l.Package == "" {
		return false
	}
	key := bom.ReadPackage(l.Package).Key
	same := true
	for o := range b.unit.AllLines() {
		if o.Package != "" && bom.ReadPackage(o.Package).Key == key {
			same = same && !o.Nothing && o.Kind == l.Kind && o.Mount == l.Mount && o.Joints == l.Joints
		}
	}
	return same
}

// printing writes materials, printers and recipes of printed parts, of which there may be
// some later.
func (b *beginner) printing() {
	b.plastics()
	b.named(bom.TabPrinters, "Printer", b.printers, "printer")
	if b.meshes || !b.has["printed"] {
		b.named(bom.TabRecipes, "Recipe", b.recipes, "plain")
	}
}

// plastics writes the materials of printed parts with typical densities.
func (b *beginner) plastics() {
	headings, _ := b.common(bom.TabMaterials)
	t := newTab(bom.TabMaterials, headings...)
	for _, name := range b.materials {
		row := map[string]string{"Material": name, "Currency": b.home.Code, "Diameter mm": "1.75", "Spool g": "1000",
			"Note": "diameter and spool as usual; read the label of the spool"}
		if plastic, density, ok := plasticOf(name); ok {
			row["Density g/cm3"] = density
			row["Note"] = "typical density of " + plastic + ", diameter and spool as usual; read the label of the spool"
		} else if b.meshes {
			b.left++ // the density, for what is measured from a file
		}
		b.left += 2 // the price of a spool, and who sells it
		t.row(rowOf(headings, row)...)
	}
	b.add(t)
}

// named writes a row like the starter's first for each name, or for one that stands
// for all where none is named.
func (b *beginner) named(tab, column string, names []string, only string) {
	headings, rows := b.common(tab)
	if len(rows) == 0 {
		return
	}
	if len(names) == 0 {
		names = []string{only}
	}
	t := newTab(tab, headings...)
	for _, name := range names {
		rows[0][column] = name
		t.row(rowOf(headings, rows[0])...)
	}
	b.add(t)
}
