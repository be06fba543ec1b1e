package cost

// The settings that prices rest on.
const (
	setMargin   = "Margin %"
	setFee      = "Payment fee %"
	setFeeFixed = "Payment fee fixed"
	setStep     = "Round price up to"
	setTax      = "Sales tax %"
)
