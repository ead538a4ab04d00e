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
	if l.DirectNormal > 0 {
		c.Beam = l.tint.beam().Kelvin()
	}
	var m mixed
	m.of(l)
	c.Sky, c.Lit, c.Shade, c.Face = m.sky.mired().Kelvin(), m.lit.kelvin(), m.shade.kelvin(), m.face.kelvin()
	return c
}

// ColourOf returns the colour temperature of an upright plane that faces an
// azimuth counted from the sun's and gets so much of the sun's beam, or the moon's,
// of the sky and of the light that the ground throws back; 0 of no light, and of a Light
// that does not come from Daylight.
func (l *Light) ColourOf(beam, sky, ground Lux, azimuthFromSun Angle) Kelvin {
	if l.tint == (tint{}) || beam+sky+ground <= 0 {
		return 0
	}
	var m mixed
	m.of(l)
	var plane mixture
	plane.add(m.beam, beam)
	plane.add(m.hues.mixed(warmth(l.spreadAltitude).at(math.Cos(float64(azimuthFromSun)))), sky)
	plane.add(m.ground, ground)
	return plane.kelvin()
}

// mixed is the light of the planes by its colour.
type mixed struct {
	hues             hues
	beam, ground     chromaticity
	sky              chromaticity // on the level
	skyLit, skyShade chromaticity // on these upright planes
	lit, shade, face mixture
}

// of sets m to that of a light.
func (m *mixed) of(l *Light) {
	if l.DirectNormal > 0 {
		m.beam = natural(l.tint.beam())
	}
	if l.Moon.Normal > 0 { // and nothing of the sun's
		m.beam = natural(moonColour)
	}
	m.hues = l.tint.hues(l.sunAltitude)
	m.sky = m.hues.mixed(0)
	warm := warmth(l.spreadAltitude)
	m.skyLit, m.skyShade = m.hues.mixed(warm.at(math.Cos(float64(l.litAzimuth)))), m.hues.mixed(warm.at(l.towardCamera))

	var level mixture
	level.add(m.beam, l.Level-l.DiffuseHorizontal)
	level.add(m.sky, l.DiffuseHorizontal)
	m.ground = level.chromaticity()

	m.shade.add(m.skyShade, l.SkyShade)
	m.shade.add(m.ground, l.Ground)
	m.face = m.shade
	m.face.add(m.beam, l.Face-l.Shade)
	m.lit.add(m.skyLit, l.SkyLit)
	m.lit.add(m.ground, l.Ground)
	m.lit.add(m.beam, l.Lit-l.SkyLit-l.Ground)
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
	m := t.unbent()
	if m > warmBends {
		m = warmBends + (warmest-warmBends)*math.Tanh((m-warmBends)/(warmest-warmBends))
	}
	return Mired(m)
}

// unbent is the fit of beam, in mired, before it bends to the warmest.
func (t *tint) unbent() float64 {
	return beamWhite + beamByMass*t.mass + depth(t.mass)*(beamByHaze*t.turbidity-beamCleaner)
}

const (
	beamWhite   = 171.09
	beamByMass  = 14.683
	beamByHaze  = 44.242
	beamCleaner = 98.244
)

// cloudlessSky returns the colour of the cloudless sky with the sun above the
// horizon: every doubling of the haze warms it by some 20 mired with the sun
// up, by 5 with it low. Fitted to the same spectra as the beam: root mean
// square error 1.3 mired, worst 3.7.
func (t *tint) cloudlessSky() Mired {
	over := t.blueFit() - bluest
	return Mired(bluest + (over+math.Sqrt(over*over+bluestBends*bluestBends))/2)
}

// blueFit is the fit of cloudlessSky, in mired, before it meets the bluest.
func (t *tint) blueFit() float64 {
	z := math.Log(t.mass)
	z *= z * z
	return blueAlone + blueByMass*t.mass - blueByLog*z + (hazeAlone+hazeByMass*t.mass-hazeByLog*z)*t.doublings()
}

// doublings returns how often the haze of the air doubles the least.
func (t *tint) doublings() float64 { return math.Log2(max(t.turbidity-noHaze, leastHaze)) }

const (
	noHaze    = 1.375 // turbidity; near it the fit would run away
	leastHaze = 0.1

	blueAlone, blueByMass, blueByLog = 79.15, 8.721, 6.223
	hazeAlone, hazeByMass, hazeByLog = 14.57, 6.014, 4.803
)

// Twilight in mired. Measured in civil twilight under a clear sky: 15200 to
// 22100 K (Balakrishnan 2019, Singapore). Under cloud, and further down, it is
// an estimate.
const (
	twilightSky   = 55  // 18200 K
	twilightCloud = 110 // 9100 K
)

// duskTurn returns how far the sky has turned to its colour in civil
// twilight: 0 down to a sun altitude of 1 deg, where the fit to spectra ends, 1
// from -1.5 deg down. Single readings on the level at Singapore stand between:
// 9500 K at 0.4 deg, 15200 K at -0.8 (Balakrishnan 2019).
func duskTurn(altitude Angle) float64 {
	f := max(0, min((turnBegins-altitude.Degrees())/(turnBegins-turnEnds), 1))
	return f * f * (3 - 2*f)
}

// The sun altitudes, in degrees, between which the sky turns.
const turnBegins, turnEnds = 1, -1.5

// cloudColour returns that of the light of cloud: 6250 K with the sun high and
// 6800 K with it low, by the ranges measured under overcast (Balakrishnan 2019:
// 6126 to 6485 K at 60-69 deg, 6584 to 6853 K at 14-21 deg).
func cloudColour(altitude Angle) Mired {
	return Mired(cloudLow + cloudRise*max(0, math.Sin(float64(altitude))))
}

const (
	cloudLow  = 143.5 // mired, sun on the horizon
	cloudRise = 17    // more with it in the zenith
)

// hues are what the colours of the sky's light on all planes are mixed of:
// between clouds the cloudless sky's, that clouds near a low sun take the beam's
// colour left out.
type hues struct {
	blue  Mired        // on the level
	cloud chromaticity // the zero value without cloud
	share float64      // of the blue
}

func (t *tint) hues(altitude Angle) hues {
	h := hues{share: t.blue}
	if t.blue > 0 {
		h.blue = turned(altitude, t.cloudlessSky(), twilightSky)
	}
	if t.blue < 1 {
		h.cloud = natural(turned(altitude, cloudColour(altitude), twilightCloud))
	}
	return h
}

// warmer returns the blue so much warmer than on the level, but never bluer than
// the bluest.
func (h *hues) warmer(by Mired) Mired {
	if by == 0 {
		return h.blue
	}
	return max(h.blue+by, bluest)
}

// mixed returns the sky's colour with the blue so much warmer than on the level.
func (h *hues) mixed(warmer Mired) chromaticity {
	switch {
	case h.share <= 0:
		return h.cloud
	case h.share >= 1:
		return natural(h.warmer(warmer))
	}
	var m mixture
	m.add(natural(h.warmer(warmer)), Lux(h.share))
	m.add(h.cloud, Lux(1-h.share))
	return m.chromaticity()
}

// sides is by how much the sky's light on upright planes is warmer than on the
// level, in mired: across the sun's direction, and as it goes with the cosine
// of the azimuth from the sun's and with its square. All of them see more of the
// horizon than the level does, and the side of a low sun sees its glow.
type sides struct{ across, byCosine, bySquare float64 }

func (s sides) at(cosAzimuth float64) Mired {
	return Mired(s.across + cosAzimuth*(s.byCosine+cosAzimuth*s.bySquare))
}

// warmths are those with the sun at warmthAltitudes, in degrees: the law that
// testdata/lowsun/colour.py fits to a calculation at ten wavelengths, aerosol
// 0.10, root mean square 3.5 mired, worst 8. Below -4 deg they stay. A sun higher
// than 10 deg was not calculated: they are taken to fade until one of 30.
var (
	warmthAltitudes = [...]float64{-4, -2, 0, 2, 4, 10, 30}
	warmths         = [...]sides{{28, 40, -6}, {24, 14, 5}, {28, 30, 17}, {32, 58, 25}, {30, 57, 17}, {22, 48, 8}, {}}
)

// warmth returns the sides with the sun at an altitude that SpreadAltitude
// returns; beyond the ends, at the end.
func warmth(sunAltitude Angle) sides {
	degrees, i := sunAltitude.Degrees(), 0
	for i < len(warmths)-2 && degrees > warmthAltitudes[i+1] {
		i++
	}
	f := max(0, min((degrees-warmthAltitudes[i])/(warmthAltitudes[i+1]-warmthAltitudes[i]), 1))
	a, b := &warmths[i], &warmths[i+1]
	return sides{a.across + f*(b.across-a.across), a.byCosine + f*(b.byCosine-a.byCosine),
		a.bySquare + f*(b.bySquare-a.bySquare)}
}

// turned returns a colour of the day on its way to that of twilight.
func turned(altitude Angle, day, twilight Mired) Mired {
	return day + Mired(duskTurn(altitude))*(twilight-day)
}
