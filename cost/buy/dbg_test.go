package buy

import (
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
	"time"
)

func TestDbg(t *testing.T) {
	for seed := range 320 {
		r := rand.New(rand.NewPCG(uint64(seed), 4))
		p := randomRun(r, small(r))
		t0 := time.Now()
		end := t0.Add(3 * time.Second)
		p.Limit = func() bool { return time.Now().After(end) }
		plan := mustSolve(t, p)
		if d := time.Since(t0); d > 50*time.Millisecond {
			fmt.Fprintln(os.Stderr, seed, d, plan.Landed, plan.Bound, len(p.Parts), len(p.Suppliers), plan.Proven)
		}
	}
}
