// Package cli is the command line: commands, flags, help, errors and exit
// codes. It is the only package that knows of the terminal and the clock.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strings"
	"syscall"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report/text"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// The exit codes.
const (
	exitDone        = 0
	exitFailed      = 1
	exitUsage       = 2   // usage, shoot or kit invalid
	exitOutOfReach  = 3   // the look cannot be held by any asked method at some step
	exitInterrupted = 130 // by Ctrl-C; other signals as interruptedBy has them
	exitUnread      = 141 // nobody reads the results any more; as shells count a broken pipe
)

// Signal is the cause of a context that a signal has ended.
type Signal int

func (s Signal) Error() string { return fmt.Sprintf("ended by signal %d", int(s)) }

// interruptedBy is the exit code of what a context has ended: as shells count
// signals, 128 and the signal's number.
func interruptedBy(ctx context.Context) int {
	if s := Signal(0); errors.As(context.Cause(ctx), &s) && s > 0 {
		return 128 + int(s)
	}
	return exitInterrupted
}

// Process is what the command line runs in.
type Process struct {
	Args   []string // without the program's name
	Stdout io.Writer
	Stderr io.Writer
	Getenv func(string) string
	Now    time.Time // with the system's zone as its location
	Engine []byte    // that pages plan again with, as package page takes it; nil where none is inside
	Folder string    // where sources of the engine are looked for; empty for nowhere

	results io.Writer // Stdout, for no longer than the context lasts
	width   int       // columns of a terminal that errors go to; 0 where they go elsewhere
}

// say writes a remark on what was done; of an empty one nothing.
func (p *Process) say(text string) error {
	if text == "" {
		return nil
	}
	_, err := io.WriteString(p.Stderr, words.Safe(text)+"\n")
	return err
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

// Run runs the command line and returns the exit code. Once the context ends it
// returns at once, whatever it was waiting for; a file that it had not written
// whole is then as it was.
func Run(ctx context.Context, p Process) int {
	if width, terminal := p.columnsOf(p.Stderr); terminal {
		p.width = width
	}
	p.results, p.Stderr = &patientWriter{ctx, p.Stdout}, &patientWriter{ctx, p.Stderr}
	help := &helpWriter{to: p.results}
	root := newRoot(&p, help)
	root.SetArgs(p.Args)
	err := root.ExecuteContext(ctx)
	if err == nil {
		err = help.err
	}
	if err != nil && !errors.Is(err, errOutOfReach) && ctx.Err() != nil {
		return interruptedBy(ctx)
	}
	if errors.Is(err, syscall.EPIPE) { // where the signal of it is not heard
		return exitUnread
	}
	return p.conclude(err)
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

// mostFaults is how many faults are told; the rest is counted.
const mostFaults = 50

// conclude writes an error as lines of what and hint, and returns its code.
func (p *Process) conclude(err error) int {
	var faults shootfile.Faults
	var own *problem
	var large plan.TooLarge
	switch {
	case err == nil:
		return exitDone
	case errors.Is(err, errOutOfReach):
		return exitOutOfReach
	case errors.As(err, &faults):
		for i, f := range faults {
			if i == mostFaults {
				p.printProblem(fmt.Sprintf("%d more faults", len(faults)-mostFaults),
					"evenfall new, for a shoot that has none")
				break
			}
			p.printProblem(f.Error(), f.Hint)
		}
		return exitUsage
	case errors.As(err, &own):
		p.printProblem(own.what, own.hint)
		return own.code
	case errors.As(err, &large):
		hint := "--method sync"
		if large.ByOne > plan.MostPictures {
			hint += " --from 17:00 --to 18:00"
		}
		p.printProblem(large.Error(), hint)
		return exitUsage
	}
	p.printProblem(err.Error(), "")
	return exitFailed
}

// printProblem writes what is wrong and a hint, a line each; on a terminal the
// lines are broken between words.
func (p *Process) printProblem(what, hint string) {
	p.printWrapped("evenfall: ", what)
	if hint != "" {
		p.printWrapped("hint: ", hint)
	}
}

func (p *Process) printWrapped(head, message string) {
	message = words.Safe(message)
	if p.width > 0 {
		message = wrapped(message, p.width-len(head), "\n"+strings.Repeat(" ", len(head)))
	}
	fmt.Fprintf(p.Stderr, "%s%s\n", head, message)
}

// typed is what stands in a message to be typed: a command, a flag with its
// value, a line of a file.
var typed = regexp.MustCompile(`evenfall(?: (?:'[^']*'|\S*[^\s,;]))+|` +
	`--[a-z-]+ (?:'[^']*'|-?[^\s-]\S*)|[a-z_]+ = (?:"[^"]*"|\[.*\]|\S+)`)

// unbroken stands for a blank that no line is broken at; messages have no control
// characters.
const unbroken = "\x00"

// wrapped breaks a message between words into lines of some columns, with a break
// between them. What is to be typed stays on one line, however long.
func wrapped(message string, columns int, lineBreak string) string {
	whole := typed.ReplaceAllStringFunc(message, func(s string) string { return strings.ReplaceAll(s, " ", unbroken) })
	return strings.ReplaceAll(broken(whole, columns, lineBreak), unbroken, " ")
}

// broken breaks prose between words, as wrapped does with a message.
func broken(prose string, columns int, lineBreak string) string {
	var b strings.Builder
	used := 0
	for i, word := range strings.Split(prose, " ") {
		size := text.Columns(strings.ReplaceAll(word, unbroken, " "))
		switch {
		case i == 0:
		case used+1+size > columns:
			b.WriteString(lineBreak)
			used = 0
		default:
			b.WriteString(" ")
			used++
		}
		b.WriteString(word)
		used += size
	}
	return b.String()
}

// Commands returns the tree of commands as the manual describes it; they cannot be
// run.
func Commands() *cobra.Command {
	return newRoot(&Process{Getenv: func(string) string { return "" }}, io.Discard)
}

// newRoot builds the tree of commands, that write their help to a writer.
func newRoot(p *Process, help io.Writer) *cobra.Command {
	root := &cobra.Command{
		Use:   "evenfall",
		Short: "Plan outdoor portraits lit with battery flashes while the daylight changes",
		Long: `evenfall computes the ambient light of sun and sky for every moment of a
session, solves aperture, shutter, ISO and flash power for every way of
working, and says by how many stops it misses where the kit cannot do it.

It exits with 0 when done, 3 when at some step no asked method brings the look
off, 2 when the shoot, the kit or the command line is wrong, 1 when something
else failed, 130 when interrupted, and 141 when nobody reads its output any
more.`,
		Args:              noArguments,
		RunE:              func(c *cobra.Command, _ []string) error { return c.Help() },
		SilenceErrors:     true,
		SilenceUsage:      true,
		CompletionOptions: cobra.CompletionOptions{HiddenDefaultCmd: false},
	}
	root.SetOut(help) // before the completion command, which keeps it
	root.SetErr(p.Stderr)
	root.SetFlagErrorFunc(p.flagProblem)
	root.SetUsageFunc(p.usage)
	root.SetHelpFunc(p.help)
	root.AddCommand(newTimeline(p), newCompare(p), newCues(p), newSchedule(p), newAdjust(p), newSheet(p),
		newExplain(p), newKit(p), newPlace(p), newNew(p), newVersion(p))
	root.SetHelpCommand(newHelp(p))
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
func (p *Process) flagProblem(c *cobra.Command, err error) error {
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
		what = fmt.Sprintf("%s has no flag --%s", c.Name(), name)
		if sub, _, err := c.Find([]string{name}); err == nil && sub != c {
			hint = sub.CommandPath()
			break
		}
		near := shootfile.Nearest(name, names)
		if near != "" {
			hint = fmt.Sprintf("--%s in place of --%s", near, name)
		}
		if meant := p.meant(c, name, names); meant != "" {
			hint = meant
		}
	case errors.As(err, &unknown):
		if whole := p.rejoined("-" + unknown.GetSpecifiedShortnames()); whole != "" {
			what, hint = fmt.Sprintf("%q is left over", "-"+unknown.GetSpecifiedShortnames()), whole
		}
	}
	return &problem{exitUsage, what, hint}
}

// meant is what to type for a flag that a command of shoots does not have: what
// it is called in the file, or a line there; empty for any other word.
func (p *Process) meant(c *cobra.Command, name string, names []string) string {
	if c.Flags().Lookup("at") == nil {
		return ""
	}
	value := p.valueOf(name)
	given := "--" + name
	if value != "" {
		given += " " + shootfile.Typed(value)
	}
	if better := p.asWish(name); better != "" && searches(c) {
		return better
	}
	if shootfile.IsWish(name) {
		return "evenfall schedule " + given
	}
	meant := shootfile.Meant(name, value, names)
	if !strings.HasPrefix(meant, "--") {
		return meant
	}
	return meant + " in place of " + given
}

// valueOf is the value that was typed for a flag; empty where there is none.
func (p *Process) valueOf(flag string) string {
	for i, word := range p.Args {
		if value, joined := strings.CutPrefix(word, "--"+flag+"="); joined {
			return value
		}
		if word == "--"+flag && i+1 < len(p.Args) && !strings.HasPrefix(p.Args[i+1], "--") {
			return p.Args[i+1]
		}
	}
	return ""
}

// noArguments refuses words after a command; where it has commands of its own
// they are one that does not exist.
func noArguments(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := c.CommandPath() + " --help"
	if !c.HasSubCommands() {
		return &problem{exitUsage, fmt.Sprintf("%s takes no arguments; got %q", c.Name(), args[0]), hint}
	}
	var names []string
	for _, sub := range c.Commands() {
		names = append(names, sub.Name())
	}
	switch near := shootfile.Nearest(args[0], names); {
	case near != "":
		hint = c.CommandPath() + " " + near
	case !c.HasParent() && strings.HasSuffix(args[0], ".toml"):
		hint = c.CommandPath() + " timeline " + shootfile.Typed(args[0])
	}
	return &problem{exitUsage, fmt.Sprintf("unknown command %q", args[0]), hint}
}
