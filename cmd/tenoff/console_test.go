package main

import (
	"bytes"
	"errors"
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"
)

// example is one console block of the README or of a package comment.
type example struct {
	place   string // file:line of its first line
	at      int    // that line of README; 0 in a package comment
	section string // blocks of one section run in one folder, that of the demo where they read it
	lines   []string
}

// readmeDay is the day on which the README shows the program at work: ages of
// prices are reckoned to it.
var readmeDay = time.Date(2026, time.November, 25, 12, 0, 0, 0, time.UTC)

// TestConsole runs every "$ tenoff" line that users are shown and compares what
// is printed, so that no page promises what the program does not do. A line that
// holds only … stands for any number of lines. With -update README shows what is
// printed now.
func TestConsole(t *testing.T) {
	root, err := filepath.Abs(filepath.Join("..", ".."))
	if err != nil {
		t.Fatal(err)
	}
	examples := readmeExamples(t, filepath.Join(root, "README.md"))
	if len(examples) == 0 {
		t.Error("README.md shows no console block")
	}
	examples = append(examples, docExamples(t, root)...)
	was := now
	now = func() time.Time { return readmeDay }
	t.Cleanup(func() { now = was })
	var edits []edit
	for len(examples) > 0 {
		section := examples[0].section
		n := slices.IndexFunc(examples, func(e example) bool { return e.section != section })
		if n < 0 {
			n = len(examples)
		}
		t.Run(section, func(t *testing.T) {
			t.Chdir(t.TempDir())
			if afterDemo(examples[:n]) {
				var said bytes.Buffer
				if code := run(t.Context(), []string{"demo"}, strings.NewReader(""), &said, &said); code != exitDone {
					t.Fatal(said.String())
				}
			}
			for _, e := range examples[:n] {
				edits = append(edits, e.run(t)...)
			}
		})
		examples = examples[n:]
	}
	rewrite(t, filepath.Join(root, "README.md"), edits)
}

// afterDemo tells whether examples read the demo's files and do not write them.
func afterDemo(examples []example) (reads bool) {
	for _, e := range examples {
		text := strings.Join(e.lines, "\n")
		if strings.Contains(text, "$ tenoff demo") {
			return false
		}
		reads = reads || strings.Contains(text, "tenoff-demo/")
	}
	return reads
}

// edit puts lines of a page in the place of others.
type edit struct {
	at, n int // the first of those others, counted from 1, and how many
	lines []string
}

// rewrite makes edits to a page that are in the order of its lines.
func rewrite(t *testing.T, path string, edits []edit) {
	if len(edits) == 0 {
		return
	}
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(string(text), "\n")
	for _, e := range slices.Backward(edits) {
		lines = slices.Replace(lines, e.at-1, e.at-1+e.n, e.lines...)
	}
	if err := os.WriteFile(path, []byte(strings.Join(lines, "\n")), 0o644); err != nil {
		t.Fatal(err)
	}
}

// shownAnew is how many lines follow a command before the next one, and what to show
// there of what is printed, with the gaps that are shown now.
func shownAnew(rest, printed []string) (n int, show []string) {
	next := func(l string) bool { return strings.HasPrefix(l, "$ ") && !slices.Contains(printed, l) }
	if n = slices.IndexFunc(rest, next); n < 0 {
		n = len(rest)
	}
	shown := rest[:n]
	tail := []string{}
	if n < len(rest) && n > 0 && shown[n-1] == "" {
		shown, tail = shown[:n-1], []string{""}
	}
	return n, append(cut(printed, shown), tail...)
}

// readmeExamples takes the console blocks from a Markdown page; every heading
// opens a section.
func readmeExamples(t *testing.T, path string) []example {
	text, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		t.Fatalf("there is no %s", path)
	}
	if err != nil {
		t.Fatal(err)
	}
	var out []example
	section, fence := "top", ""
	for i, line := range strings.Split(string(text), "\n") {
		switch {
		case fence == "" && strings.HasPrefix(line, "```"):
			fence = strings.TrimPrefix(line, "```")
			if fence == "console" {
				out = append(out, example{place: filepath.Base(path) + ":" + strconv.Itoa(i+2), at: i + 2, section: "README " + section})
			}
			fence = "```" + fence
		case line == "```":
			fence = ""
		case fence == "```console":
			last := &out[len(out)-1]
			last.lines = append(last.lines, line)
		case fence == "" && strings.HasPrefix(line, "#"):
			section = strings.TrimSpace(strings.TrimLeft(line, "#"))
		}
	}
	return out
}

// docExamples takes the indented blocks with a "$ tenoff" line from the package
// comments; each package is a section.
func docExamples(t *testing.T, root string) []example {
	var out []example
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || filepath.Ext(path) != ".go" {
			return err
		}
		file, err := parser.ParseFile(token.NewFileSet(), path, nil, parser.PackageClauseOnly|parser.ParseComments)
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(root, path)
		if err == nil && file.Doc != nil {
			out = append(out, indented(filepath.ToSlash(rel), file.Doc)...)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func indented(place string, doc *ast.CommentGroup) []example {
	var out []example
	inside := false
	for _, line := range strings.Split(doc.Text(), "\n") {
		text, is := strings.CutPrefix(line, "\t")
		switch {
		case is && !inside && strings.HasPrefix(text, "$ "):
			out = append(out, example{place: place, section: place, lines: []string{text}})
			inside = true
		case inside && (is || line == ""):
			last := &out[len(out)-1]
			last.lines = append(last.lines, text)
		default:
			inside = false
		}
	}
	return out
}

// cut leaves out of what is printed what stands at the gaps: each piece that is shown
// begins where a line begins with the same words, and has as many lines; the last one goes
// to the end.
func cut(printed, shown []string) (out []string) {
	for at, piece := 0, 0; ; piece++ {
		gap := slices.Index(shown, "…")
		if gap < 0 && piece == 0 {
			return slices.Clone(printed)
		} else if gap < 0 {
			gap = len(shown)
		}
		if gap > 0 && piece > 0 {
			if i := slices.IndexFunc(printed[at:], func(l string) bool { return wordsOf(l) == wordsOf(shown[0]) }); i >= 0 {
				at += i
			}
		}
		if gap == len(shown) {
			return append(out, printed[at:]...)
		}
		end := min(at+gap, len(printed))
		out = append(out, printed[at:end]...)
		at = end
		out, shown = append(out, "…"), shown[gap+1:]
	}
}

// wordsOf is a line up to its first figure.
func wordsOf(line string) string {
	return strings.TrimSpace(strings.FieldsFunc(line+" 0", func(r rune) bool { return r >= '0' && r <= '9' })[0])
}

// run runs the commands of one block in the folder it stands in. With -update it gives
// the lines of README that are to be replaced.
func (e example) run(t *testing.T) (edits []edit) {
	t.Helper()
	lines := e.lines
	if len(lines) == 0 || !strings.HasPrefix(lines[0], "$ ") {
		t.Fatalf("%s: a console block begins with a line \"$ tenoff …\"", e.place)
	}
	for len(lines) > 0 {
		command, rest := joinCommand(lines)
		words := words(strings.TrimPrefix(command, "$ "))
		if words[0] != "tenoff" {
			t.Fatalf("%s: only tenoff is run here: %s", e.place, command)
		}
		var said bytes.Buffer
		run(t.Context(), words[1:], strings.NewReader(""), &said, &said)
		printed := strings.Split(strings.TrimRight(said.String(), "\n"), "\n")
		n := shownLines(rest, printed)
		if n < 0 && *update && e.at > 0 {
			var show []string
			n, show = shownAnew(rest, printed)
			edits = append(edits, edit{e.at + len(e.lines) - len(rest), n, show})
		}
		if n < 0 {
			t.Fatalf("%s: %s prints\n%s\nwhich is not what is shown", e.place, command, said.String())
		}
		lines = rest[n:]
	}
	return edits
}

// joinCommand puts a command that goes on after a backslash on one line.
func joinCommand(lines []string) (command string, rest []string) {
	for i, line := range lines {
		text, more := strings.CutSuffix(line, "\\")
		command += text
		if !more {
			return command, lines[i+1:]
		}
	}
	return command, nil
}

// words splits a command line as a shell does, with quotes.
func words(line string) []string {
	var out []string
	word, quote, open := "", rune(0), false
	for _, r := range line {
		switch {
		case quote != 0 && r == quote:
			quote = 0
		case quote == 0 && (r == '"' || r == '\''):
			quote, open = r, true
		case quote == 0 && r == ' ':
			if open {
				out = append(out, word)
			}
			word, open = "", false
		default:
			word, open = word+string(r), true
		}
	}
	if open {
		out = append(out, word)
	}
	return out
}

// shownLines tells how many of the lines that follow a command show what it
// printed, or -1. They end before the next command; but a line that looks like
// a command may also be printed, so each such end is tried.
func shownLines(shown, printed []string) int {
	for n := 0; n <= len(shown); n++ {
		if n < len(shown) && !strings.HasPrefix(shown[n], "$ ") {
			continue
		}
		want := shown[:n]
		for len(want) > 0 && want[len(want)-1] == "" {
			want = want[:len(want)-1] // an empty line before the next command
		}
		if len(want) == 0 {
			want = []string{""}
		}
		if fits(want, printed) {
			return n
		}
	}
	return -1
}

// fits compares lines, where … stands for any number of them.
func fits(want, got []string) bool {
	if len(want) == 0 {
		return len(got) == 0
	}
	if want[0] == "…" {
		return fits(want[1:], got) || len(got) > 0 && fits(want, got[1:])
	}
	return len(got) > 0 && strings.TrimRight(want[0], " ") == strings.TrimRight(got[0], " ") && fits(want[1:], got[1:])
}

// TestFits shows that the comparison of TestConsole can fail.
func TestFits(t *testing.T) {
	for _, c := range []struct {
		why, shown, printed string
		n                   int
	}{
		{"all the same", "a\nb", "a\nb", 2},
		{"one line more is printed", "a", "a\nb", -1},
		{"one line more is shown", "a\nb", "a", -1},
		{"another figure", "unit cost 7.54", "unit cost 7.55", -1},
		{"the rest is left out", "a\n…", "a\nb\nc", 2},
		{"nothing needs to be left out", "a\n…", "a", 2},
		{"the middle is left out", "a\n…\nc", "a\nb\nb\nc", 3},
		{"what comes after the gap differs", "a\n…\nd", "a\nb\nc", -1},
		{"the next command ends it", "a\n\n$ tenoff check", "a", 2},
		{"a command may be printed too", "a\n$ tenoff check\nb", "a\n$ tenoff check\nb", 3},
		{"nothing is printed", "$ tenoff check", "", 0},
		{"something is printed and nothing shown", "", "a", -1},
	} {
		if n := shownLines(strings.Split(c.shown, "\n"), strings.Split(c.printed, "\n")); n != c.n {
			t.Errorf("%s: %d lines, %d are wanted", c.why, n, c.n)
		}
	}
}
