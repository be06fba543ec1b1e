package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// placeEnter makes a folder with a small quote and gives the command on a price
// sheet of a name in it.
func placeEnter(t *testing.T, sheet string) []string {
	t.Helper()
	t.Chdir(t.TempDir())
	check(t, os.WriteFile("quote.csv", []byte("Part,Supplier,Date,Price\nRS-0010,Larkfield Parts,2026-11-02,0.5\n"), 0o644))
	return []string{"enter", "--prices", sheet, "--add-unknown", "quote.csv"}
}

// TestEnterOpenDocument: a price sheet in ODS is read, but not written into.
func TestEnterOpenDocument(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(messyDir, "opendocument-currencies.prices.ods"))
	check(t, err)
	args := placeEnter(t, "prices.ods")
	check(t, os.WriteFile("prices.ods", data, 0o644))
	var out, said bytes.Buffer
	code := run(t.Context(), args, strings.NewReader(""), &out, &said)
	if want := "prices.ods: the file is an OpenDocument sheet, which is read and not written into; save it as XLSX\n"; code != exitInput || !strings.Contains(said.String(), want) {
		t.Errorf("exit code %d, said %q", code, said.String())
	}
	if got := names(t, "."); len(got) != 2 {
		t.Errorf("the folder holds %v", got)
	}
}

// TestEnterKeepsLinksAndModes: a link stays one, and what it leads to is written
// into; nobody may read the copy who might not read the sheet.
func TestEnterKeepsLinksAndModes(t *testing.T) {
	args := placeEnter(t, "prices")
	check(t, os.MkdirAll("real", 0o755))
	check(t, os.MkdirAll("prices", 0o755))
	offers := filepath.Join("real", "offers.csv")
	check(t, os.WriteFile(offers, []byte("Part number,Supplier,Price\nRS-0010,Larkfield Parts,0.4\n"), 0o600))
	check(t, os.WriteFile(filepath.Join("prices", "settings.csv"), []byte("Setting,Value\nHome currency,EUR\n"), 0o644))
	if err := os.Symlink(filepath.Join("..", offers), filepath.Join("prices", "offers.csv")); err != nil {
		required(t, "no link can be made: %v", err)
	}
	var out, said bytes.Buffer
	if code := run(t.Context(), args, strings.NewReader(""), &out, &said); code != exitDone {
		t.Fatalf("exit code %d, said %q", code, said.String())
	}
	if info, err := os.Lstat(filepath.Join("prices", "offers.csv")); err != nil || info.Mode()&os.ModeSymlink == 0 {
		t.Errorf("the link is gone (%v)", err)
	}
	for name, want := range map[string]string{offers: ",0.50,2026-11-02", offers + keptEnding: ",0.4"} {
		text, err := os.ReadFile(name)
		info, err2 := os.Stat(name)
		if err != nil || err2 != nil || !strings.HasSuffix(string(text), want+"\n") || info.Mode().Perm() != 0o600 {
			t.Errorf("%s holds %q with mode %v (%v)", name, text, info.Mode(), err)
		}
	}
}
