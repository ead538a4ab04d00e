package shoot

import (
	"math"
	"time"

	"evenfall/sky"
)

// Learned is what meter readings say of the light from a time on, under one
// condition of the sky.
type Learned struct {
	From  time.Time
	Under sky.Condition
	Case  sky.Case
	By    sky.Correction // at From
	// Fades is how long it takes until e times less of it holds; 0 of what stays.
	Fades time.Duration
}

// at returns the correction at a time not before From.
func (l *Learned) at(t time.Time) sky.Correction {
	if l.Fades <= 0 {
		return l.By
	}
	left := math.Exp(-float64(t.Sub(l.From)) / float64(l.Fades))
	return sky.Correction{
		Turbidity: l.By.Turbidity * left,
		Beam:      l.By.Beam * sky.Stops(left), Sky: l.By.Sky * sky.Stops(left),
		Told: l.By.Told * left, SkyTold: l.By.SkyTold * left,
	}
}

// CorrectionAt returns what readings say of the light at a time under a
// condition: the latest that is not later. It is zero where there is none.
func (s *Shoot) CorrectionAt(t time.Time, c sky.Condition, k sky.Case) sky.Correction {
	for i := len(s.Learned) - 1; i >= 0; i-- {
		if l := &s.Learned[i]; l.Under == c && l.Case == k && !l.From.After(t) {
			return l.at(t)
		}
	}
	return sky.Correction{}
}
