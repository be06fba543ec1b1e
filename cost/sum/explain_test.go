package sum

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
)

// heard tells results of small sums: one letter is a figure or a result, and what has a
// longer name has no words.
func heard(s *Sheet, r Ref, depth int) Told {
	return s.Explain(r, Telling{Depth: depth, Words: func(k Key) Words {
		if len(k.What) > 1 {
			return Words{}
		}
		return Words{Thing: k.Of, What: k.What}
	}})
}

// Brackets stand where another order of reckoning would come to something else, and
// nowhere else.
func TestToldExpressions(t *testing.T) {
	for _, row := range []struct {
		why, want string
		state     func(s *Sheet, a, b, c Ref) Ref
	}{
		{"a difference taken off", "a − (b − c)", func(s *Sheet, a, b, c Ref) Ref { return s.Sub(a, s.Sub(b, c)) }},
		{"a difference taken from", "a − b − c", func(s *Sheet, a, b, c Ref) Ref { return s.Sub(s.Sub(a, b), c) }},
		{"a product as divisor", "a ÷ (b × c)", func(s *Sheet, a, b, c Ref) Ref { return s.Div(a, s.Mul(b, c)) }},
		{"a quotient as divisor", "a ÷ (b ÷ c)", func(s *Sheet, a, b, c Ref) Ref { return s.Div(a, s.Div(b, c)) }},
		{"a sum as factor", "(a + b) × c", func(s *Sheet, a, b, c Ref) Ref { return s.Mul(s.Add(a, b), c) }},
		{"a product as term", "a × b + c", func(s *Sheet, a, b, c Ref) Ref { return s.Add(s.Mul(a, b), c) }},
		{"a factor of 1", "a", func(s *Sheet, a, _, _ Ref) Ref { return s.Mul(s.Count(1), a) }},
		{"nothing but ones", "1", func(s *Sheet, _, _, _ Ref) Ref { return s.Mul(s.Count(1), s.Count(1)) }},
		{"a number below 0", "a × (−3)", func(s *Sheet, a, _, _ Ref) Ref { return s.Mul(a, s.Count(-3)) }},
		{"rounding", "round(a ÷ b, 2)", func(s *Sheet, a, b, _ Ref) Ref { return s.Round(s.Div(a, b), 2) }},
		{"rounding up", "round up(a ÷ b, c)", func(s *Sheet, a, b, c Ref) Ref { return s.Up(s.Div(a, b), c) }},
		{"the least and the greatest", "greatest(least(a, b), c)", func(s *Sheet, a, b, c Ref) Ref { return s.Max(s.Min(a, b), c) }},
		{"a choice that holds", "since a is under b: a + b", func(s *Sheet, a, b, c Ref) Ref { return s.AtLeast(a, b, s.Mul(b, c), s.Add(a, b)) }},
		{"a choice that does not hold", "since c is over a: b × c", func(s *Sheet, a, b, c Ref) Ref { return s.More(c, a, s.Mul(b, c), a) }},
		{"a choice within one", "since a is a, and a is not over b: c",
			func(s *Sheet, a, b, c Ref) Ref { return s.Equal(a, a, s.More(a, b, 0, c), s.Count(7)) }},
		{"a choice that is none to a reader", "b", func(s *Sheet, a, b, c Ref) Ref { return s.Equal(s.Count(1), s.Count(1), b, c) }},
		{"a term of two that is 0", "a + y", func(s *Sheet, a, _, _ Ref) Ref { return s.Add(a, zeroOf(s, "y")) }},
		{"terms that are 0", "a + b", func(s *Sheet, a, b, _ Ref) Ref { return s.Add(a, zeroOf(s, "y"), b) }},
		{"nothing but zeros", "w + x + y + 1 that is 0",
			func(s *Sheet, _, _, _ Ref) Ref {
				return s.Add(zeroOf(s, "w"), zeroOf(s, "x"), zeroOf(s, "y"), zeroOf(s, "z"))
			}},
		{"what belongs to something", "b + c", func(s *Sheet, a, b, c Ref) Ref {
			return s.Of(s.Count(1), []Ref{s.Count(2), s.Count(1), s.Count(1)}, []Ref{a, b, c})
		}},
		{"a share", "share 2 of a × b by b : (c + a), to 1 decimals", func(s *Sheet, a, b, c Ref) Ref {
			return s.Share(Key{What: "shares"}, s.Mul(a, b), []Ref{b, s.Add(c, a)}, 1)[1]
		}},
	} {
		s := New(8)
		figure := func(what string, v int64) Ref {
			return s.Figure(Figure{Key: Key{What: what}, Value: s.Value(s.Count(v))})
		}
		r := row.state(s, figure("a", 2), figure("b", 3), figure("c", 4))
		if got := heard(s, s.Name(Key{What: "r"}, r, Loose), 1).How; got != row.want {
			t.Errorf("%s: %q, want %q", row.why, got, row.want)
		}
	}
}

func zeroOf(s *Sheet, what string) Ref { return s.Figure(Figure{Key: Key{What: what}}) }

// The tree ends at figures with their places, tells what is shared once, goes as deep as
// it is asked to, and knows what is not known.
func TestToldTree(t *testing.T) {
	s := New(8)
	at := bom.Place{File: "prices.csv", Row: 2, Col: 3}
	a := s.Figure(Figure{Key: Key{"x", 0, "a"}, Value: s.Value(s.Count(2)), Unit: "EUR", Place: at})
	b := s.Name(Key{"x", 0, "b"}, s.Mul(a, s.Count(5)), 2)
	c := s.Name(Key{"y", 0, "c"}, s.Add(b, a), 2)
	d := s.Name(Key{"y", 0, "d"}, s.Add(b, c, s.Unpriced(Key{"x", 0, "u"})), 2)
	if got, want := sketch(heard(s, d, 0)), "y: d=x: b + c + u?[x: b=a × 5[a@prices.csv:2:3] c=x: b + a[x: b^ x: a@prices.csv:2:3] x: u@?]"; got != want {
		t.Errorf("all: %s\nwant %s", got, want)
	}
	if got, want := sketch(heard(s, d, 1)), "y: d=x: b + c + u?[x: b=a × 5[] c=x: b + a[] x: u@?]"; got != want {
		t.Errorf("one level: %s\nwant %s", got, want)
	}
	if told := heard(s, d, 1); told.Sum != 3 || heard(s, b, 1).Sum != 0 {
		t.Error("what is a sum is not known")
	}
}

// Of a long sum the first terms are written out and the rest is counted.
func TestToldTerms(t *testing.T) {
	s := New(8)
	var all []Ref
	for _, what := range []string{"a", "b", "c", "d"} {
		all = append(all, s.Figure(Figure{Key: Key{What: what}, Value: s.Value(s.Count(2))}))
	}
	told := s.Explain(s.Add(append(all, zeroOf(s, "z"))...), Telling{Terms: 2, Words: func(k Key) Words { return Words{What: k.What} }})
	if want := "a + b + 2 more"; told.How != want || told.Sum > 0 || len(told.Of) != 2 {
		t.Errorf("%q of %d, want %q", told.How, len(told.Of), want)
	}
}

// sketch writes a tree in one line.
func sketch(t Told) string {
	mark := ""
	if t.Unknown {
		mark = "?"
	}
	switch {
	case t.Figure != nil:
		return t.Name + "@" + t.Figure.Place.String() + mark
	case t.Above:
		return t.Name + "^"
	}
	parts := make([]string, len(t.Of))
	for i := range t.Of {
		parts[i] = sketch(t.Of[i])
	}
	return fmt.Sprintf("%s=%s%s[%s]", t.Name, t.How, mark, strings.Join(parts, " "))
}
