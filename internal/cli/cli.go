// Package cli is the command line: commands, flags, help, errors and exit
// codes. It is the only package that knows of the terminal and the clock.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"evenfall/internal/shoot"
	"evenfall/internal/spelling"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The exit codes.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2   // usage, shoot or kit invalid
	exitOutOfReach  = 3   // the look cannot be held by any asked method at some step
	exitInterrupted = 130 // as shells count an interrupt
)

// Process is what the command line runs in.
type Process struct {
	Args   []string // without the program's name
	Stdout io.Writer
	Stderr io.Writer
	Getenv func(string) string
	Now    time.Time // with the system's zone as its location
}

// problem is an error with a hint and an exit code of its own.
type problem struct {
	code int
	what string
	hint string
}

func (p *problem) Error() string { return p.what }

// errOutOfReach is not shown: the plan has said it all.
var errOutOfReach = errors.New("the look cannot be held")

// Run runs the command line and returns the exit code.
func Run(ctx context.Context, p Process) int {
	help := &helpWriter{to: p.Stdout}
	root := newRoot(&p, help)
	root.SetArgs(p.Args)
	err := root.ExecuteContext(ctx)
	if ctx.Err() != nil {
		return exitInterrupted
	}
	if err == nil {
		err = help.err
	}
	return conclude(p.Stderr, err)
}

// helpWriter remembers its first error, which the writing of help does not
// report.
type helpWriter struct {
	to  io.Writer
	err error
}

func (w *helpWriter) Write(data []byte) (int, error) {
	n, err := w.to.Write(data)
	if w.err == nil {
		w.err = err
	}
	return n, err
}

// conclude writes an error as lines of what and hint, and returns its code.
func conclude(w io.Writer, err error) int {
	var faults shoot.Faults
	var own *problem
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errOutOfReach):
		return exitOutOfReach
	case errors.As(err, &faults):
		for _, f := range faults {
			printProblem(w, f.Error(), f.Hint)
		}
		return exitUsage
	case errors.As(err, &own):
		printProblem(w, own.what, own.hint)
		return own.code
	}
	printProblem(w, err.Error(), "")
	return exitFailed
}

func printProblem(w io.Writer, what, hint string) {
	fmt.Fprintf(w, "evenfall: %s\n", printable(what))
	if hint != "" {
		fmt.Fprintf(w, "hint: %s\n", printable(hint))
	}
}

// printable replaces what a terminal would obey instead of showing: controls,
// line separators, and marks that turn the direction of writing.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.In(r, unicode.Cc, unicode.Cf, unicode.Zl, unicode.Zp) {
			return utf8.RuneError
		}
		return r
	}, s)
}

// newRoot builds the tree of commands, that write their help to a writer.
func newRoot(p *Process, help io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "evenfall",
		Short: "Plan outdoor portraits lit with battery flashes while the daylight changes",
		Long: `evenfall computes the ambient light of sun and sky for every moment of a
session, solves aperture, shutter, ISO and flash power for every way of
working, and says by how many stops it misses where the kit cannot do it.`,
		Args:              noArguments,
		RunE:              func(c *cobra.Command, _ []string) error { return c.Help() },
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: false},
	}
	root.SetOut(help) // before the completion command, which keeps it
	root.SetErr(p.Stderr)
	root.SetFlagErrorFunc(flagProblem)
	root.AddCommand(newTimeline(p), newCompare(p), newCues(p), newExplain(p), newKit(p), newNew(p), newVersion(p))
	root.SetHelpCommand(newHelp())
	root.InitDefaultCompletionCmd()
	if c, _, err := root.Find([]string{"completion"}); err == nil {
		c.Args, c.RunE = noArguments, root.RunE
		for _, shell := range c.Commands() {
			shell.Args = noArguments
		}
	}
	return root
}

// flagProblem says what is wrong with a flag.
func flagProblem(c *cobra.Command, err error) error {
	what, hint := err.Error(), c.CommandPath()+" --help"
	var value *pflag.InvalidValueError
	var unknown *pflag.NotExistError
	switch {
	case errors.As(err, &value):
		// Of the flags only the switches look at their value so early.
		name := value.GetFlag().Name
		what, hint = fmt.Sprintf("--%s is either true or false, and was given %q", name, value.GetValue()), "--"+name
	case errors.As(err, &unknown) && unknown.GetSpecifiedShortnames() == "":
		var names []string
		c.Flags().VisitAll(func(f *pflag.Flag) { names = append(names, f.Name) })
		name := unknown.GetSpecifiedName()
		if near := spelling.Nearest(name, names); near != "" {
			hint = fmt.Sprintf("--%s in place of --%s", near, name)
		}
	}
	return &problem{exitUsage, what, hint}
}

// newHelp is the help command, with an error for what there is no help on.
func newHelp() *cobra.Command {
	return &cobra.Command{
		Use:   "help [command]",
		Short: "Help about any command",
		RunE: func(c *cobra.Command, args []string) error {
			about, rest, err := c.Root().Find(args)
			if err != nil {
				return &problem{exitUsage, err.Error(), "evenfall --help"}
			}
			if err := noArguments(about, rest); err != nil {
				return err
			}
			about.InitDefaultHelpFlag()
			return about.Help()
		},
	}
}

// noArguments refuses words after a command; where it has commands of its own
// they are one that does not exist.
func noArguments(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := c.CommandPath() + " --help"
	if !c.HasSubCommands() {
		return &problem{exitUsage, fmt.Sprintf("%s takes no argument, and was given %q", c.CommandPath(), args[0]), hint}
	}
	// Anything begins with an empty word.
	if near := c.SuggestionsFor(args[0]); len(near) > 0 && args[0] != "" {
		hint = c.CommandPath() + " " + near[0]
	}
	return &problem{exitUsage, fmt.Sprintf("there is no command %q", args[0]), hint}
}
