package workbook

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/shopspring/decimal"

	"tenoff/bom"
	"tenoff/cost/sweep"
	"tenoff/reports"
)

// priced is the demo of several products, of which prices are asked, in plans of which two
// have as many units in all and one has none of a product.
func priced(t *testing.T) *reports.Report {
	t.Helper()
	run := programmeRun(t, []int{40, 10}, []int{10, 40}, []int{20, 0})
	s := &run.Prices.Settings
	s.Margin, s.PaymentFee, s.PaymentFixed, s.FreeUnits = dec("12.5"), dec("2.9"), dec("0.35"), 5
	e := estimated(t, run)
	e.Pricing = sweep.BreakEven(e.Estimate, nil, []decimal.Decimal{dec("39.95"), dec("8.20")})
	return e
}

// randomProgramme deals the lines of the demo's unit out to two or three products at any
// level, its board lists among them, and has several pay for what they need.
func randomProgramme(t *testing.T, seed uint64) *reports.Report {
	t.Helper()
	r := rand.New(rand.NewPCG(seed, 29))
	run := programmeRun(t)
	p, whole := run.Programme, run.Programme.Products[0].Unit
	products := make([]bom.Product, 2+r.IntN(2))
	units := make([]int, len(products))
	for i := range products {
		products[i] = bom.Product{Name: fmt.Sprint("product ", i), Level: bom.Levels[r.IntN(len(bom.Levels))], Unit: &bom.Assembly{File: fmt.Sprintf("product%d.csv", i)}}
		units[i] = r.IntN(40)
	}
	units[0]++
	for _, line := range whole.Lines {
		for i := range products { // a line may be of several
			if r.IntN(2) == 0 || i == 0 && line.Kind == bom.KindBoard {
				products[i].Unit.Lines = append(products[i].Unit.Lines, line)
			}
		}
	}
	p.Products, p.Plans = products, []bom.Plan{{Name: "Run", Units: units}}
	run.Unit, run.Batches = p.Unit(), []int{p.Plans[0].All()}
	dealPayers(r, run.Prices)
	return estimated(t, run)
}

// dealPayers has several payers share what the lines cost and give what is on hand, at a
// price for the rest.
func dealPayers(r *rand.Rand, prices *bom.Prices) {
	payers := []string{"maker", "club", "recipient"}
	prices.WhoPays = nil
	for i, of := range []string{"SMT parts", "bare boards", "delivery", "duty and tax", "postage", "tooling", "Kelldorn Filament", "FA-LID"} {
		first := 1 + r.IntN(99)
		a, b := r.IntN(3), r.IntN(2)
		for j, percent := range []int{first, 100 - first} {
			prices.WhoPays = append(prices.WhoPays, bom.Share{AppliesTo: of, Payer: payers[(a+j*(1+b))%3], Percent: dec(fmt.Sprint(percent)),
				Dated: bom.Dated{Origin: bom.Origin{Head: &bom.Heading{File: "who-pays.csv"}, Row: 2*i + j + 2}}})
		}
	}
	for i := range prices.OnHand {
		prices.OnHand[i].GivenBy = payers[r.IntN(3)]
	}
	for i := range prices.Printers { // at a rate of few digits, hours cut off at the ninth decimal can come to half a cent
		prices.Printers[i].HourlyRate = dec("0.1237")
	}
	s := &prices.Settings
	s.Margin, s.PaymentFee, s.SalesTax = dec(fmt.Sprint(r.IntN(30))), dec(fmt.Sprint(r.IntN(4))), dec(fmt.Sprint(r.IntN(25)))
	s.FreeUnits, s.LabourPaid = int64(r.IntN(20)), r.IntN(2) == 0
}
