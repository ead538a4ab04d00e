package plan

import (
	"errors"
	"fmt"
	"slices"
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

// Entry is what one method comes to at a moment, beyond its settings.
type Entry struct {
	FramesASet float64 // from a set of batteries in each unit, 0 with no flash
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
// end. The error, shoot.Faults or a shoot.Fault, tells of a window or of
// moments that the day does not have.
func Compare(s *shoot.Shoot, asked []shoot.Instant) (*Comparison, error) {
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	moments, err := n.asked(asked)
	if err != nil {
		return nil, err
	}
	if len(moments) == 0 {
		moments = n.moments()
	}
	v := NewSolver(s)
	p := n.plan(v)
	c := &Comparison{Plan: p, Totals: TotalsOf(p), Panel: n.panel()}
	for _, m := range moments {
		for _, r := range n.rows(nil, m.time) {
			for _, method := range s.Methods {
				r.Methods = append(r.Methods, v.Solve(method, r.Moment()))
			}
			at := Compared{Name: m.name, Outside: m.time.Before(n.from) || m.time.After(n.to), Row: r}
			for i := range r.Methods {
				v.cure([]Row{r}, i)
				r.Methods[i].Cures = withoutMethods(r.Methods[i].Cures, s.Methods)
				at.Entries = append(at.Entries, n.entry(v, &r, &r.Methods[i]))
			}
			at.Verdict = v.judge(candidates(v, &at))
			at.Verdict.Text = v.sentenceAt(&at)
			c.Moments = append(c.Moments, at)
		}
	}
	c.Verdict = v.judge(v.overall(c))
	c.Verdict.Text = v.sentence(c)
	return c, nil
}

// asked places the instants asked for in the day, in time order.
func (n *session) asked(instants []shoot.Instant) ([]named, error) {
	var list []named
	var faults shoot.Faults
	for _, i := range instants {
		t, err := n.shoot.TimeOf(i, n.planned)
		var fault shoot.Fault
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
	slices.SortStableFunc(list, byTime)
	return list, nil
}

func byTime(a, b named) int { return a.time.Compare(b.time) }

// withoutMethods leaves out of the cures to change to one of some methods,
// which stand side by side in any case.
func withoutMethods(cures []Cure, methods []shoot.Method) []Cure {
	return slices.DeleteFunc(cures, func(c Cure) bool {
		return slices.ContainsFunc(methods, func(m shoot.Method) bool { return c == otherMethod(m) })
	})
}

// moments returns the moments that say most about the window.
func (n *session) moments() []named {
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
	slices.SortStableFunc(passed, byTime)
	for _, p := range passed {
		add(p.name, p.time)
	}
	return append(list, named{"end", n.to})
}

// entry works out what a solution comes to beyond its settings.
func (n *session) entry(v *Solver, r *Row, s *Solution) Entry {
	var e Entry
	subject := &n.shoot.Subject
	if s.Role != None {
		e.FramesASet = n.shoot.Flash.Unit.FlashesASet / s.Power.Fraction()
	}
	e.Rise = s.Background - v.Solve(shoot.Sync, r.Moment()).Background
	optics := n.shoot.Optics(s.Settings.Aperture)
	e.Blur = optics.Blur(subject.CameraDistance, subject.CameraDistance+subject.Background.Distance)
	e.Near, e.Far = optics.DepthOfField(subject.CameraDistance)
	if s.ScrimUp {
		e.Scrim = n.standing(r)
	}
	return e
}

// otherMethod is the cure of changing to another method.
func otherMethod(m shoot.Method) Cure { return Cure{"method " + m.String()} }
