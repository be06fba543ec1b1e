package workbook

import (
	"bytes"
	"io/fs"
	"testing"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/toolpath"
)

// readPrints reads the meshes and toolpaths of a demo's printed lines.
func readPrints(t testing.TB, files fs.FS, unit *bom.Assembly, prices *bom.Prices) {
	t.Helper()
	for _, l := range unit.PrintedLines() {
		density, diameter := prices.FilamentOf(l.Material)
		for _, name := range l.Files {
			data, err := fs.ReadFile(files, name)
			if err != nil {
				t.Fatal(err)
			}
			var problems bom.Problems
			if format, _ := mesh.Recognise(bytes.NewReader(data), int64(len(data))); format != "" {
				l.Print.Solid, _, problems = mesh.Load(bytes.NewReader(data), int64(len(data)), mesh.Options{Name: name})
			} else {
				var p *toolpath.Result
				p, problems = toolpath.Read(bytes.NewReader(data), toolpath.Options{Name: name, Limits: prices.FindPrinter(l.Printer).Kinematics(),
					Filaments: []toolpath.Filament{{Density: density, DiameterMM: diameter}}})
				l.Print.Path = &bom.Path{Name: name, SizeMM: p.Size(), G: p.G(), FilamentM: p.FilamentMM / 1000, Hours: p.Hours()}
			}
			if len(problems) > 0 {
				t.Fatal(problems)
			}
		}
	}
}
