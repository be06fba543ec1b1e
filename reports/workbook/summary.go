package workbook

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sum"
	"tenoff/reports"
)

// summary is the answer on one page: a sentence for each batch, the batch table with its
// check, what each payer must find, what needs attention, a chart, and what a unit costs by
// category.
type summary struct {
	*page
	sentence, state, sizes, unit, day, check, attention, chart int // rows
}

func (b *book) summary() *page {
	p := b.newPage(sheetSummary, "")
	p.onePage, p.left = len(b.e.Batches) <= onePortrait, 2
	p.landscape, p.fitWide = !p.onePage, len(b.e.Batches) > fullSize
	s := b.live.tables[onUnit].show()
	b.first = &summary{page: p}
	at := b.first
	p.widths = []float64{26, 15}
	for range b.e.Batches {
		p.widths = append(p.widths, max(12, min(18, 58/float64(len(b.e.Batches)))))
	}
	at.sentence = firstRow
	at.state = at.sentence + len(b.e.Batches)
	at.sizes = at.state + 2
	at.unit = at.sizes + 1
	p.next = at.unit + 1
	if t := b.table(onEach); t != nil {
		p.next = at.unit
		p.place(&block{laid: t.show(), rows: t.all(), bare: true, marked: func(i int) bool { return strings.HasSuffix(t.table.Rows[i].Key, eachOf[0].col) }})
		p.next--
	}
	var figures, costs []int
	for i, r := range s.table.Rows {
		switch {
		case r.Role == reports.Figure && r.Key != reports.RowCashUnit:
			figures = append(figures, i)
		default:
			costs = append(costs, i)
		}
	}
	p.place(&block{laid: s, rows: figures, bare: true, hideZero: true})
	at.day = p.next - 1
	at.check = at.day + 1
	p.next = at.check + 2
	if t := b.table(onFind); t != nil {
		p.place(&block{laid: t.show(), rows: t.all(), bare: true, title: t.table.Title})
	}
	at.attention = p.next
	p.next += attentionAtMost + 2
	if !p.onePage {
		p.breaks = append(p.breaks, p.next)
	}
	if t := b.table(onSides); t != nil {
		p.place(&block{laid: t.show(), rows: t.all(), bare: true, title: t.table.Title})
	}
	at.chart = p.next
	p.next += tall(chartHeight)
	if len(b.e.Products) > 1 {
		p.place(&block{laid: s, rows: costs, bare: true, hideZero: true, title: "cost of all products by category; of each: the sheet " + sheetProducts})
		at.unit = s.rowAt[s.rows[reports.RowConsumed]]
	} else {
		p.place(&block{laid: s, rows: costs, bare: true, hideZero: true, title: "cost of one unit by category; figures may not sum because of rounding"})
	}
	p.draw, p.furnish = func(*page) { at.fill() }, func(*page) {
		at.drawChart(at.chart)
		at.redUnlessOK()
	}
	return p
}

// onePortrait is how many batches a page takes upright.
const onePortrait = 5

// fullSize is how many batches a page takes across; more are printed smaller.
const fullSize = 9

// of is the cell of a batch in a row of the summary.
func (s *summary) of(row, batch int) sum.Cell {
	return sum.Cell{Sheet: sheetSummary, Col: s.first() + batch, Row: row}
}

func (s *summary) first() int { return s.live.tables[onUnit].table.Lead + 1 }

func (s *summary) fill() {
	p, last := s.page, len(s.widths)
	p.text(1, 1, bom.Printable(p.e.Name), look{size: 18, bold: true, colour: inputDark})
	p.height(1, 27)
	p.text(1, 2, reports.Head(p.e), look{colour: inputGrey})
	for i := range p.e.Batches {
		row := s.sentence + i
		p.says(sum.Cell{Col: 1, Row: row}, look{size: 11, wrap: true, middle: true})
		p.merge(row, last)
		p.height(row, 17*float64(linesIn(sentence(p.e, &p.e.Batches[i])+"   ", p.width()/boldWider)))
	}
	s.tellState()
	s.fillSizes()
	s.large()
	s.fillDays()
	s.fillCheck()
	p.text(1, s.attention, "needs attention", look{size: 11, bold: true, colour: inputDark})
	for i, line := range attention(p.e) {
		p.text(1, s.attention+1+i, clip(line, p.width()), look{})
		p.merge(s.attention+1+i, last)
	}
}

// tellState tells in one merged cell whether something is missing.
func (s *summary) tellState() {
	p, text := s.page, reports.State(s.e)
	if p.e.Complete {
		p.height(s.state, 5)
		return
	}
	const mostLines = 4
	limit := int(p.width()) * (mostLines - 1)
	if r := []rune(text); len(r) > limit {
		text = string(r[:limit]) + "… more on the sheet " + sheetNotes
	}
	p.text(1, s.state, text, look{bold: true, wrap: true})
	p.merge(s.state, len(p.widths))
	p.height(s.state, float64(linesIn(text, p.width()-widthMargin))*rowHeight)
}

// textOf is a text as it stands in a formula.
func textOf(s string) string { return `"` + strings.ReplaceAll(s, `"`, `""`) + `"` }

// fillSizes writes the batch sizes as numbers, so that the chart can name them, or the names
// of plans.
func (s *summary) fillSizes() {
	l := look{bold: true, fill: inputPale, below: 2, size: 12, middle: true}
	s.text(1, s.sizes, reports.BatchHead(s.e), l)
	s.text(2, s.sizes, "units", l)
	l.right, l.format = true, "#,##0"
	for i, b := range bom.Refs(s.e.Batches) {
		if _, sized := b.ID().Size(); !sized {
			s.text(s.first()+i, s.sizes, string(b.ID()), l)
			continue
		}
		s.number(s.first()+i, s.sizes, strconv.Itoa(b.Size), l)
	}
	s.height(s.sizes, 20)
}

// large repeats the unit cost in large figures.
func (s *summary) large() {
	if len(s.e.Products) > 1 {
		return
	}
	t := s.live.tables[onUnit].table
	r, l := t.Find(reports.RowUnit), look{size: 12, bold: true, middle: true, rule: true}
	for j, v := range r.Values {
		l.size, l.right = 12, j >= t.Lead
		if j >= t.Lead {
			l.size = 16
		}
		s.value(j+1, s.unit, v, v.FormatIn(t.Columns[j]), l)
	}
	s.height(s.unit, 26)
}

// fillDays tells on which day each batch is ready, where the day of the run is known.
func (s *summary) fillDays() {
	l := look{bold: true, rule: true}
	s.text(1, s.day, "ready on", l)
	s.text(2, s.day, "date", l)
	for i := range s.e.Batches {
		l.right = true
		s.value(s.first()+i, s.day, readyDate(s.e, &s.e.Batches[i]), reports.AsDate, l)
	}
}

func readyDate(e *cost.Estimate, b *cost.Batch) reports.Value {
	switch {
	case e.Today.IsZero() || !b.Plan.Made():
		return reports.Nothing()
	case !b.Plan.Known:
		return reports.Unknown()
	}
	return reports.Date(e.Today.Plus(b.Plan.Day()))
}

// fillCheck shows whether the figures of the sheets still agree after a change.
func (s *summary) fillCheck() {
	l := look{middle: true, below: 1}
	s.text(1, s.check, "check", l)
	s.text(2, s.check, "", l)
	l.right, l.wrap = true, true
	for i := range s.e.Batches {
		c := s.of(s.check, i)
		if s.grid.formulas.at(spot{c.Row, c.Col}).text == "" {
			s.text(c.Col, c.Row, uncheckable, l)
		} else {
			s.says(c, l)
		}
	}
}

// redUnlessOK has what the check finds stand out.
func (s *summary) redUnlessOK() {
	red, err := s.f.NewConditionalStyle(&excelize.Style{Font: &excelize.Font{Color: "B00020", Bold: true}})
	s.keep(err)
	from, to := s.of(s.check, 0), s.of(s.check, len(s.e.Batches)-1)
	s.keep(s.f.SetConditionalFormat(sheetSummary, at(from.Col, from.Row)+":"+at(to.Col, to.Row), []excelize.ConditionalFormatOptions{
		{Type: "cell", Criteria: "!=", Value: `"` + checked + `"`, Format: &red}}))
}

// attentionAtMost is how many lines of what needs attention the summary has.
const attentionAtMost = 5

// attention lists what somebody should know before ordering, the worst first.
func attention(e *cost.Estimate) []string {
	var lines []string
	if missing := reports.Missing(e); len(missing) > 0 {
		lines = append(lines, "no price: "+strings.Join(missing, "; "))
	}
	for _, w := range e.Warnings {
		lines = append(lines, inFile(w))
	}
	var counts []string
	for _, c := range []struct {
		n    int
		what string
	}{{len(e.Warnings), "warning"}, {len(e.Assumptions), "assumption"}, {len(e.Cautions), "caution"}} {
		if c.n > 0 {
			counts = append(counts, reports.Counted(c.n, c.what))
		}
	}
	if len(counts) == 0 {
		return append(lines, "nothing")
	}
	if len(lines) >= attentionAtMost {
		lines = lines[:attentionAtMost-1]
	}
	return append(lines, strings.Join(counts, ", ")+": see the sheet "+sheetNotes)
}

// inFile leaves out the folders of the file that a warning begins with.
func inFile(warning string) string {
	file, _, _ := strings.Cut(warning, ":")
	return warning[strings.LastIndexByte(file, '/')+1:]
}

// clip keeps a line within a width.
func clip(s string, width float64) string {
	if len(s) < int(width) && inkWidth(s) <= width {
		return s
	}
	for i := range s {
		if inkWidth(s[:i]+"…") > width {
			_, last := utf8.DecodeLastRuneInString(s[:i])
			return s[:i-last] + "…"
		}
	}
	return s
}

// sentence is the answer for one batch: "40 units: 29.08 EUR each, 1,228.76 EUR cash out,
// ready 1 Jan 2027".
func sentence(e *cost.Estimate, b *cost.Batch) string {
	if b.Total.Unpriced {
		return planned(b) + ": not known, as something has no price"
	}
	text := batchName(b) + ": " + each(e, b) +
		e.Currency.Shown(b.Total.Cash) + " " + e.Currency.Code + " cash out"
	if day, ok := readyDate(e, b).Day(); ok {
		text += ", ready " + reports.ShownDate(day)
	}
	return text + earliest(e, b)
}

// batchName is what a sentence about a batch begins with.
func batchName(b *cost.Batch) string {
	if len(b.Products) > 1 {
		return strings.TrimPrefix(b.Name+", ", ", ") + reports.Counted(b.Size, "unit") + " of " + reports.Counted(len(b.Products), "product")
	}
	return planned(b)
}

// planned is a batch in words: its units, after the name of its plan where the units do not
// tell it from others.
func planned(b *cost.Batch) string {
	if _, sized := b.ID().Size(); sized {
		return reports.Counted(b.Size, "unit")
	}
	return b.ID().Shown() + ", " + reports.Counted(b.Size, "unit")
}

// each is the unit cost in a sentence; of several products the sheet of that name tells it.
func each(e *cost.Estimate, b *cost.Batch) string {
	if len(b.Products) > 1 {
		return ""
	}
	return e.Currency.Shown(b.PerUnit(b.Total.Consumed)) + " " + e.Currency.Code + " each, "
}

// earliest tells the day before which a batch is not ready, where no more is known.
func earliest(e *cost.Estimate, b *cost.Batch) string {
	if b.Plan.Known || !b.Plan.Made() {
		return ""
	}
	return ", " + reports.ReadyWords(e, b) + reckonedOnce
}

// writeSummary has the sentences, large figures and dates follow what they tell.
func writeSummary(l *live, s *summary) {
	for i, b := range bom.Refs(l.e.Batches) {
		col := columnKey("value", b.ID())
		if b.Total.Unpriced {
			l.say(sum.Cell{Sheet: sheetSummary, Col: 1, Row: s.sentence + i}, `"`+sentence(l.e, b)+`"`, sentence(l.e, b))
			continue
		}
		unit, cash := "", l.ref(onUnit, reports.RowCash, col)
		if len(b.Products) < 2 {
			unit = l.ref(onUnit, reports.RowUnit, col)
			l.put(s.of(s.unit, i), formula{text: unit})
		}
		money := func(ref string) string { return fmt.Sprintf("FIXED(ROUND(ROUND(%s,9),%d),%d)", ref, l.home, l.home) }
		text := fmt.Sprintf(`%s&": "&%s&" %s each, "&%s&" %s cash out"`, textOf(planned(b)), money(unit), l.e.Currency.Code, money(cash), l.e.Currency.Code)
		if len(b.Products) > 1 {
			text = fmt.Sprintf(`%s&": "&%s&" %s cash out"`, textOf(batchName(b)), money(cash), l.e.Currency.Code)
		}
		if _, dated := readyDate(l.e, b).Day(); dated {
			day := l.ref(onPlan, reports.TotalKey(b.ID()), "by")
			l.put(s.of(s.day, i), formula{text: day})
			text += `&", ready "&` + dateWords(address(s.of(s.day, i)))
		}
		if late := earliest(l.e, b); late != "" {
			text += `&"` + late + `"`
		}
		l.say(sum.Cell{Sheet: sheetSummary, Col: 1, Row: s.sentence + i}, text, sentence(l.e, b))
	}
}

// dateWords spells the date in a cell, in the same words whatever the spreadsheet's
// language is.
func dateWords(ref string) string {
	months := make([]string, 12)
	for i := range months {
		months[i] = time.Month(i + 1).String()[:3]
	}
	return "DAY(" + ref + `)&" "&CHOOSE(MONTH(` + ref + `),"` + strings.Join(months, `","`) + `")&" "&YEAR(` + ref + ")"
}

// findTable is the cash that each payer must find; it has no rows where one payer finds all.
func findTable(e *cost.Estimate) reports.Table {
	t := reports.WhoPays(e).Only("payer", "unit", "cash")
	t.Name, t.Title, t.Notes = onFind, "cash that each payer must find", nil
	t.Rows = slices.DeleteFunc(t.Rows, func(r reports.Row) bool { return r.Role != reports.Total || !strings.HasPrefix(r.Key, "total ") })
	for i := range t.Rows {
		t.Rows[i].Role = reports.Body
	}
	if len(t.Rows) < 2 {
		t.Rows = nil
	}
	return t
}

// eachOf are the columns of Products that the summary repeats for each product.
var eachOf = []struct{ col, label string }{{"consumed per unit", "  unit cost"}, {"price", "  price"}, {"asked", "  charge per recipient"}}

func eachKey(product int, col string) string { return reports.ProductColumn(product) + " " + col }

// eachTable is what one unit of each of several products costs and what is asked for it.
func eachTable(e *cost.Estimate) reports.Table {
	t := reports.Table{Name: onEach, Lead: 2, Columns: []reports.Column{{Key: "product", Heading: "Product"}, {Key: "unit", Heading: "In"}}}
	t.PerBatch(e, reports.Column{Key: "value", Format: reports.AsMoney(e.Currency)})
	products := reports.Products(e)
	for j, p := range e.Products {
		if len(e.Products) < 2 {
			break
		}
		units := []reports.Value{reports.Text(p.Name), reports.Text("units")}
		for i := range e.Batches {
			units = append(units, reports.Count(e.Batches[i].Products[j].Size).As(reports.AsCount))
		}
		t.Rows = append(t.Rows, reports.Row{Role: reports.Figure, Values: units})
		for _, of := range eachOf {
			at := slices.IndexFunc(products.Columns, func(c reports.Column) bool { return c.Key == of.col })
			if at < 0 {
				continue
			}
			row := reports.Row{Key: eachKey(j, of.col), Role: reports.Figure, Values: []reports.Value{reports.Text(of.label), reports.Text(e.Currency.Code)}}
			some := false
			for i := range e.Batches {
				v := products.Find(reports.RowKey(reports.KeyProduct, e.Batches[i].ID(), j)).Values[at]
				some = some || !v.IsNothing()
				row.Values = append(row.Values, v.As(products.Columns[at].Format))
			}
			if some {
				t.Rows = append(t.Rows, row)
			}
		}
	}
	return t
}

// sidesTable is what one unit costs at each level, where those are asked for.
func sidesTable(r *reports.Report) reports.Table {
	e := r.Estimate
	t := reports.Table{Name: onSides, Title: "unit cost by level, " + asOfRun, Lead: 2,
		Columns: []reports.Column{{Key: "level", Heading: "Level"}, {Key: "unit", Heading: "In"}}}
	t.PerBatch(e, reports.Column{Key: "value", Format: reports.AsUnitMoney(e.Currency)})
	for _, l := range r.Levels {
		values := []reports.Value{reports.Text(l.Level.String()), reports.Text(e.Currency.Code + " per unit")}
		for i := range e.Batches {
			v := reports.Unknown()
			if p := &l.Points[i]; !p.Total.Unpriced {
				v = reports.Number(p.PerUnit(p.Total.Consumed))
			}
			values = append(values, v)
		}
		t.Rows = append(t.Rows, reports.Row{Values: values})
	}
	return t
}
