package toolpath

import (
	"fmt"
	"math"
	"slices"

	"tenoff/bom"
)

// machine is the state of the printer as the file drives it.
type machine struct {
	o       Options
	plan    planner
	result  *Result
	unknown tally

	position [4]float64 // X, Y, Z, E of the machine, mm
	offset   [4]float64 // what program coordinates lack to the machine's (G92)
	saved    [4]float64 // of G92.2, for G92.3
	scale    float64    // mm per unit: 1 or 25.4
	relative bool       // G91
	ownE     bool       // M83: E is relative whatever G90 says
	plane    [3]int
	motion   int     // modal: 0, 10, 20 or 30; -1 before the first
	feed     float64 // mm/min; 0 before the first
	percent  float64 // M220, as a share
	flow     float64 // M221, as a share
	volume   bool    // M200: E counts mm³

	limits                    bom.KinematicLimits
	printing, travel, retract float64 // accelerations of M204; 0: the limits alone
	pull, unpull              retraction
	pulled                    bool
	tool                      int
	ended                     bool

	print      footprint
	heights    map[int32]struct{}
	lastZ      float64 // of a level printing move
	lastHeight int32
	feedless   bool // a move came before any feed rate
	uncounted  bool // there were more heights than are kept
}

// retraction is how M207 and M208 say that G10 and G11 move the filament.
type retraction struct{ length, speed, lift float64 }

// What G10 does where no M207 says it (common practice, no source); it adds
// nothing to the filament.
var usualRetraction = retraction{length: 1, speed: 40}

// maxTool is the highest tool number.
const maxTool = 31

// maxHeights bounds what counting layers may keep: 10 m in steps of 0.01 mm.
const maxHeights = 1_000_000

func newMachine(o Options, r *Result) *machine {
	m := &machine{o: o, result: r, unknown: tally{}, scale: 1, plane: planes[170], motion: -1,
		percent: 1, flow: 1, limits: o.Limits, pull: usualRetraction,
		unpull: retraction{speed: usualRetraction.speed}, heights: map[int32]struct{}{}, lastZ: math.NaN(),
		print: footprint{cells: map[[2]int32]*cell{}}}
	m.plan.junction = o.Limits.JunctionMM
	return m
}

// motionWords belong to G0 to G3, and others that take axes.
const motionWords = "XYZE"

// moves tells whether the line names an axis.
func (b *block) moves() bool { return b.has&axisBits != 0 }

var axisBits, centreBits, lineBits = letterBits(motionWords), letterBits("IJK"), letterBits(motionWords + "NFIJKRPSTL")

func letterBits(letters string) (bits uint32) {
	for i := range len(letters) {
		bits |= bit(letters[i])
	}
	return bits
}

// carryOut does what a line says, in the order of NIST IR 6556, table 8: units
// before all else, motion last.
func (m *machine) carryOut(b *block) *lineError {
	if b.name != "" {
		m.unknown.count(b.name)
		return nil
	}
	if b.mark != "" {
		if b.mark[0] == 'E' {
			return wrong(b.mark, "a number in its place", "a mark of a template was never filled in")
		}
		m.unknown.count(b.mark) // as printers do
	}
	if len(b.g) > 0 {
		if known, err := m.choose(b); !known {
			return err
		}
	}
	own := (b.ownWords() || b.prepares()) && !b.drives()
	if !own {
		if b.has&^lineBits != 0 {
			m.strange(b)
		}
		if err := m.setFeed(b); err != nil {
			return err
		}
		if b.given('T') && len(b.m) == 0 {
			if err := m.change(b); err != nil {
				return err
			}
		}
	}
	for _, code := range b.m {
		if err := m.misc(code, b); err != nil {
			return err
		}
	}
	for _, g := range b.g {
		taken, err := m.prepare(g, b)
		if err != nil {
			return err
		}
		own = own || taken
	}
	circles := m.motion > 10 && b.has&centreBits != 0 // an arc without an end point is a full circle
	if own || !b.moves() && !circles || m.ended {
		return nil
	}
	if b.bare&axisBits != 0 {
		return wrong("", "a number behind each axis", "an axis stands without a number")
	}
	if m.motion < 0 {
		return wrong("", "G0, G1, G2 or G3 first", "the line moves, but no kind of motion was chosen")
	}
	return m.move(m.motion, b)
}

// choose takes the units and the kind of motion from a line; a line with a G
// word that is not known is ignored, since nobody can tell whose its other
// words are, but for one that moves the filament.
func (m *machine) choose(b *block) (known bool, err *lineError) {
	for _, g := range b.g {
		switch {
		case slices.Contains(knownG, g) || prepares(g):
		case b.given('E') && b.bare&bit('E') == 0:
			return false, wrong("G"+code(g), "G0 to G3", "the line moves the filament in a way that is not known")
		default:
			m.unknown.count("G" + code(g))
			return false, nil
		}
	}
	for _, g := range b.g {
		switch g {
		case 0, 10, 20, 30:
			m.motion = g
		case 200:
			m.scale = 25.4
		case 210:
			m.scale = 1
		}
	}
	return true, nil
}

// prepares tells G words by which the printer homes, levels its bed, wipes its
// nozzle or parks. The words of the line are theirs, and what they move takes no
// filament and a time that the file does not say.
func prepares(tenfold int) bool {
	return slices.Contains([]int{12, 27, 28, 29, 30, 32, 33, 34, 35}, tenfold/10)
}

// prepares tells whether the words of the line are theirs. Printers level an area by
// G80; without axis words it ends a cycle, of which there is none.
func (b *block) prepares() bool {
	return slices.ContainsFunc(b.g, func(g int) bool { return prepares(g) || g == 800 && b.moves() })
}

var knownG = []int{0, 10, 20, 30, 40, 100, 110, 170, 180, 190, 200, 210, 900, 910, 920, 921, 922, 923,
	400, 490, 530, 540, 610, 640, 800, 911, 940} // no compensation, no cycle, the usual coordinates: as it is

// strange counts the words that stand on a line without belonging there.
func (m *machine) strange(b *block) {
	for c := byte('A'); c <= 'Z'; c++ {
		if b.given(c) && lineBits&bit(c) == 0 {
			m.unknown.count(string(rune(c)))
		}
	}
}

func (m *machine) setFeed(b *block) *lineError {
	if !b.given('F') {
		return nil
	}
	f := b.get('F', 0) * m.scale
	if f < 0 {
		return wrong(fmt.Sprintf("F%g", b.get('F', 0)), "a feed rate over 0", "the feed rate is negative")
	}
	if f > 0 { // some programs write F0 where the rate does not change
		m.feed = f
	}
	return nil
}

// prepare carries out a G word that is not a motion; taken tells that the axis
// words of the line are its own.
func (m *machine) prepare(g int, b *block) (taken bool, err *lineError) {
	switch g {
	case 40:
		s := b.get('S', 0) + b.get('P', 0)/1000
		if s < 0 {
			return true, wrong("", "a time of 0 or more", "the wait is negative")
		}
		m.plan.rest(s)
		return true, nil
	case 100, 110:
		if b.given('L') || b.given('P') { // sets coordinates or tools
			m.unknown.count(fmt.Sprintf("G%d with L or P", g/10))
			return true, nil
		}
		m.pullBack(g == 100)
		return true, nil
	case 170, 180, 190:
		m.plane = planes[g]
	case 280:
		m.home(b)
		return true, nil
	case 900:
		m.relative = false
	case 910:
		m.relative = true
	case 920, 921, 922, 923:
		m.shift(g, b)
		return true, nil
	}
	return prepares(g) || g == 800 && b.prepares() && !b.drives(), nil
}

// code writes a G or M word's number.
func code(tenfold int) string {
	if tenfold%10 == 0 {
		return fmt.Sprint(tenfold / 10)
	}
	return fmt.Sprintf("%d.%d", tenfold/10, tenfold%10)
}

// home goes to machine zero in the named axes, or all, and clears their offset.
func (m *machine) home(b *block) {
	to := m.position
	for i := range 3 {
		if !b.moves() || b.given(motionWords[i]) {
			to[i], m.offset[i] = 0, 0
		}
	}
	m.plan.rest(0)
	m.straight(to, m.limits.Speed[0]+m.limits.Speed[1]+m.limits.Speed[2])
	m.plan.rest(0)
}

// shift is G92 and its kin (NIST IR 6556, 3.5.18): the point where the printer
// is gets the given coordinates. A G92 without axes, an error there, makes all of
// them zero.
func (m *machine) shift(g int, b *block) {
	switch g {
	case 921:
		m.offset, m.saved = [4]float64{}, [4]float64{}
	case 922:
		m.saved, m.offset = m.offset, [4]float64{}
	case 923:
		m.offset = m.saved
	default:
		for i := range 4 {
			if !b.moves() || b.given(motionWords[i]) {
				m.offset[i] = m.position[i] - b.get(motionWords[i], 0)*m.unit(i)
			}
		}
	}
}

// unit is how many mm a number of an axis stands for.
func (m *machine) unit(axis int) float64 {
	if axis == 3 && m.volume {
		return 1 / m.o.area()
	}
	return m.scale
}

// target is where the axis words lead.
func (m *machine) target(b *block) [4]float64 {
	to := m.position
	for i := range 4 {
		if !b.given(motionWords[i]) {
			continue
		}
		v := b.value[motionWords[i]-'A'] * m.unit(i)
		if m.relative || i == 3 && m.ownE {
			to[i] += v
		} else {
			to[i] = v + m.offset[i]
		}
	}
	return to
}

func (m *machine) move(motion int, b *block) *lineError {
	to := m.target(b)
	for i, v := range to {
		if math.Abs(v) > farthest {
			return wrong("", fmt.Sprintf("coordinates between ±%g mm", float64(farthest)), "the move leads %c out of range", motionWords[i])
		}
	}
	feed := m.feed / 60 * m.percent
	if m.feed == 0 {
		m.feedless = m.feedless || motion != 0
		feed = math.Inf(1)
	}
	if motion <= 10 {
		m.straight(to, feed)
		return nil
	}
	r, err := newArc(m.plane, [3]float64(m.position[:3]), [3]float64(to[:3]), motion == 20, b, m.scale, arcTolerance)
	if err != nil {
		return err
	}
	m.curve(&r, to, feed)
	return nil
}

// arcTolerance is how far the radii at the ends of an arc may differ, in mm. NIST
// IR 6556, 3.5.3, allows 0.002, which numbers of three decimals may just miss and
// those of two do: three roundings by 0.005 along two axes come to 0.021.
const arcTolerance = 0.05

// straight goes to a place at a speed within the limits.
func (m *machine) straight(to [4]float64, feed float64) {
	var d [3]float64
	for i := range d {
		d[i] = to[i] - m.position[i]
	}
	e := (to[3] - m.position[3]) * m.flow
	length := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
	if length < samePlace {
		m.position = to
		m.turn(e, feed)
		return
	}
	mv := move{length: length, speed: feed, acceleration: math.Inf(1)}
	for i := range d {
		d[i] /= length
		if u := math.Abs(d[i]); u > 1e-9 {
			mv.speed = min(mv.speed, m.limits.Speed[i]/u)
			mv.acceleration = min(mv.acceleration, m.limits.Acceleration[i]/u)
		}
	}
	mv.first, mv.last = d, d
	from := [3]float64(m.position[:3])
	m.position = to
	m.push(&mv, e)
	if e > 0 {
		m.printed(from, [3]float64(to[:3]), nil)
	}
}

// curve follows an arc, at most at the speed at which the acceleration holds it
// on its circle.
func (m *machine) curve(r *arc, to [4]float64, feed float64) {
	e := (to[3] - m.position[3]) * m.flow
	level, steep := math.Abs(r.radius*r.sweep/r.length), math.Abs(r.rise/r.length)
	a, b, c := r.a, r.b, r.c
	turning := m.chosen(min(m.limits.Acceleration[a], m.limits.Acceleration[b]), e)
	fastest := min(m.limits.Speed[a], m.limits.Speed[b], math.Sqrt(turning*r.radius))
	mv := move{length: r.length, first: r.first, last: r.last,
		speed: min(feed, fastest/level), acceleration: turning / level}
	if steep > 1e-9 {
		mv.speed = min(mv.speed, m.limits.Speed[c]/steep)
		mv.acceleration = min(mv.acceleration, m.limits.Acceleration[c]/steep)
	}
	m.position = to
	m.push(&mv, e)
	if e > 0 {
		m.printed(r.start, r.finish, r)
	}
}

// chosen is the acceleration of a move within what M204 chose for its kind.
func (m *machine) chosen(a, e float64) float64 {
	want := m.travel
	if e > 0 {
		want = m.printing
	}
	if want > 0 {
		return min(a, want)
	}
	return a
}

// push bounds a move by the extruder and hands it to the planner.
func (m *machine) push(mv *move, e float64) {
	mv.acceleration = m.chosen(mv.acceleration, e)
	if e != 0 {
		share := math.Abs(e) / mv.length
		mv.speed = min(mv.speed, m.limits.Speed[3]/share)
		mv.acceleration = min(mv.acceleration, m.limits.Acceleration[3]/share)
		m.result.extrude(m.tool, e)
	}
	m.plan.add(*mv)
	m.result.moves++
}

// turn moves the filament alone.
func (m *machine) turn(e, feed float64) {
	if e == 0 {
		return
	}
	mv := move{length: math.Abs(e), speed: min(feed, m.limits.Speed[3]), acceleration: m.limits.Acceleration[3]}
	if m.retract > 0 {
		mv.acceleration = min(mv.acceleration, m.retract)
	}
	m.result.extrude(m.tool, e)
	m.plan.add(mv)
	m.result.moves++
}

// printed takes a printing move into the bounds and the count of layers: each
// height at which something is printed level is a layer.
func (m *machine) printed(from, to [3]float64, r *arc) {
	switch {
	case from[2] != to[2]:
		m.print.take(from, to, r, heightOf(max(from[2], to[2])))
		return
	case to[2] != m.lastZ:
		m.lastZ, m.lastHeight = to[2], heightOf(to[2])
		m.layer(m.lastHeight)
	}
	m.print.take(from, to, r, m.lastHeight)
}

func (m *machine) layer(height int32) {
	if _, ok := m.heights[height]; ok {
		return
	}
	if len(m.heights) >= maxHeights {
		m.uncounted = true
		return
	}
	m.heights[height] = struct{}{}
	m.print.layer(height)
}

// heightOf is a height in steps of 0.01 mm.
func heightOf(z float64) int32 { return int32(math.Round(max(-2e9, min(2e9, z*100)))) }

// pullBack is G10 and G11: the filament goes back, or returns. The lift is the
// printer's own: coordinates do not count it.
func (m *machine) pullBack(back bool) {
	if back == m.pulled {
		return
	}
	m.pulled = back
	if back {
		m.turn(-m.pull.length, m.pull.speed)
	}
	if m.pull.lift != 0 {
		at, up := m.position, m.position
		if up[2] += m.pull.lift; !back {
			at, up, m.position = up, at, up
		}
		m.straight(up, m.limits.Speed[2])
		if back {
			m.position = at
		}
	}
	if !back {
		m.turn(m.pull.length+m.unpull.length, m.unpull.speed)
	}
}

// change takes another tool. Numbers beyond those of tools stand for something of
// the printer's own: no other filament comes from them.
func (m *machine) change(b *block) *lineError {
	t := b.get('T', 0)
	n := int(t)
	switch {
	case b.bare&bit('T') != 0:
		m.unknown.count("T")
	case t != float64(n):
		return wrong(fmt.Sprintf("T%g", t), "a whole number", "this is no tool")
	case n < 0 || n > maxTool:
		m.unknown.count(fmt.Sprintf("T%d", n))
	case n != m.tool:
		m.tool = n
		m.plan.rest(0)
	}
	return nil
}
