package report

import (
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// cuesSchema names the contract of cues. It only ever grows.
const cuesSchema = "evenfall/cues/1"

type cueDocument struct {
	heading
	Runs     []cueRun `json:"runs"`
	LeftOut  []string `json:"methods_left_out"`
	Verdict  *verdict `json:"verdict"`
	Cautions []string `json:"cautions"`
}

type cueRun struct {
	Method  string  `json:"method"`
	Case    *string `json:"case"`
	From    *string `json:"from"`
	To      *string `json:"to"`
	Minutes int     `json:"minutes"`
	Held    int     `json:"minutes_held"`
	Cues    []cue   `json:"cues"`
}

type cue struct {
	Time         string   `json:"time"`
	Holds        bool     `json:"holds"`
	Problem      *string  `json:"problem"`
	ProblemStops figure   `json:"problem_stops"`
	Changes      []change `json:"changes"`
	Reason       string   `json:"reason"`
	Set          method   `json:"set"`
}

type change struct {
	Control string `json:"control"`
	From    string `json:"from"`
	To      string `json:"to"`
	By      figure `json:"by_stops"`
	Clicks  figure `json:"by_clicks"`
}

// newCueDocument puts the cues in the contract's terms. A run with nothing to
// set has no cues but the first, which says why.
func newCueDocument(c *Cues, o Options) *cueDocument {
	s := c.Shoot
	out := &cueDocument{heading: newHeading(cuesSchema, s, o), Runs: []cueRun{}, LeftOut: []string{}, Cautions: Cautions(s)}
	if c.Chosen != nil {
		v := newVerdict(c.Chosen)
		out.Verdict = &v
		for _, m := range s.Methods {
			if m != c.Chosen.Best {
				out.LeftOut = append(out.LeftOut, m.String())
			}
		}
	}
	for i := range c.Runs {
		r := &c.Runs[i]
		run := cueRun{Method: r.Method.String(), Minutes: len(r.Rows), Held: heldMinutes(r), Cues: []cue{}}
		if word := runCase(c, r); word != "" {
			run.Case = &word
		}
		if len(r.Rows) > 0 {
			from, to := stamp(r.Rows[0].Time, s), stamp(r.Rows[len(r.Rows)-1].Time, s)
			run.From, run.To = &from, &to
		}
		for j := range r.Cues {
			run.Cues = append(run.Cues, newCue(&r.Cues[j], s))
		}
		out.Runs = append(out.Runs, run)
	}
	return out
}

func newCue(c *plan.Cue, s *shoot.Shoot) cue {
	set := newMethod(c.Set, s)
	out := cue{
		Time: stamp(c.Time, s), Holds: c.Problem == nil, Problem: set.Problem, ProblemStops: set.ProblemStops,
		Changes: []change{}, Reason: c.Reason, Set: set,
	}
	for i := range c.Changes {
		ch := &c.Changes[i]
		one := change{Control: string(ch.Control), From: ch.From, To: ch.To}
		if ch.By != 0 {
			one.By = fixed(ch.By, 3)
			if click := clickOf(ch.Control, s); click != 0 {
				if n, whole := clicksOf(ch.By, click); whole {
					one.Clicks = fixed(float64(n), 0)
				}
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
	case plan.RimControl:
		return s.Rim.Unit.Click
	}
	return 0
}

// clicksOf returns how many clicks a change comes to, and whether they are
// whole: the end of a lens may lie between two.
func clicksOf(by sky.Stops, click exposure.Increment) (n int, whole bool) {
	clicks := float64(by) / click.Stops()
	n = int(math.Round(clicks))
	return n, math.Abs(clicks-float64(n)) < 1e-6
}
