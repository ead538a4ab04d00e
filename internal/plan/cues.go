package plan

import (
	"fmt"
	"math"
	"slices"
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
// quarter of a stop off for some quarter of an hour; to give up the wanted
// aperture is not, so a filter stays on until there is too little light for it.
var unhurried = patience{within: 0.25, slack: 1, miss: 0.02, weaker: 0.05, each: 0.005, any: 0.02}

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
			c.Runs = append(c.Runs, Run{m, k, mine, cuesOf(mine, s.Look.Kind)})
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

// OutOfReach tells whether at some minute no method holds the look.
func (c *Cues) OutOfReach() bool {
	held := map[sky.Case][]bool{}
	for _, r := range c.Runs {
		if held[r.Case] == nil {
			held[r.Case] = make([]bool, len(r.Rows))
		}
		for i := range r.Rows {
			held[r.Case][i] = held[r.Case][i] || r.Rows[i].Methods[0].Feasible
		}
	}
	for _, minutes := range held {
		if slices.Contains(minutes, false) {
			return true
		}
	}
	return false
}

// Only returns the cues of one method.
func (c *Cues) Only(m shoot.Method) *Cues {
	one := *c
	one.Runs = slices.DeleteFunc(slices.Clone(c.Runs), func(r Run) bool { return r.Method != m })
	return &one
}

// cuesOf tells the changes from minute to minute.
func cuesOf(rows []Row, look shoot.LookKind) []Cue {
	var list []Cue
	last := 0                      // the row of the last cue
	gel := &rows[0].Methods[0].Gel // the one on the flash
	for i := range rows {
		s := &rows[i].Methods[0]
		if i == 0 {
			list = append(list, Cue{Time: rows[0].Time, Reason: "the start", Problem: s.Problem, Set: s})
			continue
		}
		was := &rows[i-1].Methods[0]
		changes := changesBetween(was, s)
		if s.Role != None {
			// While the flash is off its gel stays on.
			changes = append(changes, gelChange(gel, &s.Gel)...)
			gel = &s.Gel
		}
		if len(changes) == 0 && sameProblem(was.Problem, s.Problem) {
			continue
		}
		list = append(list, Cue{
			Time: rows[i].Time, Changes: changes, Reason: reason(&rows[last], &rows[i], changes, look), Problem: s.Problem, Set: s,
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

// gelChange is the change of gels, if it is one.
func gelChange(a, b *Gel) []Change {
	if a.Name == b.Name {
		return nil
	}
	return []Change{{GelControl, gelText(a.Name), gelText(b.Name), a.Loss - b.Loss}}
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
func reason(was, is *Row, changes []Change, look shoot.LookKind) string {
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
	if len(changes) == 1 && changes[0].Control == GelControl {
		return fmt.Sprintf("the light of the lit side has come to %.0f K", math.Round(float64(is.Light.Colour().Lit)/50)*50)
	}
	since := func(was, is sky.Lux) string { return signed(exposure.Incident(is).Minus(exposure.Incident(was))) }
	if look == shoot.DarkSky {
		behind := exposure.Reflected(is.Light.Backdrop).Minus(exposure.Reflected(was.Light.Backdrop))
		return fmt.Sprintf("sky behind %s, face %s stop since %s", signed(behind), since(a.Ambient.Face, b.Ambient.Face), clock(was.Time))
	}
	return fmt.Sprintf("lit side %s, shade %s stop since %s",
		since(a.Ambient.Lit, b.Ambient.Lit), since(a.Ambient.Shade, b.Ambient.Shade), clock(was.Time))
}

// signed writes an offset in stops with its sign, zero with none.
func signed(s sky.Stops) string {
	if s.Size() < 0.05 {
		return "0.0"
	}
	return fmt.Sprintf("%+.1f", s)
}
