package cli

import (
	"fmt"
	"path/filepath"
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/reading"
	"evenfall/internal/report"
	"evenfall/internal/shoot"
	"evenfall/internal/shootfile"
	"evenfall/internal/words"

	"github.com/spf13/cobra"
)

func newAdjust(p *Process) *cobra.Command {
	c := &cobra.Command{
		Use:   "adjust [FILE] --reading TIME=VALUE[@PLANE] [flags]",
		Short: "What meter readings change: how to go on, and the new cues",
		Long: `adjust takes what a meter read on location, and says what it changes: how far
the light is off the plan and why, how to go on, the cues from now on, and the
rest of the timeline from the last reading on. The light is not just shifted:
under a clear sky a reading tells of haze, which matters more as the sun sinks;
under cloud it is carried on for as long as that kind of cloud lasts. Readings
of the lit side and of the shade, together, tell sun and sky apart.

VALUE is ev12.3 (EV at ISO 100), 41200lx, or what a meter shows for a normal
exposure, such as f/5.6,1/250,iso200. PLANE is how an incident meter was held:
lit (upright, toward the sun; where none is named), shade (upright, toward the
camera, kept in shade), face (toward the camera, sun and all) or level.

--save adds the readings to the log of --readings; timeline, compare, cues,
sheet and explain take the same log, so that everything agrees.

It exits with 3 when at some step no asked method brings the look off.`,
		Example: `  evenfall adjust --reading 18:05=ev12.9
  evenfall adjust harbour.toml --reading 18:05=f/5.6,1/250,iso100@lit --reading 18:06=ev10.8@shade
  evenfall adjust harbour.toml --reading 18:05=ev12.9 --readings harbour.log --save
  evenfall cues harbour.toml --readings harbour.log`,
	}
	g := addPlanning(p, c)
	c.Flags().Var(&g.metering.given, "reading", "TIME=VALUE[@PLANE], such as 18:05=ev12.9@lit; may be given several times")
	c.Flags().BoolVar(&g.metering.save, "save", false, "add the readings to the log of --readings")
	p.complete(c, "reading", cobra.NoFileCompletions)
	c.RunE = func(*cobra.Command, []string) error { return g.adjust() }
	return c
}

// adjust plans with and without the readings, and reports the difference.
func (g *planning) adjust() error {
	if err := g.checkReadings(); err != nil {
		return err
	}
	document, env, err := g.read()
	if err != nil {
		return err
	}
	s, err := g.resolve(document, env) // with the readings
	if err != nil {
		return err
	}
	if len(g.metering.weighed) == 0 {
		return &problem{exitUsage, fmt.Sprintf("no reading in %q is of %v", g.metering.file, s.When.Date),
			"--reading 18:05=ev12.9"}
	}
	ctx := g.command.Context()
	after, err := planOf(ctx, s)
	if err != nil {
		return err
	}
	last := &g.metering.weighed[len(g.metering.weighed)-1]
	_, to := after.Window()
	if last.Time.After(to) {
		return &problem{exitUsage, words.AfterWindow(last, to),
			"--to " + last.Time.Add(time.Hour).Format("15:04")}
	}
	if err := g.save(s); err != nil {
		return err
	}
	plain := *s
	plain.Learned = nil
	before, err := planOf(ctx, &plain)
	if err != nil {
		return err
	}
	a, err := plan.Adjust(ctx, before, after, last.Time, last.Case)
	if err != nil {
		return err
	}
	return g.deliver(a.After.OutOfReach(), func(o report.Options) *report.Report { return report.Adjust(a, o) })
}

// checkReadings refuses a command without readings, and what cannot be saved.
func (g *planning) checkReadings() error {
	const example = "--reading 18:05=ev12.9"
	switch file := g.metering.file; {
	case len(g.metering.given) == 0 && !g.hasLog():
		return &problem{exitUsage, "adjust needs a reading", example}
	case !g.metering.save:
		return nil
	case len(g.metering.given) == 0:
		return &problem{exitUsage, "--save has no reading to add", example + " --save"}
	case !g.hasLog():
		return &problem{exitUsage, "--save does not know the log to add to", "--readings readings.log --save"}
	case strings.EqualFold(filepath.Ext(followed(file)), ".toml"):
		return &problem{exitUsage, fmt.Sprintf("--readings %q would write to a shoot or kit file", file),
			"--readings " + shootfile.Typed(strings.TrimSuffix(file, filepath.Ext(file))+".log")}
	}
	return nil
}

// save adds the readings given as flags to the log.
func (g *planning) save(s *shoot.Shoot) error {
	if !g.metering.save {
		return nil
	}
	list, err := g.typed(s)
	if err != nil {
		return err
	}
	text := ""
	for i := range list {
		text += list[i].LogLine()
	}
	ctx, name := g.command.Context(), g.metering.file
	if err := await(ctx, func() error { return appendLines(name, reading.LogHeading, text) }); err != nil {
		return unwritten(ctx, name, err, "--readings readings.log --save")
	}
	return nil
}
