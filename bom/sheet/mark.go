package sheet

import "tenoff/bom"

// marking is how figures that are typed as text are read in one file.
type marking struct {
	mark bom.DecimalMark
	// dotOnly is set for a comma-separated file that shows no decimal mark: a
	// lone comma cannot be its decimal mark without quotes, so 1.234 is read
	// with a decimal dot; 1,234 stays open.
	dotOnly bool
}

// evidence gathers what the figures of a region show about the decimal mark.
func (reg *region) evidence() (e bom.Evidence) {
	for _, row := range reg.rows {
		for _, c := range row.Cells {
			if c.Kind == bom.Text && reg.numeric(row, c.Col) {
				e.Add(c.Text)
			}
		}
	}
	return e
}

// numeric tells whether figures stand in a column. In the tab settings the row
// decides.
func (reg *region) numeric(row bom.Row, col int) bool {
	if reg.tab.Name == bom.TabSettings {
		if col != reg.head.Col["Value"] && col != reg.head.Col["Low"] && col != reg.head.Col["High"] {
			return false
		}
		def, ok := bom.FindSetting(find(row, reg.head.Col["Setting"]).Text)
		return ok && def.Form.Numeric()
	}
	return reg.figures[col]
}

// markings settles how each file is read: as the user says, as its own figures
// show, else as the other files of the price sheet agree.
func markings(regions []*region, chosen bom.DecimalMark) map[string]marking {
	own, all := map[string]*bom.Evidence{}, bom.Evidence{}
	separator := map[string]rune{}
	for _, reg := range regions {
		file := reg.table.File
		if own[file] == nil {
			own[file] = &bom.Evidence{}
		}
		e := reg.evidence()
		own[file].Join(e)
		all.Join(e)
		separator[file] = reg.table.Separator
	}
	out := map[string]marking{}
	for file, e := range own {
		out[file] = settle(*e, all, separator[file], chosen)
	}
	return out
}

// settle decides for one file. Where it shows no mark itself its neighbours
// decide, unless its separator is that of the other mark: commas go with a
// decimal dot, semicolons with a decimal comma.
func settle(own, all bom.Evidence, separator rune, chosen bom.DecimalMark) marking {
	none := bom.Evidence{}
	commas := separator == ','
	switch {
	case chosen != bom.MarkUnknown:
		return marking{mark: chosen}
	case own != none:
		return marking{mark: own.Mark()}
	case commas && all.Mark() == bom.MarkComma, separator == ';' && all.Mark() == bom.MarkDot:
		return marking{}
	case all != none:
		return marking{mark: all.Mark()}
	}
	return marking{dotOnly: commas}
}
