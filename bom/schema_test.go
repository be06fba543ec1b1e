package bom

import (
	"slices"
	"strings"
	"testing"
)

func TestNormalHeading(t *testing.T) {
	for _, c := range []struct{ why, a, b string }{
		{"case and a space", "Part Number", "partnumber"},
		{"dots and underscores", "Part_no.", "part no"},
		{"hyphen and dash", "Set-up", "set–up"},
		{"no-break and thin spaces", "Mass\u00a0g", "Mass\u2009g"},
		{"zero width space", "Mass\u200b g", "Mass g"},
		{"per cent sign set apart", "Duty %", "Duty%"},
		{"per cent in words", "Duty percent", "Duty %"},
		{"per cent in two words", "Duty per cent", "Duty %"},
		{"superscript", "Density g/cm³", "Density g/cm3"},
		{"full-width letters", "Ｐｒｉｃｅ", "price"},
	} {
		if NormalHeading(c.a) != NormalHeading(c.b) {
			t.Errorf("%s: %q and %q differ", c.why, c.a, c.b)
		}
	}
	for _, c := range []struct{ why, a, b string }{
		{"the per cent sign tells columns apart", "Duty", "Duty %"},
		{"a slash is kept", "P/N", "PN"},
	} {
		if NormalHeading(c.a) == NormalHeading(c.b) {
			t.Errorf("%s: %q and %q are alike", c.why, c.a, c.b)
		}
	}
}

func TestNearest(t *testing.T) {
	for _, c := range []struct{ why, word, want string }{
		{"a letter missing", "Quantty", "Quantity"},
		{"two letters swapped", "Qunatity", "Quantity"},
		{"the same but for case", "price", "Price"},
		{"all its words, and more", "currency", "Home currency"},
		{"all its words, and more, of two", "Area", ""},
		{"nothing near", "Colour", ""},
		{"nothing at all", "", ""},
		{"a huge cell is not compared", strings.Repeat("Price", 1000), ""},
	} {
		got, ok := Nearest(c.word, []string{"Quantity", "Price", "Package", "Home currency", "Board area", "Panel area"})
		if got != c.want || ok != (c.want != "") {
			t.Errorf("%s: Nearest(%.20q) = %q, %v, want %q", c.why, c.word, got, ok, c.want)
		}
	}
}

// Published worked examples of the edit distance, here from memory: "kitten" to
// "sitting" takes 3 (Levenshtein); "ca" to "abc" takes 3 as optimal string
// alignment.
func TestEditDistance(t *testing.T) {
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"ca", "abc", 3}, {"", "abc", 3}, {"abc", "", 3}, {"abcd", "abdc", 1}} {
		if got := editDistance([]rune(c.a), []rune(c.b)); got != c.want {
			t.Errorf("%q to %q: %d, want %d", c.a, c.b, got, c.want)
		}
	}
}

func TestSchemaIsSound(t *testing.T) {
	tabs := slices.Concat([]Tab{BOMTab}, PriceTabs, RunTabs)
	for _, tab := range tabs {
		seen := map[string]string{}
		if !strings.HasSuffix(tab.Doc, ".") {
			t.Errorf("%s: its documentation is no sentence", tab.Name)
		}
		for _, c := range tab.Columns {
			for _, name := range append([]string{c.Heading}, c.Synonyms...) {
				if had, ok := seen[NormalHeading(name)]; ok {
					t.Errorf("%s: %q reads like %q", tab.Name, name, had)
				}
				seen[NormalHeading(name)] = name
			}
			if !strings.HasSuffix(c.Doc, ".") {
				t.Errorf("%s, %s: its documentation is no sentence", tab.Name, c.Heading)
			}
			if strings.ContainsAny(c.Heading, ",@") {
				t.Errorf("%s, %s: the heading holds a mark of its own meaning", tab.Name, c.Heading)
			}
			checkExample(t, tab.Name, c)
		}
	}
}

// checkExample makes sure that the example of a column can be read.
func checkExample(t *testing.T, tab string, c Column) {
	t.Helper()
	if c.Example == "" {
		return
	}
	ok := true
	switch {
	case c.Form.Numeric():
		f, err := ParseFigure(c.Example, MarkDot)
		ok = err == nil && (c.Form != FormWhole || f.Value.IsInteger())
	case c.Form == FormDate:
		_, ok = ParseDate(c.Example)
	case c.Form == FormCurrency:
		_, ok = FindCurrency(c.Example)
	case len(c.Choices) > 0:
		ok = slices.Contains(c.Choices, c.Example)
	}
	if !ok {
		t.Errorf("%s, %s: the example %q cannot be read", tab, c.Heading, c.Example)
	}
}

func TestEverySettingIsSound(t *testing.T) {
	for _, s := range SettingDefs {
		if !strings.HasSuffix(s.Doc, ".") || s.Source == "" {
			t.Errorf("%s: documented badly", s.Name)
		}
		if _, err := ParseFigure(s.Default, MarkDot); s.Form.Numeric() && err != nil {
			t.Errorf("%s: default %q: %s", s.Name, s.Default, err.What)
		}
		if len(s.Choices) > 0 && !slices.Contains(s.Choices, s.Default) {
			t.Errorf("%s: default %q is not one of %q", s.Name, s.Default, s.Choices)
		}
		if def, ok := FindSetting(strings.ToUpper(s.Name)); !ok || def.Name != s.Name {
			t.Errorf("%s is not found", s.Name)
		}
	}
}

func TestFind(t *testing.T) {
	offers, _ := PriceTab("Offers")
	for _, c := range []struct {
		why  string
		tab  *Tab
		name string
		want string
	}{
		{"documented heading", &BOMTab, "part number", "Part number"},
		{"synonym", &BOMTab, "RefDes", "Designator"},
		{"synonym with a slash", offers, "p/n", "Part number"},
		{"unknown", &BOMTab, "Colour", ""},
	} {
		column, ok := c.tab.Find(c.name)
		if ok != (c.want != "") || ok && column.Heading != c.want {
			t.Errorf("%s: Find(%q) = %v, %v", c.why, c.name, column, ok)
		}
	}
	for _, name := range []string{"hand-work", "Hand Work", "HAND_WORK", "handwork"} {
		if tab, ok := PriceTab(name); !ok || tab.Name != TabHandWork {
			t.Errorf("the tab %q is not found", name)
		}
	}
	printers, _ := PriceTab(TabPrinters)
	for _, h := range LimitHeadings {
		if _, ok := printers.Column(h); !ok {
			t.Errorf("the tab printers has no column %q", h)
		}
	}
}

func TestChoice(t *testing.T) {
	for word, want := range map[string]string{"cif": "CIF", " FOB ": "FOB", "DDP": ""} {
		if got, ok := Choice(word, CustomsBases); got != want || ok != (want != "") {
			t.Errorf("Choice(%q) = %q, %v", word, got, ok)
		}
	}
}
