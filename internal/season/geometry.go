package season

import (
	"slices"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// The ranges of the sun's true altitude that lights are named for: golden hour
// and blue hour are common practice, no standard; see sky.EventName. Where
// nothing is said of hours or light, nights are not looked at: a flash makes the
// same picture all through them.
var (
	goldenHour = shoot.AngleRange{Low: sky.Degrees(-4), High: sky.Degrees(6)}
	blueHour   = shoot.AngleRange{Low: sky.Degrees(-6), High: sky.Degrees(-4)}
	daylight   = shoot.AngleRange{Low: sky.Degrees(-6), High: sky.Degrees(90)}
)

// lastLightOver is how far above the skyline the last light begins: what golden
// hour is above a level horizon. Common practice, no source.
var lastLightOver = sky.Degrees(6)

// Altitudes returns the range of the sun's true altitude that a light is named
// for, and whether there is one; of any light what is looked at where hours are
// not said either.
func Altitudes(l shoot.NamedLight) (shoot.AngleRange, bool) {
	switch l {
	case shoot.AnyLight:
		return daylight, true
	case shoot.GoldenHour:
		return goldenHour, true
	case shoot.BlueHour:
		return blueHour, true
	}
	return shoot.AngleRange{}, false
}

// geometry are the wishes that the sun's place alone decides.
type geometry struct {
	shoot    *shoot.Shoot
	observer sky.Observer
	wishes   *shoot.Wishes
	altitude shoot.AngleRange
}

func newGeometry(s *shoot.Shoot, w *shoot.Wishes) geometry {
	g := geometry{shoot: s, observer: s.Observer(), wishes: w, altitude: daylight}
	if w.SunAltitude != nil {
		g.altitude = *w.SunAltitude
	} else if w.Light != shoot.AnyLight || w.Between != nil {
		g.altitude = shoot.AngleRange{Low: sky.Degrees(-90), High: sky.Degrees(90)}
	}
	return g
}

// beyond is how far an angle lies outside the range, 0 in it.
func beyond(r shoot.AngleRange, a sky.Angle) sky.Angle { return max(0, r.Low-a, a-r.High) }

// around is how far an azimuth lies outside a range that runs clockwise.
func around(r shoot.AngleRange, a sky.Angle) sky.Angle {
	width := (r.High - r.Low).Normal()
	if off := (a - r.Low).Normal(); off > width {
		return min(off-width, (r.Low - a).Normal())
	}
	return 0
}

// sunWishes are the wishes that the sun's place decides, in the order they are told.
var sunWishes = [...]Wish{SunHeight, Light, SunAzimuth, SunSide, SunVisible}

// fails returns the first wish that does not hold with the sun in its place at a
// time, and whether there is one.
func (g *geometry) fails(t time.Time, sun sky.Sun) (Wish, bool) {
	for _, w := range sunWishes {
		if g.off(w, t, sun) > 0 {
			return w, true
		}
	}
	return 0, false
}

// off is how far a wish is from holding, in degrees; where it is no matter of
// degrees a whole turn; 0 where it holds.
func (g *geometry) off(w Wish, t time.Time, sun sky.Sun) sky.Angle {
	wishes := g.wishes
	switch w {
	case SunHeight:
		return beyond(g.altitude, sun.TrueAltitude)
	case Light:
		return g.offLight(t, sun)
	case SunAzimuth:
		if wishes.SunAzimuth != nil {
			return around(*wishes.SunAzimuth, sun.Azimuth)
		}
	case SunSide:
		if len(wishes.SunFrom) > 0 && !g.onSide(sun) {
			return sky.Degrees(360)
		}
	case SunVisible:
		if wishes.SunVisible && g.shoot.Place.Horizon.Visible(sun) <= 0 {
			return max(g.shoot.Place.Horizon.At(sun.Azimuth), 0) - sun.Altitude
		}
	}
	return 0
}

// offLight is how far the sun stands from the named light.
func (g *geometry) offLight(t time.Time, sun sky.Sun) sky.Angle {
	switch g.wishes.Light {
	case shoot.GoldenHour:
		return beyond(goldenHour, sun.TrueAltitude)
	case shoot.BlueHour:
		return beyond(blueHour, sun.TrueAltitude)
	case shoot.LastLight:
		return g.offLastLight(t, sun)
	}
	return 0
}

// offLastLight is how far the sun stands from sinking toward the skyline.
func (g *geometry) offLastLight(t time.Time, sun sky.Sun) sky.Angle {
	over := sun.Altitude - max(g.shoot.Place.Horizon.At(sun.Azimuth), 0)
	rises := g.observer.Sun(t.Add(time.Minute)).Altitude >= sun.Altitude
	switch {
	case rises: // the morning is far from it
		return sky.Degrees(180) + over
	case over > lastLightOver:
		return over - lastLightOver
	case g.shoot.Place.Horizon.Visible(sun) <= 0:
		return max(-over, sky.Degrees(0.01))
	}
	return 0
}

// onSide reports whether the sun comes from one of the sides wished for.
func (g *geometry) onSide(sun sky.Sun) bool {
	bearing := scene.Bearing(g.shoot.Subject.Facing.At(sun.Azimuth), sun.Azimuth)
	return slices.Contains(g.wishes.SunFrom, bearing)
}
