package workbook

import (
	"archive/zip"
	"bufio"
	"bytes"
	"compress/flate"
	"errors"
	"io"
	"io/fs"
	"maps"
	"regexp"
	"slices"
)

// contentTypes is the part that lists what kind each other part is.
const contentTypes = "[Content_Types].xml"

// pack gathers the parts of a workbook and writes them as a zip archive in a
// fixed order, without times: the same parts give the same bytes, whatever the
// order in which they come.
type pack struct {
	to      io.Writer
	parts   map[string]*bytes.Buffer
	rewrite func(out *bufio.Writer, name string, data []byte)
}

// Create opens a part for writing.
func (p *pack) Create(name string) (io.Writer, error) {
	if p.parts == nil {
		p.parts = map[string]*bytes.Buffer{}
	}
	p.parts[name] = new(bytes.Buffer)
	return p.parts[name], nil
}

// AddFS is what the interface asks for and nothing calls.
func (p *pack) AddFS(fs.FS) error { return errors.ErrUnsupported }

// Close writes the archive, compressed at the fastest level: the default one makes the
// workbook of the demo a sixth shorter, and takes nearly three times as long.
func (p *pack) Close() error {
	z := zip.NewWriter(p.to)
	fast, _ := flate.NewWriter(nil, flate.BestSpeed) // fails only at a level that there is not
	z.RegisterCompressor(zip.Deflate, func(w io.Writer) (io.WriteCloser, error) {
		fast.Reset(w) // one part after the other
		return fast, nil
	})
	for _, name := range slices.Sorted(maps.Keys(p.parts)) { // the content types first: [ stands before small letters
		part, err := z.Create(name)
		if err != nil {
			return err
		}
		out, data := bufio.NewWriter(part), p.parts[name].Bytes()
		if name == contentTypes {
			out.Write(sortTypes(data))
		} else {
			p.rewrite(out, name, data)
		}
		if err := out.Flush(); err != nil { // the first of all
			return err
		}
	}
	return z.Close()
}

// typeEntry is one part, or one kind of part, in the list of content types.
var typeEntry = regexp.MustCompile(`<(?:Default|Override) [^>]*>(?:</\w+>)?`)

// sortTypes puts the list in order: the library writes it by a map.
func sortTypes(data []byte) []byte {
	sorted := slices.SortedFunc(slices.Values(typeEntry.FindAll(data, -1)), bytes.Compare)
	i := -1
	return typeEntry.ReplaceAllFunc(data, func([]byte) []byte { i++; return sorted[i] })
}
