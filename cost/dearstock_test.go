package cost_test

import (
	"strings"
	"testing"

	"tenoff/cost"
)

// Stock on hand is used also where the order it is taken off then misses a threshold,
// and what leaving it would save is told. Ten BIG cost 10.00, with ten SMALL 12.00
// and no delivery, which is 5.00 under 12.00: the stock of SMALL costs 15.00 − 12.00.
// Twenty of each are free of delivery whatever is on hand.
func TestStockThatMakesTheRunDearer(t *testing.T) {
	in := input{
		"unit.csv":             "Quantity,Part number,Kind\n1,BIG,other\n1,SMALL,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
		"prices/suppliers.csv": "Supplier,Delivery,Free delivery over\nCorner Parts,5,12\n",
		"prices/offers.csv":    "Part number,Supplier,Pieces,Price\nBIG,Corner Parts,10,10\nSMALL,Corner Parts,1,0.20\n",
		"prices/on-hand.csv":   "Part number,Quantity,Unit value\nSMALL,20,0.10\n",
	}
	run := in.read(t)
	run.Batches = []int{5, 10, 11}
	e := compute(t, run)
	equal(t, "landed with the stock", e.Batches[1].Landed, "15.00")
	want := `prices/on-hand.csv:2:1: the stock of SMALL makes batch 5, 10 dearer, and is used; leaving it would save 3.00, 3.00 EUR`
	if got := dearer(e); len(got) != 1 || got[0] != want {
		t.Errorf("%q; want %q", got, want)
	}
	in["prices/on-hand.csv"] = "Part number,Quantity,Unit value\nBIG,20,0.10\n" // 2.00 and 5.00 are less than 12.00
	if got := dearer(compute(t, in.read(t))); len(got) > 0 {
		t.Errorf("%q; want none", got)
	}
}

// A part that the assembler sells needs no consignment fee; out of the maker's stock it
// does: 2.00, where ten cost 0.50, and as much where the assembler sells the rest. Boards
// on hand count as well: without them the order of their fabricator is free of delivery.
func TestStockThatIsConsigned(t *testing.T) {
	in := input{
		"unit.csv":             "Quantity,Part number,Kind,File\n1,PCB,board,pcb.csv\n1,CASE,other,\n",
		"pcb.csv":              "Designators,Part number,Mount,Joints\nR1,RES,smt,2\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nAssembler,Placer\n",
		"prices/suppliers.csv": "Supplier,Delivery,Free delivery over,Consignment fee per line\nPlacer,,,2\nPlates,8,20,\n",
		"prices/assembly.csv":  "Assembler,Set-up\nPlacer,10\n",
		"prices/boards.csv":    "Board,Fabricator,Lot,Price\nPCB,Plates,10,6\n",
		"prices/offers.csv":    "Part number,Supplier,Pieces,Price\nRES,Placer,1,0.05\nCASE,Plates,10,15\n",
		"prices/on-hand.csv":   "Part number,Quantity,Unit value\nRES,50,0.05\nPCB,10,0.40\n",
	}
	want := []string{
		`prices/on-hand.csv:2:1: the stock of RES makes batch 10 dearer, and is used; leaving it would save 1.50 EUR`,
		`prices/on-hand.csv:3:1: the stock of PCB makes batch 10 dearer, and is used; leaving it would save 2.00 EUR`,
	}
	if got := dearer(compute(t, in.read(t))); strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%q; want %q", got, want)
	}
	in["prices/on-hand.csv"] = "Part number,Quantity,Unit value\nRES,4,0.05\n" // 2.00 + 6 × 0.05, or 10 × 0.05
	want = []string{`prices/on-hand.csv:2:1: the stock of RES makes batch 10 dearer, and is used; leaving it would save 1.80 EUR`}
	if got := dearer(compute(t, in.read(t))); strings.Join(got, "\n") != strings.Join(want, "\n") {
		t.Errorf("%q; want %q", got, want)
	}
}

func dearer(e *cost.Estimate) []string {
	var out []string
	for _, w := range e.Warnings {
		if strings.Contains(w, "dearer") {
			out = append(out, w)
		}
	}
	return out
}
