package reports

import (
	"cmp"
	"io"
	"slices"
	"strings"

	"tenoff/bom"
	"tenoff/cost"
	stated "tenoff/cost/sum"
)

// askable is a figure or a result that can be asked for.
type askable struct {
	key   stated.Key
	ref   stated.Ref
	words stated.Words
}

// NoFigure is why a figure that was asked for is not told.
type NoFigure struct {
	Could []string // all that it can mean, where it can mean several
	Near  []string // else the names that are nearest
	Free  bool     // the price was asked for where no unit is paid for
}

// Error says so in one line.
func (n *NoFigure) Error() string {
	const most = 8
	switch could := n.Could; {
	case n.Free:
		return "all units are free, so there is no price; there is " + strings.Join(could, "; ")
	case len(could) > most:
		return "several figures have that name: " + strings.Join(could[:most], "; ") + " and more; ask for one of them"
	case len(could) > 0:
		return "several figures have that name: " + strings.Join(could, "; ") + "; ask for one of them"
	case len(n.Near) > 0:
		return "no figure has that name; there is " + strings.Join(n.Near, "; ")
	}
	return "no figure has that name; explain without a figure lists what there is"
}

// all lists what can be asked for, in the order in which it was stated.
func (t *Explainer) all() []askable {
	if t.figures != nil {
		return t.figures
	}
	had := map[stated.Key]bool{}
	give := func(k stated.Key, r stated.Ref) {
		if w := t.Words(k); !had[k] && w.String() != "" {
			had[k] = true
			t.figures = append(t.figures, askable{k, r, w})
		}
	}
	t.b.Sums.Results(give)
	for _, shares := range t.b.Sums.Shared() {
		for i, r := range shares.Refs {
			give(stated.ShareKey(shares.Key, i), r)
		}
	}
	t.b.Sums.Figures(func(f *stated.Figure, r stated.Ref) { give(f.Key, r) })
	return t.figures
}

// callAll gathers all that figures can be called.
func (t *Explainer) callAll() {
	t.index = map[string][]int{}
	best := map[string]int{} // thing -> the figure that it stands for
	for i, a := range t.all() {
		if j, again := best[a.words.Thing]; !again || rank(a) < rank(t.figures[j]) {
			best[a.words.Thing] = i
		}
	}
	for i, a := range t.all() {
		for _, thing := range append(t.bare(a.key), a.words.Thing) {
			t.called(thing+" "+a.words.What, i)
			if best[a.words.Thing] == i && thing != "" {
				t.called(thing, i)
			}
		}
	}
	all := int(cost.AllCategories)
	for _, row := range []struct { // as the answer of an estimate calls them
		label, of string
		at        int
		what      string
	}{
		{RowCashUnit, cost.OfCategory, all, "cash per unit"}, {RowCash, cost.OfCategory, all, "cash"}, {RowOwn, cost.OfCategory, all, "own"}, {RowStock, cost.OfCategory, all, "stock"},
		{RowSurplus, cost.OfCategory, all, "surplus"}, {RowReclaim, cost.OfCategory, all, "reclaim"}, {RowPrice, cost.OfCharge, 0, "price"}, {RowWork, cost.OfTotal, 0, "work hours"}, {RowAsked, cost.OfTotal, 0, "asked"},
	} {
		key := stated.Key{Of: row.of, At: row.at, What: row.what}
		if i := slices.IndexFunc(t.all(), func(a askable) bool { return a.key == key }); i >= 0 {
			t.called(row.label, i)
		}
	}
}

// called lets a figure be found by a text.
func (t *Explainer) called(text string, i int) {
	if f := asked(text); !slices.Contains(t.index[f], i) {
		t.index[f] = append(t.index[f], i)
	}
}

// asked is a text without what does not tell figures apart: case, gaps, colons, commas.
func asked(text string) string {
	text = strings.NewReplacer(":", " ", ",", " ").Replace(strings.ToLower(text))
	return strings.Join(strings.Fields(text), " ")
}

// rank is lowest for the figure of a thing that a name alone stands for.
func rank(a askable) int {
	if a.words.What == "" { // is called as the thing is
		return -1
	}
	order := []string{"total", "consumed per unit", "consumed", "cash", "price"}
	if a.key.Of == cost.OfPayer {
		order = []string{"cash"}
	}
	if i := slices.Index(order, a.key.What); i >= 0 {
		return i
	}
	return len(order)
}

// bare are the names of a thing as lists and price sheets have them.
func (t *Explainer) bare(k stated.Key) []string {
	switch k.Of {
	case cost.OfSetting, cost.OfRate:
		return []string{k.What}
	case cost.OfOrder, cost.OfSupplier:
		return []string{t.e.Terms.Suppliers[k.At].Name}
	case cost.OfBoard, cost.OfCount:
		return []string{t.e.Boards[k.At].Name}
	case cost.OfPart:
		names := []string{t.e.Parts[k.At].Key}
		for _, entry := range t.e.Parts[k.At].Entries {
			names = append(names, cmp.Or(t.e.Entries[entry].Line.Spelled, names[0]))
		}
		return names
	case cost.OfLine:
		if strings.HasPrefix(k.What, "over ") {
			return nil // is a share of something
		}
		return lineNames(&t.e.Entries[k.At])
	case cost.OfFee:
		return []string{t.b.Fees[k.At].What}
	case cost.OfWork:
		return []string{t.b.Work[k.At].Operation}
	case cost.OfPayer:
		payer, c := cost.PayerOf(k.At)
		if c == cost.AllCategories {
			return []string{t.b.Payers[payer].Name}
		}
		return []string{t.b.Payers[payer].Name + ", " + c.String()}
	case cost.OfProduct:
		if strings.HasPrefix(k.What, "over ") {
			return nil
		}
		return []string{t.e.Products[k.At].Name}
	case cost.OfPrinter:
		name, _, _ := cutLast(k.What, ": ")
		return []string{name}
	}
	return nil
}

// lineNames are the designators of a line, also with the board that it sits on; of a
// printed line its part.
func lineNames(e *cost.Entry) []string {
	var out []string
	if e.Line.Kind == bom.KindPrinted {
		out = append(out, e.Line.Part)
	}
	for _, d := range e.Line.Designators {
		out = append(out, d)
		if e.Path != "" {
			out = append(out, d+" on "+e.Path)
		}
	}
	return out
}

// Find finds the figure that somebody asks for; the error is a [NoFigure].
func (t *Explainer) Find(text string) (stated.Ref, error) {
	if t.index == nil {
		t.callAll()
	}
	found := t.index[asked(text)]
	if len(found) == 0 && t.b.Till.Paying == 0 && slices.Contains([]string{RowPrice, sellingPrice}, asked(text)) {
		return 0, t.noPrice()
	}
	if len(found) == 0 {
		found = t.containing(text)
	}
	switch {
	case len(found) == 1:
		return t.figures[found[0]].ref, nil
	case len(found) == 0:
		return 0, &NoFigure{Near: t.near(text)}
	}
	return 0, &NoFigure{Could: bom.Each(found, func(i *int) string { return t.figures[*i].words.String() })}
}

// noPrice names what is asked for units that are all free.
func (t *Explainer) noPrice() *NoFigure {
	n := &NoFigure{Free: true}
	for _, a := range t.all() {
		if a.key.Of == cost.OfTotal && a.key.What == "asked of free" || a.key.Of == cost.OfQuote && a.key.What == "in all" {
			n.Could = append(n.Could, a.words.String())
		}
	}
	return n
}

// containing are the figures whose names hold all words of a text; of the batch itself,
// where some of those do.
func (t *Explainer) containing(text string) []int {
	words := strings.Fields(asked(text))
	var all, batch []int
	for i, a := range t.all() {
		name := strings.Fields(asked(a.words.String()))
		if slices.ContainsFunc(words, func(w string) bool { return !slices.Contains(name, w) }) {
			continue
		}
		if all = append(all, i); a.words.Thing == "" {
			batch = append(batch, i)
		}
	}
	if len(words) == 0 || batch == nil {
		return all
	}
	return batch
}

// near are the names most like a text.
func (t *Explainer) near(text string) []string {
	const most = 3
	var known, out []string
	had := map[string]bool{"": true}
	for _, a := range t.all() {
		for _, name := range append(t.bare(a.key), a.words.Thing, a.words.What, a.words.String()) {
			if !had[name] {
				had[name] = true
				known = append(known, name)
			}
		}
	}
	for len(out) < most {
		name, ok := bom.Nearest(text, known)
		if !ok {
			break
		}
		out = append(out, name)
		known = slices.DeleteFunc(known, func(k string) bool { return k == name })
	}
	return out
}

// Tell tells how a figure comes about, so many levels deep; 0: down to all figures
// that it rests on.
func (t *Explainer) Tell(r stated.Ref, depth int) stated.Told {
	return t.b.Sums.Explain(r, stated.Telling{Words: t.Words, Depth: depth})
}

// Results calls give with all results that have words, in the order in which they were
// stated.
func (t *Explainer) Results(give func(words stated.Words, r stated.Ref)) {
	t.b.Sums.Results(func(k stated.Key, r stated.Ref) {
		if w := t.Words(k); w.String() != "" {
			give(w, r)
		}
	})
}

// directTerms are written out of a sum in one step.
const directTerms = 40

// HowOf tells how a result is worked out in one step, of a long sum the first terms, and
// where the figures among what it names were read.
func (t *Explainer) HowOf(r stated.Ref) (how string, from []string) {
	s := t.b.Sums
	how, of := s.HowOf(r, stated.Telling{Words: t.Words, Terms: directTerms})
	for _, x := range of {
		if f := s.FigureOf(x); f != nil && f.Place.Row > 0 {
			from = append(from, readFrom(f))
		}
	}
	return how, from
}

// Asking is what can be asked for of things of one kind.
type Asking struct {
	Kind   string
	Things []string
	What   []string // of each
}

// askedOf are the kinds of things that can be asked for.
var askedOf = []struct {
	kind string
	of   []string
}{
	{"products", []string{cost.OfProduct}}, {"categories", []string{cost.OfCategory}}, {"payers", []string{cost.OfPayer}},
	{"orders", []string{cost.OfOrder}}, {"boards", []string{cost.OfBoard}},
	{"parts", []string{cost.OfPart}}, {"purchases", []string{cost.OfBuy}}, {"lines", []string{cost.OfLine}},
	{"printing", []string{cost.OfPlate}},
	{"hand work", []string{cost.OfWork}}, {"fees", []string{cost.OfFee}}, {"parcels", []string{cost.OfParcel}},
	{"prices", []string{cost.OfCharge, cost.OfQuote}},
	{"assembly", []string{cost.OfAssembly}}, {"assembly quotes", []string{cost.OfTier}},
	{"printers", []string{cost.OfPrinter}}, {"settings", []string{cost.OfSetting}}, {"rates", []string{cost.OfRate}},
}

// Asking lists what can be asked for.
func (t *Explainer) Asking() []Asking {
	out := []Asking{{Kind: "the batch"}}
	for _, first := range []bool{true, false} {
		for _, f := range t.all() {
			if f.words.Thing == "" && (f.key.What == "consumed per unit") == first {
				out[0].Things = append(out[0].Things, f.words.What)
			}
		}
	}
	for _, k := range askedOf {
		a := Asking{Kind: k.kind}
		had := map[string]bool{"": true}
		add := func(list *[]string, s string) {
			if !had[s] {
				had[s] = true
				*list = append(*list, s)
			}
		}
		for _, f := range t.all() {
			_, category := cost.PayerOf(f.key.At)
			if !slices.Contains(k.of, f.key.Of) || f.words.Thing == "" || f.key.Of == cost.OfPayer && category != cost.AllCategories {
				continue // a payer can be asked for with a category as well
			}
			thing := f.words.Thing
			if bare := t.bare(f.key); len(bare) > 0 && f.key.Of != cost.OfLine {
				thing = bare[0]
			}
			what, _, _ := strings.Cut(f.words.What, " by ")
			add(&a.Things, thing)
			add(&a.What, what)
		}
		if len(a.Things) > 0 {
			out = append(out, a)
		}
	}
	return out
}

// ReadFrom tells where a figure was read, or by what rule it was counted or decided.
func ReadFrom(t *stated.Told) string {
	if t.Unknown {
		return "no price"
	}
	return cmp.Or(readFrom(t.Figure), t.Why, "counted")
}

// readFrom tells where a figure was read; nothing where it stands nowhere.
func readFrom(f *stated.Figure) string {
	at := place(f.Place).Shown(AsText)
	switch {
	case f.Place.Row > 0 && !f.AsOf.IsZero():
		return at + ", as of " + ShownDate(f.AsOf)
	case f.Place.Row > 0:
		return at
	case f.Place.File != "":
		return "not in " + at + ": default"
	}
	return ""
}

// ExplainSchema names the shape of what [WriteExplainedJSON] writes.
const ExplainSchema = "tenoff-explain-1"

// Explained is what is told of one batch.
type Explained struct {
	Batch  *cost.Batch
	Figure stated.Told
}

// WriteExplainedJSON writes what is told of some batches for programs.
func WriteExplainedJSON(w io.Writer, e *cost.Estimate, told []Explained) error {
	return writeJSON(w, object{{"schema", ExplainSchema}, {"currency", e.Currency.Code}, {"level", jsonLevel(e.Level)},
		{"batches", bom.Each(told, func(t *Explained) object {
			return append(jsonID(t.Batch.Size, t.Batch.ID()), field{"figure", jsonFigure(&t.Figure)})
		})}})
}

// jsonFigure is a figure or a result with what it comes from. Above: its of stands where
// the same key is told first. A value that nobody knows is "?".
func jsonFigure(t *stated.Told) object {
	at, asOf := "", ""
	if f := t.Figure; f != nil {
		at, asOf = ReadFrom(t), f.AsOf.String()
		if f.Place.Row > 0 {
			at = place(f.Place).Shown(AsText)
		}
	}
	return object{
		{"key", object{{"of", t.Key.Of}, {"at", t.Key.At}, {"what", t.Key.What}}}, {"name", t.Name},
		{"value", ToldValue(t)}, {"unit", ifGiven(t.Unit)},
		{"how", ifGiven(t.How)}, {"place", ifGiven(at)}, {"as_of", ifGiven(asOf)}, {"above", ifGiven(t.Above)},
		{"of", ifGiven(bom.Each(t.Of, jsonFigure))},
	}
}

// toldDecimals are shown of what is not rounded.
const toldDecimals = 6

// ToldValue is a value as it is told: with the decimals that it is rounded to, else
// with those that count.
func ToldValue(t *stated.Told) string {
	switch {
	case t.Unknown:
		return unknownMark
	case t.Figure != nil && t.Figure.Blank:
		return "blank"
	case t.Figure != nil && t.Figure.Place.Row > 0:
		return t.Value.String()
	case t.Digits == stated.Loose:
		return t.Value.Round(toldDecimals).String()
	case t.Digits > 4:
		return t.Value.String()
	}
	return t.Value.StringFixed(t.Digits)
}

// UnitOfOne is the unit that stands behind a figure: of 1 not "pieces" but "piece".
func UnitOfOne(figure, unit string) string {
	if figure == "1" && slices.Contains([]string{inPieces, inLeads, "rings", "units"}, unit) {
		return strings.TrimSuffix(unit, "s")
	}
	return unit
}
