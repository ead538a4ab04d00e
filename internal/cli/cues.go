package cli

import (
	"evenfall/internal/report"

	"github.com/spf13/cobra"
)

func newCues(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "cues [FILE] [flags]",
		Short: "When to move which control, minute by minute",
		Long: `cues says when to move which control, a line each: settings to begin with, then
every change, with what a flash meter should read; --why adds the reasons. It
tells of compare's pick; with --method of those named.

It exits with 3 when at some step no asked method brings the look off.`,
		Example: `  evenfall cues
  evenfall cues harbour.toml --method scrim,sync
  evenfall cues --from sunset-45m --to sunset+10m --aperture 4
  evenfall cues harbour.toml --format csv -o cues.csv`,
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
		told := &report.Cues{Plan: made}
		if !c.Flags().Changed("method") && len(s.Methods) > 1 {
			told.Chosen, told.Method = true, made.Verdict().Best
		}
		return g.deliver(made.OutOfReach(), told.Report)
	}
	return c
}
