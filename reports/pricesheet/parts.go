package pricesheet

import (
	"archive/zip"
	"bytes"
	"cmp"
	"encoding/xml"
	"fmt"
	"io"
	"slices"
	"strings"

	"tenoff/bom/markup"
)

// pack is the zip archive of a workbook (ECMA-376 part 2).
type pack struct {
	reader *zip.Reader
	byName map[string]*zip.File // small letters, without a stroke at the start
	parts  map[string][]byte    // those that were read or changed
	after  map[string][]byte    // those that changed; nil: it is taken out
	added  []string             // names of those that are new
}

func openPack(data []byte) (*pack, error) {
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	if err != nil {
		return nil, fmt.Errorf("the workbook cannot be read: %w", err)
	}
	p := &pack{reader: z, byName: map[string]*zip.File{}, parts: map[string][]byte{}, after: map[string][]byte{}}
	for _, f := range z.File {
		p.byName[markup.PartName(f.Name)] = f
	}
	return p, nil
}

func (p *pack) has(name string) bool { return p.byName[markup.PartName(name)] != nil }

// read gives a part as it is by now.
func (p *pack) read(name string) ([]byte, error) {
	key := markup.PartName(name)
	if data, ok := p.parts[key]; ok {
		return data, nil
	}
	f := p.byName[key]
	if f == nil {
		return nil, fmt.Errorf("the part %s is missing", name)
	}
	r, err := f.Open()
	if err != nil {
		return nil, err
	}
	defer r.Close()
	data, err := io.ReadAll(r)
	p.parts[key] = data
	return data, err
}

// change puts another text into a part; nil takes the part out.
func (p *pack) change(name string, data []byte) {
	key := markup.PartName(name)
	if !bytes.Equal(p.parts[key], data) || data == nil {
		p.parts[key], p.after[key] = data, data
	}
}

// edit replaces pieces of a part.
func (p *pack) edit(name string, find func(k *walk) ([]splice, error)) error {
	data, err := p.read(name)
	if err != nil {
		return err
	}
	body, marked := bytes.CutPrefix(data, []byte("\xEF\xBB\xBF"))
	splices, err := find(&walk{Scanner: markup.New(body), data: body})
	if err != nil {
		return err
	}
	slices.SortStableFunc(splices, func(a, b splice) int { return cmp.Compare(a.at.start, b.at.start) })
	out := spliced(body, splices)
	if marked {
		out = append([]byte("\xEF\xBB\xBF"), out...)
	}
	p.change(name, out)
	return nil
}

// bytes packs the archive again: what did not change as it stands, in the same
// order.
func (p *pack) bytes() ([]byte, error) {
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	if err := w.SetComment(p.reader.Comment); err != nil {
		return nil, err
	}
	for _, f := range p.reader.File {
		data, changed := p.after[markup.PartName(f.Name)]
		switch {
		case changed && data == nil:
		case !changed:
			if err := w.Copy(f); err != nil {
				return nil, err
			}
		default:
			h := zip.FileHeader{Name: f.Name, Comment: f.Comment, NonUTF8: f.NonUTF8, Method: f.Method, Modified: f.Modified, ExternalAttrs: f.ExternalAttrs}
			part, err := w.CreateHeader(&h)
			if err == nil {
				_, err = part.Write(data)
			}
			if err != nil {
				return nil, err
			}
		}
	}
	for _, name := range p.added {
		part, err := w.Create(name)
		if err == nil {
			_, err = part.Write(p.after[markup.PartName(name)])
		}
		if err != nil {
			return nil, err
		}
	}
	err := w.Close()
	return out.Bytes(), err
}

// relations reads the relationships of a part, by identifier; none where it has
// none.
func (p *pack) relations(of string) (map[string]markup.Relation, error) {
	name := markup.RelationsPart(of)
	if !p.has(name) {
		return nil, nil
	}
	data, err := p.read(name)
	if err != nil {
		return nil, err
	}
	return markup.Relations(of, data)
}

// piece is an element as it stands in a part.
type piece struct {
	tag   span // the start tag
	inner span // what it holds; empty at the end of the tag where that closes it
	end   int  // after the element
}

// closed tells whether the start tag closes the element.
func (p piece) closed() bool { return p.inner.start == p.end }

// walk goes through a part and tells where its elements stand.
type walk struct {
	*markup.Scanner
	data  []byte
	was   int // offset before the last token
	token markup.Token
}

// text is what stands in a piece of the part.
func (w *walk) text(at span) string { return string(w.data[at.start:at.end]) }

// each hands on every start of an element of one name, up to the end of the part.
func (w *walk) each(name string, use func() error) error {
	for {
		if err := w.next(); err != nil || w.token.Kind == markup.Done {
			return err
		}
		if w.token.Kind == markup.Start && w.token.Name == name {
			if err := use(); err != nil {
				return err
			}
		}
	}
}

func (w *walk) next() error {
	w.was = int(w.Offset())
	var err error
	w.token, err = w.Next()
	return err
}

// tag is where the tag that was just read stands: no tag holds another "<".
func (w *walk) tag() span {
	end := int(w.Offset())
	return span{w.was + bytes.LastIndexByte(w.data[w.was:end], '<'), end}
}

// tagPrefix is that of the tag that was just read, with its colon; empty where it has none.
func (w *walk) tagPrefix() string {
	if w.token.Prefix == "" {
		return ""
	}
	return w.token.Prefix + ":"
}

// element reads the element that just started to its end, and hands on what
// starts in it.
func (w *walk) element(inside func() error) (piece, error) {
	p := piece{tag: w.tag()}
	p.inner.start = p.tag.end
	depth := w.Depth()
	for {
		if err := w.next(); err != nil {
			return p, err
		}
		switch {
		case w.token.Kind == markup.Done:
			return p, markup.ErrCut
		case w.token.Kind == markup.End && w.Depth() < depth:
			p.end = int(w.Offset())
			p.inner.end = p.end
			if p.end > p.tag.end {
				p.inner.end = w.tag().start
			}
			return p, nil
		case w.token.Kind == markup.Start && inside != nil:
			if err := inside(); err != nil {
				return p, err
			}
		}
	}
}

// splice is a piece of a part and what takes its place.
type splice struct {
	at   span
	text string
}

// spliced gives a part with pieces replaced, which stand in order and apart.
func spliced(data []byte, splices []splice) []byte {
	var out bytes.Buffer
	done := 0
	for _, s := range splices {
		out.Write(data[done:s.at.start])
		out.WriteString(s.text)
		done = s.at.end
	}
	out.Write(data[done:])
	return out.Bytes()
}

// withAttribute gives a start tag with the value of an attribute replaced or, where
// it has none, added at its end. The value holds nothing to be escaped.
func withAttribute(tag, name, value string) string {
	const blanks = " \t\r\n"
	i := 1 + strings.IndexAny(tag[1:], blanks+"/>")
	for {
		i += len(tag[i:]) - len(strings.TrimLeft(tag[i:], blanks))
		equals := strings.IndexByte(tag[i:], '=')
		if tag[i] == '/' || tag[i] == '>' || equals < 0 {
			break
		}
		found := strings.TrimRight(tag[i:i+equals], blanks)
		open := i + equals + 1
		open += len(tag[open:]) - len(strings.TrimLeft(tag[open:], blanks))
		end := open + 1 + strings.IndexByte(tag[open+1:], tag[open])
		if found == name {
			return tag[:open+1] + value + tag[end:]
		}
		i = end + 1
	}
	return strings.TrimRight(tag[:i], blanks) + " " + name + `="` + value + `"` + tag[i:]
}

// escape writes text as XML holds it, in text and in attributes.
func escape(s string) string {
	var b strings.Builder
	_ = xml.EscapeText(&b, []byte(markup.Hide(s))) // a Builder never fails
	return b.String()
}
