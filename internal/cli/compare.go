package cli

import (
	"errors"
	"fmt"
	"strings"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
)

func newCompare(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "compare [FILE] [flags]",
		Short: "The methods side by side at a few moments, with a verdict",
		Long: `compare sets the methods side by side at a few moments of the session, says
which to take and why, and adds up what each costs in frames, flashes and
batteries. Where a scrim is carried it tells where the scrim has to stand and
what the wind does to it. Without --moment it looks at the start and the end,
at sunset and sunrise, where the sun goes behind the skyline and comes out, and
at the sun 30, 15 and 6 degrees high.

With --vary any one thing is set side by side instead of the methods: a flag of
the shoot with up to 12 values, each with the method it is best done with. Of
values that come to the same the first is taken: name first what is least to
carry.

It exits with 3 when at some step no asked method can hold the look, whatever
the value.`,
		Example: `  evenfall compare
  evenfall compare harbour.toml --why
  evenfall compare --moment 17:30,sunset-20m --method hss,scrim
  evenfall compare --vary units=1,2,4
  evenfall compare harbour.toml --format markdown -o harbour.md`,
	}
	g := addPlanning(p, c)
	var moments string
	c.Flags().Var(&textFlag{&moments, "LIST"}, "moment", "clock times or events, with commas, such as 17:30,sunset-20m")
	var varied string
	c.Flags().Var(&textFlag{&varied, "KEY=LIST"}, "vary", "values of one flag side by side, such as units=1,2,4 or facing=backlit,front")
	c.RunE = func(*cobra.Command, []string) error {
		if c.Flags().Changed("vary") {
			return g.vary(varied)
		}
		var asked []shoot.Instant
		var unread error
		if c.Flags().Changed("moment") {
			asked, unread = parseMoments(moments)
		}
		s, err := g.load()
		if err = together(err, unread); err != nil {
			return err
		}
		var compared *plan.Comparison
		err = await(c.Context(), func() (err error) { compared, err = plan.Compare(c.Context(), s, asked); return err })
		var faults shoot.TimeErrors
		if errors.As(err, &faults) {
			return ofMoments(shootfile.FaultsOf(faults), "17:30")
		}
		if err != nil {
			return err
		}
		return g.deliver(compared.Plan.OutOfReach(),
			func(o report.Options) *report.Report { return report.Compare(compared, o) })
	}
	return c
}

// vary sets the values of one flag side by side.
func (g *planning) vary(text string) error {
	if g.command.Flags().Changed("moment") {
		return &problem{exitUsage, "--vary looks at the whole window and cannot be combined with --moment",
			"--vary " + shootfile.Typed(text) + " without --moment"}
	}
	v, err := shootfile.ParseVariation(text)
	if err != nil {
		return err
	}
	document, env, err := g.read()
	if err != nil {
		return err
	}
	s, err := g.resolve(document, env)
	if err != nil {
		return err
	}
	shoots, err := document.ResolveEach(v, env)
	if err != nil {
		return err
	}
	for _, one := range shoots {
		if err := g.learnAgain(one); err != nil {
			return err
		}
	}
	var made *plan.Variation
	ctx := g.command.Context()
	if err := await(ctx, func() (err error) { made, err = plan.Vary(ctx, shoots); return err }); err != nil {
		return err
	}
	told := &report.Varied{Shoot: s, Flag: v.Key.Flag, Values: v.Values, Variation: made}
	return g.deliver(made.OutOfReach(), told.Report)
}

// mostMoments is how many moments are compared: more is no few.
const mostMoments = 50

// parseMoments reads instants with commas between. All faults are reported
// together.
func parseMoments(text string) ([]shoot.Instant, error) {
	if n := strings.Count(text, ",") + 1; n > mostMoments {
		return nil, &problem{exitUsage, fmt.Sprintf("--moment has %d moments, more than %d", n, mostMoments),
			"--moment 17:30,18:00"}
	}
	var list []shoot.Instant
	var faults shootfile.Faults
	var instead []string
	for _, part := range strings.Split(text, ",") {
		i, err := shootfile.ParseInstant(part)
		right := i.String()
		var fault shootfile.Fault
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
func ofMoments(faults shootfile.Faults, instead string) error {
	for i := range faults {
		faults[i].Flag, faults[i].Hint = "moment", "--moment "+instead
	}
	return faults
}
