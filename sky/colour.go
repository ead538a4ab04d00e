package sky

import "math"

// Colour is the correlated colour temperature of the light of one moment.
//
// Lights are mixed in chromaticity. The sky counts as of one colour all over,
// though in truth it is whiter round the sun and bluer away from it, and the
// ground as grey: it throws back the colour of the light on the level, where
// grass would turn it green and sand yellow.
type Colour struct {
	Beam  Kelvin // of the sun; 0 where there is no beam
	Sky   Kelvin // of the sky as it falls on the level
	Lit   Kelvin // of the light on the planes of the same names in Light,
	Shade Kelvin // the ground's share with it
	Face  Kelvin
}

// Colour returns the colour temperatures of the light: between 1900 and
// 20000 K from night to noon, under every condition. All are 0 of a Light that
// does not come from Daylight.
func (l *Light) Colour() Colour {
	if l.tint == (tint{}) {
		return Colour{}
	}
	var c Colour
	var beam chromaticity
	if l.DirectNormal > 0 {
		m := l.tint.beam()
		c.Beam, beam = m.Kelvin(), natural(m)
	}
	sky := l.tint.sky(l.sunAltitude)

	var level mixture
	level.add(beam, l.Level-l.DiffuseHorizontal)
	level.add(sky, l.DiffuseHorizontal)
	ground := level.chromaticity()

	var shade mixture
	shade.add(sky, l.SkyShade)
	shade.add(ground, l.Ground)
	face := shade
	face.add(beam, l.Face-l.Shade)
	var lit mixture
	lit.add(sky, l.SkyLit)
	lit.add(ground, l.Ground)
	lit.add(beam, l.Lit-l.SkyLit-l.Ground)

	c.Sky, c.Lit, c.Shade, c.Face = sky.mired().Kelvin(), lit.kelvin(), shade.kelvin(), face.kelvin()
	return c
}

// tint is what the colours of beam and sky follow from.
type tint struct {
	mass      float64 // of the air in the sun's way, under the pressure of the place
	turbidity float64 // of the air
	blue      float64 // share of the sky's light that does not come from cloud
}

// cloudless returns the tint of a sky without cloud.
func (d *Daylight) cloudless(p *path, turbidity float64) tint {
	return tint{p.mass * d.pressure, turbidity, 1}
}

// among returns the tint with a share of the sky's light, at most all, coming
// from the blue between clouds.
func (t tint) among(blue float64) tint {
	t.blue = max(0, min(blue, 1))
	return t
}

// The ends of the scale, in mired. Handbooks put the sun on the horizon
// between 1900 and 3000 K (common practice, no source); spectra worked out for
// it go redder without end. The sky is held at 20000 K: air cleaner than any
// measured would take its colour to infinity.
const (
	warmest     = 525 // 1905 K
	warmBends   = 400 // 2500 K, where the beam begins to bend to the warmest
	bluest      = 50  // 20000 K
	bluestBends = 6   // how softly the sky meets the bluest
)

// beam returns the colour of the sun's beam: white light that air and haze
// redden in step with their optical depth. Fitted by least squares to the
// spectra of Bird & Riordan (SPECTRL2, 1986) for aerosol depths of 0.05 to 0.4
// and sun altitudes of 1 to 70 deg, with the turbidity that gives the beam its
// light: root mean square error 1.3 mired, worst 4.3, above 2500 K.
func (t *tint) beam() Mired {
	m := 171.09 + 14.683*t.mass + depth(t.mass)*(44.242*t.turbidity-98.244)
	if m > warmBends {
		m = warmBends + (warmest-warmBends)*math.Tanh((m-warmBends)/(warmest-warmBends))
	}
	return Mired(m)
}

// cloudlessSky returns the colour of the cloudless sky with the sun above the
// horizon: every doubling of the haze warms it by some 20 mired with the sun
// up, by 5 with it low. Fitted to the same spectra as the beam: root mean
// square error 1.3 mired, worst 3.7.
func (t *tint) cloudlessSky() Mired {
	const (
		noHaze    = 1.375 // turbidity; near it the fit would run away
		leastHaze = 0.1
	)
	doublings := math.Log2(max(t.turbidity-noHaze, leastHaze))
	z := math.Log(t.mass)
	z *= z * z
	m := 79.15 + 8.721*t.mass - 6.223*z + (14.57+6.014*t.mass-4.803*z)*doublings
	over := m - bluest
	return Mired(bluest + (over+math.Sqrt(over*over+bluestBends*bluestBends))/2)
}

// Twilight in mired. Measured in civil twilight under a clear sky: 15200 to
// 22100 K (Balakrishnan 2019, Singapore). Under cloud, and further down, it is
// an estimate.
const (
	twilightSky   = 55  // 18200 K
	twilightCloud = 110 // 9100 K
)

// duskTurn returns how far the sky has turned to its colour in civil
// twilight: 0 down to a sun altitude of 1 deg, where the fit to spectra ends,
// 1 from the horizon down, where the measurements begin.
func duskTurn(altitude Angle) float64 {
	f := max(0, min(1-altitude.Degrees(), 1))
	return f * f * (3 - 2*f)
}

// cloudColour returns that of the light of cloud: 6250 K with the sun high and
// 6800 K with it low, by the ranges measured under overcast (Balakrishnan 2019:
// 6126 to 6485 K at 60-69 deg, 6584 to 6853 K at 14-21 deg).
func cloudColour(altitude Angle) Mired {
	return Mired(143.5 + 17*max(0, math.Sin(float64(altitude))))
}

// sky returns the colour of the sky. Between clouds it is the cloudless
// sky's; that clouds near a low sun take the beam's colour is left out.
func (t *tint) sky(altitude Angle) chromaticity {
	dusk := Mired(duskTurn(altitude))
	var m mixture
	if t.blue > 0 {
		blue := t.cloudlessSky()
		m.add(natural(blue+dusk*(twilightSky-blue)), Lux(t.blue))
	}
	if t.blue < 1 {
		white := cloudColour(altitude)
		m.add(natural(white+dusk*(twilightCloud-white)), Lux(1-t.blue))
	}
	return m.chromaticity()
}
