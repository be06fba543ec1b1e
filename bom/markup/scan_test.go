package markup

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
)

// ours walks a document and writes down its elements and texts.
func ours(doc string) (steps []string, err error) {
	s := New([]byte(doc))
	for {
		t, err := s.Next()
		if err != nil {
			return steps, err
		}
		switch t.Kind {
		case Start:
			step := fmt.Sprintf("<%s %s %d", s.Space(t.Prefix), t.Name, s.Depth())
			for _, name := range []string{"a", "b"} {
				if v := s.Bare(name); v != nil {
					step += " " + name + "=" + string(v)
				}
			}
			steps = append(steps, step)
		case End:
			steps = append(steps, fmt.Sprintf(">%s", t.Name))
		case Content:
			steps = joined(steps, string(t.Text))
		case Done:
			return steps, nil
		}
	}
}

// joined adds a text to the one before it: where a text is parted says nothing.
func joined(steps []string, text string) []string {
	if n := len(steps); n > 0 && strings.HasPrefix(steps[n-1], "'") {
		steps[n-1] += text
		return steps
	}
	if text == "" {
		return steps
	}
	return append(steps, "'"+text)
}

// theirs does the same by encoding/xml, the reference.
func theirs(doc string) (steps []string, err error) {
	d := xml.NewDecoder(strings.NewReader(doc))
	depth := 0
	for {
		t, err := d.Token()
		if err == io.EOF {
			return steps, nil
		}
		if err != nil {
			return steps, err
		}
		switch e := t.(type) {
		case xml.StartElement:
			depth++
			step := fmt.Sprintf("<%s %s %d", e.Name.Space, e.Name.Local, depth)
			for _, name := range []string{"a", "b"} {
				for _, a := range e.Attr {
					if a.Name.Space == "" && a.Name.Local == name {
						step += " " + name + "=" + a.Value
						break
					}
				}
			}
			steps = append(steps, step)
		case xml.EndElement:
			depth--
			steps = append(steps, ">"+e.Name.Local)
		case xml.CharData:
			if depth > 0 {
				steps = joined(steps, string(e))
			}
		}
	}
}

func TestReadsAsReference(t *testing.T) {
	for _, tt := range []struct{ why, doc string }{
		{"an element without content", `<a/>`},
		{"a text with references", `<a>1 &lt; 2 &amp; &#65;&#x42;</a>`},
		{"a section without references", `<a><![CDATA[1 < 2 &amp;]]></a>`},
		{"comments and instructions", `<?xml version="1.0"?><!-- < --><a><?x y?><!-- - --></a>`},
		{"quotes of both kinds", `<a a='"' b="'"/>`},
		{"a default namespace", `<a xmlns="u"><b/><c xmlns="v"><d/></c><e/></a>`},
		{"a namespace taken away", `<a xmlns="u"><b xmlns=""/></a>`},
		{"a prefix bound anew", `<p:a xmlns:p="u"><p:b xmlns:p="v"><p:c/></p:b><p:d/></p:a>`},
		{"a binding that ends with an element without content", `<a><p:b xmlns:p="u"/><b xmlns="u"/><c/></a>`},
		{"an attribute with a prefix is another", `<a xmlns:p="u" p:a="1" a="2"/>`},
		{"space in tags", "<a\n a = \"1\"\t></a >"},
	} {
		t.Run(tt.why, func(t *testing.T) {
			got, err := ours(tt.doc)
			want, refused := theirs(tt.doc)
			if err != nil || refused != nil || !slices.Equal(got, want) {
				t.Errorf("%v %v\ngot  %q\nwant %q", err, refused, got, want)
			}
		})
	}
}

// Documents at random, some of them broken: what both accept reads alike, and
// what the reference refuses is refused.
func TestReadsRandomAsReference(t *testing.T) {
	pieces := []string{"<a>", "<b xmlns='u'>", "<p:b xmlns:p='v' a='1'>", "</a>", "</b>", "</p:b>", "<b/>", "<p:c xmlns:p='w'/>", "x", " ", "&gt;", "<!--c-->", "<![CDATA[<]]>", "<a", "&x;", "<"}
	rnd := rand.New(rand.NewPCG(5, 6))
	both := 0
	for range 20_000 {
		var b strings.Builder
		b.WriteString("<a>")
		open := []string{"</a>"}
		for range rnd.IntN(12) {
			i := rnd.IntN(len(pieces))
			if i >= len(pieces)-3 && rnd.IntN(8) > 0 || i >= 3 && i <= 5 {
				if len(open) > 1 { // close what is open, mostly
					b.WriteString(open[len(open)-1])
					open = open[:len(open)-1]
				}
				continue
			}
			b.WriteString(pieces[i])
			if i < 3 {
				open = append(open, pieces[i+3])
			}
		}
		slices.Reverse(open)
		doc := b.String() + strings.Join(open, "")
		got, err := ours(doc)
		want, refused := theirs(doc)
		switch {
		case refused != nil && err == nil:
			t.Fatalf("%s: the reference refuses it: %v", doc, refused)
		case refused == nil && err != nil:
			t.Fatalf("%s: refused: %v", doc, err)
		case refused == nil:
			both++
			if !slices.Equal(got, want) {
				t.Fatalf("%s\ngot  %q\nwant %q", doc, got, want)
			}
		}
	}
	if both < 5_000 {
		t.Errorf("only %d documents are well-formed", both)
	}
}

func TestRefuses(t *testing.T) {
	many := strings.Repeat(` a=""`, maxAttrs+1)
	for _, tt := range []struct {
		why, doc string
		want     error // nil: any
	}{
		{"nothing", ``, ErrCut},
		{"cut in a tag", `<a b="1"`, ErrCut},
		{"cut before the end", `<a><b/>`, ErrCut},
		{"ends that cross", `<a><b></a></b>`, nil},
		{"two roots", `<a/><b/>`, nil},
		{"text beside the root", `<a/>x`, nil},
		{"a document type, with which entities come", `<!DOCTYPE a><a/>`, nil},
		{"an attribute without quotes", `<a b=1/>`, nil},
		{"deeper than is needed", strings.Repeat("<a>", maxDepth+1), ErrDepth},
		{"more attributes than are needed", "<a" + many + "/>", ErrAttrs},
	} {
		t.Run(tt.why, func(t *testing.T) {
			_, err := ours(tt.doc)
			if err == nil || tt.want != nil && !errors.Is(err, tt.want) {
				t.Errorf("got %v, want %v", err, tt.want)
			}
		})
	}
}

// A tag that goes on for millions of attributes is not read to its end.
func TestLongTag(t *testing.T) {
	s := New([]byte("<a" + strings.Repeat(` a=""`, 1_000_000) + "/>"))
	if _, err := s.Next(); !errors.Is(err, ErrAttrs) || len(s.Attrs) > maxAttrs {
		t.Errorf("%v after %d attributes", err, len(s.Attrs))
	}
}
