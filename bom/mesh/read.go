package mesh

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strconv"

	"tenoff/bom"
)

// The formats.
const (
	BinarySTL = "STL, binary"
	ASCIISTL  = "STL, ASCII"
	ThreeMF   = "3MF"
)

// Options are what a reader is told besides the file.
type Options struct {
	Name     string            // the file, as the user named it
	Piece    string            // which piece of a file that holds several: see Open
	Limits   Limits            // zero fields take those of DefaultLimits
	Progress func(bytes int64) // called now and then with the bytes read so far, where not nil
}

// File is a mesh file whose pieces are known. It reads on from what it was opened
// from.
type File struct {
	Pieces []Piece // at least one
	o      Options
}

// Piece is one thing to be printed that a file holds.
type Piece struct {
	File   string // the file's name, with # and the number where it holds others
	Name   string // of the piece in the file; may be empty
	Copies int    // how many of it the file holds

	item *buildItem // of 3MF, else nil
	source
}

// allPieces names all pieces of a file as one.
const allPieces = "all"

// Open reads what pieces a mesh file of size bytes holds. For 3MF these are the
// items of the build; copies of an item count as one piece. Options.Piece keeps
// the piece of a number in the build, of a name that no other piece has, or, by
// "all", all of them as one. STL is always one piece. The file is nil where the
// problems hold an error; they are those of the file as a whole.
func Open(r io.ReaderAt, size int64, o Options) (*File, bom.Problems) {
	o.Limits = o.Limits.filled()
	at := bom.Place{File: o.Name}
	if size > o.Limits.Bytes {
		return nil, bom.Problems{{Place: at, Found: fmt.Sprintf("%d bytes", size), What: "the file is too large", Want: raise(fmt.Sprintf("%d bytes", o.Limits.Bytes), "print-mb")}}
	}
	f, ps, err := open(r, size, o)
	if err != nil {
		return nil, bom.Problems{problem(at, err)}
	}
	return f, ps
}

// Load reads a mesh of size bytes that is one piece and keeps its triangles. The solid is nil where
// the problems hold an error.
func Load(r io.ReaderAt, size int64, o Options) (*bom.Solid, Measures, bom.Problems) {
	f, problems := openOne(r, size, o)
	if f == nil {
		return nil, Measures{}, problems
	}
	s, m, more := f.Load(0)
	return s, m, append(problems, more...)
}

// openOne asks for a piece to be named where there are several.
func openOne(r io.ReaderAt, size int64, o Options) (*File, bom.Problems) {
	f, problems := Open(r, size, o)
	if f == nil || len(f.Pieces) == 1 && f.Pieces[0].File == o.Name || o.Piece != "" {
		return f, problems
	}
	first := f.Pieces[0].File
	problems.Errorf(bom.Place{File: o.Name}, "", fmt.Sprintf("name one: %s, or %s#%s for all of them as one piece", first, o.Name, allPieces),
		"holds %s", listed(f.Pieces))
	return nil, problems
}

// listed names pieces: "3 pieces: 1 "lid", 2 "foot" × 2".
func listed(pieces []Piece) string {
	total := 0
	var out []string
	for _, p := range pieces {
		total += p.Copies
		text := strconv.Itoa(p.item.number) + quoted(p.Name)
		if p.Copies > 1 {
			text += fmt.Sprintf(" × %d", p.Copies)
		}
		out = append(out, text)
	}
	return fmt.Sprintf("%d %s: %s", total, plural(int64(total), "piece", "pieces"), bom.Some(out, shown))
}

// Measure measures the piece at an index. The problems are those of the piece.
func (f *File) Measure(i int) (Measures, bom.Problems) {
	m, _, problems := f.read(i, nil)
	return m, problems
}

// Load measures the piece at an index and keeps its triangles. The solid is nil
// where the problems hold an error.
func (f *File) Load(i int) (*bom.Solid, Measures, bom.Problems) {
	s := &bom.Solid{}
	m, turned, problems := f.read(i, s)
	if problems.Failed() {
		return nil, m, problems
	}
	s.Min, s.Max = m.Min, m.Max
	if turned {
		for i := range s.Triangles {
			t := &s.Triangles[i]
			t[1], t[2] = t[2], t[1]
		}
	}
	return s, m, problems
}

// source hands out triangles in batches that are valid until the next one, each
// time it is called from the beginning.
type source struct {
	each      func(yield func([]bom.Triangle) error) error
	triangles int64                  // where known beforehand, to size what is kept
	unitless  bool                   // the format names no unit of length
	notes     func(ps *bom.Problems) // what is to be said once it is read; may be nil
}

func (f *File) read(i int, keep *bom.Solid) (m Measures, turned bool, ps bom.Problems) {
	piece := &f.Pieces[i]
	at := bom.Place{File: piece.File}
	g := newGauge()
	var kept int64
	err := piece.each(func(batch []bom.Triangle) error {
		if keep != nil {
			if kept += int64(len(batch)); kept > f.o.Limits.Kept {
				return &fault{what: "the mesh has too many triangles to be cut into layers", want: raise(f.o.Limits.Kept, "triangles")}
			}
			if keep.Triangles == nil && piece.triangles > 0 {
				keep.Triangles = make([]bom.Triangle, 0, min(piece.triangles, f.o.Limits.Kept))
			}
			keep.Triangles = append(keep.Triangles, batch...)
		}
		return g.add(batch)
	})
	if err != nil {
		ps.Add(problem(at, err))
		return m, false, ps
	}
	m, turned = g.measures()
	if !m.Closed || !m.Oriented {
		if m.OpenEdges, m.ClashingEdges, err = countEdges(piece.each, m.Triangles); err != nil {
			ps.Add(problem(at, err))
			return m, false, ps
		}
	}
	if piece.notes != nil {
		piece.notes(&ps)
	}
	m.judge(at, piece.unitless, turned, &ps)
	return m, turned, ps
}

// Recognise tells the format by the content, or gives nothing where the content
// is text of another kind, such as a toolpath. A file that is not text is taken
// for a mesh, whose reader says what is wrong with it.
func Recognise(r io.ReaderAt, size int64) (format string, err error) {
	head, err := headOf(r, size)
	if err != nil {
		return "", err
	}
	return recognise(head, size), nil
}

func headOf(r io.ReaderAt, size int64) ([]byte, error) {
	head := make([]byte, max(0, min(size, 1024)))
	if n, err := r.ReadAt(head, 0); n < len(head) {
		return nil, fmt.Errorf("byte %d: %w", n, err)
	}
	return head, nil
}

func recognise(head []byte, size int64) string {
	switch {
	case bytes.HasPrefix(head, []byte("PK\x03\x04")):
		return ThreeMF
	case size >= stlHeader && stlHeader+countIn(head)*stlTriangle == size:
		return BinarySTL // whatever its header says
	case looksASCII(head):
		return ASCIISTL
	case bytes.IndexByte(head, 0) >= 0:
		return BinarySTL
	}
	return ""
}

func open(r io.ReaderAt, size int64, o Options) (*File, bom.Problems, error) {
	if size <= 0 {
		return nil, nil, &fault{what: "the file is empty", want: "a mesh in STL or 3MF"}
	}
	head, err := headOf(r, size)
	if err != nil {
		return nil, nil, err
	}
	if what, want := bom.Stranger(head); what != "" {
		return nil, nil, &fault{what: what, want: want}
	}
	var src source
	switch format := recognise(head, size); {
	case format == ThreeMF:
		return open3MF(r, size, o)
	case format == ASCIISTL:
		src = openASCII(r, head, size, o)
	case format == BinarySTL && size >= stlHeader:
		if src, err = openBinary(r, size, countIn(head), o); err != nil {
			return nil, nil, err
		}
	case format == BinarySTL:
		return nil, nil, &fault{what: fmt.Sprintf("the file ends at byte %d, before the end of an STL header", size), want: "a mesh in STL or 3MF"}
	default:
		return nil, nil, &fault{what: "the content is neither STL nor 3MF", want: "a mesh in STL or 3MF"}
	}
	if o.Piece != "" && o.Piece != allPieces && o.Piece != "1" {
		return nil, nil, &fault{what: "an STL file is one piece", found: "#" + o.Piece, want: "the name of the file alone"}
	}
	return &File{Pieces: []Piece{{File: o.Name, Copies: 1, source: src}}, o: o}, nil, nil
}

// fault is an error of the content, worded for a problem.
type fault struct {
	line        int // 0 where a byte in what tells the place
	what, found string
	want        string
}

func (f *fault) Error() string { return f.what }

func problem(at bom.Place, err error) bom.Problem {
	var f *fault
	if errors.As(err, &f) {
		at.Row = f.line
		return bom.Problem{Place: at, What: f.what, Found: f.found, Want: f.want}
	}
	return bom.Problem{Place: at, What: "the mesh cannot be read: " + err.Error(), Want: "a whole, readable file"}
}

func (o Options) reader(r io.ReaderAt, from, size int64) io.Reader {
	return bom.Watch(io.NewSectionReader(r, from, size-from), from, o.Progress)
}
