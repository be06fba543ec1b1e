// Package markup walks XML, for readers that need to know where they stand in it.
//
// 1. [New] takes a whole part; [Scanner.Next] gives its starts, ends and texts.
// 2. [Relations] tells which parts of a package belong together.
//
// It does not validate against a schema and reads no document types.
package markup

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
)

// Scanner walks the XML of one part of a package from end to end. It keeps to what
// the standards for workbooks and models allow in a part: UTF-8, no document type, no
// entities but the five of XML, one root element, every element closed in order.
type Scanner struct {
	Attrs []xml.Attr // of the last start, with prefixes in the place of namespaces

	in    *xml.Decoder
	stack []element // those that are open
	bound []binding
	ended bool // the root element is closed
}

// element is an open element.
type element struct {
	name  xml.Name // with its prefix in the place of its namespace
	bound int      // how many bindings there were before it
}

// binding is a namespace that an open element declares.
type binding struct{ prefix, uri string }

// Kind is what a token is.
type Kind int

// The kinds.
const (
	End     Kind = iota // of an element
	Start               // of an element
	Content             // between tags
	Done                // the part was read to its end
)

// Token is a piece of a part.
type Token struct {
	Kind   Kind
	Prefix string // of the name
	Name   string // local name of an element
	Text   []byte // of content, references resolved; it is valid until the next token
}

// Limits of a part: workbooks and models need about ten of each.
const (
	maxDepth = 200
	maxAttrs = 1000
	longTag  = 1 << 16 // bytes
)

// What a part can be refused for besides broken tags.
var (
	ErrCut   = errors.New("it ends in the middle")
	ErrDepth = fmt.Errorf("elements nest deeper than %d", maxDepth)
	ErrAttrs = fmt.Errorf("an element has more than %d attributes", maxAttrs)
)

// New starts at the beginning of a part.
func New(data []byte) *Scanner {
	in := xml.NewDecoder(&tagReader{Reader: bytes.NewReader(bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF")))})
	in.CharsetReader = func(_ string, r io.Reader) (io.Reader, error) { return r, nil } // UTF-8, whatever it says
	return &Scanner{in: in}
}

// tagReader hands on a part, up to a long tag of too many attributes: the decoder keeps
// all of a tag before it gives it, which takes many times the room of the part.
type tagReader struct {
	*bytes.Reader
	length, values int  // since the last tag began
	last           byte // that is no white space
}

func (r *tagReader) ReadByte() (byte, error) {
	c, err := r.Reader.ReadByte()
	r.length++
	switch c {
	case ' ', '\t', '\r', '\n':
		return c, err
	case '<':
		r.length, r.values = 0, 0
	case '"', '\'':
		if r.last == '=' {
			r.values++
		}
	}
	if r.last = c; r.values > maxAttrs && r.length > longTag {
		return 0, ErrAttrs
	}
	return c, err
}

// Depth is the number of open elements, the one that just started included.
func (s *Scanner) Depth() int { return len(s.stack) }

// Open is the local name of the open element at a depth from 1 to Depth.
func (s *Scanner) Open(depth int) string { return s.stack[depth-1].name.Local }

// Offset is how much of the part has been read, in bytes.
func (s *Scanner) Offset() int64 { return s.in.InputOffset() }

// Space is the namespace that a prefix stands for in the element that is open;
// empty where it is bound to none.
func (s *Scanner) Space(prefix string) string {
	for i := len(s.bound) - 1; i >= 0; i-- {
		if s.bound[i].prefix == prefix {
			return s.bound[i].uri
		}
	}
	return ""
}

// Next gives the next token. Comments and instructions are passed over.
func (s *Scanner) Next() (Token, error) {
	for {
		raw, err := s.in.RawToken()
		var broken *xml.SyntaxError
		switch {
		case err == io.EOF && s.ended:
			return Token{Kind: Done}, nil
		case err == io.EOF, errors.As(err, &broken) && broken.Msg == "unexpected EOF":
			return Token{}, ErrCut
		case broken != nil:
			return Token{}, errors.New(broken.Msg) // without its line
		case err != nil:
			return Token{}, err
		}
		switch t := raw.(type) {
		case xml.StartElement:
			return s.start(t)
		case xml.EndElement:
			return s.end(t.Name)
		case xml.CharData:
			if len(s.stack) > 0 {
				return Token{Kind: Content, Text: t}, nil
			}
			if len(bytes.TrimSpace(t)) > 0 {
				return Token{}, errors.New("text stands outside its root element")
			}
		case xml.Directive:
			return Token{}, errors.New("it declares a document type")
		}
	}
}

// Each hands on the tokens to the end of the part, but for those that use itself reads
// on to.
func (s *Scanner) Each(use func(Token) error) error {
	for {
		t, err := s.Next()
		if err != nil || t.Kind == Done {
			return err
		}
		if err := use(t); err != nil {
			return err
		}
	}
}

// Within does the same to the end of the element that just started.
func (s *Scanner) Within(use func(Token) error) error {
	for base := s.Depth(); s.Depth() >= base; {
		t, err := s.Next()
		if err == nil {
			err = use(t)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// start opens an element and binds the prefixes that it declares (Namespaces in XML 1.0).
func (s *Scanner) start(t xml.StartElement) (Token, error) {
	switch {
	case s.ended:
		return Token{}, errors.New("it has two root elements")
	case len(s.stack) == maxDepth:
		return Token{}, ErrDepth
	case len(t.Attr) > maxAttrs:
		return Token{}, ErrAttrs
	}
	s.stack = append(s.stack, element{t.Name, len(s.bound)})
	s.Attrs = t.Attr
	for _, a := range t.Attr {
		switch {
		case a.Name.Space == "xmlns":
			s.bound = append(s.bound, binding{a.Name.Local, a.Value})
		case a.Name == xml.Name{Local: "xmlns"}:
			s.bound = append(s.bound, binding{"", a.Value})
		}
	}
	return Token{Kind: Start, Prefix: t.Name.Space, Name: t.Name.Local}, nil
}

// end closes the innermost element.
func (s *Scanner) end(name xml.Name) (Token, error) {
	last := len(s.stack) - 1
	if last < 0 || s.stack[last].name != name {
		return Token{}, fmt.Errorf("the end of %q does not fit", Short([]byte(name.Local)))
	}
	s.bound = s.bound[:s.stack[last].bound]
	s.stack = s.stack[:last]
	s.ended = last == 0
	return Token{Kind: End, Prefix: name.Space, Name: name.Local}, nil
}

// Bare gives the value of an attribute without a prefix, of the last start; nil where
// it has none.
func (s *Scanner) Bare(name string) []byte {
	return s.attr(name, func(prefix string) bool { return prefix == "" })
}

// Attr gives the value of an attribute of the last start, whatever its prefix; nil
// where it has none.
func (s *Scanner) Attr(name string) []byte {
	return s.attr(name, func(string) bool { return true })
}

// In gives the value of an attribute of the last start that is of a namespace; nil
// where it has none. Two attributes may share a local name.
func (s *Scanner) In(space, name string) []byte {
	return s.attr(name, func(prefix string) bool { return prefix != "" && s.Space(prefix) == space })
}

func (s *Scanner) attr(name string, wanted func(prefix string) bool) []byte {
	for _, a := range s.Attrs {
		if a.Name.Local == name && wanted(a.Name.Space) {
			return []byte(a.Value)
		}
	}
	return nil
}

// Truth reads an attribute of the last start that is a truth value.
func (s *Scanner) Truth(name string) bool {
	v := string(s.Attr(name))
	return v == "1" || v == "true"
}

// Short is the front of a name or value, for a message.
func Short(name []byte) string { return string(name[:min(len(name), 40)]) }
