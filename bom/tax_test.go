package bom_test

import (
	"testing"

	"tenoff/bom"
)

func TestTaxIn(t *testing.T) {
	for text, want := range map[string]struct {
		said bom.TaxSaid
		rest string
	}{
		"Unit price excl. VAT (EUR)":  {bom.WithoutTax, "Unit price  (EUR)"},
		"Unit price (excl. VAT)":      {bom.WithoutTax, "Unit price"},
		"Price ex GST":                {bom.WithoutTax, "Price"},
		"Price (+VAT)":                {bom.WithoutTax, "Price"},
		"Price, VAT not included":     {bom.WithoutTax, "Price"},
		"Prix HT":                     {bom.WithoutTax, "Prix"},
		"Preis zzgl. MwSt.":           {bom.WithoutTax, "Preis"},
		"Price before tax":            {bom.WithoutTax, "Price"},
		"Price incl. VAT":             {bom.WithTax, "Price"},
		"Price (inc VAT)":             {bom.WithTax, "Price"},
		"Price VAT incl.":             {bom.WithTax, "Price"},
		"Prix TTC":                    {bom.WithTax, "Prix"},
		"Preis inkl. MwSt":            {bom.WithTax, "Preis"},
		"Net price":                   {bom.NetPrice, "price"},
		"Nettopreis":                  {bom.NetPrice, "preis"},
		"Gross price":                 {bom.GrossPrice, "price"},
		"Bruttopreis":                 {bom.GrossPrice, "preis"},
		"VAT %":                       {bom.TaxUnsaid, "VAT %"},
		"Total after discount":        {bom.TaxUnsaid, "Total after discount"},
		"Prezzo IVA esclusa":          {bom.WithoutTax, "Prezzo"},
		"Preço s/ IVA":                {bom.WithoutTax, "Preço"},
		"Prijs excl.":                 {bom.WithoutTax, "Prijs"},
		"Prijs (incl.)":               {bom.WithTax, "Prijs"},
		"Cena s DPH":                  {bom.WithTax, "Cena"},
		"Price incl. shipping":        {bom.TaxUnsaid, "Price incl. shipping"},
		"Prezzo lordo":                {bom.GrossPrice, "Prezzo"},
		"Nettoeinzelpreis":            {bom.NetPrice, "einzelpreis"},
		"Brutoprijs":                  {bom.GrossPrice, "prijs"},
		"Net":                         {bom.NetPrice, ""},
		"Customer part number":        {bom.TaxUnsaid, "Customer part number"},
		"Network adapter":             {bom.TaxUnsaid, "Network adapter"},
		"WIDTH":                       {bom.TaxUnsaid, "WIDTH"},
		"Price including taxation no": {bom.TaxUnsaid, "Price including taxation no"},
	} {
		if said, rest := bom.TaxIn(text); said != want.said || rest != want.rest {
			t.Errorf("%q says %d and leaves %q, want %d and %q", text, said, rest, want.said, want.rest)
		}
	}
}
