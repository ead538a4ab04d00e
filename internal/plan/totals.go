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
	Rim    *Use    // of the rim flashes; nil where there are none
}

// Use is what one group of flashes is put through.
type Use struct {
	// FullFlashes is how many flashes at full power each unit's work comes to:
	// units that share the power have less each.
	FullFlashes float64
	Sets        int // of batteries for each unit; those in it count
	// BurstFrames is how many frames in a row the hardest moment allows before
	// the flash must rest for so many minutes; 0 where no flash is used.
	BurstFrames float64
	Rest        float64
	// Recycle is the longest, in s, and Pace the time between two frames:
	// where Recycle is longer, the flash sets the pace.
	Recycle, Pace float64
	At            time.Time // of the hardest moment
}

// TotalsOf adds up a finished plan.
func TotalsOf(p *Plan) []Totals {
	var list []Totals
	for n, m := range p.Shoot.Methods {
		var worst Totals
		for _, k := range [2]sky.Case{sky.SunOut, sky.SunIn} {
			if t := addUp(p, n, k); k == sky.SunOut || t.Key.FullFlashes > worst.Key.FullFlashes {
				worst = t
			}
		}
		worst.Method = m
		list = append(list, worst)
	}
	return list
}

// addUp follows one method under one case. Each row stands for the time until
// the next; the last for none.
func addUp(p *Plan, n int, k sky.Case) Totals {
	pace := p.Shoot.Pace.FramesPerMinute
	t := Totals{Key: Use{Pace: 60 / pace}}
	if p.Shoot.Rim != nil {
		t.Rim = &Use{Pace: 60 / pace}
	}
	rows := rowsOf(p.Rows, k)
	for i := range rows {
		s := &rows[i].Methods[n]
		if !s.Feasible {
			continue
		}
		frames := 0.0
		if i+1 < len(rows) {
			frames = rows[i+1].Time.Sub(rows[i].Time).Minutes() * pace
		}
		t.Frames += frames
		if s.Role != None {
			t.Key.take(p.Shoot.Flash.Unit, s.Power, frames, s.Recycle, rows[i].Time)
		}
		if s.RimFlash != nil {
			t.Rim.take(p.Shoot.Rim.Unit, s.RimFlash.Power, frames, s.RimFlash.Recycle, rows[i].Time)
		}
	}
	t.Key.finish(p.Shoot.Flash.Unit)
	if t.Rim != nil {
		t.Rim.finish(p.Shoot.Rim.Unit)
	}
	return t
}

// rowsOf picks the rows of a case; where a sky has one case only, its row
// stands for both.
func rowsOf(rows []Row, k sky.Case) []*Row {
	var list []*Row
	for i := range rows {
		if r := &rows[i]; r.Case == k || r.Condition.Cases() == 1 {
			list = append(list, r)
		}
	}
	return list
}

// take counts frames at a power. In high-speed sync, too, a frame at a setting
// costs about that share of a full flash, whatever the shutter.
func (u *Use) take(unit *flash.Unit, p flash.Power, frames, recycle float64, at time.Time) {
	u.FullFlashes += frames * p.Fraction()
	if recycle > u.Recycle || u.At.IsZero() {
		u.Recycle, u.At = recycle, at
	}
	if burst := unit.BurstLimit / p.Fraction(); u.BurstFrames == 0 || burst < u.BurstFrames {
		u.BurstFrames, u.Rest = burst, unit.BurstRest
	}
}

func (u *Use) finish(unit *flash.Unit) {
	u.Sets = int(math.Ceil(u.FullFlashes/unit.FlashesASet - 1e-9))
}
