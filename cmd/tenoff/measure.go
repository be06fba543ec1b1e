package main

import (
	"bytes"
	"cmp"
	"context"
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
	"tenoff/bom/load"
	"tenoff/bom/mesh"
	"tenoff/bom/toolpath"
	"tenoff/cost/printing"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

// measurer measures files by what the flags say.
type measurer struct {
	source
	material, printer, recipe string
	density, diameter         float64
	json                      bool

	sheet       *bom.Prices
	by          bom.Recipe
	corrections printing.Corrections
	notes       []string
	problems    bom.Problems
}

func newMeasure() *cobra.Command {
	m := &measurer{}
	cmd := &cobra.Command{
		Use:   "measure FILE…",
		Short: "mass, hours and size of meshes and toolpaths",
		Long: `measure reads meshes (STL, 3MF) and toolpaths (G-code with the extruder axis E),
told apart by their content, and prints size, volume, area, whether a mesh is
closed, filament in g and m, hours and layers. A mesh is computed by a recipe
and takes the start of a plate of its own; a toolpath is timed by its moves,
without heating. Without a material or a density the mass is not known.

Of a 3MF file that holds several pieces each has a row. FILE#2 measures the
second item of its build, FILE#lid the piece of that name, and FILE#all all of
them as one piece.`,
		Example: "  tenoff measure case.stl lid.stl --prices prices.xlsx --material PETG",
		Args:    between(1, 1000, "a mesh or a toolpath"),
		RunE:    m.run,
	}
	m.priceFlags(cmd)
	f := cmd.Flags()
	f.StringVar(&m.material, "material", "", "`NAME` of a row of the tab materials, for density and diameter")
	f.StringVar(&m.printer, "printer", "", "`NAME` of a row of the tab printers, for its limits (default: the first that the part fits)")
	f.StringVar(&m.recipe, "recipe", "", "`NAME` of a row of the tab print recipes, for meshes (default: the first)")
	f.Float64Var(&m.density, "density", 0, "density of the material, `G` per cm3")
	f.Float64Var(&m.diameter, "diameter", 0, "diameter of the filament, `MM` (default: that of the material, else 1.75)")
	f.BoolVar(&m.json, "json", false, "prints a JSON array instead of a table")
	m.source.completes(cmd, "material", func(_ *bom.Assembly, p *bom.Prices) []string { return p.MaterialNames() })
	m.source.completes(cmd, "printer", func(_ *bom.Assembly, p *bom.Prices) []string { return p.PrinterNames() })
	m.source.completes(cmd, "recipe", func(_ *bom.Assembly, p *bom.Prices) []string { return p.RecipeNames() })
	return cmd
}

func (m *measurer) run(cmd *cobra.Command, files []string) error {
	if err := m.prepare(cmd); err != nil {
		return err
	}
	if m.density < 0 || m.diameter < 0 {
		return usage("--density and --diameter are over 0")
	}
	if err := m.load(); err != nil {
		return err
	}
	if err := m.named(); err != nil {
		return err
	}
	m.finishedPrints(files)
	var out []reports.Measured
	for _, file := range files {
		bar := newBar(cmd.ErrOrStderr(), file)
		measured, problems := m.measure(cmd.Context(), file, bar)
		bar.clear()
		if cmd.Context().Err() != nil {
			return interrupted()
		}
		m.problems = append(m.problems, problems...)
		out = append(out, measured...)
	}
	if err := m.print(cmd.OutOrStdout(), out); err != nil {
		return err
	}
	if m.problems.Failed() {
		return &exitError{code: exitInput, problems: m.problems, message: counted(m.problems)}
	}
	say(cmd, m.problems)
	return nil
}

// load reads the price sheet; without one the defaults hold.
func (m *measurer) load() error {
	m.sheet = &bom.Prices{}
	if m.Prices == "" {
		return nil
	}
	prices, problems := m.ReadPrices(m.Prices)
	if problems.Failed() {
		return refused(problems)
	}
	m.sheet, m.problems = prices, problems
	return nil
}

// named finds what the flags name in the price sheet.
func (m *measurer) named() error {
	for _, f := range []struct {
		flag, name, tab string
		names           []string
	}{
		{"--material", m.material, bom.TabMaterials, m.sheet.MaterialNames()},
		{"--printer", m.printer, bom.TabPrinters, m.sheet.PrinterNames()},
		{"--recipe", m.recipe, bom.TabRecipes, m.sheet.RecipeNames()},
	} {
		if err := inTab(f.flag, f.name, f.tab, f.names, m.Prices); err != nil {
			return err
		}
	}
	m.by = *m.sheet.FindRecipe(m.recipe)
	density, diameter := m.sheet.FilamentOf(m.material)
	m.density = cmp.Or(m.density, density)
	m.diameter = cmp.Or(m.diameter, diameter)
	return nil
}

func inTab(flag, name, tab string, names []string, sheet string) error {
	switch {
	case name == "":
		return nil
	case sheet == "":
		return usage("%s %q is looked for in a price sheet; --prices names one", flag, name)
	}
	if slices.ContainsFunc(names, func(n string) bool { return bom.SameName(n, name) }) {
		return nil
	}
	if near, ok := bom.Nearest(name, names); ok {
		return usage("%s %q: not in the tab %s; did you mean %q", flag, name, tab, near)
	}
	return usage("%s %q: not in the tab %s, which has: %s", flag, name, tab, strings.Join(names, ", "))
}

// finishedPrints takes the corrections from the print log. What it says nothing
// of is as the flags say.
func (m *measurer) finishedPrints(files []string) {
	if len(m.sheet.PrintLog) == 0 {
		return
	}
	m.Options.AllowOutside = true // the files are named by the user
	var lines []*bom.Line
	for _, f := range files {
		lines = append(lines, &bom.Line{Files: []string{filepath.ToSlash(f)}, Material: m.material, Printer: m.printer, Recipe: m.recipe})
	}
	m.ReadFinished(m.sheet, lines)
	m.corrections = printing.FromLog(m.sheet, lines)
}

// maxInput is the longest file that is taken from standard input, which is kept
// in memory.
const maxInput = 1 << 30

// measure measures the pieces of one file, none where it cannot be used.
func (m *measurer) measure(ctx context.Context, file string, bar *bar) ([]reports.Measured, bom.Problems) {
	if file == "-" {
		data, err := io.ReadAll(io.LimitReader(m.Stdin, maxInput+1))
		if err == nil && len(data) > maxInput {
			err = fmt.Errorf("it is longer than %d bytes", maxInput)
		}
		if err != nil {
			return nil, load.Unreadable(load.StdinName, err)
		}
		return m.content(ctx, bytes.NewReader(data), int64(len(data)), load.StdinName, "", bar)
	}
	name, piece := bom.SplitPiece(filepath.ToSlash(file), load.IsFile)
	f, size, err := load.OpenPrint(name)
	if err != nil {
		return nil, load.Unreadable(name, err)
	}
	defer f.Close()
	return m.content(ctx, f, size, name, piece, bar)
}

// content measures what a file holds.
func (m *measurer) content(ctx context.Context, r io.ReaderAt, size int64, name, piece string, bar *bar) ([]reports.Measured, bom.Problems) {
	bar.size = size
	meshed, err := load.IsMesh(r, size)
	switch {
	case err != nil:
		return nil, load.Unreadable(name, err)
	case meshed:
		return m.meshes(ctx, r, size, mesh.Options{Name: name, Piece: piece, Limits: m.Prints, Progress: bar.show})
	case piece != "":
		return nil, load.OnePiece(name, piece)
	}
	out, problems := m.toolpath(r, size, name, bar)
	if out == nil {
		return nil, problems
	}
	out.Warnings = warnings(problems)
	return []reports.Measured{*out}, problems
}

// meshes measures each piece of a mesh file.
func (m *measurer) meshes(ctx context.Context, r io.ReaderAt, size int64, o mesh.Options) (out []reports.Measured, problems bom.Problems) {
	file, problems := mesh.Open(r, size, o)
	if file == nil {
		return nil, problems
	}
	ofFile := warnings(problems)
	for i := range file.Pieces {
		if ctx.Err() != nil {
			return nil, nil
		}
		measured, more := m.mesh(file, i)
		problems = append(problems, more...)
		if measured != nil {
			measured.Warnings = append(slices.Clone(ofFile), warnings(more)...)
			out = append(out, *measured)
		}
	}
	return out, problems
}

func (m *measurer) mesh(file *mesh.File, i int) (*reports.Measured, bom.Problems) {
	solid, is, problems := file.Load(i)
	if solid == nil {
		// A mesh that is too large to be cut can still be measured.
		var plain bom.Problems
		if is, plain = file.Measure(i); plain.Failed() {
			return nil, problems
		}
		for i := range problems {
			problems[i].Severity = max(problems[i].Severity, bom.Warning)
		}
	}
	piece := &file.Pieces[i]
	out := &reports.Measured{File: piece.File, Piece: piece.Name, Copies: piece.Copies, Kind: printing.FromMesh,
		VolumeMM3: bom.Known(is.VolumeMM3), AreaMM2: bom.Known(is.AreaMM2), SizeMM: is.Size(), Closed: is.Closed && is.Oriented}
	if solid != nil {
		m.figures(out, bom.PrintFiles{Solid: solid}, &problems)
	}
	return out, problems
}

func (m *measurer) toolpath(r io.ReaderAt, size int64, name string, bar *bar) (*reports.Measured, bom.Problems) {
	o := toolpath.Options{Name: name, Bytes: m.ToolpathBytes(), Filament: toolpath.Filament{DiameterMM: m.diameter, Density: m.density}, Progress: bar.show}
	var is *toolpath.Result
	var problems bom.Problems
	load.Timed(m.sheet, m.printer, bom.PrintFiles{}, func(limits bom.KinematicLimits) *toolpath.Result {
		o.Limits = limits
		is, problems = toolpath.Read(io.NewSectionReader(r, 0, size), o)
		return is
	})
	if is == nil {
		return nil, problems
	}
	out := &reports.Measured{File: name, Kind: printing.FromPath, SizeMM: is.Size(), Layers: is.Layers}
	m.figures(out, bom.PrintFiles{Path: is.Path()}, &problems)
	if is.Beside {
		m.say("the size of a toolpath is that of the piece, without skirt, brim and purge line")
	}
	return out, problems
}

// figures fills in filament, hours and layers.
func (m *measurer) figures(out *reports.Measured, files bom.PrintFiles, problems *bom.Problems) {
	at := bom.Place{File: out.File}
	printer := m.sheet.PrinterFor(m.printer, files)
	switch {
	case printer != nil && !printer.Holds(out.SizeMM):
		problems.Warnf(at, "", "choose another printer, or turn or tilt the part", "larger than the bed of the printer %s", printer.Name)
	case printer == nil && len(m.sheet.Printers) > 0:
		problems.Warnf(at, "", "add a printer with a larger bed, or cut the part in two", "fits on no printer of the price sheet")
	}
	sources, err := printing.Measure(files, m.by, printer.Kinematics(), m.density, m.diameter)
	if err != nil {
		problems.Errorf(at, "", "a mesh and a recipe that can be printed", "the mesh cannot be computed: %v", err)
		return
	}
	m.corrections.Apply(sources, printer, m.recipe, &m.by)
	s := &sources[0]
	out.G, out.FilamentM, out.Hours = s.G, bom.Known(s.FilamentM), s.Hours
	if s.From == printing.FromMesh {
		out.G, out.Hours = s.GOn(1), s.HoursOn(1)
	}
	if s.Layers > 0 {
		out.Layers = s.Layers
	}
	m.note(out, s, printer)
}

// note says what the figures rest on, each thing once.
func (m *measurer) note(out *reports.Measured, s *printing.Piece, printer *bom.Printer) {
	which, text := "toolpaths", "are timed by their moves, without heating"
	if s.From == printing.FromMesh {
		which, text = "meshes", "are computed by the "+s.Recipe+", the start of a plate included"
	}
	if printer != nil {
		text += ", within the limits of " + printer.Name
	}
	notes := []string{which + " " + text}
	if s.Corrected() {
		notes = append(notes, which+" are corrected by finished prints: "+s.Correction.String())
	}
	if !out.G.Known {
		notes = append(notes, "the mass needs --density, or --material with --prices")
	}
	for _, n := range notes {
		m.say(n)
	}
}

// say adds a note that was not made yet.
func (m *measurer) say(note string) {
	if !slices.Contains(m.notes, note) {
		m.notes = append(m.notes, note)
	}
}

func (m *measurer) print(w io.Writer, out []reports.Measured) error {
	if m.json {
		return reports.WriteMeasuresJSON(w, out)
	}
	if len(out) == 0 {
		return nil
	}
	t := reports.Measures(out)
	t.Notes = m.notes
	return terminal.Print(w, t, terminal.Width)
}
