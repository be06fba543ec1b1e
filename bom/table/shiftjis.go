package table

import (
	"strings"

	"golang.org/x/text/encoding/japanese"
)

// shiftJIS reads text in Shift-JIS (JIS X 0208, appendix 1, with the additions of
// code page 932). ok is false where the bytes are not that, or are likelier to be
// Windows-1252: both give a meaning to nearly every byte.
//
// Words tell. A Japanese one is a run of characters of two bytes, the first of
// which is below A0 for all kana and common kanji; in Windows-1252 those are
// quotes, dashes and the like, of which two in a row are seldom followed by a
// letter each. One in katakana of half width is a run of single bytes: an odd
// number of them, since the Chinese and Korean encodings and EUC-JP have pairs
// there. Accents, µ, ° and ± stand alone between other characters.
func shiftJIS(data []byte) (text string, ok bool) {
	words, alone := 0, 0
	for i := 0; i < len(data); i++ {
		if data[i] < 0x80 {
			continue
		}
		r := runAt(data, i)
		switch {
		case r.common >= 2, r.double == 0 && r.single >= 3 && r.single%2 == 1 && r.low:
			words += r.single + r.double
		case r.single == 1 && r.double == 0, r.double == 1 && r.single == 0 && letter(data, r.end-1) && (letter(data, i-1) || letter(data, r.end)):
			alone++
		}
		i = r.end - 1
	}
	if words == 0 || words < 4*alone {
		return "", false
	}
	decoded, err := japanese.ShiftJIS.NewDecoder().Bytes(data)
	text = string(decoded)
	return text, err == nil && !strings.ContainsFunc(text, func(r rune) bool { return r == '\uFFFD' || r >= 0x80 && r < 0xA0 })
}

// run is a run of characters that are not ASCII.
type run struct {
	single, double int  // of one byte and of two
	common         int  // of two, the first below A0
	low            bool // a single one below C0, where no capital letter of Windows-1252 or -1251 stands
	end            int
}

func runAt(data []byte, i int) (r run) {
	for i < len(data) && data[i] >= 0x80 {
		if c := data[i]; c > 0xA0 && c < 0xE0 {
			r.single++
			r.low = r.low || c < 0xC0
			i++
		} else {
			r.double++
			if c < 0xA0 {
				r.common++
			}
			i += 2
		}
	}
	r.end = min(i, len(data))
	return r
}

// letter tells whether a letter or digit of ASCII stands at a byte.
func letter(data []byte, i int) bool {
	if i < 0 || i >= len(data) {
		return false
	}
	c := data[i] | 0x20
	return c >= 'a' && c <= 'z' || data[i] >= '0' && data[i] <= '9'
}
