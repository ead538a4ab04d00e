package cli

import (
	"errors"
	"io"
	"strings"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"

	"github.com/spf13/cobra"
)

func newCompare(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "compare [flags]",
		Short: "The methods side by side at a few moments, with a verdict",
		Long: `compare sets the methods side by side at a few moments of the session, says
which to take and why, and adds up what each costs in frames, flashes and
batteries. Where a scrim is carried it tells where the scrim has to stand and
what the wind does to it. Without --moment it looks at the start and the end,
at sunset and sunrise, and at the sun 30, 15 and 6 degrees high.

It exits with 3 when at some step no asked method can hold the look.`,
		Example: `  evenfall compare
  evenfall compare --shoot harbour.toml --why
  evenfall compare --moment 17:30,sunset-20m --method hss,scrim
  evenfall compare --shoot harbour.toml --format markdown -o harbour.md`,
		Args: noArguments,
	}
	g := addPlanning(p, c)
	var moments string
	var why bool
	c.Flags().Var(&textFlag{&moments, "LIST"}, "moment", "clock times or events, with commas, such as 17:30,sunset-20m")
	c.Flags().BoolVar(&why, "why", false, "tell how each rule of the verdicts went")
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		var asked []shoot.Instant
		if c.Flags().Changed("moment") {
			if asked, err = parseMoments(moments); err != nil {
				return err
			}
		}
		compared, err := plan.Compare(s, asked)
		var faults shoot.Faults
		if errors.As(err, &faults) {
			return ofMoments(faults, "17:30")
		}
		if err != nil {
			return err
		}
		return g.deliver(compared.Plan.OutOfReach(), func(w io.Writer, f report.Format, o report.Options) error {
			return report.Compare(w, &report.Comparison{Comparison: compared, Why: why}, f, o)
		})
	}
	return c
}

// parseMoments reads instants with commas between. All faults are reported
// together.
func parseMoments(text string) ([]shoot.Instant, error) {
	var list []shoot.Instant
	var faults shoot.Faults
	var instead []string
	for _, part := range strings.Split(text, ",") {
		i, err := shoot.ParseInstant(part)
		right := i.String()
		var fault shoot.Fault
		if errors.As(err, &fault) {
			faults = append(faults, fault)
			right = fault.Hint
		}
		list, instead = append(list, i), append(instead, right)
	}
	if len(faults) > 0 {
		return nil, ofMoments(faults, strings.Join(instead, ","))
	}
	return list, nil
}

// ofMoments lays faults at the flag's door, with what to give it instead.
func ofMoments(faults shoot.Faults, instead string) error {
	for i := range faults {
		faults[i].Flag, faults[i].Hint = "moment", "--moment "+instead
	}
	return faults
}
