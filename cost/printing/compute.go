package printing

import (
	"math"

	"tenoff/bom"
)

// Filament is what a part is printed with.
type Filament struct {
	Density    float64 // g/cm³
	DiameterMM float64
}

// area is the filament's cross-section, mm².
func (f Filament) area() float64 { return math.Pi / 4 * f.DiameterMM * f.DiameterMM }

// grams is the mass of a length in mm.
func (f Filament) grams(mm float64) float64 { return mm * f.area() / 1000 * f.Density }

// Estimate is what one piece takes, computed from its mesh.
type Estimate struct {
	G         float64 // filament
	FilamentM float64 // the same in m of filament
	Seconds   float64 // printing, without the start of the plate
	StartS    float64 // heating and levelling, once per plate
	PrimeMM   float64 // filament pressed out, once per plate, not in G and FilamentM
	Layers    int
	Walls     Share
	Solid     Share
	Infill    Share
	Skirt     Share
	Support   Share   // the allowance
	TravelS   float64 // moves without printing between lines and regions, s
	ChangesS  float64 // layer changes, s
}

// Share is what one kind of line takes.
type Share struct {
	VolumeMM3 float64
	Seconds   float64
}

// skirtGap is how far the skirt stands off the part, mm (common practice, no
// source).
const skirtGap = 5

// Compute estimates one piece: sections at every layer ([Slice]), then
//
//   - walls: the lines round the outlines as far as the part's thickness has room
//     for them; a wall thinner than its lines is filled. Round outlines shorter than
//     [bom.SmallOutlineMM] they have their own speed. They are planned corner by
//     corner, as a toolpath is, from rest to rest;
//   - solid: the area inside the walls that lies open within so many layers above
//     or below, filled wholly, and what is smaller than the recipe's SolidUnder;
//   - infill: what is left inside, times its share;
//   - a bead is a rectangle of line width × layer height.
//
// Straight lines of the filling are as long as lines along the diagonals are between
// the walls, and each begins and ends at rest; linked ones go on along the wall, two
// sides of a right-angled triangle of the spacing on average, and slow down where they
// turn. Between outlines and fillings the nozzle takes the shortest tour. Speeds are
// within the printer's limits and the recipe's flow; a layer that would take less than
// the least time is slowed down.
//
// An error names the figure of the recipe or material that cannot be.
func Compute(s *bom.Solid, r bom.Recipe, limits bom.KinematicLimits, f Filament) (*Estimate, error) {
	if err := valid(r, f); err != nil {
		return nil, err
	}
	limits = limits.OrDefault()
	m := newMaker(r, limits)
	layers, err := Slice(s, Cut{LayerMM: r.LayerMM, FirstMM: m.firstMM, LineMM: r.LineMM, Walls: r.Walls, TopLayers: m.top, BottomLayers: m.bottom,
		Speed: m.others.wall, Accelerate: m.others.accelerate, JunctionMM: limits.JunctionMM, SolidUnder: r.SolidUnder})
	if err != nil {
		return nil, err
	}
	e := &Estimate{Layers: len(layers), StartS: r.StartS, PrimeMM: r.PrimeMM}
	solid := solidAreas(layers, m.top, m.bottom)
	for i := range layers {
		p := &m.others
		if i == 0 {
			p = &m.first
		}
		e.add(m.timely(&layers[i], solid[i], p))
	}
	e.skirt(s, m)
	e.ChangesS = float64(len(layers)) * r.LayerChangeS
	e.total(&r, f)
	return e, nil
}

// openAreas are what lies open at one layer, flat and sloped, above and below.
type openAreas struct{ flat, sloped float64 }

// hold is how far solid layers that close a slope reach into the infill, which
// holds them there, mm (common practice, no source).
const hold = 2

// solidAreas are the areas that solid layers close, of each layer.
func solidAreas(layers []Layer, top, bottom int) []openAreas {
	out := make([]openAreas, len(layers))
	var above, below openAreas
	for i := len(layers) - 1; i >= 0; i-- { // tops are closed by the layers under them
		l := &layers[i]
		above.move(1, l.FlatTop, l.SlopedTop, l.edgeTop, top)
		if j := i + top; j < len(layers) {
			l = &layers[j]
			above.move(-1, l.FlatTop, l.SlopedTop, l.edgeTop, top)
		}
		out[i] = above
	}
	for i := range layers {
		l := &layers[i]
		below.move(1, l.FlatBottom, l.SlopedBottom, l.edgeBottom, bottom)
		if j := i - bottom; j >= 0 {
			l = &layers[j]
			below.move(-1, l.FlatBottom, l.SlopedBottom, l.edgeBottom, bottom)
		}
		out[i].flat += below.flat
		out[i].sloped += below.sloped
	}
	return out
}

// move takes what lies open at a layer in, or out again. What the layers of a slope
// reach further is shared out over as many as close it.
func (o *openAreas) move(sign, flat, sloped, edge float64, layers int) {
	o.flat += sign * flat
	o.sloped += sign * (sloped + hold*edge/float64(max(1, layers)))
}

// work is what one layer takes.
type work struct {
	walls, solid, infill Share
	travelS              float64
}

func (w *work) lines() float64 { return w.walls.Seconds + w.solid.Seconds + w.infill.Seconds }

// timely is the work on a layer, which is slowed down where it would take less
// than the recipe's least time, as far as the slowest speed allows.
func (m *maker) timely(l *Layer, open openAreas, p *pace) work {
	w := m.layer(l, open, p)
	seconds := w.lines() + w.travelS
	if seconds >= m.LeastS || w.lines() <= 0 {
		return w
	}
	slow := m.layer(l, open, p.slowed(m.SlowestSpeed))
	longer := max(1, (min(m.LeastS, slow.lines()+slow.travelS)-w.travelS)/w.lines())
	for _, s := range []*Share{&w.walls, &w.solid, &w.infill} {
		s.Seconds *= longer
	}
	return w
}

// layer is the work on one layer at a pace.
func (m *maker) layer(l *Layer, open openAreas, p *pace) (w work) {
	if l.Area <= 0 {
		return w
	}
	inner := l.Area - m.walls(&w, l, p)
	if inner <= 0 {
		w.travelS += m.ways(l.shape, 0, 0, p)
		return w
	}
	solid, top := 0.0, 0.0
	if m.top > 0 || m.bottom > 0 {
		solid = max(0, min(inner, open.flat*inner/l.Area+open.sloped))
	}
	solid += (inner - solid) * l.shape.small
	if m.top > 0 {
		top = min(solid, l.FlatTop*inner/l.Area+l.SlopedTop)
	}
	f := filling{of: l.shape, line: m.fillMM, height: l.Height, linked: m.InfillLinked}
	f.across, f.spacing = math.Sqrt(solid/inner), m.fillMM
	w.travelS += w.solid.fill(top, p.top, &f, p)
	w.travelS += w.solid.fill(solid-top, p.solid, &f, p)
	if m.Infill > 0 {
		f.across, f.spacing = math.Sqrt((inner-solid)/inner), m.fillMM*100/m.Infill
		w.travelS += w.infill.fill(inner-solid, p.infill, &f, p)
	}
	w.travelS += m.ways(l.shape, solid, inner-solid, p)
	return w
}

// tour is how long the shortest way through many points of an area is, by the root
// of the area times their number (Beardwood, Halton and Hammersley, Mathematical
// Proceedings of the Cambridge Philosophical Society 55, 1959; the constant by
// computation).
const tour = 0.7124

// ways is the time of the ways from one outline or filling of a layer to the next.
func (m *maker) ways(s *shape, solid, sparse float64, p *pace) float64 {
	n := 0.0
	for i := range s.walls {
		n += float64(s.walls[i].outlines)
	}
	if solid > 0 {
		n += float64(s.islands)
	}
	if sparse > 0 && m.Infill > 0 {
		n += float64(s.islands)
	}
	if n == 0 {
		return 0
	}
	return n * hop(tour*math.Sqrt(s.spread/n), p)
}

// walls adds the lines round the outlines, and gives the area that they cover. The
// lengths are those of the layer's shape, by its own outline.
func (m *maker) walls(w *work, l *Layer, p *pace) (area float64) {
	s := l.shape
	if m.Walls == 0 || s.outline <= 0 {
		return 0
	}
	scale := min(l.Outline/s.outline, l.Area/max(s.walls[0].walls+s.walls[1].walls, 1e-9))
	for small := range s.walls {
		r := &s.walls[small]
		if r.walls <= 0 {
			continue
		}
		first, others := p.outer, p.wall
		if small == 1 {
			first, others = p.small, p.small
		}
		length := r.walls / m.LineMM
		w.walls.add(r.walls*scale*l.Height, scale/r.outline*(r.first*r.seconds(first, p.accelerate)+(length-r.first)*r.seconds(others, p.accelerate)))
		area += r.walls * scale
		w.travelS += max(0, length/r.outline-1) * float64(r.outlines) * hop(m.LineMM, p)
	}
	return min(area, l.Area)
}

func (e *Estimate) add(w work) {
	e.Walls.add(w.walls.VolumeMM3, w.walls.Seconds)
	e.Solid.add(w.solid.VolumeMM3, w.solid.Seconds)
	e.Infill.add(w.infill.VolumeMM3, w.infill.Seconds)
	e.TravelS += w.travelS
}

// filling is parallel lines as long as the chords of a shape, times across, and so
// far from one another.
type filling struct {
	of              *shape
	across, spacing float64
	line, height    float64
	linked          bool
}

// fill adds the lines that fill an area, and gives the time of the moves between
// them. Lines that are linked go on along the wall, which stands at half a right
// angle to them, to the next.
func (s *Share) fill(area, speed float64, f *filling, p *pace) (travel float64) {
	if area <= 0 {
		return 0
	}
	length := area / f.spacing
	if !f.linked {
		lines, seconds := f.of.lines(length, f.across, speed, p.accelerate, 0, 0)
		s.add(length*f.line*f.height, seconds)
		return lines * hop(f.spacing, p)
	}
	// From a line into the wall's way it is half a right angle, from there into the
	// next line three halves.
	into := math.Sqrt(bom.JunctionSquare(p.accelerate, f.of.junction, math.Sqrt2/2))
	back := math.Sqrt(bom.JunctionSquare(p.accelerate, f.of.junction, -math.Sqrt2/2))
	lines, seconds := f.of.lines(length, f.across, speed, p.accelerate, back, into)
	link := f.spacing * math.Sqrt2
	seconds += lines * between(link, p.accelerate, speed, into, back)
	s.add(min((length+lines*link)*f.line, area)*f.height, seconds) // no more than has room
	return 0
}

func (s *Share) add(volume, seconds float64) {
	s.VolumeMM3 += volume
	s.Seconds += seconds
}

// runs is the time of a length that is gone through in so many runs from rest to
// rest.
func runs(length, n, speed, a float64) float64 {
	if n < 1 {
		n = 1
	}
	t, _ := bom.Ramp(length/n, a, speed, 0, 0)
	return n * t
}

// between is the time of a line that begins and ends at two speeds, or as near to
// them as it can.
func between(d, a, speed, v0, v1 float64) float64 {
	v0, v1 = min(v0, speed), min(v1, speed)
	v0 = min(v0, math.Sqrt(v1*v1+2*a*d))
	v1 = min(v1, math.Sqrt(v0*v0+2*a*d))
	t, _ := bom.Ramp(d, a, speed, v0, v1)
	return t
}

// hop is the time of a move without printing.
func hop(d float64, p *pace) float64 {
	t, _ := bom.Ramp(d, p.accelerate, p.travel, 0, 0)
	return t
}

// skirt adds the lines round the lowest layer.
func (e *Estimate) skirt(s *bom.Solid, m *maker) {
	size := s.Size()
	length := float64(m.SkirtLoops) * (2*(size[0]+size[1]) + 2*math.Pi*skirtGap)
	if length > 0 {
		e.Skirt.add(length*m.LineMM*m.firstMM, runs(length, float64(4*m.SkirtLoops), m.first.wall, m.first.accelerate))
	}
}

// total sums up, with the allowance for supports.
func (e *Estimate) total(r *bom.Recipe, f Filament) {
	volume, seconds := 0.0, e.TravelS+e.ChangesS
	for _, s := range []Share{e.Walls, e.Solid, e.Infill, e.Skirt} {
		volume += s.VolumeMM3
		seconds += s.Seconds
	}
	e.Support = Share{volume * r.Support / 100, seconds * r.Support / 100}
	volume += e.Support.VolumeMM3
	e.Seconds = seconds + e.Support.Seconds
	e.G = volume / 1000 * f.Density
	e.FilamentM = volume / f.area() / 1000
}
