package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"syscall"
	"testing"
)

// mount gives a file system in memory of some size, which only the
// administrator may do.
func mount(t *testing.T, size string) string {
	t.Helper()
	dir := t.TempDir()
	if err := syscall.Mount("tmpfs", dir, "tmpfs", 0, "size="+size); err != nil {
		required(t, "no small file system can be mounted: %v", err)
	}
	t.Cleanup(func() {
		if err := syscall.Unmount(dir, syscall.MNT_DETACH); err != nil {
			t.Error(err)
		}
	})
	return dir
}

// TestFullDisk: the disk holds the old JSON and has no room for the workbook.
func TestFullDisk(t *testing.T) {
	input, disk := t.TempDir(), mount(t, "16k")
	if err := unpackBadge(input); err != nil {
		t.Fatal(err)
	}
	old, path := []byte("old\n"), filepath.Join(disk, "o.json")
	if err := os.WriteFile(path, old, 0o644); err != nil {
		t.Fatal(err)
	}
	args := []string{"estimate", "--bom", filepath.Join(input, "unit.csv"), "--prices", filepath.Join(input, "prices"),
		"--batch", "10,20,40", "--force", "--json", path, "--out", filepath.Join(disk, "o.xlsx"), "--csv", filepath.Join(disk, "sheets")}
	var out, said bytes.Buffer
	if code := run(t.Context(), args, strings.NewReader(""), &out, &said); code != exitInput {
		t.Errorf("exit code %d, %d is wanted", code, exitInput)
	}
	if !strings.Contains(said.String(), "cannot be written: no space left on device; what was there before is still there") {
		t.Errorf("said %q", said.String())
	}
	if out.Len() > 0 {
		t.Errorf("printed %q, though nothing was written", out.String())
	}
	if got := names(t, disk); !slices.Equal(got, []string{"o.json"}) {
		t.Errorf("the disk holds %v", got)
	}
	if text, err := os.ReadFile(path); err != nil || !bytes.Equal(text, old) {
		t.Errorf("the old file holds %q (%v)", text, err)
	}
}

// readOnly lets nothing more be written on a file system in memory.
func readOnly(t *testing.T, disk string) {
	t.Helper()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", syscall.MS_REMOUNT|syscall.MS_RDONLY, ""); err != nil {
		t.Fatal(err)
	}
}

// TestFullOutput: what cannot be printed is not passed over in silence, by any
// of the commands.
func TestFullOutput(t *testing.T) {
	dir := t.TempDir()
	if err := unpackBadge(dir); err != nil {
		t.Fatal(err)
	}
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		required(t, "%v", err)
	}
	defer full.Close()
	for _, args := range [][]string{
		{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10"},
		{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--json", "-"},
		{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--out", "-"},
		{"check", "--bom", "unit.csv"},
		{"start", "device"},
		{"enter", "--prices", "prices", "--as-of", "2026-11-02", "--preview", "prices/offers.csv"},
		{"help"},
		{"--version"},
		{"completion", "bash"},
	} {
		cmd := program(t, dir, args...)
		var said bytes.Buffer
		cmd.Stdout, cmd.Stderr = full, &said
		_ = cmd.Run() // the exit code is looked at
		if code := cmd.ProcessState.ExitCode(); code != exitInput {
			t.Errorf("%v: exit code %d, %d is wanted", args, code, exitInput)
		}
		if want := "tenoff: standard output cannot be written: no space left on device\n"; said.String() != want {
			t.Errorf("%v: said %q, %q is wanted", args, said.String(), want)
		}
	}
}
