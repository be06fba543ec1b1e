package bom

import (
	"math"
	"testing"
)

// Computed from the equations of uniform acceleration.
func TestRamp(t *testing.T) {
	for _, c := range []struct {
		why             string
		d, a, v, v0, v1 float64
		want            float64
	}{
		{"a long move cruises", 100, 1000, 50, 0, 0, 2.05},
		{"a short one only just reaches the middle", 10, 1000, 150, 0, 0, 0.2},
		{"a very short one", 1, 1000, 100, 0, 0, 0.063245553},
		{"from speed to speed", 20, 500, 60, 10, 5, 0.425416667},
		{"nowhere takes no time", 0, 500, 60, 0, 0, 0},
		{"slowing down alone", 75, 100, 200, 200, 158.113883, 0.418861170},
	} {
		if got := Ramp(c.d, c.a, c.v, c.v0, c.v1); math.Abs(got-c.want) > 1e-6 {
			t.Errorf("%s: %.9f s, want %.9f", c.why, got, c.want)
		}
	}
}

// Computed from the formula of the junction deviation.
func TestJunctionSquare(t *testing.T) {
	for _, c := range []struct{ degrees, want float64 }{{90, 6.948688455}, {135, 15.580161222}, {0, 0}, {180, math.Inf(1)}} {
		got := math.Sqrt(JunctionSquare(1000, 0.02, -math.Cos(c.degrees*math.Pi/180)))
		if got != c.want && !(math.Abs(got-c.want) < 1e-6) {
			t.Errorf("%v°: %.9f mm/s, want %.9f", c.degrees, got, c.want)
		}
	}
}
