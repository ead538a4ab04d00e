package plan

import (
	"fmt"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Cues are the instructions of a shoot, a run for each method and case.
type Cues struct {
	Shoot *shoot.Shoot
	Day   sky.Day
	Runs  []Run
}

// Run is what one method moves through the window under one sky.
type Run struct {
	Method shoot.Method
	Case   sky.Case
	Rows   []Row // a minute each; the method's solution is the only one
	Cues   []Cue // in time order; the first sets everything
}

// Cue is an instruction at an exact minute.
type Cue struct {
	Time    time.Time
	Changes []Change
	Reason  string
	// Problem is why the look is not held from here on; nil where it is.
	Problem *Problem
	Set     *Solution // everything as it stands after the cue
}

// Control is what a hand moves.
type Control string

// The controls.
const (
	ApertureControl Control = "aperture"
	ShutterControl  Control = "shutter"
	ISOControl      Control = "ISO"
	FilterControl   Control = "ND"
	PowerControl    Control = "flash power"
	RoleControl     Control = "flash role"
	GelControl      Control = "gel"
	RimControl      Control = "rim power"
	ScrimControl    Control = "scrim"
)

// Change moves one control.
type Change struct {
	Control  Control
	From, To string
	// By is how much more light it lets in or gives; 0 where that says nothing.
	By sky.Stops
}

// unhurried moves the controls as seldom as a quarter of a stop allows, which
// with clicks of a third makes for single clicks. To move is worth standing a
// quarter of a stop off for some quarter of an hour.
var unhurried = patience{within: 0.25, slack: 1, miss: 0.02, each: 0.005, any: 0.02}

// MakeCues follows every asked method through the window minute by minute. The
// error tells that the window cannot be placed in the day.
func MakeCues(s *shoot.Shoot) (*Cues, error) {
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	v := NewSolver(s)
	c := &Cues{Shoot: s, Day: n.day}
	rows := n.every(time.Minute)
	for _, m := range s.Methods {
		for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
			var mine []Row
			for _, r := range rows {
				// Under a sky with one case only, both runs go through it.
				if r.Case == k || k == sky.SunIn && r.Condition.Cases() == 1 {
					r.Case = sky.SunOut // one path, whichever
					mine = append(mine, r)
				}
			}
			if k == sky.SunIn && !twoCases(rows) {
				continue
			}
			v.hold(mine, m, unhurried)
			c.Runs = append(c.Runs, Run{m, k, mine, cuesOf(mine)})
		}
	}
	return c, nil
}

func twoCases(rows []Row) bool {
	for i := range rows {
		if rows[i].Case == sky.SunIn {
			return true
		}
	}
	return false
}

// cuesOf tells the changes from minute to minute.
func cuesOf(rows []Row) []Cue {
	var list []Cue
	last := 0 // the row of the last cue
	for i := range rows {
		s := &rows[i].Methods[0]
		if i == 0 {
			list = append(list, Cue{Time: rows[0].Time, Reason: "the start", Problem: s.Problem, Set: s})
			continue
		}
		was := &rows[i-1].Methods[0]
		changes := changesBetween(was, s)
		if len(changes) == 0 && sameProblem(was.Problem, s.Problem) {
			continue
		}
		list = append(list, Cue{
			Time: rows[i].Time, Changes: changes, Reason: reason(&rows[last], &rows[i]), Problem: s.Problem, Set: s,
		})
		last = i
	}
	return list
}

func sameProblem(a, b *Problem) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Kind == b.Kind
}

// changesBetween lists the controls that differ.
func changesBetween(a, b *Solution) []Change {
	var list []Change
	add := func(c Control, from, to string, by sky.Stops) {
		if from != to {
			list = append(list, Change{c, from, to, by})
		}
	}
	x, y := &a.Settings, &b.Settings
	step := func(d int) sky.Stops { return sky.Stops(d) / 6 }
	add(ScrimControl, upOrDown(a.ScrimUp), upOrDown(b.ScrimUp), 0)
	add(FilterControl, filterText(x.ND), filterText(y.ND), x.ND-y.ND)
	add(ApertureControl, x.Aperture.String(), y.Aperture.String(), step(int(x.Aperture-y.Aperture)))
	add(ShutterControl, x.Shutter.String(), y.Shutter.String(), step(int(x.Shutter-y.Shutter)))
	add(ISOControl, x.ISO.String(), y.ISO.String(), step(int(y.ISO-x.ISO)))
	add(GelControl, gelText(a.Gel.Name), gelText(b.Gel.Name), a.Gel.Loss-b.Gel.Loss)
	add(RoleControl, a.Role.String(), b.Role.String(), 0)
	by := sky.Stops(0)
	if a.Role != None && b.Role != None {
		by = step(int(b.Power - a.Power))
	}
	add(PowerControl, powerText(a), powerText(b), by)
	if a.RimFlash != nil && b.RimFlash != nil {
		add(RimControl, a.RimFlash.Power.String(), b.RimFlash.Power.String(), step(int(b.RimFlash.Power-a.RimFlash.Power)))
	}
	return list
}

func upOrDown(up bool) string {
	if up {
		return "up"
	}
	return "down"
}

func gelText(name string) string {
	if name == "" {
		return "none"
	}
	return name
}

func filterText(nd sky.Stops) string {
	if nd == 0 {
		return "none"
	}
	return fmt.Sprintf("%g stops", float64(nd))
}

func powerText(s *Solution) string {
	if s.Role == None {
		return "off"
	}
	return s.Power.String()
}

// reason says what happened to the light since the last cue.
func reason(was, is *Row) string {
	a, b := &was.Methods[0], &is.Methods[0]
	switch {
	case was.Condition != is.Condition:
		return "the sky turns " + is.Condition.String()
	case a.ScrimUp && !b.ScrimUp:
		return "no sun is left to keep off"
	case !a.ScrimUp && b.ScrimUp:
		return "the sun is there to keep off"
	case b.Problem != nil && !sameProblem(a.Problem, b.Problem):
		return b.Problem.Text
	case a.Problem != nil && b.Problem == nil:
		return "the look can be held again"
	case a.Role != b.Role && a.Role != None && b.Role != None:
		return fmt.Sprintf("the ambient ratio has come to %.1f:1", float64(b.Ambient.Lit/b.Ambient.Shade))
	}
	lit := exposure.Incident(b.Ambient.Lit).Minus(exposure.Incident(a.Ambient.Lit))
	shade := exposure.Incident(b.Ambient.Shade).Minus(exposure.Incident(a.Ambient.Shade))
	return fmt.Sprintf("lit side %+.1f, shade %+.1f stop since %s", lit, shade, clock(was.Time))
}
