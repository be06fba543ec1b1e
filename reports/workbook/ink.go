package workbook

import "tenoff/reports"

// advance is how far each printable ASCII character moves the pen in the
// sheets' typeface, in thousandths of its size, from the space on. The figures
// are the published advance widths of the sans-serif face of the PostScript
// base fonts, whose metrics the sheets' typeface shares (from memory).
var advance = [...]int{
	278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, // space to /
	556, 556, 556, 556, 556, 556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, // 0 to ?
	1015, 667, 667, 722, 722, 667, 611, 778, 722, 278, 500, 667, 556, 833, 722, 778, // @ to O
	667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469, 556, // P to _
	333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, // ` to o
	556, 556, 333, 500, 278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584, // p to ~
}

const (
	digitAdvance = 556
	otherAdvance = 667 // of a column that a character beyond ASCII takes
	inkSpare     = 1.03
	normalSize   = 11.0 // points, of the workbook's own style, whose digits measure the columns
)

// inkWidth is how wide text of inputSize points is on a sheet, in the measure of
// a column's width, a digit of the workbook's own style; with a little to spare.
func inkWidth(s string) float64 {
	sum := 0
	for _, r := range s {
		if i := int(r) - ' '; i >= 0 && i < len(advance) {
			sum += advance[i]
		} else {
			sum += otherAdvance * reports.RuneWidth(r)
		}
	}
	return float64(sum) / digitAdvance * inputSize / normalSize * inkSpare
}
