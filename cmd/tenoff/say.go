package main

import (
	"fmt"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom"
)

// saidAtMost caps the complaints of one run.
const saidAtMost = 50

// say prints complaints to standard error, errors first so that notes do not
// crowd them out, and counts those that it leaves out.
func say(cmd *cobra.Command, problems bom.Problems) {
	w := cmd.ErrOrStderr()
	args, _ := cmd.Context().Value(commandLine{}).([]string)
	sorted := slices.Clone(problems)
	for i := range sorted {
		sorted[i].Place.File = asTyped(sorted[i].Place.File, args, filepath.Separator)
	}
	sorted = sorted.Grouped()
	slices.SortStableFunc(sorted, func(a, b bom.Problem) int { return int(a.Severity) - int(b.Severity) })
	for _, p := range sorted[:min(len(sorted), saidAtMost)] {
		fmt.Fprintln(w, p.Graded())
	}
	if rest := sorted[min(len(sorted), saidAtMost):]; len(rest) > 0 {
		fmt.Fprintf(w, "and %s\n", counted(rest))
	}
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

// counted is "3 errors, 1 warning".
func counted(problems bom.Problems) string {
	problems = problems.Grouped()
	out := ""
	for _, s := range []struct {
		severity bom.Severity
		word     string
	}{{bom.Error, "error"}, {bom.Warning, "warning"}, {bom.Assumption, "assumption"}, {bom.Note, "note"}} {
		n := len(problems.Of(s.severity))
		if n == 0 {
			continue
		}
		if out != "" {
			out += ", "
		}
		out += plural(n, s.word)
	}
	if out == "" {
		return "no complaints"
	}
	return out
}

func plural(n int, word string) string {
	if n == 1 {
		return "1 " + word
	}
	return fmt.Sprintf("%d %ss", n, word)
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
