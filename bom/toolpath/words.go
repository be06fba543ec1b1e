package toolpath

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"unicode"

	"tenoff/bom"
)

// block is one line: its words by letter, and its G and M words in order.
type block struct {
	has   uint32 // bit 0 is A
	bare  uint32 // letters without a number
	value [26]float64
	g, m  []int  // tenfold: G92.1 is 921
	name  string // a command in words, which no standard knows; nothing else is set then
	mark  string // a word whose number was never filled in
}

// maxCodes bounds the G words and the M words of one line; RS-274/NGC allows
// one of each modal group.
const maxCodes = 16

func bit(letter byte) uint32 { return 1 << (letter - 'A') }

func (b *block) given(letter byte) bool { return b.has&bit(letter) != 0 }

// get is the value of a word, or other where the word is not there.
func (b *block) get(letter byte, other float64) float64 {
	if b.given(letter) {
		return b.value[letter-'A']
	}
	return other
}

// lineError is what is wrong with a line.
type lineError struct{ what, found, want string }

func wrong(found, want, what string, args ...any) *lineError {
	return &lineError{fmt.Sprintf(what, args...), found, want}
}

// parse parts a line into words. White space may stand anywhere, even inside the
// number of an axis (NIST IR 6556, 3.3): a line that needs it is closed up and
// read again.
func (b *block) parse(line []byte) *lineError {
	err, spaced := b.words(line)
	if !spaced {
		return err
	}
	closed, sum := closeUp(line)
	if err, _ = b.words(closed); err == nil && sum > 0 {
		err = checksum(line, sum)
	}
	return err
}

// noBreak is a space at which lines do not break, as pages of the web have it.
var noBreak = []byte("\u00a0")

func (b *block) words(line []byte) (err *lineError, spaced bool) {
	b.has, b.bare, b.g, b.m, b.name, b.mark = 0, 0, b.g[:0], b.m[:0], "", ""
	first := true
	for i := 0; i < len(line); {
		c := line[i]
		if n := blankAt(line, i); n > 0 {
			i += n
			continue
		}
		switch {
		case c == ';':
			return nil, false
		case c == '(':
			end := commentEnd(line, i)
			if end < 0 && b.empty() {
				return nil, false // the whole line is one
			}
			if end < 0 {
				return wrong(string(line[i:]), "a closing parenthesis", "the comment does not end"), false
			}
			i = end
			continue
		case c == '*':
			return checksum(line, i), false
		case c == '%' && first:
			return nil, false
		case (c == '@' || c == '$') && first: // to the program that sends the file, not to the printer
			b.name = string(c) + nameAt(line, i+1)
			return nil, false
		case c == '/' && first: // optional block: carried out, as with the switch off
			i++
			continue
		}
		c &^= 0x20
		if c < 'A' || c > 'Z' {
			if n := templateMark(line[i:]); n > 0 && !first {
				b.mark = string(line[i : i+n])
				i += n
				continue
			}
			return b.passOver(wrong(string(line[i:]), "a letter and a number", "this is no word")), false
		}
		if first && i+1 < len(line) && (letterLike(line[i+1]) || c == 'T' && line[i+1] == '?') {
			b.name = nameAt(line, i)
			return nil, false
		}
		i += 1 + len(line[i+1:]) - len(bytes.TrimLeft(line[i+1:], " \t"))
		if n := templateMark(line[i:]); n > 0 && c != 'G' && c != 'M' && c != 'N' {
			b.mark = string(c) + string(line[i:i+n])
			i += n
			continue
		}
		v, n := bom.LeadingFloat(line[i:], false)
		if i+n < len(line) && line[i+n] == 'e' && powerOfTen(line, i, n) {
			v, n = bom.LeadingFloat(line[i:], true)
		}
		if counts := c == 'G' || c == 'M' || c == 'N' || c == 'T'; !counts && spacedNumber(line, i+n, n) {
			return nil, true
		}
		i += n
		if err := b.put(c, v, n > 0, line[max(0, i-n-1):]); err != nil {
			return b.passOver(err), false
		}
		first = c == 'N' && first
		if c == 'M' && textFollows(b.m[len(b.m)-1]) {
			return nil, false
		}
	}
	return nil, false
}

// blankAt is the length of a blank that stands at i; 0 where none does.
func blankAt(line []byte, i int) int {
	switch c := line[i]; {
	case c == ' ' || c == '\t' || c == '\r':
		return 1
	case bytes.HasPrefix(line[i:], noBreak):
		return len(noBreak)
	}
	return 0
}

// templateMark is the length of a mark that stands for a number and begins here: a name
// in brackets, anything in braces or between question marks; 0: there is none.
func templateMark(line []byte) int {
	if len(line) == 0 {
		return 0
	}
	mark := strings.IndexByte("[{?", line[0])
	if mark < 0 {
		return 0
	}
	end := bytes.IndexByte(line[1:], "]}?"[mark])
	if end < 1 || line[0] == '[' && bytes.ContainsFunc(line[1:1+end], func(r rune) bool { return r != '_' && !unicode.IsLetter(r) }) {
		return 0 // or an expression
	}
	return end + 2
}

// empty tells whether no word of the line has been read but its number.
func (b *block) empty() bool { return b.has&^bit('N') == 0 && len(b.g)+len(b.m) == 0 }

// passOver drops what is wrong with the words of a line that neither moves nor
// extrudes: they are the printer's own, or a text.
func (b *block) passOver(err *lineError) *lineError {
	if len(b.g) > 0 && len(b.m) == 0 && b.has&^bit('N') == 0 && !b.drives() {
		return nil
	}
	if len(b.g) > 0 || len(b.m) == 0 || !quiet(b.m[0]) && !waitsForHeat(b.m[0]) {
		return err
	}
	b.has, b.bare = 0, 0
	return nil
}

// powerOfTen tells whether the e behind a number belongs to it. Programs that
// compute lines may write E9.5e-05: behind a capital letter a small e is not the
// extruder's.
func powerOfTen(line []byte, i, n int) bool {
	e := i + n
	return n > 0 && line[i-1] >= 'A' && line[i-1] <= 'Z' && e+2 < len(line) &&
		(line[e+1] == '-' || line[e+1] == '+') && line[e+2]-'0' <= 9
}

// put keeps one word.
func (b *block) put(letter byte, v float64, numbered bool, at []byte) *lineError {
	if !numbered {
		if len(at) > 1 && (at[1] == '[' || at[1] == '#') {
			return wrong(string(at), "a plain number", "expressions and parameters are not read")
		}
		if letter == 'G' || letter == 'M' || letter == 'N' {
			return wrong(string(at), "a number", "%c stands without a number", letter)
		}
		b.bare |= bit(letter)
	}
	if math.Abs(v) > farthest {
		return wrong(string(at), fmt.Sprintf("a number between ±%g", float64(farthest)), "the number is out of range")
	}
	switch letter {
	case 'G', 'M':
		code := int(math.Round(v * 10))
		if v < 0 || v > 10_000 || math.Abs(v*10-float64(code)) > 1e-6 {
			return wrong(string(at), "a number such as 1 or 92.1", "this is no %c word", letter)
		}
		codes := &b.g
		if letter == 'M' {
			codes = &b.m
		}
		if len(*codes) == maxCodes {
			return wrong("", fmt.Sprintf("at most %d", maxCodes), "the line has too many %c words", letter)
		}
		*codes = append(*codes, code)
		return nil
	}
	if b.given(letter) {
		return wrong(string(at), "one of each", "the line has two %c words", letter)
	}
	b.has |= bit(letter)
	b.value[letter-'A'] = v
	return nil
}

// farthest is beyond any printer, in mm, mm/min or whatever a word counts.
const farthest = 1e9

// spacedNumber tells whether white space stands inside the number that n bytes
// were read of.
func spacedNumber(line []byte, i, n int) bool {
	j := i
	if n == 0 && j < len(line) && (line[j] == '-' || line[j] == '+' || line[j] == '.') {
		j++
	}
	from := j
	for j < len(line) && (line[j] == ' ' || line[j] == '\t') {
		j++
	}
	return j > from && j < len(line) && (line[j]-'0' <= 9 || line[j] == '.')
}

// closeUp leaves out white space and comments; sum is where the checksum stands
// in the line, 0 where it has none.
func closeUp(line []byte) (closed []byte, sum int) {
	for i := 0; i < len(line); i++ {
		switch c := line[i]; {
		case c == ';':
			return closed, 0
		case c == '*':
			return closed, i
		case c == '(':
			end := commentEnd(line, i)
			if end < 0 {
				return append(closed, line[i:]...), 0
			}
			i = end - 1
		case c > ' ':
			closed = append(closed, c)
		}
	}
	return closed, 0
}

// commentEnd is where the line goes on behind a comment; -1 where the comment
// does not end. NIST IR 6556, 3.3.4, allows no comment in another; here inner
// ones are part of it where all of them are closed.
func commentEnd(line []byte, from int) int {
	depth, first := 0, -1
	for i := from; i < len(line); i++ {
		switch line[i] {
		case '(':
			depth++
		case ')':
			if first < 0 {
				first = i + 1
			}
			if depth--; depth == 0 {
				return i + 1
			}
		}
	}
	return first
}

// checksum checks the sum that stands at a place: the exclusive or of all bytes
// before it (common practice of printers, no source).
func checksum(line []byte, at int) *lineError {
	var sum byte
	for _, c := range line[:at] {
		sum ^= c
	}
	v, n := bom.LeadingFloat(line[at+1:], false)
	if n == 0 || v != float64(sum) {
		return wrong(string(line[at:]), fmt.Sprintf("*%d", sum), "the checksum does not fit the line")
	}
	return nil
}

func letterLike(c byte) bool { return c == '_' || c&^0x20 >= 'A' && c&^0x20 <= 'Z' }

// nameAt is the command in words that begins at i.
func nameAt(line []byte, i int) string {
	end := i
	for end < len(line) && end-i < 40 && (letterLike(line[end]) || line[end]-'0' <= 9 || line[end] == '?') {
		end++
	}
	return strings.ToUpper(string(line[i:end]))
}
