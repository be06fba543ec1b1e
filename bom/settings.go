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
	if row := First(s.All, func(row *Setting) bool { return row.Name == name }); row != nil {
		return row.Range
	}
	return Range{}
}

// Figure gives a setting that is a figure, and what it is counted in.
func (s *Settings) Figure(name string) (d decimal.Decimal, unit string, ok bool) {
	home := s.Home.Code
	whole := func(n int) decimal.Decimal { return decimal.NewFromInt(int64(n)) }
	type figure struct {
		value decimal.Decimal
		unit  string
	}
	f, ok := map[string]figure{
		"Labour rate per hour":  {s.LabourRate, home + " per h"},
		"Energy price per kWh":  {s.EnergyPrice, home + " per kWh"},
		"Confidence %":          {s.Confidence, "%"},
		"Unit yield %":          {s.UnitYield, "%"},
		"Surplus worth %":       {s.SurplusWorth, "%"},
		"Board surplus worth %": {s.BoardWorth, "%"},
		"Price age limit days":  {whole(s.PriceAgeDays), "days"},
		"Thin cover":            {s.ThinCover, "times what is required"},
		"Fewest sources":        {whole(s.FewSources), "suppliers"},
		"Stock age limit days":  {whole(s.StockAgeDays), "days"},
		"Margin %":              {s.Margin, "%"},
		"Payment fee %":         {s.PaymentFee, "%"},
		"Payment fee fixed":     {s.PaymentFixed, home},
		"Sales tax %":           {s.SalesTax, "%"},
		"Round price up to":     {s.RoundUpTo, home},
		"Bench hours per day":   {s.BenchHours, "h"},
	}[name]
	return f.value, f.unit, ok
}
