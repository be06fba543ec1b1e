package table

import (
	"bytes"
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
	utf "golang.org/x/text/encoding/unicode"

	"tenoff/bom"
)

const wantText = "a CSV file in UTF-8, UTF-16, Windows-1252, Windows-1251 or Shift-JIS, or an XLSX or ODS workbook"

// decode gives the text of a file with LF for every line end. ok is false,
// with an error among the problems, where the bytes are not text.
func decode(name string, data []byte, probs *bom.Problems) (text string, ok bool) {
	order, marked, wide := utf16Order(data)
	if wide {
		text, ok = decodeUTF16(name, data, order, marked, probs)
	} else {
		text, ok = decodeBytes(name, data, probs)
	}
	if !ok {
		return "", false
	}
	text = lineEnds.Replace(text)
	if i := strings.IndexByte(text, 0); i >= 0 || mostlyControls(text) {
		notText(name, data, max(1, lineAt(text, max(i, 0))), probs)
		return "", false
	}
	return text, true
}

func notText(name string, data []byte, line int, probs *bom.Problems) {
	probs.Errorf(bom.Place{File: name, Row: line}, firstBytes(data), wantText,
		"the file holds bytes that are not text")
}

// utf16Order tells the byte order of UTF-16: by its mark, or where the NULs
// stand on the same side of each pair, as they do with letters and digits.
func utf16Order(data []byte) (order utf.Endianness, marked, wide bool) {
	switch {
	case bytes.HasPrefix(data, []byte("\xFF\xFE\x00\x00")): // UTF-32
		return order, false, false
	case bytes.HasPrefix(data, []byte("\xFF\xFE")):
		return utf.LittleEndian, true, true
	case bytes.HasPrefix(data, []byte("\xFE\xFF")):
		return utf.BigEndian, true, true
	}
	var nuls [2]int
	for i, c := range data {
		if c == 0 {
			nuls[i%2]++
		}
	}
	// in any script that is read here a good part of the characters are
	// separators, digits, spaces and line ends; a few others have a NUL on the
	// other side
	switch many := len(data) / 8; {
	case nuls[1] > many && nuls[0] <= nuls[1]/8:
		return utf.LittleEndian, false, true
	case nuls[0] > many && nuls[1] <= nuls[0]/8:
		return utf.BigEndian, false, true
	}
	return order, false, false
}

func decodeUTF16(name string, data []byte, order utf.Endianness, marked bool, probs *bom.Problems) (string, bool) {
	out, err := utf.UTF16(order, utf.UseBOM).NewDecoder().Bytes(data)
	text := string(out)
	broken := strings.IndexRune(text, utf8.RuneError) // which nobody types
	switch {
	case err == nil && broken < 0:
		return text, true
	case !marked:
		notText(name, data, lineAt(text, max(broken, 0)), probs)
	default:
		probs.Errorf(bom.Place{File: name, Row: lineAt(text, max(broken, 0))}, "", "the whole file, saved again",
			"the UTF-16 text is cut or damaged in the middle of a character")
	}
	return "", false
}

// cyrillicWord is how many letters beside each other tell Windows-1251: no word of the
// languages of Windows-1252 has so many that are not plain.
const cyrillicWord = 4

// cyrillic tells Windows-1251 from Windows-1252: half of the letters from 0xC0 on stand
// in words of such letters alone, without a capital behind a small one.
func cyrillic(data []byte) bool {
	high, inWords, run := 0, 0, 0
	mixed := false
	for i := 0; i <= len(data); i++ {
		if i < len(data) && data[i] >= 0xC0 {
			mixed = mixed || run > 0 && data[i] < 0xE0 && data[i-1] >= 0xE0
			high, run = high+1, run+1
			continue
		}
		if run >= cyrillicWord && !mixed {
			inWords += run
		}
		run, mixed = 0, false
	}
	return high > 0 && 2*inWords >= high
}

const wantOneEncoding = "a file saved again in one encoding, UTF-8 for choice"

// mostForeign is how many bytes of another encoding a file in UTF-8 may hold: lines that
// were pasted in.
const mostForeign = 20

// mended reads the few bytes that are not UTF-8 as Windows-1252, each for itself, where
// none is the last of the file, as in one that was cut.
func mended(data []byte, c utf8Count) (text string, ok bool) {
	if last, size := utf8.DecodeLastRune(data); c.bad > mostForeign || last == utf8.RuneError && size == 1 {
		return "", false
	}
	var b strings.Builder
	for len(data) > 0 {
		r, size := utf8.DecodeRune(data)
		if r == utf8.RuneError && size == 1 {
			if r = charmap.Windows1252.DecodeByte(data[0]); r < 0xA0 && r >= 0x80 || r == utf8.RuneError {
				return "", false
			}
		}
		if r >= 0x80 && !unicode.In(r, unicode.Latin, unicode.Greek, unicode.Common) {
			return "", false // who writes so does not write Windows-1252
		}
		b.WriteRune(r)
		data = data[size:]
	}
	return b.String(), true
}

// decodeBytes reads UTF-8 or, where the bytes cannot be that, Shift-JIS, Windows-1251
// or Windows-1252. Of a file that is UTF-8 but for a few bytes those are read as
// Windows-1252, and that is told; with more of them it is refused, for every other
// accent in it would turn into two wrong letters.
func decodeBytes(name string, data []byte, probs *bom.Problems) (string, bool) {
	body, marked := bytes.CutPrefix(data, []byte("\xEF\xBB\xBF"))
	c := countUTF8(body)
	lines := strings.Split(lineEnds.Replace(string(body[:c.first])), "\n")
	at, before := bom.Place{File: name, Row: len(lines)}, lines[len(lines)-1]
	switch {
	case c.bad == 0:
		text := string(body)
		noteGarbled(name, text, probs)
		return text, true
	case c.controls > 0:
		notText(name, data, len(lines), probs)
		return "", false
	case marked || c.good >= c.bad:
		if text, ok := mended(body, c); ok {
			probs.Warnf(at, before, wantOneEncoding, "a character is not UTF-8, though the rest of the file is: it is read as Windows-1252")
			return text, true
		}
		probs.Errorf(at, before, wantOneEncoding,
			"a character is not UTF-8, though the rest of the file is")
		return "", false
	}
	if text, ok := shiftJIS(body); ok {
		probs.Notef(at, "this line is not UTF-8, so the file is read as Shift-JIS")
		return text, true
	}
	page, called := charmap.Windows1252, "Windows-1252"
	if cyrillic(body) {
		page, called = charmap.Windows1251, "Windows-1251"
	}
	text, err := page.NewDecoder().Bytes(body)
	if err != nil {
		notText(name, data, len(lines), probs)
		return "", false
	}
	probs.Notef(at, "this line is not UTF-8, so the file is read as %s", called)
	return string(text), true
}

// noteGarbled warns of text that was UTF-8, was taken for Windows-1252 once and
// written as UTF-8 again: µ has become Âµ, and no name with it fits any more.
func noteGarbled(name, text string, probs *bom.Problems) {
	if strings.IndexByte(text, 0xC3) < 0 { // all the letters that such text is known by begin with it
		return
	}
	if at := garbled.FindStringIndex(text); at != nil {
		probs.Warnf(bom.Place{File: name, Row: lineAt(text, at[0])}, text[at[0]:at[1]], "save the file again, in UTF-8, with a program that shows its letters right",
			"two letters stand where one is meant: the file was once read in the wrong encoding")
	}
}

// garbled is the letters that are the bytes of one letter: of those from U+0080 to
// U+00FF, Greek, dashes and quotes.
var garbled = func() *regexp.Regexp {
	var more strings.Builder
	for b := 0x80; b <= 0xBF; b++ {
		more.WriteRune(charmap.Windows1252.DecodeByte(byte(b)))
	}
	return regexp.MustCompile("[ÂÃÎÏ][" + more.String() + "]|â[" + more.String() + "]{2}")
}()

// utf8Count is what countUTF8 finds.
type utf8Count struct {
	good     int // characters of several bytes
	bad      int // bytes that belong to no character
	controls int // characters that no text file holds
	first    int // where the first bad byte stands
}

func countUTF8(data []byte) (c utf8Count) {
	for i := 0; i < len(data); {
		r, size := utf8.DecodeRune(data[i:])
		switch {
		case r == utf8.RuneError && size == 1:
			if c.bad++; c.bad == 1 {
				c.first = i
			}
		case size > 1:
			c.good++
		case control(r):
			c.controls++
		}
		i += size
	}
	return c
}

// lineEnds makes LF of every line end.
var lineEnds = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// control tells characters that do not belong in a text file. Those that old
// programs leave in one (form feed, vertical tab, end of file) are let pass.
func control(r rune) bool { return r < ' ' && !strings.ContainsRune("\t\n\v\f\r\x1a", r) }

// mostlyControls tells binary rubbish that happens to decode: one character in
// fifty or more is a control.
func mostlyControls(text string) bool {
	n := 0
	for i := 0; i < len(text); i++ {
		if control(rune(text[i])) {
			n++
		}
	}
	return n*50 > len(text)
}

// lineAt is the line on which byte i stands.
func lineAt(text string, i int) int { return 1 + strings.Count(text[:i], "\n") }
