package cli

import (
	"context"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"time"

	"evenfall/internal/engine"
	"evenfall/internal/enginebuild"
	"evenfall/internal/page"
	"evenfall/internal/plan"
	"evenfall/internal/shootfile"
	"evenfall/internal/timezone"

	"github.com/spf13/pflag"
)

// engine returns what makes the page of a plan plan again; nil, and it says why,
// where there is no engine.
func (g *planning) engine(p *plan.Plan) (*page.Engine, error) {
	ctx := g.command.Context()
	module, err := g.process.module(ctx)
	switch {
	case ctx.Err() != nil:
		return nil, ctx.Err()
	case err != nil:
		g.process.printProblem("the page stays as printed: "+err.Error(), "")
		return nil, nil
	case module == nil:
		g.process.printProblem("the page stays as printed: no engine to plan again is inside this evenfall",
			"evenfall version says so; a release has one, and a checkout with Go makes it")
		return nil, nil
	}
	s, err := g.asked(p)
	if err != nil {
		return nil, err
	}
	return page.NewEngine(module, s)
}

// module returns the engine that is inside, or else the one of the checkout
// around, made where it is not at hand; nil where there is neither.
func (p *Process) module(ctx context.Context) ([]byte, error) {
	if p.Engine != nil || p.Folder == "" {
		return p.Engine, nil
	}
	root := enginebuild.Root(p.Folder)
	if root == "" {
		return nil, nil
	}
	key, err := enginebuild.Key(ctx, root)
	if err != nil {
		return nil, err
	}
	kept := ""
	if folder := cacheFolder(runtime.GOOS, p.Getenv); folder != "" {
		kept = filepath.Join(folder, "evenfall", "engine-"+key+".wasm.gz")
		var module []byte
		err := await(ctx, func() (err error) { module, err = os.ReadFile(kept); return err })
		switch {
		case err == nil:
			return module, nil
		case ctx.Err() != nil:
			return nil, err
		}
	}
	if err := p.say("making the engine from the sources in " + root + ", once: up to a minute"); err != nil {
		return nil, err
	}
	module, err := enginebuild.Build(ctx, root)
	if err == nil && kept != "" {
		p.keep(ctx, kept, module)
	}
	return module, err
}

// keep keeps an engine for the next time, in the place of older ones. Where that
// fails it is made again.
func (p *Process) keep(ctx context.Context, name string, module []byte) {
	folder := filepath.Dir(name)
	if err := os.MkdirAll(folder, 0o700); err != nil {
		return
	}
	older, _ := filepath.Glob(filepath.Join(folder, "engine-*.wasm.gz"))
	if err := writeFile(ctx, name, sheaf{module}, true); err != nil {
		return
	}
	for _, one := range older {
		if one != name {
			os.Remove(one)
		}
	}
}

// asked is the shoot of a plan as this command was given it.
func (g *planning) asked(p *plan.Plan) (*engine.Shoot, error) {
	ctx := g.command.Context()
	s := &engine.Shoot{Today: g.process.environment().Today.String(), Anywhere: g.demonstration}
	g.command.Flags().Visit(func(f *pflag.Flag) {
		if _, ok := f.Value.(*textValue); ok {
			s.Flags = append(s.Flags, engine.Setting{Flag: f.Name, Value: f.Value.String()})
		}
	})
	if g.hasShoot() {
		s.File, s.Text = filepath.Base(g.shoot), string(g.text)
	}
	s.Log = string(g.metering.text)
	kit, err := readFile(ctx, g.process.ownKitFile())
	switch {
	case err == nil:
		s.KitFile, s.Kit = filepath.Base(g.process.ownKitFile()), string(kit)
	case g.process.ownKitFile() != "" && !errors.Is(err, fs.ErrNotExist):
		return nil, unreadableKit("your own kit file", g.process.ownKitFile(), err)
	}
	s.Place = g.picked
	s.Zones = zonesOf(p)
	if p.Shoot.Place.ZoneAssumed {
		s.Zone = p.Shoot.Place.Zone.String()
	}
	return s, nil
}

// pickedPlace is the definition of the saved place that a shoot picks, of all
// that are not its own; the others stay at home.
func pickedPlace(d *shootfile.Document, env *shootfile.Environment) string {
	name, elsewhere := d.Picks()
	if one, found := env.Places.Find(name); found && elsewhere {
		return one.Block(false)
	}
	return ""
}

// zonesOf are the rules of a plan's zone, for the years around.
func zonesOf(p *plan.Plan) []timezone.Rules {
	zone, year := p.Shoot.Place.Zone, p.Shoot.When.Date.Year
	on := func(year int) time.Time { return time.Date(year, time.January, 1, 0, 0, 0, 0, time.UTC) }
	return []timezone.Rules{timezone.Of(zone, on(year-1), on(year+2))}
}

// cacheFolder returns the user's folder for what can be made again, as
// os.UserCacheDir has it for each system; empty where there is none.
func cacheFolder(system string, getenv func(string) string) string {
	return userFolder(system, getenv, "LocalAppData", "Caches", "XDG_CACHE_HOME", ".cache")
}
