package mesh

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"unicode/utf8"

	"tenoff/bom"
)

// looksASCII tells an ASCII STL file from a binary one whose header says solid:
// no zero byte stands in the text, and a facet or the end follows.
func looksASCII(head []byte) bool {
	text := bytes.TrimLeft(bytes.TrimPrefix(head, []byte("\xef\xbb\xbf")), " \t\r\n")
	if len(text) < 5 || !bytes.EqualFold(text[:5], []byte("solid")) {
		return false
	}
	return bytes.IndexByte(head, 0) < 0
}

func openASCII(r io.ReaderAt, size int64, o Options) source {
	solids := 0
	return source{format: ASCIISTL, unitless: true, each: func(yield func([]bom.Triangle) error) error {
		a := asciiReader{words: words{r: o.reader(r, 0, size), buf: make([]byte, 1<<18), line: 1}, o: o}
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
	a.skipMark()
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
			err = a.skipLine()
		case inside && is(w, "facet"):
			if empty {
				a.solids++
			}
			empty = false
			err = a.facet()
		case inside && is(w, "endsolid"):
			inside = false
			err = a.skipLine()
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

// is compares a word with a keyword in lower case.
func is(w []byte, keyword string) bool {
	if len(w) != len(keyword) {
		return false
	}
	for i := range w {
		if w[i] != keyword[i] && w[i]|0x20 != keyword[i] {
			return false
		}
	}
	return true
}

// words parts a stream at white space, counting lines.
type words struct {
	r        io.Reader
	buf      []byte
	pos, end int
	line     int
	done     error
}

// longestWord is far over any number or keyword.
const longestWord = 200

// next gives a word that is valid until the next call, or io.EOF.
func (s *words) next() ([]byte, error) {
	for {
		for s.pos < s.end && s.buf[s.pos] <= ' ' {
			if s.buf[s.pos] == '\n' {
				s.line++
			}
			s.pos++
		}
		if s.pos < s.end {
			break
		}
		if err := s.fill(); err != nil {
			return nil, err
		}
	}
	i := s.pos
	for {
		for i < s.end && s.buf[i] > ' ' {
			i++
		}
		if i-s.pos > longestWord {
			return nil, &fault{line: s.line, what: "this is too long for a word of STL",
				found: string(s.buf[s.pos:min(i, s.pos+longestWord)]), want: "a keyword or a number"}
		}
		if i < s.end {
			break
		}
		i -= s.pos
		if err := s.fill(); err == io.EOF {
			i += s.pos
			break
		} else if err != nil {
			return nil, err
		}
		i += s.pos
	}
	w := s.buf[s.pos:i]
	s.pos = i
	return w, nil
}

// fill moves what is left to the front and reads on.
func (s *words) fill() error {
	if s.done != nil {
		return s.done
	}
	s.end = copy(s.buf, s.buf[s.pos:s.end])
	s.pos = 0
	n, err := s.r.Read(s.buf[s.end:])
	s.end += n
	if err != nil {
		s.done = err
		if err != io.EOF {
			s.done = fmt.Errorf("line %d: %w", s.line, err)
		}
		if n == 0 {
			return s.done
		}
	}
	return nil
}

func (s *words) skipLine() error {
	for {
		if i := bytes.IndexByte(s.buf[s.pos:s.end], '\n'); i >= 0 {
			s.pos += i
			return nil
		}
		s.pos = s.end
		if err := s.fill(); err == io.EOF {
			return nil
		} else if err != nil {
			return err
		}
	}
}

// skipMark passes over the byte order mark that some editors write.
func (s *words) skipMark() {
	if s.fill() == nil && bytes.HasPrefix(s.buf[s.pos:s.end], []byte("\xef\xbb\xbf")) {
		s.pos += utf8.RuneLen('\uFEFF')
	}
}
