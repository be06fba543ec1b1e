package cost_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"tenoff/bom"
	"tenoff/cost"
)

// The order of the rows of recipients and who pays changes nothing: not who gets the
// cent that is surplus, and not the order in which zones and payers stand.
func TestOrderOfZonesAndPayers(t *testing.T) {
	in := input{
		"unit.csv":            "Quantity,Part number,Kind\n1,BELL,other\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nBELL,Corner Parts,1.01\n",
		"prices/postage.csv":  "Service,Price\nletter,4.21\n",
		"prices/on-hand.csv":  "Part number,Quantity,Unit value,Given by\nBELL,1,5,Aunt\n",
	}
	zones := []string{"west,1", "East,1", "north,1"}
	shares := []string{"BELL,Town,50", "BELL,club,50", "postage,recipient,40", "postage,Club,60", "other parts,town,100"}
	shown := func(zones, shares []string) string {
		run := in.with("prices/recipients.csv", "Zone,Count\n"+strings.Join(zones, "\n")+"\n",
			"prices/who-pays.csv", "Applies to,Payer,Share %\n"+strings.Join(shares, "\n")+"\n").read(t)
		run.Batches = []int{4}
		e := compute(t, run)
		b := e.Batches[0]
		var out strings.Builder
		fmt.Fprintln(&out, b.Ask, e.Warnings)
		for _, p := range b.Payers {
			fmt.Fprintln(&out, p.Name, p.Cash, p.Consumed, p.Stock)
		}
		for _, p := range b.Pots {
			fmt.Fprintln(&out, p.Category, p.Payers)
		}
		for _, p := range b.Posts {
			fmt.Fprintln(&out, p.Zone, p.Parcels, p.Cash, p.Asked)
		}
		for _, f := range b.Fees {
			fmt.Fprintln(&out, f.What, f.Cash)
		}
		return out.String()
	}
	want := shown(zones, shares)
	slices.Reverse(zones)
	slices.Reverse(shares)
	if got := shown(zones, shares); got != want {
		t.Errorf("got\n%s\nwant\n%s", got, want)
	}
}

// An assembler that has nothing to make may be left out.
func TestWithoutTheAssembler(t *testing.T) {
	in := input{
		"unit.csv":             "Quantity,Part number,Kind\n1,BELL,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nAssembler,Placer\n",
		"prices/assembly.csv":  "Assembler,Set-up\nPlacer,10\n",
		"prices/suppliers.csv": "Supplier,Delivery\nPlacer,\nCorner Parts,\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nBELL,Placer,1\nBELL,Corner Parts,2\n",
	}
	run := in.read(t)
	run.Rules = cost.Rules{Without: []string{"placer"}}
	equal(t, "cash", one(t, run, 10).Total.Cash, "20.00")
	run = in.with("unit.csv", "Quantity,Part number,Kind,File\n1,PCB,board,pcb.csv\n", "pcb.csv", "Designators,Part number,Mount,Joints\nR1,BELL,smt,2\n").read(t)
	run.Rules = cost.Rules{Without: []string{"placer"}}
	if _, problems := cost.New(run); !strings.Contains(said(problems.Of(bom.Error)), "the assembler is ruled out") {
		t.Errorf("%v", problems)
	}
}

// A part that is used in two ways has the greatest allowance of both, whichever line stands
// first: of 20 wanted, 3 % and 5 pieces give 25.
func TestOrderOfLinesAndSpares(t *testing.T) {
	rows := []string{"1,PCB,board,pcb.csv", "2,BELL,other,"}
	in := input{
		"pcb.csv":              "Designators,Part number,Mount,Joints\nR1-R8,BELL,tht,2\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
		"prices/attrition.csv": "Applies to,Percent,Pieces\ntht,3,\nother,,5\n",
		"prices/offers.csv":    "Part number,Supplier,Price\nBELL,Corner Parts,1.00\n",
		"prices/boards.csv":    "Board,Fabricator,Lot,Price\nPCB,Etcher,10,5.00\n",
	}
	for range rows {
		slices.Reverse(rows)
		b := one(t, in.with("unit.csv", "Quantity,Part number,Kind,File\n"+strings.Join(rows, "\n")+"\n").read(t), 2)
		for _, p := range b.Purchases {
			if p.Part == "BELL" && p.Quantity != 25 {
				t.Errorf("%q: %d ordered, want 25", rows, p.Quantity)
			}
		}
		equal(t, "cash out", b.Total.Cash, "30.00")
	}
}

// Of plans that cost the same the one with the greatest surplus holds, at what that is
// worth: by name the first supplier would.
func TestSurplusDecidesAtItsWorth(t *testing.T) {
	for _, c := range []struct{ first, second, want string }{{"", "", "Corner Parts"}, {"40", "", "Field Parts"}, {"0", "10", "Field Parts"}, {"", "90", "Corner Parts"}} {
		for _, line := range []string{"1,BELL,other,,,", "1,LID,printed,M,80,1"} {
			in := input{
				"unit.csv":             "Quantity,Part number,Kind,Material,Filament g,Print hours\n" + line + "\n",
				"prices/settings.csv":  "Setting,Value\nHome currency,EUR\n",
				"prices/offers.csv":    "Part number,Supplier,Pieces,Price,Surplus worth %\nBELL,Corner Parts,25,5," + c.first + "\nBELL,Field Parts,25,5," + c.second + "\n",
				"prices/materials.csv": "Material,Spool g,Spool price,Supplier,Surplus worth %\nM,1000,20,Corner Parts," + c.first + "\nM,1000,20,Field Parts," + c.second + "\n",
			}
			if p := one(t, in.read(t), 10).Purchases[0]; p.Supplier != c.want {
				t.Errorf("worth %q and %q: %s from %s, want %s", c.first, c.second, p.Part, p.Supplier, c.want)
			}
		}
	}
}

// A row for everything says who bears what no other row names: of a pack of bells of 60.00 and
// delivery of 8.01 the club bears half, 34.01, the odd cent by name, and the members the post of
// 10 × 4.20. What is from stock stays its giver's, and labour that nobody is paid for the maker's.
func TestEverythingElse(t *testing.T) {
	b := one(t, input{
		"unit.csv":             "Quantity,Part number,Kind\n1,BELL,other\n",
		"prices/settings.csv":  "Setting,Value\nHome currency,EUR\nLabour rate per hour,36\n",
		"prices/suppliers.csv": "Supplier,Delivery\nCorner Parts,8.01\n",
		"prices/offers.csv":    "Part number,Supplier,Pieces,Price\nBELL,Corner Parts,10,60\n",
		"prices/postage.csv":   "Service,Price\nletter,4.20\n",
		"prices/on-hand.csv":   "Part number,Quantity,Unit value,Given by\nBELL,1,5,Neighbour\n",
		"prices/hand-work.csv": "Operation,Applies to,Basis,Seconds\ntest,test,unit,10\n",
		"prices/who-pays.csv":  "Applies to,Payer,Share %\nEverything,club,50\nEverything,maker,50\npostage,members,100\n",
	}.read(t), 10)
	for _, p := range b.Payers {
		want := map[string][3]string{"maker": {"34.00", "1.00", "0"}, "club": {"34.01", "0", "0"}, "members": {"42.00", "0", "0"}, "Neighbour": {"0", "0", "5.00"}}[p.Name]
		equal(t, p.Name+" pays", p.Cash, want[0])
		equal(t, p.Name+" works", p.Own, want[1])
		equal(t, p.Name+" gives", p.Stock, want[2])
	}
}
