package cost

import (
	"github.com/shopspring/decimal"

	"tenoff/bom"
)

// The settings that prices rest on.
const (
	setMargin   = "Margin %"
	setFee      = "Payment fee %"
	setFeeFixed = "Payment fee fixed"
	setStep     = "Round price up to"
	setTax      = "Sales tax %"
)

// worthOf is what a row says of a surplus, else what the setting says.
func worthOf(p *bom.Prices, given decimal.NullDecimal, setting string, row bom.Origin) Worth {
	if given.Valid {
		return Worth{Percent: given.Decimal, Place: row.At("Surplus worth %")}
	}
	percent, _, _ := p.Settings.Figure(setting)
	return Worth{Percent: percent, Place: p.SettingPlace(setting), Setting: setting}
}

// The settings that say what a surplus is worth.
const (
	setWorth      = "Surplus worth %"
	setBoardWorth = "Board surplus worth %"
)

// Settings that are drawn.
const (
	drawnLabour = "Labour rate per hour"
	drawnEnergy = "Energy price per kWh"
	drawnYield  = "Unit yield %"
)
