package workbook

import (
	"strconv"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/reports"
)

// drawerCol is the working column of Lines that holds what each line takes from
// the drawer in one batch.
func drawerCol(size int) string { return "Batch " + strconv.Itoa(size) + " drawer" }

// lineParts are the cells that a line's money is the sum of.
type lineParts [3][]string // cash, used, drawer

// spread gives the money of parts, boards and printing to the lines.
func (l *live) spread(b *cost.Batch) {
	lines := make([]lineParts, len(l.e.Entries))
	for i := range l.e.Parts {
		if !b.Parts[i].Unpriced {
			l.spreadPart(b, i, lines)
		}
	}
	for i, r := range b.Boards {
		if r.Unpriced {
			continue
		}
		row := reports.RowKey(reports.KeyBoard, b.Size, i)
		lines[l.e.Boards[i].Entry].add(l.amounts(row, r.Amounts))
	}
	for i, f := range b.Fees {
		if f.Line() >= 0 {
			cash := l.ref(onFees, reports.RowKey(reports.KeyFee, b.Size, i), "cash")
			lines[f.Line()].add([3]portion{{ref: cash}, {ref: cash}})
		}
	}
	for i, parts := range lines {
		row := reports.RowKey(reports.KeyLine, 0, i)
		l.setIn(onLines, row, "cash", b.Size, l.clean(sumOf(parts[0])))
		l.setIn(onLines, row, "used", b.Size, l.clean(sumOf(parts[1])))
		l.work(onLines, row, drawerCol(b.Size), l.clean(sumOf(parts[2])), b.Lines[i].Drawer)
	}
	l.setIn(onLines, "total", "cash", b.Size, l.clean("SUM("+l.column(onLines, columnKey("cash", b.Size))+")"))
	l.setIn(onLines, "total", "used", b.Size, l.clean("SUM("+l.column(onLines, columnKey("used", b.Size))+")"))
}

func (p *lineParts) add(amounts [3]portion) {
	for k, a := range amounts {
		if a.ref != "" {
			p[k] = append(p[k], a.ref)
		}
	}
}

// amounts are the cells of a row of Parts.
func (l *live) amounts(row string, a cost.Amounts) [3]portion {
	out := [3]portion{{a.Cash, l.ref(onParts, row, "cash")}, {a.Used, l.ref(onParts, row, "used")}}
	if !a.Drawer.IsZero() {
		out[2] = portion{a.Drawer, l.ref(onParts, row, "drawer")}
	}
	return out
}

// need is the weight of a line: pieces, or the grams that its plates take.
func (l *live) need(b *cost.Batch, entry int) portion {
	for i, p := range b.Plates {
		if p.Entry == entry {
			row := reports.RowKey(reports.KeyPlate, b.Size, i)
			grams := decimal.NewFromFloat(p.FilamentG).Round(6)
			return portion{grams, "ROUND(" + l.ref(onPrint, row, "filament") + ",6)"}
		}
	}
	return portion{figure: b.Needs[entry].Decimal()}
}

// byCategory are the lines of a part under the categories that they fall in.
func (l *live) byCategory(part int) (categories []cost.Category, lines [][]int) {
	for _, c := range cost.Categories {
		var in []int
		for _, e := range l.e.Parts[part].Entries {
			if l.e.Entries[e].Category == c {
				in = append(in, e)
			}
		}
		if in != nil {
			categories, lines = append(categories, c), append(lines, in)
		}
	}
	return categories, lines
}

// spreadPart shares a part's money out over the categories it falls in, then
// over its lines in each, by need.
func (l *live) spreadPart(b *cost.Batch, part int, lines []lineParts) {
	row := reports.RowKey(reports.KeyPart, b.Size, part)
	categories, in := l.byCategory(part)
	shares := [][3]portion{l.amounts(row, b.Parts[part].Amounts)}
	if len(categories) > 1 {
		shares = l.overCategories(b, part, l.e.Parts[part].Key, shares[0])
	}
	for i, entries := range in {
		if len(entries) == 1 {
			lines[entries[0]].add(shares[i])
			continue
		}
		d := division{size: b.Size, of: l.e.Parts[part].Key, totals: shares[i]}
		for _, e := range entries {
			d.to = append(d.to, lineName(&l.e.Entries[e]))
			d.weights = append(d.weights, l.need(b, e))
		}
		for j, share := range l.divide(d) {
			lines[entries[j]].add(share)
		}
	}
}

// lineName tells lines of the same part apart.
func lineName(e *cost.Entry) string {
	name := e.Path
	if name == "" {
		name = "unit"
	}
	if d := reports.Designators(e.Line.Designators); d != "" {
		return name + ": " + d
	}
	if e.Line.Kind == bom.KindPrinted {
		return name + ": " + e.Line.Part
	}
	return name
}

// overCategories shares amounts out over the categories that a part falls in.
func (l *live) overCategories(b *cost.Batch, part int, of string, totals [3]portion) [][3]portion {
	categories, in := l.byCategory(part)
	d := division{size: b.Size, of: of, totals: totals}
	for i, c := range categories {
		sum := decimal.Zero
		var refs []string
		for _, e := range in[i] {
			need := l.need(b, e)
			sum = sum.Add(need.figure)
			if need.ref != "" {
				refs = append(refs, need.ref)
			}
		}
		weight := portion{figure: sum}
		if len(refs) > 0 {
			weight.ref = sumOf(refs)
		}
		d.to, d.weights = append(d.to, c.String()), append(d.weights, weight)
	}
	return l.divide(d)
}

// perUnit divides by the batch size; only what is shown of it is rounded.
func perUnit(ref string, size int) string { return ref + "/" + strconv.Itoa(size) }

// charges are the cells of an order's charges that fall in a category.
func (l *live) charges(row string, c cost.Category) []string {
	var cols []string
	switch c {
	case cost.MachineAssembly:
		cols = []string{"consign"}
	case cost.Delivery:
		cols = []string{"delivery", "topup"}
	case cost.DutyAndTax:
		cols = []string{"duty", "tax", "handling"}
	}
	for i, col := range cols {
		cols[i] = l.ref(onOrders, row, col)
	}
	return cols
}
