package sky

import "math"

// SkyType is one of the fifteen standard distributions of luminance over the
// sky, numbered 1 to 15 as in ISO 15469:2004 (CIE S 011/E:2003).
type SkyType int

// The types that the sky conditions use.
const (
	OvercastSky SkyType = 1  // CIE standard overcast sky
	BrokenSky   SkyType = 8  // partly cloudy, distinct corona round the sun; thin cloud too
	ClearSky    SkyType = 12 // CIE standard clear sky
	HazySky     SkyType = 13 // CIE standard clear sky, polluted
)

// skyParameters are the columns of ISO 15469:2004, table 1: gradation a, b
// from zenith to horizon, and indicatrix c, d, e round the sun.
type skyParameters struct{ a, b, c, d, e float64 }

var skyTypes = [16]skyParameters{
	1:  {4.0, -0.70, 0, -1.0, 0.00},
	2:  {4.0, -0.70, 2, -1.5, 0.15},
	3:  {1.1, -0.80, 0, -1.0, 0.00},
	4:  {1.1, -0.80, 2, -1.5, 0.15},
	5:  {0.0, -1.00, 0, -1.0, 0.00},
	6:  {0.0, -1.00, 2, -1.5, 0.15},
	7:  {0.0, -1.00, 5, -2.5, 0.30},
	8:  {0.0, -1.00, 10, -3.0, 0.45},
	9:  {-1.0, -0.55, 2, -1.5, 0.15},
	10: {-1.0, -0.55, 5, -2.5, 0.30},
	11: {-1.0, -0.55, 10, -3.0, 0.45},
	12: {-1.0, -0.32, 10, -3.0, 0.45},
	13: {-1.0, -0.32, 16, -3.0, 0.30},
	14: {-1.0, -0.15, 16, -3.0, 0.30},
	15: {-1.0, -0.15, 24, -2.8, 0.15},
}

// Valid reports whether k is one of the fifteen.
func (k SkyType) Valid() bool { return k >= 1 && k <= 15 }

// gradation is phi(Z) of ISO 15469:2004, equation 2, with the cosine of the
// zenith angle Z; phi = 1 on the horizon.
func (p skyParameters) gradation(cosZ float64) float64 {
	if cosZ <= 0 {
		return 1
	}
	return 1 + p.a*math.Exp(p.b/cosZ)
}

// indicatrix is f(chi) of ISO 15469:2004, equation 4, with the angle chi
// between sky element and sun.
func (p skyParameters) indicatrix(cosChi float64) float64 {
	cosChi = max(-1, min(1, cosChi))
	chi := math.Acos(cosChi)
	return 1 + p.c*(math.Exp(p.d*chi)-math.Exp(p.d*math.Pi/2)) + p.e*cosChi*cosChi
}

// Relative returns the luminance of a sky element as a multiple of the
// luminance at the zenith (ISO 15469:2004, equation 1). Altitudes are above
// the horizon; azimuth is counted from the sun's. A sun or an element below
// the horizon counts as on it. A type outside 1 to 15 gives NaN.
func (k SkyType) Relative(sunAltitude, altitude, azimuth Angle) float64 {
	if !k.Valid() {
		return math.NaN()
	}
	p := skyTypes[k]
	sinSun, cosSun := math.Sincos(float64(max(sunAltitude, 0)))
	sinEl, cosEl := math.Sincos(float64(max(altitude, 0)))
	cosChi := sinSun*sinEl + cosSun*cosEl*math.Cos(float64(azimuth))
	return p.gradation(sinEl) * p.indicatrix(cosChi) /
		(p.gradation(1) * p.indicatrix(sinSun))
}

// spread is what a sky does to light at one altitude of the sun, read off a
// generated table.
type spread struct {
	// perZenith is the light on the level per luminance at the zenith, sr.
	perZenith float64
	// harmonics are those of the vertical plane's share of the level, as a
	// series in the cosine of the azimuth from the sun.
	harmonics [spreadHarmonics]float64
}

// at returns the spread of the sky as it is, at an altitude of the sun that
// Sun.SpreadAltitude returns: that of the type, or with a low sun what became of it.
func (k SkyType) at(sunAltitude Angle) spread {
	if rows := lowSpreads[k]; rows != nil && sunAltitude.Degrees() < lowBegins {
		i, f := lowStretch(sunAltitude, spreadsADegree)
		return rows[i].between(&rows[i+1], f)
	}
	return k.standard(sunAltitude)
}

// standard returns the spread of the standard's type; a sun below the horizon
// counts as on it.
func (k SkyType) standard(sunAltitude Angle) spread {
	x := max(0, min(sunAltitude.Degrees(), 90)) / spreadStepDegrees
	i := min(int(x), len(spreads[k])-2)
	return spreads[k][i].between(&spreads[k][i+1], x-float64(i))
}

// between returns the spread a share of the way to another.
func (s *spread) between(other *spread, share float64) spread {
	mid := spread{perZenith: s.perZenith + share*(other.perZenith-s.perZenith)}
	for j := range mid.harmonics {
		mid.harmonics[j] = s.harmonics[j] + share*(other.harmonics[j]-s.harmonics[j])
	}
	return mid
}

// vertical returns the sky light on a vertical plane as a share of that on
// the level; cosAzimuth is of the angle between the plane's azimuth and the
// sun's.
func (s *spread) vertical(cosAzimuth float64) float64 {
	// Clenshaw's recurrence for a sum of c_n cos(n x).
	var b1, b2 float64
	for n := spreadHarmonics - 1; n > 0; n-- {
		b1, b2 = s.harmonics[n]+2*cosAzimuth*b1-b2, b1
	}
	return s.harmonics[0] + cosAzimuth*b1 - b2
}

// VerticalShare returns the light that a sky of this type throws on a
// vertical plane as a share of what it throws on the level, without sun and
// ground. azimuth is the angle between the plane's azimuth and the sun's. It
// stays within 1 % of dense quadrature of the standard's equations. A type
// outside 1 to 15 gives NaN.
func (k SkyType) VerticalShare(sunAltitude, azimuth Angle) float64 {
	if !k.Valid() {
		return math.NaN()
	}
	s := k.standard(sunAltitude)
	return s.vertical(math.Cos(float64(azimuth)))
}

// ZenithShare returns the luminance at the zenith per light on the level,
// in 1/sr. A type outside 1 to 15 gives NaN.
func (k SkyType) ZenithShare(sunAltitude Angle) float64 {
	if !k.Valid() {
		return math.NaN()
	}
	return 1 / k.standard(sunAltitude).perZenith
}
