package season

import (
	"evenfall/internal/plan"
	"evenfall/internal/scene"
)

// sunOf is where the sun stands at a minute.
func (k *seeker) sunOf(minute int) Sun {
	sun := k.observer.Sun(k.time(minute))
	return Sun{
		Altitude: sun.TrueAltitude, Apparent: sun.Altitude, Azimuth: sun.Azimuth,
		Bearing: scene.Bearing(k.shoot.Subject.Facing.At(sun.Azimuth), sun.Azimuth),
		Visible: k.shoot.Place.Horizon.Visible(sun) > 0,
	}
}

// edge says which wish fails at a minute just beyond a window.
func (k *seeker) edge(minute int) Edge {
	switch {
	case minute < k.from || minute > k.to:
		if k.wishes.Between != nil {
			return Edge{Wish: Hours}
		}
		return Edge{Wish: Day}
	case !k.fits(minute):
		w, _ := k.fails(k.time(minute), k.sun[minute].sun)
		return Edge{Wish: w}
	}
	return k.picture(minute)
}

// picture says which wish the picture fails at a minute whose sun fits, by the
// best of methods and angles.
func (k *seeker) picture(minute int) Edge {
	best := plan.LookUnmet
	for _, m := range k.methods {
		for a := range k.angles() {
			var found plan.Found
			switch u := k.scout.Holds(m, k.sight(minute), a, &found); u {
			case plan.AllMet:
				return Edge{Wish: Look, Place: true}
			case plan.LookUnmet:
			default:
				best = u
			}
		}
	}
	return Edge{Wish: ofPicture(best)}
}

func ofPicture(u plan.Unmet) Wish {
	switch u {
	case plan.SunUnmet:
		return SunVisible
	case plan.HeadroomUnmet:
		return Headroom
	case plan.ApertureUnmet:
		return Aperture
	}
	return Look
}

// meritsAt is at how many minutes of a stretch its merits are looked at.
const meritsAt = 5

// merits returns the shares of a stretch at which its method holds rather than
// comes out softer, and with comfortable headroom.
func (k *seeker) merits(s stretch) (held, comfort float64) {
	if k.blind {
		return 1, 1
	}
	for n := range meritsAt {
		minute := s.from + (s.to-s.from)*n/(meritsAt-1)
		k.fits(minute)
		h, c := k.scout.Merits(k.methods[s.method], k.sight(minute), s.angle)
		held, comfort = held+h/meritsAt, comfort+c/meritsAt
	}
	return held, comfort
}
