package sheet

import (
	"slices"
	"strings"

	"tenoff/bom"
)

// axisWords are the words of headings of the position of a part on its board, in the
// lists by which machines place parts; common practice, no source.
var axisWords = map[byte][]string{
	'x': {"x", "posx", "xpos", "midx", "centerx", "centrex", "refx", "xmm", "posxmm", "midxmm", "centerxmm", "locationx", "xcoord", "coordx", "padx"},
	'y': {"y", "posy", "ypos", "midy", "centery", "centrey", "refy", "ymm", "posymm", "midymm", "centerymm", "locationy", "ycoord", "coordy", "pady"},
}

// notePlacement warns of a list by which a machine places parts: what is fitted by
// hand, and what is no part of the board, is seldom in it.
func (reg *region) notePlacement(head bom.Row, problems *bom.Problems) {
	if reg.head.Col["Designator"] == 0 || reg.head.Col["Quantity"] != 0 {
		return
	}
	var found []string
	for _, axis := range []byte("xy") {
		for _, c := range head.Cells {
			name, _, _ := strings.Cut(c.Text, "(")
			if slices.Contains(axisWords[axis], bom.NormalHeading(name)) {
				found = append(found, bom.Shown(c.Text))
				break
			}
		}
	}
	if len(found) == 2 {
		problems.Warnf(reg.table.At(reg.head.Row, 0), "", "the bill of materials of the board, where there is one",
			"this is a placement list (%s and %s): parts that no machine places may be missing", found[0], found[1])
	}
}

// joinDesignators puts designators together that bare commas have parted, as where a
// program writes R1,R2 without quotes: a row has as many cells too many as the
// designators that stand in a row from their column on.
func joinDesignators(reg *region, f finder, head bom.Row, rows []bom.Row, problems *bom.Problems) []bom.Row {
	col, last := 0, head.Cells[len(head.Cells)-1].Col
	for _, c := range f.claims(head) {
		if c.column.Heading == "Designator" && col == 0 {
			col = c.col
		}
	}
	if sep := reg.table.Separator; col == 0 || sep != ',' && sep != ';' {
		return rows
	}
	rows = slices.Clone(rows)
	for i, row := range rows {
		over := row.Cells[len(row.Cells)-1].Col - last
		if over < 1 || !parted(row, col, over) {
			continue
		}
		joined := bom.Row{Number: row.Number}
		for _, c := range row.Cells {
			switch {
			case c.Col == col:
				joined.Cells = append(joined.Cells, c)
			case c.Col > col && c.Col <= col+over:
				joined.Cells[len(joined.Cells)-1].Text += "," + c.Text
			default:
				if c.Col > col {
					c.Col -= over
				}
				joined.Cells = append(joined.Cells, c)
			}
		}
		rows[i] = joined
		problems.Add(leftOut(reg.table.At(row.Number, col), "designators with bare separators between them are put together", find(joined, col).Text))
	}
	return rows
}

// noteLongRows warns of rows that go on behind the last heading, where most do not: a
// separator inside a text has parted it.
func (reg *region) noteLongRows(head bom.Row, rows []bom.Row, problems *bom.Problems) {
	if reg.table.Separator == 0 || len(head.Cells) == 0 {
		return
	}
	last := head.Cells[len(head.Cells)-1].Col
	var long []bom.Row
	for _, row := range rows {
		if row.Cells[len(row.Cells)-1].Col > last {
			long = append(long, row)
		}
	}
	if 2*len(long) > len(rows) {
		return // a column without a heading
	}
	for _, row := range long {
		problems.Add(bom.Problem{Place: reg.table.At(row.Number, last+1), Severity: bom.Warning, What: "a row has more cells than there are headings",
			Want: "put quotes around a text that holds the separator; harmless if the last cell is a remark", Each: bom.Shown(rowText(row))})
	}
}

// parted tells whether one designator stands in each of the cells from a column on,
// all of the same letters.
func parted(row bom.Row, col, over int) bool {
	class := bom.ClassOf(find(row, col).Text)
	for c := col; c <= col+over; c++ {
		text := find(row, c).Text
		if !bom.IsDesignator(text) || bom.ClassOf(text) != class {
			return false
		}
	}
	return find(row, col+over+1).Text == "" || !bom.IsDesignator(find(row, col+over+1).Text) || bom.ClassOf(find(row, col+over+1).Text) != class
}

// sameBeside is the column from which on all headings of a list stand once more; 0: none.
func sameBeside(head bom.Row) int {
	same := func(a, b bom.Cell) bool { return bom.NormalHeading(a.Text) == bom.NormalHeading(b.Text) }
	for n := fewColumns; 2*n <= len(head.Cells); n++ {
		if slices.EqualFunc(head.Cells[:n], head.Cells[n:2*n], same) {
			return head.Cells[n].Col
		}
	}
	return 0
}

// cutBeside leaves out a second table that stands to the right of the first, behind
// an empty column, under headings that the first has too. One under all of them is as much
// of a list as the first.
func cutBeside(reg *region, f finder, head bom.Row, rows []bom.Row, problems *bom.Problems) (bom.Row, []bom.Row) {
	if col := sameBeside(head); col != 0 {
		problems.Errorf(reg.table.At(head.Number, col), find(head, col).Text, "a sheet or a file of its own for each", "another list, with the same headings, stands beside the first")
		return reg.cutFrom(col, head, rows)
	}
	filled := map[int]int{}
	for _, row := range rows {
		for _, c := range row.Cells {
			filled[c.Col]++
		}
	}
	for _, c := range head.Cells {
		if filled[c.Col]++; len(f.meanings(c)) > 0 {
			filled[c.Col]++ // a column of the list with nothing in it
		}
	}
	left := map[*bom.Column]bool{}
	gap, again, last := 0, 0, head.Cells[0].Col
	for _, c := range head.Cells {
		for ; gap == 0 && last < c.Col; last++ {
			if filled[last] < 2 { // nothing, or a remark
				gap = last + 1
			}
		}
		m := f.meanings(c)
		known := len(m) > 0 && m[0].rank < loosely
		switch {
		case gap == 0 && known:
			left[m[0].column] = true
		case gap > 0 && known && left[m[0].column]:
			again++
		}
	}
	if again == 0 || len(left) < 2 {
		return head, rows
	}
	problems.Warnf(reg.table.At(head.Number, gap), "", "if it is part of the list, put it in a file or a sheet of its own",
		"a second table stands beside the list, from this column on, and is left out")
	return reg.cutFrom(gap, head, rows)
}

// cutFrom leaves out what stands in a column and those to its right.
func (reg *region) cutFrom(col int, head bom.Row, rows []bom.Row) (bom.Row, []bom.Row) {
	cut := func(row bom.Row) bom.Row {
		row.Cells = slices.DeleteFunc(slices.Clone(row.Cells), func(c bom.Cell) bool { return c.Col >= col })
		return row
	}
	var kept []bom.Row
	for _, row := range rows {
		if row = cut(row); len(row.Cells) > 0 {
			kept = append(kept, row)
		}
	}
	return cut(head), kept
}
