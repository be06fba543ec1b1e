package cost_test

import (
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// The reference is CBC, the mixed-integer solver that Debian packages as coinor-cbc, run
// with no gap allowed and its preprocessing off: the substitutes are offers beside those of
// the part, at most one of them for each part, and how many pieces come from where is left to it.

// lacking is what a piece costs that is not to be had: the reference does not always come
// through where nothing meets a program.
const lacking = 10_000_000

// program writes a run as a mixed-integer program in the LP format, in cents.
func (s *scarceRun) program() string {
	var cost, rows, bounds strings.Builder
	var whole, binary []string
	count := 0
	row := func(format string, args ...any) {
		count++
		fmt.Fprintf(&rows, " r%d: %s\n", count, fmt.Sprintf(format, args...))
	}
	pay := func(cents int64, name string) { fmt.Fprintf(&cost, " + %d %s\n", cents, name) }
	var goods [2]strings.Builder
	all := append(append([]scarcePart(nil), s.parts...), s.stands...)
	supplied := make([]string, len(all))
	for i, p := range all {
		for at, price := range p.price {
			if price == 0 {
				continue
			}
			q := fmt.Sprintf("q%d_%d", i, at)
			whole = append(whole, q)
			pay(price, q)
			supplied[i] += " + " + q
			fmt.Fprintf(&goods[at], " + %s", q)
			if !p.unlimited {
				fmt.Fprintf(&bounds, " %s <= %d\n", q, p.stock[at])
			}
		}
	}
	for i := range s.parts {
		needs, one, demand := supplied[i], "", s.units*s.parts[i].perUnit
		for l, r := range s.listed {
			if r.part != i {
				continue
			}
			x, y, u := fmt.Sprintf("x%d", l), fmt.Sprintf("y%d", l), fmt.Sprintf("u%d", l)
			whole, binary = append(whole, x, u), append(binary, y)
			needs, one = needs+" + "+x, one+" + "+y
			row("%s - %d %s <= 0", x, demand, y)
			if !r.mix {
				row("%s - %d %s >= 0", x, demand, y)
			}
			row("%d %s - %s >= 0", s.parts[i].perUnit, u, x)
			pay(r.perUnit+r.threeSecs, u)
			pay(r.perBatch, y)
			supplied[len(s.parts)+r.stand] += " - " + x
		}
		pay(lacking, fmt.Sprintf("l%d", i))
		row("%s + l%d >= %d", needs, i, demand)
		if one != "" {
			row("%s <= 1", one)
		}
	}
	for i := range s.stands {
		if terms := supplied[len(s.parts)+i]; strings.Contains(terms, "x") {
			row("%s >= 0", terms)
		}
	}
	for at := range goods {
		if goods[at].Len() > 0 {
			o := fmt.Sprintf("o%d", at)
			binary = append(binary, o)
			pay(s.delivery[at], o)
			row("%s - 100000 %s <= 0", goods[at].String(), o)
		}
	}
	return "Minimize\n obj:" + cost.String() + "Subject To\n" + rows.String() + "Bounds\n" + bounds.String() +
		"Generals\n " + strings.Join(whole, "\n ") + "\nBinaries\n " + strings.Join(binary, "\n ") + "\nEnd\n"
}

// solved is the least that a program comes to; ok is false where something is lacking.
func solved(t *testing.T, program string) (cents int64, ok bool) {
	t.Helper()
	dir := t.TempDir()
	lp, sol := filepath.Join(dir, "run.lp"), filepath.Join(dir, "run.sol")
	if err := os.WriteFile(lp, []byte(program), 0o644); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command("cbc", lp, "-ratioGap", "0", "-allowableGap", "0", "-preprocess", "off", "-seconds", "100", "-solve", "-solution", sol).CombinedOutput()
	if err != nil {
		t.Fatalf("cbc: %v\n%s", err, out)
	}
	text, err := os.ReadFile(sol)
	if err != nil {
		t.Fatalf("cbc wrote no solution: %v\n%s", err, out)
	}
	var value float64
	first, _, _ := strings.Cut(string(text), "\n")
	if _, err := fmt.Sscanf(first, "Optimal - objective value %g", &value); err != nil {
		t.Fatalf("cbc found no proven optimum: %s\n%s", first, out)
	}
	return int64(value + 0.5), value < lacking
}

// TestSubstitutesAsOffers holds batches that take substitutes, of runs too large to try
// everything, against the reference: where every choice was weighed they are the cheapest,
// else none is cheaper.
func TestSubstitutesAsOffers(t *testing.T) {
	checks.Program(t, "cbc")
	whole, mixed := 0, 0
	for seed := range checks.Runs(2_000) {
		r := rand.New(rand.NewPCG(uint64(seed), 516))
		s := drawScarce(r)
		s.minimum, s.units = [2]int64{}, s.units*(3+r.Int64N(5))
		for _, list := range [][]scarcePart{s.parts, s.stands} {
			for i := range list {
				for at := range list[i].stock {
					list[i].stock[at] *= 3 + r.Int64N(6)
				}
			}
		}
		run := s.input().read(t)
		run.Batches, run.Substitutes = []int{int(s.units)}, true
		e, problems := cost.Compute(run)
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		b := &e.Batches[0]
		least, ok := solved(t, s.program())
		every := !strings.Contains(strings.Join(e.Warnings, "; "), "changed one by one")
		got := b.Total.Cash.Add(b.Total.Own)
		switch {
		case b.Total.Unpriced && !ok:
		case every && (!ok || b.Total.Unpriced || !got.Equal(d(cents(least)))), !b.Total.Unpriced && (!ok || got.LessThan(d(cents(least)))):
			t.Fatalf("run %d: %s (unpriced: %v); the reference finds %s (%v)\n%v\n%+v", seed, got, b.Total.Unpriced, cents(least), ok, s.input(), b.Swaps)
		case every:
			if whole++; len(b.Swaps) > 0 && b.Swaps[0].Pieces < b.Swaps[0].Of {
				mixed++
			}
		}
	}
	if whole == 0 || mixed == 0 {
		t.Errorf("%d runs were decided, %d in a mix", whole, mixed)
	}
	t.Log(whole, mixed)
}
