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

FILE is a shoot file, as for timeline; without one it is the demonstration. It
exits with 3 when at some step no asked method brings the look off.`,
		Example: `  evenfall sheet harbour.toml -o harbour.html
  evenfall sheet --at 54.33,10.15 --tz Europe/Berlin --date 2027-09-18 -o harbour.html
  evenfall sheet > demonstration.html`,
	}
	g := addShoot(p, c)
	f := c.Flags()
	f.VarP(&textFlag{&g.file, "FILE"}, "output", "o", "write to FILE, an .html (- is the screen)")
	grouped(f.Lookup("output"), outputGroup)
	c.PreRunE = func(*cobra.Command, []string) error { return g.checkSheet() }
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		made, err := plan.Make(c.Context(), s)
		if err != nil {
			return err
		}
		return g.reach(made.OutOfReach(), g.writeSheet(made))
	}
	return c
}

// sheets are the files of pages.
var sheets = files{[]string{".html", ".htm"}, "sheets are written as .html", "sheet.html"}

// checkSheet refuses what a page cannot be written to.
func (g *planning) checkSheet() error {
	if _, terminal := g.process.terminal(); terminal && !g.command.Flags().Changed("output") {
		return &problem{exitUsage, "the sheet is a page of HTML, and would fill the screen", "-o " + sheets.usual}
	}
	return g.checkFile(g.inputs(), sheets, strings.TrimSuffix(g.file, filepath.Ext(g.file))+".html")
}

// writeSheet writes the page of a plan to where it was asked for.
func (g *planning) writeSheet(p *plan.Plan) error {
	var b bytes.Buffer
	sheet := page.New(p, report.Options{Demonstration: g.demonstration, Readings: g.metering.weighed})
	if err := page.Write(&b, &sheet); err != nil {
		return err
	}
	ctx := g.command.Context()
	if !g.toFile() {
		_, err := g.process.results.Write(b.Bytes())
		return err
	}
	if err := writeFile(ctx, g.file, b.Bytes(), true); err != nil {
		return unwritten(ctx, g.file, err)
	}
	return g.process.say(fmt.Sprintf("wrote %s: %s, %s", shootfile.Typed(g.file), words.InShort(p), kilobytes(b.Len())))
}

// kilobytes writes a size.
func kilobytes(bytes int) string { return words.Number(float64(bytes)/1000, 0) + " kB" }
