package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/cost/sum"
)

// fee enters a fee with its amount in its own currency, which is spent, or for the wear of
// one's own printers own work.
func (s *sums) fee(f Fee, amount sum.Ref) {
	home := s.toHome(amount, f.Currency)
	if f.Kind == MachineFee {
		s.charge(f, amount, worked(home))
	} else {
		s.charge(f, amount, spent(home))
	}
}

// charge enters a fee with what it costs.
func (s *sums) charge(f Fee, amount sum.Ref, p portion) {
	i := len(s.b.Fees)
	var a account
	a.add(p)
	out := feeSums{amount: s.name(OfFee, i, "amount", amount, f.Currency.Digits)}
	f.Amounts = s.total(OfFee, i, &a)
	out.portion = a.whole()
	f.Amount = s.Value(out.amount)
	s.b.Fees, s.fees = append(s.b.Fees, f), append(s.fees, out)
}

// unpricedFee enters a fee that nobody knows.
func (s *sums) unpricedFee(f Fee) {
	i := len(s.b.Fees)
	f.Unpriced = true
	amount := s.Unpriced(sum.Key{Of: OfFee, At: i, What: "amount"})
	s.b.Fees, s.fees = append(s.b.Fees, f), append(s.fees, feeSums{amount, spent(amount)})
}

// stateSwaps states what substitutes cost besides the parts: for each unit begun
// that takes them, and once.
func stateSwaps(s *sums) {
	for i := range s.m.swaps {
		w, units, of := &s.m.swaps[i], 0, make([]int, len(s.b.Products))
		for p := range of {
			of[p] = s.b.unitsOf(i+1, p)
			units += of[p]
		}
		if w.row == nil || units == 0 || w.row.ExtraPerUnit.IsZero() && w.row.ExtraPerBatch.IsZero() {
			continue
		}
		name := w.Substitute + " in place of " + w.Part
		extra := func(heading string, d decimal.Decimal) sum.Ref {
			return s.Figure(listed(sum.Figure{Key: sum.Key{Of: OfSubstitute, At: i, What: heading}, Value: d, Unit: s.m.home.Code, Place: w.row.At(heading)}, name, w.row.Note))
		}
		total := s.Add(s.Mul(extra("Extra per unit", w.row.ExtraPerUnit), s.Count(int64(units))), extra("Extra per batch", w.row.ExtraPerBatch))
		s.fee(Fee{units: of, Category: OtherParts, Payee: Maker, What: name, swap: true, Currency: s.m.home, Place: w.row.At("Extra per unit")},
			s.Round(total, s.digits))
	}
}
