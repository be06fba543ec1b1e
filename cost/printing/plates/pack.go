package plates

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Bed is the usable area of a printer and what is to be kept free between
// pieces, mm. Pieces may lie at the very edge.
type Bed struct {
	X, Y, Spacing float64
}

// Piece is a kind of piece: the sides of the rectangle round it, mm, and how
// many there are.
type Piece struct {
	X, Y  float64
	Count int
}

// Placement is where one piece lies: its corner nearest to the origin.
type Placement struct {
	Piece  int // index of its kind
	X, Y   float64
	Turned bool // by a quarter
}

// Plate is what lies on one bed.
type Plate []Placement

// Plan is a way to lay all pieces.
type Plan struct {
	Plates    []Plate
	AreaBound int  // as few plates as the area of pieces and spacing alone would take
	Bound     int  // no plan has fewer plates: AreaBound, or pieces of which no two fit on one plate
	Proven    bool // no plan has fewer plates than this one
}

// MaxPieces bounds what Pack lays.
const MaxPieces = 1_000_000

// Pack lays all pieces. It tries several orders and rules of placing and keeps
// the plan with the fewest plates; where the last two plates might be one, it
// searches for that. The result is the same for the same input, but not always
// the best there is: Proven says when it is.
//
// A piece that does not fit on the bed at all is an error.
func Pack(bed Bed, pieces []Piece) (Plan, error) {
	kinds, err := grow(bed, pieces)
	if err != nil {
		return Plan{}, err
	}
	b := board{bed.X + bed.Spacing, bed.Y + bed.Spacing}
	area, all := 0.0, 0
	for i, k := range kinds {
		area += k.w * k.h * float64(pieces[i].Count)
		all += pieces[i].Count
	}
	plan := Plan{AreaBound: int(math.Ceil(area/(b.w*b.h) - 1e-9))}
	if all == 0 {
		plan.Proven = true
		return plan, nil
	}
	plan.Bound = max(plan.AreaBound, apart(b, kinds, pieces))
	plan.Plates = joinLast(b, kinds, layAll(b, kinds, counts(pieces), plan.Bound), plan.Bound)
	plan.Proven = len(plan.Plates) == plan.Bound
	return plan, nil
}

// PerPlate is how many equal pieces one plate holds; 0 where not even one fits.
func PerPlate(bed Bed, x, y float64) int {
	count := int(math.Floor((bed.X+bed.Spacing)*(bed.Y+bed.Spacing)/((x+bed.Spacing)*(y+bed.Spacing)) + 1e-9))
	count = min(max(count, 1), MaxPieces)
	plan, err := Pack(bed, []Piece{{X: x, Y: y, Count: count}})
	if err != nil {
		return 0
	}
	most := 0
	for _, p := range plan.Plates {
		most = max(most, len(p))
	}
	return most
}

// tiny is less than any printer places to, mm.
const tiny = 1e-9

// board is the bed and kind a piece, both grown by the spacing, which turns
// spacing into plain touching.
type board struct{ w, h float64 }

type kind struct{ w, h float64 }

func grow(bed Bed, pieces []Piece) ([]kind, error) {
	if !(bed.X > 0) || !(bed.Y > 0) || !(bed.Spacing >= 0) || math.IsInf(bed.X+bed.Y+bed.Spacing, 0) {
		return nil, fmt.Errorf("a bed of %g × %g mm with %g mm between pieces holds nothing", bed.X, bed.Y, bed.Spacing)
	}
	kinds := make([]kind, len(pieces))
	total := 0
	for i, p := range pieces {
		if !(p.X > 0) || !(p.Y > 0) || p.Count < 0 {
			return nil, fmt.Errorf("piece %d: %d of %g × %g mm cannot be", i+1, p.Count, p.X, p.Y)
		}
		upright := p.X <= bed.X+tiny && p.Y <= bed.Y+tiny
		turned := p.Y <= bed.X+tiny && p.X <= bed.Y+tiny
		if p.Count > 0 && !upright && !turned {
			return nil, fmt.Errorf("piece %d of %g × %g mm does not fit on a bed of %g × %g mm", i+1, p.X, p.Y, bed.X, bed.Y)
		}
		if total += p.Count; total > MaxPieces {
			return nil, fmt.Errorf("more than %d pieces are too many to be laid", MaxPieces)
		}
		kinds[i] = kind{p.X + bed.Spacing, p.Y + bed.Spacing}
	}
	return kinds, nil
}

// apart counts pieces of which no two fit on one plate; of a set of those each
// piece takes a plate of its own. The set is gathered from the largest on.
func apart(b board, kinds []kind, pieces []Piece) (n int) {
	var set []kind
	for _, i := range byArea(kinds, counts(pieces)) {
		k := kinds[i]
		if slices.ContainsFunc(set, func(o kind) bool { return together(b, k, o) }) {
			continue
		}
		set = append(set, k)
		if together(b, k, k) {
			n++
		} else {
			n += pieces[i].Count
		}
	}
	return n
}

// together tells whether two pieces fit side by side or one above the other.
func together(b board, k, o kind) bool {
	for _, k := range [2]kind{k, {k.h, k.w}} {
		for _, o := range [2]kind{o, {o.h, o.w}} {
			wide, high := k.w+o.w, k.h+o.h
			fit := max(k.w, o.w) <= b.w+tiny && max(k.h, o.h) <= b.h+tiny
			if fit && (wide <= b.w+tiny || high <= b.h+tiny) {
				return true
			}
		}
	}
	return false
}

func counts(pieces []Piece) []int {
	out := make([]int, len(pieces))
	for i, p := range pieces {
		out[i] = p.Count
	}
	return out
}

// layAll tries all ways and keeps the one with the fewest plates, of those the
// one whose last plate is the emptiest.
func layAll(b board, kinds []kind, left []int, bound int) (best []Plate) {
	try := func(next func(left []int) Plate) (enough bool) {
		plates := layOut(kinds, slices.Clone(left), next)
		if best == nil || len(plates) < len(best) ||
			len(plates) == len(best) && used(plates[len(plates)-1], kinds) < used(best[len(best)-1], kinds)-tiny {
			best = plates
		}
		return len(best) == bound
	}
	ways := orders(kinds, left)
	for _, order := range ways {
		for rule := range rules {
			if try(func(left []int) Plate { return fill(b, kinds, left, order, rule) }) {
				return best
			}
		}
	}
	if len(ways) > 1 {
		dice := uint64(1)
		try(func(left []int) Plate { return fullest(b, kinds, left, ways, &dice) })
	}
	return best
}

func used(p Plate, kinds []kind) (area float64) {
	for _, at := range p {
		area += kinds[at.Piece].w * kinds[at.Piece].h
	}
	return area
}

// byArea are the kinds that are there, largest first.
func byArea(kinds []kind, left []int) []int {
	return by(kinds, left, func(k kind) float64 { return k.w * k.h })
}

func by(kinds []kind, left []int, size func(kind) float64) (out []int) {
	for i, n := range left {
		if n > 0 {
			out = append(out, i)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return cmp.Compare(size(kinds[b]), size(kinds[a])) })
	return out
}

// orders are the kinds by area, by longer side, by shorter side, largest first,
// and a nil order, in which whatever fits best comes next.
func orders(kinds []kind, left []int) [][]int {
	first := byArea(kinds, left)
	if len(first) == 1 {
		return [][]int{first}
	}
	return [][]int{
		first,
		by(kinds, left, func(k kind) float64 { return max(k.w, k.h) }),
		by(kinds, left, func(k kind) float64 { return min(k.w, k.h) }),
		nil,
	}
}

// mixtures is how many mixtures of kinds are tried for one plate, and
// mixedPieces how many pieces there may be for that.
const (
	mixtures    = 24
	mixedPieces = 2000
)

// fullest is the plate with the most on it, of all orders and of some mixtures in
// which only so many of a kind come before the next; it fills plates well that
// take different kinds, where laying all of one kind first leaves gaps.
func fullest(b board, kinds []kind, left []int, ways [][]int, dice *uint64) (best Plate) {
	most := 0.0
	keep := func(p Plate) {
		if u := used(p, kinds); u > most+tiny {
			best, most = p, u
		}
	}
	all := 0
	for _, n := range left {
		all += n
	}
	for _, order := range ways {
		for rule := range rules {
			keep(fill(b, kinds, left, order, rule))
		}
	}
	for n := 0; n < mixtures && all <= mixedPieces; n++ {
		order := byArea(kinds, left)
		for i := len(order) - 1; i > 0; i-- {
			if j := roll(dice, i+1); n%2 == 1 {
				order[i], order[j] = order[j], order[i]
			}
		}
		few := make([]int, len(left)) // of each kind first
		for _, i := range order {
			few[i] = 1 + roll(dice, min(left[i], 4))
		}
		f := newField(b, n%rules)
		plate := f.inOrder(kinds, few, order)
		rest := slices.Clone(left)
		for _, p := range plate {
			rest[p.Piece]--
		}
		keep(append(plate, f.inOrder(kinds, rest, order)...))
	}
	return best
}

// roll gives a number under n, the same ones in every run (Knuth's MMIX
// generator).
func roll(dice *uint64, n int) int {
	*dice = *dice*6364136223846793005 + 1442695040888963407
	return int(*dice >> 33 % uint64(n))
}

// layOut fills plate after plate. A plate that can be filled alike with what is
// left is repeated without laying it out again.
func layOut(kinds []kind, left []int, next func(left []int) Plate) []Plate {
	var out []Plate
	for {
		plate := next(left)
		if len(plate) == 0 {
			return out
		}
		need := make([]int, len(kinds))
		for _, at := range plate {
			need[at.Piece]++
		}
		for possible(need, left) {
			out = append(out, plate)
			for i, n := range need {
				left[i] -= n
			}
		}
	}
}

func possible(need, left []int) bool {
	for i, n := range need {
		if n > left[i] {
			return false
		}
	}
	return true
}

// fill lays as much as it can on one plate.
func fill(b board, kinds []kind, left []int, order []int, rule int) Plate {
	only := -1
	for i, n := range left {
		if n > 0 && only == -1 {
			only = i
		} else if n > 0 {
			only = -2
		}
	}
	f := newField(b, rule)
	var plate Plate
	if order == nil {
		plate = f.bestNext(kinds, slices.Clone(left))
	} else {
		plate = f.inOrder(kinds, left, order)
	}
	if only >= 0 {
		if rows := blocks(b, kinds[only], only, left[only]); len(rows) > len(plate) {
			return rows
		}
	}
	return plate
}

func (f *field) inOrder(kinds []kind, left []int, order []int) (plate Plate) {
	for _, i := range order {
		for range left[i] {
			at, _, ok := f.choose(kinds[i])
			if !ok {
				break
			}
			plate = append(plate, f.take(i, kinds[i], at))
		}
	}
	return plate
}

func (f *field) bestNext(kinds []kind, left []int) (plate Plate) {
	for {
		best, bestScore, bestAt := -1, score{}, spot{}
		for i, n := range left {
			if n == 0 {
				continue
			}
			if at, s, ok := f.choose(kinds[i]); ok && (best < 0 || s.less(bestScore)) {
				best, bestScore, bestAt = i, s, at
			}
		}
		if best < 0 {
			return plate
		}
		left[best]--
		plate = append(plate, f.take(best, kinds[best], bestAt))
	}
}

// blocks lays equal pieces in two blocks of rows, one of them turned: for every
// width of the first.
func blocks(b board, k kind, id, count int) Plate {
	most, widest, turn := 0, 0.0, false // of the best: pieces, width of the first block, whether that is turned
	for _, turned := range []bool{false, true} {
		w, h := k.w, k.h
		if turned {
			w, h = h, w
		}
		for columns := 0; float64(columns)*w <= b.w+tiny && columns <= count; columns++ {
			at := float64(columns) * w
			if n := along(0, at, w)*along(0, b.h, h) + along(at, b.w, h)*along(0, b.h, w); n > most {
				most, widest, turn = n, at, turned
			}
		}
	}
	p := make(Plate, 0, min(most, count))
	p = rows(p, id, 0, widest, b.h, k, turn)
	return rows(p, id, widest, b.w, b.h, k, !turn)
}

// along is how many pieces of a length fit between two places, of as many as can
// be laid at all.
func along(from, to, length float64) (n int) {
	for n < MaxPieces && from+float64(n+1)*length <= to+tiny {
		n++
	}
	return n
}

// rows lays a block of equal pieces, as far as there is room for them in the list.
func rows(p Plate, id int, from, to, height float64, k kind, turned bool) Plate {
	w, h := k.w, k.h
	if turned {
		w, h = h, w
	}
	for i := range along(from, to, w) {
		for j := range along(0, height, h) {
			if len(p) == cap(p) {
				return p
			}
			p = append(p, Placement{Piece: id, X: from + float64(i)*w, Y: float64(j) * h, Turned: turned})
		}
	}
	return p
}
