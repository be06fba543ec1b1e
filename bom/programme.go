package bom

// ProgrammeTab documents the table of several products that are made together. Each of its
// columns headed Run, or Run and a name, is a plan.
var ProgrammeTab = Tab{
	Name: "run",
	Doc:  "One row for each product: what it is made of, how far it is made, and how many of it in each plan.",
	Columns: []Column{
		{Heading: "Product", Form: FormKey, Required: true, Doc: "What the product is called.", Example: "alarm kit"},
		{Heading: "BOM", Synonyms: []string{"Bill of materials", "List"}, Form: FormKey, Required: true,
			Doc: "File with its bill of materials, beside this one; file.xlsx#Sheet picks a sheet. Several products may have the same.", Example: "unit.csv"},
		{Heading: "Level", Form: FormChoice, Choices: LevelNames(), Default: "built", Doc: "How far it is made.", Example: "kit"},
		{Heading: RunMark, Form: FormWhole, Required: true,
			Doc: "Number of good units in the plan; 0 where it has none. Several plans have a column each: `Run small`, `Run large`.", Example: "20"},
	},
}

// RunMark opens the heading of a column with the numbers of a plan.
const RunMark = "Run"

// Programme is several products that are bought, printed, made and posted together.
type Programme struct {
	File     string
	Plans    []Plan
	Products []Product
}

// Plan is how many of each product are made together.
type Plan struct {
	Name  string // as its column is headed
	Units []int  // good units of each product
	Place Place  // of its heading
}

// All is the number of units of all products.
func (p *Plan) All() (sum int) {
	for _, n := range p.Units {
		sum += n
	}
	return sum
}

// Product is one of several products that are made together.
type Product struct {
	Origin
	Name  string
	BOM   string // file with its list: resolved
	Level Level
	Unit  *Assembly // what the file holds, once it is read
}

// Unit is what the lists of all products hold, each once.
func (p *Programme) Unit() *Assembly {
	out := &Assembly{File: p.File}
	seen := map[*Assembly]bool{}
	for i := range p.Products {
		if u := p.Products[i].Unit; u != nil && !seen[u] {
			seen[u] = true
			out.Lines = append(out.Lines, u.Lines...)
		}
	}
	return out
}
