package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"hash/fnv"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strconv"
	"strings"
	"sync"
	"syscall"

	"tenoff/bom/load"
	"tenoff/bom/table"
)

// outputs collects what a run writes. Nothing is touched until commit: each
// file is then written beside its target, and all are renamed into place, or
// none, so that a run that fails or is interrupted leaves every old file whole.
type outputs struct {
	files  []*output
	dirs   []string // folders to make where they are not there yet
	force  bool
	inputs []string // paths read: none of them may be written
	stdout io.Writer
}

// output is one file to be written.
type output struct {
	path  string // "-" is standard output
	write func(io.Writer) error
	ours  func([]byte) bool // tells a file that tenoff wrote; nil: none may be there
	like  string            // a file whose permissions a new one gets; empty: none
	drop  bool              // the file goes instead
	temp  string            // beside path; empty once it is in place

	placed bool   // the new file is at path
	old    string // another name of the file that was at path; empty where none was
	lost   bool   // there was one, and it could not be given another name
}

// add adds a file; nothing where none is asked for.
func (o *outputs) add(path string, ours func([]byte) bool, write func(io.Writer) error) {
	if path != "" {
		o.files = append(o.files, &output{path: path, ours: ours, write: write})
	}
}

// dropOthers removes the files of a folder that tenoff wrote before and does not write
// this time.
func (o *outputs) dropOthers(dir string, ours func([]byte) bool) error {
	entries, err := os.ReadDir(dir)
	if errors.Is(err, fs.ErrNotExist) {
		return nil // it is made
	} else if err != nil {
		return failed("%s: %v", dir, table.FileError(err))
	}
	kept := map[string]bool{}
	for _, f := range o.files {
		kept[load.Resolved(f.path)] = true
	}
	for _, in := range o.inputs {
		kept[load.Resolved(in)] = true
	}
	for _, e := range entries {
		path := filepath.Join(dir, e.Name())
		if !e.Type().IsRegular() || filepath.Ext(path) != ".csv" || kept[load.Resolved(path)] {
			continue
		}
		data, err := os.ReadFile(path)
		if err != nil {
			return failed("%s: %v", path, table.FileError(err))
		}
		if ours(data) {
			o.files = append(o.files, &output{path: path, ours: ours, drop: true})
		}
	}
	return nil
}

// check refuses targets before any work is put into them.
func (o *outputs) check() error {
	seen := map[string]string{}
	piped := 0
	for _, f := range o.files {
		if f.path == "-" {
			if piped++; piped > 1 {
				return usage("only one output can go to standard output")
			}
			if outputClosed() {
				return failed("standard output is closed; expected a file name or a pipe")
			}
			continue
		}
		clean := load.Resolved(f.path)
		if other, twice := seen[clean]; twice {
			return usage("%s and %s are the same file; give each output its own", other, f.path)
		}
		seen[clean] = f.path
		for _, in := range o.inputs {
			if load.Resolved(in) == clean {
				return usage("%s is an input; choose another name", f.path)
			}
		}
		if err := o.checkTarget(f); err != nil {
			return err
		}
	}
	return nil
}

// checkTarget keeps files that tenoff did not write.
func (o *outputs) checkTarget(f *output) error {
	info, err := os.Stat(f.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return o.checkFolder(f)
	case err != nil:
		return failed("%s: %v", f.path, table.FileError(err))
	case info.IsDir():
		return failed("%s: is a folder; expected a file name", f.path)
	case !info.Mode().IsRegular():
		return failed("%s: is not a plain file", f.path)
	case o.force:
		return nil
	}
	old, err := os.ReadFile(f.path)
	if err != nil {
		return failed("%s: %v", f.path, table.FileError(err))
	}
	if len(old) == 0 || f.ours != nil && f.ours(old) {
		return nil
	}
	return failed("%s: exists already and tenoff did not write it; --force overwrites it", f.path)
}

// checkFolder wants a folder to write a new file into: one that is there, or
// that commit makes.
func (o *outputs) checkFolder(f *output) error {
	dir, name := filepath.Split(f.path)
	if name == "" {
		return failed("%s: is the name of a folder; expected a file name", f.path)
	}
	dir = filepath.Clean(dir)
	if slices.ContainsFunc(o.dirs, func(made string) bool { return load.Within(dir, made) }) {
		return nil // it is on the way to a folder that is made
	}
	if _, err := os.Stat(dir); errors.Is(err, fs.ErrNotExist) {
		return failed("%s: there is no folder %s; make it first", f.path, dir)
	}
	return nil
}

// write checks the targets, then writes all files, or none.
func (o *outputs) write(ctx context.Context) error {
	if err := o.check(); err != nil {
		return err
	}
	return o.commit(ctx)
}

// commit writes all files, or none.
func (o *outputs) commit(ctx context.Context) error {
	made, err := o.makeDirs()
	if err == nil {
		err = o.writeAll(ctx)
	}
	if err != nil {
		for _, f := range o.files {
			if f.temp != "" {
				os.Remove(f.temp)
			}
		}
		for _, dir := range slices.Backward(made) {
			os.Remove(dir) // goes only where it is empty
		}
	}
	return err
}

// makeDirs makes the folders that are missing and lists those it made, the
// outer ones first.
func (o *outputs) makeDirs() (made []string, err error) {
	for _, dir := range o.dirs {
		var missing []string
		for d := filepath.Clean(dir); ; d = filepath.Dir(d) {
			if _, err := os.Stat(d); !errors.Is(err, fs.ErrNotExist) {
				break
			}
			missing = append(missing, d)
		}
		for _, d := range slices.Backward(missing) {
			if err := os.Mkdir(d, 0o755); errors.Is(err, fs.ErrExist) {
				continue // another run was faster
			} else if err != nil {
				return made, failed("%s: cannot be made: %v", d, table.FileError(err))
			}
			made = append(made, d)
		}
	}
	return made, nil
}

// writeAll stages every file and then renames them all into place.
func (o *outputs) writeAll(ctx context.Context) error {
	cleared := map[string]bool{}
	for _, f := range o.files {
		if dir := filepath.Dir(f.path); f.path != "-" && !cleared[dir] {
			cleared[dir] = true
			removeStale(dir)
		}
	}
	for _, f := range o.files {
		if err := o.stage(ctx, f); err != nil {
			return err
		}
	}
	if ctx.Err() != nil {
		return interrupted()
	}
	return o.replaceAll()
}

// replaceAll renames all files into place. Where one cannot be, those before it
// are taken back.
func (o *outputs) replaceAll() error {
	defer o.forgetOld()
	for _, f := range o.files {
		if f.temp == "" {
			continue
		}
		if err := f.replace(); err != nil {
			return failed("%s: %s; %s", f.path, notPlaced(err, runtime.GOOS), o.takeBack())
		}
	}
	return nil
}

// notPlaced words why a file could not be renamed over another. Windows lets
// nobody replace a file that a program holds open: the error is then sharing
// violation (32), lock violation (33) or access denied (5), as for a file that is
// write-protected (Win32 system error codes).
func notPlaced(err error, system string) string {
	var code syscall.Errno
	if system == "windows" && errors.As(err, &code) {
		switch code {
		case 32, 33:
			return "is open in another program; close it there and run again"
		case 5:
			return "is open in another program or write-protected; close it there and run again"
		}
	}
	return fmt.Sprintf("cannot be put into place: %v", table.FileError(err))
}

// replace gives what is at the path another name and then renames over it, so
// that the path names a whole file at every moment.
func (f *output) replace() error {
	switch err := os.Link(f.path, f.temp+".old"); {
	case err == nil:
		f.old = f.temp + ".old"
	case !errors.Is(err, fs.ErrNotExist): // not every file system can
		f.lost = true
	}
	if f.drop {
		if err := os.Remove(f.path); err != nil {
			return err
		}
		os.Remove(f.temp)
	} else if err := os.Rename(f.temp, f.path); err != nil {
		return err
	}
	f.temp, f.placed = "", true
	return nil
}

// takeBack puts the old files back where new ones are in place, and says how it
// ended.
func (o *outputs) takeBack() string {
	var stay []string
	for _, f := range o.files {
		if f.placed && !f.takeBack() {
			stay = append(stay, f.path)
		}
	}
	if len(stay) > 0 {
		return "new already: " + strings.Join(stay, ", ")
	}
	return "what was there before is still there"
}

func (f *output) takeBack() bool {
	switch {
	case f.lost:
		return false
	case f.old == "":
		return os.Remove(f.path) == nil
	}
	err := os.Rename(f.old, f.path)
	if err == nil {
		f.old = ""
	}
	return err == nil
}

// forgetOld drops the other names of old files.
func (o *outputs) forgetOld() {
	for _, f := range o.files {
		if f.old != "" {
			os.Remove(f.old)
		}
	}
}

// stage writes one output to the end: to standard output, or beside its target.
func (o *outputs) stage(ctx context.Context, f *output) error {
	if f.path == "-" {
		// Whole first, so that a failure prints nothing half.
		var b bytes.Buffer
		if err := f.write(stoppable{ctx, &b}); err != nil {
			return o.cannot(ctx, "standard output", err)
		}
		_, err := o.stdout.Write(b.Bytes())
		return o.cannot(ctx, "standard output", err)
	}
	dir := filepath.Dir(f.path)
	temp, err := os.CreateTemp(dir, partOf(os.Getpid())+"*")
	if err != nil {
		return failed("%s: cannot be written: %v", f.path, table.FileError(err))
	}
	f.temp = temp.Name()
	if f.drop {
		return o.cannot(ctx, f.path, temp.Close()) // its name is all that is wanted
	}
	err = f.write(stoppable{ctx, temp})
	if err == nil {
		err = temp.Sync()
	}
	if e := temp.Close(); err == nil {
		err = e
	}
	if err == nil {
		err = os.Chmod(f.temp, modeOf(f.path, f.like))
	}
	return o.cannot(ctx, f.path, err)
}

// partsOfHost is how the names of files begin that are being written on this machine;
// another's may lie in a folder that is shared.
var partsOfHost = sync.OnceValue(func() string {
	name, _ := os.Hostname() // without one all machines without one are this one
	h := fnv.New32a()
	h.Write([]byte(name))
	return fmt.Sprintf(".tenoff-%08x-", h.Sum32())
})

// partOf is how the names of files begin that a process is writing.
func partOf(pid int) string { return partsOfHost() + strconv.Itoa(pid) + "-" }

// removeStale removes what killed runs on this machine have left half written in a
// folder.
func removeStale(dir string) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return // told where a file is written there
	}
	for _, e := range entries {
		rest, ours := strings.CutPrefix(e.Name(), partsOfHost())
		pid, err := strconv.Atoi(strings.SplitN(rest, "-", 2)[0])
		if ours && err == nil && pid != os.Getpid() && !running(pid) {
			os.Remove(filepath.Join(dir, e.Name()))
		}
	}
}

// running tells whether there is a process; where that cannot be told there is.
func running(pid int) bool {
	p, err := os.FindProcess(pid)
	if err != nil {
		return false
	}
	defer p.Release()
	err = p.Signal(syscall.Signal(0))
	return !errors.Is(err, os.ErrProcessDone) && !errors.Is(err, syscall.ESRCH)
}

// outputClosed tells whether standard output was closed before the start. The runtime
// then puts /dev/null in its place, for reading and writing. A parent that wants no
// output may do the same, so that only a result that is to go there is refused.
func outputClosed() bool {
	to, err := os.Readlink("/proc/self/fd/1")
	info, errInfo := os.ReadFile("/proc/self/fdinfo/1")
	if err != nil || errInfo != nil || to != os.DevNull {
		return false
	}
	_, after, _ := strings.Cut(string(info), "flags:")
	flags, err := strconv.ParseInt(strings.TrimSpace(strings.SplitN(after, "\n", 2)[0]), 8, 64)
	return err == nil && flags&int64(os.O_RDWR) != 0
}

// modeOf gives the permissions of the first of some files that is there: a file
// that is replaced keeps its own.
func modeOf(paths ...string) fs.FileMode {
	for _, path := range paths {
		if info, err := os.Stat(path); err == nil {
			return info.Mode().Perm()
		}
	}
	return 0o644
}

func (o *outputs) cannot(ctx context.Context, path string, err error) error {
	switch {
	case err == nil:
		return nil
	case ctx.Err() != nil:
		return interrupted()
	}
	return failed("%s: cannot be written: %v; what was there before is still there", path, table.FileError(err))
}

func interrupted() error { return failed("interrupted; no file was left half written") }

// stoppable ends a write when the run is interrupted.
type stoppable struct {
	ctx context.Context
	w   io.Writer
}

func (s stoppable) Write(p []byte) (int, error) {
	if s.ctx.Err() != nil {
		return 0, s.ctx.Err()
	}
	return s.w.Write(p)
}

// stoppableIn ends a read when the run is interrupted, also one that waits for
// somebody to type.
type stoppableIn struct {
	ctx context.Context
	r   io.Reader
}

func (s stoppableIn) Read(p []byte) (int, error) {
	type got struct {
		n   int
		err error
	}
	done := make(chan got, 1)
	buffer := make([]byte, len(p)) // p is the caller's again after an interrupt
	go func() {
		n, err := s.r.Read(buffer)
		done <- got{n, err}
	}()
	select {
	case g := <-done:
		return copy(p, buffer[:g.n]), g.err
	case <-s.ctx.Done():
		return 0, s.ctx.Err()
	}
}

// watched keeps the first error of a writer whose callers do not look. A reader that
// leaves before the end has seen enough: that is no error, and the rest goes nowhere.
type watched struct {
	w    io.Writer
	err  error
	left bool
}

func (w *watched) Write(p []byte) (int, error) {
	if w.left {
		return len(p), nil
	}
	n, err := w.w.Write(p)
	if errors.Is(err, syscall.EPIPE) {
		w.left = true
		return len(p), nil
	}
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// same tells that a file holds what would be written anyway.
func same(data []byte) func([]byte) bool {
	return func(old []byte) bool { return bytes.Equal(old, data) }
}

func writeBytes(data []byte) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := w.Write(data)
		return err
	}
}
