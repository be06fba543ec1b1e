package printing

import (
	"fmt"
	"math"

	"tenoff/bom"
)

// claim is a figure that must lie within bounds.
type claim struct {
	name  string
	value float64
	ok    bool
	want  string
}

func over0(name string, v float64) claim { return claim{name, v, possible(v), "over 0"} }
func from0(name string, v float64) claim { return claim{name, v, v == 0 || possible(v), "0 or more"} }

func count(name string, v float64, most int) claim {
	return claim{name, v, v >= 0 && v <= float64(most), fmt.Sprintf("from 0 to %d", most)}
}

func over0to(name string, v, most float64) claim {
	return claim{name, v, v > 0 && v <= most, fmt.Sprintf("over 0 and at most %g", most)}
}

// valid names the first figure that cannot be.
func valid(r bom.Recipe, f Filament) error {
	s := &r.Special
	for _, c := range []claim{
		over0to("Layer mm", r.LayerMM, 10), over0to("First layer mm", s.FirstLayerMM.Or(r.LayerMM), 10), over0to("Line width mm", r.LineMM, 20), over0to("Infill line mm", s.FillLineMM.Or(r.LineMM), 20), over0to("First layer line mm", s.FirstLineMM.Or(r.LineMM), 20), over0to("Top line mm", s.TopLineMM.Or(r.LineMM), 20), over0to("Bridge strand mm", s.BridgeMM.Or(r.LineMM), 20),
		over0("Flow %", r.Flow), over0("Bridge speed mm/s", s.BridgeSpeed.Or(r.SolidSpeed)), from0("Gap speed mm/s", s.GapSpeed.Or(r.WallSpeed)), from0("Outline inset mm", r.InsetMM),
		count("Walls", float64(r.Walls), 1000), count("Solid layers", float64(r.SolidLayers), MaxLayers),
		count("Top layers", s.TopLayers.Value, MaxLayers), count("Bottom layers", s.BottomLayers.Value, MaxLayers), count("Infill %", r.Infill, 100),
		over0("Wall speed mm/s", r.WallSpeed), over0("Solid speed mm/s", r.SolidSpeed), over0("Infill speed mm/s", r.InfillSpeed),
		over0("Travel speed mm/s", r.TravelSpeed), over0("Outer wall speed mm/s", s.OuterSpeed.Or(r.WallSpeed)),
		over0("Small outline speed mm/s", s.SmallSpeed.Or(r.WallSpeed)), over0("First layer speed mm/s", s.FirstSpeed.Or(r.WallSpeed)), over0("First layer fill speed mm/s", s.FirstFillSpeed.Or(r.WallSpeed)),
		over0("Top speed mm/s", s.TopSpeed.Or(r.SolidSpeed)),
		from0("Flow limit mm3/s", r.FlowLimit), over0("Acceleration mm/s2", r.Acceleration), over0("First layer acceleration mm/s2", s.FirstAcceleration.Or(r.Acceleration)),
		from0("Start seconds", r.StartS), from0("Layer change seconds", r.LayerChangeS), from0("Pull-back seconds", r.PullBackS), from0("Restart mm", r.RestartMM), from0("Least layer seconds", r.LeastS),
		from0("Slowest speed mm/s", r.SlowestSpeed), from0("Prime mm", r.PrimeMM), from0("Solid under mm2", r.SolidUnder),
		count("Skirt loops", float64(r.SkirtLoops), 1000), from0("Support %", r.Support),
		over0("Density g/cm3", f.Density), over0("Diameter mm", f.DiameterMM),
	} {
		if !c.ok {
			return fmt.Errorf("%s is %g; it must be %s", c.name, c.value, c.want)
		}
	}
	return nil
}

// possible tells whether a figure is over 0 and of this world.
func possible(v float64) bool { return v > 1e-6 && v < 1e9 }

// maker is a recipe as a printer can follow it.
type maker struct {
	bom.Recipe
	firstMM       float64
	firstLineMM   float64 // width of the lines of the lowest layer
	fillMM        float64 // width of the lines that fill
	top, bottom   int     // solid layers
	first, others pace    // of the lowest layer, and of the others
}

func newMaker(r bom.Recipe, l bom.KinematicLimits) *maker {
	s := &r.Special
	m := &maker{Recipe: r, firstMM: s.FirstLayerMM.Or(r.LayerMM), firstLineMM: s.FirstLineMM.Or(r.LineMM), fillMM: s.FillLineMM.Or(r.LineMM),
		top: int(s.TopLayers.Or(float64(r.SolidLayers))), bottom: int(s.BottomLayers.Or(float64(r.SolidLayers)))}
	m.others = newPace(&r, l, r.LayerMM, math.Inf(1), math.Inf(1))
	m.others.wallMM, m.others.fillMM, m.others.topMM = r.LineMM, m.fillMM, s.TopLineMM.Or(m.fillMM)
	lowest := r
	lowest.Acceleration = s.FirstAcceleration.Or(r.Acceleration)
	if s.FirstLineMM.Known {
		lowest.LineMM, lowest.Special.FillLineMM = m.firstLineMM, s.FirstLineMM
	}
	slow := s.FirstSpeed.Or(r.WallSpeed)
	m.first = newPace(&lowest, l, m.firstMM, slow, s.FirstFillSpeed.Or(slow))
	m.first.wallMM, m.first.fillMM = lowest.LineMM, lowest.Special.FillLineMM.Or(lowest.LineMM)
	m.first.topMM = m.first.fillMM
	return m
}

// cut is how a part is cut into layers for it.
func (m *maker) cut(l bom.KinematicLimits) Cut {
	return Cut{LayerMM: m.LayerMM, FirstMM: m.firstMM, FirstLineMM: m.firstLineMM, InsetMM: m.InsetMM, Gaps: m.Special.GapSpeed.Known,
		LineMM: m.LineMM, Walls: m.Walls, TopLayers: m.top, BottomLayers: m.bottom,
		Accelerate: m.others.accelerate, JunctionMM: l.JunctionMM, SolidUnder: m.SolidUnder}
}

// pace holds the speeds that a recipe comes to on a printer, mm/s.
type pace struct {
	outer, small, wall, solid, top, infill, bridge, gap, travel float64
	accelerate                                                  float64 // mm/s²
	wallMM, fillMM, topMM                                       float64 // width of its lines
}

// newPace is that of layers of a height whose lines, and those that fill, run at most
// so fast.
func newPace(r *bom.Recipe, l bom.KinematicLimits, layerMM, most, mostFilling float64) pace {
	s := &r.Special
	fastest := min(l.Speed[0], l.Speed[1])
	most = min(most, fastest)
	wall, fill := most, min(mostFilling, fastest)
	if r.FlowLimit > 0 {
		limit := r.FlowLimit / (r.Flow / 100 * layerMM)
		wall = min(wall, limit/r.LineMM)
		fill = min(fill, limit/s.FillLineMM.Or(r.LineMM))
	}
	return pace{
		outer: min(s.OuterSpeed.Or(r.WallSpeed), wall), small: min(s.SmallSpeed.Or(r.WallSpeed), wall), wall: min(r.WallSpeed, wall),
		solid: min(r.SolidSpeed, fill), top: min(s.TopSpeed.Or(r.SolidSpeed), fill), infill: min(r.InfillSpeed, fill),
		bridge: min(s.BridgeSpeed.Or(r.SolidSpeed), fill), gap: min(s.GapSpeed.Or(r.WallSpeed), most),
		travel: min(r.TravelSpeed, fastest), accelerate: min(r.Acceleration, l.Acceleration[0], l.Acceleration[1]),
	}
}

// abrupt is a pace at which every line takes its length over its speed.
func (p pace) abrupt() *pace {
	p.accelerate = 1e12
	return &p
}

// slowed is a pace at which lines run at a share of their speed, but not below the
// slowest for it.
func (p pace) slowed(to, slowest float64) *pace {
	for _, v := range []*float64{&p.outer, &p.small, &p.wall, &p.solid, &p.top, &p.infill, &p.bridge, &p.gap} {
		*v = max(*v*to, min(*v, slowest))
	}
	return &p
}
