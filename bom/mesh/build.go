package mesh

import (
	"cmp"
	"fmt"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"

	"tenoff/bom"
)

// The states of an object on the walk through components.
const (
	unseen  = iota
	walking // being walked: to meet it again is a cycle
	done
)

// maxDepth bounds the nesting of components.
const maxDepth = 100

// plan checks all references and bounds what putting the objects in place will
// take, before any is.
func (m *model) plan() error {
	root := m.root
	if len(m.items) == 0 {
		return root.fault(0, "", m.otherwise("an item in the build"), "the model has no build items")
	}
	var instances, total int64
	for _, it := range bom.Refs(m.items) {
		o, err := root.walk(&it.placed, nil)
		if err != nil {
			return err
		}
		instances += o.instances
		total += o.total
		if total > m.o.Limits.Triangles {
			return tooMany(m.o)
		}
		if instances > m.o.Limits.Instances {
			return root.tooMuch(it.at)
		}
	}
	return nil
}

// otherwise adds to what would be right that the package holds a toolpath.
func (m *model) otherwise(want string) string {
	for _, f := range m.zip.File {
		if strings.EqualFold(path.Ext(f.Name), ".gcode") {
			return want + ", or the toolpath in the package unpacked from it, " + bom.Printable(f.Name)
		}
	}
	return want
}

func (p *part) tooMuch(at int64) error {
	return p.fault(at, "", raise(p.m.o.Limits.Instances, "instances"), "components put too many objects in place")
}

// walk finds the object that is put in place and walks its components. The type
// of an object counts where it holds a mesh; for one that holds components it is
// ignored (Core Specification 1.4, chapter 4).
func (p *part) walk(c *placed, trail []*object) (*object, error) {
	o, err := p.find(c)
	if err != nil {
		return nil, err
	}
	c.what = o
	trail = append(trail, o)
	switch {
	case o.state == done:
		return o, nil
	case o.state == walking:
		circle := strings.Join(bom.Each(trail, func(o **object) string { return (*o).id }), " → ")
		return nil, p.fault(c.at, circle, "components without a circle", "an object holds itself")
	case len(trail) > maxDepth:
		return nil, p.fault(c.at, "", fmt.Sprintf("at most %d", maxDepth), "components are nested too deep")
	case o.coarse != "" && o.coarse != "fullres":
		return nil, p.fault(c.at, o.coarse, "a file with the full shape alone", "object %s stands in for its full shape", bom.Printable(o.id))
	}
	o.state = walking
	o.instances = 1
	if len(o.triangles) > 0 && !o.plastic() {
		p.m.left = append(p.m.left, o)
		o.triangles = nil
	}
	o.total = int64(len(o.triangles))
	for i := range o.parts {
		child, err := o.in.walk(&o.parts[i], trail)
		if err != nil {
			return nil, err
		}
		o.instances += child.instances
		o.total += child.total
		if o.total > p.m.o.Limits.Triangles {
			return nil, tooMany(p.m.o)
		}
		if o.instances > p.m.o.Limits.Instances {
			return nil, o.in.tooMuch(o.parts[i].at)
		}
	}
	o.state = done
	return o, nil
}

// plastic tells whether a mesh is of the part to be printed: supports stand
// beside it and are taken off, surfaces and others are no bodies.
func (o *object) plastic() bool { return o.kind == "" || o.kind == "model" }

// label is what an object goes by; that of an only component where it has no
// name of its own.
func (o *object) label() string {
	for o.name == "" && len(o.parts) == 1 && len(o.triangles) == 0 {
		o = o.parts[0].what
	}
	return strings.TrimSpace(o.name)
}

// shown are as many objects or pieces as a message names.
const shown = 12

// notes says what is not read.
func (m *model) notes() (ps bom.Problems) {
	at := bom.Place{File: m.o.Name}
	var out []string
	for _, o := range m.left {
		out = append(out, fmt.Sprintf("%s%s (%s)", bom.Printable(o.id), quoted(o.label()), bom.Printable(o.kind)))
	}
	if len(out) > 0 {
		ps.Notef(at, "objects that are not of the part are left out: %s", bom.Some(out, shown))
	}
	m.noteUnwanted(&ps)
	for _, what := range m.unread {
		ps.Warnf(at, "", "the shape as a mesh alone, where it is to be printed", "the model also holds what is not read, %s", what)
	}
	if m.private {
		ps.Notef(at, "the file holds settings of the program that wrote it, which are not read; mass and hours follow the recipe")
	}
	return ps
}

// noteUnwanted names the items that are marked not to be printed.
func (m *model) noteUnwanted(ps *bom.Problems) {
	var numbers []string
	for _, it := range bom.Refs(m.items) {
		if it.unwanted {
			numbers = append(numbers, strconv.Itoa(it.number))
		}
	}
	if n := int64(len(numbers)); n > 0 {
		ps.Notef(bom.Place{File: m.o.Name}, "%s %s of the build %s marked not to be printed and left out",
			plural(n, "item", "items"), bom.Some(numbers, shown), plural(n, "is", "are"))
	}
}

// quoted is a name in quotes, with a space before it; nothing where there is
// none.
func quoted(name string) string {
	if name == "" {
		return ""
	}
	return " " + bom.Shown(name)
}

// label is what an item goes by.
func (it *buildItem) label() string {
	names := it.names()
	return cmp.Or(names[:]...)
}

// same tells whether a piece is that of an item but for its place on the plate.
func (it *buildItem) same(p Piece) bool { return p.item.what == it.what && alike(&p.item.to, &it.to) }

// names are those of an item: the object's, its own part number, the object's.
func (it *buildItem) names() [3]string {
	return [3]string{it.what.label(), strings.TrimSpace(it.partNumber), strings.TrimSpace(it.what.partNumber)}
}

// isLeft tells whether nothing of an item is of the part to be printed.
func (m *model) isLeft(it *buildItem) bool { return it.what.total == 0 && len(m.left) > 0 }

// printed are the items to be printed, once they are found.
func (m *model) printed() (out []*buildItem) {
	for _, it := range bom.Refs(m.items) {
		if !it.unwanted && !m.isLeft(it) {
			out = append(out, it)
		}
	}
	return out
}

// pieces are items as pieces. Those that are the same but for their place on the
// plate are one piece with copies.
func (m *model) pieces(items []*buildItem) []Piece {
	var out []Piece
	for _, it := range items {
		if n := slices.IndexFunc(out, it.same); n >= 0 {
			out[n].Copies++
			continue
		}
		out = append(out, m.piece(it))
	}
	return out
}

func (m *model) piece(it *buildItem) Piece {
	return Piece{File: fmt.Sprintf("%s#%d", m.o.Name, it.number), Name: it.label(), Copies: 1, item: it, source: m.source(it)}
}

// alike tells whether two transforms give the same body, at another place or
// turned about the vertical: lengths and angles (M times its transpose), heights
// and handedness are the same.
func alike(a, b *transform) bool {
	const slack = 1e-6
	for i := range 3 {
		for j := range 3 {
			var x, y float64
			for k := range 3 {
				x += a[3*i+k] * a[3*j+k]
				y += b[3*i+k] * b[3*j+k]
			}
			if math.Abs(x-y) > slack*(1+math.Abs(x)) {
				return false
			}
		}
		if math.Abs(a[3*i+2]-b[3*i+2]) > slack {
			return false
		}
	}
	return a.mirrors() == b.mirrors()
}

// choose gives the pieces that a selector names, all where it is empty. A number
// is that of the item in the build; a name is the object's or a part number;
// "all" makes one piece of all of them.
func (m *model) choose(selector string) ([]Piece, error) {
	printed := m.printed()
	pieces := m.pieces(printed)
	if len(pieces) == 0 {
		return nil, &fault{what: "the build holds no part to be printed", want: m.otherwise("an item of the type model that is not marked otherwise")}
	}
	if selector == "" {
		if len(pieces) == 1 && pieces[0].Copies == 1 {
			pieces[0].File = m.o.Name
		}
		return pieces, nil
	}
	if selector == allPieces {
		return []Piece{{File: m.o.Name + "#" + allPieces, Copies: 1, source: m.source(printed...)}}, nil
	}
	if n, err := strconv.Atoi(selector); err == nil {
		return m.numbered(n, pieces)
	}
	called := func(name string) bool { return name != "" && bom.SameName(name, selector) }
	found := m.pieces(slices.DeleteFunc(printed, func(it *buildItem) bool {
		names := it.names()
		return !slices.ContainsFunc(names[:], called)
	}))
	for i := range found {
		found[i].Copies = 1
	}
	switch len(found) {
	case 0:
		return nil, &fault{what: "the file holds no piece of that name", found: selector, want: listed(pieces)}
	case 1:
		found[0].File = m.o.Name + "#" + selector
		return found, nil
	}
	return nil, &fault{what: "several pieces go by that name", found: selector, want: "the number of one: " + listed(found)}
}

// numbered gives the piece of an item by its number.
func (m *model) numbered(n int, pieces []Piece) ([]Piece, error) {
	switch {
	case n < 1 || n > len(m.items):
		return nil, &fault{what: "the build has no item of that number", found: strconv.Itoa(n), want: listed(pieces)}
	case m.items[n-1].unwanted:
		return nil, &fault{what: "that item of the build is marked not to be printed", found: strconv.Itoa(n), want: listed(pieces)}
	case m.isLeft(&m.items[n-1]):
		return nil, &fault{what: "that item of the build is not of the part to be printed", found: strconv.Itoa(n), want: listed(pieces)}
	}
	return []Piece{m.piece(&m.items[n-1])}, nil
}

// source hands out the triangles of items.
func (m *model) source(items ...*buildItem) source {
	var total int64
	for _, it := range items {
		total += it.what.total
	}
	return source{triangles: total, each: func(yield func([]bom.Triangle) error) error {
		b := batcher{yield: yield, batch: make([]bom.Triangle, 0, batchSize)}
		for _, it := range items {
			if err := b.put(&it.placed, m.root, scaled(m.root.unit)); err != nil {
				return err
			}
		}
		return yield(b.batch)
	}}
}

// batcher puts objects in place and hands out their triangles.
type batcher struct {
	yield func([]bom.Triangle) error
	batch []bom.Triangle
}

// put puts an object in place that a part names, whose lengths go through to.
// An object of another part counts in that part's unit.
func (b *batcher) put(c *placed, from *part, to transform) error {
	o := c.what
	to = c.to.then(&to)
	if o.in.unit != from.unit {
		unit := scaled(o.in.unit / from.unit)
		to = unit.then(&to)
	}
	mirrored := to.mirrors()
	for _, corners := range o.triangles {
		var t bom.Triangle
		for i, v := range corners {
			t[i] = to.apply(o.vertices[v])
		}
		if mirrored {
			t[1], t[2] = t[2], t[1]
		}
		if b.batch = append(b.batch, t); len(b.batch) == batchSize {
			if err := b.yield(b.batch); err != nil {
				return err
			}
			b.batch = b.batch[:0]
		}
	}
	for i := range o.parts {
		if err := b.put(&o.parts[i], o.in, to); err != nil {
			return err
		}
	}
	return nil
}
