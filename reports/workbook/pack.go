package workbook

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"encoding/xml"
	"hash/crc32"
	"io"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"tenoff/cost/workers"
)

// contentTypes is the part that lists what kind each other part is.
const contentTypes = "[Content_Types].xml"

// pack gathers the parts of a workbook and writes them as a zip archive in a
// fixed order, without times: the same parts give the same bytes, whatever the
// order in which they come.
type pack struct {
	to      io.Writer
	parts   map[string]*bytes.Buffer
	rewrite func(out *bufio.Writer, name string, data []byte) // of parts at the same time
}

// Create opens a part for writing.
func (p *pack) Create(name string) (io.Writer, error) {
	if p.parts == nil {
		p.parts = map[string]*bytes.Buffer{}
	}
	part := new(bytes.Buffer)
	p.parts[name] = part
	return part, nil
}

// AddFS gathers the files of a file system, as the interface asks.
func (p *pack) AddFS(fsys fs.FS) error {
	return fs.WalkDir(fsys, ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		data, err := fs.ReadFile(fsys, name)
		if err != nil {
			return err
		}
		w, err := p.Create(name)
		if err != nil {
			return err
		}
		_, err = w.Write(data)
		return err
	})
}

// Close writes the archive.
func (p *pack) Close() error {
	names := slices.Sorted(maps.Keys(p.parts)) // the content types first: [ stands before small letters
	z := zip.NewWriter(p.to)
	for _, part := range p.deflateAll(names) {
		if part.err != nil {
			return part.err
		}
		w, err := z.CreateRaw(&part.header)
		if err != nil {
			return err
		}
		if _, err := w.Write(part.data); err != nil {
			return err
		}
	}
	return z.Close()
}

// deflated is a part as it stands in the archive.
type deflated struct {
	header zip.FileHeader
	data   []byte
	err    error
}

// deflateAll compresses the parts, which do not hang on one another, on all
// processors, and gives them in the order of their names.
func (p *pack) deflateAll(names []string) []deflated {
	out := make([]deflated, len(names))
	by := make([]*deflater, workers.Count(len(names)))
	for worker := range by {
		by[worker] = newDeflater()
	}
	workers.AtOnce(len(names), func(worker, i int) bool {
		out[i] = by[worker].part(names[i], func(w *bufio.Writer) error { return p.finish(w, names[i]) })
		return true
	})
	return out
}

// deflater compresses one part after the other. What it works with is kept from
// part to part: making it takes longer than compressing most of them.
type deflater struct {
	flate *flate.Writer
	plain *bufio.Writer
}

// newDeflater compresses at the fastest level: the default one makes the workbook
// of the demo 149 kB long instead of 181 kB, and takes nearly three times as long.
func newDeflater() *deflater {
	f, _ := flate.NewWriter(nil, flate.BestSpeed) // fails only at a level that there is not
	return &deflater{flate: f, plain: bufio.NewWriterSize(nil, 1<<15)}
}

// zipVersion is that of the ZIP format whose readers know how to inflate (2.0).
const zipVersion = 20

// part compresses what write writes, the part of that name.
func (d *deflater) part(name string, write func(*bufio.Writer) error) deflated {
	var out bytes.Buffer
	sum, size := crc32.NewIEEE(), counter(0)
	d.flate.Reset(&out)
	d.plain.Reset(io.MultiWriter(d.flate, sum, &size))
	err := write(d.plain)
	if err == nil {
		err = d.plain.Flush()
	}
	if err == nil {
		err = d.flate.Close()
	}
	return deflated{data: out.Bytes(), err: err, header: zip.FileHeader{
		Name: name, Method: zip.Deflate, CreatorVersion: zipVersion, ReaderVersion: zipVersion,
		CRC32: sum.Sum32(), UncompressedSize64: uint64(size), CompressedSize64: uint64(out.Len()),
	}}
}

// counter counts the bytes that are written to it.
type counter uint64

func (c *counter) Write(p []byte) (int, error) {
	*c += counter(len(p))
	return len(p), nil
}

// finish writes a part as it goes into the archive.
func (p *pack) finish(out *bufio.Writer, name string) error {
	data := p.parts[name].Bytes()
	if name == contentTypes {
		sorted, err := sortTypes(data)
		out.Write(sorted)
		return err
	}
	p.rewrite(out, name, data)
	return nil // the writer keeps its error until it is flushed
}

// types is the content types part, ECMA-376 part 2.
type types struct {
	XMLName   xml.Name       `xml:"http://schemas.openxmlformats.org/package/2006/content-types Types"`
	Defaults  []typeDefault  `xml:"Default"`
	Overrides []typeOverride `xml:"Override"`
}

type typeDefault struct {
	Extension   string `xml:",attr"`
	ContentType string `xml:",attr"`
}

type typeOverride struct {
	PartName    string `xml:",attr"`
	ContentType string `xml:",attr"`
}

func sortTypes(data []byte) ([]byte, error) {
	var t types
	if err := xml.Unmarshal(data, &t); err != nil {
		return nil, err
	}
	slices.SortFunc(t.Defaults, func(a, b typeDefault) int { return strings.Compare(a.Extension, b.Extension) })
	slices.SortFunc(t.Overrides, func(a, b typeOverride) int { return strings.Compare(a.PartName, b.PartName) })
	out, err := xml.Marshal(t)
	return append([]byte(xml.Header), out...), err
}
