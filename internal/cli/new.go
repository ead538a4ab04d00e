package cli

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"evenfall/internal/shoot"

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
		Example: `  evenfall new harbour.toml --at 54.33,10.15 --tz Europe/Berlin --date 2027-09-18 --name "Harbour wall"
  evenfall new > shoot.toml`,
	}
	f := c.Flags()
	f.SortFlags = false
	for _, o := range []override{
		{"at", "LAT,LON", "place in degrees, north and east positive"},
		{"tz", "ZONE", "time zone of the place, such as Europe/Berlin (default the system's)"},
		{"date", "YYYY-MM-DD", "day of the session (default today)"},
		{"name", "TEXT", "of the shoot (default the file's)"},
	} {
		f.Var(&textValue{kind: o.kind}, o.name, o.help)
	}
	force := f.Bool("force", false, "write over a file that is there")
	c.RunE = func(c *cobra.Command, args []string) error {
		if len(args) > 1 {
			return tooMany(c, args[1])
		}
		flags := map[string]string{}
		f.Visit(func(flag *pflag.Flag) {
			if _, ok := flag.Value.(*textValue); ok {
				flags[flag.Name] = flag.Value.String()
			}
		})
		if _, named := flags["name"]; !named && len(args) > 0 {
			base := filepath.Base(args[0])
			flags["name"] = strings.TrimSuffix(base, filepath.Ext(base))
		}
		text, err := shoot.Starter(flags, p.environment())
		if err != nil {
			return err
		}
		if len(args) == 0 {
			_, err := p.Stdout.Write(text)
			return err
		}
		if err := writeStarter(args[0], text, *force); err != nil {
			return err
		}
		_, err = fmt.Fprintf(p.Stderr, "%s is written; plan it with: evenfall timeline --shoot %[1]s\n", printable(args[0]))
		return err
	}
	return c
}

// writeStarter writes a new file, over one that is there only by force.
func writeStarter(name string, text []byte, force bool) error {
	write := func(w io.Writer) error { _, err := w.Write(text); return err }
	var err error
	if force {
		err = replaceFile(name, write)
	} else {
		var f *os.File
		if f, err = os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644); err == nil {
			err = errors.Join(write(f), f.Close())
		}
	}
	var path *fs.PathError
	switch {
	case err == nil:
		return nil
	case errors.Is(err, fs.ErrExist):
		return &problem{exitUsage, fmt.Sprintf("%q is there already", name), "evenfall new " + name + " --force"}
	case errors.As(err, &path):
		err = path.Err
	}
	return &problem{exitFailed, fmt.Sprintf("%q cannot be written: %v", name, err), "evenfall new shoot.toml"}
}
