package cost_test

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/cost"
)

// TestMoreForTheSame: ten at 1.00 cost what twenty at 0.50 do; at 0.49 they cost
// less. Both times twenty are bought, and it is said why.
func TestMoreForTheSame(t *testing.T) {
	for price, want := range map[string]string{
		"0.50": "10 more than needed: they cost the same", "0.49": "10 more than needed: the price is lower",
	} {
		in := lamp.with(
			"prices/offers.csv", lamp["prices/offers.csv"]+"EXTRA,Corner Parts,X-2,,1,1,1,1,1.00\nEXTRA,Corner Parts,X-2,,1,1,1,20,"+price+"\n",
			"unit.csv", lamp["unit.csv"]+",1,EXTRA,extra,other,,,,,,,,1,,,\n")
		found := false
		for _, p := range one(t, in.read(t), 10).Purchases {
			if p.Part != "EXTRA" {
				continue
			}
			if found = true; p.Quantity != 20 || p.Remark != want {
				t.Errorf("at %s: %d bought, %q; want 20, %q", price, p.Quantity, p.Remark, want)
			}
		}
		if !found {
			t.Errorf("at %s: EXTRA is not bought", price)
		}
	}
}

// TestFabricatorsOfTheWholeRun: each board is 0.50 dearer at Corner Parts, which
// gets an order anyway, than at Panel House, whose delivery is 8.00. Up to six
// boards with two fabricators each (64 choices) the whole run decides, beyond the
// boards' own price does, and the program says so.
func TestFabricatorsOfTheWholeRun(t *testing.T) {
	for boards, want := range map[int]string{1: "Corner Parts", 6: "Corner Parts", 7: "Panel House"} {
		var lines, lots strings.Builder
		for i := range boards {
			fmt.Fprintf(&lines, ",1,PCB-%d,board %d,board,,,board.csv,,,,,5,,,\n", i, i)
			fmt.Fprintf(&lots, "PCB-%d,Panel House,30,20.00\nPCB-%d,Corner Parts,30,20.50\n", i, i)
		}
		in := lamp.with(
			"unit.csv", strings.Replace(lamp["unit.csv"], ",2,LAMP-PCB,lamp board,board,,,board.csv,,,,,5,,,\n", lines.String(), 1),
			"prices/boards.csv", "Board,Fabricator,Lot,Price\n"+lots.String(),
			"prices/settings.csv", strings.Replace(lamp["prices/settings.csv"], "Board fabricator,Panel House\n", "", 1))
		bought := 0
		run := in.read(t)
		run.Batches = []int{10}
		e, problems := cost.Compute(run)
		if problems.Failed() {
			t.Fatal(said(problems))
		}
		const words = "more than 64 choices of fabricators are not planned one by one"
		if told := strings.Contains(said(problems), words); told != (boards == 7) {
			t.Errorf("%d boards: %q", boards, said(problems))
		}
		for _, p := range e.Batches[0].Purchases {
			if p.Kind != cost.Lots {
				continue
			}
			if bought++; p.Supplier != want {
				t.Errorf("of %d boards, %s comes from %s, want %s", boards, p.Part, p.Supplier, want)
			}
		}
		if bought != boards {
			t.Errorf("%d of %d boards are bought", bought, boards)
		}
	}
}
