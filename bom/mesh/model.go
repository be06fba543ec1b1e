package mesh

import (
	"fmt"
	"strconv"
	"strings"

	"tenoff/bom"
	"tenoff/bom/markup"
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

	path    []byte  // local names of the open elements, those of other namespaces empty, with "/" between
	starts  []int   // where in the path each begins
	current *object // the open object
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
const deepest = 6

// maxVertices keeps indices in 32 bits.
const maxVertices = 1 << 31

func (m *model) fault(at int64, found, want, what string, args ...any) error {
	return &fault{what: fmt.Sprintf("part %s, byte %d: ", bom.Printable(m.part), at) + fmt.Sprintf(what, args...), found: found, want: want}
}

func (m *model) token(s *markup.Scanner, t markup.Token, at int64) error {
	switch t.Kind {
	case markup.Start:
		e := element{Scanner: s, at: at}
		var name []byte
		if string(s.Space(t.Prefix)) == coreSpace {
			name = t.Name
		}
		m.starts = append(m.starts, len(m.path))
		if len(m.starts) > 1 {
			m.path = append(m.path, '/')
		}
		m.path = append(m.path, name...)
		if len(name) > 0 && len(m.starts) <= deepest {
			return m.element(e)
		}
	case markup.End:
		last := len(m.starts) - 1
		m.path, m.starts = m.path[:m.starts[last]], m.starts[:last]
	}
	return nil
}

// element is one that has just started.
type element struct {
	*markup.Scanner
	at int64
}

// text is what an attribute of the element says; empty where it has none.
func (e element) text(name string) (string, error) { return markup.Attribute(e.Bare(name)) }

// element reads an element of the core namespace, told by its path; elements
// that stand elsewhere are not of the geometry.
func (m *model) element(e element) error {
	switch string(m.path) {
	case "model":
		return m.root(e)
	case "model/resources/object":
		return m.object(e)
	case "model/resources/object/mesh/vertices/vertex":
		return m.vertex(e)
	case "model/resources/object/mesh/triangles/triangle":
		return m.triangle(e)
	case "model/resources/object/components/component":
		p, err := m.placed(e)
		m.current.parts = append(m.current.parts, p)
		return err
	case "model/build/item":
		p, err := m.placed(e)
		m.items = append(m.items, p)
		return err
	}
	return nil
}

func (m *model) root(e element) error {
	u, err := e.text("unit")
	if err != nil {
		return damaged(m.part, e.at, err)
	}
	if u != "" {
		mm, ok := mmPer[u]
		if !ok {
			return m.fault(e.at, u, "micron, millimeter, centimeter, inch, foot or meter", "the unit is not known")
		}
		m.unit = mm
	}
	needs, err := e.text("requiredextensions")
	if err != nil {
		return damaged(m.part, e.at, err)
	}
	if strings.TrimSpace(needs) != "" {
		return m.fault(e.at, needs, "a file that needs the core specification alone", "the model cannot be understood without an extension")
	}
	return nil
}

func (m *model) object(e element) error {
	id, err := e.text("id")
	if err != nil {
		return damaged(m.part, e.at, err)
	}
	kind, err := e.text("type")
	if err != nil {
		return damaged(m.part, e.at, err)
	}
	if id == "" {
		return m.fault(e.at, "", "an id", "an object has no id")
	}
	if m.objects[id] != nil {
		return m.fault(e.at, id, "an id of its own for each object", "two objects have the same id")
	}
	m.current = &object{id: id, kind: kind}
	m.objects[id] = m.current
	return nil
}

func (m *model) vertex(e element) error {
	var p bom.Point
	for i, name := range [3]string{"x", "y", "z"} {
		text := e.Bare(name)
		v, n := bom.LeadingFloat(text, true)
		if n == 0 || n != len(text) || !(v > -farthest && v < farthest) {
			return m.fault(e.at, string(text), "a number", "the vertex has no place along %s", name)
		}
		p[i] = v
	}
	if len(m.current.vertices) >= maxVertices {
		return tooMany(m.o)
	}
	m.current.vertices = append(m.current.vertices, p)
	return nil
}

func (m *model) triangle(e element) error {
	var t [3]uint32
	for i, name := range [3]string{"v1", "v2", "v3"} {
		text := e.Bare(name)
		v, err := strconv.ParseUint(string(text), 10, 31)
		if err != nil || int(v) >= len(m.current.vertices) {
			return m.fault(e.at, string(text), fmt.Sprintf("a number under %d, the vertices of the object", len(m.current.vertices)),
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

func (m *model) placed(e element) (placed, error) {
	id, err := e.text("objectid")
	if err != nil {
		return placed{}, damaged(m.part, e.at, err)
	}
	p := placed{id: id, at: e.at}
	text, err := e.text("transform")
	if err != nil {
		return p, damaged(m.part, e.at, err)
	}
	t, ok := parseTransform(text)
	if !ok {
		return p, m.fault(e.at, text, "twelve numbers, or none", "this is no transform")
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
