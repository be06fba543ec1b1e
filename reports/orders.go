package reports

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"tenoff/cost"
)

// orderListColumns are the columns of an order list. Nothing in them depends on
// the run, so that a list is told by its heading row.
var orderListColumns = []Column{
	{Key: "code", Heading: "Order code"},
	{Key: "quantity", Heading: "Order units", Format: AsCount},
	{Key: "part", Heading: "Our part number"},
	{Key: "total", Heading: "Line total", Format: AsQuantity},
	{Key: "currency", Heading: "Currency"},
}

// OrderLists gives one list for each supplier and batch, ready to order from:
// parts, boards, spools and assembly. The line totals of a list add up to the
// goods of its order.
func OrderLists(e *cost.Estimate) []Table {
	var lists []Table
	taken := map[string]bool{}
	for i := range e.Batches {
		b := &e.Batches[i]
		for _, o := range b.Orders {
			t := Table{Name: plainName(o.Supplier), Columns: orderListColumns}
			if len(e.Batches) > 1 {
				t.Name += fmt.Sprintf("-%d", b.Size)
			}
			for name, n := t.Name, 2; taken[t.Name]; n++ {
				t.Name = fmt.Sprintf("%s-%d", name, n)
			}
			taken[t.Name] = true
			t.orderLines(b, o.Supplier)
			lists = append(lists, t)
		}
	}
	return lists
}

func (t *Table) orderLines(b *cost.Batch, supplier string) {
	for _, p := range b.Purchases {
		if p.Supplier == supplier && !p.Unpriced {
			t.add(Text(p.OrderCode), Count(int(p.Quantity)), Text(p.Part), Number(p.Goods).As(AsMoney(p.Currency)), Text(p.Currency.Code))
		}
	}
	for _, f := range b.Fees {
		if f.Payee == supplier && f.Category == cost.SMTAssembly {
			t.add(Nothing(), Count(1), Text(f.What), Number(f.Amount).As(AsMoney(f.Currency)), Text(f.Currency.Code))
		}
	}
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

// IsOrderList tells whether the bytes start with the heading row of an order
// list.
func IsOrderList(data []byte) bool {
	line, _, _ := bytes.Cut(data, []byte("\n"))
	record, err := csv.NewReader(bytes.NewReader(line)).Read()
	t := Table{Columns: orderListColumns}
	return err == nil && slices.Equal(record, t.headings())
}
