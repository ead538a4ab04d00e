package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"
	"time"

	"evenfall/internal/reading"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
)

// metering is what a command is told of readings.
type metering struct {
	file  string // the log; empty for none
	text  []byte // of it, once it was read
	given listFlag
	save  bool

	weighed []reading.Weighed // those of the shoot's day
}

// listFlag is a flag that may be given several times.
type listFlag []string

func (v *listFlag) Set(s string) error { *v = append(*v, s); return nil }
func (v *listFlag) String() string     { return strings.Join(*v, " ") }
func (v *listFlag) Type() string       { return "READING" }

// addReadings gives a command that plans the flag for a log of readings.
func (g *planning) addReadings(c *cobra.Command) {
	c.Flags().Var(&textFlag{&g.metering.file, "FILE"}, "readings",
		"log of meter readings that the light is corrected by (see adjust)")
	grouped(c.Flags().Lookup("readings"), string(shootfile.SkyGroup))
	g.process.complete(c, "readings", func(*cobra.Command, []string, string) ([]string, cobra.ShellCompDirective) {
		return nil, cobra.ShellCompDirectiveDefault
	})
}

// readingFor is what to type for a reading that stands where a shoot file does,
// whole or behind the time that --reading was given; empty for anything else.
func (g *planning) readingFor(args []string) string {
	if g.command.Flags().Lookup("reading") == nil {
		return ""
	}
	last := args[len(args)-1]
	if clock, value, ok := strings.Cut(last, "="); ok {
		if r, err := reading.ParseValue(value); err == nil {
			return "--reading " + shootfile.Typed(clock+"="+r.Given+"@"+r.Plane.String())
		}
		return ""
	}
	r, err := reading.ParseValue(last)
	if given := g.metering.given; err == nil && len(given) > 0 && !strings.Contains(given[len(given)-1], "=") {
		return "--reading " + shootfile.Typed(given[len(given)-1]+"="+r.Given+"@"+r.Plane.String())
	}
	return ""
}

// hasLog reports whether a log was named.
func (g *planning) hasLog() bool { return g.command.Flags().Changed("readings") }

// learn has the shoot learn the readings that the command was told of, and
// warns of lines of the log that were cut short.
func (g *planning) learn(s *shoot.Shoot) error {
	list, err := g.readings(s, true)
	if err != nil {
		return err
	}
	g.metering.weighed, err = g.teach(s, list)
	return err
}

// learnAgain has a variant of the shoot learn the same readings.
func (g *planning) learnAgain(s *shoot.Shoot) error {
	if !g.hasLog() {
		return nil
	}
	list, err := g.readings(s, false)
	if err != nil {
		return err
	}
	_, err = g.teach(s, list)
	return err
}

// teach has the shoot learn readings.
func (g *planning) teach(s *shoot.Shoot, list []reading.Reading) ([]reading.Weighed, error) {
	weighed, learned, err := reading.Learn(s, list, reading.UsualError)
	if err != nil {
		return nil, g.ofReadings(err)
	}
	s.Learned = learned
	return weighed, nil
}

// readings are those of the shoot's day, of the log and as flags.
func (g *planning) readings(s *shoot.Shoot, warn bool) ([]reading.Reading, error) {
	var list []reading.Reading
	if g.hasLog() {
		logged, err := g.log(warn)
		if err != nil {
			return nil, err
		}
		if list = reading.OfTheDay(s, logged); warn && len(list) == 0 && len(g.metering.given) == 0 {
			g.process.printProblem(fmt.Sprintf("no reading in %q is of %v", g.metering.file, s.When.Date),
				"evenfall adjust --reading 18:05=ev12.3 --readings "+shootfile.Typed(g.metering.file)+" --save")
		}
	}
	typed, err := g.typed(s)
	if err != nil {
		return nil, err
	}
	return reading.OfTheDay(s, append(list, typed...)), nil
}

// log reads the log. With --save there may be none yet.
func (g *planning) log(warn bool) ([]reading.Reading, error) {
	name := g.metering.file
	data, err := g.metering.text, error(nil)
	if data == nil {
		data, err = readFile(g.command.Context(), name)
	}
	switch {
	case g.metering.save && errors.Is(err, fs.ErrNotExist):
		return nil, nil
	case g.command.Context().Err() != nil:
		return nil, err
	case err != nil:
		return nil, &problem{exitUsage, fmt.Sprintf("readings %q cannot be read: %v", name, withoutPath(err)),
			"evenfall adjust --reading 18:05=ev12.3 --readings readings.log --save"}
	case len(data) > shootfile.LargestFile:
		return nil, &problem{exitUsage, fmt.Sprintf("readings %q are more than %d kB", name, shootfile.LargestFile>>10),
			"--readings with the log of fewer days"}
	}
	g.metering.text = data
	list, cut, err := reading.ParseLog(string(data))
	for _, f := range cut {
		if warn {
			g.process.printProblem(fmt.Sprintf("%s:%d: %s", filepath.ToSlash(name), f.Line, f.What), f.Hint+" is a whole line")
		}
	}
	return list, g.ofReadings(err)
}

// typed are the readings given as flags.
func (g *planning) typed(s *shoot.Shoot) ([]reading.Reading, error) {
	var list []reading.Reading
	var faults reading.Faults
	for _, text := range g.metering.given {
		_, value, _ := strings.Cut(text, "=")
		r, err := reading.Parse(text, func(clock string) (time.Time, error) {
			t, err := shootfile.ParseTime(s, clock)
			var fault shootfile.Fault
			if errors.As(err, &fault) {
				return t, reading.Fault{What: fault.What, Hint: fault.Hint + "=" + value}
			}
			return t, err
		})
		var fault reading.Fault
		if errors.As(err, &fault) {
			faults = append(faults, fault)
			continue
		}
		if err != nil {
			return nil, err
		}
		list = append(list, r)
	}
	if len(faults) > 0 {
		return nil, g.ofReadings(faults)
	}
	return list, nil
}

// ofReadings lays the faults of readings at the door of the flag or the line of
// the log that they come from. Other errors stay.
func (g *planning) ofReadings(err error) error {
	var faults reading.Faults
	if !errors.As(err, &faults) {
		return err
	}
	var list shootfile.Faults
	for _, f := range faults {
		one := shootfile.Fault{What: f.What, Hint: "--reading " + shootfile.Typed(f.Hint), Flag: "reading"}
		if f.Line > 0 {
			one = shootfile.Fault{File: filepath.ToSlash(g.metering.file), Line: f.Line, Column: 1, What: f.What,
				Hint: cmp.Or(f.Hint, "# in front of the line")}
		}
		list = append(list, one)
	}
	return list
}
