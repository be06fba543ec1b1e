package toolpath

import (
	"math"

	"tenoff/bom"
)

// move is one straight line, arc, or turn of the extruder alone.
type move struct {
	length       float64    // mm along X, Y and Z; of E where only E moves
	speed        float64    // wanted and allowed, mm/s
	acceleration float64    // mm/s²
	first, last  [3]float64 // direction at its ends, unit vectors; zero where only E moves
}

// planned is what the planner keeps of a move.
type planned struct {
	move
	corner float64 // square of the speed that the corner at its beginning allows
	entry  float64 // square of the speed at its beginning
}

// window is how many moves the planner looks at together. It plans to a stop at
// the window's end and then keeps only the first half: the second half is nearly
// always longer than the distance in which a printer stops.
const window = 2048

// planner sums the time of moves that come one by one.
type planner struct {
	buf      [window]planned
	n        int
	seconds  float64
	entry    float64    // square of the speed at which the first move in buf begins
	stop     bool       // the next move begins from rest
	jerk     [4]float64 // instantaneous speed change allowed along X, Y, Z, E; 0: not limited
	junction float64    // deviation, mm
}

// add takes a move with a length over 0.
func (p *planner) add(m move) {
	if p.n == window {
		p.settle(window / 2)
	}
	at := 0.0
	if p.n > 0 && !p.stop {
		at = p.corner(&p.buf[p.n-1].move, &m)
	}
	p.stop = false
	p.buf[p.n] = planned{move: m, corner: at}
	p.n++
}

// corner is the square of the speed at which m may follow another move.
func (p *planner) corner(before, m *move) float64 {
	a, b := &before.last, &m.first
	if *a == ([3]float64{}) || *b == ([3]float64{}) {
		return 0
	}
	v := min(before.speed, m.speed)
	square := min(v*v, bom.JunctionSquare(min(before.acceleration, m.acceleration), p.junction, a[0]*b[0]+a[1]*b[1]+a[2]*b[2]))
	for i := range a {
		if d := math.Abs(a[i] - b[i]); p.jerk[i] > 0 && d > 1e-9 {
			square = min(square, (p.jerk[i]/d)*(p.jerk[i]/d))
		}
	}
	return square
}

// rest lets the next move begin from a stop and adds a time in between.
func (p *planner) rest(seconds float64) {
	p.stop = true
	p.seconds += seconds
}

// settle fixes the speeds of the moves in the buffer, backwards so that each can
// slow down for the next and forwards so that each can speed up from the one
// before, and sums the time of the first count of them.
func (p *planner) settle(count int) {
	next := 0.0
	for i := p.n - 1; i > 0; i-- {
		b := &p.buf[i]
		b.entry = min(b.corner, next+2*b.acceleration*b.length)
		next = b.entry
	}
	v := math.Sqrt(p.entry)
	square := p.entry
	for i := range count {
		b := &p.buf[i]
		exit := 0.0
		if i+1 < p.n {
			exit = min(p.buf[i+1].entry, square+2*b.acceleration*b.length)
		}
		out := math.Sqrt(exit)
		t := bom.Ramp(b.length, b.acceleration, b.speed, v, out)
		p.seconds += t
		v, square = out, exit
	}
	p.entry = square
	p.n = copy(p.buf[:], p.buf[count:p.n])
}
