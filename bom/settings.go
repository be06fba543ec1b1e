package bom

import (
	"strings"

	"github.com/shopspring/decimal"
)

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

// figure is a setting that is a figure, and what it is counted in: ¤ is the home currency.
type figure struct {
	of   func(*Settings) decimal.Decimal
	unit string
}

var figures = map[string]figure{
	"Labour rate per hour":  {func(s *Settings) decimal.Decimal { return s.LabourRate }, "¤ per h"},
	"Energy price per kWh":  {func(s *Settings) decimal.Decimal { return s.EnergyPrice }, "¤ per kWh"},
	"Confidence %":          {func(s *Settings) decimal.Decimal { return s.Confidence }, "%"},
	"Unit yield %":          {func(s *Settings) decimal.Decimal { return s.UnitYield }, "%"},
	"Surplus worth %":       {func(s *Settings) decimal.Decimal { return s.SurplusWorth }, "%"},
	"Board surplus worth %": {func(s *Settings) decimal.Decimal { return s.BoardWorth }, "%"},
	"Price age limit days":  {func(s *Settings) decimal.Decimal { return decimal.NewFromInt(int64(s.PriceAgeDays)) }, "days"},
	"Thin cover":            {func(s *Settings) decimal.Decimal { return s.ThinCover }, "times what is required"},
	"Fewest sources":        {func(s *Settings) decimal.Decimal { return decimal.NewFromInt(int64(s.FewSources)) }, "suppliers"},
	"Stock age limit days":  {func(s *Settings) decimal.Decimal { return decimal.NewFromInt(int64(s.StockAgeDays)) }, "days"},
	"Margin %":              {func(s *Settings) decimal.Decimal { return s.Margin }, "%"},
	"Payment fee %":         {func(s *Settings) decimal.Decimal { return s.PaymentFee }, "%"},
	"Payment fee fixed":     {func(s *Settings) decimal.Decimal { return s.PaymentFixed }, "¤"},
	"Sales tax %":           {func(s *Settings) decimal.Decimal { return s.SalesTax }, "%"},
	"Round price up to":     {func(s *Settings) decimal.Decimal { return s.RoundUpTo }, "¤"},
	"Bench hours per day":   {func(s *Settings) decimal.Decimal { return s.BenchHours }, "h"},
}

// Figure gives a setting that is a figure, and what it is counted in.
func (s *Settings) Figure(name string) (d decimal.Decimal, unit string, ok bool) {
	f, ok := figures[name]
	if !ok {
		return d, "", false
	}
	return f.of(s), strings.Replace(f.unit, "¤", s.Home.Code, 1), true
}
