package mesh

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"regexp"
	"strings"

	"tenoff/bom"
)

// byteOrderMark stands in front of text that some editors write.
var byteOrderMark = []byte("\xef\xbb\xbf")

var startsSolid = regexp.MustCompile(`^\x{FEFF}?[ \t\r\n]*(?i:solid)`)

// looksASCII tells an ASCII STL file from a binary one whose header says solid:
// no zero byte stands in the text, and a facet or the end follows.
func looksASCII(head []byte) bool { return startsSolid.Match(head) && bytes.IndexByte(head, 0) < 0 }

func openASCII(r io.ReaderAt, head []byte, size int64, o Options) source {
	solids, from := 0, int64(0)
	if bytes.HasPrefix(head, byteOrderMark) {
		from = int64(len(byteOrderMark))
	}
	return source{unitless: true, each: func(yield func([]bom.Triangle) error) error {
		a := asciiReader{o: o}
		a.start(o.reader(r, from, size))
		err := a.each(yield)
		solids = a.solids
		return err
	}, notes: func(ps *bom.Problems) {
		if solids > 1 {
			ps.Notef(bom.Place{File: o.Name}, "the file holds %d solids; they count as one piece", solids)
		}
	}}
}

// asciiReader reads the words of ASCII STL: solid NAME, facet normal X Y Z,
// outer loop, three times vertex X Y Z, endloop, endfacet, endsolid NAME. Words
// may be parted by any white space, as the format allows.
type asciiReader struct {
	words
	o     Options
	batch []bom.Triangle
	total int64

	solids int // that have a facet
}

func (a *asciiReader) each(yield func([]bom.Triangle) error) error {
	a.batch = make([]bom.Triangle, 0, batchSize)
	inside, empty := false, true
	for {
		w, err := a.next()
		if err == io.EOF {
			if inside {
				return a.fault("the file ends inside a solid", nil, "endsolid at the end of a whole file")
			}
			return yield(a.batch)
		}
		if err != nil {
			return err
		}
		switch {
		case !inside && is(w, "solid"):
			inside, empty = true, true
			a.skipping = true
		case inside && is(w, "facet"):
			if empty {
				a.solids++
			}
			empty = false
			err = a.facet()
		case inside && is(w, "endsolid"):
			inside = false
			a.skipping = true
		case inside:
			return a.fault("this is no facet", w, "facet or endsolid")
		default:
			return a.fault("text stands outside a solid", w, "solid or the end of the file")
		}
		if err != nil {
			return err
		}
		if len(a.batch) == batchSize {
			if err := yield(a.batch); err != nil {
				return err
			}
			a.batch = a.batch[:0]
		}
	}
}

func (a *asciiReader) facet() error {
	if a.total++; a.total > a.o.Limits.Triangles {
		return tooMany(a.o)
	}
	if err := a.expect("normal"); err != nil {
		return err
	}
	for range 3 { // the normal follows from the corners; some files write nan for it
		if _, err := a.must("a normal of three numbers"); err != nil {
			return err
		}
	}
	if err := a.expect("outer", "loop"); err != nil {
		return err
	}
	a.batch = append(a.batch, bom.Triangle{})
	t := &a.batch[len(a.batch)-1]
	for c := range t {
		if err := a.expect("vertex"); err != nil {
			return err
		}
		for d := range t[c] {
			w, err := a.must("three coordinates")
			if err != nil {
				return err
			}
			v, n := bom.LeadingFloat(w, true)
			if n != len(w) || n == 0 || math.IsInf(v, 0) {
				return a.fault("this is no coordinate", w, "a number in mm, such as 12.5 or 1.25e1")
			}
			t[c][d] = v
		}
	}
	return a.expect("endloop", "endfacet")
}

func (a *asciiReader) expect(wanted ...string) error {
	for _, want := range wanted {
		w, err := a.must(want)
		if err != nil {
			return err
		}
		if !is(w, want) {
			return a.fault("this does not belong in a facet", w, want)
		}
	}
	return nil
}

// must gives the next word and makes the end of the file a fault.
func (a *asciiReader) must(want string) ([]byte, error) {
	w, err := a.next()
	if err == io.EOF {
		return nil, a.fault("the file ends inside a facet", nil, want)
	}
	return w, err
}

func (a *asciiReader) fault(what string, found []byte, want string) error {
	return &fault{line: a.line, what: what, found: string(found), want: want}
}

// is compares a word with a keyword.
func is(w []byte, keyword string) bool { return strings.EqualFold(string(w), keyword) }

// words parts a stream at white space, counting lines.
type words struct {
	scan     *bufio.Scanner
	line     int
	skipping bool // to the end of the line
}

// longestWord is far over any number or keyword.
const longestWord = 200

// start has the words come from a stream.
func (s *words) start(r io.Reader) {
	s.line, s.scan = 1, bufio.NewScanner(r)
	s.scan.Buffer(make([]byte, 1<<18), 0)
	s.scan.Split(s.split)
}

// split is the split function of the scanner.
func (s *words) split(data []byte, atEOF bool) (advance int, word []byte, err error) {
	from := 0
	for from < len(data) && (s.skipping || data[from] <= ' ') {
		if data[from] == '\n' {
			s.line++
			s.skipping = false
		}
		from++
	}
	to := from
	for to < len(data) && data[to] > ' ' {
		to++
	}
	switch {
	case to-from > longestWord:
		return 0, nil, &fault{line: s.line, what: "this is too long for a word of STL",
			found: string(data[from : from+longestWord]), want: "a keyword or a number"}
	case from < to && (to < len(data) || atEOF):
		return to, data[from:to], nil
	}
	return from, nil, nil
}

// next gives a word that is valid until the next call, or io.EOF.
func (s *words) next() ([]byte, error) {
	if s.scan.Scan() {
		return s.scan.Bytes(), nil
	}
	if err, ok := s.scan.Err().(*fault); ok {
		return nil, err
	}
	if err := s.scan.Err(); err != nil {
		return nil, fmt.Errorf("line %d: %w", s.line, err)
	}
	return nil, io.EOF
}
