package sheet

import "testing"

// The densities lie in the ranges that published tables of plastics give at 23 °C;
// those for print filaments are the usual ones of data sheets (from memory).
func TestPlastics(t *testing.T) {
	for _, c := range []struct{ material, plastic, density string }{
		{"PLA", "PLA", "1.24"},
		{"PETG green", "PETG", "1.27"},
		{"white ASA", "ASA", "1.07"},
		{"abs+", "ABS", "1.04"},
		{"PLA-CF", "", ""},
		{"PETG with glass", "", ""},
		{"PLATINUM silk", "", ""},
		{"resin", "", ""},
	} {
		plastic, density, ok := plasticOf(c.material)
		if plastic != c.plastic || density != c.density || ok != (c.plastic != "") {
			t.Errorf("%s: %s %s %v", c.material, plastic, density, ok)
		}
	}
}
