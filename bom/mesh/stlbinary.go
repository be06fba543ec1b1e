package mesh

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"

	"tenoff/bom"
)

// A binary STL file is 80 bytes of anything, the number of triangles, and for
// each of them a normal, three corners and two bytes of anything, all little
// endian.
const (
	stlHeader   = 84
	stlTriangle = 50
	stlNormal   = 12

	batchSize = 512
)

func countIn(head []byte) int64 { return int64(binary.LittleEndian.Uint32(head[80:84])) }

func openBinary(r io.ReaderAt, size, n int64, o Options) (source, error) {
	s := source{triangles: n, unitless: true}
	switch end := stlHeader + n*stlTriangle; {
	case end > size && n > (size-stlHeader)*1000:
		return s, &fault{what: "the content is neither STL nor 3MF", want: "a mesh in STL or 3MF"}
	case end > size:
		return s, &fault{what: fmt.Sprintf("the file ends at byte %d, inside triangle %d of %d", size, (size-stlHeader)/stlTriangle+1, n),
			want: fmt.Sprintf("%d bytes", end)}
	case n == 0 && end < size:
		return s, &fault{what: "the content is neither STL nor 3MF", want: "a mesh in STL or 3MF"}
	case end < size:
		s.notes = func(ps *bom.Problems) {
			ps.Warnf(bom.Place{File: o.Name}, fmt.Sprintf("%d bytes", size-end), "check that the file is whole",
				"more stands behind the last triangle, from byte %d", end)
		}
	}
	if n > o.Limits.Triangles {
		return s, tooMany(o)
	}
	s.each = func(yield func([]bom.Triangle) error) error {
		return eachBinary(o.reader(r, stlHeader, size), n, yield)
	}
	return s, nil
}

func tooMany(o Options) error {
	return &fault{what: "the mesh has too many triangles", want: raise(o.Limits.Triangles, "triangles")}
}

func eachBinary(r io.Reader, n int64, yield func([]bom.Triangle) error) error {
	raw := make([]byte, batchSize*stlTriangle)
	batch := make([]bom.Triangle, batchSize)
	for done := int64(0); done < n; {
		k := min(n-done, batchSize)
		if got, err := io.ReadFull(r, raw[:k*stlTriangle]); err != nil {
			return fmt.Errorf("byte %d: %w", stlHeader+done*stlTriangle+int64(got), err)
		}
		for i := range batch[:k] {
			corner := raw[i*stlTriangle+stlNormal:]
			for c := range 9 {
				batch[i][c/3][c%3] = float64(math.Float32frombits(binary.LittleEndian.Uint32(corner[c*4:])))
			}
		}
		if err := yield(batch[:k]); err != nil {
			return err
		}
		done += k
	}
	return nil
}
