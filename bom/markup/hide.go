package markup

import (
	"fmt"
	"strings"
)

// Hide writes what text in a workbook cannot hold as it is: characters that XML forbids, as
// _x0001_, and an underscore that would begin such a code (ECMA-376 part 1, 22.9.2.19).
// What is no UTF-8 reads as U+FFFD and is written so.
func Hide(text string) string {
	var b strings.Builder
	for i, r := range text {
		switch {
		case r < ' ' && !strings.ContainsRune("\t\n\r", r), r == 0xFFFE, r == 0xFFFF:
			fmt.Fprintf(&b, "_x%04X_", r)
		case r == '_' && beginsCode(text[i:]):
			b.WriteString("_x005F_")
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// beginsCode tells whether text begins with a code such as _x000D_.
func beginsCode(text string) bool {
	const length = len("_x000D_")
	return len(text) >= length && text[1] == 'x' && text[length-1] == '_' &&
		strings.Trim(text[2:length-1], "0123456789abcdefABCDEF") == ""
}
