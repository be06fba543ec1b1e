package bom

import "testing"

func TestKinematicsFillsWhatIsNotGiven(t *testing.T) {
	p := Printer{Limits: map[string]float64{
		"Max speed X mm/s":         150,
		"Max acceleration E mm/s2": 5000,
		"Junction deviation mm":    0.05,
		"Max speed Z mm/s":         0, // would forbid all lifting
	}}
	want := DefaultLimits()
	want.Speed[0], want.Acceleration[3], want.JunctionMM = 150, 5000, 0.05
	if got := p.Kinematics(); got != want {
		t.Errorf("got %v, want %v", got, want)
	}
}
