package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// TestWhatWasTried keeps the counts in README those of the tests.
func TestWhatWasTried(t *testing.T) {
	text, err := os.ReadFile("../../README.md")
	check(t, err)
	files, wants := messyNames(t)
	refused := 0
	for name := range wants {
		want, err := os.ReadFile(filepath.Join(messyDir, name))
		check(t, err)
		if strings.Contains(string(want), "\nerror ") {
			refused++
		}
	}
	for what, cells := range map[string]string{
		"| messy tables, ":        fmt.Sprintf(" | %d | %d are read, with a word on what was ignored; %d are refused,", len(files), len(files)-refused, refused),
		"| damaged and hostile ":  fmt.Sprintf(" | %d | ", len(names(t, "../../fixtures/bad"))),
		"| inputs of a megabyte ": fmt.Sprintf(" | %d | none takes more than %d MB;", len(megabytes), mostMemory>>20),
		"| fuzz targets ":         fmt.Sprintf(" | %d | ", fuzzTargets(t)),
		"| commands that are ":    fmt.Sprintf(" | %d | ", len(readings)+len(writings)),
		"| commands with disks ":  fmt.Sprintf(" | %d | ", len(writings)),
	} {
		_, row, ok := strings.Cut(string(text), "\n"+what)
		row, _, _ = strings.Cut(row, "\n")
		if *update && ok {
			counts := regexp.MustCompile(regexp.MustCompile(`[0-9]+`).ReplaceAllString(regexp.QuoteMeta(cells), "[0-9]+"))
			fresh := counts.ReplaceAllLiteralString(row, cells)
			text, row = bytes.Replace(text, []byte(row), []byte(fresh), 1), fresh
		}
		if !ok || !strings.Contains(row, cells) {
			t.Errorf("README says %q, and %q is true", what+row, cells)
		}
	}
	if *update {
		check(t, os.WriteFile(filepath.FromSlash("../../README.md"), text, 0o644))
	}
}

// fuzzTargets counts the fuzz targets of the module.
func fuzzTargets(t *testing.T) int {
	t.Helper()
	target, n := regexp.MustCompile(`(?m)^func Fuzz\w+\(f \*testing\.F\)`), 0
	check(t, filepath.WalkDir("../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(path, "_test.go") {
			return err
		}
		text, err := os.ReadFile(path)
		n += len(target.FindAll(text, -1))
		return err
	}))
	return n
}
