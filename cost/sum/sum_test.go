package sum

import (
	"math"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/fixtures/checks"
)

func d(s string) decimal.Decimal { return decimal.RequireFromString(s) }

// Minor units: ISO 4217. Ties go away from zero, as commercial rounding does
// (DIN 1333, 4.5.1; cited from memory).
func TestRound(t *testing.T) {
	for _, row := range []struct {
		why, exact string
		digits     int32
		want       string
	}{
		{"a tie goes up", "1.005", 2, "1.01"},
		{"below a tie goes down", "1.0049999", 2, "1"},
		{"a negative tie goes away from zero", "-1.005", 2, "-1.01"},
		{"an even digit before the tie makes no difference", "0.125", 2, "0.13"},
		{"no minor unit", "12.5", 0, "13"},
		{"three digits", "0.0005", 3, "0.001"},
		{"four digits", "0.00004", 4, "0"},
	} {
		s := New(4)
		figure := s.Figure(Figure{Value: d(row.exact)})
		r := s.Round(figure, row.digits)
		if got := s.Value(r); !got.Equal(d(row.want)) {
			t.Errorf("%s: %s rounds to %s; want %s", row.why, row.exact, got, row.want)
		}
		p := s.Compile([]Ref{r}, []Ref{figure})
		if p.Run(); p.Value(r) != d(row.want).InexactFloat64() {
			t.Errorf("%s: %s is drawn as %v; want %s", row.why, row.exact, p.Value(r), row.want)
		}
	}
}

// math/big works out the exact quotient and rounds halves away from zero. A quotient
// that is rounded is rounded once.
func TestQuotients(t *testing.T) {
	for _, row := range []struct{ why, quantity, price, per string }{
		{"an hour and a half", "5400", "18.00", "3600"},
		{"a tie goes up", "900", "0.02", "3600"},
		{"just below a tie", "899.999999999", "0.02", "3600"},
		{"below a tie by less than a quotient keeps", "899.9999999999999999999999999999", "0.02", "3600"},
		{"nothing", "0", "18", "3600"},
		{"a third", "1", "1", "3"},
		{"two thirds", "2", "1", "3"},
		{"a credit", "-900", "0.02", "3600"},
		{"more than a word holds", "99999999999999.999999999", "99999999999.99", "3600"},
	} {
		s := New(8)
		exact := new(big.Rat).Quo(new(big.Rat).Mul(d(row.quantity).Rat(), d(row.price).Rat()), d(row.per).Rat())
		r := s.Round(s.Div(s.Mul(s.Figure(Figure{Value: d(row.quantity)}), s.Number(d(row.price))), s.Number(d(row.per))), 2)
		if got, want := s.Value(r).StringFixed(2), exact.FloatString(2); got != want {
			t.Errorf("%s: %s × %s / %s is %s; want %s", row.why, row.quantity, row.price, row.per, got, want)
		}
	}
}

// The exact number of steps that hold an amount, by math/big.
func TestUp(t *testing.T) {
	for _, row := range []struct{ why, over, under, step, want string }{
		{"a rest takes one step more", "100.01", "1", "0.5", "100.5"},
		{"none where it comes out", "100.00", "1", "0.5", "100"},
		{"a quotient without end", "200", "3", "0.333333333333", "66.999999999933"},
		{"just over a step by less than a quotient keeps", "3.0000000000000000000000000000003", "3", "1", "2"},
		{"nothing", "0", "7", "1", "0"},
	} {
		s := New(8)
		r := s.Up(s.Div(s.Figure(Figure{Value: d(row.over)}), s.Number(d(row.under))), s.Number(d(row.step)))
		if got := s.Value(r); !got.Equal(d(row.want)) {
			t.Errorf("%s: %s / %s in steps of %s is %s; want %s", row.why, row.over, row.under, row.step, got, row.want)
		}
	}
}

// Whether steps come out is told of the exact quotient, also where it has a name and
// something is worked out from it: 200 / 3 × 1.2 is 80, and so is 200 / 3 + 40 / 3.
func TestUpIsExactThroughQuotients(t *testing.T) {
	s := New(8)
	third := s.Name(Key{"price", 0, ""}, s.Div(s.Count(200), s.Count(3)), Loose)
	for _, row := range []struct {
		why string
		r   Ref
	}{
		{"a product", s.Mul(third, s.Number(d("1.2")))},
		{"a quotient of it", s.Div(third, s.Div(s.Count(5), s.Count(6)))},
		{"a sum", s.Add(third, s.Div(s.Count(40), s.Count(3)))},
		{"a difference", s.Sub(s.Div(s.Count(560), s.Count(6)), s.Div(s.Count(40), s.Count(3)))},
	} {
		if got := s.Value(s.Up(row.r, s.Number(d("0.01")))); !got.Equal(d("80")) {
			t.Errorf("%s: %s; want 80", row.why, got)
		}
	}
}

// rat evaluates a node in exact fractions: by math/big and nothing of the package but
// what the node is made of.
func rat(s *Sheet, r Ref) *big.Rat {
	a := s.argsOf(r)
	of := func(i int) *big.Rat { return rat(s, a[i]) }
	choose := func(yes bool) *big.Rat {
		if yes {
			return of(2)
		}
		return of(3)
	}
	switch s.nodes[r].op {
	case opAdd:
		total := new(big.Rat)
		for i := range a {
			total.Add(total, of(i))
		}
		return total
	case opSub:
		return new(big.Rat).Sub(of(0), of(1))
	case opMul:
		return new(big.Rat).Mul(of(0), of(1))
	case opDiv:
		if of(1).Sign() == 0 {
			return new(big.Rat)
		}
		return new(big.Rat).Quo(of(0), of(1))
	case opRound:
		digits, _ := of(1).Float64()
		out, _ := new(big.Rat).SetString(of(0).FloatString(int(digits)))
		return out
	case opMin, opMax:
		x, y := of(0), of(1)
		if (x.Cmp(y) < 0) == (s.nodes[r].op == opMin) {
			return x
		}
		return y
	case opAtLeast:
		return choose(of(0).Cmp(of(1)) >= 0)
	case opMore:
		return choose(of(0).Cmp(of(1)) > 0)
	case opEqual:
		return choose(of(0).Cmp(of(1)) == 0)
	}
	return s.nodes[r].value.Rat()
}

// grow states a random sum over figures; money is rounded as it goes, as in a run.
func grow(s *Sheet, r *rand.Rand, figures []Ref, depth int) Ref {
	if depth == 0 {
		return figures[r.IntN(len(figures))]
	}
	next := func() Ref { return grow(s, r, figures, depth-1) }
	switch r.IntN(9) {
	case 0:
		return s.Add(next(), next(), next())
	case 1:
		return s.Sub(next(), next())
	case 2:
		return s.Round(s.Mul(next(), next()), 2)
	case 3:
		return s.Round(s.Div(next(), next()), 2)
	case 4:
		return s.Min(next(), next())
	case 5:
		return s.Max(next(), next())
	case 6:
		return s.AtLeast(next(), next(), next(), next())
	case 7:
		return s.More(next(), next(), next(), next())
	}
	return s.Equal(next(), next(), next(), next())
}

// TestExactAndDrawn: a random sum in decimals is what exact fractions give, and what
// the programme gives in binary fractions; also with other figures, of which another
// sheet tells what comes out.
func TestExactAndDrawn(t *testing.T) {
	for seed := range uint64(checks.Runs(20_000)) {
		state := func(shift int64) (*Sheet, []Ref, Ref) {
			r := rand.New(rand.NewPCG(seed, 5))
			s := New(64)
			var figures []Ref
			for range 5 {
				figures = append(figures, s.Figure(Figure{Value: decimal.New(r.Int64N(200_00)+shift, -2)}))
			}
			return s, figures, grow(s, r, figures, 4)
		}
		s, figures, root := state(0)
		if got, want := s.Value(root).Rat(), rat(s, root); got.Cmp(want) != 0 {
			t.Fatalf("seed %d: %s, exactly %s", seed, got.FloatString(9), want.FloatString(9))
		}
		moved, other, _ := state(37)
		want := moved.Value(root).InexactFloat64()
		p := s.Compile([]Ref{root}, figures)
		for i, f := range figures {
			p.Set(f, moved.Value(other[i]).InexactFloat64())
		}
		if p.Run(); math.Abs(want) < 1e9 && math.Abs(p.Value(root)-want) > 1e-5+1e-9*math.Abs(want) {
			t.Fatalf("seed %d: drawn as %v, want %v", seed, p.Value(root), want)
		}
	}
}

// A product that lies at a half is rounded up though its binary fraction lies under it;
// one that lies a hair under a half, as thirds of hours do, is not.
func TestDrawnHalves(t *testing.T) {
	for _, row := range []struct{ a, b string }{
		{"1.15", "0.7"},                  // 0.805, in binary under it
		{"20.1", "0.35"},                 // 7.035
		{"87654321.15", "0.7"},           // the same of a large sum
		{"283.333333333", "0.2709"},      // 76.7549999999097
		{"5.833333333", "0.222"},         // 1.294999999926
		{"-5.833333333", "0.222"},        // away from zero
		{"-1.15", "0.7"},                 // -0.805
		{"1666666.666666667", "0.00003"}, // 50.00000000000001
	} {
		s := New(8)
		a := s.Figure(Figure{Value: d(row.a)})
		root := s.Round(s.Mul(a, s.Number(d(row.b))), 2)
		p := s.Compile([]Ref{root}, []Ref{a})
		if p.Run(); math.Abs(p.Value(root)-s.Value(root).InexactFloat64()) > 1e-6 {
			t.Errorf("%s × %s: %v, exactly %s", row.a, row.b, p.Value(root), s.Value(root))
		}
	}
}

// The programme after a figure runs what rests on it, and nothing else.
func TestAfter(t *testing.T) {
	s := New(16)
	a, b := s.Figure(Figure{Value: d("2")}), s.Figure(Figure{Value: d("3")})
	x, y := s.Mul(a, s.Count(10)), s.Mul(b, s.Count(100))
	both := s.Add(x, y)
	p := s.Compile([]Ref{both}, []Ref{a, b})
	p.Set(a, 5)
	p.Set(b, 7)
	p.After(a).Run()
	if p.Value(x) != 50 || p.Value(y) != 300 || p.Value(both) != 350 {
		t.Errorf("after a: %v + %v = %v", p.Value(x), p.Value(y), p.Value(both))
	}
	if p.Run(); p.Value(both) != 750 {
		t.Errorf("after both: %v", p.Value(both))
	}
	if n := len(p.After(a).steps); n != 2 {
		t.Errorf("%d steps after a", n)
	}
}

// Nothing rests on what a choice that is made leaves out, nor on what has another tag.
func TestRest(t *testing.T) {
	s := New(16)
	a, b, c := s.Figure(Figure{Value: d("2")}), s.Figure(Figure{Value: d("3")}), s.Figure(Figure{Value: d("4")})
	one, two := s.Count(1), s.Count(2)
	goods := s.Of(one, []Ref{two, two}, []Ref{a, b})
	due := s.More(goods, 0, c, 0)
	both := s.Add(s.Mul(a, two), s.Equal(one, two, b, 0), due)
	if got := s.Rest([]Ref{both}, []Ref{a, b, c}); !slices.Equal(got, []bool{true, false, false}) {
		t.Errorf("the result rests on %v", got)
	}
}

// Largest remainder, worked examples recomputed by hand: 100.00 in three, 123.45 by
// 700, 250 and 50; of equal remainders the earlier share is served first.
func TestShare(t *testing.T) {
	for _, row := range []struct {
		total   string
		weights []string
		want    []string
	}{
		{"100.00", []string{"1", "1", "1"}, []string{"33.34", "33.33", "33.33"}},
		{"123.45", []string{"700", "250", "50"}, []string{"86.42", "30.86", "6.17"}},
		{"0.01", []string{"1", "1"}, []string{"0.01", "0"}},
		{"5.00", []string{"0", "0"}, []string{"5", "0"}},
	} {
		s := New(8)
		total := s.Figure(Figure{Value: d(row.total)})
		var weights []Ref
		for _, w := range row.weights {
			weights = append(weights, s.Number(d(w)))
		}
		shares := s.Share(Key{Of: "test"}, total, weights, 2)
		p := s.Compile(shares, []Ref{total})
		p.Run()
		for i, r := range shares {
			if !s.Value(r).Equal(d(row.want[i])) || math.Abs(p.Value(r)-d(row.want[i]).InexactFloat64()) > 1e-9 {
				t.Errorf("%s by %v: share %d is %s, drawn as %v; want %s", row.total, row.weights, i, s.Value(r), p.Value(r), row.want[i])
			}
		}
	}
}

// By hand: three thirds of 10 are 10, which has half of what it shares with another 10, and a tie
// of a cent goes to the first; 3.333… three times is less than 10, however many threes.
func TestShareByQuotients(t *testing.T) {
	s := New(32)
	third := func(of int64) Ref { return s.Div(s.Count(of), s.Count(3)) }
	one, two := s.Count(1), s.Count(2)
	first := s.Of(one, []Ref{one, two, one, one}, []Ref{third(10), s.Count(7), third(10), third(10)})
	for i, r := range s.Share(Key{Of: "test"}, s.Figure(Figure{Value: d("0.01")}), []Ref{s.More(first, 0, first, one), s.Count(10)}, 2) {
		if want := []string{"0.01", "0"}[i]; !s.Value(r).Equal(d(want)) {
			t.Errorf("share %d is %s, want %s", i, s.Value(r), want)
		}
	}
}

// prices is a table of one column.
type prices []string

func (p prices) Figure(_, row int) Figure {
	return Figure{Key: Key{"price", row, ""}, Value: d(p[row]), Unit: "EUR"}
}

// All-units discount: the price of the highest break that is no more than the
// quantity (Heizer & Render, Inventory; cited from memory: 5.00, 4.80 from 1000, 4.75
// from 2000; goods of 5000, at 700, 1000 and 2000 a time).
func TestPriceAtAQuantity(t *testing.T) {
	breaks := &Table{Keys: []int64{0, 1000, 2000}, Columns: []string{"price"}, Rows: prices{"5.00", "4.80", "4.75"}}
	for q, want := range map[int64]string{700: "5.00", 999: "5.00", 1000: "4.80", 1999: "4.80", 2000: "4.75"} {
		s := New(8)
		r := s.Pick(breaks, 0, s.Match(breaks, s.Count(q)))
		if got := s.Value(r); !got.Equal(d(want)) {
			t.Errorf("%d at %s, want %s", q, got, want)
		}
	}
}

// What nobody knows makes unknown what rests on it: not a share of no weight, and not
// what belongs to somebody else.
func TestUnknown(t *testing.T) {
	s := New(16)
	gone, known := s.Unpriced(Key{"line", 0, "cash"}), s.Figure(Figure{Value: d("2")})
	shares := s.Share(Key{}, gone, []Ref{s.Count(1), 0}, 2)
	one, two := s.Count(1), s.Count(2)
	for _, row := range []struct {
		what string
		r    Ref
		want bool
	}{
		{"a sum", s.Add(known, gone), true}, {"a product", s.Round(s.Mul(gone, known), 2), true}, {"what is known", known, false},
		{"a share", shares[0], true}, {"a share of no weight", shares[1], false},
		{"what belongs to one", s.Of(one, []Ref{one, two}, []Ref{gone, known}), true},
		{"what belongs to the other", s.Of(two, []Ref{one, two}, []Ref{gone, known}), false},
	} {
		if s.Unknown(row.r) != row.want {
			t.Errorf("%s: unknown %v", row.what, s.Unknown(row.r))
		}
	}
	if !s.Value(s.Add(known, gone)).Equal(d("2")) {
		t.Error("the known part of a sum is lost")
	}
}

// column stands results below one another in column B of the sheet Sums.
type column struct{ rows map[Key]int }

func (c column) At(k Key, _ *Figure) (Cell, bool) {
	row, ok := c.rows[k]
	return Cell{"Sums", 2, row, row}, ok
}
func (c column) Share(Ref) (Cell, bool)           { return Cell{"Shares", 1, 1, 1}, true }
func (c column) Column(_ *Table, x string) string { return "Offers!" + x }
func (c column) Address(from, to Cell) string {
	if from == to {
		return "B" + strconv.Itoa(from.Row)
	}
	return "B" + strconv.Itoa(from.Row) + ":B" + strconv.Itoa(to.Row)
}

// A result with a cell stands as its address, one without is written out; cells below
// one another are summed as a range.
func TestFormula(t *testing.T) {
	s := New(32)
	k := func(i int) Key { return Key{"f", i, ""} }
	at := column{map[Key]int{}}
	var f []Ref
	for i := range 5 {
		f = append(f, s.Figure(Figure{Key: k(i), Value: decimal.NewFromInt(int64(i))}))
		at.rows[k(i)] = i + 1
	}
	blank := s.Figure(Figure{Key: Key{"limit", 0, ""}, Optional: true, Blank: true})
	at.rows[Key{"limit", 0, ""}] = 9
	loose := s.Figure(Figure{Key: k(9), Value: d("0.5")})
	word := s.Figure(Figure{Key: Key{"w", 0, ""}, Text: `say "x"`})
	inner := s.Name(Key{"inner", 0, ""}, s.Add(f[0], f[2]), 2)
	w := &Writer{Sheet: s, Cells: at}
	breaks := &Table{Keys: []int64{0}, Columns: []string{"price"}, Rows: prices{"1"}}
	for _, row := range []struct {
		why  string
		r    Ref
		want string
	}{
		{"a range", s.Add(f...), "SUM(B1:B5)"},
		{"two are no range", s.Add(f[0], f[1]), "B1+B2"},
		{"a range and others", s.Add(f[0], f[1], f[2], f[4]), "SUM(B1:B3)+B5"},
		{"brackets where they are needed", s.Mul(s.Add(f[0], f[2]), f[1]), "(B1+B3)*B2"},
		{"what is taken away", s.Sub(f[0], s.Sub(f[1], f[2])), "B1-(B2-B3)"},
		{"a sum without a cell is taken away, and begins with a call", s.Sub(f[1], s.Name(Key{"loose", 0, ""}, s.Add(s.Round(f[0], 2), f[2]), Loose)), "B2-(ROUND(ROUND(B1,11),2)+B3)"},
		{"a product needs none", s.Sub(f[0], s.Mul(f[1], f[2])), "B1-B2*B3"},
		{"division by a figure", s.Div(f[0], s.Mul(f[1], f[2])), "IF((B2*B3)=0,0,B1/(B2*B3))"},
		{"division by a number", s.Div(f[0], s.Count(40)), "B1/40"},
		{"a figure without a cell", s.Mul(f[0], loose), "B1*0.5"},
		{"money", s.Round(s.Mul(f[0], f[1]), 2), "ROUND(ROUND(B1*B2,11),2)"},
		{"money without decimals", s.Round(s.Mul(f[1], f[2]), 0), "ROUND(ROUND(B2*B3,9),0)"},
		{"a large sum, of which fewer decimals are sure", s.Round(s.Mul(f[4], s.Count(51_186)), 2), "ROUND(ROUND(B5*51186,8),2)"},
		{"a named sum is cleaned", s.Name(Key{"total", 0, ""}, s.Add(f[0], f[2]), 2), "ROUND(B1+B3,2)"},
		{"what has no cell is written out, cleaned", s.Mul(inner, f[1]), "ROUND(B1+B3,2)*B2"},
		{"what is rounded needs no cleaning", s.Name(Key{"rounded", 0, ""}, s.Round(f[0], 2), 2), "ROUND(ROUND(B1,11),2)"},
		{"a choice", s.AtLeast(f[0], f[1], f[2], 0), "IF(B1>=B2,B3,0)"},
		{"a limit that may be blank", s.AtLeast(f[0], blank, 0, f[2]), "IF(AND(ISNUMBER(B9),B1>=B9),0,B3)"},
		{"up to a step", s.Up(f[0], f[1]), "-INT(-ROUND(B1/B2,9))*B2"},
		{"what belongs to a tag, one by one", s.Of(s.Count(2), []Ref{f[0], f[2]}, f[3:5]), "IF(B1=2,B4,0)+IF(B3=2,B5,0)"},
		{"a tag in words", s.Of(word, f[:1], f[1:2]), `SUMIF(B1,"say ""x""",B2)`},
		{"a price at a quantity", s.Pick(breaks, 0, s.Match(breaks, f[0])), "INDEX(Offers!price,MATCH(B1,Offers!Key,1))"},
	} {
		if got := w.Formula(row.r); got != row.want {
			t.Errorf("%s: %s, want %s", row.why, got, row.want)
		}
	}
	ranged := &Writer{Sheet: s, Cells: at}
	if got := ranged.Formula(s.Of(s.Count(2), f[:3], f[1:4])); !strings.HasPrefix(got, "SUMIF(B1:B3,2,B2:B4)") {
		t.Errorf("by ranges: %s", got)
	}
}
