package cli

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"evenfall/internal/page"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
)

func newSheet(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "sheet [FILE] [flags]",
		Short: "The page to take along: one HTML file that needs no network",
		Long: `sheet writes the plan as a page for the phone and for paper: the answer, cues,
how to be set by the clock or by the meter, charts of the light and the flash's
power, where things stand, what to pack and to see to first. It is one file,
opens from the phone's own storage with no network, and prints on two A4 pages.
With scripts on it plans again, where light, sitter or flash are not where the
plan had them; evenfall version says whether the engine for that is inside.

Phones that show a file of their own without scripts get the page from a site of
yours (--site DIR, for any host that has https: opened once, it then opens with
no network) or from this machine (--serve 192.168.1.20:8080, until Ctrl-C; a
port alone is for this machine only).

FILE is a shoot file, as for timeline; without one it is the demonstration. It
exits with 3 when at some step no asked method brings the look off.`,
		Example: `  evenfall sheet harbour.toml -o harbour.html
  evenfall sheet --at 54.33,10.15 --tz Europe/Berlin --date 2027-09-18 -o harbour.html
  evenfall sheet > demonstration.html
  evenfall sheet harbour.toml --site site
  evenfall sheet harbour.toml --serve 8080`,
	}
	g := addShoot(p, c)
	f := c.Flags()
	f.VarP(&textFlag{&g.file, "FILE"}, "output", "o", "write to FILE, an .html (- is the screen)")
	f.Var(&textFlag{&g.site, "DIR"}, "site", "write the page as a small site, for a host that has https, into DIR")
	f.Var(&textFlag{&g.address, "ADDRESS"}, "serve",
		"serve the page at a port of this machine, 8080, or at an address of it, 192.168.1.20:8080")
	for _, name := range [...]string{"output", "site", "serve"} {
		grouped(f.Lookup(name), outputGroup)
	}
	c.PreRunE = func(*cobra.Command, []string) error { g.refused = g.checkSheet(); return nil }
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		made, err := planOf(c.Context(), s)
		if err != nil {
			return err
		}
		return g.reach(made.OutOfReach(), g.deliverSheet(made))
	}
	return c
}

// sheets are the files of pages.
var sheets = files{[]string{".html", ".htm"}, "sheets are written as .html", "sheet.html"}

// checkSheet refuses what a page cannot be written to.
func (g *planning) checkSheet() error {
	var ways []string
	for _, name := range [...]string{"output", "site", "serve"} {
		if g.command.Flags().Changed(name) {
			ways = append(ways, name)
		}
	}
	switch {
	case len(ways) > 1:
		return &problem{exitUsage, fmt.Sprintf("--%s cannot be combined with --%s", ways[1], ways[0]),
			"leave --" + ways[1] + " out"}
	case g.command.Flags().Changed("site"):
		return g.checkSite()
	case g.command.Flags().Changed("serve"):
		_, _, err := serveAddress(g.address)
		return err
	}
	if _, terminal := g.process.terminal(); terminal && !g.command.Flags().Changed("output") {
		return &problem{exitUsage, "the sheet is a page of HTML, and would fill the screen", "-o " + sheets.usual}
	}
	return g.checkFile(g.inputs(), sheets, strings.TrimSuffix(g.file, filepath.Ext(g.file))+".html")
}

// deliverSheet brings the page of a plan to where it was asked for.
func (g *planning) deliverSheet(p *plan.Plan) error {
	engine, err := g.engine(p)
	if err != nil {
		return err
	}
	var sheet page.Sheet
	var b bytes.Buffer
	err = await(g.command.Context(), func() error {
		sheet = page.New(p, report.Options{Demonstration: g.demonstration, Readings: g.metering.weighed})
		sheet.Engine = engine
		return page.Write(&b, &sheet)
	})
	switch {
	case err != nil:
		return err
	case g.command.Flags().Changed("site"):
		return g.writeSite(&sheet)
	case g.command.Flags().Changed("serve"):
		return g.serve(b.Bytes())
	}
	return g.writeSheet(p, b.Bytes())
}

// writeSheet writes a page as a file.
func (g *planning) writeSheet(p *plan.Plan, data []byte) error {
	ctx := g.command.Context()
	if !g.toFile() {
		_, err := g.process.results.Write(data)
		return err
	}
	if err := writeFile(ctx, g.file, sheaf{data}, true); err != nil {
		return unwritten(ctx, g.file, err, otherOutput(g.file))
	}
	return g.process.say(fmt.Sprintf("wrote %s: %s, %s", shootfile.Typed(g.file), words.InShort(p), kilobytes(len(data))))
}

// kilobytes writes a size.
func kilobytes(bytes int) string { return words.Number(float64(bytes)/1000, 0) + " kB" }
