package cli

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strconv"

	"evenfall/internal/report"
	"evenfall/internal/season"
	"evenfall/internal/shootfile"
	"evenfall/internal/words/windows"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// scheduling is a search over dates for one shoot or several.
type scheduling struct {
	*planning
	files []string // of the shoots; none for that of --shoot, or the demonstration
	most  string
}

func newSchedule(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "schedule [FILE...] [flags]",
		Short: "Which days and hours give the wanted light, with this kit",
		Long: `schedule looks through dates for the windows in which all that is wished for
holds at every minute: the light, the sun's height and side, and the look of the
shoot by one way of working with the flash at one place. It says which is the
best and what it comes to, then lists the others, the best first; --why has the
reasons of each. Where nothing fits it says which wish is in the way and by how
little, and what to ask instead.

The shoot's own day and hours do not count. Without --dates it looks at a year
from today; without hours or a light asked for, not at the night (sun more than
6 degrees down). With --odds or --forecast it counts with several skies, and
what is likely to be of use comes first. Nothing is fetched.

Several shoots are looked at one after another. --format icalendar, or an
output's name that ends in .ics, writes the windows for a calendar program.

It exits with 3 when for some shoot nothing fits.`,
		Example: `  evenfall schedule --dates 2027-05 --on weekend --light golden-hour
  evenfall schedule harbour.toml --dates 2027 --between 15:00..21:30 --at-least 45m --sun-from backlit
  evenfall schedule harbour.toml --dates 2027-05 --odds clear=40,broken=30,overcast=30 --why
  evenfall schedule harbour.toml meadow.toml --dates 2027-09 -o dates.ics`,
	}
	g := &scheduling{planning: addSearch(p, c)}
	g.calendar = true
	f := c.Flags()
	f.Var(&textFlag{&g.most, "N"}, "most",
		fmt.Sprintf("windows to show, the best (1 to %d, usually %d)", mostWindows, usualWindows))
	c.Args = g.arguments
	c.ValidArgsFunction = cobra.FixedCompletions([]string{"toml"}, cobra.ShellCompDirectiveFilterFileExt)
	g.addOutput(g.inputs)
	c.RunE = func(*cobra.Command, []string) error { return g.schedule() }
	return c
}

// arguments takes the shoot files that the command was given.
func (g *scheduling) arguments(c *cobra.Command, args []string) error {
	if len(args) < 2 {
		return g.argument(c, args)
	}
	for _, one := range args {
		// Each is refused as it would be alone.
		if err := g.argument(c, []string{one}); err != nil {
			return err
		}
	}
	g.files = args
	return nil
}

// inputs are the files that the command reads.
func (g *scheduling) inputs() []string {
	list := append(g.planning.inputs(), g.files...)
	if forecast := g.command.Flags().Lookup(forecastFlag); forecast.Changed {
		list = append(list, forecast.Value.String())
	}
	return list
}

// How many windows are shown.
const (
	usualWindows = 10
	mostWindows  = 1000
)

// windows returns how many windows are to be shown.
func (g *scheduling) windows() (int, error) {
	if !g.command.Flags().Changed("most") {
		return usualWindows, nil
	}
	n, err := strconv.Atoi(g.most)
	switch {
	case err != nil:
		return 0, &problem{exitUsage, fmt.Sprintf("--most: %q is not a whole number", g.most),
			fmt.Sprintf("--most %d", usualWindows)}
	case n < 1 || n > mostWindows:
		return 0, &problem{exitUsage, fmt.Sprintf("--most %d must be 1 to %d", n, mostWindows),
			fmt.Sprintf("--most %d", min(max(n, 1), mostWindows))}
	}
	return n, nil
}

// schedule searches for all shoots, and reports what is found.
func (g *scheduling) schedule() error {
	most, err := g.windows()
	if err != nil {
		return err
	}
	questions, err := g.questions(most)
	if err != nil {
		return err
	}
	var found report.Schedule
	for i := range questions {
		answer, err := g.answer(&questions[i], i)
		if err != nil {
			return err
		}
		found = append(found, report.Scheduled{File: g.fileOf(i), Typed: g.typed(i), Answer: answer})
	}
	return g.report(found)
}

// answer searches for one shoot, and says on a terminal how far it has come.
func (g *scheduling) answer(q *season.Question, number int) (*season.Answer, error) {
	shown := newProgress(g.process, g.named(number))
	defer shown.finish()
	ctx := g.command.Context()
	var answer *season.Answer
	err := await(ctx, func() (err error) { answer, err = season.Search(ctx, *q, shown.tell); return err })
	if err != nil {
		return nil, err
	}
	return answer, nil
}

// fileOf is the file that a shoot was read from; empty for none.
func (g *scheduling) fileOf(i int) string {
	if len(g.files) == 0 {
		return filepath.ToSlash(g.shoot)
	}
	return filepath.ToSlash(g.files[i])
}

// typed is what was typed of a shoot, as it is typed again for a plan of it: its
// file, and the flags that are not wishes.
func (g *scheduling) typed(i int) []string {
	var list []string
	if file := g.fileOf(i); file != "" {
		list = append(list, shootfile.Argument(file))
	}
	g.command.Flags().Visit(func(f *pflag.Flag) {
		if slices.ContainsFunc(shootfile.Flags(), func(k shootfile.Key) bool { return k.Flag == f.Name }) {
			list = append(list, "--"+f.Name+" "+shootfile.Argument(f.Value.String()))
		}
	})
	return list
}

// questions reads what is asked for each shoot, so that all that is wrong is said
// before anything is looked for.
func (g *scheduling) questions(most int) ([]season.Question, error) {
	files := g.files
	if len(files) == 0 {
		files = []string{g.shoot}
	}
	var list []season.Question
	var faults shootfile.Faults
	for _, g.shoot = range files {
		s, wishes, err := g.search()
		var some shootfile.Faults
		switch {
		case errors.As(err, &some):
			faults = append(faults, some...)
			continue
		case err != nil:
			return nil, err
		}
		list = append(list, season.Question{Shoot: s, Wishes: wishes, Most: most})
	}
	if len(faults) > 0 {
		return nil, faults
	}
	return list, nil
}

// report writes what was found; where nothing fits some shoot, so says the error.
// A calendar cannot say so: a line on stderr does, and one of nothing is not written.
func (g *scheduling) report(found report.Schedule) error {
	format, err := g.chosenFormat()
	if err != nil {
		return err
	}
	none := 0
	for i := range found {
		if len(found[i].Windows) > 0 {
			continue
		}
		none++
		if format == report.ICalendar {
			g.process.printProblem(g.named(i)+windows.NothingFits(found[i].Answer), windows.Advice(found[i].Answer))
		}
	}
	if format == report.ICalendar && none == len(found) {
		return errOutOfReach
	}
	return g.deliver(none > 0, found.Report)
}

// named is the name of a shoot's file before what is said of it, where there are
// several.
func (g *scheduling) named(i int) string {
	if len(g.files) < 2 {
		return ""
	}
	return g.fileOf(i) + ": "
}
