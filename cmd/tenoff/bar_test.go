package main

import (
	"bytes"
	"strings"
	"testing"
	"time"
)

func TestBar(t *testing.T) {
	for _, c := range []struct {
		why        string
		name       string
		done, size int64
		want       string
	}{
		{"nothing yet", "a.stl", 0, 10, "a.stl [" + strings.Repeat("-", 30) + "] 0 %"},
		{"half", "a.stl", 5, 10, "a.stl [" + strings.Repeat("#", 15) + strings.Repeat("-", 15) + "] 50 %"},
		{"all", "a.stl", 10, 10, "a.stl [" + strings.Repeat("#", 30) + "] 100 %"},
		{"a large file", "a.stl", 3 << 40, 4 << 40, "a.stl [" + strings.Repeat("#", 22) + strings.Repeat("-", 8) + "] 75 %"},
	} {
		if got := barLine(c.name, c.done, c.size); got != c.want {
			t.Errorf("%s: %q, want %q", c.why, got, c.want)
		}
	}
	if got := barLine(strings.Repeat("å", 200), 10, 10); len([]rune(got)) > 79 {
		t.Errorf("%d columns", len([]rune(got)))
	}
}

// Nothing is shown where nobody looks, nor in the first second.
func TestBarKeepsQuiet(t *testing.T) {
	var out bytes.Buffer
	b := newBar(&out, "a.stl")
	b.size, b.since = 10, time.Now().Add(-time.Minute)
	b.show(5)
	b.clear()
	if out.Len() > 0 {
		t.Errorf("no terminal, and yet %q", out.String())
	}
	b.to, b.since = &out, time.Now()
	b.show(5)
	if out.Len() > 0 {
		t.Errorf("at once %q", out.String())
	}
	b.since = time.Now().Add(-time.Minute)
	b.show(5)
	b.clear()
	if !strings.Contains(out.String(), "50 %") || !strings.HasSuffix(out.String(), "\r") {
		t.Errorf("%q", out.String())
	}
}
