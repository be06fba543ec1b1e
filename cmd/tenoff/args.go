package main

import (
	"errors"
	"fmt"
	"strconv"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// between asks for a number of arguments in our own words.
func between(least, most int, what string) cobra.PositionalArgs {
	return func(cmd *cobra.Command, args []string) error {
		switch {
		case len(args) < least:
			return usage("%s needs %s", cmd.Name(), what)
		case len(args) > most:
			return usage("%s takes %s, and no %q besides", cmd.Name(), what, args[most])
		}
		return nil
	}
}

// takeOnce makes a fault of a flag that is given twice where one is taken: the last
// one would win unseen.
func takeOnce(cmd *cobra.Command) {
	cmd.Flags().VisitAll(func(f *pflag.Flag) {
		switch f.Value.(type) {
		case pflag.SliceValue, *filesFlag:
		default:
			f.Value = &single{Value: f.Value}
		}
	})
	for _, sub := range cmd.Commands() {
		takeOnce(sub)
	}
}

// errNoValue is that of --json --date 2026-11-25, which would write a file of the name --date.
var errNoValue = errors.New("its value is missing")

func isFlag(s string) bool { return strings.HasPrefix(s, "--") }

// single is a flag's value that is set once.
type single struct {
	pflag.Value
	set bool
}

// Set takes the first value and refuses a second.
func (o *single) Set(s string) error {
	switch {
	case o.set:
		return errors.New("given twice, and one is taken")
	case isFlag(s):
		return errNoValue
	}
	o.set = true
	return o.Value.Set(s)
}

// filesFlag is a flag that names files one by one.
type filesFlag []string

func (f filesFlag) String() string { return strings.Join(f, ", ") }
func (f filesFlag) Type() string   { return "FILE" }

// Set takes one more name.
func (f *filesFlag) Set(s string) error {
	switch {
	case strings.TrimSpace(s) == "":
		return errors.New("expected the name of a file")
	case isFlag(s):
		return errNoValue
	}
	*f = append(*f, s)
	return nil
}

// at is the old or the new of two revisions; the same where only one is given, and
// empty where none is.
func (f filesFlag) at(i int) filesFlag {
	i = min(i, len(f)-1)
	return f[max(i, 0) : i+1]
}

// number is a flag's value that is a whole number within bounds.
type number[T int | uint64] struct {
	to          *T
	least, most T // most 0: no bound
}

func (n number[T]) String() string {
	if n.to == nil || *n.to == 0 {
		return ""
	}
	return fmt.Sprint(*n.to)
}

// Type is what pflag calls the value where the usage does not.
func (number[T]) Type() string { return "N" }

// Set takes a number within the bounds.
func (n number[T]) Set(s string) error {
	v, err := strconv.ParseUint(strings.TrimSpace(s), 10, 64)
	in := T(v)
	switch {
	case err == nil && uint64(in) == v && in >= n.least && (n.most == 0 || in <= n.most):
		*n.to = in
		return nil
	case n.most > 0:
		return fmt.Errorf("expected a whole number from %d to %d", n.least, n.most)
	}
	return fmt.Errorf("expected a whole number from %d on", n.least)
}

// flagsOnly is for commands whose files are named by flags.
func flagsOnly(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	return usage("%s does not know what %q is; a bill of materials goes after --bom, a price sheet after --prices", cmd.Name(), args[0])
}

// knownCommand is for a command that stands for those under it: a word after it
// that is none of them is a slip, and the one that was meant is told.
func knownCommand(cmd *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if near := cmd.SuggestionsFor(args[0]); len(near) > 0 {
		return usage("there is no command %q; did you mean %s", args[0], strings.Join(near, " or "))
	}
	return usage("there is no command %q", args[0])
}

// newHelp is cobra's help command, but that a command that is not there is a
// fault and not a page.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [COMMAND]",
		Short: "show what a command does and its flags",
		RunE: func(cmd *cobra.Command, args []string) error {
			found, rest, err := cmd.Root().Find(args)
			if err != nil {
				return err
			}
			if len(rest) > 0 {
				return knownCommand(found, rest)
			}
			return found.Help()
		},
	}
}
