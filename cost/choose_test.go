package cost_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/cost/sweep"
	"tenoff/cost/trial"
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
	for seed := range checks.Runs(4_000) {
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

// mixOnBoards is a board of ten with two lines of a chip, 12 of which are left, and a
// substitute; an assembler asks 2.00 a part number and 3.00 for each that is sent to it.
func mixOnBoards() input {
	return input{
		"unit.csv":               "Designator,Part number,Mount,Joints,Quantity\n\"U1,U2\",CHIP,SMT,8,2\nR1,RES,SMT,2,1\nU3,CHIP,SMT,8,1\n",
		"prices/settings.csv":    "Setting,Value\nHome currency,EUR\nLabour rate per hour,36\nAssembler,Placer\n",
		"prices/suppliers.csv":   "Supplier,Consignment fee per line\nPlacer,3\nShop,\n",
		"prices/boards.csv":      "Board,Fabricator,Lot,Price\nunit,Etch,10,20\n",
		"prices/assembly.csv":    "Assembler,Set-up,Per line\nPlacer,30,2\n",
		"prices/attrition.csv":   "Applies to,Percent,Pieces\nsmt,0,2\n",
		"prices/offers.csv":      "Part number,Supplier,Stock,Price\nCHIP,Shop,14,1.00\nCHIP-B,Shop,,1.50\nRES,Shop,,0.10\n",
		"prices/substitutes.csv": "Part number,Substitute,Extra per unit,Extra per batch,Extra seconds per unit,Mix\nCHIP,CHIP-B,0.20,1.00,10,yes\n",
	}
}

// TestMixByHand: ten units with three chips each. Two more of each part are lost at the
// assembler, so that the 14 chips that there are do for 12 of the 30, and 18 are of the
// substitute: the last lines first, ten on U3 and eight of U1, U2. By the list a unit has
// three, so that 18 are on six units.
func TestMixByHand(t *testing.T) {
	run := mixOnBoards().read(t)
	run.Batches, run.Substitutes = []int{10}, true
	e := compute(t, run)
	b := &e.Batches[0]
	if s := b.Swaps; len(s) != 1 || s[0].Pieces != bom.Whole(18) || s[0].Of != bom.Whole(30) || s[0].Units != 6 || !s[0].Wanted {
		t.Fatalf("taken: %+v", s)
	}
	for i, want := range map[int]bom.Quantity{1: bom.Whole(12), 2: bom.Whole(10), 3: 0, 4: bom.Whole(8), 5: bom.Whole(10)} {
		if b.Needs[i] != want {
			t.Errorf("line %d, %s, needs %s; want %s", i, e.Entries[i].Line.Part, b.Needs[i], want)
		}
	}
	// The assembler: 30 and three part numbers at 2, not two, and three that are sent at 3.
	equal(t, "SMT assembly", b.Categories[cost.SMTAssembly].Cash, "45")
	// 14 at 1.00, 20 at 1.50, 12 at 0.10.
	equal(t, "SMT parts", b.Categories[cost.SMTParts].Cash, "45.2")
	equal(t, "six units at 0.20 and 1.00", b.Categories[cost.OtherParts].Cash, "2.2")
	equal(t, "six units at 10 s and 36 an hour", b.Categories[cost.Labour].Own, "0.6")
	equal(t, "in all", b.Total.Cash, "112.4")

	// With chips enough nothing is taken: 30 and two part numbers, two that are sent.
	run = mixOnBoards().with("prices/offers.csv", "Part number,Supplier,Stock,Price\nCHIP,Shop,,1.00\nCHIP-B,Shop,,1.50\nRES,Shop,,0.10\n").read(t)
	run.Batches, run.Substitutes = []int{10}, true
	e = compute(t, run)
	if b = &e.Batches[0]; len(b.Swaps) != 0 || len(e.Entries) != 4 || len(e.Parts) != 2 {
		t.Errorf("%+v is taken, of %d lines", b.Swaps, len(e.Entries))
	}
	equal(t, "SMT assembly, chips alone", b.Categories[cost.SMTAssembly].Cash, "40")
}

// A mix may end where an offer begins. Worked by hand: ten of CHIP cost 12.00, four 8.04, and
// 2.16 the two of OTHER beside them; four of OTHER, which is all there is, want four of
// CHIP as well.
func TestMixAtALeastOrder(t *testing.T) {
	in := input{
		"unit.csv":               "Quantity,Part number,Kind\n1,CHIP,other\n",
		"prices/settings.csv":    "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv":   "Supplier,Delivery\nShop,0\n",
		"prices/offers.csv":      "Part number,Supplier,Stock,MOQ,Multiple,From,Price\nCHIP,Shop,,3,2,1,2.01\nCHIP,Shop,,3,2,10,1.20\nOTHER,Shop,5,,2,1,1.08\n",
		"prices/substitutes.csv": "Part number,Substitute,Mix\nCHIP,OTHER,yes\n",
	}
	run := in.read(t)
	run.Batches, run.Substitutes = []int{6}, true
	b := compute(t, run).Batches[0]
	equal(t, "cash", b.Total.Cash, "10.20")
	if len(b.Swaps) != 1 || b.Swaps[0].Pieces != bom.Whole(2) {
		t.Errorf("takes %+v; want two of OTHER", b.Swaps)
	}
}

// TestEachBatchDecides: a batch that the part lasts for has it, and no line of the other
// batches is shown in it; trials and a sweep know what was decided.
func TestEachBatchDecides(t *testing.T) {
	run := mixOnBoards().read(t)
	run.Batches, run.Substitutes = []int{4, 10}, true
	e := compute(t, run)
	small, large := &e.Batches[0], &e.Batches[1]
	if len(small.Swaps) != 0 || len(large.Swaps) != 1 {
		t.Fatalf("taken: %+v, %+v", small.Swaps, large.Swaps)
	}
	for i := range e.Entries {
		x := &e.Entries[i]
		if small.Uses(x, i) != (x.StandsFor == 0) || !large.Uses(x, i) && x.Part != 0 || !e.Uses(i) {
			t.Errorf("line %d, %s: at 4 %v, at 10 %v", i, x.Line.Part, small.Uses(x, i), large.Uses(x, i))
		}
	}
	curve, problems := sweep.Run(run, sweep.Request{From: 4, To: 10})
	if problems.Failed() {
		t.Fatal(said(problems))
	}
	tried, problems := trial.Run(run, e, trial.Request{Trials: 10, Seed: 1})
	if problems.Failed() {
		t.Fatal(said(problems))
	}
	for i := range e.Batches {
		cash := e.Batches[i].Total.Cash
		equal(t, "swept", curve.Points[6*i].Total.Cash, cash.String())
		if drawn := tried.Batches[i].Cash; drawn.P10 != cash.InexactFloat64() || drawn.P90 != drawn.P10 {
			t.Errorf("at %d trials draw %+v, planned are %s", e.Batches[i].Size, drawn, cash)
		}
	}
}

// TestTooManyToWeighAll: of twelve parts with two substitutes each not every choice is
// weighed, and so is told; without charges the cheapest of each is found all the same. Where
// none is cheaper that is told as well.
func TestTooManyToWeighAll(t *testing.T) {
	for _, row := range []struct{ price, cash string }{{"1.00", "104"}, {"0.50", "60"}} {
		unit, offers, rows := "Part number,Quantity,Kind\n", "Part number,Supplier,Price\n", "Part number,Substitute\n"
		for i := range 12 {
			unit += fmt.Sprintf("P%d,1,other\n", i)
			offers += fmt.Sprintf("P%d,Near,%s\nA%d,Near,0.90\nB%d,Near,%s\n", i, row.price, i, i, []string{"0.80", "1.20", "0.90"}[i%3])
			rows += fmt.Sprintf("P%d,A%d\nP%d,B%d\n", i, i, i, i)
		}
		run := input{"unit.csv": unit, "prices/settings.csv": "Setting,Value\nHome currency,EUR\n", "prices/offers.csv": offers, "prices/substitutes.csv": rows}.read(t)
		run.Batches, run.Substitutes = []int{10}, true
		e := compute(t, run)
		if len(e.Warnings) != 1 || !strings.Contains(e.Warnings[0], "choices of substitutes were weighed, not all") {
			t.Errorf("warnings: %q", e.Warnings)
		}
		equal(t, "in all, at "+row.price, e.Batches[0].Total.Cash, row.cash)
	}
}
