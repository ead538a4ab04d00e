package sky

import (
	"fmt"
	"math"
	"strings"
	"time"
)

// Explanation tells step by step how the light of a moment comes about. Light
// is what At returns, and the steps give its values to the last bit, with what
// lies on the way to them.
type Explanation struct {
	Light    Light
	Air      []Step // the sun's way through it
	Sources  []Step // beam, sky and level
	Planes   []Step // lit, shade and face
	Bands    []Step // where measurements lie
	Backdrop []Step // the sky behind the subject
	Colour   []Step // colour temperatures
}

// Sources that several steps name.
const (
	fittedHere  = "fitted to two years of one-minute measurements at Kgs. Lyngby, 2015-16"
	judgedHere  = "this program's estimate"
	lambert     = "cosine law"
	notBelow    = "h not below -16 arcmin, the last of the disc"
	iso15469    = "ISO 15469:2004, "
	birdRiordan = "fitted to spectra of Bird & Riordan 1986 (SPECTRL2)"
)

// Explain returns where the sun stands at time t, as Sun does, and the steps to
// it: the ephemeris as a whole, the air of the place and its refraction by
// their formulas.
func (o Observer) Explain(t time.Time) (Sun, []Step) {
	sun := o.Sun(t)
	air := o.Air()
	height := standardHeight(o.place.Elevation)
	u := t.UTC()
	midnight := time.Date(u.Year(), u.Month(), u.Day(), 0, 0, 0, 0, time.UTC)
	noon := math.Round(daysFrom2000(midnight) + 0.5) // of the day
	const ephemeris = "Meeus 1998, Astronomical Algorithms, ch. 12, 22, 25, with 13 terms of VSOP87 (Bretagnon & Francou 1988)"
	steps := []Step{
		{Title: "Days from noon of 1 January 2000", Formula: "d = days to the date + (UT - 12 h) / 24 h",
			Numbers: Expression("# + (# + # / 60 + # / 3600 - 12) / 24", noon, float64(u.Hour()), float64(u.Minute()),
				float64(u.Second())+float64(u.Nanosecond())*1e-9),
			Value: daysFrom2000(t), Unit: "days", Source: "Julian date 2451545.0"},
		{Title: "True altitude of the sun h0", Formula: "the ephemeris for d, seen from the place, without air",
			Value: sun.TrueAltitude.Degrees(), Unit: "deg", Source: ephemeris,
			Note: "within 0.002 deg of an independent ephemeris from 1950 to 2100"},
		{Title: "Azimuth of the sun A", Formula: "the ephemeris, clockwise from true north",
			Value: sun.Azimuth.Degrees(), Unit: "deg", Source: ephemeris, Note: "as exact as the altitude, across the sky"},
		{Title: "Distance of the sun r", Formula: "the ephemeris", Value: sun.Distance, Unit: "au", Source: ephemeris,
			Note: "within 0.00015 au of an independent ephemeris"},
		{Title: "Season s", Formula: "sine of the sun's ecliptic longitude: 1 in June, -1 in December", Value: sun.Season, Source: ephemeris},
		{Title: "Air pressure P", Formula: Expression("P = # (1 - # z / #)^#, z the elevation in m", seaPressure, lapse, seaTemperature, pressureExponent),
			Numbers: Expression("# * (1 - # * # / #)^#", seaPressure, lapse, height, seaTemperature, pressureExponent),
			Value:   air.Pressure, Unit: "hPa", Source: "ISO 2533:1975, the standard atmosphere"},
		{Title: "Air temperature T", Formula: Expression("T = # - # z", seaTemperature-freezing, lapse),
			Numbers: Expression("# - # * #", seaTemperature-freezing, lapse, height),
			Value:   air.Temperature, Unit: "deg C", Source: "ISO 2533:1975, the standard atmosphere"},
	}
	factor := Step{Title: "Air against the formula's", Formula: Expression("k = P / # * # / (# + T)", bentPressure, bentKelvin, zeroKelvin),
		Numbers: Expression("# / # * # / (# + #)", air.Pressure, bentPressure, bentKelvin, zeroKelvin, air.Temperature),
		Value:   o.bend, Source: "Meeus 1998, ch. 16"}
	h0 := sun.TrueAltitude.Degrees()
	bent := Step{Title: "Refraction R", Value: Refraction(sun.TrueAltitude, air).Degrees(), Unit: "deg"}
	if h0 < bentBelow {
		bent.Formula = Expression("R = k #' / tan(-h0), below ", bentDepth) + Figures(bentBelow) + " deg"
		bent.Numbers = Expression("# * # / 60 / tan(#°)", o.bend, bentDepth, -h0)
		bent.Source, bent.Estimate = "the shape of Zimmerman 1981 (NREL SOLPOS)", true
	} else {
		bent.Formula = Expression("R = k (#' / tan(h0 + q) + #'), tan q = # * # deg / (h0 + #)", bentScale, bentZenith, bentTan, bentTurn, bentRaise)
		bent.Numbers = Expression("# * (# / tan(#° + atan(# * # / (# + #) * pi / 180)) + #) / 60",
			o.bend, bentScale, h0, bentTan, bentTurn, h0, bentRaise, bentZenith)
		bent.Source = "Saemundsson 1986 (Meeus 1998, eq. 16.4)"
	}
	return sun, append(steps, factor, bent,
		Step{Title: "Apparent altitude h", Formula: "h = h0 + R", Numbers: Expression("# + #", h0, bent.Value),
			Value: sun.Altitude.Degrees(), Unit: "deg", Source: "definition"})
}

// Explain returns the steps to Visible.
func (h Horizon) Explain(s Sun) []Step {
	a, b, f := h.between(s.Azimuth)
	line := Step{Title: "Skyline under the sun", Value: h.At(s.Azimuth).Degrees(), Unit: "deg", Source: "the shoot's horizon"}
	if len(h) == 0 {
		line.Formula = "none stated: the sea's horizon"
	} else {
		along, width := float64((s.Azimuth - a.Azimuth).Normal()), float64((b.Azimuth - a.Azimuth).Normal())
		line.Formula = "a straight line from the point before the sun's azimuth to the one after it"
		if f > 0 {
			line.Numbers = Expression("# + # / # * (# - #)", a.Altitude.Degrees(), Angle(along).Degrees(), Angle(width).Degrees(),
				b.Altitude.Degrees(), a.Altitude.Degrees())
		}
	}
	radius := discRadius.Degrees()
	x := max(-1, min((s.Altitude.Degrees()-max(0, line.Value))/radius, 1))
	return []Step{line,
		{Title: "Height over the skyline x", Formula: "x = (h - skyline) / radius of the disc, from -1 to 1; a skyline below 0 counts as 0",
			Numbers: Expression("max(-1, min((# - #) / (# / 60), 1))", s.Altitude.Degrees(), max(0, line.Value), radius*60),
			Value:   x, Unit: "radii", Source: "the almanac's radius of the sun, 16 arcmin"},
		{Title: "Visible share of the disc v", Formula: "v = 0.5 + (asin x + x √(1 - x²)) / π, asin in radians",
			Numbers: Expression("0.5 + (asin(#) * pi / 180 + # * sqrt(1 - #^2)) / pi", x, x, x),
			Value:   h.Visible(s), Source: "area of a disc above a chord"}}
}

// Explain tells how At comes to its light.
func (d *Daylight) Explain(c Condition, k Case, sun Sun, v View) Explanation {
	t := telling{Daylight: d, sun: sun, view: v, l: d.At(c, k, sun, v), path: d.path(sun)}
	e := Explanation{Light: t.l}
	if c.between() {
		w := &weathers[Clear]
		t.turbidity = d.air(w, Condition{}, &sun)
		e.Air = t.air(w)
		mean, clear, out := d.oktas(c.value, sun)
		t.source, t.oktas = mean, c.value
		e.Sources = t.underOktas(c.value, out)
		e.Bands = t.oktaBands(clear, out)
	} else {
		w := c.weather(k)
		t.turbidity = d.air(w, c, &sun)
		e.Air = t.air(w)
		t.source, t.cloud = d.source(w, c, sun), w.cloud
		e.Sources = append(t.sources(w), t.falls(t.source.beam)...)
		e.Bands = t.bands()
	}
	e.Planes, e.Backdrop, e.Colour = t.planes(), t.backdrop(), t.colour()
	return e
}

// telling is what the steps are told from.
type telling struct {
	*Daylight
	sun       Sun
	view      View
	l         Light
	path      path
	turbidity float64
	source    source
	cloud     *clouds // of a word with cloud
	oktas     float64 // between 0 and 8, else 0
}

func (t *telling) altitude() float64 { return t.sun.Altitude.Degrees() }

// air tells of the sun's way through the air.
func (t *telling) air(w *weather) []Step {
	h := max(t.sun.Altitude, -discRadius).Degrees()
	mass := AirMass(t.sun.Altitude)
	steps := []Step{
		{Title: "Air mass m", Formula: Expression("m = 1 / (sin h + # (h + #)^-#), ", massScale, massRaise, massPower) + notBelow,
			Numbers: Expression("1 / (sin(#°) + # * (# + #)^-#)", h, massScale, h, massRaise, massPower),
			Value:   mass, Source: "Kasten & Young 1989, Applied Optics 28, 4735, eq. 3"},
		{Title: "Pressure against sea level p", Formula: Expression("p = P / #", seaPressure),
			Numbers: Expression("# / #", StandardAir(t.place.Elevation).Pressure, seaPressure), Value: t.pressure,
			Source: "ISO 2533:1975, the standard atmosphere"},
		{Title: "Optical depth of clean air τ", Formula: Expression("τ = m p / (# + # m p)", depthAlone, depthByMass),
			Numbers: Expression("# * # / (# + # * # * #)", mass, t.pressure, depthAlone, depthByMass, mass, t.pressure),
			Value:   t.path.depth, Source: "the form of Kittler & Darula, " + fittedHere, Estimate: true},
	}
	if t.path.mass != mass {
		steps = append(steps, Step{Title: "Air mass for the sky ms", Formula: "ms = m, h not below 0 deg",
			Numbers: Expression("1 / (sin(0°) + # * #^-#)", massScale, massRaise, massPower),
			Value:   t.path.mass, Source: "Kasten & Young 1989, eq. 3"})
	} else {
		steps = append(steps, Step{Title: "Air mass for the sky ms", Formula: "ms = m", Numbers: Figures(mass), Value: t.path.mass})
	}
	steps = append(steps, Step{Title: "Its depth at sea level τs", Formula: Expression("τs = ms / (# + # ms)", depthAlone, depthByMass),
		Numbers: Expression("# / (# + # * #)", t.path.mass, depthAlone, depthByMass, t.path.mass),
		Value:   t.path.atSea, Source: "as τ; thinner air on a mountain leaves the sky what it is", Estimate: true})
	turbid := Step{Title: "Turbidity T", Value: t.turbidity, Unit: "clean atmospheres", Estimate: true, Source: fittedHere}
	switch {
	case w == &statedWeather:
		turbid.Formula, turbid.Estimate, turbid.Source = "stated", false, "the shoot"
		return append(steps, turbid)
	case w.turbidity > 0:
		turbid.Formula = "of a hazy sky"
		return append(steps, turbid)
	}
	latitude := t.place.Latitude.Degrees()
	sign := math.Copysign(1, latitude)
	turbid.Formula = Expression("T = # + # w s, of a clear sky", meanTurbidity, seasonTurbidity)
	turbid.Numbers = Expression("# + # * # * #", meanTurbidity, seasonTurbidity, t.season, t.sun.Season)
	return append(steps,
		Step{Title: "Weight of the season w", Formula: Expression("w = (|latitude| - #) / #, from 0 to 1, negative in the south", seasonsBegin, seasonsGrow),
			Numbers: Expression("# * max(0, min((abs(#) - #) / #, 1))", sign, latitude, seasonsBegin, seasonsGrow),
			Value:   t.season, Source: judgedHere + "; measured at 56 N alone", Estimate: true},
		turbid)
}

// outside is the sun's light before it meets the air.
func (t *telling) outside() Step {
	return Step{Title: "Sunlight outside the air E0", Formula: Expression("E0 = # lx / r²", solarIlluminance),
		Numbers: Expression("# / #^2", solarIlluminance, t.sun.Distance), Value: t.path.outside, Unit: "lx",
		Source: "Darula & Kittler 2002"}
}

// cloudlessBeam tells of the beam before clouds, with the loss near the
// horizon where there is one.
func (t *telling) cloudlessBeam(beam float64) []Step {
	step := Step{Title: "Beam without cloud, square to it Ec", Formula: "Ec = E0 exp(-τ T)",
		Numbers: Expression("# * exp(-# * #)", t.path.outside, t.path.depth, t.turbidity), Value: beam, Unit: "lx",
		Source: "law of Bouguer, with Kittler & Darula's luminous turbidity"}
	h := max(t.sun.Altitude, -discRadius)
	if loss := -lowSun(h); loss > 0 {
		step.Formula += " * 2^-n"
		step.Numbers += Expression(" * 2^-#", float64(loss))
		return []Step{{Title: "More loss near the horizon n", Formula: Expression("n = # (1 - h / #)^1.5, ", lowSunMost, lowSunBegins) + notBelow,
			Numbers: Expression("# * (1 - # / #)^1.5", lowSunMost, h.Degrees(), lowSunBegins), Value: float64(loss), Unit: "stops",
			Source: "fitted by hand to spectra of Bird & Riordan 1986 (SPECTRL2)", Estimate: true}, step}
	}
	return []Step{step}
}

// dusk tells how much of the sky's light is left with the sun gone, and is
// empty while it is up.
func (t *telling) dusk() []Step {
	if t.sun.Altitude >= 0 {
		return nil
	}
	h, h0 := t.altitude(), t.sun.TrueAltitude.Degrees()
	x := duskAltitude(t.sun)
	p := pieceAt(max(x, endOfTwilight))
	const table = "Explanatory Supplement to the Astronomical Almanac 2013, table 12.8"
	return []Step{
		{Title: "Altitude for the twilight table x", Formula: Expression("x = h0 + max(0, 1 - h / #) (h - h0 + #)", sunsetBlending, seenOnHorizon),
			Numbers: Expression("# + max(0, 1 - # / #) * (# - # + #)", h0, h, sunsetBlending, h, h0, seenOnHorizon), Value: x, Unit: "deg",
			Source: "the table goes by the true altitude; near the horizon the two are drawn together", Estimate: true},
		{Title: "Clear twilight on the level", Formula: Expression("log10 of it = # + # y + # y² + # y³, y = x / 90, x not below ", p.l0, p.l1, p.l2, p.l3) + Figures(endOfTwilight) + " deg",
			Numbers: Expression("10^(# + # * (#/90) + # * (#/90)^2 + # * (#/90)^3)", p.l0, p.l1, max(x, endOfTwilight),
				p.l2, max(x, endOfTwilight), p.l3, max(x, endOfTwilight)),
			Value: clearTwilight(x), Unit: "lx", Source: table + "; moon, stars and town are not in it"},
		{Title: "Share of the light left D", Formula: Expression("D = twilight / # lx, that with the sun seen on the horizon", horizonLight),
			Numbers: Expression("# / #", clearTwilight(x), horizonLight), Value: t.path.dusk, Source: table},
	}
}

// held is the sine of the altitude held up near zero.
func (t *telling) held(symbol string, least float64) Step {
	return Step{Title: "Sine held up near the horizon " + symbol, Formula: Expression(symbol+" = (s^1.5 + #^1.5)^(2/3), s = sin h not below 0", least),
		Numbers: Expression("(max(0, sin(#°))^1.5 + #^1.5)^(2/3)", t.altitude(), least),
		Value:   rounded(t.path.sin, least), Source: fittedHere, Estimate: true}
}

// duskFactor adds the share of twilight to a formula, where there is any.
func (t *telling) duskFactor(s *Step) {
	if t.sun.Altitude < 0 {
		s.Formula += " * D"
		s.Numbers += Expression(" * #", t.path.dusk)
	}
}

// blueSky tells of the cloudless sky's light on the level; the steps of dusk
// go before.
func (t *telling) blueSky(sky float64) []Step {
	held := t.held("μ", airLeast)
	step := Step{Title: "Cloudless sky on the level", Formula: Expression("# E0 μ^# (1 - exp(-τs T)) √(T / #) exp(-# τs (T - #))", airShare, airPower, airAnchor, airSwallows, airAnchor),
		Numbers: Expression("# * # * #^# * (1 - exp(-# * #)) * sqrt(# / #) * exp(-# * # * (# - #))", airShare, t.path.outside,
			held.Value, airPower, t.path.atSea, t.turbidity, t.turbidity, airAnchor, airSwallows, t.path.atSea, t.turbidity, airAnchor),
		Value: sky, Unit: "lx", Source: fittedHere, Estimate: true,
		Note: "what the air takes out of the beam, a part of it sent on to the ground"}
	t.duskFactor(&step)
	return []Step{held, step}
}

// cloudySky tells of the light of a sky with cloud on the level.
func (t *telling) cloudySky(c *clouds, sky float64) []Step {
	held := t.held("μc", c.least)
	step := Step{Title: "Cloudy sky on the level", Formula: Expression("# E0 μc^#", c.share, c.power),
		Numbers: Expression("# * # * #^#", c.share, t.path.outside, held.Value, c.power), Value: sky, Unit: "lx", Source: fittedHere, Estimate: true}
	if c.heavy != 0 {
		step.Formula += Expression(" * 2^-#", float64(c.heavy))
		step.Numbers += Expression(" * 2^-#", float64(c.heavy))
	}
	t.duskFactor(&step)
	return []Step{held, step}
}

// sources tells of the beam and the sky of a weather.
func (t *telling) sources(w *weather) []Step {
	beam, blue := t.path.light(t.turbidity)
	steps := append([]Step{t.outside()}, t.cloudlessBeam(beam)...)
	if w.cloud == nil {
		return append(append(steps, t.dusk()...), t.blueSky(blue)...)
	}
	through := Step{Title: "Beam through the cloud", Formula: "none comes through", Unit: "lx", Source: "meaning of the word"}
	if w.cloud.sun {
		through.Formula, through.Numbers = Expression("Ec 2^-#", float64(w.cloud.dims)), Expression("# * 2^-#", beam, float64(w.cloud.dims))
		if w.cloud.dimsByMass != 0 {
			through.Formula = Expression("Ec 2^-(# + # ms)", float64(w.cloud.dims), float64(w.cloud.dimsByMass))
			through.Numbers = Expression("# * 2^-(# + # * #)", beam, float64(w.cloud.dims), float64(w.cloud.dimsByMass), t.path.mass)
		}
		through.Value, through.Source, through.Estimate = t.source.beam, fittedHere, true
	}
	steps = append(append(steps, through), t.dusk()...)
	return append(steps, t.cloudySky(w.cloud, t.source.sky)...)
}

// falls tells what of beam and sky gets to the place.
func (t *telling) falls(beam float64) []Step {
	visible := t.horizon.Visible(t.sun)
	l := &t.l
	return []Step{
		{Title: "Direct light, square to the beam Eb", Formula: "Eb = beam * v, v the visible share of the disc",
			Numbers: Expression("# * #", beam, visible), Value: float64(l.DirectNormal), Unit: "lx", Source: "geometry"},
		{Title: "Light of the sky on the level Ed", Formula: "Ed = the sky's, as above", Numbers: Figures(float64(l.DiffuseHorizontal)),
			Value: float64(l.DiffuseHorizontal), Unit: "lx"},
		{Title: "Light on the level E", Formula: "E = Eb sin h + Ed, sin h not below 0",
			Numbers: Expression("# * max(0, sin(#°)) + #", float64(l.DirectNormal), t.altitude(), float64(l.DiffuseHorizontal)),
			Value:   float64(l.Level), Unit: "lx", Source: lambert},
	}
}

// underOktas tells of beam and sky under n eighths of cloud.
func (t *telling) underOktas(n, out float64) []Step {
	clear, overcast := t.word(Clear, t.sun), t.word(Overcast, t.sun)
	sin := max(0, math.Sin(float64(t.sun.Altitude)))
	whole := clear.beam*sin + clear.sky
	level := t.source.beam*sin + t.source.sky
	steps := append([]Step{t.outside()}, t.cloudlessBeam(clear.beam)...)
	steps = append(append(steps, t.dusk()...), t.blueSky(clear.sky)...)
	overcastSteps := t.cloudySky(&overcastCloud, overcast.sky)
	overcastSteps[1].Title = "Overcast sky on the level Eo"
	steps = append(steps, overcastSteps...)
	const kasten = "Kasten & Czeplak 1980, Solar Energy 24, 177"
	steps = append(steps,
		Step{Title: "Cloudless light on the level Ew", Formula: "Ew = Ec sin h + cloudless sky, sin h not below 0",
			Numbers: Expression("# * max(0, sin(#°)) + #", clear.beam, t.altitude(), clear.sky), Value: whole, Unit: "lx", Source: lambert},
		Step{Title: fmt.Sprintf("Light on the level under %s oktas En", Figures(n)), Formula: Expression("En = Ew - (Ew - Eo) (n / 8)^#", oktaPower),
			Numbers: Expression("# - (# - #) * (# / 8)^#", whole, whole, overcast.sky, n, oktaPower), Value: level, Unit: "lx",
			Source: kasten + ", run to the overcast here", Estimate: true},
		Step{Title: "Share of the time that the sun is out q", Formula: "q = En / Ew * (1 - (n / 8)²)",
			Numbers: Expression("# / # * (1 - (# / 8)^2)", level, whole, n), Value: out, Source: kasten + ", share of the sky from memory", Estimate: true},
		Step{Title: "Mean beam", Formula: "Ec q", Numbers: Expression("# * #", clear.beam, out), Value: t.source.beam, Unit: "lx", Source: kasten, Estimate: true},
		Step{Title: "Mean sky on the level", Formula: "En - mean beam * sin h",
			Numbers: Expression("# - # * max(0, sin(#°))", level, t.source.beam, t.altitude()), Value: t.source.sky, Unit: "lx", Source: kasten, Estimate: true,
			Note: "the mean over sun out and in, a light that seldom is there"})
	return append(steps, t.falls(t.source.beam)...)
}

// share tells of a vertical plane's share of the sky's light.
func (t *telling) share(title, symbol string, azimuth Angle) Step {
	spread, fade := t.source.kind.at(t.sun.Altitude), duskFade(t.sun)
	c := spread.harmonics
	x := math.Abs(azimuth.Turn().Degrees())
	step := Step{Title: title, Formula: symbol + " = c0 + c1 cos x + c2 cos 2x + ... + c6 cos 6x, x = " + Figures(x) + " deg from the sun",
		Numbers: Expression("# + # * cos(#°) + # * cos(2 * #°) + # * cos(3 * #°) + # * cos(4 * #°) + # * cos(5 * #°) + # * cos(6 * #°)",
			c[0], c[1], x, c[2], x, c[3], x, c[4], x, c[5], x, c[6], x),
		Value:  spread.vertical(math.Cos(float64(azimuth))),
		Source: iso15469 + "integrated over the sky in front of the plane every 3 deg of h"}
	if fade > 0 {
		step.Formula = symbol + " = (" + step.Formula[len(symbol)+len(" = "):] + ") (1 - f) + f / 2"
		step.Numbers = "(" + step.Numbers + Expression(") * (1 - #) + # / 2", fade, fade)
		step.Value = step.Value*(1-fade) + fade/2
	}
	return step
}

// planes tells of the light on lit, shade and face.
func (t *telling) planes() []Step {
	l := &t.l
	kind := t.source.kind
	steps := []Step{{Title: "Type of the sky", Formula: map[SkyType]string{
		OvercastSky: "overcast: the same all around, a third as bright at the horizon as overhead",
		BrokenSky:   "partly cloudy, bright round the sun",
		ClearSky:    "clear",
		HazySky:     "clear, polluted",
	}[kind], Value: float64(kind), Source: iso15469 + "table 1"}}
	if fade := duskFade(t.sun); fade > 0 {
		steps = append(steps, Step{Title: "Fading of the sunset side f", Formula: Expression("f = (h - #) / (# - #), from 0 to 1", verticalFades, endOfTwilight, verticalFades),
			Numbers: Expression("max(0, min((# - #) / (# - #), 1))", t.altitude(), verticalFades, endOfTwilight, verticalFades),
			Value:   fade, Source: judgedHere, Estimate: true})
	}
	lit, shade := t.share("Vertical share, toward the sun Vl", "Vl", 0), t.share("Vertical share, toward the camera Vc", "Vc", t.view.Facing-t.sun.Azimuth)
	diffuse, ground, beam, h := float64(l.DiffuseHorizontal), float64(l.Ground), float64(l.DirectNormal), t.altitude()
	off := math.Abs((t.view.Facing - t.sun.Azimuth).Turn().Degrees())
	return append(steps, lit, shade,
		Step{Title: "Sky on the lit plane", Formula: "Ed Vl", Numbers: Expression("# * #", diffuse, lit.Value), Value: float64(l.SkyLit), Unit: "lx"},
		Step{Title: "Sky on the shaded plane", Formula: "Ed Vc", Numbers: Expression("# * #", diffuse, shade.Value), Value: float64(l.SkyShade), Unit: "lx"},
		Step{Title: "Ground on either plane G", Formula: "G = E ρ / 2, ρ the ground's reflectance",
			Numbers: Expression("# * # / 2", float64(l.Level), t.ground), Value: ground, Unit: "lx",
			Source: "an even ground fills half of an upright plane's view", Estimate: true},
		Step{Title: "Lit", Formula: "Eb cos h + Ed Vl + G, cos h not below 0", Numbers: Expression("# * max(0, cos(#°)) + # + #", beam, h, float64(l.SkyLit), ground),
			Value: float64(l.Lit), Unit: "lx", Source: lambert, Note: "upright, facing the sun"},
		Step{Title: "Shade", Formula: "Ed Vc + G", Numbers: Expression("# + #", float64(l.SkyShade), ground),
			Value: float64(l.Shade), Unit: "lx", Note: "upright, facing the camera, direct sun kept off"},
		Step{Title: "Face", Formula: "shade + Eb cos h max(0, cos x), x the angle from the sun to the camera",
			Numbers: Expression("# + # * max(0, cos(#°)) * max(0, cos(#°))", float64(l.Shade), beam, h, off),
			Value:   float64(l.Face), Unit: "lx", Source: lambert, Note: "facing the camera, with whatever falls on it"},
	)
}

// bandedPlanes names the planes that have bands, with their bands of the
// light and of a condition.
func (t *telling) bandedPlanes(b *bands) [3]struct {
	name   string
	row    *bandRow
	band   Band
	widens bool // in twilight
} {
	return [3]struct {
		name   string
		row    *bandRow
		band   Band
		widens bool
	}{{"Lit", &b.lit, t.l.LitBand, true}, {"Shade", &b.shade, t.l.ShadeBand, true}, {"Level", &b.level, t.l.LevelBand, false}}
}

const bandsSource = "quantile regression on minutes at Kgs. Lyngby, 2015-16; on the horizon and below judgement"

// end tells of one end of a band: between two altitudes, widened for the place
// and for twilight. sign is -1 for the low end.
func (t *telling) end(row *[len(bandAltitudes)]Stops, sign float64, widens bool) (formula, numbers string) {
	i, f := bandStretch(t.sun.Altitude)
	a, b := row[i], row[i+1]
	formula = "a + g (b - a) between " + Figures(bandAltitudes[i]) + " and " + Figures(bandAltitudes[i+1]) + " deg"
	numbers = Expression("# + # * (# - #)", float64(a), f, float64(b), float64(a))
	wider := ""
	var by []float64
	if t.widen > 0 {
		wider += " + #^2"
		by = append(by, float64(t.widen))
	}
	if dusk := duskWidens(t.sun.Altitude); widens && dusk > 0 {
		wider += " + #^2"
		by = append(by, float64(dusk))
	}
	if wider != "" {
		formula = "with other uncertainties, squares added: " + formula
		numbers = "sqrt((" + numbers + ")^2" + Expression(wider, by...) + ")"
		if sign < 0 {
			numbers = "-" + numbers
		}
	}
	return formula, numbers
}

// bands tells where measurements lie.
func (t *telling) bands() []Step {
	if t.source.bands == nil {
		return nil
	}
	i, f := bandStretch(t.sun.Altitude)
	steps := []Step{t.along(i, f)}
	for _, p := range t.bandedPlanes(t.source.bands) {
		formula, numbers := t.end(&p.row.low, -1, p.widens)
		steps = append(steps, Step{Title: p.name + ", low end of the band", Formula: formula, Numbers: numbers,
			Value: float64(p.band.Low), Unit: "stops", Source: bandsSource, Estimate: true})
		formula, numbers = t.end(&p.row.high, 1, p.widens)
		steps = append(steps, Step{Title: p.name + ", high end", Formula: formula, Numbers: numbers,
			Value: float64(p.band.High), Unit: "stops", Source: bandsSource, Estimate: true})
	}
	return steps
}

// along tells how far the sun stands between two altitudes of the bands.
func (t *telling) along(i int, f float64) Step {
	return Step{Title: "Place between two rows of the bands g", Formula: "g = (h - lower) / (upper - lower), from 0 to 1",
		Numbers: Expression("max(0, min((# - #) / (# - #), 1))", t.altitude(), bandAltitudes[i], bandAltitudes[i+1], bandAltitudes[i]),
		Value:   f, Source: "straight lines between the rows", Note: "the band holds 8 of 10 measurements"}
}

// oktaBands tells of the bands under oktas, which run from the sun in to the
// sun out.
func (t *telling) oktaBands(clear source, out float64) []Step {
	in, sunny := extremes(t.source, clear, out)
	low, high := t.spread(in, t.sun, t.view), t.spread(sunny, t.sun, t.view)
	i, f := bandStretch(t.sun.Altitude)
	steps := []Step{t.along(i, f)}
	l := &t.l
	for n, p := range t.bandedPlanes(in.bands) {
		q := t.bandedPlanes(sunny.bands)[n]
		for _, end := range [2]struct {
			title string
			light *Light
			row   *[len(bandAltitudes)]Stops
			sign  float64
			value Stops
		}{{", low end of the band", &low, &p.row.low, -1, p.band.Low}, {", high end", &high, &q.row.high, 1, p.band.High}} {
			of := [3]Lux{end.light.Lit, end.light.Shade, end.light.Level}[n]
			mean := [3]Lux{l.Lit, l.Shade, l.Level}[n]
			formula, numbers := t.end(end.row, end.sign, p.widens)
			beam := end.light.DirectNormal
			light := Expression("# * max(0, sin(#°)) + #", float64(beam), t.altitude(), float64(end.light.DiffuseHorizontal)) // on the level
			switch n {
			case 0:
				light = Expression("# * max(0, cos(#°)) + # + # / 2 * (", float64(beam), t.altitude(), float64(l.SkyLit), t.ground) + light + ")"
			case 1:
				light = Expression("# + # / 2 * (", float64(l.SkyShade), t.ground) + light + ")"
			}
			steps = append(steps,
				Step{Title: p.name + " with " + Figures(float64(beam)) + " lx of direct light", Formula: "as above, with that beam",
					Numbers: light, Value: float64(of), Unit: "lx", Source: "oktas say nothing of where the sun is: the band runs from sun in to sun out", Estimate: true},
				Step{Title: p.name + end.title, Formula: "log2(that / mean) + " + formula,
					Numbers: strings.ReplaceAll(Expression("log2(# / #) + ", float64(of), float64(mean))+numbers, " + -", " - "), Value: float64(end.value), Unit: "stops", Source: bandsSource, Estimate: true})
		}
	}
	return steps
}

// backdrop tells of the patch of sky behind the subject.
func (t *telling) backdrop() []Step {
	l := &t.l
	p := skyTypes[t.source.kind]
	h, e := max(t.sun.Altitude, 0), max(t.view.Backdrop, 0)
	away := Angle(math.Abs(float64((t.view.Facing + math.Pi - t.sun.Azimuth).Turn())))
	sinSun, cosSun := math.Sincos(float64(h))
	sinEl, cosEl := math.Sincos(float64(e))
	cosChi := sinSun*sinEl + cosSun*cosEl*math.Cos(float64(away))
	chi := Angle(math.Acos(max(-1, min(cosChi, 1)))).Degrees()
	zenith := Angle(math.Acos(min(sinSun, 1))).Degrees()
	perZenith := t.source.kind.at(t.sun.Altitude).perZenith
	relative := t.source.kind.Relative(t.sun.Altitude, t.view.Backdrop, away)

	gradation := Step{Title: "Gradation at the patch φe", Formula: Expression("φe = 1 + # exp(# / sin e)", p.a, p.b),
		Numbers: Expression("1 + # * exp(# / sin(#°))", p.a, p.b, e.Degrees()), Value: p.gradation(sinEl), Source: iso15469 + "eq. 2"}
	if sinEl <= 0 {
		gradation.Formula, gradation.Numbers = "1 on the horizon", ""
	}
	indicatrix := func(title, symbol, angle string, degrees, cos float64) Step {
		return Step{Title: title, Formula: symbol + Expression(" = 1 + # (exp(# "+angle+") - exp(# π / 2)) + # cos² "+angle+", "+angle+" in radians", p.c, p.d, p.d, p.e),
			Numbers: Expression("1 + # * (exp(# * # * pi / 180) - exp(# * pi / 2)) + # * cos(#°)^2", p.c, p.d, degrees, p.d, p.e, degrees),
			Value:   p.indicatrix(cos), Source: iso15469 + "eq. 4"}
	}
	patch, top := indicatrix("Round the sun, at the patch fe", "fe", "χ", chi, cosChi), indicatrix("Round the sun, at the zenith fz", "fz", "Z", zenith, sinSun)
	phiZ := p.gradation(1)
	return []Step{
		{Title: "Angle from the sun to the patch χ", Formula: "cos χ = sin h sin e + cos h cos e cos a, h not below 0, e " + Figures(e.Degrees()) + " deg up, a " + Figures(away.Degrees()) + " deg beside the sun",
			Numbers: Expression("acos(sin(#°) * sin(#°) + cos(#°) * cos(#°) * cos(#°))", h.Degrees(), e.Degrees(), h.Degrees(), e.Degrees(), away.Degrees()),
			Value:   chi, Unit: "deg", Source: iso15469 + "eq. 3"},
		gradation, patch,
		{Title: "Gradation at the zenith φz", Formula: Expression("φz = 1 + # exp(#)", p.a, p.b), Numbers: Expression("1 + # * exp(#)", p.a, p.b),
			Value: phiZ, Source: iso15469 + "eq. 2"},
		top,
		{Title: "Patch against the zenith", Formula: "φe fe / (φz fz)", Numbers: Expression("# * # / (# * #)", gradation.Value, patch.Value, phiZ, top.Value),
			Value: relative, Source: iso15469 + "eq. 1"},
		{Title: "Level per zenith luminance Lz", Formula: "the type integrated over the sky, every 3 deg of h", Value: perZenith, Unit: "sr", Source: iso15469 + "midpoint rule in cells of half a degree"},
		{Title: "Luminance at the zenith", Formula: "Ed / Lz", Numbers: Expression("# / #", t.source.sky, perZenith), Value: float64(l.zenith), Unit: "cd/m²"},
		{Title: "Luminance of the patch L", Formula: "L = zenith * patch against the zenith", Numbers: Expression("# * #", float64(l.zenith), relative),
			Value: float64(l.Backdrop), Unit: "cd/m²", Source: "an even sky of its type; single clouds differ", Estimate: true},
	}
}
