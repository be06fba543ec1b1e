package sheet

import (
	"strings"
	"unicode"
)

// densities of filaments, g/cm3, typical data-sheet values by the method of ISO 1183;
// from memory but for those of the polymers without fillers, which lie within the
// ranges that tables of plastics give.
var densities = map[string]string{"PLA": "1.24", "PETG": "1.27", "ABS": "1.04", "ASA": "1.07", "TPU": "1.21",
	"PC": "1.20", "PP": "0.90", "HIPS": "1.04", "PA12": "1.01", "PA6": "1.14", "PET": "1.38"}

// plasticOf finds the plastic in the name of a material, such as "PETG green". A filled
// one (PLA-CF, ABS GF) has another density, and is not known.
func plasticOf(material string) (plastic, density string, ok bool) {
	for _, word := range strings.FieldsFunc(strings.ToUpper(material), func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) }) {
		switch word {
		case "CF", "GF", "CARBON", "GLASS", "WOOD", "METAL", "LW":
			return "", "", false
		}
		if d, known := densities[word]; known && !ok {
			plastic, density, ok = word, d, true
		}
	}
	return plastic, density, ok
}
