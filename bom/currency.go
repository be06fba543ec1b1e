package bom

import "strings"

// Currency is an ISO 4217 code with its number of minor digits.
type Currency struct {
	Code   string
	Digits int32
}

// String gives the code.
func (c Currency) String() string { return c.Code }

// FindCurrency looks a code up in ISO 4217, without regard to case.
func FindCurrency(code string) (Currency, bool) {
	code = strings.ToUpper(strings.TrimSpace(code))
	digits, ok := minorDigits[code]
	return Currency{code, digits}, ok
}

// minorDigits is ISO 4217 list one (codes of funds and precious metals left
// out, the units of account of Chile and Uruguay kept), copied from memory of
// the published list and compared in the tests with the code list of
// golang.org/x/text/currency. That library's digits are
// not used: they follow local cash habits where those differ from ISO.
var minorDigits = func() map[string]int32 {
	m := map[string]int32{}
	for digits, codes := range map[int32]string{
		0: "BIF CLP DJF GNF ISK JPY KMF KRW PYG RWF UGX UYI VND VUV XAF XOF XPF",
		2: "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BGN BMD BND BOB BRL BSD BTN BWP " +
			"BYN BZD CAD CDF CHF CNY COP CRC CUP CVE CZK DKK DOP DZD EGP ERN ETB EUR FJD FKP " +
			"GBP GEL GHS GIP GMD GTQ GYD HKD HNL HTG HUF IDR ILS INR IRR JMD KES KGS KHR KPW " +
			"KYD KZT LAK LBP LKR LRD LSL MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MYR " +
			"MZN NAD NGN NIO NOK NPR NZD PAB PEN PGK PHP PKR PLN QAR RON RSD RUB SAR SBD SCR " +
			"SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT TOP TRY TTD TWD TZS " +
			"UAH USD UYU UZS VED VES WST XCD XCG YER ZAR ZMW ZWG",
		3: "BHD IQD JOD KWD LYD OMR TND",
		4: "CLF UYW",
	} {
		for _, code := range strings.Fields(codes) {
			m[code] = digits
		}
	}
	return m
}()
