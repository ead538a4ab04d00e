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
	Fades Fading
}

// Fading is how long it takes until e times less of each part of a correction
// holds; 0 of what stays.
type Fading struct {
	Turbidity     time.Duration
	Light         time.Duration // of Beam and Sky
	Told, SkyTold time.Duration
}

// at returns the correction at a time not before From.
func (l *Learned) at(t time.Time) sky.Correction {
	age := t.Sub(l.From)
	light := sky.Stops(left(age, l.Fades.Light))
	return sky.Correction{
		Turbidity: l.By.Turbidity * left(age, l.Fades.Turbidity),
		Beam:      l.By.Beam * light, Sky: l.By.Sky * light,
		Told: l.By.Told * left(age, l.Fades.Told), SkyTold: l.By.SkyTold * left(age, l.Fades.SkyTold),
	}
}

// left returns the share that is left at an age of what fades.
func left(age, fades time.Duration) float64 {
	if fades <= 0 {
		return 1
	}
	return math.Exp(-float64(age) / float64(fades))
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
