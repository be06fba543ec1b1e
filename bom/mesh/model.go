package mesh

import (
	"encoding/xml"
	"fmt"
	"strconv"
	"strings"

	"tenoff/bom"
)

// model is a 3MF model as it is read: objects, and the items to be built from
// them.
type model struct {
	o       Options
	part    string
	notes   bom.Problems
	unit    float64 // mm
	objects map[string]*object
	items   []placed
	total   int64

	stack   []string // local names of the open elements of the core namespace, "" for others
	current *object  // the open object
}

type object struct {
	id, kind  string
	vertices  []bom.Point
	triangles [][3]uint32
	parts     []placed

	state     int   // of the walk that looks for cycles
	instances int64 // objects that this one puts in place, itself included
	total     int64 // triangles of all of them
}

type placed struct {
	id string
	to transform
	at int64
}

// Elements of the geometry stand at most six deep; others, of extensions, may
// stand deeper.
const (
	deepest     = 6
	maxElements = 200
)

// maxVertices keeps indices in 32 bits.
const maxVertices = 1 << 31

func (m *model) fault(at int64, found, want, what string, args ...any) error {
	return &fault{what: fmt.Sprintf("part %s, byte %d: ", bom.Printable(m.part), at) + fmt.Sprintf(what, args...), found: found, want: want}
}

func (m *model) token(t xml.Token, at int64) error {
	switch e := t.(type) {
	case xml.StartElement:
		name := ""
		if e.Name.Space == coreSpace {
			name = e.Name.Local
		}
		if len(m.stack) >= maxElements {
			return m.fault(at, "", fmt.Sprintf("at most %d", maxElements), "elements are nested too deep")
		}
		m.stack = append(m.stack, name)
		if name != "" && len(m.stack) <= deepest {
			return m.element(strings.Join(m.stack, "/"), e, at)
		}
	case xml.EndElement:
		m.stack = m.stack[:len(m.stack)-1]
	}
	return nil
}

// element reads an element of the core namespace, named by its path; elements
// that stand elsewhere are not of the geometry.
func (m *model) element(path string, e xml.StartElement, at int64) error {
	switch path {
	case "model":
		return m.root(e, at)
	case "model/resources/object":
		return m.object(e, at)
	case "model/resources/object/mesh/vertices/vertex":
		return m.vertex(e, at)
	case "model/resources/object/mesh/triangles/triangle":
		return m.triangle(e, at)
	case "model/resources/object/components/component":
		p, err := m.placed(e, at)
		m.current.parts = append(m.current.parts, p)
		return err
	case "model/build/item":
		p, err := m.placed(e, at)
		m.items = append(m.items, p)
		return err
	}
	return nil
}

func (m *model) root(e xml.StartElement, at int64) error {
	if u := attribute(e, "unit"); u != "" {
		mm, ok := mmPer[u]
		if !ok {
			return m.fault(at, u, "micron, millimeter, centimeter, inch, foot or meter", "the unit is not known")
		}
		m.unit = mm
	}
	if needs := attribute(e, "requiredextensions"); strings.TrimSpace(needs) != "" {
		return m.fault(at, needs, "a file that needs the core specification alone", "the model cannot be understood without an extension")
	}
	return nil
}

func (m *model) object(e xml.StartElement, at int64) error {
	o := &object{id: attribute(e, "id"), kind: attribute(e, "type")}
	if o.id == "" {
		return m.fault(at, "", "an id", "an object has no id")
	}
	if m.objects[o.id] != nil {
		return m.fault(at, o.id, "an id of its own for each object", "two objects have the same id")
	}
	m.objects[o.id] = o
	m.current = o
	return nil
}

func (m *model) vertex(e xml.StartElement, at int64) error {
	var p bom.Point
	for i, name := range [3]string{"x", "y", "z"} {
		text := attribute(e, name)
		v, n := bom.LeadingFloat([]byte(text), true)
		if n == 0 || n != len(text) || !(v > -farthest && v < farthest) {
			return m.fault(at, text, "a number", "the vertex has no place along %s", name)
		}
		p[i] = v
	}
	if len(m.current.vertices) >= maxVertices {
		return tooMany(m.o)
	}
	m.current.vertices = append(m.current.vertices, p)
	return nil
}

func (m *model) triangle(e xml.StartElement, at int64) error {
	var t [3]uint32
	for i, name := range [3]string{"v1", "v2", "v3"} {
		text := attribute(e, name)
		v, err := strconv.ParseUint(text, 10, 31)
		if err != nil || int(v) >= len(m.current.vertices) {
			return m.fault(at, text, fmt.Sprintf("a number under %d, the vertices of the object", len(m.current.vertices)),
				"the triangle's %s names no vertex", name)
		}
		t[i] = uint32(v)
	}
	if int64(len(m.current.triangles)) >= m.o.Limits.Triangles {
		return tooMany(m.o)
	}
	m.current.triangles = append(m.current.triangles, t)
	return nil
}

func (m *model) placed(e xml.StartElement, at int64) (placed, error) {
	p := placed{id: attribute(e, "objectid"), at: at}
	text := attribute(e, "transform")
	t, ok := parseTransform(text)
	if !ok {
		return p, m.fault(at, text, "twelve numbers, or none", "this is no transform")
	}
	p.to = t
	return p, nil
}

// The states of an object on the walk through components.
const (
	unseen  = iota
	walking // being walked: to meet it again is a cycle
	done
)

// plan checks all references and bounds what putting the objects in place will
// take, before any is.
func (m *model) plan(notes *bom.Problems) error {
	if len(m.items) == 0 {
		return m.fault(0, "", "an item in the build", "the model builds nothing")
	}
	var instances int64
	kept := m.items[:0]
	for _, item := range m.items {
		o, err := m.walk(item, nil)
		if err != nil {
			return err
		}
		switch o.kind {
		case "", "model", "solidsupport":
		default:
			notes.Warnf(bom.Place{File: m.o.Name}, o.kind, "only model and solidsupport are measured",
				"object %s is not counted: it is not a solid of the part", bom.Printable(o.id))
			continue
		}
		kept = append(kept, item)
		instances += o.instances
		m.total += o.total
		if m.total > m.o.Limits.Triangles {
			return tooMany(m.o)
		}
		if instances > m.o.Limits.Instances {
			return m.tooMuch(item.at)
		}
	}
	m.items = kept
	return nil
}

func (m *model) tooMuch(at int64) error {
	return m.fault(at, "", raise(m.o.Limits.Instances, "instances"), "components put too many objects in place")
}

func (m *model) walk(p placed, trail []string) (*object, error) {
	o := m.objects[p.id]
	if o == nil {
		return nil, m.fault(p.at, p.id, "the id of an object", "there is no such object")
	}
	trail = append(trail, o.id)
	switch o.state {
	case done:
		return o, nil
	case walking:
		return nil, m.fault(p.at, strings.Join(trail, " → "), "components without a circle", "an object holds itself")
	}
	if len(trail) > maxDepth {
		return nil, m.fault(p.at, "", fmt.Sprintf("at most %d", maxDepth), "components are nested too deep")
	}
	o.state = walking
	o.instances, o.total = 1, int64(len(o.triangles))
	for _, c := range o.parts {
		child, err := m.walk(c, trail)
		if err != nil {
			return nil, err
		}
		o.instances += child.instances
		o.total += child.total
		if o.total > m.o.Limits.Triangles {
			return nil, tooMany(m.o)
		}
		if o.instances > m.o.Limits.Instances {
			return nil, m.tooMuch(c.at)
		}
	}
	o.state = done
	return o, nil
}

// maxDepth bounds the nesting of components.
const maxDepth = 100

func (m *model) each(yield func([]bom.Triangle) error) error {
	scale := transform{m.unit, 0, 0, 0, m.unit, 0, 0, 0, m.unit, 0, 0, 0}
	batch := make([]bom.Triangle, 0, batchSize)
	var put func(o *object, to transform) error
	put = func(o *object, to transform) error {
		mirrored := to.mirrors()
		for _, corners := range o.triangles {
			var t bom.Triangle
			for i, v := range corners {
				t[i] = to.apply(o.vertices[v])
			}
			if mirrored {
				t[1], t[2] = t[2], t[1]
			}
			if batch = append(batch, t); len(batch) == batchSize {
				if err := yield(batch); err != nil {
					return err
				}
				batch = batch[:0]
			}
		}
		for _, c := range o.parts {
			if err := put(m.objects[c.id], c.to.then(&to)); err != nil {
				return err
			}
		}
		return nil
	}
	for _, item := range m.items {
		if err := put(m.objects[item.id], item.to.then(&scale)); err != nil {
			return err
		}
	}
	return yield(batch)
}
