package toolpath

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"regexp"

	"tenoff/bom"
)

// Options are what the reader is told besides the file.
type Options struct {
	Name     string              // the file, as the user named it
	Limits   bom.KinematicLimits // of the printer; figures not over 0 are those of bom.DefaultLimits
	Filament Filament
	Bytes    int64             // the longest file; 0: DefaultBytes
	Progress func(bytes int64) // called now and then with the bytes read so far, where not nil
}

// Filament is what the tools extrude.
type Filament struct {
	DiameterMM float64 // 0: DefaultDiameter
	Density    float64 // g/cm³; 0: not known
}

const (
	// DefaultDiameter is that of most filament, in mm (common practice, no source).
	DefaultDiameter = 1.75
	// DefaultBytes is the longest file that is read.
	DefaultBytes = 16 << 30
)

// area is the cross-section of the filament, mm².
func (o *Options) area() float64 {
	d := o.Filament.DiameterMM
	return math.Pi / 4 * d * d
}

// narrow is what a first layer may be wider by that is pressed on to the bed, or
// the foot of a round edge, mm (common practice, no source).
const narrow = 2

// headSize is how much of a file is looked at to tell what it is.
const headSize = 1024

// Lines and problems are bounded: no line of a toolpath is longer, and who has
// that many faults wants to see the first.
const (
	longestLine = 64 << 10
	maxFaults   = 20
)

// Read reads a toolpath to its end. The result is nil where the problems hold an
// error. Places have the line as their row.
func Read(r io.Reader, o Options) (*Result, bom.Problems) {
	o.Limits = o.Limits.OrDefault()
	if !(o.Filament.DiameterMM > 0) {
		o.Filament.DiameterMM = DefaultDiameter
	}
	if o.Bytes <= 0 {
		o.Bytes = DefaultBytes
	}
	in := bufio.NewReaderSize(bom.Watch(r, 0, o.Progress), longestLine)
	head, _ := in.Peek(headSize) // what is wrong is met again when it is read
	if what, want := bom.Stranger(head); what != "" {
		return nil, bom.Problems{{Place: bom.Place{File: o.Name}, What: what, Want: want}}
	}
	result := &Result{}
	d := &reading{machine: newMachine(o, result), o: o}
	if err := d.lines(in); err != nil {
		d.problems.Errorf(bom.Place{File: o.Name, Row: int(d.line)}, "", "a whole, readable file", "the toolpath cannot be read: %v", err)
	}
	plan := &d.machine.plan
	plan.settle(plan.n)
	result.Seconds, result.Layers = plan.seconds, len(d.machine.heights)
	result.sum(o, &d.machine.print)
	d.judge(result)
	if d.problems.Failed() {
		return nil, d.problems
	}
	return result, d.problems
}

type reading struct {
	machine  *machine
	o        Options
	block    block
	line     int64
	done     int64 // bytes before the current line
	faults   int
	coded    bool // a line begins as one of G-code does
	problems bom.Problems
}

// lines parts the stream at line ends.
func (d *reading) lines(r io.Reader) error {
	next := int64(0) // bytes up to the next line
	s := bufio.NewScanner(r)
	s.Buffer(make([]byte, longestLine), longestLine)
	s.Split(func(data []byte, atEOF bool) (int, []byte, error) {
		n, line, err := bufio.ScanLines(data, atEOF)
		next += int64(n)
		return n, line, err
	})
	for !d.machine.ended && d.faults <= maxFaults && s.Scan() {
		d.one(s.Bytes())
		if d.done = next; d.done > d.o.Bytes {
			return fmt.Errorf("it is longer than %d bytes, the limit; raise it with --limit print-mb=… if the file is right", d.o.Bytes)
		}
	}
	switch err := s.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return fmt.Errorf("line %d, from byte %d, is longer than %d bytes", d.line+1, d.done, longestLine)
	case err != nil:
		return fmt.Errorf("byte %d: %w", d.done, err)
	}
	return nil
}

// one reads one line.
func (d *reading) one(line []byte) {
	if d.line++; d.line == 1 {
		line = bytes.TrimPrefix(line, []byte("\xef\xbb\xbf")) // the mark that some editors write
	}
	d.coded = d.coded || codedLine.Match(line)
	err := d.block.parse(line)
	if err == nil {
		err = d.machine.carryOut(&d.block)
	}
	if err == nil {
		return
	}
	if d.faults++; d.faults > maxFaults {
		d.problems.Errorf(bom.Place{File: d.o.Name, Row: int(d.line)}, "", "a toolpath in G-code", "there are more faults, the rest is not read")
		return
	}
	if i := bytes.IndexByte(line, 0); i >= 0 {
		d.problems.Errorf(bom.Place{File: d.o.Name, Row: int(d.line)}, "", "a toolpath in G-code", "byte %d is zero: the file is not text", d.done+int64(i))
		d.faults = maxFaults + 1
		return
	}
	d.problems.Errorf(bom.Place{File: d.o.Name, Row: int(d.line)}, err.found, err.want, "%s", err.what)
}

// codedLine begins with a G, M or T word.
var codedLine = regexp.MustCompile(`^[ \t]*[GMTgmt][0-9]`)

// judge adds what is to be said about the whole.
func (d *reading) judge(r *Result) {
	at := bom.Place{File: d.o.Name}
	if !d.coded && len(d.problems) > 1 { // a list, a letter: none of its lines is of interest
		at.Row = d.problems[0].Place.Row
		d.problems = nil
		d.problems.Errorf(at, "", "a toolpath in G-code", "the file is not G-code: no line begins with a G, M or T word")
		return
	}
	if r.Tools == 0 && !d.problems.Failed() {
		want := "a toolpath that prints"
		if r.moves == 0 {
			d.problems.Errorf(at, "", want, "the toolpath moves nothing")
		} else {
			d.problems.Errorf(at, "", want, "the toolpath extrudes nothing")
		}
	}
	if text, total := d.machine.unknown.listed(); total > 0 {
		words := "1 word is not known and was ignored"
		if total > 1 {
			words = fmt.Sprintf("%d words are not known and were ignored", total)
		}
		d.problems.Notef(at, "%s: %s", words, text)
	}
	if x, y := r.brim.max[0]-r.brim.min[0], r.brim.max[1]-r.brim.min[1]; x-r.Size()[0] > narrow || y-r.Size()[1] > narrow {
		d.problems.Notef(at, "the size is without what hangs on to the piece in the lowest layer, such as a brim, with which it is %.4g × %.4g mm; Plate spacing mm keeps room for it", x, y)
	}
	if d.machine.feedless {
		d.problems.Warnf(at, "", "F before the first G1", "moves before any feed rate were timed at the printer's limits")
	}
	if d.machine.uncounted {
		d.problems.Warnf(at, "", "", "the layers are too many to be counted")
	}
}
