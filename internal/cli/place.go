package cli

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"evenfall/internal/report"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
)

func newPlace(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "place",
		Short: "Save places under a name, list, show and remove them",
		Long: `place keeps places with their time zone, elevation, ground and skyline, for all
shoots: --place NAME on any command that plans, or in the shoot file

  [place]
  saved = "west-quay"

Flags and keys beside it change what they name: --tz, --elevation, --ground,
--skyline. Saved places are kept in

  $XDG_CONFIG_HOME/evenfall/places.toml, else $HOME/.config/evenfall/places.toml
  macOS    $HOME/Library/Application Support/evenfall/places.toml
  Windows  %AppData%\evenfall\places.toml

with a table for each, that may be edited by hand. A shoot may have places of
its own as [places.NAME], which go before yours.`,
		Example: `  evenfall place save west-quay --at 54.33,10.15 --tz Europe/Berlin --skyline 240=2,270=9,300=2
  evenfall place list
  evenfall timeline --place west-quay --date 2027-09-18`,
		Args: noArguments,
		RunE: func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	c.AddCommand(newPlaceList(p), newPlaceShow(p), newPlaceSave(p), newPlaceRemove(p))
	return c
}

// shootPlaces is the flag of the commands that may look into a shoot's places.
const shootPlaces = "shoot file, whose own places count too"

// places returns the places that a shoot may pick, and whether the photographer
// has a file of them.
func (g *planning) places() (all shootfile.Places, found bool, err error) {
	env := g.process.environment()
	own, err := g.process.ownPlaces(g.command.Context(), env)
	if err != nil {
		return nil, false, err
	}
	if file := g.process.ownPlacesFile(); file != "" {
		_, statErr := os.Stat(file)
		found = statErr == nil
	}
	if !g.command.Flags().Changed("shoot") {
		return own, found, nil
	}
	document, err := g.document()
	if err != nil {
		return nil, found, err
	}
	env.Places = own
	all, err = document.SavedPlaces(env)
	return all, found, err
}

// told returns a place as reports tell of it.
func told(p *shootfile.SavedPlace) report.SavedPlace {
	return report.SavedPlace{Name: p.Name, Place: p.Place, Ground: p.Ground, File: p.File, Block: p.Block(true)}
}

func newPlaceList(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "list [flags]",
		Short: "List the saved places",
		Long:  "list shows the places that shoots may pick: yours, and of a shoot its own.",
		Example: `  evenfall place list
  evenfall place list --format csv -o places.csv`,
		Args: noArguments,
	}
	g := addLibraryOutput(p, c, shootPlaces)
	c.RunE = func(*cobra.Command, []string) error {
		all, found, err := g.places()
		if err != nil {
			return err
		}
		r := &report.Places{Own: filepath.ToSlash(p.ownPlacesFile()), Found: found}
		for i := range all {
			r.List = append(r.List, told(&all[i]))
		}
		return g.write(func(report.Options) *report.Report { return r.Report() })
	}
	return c
}

func newPlaceShow(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "show NAME [flags]",
		Short: "Show a saved place in full",
		Long: `show prints all that is kept of a place, and its TOML to paste into a shoot, for
one that is planned where your saved places are not at hand.`,
		Example: `  evenfall place show west-quay
  evenfall place show west-quay --format json`,
		ValidArgsFunction: p.completePlace,
	}
	g := addLibraryOutput(p, c, shootPlaces)
	c.RunE = func(c *cobra.Command, args []string) error {
		if err := oneName(c, args); err != nil {
			return err
		}
		all, _, err := g.places()
		if err != nil {
			return err
		}
		one, known := all.Find(args[0])
		if !known {
			return unknownPlace(c, args[0], all)
		}
		r := &report.Places{List: []report.SavedPlace{told(&one)}, One: true}
		return g.write(func(report.Options) *report.Report { return r.Report() })
	}
	return c
}

// oneName refuses anything but one name of a place.
func oneName(c *cobra.Command, args []string) error {
	switch len(args) {
	case 0:
		return &problem{exitUsage, c.CommandPath() + " takes the name of a place", c.CommandPath() + " west-quay"}
	case 1:
		return nil
	}
	return &problem{exitUsage, fmt.Sprintf("%s was given a word too many, %q", c.CommandPath(), args[1]),
		c.CommandPath() + " " + shootfile.Typed(strings.Join(args, "-"))}
}

// unknownPlace is the error of a name that no saved place has.
func unknownPlace(c *cobra.Command, name string, all shootfile.Places) error {
	hint := "evenfall place list"
	if near := shootfile.Nearest(name, all.Names()); near != "" {
		hint = c.CommandPath() + " " + shootfile.Typed(near)
	}
	return &problem{exitUsage, fmt.Sprintf("there is no saved place %q", name), hint}
}

func newPlaceSave(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "save NAME [FILE] [flags]",
		Short: "Save a place under a name",
		Long: `save keeps a place under a name: the one that flags describe, or that of a shoot
FILE, with flags in the place of what it says. A place that is there under the
name is left alone unless --force is given; with --place NAME it is what the
flags change. Other places and all comments in the file stay as they are.`,
		Example: `  evenfall place save west-quay --at 54.33,10.15 --tz Europe/Berlin --ground concrete
  evenfall place save west-quay harbour.toml
  evenfall place save west-quay --place west-quay --skyline 240=2,270=9,300=2 --force`,
		ValidArgsFunction: func(_ *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
			if len(args) == 1 {
				return []string{"toml"}, cobra.ShellCompDirectiveFilterFileExt
			}
			return nil, cobra.ShellCompDirectiveNoFileComp
		},
	}
	g := addKeys(p, c, shootfile.PlaceFlags(), "shoot file, whose place is saved")
	force := c.Flags().Bool("force", false, "save over a place of that name")
	c.RunE = func(c *cobra.Command, args []string) error {
		switch {
		case len(args) == 2 && !c.Flags().Changed("shoot"):
			g.shoot, g.named = args[1], true
		case len(args) > 1:
			return tooMany(c, args[len(args)-1])
		}
		if err := oneName(c, args[:min(len(args), 1)]); err != nil {
			return err
		}
		if g.isDemonstration() {
			return &problem{exitUsage, c.CommandPath() + " was given no place",
				fmt.Sprintf("%s %s --at 54.33,10.15 --tz Europe/Berlin", c.CommandPath(), shootfile.Typed(args[0]))}
		}
		return g.savePlace(args[0], *force)
	}
	return c
}

// savePlace saves what flags and the shoot file say of the place.
func (g *planning) savePlace(name string, force bool) error {
	document, env, err := g.read()
	if err != nil {
		return err
	}
	place, err := document.SavedPlace(name, env)
	if err != nil {
		return err
	}
	file := filepath.ToSlash(g.process.ownPlacesFile())
	err = g.process.changePlaces(g.command.Context(), func(old []byte) ([]byte, error) {
		all, err := shootfile.ParsePlaces(file, old, env)
		if err != nil {
			return nil, err
		}
		if one, taken := all.Find(name); taken {
			if !force {
				return nil, &problem{exitUsage, fmt.Sprintf("there is a saved place %q already", one.Name),
					g.byForce("")}
			}
			place.Name = one.Name
		}
		return shootfile.WithPlace(file, old, &place, env)
	})
	if err != nil {
		return err
	}
	if place.Place.ZoneAssumed {
		g.process.printProblem(fmt.Sprintf("no time zone is given: %v is saved, the system's", place.Place.Zone),
			g.byForce(" --tz Europe/Berlin"))
	}
	return g.process.say("saved " + shootfile.Typed(place.Name) + " in " + file +
		". Next: evenfall timeline --place " + shootfile.Typed(place.Name))
}

// byForce is the command as it was typed, with other flags and by force.
func (g *planning) byForce(flags string) string {
	words := []string{"evenfall"}
	for _, word := range g.process.Args {
		if word != "--force" {
			words = append(words, shootfile.Typed(word))
		}
	}
	return strings.Join(words, " ") + flags + " --force"
}

func newPlaceRemove(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "remove NAME [flags]",
		Short: "Remove a saved place",
		Long: `remove takes a place out of your file of places. Other places and all comments
stay as they are; those of a shoot's own are not touched.`,
		Example:           "  evenfall place remove west-quay",
		ValidArgsFunction: p.completePlace,
	}
	c.Flags().SortFlags = false
	c.RunE = func(c *cobra.Command, args []string) error {
		if err := oneName(c, args); err != nil {
			return err
		}
		return p.removePlace(c, args[0])
	}
	return c
}

// removePlace takes a place out of the photographer's file.
func (p *Process) removePlace(c *cobra.Command, name string) error {
	ctx, env, file := c.Context(), p.environment(), filepath.ToSlash(p.ownPlacesFile())
	all, err := p.ownPlaces(ctx, env)
	if err != nil {
		return err
	}
	one, known := all.Find(name)
	if !known { // so that no file is made
		return unknownPlace(c, name, all)
	}
	err = p.changePlaces(ctx, func(old []byte) ([]byte, error) {
		all, err := shootfile.ParsePlaces(file, old, env)
		if err != nil {
			return nil, err
		}
		if _, known := all.Find(name); !known {
			return nil, unknownPlace(c, name, all)
		}
		return shootfile.WithoutPlace(file, old, name, env)
	})
	if err != nil {
		return err
	}
	return p.say("removed " + shootfile.Typed(one.Name) + " from " + file)
}

// completePlace completes the name of a saved place.
func (p *Process) completePlace(c *cobra.Command, args []string, _ string) ([]string, cobra.ShellCompDirective) {
	if len(args) > 0 {
		return nil, cobra.ShellCompDirectiveNoFileComp
	}
	return p.placeNames(c.Context()), cobra.ShellCompDirectiveNoFileComp
}

// placeNames lists the names of the photographer's places; none where they
// cannot be read.
func (p *Process) placeNames(ctx context.Context) []string {
	all, err := p.ownPlaces(ctx, p.environment())
	if err != nil {
		return nil
	}
	return all.Names()
}
