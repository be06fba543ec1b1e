package mesh

import (
	"archive/zip"
	"cmp"
	"errors"
	"fmt"
	"io"
	"net/url"
	"path"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// Names of the 3MF Core Specification 1.4, its Production Extension 1.2 and the
// Open Packaging Conventions (ECMA-376 part 2) that they rest on.
const (
	coreSpace  = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
	prodSpace  = "http://schemas.microsoft.com/3dmanufacturing/production/2015/06"
	relSpace   = "http://schemas.openxmlformats.org/package/2006/relationships"
	modelType  = "http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"
	rootRels   = "_rels/.rels"
	usualModel = "3D/3dmodel.model"
)

// mmPer are the units of a model.
var mmPer = map[string]float64{
	"micron": 0.001, "millimeter": 1, "centimeter": 10, "inch": 25.4, "foot": 304.8, "meter": 1000,
}

func open3MF(r io.ReaderAt, size int64, o Options) (*File, bom.Problems, error) {
	z, err := zip.NewReader(r, size)
	if err != nil {
		return nil, nil, &fault{what: "the 3MF package is damaged: " + err.Error(), want: "a whole zip archive"}
	}
	name, err := modelPart(z, o)
	if err != nil {
		return nil, nil, err
	}
	m := &model{o: o, zip: z, parts: map[string]*part{}, private: holdsSettings(z)}
	if err := m.read(name); err != nil {
		return nil, nil, err
	}
	if err := m.plan(); err != nil {
		return nil, nil, err
	}
	pieces, err := m.choose(o.Piece)
	if err != nil {
		return nil, nil, err
	}
	return &File{Pieces: pieces, o: o}, m.notes(), nil
}

// modelPart finds the part that holds the model, by the package's start
// relationship.
func modelPart(z *zip.Reader, o Options) (string, error) {
	name := ""
	if find(z, rootRels) != nil {
		_, err := eachToken(find(z, rootRels), o, o.Limits.Expanded, func(s *markup.Scanner, t markup.Token, _ int64) error {
			if t.Kind != markup.Start || name != "" || t.Name != "Relationship" ||
				s.Space(t.Prefix) != relSpace || string(s.Bare("Type")) != modelType {
				return nil
			}
			name = partName(string(s.Bare("Target")))
			return nil
		})
		if err != nil {
			return "", err
		}
	}
	name = cmp.Or(name, usualModel)
	if find(z, name) == nil {
		return "", &fault{what: "the zip archive holds no 3MF model", found: name, want: "a 3MF package with a model part"}
	}
	return name, nil
}

// partName is the name of a part as an archive has it: without the slash in
// front.
func partName(target string) string { return path.Clean(strings.TrimPrefix(target, "/")) }

// find looks a part up; names of parts are the same whatever their case, and may
// be written as in a link, with %20 for a space (ECMA-376 part 2, 9.1.1).
func find(z *zip.Reader, name string) *zip.File {
	plain, err := url.PathUnescape(name)
	if err != nil {
		plain = name
	}
	for _, f := range z.File {
		if have := strings.TrimPrefix(f.Name, "/"); strings.EqualFold(have, name) || strings.EqualFold(have, plain) {
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

// content unpacks at most so many bytes of a part to its end, which also checks
// the sum that the archive keeps of it.
func content(f *zip.File, o Options, most int64) ([]byte, error) {
	if f.UncompressedSize64 > bombSize && f.UncompressedSize64/uint64(o.Limits.Expansion) > f.CompressedSize64 {
		return nil, &fault{what: fmt.Sprintf("part %s unpacks to %d times its size", bom.Printable(f.Name), f.UncompressedSize64/max(f.CompressedSize64, 1)),
			want: raise(fmt.Sprintf("%d times", o.Limits.Expansion), "unzip-mb")}
	}
	body, err := f.Open()
	if err != nil {
		return nil, fmt.Errorf("%s: %w", f.Name, err)
	}
	defer body.Close()
	in := io.LimitReader(body, most+1)
	if o.Progress != nil {
		from, _ := f.DataOffset() // 0 where it is not known
		packed := float64(f.CompressedSize64) / float64(max(f.UncompressedSize64, 1))
		in = bom.Watch(in, 0, func(n int64) { o.Progress(from + int64(float64(n)*packed)) })
	}
	all, err := io.ReadAll(in)
	switch {
	case int64(len(all)) > most:
		return nil, &fault{what: fmt.Sprintf("part %s is too large when it is unpacked", bom.Printable(f.Name)), want: raise(fmt.Sprintf("%d bytes in all", o.Limits.Expanded), "unzip-mb")}
	case err != nil:
		return nil, damaged(f.Name, int64(len(all)), err)
	}
	return all, nil
}

func damaged(name string, at int64, err error) error {
	if errors.Is(err, markup.ErrDepth) || errors.Is(err, markup.ErrAttrs) {
		return &fault{what: fmt.Sprintf("part %s, byte %d: %v", bom.Printable(name), at, err), want: "a model with no more of them"}
	}
	return &fault{what: fmt.Sprintf("part %s is damaged at byte %d: %v", bom.Printable(name), at, err), want: "whole, well-formed XML"}
}

// eachToken walks the XML of a part to its end, of which at most so many bytes
// are unpacked, and tells how many were; at is where the token begins.
func eachToken(f *zip.File, o Options, most int64, use func(s *markup.Scanner, t markup.Token, at int64) error) (int64, error) {
	data, err := content(f, o, most)
	if err != nil {
		return 0, err
	}
	s := markup.New(data)
	for {
		at := s.Offset()
		t, err := s.Next()
		switch {
		case err != nil:
			return 0, damaged(f.Name, at, err)
		case t.Kind == markup.Done:
			return int64(len(data)), nil
		}
		if err := use(s, t, at); err != nil {
			return 0, err
		}
	}
}
