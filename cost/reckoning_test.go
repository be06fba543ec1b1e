package cost_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost"
	"tenoff/fixtures/checks"
)

// run reads the job as the program does.
func (j *job) run(t testing.TB) cost.Run {
	run := j.input().read(t)
	run.Level = bom.Levels[levelOrder[j.level]]
	run.Batches = []int{j.size}
	if j.price != "" {
		run.Price = []decimal.Decimal{decimal.RequireFromString(j.price)}
	}
	run.Effort = 400_000 // a run that is hard to prove is left after some time
	return run
}

// secondLook reckons a job a second time and lists what differs.
func (j *job) secondLook(t testing.TB) (k *reckoning, b cost.Batch, bought []reckPurchase, faults []string) {
	e, problems := cost.Compute(j.run(t))
	if problems.Failed() || !e.Complete {
		return nil, b, nil, []string{"the program refuses: " + said(problems)}
	}
	k, b = &reckoning{job: j, rings: map[string][2]int64{}}, e.Batches[0]
	k.making = j.makingOf(e, b)
	for i, r := range b.Parts {
		k.rings[e.Parts[i].Key] = [2]int64{int64(r.Need / bom.One), int64(r.Allowance / bom.One)}
	}
	k.count()
	bought, faults = k.purchasesOf(b)
	program := figuresOf(e, b)
	return k, b, bought, append(faults, k.reckon(bought, program).against(program)...)
}

// TestSecondReckoning holds the program against a reckoning that shares no code
// with it, on random runs at every level: every count, every sum of money to
// the minor unit, every time and mass. What to buy is a choice: the program's is
// checked for being allowed, and TestCheapestPlan for being the cheapest.
func TestSecondReckoning(t *testing.T) {
	jobs := checks.Runs(4_000)
	const shards = 4
	for shard := range shards {
		t.Run(fmt.Sprint("part ", shard+1), func(t *testing.T) {
			t.Parallel()
			for seed := shard; seed < jobs; seed += shards {
				for _, level := range []string{"board", "kit", "built"} {
					j := makeJob(uint64(seed), level)
					if _, _, _, faults := j.secondLook(t); len(faults) > 0 {
						t.Fatalf("job %d at level %s:\n%s\n%s", seed, level, strings.Join(faults, "\n"), j)
					}
				}
			}
		})
	}
}
