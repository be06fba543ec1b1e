package workbook

import (
	"archive/zip"
	"bytes"
	"compress/flate"
	"encoding/xml"
	"io"
	"io/fs"
	"slices"
	"strings"
)

// contentTypes is the part that lists what kind each other part is.
const contentTypes = "[Content_Types].xml"

// pack gathers the parts of a workbook and writes them as a zip archive in a
// fixed order, without times: the same parts give the same bytes, whatever the
// order in which they come.
type pack struct {
	to      io.Writer
	parts   map[string]*bytes.Buffer
	rewrite func(name string, data []byte) []byte
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
	names := make([]string, 0, len(p.parts))
	for name := range p.parts {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int {
		if (a == contentTypes) != (b == contentTypes) {
			if a == contentTypes {
				return -1
			}
			return 1
		}
		return strings.Compare(a, b)
	})
	z := zip.NewWriter(p.to)
	z.RegisterCompressor(zip.Deflate, oneCompressor())
	for _, name := range names {
		data := p.parts[name].Bytes()
		if name == contentTypes {
			sorted, err := sortTypes(data)
			if err != nil {
				return err
			}
			data = sorted
		}
		w, err := z.Create(name)
		if err != nil {
			return err
		}
		if _, err := w.Write(p.rewrite(name, data)); err != nil {
			return err
		}
	}
	return z.Close()
}

// oneCompressor packs all parts, one after the other, with the same compressor:
// most of the time goes into making one.
func oneCompressor() zip.Compressor {
	var one *flate.Writer
	return func(w io.Writer) (io.WriteCloser, error) {
		if one != nil {
			one.Reset(w)
			return one, nil
		}
		var err error
		one, err = flate.NewWriter(w, flate.BestSpeed)
		return one, err
	}
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
