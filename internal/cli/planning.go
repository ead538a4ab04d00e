package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// planning is what the commands that plan have in common.
type planning struct {
	output
	shoot string
	named bool // the shoot, as the command's argument
	// text is that of the shoot, once it was read, and picked the saved place that it
	// picks: a pipe is read but once.
	text   []byte
	picked string

	metering      metering
	site, address string // where a sheet goes in the place of a file
}

// textValue is the value of a flag that is checked later.
type textValue struct{ text, kind string }

func (v *textValue) Set(s string) error { v.text = s; return nil }
func (v *textValue) String() string     { return v.text }
func (v *textValue) Type() string       { return v.kind }

// addPlanning gives a command that plans the common flags, and takes a shoot
// file as its argument.
func addPlanning(p *Process, c *cobra.Command) *planning {
	g := addShoot(p, c)
	g.addOutput(g.inputs)
	return g
}

// addOutput gives a command the flags of its output, and one for reasons.
func (g *planning) addOutput(inputs func() []string) {
	g.add(inputs)
	g.among = true
	f := g.command.Flags()
	f.BoolVar(&g.why, "why", false, "print the reasons")
	grouped(f.Lookup("why"), outputGroup)
}

// addShoot gives a command the flags that say what is planned, and takes a
// shoot file as its argument.
func addShoot(p *Process, c *cobra.Command) *planning {
	g := addKeys(p, c, shootfile.Flags(), plannedShoot)
	shoots := cobra.FixedCompletions([]string{"toml"}, cobra.ShellCompDirectiveFilterFileExt)
	c.ValidArgsFunction = shoots
	c.Args = g.argument
	g.addReadings(c)
	return g
}

// plannedShoot is what the shoot file of a command that plans is.
const plannedShoot = "shoot file, also as the only argument; without one, the demonstration"

// addKeys gives a command the flags of keys, and one for a shoot file, with what
// that is.
func addKeys(p *Process, c *cobra.Command, keys []shootfile.Key, file string) *planning {
	f := c.Flags()
	f.SortFlags = false
	g := &planning{output: output{process: p, command: c}}
	f.Var(&textFlag{&g.shoot, "FILE"}, "shoot", file)
	p.complete(c, "shoot", cobra.FixedCompletions([]string{"toml"}, cobra.ShellCompDirectiveFilterFileExt))
	other := map[string]string{}
	for _, k := range keys {
		p.addKey(c, k)
		other[k.Also] = k.Flag
	}
	f.SetNormalizeFunc(func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		if flag := other[name]; flag != "" {
			return pflag.NormalizedName(flag)
		}
		return pflag.NormalizedName(name)
	})
	return g
}

// addKey gives a command the flag of a key.
func (p *Process) addKey(c *cobra.Command, k shootfile.Key) {
	value := &textValue{kind: k.Value}
	if k.Switch {
		value.kind = "bool"
	}
	c.Flags().Var(value, k.Flag, k.Usage())
	added := c.Flags().Lookup(k.Flag)
	if k.Switch {
		added.NoOptDefVal = "true"
	}
	grouped(added, string(k.Group))
	p.complete(c, k.Flag, p.words(k))
}

// inputs are the files that the command reads.
func (g *planning) inputs() []string {
	list := []string{g.process.ownKitFile(), g.process.ownPlacesFile()}
	if g.hasShoot() {
		list = append(list, g.shoot)
	}
	if g.hasLog() {
		list = append(list, g.metering.file)
	}
	return list
}

// hasShoot reports whether a shoot file was named.
func (g *planning) hasShoot() bool { return g.named || g.command.Flags().Changed("shoot") }

// isDemonstration reports whether the demonstration is planned: nobody named a
// shoot or a place.
func (g *planning) isDemonstration() bool {
	f := g.command.Flags()
	return !g.hasShoot() && !f.Changed("at") && !f.Changed("place")
}

// argument takes the shoot file that a command was given.
func (g *planning) argument(c *cobra.Command, args []string) error {
	if len(args) == 0 {
		return nil
	}
	hint := ""
	if _, err := os.Stat(args[0]); err != nil && filepath.Ext(args[0]) != ".toml" {
		if hint = g.process.rejoined(args[0]); hint == "" {
			hint = g.flagFor(args[0])
		}
	}
	switch {
	case hint != "":
		return &problem{exitUsage, fmt.Sprintf("%q is left over", args[0]), hint}
	case g.readingFor(args) != "":
		return &problem{exitUsage, fmt.Sprintf("%q is left over", args[len(args)-1]), g.readingFor(args)}
	case len(args) > 1:
		return &problem{exitUsage, fmt.Sprintf("%s takes one shoot file; got %q and %q", c.Name(), args[0], args[1]),
			c.CommandPath() + " " + shootfile.Typed(args[0])}
	case g.command.Flags().Changed("shoot"):
		return &problem{exitUsage, fmt.Sprintf("%s takes one shoot file; got --shoot %q and %q", c.Name(),
			g.shoot, args[0]),
			"leave --shoot out"}
	}
	g.shoot, g.named = args[0], true
	return nil
}

// flagFor is what to type for a word that is a place, a date or a time of day;
// empty where it is none of them, or the command has no flag for it.
func (g *planning) flagFor(word string) string {
	flag := shootfile.FlagFor(word)
	if searches(g.command) {
		return shootfile.WishFor(word)
	}
	switch {
	case flag == "":
		return ""
	case flag == "from" && g.command.Flags().Lookup("moment") != nil:
		flag = "moment"
	}
	if g.command.Flags().Lookup(flag) == nil {
		return ""
	}
	return "--" + flag + " " + shootfile.Typed(strings.TrimSpace(word))
}

// rejoined is what to type where the shell took the value of a flag apart, so
// that a word of it stands alone; empty where that is not what happened.
func (p *Process) rejoined(word string) string {
	at := slices.Index(p.Args, word)
	if at < 2 || strings.TrimSpace(word) == "" {
		return ""
	}
	flag, isFlag := strings.CutPrefix(p.Args[at-2], "--")
	first := p.Args[at-1]
	if joined, value, ok := strings.Cut(p.Args[at-1], "="); ok {
		flag, isFlag = strings.CutPrefix(joined, "--")
		first = value
	}
	if !isFlag {
		return ""
	}
	words := []string{first, word}
	for _, next := range p.Args[at+1:] {
		if strings.HasPrefix(next, "-") {
			break
		}
		words = append(words, next)
	}
	return shootfile.Rejoined(flag, words)
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
	document, env, err := g.read()
	if err != nil {
		return nil, err
	}
	return g.resolve(document, env)
}

// read reads the shoot, with the flags in the place of what it says, and what
// it goes by where it is silent.
func (g *planning) read() (*shootfile.Document, shootfile.Environment, error) {
	env := g.process.environment()
	g.demonstration = g.isDemonstration()
	if err := g.timeAsPlace(); err != nil {
		return nil, env, err
	}
	document, err := g.document()
	broken := document == nil
	if broken {
		document = shootfile.Defaults() // for the faults of the flags
	}
	g.command.Flags().Visit(func(f *pflag.Flag) {
		if _, ok := f.Value.(*textValue); ok && f.Name != forecastFlag {
			document.Set(f.Name, f.Value.String())
		}
	})
	own, kitErr := g.process.ownKit(g.command.Context())
	env.Kit = own.library
	var placesErr error
	if !broken {
		env.Places, placesErr = g.process.placesFor(g.command.Context(), document, env)
	}
	refused := g.refused
	g.refused = nil // told once, of however many shoots
	if err == nil && kitErr == nil && placesErr == nil && refused == nil {
		g.picked = pickedPlace(document, &env)
		return document, env, nil
	}
	var rest error = document.Unread()
	if !broken && placesErr == nil && (kitErr == nil || own.library != nil) {
		_, rest = document.Resolve(env)
	}
	return nil, env, together(refused, kitErr, placesErr, err, rest)
}

// together returns errors as one: the first that is none of usage, else the
// faults of all; nil where there is none.
func together(errs ...error) error {
	var all shootfile.Faults
	for _, err := range errs {
		var faults shootfile.Faults
		var own *problem
		switch {
		case err == nil, errors.As(err, &faults):
		case errors.As(err, &own) && own.code == exitUsage:
			faults = shootfile.Faults{{What: own.what, Hint: own.hint}}
		default:
			return err
		}
		all = append(all, faults...)
	}
	if len(all) == 0 {
		return nil
	}
	return all
}

// resolve makes a shoot of what was read, with the readings in its light, and
// warns of a zone that nobody named.
func (g *planning) resolve(document *shootfile.Document, env shootfile.Environment) (*shoot.Shoot, error) {
	s, err := document.Resolve(env)
	if err != nil {
		return nil, err
	}
	g.remark(s, env)
	if !g.hasLog() && len(g.metering.given) == 0 {
		return s, nil
	}
	return s, g.learn(s)
}

// remark warns of a zone that nobody named, and of one that may be wrong.
func (g *planning) remark(s *shoot.Shoot, env shootfile.Environment) {
	if s.Place.ZoneAssumed {
		g.process.printProblem(fmt.Sprintf("no time zone is given: times are in the system's, %v", s.Place.Zone),
			"--tz Europe/Berlin names one")
	}
	for _, remark := range shootfile.Remarks(s, env) {
		g.process.printProblem(remark.What, remark.Hint)
	}
}

// timeAsPlace is the error of a time of day or a date that --at was given.
func (g *planning) timeAsPlace() error {
	at := g.command.Flags().Lookup("at").Value.String()
	hint := g.flagFor(at)
	if at == "" || hint == "" || strings.HasPrefix(hint, "--at ") {
		return nil
	}
	what := "a time of day"
	if strings.HasPrefix(hint, "--date") {
		what = "a date"
	}
	return &problem{exitUsage, fmt.Sprintf("--at: %q is %s, and --at takes a place", at, what),
		hint + " in place of --at " + shootfile.Typed(at)}
}

// environment is what the clock and the system say.
func (p *Process) environment() shootfile.Environment {
	return shootfile.Environment{
		Today: shoot.Date{Year: p.Now.Year(), Month: p.Now.Month(), Day: p.Now.Day()},
		Zone:  p.zone(),
		Zones: time.LoadLocation,
	}
}

// document reads the shoot file. Where none is named, it is the demonstration,
// or with a place by flag a shoot that says nothing else.
func (g *planning) document() (*shootfile.Document, error) {
	switch {
	case g.isDemonstration():
		return shootfile.Demo()
	case !g.hasShoot():
		return shootfile.Defaults(), nil
	}
	data, err := readFile(g.command.Context(), g.shoot)
	if err != nil {
		return nil, g.unreadable(g.shoot, err)
	}
	g.text = data
	return shootfile.Parse(filepath.ToSlash(g.shoot), data)
}

func (g *planning) unreadable(name string, err error) error {
	hint := "evenfall timeline" // the demonstration
	info, statErr := os.Stat(name)
	switch {
	case name == "" || words.Safe(name) != name:
	case statErr == nil && info.IsDir():
		hint = g.insteadOfFolder(name)
	case errors.Is(err, fs.ErrNotExist):
		hint = g.insteadOfMissing(name)
	}
	return &problem{exitUsage, fmt.Sprintf("shoot file %q cannot be read: %v", name, withoutPath(err)), hint}
}

// withShoot is how another shoot file is named in the place of the one given.
func (g *planning) withShoot(name string) string {
	if g.named {
		return g.command.CommandPath() + " " + shootfile.Typed(name)
	}
	return "--shoot " + shootfile.Typed(name)
}

// shootsIn lists the names of the TOML files in a folder.
func shootsIn(folder string) []string {
	files, _ := os.ReadDir(folder) // what cannot be read has none
	var names []string
	for _, f := range files {
		if strings.HasSuffix(f.Name(), ".toml") && !f.IsDir() && words.Safe(f.Name()) == f.Name() {
			names = append(names, f.Name())
		}
	}
	return names
}

// insteadOfFolder is the hint for a folder in the place of a shoot file: a
// file in it, or else to make one.
func (g *planning) insteadOfFolder(name string) string {
	if shoots := shootsIn(name); len(shoots) > 0 {
		return g.withShoot(filepath.Join(name, shoots[0]))
	}
	return "evenfall new " + shootfile.Typed(filepath.Join(name, "shoot.toml"))
}

// insteadOfMissing is the hint for a shoot file that is not there: the one of
// the folder that is called most like it, or else to make it.
func (g *planning) insteadOfMissing(name string) string {
	folder := filepath.Dir(name)
	if _, err := os.Stat(folder); errors.Is(err, fs.ErrNotExist) {
		return "evenfall new " + shootfile.Typed(filepath.Base(name)) // new makes no folders
	}
	names := shootsIn(folder)
	var stems []string
	for _, one := range names {
		stems = append(stems, strings.TrimSuffix(one, ".toml"))
	}
	near := shootfile.Nearest(strings.TrimSuffix(filepath.Base(name), ".toml"), stems)
	if at := slices.Index(stems, near); at >= 0 {
		return g.withShoot(filepath.Join(folder, names[at]))
	}
	return "evenfall new " + shootfile.Typed(name)
}

// planOf plans a shoot, for no longer than its context lasts.
func planOf(ctx context.Context, s *shoot.Shoot) (*plan.Plan, error) {
	var p *plan.Plan
	if err := await(ctx, func() (err error) { p, err = plan.Make(ctx, s); return err }); err != nil {
		return nil, err
	}
	return p, nil
}

// deliver writes a report; where some step is out of reach, so says the error.
func (g *planning) deliver(outOfReach bool, make func(report.Options) *report.Report) error {
	with := func(o report.Options) *report.Report {
		o.Readings = g.metering.weighed
		return make(o)
	}
	return g.reach(outOfReach, g.write(with))
}

// reach is the error of what was written; where that is none and some step is
// out of reach, so says the error.
func (g *planning) reach(outOfReach bool, err error) error {
	if err == nil && outOfReach {
		return errOutOfReach
	}
	return err
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
