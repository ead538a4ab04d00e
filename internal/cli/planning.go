package cli

import (
	"cmp"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/spelling"

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
	{"date", "YYYY-MM-DD", "day of the session, or today or tomorrow"},
	{"from", "TIME", "start: 17:30, 5:30pm, or an event such as sunset-2h"},
	{"to", "TIME", "end: 20:15, or sunset+30m"},
	{"step", "DURATION", "between two moments, such as 15m"},
	{"sky", "CONDITION", "clear, hazy, thin, broken, overcast or heavy"},
	{"okta", "N", "eighths of the sky under cloud, 0 to 8, in place of a condition"},
	{"turbidity", "T", "luminous turbidity of a cloudless sky, 1 to 10, in place of a condition"},
	{"facing", "AZIMUTH", "where the subject faces, in degrees from true north or as NW, or backlit, front, left, right: the side the sun comes from"},
	{"ratio", "R", "lighting ratio to hold, (key + fill) : fill"},
	{"dark-sky", "STOPS", "hold the sky this far below its metered value instead"},
	{"bias", "STOPS", "of the subject's exposure against normal"},
	{"aperture", "F", "wanted, such as 2.8"},
	{"method", "LIST", "sync, hss, nd, scrim, scrim+hss, with commas; also scrim+nd, nd+hss, scrim+nd+hss"},
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
		complete(c, o.name, p.words(o.name))
	}
	c.ValidArgsFunction = cobra.NoFileCompletions
	complete(c, "shoot", cobra.FixedCompletions([]string{"toml"}, cobra.ShellCompDirectiveFilterFileExt))
	g.addOutput(c)
	return g
}

// addOutput gives the flags of how and where to a result goes.
func (g *planning) addOutput(c *cobra.Command) {
	f := g.flags
	f.Var(&textFlag{&g.format, "FORMAT"}, "format", "text, json, csv or markdown (default as the output's name ends, .json, .csv or .md, else text)")
	f.VarP(&textFlag{&g.output, "FILE"}, "output", "o", "write to a file in place of the screen, which is -")
	g.color = "auto"
	f.Var(&textFlag{&g.color, "WHEN"}, "color", "auto, always or never")
	f.BoolVar(&g.ascii, "ascii", false, "print nothing but ASCII")
	complete(c, "format", fixedWords(report.Formats[:]))
	complete(c, "color", cobra.FixedCompletions([]string{"auto", "always", "never"}, cobra.ShellCompDirectiveNoFileComp))
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
	env := g.process.environment()
	own, err := g.process.ownKit()
	if err != nil {
		return nil, err
	}
	env.Kit = own.library
	return document.Resolve(env)
}

// environment is what the clock and the system say.
func (p *Process) environment() shoot.Environment {
	return shoot.Environment{
		Today: shoot.Date{Year: p.Now.Year(), Month: p.Now.Month(), Day: p.Now.Day()},
		Zone:  p.zone(),
	}
}

// document reads the shoot file, or the demonstration where none is named.
func (g *planning) document() (*shoot.Document, error) {
	if !g.flags.Changed("shoot") {
		return shoot.Demo()
	}
	data, err := readFile(g.shoot)
	if err != nil {
		return nil, unreadable(g.shoot, err)
	}
	return shoot.Parse(filepath.ToSlash(g.shoot), data)
}

func unreadable(name string, err error) error {
	hint := "evenfall timeline" // the demonstration
	if errors.Is(err, fs.ErrNotExist) && name != "" && printable(name) == name {
		hint = insteadOfMissing(name)
	}
	var cause *fs.PathError
	if errors.As(err, &cause) {
		err = cause.Err
	}
	return &problem{exitUsage, fmt.Sprintf("shoot file %q cannot be read: %v", name, err), hint}
}

// insteadOfMissing is the hint for a shoot file that is not there: the one of
// the folder that is called most like it, or else to make it.
func insteadOfMissing(name string) string {
	folder := filepath.Dir(name)
	files, err := os.ReadDir(folder)
	if errors.Is(err, fs.ErrNotExist) {
		return "evenfall new " + typed(filepath.Base(name)) // new makes no folders
	}
	var stems, names []string
	for _, f := range files {
		if stem, ok := strings.CutSuffix(f.Name(), ".toml"); ok && !f.IsDir() && printable(stem) == stem {
			stems, names = append(stems, stem), append(names, f.Name())
		}
	}
	near := spelling.Nearest(strings.TrimSuffix(filepath.Base(name), ".toml"), stems)
	if at := slices.Index(stems, near); at >= 0 {
		return "--shoot " + typed(filepath.Join(folder, names[at]))
	}
	return "evenfall new " + typed(name)
}

// typed writes a file's name as it is typed.
func typed(name string) string {
	if strings.Contains(name, " ") {
		return strconv.Quote(name)
	}
	return name
}

// screen stands for the standard output in place of a file's name.
const screen = "-"

// deliver writes a report; where it tells of a look that cannot be held, so
// does the error.
func (g *planning) deliver(outOfReach bool, render func(io.Writer, report.Format, report.Options) error) error {
	if err := g.write(render); err != nil {
		return err
	}
	if outOfReach {
		return errOutOfReach
	}
	return nil
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
	if !g.flags.Changed("output") || g.output == screen {
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
	if !g.flags.Changed("format") {
		switch strings.ToLower(filepath.Ext(g.output)) {
		case ".json":
			return report.JSON, nil
		case ".csv":
			return report.CSV, nil
		case ".md":
			return report.Markdown, nil
		}
		return report.Text, nil
	}
	f, err := report.ParseFormat(name)
	if err != nil {
		return f, &problem{exitUsage, fmt.Sprintf("--format %q is not text, json, csv or markdown", name), "--format json"}
	}
	return f, nil
}

// writeFile writes a result to a file.
func writeFile(name string, write func(io.Writer) error) error {
	err := replaceFile(name, write)
	if err == nil {
		return nil
	}
	// The paths in these errors may be of a file that nobody asked for.
	var path *fs.PathError
	var link *os.LinkError
	switch {
	case errors.As(err, &path):
		err = path.Err
	case errors.As(err, &link):
		err = link.Err
	}
	return &problem{exitFailed, fmt.Sprintf("%q cannot be written: %v", name, err), "-o timeline" + cmp.Or(strings.TrimRight(filepath.Ext(name), "."), ".txt")}
}

// replaceFile writes a file whole or not at all: what stood there before is
// replaced only by a complete one. What is no file but a device or a pipe is
// written to.
func replaceFile(name string, write func(io.Writer) error) error {
	if target, err := filepath.EvalSymlinks(name); err == nil {
		name = target // the link stays
	}
	mode := fs.FileMode(0o644)
	old, err := os.OpenFile(name, os.O_WRONLY, 0)
	switch {
	case err == nil:
		defer old.Close()
		info, err := old.Stat()
		if err != nil {
			return err
		}
		if !info.Mode().IsRegular() {
			return errors.Join(write(old), old.Close())
		}
		mode = info.Mode().Perm()
	case !errors.Is(err, fs.ErrNotExist):
		return err // not to be written to, so not to be replaced either
	}
	f, err := os.CreateTemp(filepath.Dir(name), ".evenfall-*")
	if err != nil {
		return err
	}
	defer os.Remove(f.Name()) // does nothing once it has its name
	if err := errors.Join(write(f), f.Chmod(mode), f.Close()); err != nil {
		return err
	}
	return os.Rename(f.Name(), name)
}

// The widths that tables are laid out for.
const (
	usualWidth = 80
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
	return min(width, mostWidth), is
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
