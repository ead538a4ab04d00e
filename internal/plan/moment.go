package plan

import (
	"context"
	"math"
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
	Pair         *Pair   // nil where there is no fill

	Target exposure.EV // what the camera exposes normally, were there no clicks
	Within sky.Stops   // tolerance of the look
	Lacks  sky.Stops   // flash that is missing, where that is the problem
}

// Pair is how a fill and the flash, as the key, come about together.
type Pair struct {
	Key, Shadow float64 // shares of the fill at its place that the two sides get
	// OnKey and OnShadow are what the background asks both flashes to give the two
	// sides, below 0 where that is nothing; ByKey and ByFill are the flashes that
	// do, below 0 where one would have to take light away. All 0 where both light
	// the face alike.
	OnKey, OnShadow, ByKey, ByFill sky.Lux
	Fill                           sky.Lux // taken
	// Alone is the flash that works without the other; of it Aim, Reach, ForRatio
	// and ToBackground tell.
	Alone Alone
}

// Alone is which of two flashes works without the other.
type Alone int

// They are both, the flash or the fill.
const (
	Both Alone = iota
	KeyOnly
	FillOnly
)

// Working returns how a row's solution comes to its flash.
func (p *Plan) Working(m *Moment, s *Solution) Working {
	v := p.solver
	j := v.job(s.Method, m, s.Gel)
	v.at(&j, s.Angle)
	t := &j.task
	w := Working{Asked: t.asked, Key: t.lamp.key, Shadow: t.lamp.shadow, Flash: t.flash, Target: t.target,
		Within: v.within}
	near, far := t.ambient.Key, t.ambient.Shadow
	lamp := t.lamp
	if t.fill.there {
		w.Pair = t.pair(v.shoot.Look.Ratio)
		if w.Pair.Alone == FillOnly {
			lamp = t.fill.lamp
		}
	}
	w.Aim, w.Reach = lamp.reach(v.shoot.Look.Ratio, near, far)
	w.ForRatio = lamp.forRatio(near, far, w.Aim)
	if lamp.key > 0 {
		w.ToBackground = (t.asked.ByBackground - near) / sky.Lux(lamp.key)
	}
	if s.Problem != nil && (s.Problem.Kind == TooWeak || s.Problem.Kind == FillTooWeak) {
		w.Lacks = s.Problem.Misses
	}
	return w
}

// pair is how the two flashes of a task with a fill come about.
func (t *task) pair(ratio float64) *Pair {
	f := &t.fill
	p := &Pair{Key: f.lamp.key, Shadow: f.lamp.shadow, Fill: f.flash, Alone: f.alone}
	if math.Abs(t.lamps().turn()) < alike {
		return p
	}
	p.OnKey, p.OnShadow = t.asked.ByBackground-t.ambient.Key, t.asked.ByBackground/sky.Lux(ratio)-t.ambient.Shadow
	p.ByKey, p.ByFill = t.lamps().forSides(p.OnKey, p.OnShadow)
	return p
}
