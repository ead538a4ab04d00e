package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/report"
	"evenfall/internal/shoot"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"golang.org/x/term"
)

// override is a flag that stands in for a value of the shoot file. The shoot
// checks it, so that file and command line have the same rules and words.
type override struct{ name, kind, help string }

var overrides = []override{
	{"at", "LAT,LON", "place in degrees, north and east positive"},
	{"elevation", "METRES", "of the place above the sea"},
	{"tz", "ZONE", "time zone, such as Europe/Berlin"},
	{"date", "YYYY-MM-DD", "day of the session"},
	{"from", "TIME", "start: 17:30, or an event such as sunset-2h"},
	{"to", "TIME", "end: 20:15, or sunset+30m"},
	{"step", "DURATION", "between two moments, such as 15m"},
	{"sky", "CONDITION", "clear, hazy, thin, broken, overcast or heavy"},
	{"okta", "N", "eighths of the sky under cloud, 0 to 8, in place of a condition"},
	{"turbidity", "T", "luminous turbidity of a cloudless sky, 1 to 10, in place of a condition"},
	{"facing", "AZIMUTH", "where the subject faces, in degrees from true north, or backlit, front, left, right: the side the sun comes from"},
	{"ratio", "R", "lighting ratio to hold, (key + fill) : fill"},
	{"dark-sky", "STOPS", "hold the sky this far below its metered value instead"},
	{"bias", "STOPS", "of the subject's exposure against normal"},
	{"aperture", "F", "wanted, such as 2.8"},
	{"method", "LIST", "sync, hss, nd, scrim, scrim+hss, with commas"},
	{"units", "N", "flashes set up together"},
	{"distance", "METRES", "from flash to subject"},
	{"modifier", "NAME", "on the flash, from the kit library"},
}

// planning is what the commands that plan have in common.
type planning struct {
	process *Process
	shoot   string
	format  string
	output  string
	color   string
	ascii   bool
	flags   *pflag.FlagSet
}

// textValue is the value of a flag that is checked later.
type textValue struct{ text, kind string }

func (v *textValue) Set(s string) error { v.text = s; return nil }
func (v *textValue) String() string     { return v.text }
func (v *textValue) Type() string       { return v.kind }

// addPlanning gives a command the common flags.
func addPlanning(p *Process, c *cobra.Command) *planning {
	f := c.Flags()
	f.SortFlags = false
	g := &planning{process: p, flags: f}
	f.Var(&textFlag{&g.shoot, "FILE"}, "shoot", "shoot file; without one the demonstration shoot is planned")
	for _, o := range overrides {
		f.Var(&textValue{kind: o.kind}, o.name, o.help)
	}
	f.Var(&textFlag{&g.format, "FORMAT"}, "format", "text, json, csv or markdown (default text, or as the output's name ends)")
	f.VarP(&textFlag{&g.output, "FILE"}, "output", "o", "write to a file in place of the screen")
	g.color = "auto"
	f.Var(&textFlag{&g.color, "WHEN"}, "color", "auto, always or never")
	f.BoolVar(&g.ascii, "ascii", false, "print nothing but ASCII")
	return g
}

// textFlag is a flag whose text goes straight to a variable.
type textFlag struct {
	text *string
	kind string
}

func (v *textFlag) Set(s string) error { *v.text = s; return nil }
func (v *textFlag) String() string     { return *v.text }
func (v *textFlag) Type() string       { return v.kind }

// load reads the shoot and lays the flags over it.
func (g *planning) load() (*shoot.Shoot, error) {
	document, err := g.document()
	if err != nil {
		return nil, err
	}
	var faults shoot.Faults
	g.flags.Visit(func(f *pflag.Flag) {
		if _, ok := f.Value.(*textValue); !ok {
			return
		}
		if err := document.Set(f.Name, f.Value.String()); err != nil {
			var some shoot.Faults
			if errors.As(err, &some) {
				faults = append(faults, some...)
			}
		}
	})
	if len(faults) > 0 {
		return nil, faults
	}
	now := g.process.Now
	return document.Resolve(shoot.Environment{
		Today: shoot.Date{Year: now.Year(), Month: now.Month(), Day: now.Day()},
		Zone:  g.process.zone(),
	})
}

// document reads the shoot file, or the demonstration where none is named.
func (g *planning) document() (*shoot.Document, error) {
	if !g.flags.Changed("shoot") {
		return shoot.Demo()
	}
	f, err := os.Open(g.shoot)
	if err != nil {
		return nil, unreadable(g.shoot, err)
	}
	defer f.Close()
	data, err := io.ReadAll(io.LimitReader(f, shoot.LargestFile+1))
	if err != nil {
		return nil, unreadable(g.shoot, err)
	}
	return shoot.Parse(filepath.ToSlash(g.shoot), data)
}

func unreadable(name string, err error) error {
	var cause *fs.PathError
	if errors.As(err, &cause) {
		err = cause.Err
	}
	return &problem{exitUsage, fmt.Sprintf("shoot file %q cannot be read: %v", name, err), "evenfall timeline (without --shoot) plans the demonstration"}
}

// write renders a report to where it was asked for.
func (g *planning) write(render func(io.Writer, report.Format, report.Options) error) error {
	format, err := g.chosenFormat()
	if err != nil {
		return err
	}
	o := report.Options{Width: usualWidth, ASCII: g.ascii, Demonstration: !g.flags.Changed("shoot")}
	switch g.color {
	case "always":
		o.Color = true
	case "auto", "never":
	default:
		return &problem{exitUsage, fmt.Sprintf("--color %q is neither auto, always nor never", g.color), "--color never"}
	}
	if !g.flags.Changed("output") {
		width, terminal := g.process.terminal()
		o.Width = width
		if g.color == "auto" {
			o.Color = terminal && g.process.Getenv("NO_COLOR") == "" && g.process.Getenv("TERM") != "dumb"
		}
		return render(g.process.Stdout, format, o)
	}
	return writeFile(g.output, func(w io.Writer) error { return render(w, format, o) })
}

// chosenFormat is the one asked for, else the one the output's name ends in.
func (g *planning) chosenFormat() (report.Format, error) {
	name := g.format
	if name == "" {
		name = map[string]string{".json": "json", ".csv": "csv", ".md": "markdown"}[strings.ToLower(filepath.Ext(g.output))]
	}
	if name == "" {
		return report.Text, nil
	}
	f, err := report.ParseFormat(name)
	if err != nil {
		return f, &problem{exitUsage, fmt.Sprintf("--format %q is not text, json, csv or markdown", name), "--format json"}
	}
	return f, nil
}

// writeFile writes a file whole or not at all: what stood there before is
// replaced only by a complete one.
func writeFile(name string, write func(io.Writer) error) error {
	failed := func(err error) error {
		var cause *fs.PathError
		if errors.As(err, &cause) {
			err = cause.Err
		}
		return &problem{exitFailed, fmt.Sprintf("%q cannot be written: %v", name, err), "-o with a folder that exists and may be written"}
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".evenfall-*")
	if err != nil {
		return failed(err)
	}
	defer os.Remove(f.Name()) // does nothing once it has its name
	if err := errors.Join(write(f), f.Chmod(0o644), f.Close()); err != nil {
		return failed(err)
	}
	if err := os.Rename(f.Name(), name); err != nil {
		return failed(err)
	}
	return nil
}

// The widths that tables are laid out for.
const (
	usualWidth = 80
	leastWidth = 40
	mostWidth  = 200
)

// terminal tells how many columns there are, and whether results go to a
// terminal at all.
func (p *Process) terminal() (width int, is bool) {
	width = usualWidth
	if f, ok := p.Stdout.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		is = true
		if w, _, err := term.GetSize(int(f.Fd())); err == nil && w > 0 {
			width = w
		}
	}
	if w, err := strconv.Atoi(p.Getenv("COLUMNS")); err == nil && w > 0 {
		width = w
	}
	return max(leastWidth, min(width, mostWidth)), is
}

// zone returns the system's time zone by its name in the zone database, where
// that can be found out.
func (p *Process) zone() *time.Location {
	zone := p.Now.Location()
	if zone.String() != "Local" {
		return zone
	}
	names := []string{p.Getenv("TZ")}
	if link, err := os.Readlink("/etc/localtime"); err == nil {
		_, name, _ := strings.Cut(filepath.ToSlash(link), "zoneinfo/")
		names = append(names, name)
	}
	for _, name := range names {
		if name == "" {
			continue // LoadLocation would take it for UTC
		}
		if named, err := time.LoadLocation(name); err == nil {
			return named
		}
	}
	return zone
}
