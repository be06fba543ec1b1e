// Package markup walks XML, for readers that need to know where they stand in it.
//
//  1. [New] takes a whole part; [Scanner.Next] gives its starts, ends and texts.
//  2. [Relations] tells which parts of a package belong together.
//
// It does not validate against a schema and reads no document types.
package markup

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Scanner walks the XML of one part of a package from end to end. It exists for
// speed: encoding/xml takes some thirty megabytes a second, and a package of one
// megabyte may hold forty. It keeps to what the standards for workbooks and models
// allow in a part: UTF-8, no document type, no entities but the five of XML, one root
// element, every element closed in order.
type Scanner struct {
	Attrs []Attr // of the last start

	data  []byte
	pos   int
	token Token             // the last
	stack []element         // those that are open
	names map[string]string // met so far: few, and in every tag
	bound []binding
	empty bool // the last start was of an element without content: its end comes next
	ended bool // the root element is closed
}

// element is an open element.
type element struct {
	full         []byte // its name, as its end has to repeat it
	prefix, name string
	bound        int // how many bindings there were before it
}

// Attr is an attribute, with references resolved.
type Attr struct {
	Prefix, Name string
	Value        []byte
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

// Token is a piece of a part. It may share the memory of the part.
type Token struct {
	Kind   Kind
	Prefix string // of the name
	Name   string // local name of an element
	Text   []byte // of content, references resolved
}

// Limits of a part: workbooks and models need about ten of each.
const (
	maxDepth = 200
	maxAttrs = 1000
)

// What a part can be refused for besides broken tags.
var (
	ErrCut   = errors.New("it ends in the middle")
	ErrDepth = fmt.Errorf("elements nest deeper than %d", maxDepth)
	ErrAttrs = fmt.Errorf("an element has more than %d attributes", maxAttrs)
)

// New starts at the beginning of a part.
func New(data []byte) *Scanner {
	return &Scanner{data: bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF")), names: map[string]string{}}
}

// Depth is the number of open elements, the one that just started included.
func (s *Scanner) Depth() int { return len(s.stack) }

// Open is the local name of the open element at a depth from 1 to Depth.
func (s *Scanner) Open(depth int) string { return s.stack[depth-1].name }

// Offset is how much of the part has been read, in bytes.
func (s *Scanner) Offset() int64 { return int64(s.pos) }

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
	err := s.advance()
	return s.token, err
}

// advance finds the next token.
func (s *Scanner) advance() error {
	s.token = Token{}
	if s.empty {
		s.empty = false
		s.pop()
		return nil
	}
	for found := false; !found; {
		rest := s.data[s.pos:]
		if len(rest) == 0 {
			if !s.ended {
				return ErrCut
			}
			s.token.Kind = Done
			return nil
		}
		var err error
		if rest[0] == '<' {
			found, err = s.tag(rest)
		} else {
			found, err = s.content(rest)
		}
		if err != nil {
			return err
		}
	}
	return nil
}

// content reads up to the next tag; found tells whether that is a token.
func (s *Scanner) content(rest []byte) (found bool, err error) {
	i := bytes.IndexByte(rest, '<')
	if i < 0 {
		i = len(rest)
	}
	s.pos += i
	if len(s.stack) > 0 {
		s.token.Kind = Content
		s.token.Text, err = resolved(rest[:i])
		return true, err
	}
	if len(bytes.TrimSpace(rest[:i])) > 0 {
		return false, errors.New("text stands outside its root element")
	}
	return false, nil
}

// tag reads what begins with "<"; found tells whether it is a token.
func (s *Scanner) tag(rest []byte) (found bool, err error) {
	if len(rest) > 1 {
		switch rest[1] {
		case '/':
			return true, s.endTag(rest)
		case '?':
			return false, s.skip(rest, "?>")
		case '!':
			return s.declaration(rest)
		}
	}
	return true, s.startTag(rest)
}

// declaration reads what begins with "<!"; found tells whether it is a token.
func (s *Scanner) declaration(rest []byte) (found bool, err error) {
	const section = "<![CDATA["
	switch {
	case bytes.HasPrefix(rest, []byte("<!--")):
		return false, s.skip(rest, "-->")
	case bytes.HasPrefix(rest, []byte(section)) && len(s.stack) > 0:
		body := rest[len(section):]
		i := bytes.Index(body, []byte("]]>"))
		if i < 0 {
			return false, ErrCut
		}
		s.pos += len(section) + i + len("]]>")
		s.token = Token{Kind: Content, Text: body[:i]}
		return true, allowed(body[:i])
	}
	return false, errors.New("it declares a document type")
}

func (s *Scanner) skip(rest []byte, end string) error {
	i := bytes.Index(rest, []byte(end))
	if i < 0 {
		return ErrCut
	}
	s.pos += i + len(end)
	return nil
}

func (s *Scanner) endTag(rest []byte) error {
	if n := len(s.stack); n > 0 {
		want := s.stack[n-1].full
		if end := 2 + len(want); len(rest) > end && rest[end] == '>' && bytes.Equal(rest[2:end], want) {
			s.pos += end + 1
			s.pop()
			return nil
		}
	}
	i := bytes.IndexByte(rest, '>')
	if i < 0 {
		return ErrCut
	}
	name := bytes.TrimRight(rest[2:i], " \t\r\n")
	if len(s.stack) == 0 || !bytes.Equal(name, s.stack[len(s.stack)-1].full) {
		return fmt.Errorf("the end of %q does not fit", Short(name))
	}
	s.pos += i + 1
	s.pop()
	return nil
}

// pop closes the innermost element.
func (s *Scanner) pop() {
	e := s.stack[len(s.stack)-1]
	s.bound = s.bound[:e.bound]
	s.stack = s.stack[:len(s.stack)-1]
	s.ended = len(s.stack) == 0
	s.token = Token{Kind: End, Prefix: e.prefix, Name: e.name}
}

func (s *Scanner) startTag(rest []byte) error {
	if s.ended {
		return errors.New("it has two root elements")
	}
	n := nameLength(rest[1:])
	if n == 0 {
		return errors.New("a tag has no name")
	}
	if len(s.stack) == maxDepth {
		return ErrDepth
	}
	name := rest[1 : 1+n]
	s.Attrs = s.Attrs[:0]
	i := 1 + n
	for {
		before := i
		for i < len(rest) && space(rest[i]) {
			i++
		}
		switch {
		case i >= len(rest):
			return ErrCut
		case rest[i] == '>':
			s.push(name, i+1)
			return nil
		case rest[i] == '/':
			if i+1 >= len(rest) {
				return ErrCut
			}
			if rest[i+1] != '>' {
				return fmt.Errorf("the tag %q is broken", Short(name))
			}
			s.empty = true
			s.push(name, i+2)
			return nil
		case before == i:
			return fmt.Errorf("the tag %q is broken", Short(name))
		}
		used, err := s.attribute(rest[i:])
		if err != nil {
			return err
		}
		i += used
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

// push opens an element whose tag takes so many bytes, and binds the prefixes that it
// declares (Namespaces in XML 1.0).
func (s *Scanner) push(full []byte, used int) {
	e := element{full: full, bound: len(s.bound)}
	e.prefix, e.name = s.split(full)
	for _, a := range s.Attrs {
		switch {
		case a.Prefix == "xmlns":
			s.bound = append(s.bound, binding{a.Name, string(a.Value)})
		case a.Prefix == "" && a.Name == "xmlns":
			s.bound = append(s.bound, binding{"", string(a.Value)})
		}
	}
	s.stack = append(s.stack, e)
	s.pos += used
	s.token = Token{Kind: Start, Prefix: e.prefix, Name: e.name}
}

// attribute reads name="value" and gives its length.
func (s *Scanner) attribute(b []byte) (int, error) {
	n := nameLength(b)
	i := n
	for i < len(b) && space(b[i]) {
		i++
	}
	if i < len(b) && (n == 0 || b[i] != '=') {
		return 0, errors.New("an attribute is broken")
	}
	for i++; i < len(b) && space(b[i]); {
		i++
	}
	if i >= len(b) {
		return 0, ErrCut
	}
	quote := b[i]
	if quote != '"' && quote != '\'' {
		return 0, errors.New("an attribute has no quotes")
	}
	end := bytes.IndexByte(b[i+1:], quote)
	if end < 0 {
		return 0, ErrCut
	}
	value := b[i+1 : i+1+end]
	if bytes.IndexByte(value, '<') >= 0 {
		return 0, errors.New("an attribute holds a tag")
	}
	if len(s.Attrs) == maxAttrs {
		return 0, ErrAttrs
	}
	value, err := resolved(value)
	a := Attr{Value: value}
	a.Prefix, a.Name = s.split(b[:n])
	s.Attrs = append(s.Attrs, a)
	return i + 1 + end + 1, err
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
		if a.Name == name && wanted(a.Prefix) {
			return a.Value
		}
	}
	return nil
}

// Truth reads an attribute of the last start that is a truth value.
func (s *Scanner) Truth(name string) bool {
	v := string(s.Attr(name))
	return v == "1" || v == "true"
}

func space(c byte) bool { return c == ' ' || c == '\n' || c == '\t' || c == '\r' }

// endsName marks the bytes that cannot be in a name.
var endsName = func() (marks [256]bool) {
	for _, c := range []byte(" \n\t\r>/=<\"'&") {
		marks[c] = true
	}
	return marks
}()

// nameLength is how many bytes at the start of b can be a name.
func nameLength(b []byte) int {
	for i, c := range b {
		if endsName[c] {
			return i
		}
	}
	return len(b)
}

// split parts a name from its prefix.
func (s *Scanner) split(full []byte) (prefix, name string) {
	if i := bytes.IndexByte(full, ':'); i >= 0 {
		return s.word(full[:i]), s.word(full[i+1:])
	}
	return "", s.word(full)
}

// word is a name as a string: the one that was made of it before.
func (s *Scanner) word(b []byte) string {
	w, known := s.names[string(b)]
	if !known {
		w = string(b)
		if len(s.names) < mostNames {
			s.names[w] = w
		}
	}
	return w
}

// mostNames is how many names are kept at most.
const mostNames = 1000

// Short is the front of a name or value, for a message.
func Short(name []byte) string { return string(name[:min(len(name), 40)]) }

// resolved gives the text that content or an attribute stands for. It may share the
// memory of the part.
func resolved(text []byte) ([]byte, error) {
	if bytes.IndexByte(text, '&') >= 0 {
		var err error
		if text, err = unescape(text); err != nil {
			return nil, err
		}
	}
	return text, allowed(text)
}

// allowed refuses what cannot stand in XML.
func allowed(text []byte) error {
	for _, c := range text {
		if c < ' ' && !space(c) {
			return fmt.Errorf("it holds the character U+%04X, which XML does not allow", c)
		}
	}
	if !utf8.Valid(text) {
		return errors.New("its text is not UTF-8")
	}
	return nil
}

// unescape resolves the five named references of XML and those by number.
func unescape(s []byte) ([]byte, error) {
	out := make([]byte, 0, len(s))
	for {
		i := bytes.IndexByte(s, '&')
		if i < 0 {
			return append(out, s...), nil
		}
		out = append(out, s[:i]...)
		name, _, ok := bytes.Cut(s[i+1:min(len(s), i+1+longestReference)], []byte(";"))
		r, known := reference(string(name))
		if !ok || !known {
			return nil, fmt.Errorf("the reference %q means nothing", "&"+Short(name))
		}
		out = utf8.AppendRune(out, r)
		s = s[i+1+len(name)+1:]
	}
}

const longestReference = len("#x10FFFF;") + 4 // leading zeros

func reference(name string) (rune, bool) {
	switch name {
	case "amp":
		return '&', true
	case "lt":
		return '<', true
	case "gt":
		return '>', true
	case "quot":
		return '"', true
	case "apos":
		return '\'', true
	}
	digits, ok := strings.CutPrefix(name, "#")
	base := 10
	if hex, isHex := strings.CutPrefix(digits, "x"); isHex {
		digits, base = hex, 16
	}
	n, err := strconv.ParseUint(digits, base, 32)
	r := rune(n)
	if !ok || err != nil || n > utf8.MaxRune || !utf8.ValidRune(r) || r < ' ' && r != '\t' && r != '\n' && r != '\r' {
		return 0, false
	}
	return r, true
}
