package main

import (
	"bytes"
	"fmt"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// writing is a command that writes files, in a folder that holds the badge's
// input.
type writing struct {
	name string
	args []string
	old  map[string]string // targets that may be there before, and what they hold
	step bool              // it writes in several steps, of which the first may stand
}

var writings = []writing{
	{"estimate", []string{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10,20", "--force", "--out", "out/o.xlsx", "--quote", "out/q.xlsx",
		"--json", "out/o.json", "--csv", "out/sheets", "--orders", "out/orders"},
		olds("o.xlsx", "q.xlsx", "o.json"), false},
	{"sweep", []string{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--sweep", "1:60", "--force", "--json", "out/o.json", "--out", "out/o.xlsx"},
		olds("o.xlsx", "o.json"), false},
	{"difference", []string{"difference", "--bom", "unit.csv", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--force", "--csv", "out/d.csv"},
		olds("d.csv"), false},
	{"enter", []string{"enter", "--prices", "out", "--as-of", "2026-11-02", "--add-unknown", "prices/offers.csv"},
		map[string]string{"settings.csv": "Setting,Value\nHome currency,EUR\n", "offers.csv": "Part number,Supplier,Price\nTHING,Corner Parts,2\n"}, false},
	{"start", []string{"start", "out/device"}, nil, false},
	{"demo", []string{"demo", "out/demo", "--date", "2026-11-25"}, nil, true},
}

// readings are the commands that write nothing.
var readings = [][]string{
	{"check", "--bom", "unit.csv", "--prices", "prices"},
	{"substitute", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--out-of-stock", "LED-1"},
	{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10"},
	{"help"},
}

const oldText = "old\n"

// olds are files that hold something else.
func olds(names ...string) map[string]string {
	files := map[string]string{}
	for _, name := range names {
		files[name] = oldText
	}
	return files
}

// placeWriting makes the folder out with the old targets.
func placeWriting(t *testing.T, out string, w writing) {
	t.Helper()
	check(t, os.MkdirAll(out, 0o755))
	for name, text := range w.old {
		check(t, os.WriteFile(filepath.Join(out, name), []byte(text), 0o644))
	}
}

// checkWhole holds the folder against the states that it may be in: nothing is
// left of what was begun, each old file is the old one or, once the run is done,
// a new one; and a command that writes in steps leaves files as a whole run
// leaves them.
func checkWhole(t *testing.T, out string, w writing, done bool, whole map[string]string) {
	t.Helper()
	for name, text := range tree(t, out) {
		switch old, was := w.old[name]; {
		case strings.HasPrefix(filepath.Base(name), ".tenoff"):
			t.Errorf("%s is left behind", name)
		case done || was && text == old:
		case !w.step || text != whole[name]:
			t.Errorf("%s holds %.40q", name, text)
		}
	}
	if got, want := names(t, out), slices.Sorted(maps.Keys(w.old)); !done && !w.step && !slices.Equal(got, want) {
		t.Errorf("the folder holds %v, %v stood there before", got, want)
	}
}

// tree reads all files of a folder, by their path below it.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	files := map[string]string{}
	check(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || !d.Type().IsRegular() {
			return err
		}
		text, err := os.ReadFile(path)
		name, _ := filepath.Rel(dir, path) // both begin alike
		files[filepath.ToSlash(name)] = string(text)
		return err
	}))
	return files
}

// TestInterruptEvery interrupts every command at several times of its life,
// from before it has begun until it is through.
func TestInterruptEvery(t *testing.T) {
	dir := t.TempDir()
	check(t, unpackBadge(dir))
	out := filepath.Join(dir, "out")
	for _, args := range readings {
		interruptAll(t, dir, out, writing{name: args[0], args: args})
	}
	for _, w := range writings {
		interruptAll(t, dir, out, w)
	}
}

// interruptions is how many times each command is interrupted.
const interruptions = 6

func interruptAll(t *testing.T, dir, out string, w writing) {
	check(t, os.RemoveAll(out)) // what the command before has left
	placeWriting(t, out, w)
	start := time.Now()
	if said, err := program(t, dir, w.args...).CombinedOutput(); err != nil {
		t.Fatalf("%s: %v: %s", w.name, err, said)
	}
	life, whole := time.Since(start), tree(t, out)
	for i := range interruptions {
		t.Run(fmt.Sprintf("%s %d", w.name, i), func(t *testing.T) {
			check(t, os.RemoveAll(out))
			placeWriting(t, out, w)
			cmd := program(t, dir, w.args...)
			var said bytes.Buffer
			cmd.Stderr = &said
			check(t, cmd.Start())
			time.Sleep(life * time.Duration(i) / interruptions)
			_ = cmd.Process.Signal(os.Interrupt) // it may have ended
			_ = cmd.Wait()                       // whichever way
			code := cmd.ProcessState.ExitCode()
			switch {
			case code == exitDone:
			case code == exitInput && strings.HasSuffix(said.String(), "tenoff: interrupted; no file was left half written\n"):
			case code == -1: // before the program could listen, or twice
			default:
				t.Errorf("exit code %d, said %q", code, said.String())
			}
			checkWhole(t, out, w, code == exitDone, whole)
		})
	}
}

// TestFullDiskEvery runs every command that writes with disks of growing size,
// so that each write fails once, until all fits.
func TestFullDiskEvery(t *testing.T) {
	for _, w := range writings {
		t.Run(w.name, func(t *testing.T) {
			dir := t.TempDir()
			check(t, unpackBadge(dir))
			t.Chdir(dir)
			whole := wholeRun(t, w)
			first := max(1, len(w.old))
			for pages := first; ; pages += max(2, pages/3) {
				if pages > 4096 {
					t.Fatal("it does not fit 16 MiB")
				}
				if fitsDisk(t, w, pages, whole) {
					if pages == first {
						t.Error("no disk was too small")
					}
					return
				}
			}
		})
	}
}

// wholeRun gives what a command writes where there is room.
func wholeRun(t *testing.T, w writing) map[string]string {
	t.Helper()
	placeWriting(t, "out", w)
	var printed, said bytes.Buffer
	if code := run(t.Context(), w.args, strings.NewReader(""), &printed, &said); code != exitDone {
		t.Fatalf("exit code %d, said %q", code, said.String())
	}
	return tree(t, "out")
}

// fitsDisk runs a command with a disk of so many pages of 4 KiB, and tells
// whether all could be written.
func fitsDisk(t *testing.T, w writing, pages int, whole map[string]string) bool {
	disk := mount(t, fmt.Sprintf("%dk", 4*pages))
	check(t, os.RemoveAll("out"))
	check(t, os.Symlink(disk, "out"))
	placeWriting(t, disk, w)
	var printed, said bytes.Buffer
	code := run(t.Context(), w.args, strings.NewReader(""), &printed, &said)
	switch {
	case code == exitDone:
	case code != exitInput || !strings.Contains(said.String(), "no space left on device"):
		t.Errorf("%d KiB: exit code %d, said %q", 4*pages, code, said.String())
	}
	checkWhole(t, disk, w, code == exitDone, whole)
	return code == exitDone
}

// TestOpenElsewhere: who has the old file open goes on reading the old one.
func TestOpenElsewhere(t *testing.T) {
	dir := t.TempDir()
	check(t, unpackBadge(dir))
	t.Chdir(dir)
	w := writings[0]
	placeWriting(t, "out", w)
	path := filepath.Join("out", "o.json")
	open, err := os.Open(path)
	check(t, err)
	defer open.Close()
	var printed, said bytes.Buffer
	if code := run(t.Context(), w.args, strings.NewReader(""), &printed, &said); code != exitDone {
		t.Fatalf("exit code %d, said %q", code, said.String())
	}
	var old bytes.Buffer
	if _, err := old.ReadFrom(open); err != nil || old.String() != oldText {
		t.Errorf("the open file holds %q (%v)", old.String(), err)
	}
	if text, err := os.ReadFile(path); err != nil || !bytes.HasPrefix(text, []byte("{")) {
		t.Errorf("the new file holds %.40q (%v)", text, err)
	}
}

// TestReadOnlyEvery: where nothing can be written, every command says so and
// prints nothing.
func TestReadOnlyEvery(t *testing.T) {
	for _, w := range writings {
		t.Run(w.name, func(t *testing.T) {
			dir, disk := t.TempDir(), mount(t, "1m")
			check(t, unpackBadge(dir))
			t.Chdir(dir)
			check(t, os.Symlink(disk, "out"))
			placeWriting(t, disk, w)
			readOnly(t, disk)
			var printed, said bytes.Buffer
			if code := run(t.Context(), w.args, strings.NewReader(""), &printed, &said); code != exitInput || !strings.Contains(said.String(), "read-only file system") {
				t.Errorf("exit code %d, said %q", code, said.String())
			}
			if printed.Len() > 0 && w.name != "demo" {
				t.Errorf("printed %q, though nothing was written", printed.String())
			}
			checkWhole(t, disk, w, false, nil)
		})
	}
}
