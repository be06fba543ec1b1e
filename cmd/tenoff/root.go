package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"

	"tenoff/bom/table"
)

// version is set by the linker for a release; a build from source says which
// module version it is.
var version = ""

func versionText() string {
	if version != "" {
		return version
	}
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "(devel)"
}

// run is the whole program but for signals and for leaving the process.
func run(ctx context.Context, args []string, stdin io.Reader, stdout, stderr io.Writer) int {
	out := &watched{w: stdout}
	root := newRoot(stoppableIn{ctx, stdin}, out, stderr)
	root.SetArgs(args)
	if len(args) > 0 && strings.HasPrefix(args[0], cobra.ShellCompRequestCmd) {
		plainUsage(root)
	} else {
		takeOnce(root) // completion reads flags twice
	}
	err := root.ExecuteContext(context.WithValue(ctx, commandLine{}, args))
	var exit *exitError
	through := err == nil || errors.As(err, &exit) && exit.code == exitIncomplete
	switch {
	case !through && ctx.Err() != nil:
		err = interrupted() // whatever failed failed for that
	case out.err != nil:
		err = failed("standard output cannot be written: %v", table.FileError(out.err))
	case err == nil:
		return exitDone
	}
	if !errors.As(err, &exit) {
		// Cobra's own errors are all about the command line; ours say what was expected.
		exit = &exitError{code: exitUsage, message: strings.TrimSuffix(err.Error(), ".") + "\ntenoff: --help after a command lists its flags"}
	}
	say(root, exit.problems)
	if exit.message != "" {
		fmt.Fprintf(stderr, "tenoff: %s\n", strings.TrimSuffix(exit.message, "."))
	}
	return exit.code
}

func newRoot(stdin io.Reader, stdout, stderr io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "tenoff",
		Short: "what one unit costs when ten, forty or two hundred are made",
		Long: `tenoff reads the bill of materials of a small electronic device and a price
sheet that you keep, and answers what one unit costs at each batch size and why:
what to buy where and in which packs, what to print, fit and post, who pays
what, and how much money leaves the account first.

To see one, run tenoff demo; to begin with lists of your own, tenoff start DIR.`,
		Version:       versionText(),
		SilenceErrors: true,
		SilenceUsage:  true,
		Args:          knownCommand,

		SuggestionsMinimumDistance: 2,
		RunE: func(cmd *cobra.Command, _ []string) error {
			return cmd.Help()
		},
	}
	root.SetIn(stdin)
	root.SetOut(stdout)
	root.SetErr(stderr)
	root.SetVersionTemplate("tenoff {{.Version}}\n")
	root.AddCommand(newEstimate(), newExplain(), newSubstitute(), newStock(), newDifference(), newMeasure(), newCheck(), newStart(), newEnter(), newSettle(), newDemo())
	root.SetHelpCommand(newHelp())
	root.SetUsageTemplate(strings.ReplaceAll(root.UsageTemplate(), ".FlagUsages ", ".FlagUsagesWrapped 80 "))
	withoutFlagsInUse(root)
	root.InitDefaultCompletionCmd() // keeps the output that is set by now
	completion, _, _ := root.Find([]string{"completion"})
	completion.Args = knownCommand
	completion.Short = "write the completion of a shell"
	completion.Long = "completion writes what makes a shell complete the commands and flags of tenoff;\n--help after the name of a shell says how to load it"
	for _, shell := range completion.Commands() {
		shell.Short = "write the completion of " + shell.Name()
		shell.Long = strings.ReplaceAll(shell.Long, "you can install it via your OS's package manager", "install it with your system's\npackage manager")
	}
	completion.RunE = func(*cobra.Command, []string) error { return usage("completion needs the name of a shell") }
	return root
}

// withoutFlagsInUse keeps the usage of commands in one line: each names its flags, or lists
// them below.
func withoutFlagsInUse(cmd *cobra.Command) {
	cmd.DisableFlagsInUseLine = true
	for _, sub := range cmd.Commands() {
		withoutFlagsInUse(sub)
	}
}
