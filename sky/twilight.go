package sky

import "math"

// twilightPieces give the light on the level under a clear sky with the sun
// near and below the horizon: log10 of lx is a cubic in the true altitude over
// 90 deg. Explanatory Supplement to the Astronomical Almanac, 3rd ed. 2013,
// table 12.8, good to 0.02 in the logarithm. The printed pieces miss each other
// by up to 0.005 where they meet; here the first number of each is moved so
// that they join. Moon, stars and town are not in it.
var twilightPieces = [...]twilightPiece{
	{-0.8, 2.88, 22.26, -207.64, 1034.3},
	{-5, 2.878658, 21.81, -258.11, -858.36},
	{-12, 2.700265, 12.17, -431.69, -1899.83},
	{-18, 13.835963, 262.72, 1447.42, 2797.93},
}

// twilightPiece is a cubic from an altitude, in degrees, up to the piece
// before.
type twilightPiece struct{ from, l0, l1, l2, l3 float64 }

// The true altitude of the sun when its centre is seen on the horizon, and
// the end of twilight, in degrees.
const (
	seenOnHorizon  = -0.57
	endOfTwilight  = -18
	verticalFades  = -9   // see duskFade
	sunsetBlending = -1.5 // apparent altitude where true altitude takes over
)

// clearTwilight returns the light on the level at a true altitude in degrees,
// in lx.
func clearTwilight(degrees float64) float64 {
	degrees = max(degrees, endOfTwilight)
	p := pieceAt(degrees)
	x := degrees / 90
	return math.Pow(10, p.l0+x*(p.l1+x*(p.l2+x*p.l3)))
}

// pieceAt returns the piece that holds at an altitude in degrees.
func pieceAt(degrees float64) *twilightPiece {
	i := 0
	for i < len(twilightPieces)-1 && degrees < twilightPieces[i].from {
		i++
	}
	return &twilightPieces[i]
}

// duskShare returns how much of the light with the sun seen on the horizon is
// left: 1 down to there. It goes by the true altitude, as the table does; near
// the horizon the two are drawn together, so that the light joins whatever
// the refraction.
func duskShare(s Sun) float64 {
	if s.Altitude >= 0 {
		return 1
	}
	return clearTwilight(duskAltitude(s)) / horizonLight
}

// duskAltitude returns the altitude, in degrees, that the table is entered
// with for a sun below the horizon.
func duskAltitude(s Sun) float64 {
	seen, true := s.Altitude.Degrees(), s.TrueAltitude.Degrees()
	near := max(0, 1-seen/sunsetBlending)
	return true + near*(seen-true+seenOnHorizon)
}

// duskFade returns how far the sky has lost the side where the sun went: 0
// down to -9 deg, where the calculated distributions end, 1 at the end of
// twilight. An estimate.
func duskFade(s Sun) float64 {
	return max(0, min((s.Altitude.Degrees()-verticalFades)/(endOfTwilight-verticalFades), 1))
}
