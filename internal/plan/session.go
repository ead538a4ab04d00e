package plan

import (
	"context"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// session is a shoot placed in its day.
type session struct {
	shoot    *shoot.Shoot
	observer sky.Observer
	daylight *sky.Daylight
	planned  sky.Day // the shoot's date
	day      sky.Day // the local day the window starts in
	from, to time.Time
	highest  sky.Sun // of the window
	// stretches are the parts of the window with one key side each; before
	// they are known it is the left.
	stretches []stretch
}

func newSession(s *shoot.Shoot) (*session, error) {
	o := s.Observer()
	date := s.When.Date
	planned := o.Day(date.Year, date.Month, date.Day, s.Place.Zone)
	from, to, err := s.Window(planned)
	if err != nil {
		return nil, err
	}
	return sessionBetween(s, planned, from, to), nil
}

// sessionBetween is a shoot from one time of its day to another.
func sessionBetween(s *shoot.Shoot, planned sky.Day, from, to time.Time) *session {
	// An event falls between two minutes; people look at clocks.
	from, to = from.Round(time.Minute), to.Round(time.Minute)
	// An event of the planned day may fall on the date after.
	y, m, d := from.In(s.Place.Zone).Date()
	o := s.Observer()
	return &session{
		shoot: s, observer: o, daylight: sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon),
		planned: planned, day: o.Day(y, m, d, s.Place.Zone), from: from, to: to,
		stretches: []stretch{{from, scene.Left}},
	}
}

// moments appends the moments of a time: one for each case of the sky.
func (n *session) moments(list []Moment, t time.Time) []Moment {
	sun := n.observer.Sun(t)
	facing := n.shoot.Subject.Facing.At(sun.Azimuth)
	condition := n.conditionAt(t)
	for k := range sky.Case(condition.Cases()) {
		list = append(list, n.moment(t, sun, scene.Stance{Facing: facing, Key: keyAt(n.stretches, t)}, condition, k))
	}
	return list
}

// moment is one instant under one sky, the sitter standing in some way.
func (n *session) moment(t time.Time, sun sky.Sun, stance scene.Stance, c sky.Condition, k sky.Case) Moment {
	s := n.shoot
	by := s.CorrectionAt(t, c, k)
	daylight := n.daylight.Corrected(by)
	view := s.View(stance.Facing)
	view.Moon = n.observer.NightMoon(t, sun)
	m := Moment{
		Time: t.In(s.Place.Zone), Sun: sun, Visible: s.Place.Horizon.Visible(sun) > 0,
		Stance: stance, Bearing: scene.Bearing(stance.Facing, sun.Azimuth), Condition: c, Case: k,
		Correction: by, Moon: view.Moon, Light: daylight.At(c, k, sun, view),
	}
	m.Sight = s.Optics(s.Lens.Wanted).SunFacts(sun, m.Light.DirectNormal, stance.Facing, s.Subject.SkyAltitude)
	behind := s.Subject.Background
	m.Backdrop, m.BackdropBand = behind.Luminance(&m.Light), behind.Band(&m.Light)
	m.Known = behind.Kind != scene.SkyBackground || m.Light.BackdropShare > 0
	return m
}

// skyline returns the events of the window at which the sun goes behind the
// skyline and comes out.
func (n *session) skyline() (list []sky.Event) {
	if len(n.shoot.Place.Horizon) == 0 {
		return nil
	}
	year, month, date := n.day.Start.Date()
	for after := range 2 { // a window may run past midnight
		for _, e := range n.observer.Day(year, month, date+after, n.shoot.Place.Zone).Events {
			if e.BySkyline() && !n.outside(e.Time) {
				list = append(list, e)
			}
		}
	}
	return list
}

// conditionAt returns the condition of the sky at a time.
func (n *session) conditionAt(t time.Time) sky.Condition {
	return n.shoot.ConditionAt(t, n.planned)
}

// minutes returns the moments of the window minute by minute, no more of them
// once the context ends.
func (n *session) minutes(ctx context.Context) []Moment {
	list := make([]Moment, 0, int(n.to.Sub(n.from)/time.Minute)+1)
	for t := n.from; !t.After(n.to) && ctx.Err() == nil; t = t.Add(time.Minute) {
		list = n.moments(list, t)
	}
	return list
}

// Make plans the window minute by minute, and reads every step of it off that.
// The error reports that the window cannot be placed in the day, or is TooLarge,
// or it is the context's, which ends the work at once.
func Make(ctx context.Context, s *shoot.Shoot) (*Plan, error) {
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	return n.plan(ctx)
}

// Outline plans the shoot of a day from one time to another, whatever hours it
// names, and without the cures of what is missed. The error is the context's.
func Outline(ctx context.Context, s *shoot.Shoot, day sky.Day, from, to time.Time) (*Plan, error) {
	return sessionBetween(s, day, from, to).outline(ctx)
}

// plan plans the session. The error is TooLarge or the context's.
func (n *session) plan(ctx context.Context) (*Plan, error) {
	if err := small(n); err != nil {
		return nil, err
	}
	p, err := n.outline(ctx)
	if err != nil {
		return nil, err
	}
	if err := p.cure(ctx, p.Rows); err != nil {
		return nil, err
	}
	return p, nil
}

// outline plans the session but for the cures of what is missed. The error is
// the context's.
func (n *session) outline(ctx context.Context) (*Plan, error) {
	done, err := n.past(ctx)
	if err != nil {
		return nil, err
	}
	s := n.shoot
	v := NewSolver(s)
	p := &Plan{Shoot: s, Day: n.day, session: n, solver: v}
	minutes := n.minutes(ctx)
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	n.divide(minutes)
	n.highest = highestSun(minutes)
	v.highest, v.first = n.highest, n.stretches[0].key
	runs := make([][]Run, len(s.Methods))
	parallel(ctx, len(runs), func(i int) { runs[i] = v.runs(ctx, s.Methods[i], minutes, n.stretches, &done) })
	p.Runs = slices.Concat(runs...)
	for t := n.from; !t.After(n.to); t = t.Add(s.When.Step) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		p.Rows = append(p.Rows, p.At(t)...)
	}
	return p, nil
}

// parallel does n things that do not depend on each other, no more of them at a
// time than the machine does at once: each takes memory while it lasts. It begins
// no more of them once the context ends.
func parallel(ctx context.Context, n int, do func(int)) {
	var all sync.WaitGroup
	var next atomic.Int64
	for range min(n, runtime.GOMAXPROCS(0)) {
		all.Go(func() {
			for i := int(next.Add(1)) - 1; i < n && ctx.Err() == nil; i = int(next.Add(1)) - 1 {
				do(i)
			}
		})
	}
	all.Wait()
}

// divide works out the key side of every minute.
func (n *session) divide(minutes []Moment) {
	n.stretches = n.stretchesOf(minutes)
	for i := range minutes {
		minutes[i].Stance.Key = keyAt(n.stretches, minutes[i].Time)
	}
}
