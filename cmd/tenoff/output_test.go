package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"strings"
	"syscall"
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

// Windows says by number why a file cannot be replaced (Win32 system error codes:
// 5 access denied, 32 sharing violation, 33 lock violation); the same numbers
// mean other things elsewhere.
func TestHeldOpen(t *testing.T) {
	for _, row := range []struct {
		code   syscall.Errno
		system string
		want   string
	}{
		{32, "windows", "is open in another program; close it there and run again"},
		{33, "windows", "is open in another program; close it there and run again"},
		{5, "windows", "is open in another program or write-protected; close it there and run again"},
		{112, "windows", "cannot be put into place: "},
		{32, "linux", "cannot be put into place: "},
	} {
		said := notPlaced(&os.LinkError{Op: "rename", Old: "a", New: "b", Err: row.code}, row.system)
		if !strings.HasPrefix(said, row.want) {
			t.Errorf("%d on %s: %q, want %q", row.code, row.system, said, row.want)
		}
	}
}
