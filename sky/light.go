package sky

import "math"

// Band is where eight of ten measurements lie, in stops from the estimate:
// Low is the 10th percentile, High the 90th.
type Band struct{ Low, High Stops }

// View is what the light of a place is asked for.
type View struct {
	Facing Angle // azimuth the subject faces
	Frame  Frame // what the picture covers, its centre opposite to where the subject faces
	Moon   Moon  // that shines at night; the zero value is none
}

// Light is the ambient light of one moment: the sum of the sun's beam, the moon's,
// the sky's light and the ground's.
type Light struct {
	DirectNormal      Lux  // of the sun's beam, on a plane square to it
	Moon              Beam // nothing above a sun of -8 deg, and then no beam of the sun is left
	OpenSky           Lux  // of the whole sky on the level, as if nothing stood up
	DiffuseHorizontal Lux  // of the sky alone, on the level: of what the skyline leaves of it
	Level             Lux  // on the level, facing up
	Lit               Lux  // vertical, facing the sun's azimuth, or where brighter by night the moon's
	Shade             Lux  // vertical, facing the camera, direct sun kept off
	Face              Lux  // vertical, facing the camera, with whatever falls on it

	// What the vertical planes have from the sky alone and from the ground.
	SkyLit, SkyShade, Ground Lux

	// Backdrop is the mean over what stands in the frame above the skyline,
	// each part by its solid angle, the sun's own disc not counted. Without sky
	// in the frame it is 0, and means nothing: the background is another.
	Backdrop      Luminance
	BackdropShare float64 // of the frame that is sky, 0 to 1

	LitBand, ShadeBand, LevelBand Band
	BackdropBand                  Band // an estimate: luminance was not measured; zero without sky in the frame

	kind           SkyType
	sunAltitude    Angle
	spreadAltitude Angle
	towardCamera   float64 // cosine of the azimuth that the subject faces from the sun's
	sunAzimuth     Angle
	litAzimuth     Angle   // that the lit side faces, from the sun's
	screen         *screen // nil where nothing stands up
	zenith         Luminance
	fade           float64 // how far the sky has lost the sun's side
	tint           tint
}

// Luminance returns that of the sky in a direction, whether or not something
// stands before it; azimuth is counted from the sun's.
func (l *Light) Luminance(altitude, azimuth Angle) Luminance {
	d := l.kind.Distribution(l.spreadAltitude)
	return l.faded(d.Relative(altitude, azimuth))
}

// faded returns the luminance that is so many times the zenith's, drawn to that
// of an even sky as far as the sun's side is lost.
func (l *Light) faded(relative float64) Luminance {
	return l.zenith*Luminance(relative*(1-l.fade)) + Luminance(float64(l.OpenSky)*l.fade/math.Pi)
}

// SkyOn returns the light of the sky alone, without sun and ground, on an
// upright plane that faces an azimuth counted from the sun's. It stays within
// 1 % of dense quadrature of the sky's type, before a skyline takes its share, see
// SkyLeft; and is SkyLit at LitPlane.
func (l *Light) SkyOn(azimuthFromSun Angle) Lux {
	spread := l.kind.at(l.spreadAltitude)
	return l.upright(&spread, azimuthFromSun, math.Cos(float64(azimuthFromSun)))
}

// upright returns the light of the sky on an upright plane, given how it is
// spread, and the plane's azimuth from the sun's with its cosine.
func (l *Light) upright(s *spread, azimuthFromSun Angle, cosAzimuth float64) Lux {
	open := l.OpenSky * Lux(s.vertical(cosAzimuth)*(1-l.fade)+l.fade/2)
	if l.screen == nil {
		return open
	}
	return open * Lux(l.SkyLeft(azimuthFromSun))
}

// Daylight is the light of one place. Build one with NewDaylight; using it
// does not change it.
type Daylight struct {
	place    Place
	ground   float64
	horizon  Horizon
	skyline  skyline // of horizon
	screen   *screen // of skyline
	pressure float64 // of the air, relative to sea level
	season   float64 // weight of the seasonal turbidity, -1 to 1
	haze     float64 // share of the haze at sea level that lies over the place
	widen    Stops   // of the bands, for a climate other than the measured
	by       Correction
}

// Correction is what meter readings say of the light beyond its condition.
// The zero value says nothing.
type Correction struct {
	Turbidity float64 // of the cloudless air, added to what it would be
	Beam, Sky Stops   // on the beam and on the light of the sky
	// Told is how much is known by it, from nothing, 0, to all that a reading
	// just taken tells, 1: the bands narrow with it. SkyTold is the same of the
	// light of a cloudless sky apart from the beam's.
	Told, SkyTold float64
}

// apply returns the sources as the correction has them.
func (by *Correction) apply(s source) source {
	if by.Beam != 0 || by.Sky != 0 {
		s.beam *= by.Beam.Factor()
		s.sky *= by.Sky.Factor()
		s.night.beam *= by.Beam.Factor()
		s.night.sky *= by.Sky.Factor()
	}
	return s
}

// Corrected returns the light of the same place with a correction in the stead
// of the one it has.
func (d *Daylight) Corrected(by Correction) Daylight {
	other := *d
	other.by = by
	return other
}

// NewDaylight works out what does not depend on time. ground is the share of
// the light that the ground throws back, 0 to 1.
func NewDaylight(p Place, ground float64, horizon Horizon) *Daylight {
	d := &Daylight{
		place:    p,
		ground:   ground,
		horizon:  horizon,
		skyline:  skylineOf(horizon),
		pressure: StandardAir(p.Elevation).Pressure / StandardAir(0).Pressure,
		season:   seasonWeight(p.Latitude),
		haze:     hazeLeft(p.Elevation),
	}
	d.screen = d.skyline.screen()
	if awayFromHome(p) {
		d.widen = elsewhere
	}
	return d
}

// At returns the light under a condition; k tells the two skies of broken
// cloud apart and is ignored for others.
func (d *Daylight) At(c Condition, k Case, sun Sun, v View) Light {
	var l Light
	night := d.night(c, k, sun, &v.Moon)
	if c.between() {
		l = d.underOktas(c.value, night, sun, &v)
	} else {
		s := d.source(c.weather(k), c, sun)
		s.night = night
		l = d.spread(&s, sun, &v)
	}
	seen := d.opening(&v, sun.Azimuth)
	l.seeBackdrop(&seen)
	return l
}

// spread throws the light of the sources on the planes; the backdrop is left to
// the caller.
func (d *Daylight) spread(from *source, sun Sun, v *View) Light {
	s := d.by.apply(*from)
	s.sky += s.night.sky
	beam, open := Lux(s.beam*d.horizon.Visible(sun)), Lux(s.sky)
	diffuse := open * Lux(d.screen.onLevel())
	sin, cos := math.Sincos(float64(sun.Altitude))
	sin, cos = max(sin, 0), max(cos, 0)
	facing := v.Facing - sun.Azimuth
	towardCamera := math.Cos(float64(facing))

	at := sun.SpreadAltitude()
	spread := s.kind.at(at)
	l := Light{
		DirectNormal: beam, OpenSky: open, DiffuseHorizontal: diffuse, Level: beam*Lux(sin) + diffuse,
		kind: s.kind, sunAltitude: sun.Altitude, spreadAltitude: at, towardCamera: towardCamera,
		sunAzimuth: sun.Azimuth, screen: d.screen, zenith: Luminance(s.sky / spread.perZenith),
		fade: duskFade(sun), tint: s.tint,
	}
	if s.night.beam > 0 {
		l.Moon = Beam{Lux(s.night.beam), v.Moon.Altitude, v.Moon.Azimuth}
		l.Level += l.Moon.OnLevel()
	}
	l.SkyLit, l.SkyShade = l.upright(&spread, 0, 1), l.upright(&spread, facing, towardCamera)
	// An even ground fills half of an upright plane's view.
	l.Ground = l.Level * Lux(d.ground/2)
	l.Lit = beam*Lux(cos) + l.SkyLit + l.Ground
	l.Shade = l.SkyShade + l.Ground
	l.Face = l.Shade + beam*Lux(cos*max(0, towardCamera))
	if s.night.beam > 0 {
		l.Lit += l.Moon.On(sun.Azimuth)
		l.towardMoon(&spread, v.Moon.Azimuth-sun.Azimuth)
		l.Face += l.Moon.On(v.Facing)
	}
	if s.bands != nil {
		l.LitBand, l.ShadeBand, l.LevelBand = d.bands(s.bands, sun)
	}
	return l
}

// towardMoon makes the upright plane toward the moon's azimuth, counted from the
// sun's, the lit side where it is the brighter: no beam of the sun is left, and the
// lit side is the brightest.
func (l *Light) towardMoon(s *spread, azimuth Angle) {
	sky := l.upright(s, azimuth, math.Cos(float64(azimuth)))
	if lit := sky + l.Ground + l.Moon.On(l.Moon.Azimuth); lit > l.Lit {
		l.Lit, l.SkyLit, l.litAzimuth = lit, sky, azimuth
	}
}

// LitPlane returns the azimuth that the lit side faces, counted from the sun's: 0, or
// by night the moon's.
func (l *Light) LitPlane() Angle { return l.litAzimuth }

// bands returns those of a condition for the place, the hour and what is told
// by readings.
func (d *Daylight) bands(b *bands, sun Sun) (lit, shade, level Band) {
	lit, shade, level = b.at(sun.Altitude)
	if d.by.Told > 0 || d.by.SkyTold > 0 {
		lit, shade, level = b.after(&d.by, sun.Altitude)
	}
	if by := d.widening(); by > 0 {
		lit, shade, level = lit.widened(by), shade.widened(by), level.widened(by)
	}
	if dusk := duskWidens(sun.Altitude); dusk > 0 {
		lit, shade = lit.widened(dusk), shade.widened(dusk)
	}
	return lit, shade, level
}

// widening returns by how much bands are widened for the climate of the place:
// a reading knows of it.
func (d *Daylight) widening() Stops { return d.widen * Stops(1-d.by.Told) }

// duskWidens returns by how much twilight widens the bands of upright planes.
// It comes in between -1 and -2 deg.
func duskWidens(altitude Angle) Stops {
	return dusky * Stops(max(0, min(-1-altitude.Degrees(), 1)))
}

// underOktas returns the mean light under n eighths of cloud. Its bands run
// from that of the sun behind cloud to that of the sun out.
func (d *Daylight) underOktas(n float64, moon night, sun Sun, v *View) Light {
	mean, clear, out := d.oktas(n, sun)
	mean.night = moon
	l := d.spread(&mean, sun, v)
	in, sunny := extremes(mean, clear, out)
	low, high := d.spread(&in, sun, v), d.spread(&sunny, sun, v)
	from := func(plane, low, high Lux, lowBand, highBand Band) Band {
		if plane <= 0 {
			return Band{}
		}
		return Band{StopsOf(float64(low/plane)) + lowBand.Low, StopsOf(float64(high/plane)) + highBand.High}
	}
	l.LitBand = from(l.Lit, low.Lit, high.Lit, low.LitBand, high.LitBand)
	l.ShadeBand = from(l.Shade, low.Shade, high.Shade, low.ShadeBand, high.ShadeBand)
	l.LevelBand = from(l.Level, low.Level, high.Level, low.LevelBand, high.LevelBand)
	return l
}

// SunOut returns the share of the time that the sun is out of the clouds under so
// many oktas, 0 to 1: an estimate.
func (d *Daylight) SunOut(oktas float64, sun Sun) float64 {
	_, _, out := d.oktas(max(0, min(oktas, 8)), sun)
	return out
}

// extremes returns the sources with the sun in and out that the bands under
// some oktas run between; clear are those without cloud, and out is the share
// of the time that the sun is out.
func extremes(mean, clear source, out float64) (in, sunny source) {
	in, sunny = mean, mean
	in.beam, in.bands = 0, &sunInBands
	sunny.beam, sunny.bands = clear.beam, &sunOutBands
	const seldom = 0.1 // of the time; a case rarer than that lies outside the band
	if 1-out <= seldom {
		in = mean
		in.bands = &clearBands
	}
	if out <= seldom {
		sunny = mean
		sunny.bands = &sunInBands
	}
	return in, sunny
}
