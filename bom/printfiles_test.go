package bom

import "testing"

// What exists decides where the name of a file ends.
func TestSplitPiece(t *testing.T) {
	there := map[string]bool{"case.3mf": true, "c#/plate #2.3mf": true, "odd#1.stl": true, "odd": true}
	for _, c := range []struct{ why, name, file, piece string }{
		{"a file", "case.3mf", "case.3mf", ""},
		{"a number", "case.3mf#2", "case.3mf", "2"},
		{"a name with # and spaces round it", "case.3mf# body #2 ", "case.3mf", "body #2"},
		{"# in the name of a file and its folder", "c#/plate #2.3mf#lid", "c#/plate #2.3mf", "lid"},
		{"the whole is a file", "odd#1.stl", "odd#1.stl", ""},
		{"no such file", "none.3mf#2", "none.3mf#2", ""},
		{"no piece named", "case.3mf#", "case.3mf", ""},
		{"nothing", "", "", ""},
	} {
		if file, piece := SplitPiece(c.name, func(f string) bool { return there[f] }); file != c.file || piece != c.piece {
			t.Errorf("%s: %q and %q", c.why, file, piece)
		}
	}
}

func TestStranger(t *testing.T) {
	const pointer = "version https://store.example/spec/v1\noid sha256:00ff\nsize 123456\n"
	for _, c := range []struct {
		text  string
		known bool
	}{
		{pointer, true}, {pointer[:45], false}, {"GCDE\x01\x00", true}, {"G1 X1\n", false}, {"solid version\n", false}, {"", false},
		{"version https://store.example/v1\noid sha256:00ff\nsize 123456\n", false},
	} {
		what, want := Stranger([]byte(c.text))
		if (what != "") != c.known || (want != "") != c.known {
			t.Errorf("%q: %q, %q", c.text, what, want)
		}
	}
}
