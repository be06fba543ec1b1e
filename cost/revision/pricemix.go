package revision

import (
	"cmp"
	"fmt"
	"reflect"
	"slices"
	"strings"

	"tenoff/bom"
)

// tabMixer lists the changes of one tab of the price sheet and fills it as far
// as they are applied.
type tabMixer interface {
	changes(before, after *bom.Prices) []change
	fill(out, before, after *bom.Prices, done map[any]bool)
}

// rowKey tells the rows under one name of one tab.
type rowKey struct{ tab, name string }

// mixedTab is a tab whose rows of one name change together: all offers of a
// part, all quotes of a board; whose they are tells several of them apart.
type mixedTab[T any] struct {
	tab   string
	rows  func(*bom.Prices) *[]T
	name  func(*T) string
	whose func(*T) string // nil: nobody's
}

func priceTabs() []tabMixer {
	return []tabMixer{
		settingsMixer{},
		mixedTab[bom.Rate]{bom.TabExchange, func(p *bom.Prices) *[]bom.Rate { return &p.Exchange }, func(r *bom.Rate) string { return r.Currency.Code }, nil},
		mixedTab[bom.Supplier]{bom.TabSuppliers, func(p *bom.Prices) *[]bom.Supplier { return &p.Suppliers }, func(r *bom.Supplier) string { return r.Name }, nil},
		mixedTab[bom.Offer]{bom.TabOffers, func(p *bom.Prices) *[]bom.Offer { return &p.Offers }, func(r *bom.Offer) string { return r.Part }, func(r *bom.Offer) string { return r.Supplier }},
		mixedTab[bom.Quote]{bom.TabBoards, func(p *bom.Prices) *[]bom.Quote { return &p.Quotes }, func(r *bom.Quote) string { return r.Board }, func(r *bom.Quote) string { return r.Fabricator }},
		mixedTab[bom.PanelRow]{bom.TabPanels, func(p *bom.Prices) *[]bom.PanelRow { return &p.Panels }, func(r *bom.PanelRow) string { return r.Panel }, nil},
		mixedTab[bom.Assembler]{bom.TabAssembly, func(p *bom.Prices) *[]bom.Assembler { return &p.Assemblers }, func(r *bom.Assembler) string { return r.Name }, nil},
		mixedTab[bom.AssemblyQuote]{bom.TabAssemblyQuotes, func(p *bom.Prices) *[]bom.AssemblyQuote { return &p.AssemblyQuotes }, func(r *bom.AssemblyQuote) string { return r.Assembler + ", " + r.Board }, nil},
		mixedTab[bom.Allowance]{bom.TabAttrition, func(p *bom.Prices) *[]bom.Allowance { return &p.Allowances }, func(r *bom.Allowance) string { return strings.TrimSpace(r.AppliesTo + " " + r.Package) }, nil},
		mixedTab[bom.Operation]{bom.TabHandWork, func(p *bom.Prices) *[]bom.Operation { return &p.HandWork }, func(r *bom.Operation) string { return r.Name }, nil},
		mixedTab[bom.Material]{bom.TabMaterials, func(p *bom.Prices) *[]bom.Material { return &p.Materials }, func(r *bom.Material) string { return r.Name }, nil},
		mixedTab[bom.Printer]{bom.TabPrinters, func(p *bom.Prices) *[]bom.Printer { return &p.Printers }, func(r *bom.Printer) string { return r.Name }, nil},
		mixedTab[bom.Recipe]{bom.TabRecipes, func(p *bom.Prices) *[]bom.Recipe { return &p.Recipes }, func(r *bom.Recipe) string { return r.Name }, nil},
		mixedTab[bom.PrintLog]{bom.TabPrintLog, func(p *bom.Prices) *[]bom.PrintLog { return &p.PrintLog }, func(r *bom.PrintLog) string { return strings.TrimSpace(r.Part + " " + r.File) }, nil},
		mixedTab[bom.Service]{bom.TabPostage, func(p *bom.Prices) *[]bom.Service { return &p.Postage }, func(r *bom.Service) string { return strings.TrimSpace(r.Name + " " + r.To) }, nil},
		mixedTab[bom.Recipient]{bom.TabRecipients, func(p *bom.Prices) *[]bom.Recipient { return &p.Recipients }, func(r *bom.Recipient) string { return r.Zone }, nil},
		mixedTab[bom.OnHand]{bom.TabOnHand, func(p *bom.Prices) *[]bom.OnHand { return &p.OnHand }, func(r *bom.OnHand) string { return r.Part }, nil},
		mixedTab[bom.Substitute]{bom.TabSubstitutes, func(p *bom.Prices) *[]bom.Substitute { return &p.Substitutes }, func(r *bom.Substitute) string { return r.Part }, nil},
		mixedTab[bom.OneOff]{bom.TabOneOff, func(p *bom.Prices) *[]bom.OneOff { return &p.OneOffs }, func(r *bom.OneOff) string { return r.What }, nil},
		mixedTab[bom.Share]{bom.TabWhoPays, func(p *bom.Prices) *[]bom.Share { return &p.WhoPays }, func(r *bom.Share) string { return r.AppliesTo }, nil},
	}
}

// group gathers the rows of each name, and the names in their order.
func (t mixedTab[T]) group(p *bom.Prices) (names []string, rows map[string][]T) {
	rows = map[string][]T{}
	all := *t.rows(p)
	for i := range all {
		name := bom.Fold(t.name(&all[i]))
		if rows[name] == nil {
			names = append(names, name)
		}
		rows[name] = append(rows[name], all[i])
	}
	return names, rows
}

// sameRows tells whether no cost can tell two groups apart.
func sameRows[T any](a, b []T) bool {
	return slices.EqualFunc(a, b, func(x, y T) bool { return inText(reflect.ValueOf(x)) == inText(reflect.ValueOf(y)) })
}

func (t mixedTab[T]) changes(before, after *bom.Prices) []change {
	var out []change
	oldNames, was := t.group(before)
	newNames, is := t.group(after)
	add := func(kind ChangeKind, name string, shown *T, from, to string) {
		out = append(out, change{LineChange{kind, t.tab + ": " + t.name(shown), from, to}, rowKey{t.tab, name}})
	}
	for _, name := range newNames {
		a, b := was[name], is[name]
		switch {
		case a == nil:
			add(PriceAdded, name, &b[0], "", rowsInText(b))
		case !sameRows(a, b):
			from, to := t.rowsDiffering(a, b)
			add(PriceChanged, name, &b[0], from, to)
		}
	}
	for _, name := range oldNames {
		if is[name] == nil {
			a := was[name]
			add(PriceRemoved, name, &a[0], rowsInText(a), "")
		}
	}
	return out
}

func rowsInText[T any](rows []T) string {
	if len(rows) == 1 {
		return "1 row"
	}
	return fmt.Sprintf("%d rows", len(rows))
}

// rowsDiffering names what differs: fields where the rows pair up, else how
// many there are.
func (t mixedTab[T]) rowsDiffering(a, b []T) (from, to string) {
	if len(a) != len(b) {
		return rowsInText(a), rowsInText(b)
	}
	var was, is []string
	for i := range a {
		f, g := differing(fieldsOf(reflect.ValueOf(a[i])), fieldsOf(reflect.ValueOf(b[i])))
		if f == "" && g == "" {
			continue
		}
		if len(a) > 1 && t.whose != nil {
			f, g = strings.TrimSpace(t.whose(&a[i])+" "+f), strings.TrimSpace(t.whose(&b[i])+" "+g)
		}
		was, is = append(was, f), append(is, g)
	}
	return strings.Join(was, "; "), strings.Join(is, "; ")
}

// fill puts the rows of each name where the new sheet has them, old or new;
// those that only the old sheet has come last.
func (t mixedTab[T]) fill(out, before, after *bom.Prices, done map[any]bool) {
	oldNames, was := t.group(before)
	_, is := t.group(after)
	var rows []T
	met := map[string]bool{}
	for _, row := range *t.rows(after) {
		name := bom.Fold(t.name(&row))
		a, b := was[name], is[name]
		switch {
		case done[rowKey{t.tab, name}], sameRows(a, b):
			rows = append(rows, row)
		case !met[name]:
			rows = append(rows, a...)
		}
		met[name] = true
	}
	for _, name := range oldNames {
		if is[name] == nil && !done[rowKey{t.tab, name}] {
			rows = append(rows, was[name]...)
		}
	}
	*t.rows(out) = rows
}

// settingsMixer takes each setting as a change of its own.
type settingsMixer struct{}

func (settingsMixer) changes(before, after *bom.Prices) []change {
	var out []change
	a, b := fieldsOf(reflect.ValueOf(before.Settings)), fieldsOf(reflect.ValueOf(after.Settings))
	for i := range a {
		if a[i].text != b[i].text {
			out = append(out, change{
				LineChange{PriceChanged, bom.TabSettings + ": " + a[i].name, cmp.Or(a[i].text, "none"), cmp.Or(b[i].text, "none")},
				rowKey{bom.TabSettings, a[i].name},
			})
		}
	}
	return out
}

func (settingsMixer) fill(out, before, after *bom.Prices, done map[any]bool) {
	out.Settings = after.Settings
	from, to := reflect.ValueOf(before.Settings), reflect.ValueOf(&out.Settings).Elem()
	for i, f := range fieldsOf(from) {
		if field := to.FieldByName(settingNames[i]); inText(field) != f.text && !done[rowKey{bom.TabSettings, f.name}] {
			field.Set(from.FieldByName(settingNames[i]))
		}
	}
}

// settingNames are the names of the fields of the settings that costs rest on,
// in the order of fieldsOf.
var settingNames = func() []string {
	var out []string
	t := reflect.TypeFor[bom.Settings]()
	for i := range t.NumField() {
		if name := t.Field(i).Name; !slices.Contains(notCosts, name) {
			out = append(out, name)
		}
	}
	return out
}()

// The kinds of change, in the order in which they are applied.
const (
	PriceAdded   ChangeKind = iota // rows of the price sheet under a name that is new
	LineRemoved                    // lines of the bill of materials
	LineAdded                      // lines
	LineChanged                    // quantity, value or anything else of a line
	PriceChanged                   // settings and rows of the price sheet
	PriceRemoved                   // rows under a name that is gone
	RowOrder                       // what the order of lines and rows makes, where it makes anything
)

var changeNames = [...]string{"price added", "line removed", "line added", "line changed", "price changed", "price removed", "order of rows"}

// String gives the kind's name.
func (k ChangeKind) String() string { return changeNames[k] }

// LineChange names one change.
type LineChange struct {
	Kind ChangeKind
	What string // where it is and what it is
	From string // empty where there was nothing
	To   string
}

// ChangeKind is what became of a line or of a row of the price sheet.
type ChangeKind int

// change is one that can be applied.
type change struct {
	LineChange
	key any
}
