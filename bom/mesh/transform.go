package mesh

import (
	"strings"

	"tenoff/bom"
)

// transform is the 4 × 3 matrix of 3MF: a row vector of x, y, z and 1 times it.
type transform [12]float64

// scaled makes everything so many times as large.
func scaled(by float64) transform { return transform{by, 0, 0, 0, by, 0, 0, 0, by, 0, 0, 0} }

func (t *transform) apply(p bom.Point) (q bom.Point) {
	for i := range q {
		q[i] = p[0]*t[i] + p[1]*t[3+i] + p[2]*t[6+i] + t[9+i]
	}
	return q
}

// then is the transform that does t first and next after it.
func (t *transform) then(next *transform) (out transform) {
	for row := range 4 {
		for i := range 3 {
			out[row*3+i] = t[row*3]*next[i] + t[row*3+1]*next[3+i] + t[row*3+2]*next[6+i]
		}
	}
	for i := range 3 {
		out[9+i] += next[9+i]
	}
	return out
}

// mirrors tells whether the transform turns triangles inside out.
func (t *transform) mirrors() bool {
	return t[0]*(t[4]*t[8]-t[5]*t[7])-t[1]*(t[3]*t[8]-t[5]*t[6])+t[2]*(t[3]*t[7]-t[4]*t[6]) < 0
}

func parseTransform(text string) (t transform, ok bool) {
	if text == "" {
		return scaled(1), true
	}
	fields := strings.Fields(text)
	if len(fields) != len(t) {
		return t, false
	}
	for i, f := range fields {
		v, n := bom.LeadingFloat([]byte(f), true)
		if n != len(f) || !(v > -farthest && v < farthest) {
			return t, false
		}
		t[i] = v
	}
	return t, true
}
