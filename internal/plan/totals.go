package plan

import (
	"math"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Totals is what one method costs over the window, at the shoot's pace. Of the
// two cases of a broken sky the costlier counts.
type Totals struct {
	Method shoot.Method
	Frames float64 // in the minutes that the method holds the look
	Key    Use     // of the main flashes
	Fill   *Use    // of the fill; nil where there is none
	Rim    *Use    // of the rim flashes; nil where there are none
}

// Use is what one group of flashes is put through.
type Use struct {
	// FullFlashes is how many flashes at full power each unit's work comes to:
	// units that share the power have less each.
	FullFlashes float64
	Sets        int // of batteries for each unit; those in it count
	// BurstFrames is how many frames in a row the hardest moment allows before
	// the flash must rest for so long; 0 where no flash is used.
	BurstFrames float64
	Rest        time.Duration
	// Recycle is the longest, and Pace the time between two frames:
	// where Recycle is longer, the flash sets the pace.
	Recycle, Pace time.Duration
	At            time.Time // of the hardest moment
}

// totals adds up every method's runs.
func (p *Plan) totals() []Totals {
	var list []Totals
	for i := range p.Runs {
		t := p.addUp(&p.Runs[i])
		switch last := len(list) - 1; {
		case p.Runs[i].Case == sky.SunOut:
			list = append(list, t)
		case t.work() > list[last].work():
			list[last] = t
		}
	}
	return list
}

// work is how many flashes at full power the flashes in front come to.
func (t *Totals) work() float64 {
	if t.Fill == nil {
		return t.Key.FullFlashes
	}
	return t.Key.FullFlashes + t.Fill.FullFlashes
}

// sets returns how many sets of batteries the flash in front takes that takes
// the most.
func (t *Totals) sets() int {
	if t.Fill == nil {
		return t.Key.Sets
	}
	return max(t.Key.Sets, t.Fill.Sets)
}

// addUp follows one run. Each minute stands for the time until the next; the
// last for none.
func (p *Plan) addUp(r *Run) Totals {
	pace := p.Shoot.Pace.FramesPerMinute
	unused := Use{Pace: p.Shoot.Pace.BetweenFrames()}
	t := Totals{Method: r.Method, Key: unused}
	if r.Fill != nil {
		fill := unused
		t.Fill = &fill
	}
	if p.Shoot.Rim != nil {
		rim := unused
		t.Rim = &rim
	}
	for i := range r.Minutes {
		m := &r.Minutes[i]
		if !m.Outcome.Succeeds() {
			continue
		}
		frames := 0.0
		if i+1 < len(r.Minutes) {
			frames = r.Minutes[i+1].Time.Sub(m.Time).Minutes() * pace
		}
		t.Frames += frames
		fast := m.Settings.Shutter > p.Shoot.Camera.Sync
		if m.Fires() {
			t.Key.take(p.Shoot.Flash.Unit, m.Power, fast, frames, m.Time)
		}
		if m.Fill.Fires() {
			t.Fill.take(p.Shoot.Fill.Unit, m.Fill.Power, fast, frames, m.Time)
		}
		if m.RimFlash != nil {
			t.Rim.take(p.Shoot.Rim.Unit, m.RimFlash.Power, fast, frames, m.Time)
		}
	}
	t.Key.finish(p.Shoot.Flash.Unit)
	if t.Fill != nil {
		t.Fill.finish(p.Shoot.Fill.Unit)
	}
	if t.Rim != nil {
		t.Rim.finish(p.Shoot.Rim.Unit)
	}
	return t
}

// take counts frames at a power. In high-speed sync, too, a frame at a setting
// costs about that share of a full flash, whatever the shutter.
func (u *Use) take(unit *flash.Unit, p flash.Power, fast bool, frames float64, at time.Time) {
	u.FullFlashes += frames * p.Fraction()
	if recycle := unit.Recycle(p); recycle > u.Recycle || u.At.IsZero() {
		u.Recycle, u.At = recycle, at
	}
	if burst := unit.BurstFrames(p, fast); u.BurstFrames == 0 || burst < u.BurstFrames {
		u.BurstFrames, u.Rest = burst, unit.BurstRest
	}
}

func (u *Use) finish(unit *flash.Unit) {
	u.Sets = int(math.Ceil(u.FullFlashes/unit.FlashesPerSet - 1e-9))
}
