package sky

import (
	"math"
	"time"
)

// Sun is where the sun stands, seen from a place.
type Sun struct {
	Altitude     Angle   // apparent: centre of the disc, refraction included
	TrueAltitude Angle   // topocentric, as if there were no air
	Azimuth      Angle   // clockwise from true north, [0, 2 pi)
	Distance     float64 // au, from the centre of the Earth
	Season       float64 // sine of the ecliptic longitude: 1 at the June solstice, -1 in December
}

// DistanceFactor returns how much stronger sunlight is than at 1 au, 1/d^2:
// from 0.967 in early July to 1.034 in early January.
func (s Sun) DistanceFactor() float64 { return 1 / (s.Distance * s.Distance) }

// Sun returns where the sun stands at time t.
//
// Against an independent ephemeris (astropy's) the direction is within 0.002
// deg and the distance within 0.00015 au from 1950 to 2100; beyond those years
// it worsens slowly. Two things no formula can know come on top. UTC is taken
// for UT1, the Earth's own clock, which it has followed within 0.9 s since
// 1972: up to 0.004 deg of hour angle. And the Earth's turning cannot be
// predicted: should it lag 100 s more by 2100 than is assumed here, the sun is
// off by 0.001 deg. At the poles, azimuths are counted from the meridian of
// the observer's longitude.
func (o Observer) Sun(t time.Time) Sun {
	v := o.sunDirection(daysFrom2000(t))
	level := math.Sqrt(v.north*v.north + v.east*v.east)
	altitude := math.Atan2(v.up, level)
	azimuth := math.Atan2(v.east, v.north)
	if azimuth < 0 {
		azimuth += radPerTurn
		if azimuth >= radPerTurn { // a tiny negative angle rounds up to the full circle
			azimuth = 0
		}
	}
	return Sun{
		Altitude:     Angle(altitude + o.bend*standardRefraction(altitude, v.up, level)),
		TrueAltitude: Angle(altitude),
		Azimuth:      Angle(azimuth),
		Distance:     v.distance,
		// The sine of the declination over that of the obliquity, within 0.0002.
		Season: (o.cosLat*v.north + o.sinLat*v.up) * (1 / sinObliquity),
	}
}

// sunDirection is the topocentric direction of the sun without air, as a
// vector (of about unit length) on the axes of the observer's horizon.
type sunDirection struct {
	north, east, up float64
	distance        float64 // au
}

func (v sunDirection) altitude() float64 {
	return math.Atan2(v.up, math.Sqrt(v.north*v.north+v.east*v.east))
}

func (o *Observer) sunDirection(days float64) sunDirection {
	sun, siderealTime := apparentSun(days)
	sin, cos := sincosTurns(siderealTime + float64(o.site.Longitude)*(1/radPerTurn))
	meridian := cos*sun.x + sin*sun.y // toward the equator's point on the meridian
	// Parallax: the observer stands one Earth radius up from the centre, seen
	// from 1 au as 8.794" (IAU 1976). The flattening of the Earth, mountains
	// and diurnal aberration change less than 0.0001 deg and are left out.
	const earthRadius = 8.794 * radPerArcsec // au
	return sunDirection{
		north:    o.cosLat*sun.z - o.sinLat*meridian,
		east:     cos*sun.y - sin*sun.x,
		up:       o.sinLat*sun.z + o.cosLat*meridian - earthRadius*reciprocal(sun.distance),
		distance: sun.distance,
	}
}

// equatorialSun is the apparent sun on the true equator and equinox of date,
// seen from the centre of the Earth: a unit vector with x toward the equinox
// and z toward the north pole.
type equatorialSun struct {
	x, y, z  float64
	distance float64 // au
}

// apparentSun returns the sun at a time in days of UT from 2000-01-01 12:00, and
// the apparent sidereal time at Greenwich in turns.
//
// The orbit is the ellipse of Meeus, Astronomical Algorithms, 2nd ed. 1998,
// ch. 25, to which the pull of the Moon and the planets is added. What is left
// out, 0.0015 deg at the worst, is many smaller perturbations and the sun's
// ecliptic latitude, which stays below 1.2".
func apparentSun(days float64) (sun equatorialSun, siderealTime float64) {
	t := terrestrialTime(days) * (1.0 / 36525) // Julian centuries

	// Meeus 25.3 and the equation of the centre in degrees, (1.914602 - 0.004817 t)
	// sin M + 0.019993 sin 2M + 0.000289 sin 3M, by sin 2M = 2 sin M cos M and
	// sin 3M = sin M (4 cos^2 M - 1).
	sinM, cosM := sincosTurns((357.52911 + t*(35999.05029-0.0001537*t)) * (1.0 / 360))
	centre := sinM * (1.914602 - 0.000289 - 0.004817*t + cosM*(2*0.019993+4*0.000289*cosM))
	// Kepler's ellipse to e^2, a = 1.000001018 au, e = 0.0167086 - 0.0000420 t (Meeus 25.4, 25.5).
	distance := 1.0002802 - cosM*(0.0167086-0.0000420*t+0.0002792*cosM)

	// Nutation: -17.20" sin(node) in longitude, 9.20" cos(node) in obliquity
	// (Meeus ch. 22), node being that of the Moon's orbit.
	node := (125.04452 - 1934.136261*t) * (1.0 / 360) // turns
	nutation := -17.20 / 3600 * cosTurns(node-0.25)   // deg
	obliquity := -0.0130042*t + 9.20/3600*cosTurns(node)
	aberration := -20.4898 / 3600 * reciprocal(distance) // deg, Meeus 25.10

	var pull float64 // 1e-8 rad
	for i := range perturbations {
		p := &perturbations[i]
		pull += p.amplitude * cosTurns(p.phase+p.rate*t)
	}

	// The longitude is M, plus where the perihelion was in 2000, plus a drift
	// of a few degrees at most. Turning the vector of M by the one and then by
	// the other gives its sine and cosine at less cost than another Sincos; the
	// series of the drift are good to 1e-8 rad.
	//
	// 282.93735 deg is L0 - M of Meeus 25.2 and 25.3 for 2000, 1.71954 and
	// 0.0004569 the difference of their rates, and -348e-8 rad the perturbation
	// 357e-8 cos 2.92 of VSOP87, which all but stands still.
	const sinPerihelion, cosPerihelion = -0.974615455, 0.223885496
	sinMean, cosMean := sinM*cosPerihelion+cosM*sinPerihelion, cosM*cosPerihelion-sinM*sinPerihelion
	drift := (pull-348)*1e-8 + (t*(1.71954+0.0004569*t)+nutation+(centre+aberration))*radPerDegree
	square := drift * drift
	sinDrift, cosDrift := drift*(1-square*(1.0/6)), 1-square*(0.5-square*(1.0/24))
	sinLon, cosLon := sinMean*cosDrift+cosMean*sinDrift, cosMean*cosDrift-sinMean*sinDrift

	// The obliquity has moved by so little (rad) that its sine and cosine go
	// along straight lines.
	moved := obliquity * radPerDegree
	// Meeus 12.4 and the equation of the equinoxes.
	siderealTime = (280.46061837 + 360.98564736629*days + 0.000387933*t*t + cosObliquity*nutation) * (1.0 / 360)
	sun = equatorialSun{
		x:        cosLon,
		y:        sinLon * (cosObliquity - sinObliquity*moved),
		z:        sinLon * (sinObliquity + cosObliquity*moved),
		distance: distance,
	}
	return sun, siderealTime
}

// perturbations are the largest terms of the Earth's longitude in VSOP87
// (Bretagnon & Francou 1988, Astron. Astrophys. 202, 309; listed in Meeus,
// appendix III, and in Reda & Andreas 2004, table A4.2) that the ellipse does
// not account for: amplitude, phase and rate of a cosine. E, V, Ma and J stand
// for the mean longitudes of Earth, Venus, Mars and Jupiter.
var perturbations = [...]struct {
	amplitude float64 // 1e-8 rad
	phase     float64 // turns, written in rad
	rate      float64 // turns a century, written in rad a millennium
}{
	{3497, 2.7441 / radPerTurn, 5753.3849 / 10 / radPerTurn},  // E - J
	{3418, 2.8289 / radPerTurn, 3.5231 / 10 / radPerTurn},     // 1783 years
	{3136, 3.6277 / radPerTurn, 77713.7715 / 10 / radPerTurn}, // the Moon from the sun
	{2676, 4.4181 / radPerTurn, 7860.4194 / 10 / radPerTurn},  // 2V - 2E
	{2343, 6.1352 / radPerTurn, 3930.2097 / 10 / radPerTurn},  // V - E
	{1324, 0.7425 / radPerTurn, 11506.7698 / 10 / radPerTurn}, // 2E - 2J
	{1273, 2.0371 / radPerTurn, 529.6910 / 10 / radPerTurn},   // J
	{1199, 1.1096 / radPerTurn, 1577.3435 / 10 / radPerTurn},  // 2V - 3E
	{990, 5.233 / radPerTurn, 5884.927 / 10 / radPerTurn},     // 2E - 2Ma
	{902, 2.045 / radPerTurn, 26.298 / 10 / radPerTurn},       // 8V - 13E
	{857, 3.508 / radPerTurn, 398.149 / 10 / radPerTurn},      // 2Ma - E
	{780, 1.179 / radPerTurn, 5223.694 / 10 / radPerTurn},     // E - 2J
	{753, 2.533 / radPerTurn, 5507.553 / 10 / radPerTurn},     // 3V - 4E
}

// cosTurns returns the cosine of x turns within 0.0014, the best an even
// polynomial of sixth degree can do over a whole turn: enough for terms of
// some arcseconds, and several times as quick as math.Cos. |x| < 2^51.
func cosTurns(x float64) float64 {
	const round = 3 << 51 // adding this rounds a float64 to a whole number
	x -= (x + round) - round
	q := x * x
	return 0.998606597 + q*(-19.5556181+q*(61.1381230-59.6626004*q))
}

// sincosTurns returns the sine and cosine of x turns within 2e-8, at half the
// cost of math.Sincos: Taylor's series for a quarter of the angle, which is then
// doubled twice. |x| < 2^51.
func sincosTurns(x float64) (sin, cos float64) {
	const round = 3 << 51 // see cosTurns
	x -= (x + round) - round
	a := x * (radPerTurn / 4)
	q := a * a
	sin = a * (1 - q*(1.0/6-q*(1.0/120-q*(1.0/5040-q*(1.0/362880)))))
	cos = 1 - q*(1.0/2-q*(1.0/24-q*(1.0/720-q*(1.0/40320-q*(1.0/3628800)))))
	sin, cos = 2*sin*cos, 1-2*sin*sin
	return 2 * sin * cos, 1 - 2*sin*sin
}

// reciprocal returns 1/d for a distance of about 1 au, within 0.0003.
func reciprocal(d float64) float64 { return 2 - d }

// noon2000 is 2000-01-01 12:00 (JD 2451545.0) in Unix time, s.
const noon2000 = 946728000

// timeFrom2000 returns the time so many days of UTC from noon of 2000, to a
// microsecond.
func timeFrom2000(days float64) time.Time {
	seconds := math.Floor(days * 86400)
	return time.Unix(noon2000+int64(seconds), int64((days*86400-seconds)*1e9))
}

// daysFrom2000 returns the days of UTC from 2000-01-01 12:00 (JD 2451545.0),
// to a microsecond.
func daysFrom2000(t time.Time) float64 {
	return (float64(t.Unix()-noon2000) + float64(t.Nanosecond())*1e-9) * (1.0 / 86400)
}

// terrestrialTime turns days of UT into days of TT. The difference, delta T,
// was 29 s in 1950, 64 s in 2000 and 69 s in 2020; 60 s + 0.58 s a year runs
// within 6 s of every value observed so far, in which time the sun moves
// 0.00007 deg. It reaches 118 s in 2100, for which Espenak & Meeus (2006)
// expect 203 s; the Earth has slowed less than they expected since.
func terrestrialTime(days float64) float64 {
	return days + (60+0.58/365.25*days)*(1.0/86400)
}

// Of the obliquity of the ecliptic in 2000, 23.4392911 deg (Meeus 22.2).
const sinObliquity, cosObliquity = 0.397777156, 0.917482062

const (
	radPerDegree = math.Pi / 180
	radPerArcsec = radPerDegree / 3600
	radPerTurn   = 2 * math.Pi
)
