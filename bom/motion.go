package bom

import "math"

// Ramp gives the seconds of a move of distance d mm that
// starts at v0, ends at v1 and goes at most v mm/s, speeding up and slowing down
// by a mm/s² (trapezoidal velocity; a triangle where the distance is too short
// to reach v). The distance must be long enough to get from v0 to v1, and v0 and
// v1 at most v.
func Ramp(d, a, v, v0, v1 float64) float64 {
	reach := a*d + (v0*v0+v1*v1)/2 // square of the speed at which the two ramps meet
	if reach <= v*v {
		return (2*math.Sqrt(reach) - v0 - v1) / a
	}
	return (2*v-v0-v1)/a + (reach-v*v)/(a*v)
}

// JunctionSquare is the square of the speed at which a corner between two moves
// may be taken: v² = a δ s / (1 − s) with s = sin(θ/2), θ the angle between the
// moves at the corner, 180° where they go straight on. The speed is that of a
// circle which touches both moves and passes the corner at the distance δ (the
// junction deviation, mm), at the acceleration a (mm/s²). Directions are unit
// vectors and come as their product, −cos θ.
func JunctionSquare(a, deviation, product float64) float64 {
	s := math.Sqrt(max(0, (1+product)/2))
	if s > 1-1e-9 {
		return math.Inf(1)
	}
	return a * deviation * s / (1 - s)
}
