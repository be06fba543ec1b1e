package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// TestAllOrNone: where the last of several files cannot be put into place, those
// before it are as they were: an old one whole, a new one gone, and nothing is
// left beside them.
func TestAllOrNone(t *testing.T) {
	dir := t.TempDir()
	at := func(name string) string { return filepath.Join(dir, name) }
	if err := os.WriteFile(at("old"), []byte("before"), 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.MkdirAll(at("taken/by a folder"), 0o755); err != nil {
		t.Fatal(err)
	}
	o := &outputs{stdout: &bytes.Buffer{}}
	for _, name := range []string{"old", "fresh", "taken"} {
		o.add(at(name), nil, writeBytes([]byte("after")))
	}
	err := o.commit(context.Background()) // without check, as if the folder had come since
	if err == nil || !strings.Contains(err.Error(), "taken: cannot be put into place") || !strings.Contains(err.Error(), "what was there before is still there") {
		t.Errorf("said: %v", err)
	}
	if got, _ := os.ReadFile(at("old")); string(got) != "before" {
		t.Errorf("the old file holds %q", got)
	}
	entries, _ := os.ReadDir(dir)
	var left []string
	for _, e := range entries {
		left = append(left, e.Name())
	}
	if strings.Join(left, " ") != "old taken" {
		t.Errorf("left behind: %q", left)
	}

	o = &outputs{stdout: &bytes.Buffer{}}
	for _, name := range []string{"old", "fresh"} {
		o.add(at(name), nil, writeBytes([]byte("after")))
	}
	if err := o.commit(context.Background()); err != nil {
		t.Fatal(err)
	}
	for _, name := range []string{"old", "fresh"} {
		if got, _ := os.ReadFile(at(name)); string(got) != "after" {
			t.Errorf("%s holds %q", name, got)
		}
	}
	if entries, _ := os.ReadDir(dir); len(entries) != 3 {
		t.Errorf("left behind: %v", entries)
	}
}
