package cli

import (
	"io"

	"evenfall/internal/plan"
	"evenfall/internal/report"

	"github.com/spf13/cobra"
)

func newCues(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "cues [flags]",
		Short: "When to move which control, minute by minute",
		Long: `cues follows the session minute by minute and says when to move which control,
from what to what, and why: settings to begin with, then every change. It tells
of the method that compare takes; with --method it tells of those named.

It exits with 3 when at some minute no asked method can hold the look.`,
		Example: `  evenfall cues
  evenfall cues --shoot harbour.toml --method scrim,sync
  evenfall cues --from sunset-45m --to sunset+10m --aperture 4
  evenfall cues --shoot harbour.toml --format csv -o cues.csv`,
		Args: noArguments,
	}
	g := addPlanning(p, c)
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		all, err := plan.MakeCues(s)
		if err != nil {
			return err
		}
		told := &report.Cues{Cues: all}
		if !c.Flags().Changed("method") && len(s.Methods) > 1 {
			compared, err := plan.Compare(s, nil)
			if err != nil {
				return err
			}
			told.Chosen = &compared.Verdict
			told.Cues = all.Only(compared.Verdict.Best)
		}
		return g.deliver(all.OutOfReach(), func(w io.Writer, f report.Format, o report.Options) error {
			return report.WriteCues(w, told, f, o)
		})
	}
	return c
}
