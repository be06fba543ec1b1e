package cost_test

import (
	"strings"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/toolpath"
)

// readPrints reads the meshes and toolpaths among the texts.
func (in input) readPrints(unit *bom.Assembly, prices *bom.Prices) (problems bom.Problems) {
	lines := unit.PrintedLines()
	for _, l := range lines {
		l.Print = in.printFiles(l, prices, &problems)
	}
	for i := range prices.PrintLog {
		p := &prices.PrintLog[i]
		if l := p.LineAmong(lines); l != nil {
			p.Print = in.printFiles(l, prices, &problems)
		}
	}
	return problems
}

func (in input) printFiles(l *bom.Line, prices *bom.Prices, problems *bom.Problems) (out bom.PrintFiles) {
	density, diameter := prices.FilamentOf(l.Material)
	limits := bom.DefaultLimits()
	if p := prices.PrinterFor(l.Printer, bom.PrintFiles{}); p != nil {
		limits = p.Kinematics()
	}
	for _, name := range l.Files {
		text, ps := in[name], bom.Problems(nil)
		if format, _ := mesh.Recognise(strings.NewReader(text), int64(len(text))); format != "" {
			out.Solid, _, ps = mesh.Load(strings.NewReader(text), int64(len(text)), mesh.Options{Name: name})
		} else {
			var p *toolpath.Result
			p, ps = toolpath.Read(strings.NewReader(text), toolpath.Options{Name: name, Limits: limits,
				Filaments: []toolpath.Filament{{Density: density, DiameterMM: diameter}}})
			if p != nil {
				out.Path = &bom.Path{Name: name, SizeMM: p.Size(), G: p.G(), FilamentM: p.FilamentMM / 1000, Hours: p.Hours()}
			}
		}
		*problems = append(*problems, ps...)
	}
	return out
}
