package bom

import "github.com/shopspring/decimal"

// SettingPlace is the cell of a setting; the name of the price sheet where the default holds.
func (p *Prices) SettingPlace(name string) Place {
	for _, s := range p.Settings.All {
		if s.Name == name && !s.Default {
			return s.At("Value")
		}
	}
	return Place{File: p.Name}
}

// RangeOf is the range of a setting, none where it has none.
func (s *Settings) RangeOf(name string) Range {
	for _, row := range s.All {
		if row.Name == name {
			return row.Range
		}
	}
	return Range{}
}

// Figure gives a setting that is a figure, and what it is counted in.
func (s *Settings) Figure(name string) (d decimal.Decimal, unit string, ok bool) {
	home := s.Home.Code
	switch name {
	case "Labour rate per hour":
		return s.LabourRate, home + " per h", true
	case "Energy price per kWh":
		return s.EnergyPrice, home + " per kWh", true
	case "Confidence %":
		return s.Confidence, "%", true
	case "Unit yield %":
		return s.UnitYield, "%", true
	case "Surplus worth %":
		return s.SurplusWorth, "%", true
	case "Board surplus worth %":
		return s.BoardWorth, "%", true
	case "Price age limit days":
		return decimal.NewFromInt(int64(s.PriceAgeDays)), "days", true
	case "Thin cover":
		return s.ThinCover, "times what is required", true
	case "Fewest sources":
		return decimal.NewFromInt(int64(s.FewSources)), "suppliers", true
	case "Stock age limit days":
		return decimal.NewFromInt(int64(s.StockAgeDays)), "days", true
	case "Margin %":
		return s.Margin, "%", true
	case "Payment fee %":
		return s.PaymentFee, "%", true
	case "Payment fee fixed":
		return s.PaymentFixed, home, true
	case "Sales tax %":
		return s.SalesTax, "%", true
	case "Round price up to":
		return s.RoundUpTo, home, true
	case "Bench hours per day":
		return s.BenchHours, "h", true
	}
	return d, "", false
}
