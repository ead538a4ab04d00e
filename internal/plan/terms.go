package plan

import (
	"slices"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Terms are what a picture has to be beyond succeeding. The zero value asks for
// no more.
type Terms struct {
	Held         bool      // softer does not do
	Headroom     sky.Stops // of every flash that fires, at least
	KeepAperture bool      // within a third of a stop of the wanted one
	Sun          bool      // direct sun, of a broken sky while it is out
}

// Unmet says which of some terms a picture does not meet.
type Unmet int

// What may be unmet; a picture that fails several fails the first of them.
const (
	AllMet        Unmet = iota
	SunUnmet            // there is no direct sun
	LookUnmet           // it misses, or is softer where it has to be held
	HeadroomUnmet       // the flash has less to spare
	ApertureUnmet       // the aperture lies elsewhere
)

// unmet says which terms a picture does not meet.
func (t *Terms) unmet(o Outcome, headroom sky.Stops, a, wanted exposure.Aperture) Unmet {
	const rounding = 1e-9
	switch {
	case o == Missed, o == Softer && t.Held:
		return LookUnmet
	case headroom < t.Headroom-rounding:
		return HeadroomUnmet
	case t.KeepAperture && sky.Stops(a.Stops()-wanted.Stops()).Abs() > usualTolerance+rounding:
		return ApertureUnmet
	}
	return AllMet
}

// sunny reports whether a moment has the sun that is asked for.
func (t *Terms) sunny(m *Moment) bool {
	return !t.Sun || m.Case != sky.SunOut || m.Light.DirectNormal > 0
}

// ofChoice says which terms a choice does not meet that comes to an outcome.
func (t *Terms) ofChoice(c *choice, o Outcome, wanted exposure.Aperture) Unmet {
	return t.unmet(o, min(c.flash.spare(), c.fill.spare()), c.Aperture, wanted)
}

// Meets reports whether an answer meets the terms, given the wanted aperture.
func (t *Terms) Meets(s *Solution, wanted exposure.Aperture) bool {
	return t.ofSolution(s, wanted) == AllMet
}

// ofSolution says which terms an answer does not meet.
func (t *Terms) ofSolution(s *Solution, wanted exposure.Aperture) Unmet {
	room := s.Headroom
	if s.Role == None {
		room = plenty
	}
	return t.unmet(s.Outcome, room, s.Settings.Aperture, wanted)
}

// Account is what a method's run does not meet, minute by minute: of the two
// cases of a broken sky the worse.
type Account struct {
	Times []time.Time
	Unmet []Unmet
}

// Account says what the run of a method does not meet.
func (p *Plan) Account(m shoot.Method, t Terms) Account {
	var a Account
	for i := range p.Runs {
		r := &p.Runs[i]
		if r.Method != m {
			continue
		}
		first := a.Times == nil
		for k := range r.Minutes {
			u := t.ofSolution(&r.Minutes[k].Solution, p.Shoot.Lens.Wanted)
			if !t.sunny(r.Minutes[k].Moment) {
				u = SunUnmet
			}
			if first {
				a.Times, a.Unmet = append(a.Times, r.Minutes[k].Time), append(a.Unmet, u)
			} else if a.Unmet[k] == AllMet {
				a.Unmet[k] = u
			}
		}
	}
	return a
}

// Met reports whether all is met at every minute.
func (a *Account) Met() bool {
	return !slices.ContainsFunc(a.Unmet, func(u Unmet) bool { return u != AllMet })
}

// Minutes are those of an account from one to another, both included.
type Minutes struct{ From, To int }

// Stretches returns those at which all is met, in order of time.
func (a *Account) Stretches() []Minutes {
	var list []Minutes
	start := -1
	for i := 0; i <= len(a.Unmet); i++ {
		met := i < len(a.Unmet) && a.Unmet[i] == AllMet
		switch {
		case met && start < 0:
			start = i
		case !met && start >= 0:
			list = append(list, Minutes{start, i - 1})
			start = -1
		}
	}
	return list
}

// Merits are what speaks for a method over the window.
type Merits struct {
	Held        float64 // share of the minutes
	Comfortable float64 // share of the minutes it succeeds at
	Burden      float64 // the weighted sum, see Weights
}

// Merits returns those of one of the plan's methods.
func (p *Plan) Merits(m shoot.Method) Merits {
	for _, c := range p.overall(p.totals()) {
		if c.method == m {
			return Merits{c.held, 1 - c.tight, c.burden.sum()}
		}
	}
	return Merits{}
}
