package mesh

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"
	"path"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
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
		err := eachToken(z, rootRels, o, func(s *markup.Scanner, t markup.Token, _ int64) error {
			if t.Kind != markup.Start || name != "" || string(t.Name) != "Relationship" ||
				string(s.Space(t.Prefix)) != relSpace || string(s.Bare("Type")) != modelType {
				return nil
			}
			target, err := markup.Attribute(s.Bare("Target"))
			name = path.Clean(strings.TrimPrefix(target, "/"))
			return err
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

// errTooLarge says that a part went on beyond the limit.
var errTooLarge = errors.New("too large after decompression")

type capped struct {
	r    io.Reader
	left int64
}

func (c *capped) Read(b []byte) (int, error) {
	if c.left <= 0 {
		return 0, errTooLarge
	}
	n, err := c.r.Read(b[:min(int64(len(b)), c.left)])
	c.left -= int64(n)
	return n, err
}

// content unpacks a part to its end, which also checks the sum that the archive
// keeps of it.
func content(f *zip.File, name string, o Options) ([]byte, error) {
	if f.UncompressedSize64 > bombSize && f.UncompressedSize64/uint64(o.Limits.Expansion) > f.CompressedSize64 {
		return nil, &fault{what: fmt.Sprintf("part %s unpacks to %d times its size", bom.Printable(name), f.UncompressedSize64/max(f.CompressedSize64, 1)),
			want: raise(fmt.Sprintf("%d times", o.Limits.Expansion), "unzip-mb")}
	}
	body, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	defer body.Close()
	var in io.Reader = &capped{r: body, left: o.Limits.Expanded}
	if o.Progress != nil {
		packed := float64(f.CompressedSize64) / float64(max(f.UncompressedSize64, 1))
		in = &progressReader{r: in, tell: func(n int64) { o.Progress(int64(float64(n) * packed)) }}
	}
	var all bytes.Buffer
	all.Grow(int(min(f.UncompressedSize64, bombSize)))
	_, err = all.ReadFrom(in)
	switch {
	case errors.Is(err, errTooLarge):
		return nil, &fault{what: fmt.Sprintf("part %s is too large when it is unpacked", bom.Printable(name)), want: raise(fmt.Sprintf("%d bytes", o.Limits.Expanded), "unzip-mb")}
	case err != nil:
		return nil, damaged(name, int64(all.Len()), err)
	}
	return all.Bytes(), nil
}

func damaged(name string, at int64, err error) error {
	if errors.Is(err, markup.ErrDepth) || errors.Is(err, markup.ErrAttrs) {
		return &fault{what: fmt.Sprintf("part %s, byte %d: %v", bom.Printable(name), at, err), want: "a model with no more of them"}
	}
	return &fault{what: fmt.Sprintf("part %s is damaged at byte %d: %v", bom.Printable(name), at, err), want: "whole, well-formed XML"}
}

// eachToken walks the XML of a part to its end; at is where the token begins.
func eachToken(z *zip.Reader, name string, o Options, use func(s *markup.Scanner, t markup.Token, at int64) error) error {
	data, err := content(find(z, name), name, o)
	if err != nil {
		return err
	}
	s := markup.New(data)
	for {
		at := s.Offset()
		t, err := s.Next()
		switch {
		case err != nil:
			return damaged(name, at, err)
		case t.Kind == markup.Done:
			return nil
		}
		if err := use(s, t, at); err != nil {
			return err
		}
	}
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
