package table

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// unhide turns _x000D_ into the character it stands for (ISO/IEC 29500-1,
// ST_Xstring, 22.9.2.19); _x005F_ stands for the underscore of a text that
// only looks like that.
func unhide(s string) string {
	if !strings.Contains(s, "_x") {
		return s
	}
	var b strings.Builder
	for {
		i := strings.Index(s, "_x")
		if i < 0 {
			b.WriteString(s)
			return b.String()
		}
		b.WriteString(s[:i])
		s = s[i:]
		if len(s) >= 7 && s[6] == '_' {
			if n, err := strconv.ParseUint(s[2:6], 16, 16); err == nil && utf8.ValidRune(rune(n)) {
				b.WriteRune(rune(n))
				s = s[7:]
				continue
			}
		}
		b.WriteString(s[:2])
		s = s[2:]
	}
}
