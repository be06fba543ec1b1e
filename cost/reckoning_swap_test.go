package cost_test

import (
	"fmt"
	"math/big"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// Substitutes that a batch takes, for all pieces or for some.

// jobSwap is a row of the tab substitutes.
type jobSwap struct{ part, substitute, perUnit, perBatch, seconds, mix string }

// reckSwap is what the program chose to take of a row.
type reckSwap struct {
	jobSwap
	pieces *big.Rat
}

// withSubstitutes draws substitutes for some parts of a job, and lets stocks run out.
func (j *job) withSubstitutes(seed uint64) {
	m := &maker{Rand: rand.New(rand.NewPCG(seed, 514)), j: j}
	var parts []string
	var list func(l *jobList)
	list = func(l *jobList) {
		for _, r := range l.rows {
			if r.sub != nil {
				list(r.sub)
			} else if r.cut == "" && r.kind != "printed" && r.kind != "board" && !slices.Contains(parts, r.part) {
				parts = append(parts, r.part)
			}
		}
	}
	list(j.unit)
	for _, part := range parts {
		first := slices.IndexFunc(j.offers, func(o jobOffer) bool { return o.part == part && o.cutFrom == "" })
		if first < 0 || len(j.swaps) == 4 || m.chance(30) {
			continue
		}
		of := j.offers[first]
		s := jobSwap{part: part, substitute: "INSTEAD-OF-" + part, perUnit: m.maybe(40, "0.01", "0.1"), perBatch: m.maybe(30, "1", "0.5"), seconds: m.maybe(30, "7", "30"), mix: m.maybe(70, "yes", "no")}
		j.swaps = append(j.swaps, s)
		for range 1 + m.IntN(2) {
			o := jobOffer{part: s.substitute, supplier: pick(m, jobShops...), code: m.name("instead-" + part), pieces: m.maybe(20, "2", "5"), currency: of.currency,
				stock: m.maybe(40, "7", "30", "120"), from: []string{"1"}}
			f, _ := rat(of.price[len(of.price)-1]).Float64()
			digits := isoDigits[orElse(o.currency, j.supplier(o.supplier).currency)] + 2
			o.price = []string{strconv.FormatFloat(f*(0.4+m.Float64()), 'f', digits, 64)}
			j.offers = append(j.offers, o)
		}
		for i := range j.offers {
			if o := &j.offers[i]; o.part == part && m.chance(40) {
				o.stock = pick(m, "3", "11", "25", "60")
			}
		}
	}
}

// takeSwaps moves so many pieces of what the lines of a part need to the substitute, the
// last lines first: each has its own allowance, and stands on the boards as a part number of
// its own.
func (k *reckoning) takeSwaps() {
	for _, s := range k.taken {
		p, to := k.partOf(s.part), k.partOf(s.substitute)
		rest := new(big.Rat).Set(s.pieces)
		for i := len(p.items) - 1; i >= 0; i-- {
			moved := minRat(rest, p.needs[i])
			rest = minus(rest, moved)
			p.needs[i] = minus(p.needs[i], moved)
			if moved.Sign() == 0 {
				continue
			}
			row := *p.items[i].row
			row.part = s.substitute
			item := &reckItem{row: &row, perUnit: new(big.Rat), weighs: new(big.Rat), onBoard: p.items[i].onBoard, machine: p.items[i].machine, fitted: p.items[i].fitted}
			to.items, to.needs = append(to.items, item), append(to.needs, moved)
			to.machine = to.machine || (item.machine || item.fitted) && !k.provided(p.items[i])
			if item.machine {
				item.onBoard.numbers[s.substitute] = true
				if p.needs[i].Sign() == 0 && !k.stillOn(p, item.onBoard) {
					delete(item.onBoard.numbers, s.part)
				}
			}
		}
	}
}

// stillOn tells whether some line of a part on a board needs any of it.
func (k *reckoning) stillOn(p *reckPart, b *reckBoard) bool {
	for i, item := range p.items {
		if item.machine && item.onBoard == b && p.needs[i].Sign() > 0 {
			return true
		}
	}
	return false
}

// paySwaps enters what substitutes cost besides: so much for each unit that has some of it,
// pieces ÷ quantity per unit and rounded up, and once; and time at the bench.
func (l *ledger) paySwaps() {
	for _, s := range l.taken {
		perUnit := new(big.Rat)
		for _, item := range l.partOf(s.part).items {
			perUnit = plus(perUnit, item.perUnit)
		}
		units := min(ceil(over(s.pieces, perUnit)), l.starts)
		fee := minorOf(plus(times(rat(s.perUnit), ratOf(units)), rat(s.perBatch)), l.home)
		l.enter("other parts", "", "", spentInFull(fee))
		if s.seconds != "" {
			l.bookWork(jobWork{operation: s.substitute + " in place of " + s.part, seconds: s.seconds}, ratOf(1), float64(units))
		}
	}
}

// lookAgain reckons a job whose batch takes substitutes.
func (j *job) lookAgain(t testing.TB) (b cost.Batch, faults []string) {
	run := j.run(t)
	run.Substitutes = true
	e, problems := cost.Compute(run)
	if problems.Failed() || !e.Complete {
		return b, nil
	}
	b = e.Batches[0]
	k := &reckoning{job: j, rings: map[string][2]int64{}}
	k.making = j.makingOf(e, b)
	for i, r := range b.Parts {
		k.rings[e.Parts[i].Key] = [2]int64{int64(r.Need / bom.One), int64(r.Allowance / bom.One)}
	}
	for i := range b.Swaps {
		s := &b.Swaps[i]
		at := slices.IndexFunc(j.swaps, func(row jobSwap) bool { return row.part == s.Part && row.substitute == s.Substitute })
		if j.swaps[at].mix != "yes" && s.Pieces != s.Of {
			faults = append(faults, fmt.Sprintf("%s is mixed", s.Part))
		}
		k.taken = append(k.taken, reckSwap{j.swaps[at], rat(s.Pieces.String())})
	}
	k.count()
	bought, wrong := k.purchasesOf(b)
	program := figuresOf(e, b)
	return b, append(append(faults, wrong...), k.reckon(bought, program).against(program)...)
}

// TestSecondReckoningOfSubstitutes holds batches that take substitutes, all of them or a mix,
// against the second reckoning; and taking them comes to no more than not.
func TestSecondReckoningOfSubstitutes(t *testing.T) {
	taken, mixed, placed := 0, 0, 0
	for seed := range checks.Runs(500) {
		for _, level := range []string{"board", "kit", "built"} {
			j := makeJob(uint64(seed)+50_000, level)
			j.withSubstitutes(uint64(seed))
			b, faults := j.lookAgain(t)
			if len(faults) > 0 {
				t.Fatalf("job %d at level %s, with %+v:\n%s\n%s", seed, level, b.Swaps, strings.Join(faults, "\n"), j)
			}
			for _, s := range b.Swaps {
				if taken++; s.Pieces < s.Of {
					mixed++
				}
				if b.Assembler != "" {
					placed++
				}
			}
		}
	}
	if taken == 0 || mixed == 0 || placed == 0 {
		t.Errorf("%d substitutes are taken, %d in a mix, %d beside an assembler", taken, mixed, placed)
	}
}
