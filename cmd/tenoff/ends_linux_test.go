package main

import (
	"bytes"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"testing"
)

// A result that is to go to a standard output that was closed before the start is
// refused; a run that writes files does without.
func TestClosedOutput(t *testing.T) {
	dir := t.TempDir()
	check(t, unpackBadge(dir))
	path, err := exec.LookPath("tenoff")
	check(t, err)
	for to, want := range map[string]string{"-": "tenoff: standard output is closed; expected a file name or a pipe\n", "o.json": ""} {
		cmd := exec.Command("sh", "-c", path+" estimate --bom unit.csv --prices prices --batch 10 --json "+to+" >&-")
		var said bytes.Buffer
		cmd.Dir, cmd.Stderr = dir, &said
		if err := cmd.Run(); (err != nil) != (want != "") || said.String() != want {
			t.Errorf("--json %s: %v, said %q; want %q", to, err, said.String(), want)
		}
	}
}

// A reader that has seen enough ends nothing: the files are written all the same.
func TestReaderThatLeaves(t *testing.T) {
	dir := t.TempDir()
	check(t, unpackBadge(dir))
	for _, args := range [][]string{{"--out", "o.xlsx"}, {"--json", "-", "--out", "p.xlsx"}} {
		cmd := program(t, dir, append([]string{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10"}, args...)...)
		r, w, err := os.Pipe()
		check(t, err)
		check(t, r.Close())
		var said bytes.Buffer
		cmd.Stdout, cmd.Stderr = w, &said
		if err := cmd.Run(); err != nil || said.Len() > 0 {
			t.Errorf("%v: %v, said %q", args, err, said.String())
		}
		check(t, w.Close())
		if _, err := os.Stat(filepath.Join(dir, args[len(args)-1])); err != nil {
			t.Error(err)
		}
	}
}

// What a killed run has left half written is removed by the next; what others are
// writing, here or on another machine, stays.
func TestStaleParts(t *testing.T) {
	dir := t.TempDir()
	check(t, unpackBadge(dir))
	gone := exec.Command("true")
	check(t, gone.Run())
	stale := []string{partOf(gone.Process.Pid) + "1", partOf(gone.Process.Pid) + "2.old"}
	stays := []string{partOf(os.Getpid()) + "1", ".tenoff-", ".tenoff-0000000g-1-1", partsOfHost() + "x-1"}
	for _, name := range append(stale, stays...) {
		check(t, os.WriteFile(filepath.Join(dir, name), []byte("half"), 0o644))
	}
	if out, err := program(t, dir, "estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--json", "o.json").CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	left := names(t, dir)
	for _, name := range stale {
		if slices.Contains(left, name) {
			t.Errorf("%s is still there", name)
		}
	}
	for _, name := range stays {
		if !slices.Contains(left, name) {
			t.Errorf("%s is gone", name)
		}
	}
}

// Runs that make one folder at the same time all end well.
func TestOneFolderAtOnce(t *testing.T) {
	for i := range 50 {
		dir := filepath.Join(t.TempDir(), strings.Repeat("deep/", 20), fmt.Sprint(i))
		var all sync.WaitGroup
		start := make(chan bool)
		for range 8 {
			all.Go(func() {
				<-start
				o := &outputs{dirs: []string{dir}}
				if _, err := o.makeDirs(); err != nil {
					t.Error(err)
				}
			})
		}
		close(start)
		all.Wait()
	}
	dir := t.TempDir()
	var all sync.WaitGroup
	for range 4 {
		cmd := program(t, dir, "start", "deep/device")
		all.Go(func() {
			if out, err := cmd.CombinedOutput(); err != nil || !strings.Contains(string(out), "wrote deep/device/prices.xlsx") {
				t.Errorf("%v: %s", err, out)
			}
		})
	}
	all.Wait()
	if got := names(t, filepath.Join(dir, "deep", "device")); !slices.Equal(got, []string{"prices.xlsx", "unit.xlsx"}) {
		t.Errorf("the folder holds %v", got)
	}
}
