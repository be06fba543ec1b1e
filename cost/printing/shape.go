package printing

import (
	"cmp"
	"math"
	"slices"

	"tenoff/bom"
)

// shape is what the outlines of a layer come to, besides their length.
type shape struct {
	outline  float64   // length of all outlines, mm
	area     float64   // enclosed, mm²
	walls    [2]ring   // of outlines that are not small, and of small ones
	islands  int       // parts of the layer that lie apart
	spread   float64   // area that they lie in, mm²
	parts    float64   // that lines which fill the inside of the walls go through one after the other
	small    float64   // share of the inside of the walls that lies in parts so small that they are filled wholly
	chords   []float64 // lengths of lines that fill the inside of the walls, from short to long, each as often
	junction float64   // deviation, mm
}

// ring is outlines of one kind.
type ring struct {
	outlines int
	outline  float64 // length, mm
	walls    float64 // area that the lines round them cover, mm²
	first    float64 // length of the lines that lie on them, mm
	lines    float64 // length of all lines round them, mm
	short    float64 // of that, lines further in that are themselves as short as small outlines, mm
	gap      gap     // what is left between the lines of thin walls
	round    float64 // area that the round sides of thin walls leave empty, mm²
	sides    []side  // outline after outline
	times    []timed // that were worked out
}

// side is a straight piece of an outline.
type side struct {
	length float64
	corner float64 // square of the speed at which it may begin; negative: begin from rest, the first of an outline
}

type timed struct{ speed, accelerate, seconds float64 }

// piece is a part of a side that is short enough to have one thickness behind it.
type piece struct {
	from, to place
	depth    float64 // that lines cover behind it, mm
	round    float64 // that stays empty before them, mm
	rest     float64 // that is left between its lines and those from the other side, from here to the middle, mm
	last     bool    // the last of its side
	run      int32   // of pieces with something left inside of the lines, one after the other; -1: there is nothing
	single   bool    // one line along the middle of the part fills it
}

// gap is what other lines leave: how many lines it takes, their length and its area.
type gap struct{ lines, length, area float64 }

// shaper makes shapes; what it holds is used again for the next.
type shaper struct {
	walls       float64
	line, depth float64 // width of a line, and of all lines, mm
	edge        float64 // room that the round side of a line takes, mm
	inset       float64 // by which outlines are moved inwards, mm
	gaps        bool    // what is left between lines is no wall
	accelerate  float64
	junction    float64
	solidUnder  float64
	pieces      []piece
	loops       []int // where each outline's pieces begin
	grid        grid
	crossed     []crossedLine
	regions     []region
}

// lines sets the width and height of the lines.
func (s *shaper) lines(width, height float64) {
	s.line, s.depth, s.edge = width, s.walls*width, roundEdge*height
}

// roundEdge is the room that the round side of a line takes beyond its counted width,
// in layer heights: a half of what a square has more than its circle.
const roundEdge = (1 - math.Pi/4) / 2

// shape looks at the outlines of a layer, whose pieces are there.
func (s *shaper) shape() *shape {
	out := &shape{junction: s.junction}
	s.measureDepths()
	s.runs()
	for i := range s.loops {
		s.outline(out, s.outlineAt(i))
	}
	s.fillings(out)
	s.shorter(&out.walls[0])
	if len(out.chords) == 0 && s.depth > 0 { // nothing fits inside the walls
		out.fillWithWalls()
	}
	return out
}

// outlineAt is an outline in pieces.
func (s *shaper) outlineAt(i int) []piece {
	if i+1 < len(s.loops) {
		return s.pieces[s.loops[i]:s.loops[i+1]]
	}
	return s.pieces[s.loops[i]:]
}

// fillWithWalls lets the lines round the outlines cover all that they enclose.
func (s *shape) fillWithWalls() {
	if covered := s.covered(); covered > 0 && s.area > 0 {
		for i := range s.walls {
			r := &s.walls[i]
			r.walls *= s.area / covered
			r.lines *= s.area / covered
			r.short *= s.area / covered
			r.first = min(r.first, r.lines)
			r.gap.area *= s.area / covered
			r.round *= s.area / covered
		}
	}
}

// covered is the area that walls and gaps take.
func (s *shape) covered() (area float64) {
	for i := range s.walls {
		area += s.walls[i].walls + s.walls[i].gap.area + s.walls[i].round
	}
	return area
}

// add takes an outline in pieces.
func (s *shaper) add(points []place) {
	s.loops = append(s.loops, len(s.pieces))
	points = inset(points, s.inset)
	most := max(1, s.depth)
	for i, a := range points {
		b := points[(i+1)%len(points)]
		length := distance(a, b)
		if length < 1e-9 {
			continue
		}
		n := min(1000, int(math.Ceil(length/most)))
		for k := range n {
			f, g := float64(k)/float64(n), float64(k+1)/float64(n)
			s.pieces = append(s.pieces, piece{
				from: place{a.x + f*(b.x-a.x), a.y + f*(b.y-a.y)}, to: place{a.x + g*(b.x-a.x), a.y + g*(b.y-a.y)},
				depth: s.depth, last: k == n-1})
		}
	}
}

func (s *shaper) reset() { s.pieces, s.loops = s.pieces[:0], s.loops[:0] }

// measureDepths finds how deep lines go behind each piece: all of them, or half
// the way to the other side where that is nearer. What is left between lines from
// both sides and holds no line more is filled as well.
func (s *shaper) measureDepths() {
	if s.depth == 0 || len(s.pieces) == 0 {
		return
	}
	reach := 2*(s.depth+s.edge) + s.line
	s.grid.fill(s.pieces, reach)
	for i := range s.pieces {
		if t := s.grid.thickness(s.pieces, i, reach); t < reach {
			p := &s.pieces[i]
			p.depth = max(t/8, t/2-s.edge)
			p.round = t/2 - p.depth
			p.single = t < s.line
			p.run = -1 // no room for a line between the walls
			if s.gaps {
				p.leave(s.line, s.edge)
			}
		}
	}
}

// squeeze is how far lines from either side of a thin wall may lie over one another,
// in widths of a line, before there is one less (common practice, no source).
const squeeze = 0.4

// leave keeps the whole lines of a thin wall and leaves the rest for a gap, if there
// is room for one from either side.
func (p *piece) leave(line, edge float64) {
	half := p.depth + p.round
	lines := math.Floor(p.depth/line+squeeze/2) * line
	if p.single = lines == 0; p.single {
		return
	}
	p.rest = max(0, p.depth-lines-edge)
	p.depth = lines
	p.round = half - p.depth - p.rest // less than nothing where lines lie over one another
}

// inset is an outline whose sides are moved inwards.
func inset(points []place, by float64) []place {
	n := len(points)
	if by == 0 || n < 3 {
		return points
	}
	out := make([]place, 0, n)
	for i, p := range points {
		a, b := points[(i+n-1)%n], points[(i+1)%n]
		ux, uy, vx, vy := p.x-a.x, p.y-a.y, b.x-p.x, b.y-p.y
		l, m := math.Hypot(ux, uy), math.Hypot(vx, vy)
		if l < 1e-9 || m < 1e-9 {
			continue
		}
		ux, uy, vx, vy = ux/l, uy/l, vx/m, vy/m
		k := by / max(0.5, 1+ux*vx+uy*vy) // the part lies on the left
		out = append(out, place{p.x - k*(uy+vy), p.y + k*(ux+vx)})
	}
	return out
}

// thinnest is the narrowest place that a line is laid in, in widths of other lines
// (common practice, no source).
const thinnest = 0.1

// holdsLine tells whether what lies behind a piece is wide enough for a line.
func (s *shaper) holdsLine(p *piece) bool { return p.rest > thinnest*s.line/2 }

// outline adds one outline to a shape.
func (s *shaper) outline(out *shape, pieces []piece) {
	if len(pieces) == 0 {
		return
	}
	length, area := 0.0, 0.0
	o := pieces[0].from
	for i := range pieces {
		p := &pieces[i]
		length += distance(p.from, p.to)
		area += ((p.from.x-o.x)*(p.to.y-o.y) - (p.from.y-o.y)*(p.to.x-o.x)) / 2
	}
	out.outline += length
	out.area += area
	if area > 0 {
		out.islands++
	}
	r := &out.walls[0]
	if length < bom.SmallOutlineMM {
		r = &out.walls[1]
	}
	var c coat
	begin, run, corner := len(r.sides), 0.0, -1.0
	for i := range pieces {
		p, next := &pieces[i], &pieces[(i+1)%len(pieces)]
		dx, dy := p.to.x-p.from.x, p.to.y-p.from.y
		l := math.Sqrt(dx*dx + dy*dy)
		run += l
		c.side(s, p, l)
		if !p.last {
			continue
		}
		ex, ey := next.to.x-next.from.x, next.to.y-next.from.y
		m := math.Sqrt(ex*ex + ey*ey)
		straight := (dx*ex + dy*ey) / (l * m)
		tangent := (dx*ey - dy*ex) / (l * m) / max(1e-12, 1+straight)
		c.corner(s, p, next, max(-sharpest, min(sharpest, tangent)))
		r.sides = append(r.sides, side{run, corner})
		corner, run = bom.JunctionSquare(s.accelerate, s.junction, straight), 0
	}
	if len(r.sides) == begin {
		return
	}
	r.outlines++
	r.outline += length
	c.walls, c.gap.area = max(0, c.walls), max(0, c.gap.area)
	r.walls += c.walls
	r.round += c.round
	r.gap.length += max(0, c.gap.length)
	r.gap.lines += c.gap.lines
	r.gap.area += c.gap.area
	lines := max(0, c.walls/s.line+c.single)
	first := min(max(c.first, 0), lines)
	r.lines += lines
	r.first += first
	r.short += s.short(length, c.corners, lines-first)
}

// coat is what lies along one outline: areas in mm², and the length of the line on it.
type coat struct {
	walls, round, first float64
	single              float64 // by how much single lines are longer than walls as wide as others
	gap                 gap
	corners             float64 // Σ tan(θ/2), see [Layer]
	open                bool    // the piece before has a gap behind it
}

// short is how much of the lines behind an outline of a length, but for the one on it,
// goes round less than a small outline: each is shorter than the one before by twice its
// width at corners.
func (s *shaper) short(outline, corners, lines float64) float64 {
	within, all := 0.0, 0.0
	for i := 1.5; i < s.walls; i++ {
		l := max(0, outline-2*corners*i*s.line)
		all += l
		if l < bom.SmallOutlineMM {
			within += l
		}
	}
	if all == 0 {
		return 0
	}
	return lines * within / all
}

// side adds what lies behind a piece of a length.
func (c *coat) side(s *shaper, p *piece, length float64) {
	c.walls += length * p.depth
	c.round += length * p.round
	c.first += length
	if p.single {
		c.single += length * (0.5 - p.depth/s.line)
	}
	c.gap.area += length * p.rest
	if s.holdsLine(p) {
		c.gap.length += length / 2
		if !c.open { // both sides see it
			c.gap.lines += 0.5
		}
	}
	c.open = s.holdsLine(p)
}

// corner takes away what lies behind both of two pieces that meet.
func (c *coat) corner(s *shaper, p, next *piece, tangent float64) {
	c.corners += tangent
	c.walls -= tangent * p.depth * next.depth
	c.first -= 2 * tangent * min(p.depth, s.line/2, next.depth)
	c.gap.area -= tangent * ((p.depth+p.rest)*(next.depth+next.rest) - p.depth*next.depth)
	if s.holdsLine(p) {
		c.gap.length -= tangent * next.depth / 2
	}
	if s.holdsLine(next) {
		c.gap.length -= tangent * p.depth / 2
	}
}

// seconds is how long it takes to go round all outlines of a ring from rest to
// rest.
func (r *ring) seconds(speed, accelerate float64) float64 {
	for _, t := range r.times {
		if t.speed == speed && t.accelerate == accelerate {
			return t.seconds
		}
	}
	total := 0.0
	entry := make([]float64, len(r.sides)+1)
	for end := len(r.sides); end > 0; {
		begin := end - 1
		for r.sides[begin].corner >= 0 {
			begin--
		}
		total += run(r.sides[begin:end], entry[begin:end+1], speed, accelerate)
		end = begin
	}
	r.times = append(r.times, timed{speed, accelerate, total})
	return total
}

// laps is how long the lines round all outlines of a ring take, those on the outlines
// at one speed, the others at another and short ones at a third.
func (r *ring) laps(first, others, short, accelerate float64) float64 {
	seconds := r.first*r.seconds(first, accelerate) + (r.lines-r.first-r.short)*r.seconds(others, accelerate)
	if r.short > 0 {
		seconds += r.short * r.seconds(short, accelerate)
	}
	return seconds / r.outline
}

// run is the time of sides that are gone through from rest to rest: backwards each
// is begun no faster than lets it slow down for the next, forwards no faster than
// the one before reaches.
func run(sides []side, entry []float64, speed, a float64) (seconds float64) {
	n := len(sides)
	entry[0], entry[n] = 0, 0
	most := speed * speed
	for i := n - 1; i > 0; i-- {
		entry[i] = min(most, sides[i].corner, entry[i+1]+2*a*sides[i].length)
	}
	for i := range sides {
		entry[i+1] = min(entry[i+1], entry[i]+2*a*sides[i].length)
		t := bom.Ramp(sides[i].length, a, speed, math.Sqrt(entry[i]), math.Sqrt(entry[i+1]))
		seconds += t
	}
	return seconds
}

// lines tells how many lines of a shape's chords, times across, come to a length,
// and how long they take from rest to rest.
func (s *shape) lines(length, across, speed, a float64) (lines, seconds float64) {
	if len(s.chords) == 0 {
		return 1, runs(length, 1, speed, a)
	}
	sum := 0.0
	for _, c := range s.chords {
		seconds += between(c*across, a, speed, 0, 0)
		sum += c * across
	}
	times := length / sum
	return times * float64(len(s.chords)), times * seconds
}

// linkedLines tells how long the lines that come to a length from wall to wall are with
// their links, and how long they take. Lines go to and fro while the links go on the
// same way: every other line has turns of half a right angle at both ends, and those
// between of three halves.
func (s *shape) linkedLines(length, speed float64, f *filling, p *pace) (all, seconds float64) {
	if len(s.chords) == 0 {
		return length, runs(length, 1, speed, p.accelerate)
	}
	wide := math.Sqrt(bom.JunctionSquare(p.accelerate, s.junction, math.Sqrt2/2))
	sharp := math.Sqrt(bom.JunctionSquare(p.accelerate, s.junction, -math.Sqrt2/2))
	link, short := f.spacing*math.Sqrt2, f.line*math.Sqrt2
	linking := between(link, p.accelerate, speed, wide, sharp)
	sum := 0.0
	for _, c := range s.chords {
		sum += c * f.across
		line := max(0, c*f.across-short)
		all += line + link
		seconds += linking + (between(line, p.accelerate, speed, wide, wide)+between(line, p.accelerate, speed, sharp, sharp))/2
	}
	return all * length / sum, seconds * length / sum
}

// crossedLine is where a line of the filling crosses an outline.
type crossedLine struct {
	line  int32
	into  bool    // the part begins there
	along float64 // mm
	run   int32   // of the piece
	walls float64 // how much of the line the walls take, mm
}

// kept is how many lengths stand for all chords.
const kept = 16

// linesAcross is how many lines are laid across a layer to measure its inside.
const linesAcross = 60

// fillings lays lines over the layer, half of them along each diagonal, and keeps
// the lengths that lie inside the walls.
func (s *shaper) fillings(out *shape) {
	if len(s.pieces) == 0 {
		return
	}
	lo, hi := bounds(s.pieces)
	out.spread = (hi.x - lo.x) * (hi.y - lo.y)
	spacing := max(s.line, (hi.x-lo.x+hi.y-lo.y)/math.Sqrt2/linesAcross)
	var chords []float64
	for _, way := range [2]float64{1, -1} {
		s.crossed = s.crossed[:0]
		for i := range s.pieces {
			s.cross(&s.pieces[i], way, spacing)
		}
		slices.SortFunc(s.crossed, func(a, b crossedLine) int {
			switch {
			case a.line != b.line:
				return int(a.line - b.line)
			case a.along != b.along:
				return cmp.Compare(a.along, b.along)
			case a.into: // through a corner: the part ends before it begins again
				return 1
			}
			return -1
		})
		var n newParts
		for i := 0; i+1 < len(s.crossed); i++ {
			a, b := &s.crossed[i], &s.crossed[i+1]
			if a.line == b.line && a.into && !b.into {
				if l := b.along - a.along - a.walls - b.walls; l > 0 {
					chords = append(chords, l)
					s.join(a.run, b.run, l)
					n.chord(a.line)
				}
			}
		}
		out.parts += n.end() / 2
	}
	out.small = s.smaller(s.solidUnder, out.area-out.covered())
	slices.Sort(chords)
	if n := len(chords); n > kept {
		for i := range kept {
			out.chords = append(out.chords, chords[(2*i+1)*n/(2*kept)])
		}
		return
	}
	out.chords = chords
}

// cross notes which lines of the filling cross a piece. Along a line u = (x + way y)
// / √2 grows and v = (y − way x) / √2 stays.
func (s *shaper) cross(p *piece, way, spacing float64) {
	u0, v0 := (p.from.x+way*p.from.y)/math.Sqrt2, (p.from.y-way*p.from.x)/math.Sqrt2
	u1, v1 := (p.to.x+way*p.to.y)/math.Sqrt2, (p.to.y-way*p.to.x)/math.Sqrt2
	first, last := math.Ceil(min(v0, v1)/spacing), math.Ceil(max(v0, v1)/spacing)
	if first == last || math.Abs(first) > math.MaxInt32/2 || math.Abs(last) > math.MaxInt32/2 {
		return
	}
	rise := math.Abs(v1-v0) / math.Sqrt((u1-u0)*(u1-u0)+(v1-v0)*(v1-v0)) // sine of the angle between line and piece
	for n := first; n < last; n++ {
		k := (n*spacing - v0) / (v1 - v0)
		s.crossed = append(s.crossed, crossedLine{int32(n), v1 < v0, u0 + k*(u1-u0), p.run, s.depth / max(rise, 0.2)})
	}
}
