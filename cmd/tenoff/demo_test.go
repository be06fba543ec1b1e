package main

import (
	"bytes"
	"context"
	"fmt"
	"io/fs"
	"strings"
	"testing"

	"tenoff/fixtures"
)

// Each run of the demo is told on one screen, and its README.txt says how to run it again.
func TestDemoIsShort(t *testing.T) {
	t.Chdir(t.TempDir())
	var out, complaints bytes.Buffer
	if code := run(context.Background(), []string{"demo", "--date", "2026-11-29"}, strings.NewReader(""), &out, &complaints); code != exitDone {
		t.Fatalf("exit code %d: %s", code, complaints.String())
	}
	demos := fixtures.Demos()
	for i, d := range demos {
		_, text, found := strings.Cut(out.String(), d.Title)
		if !found {
			t.Fatalf("no %s in:\n%s", d.Title, out.String())
		}
		if i+1 < len(demos) {
			text, _, _ = strings.Cut(text, demos[i+1].Title)
		}
		if lines := strings.Count(strings.TrimSpace(text), "\n") + 1; lines > 24 {
			t.Errorf("%d lines:\n%s", lines, text)
		}
		readme, err := fs.ReadFile(d.Files, "README.txt")
		if err != nil {
			t.Fatal(err)
		}
		batches := strings.ReplaceAll(strings.Trim(fmt.Sprint(d.Batches), "[]"), " ", ",")
		command := fmt.Sprintf("  tenoff estimate --name %q --bom %s --prices %s \\\n    --batch %s --level %s --out estimate.xlsx\n", d.Unit, d.BOM, d.Prices, batches, d.Level)
		if !strings.Contains(string(readme), command) {
			t.Errorf("README.txt of %s lacks:\n%s", d.Name, command)
		}
	}
}
