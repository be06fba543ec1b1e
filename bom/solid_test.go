package bom

import (
	"math"
	"testing"
)

func TestKeysOfPlacesAndEdges(t *testing.T) {
	a, b, c := Point{1, 2, 3}, Point{1, 2, 4}, Point{2, 1, 3}
	zero, minus := Point{}, Point{math.Copysign(0, -1), 0, math.Copysign(0, -1)}
	if zero.Key() != minus.Key() {
		t.Error("the two zeros are different places")
	}
	seen := map[uint64]Point{}
	for x := range 40 { // a grid, as boxes have it, gives no two alike
		for y := range 40 {
			for z := range 40 {
				p := Point{float64(x), float64(y) / 8, float64(-z)}
				if q, ok := seen[p.Key()]; ok {
					t.Fatalf("%v and %v have one key", p, q)
				}
				seen[p.Key()] = p
			}
		}
	}
	ab, s1 := EdgeKey(a.Key(), b.Key())
	ba, s2 := EdgeKey(b.Key(), a.Key())
	ac, _ := EdgeKey(a.Key(), c.Key())
	if ab != ba || s1 != ^s2 || ab == ac || (ab^s1)-s1+(ba^s2)-s2 != 0 {
		t.Error(ab, ba, ac, s1, s2)
	}
	if k, s := EdgeKey(a.Key(), a.Key()); k != 0 || s != 0 {
		t.Error("an edge without length has a key")
	}
}
