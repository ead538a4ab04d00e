package cli

import (
	"errors"
	"fmt"
	"io"
	"slices"

	"evenfall/internal/plan"
	"evenfall/internal/report"
	"evenfall/internal/shoot"

	"github.com/spf13/cobra"
)

func newExplain(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "explain [flags]",
		Short: "Every step of the arithmetic for one moment, with numbers and sources",
		Long: `explain tells how the answer for one moment comes about, from the time to the
flash's power: every formula, the same with numbers put in, the result with
its unit, where it is from, and which numbers are estimates. A calculator can
follow it. Without --moment it looks at the start of the window; without
--method at the first that the shoot asks for.

It exits with 3 when at that moment no asked method can hold the look.`,
		Example: `  evenfall explain
  evenfall explain --moment sunset-30m --method hss
  evenfall explain --shoot harbour.toml --moment 18:15 --method sync,scrim
  evenfall explain --format markdown -o steps.md`,
		Args: noArguments,
	}
	g := addPlanning(p, c)
	var moment string
	c.Flags().Var(&textFlag{&moment, "TIME"}, "moment", "a clock time or an event, such as 17:30 or sunset-20m")
	c.RunE = func(*cobra.Command, []string) error {
		s, err := g.load()
		if err != nil {
			return err
		}
		var asked *shoot.Instant
		if c.Flags().Changed("moment") {
			list, err := parseMoments(moment)
			if err != nil {
				return err
			}
			if len(list) > 1 {
				return &problem{exitUsage, fmt.Sprintf("--moment %q is more than one moment", moment), "--moment " + list[0].String()}
			}
			asked = &list[0]
		}
		t, err := plan.TimeOf(s, asked)
		var faults shoot.Faults
		if errors.As(err, &faults) {
			return ofMoments(faults, faults[0].Hint)
		}
		if err != nil {
			return err
		}
		methods := s.Methods
		if !c.Flags().Changed("method") {
			methods = methods[:1]
		}
		told := &report.Explained{Shoot: s}
		for _, m := range methods {
			cases, err := plan.Explain(s, t, m)
			if err != nil {
				return err
			}
			told.Methods = append(told.Methods, cases)
		}
		return g.deliver(outOfReach(told.Methods), func(w io.Writer, f report.Format, o report.Options) error {
			return report.Explain(w, told, f, o)
		})
	}
	return c
}

// outOfReach tells whether under some case of the sky no method holds the look.
func outOfReach(methods [][]plan.Explanation) bool {
	for k := range methods[0] {
		if !slices.ContainsFunc(methods, func(cases []plan.Explanation) bool { return cases[k].Solution.Feasible }) {
			return true
		}
	}
	return false
}
