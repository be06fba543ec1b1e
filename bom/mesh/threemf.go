package mesh

import (
	"archive/zip"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"tenoff/bom"
)

// Names of the 3MF Core Specification 1.3 and the Open Packaging Conventions
// (ECMA-376 part 2) that it rests on.
const (
	coreSpace  = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	relSpace   = "http://schemas.openxmlformats.org/package/2006/relationships"
	modelType  = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	rootRels   = "_rels/.rels"
	usualModel = "3D/3dmodel.model"
)

// mmPer are the units of a model.
var mmPer = map[string]float64{
	"micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000,
}

func open3MF(r io.ReaderAt, size int64, o Options) (*source, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, &fault{what: "the 3MF package is damaged: " + err.Error(), want: "a whole zip archive"}
	}
	name, err := modelPart(z, o)
	if err != nil {
		return nil, err
	}
	m := &model{o: o, part: name, objects: map[string]*object{}, unit: 1}
	if err := eachToken(z, name, o, m.token); err != nil {
		return nil, err
	}
	s := &source{format: ThreeMF, notes: m.notes}
	if err := m.plan(&s.notes); err != nil {
		return nil, err
	}
	s.triangles = m.total
	s.each = m.each
	return s, nil
}

// modelPart finds the part that holds the model, by the package's start
// relationship.
func modelPart(z *zip.Reader, o Options) (string, error) {
	name := ""
	if find(z, rootRels) != nil {
		err := eachToken(z, rootRels, o, func(t xml.Token, at int64) error {
			e, ok := t.(xml.StartElement)
			if ok && e.Name.Local == "Relationship" && e.Name.Space == relSpace && attribute(e, "Type") == modelType && name == "" {
				name = path.Clean(strings.TrimPrefix(attribute(e, "Target"), "/"))
			}
			return nil
		})
		if err != nil {
			return "", err
		}
	}
	if name == "" {
		name = usualModel
	}
	if find(z, name) == nil {
		return "", &fault{what: "the zip archive holds no 3MF model", found: name, want: "a 3MF package with a model part"}
	}
	return name, nil
}

// find looks a part up; names of parts are the same whatever their case.
func find(z *zip.Reader, name string) *zip.File {
	for _, f := range z.File {
		if strings.EqualFold(strings.TrimPrefix(f.Name, "/"), name) {
			return f
		}
	}
	return nil
}

// A part over bombSize that unpacks to over Limits.Expansion times its size is not a
// mesh: coordinates pack to about an eighth (tried with a sphere and a grid of
// our own). What the archive says of the size is not
// trusted: the limit on what is unpacked holds besides.
const bombSize = 10 << 20

// longestToken bounds one tag or text of a part, in bytes; those of geometry are
// short.
const longestToken = 1 << 20

// errTooLarge says that a part went on beyond the limit.
var errTooLarge = errors.New("too large after decompression")

// errTooLong says that a tag or a text has no end within the limit.
var errTooLong = errors.New("too long a tag or text")

type capped struct {
	r     io.Reader
	left  int64
	token int64 // bytes since the last token ended, and what was read ahead
}

func (c *capped) Read(b []byte) (int, error) {
	switch {
	case c.left <= 0:
		return 0, errTooLarge
	case c.token > longestToken:
		return 0, errTooLong
	}
	n, err := c.r.Read(b[:min(int64(len(b)), c.left)])
	c.left -= int64(n)
	c.token += int64(n)
	return n, err
}

// eachToken walks the XML of a part to its end, which also checks the sum that
// the archive keeps of it.
func eachToken(z *zip.Reader, name string, o Options, use func(t xml.Token, at int64) error) error {
	f := find(z, name)
	if f.UncompressedSize64 > bombSize && f.UncompressedSize64/uint64(o.Limits.Expansion) > f.CompressedSize64 {
		return &fault{what: fmt.Sprintf("part %s unpacks to %d times its size", bom.Printable(name), f.UncompressedSize64/max(f.CompressedSize64, 1)),
			want: raise(fmt.Sprintf("%d times", o.Limits.Expansion), "unzip-mb")}
	}
	body, err := f.Open()
	if err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	defer body.Close()
	limit := &capped{r: body, left: o.Limits.Expanded}
	var in io.Reader = limit
	if o.Progress != nil {
		packed := float64(f.CompressedSize64) / float64(max(f.UncompressedSize64, 1))
		in = &progressReader{r: in, tell: func(n int64) { o.Progress(int64(float64(n) * packed)) }}
	}
	d := xml.NewDecoder(in)
	for {
		at := d.InputOffset()
		limit.token = 0
		t, err := d.Token()
		switch {
		case err == io.EOF:
			return nil
		case errors.Is(err, errTooLarge):
			return &fault{what: fmt.Sprintf("part %s is too large when it is unpacked", bom.Printable(name)), want: raise(fmt.Sprintf("%d bytes", o.Limits.Expanded), "unzip-mb")}
		case errors.Is(err, errTooLong):
			return &fault{what: fmt.Sprintf("part %s, byte %d: a tag or text is too long", bom.Printable(name), at), want: fmt.Sprintf("at most %d bytes", longestToken)}
		case err != nil:
			return &fault{what: fmt.Sprintf("part %s is damaged at byte %d: %v", bom.Printable(name), at, err), want: "whole, well-formed XML"}
		}
		if err := use(t, at); err != nil {
			return err
		}
	}
}

func attribute(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name && a.Name.Space == "" {
			return a.Value
		}
	}
	return ""
}

// transform is the 4 × 3 matrix of 3MF: a row vector of x, y, z and 1 times it.
type transform [12]float64

var identity = transform{1, 0, 0, 0, 1, 0, 0, 0, 1, 0, 0, 0}

func (t *transform) apply(p bom.Point) (q bom.Point) {
	for i := range q {
		q[i] = p[0]*t[i] + p[1]*t[3+i] + p[2]*t[6+i] + t[9+i]
	}
	return q
}

// then is the transform that does t first and next after it.
func (t *transform) then(next *transform) (out transform) {
	for row := range 4 {
		for i := range 3 {
			out[row*3+i] = t[row*3]*next[i] + t[row*3+1]*next[3+i] + t[row*3+2]*next[6+i]
		}
	}
	for i := range 3 {
		out[9+i] += next[9+i]
	}
	return out
}

// mirrors tells whether the transform turns triangles inside out.
func (t *transform) mirrors() bool {
	return t[0]*(t[4]*t[8]-t[5]*t[7])-t[1]*(t[3]*t[8]-t[5]*t[6])+t[2]*(t[3]*t[7]-t[4]*t[6]) < 0
}

func parseTransform(text string) (t transform, ok bool) {
	if text == "" {
		return identity, true
	}
	fields := strings.Fields(text)
	if len(fields) != len(t) {
		return t, false
	}
	for i, f := range fields {
		v, n := bom.LeadingFloat([]byte(f), true)
		if n != len(f) || !(v > -farthest && v < farthest) {
			return t, false
		}
		t[i] = v
	}
	return t, true
}
