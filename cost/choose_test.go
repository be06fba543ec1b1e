package cost_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// leastWithSubstitutes tries, for the parts that may have one, the part alone, each
// substitute, and every split of the pieces that a row allows; and every way to buy what
// that asks for. Money is in cents.
func (s *scarceRun) leastWithSubstitutes() (least int64, ok bool) {
	demand, stands := make([]int64, len(s.parts)), make([]int64, len(s.stands))
	for i := range s.parts {
		demand[i] = s.units * s.parts[i].perUnit
	}
	all := append(slices.Clone(s.parts), s.stands...)
	var choose func(part int, besides int64)
	choose = func(part int, besides int64) {
		if part == len(s.parts) {
			if sum, can := s.buy(all, append(slices.Clone(demand), stands...), [2]int64{}, [2]bool{}); can && (!ok || sum+besides < least) {
				least, ok = sum+besides, true
			}
			return
		}
		choose(part+1, besides)
		need, p := demand[part], &s.parts[part]
		for l := range s.listed {
			row := &s.listed[l]
			if row.part != part {
				continue
			}
			for rest := int64(1); rest <= need; rest++ {
				if rest < need && !row.mix {
					continue
				}
				units := (rest + p.perUnit - 1) / p.perUnit
				demand[part], stands[row.stand] = need-rest, stands[row.stand]+rest
				choose(part+1, besides+units*(row.perUnit+row.threeSecs)+row.perBatch) // 3 s at 12 an hour are a cent
				demand[part], stands[row.stand] = need, stands[row.stand]-rest
			}
		}
	}
	choose(1, 0)
	return least, ok
}

// TestSubstitutesInThePlan: the substitutes that a batch takes are the cheapest of all, by
// trying every split of every part with every purchase.
func TestSubstitutesInThePlan(t *testing.T) {
	taken, mixed, open := 0, 0, 0
	for seed := range checks.Runs(10_000) {
		s := drawScarce(rand.New(rand.NewPCG(uint64(seed), 515)))
		s.minimum = [2]int64{} // a split that just reaches a threshold is not looked for
		run := s.input().read(t)
		run.Batches, run.Substitutes = []int{int(s.units)}, true
		e, problems := cost.Compute(run)
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		b, least, ok := &e.Batches[0], int64(0), false
		least, ok = s.leastWithSubstitutes()
		if ok == b.Total.Unpriced || ok && !b.Total.Cash.Add(b.Total.Own).Equal(d(cents(least))) {
			t.Fatalf("run %d: %s cash and %s own work (unpriced: %v); the least is %s\n%v\n%+v", seed, b.Total.Cash, b.Total.Own, b.Total.Unpriced, cents(least), s.input(), b.Swaps)
		}
		if !ok {
			open++
			continue
		}
		for _, x := range b.Swaps {
			if taken++; x.Pieces < x.Of {
				mixed++
			}
			if !x.Wanted && x.Saves.IsNegative() {
				t.Fatalf("run %d: %+v", seed, x)
			}
		}
	}
	if taken == 0 || mixed == 0 || open == 0 {
		t.Error(fmt.Sprint(taken, mixed, open))
	}
	t.Log(taken, mixed, open)
}
