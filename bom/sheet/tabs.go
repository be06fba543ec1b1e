package sheet

import (
	"tenoff/bom"
)

// tabs are those of a workbook, or of a folder with a file for each.
type tabs struct {
	problems bom.Problems
	regions  map[string]*region // tab -> where it stands
	lost     map[string]bool    // tabs whose headings were not found
	markings map[string]marking // file -> how its figures are read
}

// locate finds the tabs among the tables.
func (s *tabs) locate(tables []bom.Table, find func(name string) (*bom.Tab, bool), unknown func(at bom.Place, name string), opt Options) {
	s.regions, s.lost = map[string]*region{}, map[string]bool{}
	var all []*region
	first := map[string]bom.Place{}
	for i := range tables {
		t := &tables[i]
		at, name := t.At(0, 0), tableName(*t)
		tab, ok := find(name)
		if !ok {
			unknown(at, name)
			continue
		}
		if had, doubled := first[tab.Name]; doubled {
			s.problems.Errorf(at, "", "keep one table for it", "the tab %s stands twice, here and in %s", tab.Name, had)
			continue
		}
		first[tab.Name] = at
		if reg := locate(t, tab, opt.Headings, &s.problems); reg != nil {
			s.regions[tab.Name] = reg
			all = append(all, reg)
		} else {
			s.lost[tab.Name] = true
		}
	}
	s.markings = markings(all, opt.Mark)
}

// tableName is the sheet's name, or the file's without its ending.
func tableName(t bom.Table) string {
	if t.Sheet != "" {
		return t.Sheet
	}
	return bom.Stem(t.File)
}

// reader gives the decoder of a tab; ok is false where there is no such tab.
func (s *tabs) reader(tab string) (d *decoder, ok bool) {
	reg := s.regions[tab]
	if reg == nil {
		return nil, false
	}
	d = newDecoder(reg, s.markings[reg.table.File], &s.problems)
	for _, c := range reg.tab.Columns {
		if c.Required && !(tab == bom.TabOffers && c.Heading == "Price" && len(reg.steps) > 0) {
			d.must = append(d.must, c.Heading)
		}
	}
	d.needColumns(d.must...)
	return d, true
}

// each reads the rows of a tab one by one, those that name what they are about.
func (s *tabs) each(tab string, read func(*decoder)) {
	if d, ok := s.reader(tab); ok {
		d.eachRow(func() {
			if d.named() {
				read(d)
			}
		})
	}
}
