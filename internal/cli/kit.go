package cli

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newKit(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "kit",
		Short: "List and show the kit library, check a kit file, calibrate a flash",
		Long: `kit knows the gear that shoots name: cameras, flashes, modifiers, gels,
scrims, reflectors and neutral-density filters. There is a library of generic
gear. Your own goes into a file of yours, with the same keys, for all shoots:

  $XDG_CONFIG_HOME/evenfall/kit.toml, else $HOME/.config/evenfall/kit.toml
  macOS    $HOME/Library/Application Support/evenfall/kit.toml
  Windows  %AppData%\evenfall\kit.toml

A name in it overrides the library's, and a name in the [kit] section of a shoot
overrides both.`,
		Example: `  evenfall kit list
  evenfall kit show speedlight-60
  evenfall kit calibrate --flash speedlight-60 --power 1/4 --distance 2 --reading f/5.6`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newKitList(p), newKitShow(p), newKitCheck(p), newKitCalibrate(p))
	return c
}

// shootKit is the flag of the commands that may look into a shoot's kit.
const shootKit = "shoot file, whose own kit counts too"

func newKitList(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "list [KIND] [flags]",
		Short: "List the kit there is",
		Long: `list shows the kit that shoots may name: the library's and your own, and with
--shoot that shoot's too. KIND is camera, flash, modifier, gel, scrim,
reflector or filter.`,
		Example: `  evenfall kit list
  evenfall kit list flash
  evenfall kit list modifier --shoot harbour.toml
  evenfall kit list --format csv -o kit.csv`,
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return kindNames(), cobra.ShellCompDirectiveNoFileComp
		},
	}
	g := addLibraryOutput(p, c, shootKit)
	c.RunE = func(c *cobra.Command, args []string) error {
		kinds := shoot.KitKinds[:]
		if len(args) > 1 {
			return tooMany(c, args[1])
		}
		if len(args) == 1 {
			kind, ok := kitKind(args[0])
			if !ok {
				return &problem{exitUsage, fmt.Sprintf("there is no kind of kit %q; there are %s", args[0],
					strings.Join(kindNames(), ", ")),
					"evenfall kit list flash"}
			}
			kinds = []shoot.KitKind{kind}
		}
		library, own, err := g.kit()
		if err != nil {
			return err
		}
		k := &report.Kit{Library: library, Kinds: kinds, Own: own.file, Found: own.library != nil}
		return g.write(func(report.Options) *report.Report { return k.Report() })
	}
	return c
}

func newKitShow(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "show NAME [flags]",
		Short: "Show one item in full",
		Long: `show prints everything about one item, with units and sources, and its TOML to
paste into a shoot and change. Of a flash: the guide numbers by zoom, what is
left of them outdoors, how far it reaches, and what high-speed sync costs.`,
		Example: `  evenfall kit show speedlight-60
  evenfall kit show panel-180x180 --format json`,
		ValidArgsFunction: func(c *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) > 0 {
				return nil, cobra.ShellCompDirectiveNoFileComp
			}
			return p.kitNames(c.Context(), shoot.KitKinds[:]...)
		},
	}
	g := addLibraryOutput(p, c, shootKit)
	c.RunE = func(c *cobra.Command, args []string) error {
		switch len(args) {
		case 0:
			return &problem{exitUsage, c.CommandPath() + " takes the name of a piece of kit", "evenfall kit show speedlight-60"}
		case 1:
		default:
			return tooMany(c, args[1])
		}
		library, _, err := g.kit()
		if err != nil {
			return err
		}
		name, near := args[0], ""
		known := false
		for _, kind := range shoot.KitKinds {
			known = known || library.Has(kind, name)
			near = cmp.Or(near, shootfile.Nearest(name, library.Names(kind)))
		}
		if !known {
			hint := "evenfall kit list"
			if near != "" {
				hint = "evenfall kit show " + shootfile.Typed(near)
			}
			if near == "" && g.shoot == "" {
				hint += ", or --shoot FILE for a shoot's own kit"
			}
			return &problem{exitUsage, fmt.Sprintf("there is no kit called %q", name), hint}
		}
		blocks := map[shoot.KitKind]string{}
		for _, kind := range shoot.KitKinds {
			if block, ok := shootfile.Block(library, kind, name); ok {
				blocks[kind] = block
			}
		}
		k := &report.Kit{Library: library, Kinds: shoot.KitKinds[:], Name: name, Blocks: blocks}
		return g.write(func(report.Options) *report.Report { return k.Report() })
	}
	return c
}

func newKitCheck(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "check [FILE] [flags]",
		Short: "Check a kit file, your own where none is named",
		Long: `check reads a kit file and reports all its faults with line and column, and what
of the library it overrides. Without FILE it checks your own kit.`,
		Example: `  evenfall kit check
  evenfall kit check studio-kit.toml`,
	}
	c.Flags().SortFlags = false
	g := &output{process: p, command: c}
	var file string
	g.add(func() []string { return []string{p.ownKitFile(), file} })
	c.Args = func(_ *cobra.Command, args []string) error {
		if len(args) > 1 {
			return tooMany(c, args[1])
		}
		file = strings.Join(args, "")
		return nil
	}
	c.RunE = func(c *cobra.Command, args []string) error {
		check, err := p.checkKit(c.Context(), args)
		if err != nil {
			return err
		}
		return g.write(func(report.Options) *report.Report { return check.Report() })
	}
	return c
}

// checkKit reads the kit file of an argument, the photographer's own where
// there is none.
func (p *Process) checkKit(ctx context.Context, args []string) (*report.KitCheck, error) {
	standard, err := shootfile.StandardKit()
	if err != nil {
		return nil, err
	}
	check := &report.KitCheck{Standard: standard}
	if len(args) == 1 {
		data, err := readFile(ctx, args[0])
		if err != nil {
			return nil, unreadableKit("kit file", args[0], err)
		}
		check.File = args[0]
		check.Library, err = shootfile.ParseKit(filepath.ToSlash(args[0]), data)
		return check, err
	}
	own, err := p.ownKit(ctx)
	if err != nil {
		return nil, err
	}
	if own.library == nil {
		what := "there is no place for a kit of your own: neither HOME nor a configuration folder is set"
		if own.file != "" {
			what = fmt.Sprintf("there is no kit of your own: %q does not exist", own.file)
		}
		return nil, &problem{exitUsage, what, "evenfall kit check FILE"}
	}
	check.File, check.Library = own.file, own.library
	return check, nil
}

// tooMany refuses a word too many.
func tooMany(c *cobra.Command, word string) error {
	return &problem{exitUsage, fmt.Sprintf("%s was given a word too many, %q", c.CommandPath(), word),
		c.CommandPath() + " --help"}
}

// addLibraryOutput gives a command that prints kit or places its flags, among them
// one for a shoot file, with what that is.
func addLibraryOutput(p *Process, c *cobra.Command, file string) *planning {
	f := c.Flags()
	f.SortFlags = false
	g := &planning{output: output{process: p, command: c}}
	f.Var(&textFlag{&g.shoot, "FILE"}, "shoot", file)
	g.add(g.inputs)
	return g
}

// kit returns the kit that a shoot may name.
func (g *planning) kit() (*shoot.Library, ownKit, error) {
	own, err := g.process.ownKit(g.command.Context())
	if err != nil {
		return nil, own, err
	}
	if !g.command.Flags().Changed("shoot") {
		library, err := shootfile.KitWith(own.library)
		return library, own, err
	}
	document, err := g.document()
	if err != nil {
		return nil, own, err
	}
	library, err := document.Kit(own.library)
	return library, own, err
}

// kitNames completes the names of kit. Where the photographer's own kit cannot
// be read, the library's are offered.
func (p *Process) kitNames(ctx context.Context, kinds ...shoot.KitKind) ([]string, cobra.ShellCompDirective) {
	own, err := p.ownKit(ctx)
	if err != nil {
		own.library = nil
	}
	library, err := shootfile.KitWith(own.library)
	if err != nil {
		return nil, cobra.ShellCompDirectiveError
	}
	var names []string
	for _, kind := range kinds {
		names = append(names, library.Names(kind)...)
	}
	return names, cobra.ShellCompDirectiveNoFileComp
}

// completeKit completes a flag that names kit.
func (p *Process) completeKit(c *cobra.Command, flag string, kind shoot.KitKind) {
	p.complete(c, flag, func(c *cobra.Command, _ []string, _ string) ([]string, cobra.ShellCompDirective) {
		return p.kitNames(c.Context(), kind)
	})
}

func kindNames() []string {
	var names []string
	for _, kind := range shoot.KitKinds {
		names = append(names, string(kind))
	}
	return names
}

// kitKind returns the kind of a word, in the singular or the plural.
func kitKind(word string) (shoot.KitKind, bool) {
	word = strings.ToLower(word)
	for _, kind := range shoot.KitKinds {
		if name := string(kind); word == name || word == name+"s" || word == name+"es" {
			return kind, true
		}
	}
	return "", false
}

// calibrationFlags are those of a test shot, with an example each; the first
// needed of them cannot be left out.
var calibrationFlags = []struct{ name, kind, help, example string }{
	{"flash", "NAME", "of the kit", "speedlight-60"},
	{"power", "1/N", "the flash was set to: 1/4, 1/8+1/3", "1/4"},
	{"distance", "METRES", "from flash to meter", "2"},
	{"reading", "READING", "of the flash meter: f/5.6, f/5.6+0.4 (tenths of a stop) or 80lxs (lux-seconds)", "f/5.6"},
	{"ambient", "READING", "with the same ISO and shutter and no flash, where it is not dark", "f/2"},
	{"iso", "N", "the meter was set to (default 100)", "100"},
	{"zoom", "MM", "of the bare head (default 50, or the nearest it has)", "50"},
	{"modifier", "NAME", "on the flash (default bare)", "bare"},
	{"gel", "NAME", "on the flash (default none)", "half-cto"},
	{"units", "N", "flashes side by side (default 1)", "1"},
}

const needed = 4

func newKitCalibrate(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "calibrate [flags]",
		Short: "Measure a flash's real outdoor loss with one metered test shot",
		Long: `calibrate compares one flash meter reading with the kit's numbers and prints the
derate_stops that makes them agree, to paste into the shoot or the kit. Set the
flash up outdoors as for the session, at or below the sync speed, and hold the
meter where the sitter stands, its dome facing the flash. If it is not dark,
meter again without the flash and give that reading as --ambient.`,
		Example: `  evenfall kit calibrate --flash speedlight-60 --power 1/4 --distance 2 --reading f/5.6
  evenfall kit calibrate --flash strobe-400 --power 1/2 --distance 3 --reading f/5.6+0.3 --ambient f/2.8
  evenfall kit calibrate --flash compact-36 --power 1/1 --distance 2 --zoom 70 --reading 300lxs`,
		Args: noArguments,
	}
	f := c.Flags()
	f.SortFlags = false
	g := &planning{output: output{process: p, command: c}}
	for _, o := range calibrationFlags {
		f.Var(&textValue{kind: o.kind}, o.name, o.help)
	}
	f.Var(&textFlag{&g.shoot, "FILE"}, "shoot", shootKit)
	g.add(g.inputs)
	p.completeKit(c, "flash", shoot.FlashKit)
	p.completeKit(c, "modifier", shoot.ModifierKit)
	p.completeKit(c, "gel", shoot.GelKit)
	c.RunE = func(*cobra.Command, []string) error {
		library, _, err := g.kit()
		if err != nil {
			return err
		}
		test, err := calibration(library, f)
		if err != nil {
			return err
		}
		return g.write(func(report.Options) *report.Report { return test.Report() })
	}
	return c
}

// calibration reads a test shot from flags and works it out.
func calibration(library *shoot.Library, flags *pflag.FlagSet) (*report.Calibration, error) {
	var faults shootfile.Faults
	fault := func(flag, what, hint string) {
		faults = append(faults, shootfile.Fault{Flag: flag, What: what, Hint: hint})
	}
	given := map[string]string{}
	for i, o := range calibrationFlags {
		flag := flags.Lookup(o.name)
		switch {
		case flag.Changed:
			given[o.name] = flag.Value.String()
		case i < needed:
			fault(o.name, "is missing", "--"+o.name+" "+o.example)
		}
	}
	setUp := map[string]string{}
	for _, name := range [...]string{"flash", "units", "distance", "zoom", "modifier", "gel"} {
		if value, ok := given[name]; ok {
			setUp[name] = value
		}
	}
	c := &report.Calibration{}
	var err error
	var some shootfile.Faults
	if c.Head, err = shootfile.SetUp(library, setUp); errors.As(err, &some) {
		faults = append(faults, some...)
	}
	if text, ok := given["iso"]; ok {
		if c.ISO, err = exposure.ParseISO(text, exposure.Third); err != nil {
			near := "100"
			var off *exposure.ScaleError
			if errors.As(err, &off) {
				near = off.Near
			}
			fault("iso", fmt.Sprintf("%q is no film speed of a meter", text), "--iso "+near)
		}
	}
	if text, ok := given["power"]; ok {
		c.Power, err = flash.ParsePower(text)
		if err == nil && len(some) == 0 && given["flash"] != "" {
			err = c.Head.Unit.Sets(c.Power)
		}
		if err != nil {
			fault("power", err.Error(), "--power 1/4")
		}
	}
	read := func(flag string) (r flash.Reading) {
		if text, ok := given[flag]; ok {
			if r, err = flash.ParseReading(text, c.ISO); err != nil {
				fault(flag, err.Error(), "--"+flag+" "+calibrationFlags[flagPlace(flag)].example)
			}
		}
		return r
	}
	c.With, c.Without = read("reading"), read("ambient")
	if len(faults) > 0 {
		slices.SortStableFunc(faults, func(a, b shootfile.Fault) int {
			return cmp.Compare(flagPlace(a.Flag), flagPlace(b.Flag))
		})
		return nil, faults
	}
	c.Found, err = flash.Calibrate(&c.Head, c.Power, c.With.Light, c.Without.Light)
	var mismatch *flash.Mismatch
	switch {
	case err == nil:
		return c, nil
	case errors.Is(err, flash.ErrNoFlash):
		return nil, &problem{exitUsage, fmt.Sprintf("--reading %s with --ambient %s: %v", given["reading"],
			given["ambient"], err),
			"leave --ambient out, or see that the flash fired while the meter measured"}
	case errors.As(err, &mismatch) && mismatch.Derate > 0:
		return nil, &problem{exitUsage, err.Error(),
			"evenfall kit calibrate --help, and check --power, --distance and --zoom, the meter's ISO, " +
				"that its dome faced the flash and that all flashes fired"}
	case errors.As(err, &mismatch):
		return nil, &problem{exitUsage, err.Error(),
			"evenfall kit calibrate --help, and check --power and --distance, the meter's ISO, " +
				"and for other light: tell the ambient reading by --ambient"}
	}
	return nil, err
}

// flagPlace is where a flag stands in the list.
func flagPlace(name string) int {
	for i, o := range calibrationFlags {
		if o.name == name {
			return i
		}
	}
	return len(calibrationFlags)
}
