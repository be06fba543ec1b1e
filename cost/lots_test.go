package cost_test

import (
	"fmt"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

var quoted = input{
	"unit.csv":            "Quantity,Part number,Kind,File\n1,PCB,board,pcb.csv\n",
	"pcb.csv":             "Designator,Quantity,Part number,Kind,Mount,Joints,Package\nR1,1,RES,part,SMT,2,0603\nJ1,1,PLUG,part,THT,2,\n",
	"prices/settings.csv": "Setting,Value\nHome currency,EUR\nBoard fabricator,Far Boards\n",
	"prices/boards.csv":   "Board,Lot,Price,At most\nPCB,10,5,1\nPCB,10,30,\nPCB,50,90,\n",
	"prices/offers.csv":   "Part number,Supplier,Price\nRES,Corner Parts,0.01\nPLUG,Corner Parts,0.20\n",
}

// TestLotsAtMost: a promotional lot of 10 for 5.00 is sold once; the others cost 30.00 for
// 10 and 90.00 for 50. The sums are added up by hand.
func TestLotsAtMost(t *testing.T) {
	for _, c := range []struct {
		size int
		want string // lots × boards, by the order of the price sheet
		cash string
	}{
		{8, "1 × 10", "5"}, {15, "1 × 10, 1 × 10", "35"}, {25, "1 × 10, 2 × 10", "65"}, {40, "1 × 50", "90"},
		{50, "1 × 50", "90"}, {60, "1 × 10, 1 × 50", "95"}, {1000, "20 × 50", "1800"}, {1010, "1 × 10, 20 × 50", "1805"},
	} {
		b := one(t, quoted.read(t), c.size)
		var lots []string
		for _, p := range b.Purchases {
			if p.Part == "PCB" {
				lots = append(lots, fmt.Sprintf("%d × %s", p.Quantity, p.Pieces))
			}
		}
		if got := strings.Join(lots, ", "); got != c.want {
			t.Errorf("%d boards: %s, want %s", c.size, got, c.want)
		}
		equal(t, fmt.Sprint(c.size, " boards"), b.Boards[0].Cash, c.cash)
	}
	only := quoted.with("prices/boards.csv", "Board,Lot,Price,At most\nPCB,10,5,2\n")
	equal(t, "20 boards", one(t, only.read(t), 20).Boards[0].Cash, "10")
	run := only.read(t)
	run.Batches = []int{21}
	if _, problems := cost.Compute(run); !strings.Contains(said(problems), "hold 20 boards at most, and 21 are to be bought") {
		t.Errorf("got %s", said(problems))
	}
}

// TestSuppliedAtLeast: supply = max(need + max(ceil(need × 10 %), 3), 30).
func TestSuppliedAtLeast(t *testing.T) {
	in := quoted.with("prices/attrition.csv", "Applies to,Package,Percent,Pieces,At least\nsmt,0603,10,3,30\n")
	for _, c := range []struct{ size, supply int }{{5, 30}, {27, 30}, {28, 31}, {100, 110}} {
		b := one(t, in.read(t), c.size)
		for i, p := range compute(t, in.read(t)).Parts {
			want := bom.Whole(int64(c.size))
			if p.Key == "RES" {
				want = bom.Whole(int64(c.supply))
			}
			if got := b.Parts[i].Need + b.Parts[i].Allowance; got != want {
				t.Errorf("batch %d, %s: %s are supplied, want %s", c.size, p.Key, got, want)
			}
		}
		for _, p := range b.Purchases { // what it adds is consumed
			if p.Part == "RES" && !p.Surplus.IsZero() {
				t.Errorf("batch %d: %s of it are surplus", c.size, p.Surplus)
			}
		}
	}
}
