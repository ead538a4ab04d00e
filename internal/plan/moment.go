package plan

import (
	"context"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// TimeOf returns when an instant is in the plan's session, in the window or
// not; nil is the window's start. The error, shoot.TimeErrors, says what the
// day does not have.
func (p *Plan) TimeOf(i *shoot.Instant) (time.Time, error) {
	if i == nil {
		return p.session.from, nil
	}
	moments, err := p.session.asked([]shoot.Instant{*i})
	if err != nil {
		return time.Time{}, err
	}
	return moments[0].time, nil
}

// Answers reads a time off the runs, as At does, with what would cure a miss.
// The error is the context's.
func (p *Plan) Answers(ctx context.Context, t time.Time) ([]Row, error) {
	rows := p.At(t)
	return rows, p.cure(ctx, rows)
}

// Reach is how far a flash brings the lighting ratio from its place.
type Reach int

// The reaches.
const (
	RatioNear   Reach = iota // ambient light alone is near enough to the ratio
	Reached                  // the flash makes it, or comes near enough
	KeyAlone                 // a key that cannot: it brings the key side to what the ratio asks of it
	FillUseless              // a fill that cannot: it gives nothing
)

// Working is how a solution's flash comes about, in steady light: lx, as if it
// shone all the time.
type Working struct {
	Asked               // what the look asks, the flash free to stand anywhere
	Key, Shadow float64 // shares of the flash at its place that the two sides get

	// With a ratio to be made: the one that is near enough to the one asked,
	// whether the place reaches it, and the flash for it, square to it.
	Aim          float64
	Reach        Reach
	ForRatio     sky.Lux
	ToBackground sky.Lux // flash that the background takes; not above 0 where none is needed
	Flash        sky.Lux // taken

	Target exposure.EV // what the camera exposes normally, were there no clicks
	Within sky.Stops   // tolerance of the look
	Lacks  sky.Stops   // flash that is missing, where that is the problem
}

// Working returns how a row's solution comes to its flash.
func (p *Plan) Working(m *Moment, s *Solution) Working {
	v := p.solver
	j := v.job(s.Method, m, s.Gel)
	v.at(&j, s.Angle)
	t := &j.task
	w := Working{Asked: t.asked, Key: t.lamp.key, Shadow: t.lamp.shadow, Flash: t.flash, Target: t.target,
		Within: v.within}
	near, far := t.ambient.Key, t.ambient.Shadow
	w.Aim, w.Reach = t.lamp.reach(v.shoot.Look.Ratio, near, far)
	w.ForRatio = t.lamp.forRatio(near, far, w.Aim)
	if w.Key > 0 {
		w.ToBackground = (t.asked.ByBackground - near) / sky.Lux(w.Key)
	}
	if s.Problem != nil && s.Problem.Kind == TooWeak {
		w.Lacks = s.Problem.Misses
	}
	return w
}
