package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// settingPlace is the cell of a setting; the name of the price sheet where the
// default holds.
func (m *Model) settingPlace(name string) bom.Place {
	for _, s := range m.prices.Settings.All {
		if s.Name == name && !s.Default {
			return s.At("Value")
		}
	}
	return bom.Place{File: m.prices.Name}
}

// settingFigure gives a setting that is a figure.
func (m *Model) settingFigure(name string) (d decimal.Decimal, unit string, ok bool) {
	s, home := &m.prices.Settings, m.home.Code
	switch name {
	case "Labour rate per hour":
		return s.LabourRate, home + " per h", true
	case "Energy price per kWh":
		return s.EnergyPrice, home + " per kWh", true
	case "Confidence %":
		return s.Confidence, "%", true
	case "Unit yield %":
		return s.UnitYield, "%", true
	case setWorth:
		return s.SurplusWorth, "%", true
	case setBoardWorth:
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
	case setTax:
		return s.SalesTax, "%", true
	case "Round price up to":
		return s.RoundUpTo, home, true
	case "Bench hours per day":
		return s.BenchHours, "h", true
	}
	return d, "", false
}

func (m *Model) settingRange(name string) bom.Range {
	for _, s := range m.prices.Settings.All {
		if s.Name == name {
			return s.Range
		}
	}
	return bom.Range{}
}

// The settings that prices rest on.
const (
	setMargin   = "Margin %"
	setFee      = "Payment fee %"
	setFeeFixed = "Payment fee fixed"
	setStep     = "Round price up to"
	setTax      = "Sales tax %"
)
