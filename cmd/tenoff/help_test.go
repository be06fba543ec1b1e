package main

import (
	"bytes"
	"context"
	"path/filepath"
	"strings"
	"testing"

	"github.com/spf13/cobra"

	"tenoff/reports"
	"tenoff/reports/terminal"
)

// Every help text fits a terminal.
func TestHelpFits(t *testing.T) {
	pages := 0
	var look func(cmd *cobra.Command, path []string)
	look = func(cmd *cobra.Command, path []string) {
		text := said(t, append(path, "--help")...)
		pages++
		for line := range strings.Lines(text) {
			if w := reports.Width(strings.TrimSuffix(line, "\n")); w > terminal.Width {
				t.Errorf("%s --help: %d columns: %s", strings.Join(path, " "), w, line)
			}
		}
		for _, sub := range cmd.Commands() {
			look(sub, append(path[:len(path):len(path)], sub.Name()))
		}
	}
	look(newRoot(strings.NewReader(""), &bytes.Buffer{}, &bytes.Buffer{}), nil)
	if pages < 14 {
		t.Errorf("%d pages", pages)
	}
}

// said is what a command prints.
func said(t *testing.T, args ...string) string {
	t.Helper()
	var out, complaints bytes.Buffer
	if code := run(context.Background(), args, strings.NewReader(""), &out, &complaints); code != exitDone {
		t.Fatalf("%q: exit code %d: %s", args, code, complaints.String())
	}
	return out.String()
}

// What a shell offers is what the price sheet and the list have, and no marks of ours.
func TestCompletion(t *testing.T) {
	t.Chdir(t.TempDir())
	said(t, "demo", "--date", "2026-11-29")
	dir := filepath.Join("tenoff-demo", "frost-alarm")
	files := []string{"--bom", filepath.Join(dir, "unit.csv"), "--prices", filepath.Join(dir, "prices")}
	for _, row := range []struct {
		why  string
		args []string
		want string
	}{
		{"a supplier", append([]string{"estimate"}, append(files, "--without", "")...), "Tarrowby Components\n"},
		{"in any case", append([]string{"estimate"}, append(files, "--without", "tarr")...), "Tarrowby Components\n"},
		{"one that runs dry", append([]string{"substitute"}, append(files, "--dry", "")...), "Wendelmoor Bauteile\n"},
		{"a part", append([]string{"substitute"}, append(files, "--out-of-stock", "DZ-")...), "DZ-INS-M3\n"},
		{"a substitute", append([]string{"estimate"}, append(files, "--take", "")...), "="},
		{"before two price sheets are named", append([]string{"difference"}, append(files, "--without", "")...), "Tarrowby Components\n"},
		{"of a quote", []string{"enter", "--prices", filepath.Join(dir, "prices"), "--supplier", ""}, "Tarrowby Components\n"},
		{"a material", []string{"measure", "--prices", filepath.Join(dir, "prices"), "--material", ""}, "PETG green\n"},
		{"a printer", []string{"measure", "--prices", filepath.Join(dir, "prices"), "--printer", ""}, "Hut printer\n"},
		{"a recipe", []string{"measure", "--prices", filepath.Join(dir, "prices"), "--recipe", ""}, "sturdy\n"},
		{"a payer", append([]string{"explain"}, append(files, "--batch", "40", "")...), "sponsor\n"},
		{"a level", []string{"estimate", "--level", ""}, "all\n"},
		{"a flag", []string{"estimate", "--b"}, "--bom\tFILE with"},
	} {
		text := said(t, append([]string{cobra.ShellCompRequestCmd}, row.args...)...)
		if !strings.Contains(text, row.want) || strings.Contains(text, "`") {
			t.Errorf("%s: %q is not in\n%s", row.why, row.want, text)
		}
	}
	if text := said(t, cobra.ShellCompRequestCmd, "explain", "--level", ""); strings.Contains(text, "all\n") {
		t.Errorf("explain takes one level:\n%s", text)
	}
}
