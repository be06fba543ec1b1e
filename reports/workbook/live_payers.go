package workbook

import (
	"fmt"
	"strconv"

	"tenoff/cost"
	"tenoff/reports"
)

// cells are those that an amount is the sum of: cash, used, drawer, as in
// shareCols.
type cells [3][]string

func (c *cells) add(of [3]portion) {
	for k, p := range of {
		if p.ref != "" {
			c[k] = append(c[k], p.ref)
		}
	}
}

// bearer is a payer in one category.
type bearer struct {
	payer    string
	category cost.Category
}

// payers shares what each category costs out among those who pay for it, and
// adds it up by payer.
func (l *live) payers(b *cost.Batch) {
	borne := map[bearer]*cells{}
	for _, pot := range b.Pots {
		if pot.Unpriced {
			continue
		}
		for i, share := range l.potShares(b, pot) {
			k := bearer{pot.Payers[i], pot.Category}
			if borne[k] == nil {
				borne[k] = &cells{}
			}
			borne[k].add(share)
		}
	}
	var all []string // keys of the rows of the payers' totals
	for _, p := range b.Payers {
		var rows []string
		for _, c := range cost.Categories {
			row := p.Name + " " + c.String()
			if !l.has(onPays, row, columnKey("cash", b.Size)) {
				continue
			}
			rows = append(rows, row)
			of := borne[bearer{p.Name, c}]
			if of == nil {
				of = &cells{}
			}
			for k, col := range shareCols {
				l.setIn(onPays, row, col, b.Size, l.clean(sumOf(of[k])))
			}
		}
		total := "total " + p.Name
		l.sumRows(b, total, rows)
		if l.has(onPays, total, columnKey("cash", b.Size)) {
			all = append(all, total)
		}
	}
	l.sumRows(b, "total", all)
	l.sumRows(b, reports.RowSponsored, reports.SponsorTotals(l.e))
	l.paysPerUnit(b)
}

// sumRows makes a row of Who pays the sum of others.
func (l *live) sumRows(b *cost.Batch, row string, of []string) {
	for _, col := range shareCols {
		var refs []string
		for _, r := range of {
			refs = append(refs, l.refIn(onPays, r, col, b.Size))
		}
		l.setIn(onPays, row, col, b.Size, l.clean(sumOf(refs)))
	}
}

// paysPerUnit divides the rows of Who pays by the units, and works out what each
// recipient is asked for.
func (l *live) paysPerUnit(b *cost.Batch) {
	for key := range l.sheets[onPays].rows {
		for _, col := range shareCols {
			if l.has(onPays, reports.UnitOf(key), columnKey(col, b.Size)) {
				l.setIn(onPays, reports.UnitOf(key), col, b.Size, perUnit(l.refIn(onPays, key, col, b.Size), b.Size))
			}
		}
	}
	if b.Ask.Payer != "" {
		l.asked(b)
	}
}

// asked is what each recipient is asked for, and each in a zone.
func (l *live) asked(b *cost.Batch) {
	cash := l.refIn(onPays, "total "+b.Ask.Payer, "cash", b.Size)
	price := func(amount string) string {
		return "IF(" + cash + ">0," + l.priceFor(amount, b.Size, l.setting("Payment fee %")) + ",0)"
	}
	l.setIn(onPays, reports.RowAsked, "cash", b.Size, price(cash))
	postage := "0"
	if row := b.Ask.Payer + " " + cost.Postage.String(); l.has(onPays, row, columnKey("cash", b.Size)) {
		postage = l.refIn(onPays, row, "cash", b.Size)
	}
	for i, p := range b.Posts {
		row := reports.RowKey(reports.KeyParcel, b.Size, i)
		if !l.has(onParcel, row, "asked") || p.Unpriced {
			continue
		}
		all := l.refIn(onBatch, cost.Postage.String(), "cash", b.Size)
		zone := fmt.Sprintf("%s*%s*%d/%s/%s", postage, l.ref(onParcel, row, "cash"), b.Size, all, l.ref(onParcel, row, "parcels"))
		l.set(onParcel, row, "asked", price(fmt.Sprintf("(%s-%s+IF(%s>0,%s,0))", cash, postage, all, zone)))
	}
}

// potShares are the cells of what each payer of a pot bears of it.
func (l *live) potShares(b *cost.Batch, pot cost.Pot) [][3]portion {
	figures := [3]portion{{figure: pot.Cash}, {figure: pot.Used}, {figure: pot.Drawer}}
	for k, refs := range l.potCells(b, pot) {
		if len(refs) > 0 {
			figures[k].ref = l.clean(sumOf(refs))
		}
	}
	if len(pot.Payers) == 1 {
		return [][3]portion{figures}
	}
	d := division{size: b.Size, of: pot.Category.String() + ", who pays", to: pot.Payers, totals: figures}
	for i, percent := range pot.Percents {
		d.weights = append(d.weights, portion{percent, l.price("who pays", func(s *cost.Source) bool {
			return s.Place == pot.Places[i] && s.Amount.Decimal.Equal(percent)
		})})
	}
	return l.divide(d)
}

// potCells are the cells that a pot is the sum of.
func (l *live) potCells(b *cost.Batch, pot cost.Pot) cells {
	var out cells
	spent := func(refs ...string) {
		for _, ref := range refs {
			out.add([3]portion{{ref: ref}, {ref: ref}})
		}
	}
	for _, p := range pot.Of {
		switch p.Of {
		case cost.OfPurchase:
			out.add(l.purchaseIn(b, p.Index, pot.Category))
		case cost.OfFee:
			spent(l.ref(onFees, reports.RowKey(reports.KeyFee, b.Size, p.Index), "cash"))
		case cost.OfOrder:
			spent(l.charges(reports.RowKey(reports.KeyOrder, b.Size, p.Index), pot.Category)...)
		case cost.OfWork:
			if len(b.Work) > 0 {
				spent(l.ref(onWork, "total "+strconv.Itoa(b.Size), "cash"))
			}
		case cost.OfBoardDrawer:
			drawer := l.ref(onParts, reports.RowKey(reports.KeyBoard, b.Size, p.Index), "drawer")
			out.add([3]portion{1: {ref: drawer}, 2: {ref: drawer}})
		case cost.OfPartDrawer:
			drawer := l.drawerIn(b, p.Index, pot.Category)
			out.add([3]portion{1: drawer, 2: drawer})
		}
	}
	return out
}

// splitKey names what is shared out over categories in a batch: a purchase, or
// what comes of a part from the drawer.
type splitKey struct {
	size, index int
	drawer      bool
}

// inCategory is the share of a part's amounts that falls in a category.
func (l *live) inCategory(b *cost.Batch, key splitKey, part int, of string, totals [3]portion, c cost.Category) [3]portion {
	categories, _ := l.byCategory(part)
	if len(categories) == 1 {
		return totals
	}
	if _, done := l.split[key]; !done {
		l.split[key] = l.overCategories(b, part, of, totals)
	}
	for j, in := range categories {
		if in == c {
			return l.split[key][j]
		}
	}
	l.gap = true
	return [3]portion{}
}

// purchaseIn is cash and used of a purchase as far as they fall in a category.
func (l *live) purchaseIn(b *cost.Batch, i int, c cost.Category) [3]portion {
	p, row := b.Purchases[i], reports.RowKey(reports.KeyBuy, b.Size, i)
	totals := [3]portion{{p.Cash, l.ref(onBuy, row, "cash")}, {p.Used, l.ref(onBuy, row, "used")}}
	if p.Kind == cost.Lots {
		return totals
	}
	return l.inCategory(b, splitKey{b.Size, i, false}, p.Index, p.Part+" from "+p.Supplier, totals, c)
}

// drawerIn is what comes of a part from the drawer as far as it falls in a
// category.
func (l *live) drawerIn(b *cost.Batch, part int, c cost.Category) portion {
	drawer := portion{b.Parts[part].Drawer, l.ref(onParts, reports.RowKey(reports.KeyPart, b.Size, part), "drawer")}
	return l.inCategory(b, splitKey{b.Size, part, true}, part, l.e.Parts[part].Key+" from the drawer", [3]portion{2: drawer}, c)[2]
}
