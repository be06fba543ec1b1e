package bom

import (
	"strings"
	"testing"

	"golang.org/x/text/currency"
)

func TestFindCurrency(t *testing.T) {
	// ISO 4217 list one, minor units, as checks outside this project give them.
	for digits, codes := range map[int32]string{0: "JPY KRW", 2: "EUR USD GBP CHF", 3: "KWD BHD TND", 4: "CLF"} {
		for _, code := range strings.Fields(codes) {
			if c, ok := FindCurrency(code); !ok || c.Digits != digits || c.String() != code {
				t.Errorf("%s: %v %v, want %d digits", code, c, ok, digits)
			}
		}
	}
	if c, ok := FindCurrency(" eur "); !ok || c.Code != "EUR" {
		t.Errorf("case and blanks matter: %v %v", c, ok)
	}
	for _, code := range []string{"", "EU", "EURO", "€", "XYZ", "DEM", "XXX", "XAU"} {
		if c, ok := FindCurrency(code); ok {
			t.Errorf("%q is taken for the currency %v", code, c)
		}
	}
}

// The library's table is older than the list and follows CLDR. Every difference
// is named here with its reason; a new one fails the test. The reasons are from
// memory of the amendments to ISO 4217.
var (
	tooNewForLibrary = map[string]string{
		"MRU": "Mauritania, 2018, for MRO", "SLE": "Sierra Leone, 2022, for SLL",
		"UYW": "Uruguay, unit of account since 2018", "VES": "Venezuela, 2018, for VEF", "VED": "Venezuela, 2021",
		"XCG": "Curaçao and Sint Maarten, 2025, for ANG", "ZWG": "Zimbabwe, 2024",
	}
	goneFromISO = map[string]string{
		"ANG": "XCG since 2025", "CUC": "withdrawn 2021", "HRK": "EUR since 2023", "MRO": "MRU since 2018",
		"SLL": "SLE since 2022", "VEF": "VES since 2018",
	}
	notTenderInLibrary = map[string]string{
		"CLF": "unit of account", "UYI": "unit of account", "SVC": "on the list still, USD in use",
	}
	// In ISO 4217 but not money that a price stands in; CNH is not in ISO 4217.
	fundsAndMetals = "BOV CHE CHW CNH COU MXV USN XAG XAU XBA XBB XBC XBD XDR XPD XPT XSU XTS XUA XXX"
	// CLDR gives these no decimals because the coins are no longer used.
	noCoinsInCLDR = "AFN ALL AMD COP GYD IDR IQD IRR KPW LAK LBP MGA MMK MNT MUR PKR RSD SOS SYP TZS UZS YER"
)

func TestCurrenciesAgainstLibrary(t *testing.T) {
	tender, known := map[string]bool{}, map[string]bool{}
	for it := currency.Query(); it.Next(); {
		tender[it.Unit().String()] = true
	}
	for it := currency.Query(currency.NonTender); it.Next(); {
		known[it.Unit().String()] = true
	}
	if len(tender) < 140 {
		t.Fatalf("the library knows %d currencies only", len(tender))
	}
	for code := range tender {
		if _, ok := minorDigits[code]; ok == (goneFromISO[code] != "") {
			t.Errorf("%s: in the library, here %v; %s", code, ok, goneFromISO[code])
		}
	}
	funds := asSet(fundsAndMetals)
	for code := range known {
		if _, ok := minorDigits[code]; !ok && !tender[code] && !funds[code] {
			t.Errorf("%s: known to the library alone", code)
		}
	}
	for code := range minorDigits {
		_, err := currency.ParseISO(code)
		if (err != nil) != (tooNewForLibrary[code] != "") {
			t.Errorf("%s: library: %v; %s", code, err, tooNewForLibrary[code])
		}
		if err == nil && !tender[code] != (notTenderInLibrary[code] != "") {
			t.Errorf("%s: tender in the library: %v; %s", code, tender[code], notTenderInLibrary[code])
		}
	}
}

// Where the library differs, ISO 4217 holds: all digits were compared once with
// java.util.Currency of OpenJDK 17.0.15, which follows ISO 4217, and none differed
// (it does not know UYW).
func TestMinorDigitsAgainstLibrary(t *testing.T) {
	noCoins := asSet(noCoinsInCLDR)
	compared := 0
	for code, digits := range minorDigits {
		unit, err := currency.ParseISO(code)
		if err != nil {
			continue
		}
		compared++
		scale, _ := currency.Standard.Rounding(unit)
		if agree := int32(scale) == digits; agree == noCoins[code] || noCoins[code] && scale != 0 {
			t.Errorf("%s: %d digits here, %d in the library", code, digits, scale)
		}
	}
	if compared < 140 {
		t.Errorf("only %d currencies compared", compared)
	}
}

func asSet(words string) map[string]bool {
	set := map[string]bool{}
	for _, w := range strings.Fields(words) {
		set[w] = true
	}
	return set
}
