package plates

import (
	"fmt"
	"math"
	"testing"
)

// whole checks that a plan lays every piece once, on the bed, with the spacing.
func whole(t *testing.T, bed Bed, pieces []Piece, plan Plan) {
	t.Helper()
	laid := make([]int, len(pieces))
	for _, plate := range plan.Plates {
		var boxes []area
		for _, p := range plate {
			laid[p.Piece]++
			w, h := pieces[p.Piece].X, pieces[p.Piece].Y
			if p.Turned {
				w, h = h, w
			}
			b := area{p.X, p.Y, w, h}
			if b.x < -1e-6 || b.y < -1e-6 || b.x+b.w > bed.X+1e-6 || b.y+b.h > bed.Y+1e-6 {
				t.Fatalf("%+v lies over the edge", p)
			}
			for _, o := range boxes {
				if b.x < o.x+o.w+bed.Spacing-1e-6 && o.x < b.x+b.w+bed.Spacing-1e-6 && b.y < o.y+o.h+bed.Spacing-1e-6 && o.y < b.y+b.h+bed.Spacing-1e-6 {
					t.Fatalf("%+v is too near to %+v", b, o)
				}
			}
			boxes = append(boxes, b)
		}
	}
	for i, p := range pieces {
		if laid[i] != p.Count {
			t.Fatalf("%d of %d pieces of kind %d are laid", laid[i], p.Count, i)
		}
	}
	if len(plan.Plates) < plan.AreaBound {
		t.Fatalf("%d plates are fewer than the area allows, %d", len(plan.Plates), plan.AreaBound)
	}
}

func pack(t *testing.T, bed Bed, pieces ...Piece) Plan {
	t.Helper()
	plan, err := Pack(bed, pieces)
	if err != nil {
		t.Fatal(err)
	}
	whole(t, bed, pieces, plan)
	return plan
}

// The simple perfect squared square of lowest order: Duijvestijn, Journal of
// Combinatorial Theory B 25 (1978). It leaves no room, so that any mistake of
// placing shows.
func TestTheSquaredSquare(t *testing.T) {
	var pieces []Piece
	for _, side := range []float64{2, 4, 6, 7, 8, 9, 11, 15, 16, 17, 18, 19, 24, 25, 27, 29, 33, 35, 37, 42, 50} {
		pieces = append(pieces, Piece{side, side, 1})
	}
	if p := pack(t, Bed{112, 112, 0}, pieces...); len(p.Plates) != 1 || p.AreaBound != 1 || !p.Proven {
		t.Errorf("%d plates, bound %d, proven %v", len(p.Plates), p.AreaBound, p.Proven)
	}
	// a hair less bed: the area no longer allows one plate
	if p := pack(t, Bed{111.99, 112, 0}, pieces...); len(p.Plates) != 2 || p.AreaBound != 2 {
		t.Errorf("%d plates, bound %d", len(p.Plates), p.AreaBound)
	}
}

func TestPack(t *testing.T) {
	for _, c := range []struct {
		why           string
		bed           Bed
		pieces        []Piece
		plates, bound int
		proven        bool
	}{
		{"nothing", Bed{100, 100, 5}, nil, 0, 0, true},
		{"five squares of 4 do not fit in 9 × 9, though the area does", Bed{9, 9, 0}, []Piece{{4, 4, 5}}, 2, 1, false},
		{"pieces may touch the edge: the spacing is between them only", Bed{100, 100, 10}, []Piece{{45, 45, 4}}, 1, 1, true},
		{"a hair more spacing", Bed{100, 100, 10.01}, []Piece{{45, 45, 4}}, 4, 2, true},
		{"a quarter turn fits", Bed{100, 20, 0}, []Piece{{20, 100, 1}}, 1, 1, true},
		{"two that are over half the bed never share", Bed{100, 100, 0}, []Piece{{51, 51, 7}}, 7, 2, true},
		{"four round a hole: no guillotine cut makes it", Bed{50, 50, 0}, []Piece{{30, 20, 4}, {10, 10, 1}}, 1, 1, true},
		{"large and small ones fill each other's gaps", Bed{100, 100, 0}, []Piece{{60, 60, 3}, {40, 60, 3}, {50, 40, 6}}, 3, 3, true},
		{"a whole run of one kind", Bed{220, 220, 4}, []Piece{{40, 40, 200}}, 8, 8, true}, // 5 × 5 = 25 on a plate
	} {
		p := pack(t, c.bed, c.pieces...)
		if len(p.Plates) > c.plates || p.AreaBound != c.bound || p.Proven != c.proven {
			t.Errorf("%s: %d plates, bound %d, proven %v, want %d, %d, %v", c.why, len(p.Plates), p.AreaBound, p.Proven, c.plates, c.bound, c.proven)
		}
	}
}

// Counted by hand.
func TestPerPlate(t *testing.T) {
	for _, c := range []struct {
		why  string
		bed  Bed
		x, y float64
		want int
	}{
		{"a row of two and a turned row", Bed{100, 90, 0}, 50, 40, 4},
		{"5 × 5", Bed{220, 220, 4}, 40, 40, 25},
		{"stakes side by side", Bed{220, 220, 5}, 180, 22, 8},
		{"4 upright and 1 turned beside them", Bed{25, 20, 0}, 5, 20, 5},
		{"pallet of 5 × 3 in 14 × 10: 9 fill all but 5 of 140", Bed{14, 10, 0}, 5, 3, 9},
		{"too large", Bed{100, 100, 0}, 101, 5, 0},
		{"just fits", Bed{100, 100, 30}, 100, 100, 1},
	} {
		if got := PerPlate(c.bed, c.x, c.y); got < c.want || c.want == 0 && got != 0 {
			t.Errorf("%s: %d, want %d", c.why, got, c.want)
		}
	}
}

func TestWhatCannotBeLaid(t *testing.T) {
	for _, c := range []struct {
		bed   Bed
		piece Piece
		want  string
	}{
		{Bed{100, 100, 0}, Piece{101, 10, 1}, "piece 1 of 101 × 10 mm does not fit on a bed of 100 × 100 mm"},
		{Bed{0, 100, 0}, Piece{1, 1, 1}, "a bed of 0 × 100 mm with 0 mm between pieces holds nothing"},
		{Bed{100, 100, -1}, Piece{1, 1, 1}, "a bed of 100 × 100 mm with -1 mm between pieces holds nothing"},
		{Bed{100, 100, 0}, Piece{math.NaN(), 10, 1}, "piece 1: 1 of NaN × 10 mm cannot be"},
		{Bed{100, 100, 0}, Piece{10, 10, -1}, "piece 1: -1 of 10 × 10 mm cannot be"},
		{Bed{100, 100, 0}, Piece{10, 10, MaxPieces + 1}, "more than 1000000 pieces are too many to be laid"},
	} {
		if _, err := Pack(c.bed, []Piece{c.piece}); fmt.Sprint(err) != c.want {
			t.Errorf("%v, want %s", err, c.want)
		}
	}
	if _, err := Pack(Bed{100, 100, 0}, []Piece{{101, 101, 0}}); err != nil {
		t.Errorf("none of a piece that does not fit is no fault: %v", err)
	}
}

// Any mixture is laid whole, and on at most twice as many plates as there
// must be, and one.
func TestAnyMixtureIsLaidWhole(t *testing.T) {
	state := uint64(1)
	next := func(n int) int {
		state = state*6364136223846793005 + 1442695040888963407
		return int(state>>33) % n
	}
	for run := range 60 {
		bed := Bed{float64(150 + next(150)), float64(150 + next(150)), float64(next(8))}
		var pieces []Piece
		for range 1 + next(8) {
			pieces = append(pieces, Piece{float64(5 + next(140)), float64(5 + next(140)), next(40)})
		}
		p := pack(t, bed, pieces...)
		if q := pack(t, bed, pieces...); fmt.Sprint(p) != fmt.Sprint(q) {
			t.Fatalf("run %d: two plans for the same pieces", run)
		}
		if len(p.Plates) > 2*p.Bound+1 {
			t.Errorf("run %d: %d plates, no plan has fewer than %d", run, len(p.Plates), p.Bound)
		}
	}
}

// The demo's parts for two hundred units, on one bed.
func BenchmarkPack(b *testing.B) {
	pieces := []Piece{{90, 60, 200}, {90, 60, 200}, {180, 22, 200}, {40, 40, 400}, {40, 40, 400}}
	for b.Loop() {
		if _, err := Pack(Bed{220, 220, 5}, pieces); err != nil {
			b.Fatal(err)
		}
	}
}

// Hundreds of pieces of as many kinds.
func BenchmarkPackManyKinds(b *testing.B) {
	var pieces []Piece
	for i := range 300 {
		pieces = append(pieces, Piece{float64(10 + i*7%60), float64(10 + i*13%70), 1})
	}
	for b.Loop() {
		if _, err := Pack(Bed{220, 220, 5}, pieces); err != nil {
			b.Fatal(err)
		}
	}
}

// Very many small pieces on one plate.
func BenchmarkPackSmall(b *testing.B) {
	for b.Loop() {
		if _, err := Pack(Bed{300, 300, 1}, []Piece{{7, 5, 3000}, {4, 4, 2000}}); err != nil {
			b.Fatal(err)
		}
	}
}
