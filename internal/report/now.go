package report

import (
	"slices"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/words"
)

// Now says how a plan stands at an instant: how camera and flash are set, and
// when the next cue comes. Inside reports whether the instant lies in the window.
func Now(p *plan.Plan, t time.Time) (lines []string, inside bool) {
	from, to := p.Window()
	clock := words.Clock{}
	at := "Now " + t.Format("15:04") + ": "
	switch {
	case t.Before(from):
		return []string{at + "the window begins on " + words.Date(from) + " at " + clock.Time(from) + ", in " +
			words.Until(from.Sub(t)) + "."}, false
	case t.After(to.Add(time.Minute)):
		return []string{at + "the window ended on " + words.Date(to) + " at " + clock.Time(to) + "."}, false
	}
	v := p.Verdict()
	r := p.RunsOf(p.Index(v.Best))[0] // with the sun in and out by turns, cues follow it out
	i := slices.IndexFunc(r.Minutes, func(m plan.Minute) bool { return m.Time.After(t) })
	if i < 0 {
		i = len(r.Minutes)
	}
	lines = []string{at + settings(&r.Minutes[max(i-1, 0)].Solution) + "."}
	cues := r.Cues()
	next := slices.IndexFunc(cues, func(c plan.Cue) bool { return c.Time.After(t) })
	if next < 0 {
		return append(lines, "No further cue until "+clock.Time(to)+"."), true
	}
	c := &cues[next]
	return append(lines, "Next cue "+clock.Time(c.Time)+", in "+words.Until(c.Time.Sub(t))+": "+
		words.Cue(c, p.Shoot)+"."), true
}
