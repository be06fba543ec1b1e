package main

import (
	"fmt"
	"io"
	"strings"
	"time"

	"tenoff/bom"
)

// bar shows on a terminal how far a file has been read, once that takes over a
// second.
type bar struct {
	to    io.Writer // nil where nobody looks
	name  string
	size  int64
	since time.Time
	shown string
}

// barDelay is how long a file may take before a bar is shown.
const barDelay = time.Second

const barWidth = 30

func newBar(w io.Writer, name string) *bar {
	b := &bar{name: bom.Printable(name), since: time.Now()}
	if terminalWidth(w) > 0 {
		b.to = w
	}
	return b
}

// show is told the bytes that have been read.
func (b *bar) show(done int64) {
	if b.to == nil || b.size <= 0 || time.Since(b.since) < barDelay {
		return
	}
	if line := barLine(b.name, min(done, b.size), b.size); line != b.shown {
		b.clear()
		fmt.Fprint(b.to, line)
		b.shown = line
	}
}

// barLine is "case.stl [######----] 60 %", in at most 80 columns.
func barLine(name string, done, size int64) string {
	const room = 80 - barWidth - len(" [] 100 %") - 1
	if r := []rune(name); len(r) > room {
		name = "…" + string(r[len(r)-room+1:])
	}
	full := int(done * barWidth / size)
	return fmt.Sprintf("%s [%s%s] %d %%", name, strings.Repeat("#", full), strings.Repeat("-", barWidth-full), done*100/size)
}

// clear takes the bar away.
func (b *bar) clear() {
	if b.shown != "" {
		fmt.Fprintf(b.to, "\r%s\r", strings.Repeat(" ", len([]rune(b.shown))))
		b.shown = ""
	}
}
