package main

import (
	"bytes"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestBadFiles reads every file of fixtures/bad as a bill of materials and as a
// price sheet: whatever is wrong with it, each run ends with a complaint that
// names the file, says what would be right, and leaves no output.
func TestBadFiles(t *testing.T) {
	bad, err := filepath.Abs(filepath.Join("..", "..", "fixtures", "bad"))
	if err != nil {
		t.Fatal(err)
	}
	files := names(t, bad)
	if len(files) < 20 {
		t.Fatalf("only %d files stand in fixtures/bad", len(files))
	}
	dir := t.TempDir()
	if err := unpackBadge(dir); err != nil {
		t.Fatal(err)
	}
	t.Chdir(dir)
	before := names(t, dir)
	for _, name := range files {
		path := filepath.ToSlash(filepath.Join(bad, name))
		complaint := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(path) + `(:[^:]+)?(:[0-9]+)*: [a-zA-Z@"].*; .*$`)
		for _, args := range [][]string{
			{"estimate", "--bom", path, "--prices", "prices", "--batch", "10", "--json", "o.json"},
			{"estimate", "--bom", "unit.csv", "--prices", path, "--batch", "10", "--json", "o.json"},
			{"estimate", "--bom", path, "--prices", "prices", "--batch", "10", "--json", "o.json"},
		} {
			var out, said bytes.Buffer
			if code := run(t.Context(), args, strings.NewReader(""), &out, &said); code != exitInput {
				t.Errorf("%v: exit code %d, %d is wanted", args, code, exitInput)
			}
			if !complaint.MatchString(said.String()) {
				t.Errorf("%v: said %q", args, said.String())
			}
			if slices.ContainsFunc(said.Bytes(), func(b byte) bool { return b < ' ' && b != '\n' }) {
				t.Errorf("%v: said control characters: %q", args, said.String())
			}
			if out.Len() > 0 {
				t.Errorf("%v: printed %q", args, out.String())
			}
			if got := names(t, "."); !slices.Equal(got, before) {
				t.Errorf("%v: the folder holds %v", args, got)
				_ = os.Remove("o.json")
			}
		}
	}
}
