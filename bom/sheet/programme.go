package sheet

import (
	"cmp"
	"path"
	"strings"

	"tenoff/bom"
)

// ReadProgramme reads which products are made together, and how many of each in every plan.
// The path has forward slashes; "run.xlsx#Sheet" names a sheet, else the first one counts.
// BOM names a file relative to the one it stands in; what it holds is not read here.
func ReadProgramme(name string, open Opener, opt Options) (*bom.Programme, bom.Problems) {
	file, sheetName := bom.SplitSheet(path.Clean(bom.Slashed(name)))
	tables, problems := open(file)
	opt.checkHeadings(&problems)
	if problems.Failed() {
		return nil, problems
	}
	t := chooseProgramme(tables, file, sheetName, opt, &problems)
	if t == nil {
		return nil, problems
	}
	reg := locate(t, &bom.ProgrammeTab, opt.Headings, &problems)
	if reg == nil {
		return nil, problems
	}
	r := &programmeReader{decoder: newDecoder(reg, markings([]*region{reg}, opt.Mark)[t.File], &problems), opt: opt, out: &bom.Programme{File: file}}
	r.read()
	return r.out, problems
}

// chooseProgramme picks the sheet that is named, else the first that holds products, else the
// first; nil after a complaint.
func chooseProgramme(tables []bom.Table, file, sheetName string, opt Options, problems *bom.Problems) *bom.Table {
	at := bom.Place{File: file}
	switch {
	case sheetName != "":
		return sheetNamed(tables, sheetName, at, problems)
	case len(tables) == 0:
		problems.Errorf(at, "", "a table with the columns "+quoteList(bom.ProgrammeTab.Headings()), "the file holds no table")
		return nil
	}
	return cmp.Or(bom.First(tables, newFinder(&bom.ProgrammeTab, opt.Headings).isHeaded), &tables[0])
}

// isPlan tells whether a heading cell is that of a plan: Run, or Run and a name.
func (f finder) isPlan(c bom.Cell) bool {
	if f.tab.Name != bom.ProgrammeTab.Name || c.Kind != bom.Text || len(c.Text) > headingLength || f.dropped[bom.NormalHeading(c.Text)] {
		return false
	}
	words := strings.Fields(c.Text)
	return len(words) > 0 && bom.Fold(words[0]) == bom.Fold(bom.RunMark)
}

// addPlan takes a column of numbers in.
func addPlan(reg *region, c bom.Cell, problems *bom.Problems) {
	key := bom.Fold(strings.Join(strings.Fields(c.Text), " "))
	if reg.takes(c, key, problems) {
		reg.plans = append(reg.plans, c)
	}
}

// programmeReader reads the rows of a run file.
type programmeReader struct {
	*decoder
	opt Options
	out *bom.Programme
}

func (r *programmeReader) read() {
	r.needColumns("Product", "BOM")
	if len(r.reg.plans) == 0 {
		r.problems.Errorf(r.reg.table.At(r.reg.head.Row, 0), "", "a column headed "+bom.RunMark+", or one for each plan: Run small, Run large",
			"no column holds the numbers of a plan")
	}
	if r.problems.Failed() {
		return
	}
	for _, c := range r.reg.plans {
		name := strings.Join(strings.Fields(c.Text), " ")
		r.out.Plans = append(r.out.Plans, bom.Plan{Name: name, Place: r.reg.table.At(r.reg.head.Row, c.Col)})
		r.column[c.Col] = &bom.Column{Heading: name, Doc: "a whole number; 0 where the plan has none of the product"}
	}
	r.eachRow(r.product)
	if len(r.out.Products) == 0 && !r.problems.Failed() {
		r.problems.Errorf(r.reg.table.At(r.reg.head.Row, 0), "", "a row for each product", "the run holds no products")
	}
	if r.problems.Failed() {
		return
	}
	for i := range r.out.Plans {
		if p := &r.out.Plans[i]; p.All() == 0 {
			r.problems.Errorf(p.Place, p.Name, "a number over 0 for some product", "nothing is made: every number of the plan is 0")
		}
	}
}

// product reads one row.
func (r *programmeReader) product() {
	named, listed := r.need(r.cell("Product")), r.need(r.cell("BOM"))
	p := bom.Product{Origin: r.reg.origin(r.row), Name: r.key(r.cell("Product")), Level: bom.LevelBuilt}
	if level, given := bom.FindLevel(r.choice(r.cell("Level"))); given {
		p.Level = level
	}
	if listed {
		p.BOM = r.list(r.cell("BOM"))
	}
	for i, c := range r.reg.plans {
		cell := find(r.reg.rows[r.row], c.Col)
		r.need(cell)
		r.out.Plans[i].Units = append(r.out.Plans[i].Units, int(r.whole(cell, 0, 0)))
	}
	if named {
		r.once(r.cell("Product"), "the product", p.Name)
	}
	r.out.Products = append(r.out.Products, p)
}

// list gives the file that a cell names; nothing after a complaint.
func (r *programmeReader) list(c bom.Cell) string {
	name := bom.Slashed(r.key(c))
	file := r.reg.table.File
	if strings.HasPrefix(name, "#") {
		return file + name
	}
	if path.IsAbs(name) || len(name) > 1 && name[1] == ':' {
		name = path.Clean(name)
	} else {
		name = path.Join(path.Dir(file), name)
	}
	if !r.opt.AllowOutside && !within(path.Dir(file), name) {
		r.wrong(c, "a file in the folder of the run, or --allow-outside", "leads out of the folder of the run")
		return ""
	}
	return name
}
