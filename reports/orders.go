package reports

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
)

// orderListColumns are the columns of an order list. Nothing in them depends on
// the run, so that a list is told by its heading row.
var orderListColumns = slices.Concat(
	plain("code: Order code"),
	columns(Column{Format: AsCount}, "quantity: Order quantity"),
	plain("part: Part number", "description"),
	columns(Column{Format: AsQuantity}, "pack: Pack size", "contents: In all"),
	plain("unit"),
	columns(Column{Format: asTyped}, "price: Unit price"),
	columns(Column{Format: AsQuantity}, "total: Line total"),
	plain("currency"),
)

// sendListColumns are those of the list of what goes to the assembler.
var sendListColumns = slices.Concat(
	plain("part: Part number", "description", "package", "place"),
	columns(Column{Format: AsCount}, "fitted", "quantity: To send"),
	plain("from"),
)

// OrderLists gives one list for each supplier and batch, ready to order from: parts,
// boards, spools and assembly, then what the supplier charges besides, and the total, in
// the supplier's own money; duty and tax are not theirs. Where others place parts there is
// a list of what is to be sent there.
func OrderLists(e *cost.Estimate) []Table {
	var lists []Table
	taken := map[string]bool{}
	add := func(t Table, name string, b *cost.Batch) {
		t.Name = name
		if len(e.Batches) > 1 {
			t.Name += "-" + plainName(string(b.ID()))
		}
		for name, n := t.Name, 2; taken[t.Name]; n++ {
			t.Name = fmt.Sprintf("%s-%d", name, n)
		}
		taken[t.Name] = true
		lists = append(lists, t)
	}
	for _, b := range bom.Refs(e.Batches) {
		for _, o := range b.Orders {
			add(orderList(e, b, o), plainName(o.Supplier), b)
		}
		if t := toSend(e, b); len(t.Rows) > 0 {
			add(t, plainName(b.Assembler+" to send"), b)
		}
	}
	return lists
}

// totals add up money by currency, in the order in which currencies come.
type totals struct {
	currencies []bom.Currency
	money      []decimal.Decimal
}

func (t *totals) add(d decimal.Decimal, c bom.Currency) {
	i := slices.Index(t.currencies, c)
	if i < 0 {
		i = len(t.currencies)
		t.currencies, t.money = append(t.currencies, c), append(t.money, decimal.Zero)
	}
	t.money[i] = t.money[i].Add(d)
}

// orderList is what is ordered from one supplier.
func orderList(e *cost.Estimate, b *cost.Batch, o cost.Order) Table {
	t := Table{Columns: orderListColumns}
	all := &totals{}
	charge := func(what string, d decimal.Decimal, c bom.Currency) {
		if d = d.Round(c.Digits); d.IsPositive() {
			t.orderCharge(what, d, c)
			all.add(d, c)
		}
	}
	var besides []func()
	for _, p := range bom.Refs(b.Purchases) {
		if p.Supplier != o.Supplier || p.Unpriced {
			continue
		}
		goods := p.Goods.Sub(p.SetUp.Round(p.Currency.Digits))
		t.add(Text(p.OrderCode), Count(int(p.Quantity)), Text(p.Part), Text(orderedName(e, b, p)), Quantity(p.Pieces),
			Number(decimal.NewFromInt(p.Quantity).Mul(p.Pieces.Decimal())), Text(orderedUnit(e, p)), Number(p.UnitPrice).As(AsPrice(p.Currency)),
			Number(goods).As(AsMoney(p.Currency)), Text(p.Currency.Code))
		all.add(goods, p.Currency)
		besides = append(besides, func() {
			charge("set-up of "+p.Part, p.SetUp, p.Currency)
			charge("line fee for "+p.Part, p.LineFee, p.Currency)
		})
	}
	for _, f := range b.Fees {
		if f.Payee == o.Supplier && f.Category == cost.SMTAssembly {
			t.add(Nothing(), Count(1), Nothing(), Text(f.What), Nothing(), Nothing(), Nothing(), Nothing(), Number(f.Amount).As(AsMoney(f.Currency)), Text(f.Currency.Code))
			all.add(f.Amount, f.Currency)
		}
	}
	for _, add := range besides {
		add()
	}
	charge("delivery", o.Asked.Delivery, o.Currency)
	charge("minimum-order surcharge", o.Asked.TopUp, o.Currency)
	charge("consignment fee", o.Asked.Consign, o.Currency)
	for i, c := range all.currencies {
		t.orderCharge("total", all.money[i], c)
	}
	return t
}

func (t *Table) orderCharge(what string, d decimal.Decimal, c bom.Currency) {
	values := blanks(len(t.Columns))
	values[3], values[8], values[9] = Text(what), Number(d).As(AsMoney(c)), Text(c.Code)
	t.addRow(Row{Role: Figure, Values: values})
}

// orderedName is what an order line is for, in words.
func orderedName(e *cost.Estimate, b *cost.Batch, p *cost.Purchase) string {
	if p.Kind == cost.Lots {
		return orderedBoard(e, p)
	}
	var rings []string // that leads are cut from: the pack size counts leads
	for _, c := range b.Cuts {
		if ring := c.RingMM.Decimal().Shift(-3).String() + " m"; p.Kind == cost.Goods && c.Part == p.Index && !slices.Contains(rings, ring) {
			rings = append(rings, ring)
		}
	}
	name := stockName(e, *p)
	if len(rings) > 0 {
		name = strings.TrimPrefix(name+", ring of "+strings.Join(rings, " or "), ", ")
	}
	return name
}

// orderedBoard names bare boards, or panels with what they hold and their size.
func orderedBoard(e *cost.Estimate, p *cost.Purchase) string {
	name := boardWord(e, p.Index)
	if p.SizeMM != "" {
		name += ", " + p.SizeMM
	}
	if p.Pieces != bom.One {
		name += ", lot of " + p.Pieces.String()
	}
	return name
}

// boardWord is what a bare board or a panel is.
func boardWord(e *cost.Estimate, board int) string {
	if shape := e.Shape(board); shape != "" {
		return "panel of " + shape
	}
	return "bare board"
}

// orderedUnit is what the pack size counts.
func orderedUnit(e *cost.Estimate, p *cost.Purchase) string {
	switch {
	case p.Kind == cost.Lots && e.Shape(p.Index) != "":
		return "panels"
	case p.Kind == cost.Lots:
		return "boards"
	case p.Kind == cost.Filament:
		return inGrams
	case p.Index >= 0 && p.Index < len(e.Parts):
		return e.Parts[p.Index].Unit
	}
	return inPieces
}

// toSend is what goes to the assembler from elsewhere: boards that are started there, and
// each part that is placed, with its allowance.
func toSend(e *cost.Estimate, b *cost.Batch) Table {
	t := Table{Columns: sendListColumns}
	if b.Assembler == "" {
		return t
	}
	for i, r := range b.Boards {
		board := &e.Boards[i]
		if from := sentFrom(b, cost.Lots, i, r.OnHand > 0); len(AssemblyFees(b, i)) > 0 && from != "" {
			t.add(Text(board.Name), Text(boardWord(e, i)), Nothing(), Nothing(), Count(r.Starts), Count(r.Starts), Text(from))
		}
	}
	for i := range b.Parts {
		p, r := &e.Parts[i], &b.Parts[i]
		from := sentFrom(b, cost.Goods, i, r.OnHand > 0)
		if from == "" {
			continue
		}
		fitted, places, pack := bom.Quantity(0), []string(nil), ""
		for _, at := range p.Entries {
			if entry := e.Entries[at]; b.Places(&entry) && !b.Provides(&entry) && b.Uses(&entry, at) {
				fitted += b.Needs[at]
				places = append(places, strings.TrimSpace(entry.Path+" "+Designators(entry.Line.Designators)))
				pack = bom.ShortPackage(entry.Line.Package)
			}
		}
		if places == nil {
			continue
		}
		t.add(Text(p.Key), Text(partName(e, *p)), Text(pack), Text(strings.Join(places, "; ")), Count(int(fitted.Ceil())),
			Count(int((fitted + r.Allowance).Ceil())), Text(from))
	}
	return t
}

// sentFrom names who what goes to the assembler comes from; nothing where the assembler
// sells all of it.
func sentFrom(b *cost.Batch, kind string, index int, stock bool) string {
	var from []string
	for i := range b.Purchases {
		if p := &b.Purchases[i]; p.Kind == kind && p.Index == index && !p.Unpriced && bom.Fold(p.Supplier) != bom.Fold(b.Assembler) && !slices.Contains(from, p.Supplier) {
			from = append(from, p.Supplier)
		}
	}
	if stock {
		from = append(from, "stock")
	}
	return strings.Join(from, ", ")
}

// plainName makes a file name that every system takes of a supplier's name:
// letters and digits, and hyphens for everything else, 60 characters of it at
// most (a name may have 255 bytes with its ending). A name that Windows keeps for
// a device, whatever its ending (Win32, "Naming Files, Paths, and Namespaces"),
// gets a word in front.
func plainName(s string) string {
	words := strings.FieldsFunc(strings.ToLower(s), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	name := strings.Join(words, "-")
	if r := []rune(name); len(r) > 60 {
		name = strings.TrimRight(string(r[:60]), "-")
	}
	device := strings.TrimRight(name, "0123456789")
	switch {
	case name == "":
		return "supplier"
	case slices.Contains([]string{"con", "prn", "aux", "nul"}, name),
		(device == "com" || device == "lpt") && len(name) == len(device)+1:
		return "supplier-" + name
	}
	return name
}

// IsOrderList tells whether the bytes start with the heading row of one of the lists of
// OrderLists.
func IsOrderList(data []byte) bool {
	record, err := firstRecord(data)
	orders, sends := Table{Columns: orderListColumns}, Table{Columns: sendListColumns}
	return err == nil && (slices.Equal(record, orders.headings()) || slices.Equal(record, sends.headings()))
}
