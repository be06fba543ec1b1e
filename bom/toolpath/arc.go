package toolpath

import (
	"fmt"
	"math"

	"tenoff/bom"
)

// arc is a piece of a circle or helix.
type arc struct {
	a, b, c       int        // axes of the plane, and the one across it
	centre        [2]float64 // in the plane
	radius        float64
	from, sweep   float64 // radians; the sweep is positive counter-clockwise
	rise          float64 // along c
	length        float64
	first, last   [3]float64 // directions at the ends
	start, finish [3]float64
}

// The planes G17, G18 and G19, so that the sense of rotation is that of
// NIST IR 6556, 3.5.3.
var planes = map[int][3]int{170: {0, 1, 2}, 180: {2, 0, 1}, 190: {1, 2, 0}}

// samePlace is closer than any file writes.
const samePlace = 1e-6

// newArc follows NIST IR 6556, 3.5.3: with a radius, or with the centre's offset
// from the start. The two radii may differ by tolerance mm.
func newArc(plane [3]int, start, end [3]float64, clockwise bool, b *block, scale, tolerance float64) (arc, *lineError) {
	r := arc{a: plane[0], b: plane[1], c: plane[2], start: start, finish: end}
	da, db := end[r.a]-start[r.a], end[r.b]-start[r.b]
	var err *lineError
	if b.given('R') {
		err = r.byRadius(da, db, b.get('R', 0)*scale, clockwise, tolerance)
	} else {
		err = r.byCentre(b, scale, tolerance)
	}
	if err != nil {
		return r, err
	}
	r.from = math.Atan2(start[r.b]-r.centre[1], start[r.a]-r.centre[0])
	to := math.Atan2(end[r.b]-r.centre[1], end[r.a]-r.centre[0])
	sense := 1.0
	if clockwise {
		sense = -1
	}
	turn := sense * (to - r.from)
	for whole := math.Hypot(da, db) < samePlace; turn <= 0 || whole && turn < math.Pi; {
		turn += 2 * math.Pi
	}
	r.sweep = sense * turn
	r.rise = end[r.c] - start[r.c]
	r.length = math.Hypot(r.radius*r.sweep, r.rise)
	r.first, r.last = r.direction(r.from), r.direction(r.from+r.sweep)
	return r, nil
}

func (r *arc) byRadius(da, db, radius float64, clockwise bool, tolerance float64) *lineError {
	d := math.Hypot(da, db)
	if d < samePlace {
		return wrong("", "another end point, or I and J for a full circle", "an arc with a radius ends where it begins")
	}
	square := radius*radius - d*d/4
	if square < 0 {
		if d/2-math.Abs(radius) > tolerance {
			return wrong(fmt.Sprintf("R%.6g", radius), fmt.Sprintf("a radius of at least %.6g mm", d/2), "the radius is too small to reach the end of the arc")
		}
		square = 0
	}
	h := math.Sqrt(square) / d
	if clockwise == (radius > 0) { // the centre is to the right of the way from start to end
		h = -h
	}
	r.centre = [2]float64{r.start[r.a] + da/2 - h*db, r.start[r.b] + db/2 + h*da}
	r.radius = math.Hypot(r.start[r.a]-r.centre[0], r.start[r.b]-r.centre[1])
	return nil
}

func (r *arc) byCentre(b *block, scale, tolerance float64) *lineError {
	offsets := [3]byte{'I', 'J', 'K'}
	la, lb := offsets[r.a], offsets[r.b]
	if !b.given(la) && !b.given(lb) {
		return wrong("", fmt.Sprintf("%c, %c or R", la, lb), "the arc has neither a centre nor a radius")
	}
	oa, ob := b.get(la, 0)*scale, b.get(lb, 0)*scale
	r.centre = [2]float64{r.start[r.a] + oa, r.start[r.b] + ob}
	r.radius = math.Hypot(oa, ob)
	other := math.Hypot(r.finish[r.a]-r.centre[0], r.finish[r.b]-r.centre[1])
	if r.radius < samePlace {
		return wrong("", "a centre away from the start", "the arc has no radius")
	}
	if math.Abs(other-r.radius) > tolerance {
		return wrong(fmt.Sprintf("%.6g and %.6g mm", r.radius, other), fmt.Sprintf("radii within %g mm", tolerance),
			"the arc's radius at its start is not that at its end")
	}
	return nil
}

// direction is the way of travel at an angle.
func (r *arc) direction(angle float64) (d [3]float64) {
	level := r.radius * r.sweep / r.length
	d[r.a], d[r.b], d[r.c] = -math.Sin(angle)*level, math.Cos(angle)*level, r.rise/r.length
	return d
}

// corners gives the places that bound the arc: its ends, and where it crosses an
// axis through the centre.
func (r *arc) corners(take func(*bom.Point)) {
	start, finish := bom.Point(r.start), bom.Point(r.finish)
	take(&start)
	take(&finish)
	lo, hi := min(r.from, r.from+r.sweep), max(r.from, r.from+r.sweep)
	for k := math.Ceil(lo / (math.Pi / 2)); k*math.Pi/2 <= hi; k++ {
		p := r.at(k * math.Pi / 2)
		take(&p)
	}
}

// at is the place at an angle.
func (r *arc) at(angle float64) bom.Point {
	p := bom.Point(r.start)
	p[r.a] = r.centre[0] + r.radius*math.Cos(angle)
	p[r.b] = r.centre[1] + r.radius*math.Sin(angle)
	p[r.c] = r.start[r.c] + r.rise*(angle-r.from)/r.sweep
	return p
}
