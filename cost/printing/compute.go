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
	TravelS   float64 // moves without printing between lines and regions, with pulling back, s
	PullBacks float64 // how often the filament is pulled back
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
//     for them; a wall thinner than its lines is filled, but for the round sides of
//     the lines and, where the recipe says how gaps are printed, for them. Those shorter than
//     [bom.SmallOutlineMM] have their own speed, further in too, where corners or narrow
//     places make them so. They are planned corner by corner, as a toolpath is, from rest
//     to rest;
//   - solid: the area inside the walls that lies open within so many layers above
//     or below, with as much round it as holds it, and what is smaller than the
//     recipe's SolidUnder between walls that meet, filled wholly; over air and sparse infill with strands,
//     where the recipe says how thick;
//   - infill: what is left inside, times its share;
//   - outlines are moved into the part by the recipe's inset first;
//   - a bead is a rectangle of line width × layer height.
//
// Straight lines of the filling are as long as lines along the diagonals are between
// the walls, and each begins and ends at rest; linked ones go on along the wall, two
// sides of a right-angled triangle of the spacing on average, and slow down where they
// turn. Between outlines and fillings the nozzle goes to the nearest; the filament is
// pulled back on ways from holes and to parts of a layer that lie apart, or on all. Speeds are within
// the printer's limits and the recipe's flow; a layer that would take less than the
// least time is slowed down.
//
// An error names the figure of the recipe or material that cannot be.
func Compute(s *bom.Solid, r bom.Recipe, limits bom.KinematicLimits, f Filament) (*Estimate, error) {
	if err := valid(r, f); err != nil {
		return nil, err
	}
	limits = limits.OrDefault()
	m := newMaker(r, limits)
	layers, err := Slice(s, m.cut(limits))
	if err != nil {
		return nil, err
	}
	e := &Estimate{Layers: len(layers), StartS: r.StartS, PrimeMM: r.PrimeMM}
	solid := m.solidAreas(layers)
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

// openAreas are what solid layers close at one layer inside its walls, mm².
type openAreas struct {
	inside float64 // of which so much is there at all
	solid  float64 // all that is closed
	top    float64 // of it what lies open above
	air    float64 // and what lies over air
	along  float64 // share of the outlines over air
}

// hold is how far solid layers reach into the infill, which holds them there, mm
// (common practice, no source).
const hold = 2

// solidAreas are the areas that solid layers close, of each layer: what lies open
// less its walls, and what holds it.
func (m *maker) solidAreas(layers []Layer) []openAreas {
	out := make([]openAreas, len(layers))
	opens := make([][2]closing, len(layers))
	for i := range layers {
		l := &layers[i]
		if l.Area <= 0 {
			continue
		}
		covered, o := m.covered(l), &out[i]
		o.inside = l.Area - covered
		if i == 0 { // layers above close it too, between lines of their own width
			covered = min(l.Area, covered*m.LineMM/m.firstLineMM)
		}
		if m.top > 0 {
			opens[i][0] = closingOf(l, covered, &l.Top, m.top)
			o.top = opens[i][0].open
		}
		if m.bottom > 0 {
			opens[i][1] = closingOf(l, covered, &l.Bottom, m.bottom)
		}
		if i > 0 && l.Outline > 0 {
			o.air, o.along = opens[i][1].flat, min(1, (l.Bottom.rim.out+l.Bottom.rim.step)/l.Outline)
		}
	}
	above, below := 0.0, 0.0
	for i := len(layers) - 1; i >= 0; i-- { // tops are closed by the layers under them
		above += opens[i][0].all
		if j := i + m.top; j < len(layers) {
			above -= opens[j][0].all
		}
		out[i].solid = above
	}
	for i := range layers {
		below += opens[i][1].all
		if j := i - m.bottom; j >= 0 {
			below -= opens[j][1].all
		}
		out[i].solid = min(out[i].solid+below, out[i].inside)
	}
	m.overInfill(out, opens)
	return out
}

// overInfill adds the lowest of the layers that close a top to what lies over air,
// where it is not solid below: sparse lines carry no more than they cross.
func (m *maker) overInfill(areas []openAreas, opens [][2]closing) {
	if m.top == 0 || m.Infill >= 100 {
		return
	}
	for i := 1; i+m.top-1 < len(areas); i++ {
		areas[i].air += max(0, min(opens[i+m.top-1][0].flat, areas[i].solid-areas[i-1].solid-areas[i].air))
	}
}

// closing is what closes what lies open at a layer: flat with what holds it, that
// and slopes, and all with what holds slopes.
type closing struct{ flat, open, all float64 }

// closingOf finds it. Of a slope, what the layers that close it reach further and what
// the walls take of it is shared out over them.
func closingOf(l *Layer, covered float64, o *Open, layers int) (c closing) {
	flat := o.Flat
	if l.Outline > 0 {
		flat -= covered * min(1, (o.rim.out+o.rim.step/float64(layers))/l.Outline)
	}
	c.flat = max(0, flat) + hold*o.rim.in
	c.open = c.flat + o.Sloped
	c.all = c.open + hold*o.edge/float64(layers)
	return c
}

// work is what one layer takes.
type work struct {
	walls, solid, infill Share
	travelS, pullBacks   float64
}

func (w *work) lines() float64 { return w.walls.Seconds + w.solid.Seconds + w.infill.Seconds }

// timely is the work on a layer. One that would take less than the recipe's least time
// by its lengths and speeds, which is how toolpaths reckon it, is slowed down to that, as
// far as the slowest speed allows.
func (m *maker) timely(l *Layer, open openAreas, p *pace) work {
	if m.LeastS > 0 {
		w := m.layer(l, open, p.abrupt())
		if lines := w.lines(); lines > 0 && lines+w.travelS < m.LeastS {
			p = p.slowed(lines/(m.LeastS-w.travelS), m.SlowestSpeed)
		}
	}
	return m.layer(l, open, p)
}

// layer is the work on one layer at a pace.
func (m *maker) layer(l *Layer, open openAreas, p *pace) (w work) {
	if l.Area <= 0 {
		return w
	}
	m.walls(&w, l, open.along, p)
	inner := open.inside
	if inner <= 0 || len(l.shape.chords) == 0 && m.Walls > 0 { // nothing fits inside
		m.ways(&w, l.shape, 0, 0, p)
		return w
	}
	solid := max(0, min(inner, open.solid))
	solid += (inner - solid) * l.shape.small
	top := min(solid, open.top)
	f := filling{of: l.shape, height: l.Height, linked: m.InfillLinked}
	f.across, f.spacing, f.line = math.Sqrt(solid/inner), p.topMM, p.topMM
	w.travelS += w.solid.fill(top, p.top, &f, p)
	f.spacing, f.line = p.fillMM, p.fillMM
	over := min(solid-top, open.air)
	w.travelS += w.solid.fill(solid-top-over, p.solid, &f, p)
	w.travelS += m.bridge(&w, over, f, p)
	if m.Infill > 0 {
		f.across, f.spacing = math.Sqrt((inner-solid)/inner), p.fillMM*100/m.Infill
		w.travelS += w.infill.fill(inner-solid, p.infill, &f, p)
	}
	m.ways(&w, l.shape, solid, inner-solid, p)
	return w
}

// bridge adds the lines that lie over air: strands as thick as the recipe says, side
// by side, or lines as others.
func (m *maker) bridge(w *work, area float64, f filling, p *pace) float64 {
	if strand := m.Special.BridgeMM; strand.Known {
		f.line, f.spacing, f.height = strand.Value, strand.Value, math.Pi/4*strand.Value
	}
	return w.solid.fill(area, p.bridge, &f, p)
}

// tour is how long a way through many points of an area is that goes to the nearest
// next, by the root of the area times their number: the shortest is 0.7124 (Beardwood,
// Halton and Hammersley, Mathematical Proceedings of the Cambridge Philosophical Society
// 55, 1959; the constant by computation), and this a quarter longer (Johnson and McGeoch,
// in Aarts and Lenstra, Local Search in Combinatorial Optimization, 1997).
const tour = 1.25 * 0.7124

// ways adds the ways from one outline or filling of a layer to the next, and pulling the
// filament back on them.
func (m *maker) ways(w *work, s *shape, solid, sparse float64, p *pace) {
	n, gaps := 0.0, 0.0
	holes := -float64(s.islands)
	for i := range s.walls {
		n += float64(s.walls[i].outlines)
		holes += float64(s.walls[i].outlines)
		if p.gap > 0 {
			gaps += s.walls[i].gap.lines
		}
	}
	if solid > 0 {
		n += s.parts
	}
	if sparse > 0 && m.Infill > 0 {
		n += s.parts
	}
	n += gaps
	if n == 0 {
		return
	}
	switch {
	case m.PullInside:
		w.pullBacks = n - gaps // which begin beside the wall
	case s.islands > 1:
		w.pullBacks = float64(s.islands) + max(0, holes)
	default:
		w.pullBacks = max(0, holes)
	}
	w.travelS += n*hop(tour*math.Sqrt(s.spread/n), p) + w.pullBacks*m.PullBackS
}

// covered is the area that walls cover, mm².
func (m *maker) covered(l *Layer) float64 {
	s := l.shape
	if m.Walls == 0 || s == nil || s.outline <= 0 {
		return 0
	}
	return min(l.Area, s.covered()*s.scale(l))
}

// scale is what a layer's outline is to that of its shape.
func (s *shape) scale(l *Layer) float64 {
	return min(l.Outline/s.outline, l.Area/max(s.covered(), 1e-9))
}

// walls adds the lines round the outlines, of which a share lies over air. The lengths
// are those of the layer's shape, by its own outline.
func (m *maker) walls(w *work, l *Layer, air float64, p *pace) {
	s := l.shape
	if m.Walls == 0 || s.outline <= 0 {
		return
	}
	scale := s.scale(l)
	for small := range s.walls {
		r := &s.walls[small]
		if r.walls <= 0 {
			continue
		}
		first := p.outer
		if small == 1 {
			first = p.small
		}
		seconds := r.laps(first, p.wall, p.small, p.accelerate)
		if air > 0 && m.Special.BridgeSpeed.Known {
			seconds += air * (r.laps(p.bridge, p.bridge, p.bridge, p.accelerate) - seconds)
		}
		w.walls.add(r.walls*scale*l.Height, scale*seconds)
		w.travelS += max(0, r.lines/r.outline-1) * float64(r.outlines) * hop(p.wallMM, p)
		if p.gap > 0 && r.gap.length > 0 {
			w.walls.add(r.gap.area*scale*l.Height, r.gap.length*scale/p.gap)
		}
	}
}

func (e *Estimate) add(w work) {
	e.Walls.add(w.walls.VolumeMM3, w.walls.Seconds)
	e.Solid.add(w.solid.VolumeMM3, w.solid.Seconds)
	e.Infill.add(w.infill.VolumeMM3, w.infill.Seconds)
	e.TravelS += w.travelS
	e.PullBacks += w.pullBacks
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
// angle to them, to the next; they end half their width before it, so that lines side by
// side and their links are just as long as the area has room for.
func (s *Share) fill(area, speed float64, f *filling, p *pace) (travel float64) {
	if area <= 0 {
		return 0
	}
	length := area / f.spacing
	if !f.linked {
		lines, seconds := f.of.lines(length, f.across, speed, p.accelerate)
		s.add(length*f.line*f.height, seconds)
		return lines * hop(f.spacing, p)
	}
	length, seconds := f.of.linkedLines(length, speed, f, p)
	s.add(min(length*f.line, area)*f.height, seconds) // no more than has room
	return 0
}

func (s *Share) add(volume, seconds float64) {
	s.VolumeMM3 += volume
	s.Seconds += seconds
}

// runs is the time of a length that is gone through in so many runs from rest to
// rest.
func runs(length, n, speed, a float64) float64 {
	n = max(n, 1)
	t := bom.Ramp(length/n, a, speed, 0, 0)
	return n * t
}

// between is the time of a line that begins and ends at two speeds, or as near to
// them as it can.
func between(d, a, speed, v0, v1 float64) float64 {
	v0, v1 = min(v0, speed), min(v1, speed)
	v0 = min(v0, math.Sqrt(v1*v1+2*a*d))
	v1 = min(v1, math.Sqrt(v0*v0+2*a*d))
	t := bom.Ramp(d, a, speed, v0, v1)
	return t
}

// hop is the time of a move without printing.
func hop(d float64, p *pace) float64 {
	t := bom.Ramp(d, p.accelerate, p.travel, 0, 0)
	return t
}

// skirt adds the lines round the lowest layer.
func (e *Estimate) skirt(s *bom.Solid, m *maker) {
	size := s.Size()
	length := float64(m.SkirtLoops) * (2*(size[0]+size[1]) + 2*math.Pi*skirtGap)
	if length > 0 {
		e.Skirt.add(length*m.first.wallMM*m.firstMM, runs(length, float64(4*m.SkirtLoops), m.first.wall, m.first.accelerate))
	}
}

// total sums up, with the allowance for supports.
func (e *Estimate) total(r *bom.Recipe, f Filament) {
	volume, seconds := 0.0, e.TravelS+e.ChangesS
	for _, s := range []Share{e.Walls, e.Solid, e.Infill, e.Skirt} {
		volume += s.VolumeMM3
		seconds += s.Seconds
	}
	volume *= r.Flow / 100
	volume += e.PullBacks * r.RestartMM * f.area()
	e.Support = Share{volume * r.Support / 100, seconds * r.Support / 100}
	volume += e.Support.VolumeMM3
	e.Seconds = seconds + e.Support.Seconds
	e.G = volume / 1000 * f.Density
	e.FilamentM = volume / f.area() / 1000
}
