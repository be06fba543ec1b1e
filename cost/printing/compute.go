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
//   - walls: the area within Walls × line width of the outlines, P d − C d² for an
//     outline of length P with corners C, over the line width gives their length;
//   - solid: the area inside the walls that lies open within so many layers above
//     or below, filled wholly;
//   - infill: what is left inside, times its share;
//   - a bead is a rectangle of line width × layer height.
//
// Straight lines of the filling are as long as the mean chord of the area that
// they fill, π × area / perimeter (Crofton's formula, for lines in all
// directions); each begins and ends at rest. Walls stop as often as their
// corners make them. Speeds are within the printer's limits and the recipe's
// flow.
//
// An error names the figure of the recipe or material that cannot be.
func Compute(s *bom.Solid, r bom.Recipe, limits bom.KinematicLimits, f Filament) (*Estimate, error) {
	if err := valid(r, f); err != nil {
		return nil, err
	}
	limits = limits.OrDefault()
	m := newMaker(r, limits)
	layers, err := Slice(s, Cut{LayerMM: r.LayerMM, FirstMM: m.firstMM, LineMM: r.LineMM, Walls: r.Walls, TopLayers: m.top, BottomLayers: m.bottom,
		Speed: m.others.wall, Accelerate: m.others.accelerate, JunctionMM: limits.JunctionMM})
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

// inside is the area that is left when an outline is moved inwards by d, and its
// perimeter.
func (l *Layer) inside(d float64) (area, perimeter float64) {
	if l.Corners > 0 && d > l.Outline/(2*l.Corners) {
		return 0, 0 // the outline has met itself
	}
	area = l.Area - l.Outline*d + l.Corners*d*d
	perimeter = l.Outline - 2*l.Corners*d
	if area <= 0 || perimeter <= 0 {
		return 0, 0
	}
	return min(area, l.Area), perimeter
}

// openAreas are what lies open at one layer, flat and sloped, above and below.
type openAreas struct{ flat, sloped float64 }

// solidAreas are the areas that solid layers close, of each layer.
func solidAreas(layers []Layer, top, bottom int) []openAreas {
	out := make([]openAreas, len(layers))
	var above, below openAreas
	for i := len(layers) - 1; i >= 0; i-- { // tops are closed by the layers under them
		above.flat += layers[i].FlatTop
		above.sloped += layers[i].SlopedTop
		if j := i + top; j < len(layers) {
			above.flat -= layers[j].FlatTop
			above.sloped -= layers[j].SlopedTop
		}
		out[i] = above
	}
	for i := range layers {
		below.flat += layers[i].FlatBottom
		below.sloped += layers[i].SlopedBottom
		if j := i - bottom; j >= 0 {
			below.flat -= layers[j].FlatBottom
			below.sloped -= layers[j].SlopedBottom
		}
		out[i].flat += below.flat
		out[i].sloped += below.sloped
	}
	return out
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
	inner, perimeter := l.inside(float64(m.Walls) * m.LineMM)
	if walls := l.Area - inner; walls > 0 && m.Walls > 0 {
		m.walls(&w, l, walls, p)
	} else {
		inner = l.Area
		perimeter = l.Outline
	}
	if inner <= 0 {
		return w
	}
	bead := m.LineMM * l.Height
	solid, top := 0.0, 0.0
	if m.top > 0 || m.bottom > 0 {
		solid = max(0, min(inner, open.flat*inner/l.Area+open.sloped))
	}
	if m.top > 0 {
		top = min(solid, l.FlatTop*inner/l.Area+l.SlopedTop)
	}
	chord := math.Pi * inner / perimeter
	across := chord * math.Sqrt(solid/inner)
	w.travelS += w.solid.fill(top/m.LineMM, across, m.LineMM, bead, p.top, p)
	w.travelS += w.solid.fill((solid-top)/m.LineMM, across, m.LineMM, bead, p.solid, p)
	sparse := (inner - solid) * m.Infill / 100
	if sparse > 0 {
		w.travelS += w.infill.fill(sparse/m.LineMM, chord*math.Sqrt((inner-solid)/inner), m.LineMM*100/m.Infill, bead, p.infill, p)
	}
	w.travelS += 2 * hop(math.Sqrt(l.Area)/2, p)
	return w
}

// walls adds the lines round the outlines, which cover an area: those that lie on
// an outline, and the others.
func (m *maker) walls(w *work, l *Layer, area float64, p *pace) {
	length := area / m.LineMM
	loops := min(float64(m.Walls), max(1, length/max(l.Outline, 1e-9)))
	stops := min(1+l.Stops, length/m.LineMM)                                         // one where each loop begins
	outer := max(length/float64(m.Walls), min(length, l.Outline-l.Corners*m.LineMM)) // half a line inside the outline
	w.walls.add(outer*m.LineMM*l.Height, runs(outer, stops, p.outer, p.accelerate))
	if inner := length - outer; inner > 0 {
		w.walls.add(inner*m.LineMM*l.Height, runs(inner, stops*max(0, loops-1), p.wall, p.accelerate))
	}
	w.travelS += loops * hop(m.LineMM, p)
}

func (e *Estimate) add(w work) {
	e.Walls.add(w.walls.VolumeMM3, w.walls.Seconds)
	e.Solid.add(w.solid.VolumeMM3, w.solid.Seconds)
	e.Infill.add(w.infill.VolumeMM3, w.infill.Seconds)
	e.TravelS += w.travelS
}

// fill adds parallel lines of a chord each, spacing mm apart, and gives the time
// of the moves between them.
func (s *Share) fill(length, chord, spacing, bead, speed float64, p *pace) (travel float64) {
	if length <= 0 || chord <= 0 {
		return 0
	}
	lines := length / chord
	s.add(length*bead, runs(length, lines, speed, p.accelerate))
	return lines * hop(spacing, p)
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
