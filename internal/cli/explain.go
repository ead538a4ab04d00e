package cli

import (
	"errors"
	"fmt"
	"slices"

	"evenfall/internal/explain"
	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"

	"github.com/spf13/cobra"
)

func newExplain(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "explain [FILE] [flags]",
		Short: "Every step of the arithmetic for one moment, with its sources",
		Long: `explain begins with the answer for one moment, and then says how it comes
about, from the time to the flash's power: every formula, the same with numbers
put in, the result with its unit, where it is from, and which numbers are
estimates. A calculator can follow it. Without --moment it looks at the start of
the window; without --method at the method that compare takes.

It exits with 3 when at that moment no asked method can hold the look.`,
		Example: `  evenfall explain
  evenfall explain --moment sunset-30m --method hss
  evenfall explain harbour.toml --moment 18:15 --method sync,scrim
  evenfall explain --format markdown -o steps.md`,
	}
	g := addPlanning(p, c)
	var moment string
	c.Flags().Var(&textFlag{&moment, "TIME"}, "moment", "a clock time or an event, such as 17:30 or sunset-20m")
	c.RunE = func(*cobra.Command, []string) error {
		var asked *shoot.Instant
		var unread error
		if c.Flags().Changed("moment") {
			asked, unread = oneMoment(moment)
		}
		s, err := g.load()
		if err = together(err, unread); err != nil {
			return err
		}
		made, err := planOf(c.Context(), s)
		if err != nil {
			return err
		}
		t, err := made.TimeOf(asked)
		var faults shoot.TimeErrors
		if errors.As(err, &faults) {
			return ofMoments(shootfile.FaultsOf(faults), faults[0].Instead)
		}
		if err != nil {
			return err
		}
		var rows []plan.Row
		err = await(c.Context(), func() (err error) { rows, err = made.Answers(c.Context(), t); return err })
		if err != nil {
			return err
		}
		lost := slices.ContainsFunc(rows, func(r plan.Row) bool { return !r.Succeeds() })
		var list []explain.Explanation
		for i := range rows {
			if !c.Flags().Changed("method") {
				n := made.Index(made.Verdict().Best)
				rows[i].Methods = rows[i].Methods[n : n+1]
			}
			list = append(list, explain.Explain(made, &rows[i]))
		}
		return g.deliver(lost, func(o report.Options) *report.Report { return report.Explain(made, list, o) })
	}
	return c
}

// oneMoment reads the moment that is asked for.
func oneMoment(text string) (*shoot.Instant, error) {
	list, err := parseMoments(text)
	if err != nil {
		return nil, err
	}
	if len(list) > 1 {
		return nil, &problem{exitUsage, fmt.Sprintf("--moment %q is more than one moment", text),
			"--moment " + list[0].String()}
	}
	return &list[0], nil
}
