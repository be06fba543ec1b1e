package main

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"
)

// required makes a check that this machine cannot run a failure where all of
// them are asked for, and otherwise leaves it out.
func required(t testing.TB, format string, args ...any) {
	t.Helper()
	if os.Getenv("TENOFF_REQUIRE_REFERENCES") == "1" {
		t.Fatalf(format, args...)
	}
	t.Skipf(format, args...)
}

// names lists a folder, hidden files too.
func names(t *testing.T, dir string) []string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, e := range entries {
		out = append(out, e.Name())
	}
	return out
}

// program is the program itself, as TestMain makes it.
func program(t testing.TB, dir string, args ...string) *exec.Cmd {
	t.Helper()
	path, err := exec.LookPath("tenoff")
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(path, args...)
	cmd.Dir = dir
	return cmd
}

// TestFailingWriter breaks the write of the second of two files at each of its
// pieces, by an error and by an interrupt: both old files stay whole, what was
// begun is gone, and a folder that was made for it too.
func TestFailingWriter(t *testing.T) {
	full := errors.New("no space left on device")
	for _, c := range []struct {
		why, said string
		interrupt bool
	}{
		{"the disk is full", "two.txt: cannot be written: no space left on device; what was there before is still there", false},
		{"interrupted", "interrupted; no file was left half written", true},
	} {
		for piece := range 4 {
			dir := t.TempDir()
			one, two := filepath.Join(dir, "one.txt"), filepath.Join(dir, "two.txt")
			for _, path := range []string{one, two} {
				if err := os.WriteFile(path, []byte("old"), 0o640); err != nil {
					t.Fatal(err)
				}
			}
			ctx, cancel := context.WithCancel(context.Background())
			o := &outputs{force: true, dirs: []string{filepath.Join(dir, "made", "deep")}}
			o.add(one, nil, writeBytes([]byte("new")))
			o.add(two, nil, func(w io.Writer) error {
				for i := range 4 {
					if i == piece && c.interrupt {
						cancel()
					} else if i == piece {
						return full
					}
					if _, err := w.Write([]byte("piece")); err != nil {
						return err
					}
				}
				return nil
			})
			if err := o.check(); err != nil {
				t.Fatal(err)
			}
			err := o.commit(ctx)
			cancel()
			if err == nil || !strings.HasSuffix(err.Error(), c.said) {
				t.Errorf("%s at piece %d: said %q, %q is wanted", c.why, piece, err, c.said)
			}
			if got := names(t, dir); !slices.Equal(got, []string{"one.txt", "two.txt"}) {
				t.Errorf("%s at piece %d: the folder holds %v", c.why, piece, got)
			}
			for _, path := range []string{one, two} {
				if text, err := os.ReadFile(path); err != nil || string(text) != "old" {
					t.Errorf("%s at piece %d: %s holds %q (%v)", c.why, piece, path, text, err)
				}
			}
		}
	}
}

// TestKeepsMode: a file that is replaced keeps its permissions.
func TestKeepsMode(t *testing.T) {
	path := filepath.Join(t.TempDir(), "one.txt")
	if err := os.WriteFile(path, nil, 0o640); err != nil {
		t.Fatal(err)
	}
	o := &outputs{}
	o.add(path, nil, writeBytes([]byte("new")))
	if err := o.commit(context.Background()); err != nil {
		t.Fatal(err)
	}
	info, err := os.Stat(path)
	if err != nil {
		t.Fatal(err)
	}
	if got, want := info.Mode().Perm(), os.FileMode(0o640); got != want && runtime.GOOS != "windows" {
		t.Errorf("mode %v, %v is wanted", got, want)
	}
}

// TestInterruptAtInput: the run waits for a bill of materials from a pipe that
// stays open, and is interrupted, ended, or loses its terminal.
func TestInterruptAtInput(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there is no interrupt to send")
	}
	for _, end := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		t.Run(end.String(), func(t *testing.T) {
			if end == syscall.SIGHUP && signal.Ignored(end) {
				t.Skip("the program keeps to nohup, under which the tests run")
			}
			interruptedAtInput(t, end)
		})
	}
}

func interruptedAtInput(t *testing.T, signal os.Signal) {
	dir := t.TempDir()
	if err := unpackBadge(dir); err != nil {
		t.Fatal(err)
	}
	old := []byte("old\n")
	if err := os.WriteFile(filepath.Join(dir, "o.json"), old, 0o644); err != nil {
		t.Fatal(err)
	}
	before := names(t, dir)
	cmd := program(t, dir, "estimate", "--bom", "-", "--prices", "prices", "--batch", "10", "--json", "o.json", "--force")
	var said bytes.Buffer
	cmd.Stderr = &said
	in, err := cmd.StdinPipe()
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	// More than a pipe holds: when it has gone through, the run is reading.
	if _, err := in.Write(bytes.Repeat([]byte("\n"), 1<<20)); err != nil {
		t.Fatal(err)
	}
	if err := cmd.Process.Signal(signal); err != nil {
		t.Fatal(err)
	}
	var exit *exec.ExitError
	if err := cmd.Wait(); !errors.As(err, &exit) || exit.ExitCode() != exitInput {
		t.Errorf("%v; exit code %d is wanted", err, exitInput)
	}
	if want := "tenoff: interrupted; no file was left half written\n"; said.String() != want {
		t.Errorf("said %q, %q is wanted", said.String(), want)
	}
	if got := names(t, dir); !slices.Equal(got, before) {
		t.Errorf("the folder holds %v", got)
	}
	if text, err := os.ReadFile(filepath.Join(dir, "o.json")); err != nil || !bytes.Equal(text, old) {
		t.Errorf("o.json holds %q (%v)", text, err)
	}
}

// TestInterruptAnywhere interrupts runs at all times of their short life: the
// file is the old one or the new one, whole, and nothing else is left.
func TestInterruptAnywhere(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("there is no interrupt to send")
	}
	dir := t.TempDir()
	if err := unpackBadge(dir); err != nil {
		t.Fatal(err)
	}
	args := func(batch string) []string {
		return []string{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", batch, "--json", "o.json", "--out", "o.xlsx"}
	}
	if out, err := program(t, dir, args("10")...).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	before := names(t, dir)
	for i := range 20 {
		cmd := program(t, dir, args("20")...)
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		time.Sleep(time.Duration(i) * 5 * time.Millisecond)
		_ = cmd.Process.Signal(os.Interrupt) // it may have ended
		_ = cmd.Wait()                       // whichever way
		if got := names(t, dir); !slices.Equal(got, before) {
			t.Fatalf("the folder holds %v", got)
		}
		text, err := os.ReadFile(filepath.Join(dir, "o.json"))
		if err != nil {
			t.Fatal(err)
		}
		var e struct {
			Batches []struct{ Batch int } `json:"batches"`
		}
		if err := json.Unmarshal(text, &e); err != nil || len(e.Batches) != 1 || e.Batches[0].Batch != 10 && e.Batches[0].Batch != 20 {
			t.Fatalf("o.json is neither the old nor the new one (%v)", err)
		}
	}
}

// cancelling interrupts the run as soon as it prints.
type cancelling struct {
	bytes.Buffer
	cancel func()
}

func (c *cancelling) Write(p []byte) (int, error) {
	c.cancel()
	return c.Buffer.Write(p)
}

// TestInterruptAtTheEnd interrupts runs whose files are in place and whose answer
// is being printed: they end as if nothing had happened.
func TestInterruptAtTheEnd(t *testing.T) {
	t.Chdir(t.TempDir())
	check(t, os.Mkdir("prices", 0o755))
	for name, text := range map[string]string{
		"unit.csv":            "Quantity,Part number,Kind\n1,THING,other\n1,NUT,other\n",
		"prices/offers.csv":   "Part number,Supplier,Price\nTHING,Corner Parts,1\n",
		"prices/settings.csv": "Setting,Value\nHome currency,EUR\n",
	} {
		check(t, os.WriteFile(name, []byte(text), 0o644))
	}
	end := func(want int, said string) {
		t.Helper()
		ctx, cancel := context.WithCancel(t.Context())
		out := cancelling{cancel: cancel}
		var stderr bytes.Buffer
		code := run(ctx, []string{"estimate", "--bom", "unit.csv", "--prices", "prices", "--batch", "10", "--json", "o.json", "--force"},
			strings.NewReader(""), &out, &stderr)
		if code != want || strings.Contains(stderr.String(), "interrupted") || !strings.Contains(stderr.String(), said) {
			t.Errorf("exit code %d, want %d, and said %q", code, want, stderr.String())
		}
		if _, err := os.Stat("o.json"); err != nil {
			t.Error(err)
		}
	}
	end(exitIncomplete, "the estimate is incomplete")
	check(t, os.WriteFile("prices/offers.csv", []byte("Part number,Supplier,Price\nTHING,Corner Parts,1\nNUT,Corner Parts,1\n"), 0o644))
	end(exitDone, "")
}
