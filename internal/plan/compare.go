package plan

import (
	"context"
	"errors"
	"fmt"
	"sort"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Comparison sets the methods side by side at a few moments and says which to
// take.
type Comparison struct {
	Plan    *Plan // of the whole window
	Moments []Compared
	Totals  []Totals
	Panel   *Panel  // nil where no scrim is carried
	Verdict Verdict // on the whole window
}

// Compared is one moment.
type Compared struct {
	Name    string // "start", "sun at 15 deg", "sunset", "end", or the time asked for
	Outside bool   // the session's window
	Row     Row
	Entries []Entry // one for each of Row.Methods
	Verdict Verdict
}

// follow takes the window's method at a moment where it succeeds: nobody
// changes the way of working for one moment.
func (c *Compared) follow(best shoot.Method) {
	for i := range c.Row.Methods {
		if s := &c.Row.Methods[i]; s.Method == best && s.Outcome.Succeeds() {
			c.Verdict = Verdict{Best: best, Held: share(s.Outcome == Held), Succeeds: 1}
		}
	}
}

func share(all bool) float64 {
	if all {
		return 1
	}
	return 0
}

// Best returns the answer of the method that the verdict takes.
func (c *Compared) Best() *Solution {
	for i := range c.Row.Methods {
		if c.Row.Methods[i].Method == c.Verdict.Best {
			return &c.Row.Methods[i]
		}
	}
	return &c.Row.Methods[0]
}

// Entry is what one method comes to at a moment, beyond its settings.
type Entry struct {
	FramesPerSet float64 // from a set of batteries in each flash in front, 0 with no flash
	// Rise is how much lighter the background comes out than under the open
	// sky at the sync speed.
	Rise sky.Stops
	// Blur is the disc that a point of the background is spread to, as a share
	// of the frame's height.
	Blur float64
	// Near and Far are the distances from the lens that pass for sharp, m; Far
	// may be +Inf.
	Near, Far float64
	Scrim     *Standing // nil where it is not up
}

// named is a moment to compare at.
type named struct {
	name string
	time time.Time
}

// The altitudes of the sun, in degrees, at which methods are compared unless
// moments are asked for.
var comparedAltitudes = [...]float64{30, 15, 6}

// Compare plans the window and sets the asked methods side by side, at the
// moments asked for, which may lie outside the window; where there are none,
// at the start, when the sun passes 30, 15 and 6 deg, at sunset and at the
// end. The error, shoot.TimeErrors or a shoot.TimeError, tells of a window or
// of moments that the day does not have; or it is TooLarge, or the context's,
// which ends the work at once.
func Compare(ctx context.Context, s *shoot.Shoot, asked []shoot.Instant) (*Comparison, error) {
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	moments, err := n.asked(asked)
	if err != nil {
		return nil, err
	}
	if len(moments) == 0 {
		moments = n.telling()
	}
	p, err := n.plan(ctx)
	if err != nil {
		return nil, err
	}
	c := &Comparison{Plan: p, Totals: p.totals(), Panel: n.panel(), Verdict: p.Verdict()}
	for _, m := range moments {
		rows := p.At(m.time)
		if err := p.cure(ctx, rows); err != nil {
			return nil, err
		}
		for _, r := range rows {
			at := Compared{Name: m.name, Outside: p.Outside(m.time), Row: r}
			var list []candidate
			for i := range r.Methods {
				s := &at.Row.Methods[i]
				at.Entries = append(at.Entries, n.entry(p.solver, &at.Row, s))
				list = append(list, p.solver.candidate(&at.Row.Moment, s))
			}
			at.Verdict = judge(list)
			at.follow(c.Verdict.Best)
			c.Moments = append(c.Moments, at)
		}
	}
	return c, nil
}

// asked places the instants asked for in the day, in time order.
func (n *session) asked(instants []shoot.Instant) ([]named, error) {
	var list []named
	var faults shoot.TimeErrors
	for _, i := range instants {
		t, err := n.shoot.TimeOf(i, n.planned)
		var fault shoot.TimeError
		switch {
		case errors.As(err, &fault):
			faults = append(faults, fault)
		case err != nil:
			return nil, err
		}
		list = append(list, named{i.String(), t})
	}
	if len(faults) > 0 {
		return nil, faults
	}
	byTime(list)
	return list, nil
}

func byTime(list []named) {
	sort.SliceStable(list, func(i, j int) bool { return list[i].time.Before(list[j].time) })
}

// telling returns the moments that say most about the window.
func (n *session) telling() []named {
	list := []named{{"start", n.from}}
	add := func(name string, t time.Time) {
		// Two names of one moment are one.
		if t.Sub(list[len(list)-1].time) > 2*time.Minute && n.to.Sub(t) > 2*time.Minute {
			list = append(list, named{name, t})
		}
	}
	altitude := func(t time.Time) float64 { return n.observer.Sun(t).Altitude.Degrees() }
	var passed []named
	for t := n.from; t.Before(n.to); t = t.Add(time.Minute) {
		a, b := altitude(t), altitude(t.Add(time.Minute))
		for _, h := range comparedAltitudes {
			if (a-h)*(b-h) < 0 {
				f := (h - a) / (b - a)
				passed = append(passed, named{fmt.Sprintf("sun at %g deg", h), t.Add(time.Duration(f * float64(time.Minute)))})
			}
		}
	}
	for _, day := range [2]sky.Day{n.day, n.planned} {
		for _, e := range day.Events {
			if (e.Name == sky.Sunset || e.Name == sky.Sunrise) && e.Time.After(n.from) && e.Time.Before(n.to) {
				passed = append(passed, named{string(e.Name), e.Time})
			}
		}
	}
	events := n.skyline()
	if most := 3; len(events) > most {
		events = []sky.Event{events[0], events[len(events)-1]}
	}
	for _, e := range events {
		passed = append(passed, named{string(e.Name), e.Time})
	}
	byTime(passed)
	for _, p := range passed {
		add(p.name, p.time)
	}
	return append(list, named{"end", n.to})
}

// entry works out what a solution comes to beyond its settings.
func (n *session) entry(v *Solver, r *Row, s *Solution) Entry {
	var e Entry
	subject := &n.shoot.Subject
	if s.Fires() {
		e.FramesPerSet = n.shoot.Flash.Unit.FlashesPerSet / s.Power.Fraction()
	}
	if s.Fill.Fires() {
		frames := n.shoot.Fill.Unit.FlashesPerSet / s.Fill.Power.Fraction()
		if !s.Fires() || frames < e.FramesPerSet {
			e.FramesPerSet = frames
		}
	}
	if s.Method != shoot.Sync {
		e.Rise = s.Background - v.Solve(shoot.Sync, &r.Moment, s.Angle, s.Gel).Background
	}
	optics := n.shoot.Optics(s.Settings.Aperture)
	e.Blur = optics.Blur(subject.CameraDistance, subject.CameraDistance+subject.Background.Distance)
	e.Near, e.Far = optics.DepthOfField(subject.CameraDistance)
	if s.ScrimUp {
		e.Scrim = n.standing(r)
	}
	return e
}
