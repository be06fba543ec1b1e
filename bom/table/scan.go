package table

import (
	"bytes"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf8"
)

// scanner walks the XML of one part of a workbook from end to end. It exists
// for speed: encoding/xml takes some fifteen megabytes a second, and a workbook
// of one megabyte may hold forty. It keeps to what the standard for workbooks
// allows in a part: no document type, no entities but the five of XML, one root
// element, every element closed in order. Names are told by their local part.
type scanner struct {
	data  []byte
	pos   int
	stack [][]byte // full names of the open elements
	attrs []attr   // of the last start
	empty bool     // the last start was of an element without content: its end comes next
	ended bool     // the root element is closed
}

type attr struct{ name, value []byte } // local name; value as it stands

type tokenKind int

const (
	tokenEnd   tokenKind = iota // of an element
	tokenStart                  // of an element
	tokenText                   // between tags, as it stands
	tokenPlain                  // from a CDATA section: holds no references
	tokenDone                   // the part was read to its end
)

type token struct {
	kind tokenKind
	name []byte // local name of an element
	text []byte
}

// maxDepth bounds how deep elements nest; workbooks need about ten.
const maxDepth = 200

var (
	errCut   = errors.New("it ends in the middle")
	errDepth = fmt.Errorf("elements nest deeper than %d", maxDepth)
)

func newScanner(data []byte) *scanner {
	return &scanner{data: bytes.TrimPrefix(data, []byte("\xEF\xBB\xBF"))}
}

// depth is the number of open elements, the one that just started included.
func (s *scanner) depth() int { return len(s.stack) }

// next gives the next token. Comments and instructions are passed over.
func (s *scanner) next() (token, error) {
	if s.empty {
		s.empty = false
		return s.pop(), nil
	}
	for {
		rest := s.data[s.pos:]
		if len(rest) == 0 {
			if !s.ended {
				return token{}, errCut
			}
			return token{kind: tokenDone}, nil
		}
		if rest[0] != '<' {
			i := bytes.IndexByte(rest, '<')
			if i < 0 {
				i = len(rest)
			}
			s.pos += i
			if len(s.stack) > 0 {
				return token{kind: tokenText, text: rest[:i]}, nil
			}
			if len(bytes.TrimSpace(rest[:i])) > 0 {
				return token{}, errors.New("text stands outside its root element")
			}
			continue
		}
		t, skipped, err := s.tag(rest)
		if err != nil || !skipped {
			return t, err
		}
	}
}

// tag reads what begins with "<"; skipped tells that it means nothing here.
func (s *scanner) tag(rest []byte) (t token, skipped bool, err error) {
	switch {
	case bytes.HasPrefix(rest, []byte("</")):
		t, err = s.endTag(rest)
		return t, false, err
	case bytes.HasPrefix(rest, []byte("<?")):
		return token{}, true, s.skip(rest, "?>")
	case bytes.HasPrefix(rest, []byte("<!--")):
		return token{}, true, s.skip(rest, "-->")
	case bytes.HasPrefix(rest, []byte("<![CDATA[")) && len(s.stack) > 0:
		body := rest[len("<![CDATA["):]
		i := bytes.Index(body, []byte("]]>"))
		if i < 0 {
			return token{}, false, errCut
		}
		s.pos += len("<![CDATA[") + i + len("]]>")
		return token{kind: tokenPlain, text: body[:i]}, false, nil
	case bytes.HasPrefix(rest, []byte("<!")):
		return token{}, false, errors.New("it declares a document type")
	}
	t, err = s.startTag(rest)
	return t, false, err
}

func (s *scanner) skip(rest []byte, end string) error {
	i := bytes.Index(rest, []byte(end))
	if i < 0 {
		return errCut
	}
	s.pos += i + len(end)
	return nil
}

func (s *scanner) endTag(rest []byte) (token, error) {
	if n := len(s.stack); n > 0 {
		want := s.stack[n-1]
		if end := 2 + len(want); len(rest) > end && rest[end] == '>' && bytes.Equal(rest[2:end], want) {
			s.pos += end + 1
			return s.pop(), nil
		}
	}
	i := bytes.IndexByte(rest, '>')
	if i < 0 {
		return token{}, errCut
	}
	name := bytes.TrimRight(rest[2:i], " \t\r\n")
	if len(s.stack) == 0 || !bytes.Equal(name, s.stack[len(s.stack)-1]) {
		return token{}, fmt.Errorf("the end of %q does not fit", shortName(name))
	}
	s.pos += i + 1
	return s.pop(), nil
}

func (s *scanner) pop() token {
	name := s.stack[len(s.stack)-1]
	s.stack = s.stack[:len(s.stack)-1]
	s.ended = len(s.stack) == 0
	return token{kind: tokenEnd, name: local(name)}
}

func (s *scanner) startTag(rest []byte) (token, error) {
	if s.ended {
		return token{}, errors.New("it has two root elements")
	}
	n := nameLength(rest[1:])
	if n == 0 {
		return token{}, errors.New("a tag has no name")
	}
	if len(s.stack) == maxDepth {
		return token{}, errDepth
	}
	name := rest[1 : 1+n]
	s.attrs = s.attrs[:0]
	i := 1 + n
	for {
		before := i
		for i < len(rest) && space(rest[i]) {
			i++
		}
		switch {
		case i >= len(rest):
			return token{}, errCut
		case rest[i] == '>':
			return s.push(name, i+1), nil
		case rest[i] == '/':
			if i+1 >= len(rest) {
				return token{}, errCut
			}
			if rest[i+1] != '>' {
				return token{}, fmt.Errorf("the tag %q is broken", shortName(name))
			}
			s.empty = true
			return s.push(name, i+2), nil
		case before == i:
			return token{}, fmt.Errorf("the tag %q is broken", shortName(name))
		}
		used, err := s.attribute(rest[i:])
		if err != nil {
			return token{}, err
		}
		i += used
	}
}

func (s *scanner) push(name []byte, used int) token {
	s.stack = append(s.stack, name)
	s.pos += used
	return token{kind: tokenStart, name: local(name)}
}

// attribute reads name="value" and gives its length.
func (s *scanner) attribute(b []byte) (int, error) {
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
		return 0, errCut
	}
	quote := b[i]
	if quote != '"' && quote != '\'' {
		return 0, errors.New("an attribute has no quotes")
	}
	end := bytes.IndexByte(b[i+1:], quote)
	if end < 0 {
		return 0, errCut
	}
	value := b[i+1 : i+1+end]
	if bytes.IndexByte(value, '<') >= 0 {
		return 0, errors.New("an attribute holds a tag")
	}
	s.attrs = append(s.attrs, attr{local(b[:n]), value})
	return i + 1 + end + 1, nil
}

// attr gives the value of an attribute of the last start as it stands, nil
// where it has none.
func (s *scanner) attr(name string) []byte {
	for _, a := range s.attrs {
		if string(a.name) == name {
			return a.value
		}
	}
	return nil
}

// truth reads an attribute of the last start that is a truth value.
func (s *scanner) truth(name string) bool {
	v := string(s.attr(name))
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

// local drops the prefix of a name.
func local(name []byte) []byte {
	if i := bytes.IndexByte(name, ':'); i >= 0 {
		return name[i+1:]
	}
	return name
}

func shortName(name []byte) string { return string(name[:min(len(name), 40)]) }

// textOf gives the text that a token stands for, with references resolved. It
// may share the memory of the part.
func textOf(t token) ([]byte, error) {
	text := t.text
	if t.kind == tokenText && bytes.IndexByte(text, '&') >= 0 {
		var err error
		if text, err = unescape(text); err != nil {
			return nil, err
		}
	}
	for _, c := range text {
		if c < ' ' && !space(c) {
			return nil, fmt.Errorf("it holds the character U+%04X, which XML does not allow", c)
		}
	}
	if !utf8.Valid(text) {
		return nil, errors.New("its text is not UTF-8")
	}
	return text, nil
}

// attrText gives the text that an attribute stands for.
func attrText(value []byte) (string, error) {
	text, err := textOf(token{kind: tokenText, text: value})
	return string(text), err
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
			return nil, fmt.Errorf("the reference %q means nothing", "&"+shortName(name))
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

// unhide turns _x000D_ into the character it stands for (ISO/IEC 29500-1,
// ST_Xstring, 22.9.2.19); _x005F_ stands for the underscore of a text that
// only looks like that.
func unhide(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for {
		i := strings.Index(s, "_x")
		if i < 0 {
			b.WriteString(s)
			return b.String()
		}
		b.WriteString(s[:i])
		s = s[i:]
		if len(s) >= 7 && s[6] == '_' {
			if n, err := strconv.ParseUint(s[2:6], 16, 16); err == nil && utf8.ValidRune(rune(n)) {
				b.WriteRune(rune(n))
				s = s[7:]
				continue
			}
		}
		b.WriteString(s[:2])
		s = s[2:]
	}
}
