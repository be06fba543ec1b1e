package printing

import (
	"fmt"
	"math"

	"tenoff/bom"
)

// Filament is what a part is printed with.
type Filament struct {
	Density    float64 // g/cm³
	DiameterMM float64
}

// Estimate is what one piece takes, computed from its mesh.
type Estimate struct {
	G         float64 // filament
	FilamentM float64 // the same in m of filament
	Seconds   float64 // printing, without the start of the plate
	StartS    float64 // heating and levelling, once per plate
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
	p := newPace(r, limits)
	layers, err := Slice(s, Cut{LayerMM: r.LayerMM, LineMM: r.LineMM, Walls: r.Walls, SolidLayers: r.SolidLayers,
		Speed: p.wall, Accelerate: p.accelerate, JunctionMM: limits.JunctionMM})
	if err != nil {
		return nil, err
	}
	e := &Estimate{Layers: len(layers), StartS: r.StartS}
	solid := solidAreas(layers, r.SolidLayers)
	for i := range layers {
		e.layer(&layers[i], solid[i], &r, p)
	}
	e.skirt(s, &r, p)
	e.ChangesS = float64(len(layers)) * r.LayerChangeS
	e.total(&r, f)
	return e, nil
}

func valid(r bom.Recipe, f Filament) error {
	for _, c := range []struct {
		name  string
		value float64
		ok    bool
		want  string
	}{
		{"Layer mm", r.LayerMM, r.LayerMM > 0 && r.LayerMM <= 10, "over 0 and at most 10"},
		{"Line width mm", r.LineMM, r.LineMM > 0 && r.LineMM <= 20, "over 0 and at most 20"},
		{"Walls", float64(r.Walls), r.Walls >= 0 && r.Walls <= 1000, "from 0 to 1000"},
		{"Solid layers", float64(r.SolidLayers), r.SolidLayers >= 0 && r.SolidLayers <= MaxLayers, fmt.Sprintf("from 0 to %d", MaxLayers)},
		{"Infill %", r.Infill, r.Infill >= 0 && r.Infill <= 100, "from 0 to 100"},
		{"Wall speed mm/s", r.WallSpeed, possible(r.WallSpeed), "over 0"},
		{"Solid speed mm/s", r.SolidSpeed, possible(r.SolidSpeed), "over 0"},
		{"Infill speed mm/s", r.InfillSpeed, possible(r.InfillSpeed), "over 0"},
		{"Travel speed mm/s", r.TravelSpeed, possible(r.TravelSpeed), "over 0"},
		{"Flow limit mm3/s", r.FlowLimit, r.FlowLimit == 0 || possible(r.FlowLimit), "0 or more"},
		{"Acceleration mm/s2", r.Acceleration, possible(r.Acceleration), "over 0"},
		{"Start seconds", r.StartS, r.StartS == 0 || possible(r.StartS), "0 or more"},
		{"Layer change seconds", r.LayerChangeS, r.LayerChangeS == 0 || possible(r.LayerChangeS), "0 or more"},
		{"Skirt loops", float64(r.SkirtLoops), r.SkirtLoops >= 0 && r.SkirtLoops <= 1000, "from 0 to 1000"},
		{"Support %", r.Support, r.Support == 0 || possible(r.Support), "0 or more"},
		{"Density g/cm3", f.Density, possible(f.Density), "over 0"},
		{"Diameter mm", f.DiameterMM, possible(f.DiameterMM), "over 0"},
	} {
		if !c.ok {
			return fmt.Errorf("%s is %g; it must be %s", c.name, c.value, c.want)
		}
	}
	return nil
}

// possible tells whether a figure is over 0 and of this world.
func possible(v float64) bool { return v > 1e-6 && v < 1e9 }

// pace holds the speeds that a recipe comes to on a printer, mm/s.
type pace struct {
	wall, solid, infill, travel float64
	accelerate                  float64 // mm/s²
}

func newPace(r bom.Recipe, l bom.KinematicLimits) pace {
	fastest := min(l.Speed[0], l.Speed[1])
	reached := min(l.Acceleration[0], l.Acceleration[1])
	flow := math.Inf(1)
	if r.FlowLimit > 0 {
		flow = r.FlowLimit / (r.LineMM * r.LayerMM)
	}
	return pace{
		wall: min(r.WallSpeed, fastest, flow), solid: min(r.SolidSpeed, fastest, flow), infill: min(r.InfillSpeed, fastest, flow),
		travel: min(r.TravelSpeed, fastest), accelerate: min(r.Acceleration, reached),
	}
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
func solidAreas(layers []Layer, solid int) []openAreas {
	out := make([]openAreas, len(layers))
	var above, below openAreas
	for i := len(layers) - 1; i >= 0; i-- { // tops are closed by the layers under them
		above.flat += layers[i].FlatTop
		above.sloped += layers[i].SlopedTop
		if j := i + solid; j < len(layers) {
			above.flat -= layers[j].FlatTop
			above.sloped -= layers[j].SlopedTop
		}
		out[i] = above
	}
	for i := range layers {
		below.flat += layers[i].FlatBottom
		below.sloped += layers[i].SlopedBottom
		if j := i - solid; j >= 0 {
			below.flat -= layers[j].FlatBottom
			below.sloped -= layers[j].SlopedBottom
		}
		out[i].flat += below.flat
		out[i].sloped += below.sloped
	}
	return out
}

// layer adds the lines of one layer.
func (e *Estimate) layer(l *Layer, open openAreas, r *bom.Recipe, p pace) {
	if l.Area <= 0 {
		return
	}
	depth := float64(r.Walls) * r.LineMM
	inner, perimeter := l.inside(depth)
	bead := r.LineMM * r.LayerMM

	if walls := l.Area - inner; walls > 0 && r.Walls > 0 {
		length := walls / r.LineMM
		loops := min(float64(r.Walls), max(1, length/max(l.Outline, 1e-9)))
		stops := min(1+l.Stops, length/r.LineMM) * loops // one where each loop begins
		e.Walls.add(length*bead, runs(length, stops, p.wall, p.accelerate))
		e.TravelS += loops * hop(r.LineMM, p)
	} else {
		inner = l.Area
		perimeter = l.Outline
	}
	if inner <= 0 {
		return
	}
	solid := 0.0
	if r.SolidLayers > 0 {
		solid = max(0, min(inner, open.flat*inner/l.Area+open.sloped))
	}
	chord := math.Pi * inner / perimeter
	e.TravelS += e.Solid.fill(solid/r.LineMM, chord*math.Sqrt(solid/inner), r.LineMM, bead, p.solid, p)
	sparse := (inner - solid) * r.Infill / 100
	if sparse > 0 {
		e.TravelS += e.Infill.fill(sparse/r.LineMM, chord*math.Sqrt((inner-solid)/inner), r.LineMM*100/r.Infill, bead, p.infill, p)
	}
	e.TravelS += 2 * hop(math.Sqrt(l.Area)/2, p)
}

// fill adds parallel lines of a chord each, spacing mm apart, and gives the time
// of the moves between them.
func (s *Share) fill(length, chord, spacing, bead, speed float64, p pace) (travel float64) {
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
func hop(d float64, p pace) float64 {
	t, _ := bom.Ramp(d, p.accelerate, p.travel, 0, 0)
	return t
}

// skirt adds the lines round the first layer.
func (e *Estimate) skirt(s *bom.Solid, r *bom.Recipe, p pace) {
	size := s.Size()
	length := float64(r.SkirtLoops) * (2*(size[0]+size[1]) + 2*math.Pi*skirtGap)
	if length > 0 {
		e.Skirt.add(length*r.LineMM*r.LayerMM, runs(length, float64(4*r.SkirtLoops), p.wall, p.accelerate))
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
	e.FilamentM = volume / (math.Pi / 4 * f.DiameterMM * f.DiameterMM) / 1000
}
