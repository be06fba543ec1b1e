package mesh

import (
	"bytes"
	"errors"
	"fmt"
	"io"

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
	Limits   Limits            // zero fields take those of DefaultLimits
	Progress func(bytes int64) // called now and then with the bytes read so far, where not nil
}

// Measure reads a mesh of size bytes and keeps none of it. The problems hold at
// least one error where the measures are not to be used.
func Measure(r io.ReaderAt, size int64, o Options) (Measures, bom.Problems) {
	m, _, problems := read(r, size, o, nil)
	return m, problems
}

// Load reads a mesh like Measure and keeps its triangles. The solid is nil where
// the problems hold an error.
func Load(r io.ReaderAt, size int64, o Options) (*bom.Solid, Measures, bom.Problems) {
	s := &bom.Solid{Name: o.Name}
	m, turned, problems := read(r, size, o, s)
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

// source hands out a file's triangles in batches that are valid until the next
// one, each time it is called from the beginning.
type source struct {
	format    string
	each      func(yield func([]bom.Triangle) error) error
	triangles int64 // where known beforehand, to size what is kept
	unitless  bool  // the format names no unit of length
	notes     bom.Problems
}

func read(r io.ReaderAt, size int64, o Options, keep *bom.Solid) (m Measures, turned bool, ps bom.Problems) {
	o.Limits = o.Limits.filled()
	at := bom.Place{File: o.Name}
	if size > o.Limits.Bytes {
		ps.Errorf(at, fmt.Sprintf("%d bytes", size), raise(fmt.Sprintf("%d bytes", o.Limits.Bytes), "print-mb"), "the file is too large")
		return m, false, ps
	}
	src, err := open(r, size, o)
	if err != nil {
		ps.Add(problem(at, err))
		return m, false, ps
	}
	g := newGauge()
	var kept int64
	err = src.each(func(batch []bom.Triangle) error {
		if keep != nil {
			if kept += int64(len(batch)); kept > o.Limits.Kept {
				return &fault{what: "the mesh has too many triangles to be cut into layers", want: raise(o.Limits.Kept, "triangles")}
			}
			if keep.Triangles == nil && src.triangles > 0 {
				keep.Triangles = make([]bom.Triangle, 0, min(src.triangles, o.Limits.Kept))
			}
			keep.Triangles = append(keep.Triangles, batch...)
		}
		return g.add(batch)
	})
	if err != nil {
		ps.Add(problem(at, err))
		return m, false, ps
	}
	m, turned = g.measures(src.format)
	if !m.Closed || !m.Oriented {
		if m.OpenEdges, m.ClashingEdges, err = countEdges(src.each, m.Triangles); err != nil {
			ps.Add(problem(at, err))
			return m, false, ps
		}
	}
	ps = append(ps, src.notes...)
	m.judge(at, src.unitless, turned, &ps)
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

func open(r io.ReaderAt, size int64, o Options) (*source, error) {
	if size <= 0 {
		return nil, &fault{what: "the file is empty", want: "a mesh in STL or 3MF"}
	}
	head, err := headOf(r, size)
	if err != nil {
		return nil, err
	}
	switch recognise(head, size) {
	case ThreeMF:
		return open3MF(r, size, o)
	case ASCIISTL:
		return openASCII(r, size, o)
	case BinarySTL:
		if size >= stlHeader {
			return openBinary(r, size, countIn(head), o)
		}
		return nil, &fault{what: fmt.Sprintf("the file ends at byte %d, before the end of an STL header", size), want: "a mesh in STL or 3MF"}
	}
	return nil, &fault{what: "the content is neither STL nor 3MF", want: "a mesh in STL or 3MF"}
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

// progressReader tells how many bytes have gone through.
type progressReader struct {
	r    io.Reader
	done int64
	tell func(int64)
}

func (p *progressReader) Read(b []byte) (int, error) {
	n, err := p.r.Read(b)
	p.done += int64(n)
	p.tell(p.done)
	return n, err
}

func (o Options) reader(r io.ReaderAt, from, size int64) io.Reader {
	section := io.NewSectionReader(r, from, size-from)
	if o.Progress == nil {
		return section
	}
	return &progressReader{r: section, done: from, tell: o.Progress}
}
