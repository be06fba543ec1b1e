package table

import (
	"strings"
	"testing"

	"golang.org/x/text/encoding"
	"golang.org/x/text/encoding/charmap"
	"golang.org/x/text/encoding/japanese"
	"golang.org/x/text/encoding/korean"
	"golang.org/x/text/encoding/simplifiedchinese"
	"golang.org/x/text/encoding/traditionalchinese"
)

// encoded writes text in another encoding, by the library that reads it; the
// bytes of TestShiftJISBytes come from the standard.
func encoded(t testing.TB, e encoding.Encoding, text string) []byte {
	t.Helper()
	b, err := e.NewEncoder().Bytes([]byte(text))
	must(t, err)
	return b
}

var japaneseTexts = []struct{ why, in string }{
	{"headings", "部品番号,数量,メーカー,備考\nRS-0010,2,ラークフィールド,抵抗\n"},
	{"headings alone, the rest is ASCII", "位置,個数\nR1,2\nR2,4\n"},
	{"semicolons and tabs", "部品番号;数量\tメモ\nA;1\tチップ抵抗\n"},
	{"katakana of half width alone", "ﾋﾝﾊﾞﾝ,ｽｳﾘｮｳ,ﾋﾞｺｳ\nRS-0010,2,ﾃｲｺｳｷ\n"},
	{"katakana of half width among kanji", "品番,ﾒｰｶｰ\nRS-0010,ﾗｰｸﾌｨｰﾙﾄﾞ\n"},
	{"a column of one character in each row", "品番,有無,色\n" + strings.Repeat("RS-0010,有,色\n", 50)},
	{"units", "品番,値\nC1,10μF±5％\nR1,4.7kΩ\nT1,－40～85℃\n"},
	{"hiragana", "ねじ,２本\n"},
	{"kanji of the second level, and those that were added", "部品,﨑山髙橋製作所\n部品,齋藤鑪\n"},
	{"backslashes, which are the second byte of some", "型番,表示\nA,ソ十能表\\n"},
}

func TestShiftJIS(t *testing.T) {
	for _, tt := range japaneseTexts {
		t.Run(tt.why, func(t *testing.T) {
			want, _ := Read("x", []byte(tt.in), Limits{})
			tables, probs := Read("x", encoded(t, japanese.ShiftJIS, tt.in), Limits{})
			if show(tables) != show(want) || len(probs) != 1 || probs[0].What != "this line is not UTF-8, so the file is read as Shift-JIS" {
				t.Errorf("got\n%s%swant\n%s", show(tables), said(probs), show(want))
			}
		})
	}
}

// The bytes of a few characters as JIS X 0208:1997, appendix 1, and JIS X 0201
// have them: 部 is 41-84 by row and cell, 品 41-42, 番 40-54, 号 25-70 (from memory).
func TestShiftJISBytes(t *testing.T) {
	tables, probs := Read("x", []byte("\x95\x94\x95\x69\x94\xD4\x8D\x86,\xCB\xDD\xCA\xDE\xDD\n1,2\n"), Limits{})
	if got := show(tables); got != "1: A=\"部品番号\" B=\"ﾋﾝﾊﾞﾝ\"\n2: A=\"1\" B=\"2\"\n" {
		t.Errorf("got\n%s%s", got, said(probs))
	}
}

// Nothing that is Windows-1252 is taken for Shift-JIS.
func TestNotShiftJIS(t *testing.T) {
	tests := []string{
		"1 µF ±5 %, 85 °C, 2½ m², 10 × 3 mm, ½·¼",
		"Stückzahl;Größe;Löttopf für Übung – Maß 3 mm;ÄÖÜ",
		"ÄÖÜ;ÄÖÜß;äöüÄÖÜ",
		"ÉÈÊ;ÀÂÇ;ÅÆØ;ÑÇÃÕ",
		"référence;créées étés;dès l’été à Noël;« œuvre » – 3 €",
		"étés",
		"núm. de pieza;España;añadió;¿qué?;¡sí!",
		"peça;não;ações;às;três",
		"qualità;perché;così;più",
		"nyckelhål;för;kärl;Åäö;smørrebrød;hyvää yötä",
		"R1–R3;R1–R3–R5;5–10–20;don’t;it’s;“Adapter”;‘x’;“A”B;a…b;™",
		"“x” and “y”, ‘a’ and ‘b’, 1–2, 3–4—5",
		"•one;•two;†;‡;‰;ƒ;Š;Œ;Ž",
		"R\u00e9;\u00e9\u00e9;\u00b5\u00b5",
	}
	for _, in := range append(tests, strings.Join(tests, "\n")) {
		content := encoded(t, charmap.Windows1252, "A;"+in+"\n")
		want, _ := Read("x", []byte("A;"+in+"\n"), Limits{})
		tables, probs := Read("x", content, Limits{})
		if show(tables) != show(want) || !strings.Contains(said(probs), "read as Windows-1252") {
			t.Errorf("got\n%s%swant\n%s", show(tables), said(probs), show(want))
		}
	}
}

// Text in an encoding that is not read is not said to be Shift-JIS.
func TestOtherEastAsianEncodings(t *testing.T) {
	for _, tt := range []struct {
		why string
		e   encoding.Encoding
		in  string
	}{
		{"EUC-JP", japanese.EUCJP, "部品番号,数量,メーカー,備考\nA,1,チップ抵抗,ねじ\n"},
		{"GB 18030", simplifiedchinese.GB18030, "零件编号,数量,封装,备注\nA,1,贴片电阻,电容\n"},
		{"GB 18030 of bytes that could all be katakana", simplifiedchinese.GB18030, "单价,1\n"},
		{"Big5", traditionalchinese.Big5, "零件編號,數量,封裝,備註\nA,1,貼片電阻,電容\n"},
		{"EUC-KR", korean.EUCKR, "부품번호,수량,비고\nA,1,저항\n"},
		{"Windows-1251", charmap.Windows1251, "Обозначение;Количество;Примечание\nR1;1;резистор\n"},
		{"Windows-1251 in capitals", charmap.Windows1251, "ОБОЗНАЧЕНИЕ;КОЛ;НОМЕР\nR1;1;\n"},
		{"the page of DOS", charmap.CodePage850, "Stückzahl;Größe;Kühlkörper für Löttöpfe\n1;2;µF\n"},
		{"the page of old Macintoshes", charmap.Macintosh, "Stückzahl;Größe;Kühlkörper\n1;2;\n"},
	} {
		if text, ok := shiftJIS(encoded(t, tt.e, tt.in)); ok {
			t.Errorf("%s is read as %q", tt.why, text)
		}
	}
}

// UTF-8 with one wrong byte stays refused, though all of it could be Shift-JIS.
func TestDamagedUTF8IsNotShiftJIS(t *testing.T) {
	p := oneError(t, "x", []byte("部品番号,数量\n部品\x90,1\n"), Limits{})
	if !strings.Contains(p.What, "not UTF-8, though the rest of the file is") {
		t.Errorf("got %s", p)
	}
}
