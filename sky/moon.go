package sky

import (
	"math"
	"time"

	"github.com/sixdouglas/suncalc"
)

// Moon is about where the moon stands, seen from a place, and how it is lit.
type Moon struct {
	Altitude     Angle   // apparent: centre of the disc, refraction included
	TrueAltitude Angle   // topocentric, as if there were no air
	Azimuth      Angle   // clockwise from true north, [0, 2 pi)
	Distance     float64 // km, from the centre of the Earth
	Lit          float64 // share of the disc that the sun lights, 0 to 1
	Elongation   Angle   // from the sun along the ecliptic: 0 new, pi full, [0, 2 pi)
}

// How far off a Moon is: what nine in ten of 240 positions from 2025 to 2034, and of
// 218 risings and settings between 53 S and 70 N, lie within of astropy's
// (testdata/moon).
const (
	MoonErrorAngle = 1.6 * math.Pi / 180 // of altitude, and of azimuth across the sky
	MoonErrorTime  = 10 * time.Minute    // of rise and set
	MoonErrorLit   = 0.02                // of the lit share
)

// Moon returns about where the moon stands at time t: the three largest terms of its
// orbit by suncalc, to which the parallax of the observer is added, and refraction
// as it is the sun's.
func (o Observer) Moon(t time.Time) Moon {
	p := suncalc.GetMoonPosition(t, o.site.Latitude.Degrees(), o.site.Longitude.Degrees())
	shape := suncalc.GetMoonIllumination(t)
	geocentric := unlifted(p.Altitude)
	altitude := geocentric - math.Asin(earthRadius/p.Distance*math.Cos(geocentric))
	return Moon{
		Altitude:     Angle(altitude) + Refraction(Angle(altitude), o.Air()),
		TrueAltitude: Angle(altitude),
		Azimuth:      Angle(p.Azimuth + math.Pi).Normal(), // suncalc counts from south
		Distance:     p.Distance,
		Lit:          shape.Fraction,
		Elongation:   Angle(2 * math.Pi * shape.Phase).Normal(),
	}
}

const earthRadius = 6378.137 // km, WGS 84

// unlifted takes the refraction off an altitude of suncalc's, in rad. It adds
// Saemundsson's (Meeus 1998, eq. 16.4), below the horizon that of the horizon.
func unlifted(seen float64) float64 {
	h := seen
	for range 4 {
		up := max(h, 0)
		h = seen - 0.0002967/math.Tan(up+0.00312536/(up+0.08901179))
	}
	return h
}

// Phase is what a phase of the moon is called.
type Phase string

// The phases.
const (
	NewMoon        Phase = "new moon"
	WaxingCrescent Phase = "waxing crescent"
	FirstQuarter   Phase = "first quarter"
	WaxingGibbous  Phase = "waxing gibbous"
	FullMoon       Phase = "full moon"
	WaningGibbous  Phase = "waning gibbous"
	LastQuarter    Phase = "last quarter"
	WaningCrescent Phase = "waning crescent"
)

// Phase returns the name of the phase. The four that are moments are said three
// quarters of a day, 9 deg, to either side: common practice, no source.
func (m Moon) Phase() Phase {
	const near = 9
	degrees := m.Elongation.Degrees()
	quarter := math.Round(degrees / 90)
	if math.Abs(degrees-90*quarter) <= near {
		return [...]Phase{NewMoon, FirstQuarter, FullMoon, LastQuarter}[int(quarter)%4]
	}
	return [...]Phase{WaxingCrescent, WaxingGibbous, WaningGibbous, WaningCrescent}[int(degrees/90)%4]
}

// MoonDay is about what the moon does on a local day.
type MoonDay struct {
	Up     bool       // it stands over the horizon as the day begins
	Passes []MoonPass // of the horizon, in order of time; seldom none, or three
}

// MoonPass is a rise or a set of the moon, in the location of the day and to the
// minute.
type MoonPass struct {
	Time  time.Time
	Rises bool
}

// moonRises is the true altitude of the moon's centre when its upper edge rises: 34
// arcmin of refraction and 15.5 of half its breadth.
const moonRises Angle = -49.5 / 60 * math.Pi / 180

// MoonDay returns about when the moon rises and sets from the start of a day to its
// end, on a level horizon. It is looked at every ten minutes.
func (o Observer) MoonDay(d Day) MoonDay {
	const step = 10 * time.Minute
	m := MoonDay{Up: o.moonUp(d.Start)}
	was := m.Up
	for from := d.Start; from.Before(d.End); from = from.Add(step) {
		to := from.Add(min(step, d.End.Sub(from)))
		if is := o.moonUp(to); is != was {
			m.Passes = append(m.Passes, MoonPass{o.moonTurns(from, to, is).Round(time.Minute), is})
			was = is
		}
	}
	return m
}

// moonUp reports whether the moon is over a level horizon.
func (o *Observer) moonUp(t time.Time) bool { return o.Moon(t).TrueAltitude >= moonRises }

// moonTurns returns, within a second, when between two times the moon is up for the
// first time, or down.
func (o *Observer) moonTurns(from, to time.Time, up bool) time.Time {
	for to.Sub(from) > time.Second {
		if middle := from.Add(to.Sub(from) / 2); o.moonUp(middle) == up {
			to = middle
		} else {
			from = middle
		}
	}
	return to
}
