package sky

import (
	"math"
	"time"
)

// Beam is direct light from one direction.
type Beam struct {
	Normal   Lux   // on a plane square to it
	Altitude Angle // apparent
	Azimuth  Angle // clockwise from true north
}

// On returns the beam's light on an upright plane that faces an azimuth.
func (b *Beam) On(azimuth Angle) Lux {
	if b.Normal == 0 {
		return 0
	}
	return b.Normal * Lux(math.Cos(float64(b.Altitude))*max(0, math.Cos(float64(azimuth-b.Azimuth))))
}

// OnLevel returns the beam's light on the level.
func (b *Beam) OnLevel() Lux {
	if b.Normal == 0 {
		return 0
	}
	return b.Normal * Lux(max(0, math.Sin(float64(b.Altitude))))
}

// Illuminance returns the light of the moon outside the air, on a plane square to
// it: 0.31 lx when it is full, a tenth of it at the quarters (Krisciunas & Schaefer
// 1991, Publ. Astron. Soc. Pacific 103, 1033, eq. 9 and 8, from memory: magnitude
// -12.73 + 0.026 a + 4e-9 a^4 by the phase angle a in degrees, and 10^(-0.4 (V +
// 16.57)) foot-candles), by the square of its distance. That it is brighter still
// within a few degrees of full is left out. The zero Moon gives none.
func (m Moon) Illuminance() Lux {
	if !(m.Distance > 0) {
		return 0
	}
	a := m.PhaseAngle().Degrees()
	near := meanMoonDistance / m.Distance
	return Lux(luxPerFootCandle * near * near * math.Pow(10, -0.4*(3.84+0.026*a+4e-9*a*a*a*a)))
}

const (
	luxPerFootCandle = 10.7639
	meanMoonDistance = 384400 // km
)

// PhaseAngle returns the angle between sun and Earth seen from the moon: 0 full, pi
// new.
func (m Moon) PhaseAngle() Angle { return Angle(math.Acos(max(-1, min(2*m.Lit-1, 1)))) }

// The altitudes of the sun, in degrees, between which the moon's light comes in:
// twilight drowns it above.
const (
	moonComesIn   = -8
	moonHasComeIn = -9
)

// moonShare returns how far the moon's light has come in.
func moonShare(sun Sun) float64 {
	altitude := float64(sun.Altitude.Degrees()) // rounded, so that -8 deg is no light on any processor
	return max(0, min((moonComesIn-altitude)/(moonComesIn-moonHasComeIn), 1))
}

// AtNight reports whether the sun stands so low that the moon's light counts.
func (s Sun) AtNight() bool { return moonShare(s) > 0 }

// NightMoon returns the moon that belongs into the View of a time; the zero Moon
// where the sun stands too high for its light to count.
func (o Observer) NightMoon(t time.Time, sun Sun) Moon {
	if !sun.AtNight() {
		return Moon{}
	}
	return o.Moon(t)
}

// moonColour is that of moonlight outside the air, 4100 K: from memory, and near
// enough through it.
const moonColour Mired = 244

// night is the light of the moon as its condition lets it through, in lx: of its
// beam, square to it, and of the sky that it lights, on the level.
type night struct{ beam, sky float64 }

// night returns the moon's light under a condition: air and cloud take from it and
// send on what they take from a sun as high, and the sky that it lights is spread as
// that of the dusk. The share of its disc over the skyline counts.
func (d *Daylight) night(c Condition, k Case, sun Sun, moon *Moon) night {
	share := moonShare(sun)
	if share == 0 {
		return night{}
	}
	outside := float64(moon.Illuminance())
	if outside == 0 {
		return night{}
	}
	as := Sun{Altitude: moon.Altitude, TrueAltitude: moon.TrueAltitude, Azimuth: moon.Azimuth, Season: sun.Season,
		Distance: math.Sqrt(solarIlluminance / outside)}
	var s source
	if c.between() {
		s, _, _ = d.oktas(c.value, as)
	} else {
		s = d.source(c.weather(k), c, as)
	}
	return night{share * s.beam * d.horizon.Visible(as), share * s.sky}
}
