package sky

import "math"

// The types of ISO 15469 are skies of the day. From a sun of 4 deg down the
// light near it has to come through so much air that the side of the sunset
// loses its bright spot; from -2 deg down the earth's shadow rises on the other
// side while the glow stays. The cloudless types, and with half the contrast
// that of cloud which lets the sun through, then go over into a distribution of
// the standard's form with four numbers more. testdata/lowsun calculates the
// light scattered in spherical air, fits the form to it and says how well it
// does: within 0.1 stop on upright planes, and in the sky 10 deg up within 0.13
// down to -5 deg, 0.43 at -8. A sky all cloud stays what it is.

// Distribution is how luminance is spread over the sky with the sun at one
// altitude.
type Distribution struct {
	Type SkyType // that it is, or with a low sun comes from
	Sun  Angle   // altitude that it is for, see Sun.SpreadAltitude
	// Gradation a, b from zenith to horizon and indicatrix c, d, e round the sun:
	// the columns of ISO 15469:2004, table 1.
	A, B, C, D, E float64
	// With a low sun: Lean is the part of the indicatrix that goes with the cosine
	// of the angle from the sun, Dim what the air takes along the horizon, Shadow
	// the earth's on the side away from the sun, up to an altitude with the sine
	// Edge. Of a standard sky they are 0.
	Lean, Dim, Shadow, Edge float64
}

// The altitudes of the sun, in degrees, between which a type goes over, and the
// last that the fit reaches; below it the distribution stays.
const (
	lowBegins = 9
	lowEnds   = -8
)

// lowKnots are the altitudes of the sun, in degrees, that the fit is given for.
// Between them its numbers run along straight lines, above them to the type's.
var lowKnots = [...]float64{-8, -6, -4, -2, 0, 2, 4}

// lowFit holds the numbers at a knot.
type lowFit struct{ a, b, c, d, e, lean, dim, shadow, edge float64 }

// lowFits are those of the types that go over.
var lowFits = [len(skyTypes)]*[len(lowKnots)]lowFit{
	BrokenSky: {
		{-0.986, -0.1, 8.506, -1.92, 0.934, -0.17, 0.97, 0.654, 0.415},
		{-0.947, -0.166, 4.991, -1.404, 0.763, -0.087, 0.97, 0.655, 0.436},
		{-0.875, -0.264, 3.73, -1.511, 0.383, -0.138, 0.762, 0.589, 0.384},
		{-0.767, -0.32, 3.772, -1.736, 0.238, -0.179, 0.592, 0.414, 0.212},
		{-0.746, -0.347, 4.494, -2.765, 0.465, 0.033, 0.48, 0.263, 0.172},
		{-0.747, -0.273, 7.327, -3.214, 0.502, 0.046, 0.402, 0.196, 0.165},
		{-0.754, -0.221, 9.42, -3.317, 0.503, 0.049, 0.286, 0.196, 0.16},
	},
	ClearSky: {
		{-1.005, -0.038, 16.234, -1.268, 0.239, -1.573, 0.971, 0.458, 0.209},
		{-0.998, -0.097, 6.642, -1.032, 0.575, -0.223, 0.97, 0.634, 0.381},
		{-0.996, -0.166, 1.902, -0.732, 0.467, 0.123, 0.971, 0.771, 0.349},
		{-0.991, -0.244, 1.191, -1.04, 0.309, 0.003, 0.97, 0.668, 0.207},
		{-0.991, -0.235, 1.638, -3.131, 0.581, 0.101, 0.944, 0.468, 0.189},
		{-0.99, -0.205, 5.911, -3.327, 0.507, 0, 0.747, 0.344, 0.18},
		{-0.991, -0.183, 8.985, -3.48, 0.519, 0.028, 0.499, 0.324, 0.171},
	},
	HazySky: {
		{-0.992, -0.178, 10.887, -1.096, 0.388, -1.077, 0.97, 0.441, 0.255},
		{-0.991, -0.322, 4.799, -0.793, 0.563, -0.107, 0.97, 0.534, 0.404},
		{-0.992, -0.433, 1.246, -0.533, 0.45, 0.212, 0.97, 0.64, 0.373},
		{-0.991, -0.583, 0.985, -0.94, 0.283, 0.005, 0.97, 0.472, 0.228},
		{-0.991, -0.556, 1.427, -2.303, 0.462, 0.045, 0.97, 0.391, 0.199},
		{-0.991, -0.489, 5.036, -2.389, 0.264, -0.173, 0.97, 0.307, 0.19},
		{-0.991, -0.392, 8.384, -2.755, 0.239, -0.116, 0.948, 0.279, 0.198},
	},
}

// Numbers of the form that are not fitted.
const (
	dimDepth = 0.06 // sine of the altitude over which what the air takes falls e times
	typeEdge = 0.2  // edge that a type without shadow is given
)

// SpreadAltitude returns the altitude that the distribution of the sky goes by:
// the true one from 4 deg down, as the calculations it was fitted to do without
// refraction; the apparent one from 9 deg up.
func (s Sun) SpreadAltitude() Angle {
	low := max(0, min((lowBegins-s.Altitude.Degrees())/(lowBegins-lowKnots[len(lowKnots)-1]), 1))
	return s.Altitude + Angle(low)*(s.TrueAltitude-s.Altitude)
}

// Distribution returns how luminance is spread over a sky of the type with the
// sun at an altitude, of a type outside 1 to 15 nothing.
func (k SkyType) Distribution(sunAltitude Angle) Distribution {
	if !k.Valid() {
		return Distribution{}
	}
	p := skyTypes[k]
	d := Distribution{k, sunAltitude, p.a, p.b, p.c, p.d, p.e, 0, 0, 0, typeEdge}
	degrees := sunAltitude.Degrees()
	fits := lowFits[k]
	if fits == nil || degrees >= lowBegins {
		return d
	}
	last := len(lowKnots) - 1
	if degrees >= lowKnots[last] {
		return d.toward(&fits[last], (lowBegins-degrees)/(lowBegins-lowKnots[last]))
	}
	i := 0
	for degrees > lowKnots[i+1] {
		i++
	}
	d = d.toward(&fits[i], 1)
	return d.toward(&fits[i+1], max(0, (degrees-lowKnots[i])/(lowKnots[i+1]-lowKnots[i])))
}

// toward returns the distribution with its numbers a share of the way to those
// of a knot.
func (d Distribution) toward(f *lowFit, share float64) Distribution {
	for _, p := range [...]struct {
		from *float64
		to   float64
	}{{&d.A, f.a}, {&d.B, f.b}, {&d.C, f.c}, {&d.D, f.d}, {&d.E, f.e}, {&d.Lean, f.lean}, {&d.Dim, f.dim},
		{&d.Shadow, f.shadow}, {&d.Edge, f.edge}} {
		*p.from += share * (p.to - *p.from)
	}
	return d
}

// Low reports whether the sun is so low that the sky is no longer its type's.
func (d *Distribution) Low() bool { return d.Dim != 0 }

// parameters returns the part of the standard's form.
func (d *Distribution) parameters() skyParameters { return skyParameters{d.A, d.B, d.C, d.D, d.E} }

// gradation is that of the standard, less what the air takes along the horizon,
// at the sine of an altitude.
func (d *Distribution) gradation(sin float64) float64 {
	return d.parameters().gradation(sin) * (1 - d.Dim*math.Exp(-max(0, sin)/dimDepth))
}

// indicatrix is that of the standard with its lean.
func (d *Distribution) indicatrix(cosChi float64) float64 {
	return d.parameters().indicatrix(cosChi) + d.Lean*max(-1, min(cosChi, 1))
}

// shadow is the share that the earth's shadow takes right opposite to the sun,
// at the sine of an altitude.
func (d *Distribution) shadow(sin float64) float64 {
	x := max(0, sin) / d.Edge
	x *= x
	return d.Shadow * math.Exp(-x*x)
}

// Relative returns the luminance of a sky element as a multiple of that at the
// zenith. Azimuth is counted from the sun's. A sun or an element below the
// horizon counts as on it.
func (d *Distribution) Relative(altitude, azimuth Angle) float64 {
	if !d.Type.Valid() {
		return math.NaN()
	}
	sinSun, cosSun := math.Sincos(float64(max(d.Sun, 0)))
	sin, cos := math.Sincos(float64(max(altitude, 0)))
	cosAway := math.Cos(float64(azimuth))
	zenith := d.gradation(1) * d.indicatrix(sinSun) * (1 - d.shadow(1)*opposite(0))
	return d.gradation(sin) * d.indicatrix(sinSun*sin+cosSun*cos*cosAway) * (1 - d.shadow(sin)*opposite(cosAway)) / zenith
}

// opposite returns how far a direction lies on the side away from the sun, from
// 0 under it to 1 across, by the cosine of its azimuth from the sun's.
func opposite(cosAway float64) float64 { return (1 - cosAway) / 2 }

// lowStretch returns between which rows of a table of the low sun, i and i + 1,
// an altitude lies, and how far along; below the first row, at it. The table
// runs from lowEnds to lowBegins, with so many rows a degree.
func lowStretch(sunAltitude Angle, aDegree int) (i int, f float64) {
	x := max(0, float64(aDegree)*(sunAltitude.Degrees()-lowEnds))
	i = min(int(x), aDegree*(lowBegins-lowEnds)-1)
	return i, min(x-float64(i), 1)
}
