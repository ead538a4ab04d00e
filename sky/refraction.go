package sky

import "math"

// Refraction returns by how much air lifts a body that stands at the true
// altitude: 29 arcmin for one on the horizon (which then seems half a degree
// up), 34 for one that seems to be on it, nothing at the zenith.
//
// Down to -1 deg it is the formula of Saemundsson (Sky & Telescope 72, 1986,
// p. 70; Meeus, Astronomical Algorithms, 2nd ed. 1998, eq. 16.4), with Meeus's
// constant that makes it vanish at the zenith and his scaling by pressure and
// temperature. It is within 0.15 arcmin of the standard tables. The formula has a
// pole near -5.1 deg, so below -1 deg, where level ground hides every body,
// the refraction dies away as the cotangent of the depth. That is the shape of
// Zimmerman (1981, NREL SOLPOS) below the horizon; where the two are joined is
// a choice of this package. The apparent altitude is continuous and rises with
// the true one all the way from -90 to 90 deg, in any air met on Earth.
func Refraction(trueAltitude Angle, air Air) Angle {
	sin, cos := math.Sincos(float64(trueAltitude))
	return Angle(air.bend() * standardRefraction(float64(trueAltitude), sin, cos))
}

// bend returns the refraction of the air relative to the 1010 hPa and 10 deg C
// that the formula is for (Meeus, ch. 16).
func (a Air) bend() float64 {
	return a.Pressure / bentPressure * (bentKelvin / (zeroKelvin + a.Temperature))
}

// The air of Saemundsson's formula, and his zero of the Celsius scale.
const (
	bentPressure = 1010 // hPa
	bentKelvin   = 283
	zeroKelvin   = 273
)

// standardRefraction returns the refraction in rad at 1010 hPa and 10 deg C.
// The altitude is in rad; sin and cos are its sine and cosine, or both of them
// times the same positive number. Saemundsson's formula is, in degrees,
//
//	R = 1.02' cot(h + d) + 0.0019',  d = 10.3 / (h + 5.11)
//
// Here the cotangent of the sum is taken from the parts: cot(h + d) =
// (cos h - sin h tan d) / (sin h + cos h tan d), with tan d = 1.0004 d, which
// is true for a body on the horizon and shifts R by 0.005' at most above it
// and by 0.016' at -1 deg. That leaves one division and no trigonometry.
func standardRefraction(altitude, sin, cos float64) float64 {
	const (
		degree = math.Pi / 180
		arcmin = degree / 60
	)
	if altitude < bentBelow*degree {
		return bentDepth * arcmin * cos / -sin
	}
	above := altitude + bentRaise*degree
	const tan = bentTan * bentTurn * degree * degree // of d, times above
	return bentScale*arcmin*(cos*above-sin*tan)/(sin*above+cos*tan) + bentZenith*arcmin
}

// The numbers of standardRefraction: R = bentScale cot(h + d) + bentZenith in
// arcmin, tan d = bentTan bentTurn / (h + bentRaise), h in degrees; below the
// altitude bentBelow, R = bentDepth cot(-h).
const (
	bentScale  = 1.02
	bentTurn   = 10.3
	bentRaise  = 5.11
	bentZenith = 0.0019279
	bentTan    = 1.0004
	bentBelow  = -1
	bentDepth  = 0.67746817 // R at bentBelow times tan 1 deg
)
