package main

import (
	"errors"
	"fmt"
	"math"
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
		case pflag.SliceValue, *revisions:
		default:
			f.Value = &single{Value: f.Value}
		}
	})
	for _, sub := range cmd.Commands() {
		takeOnce(sub)
	}
}

// single is a flag's value that is set once.
type single struct {
	pflag.Value
	set bool
}

// Set takes the first value and refuses a second.
func (o *single) Set(s string) error {
	if o.set {
		return errors.New("given twice, and one is taken")
	}
	o.set = true
	return o.Value.Set(s)
}

// whole is a flag's value that is a whole number from 1 on.
type whole struct {
	to   *int
	most int // 0: no bound
}

func (w whole) String() string {
	if w.to == nil || *w.to == 0 {
		return ""
	}
	return strconv.Itoa(*w.to)
}

// Type is what pflag calls the value where the usage does not.
func (whole) Type() string { return "N" }

// Set takes a number within the bounds.
func (w whole) Set(s string) error {
	n, err := strconv.Atoi(strings.TrimSpace(s))
	switch {
	case err == nil && n >= 1 && (w.most == 0 || n <= w.most):
		*w.to = n
		return nil
	case w.most > 0:
		return fmt.Errorf("expected a whole number from 1 to %d", w.most)
	}
	return errors.New("expected a whole number from 1 on")
}

// seed is a flag's value that draws start from.
type seed struct{ to *uint64 }

func (s seed) String() string {
	if s.to == nil {
		return ""
	}
	return strconv.FormatUint(*s.to, 10)
}

// Type is what pflag calls the value where the usage does not.
func (seed) Type() string { return "NUMBER" }

// Set takes a number of 64 bits.
func (s seed) Set(text string) error {
	n, err := strconv.ParseUint(strings.TrimSpace(text), 10, 64)
	if err != nil {
		return fmt.Errorf("expected a whole number from 0 to %d", uint64(math.MaxUint64))
	}
	*s.to = n
	return nil
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
