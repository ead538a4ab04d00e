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

	"evenfall/internal/shoot"

	"github.com/spf13/cobra"
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
	root := newRoot(&p)
	root.SetArgs(p.Args)
	root.SetOut(p.Stdout)
	root.SetErr(p.Stderr)
	err := root.ExecuteContext(ctx)
	if ctx.Err() != nil {
		return exitInterrupted
	}
	return conclude(p.Stderr, err)
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

// printable quotes what must not reach a terminal.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return '\ufffd'
		}
		return r
	}, s)
}

// newRoot builds the tree of commands.
func newRoot(p *Process) *cobra.Command {
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
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error {
		return &problem{exitUsage, err.Error(), c.CommandPath() + " --help"}
	})
	root.AddCommand(newTimeline(p), newVersion(p))
	return root
}

// noArguments refuses words after a command; on the root they are a command
// that does not exist.
func noArguments(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	if c.HasParent() {
		return &problem{exitUsage, fmt.Sprintf("%s takes no argument, and was given %q", c.CommandPath(), args[0]), c.CommandPath() + " --help"}
	}
	hint := "evenfall --help"
	if near := c.SuggestionsFor(args[0]); len(near) > 0 {
		hint = "evenfall " + near[0]
	}
	return &problem{exitUsage, fmt.Sprintf("there is no command %q", args[0]), hint}
}
