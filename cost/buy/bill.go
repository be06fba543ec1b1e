package buy

import "math"

// Terms are what a supplier asks for one order where rates and charges have
// turned out otherwise than they were planned with.
type Terms struct {
	Rate     float64 // home minor units for one of the supplier's; not read where its currency is home
	Delivery int64   // home minor units
	Handling int64   // home minor units
}

// Charges is what an order costs besides its goods and its consign fees, in
// home minor units, when the goods come to own in the supplier's minor units
// and to home at home.
func (s *Solver) Charges(supplier int, own, home int64, t Terms) int64 {
	as := s.model.suppliers[supplier]
	as.delivery, as.handling = t.Delivery, t.Handling
	if !as.home {
		as.rate = nearRatio(t.Rate)
	}
	return s.model.sum(s.model.bill(&as, total{own, home}))
}

// nearRatio is a factor to twelve decimals, or to as many as there is room for.
func nearRatio(f float64) ratio {
	den := uint64(1_000_000_000_000)
	for f*float64(den) > 1<<62 && den > 1 {
		den /= 10
	}
	return ratio{num: uint64(math.Round(f * float64(den))), den: den, value: f}
}
