package cost

import (
	"strings"

	"github.com/shopspring/decimal"

	"tenoff/cost/sum"
)

// prepareOneOffs finds the category of each one-off cost.
func prepareOneOffs(m *Model) {
	for i := range m.prices.OneOffs {
		row := oneOff{&m.prices.OneOffs[i], Tooling}
		if row.Category != "" {
			c, ok := categoryCalled(row.Category)
			if !ok {
				m.problems.Errorf(row.At("Category"), row.Category, "one of: "+strings.Join(categoryNames[:], ", "), "unknown category")
			}
			row.category = c
		}
		m.supply.rate(row.Currency, row.At("Currency"))
		m.oneOffs = append(m.oneOffs, row)
	}
}

// stateOneOffs states what the batch bears of costs that fall due once:
//
//	round(price × max(0, min(units, spread over − units before)) / spread over)
//
// or all of it where it is not spread. The cash is the price, and the rest of it a
// surplus; of what is paid already, the batch takes its part from stock.
func stateOneOffs(s *sums) {
	for i, row := range s.m.oneOffs {
		figure := func(heading string, d decimal.Decimal, unit string) sum.Ref {
			return s.once(listed(sum.Figure{Key: sum.Key{Of: OfOneOff, At: i, What: heading}, Value: d, Unit: unit, Place: row.At(heading), AsOf: row.AsOf}, row.What, row.Note))
		}
		amount := s.Round(figure("Price", row.Price, row.Currency.Code), row.Currency.Digits)
		home := s.toHome(amount, row.Currency)
		consumed, paid := home, row.PaidAlready || s.m.run.Repeat
		if row.SpreadOver > 0 {
			over := figure("Spread over", decimal.NewFromInt(row.SpreadOver), "units")
			left := s.Sub(over, figure("Units before", decimal.NewFromInt(row.UnitsBefore), "units"))
			units := s.Max(0, s.Min(s.Count(int64(s.b.Size)), left))
			consumed = s.Round(s.Div(s.Mul(home, units), over), s.digits)
		}
		p := portion{cash: home, consumed: consumed}
		switch {
		case paid && row.SpreadOver == 0:
			continue
		case paid:
			p = portion{stock: consumed, consumed: consumed}
		}
		s.charge(Fee{Category: row.category, Payee: row.Payee, What: row.What, Currency: row.Currency, Place: row.At("Price"), Kind: OneOffFee, Index: i}, amount, p)
	}
}
