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
func (reg *region) joinDesignators(rows []bom.Row, problems *bom.Problems) []bom.Row {
	col, last := reg.head.Col["Designator"], 0
	for c := range reg.known {
		last = max(last, c)
	}
	for c := range reg.extra {
		last = max(last, c)
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
