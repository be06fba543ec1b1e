package load

import (
	"cmp"
	"errors"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"

	"tenoff/bom"
	"tenoff/bom/mesh"
	"tenoff/bom/toolpath"
)

// printFile is a mesh or a toolpath that has been read.
type printFile struct {
	solid *bom.Solid       // nil for a toolpath
	path  *toolpath.Result // nil for a mesh
}

// OpenPrint opens a file that may hold a mesh or a toolpath. What it is is asked
// first: opening a pipe would wait for somebody to write into it.
func OpenPrint(file string) (f *os.File, size int64, err error) {
	file = filepath.FromSlash(file)
	info, err := os.Stat(file)
	if err == nil && !info.Mode().IsRegular() {
		err = errors.New("it is not a file")
	}
	if err != nil {
		return nil, 0, err
	}
	f, err = os.Open(file)
	return f, info.Size(), err
}

// IsMesh tells a mesh from a toolpath by the content.
func IsMesh(r io.ReaderAt, size int64) (bool, error) {
	format, err := mesh.Recognise(r, size)
	return format != "" || size == 0, err
}

// IsFile tells whether there is a file that is no folder, pipe or device.
func IsFile(name string) bool {
	info, err := os.Stat(filepath.FromSlash(name))
	return err == nil && info.Mode().IsRegular()
}

// readPrint reads a mesh, or the piece of it that the name says, or a toolpath;
// the options are for toolpaths. An error stands in the problems.
func readPrint(name string, o toolpath.Options, lim mesh.Limits) (printFile, bom.Problems) {
	file, piece := bom.SplitPiece(name, IsFile)
	f, size, err := OpenPrint(file)
	if err != nil {
		return printFile{}, Unreadable(o.Name, err)
	}
	defer f.Close()
	meshed, err := IsMesh(f, size)
	switch {
	case err != nil:
		return printFile{}, Unreadable(o.Name, err)
	case meshed:
		solid, _, problems := mesh.Load(f, size, mesh.Options{Name: file, Piece: piece, Limits: lim})
		return printFile{solid: solid}, problems
	case piece != "":
		return printFile{}, OnePiece(file, piece)
	}
	result, problems := toolpath.Read(f, o)
	return printFile{path: result}, problems
}

// OnePiece says that a toolpath has no pieces to choose from.
func OnePiece(file, piece string) (ps bom.Problems) {
	ps.Errorf(bom.Place{File: file}, "#"+piece, "the name of the file alone", "a toolpath is one piece")
	return ps
}

// ToolpathBytes is the longest toolpath that is read: 0, the reader's default,
// where the limit was not raised.
func (s *Source) ToolpathBytes() int64 {
	if s.Prints.Bytes == mesh.DefaultLimits().Bytes {
		return 0
	}
	return s.Prints.Bytes
}

// printReader reads the files of printed lines, each once for what it is asked.
type printReader struct {
	s      *Source
	prices *bom.Prices
	done   map[printKey]printFile
	known  map[string]bool // files whose complaints have been told
	all    bom.Problems
}

// printKey is what a result hangs on.
type printKey struct {
	file     string
	limits   bom.KinematicLimits
	filament toolpath.Filament
}

// ReadPrints reads the meshes and toolpaths of all printed lines, and those of
// the print log that are found. A file that cannot be used is an error at its
// cell.
func (s *Source) ReadPrints(unit *bom.Assembly, prices *bom.Prices) bom.Problems {
	r := s.printReader(prices)
	lines := unit.PrintedLines()
	for _, l := range lines {
		l.Print = r.files(l.Files, l.Printer, l.Material, l.At("File"), bom.Error)
	}
	r.log(lines)
	return r.all
}

// ReadFinished reads the files of the print log that are found, for lines whose files
// the user names.
func (s *Source) ReadFinished(prices *bom.Prices, lines []*bom.Line) {
	r := s.printReader(prices)
	r.log(lines)
}

func (s *Source) printReader(prices *bom.Prices) *printReader {
	return &printReader{s: s, prices: prices, done: map[printKey]printFile{}, known: map[string]bool{}}
}

func (r *printReader) log(lines []*bom.Line) {
	for i := range r.prices.PrintLog {
		r.finished(&r.prices.PrintLog[i], lines)
	}
}

// finished reads the files of a row of the print log: those of its line, else
// the one beside the price sheet or the bill of materials. A row of another unit,
// whose file is not there, counts for nothing.
func (r *printReader) finished(p *bom.PrintLog, lines []*bom.Line) {
	known := p.LineAmong(lines)
	line := known
	if known == nil {
		line = &bom.Line{Files: r.beside(p.File)}
	}
	p.Files = nil
	for _, f := range line.Files {
		file, _ := bom.SplitPiece(f, IsFile)
		if (p.File == "" || p.Names(f)) && (known == nil || r.s.mayRead(file)) {
			p.Files = append(p.Files, f)
		}
	}
	printer := cmp.Or(p.Printer, line.Printer)
	p.Print = r.files(p.Files, printer, line.Material, p.At("File"), bom.Warning)
}

func (r *printReader) beside(name string) []string {
	if name == "" || path.IsAbs(name) && !r.s.Options.AllowOutside {
		return nil
	}
	name = filepath.ToSlash(name)
	folders := []string{r.prices.Name, path.Dir(r.prices.Name)}
	for _, list := range r.s.begins() {
		folders = append(folders, path.Dir(filepath.ToSlash(list)))
	}
	for _, folder := range folders {
		whole := path.Join(folder, name)
		file, _ := bom.SplitPiece(whole, IsFile)
		if IsFile(file) && (r.s.Options.AllowOutside || Within(Resolved(folder), Resolved(file))) {
			return []string{whole}
		}
	}
	return nil
}

// files reads the mesh and the toolpath of one piece. What cannot be used is
// complained of at a place, with a severity.
func (r *printReader) files(names []string, printer, material string, at bom.Place, severity bom.Severity) (out bom.PrintFiles) {
	wrong := func(name, what, want string) {
		r.all.Add(bom.Problem{Place: at, Severity: severity, Found: name, What: "File: " + what, Want: want})
	}
	for _, name := range names {
		file, _ := bom.SplitPiece(name, IsFile)
		if !r.s.mayRead(file) && severity == bom.Error {
			wrong(name, linkOut, wantInside)
			continue
		}
		if _, err := os.Stat(filepath.FromSlash(file)); errors.Is(err, fs.ErrNotExist) {
			wrong(name, "file not found", "a mesh (STL, 3MF) or a toolpath (G-code) beside the bill of materials")
			continue
		}
		f, ok := r.one(name, printer, material, out.Solid, severity)
		switch {
		case !ok:
			wrong(name, "names a file that cannot be used", "a mesh (STL, 3MF) or a toolpath (G-code)")
		case f.solid != nil && out.Solid != nil:
			wrong(name, "names two meshes", "one mesh, one toolpath or both")
		case f.path != nil && out.Path != nil:
			wrong(name, "names two toolpaths", "one mesh, one toolpath or both")
		case f.solid != nil:
			out.Solid = f.solid
		default:
			out.Path = f.path.Path()
		}
	}
	return out
}

// one reads a file for a printer.
func (r *printReader) one(name, printer, material string, solid *bom.Solid, severity bom.Severity) (f printFile, ok bool) {
	Timed(r.prices, printer, bom.PrintFiles{Solid: solid}, func(limits bom.KinematicLimits) *toolpath.Result {
		f, ok = r.read(name, limits, material, severity)
		return f.path
	})
	return f, ok
}

// Timed reads a toolpath by the limits of the printer that it is for; where none is
// named, that is the first which holds the piece, and so it may have to be read twice.
func Timed(prices *bom.Prices, printer string, files bom.PrintFiles, read func(bom.KinematicLimits) *toolpath.Result) {
	for range 2 {
		p := prices.PrinterFor(printer, files)
		is := read(p.Kinematics())
		if is == nil {
			return
		}
		if files.Solid == nil {
			files.Path = is.Path()
		}
		if prices.PrinterFor(printer, files) == p {
			return
		}
	}
}

func (r *printReader) read(name string, limits bom.KinematicLimits, material string, severity bom.Severity) (printFile, bool) {
	density, diameter := r.prices.FilamentOf(material)
	filament := toolpath.Filament{Density: density, DiameterMM: diameter}
	key := printKey{name, limits, filament}
	mesh := printKey{file: name}
	for _, k := range []printKey{mesh, key} {
		if f, ok := r.done[k]; ok {
			return f, f.solid != nil || f.path != nil
		}
	}
	f, problems := readPrint(name, toolpath.Options{Name: name, Limits: limits, Filament: filament, Bytes: r.s.ToolpathBytes()}, r.s.Prints)
	if f.path != nil && f.path.Tools > 1 {
		problems.Warnf(bom.Place{File: name}, "", "one line of the bill of materials for each material",
			"the toolpath uses %d tools; all their filament counts as one material", f.path.Tools)
	}
	if f.path == nil {
		key = mesh
	}
	r.done[key] = f
	if !r.known[name] {
		r.known[name] = true
		file, _ := bom.SplitPiece(name, IsFile)
		r.s.read = append(r.s.read, file)
		for _, p := range problems {
			p.Severity = max(p.Severity, severity)
			if !slices.Contains(r.all, p) { // another piece of the file has the same to say
				r.all.Add(p)
			}
		}
	}
	return f, f.solid != nil || f.path != nil
}
