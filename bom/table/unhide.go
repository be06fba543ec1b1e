package table

import (
	"regexp"
	"strconv"
	"unicode/utf8"
)

var hiddenMark = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_`)

// unhide turns _x000D_ into the character it stands for (ISO/IEC 29500-1,
// ST_Xstring, 22.9.2.19); _x005F_ stands for the underscore of a text that
// only looks like that.
func unhide(s string) string {
	return hiddenMark.ReplaceAllStringFunc(s, func(mark string) string {
		n, err := strconv.ParseUint(mark[2:6], 16, 16)
		if err != nil || !utf8.ValidRune(rune(n)) {
			return mark
		}
		return string(rune(n))
	})
}
