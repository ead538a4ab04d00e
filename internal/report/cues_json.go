package report

import (
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// cuesSchema names the contract of cues. From here on it only grows.
const cuesSchema = "evenfall/cues/2"

type cueDocument struct {
	preamble
	Runs     []cueRun `json:"runs" csv:"rows"`
	LeftOut  []string `json:"methods_left_out" csv:"-"`
	Verdict  *verdict `json:"verdict" csv:"-"`
	Cautions []string `json:"cautions" csv:"-"`
}

type cueRun struct {
	run
	From string `json:"from"`
	To   string `json:"to"`
	Cues []cue  `json:"cues" csv:"rows"`
}

type cue struct {
	Time     string   `json:"time"`
	Outcome  string   `json:"outcome"`
	Changes  []change `json:"changes"`
	Settings method   `json:"settings"`
	Meter    figure   `json:"flash_meter_f_number"`
	Reason   string   `json:"reason"`
	Text     string   `json:"text"`
}

type change struct {
	Control string `json:"control"`
	From    string `json:"from"`
	To      string `json:"to"`
	Stops   figure `json:"stops"`
	Clicks  figure `json:"clicks"`
}

// newCueDocument puts the cues of some methods in the contract's terms.
func newCueDocument(c *Cues, o Options) *cueDocument {
	p := c.Plan
	out := &cueDocument{preamble: newHeading(cuesSchema, p.Shoot, o), Runs: []cueRun{}, LeftOut: []string{},
		Cautions: Cautions(p)}
	if c.Chosen {
		v := newVerdict(p)
		out.Verdict = &v
	}
	for i := range p.Runs {
		r := &p.Runs[i]
		switch name := r.Method.String(); {
		case c.shows(r.Method):
			out.Runs = append(out.Runs, newCueRun(r, p.Shoot))
		case r.Case == sky.SunOut:
			out.LeftOut = append(out.LeftOut, name)
		}
	}
	return out
}

func newCueRun(r *plan.Run, s *shoot.Shoot) cueRun {
	last := len(r.Minutes) - 1
	out := cueRun{run: newRun(r, s), From: stamp(r.Minutes[0].Time, s), To: stamp(r.Minutes[last].Time, s), Cues: []cue{}}
	list := r.Cues()
	for i := range list {
		out.Cues = append(out.Cues, newCue(&list[i], s))
	}
	return out
}

func newCue(c *plan.Cue, s *shoot.Shoot) cue {
	set := newMethod(c.Set, c.At, s)
	out := cue{
		Time: stamp(c.Time, s), Outcome: set.Outcome, Changes: []change{}, Settings: set, Meter: set.Meter,
		Reason: words.Reason(&c.Reason, c, s), Text: words.Cue(c, s),
	}
	for _, ch := range c.Changes {
		one := change{Control: string(ch.Control), From: words.Control(ch.Control, c.Was),
			To: words.Control(ch.Control, c.Set)}
		if ch.By != 0 {
			one.Stops = fixed(ch.By, 3)
			if n, whole := clicksOf(ch.By, clickOf(ch.Control, s)); whole {
				one.Clicks = fixed(float64(n), 0)
			}
		}
		out.Changes = append(out.Changes, one)
	}
	return out
}

// clickOf is the click of a control, 0 of one that has none.
func clickOf(c plan.Control, s *shoot.Shoot) exposure.Increment {
	switch c {
	case plan.ApertureControl, plan.ShutterControl:
		return s.Camera.Click
	case plan.ISOControl:
		return s.Camera.ISOClick
	case plan.PowerControl:
		return s.Flash.Unit.Click
	case plan.FillControl:
		return s.Fill.Unit.Click
	case plan.RimControl:
		return s.Rim.Unit.Click
	}
	return 0
}

// clicksOf returns how many clicks a change comes to, and whether they are
// whole: the end of a lens may lie between two.
func clicksOf(by sky.Stops, click exposure.Increment) (n int, whole bool) {
	if click == 0 {
		return 0, false
	}
	clicks := float64(by) / click.Stops()
	n = int(math.Round(clicks))
	return n, math.Abs(clicks-float64(n)) < 1e-6
}
