package main

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"tenoff/bom"
	"tenoff/reports"
	"tenoff/reports/terminal"
)

// saidAtMost caps the complaints of one run.
const saidAtMost = 50

// say prints complaints to standard error, errors first so that notes do not
// crowd them out, and counts those that it leaves out.
func say(cmd *cobra.Command, problems bom.Problems) {
	w := cmd.ErrOrStderr()
	sorted := bySeverity(shownAsTyped(cmd, problems).Grouped())
	for _, p := range sorted[:min(len(sorted), saidAtMost)] {
		sayLine(w, p.Graded())
	}
	if rest := sorted[min(len(sorted), saidAtMost):]; len(rest) > 0 {
		sayLine(w, "and "+counted(rest))
	}
}

// bySeverity puts errors first, then warnings, assumptions and notes.
func bySeverity(problems bom.Problems) bom.Problems {
	slices.SortStableFunc(problems, func(a, b bom.Problem) int { return int(a.Severity) - int(b.Severity) })
	return problems
}

// sayBriefly prints a line for each cause of the warnings, or every place of all that there
// is to say.
func sayBriefly(cmd *cobra.Command, problems bom.Problems, verbose bool) {
	w := cmd.ErrOrStderr()
	if verbose {
		for _, p := range bySeverity(shownAsTyped(cmd, problems)) {
			sayLine(w, p.Graded())
		}
		return
	}
	width := cmp.Or(terminalWidth(w), math.MaxInt) // a file or a pipe takes the whole line
	for _, group := range shownAsTyped(cmd, problems.Of(bom.Warning)).ByCause() {
		fmt.Fprintln(w, briefly(group, width))
	}
}

// briefly is a line for complaints of one cause: the first of them, its place, and how many
// more there are.
func briefly(group bom.Problems, width int) string {
	p := group[0]
	at := p.Place
	at.File = path.Base(filepath.ToSlash(at.File))
	if at.File == "." {
		at.File = ""
	}
	tail := at.String()
	if more := len(group) - 1; more > 0 {
		tail = strings.TrimPrefix(tail+" and "+strconv.Itoa(more)+" more", " ")
	}
	if tail != "" {
		tail = " (" + bom.Printable(tail) + ")"
	}
	if p.Found == "" && p.Each != "" {
		p.Found = strings.Trim(p.Each, `"`)
	}
	p.Place = bom.Place{}
	const least = 30 // of the words, whatever the length of a file's name
	if room := width - reports.Width(tail); room < least {
		tail = terminal.Clip(tail, width-least)
	}
	if reports.Width(p.Graded()+tail) > width {
		p.Want, p.Hint = "", "" // what is wrong goes before what would be right
	}
	return terminal.Clip(p.Graded(), width-reports.Width(tail)) + tail
}

// shownAsTyped are complaints whose files are named as on the command line.
func shownAsTyped(cmd *cobra.Command, problems bom.Problems) bom.Problems {
	args, _ := cmd.Context().Value(commandLine{}).([]string)
	out := slices.Clone(problems)
	for i := range out {
		out[i].Place.File = asTyped(out[i].Place.File, args, filepath.Separator)
	}
	return out
}

// sayLine prints a line, on a terminal wrapped at its width.
func sayLine(w io.Writer, line string) {
	if width := terminalWidth(w); width > 0 {
		line = strings.Join(terminal.Wrap(line, "  ", width), "\n")
	}
	fmt.Fprintln(w, line)
}

// terminalWidth is the number of columns of a terminal, 0 of anything else.
func terminalWidth(w io.Writer) int {
	f, ok := w.(*os.File)
	if !ok {
		return 0
	}
	width, _, err := term.GetSize(int(f.Fd()))
	if err != nil {
		return 0
	}
	return width
}

// countsBriefly tells how much there is to say of a run, by cause: "2 warnings (9 places), 1
// assumption"; without the places where that is wider than the answer.
func countsBriefly(problems bom.Problems, verbose bool) string {
	var words, wide []string
	for _, s := range severities[1:] {
		places := problems.Of(s.severity)
		causes := len(places.ByCause())
		if causes == 0 {
			continue
		}
		text := reports.Counted(causes, s.word)
		words = append(words, text)
		if len(places) > causes {
			text += " (" + reports.Counted(len(places), "place") + ")"
		}
		wide = append(wide, text)
	}
	if len(words) == 0 {
		return "no warnings, nothing assumed"
	}
	tail := "; --verbose lists all"
	if verbose {
		tail = ""
	}
	if line := strings.Join(wide, ", ") + tail; reports.Width(line) <= terminal.Width {
		return line
	}
	return strings.Join(words, ", ") + tail
}

// commandLine is the key of the command line in a command's context.
type commandLine struct{}

// asTyped gives a path, which has forward slashes inside the program, as the
// command line has it, or a folder that it lies in. The separator is that of the
// system.
func asTyped(file string, args []string, separator rune) string {
	slashed := func(p string) string { return path.Clean(strings.ReplaceAll(p, string(separator), "/")) }
	shown, longest := file, 0
	for _, arg := range args {
		if _, value, ok := strings.Cut(arg, "="); ok && strings.HasPrefix(arg, "-") {
			arg = value
		}
		arg, _, _ = strings.Cut(arg, "#")
		theirs := strings.ContainsRune(arg, separator)
		for arg != "" {
			within := slashed(arg)
			rest, ok := strings.CutPrefix(file, within)
			if ok && len(within) > longest && (rest == "" || rest[0] == '/') {
				if theirs {
					rest = strings.ReplaceAll(rest, "/", string(separator))
				}
				shown, longest = strings.TrimRight(arg, "/"+string(separator))+rest, len(within)
			}
			arg = arg[:max(0, strings.LastIndexAny(arg, "/"+string(separator)))]
		}
	}
	return shown
}

// severities are what complaints are counted by.
var severities = []struct {
	severity bom.Severity
	word     string
}{{bom.Error, "error"}, {bom.Warning, "warning"}, {bom.Assumption, "assumption"}, {bom.Note, "note"}}

// counted is "3 errors, 1 warning".
func counted(problems bom.Problems) string {
	problems = problems.Grouped()
	var words []string
	for _, s := range severities {
		if n := len(problems.Of(s.severity)); n > 0 {
			words = append(words, reports.Counted(n, s.word))
		}
	}
	return cmp.Or(strings.Join(words, ", "), "no complaints")
}

// exitError carries the exit code of a run that did not end well.
type exitError struct {
	code     int
	message  string       // empty where the complaints say it all
	problems bom.Problems // printed before the message
}

func (e *exitError) Error() string { return e.message }

// The exit codes.
const (
	exitDone       = 0
	exitInput      = 1
	exitUsage      = 2
	exitIncomplete = 3
)

func usage(format string, args ...any) error {
	return &exitError{code: exitUsage, message: fmt.Sprintf(format, args...)}
}

func failed(format string, args ...any) error {
	return &exitError{code: exitInput, message: fmt.Sprintf(format, args...)}
}

func refused(problems bom.Problems) error {
	return &exitError{code: exitInput, problems: problems, message: counted(problems) + "; nothing was written"}
}
