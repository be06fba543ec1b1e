package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestLearnOpenDocument: a price sheet in ODS is read, but a run writes nothing into it.
func TestLearnOpenDocument(t *testing.T) {
	data, err := os.ReadFile(filepath.Join(messyDir, "opendocument-currencies.prices.ods"))
	check(t, err)
	t.Chdir(t.TempDir())
	check(t, os.Mkdir("run", 0o755))
	for name, text := range map[string]string{
		"prices.ods":            string(data),
		"run/run.csv":           "Item,Planned,Actual\nHome currency,EUR,\nGood units,10,\nUnits started,10,\n",
		"run/on-hand-after.csv": "Part number,Unit value,Surplus,Counted\nA,1.5,3,2\n",
	} {
		check(t, os.WriteFile(filepath.FromSlash(name), []byte(text), 0o644))
	}
	var out, said bytes.Buffer
	code := run(t.Context(), []string{"settle", "run", "--update", "prices.ods"}, strings.NewReader(""), &out, &said)
	if want := "the file is an OpenDocument sheet, which is read and not written into; save it as XLSX\n"; code != exitInput || !strings.Contains(said.String(), want) {
		t.Errorf("exit code %d, said %q", code, said.String())
	}
	if got := names(t, "."); len(got) != 2 {
		t.Errorf("the folder holds %v", got)
	}
	if after, err := os.ReadFile("prices.ods"); err != nil || !bytes.Equal(after, data) {
		t.Errorf("%v: the price sheet was changed", err)
	}
}
