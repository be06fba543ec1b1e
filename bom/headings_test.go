package bom

import "testing"

// Common practice, no source.
func TestHeadingFields(t *testing.T) {
	for heading, want := range map[string]string{
		"Referencia": "Designator", "Кол-во": "Quantity", "Distributor SKU": "Order code", "材料名称": "Description", "Mfr. Part No.": "Part number",
	} {
		if fields, _ := HeadingFields(heading); len(fields) == 0 || fields[0] != want {
			t.Errorf("%q may mean %v, and %s is wanted", heading, fields, want)
		}
	}
}

// TestSpeaksOfQuantity: what is there, or is money, is not what one unit needs.
func TestSpeaksOfQuantity(t *testing.T) {
	for heading, want := range map[string]bool{
		"Order qty": true, "# needed": true, "Amount needed": true, "Number": true,
		"Amount in stock": false, "Tax amount": false, "Pieces available": false, "Qty price": false, "Larch #": false,
	} {
		if got := SpeaksOfQuantity(heading); got != want {
			t.Errorf("%s: %t", heading, got)
		}
	}
}
