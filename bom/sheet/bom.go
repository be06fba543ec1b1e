package sheet

import (
	"cmp"
	"path"
	"slices"
	"strings"

	"tenoff/bom"
)

// Opener gives the tables of a file. The path has forward slashes. It is
// called once for each file.
type Opener func(path string) ([]bom.Table, bom.Problems)

// The limits that keep a few small files from standing for an endless unit.
const (
	MaxDepth = 32      // boards and assemblies within each other
	MaxLines = 100_000 // of a unit, those of its boards and assemblies as often as they are named
)

// ReadBOM reads a bill of materials and, through the column File, those of its
// boards and sub-assemblies. The path has forward slashes; "unit.xlsx#Sheet"
// names a sheet, else the first one with the headings of a bill of materials is
// taken. A File cell names a file relative to the one it stands in, "#Sheet"
// another sheet of the same workbook. Line.File holds the resolved path. Lines
// that name the same file share one Sub.
//
// What the lists leave open is settled by the tab parts of the price sheet, package
// names, descriptions and designators, and how is told. The list of a board makes a
// unit with one of that board.
//
// The assembly is nil where not even its headings could be read.
func ReadBOM(name string, open Opener, opt Options) (*bom.Assembly, bom.Problems) {
	return ReadLists([]string{name}, open, opt)
}

// ReadLists reads the lists of a unit that has no list of its own as ReadBOM reads one: the
// unit holds one of each.
func ReadLists(names []string, open Opener, opt Options) (*bom.Assembly, bom.Problems) {
	lists, problems := readLists(names, open, opt)
	if slices.Contains(lists, nil) {
		return nil, problems
	}
	unit, more := settled(lists, opt)
	problems = append(problems, more...)
	if opt.Strict {
		problems = problems.Strict()
	}
	return unit, problems
}

// readLists reads all lists as they stand there, and those that they name; nil is one
// whose headings could not be read.
func readLists(names []string, open Opener, opt Options) (lists []*bom.Assembly, problems bom.Problems) {
	r := &bomReader{open: open, opt: opt, files: map[string][]bom.Table{}, done: map[string]*result{}}
	opt.checkHeadings(&r.problems)
	for _, name := range names {
		name = path.Clean(bom.Slashed(name))
		r.root = path.Dir(name)
		lists = append(lists, r.read(name, bom.Place{}).assembly)
	}
	if len(lists) > 1 && !slices.Contains(lists, nil) {
		r.countedTwice(lists)
	}
	return lists, r.problems
}

// countedTwice complains of lists that are named and held by another, or named again.
func (r *bomReader) countedTwice(lists []*bom.Assembly) {
	held := map[*bom.Assembly]bool{}
	for _, list := range lists {
		for line := range list.AllLines() {
			held[line.Sub] = true
		}
	}
	for i, list := range lists {
		if held[list] || slices.Contains(lists[:i], list) {
			r.problems.Errorf(bom.Place{File: list.File, Sheet: list.Sheet}, "", "each list once; one that another holds is counted with it",
				"the list is named again, and would count twice")
		}
	}
}

type bomReader struct {
	open     Opener
	opt      Options
	root     string // folder of the list that was named last
	files    map[string][]bom.Table
	done     map[string]*result
	stack    []string // bills of materials that are being read, outermost first
	endless  bool     // too many lines have been complained of
	problems bom.Problems
}

// result is one bill of materials that has been read.
type result struct {
	assembly *bom.Assembly
	lines    int // with those of all boards and assemblies, each as often as it is named
	depth    int // of nesting below it
}

// read gives the bill of materials of a name that stands at a place; at is zero
// for the first.
func (r *bomReader) read(name string, at bom.Place) *result {
	file, sheet := bom.SplitSheet(name)
	t := r.table(file, sheet, at)
	if t == nil {
		return &result{}
	}
	key := file
	if t.Sheet != "" {
		key += "#" + t.Sheet
	}
	if i := slices.Index(r.stack, key); i >= 0 {
		r.problems.Errorf(at, name, "a board or assembly that does not hold itself",
			"the files refer to each other in a circle: %s", strings.Join(append(slices.Clone(r.stack[i:]), key), " → "))
		return &result{}
	}
	if res, ok := r.done[key]; ok {
		return res
	}
	if len(r.stack) > MaxDepth {
		r.tooDeep(at)
		return &result{depth: -1} // has been complained of here
	}
	r.stack = append(r.stack, key)
	res := &result{}
	if reg := locate(t, &bom.BOMTab, r.opt.Headings, &r.problems); reg != nil {
		res = r.assembly(reg, file)
	}
	r.stack = r.stack[:len(r.stack)-1]
	r.done[key] = res
	return res
}

func (r *bomReader) tooDeep(at bom.Place) {
	r.problems.Errorf(at, "", "fewer levels", "boards and assemblies are nested more than %d deep", MaxDepth)
}

// table finds the table that a name stands for, nil after a complaint.
func (r *bomReader) table(file, sheet string, at bom.Place) *bom.Table {
	tables, known := r.files[file]
	if !known {
		var problems bom.Problems
		tables, problems = r.open(file)
		r.problems = append(r.problems, problems...)
		if problems.Failed() {
			tables = nil
		} else if len(tables) == 0 {
			r.problems.Errorf(bom.Place{File: file}, "", "a table with the headings of a bill of materials", "the file holds no table")
		}
		r.files[file] = tables
	}
	if len(tables) == 0 {
		if at != (bom.Place{}) {
			r.problems.Errorf(at, file, "a bill of materials", "File: names a file that cannot be read")
		}
		return nil
	}
	return r.choose(tables, sheet, at)
}

// choose picks the sheet that is named, else the only one that holds a list.
func (r *bomReader) choose(tables []bom.Table, sheet string, at bom.Place) *bom.Table {
	if sheet != "" {
		return sheetNamed(tables, sheet, cmp.Or(at, bom.Place{File: tables[0].File}), &r.problems)
	}
	if t := bom.First(tables, func(t *bom.Table) bool { return bom.Fold(t.Sheet) == bom.TabSettings }); t != nil {
		r.problems.Errorf(t.At(0, 0), "", "a bill of materials, or its sheet by name: file.xlsx#Sheet", "this is a price sheet")
		return nil
	}
	if len(tables) == 1 {
		return &tables[0]
	}
	lists := tablesWhere(tables, newFinder(&bom.BOMTab, r.opt.Headings).holdsList)
	if len(lists) == 0 {
		return &tables[0]
	}
	first := lists[0]
	if len(lists) > 1 {
		lists = unnamed(tables, lists)
	}
	switch len(lists) {
	case 0:
		return first
	case 1:
		return lists[0]
	}
	r.problems.Errorf(bom.Place{File: first.File}, "", "name one, "+first.File+"#"+first.Sheet+"; where the unit holds several, give each a --bom of its own",
		"%d sheets hold a bill of materials: %s", len(lists), quoteList(sheetNames(lists)))
	return nil
}

// unnamed leaves out the sheets that other sheets name behind a #: they are the
// boards and assemblies of the unit.
func unnamed(tables []bom.Table, sheets []*bom.Table) []*bom.Table {
	named := map[string]bool{}
	for _, t := range tables {
		for _, row := range t.Rows {
			for _, c := range row.Cells {
				if i := strings.LastIndexByte(c.Text, '#'); i >= 0 && bom.Fold(c.Text[i+1:]) != bom.Fold(t.Sheet) {
					named[bom.Fold(c.Text[i+1:])] = true
				}
			}
		}
	}
	return slices.DeleteFunc(sheets, func(t *bom.Table) bool { return named[bom.Fold(t.Sheet)] })
}

// sheetNamed gives the sheet of a name; nil with an error at a place where there is none.
func sheetNamed(tables []bom.Table, name string, at bom.Place, problems *bom.Problems) *bom.Table {
	if t := bom.First(tables, func(t *bom.Table) bool { return bom.Fold(t.Sheet) == bom.Fold(name) }); t != nil {
		return t
	}
	want := "one of " + quoteList(bom.Each(tables, func(t *bom.Table) string { return t.Sheet }))
	if len(tables) > 0 && tables[0].Sheet == "" {
		want = "the name of the file alone"
	}
	problems.Errorf(at, name, want, "the file has no sheet of that name")
	return nil
}

func tablesWhere(tables []bom.Table, is func(*bom.Table) bool) (out []*bom.Table) {
	for _, t := range bom.Refs(tables) {
		if is(t) {
			out = append(out, t)
		}
	}
	return out
}

func sheetNames(tables []*bom.Table) []string {
	return bom.Each(tables, func(t **bom.Table) string { return (*t).Sheet })
}

// assembly reads the lines of a region.
func (r *bomReader) assembly(reg *region, file string) *result {
	res := &result{assembly: &bom.Assembly{File: reg.table.File, Sheet: reg.table.Sheet}}
	if len(reg.rows) == 0 && reg.lone == 0 {
		r.problems.Errorf(reg.table.At(reg.head.Row, 0), "", "a row for each part", "the bill of materials holds no lines")
		return res
	}
	m := markings([]*region{reg}, r.opt.Mark)[reg.table.File]
	lr := lineReader{decoder: newDecoder(reg, m, &r.problems), lacking: r.opt.lacking()}
	lr.checkHeads()
	readRecords(lr.decoder, func(raw *rawLine) {
		line := lr.line(raw)
		res.assembly.Lines = append(res.assembly.Lines, line)
		res.lines++
		if line.File != "" {
			r.follow(file, line, lr.place(raw.File), res)
		}
	})
	lr.heedNoughts()
	lr.tellDiffering()
	lr.tellDoubled()
	lr.tellUncounted()
	lr.tellWords()
	lr.tellUnread()
	if lr.labels {
		r.problems.Notef(reg.table.At(reg.head.Row, reg.head.Col["Designator"]), "the designators number the lines: the quantities count the pieces")
	}
	return res
}

// follow resolves the file of a line and reads it where it is a bill of
// materials.
func (r *bomReader) follow(from string, line *bom.Line, at bom.Place, res *result) {
	if line.Kind == bom.KindPrinted {
		r.printFiles(from, line, at)
		return
	}
	name, ok := r.resolve(from, line.File)
	if !ok {
		r.leadsOut(at, line.File)
		return
	}
	line.File = name
	if !line.Fitted || line.Kind != bom.KindBoard && line.Kind != bom.KindAssembly {
		return
	}
	sub := r.read(name, at)
	line.Sub = sub.assembly
	res.lines += sub.lines
	res.depth = max(res.depth, sub.depth+1)
	switch {
	case res.lines > MaxLines && !r.endless:
		r.endless = true
		r.problems.Errorf(at, "", "fewer lines", "the unit has more than %d lines, boards and assemblies included", MaxLines)
	case res.depth > MaxDepth && sub.depth == MaxDepth:
		r.tooDeep(at)
	}
	res.lines = min(res.lines, 2*MaxLines) // far enough over; sums must not overflow
}

// printFiles resolves the mesh and the toolpath of a printed part, which stand
// in one cell with a semicolon between. They are read by whoever asked for the
// bill of materials.
func (r *bomReader) printFiles(from string, line *bom.Line, at bom.Place) {
	for _, name := range strings.Split(line.File, ";") {
		if name = strings.TrimSpace(name); name == "" {
			continue
		}
		resolved, ok := r.resolve(from, name)
		if !ok {
			r.leadsOut(at, name)
			continue
		}
		line.Files = append(line.Files, resolved)
	}
	if line.Files != nil {
		line.File = strings.Join(line.Files, "; ")
	}
}

func (r *bomReader) leadsOut(at bom.Place, name string) {
	r.problems.Errorf(at, name, "a file in the folder of the bill of materials, or --allow-outside",
		"File: leads out of the folder of the bill of materials")
}

// resolve gives the path of a file that another one names; ok is false where it
// leaves the folder of the first.
func (r *bomReader) resolve(from, name string) (resolved string, ok bool) {
	name = bom.Slashed(name)
	if strings.HasPrefix(name, "#") {
		return from + name, true
	}
	if path.IsAbs(name) || len(name) > 1 && name[1] == ':' {
		return path.Clean(name), r.opt.AllowOutside
	}
	resolved = path.Join(path.Dir(from), name)
	return resolved, r.opt.AllowOutside || within(r.root, resolved)
}

// within tells whether a clean path lies in a folder.
func within(folder, p string) bool {
	if folder != "." {
		prefix := strings.TrimSuffix(folder, "/") + "/"
		if !strings.HasPrefix(p, prefix) {
			return false
		}
		p = p[len(prefix):]
	}
	return p != ".." && !strings.HasPrefix(p, "../") && !path.IsAbs(p)
}
