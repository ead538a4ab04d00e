package plan

import (
	"context"
	"slices"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Run is what one method does through the window under one sky, minute by
// minute.
type Run struct {
	Method shoot.Method
	Case   sky.Case
	Split  bool    // there is another run of this method, for the other case
	Places []Place // of the flash
	Fill   *Place  // of the fill, through all of it; nil where there is none
	Gel    Gel
	// WhiteBalance is what to set on the camera through the run.
	WhiteBalance sky.Kelvin
	Minutes      []Minute // in time order
	line         program  // that the settings are taken from

	Held, Softer, Missed int // minutes
	// LeastHeadroom is that of the minutes with flash, at At; Flashes is false
	// where none has it.
	LeastHeadroom sky.Stops
	At            time.Time
	Flashes       bool
}

// Minute is one moment of a run with its answer.
type Minute struct {
	*Moment
	Solution
}

// runs plans a method through the window: one run, or two where the sky has
// two cases. The flash stands at one place in both, for nobody carries it when
// the sun goes in. What is past stays as it was, and so does the flash.
func (v *Solver) runs(ctx context.Context, m shoot.Method, minutes []Moment, list []stretch, done *past) []Run {
	var g Gel
	var places []Place
	if was := done.run(m, sky.SunOut); was != nil {
		g, places = was.Gel, was.Places
	} else {
		g = v.runGel(m, minutes)
		places = v.places(ctx, m, minutes, list, g)
	}
	split := casesOf(minutes) > 1
	var runs []Run
	var out *Run // with the sun out
	for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
		if k == sky.SunIn && !split {
			break
		}
		r := Run{Method: m, Case: k, Split: split, Places: places, Gel: g}
		if v.shoot.Fill != nil && m.UsesFlash() {
			p := v.fillPlace(&minutes[0])
			r.Fill = &p
		}
		for i := range minutes {
			// Under a sky with one case only, both runs go through it.
			if at := &minutes[i]; at.Case == k || at.Condition.Cases() == 1 {
				r.Minutes = append(r.Minutes, Minute{Moment: at})
			}
		}
		v.hold(ctx, &r, out, list, done)
		out = &r
		r.count()
		v.balance(&r)
		runs = append(runs, r)
	}
	return runs
}

// run returns the run of a method and a case.
func (p *Plan) run(m shoot.Method, k sky.Case) *Run { return runOf(p.Runs, m, k) }

// runOf returns the run of a method and a case among some; nil where there is none.
func runOf(runs []Run, m shoot.Method, k sky.Case) *Run {
	for i := range runs {
		if r := &runs[i]; r.Method == m && (!r.Split || r.Case == k) {
			return r
		}
	}
	return nil
}

// keyColour is the colour temperature of the key side's ambient light; in open
// shade that of the sky left.
func (v *Solver) keyColour(of shoot.Method, m *Moment) sky.Kelvin {
	if of.UsesShade() {
		return m.colourOf(0, v.shoot.Shade.SkyShare)
	}
	return m.KeyColour()
}

// KeyColour returns the colour temperature of the key side's ambient light in
// the open; 0 where it has none.
func (m *Moment) KeyColour() sky.Kelvin { return m.colourOf(1, 1) }

// colourOf is that of the key side by a share of the direct sun and one of the
// sky.
func (m *Moment) colourOf(sun, left float64) sky.Kelvin {
	l := &m.Light
	beam := l.DirectNormal*sky.Lux(sun*scene.BeamOnFace(scene.ToCamera(m.Sun, m.Stance.Facing))) +
		sky.Lux(sun)*scene.MoonOnKey(l, m.Stance)
	return l.ColourOf(beam, l.SkyOn(m.Stance.KeyPlane()-m.Sun.Azimuth)*sky.Lux(left), l.Ground, m.Stance.KeyPlane()-m.Sun.Azimuth)
}

// runGel is the gel for the whole run, where its colour goes by the light: that
// of the key side at the middle of the window.
func (v *Solver) runGel(m shoot.Method, minutes []Moment) Gel {
	if !m.UsesFlash() {
		return Gel{}
	}
	return v.gel(v.keyColour(m, &minutes[len(minutes)/2]))
}

// balance sets the camera's white balance for the run: to the flash through its
// gel, or where there is none to the key side at the middle of the run.
func (v *Solver) balance(r *Run) {
	r.WhiteBalance = v.keyColour(r.Method, r.Minutes[len(r.Minutes)/2].Moment)
	if r.Flashes {
		r.WhiteBalance = r.Gel.Through(v.shoot.Flash.Unit.ColourTemperature())
	}
}

// count sums the run up.
func (r *Run) count() {
	for i := range r.Minutes {
		s := &r.Minutes[i].Solution
		switch s.Outcome {
		case Held:
			r.Held++
		case Softer:
			r.Softer++
		default:
			r.Missed++
		}
		const rounding = 1e-9 // of equals the first, on every machine
		if s.Role != None && (!r.Flashes || s.Headroom < r.LeastHeadroom-rounding) {
			r.Flashes, r.LeastHeadroom, r.At = true, s.Headroom, r.Minutes[i].Time
		}
	}
}

// Span returns the first and the last minute that the run succeeds at; of one
// that never does, of all.
func (r *Run) Span() (first, last int) {
	last = len(r.Minutes) - 1
	if r.Missed == len(r.Minutes) {
		return first, last
	}
	for !r.Minutes[first].Outcome.Succeeds() {
		first++
	}
	for !r.Minutes[last].Outcome.Succeeds() {
		last--
	}
	return first, last
}

// angleAt returns where the flash stands at a moment: a flash that is not
// moved changes its sign where the key side changes.
func (r *Run) angleAt(t time.Time, list []stretch) sky.Angle {
	p := &r.Places[0]
	for i := range r.Places {
		if !r.Places[i].From.After(t) {
			p = &r.Places[i]
		}
	}
	if keyAt(list, t) != keyAt(list, p.From) {
		return -p.Angle
	}
	return p.Angle
}

// At reads a time off the runs, a row for each case of its sky. Between two
// minutes the settings of the earlier stand; outside the window every method
// is solved for the moment, with the flash where the run has it.
func (p *Plan) At(t time.Time) []Row {
	n, v := p.session, p.solver
	var rows []Row
	for _, m := range n.moments(nil, t) {
		row := Row{Moment: m}
		for i := range p.Runs {
			if r := &p.Runs[i]; !r.Split || r.Case == m.Case {
				row.Methods = append(row.Methods, v.read(r, &row.Moment, n))
			}
		}
		rows = append(rows, row)
	}
	return rows
}

// read returns a run's answer at a moment.
func (v *Solver) read(r *Run, at *Moment, n *session) Solution {
	i := min(int(at.Time.Sub(n.from)/time.Minute), len(r.Minutes)-1)
	if n.outside(at.Time) || i < 0 {
		return v.Solve(r.Method, at, r.angleAt(at.Time, n.stretches), r.Gel)
	}
	minute := &r.Minutes[i]
	if minute.Time.Equal(at.Time) {
		return minute.Solution
	}
	j := v.job(r.Method, at, r.Gel)
	v.at(&j, r.angleAt(at.Time, n.stretches))
	return v.solution(&j, v.again(&j, &minute.Solution))
}

// again is what the settings of a solution come to in another job's light.
func (v *Solver) again(j *job, s *Solution) choice {
	was := choice{setting: newSetting(s.Settings)}
	if s.Fires() {
		was.flash = shot{s.Power, s.Flash}
	}
	if s.Fill.Fires() {
		was.fill = shot{s.Fill.Power, s.Fill.Flash}
	}
	return v.retry(j, &was)
}

// retry is what the settings of a choice come to in another job's light.
func (v *Solver) retry(j *job, was *choice) choice {
	var flash, fill shot
	if was.flash.light > 0 {
		flash = fired(was.flash.power, j.task.available(&was.setting))
	}
	if was.fill.light > 0 {
		fill = fired(was.fill.power, j.task.fill.available(&was.setting))
	}
	return v.try(&j.task, &was.setting, flash, fill)
}

// PlaceAt is where the flash of an answer stands at its moment.
func (p *Plan) PlaceAt(m *Moment, s *Solution) Place { return p.solver.placed(m, s.Angle) }

// Window returns the first and the last moment planned.
func (p *Plan) Window() (from, to time.Time) {
	zone := p.Shoot.Place.Zone
	return p.session.from.In(zone), p.session.to.In(zone)
}

// SkylineEvents returns those of the window: when the sun goes behind the skyline
// and comes out.
func (p *Plan) SkylineEvents() []sky.Event { return p.session.skyline() }

// Outside reports whether a time lies outside the planned window.
func (p *Plan) Outside(t time.Time) bool { return p.session.outside(t) }

// outside reports whether a time, to the minute, lies outside the window.
func (n *session) outside(t time.Time) bool {
	t = t.Round(time.Minute)
	return t.Before(n.from) || t.After(n.to)
}

// OutOfReach reports whether at some step no method brings the picture off.
func (p *Plan) OutOfReach() bool {
	return slices.ContainsFunc(p.Rows, func(r Row) bool { return !r.Succeeds() })
}

// Succeeds reports whether some method of the row brings the picture off.
func (r *Row) Succeeds() bool {
	return slices.ContainsFunc(r.Methods, func(s Solution) bool { return s.Outcome.Succeeds() })
}
