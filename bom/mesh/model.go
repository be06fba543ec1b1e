package mesh

import (
	"archive/zip"
	"fmt"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
)

// model is a 3MF model as it is read: the parts of the package that hold its
// objects, and the items to be built from them.
type model struct {
	o        Options
	zip      *zip.Reader
	root     *part
	parts    map[string]*part // by name, in lower case
	unpacked int64            // bytes of all of them
	items    []buildItem      // of the root part
	left     []*object        // that are not the part to be printed, in the order in which they are met
	unread   []string         // geometry of extensions that stands in the model
	private  bool             // there are settings of the program that wrote the file
}

// part is a model part of the package. Only items of the root part are built,
// and only its components may name other parts (Production Extension 1.2,
// chapter 2).
type part struct {
	m       *model
	name    string
	unit    float64 // mm
	objects map[string]*object
	calls   []call // of other parts

	path    []string // local names of the open elements, those of other namespaces empty
	current *object  // the open object
}

// call is where another part is named.
type call struct {
	name string
	at   int64
}

type object struct {
	in               *part
	id, kind         string
	name, partNumber string
	coarse           string // what the object stands in for the full shape as
	vertices         []bom.Point
	triangles        [][3]uint32
	parts            []placed

	state     int   // of the walk that looks for cycles
	instances int64 // objects that this one puts in place, itself included
	total     int64 // triangles of all of them
}

// placed is an object put in place.
type placed struct {
	part string // that holds it; empty where it is in the same
	id   string
	to   transform
	at   int64
	what *object // once it is found
}

// buildItem is one of the build.
type buildItem struct {
	placed
	number     int // from 1
	partNumber string
	unwanted   bool // marked not to be printed
}

// Elements of the geometry stand at most six deep; others, of extensions, may
// stand deeper.
const deepest = 6

// read reads the root part and those that it names.
func (m *model) read(name string) error {
	m.root = &part{m: m, name: name}
	if err := m.root.read(); err != nil {
		return err
	}
	for _, c := range m.root.calls {
		if m.parts[strings.ToLower(c.name)] != nil {
			continue
		}
		if find(m.zip, c.name) == nil {
			return m.root.fault(c.at, c.name, "a whole package", "there is no such part")
		}
		p := &part{m: m, name: c.name}
		if err := p.read(); err != nil {
			return err
		}
	}
	return nil
}

func (p *part) read() error {
	p.unit, p.objects = 1, map[string]*object{}
	p.m.parts[strings.ToLower(p.name)] = p
	n, err := eachToken(find(p.m.zip, p.name), p.m.o, p.m.o.Limits.Expanded-p.m.unpacked, p.token)
	p.m.unpacked += n
	return err
}

func (p *part) fault(at int64, found, want, what string, args ...any) error {
	return &fault{what: fmt.Sprintf("part %s, byte %d: ", bom.Printable(p.name), at) + fmt.Sprintf(what, args...), found: found, want: want}
}

func (p *part) token(s *markup.Scanner, t markup.Token, at int64) error {
	switch t.Kind {
	case markup.Start:
		name := ""
		if space := s.Space(t.Prefix); space == coreSpace {
			name = t.Name
		} else {
			p.m.meet(space)
		}
		p.path = append(p.path, name)
		if name != "" && len(p.path) <= deepest {
			return p.element(&element{Scanner: s, part: p, at: at})
		}
	case markup.End:
		p.path = p.path[:len(p.path)-1]
	}
	return nil
}

// element is one that has just started.
type element struct {
	*markup.Scanner
	part *part
	at   int64
}

// text is what an attribute of the element says; empty where it has none.
func (e *element) text(name string) string { return string(e.Bare(name)) }

// element reads an element of the core namespace, told by its path; elements
// that stand elsewhere are not of the geometry.
func (p *part) element(e *element) error {
	switch strings.Join(p.path, "/") {
	case "model":
		return p.model(e)
	case "model/resources/object":
		return p.object(e)
	case "model/resources/object/mesh/vertices/vertex":
		return p.vertex(e)
	case "model/resources/object/mesh/triangles/triangle":
		return p.triangle(e)
	case "model/resources/object/components/component":
		c, err := p.placed(e)
		p.current.parts = append(p.current.parts, c)
		return err
	case "model/build/item":
		return p.item(e)
	case "model/resources/object/metadatagroup", "model/build/item/metadatagroup":
		p.m.private = true
	}
	return nil
}

func (p *part) model(e *element) error {
	if unit := e.text("unit"); unit != "" {
		mm, ok := mmPer[unit]
		if !ok {
			return p.fault(e.at, unit, "micron, millimeter, centimeter, inch, foot or meter", "the unit is not known")
		}
		p.unit = mm
	}
	for _, prefix := range strings.Fields(e.text("requiredextensions")) {
		if err := p.required(e, prefix); err != nil {
			return err
		}
	}
	return nil
}

func (p *part) object(e *element) error {
	o := &object{in: p, id: e.text("id"), kind: e.text("type"), name: e.text("name"), partNumber: e.text("partnumber")}
	e.foreign(func(space, name, value string) {
		if name == "modelresolution" && kindOf(space) == "production" {
			o.coarse = value
		}
	})
	switch {
	case o.id == "":
		return p.fault(e.at, "", "an id", "an object has no id")
	case p.objects[o.id] != nil:
		return p.fault(e.at, o.id, "an id of its own for each object", "two objects have the same id")
	}
	p.current = o
	p.objects[o.id] = o
	return nil
}

func (p *part) vertex(e *element) error {
	var v bom.Point
	for i, name := range [3]string{"x", "y", "z"} {
		text := e.Bare(name)
		c, n := bom.LeadingFloat(text, true)
		if n == 0 || n != len(text) || !(c > -farthest && c < farthest) {
			return p.fault(e.at, string(text), "a number", "the vertex has no place along %s", name)
		}
		v[i] = c
	}
	p.current.vertices = append(p.current.vertices, v)
	return nil
}

func (p *part) triangle(e *element) error {
	var t [3]uint32
	for i, name := range [3]string{"v1", "v2", "v3"} {
		text := e.Bare(name)
		v, err := strconv.ParseUint(string(text), 10, 31)
		if err != nil || int(v) >= len(p.current.vertices) {
			return p.fault(e.at, string(text), fmt.Sprintf("a number under %d, the vertices of the object", len(p.current.vertices)),
				"the triangle's %s names no vertex", name)
		}
		t[i] = uint32(v)
	}
	if int64(len(p.current.triangles)) >= p.m.o.Limits.Triangles {
		return tooMany(p.m.o)
	}
	p.current.triangles = append(p.current.triangles, t)
	return nil
}

// placed reads what a component and an item have in common. Those of other
// parts than the root may not name further ones.
func (p *part) placed(e *element) (placed, error) {
	c := placed{id: e.text("objectid"), at: e.at}
	text := e.text("transform")
	e.foreign(func(space, name, value string) {
		if name == "path" && space == prodSpace {
			c.part = partName(value)
		}
	})
	var ok bool
	if c.to, ok = parseTransform(text); !ok {
		return c, p.fault(e.at, text, "twelve numbers, or none", "this is no transform")
	}
	if c.part == "" {
		return c, nil
	}
	if p != p.m.root {
		return c, p.fault(e.at, c.part, "an object of the same part", "a part that is named by another names a third")
	}
	p.calls = append(p.calls, call{c.part, e.at})
	return c, nil
}

func (p *part) item(e *element) error {
	if p != p.m.root {
		return nil
	}
	printable := e.text("printable") // of no specification, but written by many
	i := buildItem{number: len(p.m.items) + 1, partNumber: e.text("partnumber"), unwanted: printable == "0" || printable == "false"}
	var err error
	i.placed, err = p.placed(e)
	p.m.items = append(p.m.items, i)
	return err
}

// find gives the object that a component or an item of a part names.
func (p *part) find(c *placed) (*object, error) {
	in := p
	if c.part != "" {
		in = p.m.parts[strings.ToLower(c.part)]
	}
	if o := in.objects[c.id]; o != nil {
		return o, nil
	}
	return nil, p.fault(c.at, c.id, "the id of an object", "there is no such object")
}
