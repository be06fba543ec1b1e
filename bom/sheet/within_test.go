package sheet

import "testing"

// TestWithin: files that a list names stay in its folder.
func TestWithin(t *testing.T) {
	for _, c := range []struct {
		folder, path string
		want         bool
	}{
		{".", "board.csv", true},
		{".", "boards/main.csv", true},
		{".", "..", false},
		{".", "../board.csv", false},
		{".", "..csv", true},
		{".", "/etc/board.csv", false},
		{"run", "run/board.csv", true},
		{"run", "run2/board.csv", false},
		{"run", "board.csv", false},
		{"/", "/board.csv", true},
		{"/run", "/run/board.csv", true},
		{"/run", "/board.csv", false},
	} {
		if got := within(c.folder, c.path); got != c.want {
			t.Errorf("%s within %s: %v", c.path, c.folder, got)
		}
	}
}
