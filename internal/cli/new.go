package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

func newNew(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "new [FILE] [flags]",
		Short: "Write a commented starter shoot file",
		Long: `new writes a shoot to begin from, with a comment on every section, to FILE or
else to the screen. It plans as it is. A file that is there is left alone
unless --force is given.`,
		Example: `  evenfall new harbour.toml --at 54.33,10.15 --tz Europe/Berlin --name "Harbour wall"
  evenfall new > shoot.toml`,
	}
	f := c.Flags()
	f.SortFlags = false
	for _, k := range shootfile.Flags() {
		if k.Flag == "at" || k.Flag == "tz" || k.Flag == "date" {
			f.Var(&textValue{kind: k.Value}, k.Flag, k.Usage())
			p.complete(c, k.Flag, p.words(k))
		}
	}
	f.Var(&textValue{kind: "TEXT"}, "name", "of the shoot (default the file's)")
	force := f.Bool("force", false, "write over a file that is there")
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return tooMany(c, args[1])
		}
		if len(args) == 1 && args[0] == "-" {
			args = nil // the screen, as for -o
		}
		flags := map[string]string{}
		f.Visit(func(flag *pflag.Flag) {
			if _, ok := flag.Value.(*textValue); ok {
				flags[flag.Name] = flag.Value.String()
			}
		})
		if _, named := flags["name"]; !named && len(args) > 0 {
			base := filepath.Base(args[0])
			flags["name"] = words.Safe(strings.TrimSuffix(base, filepath.Ext(base)))
		}
		text, err := shootfile.Starter(flags, p.environment())
		if err != nil {
			return err
		}
		if err := p.deliverStarter(c.Context(), args, text, *force); err != nil {
			return err
		}
		if _, placed := flags["at"]; !placed {
			return p.say("the place is only an example: set latitude_deg and longitude_deg")
		}
		return nil
	}
	return c
}

// deliverStarter writes a starter to the file that is named, or else to the
// screen.
func (p *Process) deliverStarter(ctx context.Context, args []string, text []byte, force bool) error {
	if len(args) == 0 {
		_, err := p.results.Write(text)
		return err
	}
	if err := writeStarter(ctx, args[0], text, force); err != nil {
		return err
	}
	name := shootfile.Typed(args[0])
	return p.say("wrote " + name + ". Next: evenfall timeline " + name)
}

// writeStarter writes a new file, over one that is there only by force.
func writeStarter(ctx context.Context, name string, text []byte, force bool) error {
	if name == "" {
		return &problem{exitUsage, "new was given an empty name", "evenfall new shoot.toml"}
	}
	if info, err := os.Stat(name); err == nil && info.IsDir() {
		return &problem{exitUsage, fmt.Sprintf("%q is a folder", name),
			"evenfall new " + shootfile.Typed(filepath.Join(name, "shoot.toml"))}
	}
	err := writeFile(ctx, name, sheaf{text}, force)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return &problem{exitUsage, fmt.Sprintf("%q already exists", name),
			"evenfall new " + shootfile.Typed(name) + " --force"}
	}
	return unwritten(ctx, name, err, "evenfall new shoot.toml")
}
