package cli

import (
	"evenfall/internal/report"

	"github.com/spf13/cobra"
)

func newTimeline(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "timeline [FILE] [flags]",
		Short: "The plan: which way of working, how it is set and how it comes out",
		Long: `timeline plans the window minute by minute. First it says which way of working
to take, how camera and flash are set at its start and end, where the flash
stands, how the picture comes out, and what to pack. Then every step has a line,
the ways of working side by side; --full prints every figure of each.

FILE is a shoot file; without one it plans at the place of --at with plain
defaults, and without that the demonstration. Flags override the file.

It exits with 3 when at some step no asked method brings the look off (softer
than asked counts as done).`,
		Example: `  evenfall timeline
  evenfall timeline harbour.toml --step 10m
  evenfall timeline --at -33.86,151.21 --tz Australia/Sydney --date 2027-01-16 --ratio 2
  evenfall timeline harbour.toml --format json -o harbour.json`,
	}
	g := addPlanning(p, c)
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		made, err := planOf(c.Context(), s)
		if err != nil {
			return err
		}
		return g.deliver(made.OutOfReach(), func(o report.Options) *report.Report { return report.Timeline(made, o) })
	}
	return c
}
