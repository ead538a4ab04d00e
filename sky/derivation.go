package sky

import "math"

// Derivation is what At works out on its way from the sun and a condition to
// the light of a moment. Derive fills it by the functions that At uses.
type Derivation struct {
	Light     Light
	By        Correction // what readings say; the zero value where there are none
	Air       AirPath
	Cloudless CloudlessPath
	Cloud     *CloudPath // nil of a sky without
	Oktas     *OktaPath  // nil of a sky that is not given by some oktas
	Visible   float64    // share of the sun's disc above the skyline
	Moon      *MoonPath  // nil where the moon gives nothing
	Spread    SpreadPath
	Backdrop  []BackdropPath // none without sky in the frame
	Bands     BandPath
	Colour    ColourPath
}

// AirPath is the sun's way through the air.
type AirPath struct {
	Mass      float64 // optical air mass, see AirMass
	Pressure  float64 // of the air over that at sea level
	Depth     float64 // optical depth, for light, of the cleanest air under that pressure
	SkyMass   float64 // air mass that the sky goes by: Mass, not beyond the horizon's
	SkyDepth  float64 // optical depth of SkyMass at sea level
	Season    float64 // weight of the seasonal turbidity, -1 to 1
	AtSea     float64 // luminous turbidity of the air between clouds at sea level; one that is stated
	Usual     float64 // over the place, before any correction
	Turbidity float64 // the same, corrected
	Basis     TurbidityBasis
}

// TurbidityBasis is what a turbidity goes by.
type TurbidityBasis int

// The bases.
const (
	BySeason TurbidityBasis = iota // a clear sky's mean and season
	ByHaze                         // the one turbidity of a hazy sky
	AsStated                       // the condition states it
)

// CloudlessPath is how the light of the sky without cloud comes about.
type CloudlessPath struct {
	Outside Lux       // sunlight before it meets the air
	LowSun  Stops     // what the beam loses near the horizon beyond the optical depth, not below 0
	Beam    Lux       // square to it, of the whole disc
	Sky     Lux       // on the level
	Dusk    *DuskPath // nil while the sun's centre is up
}

// DuskPath is how much of the sky's light is left with the sun gone, by table
// 12.8 of the Explanatory Supplement to the Astronomical Almanac, 2013.
type DuskPath struct {
	Altitude float64    // that the table is entered with, deg, as low as -18
	Cubic    [4]float64 // log10 of the level light in lx, in powers of the altitude over 90 deg
	Level    Lux        // on the level under a clear sky
	Share    float64    // of the light with the sun seen on the horizon
}

// CloudPath is a sky with cloud: on the level it gives Share mu^Power of the
// sunlight outside the air, mu the rounded sine of the sun's altitude.
type CloudPath struct {
	Share, Power float64
	Least        float64 // rounds the sine
	Sun          bool    // comes through
	Dims         Stops   // the beam
	DimsByMass   Stops   // for each air mass, besides
	Heavy        Stops   // taken off the sky
	Open         float64 // share of the cloudless sky seen between clouds
	Beam, Sky    Lux     // what comes of it: square to the beam, and on the level
}

// MoonPath is how the moon's light comes about.
type MoonPath struct {
	Phase     Angle   // between sun and Earth seen from the moon
	Distance  float64 // km
	Outside   Lux     // before it meets the air
	Share     float64 // how far it has come in since the sun was 8 deg down
	Beam, Sky Lux     // what comes through: square to the beam, and on the level; as corrected
}

// OktaPath is the mean light under some eighths of cloud (Kasten & Czeplak
// 1980), between a clear and an overcast sky; Cloud is the overcast one.
type OktaPath struct {
	Oktas     float64 // more than 0, less than 8
	Clear     Lux     // on the level under a clear sky
	Level     Lux     // on the level under these oktas
	Out       float64 // share of the time that the sun is out
	Beam, Sky Lux     // means: square to the beam, and on the level
}

// SpreadPath is how the light of the sky is spread over it (ISO 15469:2004).
type SpreadPath struct {
	Distribution
	Harmonics [spreadHarmonics]float64 // cosine series of the vertical share in azimuth from the sun
	Fade      float64                  // how far the side of the sunset is lost, 0 to 1
	PerZenith float64                  // light on the level per luminance at the zenith, sr
	Zenith    Luminance                // before the side of the sunset fades
}

// BackdropPath is one of the directions whose luminance makes up
// Light.Backdrop: Spread.Zenith times the sum of every Weight times Relative, drawn
// to an even sky by Spread.Fade.
type BackdropPath struct {
	Patch
	// Relative is the luminance against that at the zenith, read off a table: within
	// 0.04 stop of Distribution.Relative, by day within 0.0005.
	Relative float64
}

// BandPath is how the bands come about.
type BandPath struct {
	From, To          float64 // altitudes that the sun stands between, deg
	Along             float64 // how far from the one to the other, 0 to 1
	Widen             Stops   // for another climate than the measured
	Dusk              Stops   // for upright planes in twilight
	Cloudless         [2]bool // whether the low and the high end are of a cloudless sky
	Left              float64 // share of the band under cloud that readings leave
	Lit, Shade, Level BandEnds
	// Those of a cloudless sky just read on the lit side; ReadSky is the shade's
	// when the shade was read too.
	ReadLit, ReadShade, ReadLevel, ReadSky BandEnds
	// Extremes are the lights that the low and the high ends are counted from
	// under oktas; nil where that is the light itself.
	Extremes *[2]Light
}

// BandEnds are the ends of a plane's band at the two altitudes.
type BandEnds struct{ Low, High [2]Stops }

// ColourPath is how the colour temperatures come about.
type ColourPath struct {
	Mass    float64 // air mass that the colours go by, under the pressure of the place
	Blue    float64 // share of the sky's light that does not come from cloud
	Turn    float64 // how far the sky has turned to its colour in twilight, 0 to 1
	Beam    Mired
	Sky     Mired // of the blue between clouds
	Cloud   Mired // of the light of cloud
	BeamUV  UV    // zero without beam
	SkyUV   UV    // of the blue between clouds
	CloudUV UV
	// Warmer is by how much the blue's light on upright planes is warmer than on
	// the level, in mired: across the sun's direction, by the cosine of the azimuth
	// from the sun's, and by its square. LitBlue and ShadeBlue are what comes of it.
	Warmer             [3]float64
	LitBlue, ShadeBlue BlueSide
	// The planes' colours lie between two isotherms each; both are the same
	// where the plane has no light or lies beyond the table.
	Lit, Shade, Face [2]Isotherm
}

// BlueSide is the colour of the blue's light on an upright plane.
type BlueSide struct {
	Mired Mired
	UV    UV
}

// UV is a chromaticity on the CIE 1960 scale; V is 0 of no light.
type UV struct{ U, V float64 }

// Derive returns how At comes to its light.
func (d *Daylight) Derive(c Condition, k Case, sun Sun, v View) Derivation {
	p := d.path(sun)
	e := Derivation{Light: d.At(c, k, sun, v), By: d.by, Visible: d.horizon.Visible(sun)}
	moon := d.night(c, k, sun, &v.Moon)
	var s source
	if c.between() {
		e.Air = d.airPath(&p, &weathers[Clear], Condition{}, &sun)
		e.Cloudless = p.cloudless(sun, e.Air.Turbidity)
		s = d.deriveOktas(&e, c.value, moon, sun, &v)
	} else {
		w := c.weather(k)
		e.Air = d.airPath(&p, w, c, &sun)
		e.Cloudless = p.cloudless(sun, e.Air.Turbidity)
		s = d.source(w, c, sun)
		if w.cloud != nil {
			e.Cloud = w.cloud.path(s.beam, s.sky)
		}
		e.Bands = d.bandPath(s.bands, s.bands, sun)
	}
	s.night = moon
	s = d.by.apply(s)
	if moon.sky > 0 {
		e.Moon = &MoonPath{v.Moon.PhaseAngle(), v.Moon.Distance, v.Moon.Illuminance(), moonShare(sun), Lux(s.night.beam),
			Lux(s.night.sky)}
	}
	s.sky += s.night.sky
	e.Spread = s.spreadPath(sun)
	e.Backdrop = e.Light.backdropPath(d.Patches(sun, v))
	e.Colour = e.Light.colourPath()
	return e
}

func (d *Daylight) airPath(p *path, w *weather, c Condition, sun *Sun) AirPath {
	a := AirPath{Mass: AirMass(sun.Altitude), Pressure: d.pressure, Depth: p.depth, SkyMass: p.mass, SkyDepth: p.atSea,
		Season: d.season, AtSea: d.airAtSea(w, sun), Usual: d.usualAir(w, c, sun), Turbidity: d.air(w, c, sun)}
	switch {
	case c.kind == byTurbidity:
		a.Basis, a.AtSea = AsStated, a.Usual
	case w.turbidity > 0:
		a.Basis = ByHaze
	}
	return a
}

func (p *path) cloudless(sun Sun, turbidity float64) CloudlessPath {
	beam, blue := p.light(turbidity)
	c := CloudlessPath{Outside: Lux(p.outside), LowSun: max(0, -lowSun(max(sun.Altitude, -SunRadius))),
		Beam: Lux(beam), Sky: Lux(blue)}
	if sun.Altitude < 0 {
		x := max(duskAltitude(sun), endOfTwilight)
		piece := pieceAt(x)
		c.Dusk = &DuskPath{x, [4]float64{piece.l0, piece.l1, piece.l2, piece.l3}, Lux(clearTwilight(x)), p.dusk}
	}
	return c
}

func (c *clouds) path(beam, sky float64) *CloudPath {
	return &CloudPath{c.share, c.power, c.least, c.sun, c.dims, c.dimsByMass, c.heavy, c.open, Lux(beam), Lux(sky)}
}

// deriveOktas fills in what holds under oktas, and returns the mean sources.
func (d *Daylight) deriveOktas(e *Derivation, n float64, moon night, sun Sun, v *View) source {
	mean, clear, out := d.oktas(n, sun)
	mean.night = moon
	overcast := d.word(Overcast, sun)
	e.Cloud = overcastCloud.path(overcast.beam, overcast.sky)
	e.Oktas = &OktaPath{Oktas: n, Clear: Lux(clear.beam*max(0, math.Sin(float64(sun.Altitude))) + clear.sky),
		Level: Lux(mean.beam*max(0, math.Sin(float64(sun.Altitude))) + mean.sky), Out: out, Beam: Lux(mean.beam),
		Sky: Lux(mean.sky)}
	in, sunny := extremes(mean, clear, out)
	e.Bands = d.bandPath(in.bands, sunny.bands, sun)
	e.Bands.Extremes = &[2]Light{d.spread(&in, sun, v), d.spread(&sunny, sun, v)}
	return mean
}

func (d *Daylight) bandPath(low, high *bands, sun Sun) BandPath {
	i, f := bandStretch(sun.Altitude)
	rows := func(low, high *bandRow) BandEnds {
		return BandEnds{[2]Stops{low.low[i], low.low[i+1]}, [2]Stops{high.high[i], high.high[i+1]}}
	}
	return BandPath{From: bandAltitudes[i], To: bandAltitudes[i+1], Along: f, Widen: d.widening(),
		Dusk:      duskWidens(sun.Altitude),
		Cloudless: [2]bool{low.cloudless, high.cloudless}, Left: leftOpen(d.by.Told),
		ReadLit: rows(&readBands.lit, &readBands.lit), ReadLevel: rows(&readBands.level, &readBands.level),
		ReadShade: rows(&readBands.shade, &readBands.shade), ReadSky: rows(&readShade, &readShade),
		Lit: rows(&low.lit, &high.lit), Shade: rows(&low.shade, &high.shade), Level: rows(&low.level, &high.level)}
}

func (s *source) spreadPath(sun Sun) SpreadPath {
	altitude := sun.SpreadAltitude()
	at := s.kind.at(altitude)
	return SpreadPath{s.kind.Distribution(altitude), at.harmonics, duskFade(sun), at.perZenith,
		Luminance(s.sky / at.perZenith)}
}

func (l *Light) backdropPath(patches []Patch) []BackdropPath {
	dome := l.Dome()
	var list []BackdropPath
	for _, p := range patches {
		sin, cos := math.Sincos(float64(p.Altitude))
		list = append(list, BackdropPath{p, dome.relative(sin, cos, math.Cos(float64(p.FromSun)))})
	}
	return list
}

func (l *Light) colourPath() ColourPath {
	t, h := &l.tint, l.sunAltitude
	var m mixed
	m.of(l)
	warm := warmth(l.spreadAltitude)
	side := func(cosAzimuth float64) BlueSide {
		m := m.hues.warmer(warm.at(cosAzimuth))
		return BlueSide{m, natural(m).uv()}
	}
	blue, cloud := turned(h, t.cloudlessSky(), twilightSky), turned(h, cloudColour(h), twilightCloud)
	return ColourPath{
		Mass: t.mass, Blue: t.blue, Turn: duskTurn(h), Beam: t.beam(), Sky: blue, Cloud: cloud,
		BeamUV: m.beam.uv(), SkyUV: natural(blue).uv(), CloudUV: natural(cloud).uv(),
		Warmer:  [3]float64{warm.across, warm.byCosine, warm.bySquare},
		LitBlue: side(math.Cos(float64(l.litAzimuth))), ShadeBlue: side(l.towardCamera),
		Lit: m.lit.between(), Shade: m.shade.between(), Face: m.face.between(),
	}
}

func (c chromaticity) uv() UV { return UV{c.u, c.v} }

// between returns the isotherms that the mixture's temperature is read
// between.
func (m *mixture) between() [2]Isotherm {
	c := m.chromaticity()
	if c.v <= 0 || isotherms[0].side(c) <= 0 || isotherms[lastIsotherm].side(c) >= 0 {
		return [2]Isotherm{}
	}
	a, b := c.isotherms()
	return [2]Isotherm{*a, *b}
}
