package plan

import (
	"context"
	"math"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Adjustment is a plan before and after readings, from a time on.
type Adjustment struct {
	Before, After *Plan        // the rest of the window
	Method        shoot.Method // to go on with
	Was           shoot.Method // that the whole window was planned with before
	At            *Moment      // the light at the start, with the readings

	// How far the light at the start lies off the plan; Backdrop is NaN where
	// nothing is known of it.
	Lit, Shade, Backdrop sky.Stops
	// Next is when the first cue after the start comes, before and after; zero
	// where none does.
	Next [2]time.Time
	// Normal is when the background comes down to normal, before and after; zero
	// where it does not, or is there from the start.
	Normal [2]time.Time
}

// Adjust sets a plan made with readings against the same without, from a time
// on. The method to go on with is the one that the whole window was planned with
// before, as long as no other brings more of the rest off: nobody changes the
// kit for nothing. Under broken cloud the light is that of a case. The error is
// the context's.
func Adjust(ctx context.Context, before, after *Plan, from time.Time, k sky.Case) (*Adjustment, error) {
	a := &Adjustment{Was: before.Verdict().Best}
	var err error
	if a.Before, err = before.Rest(ctx, from); err != nil {
		return nil, err
	}
	if a.After, err = after.Rest(ctx, from); err != nil {
		return nil, err
	}
	a.Method = a.Was
	if best := a.After.Verdict().Best; a.After.succeeds(best) > a.After.succeeds(a.Was) {
		a.Method = best
	}
	a.compare(k)
	return a, nil
}

// succeeds counts the minutes that a method succeeds at.
func (p *Plan) succeeds(m shoot.Method) (minutes int) {
	for _, r := range p.RunsOf(p.Index(m)) {
		minutes += r.Held + r.Softer
	}
	return minutes
}

// compare works out how the light and the background lie off.
func (a *Adjustment) compare(k sky.Case) {
	was, is := a.Before.run(a.Method, k), a.After.run(a.Method, k)
	first, now := was.Minutes[0].Moment, is.Minutes[0].Moment
	off := func(was, is float64) sky.Stops { return sky.StopsOf(is / was) }
	a.At = now
	a.Lit = off(float64(first.Light.Lit), float64(now.Light.Lit))
	a.Shade = off(float64(first.Light.Shade), float64(now.Light.Shade))
	a.Backdrop = sky.Stops(math.NaN())
	if first.Known && now.Known {
		a.Backdrop = off(float64(first.Backdrop), float64(now.Backdrop))
	}
	a.Next = [2]time.Time{was.nextCue(), is.nextCue()}
	a.Normal = [2]time.Time{was.comesToNormal(), is.comesToNormal()}
}

// nextCue is when the first cue after the start comes; zero where none does.
func (r *Run) nextCue() time.Time {
	if cues := r.Cues(); len(cues) > 1 {
		return cues[1].Time
	}
	return time.Time{}
}

// comesToNormal is when the background of a run that begins above normal comes
// down to it; zero where that does not happen.
func (r *Run) comesToNormal() time.Time {
	const near = 0.05 // stops, as it is written
	if !(r.Minutes[0].Background > near) {
		return time.Time{}
	}
	for i := range r.Minutes {
		if r.Minutes[i].Background <= near {
			return r.Minutes[i].Time
		}
	}
	return time.Time{}
}
