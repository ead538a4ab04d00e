package cli

import (
	"io"

	"evenfall/internal/plan"
	"evenfall/internal/report"

	"github.com/spf13/cobra"
)

func newTimeline(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "timeline [flags]",
		Short: "Ambient light and settings for every step of the window, method by method",
		Long: `timeline plans every step of the window: the ambient light on the subject, and
for each method the settings, the flash power and what is left of it. Without
--shoot it plans the demonstration shoot. Flags override the shoot file.

It exits with 3 when at some step no asked method can hold the look.`,
		Example: `  evenfall timeline
  evenfall timeline --shoot harbour.toml --step 10m
  evenfall timeline --at -33.86,151.21 --tz Australia/Sydney --date 2027-01-16 --ratio 2
  evenfall timeline --shoot harbour.toml --format json -o harbour.json`,
		Args: noArguments,
	}
	g := addPlanning(p, c)
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		made, err := plan.Make(s)
		if err != nil {
			return err
		}
		return g.deliver(made.OutOfReach(), func(w io.Writer, f report.Format, o report.Options) error {
			return report.Timeline(w, made, f, o)
		})
	}
	return c
}
