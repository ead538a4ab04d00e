package explain

import (
	"fmt"
	"math"
	"strings"

	"evenfall/internal/scene"
	"evenfall/sky"
)

// Sources that several steps name.
const (
	fittedHere = "fitted to three years of one-minute measurements at Kgs. Lyngby, 2015-17"
	judgedHere = "this program's estimate"
	lambert    = "cosine law"

	theReadings = "meter readings"
	iso15469    = "ISO 15469:2004, "
	kasten      = "Kasten & Czeplak 1980, Solar Energy 24, 177"
)

// ambient is the light of a moment with what it comes from.
type ambient struct {
	sky.Derivation
	sun    sky.Sun
	view   sky.View
	stance scene.Stance
	place  sky.Place
	ground float64 // share of the light that the ground throws back
}

// air explains the sun's way through the air.
func (w *workings) air(l *ambient) {
	a := &l.Air
	mass := Step{Title: "Air mass", Symbol: "m", Template: "1 / (sin({h}) + 0.50572 * ({h} + 6.07995)^-1.6364)",
		Result: a.Mass,
		Source: "Kasten & Young 1989, Applied Optics 28, 4735, eq. 3"}
	if l.sun.Altitude.Degrees() < -16./60 {
		mass.Template, mass.Words = "1 / (sin(-16 / 60) + 0.50572 * (-16 / 60 + 6.07995)^-1.6364)",
			"of the last of the disc"
	}
	w.add(mass)
	w.add(Step{Title: "Pressure against sea level", Symbol: "p", Template: "{P} / 1013.25", Result: a.Pressure,
		Source: standardAir})
	w.add(Step{Title: "Optical depth of clean air", Symbol: "τ", Template: "{m} * {p} / (9.9 + 0.225 * {m} * {p})",
		Result: a.Depth,
		Source: "the form of Kittler & Darula, " + fittedHere, Estimate: true})
	seen := Step{Title: "Air mass for the sky", Symbol: "ms", Template: "{m}", Result: a.SkyMass}
	if l.sun.Altitude < 0 {
		seen.Template, seen.Words, seen.Source = "1 / (0.50572 * 6.07995^-1.6364)", "that of the horizon", mass.Source
	}
	w.add(seen)
	w.add(Step{Title: "Its depth at sea level", Symbol: "τs", Template: "{ms} / (9.9 + 0.225 * {ms})",
		Result: a.SkyDepth,
		Source: "as τ; thinner air on a mountain leaves the sky what it is", Estimate: true})
	w.turbidity(l)
}

func (w *workings) turbidity(l *ambient) {
	read := l.By.Turbidity != 0
	t := Step{Title: "Turbidity", Symbol: "T", Result: l.Air.Usual, Unit: "clean atmospheres", Estimate: true,
		Source: fittedHere}
	if read {
		t.Title, t.Symbol = "Turbidity before any reading", "T0"
	}
	if l.Air.Basis != sky.AsStated && l.place.Elevation > 0 {
		t.Template, t.Source = "1.3 + ({Tz} - 1.3) * exp(-{z} / 4200)", "fitted to two high places in Colorado"
		w.turbidityAtSea(l, Step{Title: "Turbidity at sea level", Symbol: "Tz", Unit: t.Unit})
		w.add(t, elevation(l.place.Elevation))
	} else {
		w.turbidityAtSea(l, t)
	}
	if read {
		w.add(Step{Title: "Turbidity", Symbol: "T", Template: with("max(#, min({T0} + {dT}, #))", sky.LowestTurbidity,
			sky.HighestTurbidity), Result: l.Air.Turbidity, Unit: t.Unit, Source: theReadings, Estimate: true},
			given("dT", "what the readings add", l.By.Turbidity))
	}
}

// turbidityAtSea explains what the condition says of the air, in a step with
// its title.
func (w *workings) turbidityAtSea(l *ambient, t Step) {
	t.Result, t.Estimate, t.Source = l.Air.AtSea, true, fittedHere
	switch l.Air.Basis {
	case sky.AsStated:
		t.Words, t.Estimate, t.Source = "stated", false, "the shoot"
	case sky.ByHaze:
		t.Words = "of a hazy sky"
	default:
		season := Step{Title: "Weight of the season", Symbol: "w", Template: "max(0, min((abs({lat}) - 15) / 20, 1))",
			Result: l.Air.Season,
			Source: judgedHere + "; measured at 56 N alone", Estimate: true}
		if math.Signbit(float64(l.place.Latitude)) {
			season.Template, season.Words = "-"+season.Template, "less than 0 in the south"
		}
		w.add(season, angle("lat", "the latitude", l.place.Latitude.Degrees()))
		t.Template, t.Words = "2.6 + 0.2 * {w} * {s}", "of a clear sky"
	}
	w.add(t)
}

// sources explains beam, sky and level.
func (w *workings) sources(l *ambient) {
	c := &l.Cloudless
	w.add(Step{Title: "Sunlight outside the air", Symbol: "E0", Template: "133800 / {r}^2",
		Result: float64(c.Outside), Unit: "lx", Source: "Darula & Kittler 2002"})
	beam := Step{Title: "Beam without cloud, square to it", Symbol: "Ec", Template: "{E0} * exp(-{τ} * {T})",
		Result: float64(c.Beam), Unit: "lx",
		Source: "law of Bouguer, with Kittler & Darula's luminous turbidity"}
	if c.LowSun > 0 {
		low := Step{Title: "More loss near the horizon", Symbol: "low", Template: "1.6 * (1 - {h} / 3)^1.5",
			Result: float64(c.LowSun), Unit: "stops",
			Source: "fitted by hand to spectra of Bird & Riordan 1986 (SPECTRL2)", Estimate: true}
		if l.sun.Altitude.Degrees() < -16./60 {
			low.Template, low.Words = "1.6 * (1 + 16 / 60 / 3)^1.5", "of the last of the disc"
		}
		w.add(low)
		beam.Template += " * 2^-{low}"
	}
	w.add(beam)
	w.dusk(c.Dusk)
	falls := "{Ec}"
	switch {
	case l.Oktas != nil:
		w.blueSky(l)
		w.cloudySky(l, "Overcast sky on the level")
		w.oktas(l.Oktas)
		falls = "{Em}"
	case l.Cloud != nil:
		w.cloudBeam(l.Cloud)
		w.cloudySky(l, "Cloudy sky on the level")
		falls = "{Et}"
	default:
		w.blueSky(l)
	}
	w.falls(l, falls)
}

// falls explains what of beam and sky gets to the place.
func (w *workings) falls(l *ambient, beam string) {
	w.add(Step{Title: "Direct light, square to the beam", Symbol: "Eb",
		Template: corrected(beam, "rb", l.By.Beam) + " * {v}",
		Result:   float64(l.Light.DirectNormal), Unit: "lx", Source: "geometry"},
		given("rb", "what the readings say of the beam, stops", l.By.Beam))
	from := map[bool]string{true: "{Es}", false: "{Eo}"}[l.Cloud == nil]
	if l.Oktas != nil {
		from = "{Ek}"
	}
	w.moon(l)
	from = corrected(from, "rs", l.By.Sky)
	if l.Moon != nil {
		from += " + {Ns}"
	}
	sky := Step{Title: "Light of the sky on the level", Symbol: "Ed", Template: from,
		Result: float64(l.Light.DiffuseHorizontal), Unit: "lx"}
	said := given("rs", "what the readings say of the sky's light, stops", l.By.Sky)
	if l.Light.HasSkyline() {
		sky.Template = "{Eu} * {oe}"
		w.add(Step{Title: "Light of the whole sky on the level", Symbol: "Eu", Template: from,
			Result: float64(l.Light.OpenSky), Unit: "lx"}, said)
		w.add(Step{Title: "Share of it that the skyline leaves", Symbol: "oe",
			Words:  "1 less the mean of sin^2 of its altitudes",
			Result: float64(l.Light.DiffuseHorizontal / l.Light.OpenSky), Source: skylineShare, Estimate: true})
	}
	w.add(sky, said)
	w.add(Step{Title: "Light on the level", Symbol: "level", Template: "{Eb} * max(0, sin({h})) + {Ed}" + l.moonOnLevel(),
		Result: float64(l.Light.Level), Unit: "lx", Source: lambert})
}

// moon explains the moon's light.
func (w *workings) moon(l *ambient) {
	m := l.Moon
	if m == nil {
		return
	}
	const suncalc = "suncalc's three terms of the moon's orbit: about"
	w.add(Step{Title: "Angle between sun and Earth seen from the moon", Symbol: "an", Words: "0 when it is full",
		Result: m.Phase.Degrees(), Unit: degrees, Source: suncalc, Estimate: true})
	w.add(Step{Title: "Moonlight outside the air", Symbol: "N0",
		Template: "10.7639 * (384400 / {dn})^2 * 10^(-0.4 * (3.84 + 0.026 * {an} + 0.000000004 * {an}^4))",
		Result:   float64(m.Outside), Unit: "lx",
		Source: "Krisciunas & Schaefer 1991, PASP 103, 1033, eq. 8 and 9, from memory", Estimate: true},
		given("dn", "the moon's distance in km", m.Distance))
	const weak, fitted = "as of a sun so weak in its place", fittedHere + ", for the sun"
	w.add(Step{Title: "Light of the sky that the moon lights, on the level", Symbol: "Ns",
		Words: "what air and cloud send on, " + weak, Result: float64(m.Sky), Unit: "lx", Source: fitted, Estimate: true})
	if l.Light.Moon.Normal == 0 {
		return
	}
	w.add(Step{Title: "Altitude of the moon", Symbol: "hn", Words: "apparent",
		Result: l.Light.Moon.Altitude.Degrees(), Unit: degrees, Source: suncalc, Estimate: true})
	w.add(Step{Title: "Direct moonlight, square to it", Symbol: "Nb",
		Words:  "what air, cloud and skyline let through, " + weak,
		Result: float64(l.Light.Moon.Normal), Unit: "lx", Source: fitted, Estimate: true})
}

// moonOnLevel is what the moon adds to a template of the level.
func (l *ambient) moonOnLevel() string {
	if l.Light.Moon.Normal == 0 {
		return ""
	}
	return " + {Nb} * max(0, sin({hn}))"
}

// moonOn is what the moon adds to the template of an upright plane, and the value
// in it, by the plane's name and its azimuth.
func (l *ambient) moonOn(symbol string, azimuth sky.Angle) (string, Value) {
	if l.Light.Moon.Normal == 0 {
		return "", Value{}
	}
	return " + {Nb} * cos({hn}) * max(0, cos({" + symbol + "}))", angle(symbol, "the moon's azimuth from the plane's",
		math.Abs((l.Light.Moon.Azimuth - azimuth).Turn().Degrees()))
}

// litToward is what the lit side faces: by night the moon, where it is brighter so.
func (l *ambient) litToward() string {
	if l.Light.LitPlane() != 0 {
		return "the moon"
	}
	return "the sun"
}

// skylineShare is where the share that a skyline leaves of the sky's light comes
// from.
const skylineShare = "an even sky before a skyline that throws nothing back"

// wholeSky is the symbol of the light of the whole sky on the level.
func (l *ambient) wholeSky() string {
	if l.Light.HasSkyline() {
		return "{Eu}"
	}
	return "{Ed}"
}

// skyOn explains the light of the sky on an upright plane, which faces an azimuth
// counted from the sun's.
func (w *workings) skyOn(l *ambient, plane, symbol string, azimuth sky.Angle, result sky.Lux, source string) {
	step := Step{Title: "Sky on the " + plane, Symbol: "S" + symbol, Template: l.wholeSky() + " * {V" + symbol + "}",
		Result: float64(result), Unit: "lx", Source: source}
	if l.Light.HasSkyline() {
		step.Template += " * {o" + symbol + "}"
		w.add(Step{Title: "Share of it that the skyline leaves, " + plane, Symbol: "o" + symbol,
			Words:  "1 less the sum of cos d (h / 2 + sin(2 h) / 4) round the plane's square, against pi / 2",
			Result: l.Light.SkyLeft(azimuth), Source: skylineShare, Estimate: true})
	}
	w.add(step)
}

// corrected adds a correction by readings to a template, where there is one.
func corrected(template, symbol string, by sky.Stops) string {
	if by != 0 {
		template += " * 2^{" + symbol + "}"
	}
	return template
}

// dusk explains how much of the sky's light is left with the sun gone.
func (w *workings) dusk(d *sky.DuskPath) {
	if d == nil {
		return
	}
	const table = "Explanatory Supplement to the Astronomical Almanac 2013, table 12.8"
	w.add(Step{Title: "Altitude for the twilight table", Symbol: "xt",
		Template: "max(-18, {h0} + max(0, 1 + {h} / 1.5) * ({h} - {h0} - 0.57))",
		Result:   d.Altitude, Unit: degrees, Source: "the table goes by the true altitude; near the horizon the two " +
			"are drawn together", Estimate: true})
	w.add(Step{Title: "Clear twilight on the level", Symbol: "Et0",
		Template: "10^({c0} + {c1} * ({xt} / 90) + {c2} * ({xt} / 90)^2 + {c3} * ({xt} / 90)^3)",
		Words:    "c0 to c3 by the table", Result: float64(d.Level), Unit: "lx", Source: table +
			"; moon, stars and town are not in it"},
		Value{Symbol: "c0", Value: d.Cubic[0]}, Value{Symbol: "c1", Value: d.Cubic[1]},
		Value{Symbol: "c2", Value: d.Cubic[2]}, Value{Symbol: "c3", Value: d.Cubic[3]})
	w.add(Step{Title: "Share of the light left", Symbol: "D", Template: "{Et0} / 537.562",
		Words:  "against that with the sun seen on the horizon",
		Result: d.Share, Source: table})
}

// fades adds the share of twilight to a template, where there is any.
func (l *ambient) fades(template string) string {
	if l.Cloudless.Dusk != nil {
		template += " * {D}"
	}
	return template
}

// blueSky explains the cloudless sky's light on the level.
func (w *workings) blueSky(l *ambient) {
	w.work(Step{Title: "Sine held up near the horizon", Symbol: "μ",
		Template: "(max(0, sin({h}))^1.5 + 0.014046^1.5)^(2 / 3)", Source: fittedHere, Estimate: true})
	w.add(Step{Title: "Cloudless sky on the level", Symbol: "Es",
		Template: l.fades("0.48 * {E0} * {μ}^1.12 * exp(-0.26 * {μ}^2) * (1 - exp(-{τs} * {T})) * sqrt({T} / 2.5) * " +
			"exp(-0.133 * {τs} * ({T} - 2.5))"),
		Result: float64(l.Cloudless.Sky), Unit: "lx", Source: fittedHere, Estimate: true,
		Note: "what the air takes out of the beam, a part of it sent on to the ground"})
}

// cloudySky explains the light of a sky with cloud on the level.
func (w *workings) cloudySky(l *ambient, title string) {
	c := l.Cloud
	w.work(Step{Title: "Sine held up near the horizon, under cloud", Symbol: "μc",
		Template: with("(max(0, sin({h}))^1.5 + #^1.5)^(2 / 3)", c.Least), Source: fittedHere, Estimate: true})
	template := with("# * {E0} * {μc}^#", c.Share, c.Power)
	if c.Heavy != 0 {
		template += with(" * 2^-#", float64(c.Heavy))
	}
	w.add(Step{Title: title, Symbol: "Eo", Template: l.fades(template), Result: float64(c.Sky), Unit: "lx",
		Source: fittedHere, Estimate: true})
}

func (w *workings) cloudBeam(c *sky.CloudPath) {
	through := Step{Title: "Beam through the cloud", Symbol: "Et", Words: "none comes through",
		Result: float64(c.Beam), Unit: "lx", Source: "meaning of the word"}
	switch {
	case c.Sun && c.DimsByMass != 0:
		through.Template = with("{Ec} * 2^-(# + # * {ms})", float64(c.Dims), float64(c.DimsByMass))
	case c.Sun:
		through.Template = with("{Ec} * 2^-#", float64(c.Dims))
	}
	if c.Sun {
		through.Words, through.Source, through.Estimate = "", fittedHere, true
	}
	w.add(through)
}

// oktas explains beam and sky under some eighths of cloud.
func (w *workings) oktas(o *sky.OktaPath) {
	n := given("n", "the oktas", o.Oktas)
	w.add(Step{Title: "Cloudless light on the level", Symbol: "Ew", Template: "{Ec} * max(0, sin({h})) + {Es}",
		Result: float64(o.Clear), Unit: "lx", Source: lambert})
	w.add(Step{Title: "Light on the level under oktas", Symbol: "En",
		Template: "{Ew} - ({Ew} - {Eo}) * ({n} / 8)^3.4", Result: float64(o.Level), Unit: "lx",
		Source: kasten + ", run to the overcast here", Estimate: true}, n)
	w.add(Step{Title: "Share of the time that the sun is out", Symbol: "out",
		Template: "{En} / {Ew} * (1 - ({n} / 8)^2)", Result: o.Out,
		Source: kasten + ", share of the sky from memory", Estimate: true}, n)
	w.add(Step{Title: "Mean beam", Symbol: "Em", Template: "{Ec} * {out}", Result: float64(o.Beam), Unit: "lx",
		Source: kasten, Estimate: true})
	w.add(Step{Title: "Mean sky on the level", Symbol: "Ek", Template: "{En} - {Em} * max(0, sin({h}))",
		Result: float64(o.Sky), Unit: "lx", Source: kasten, Estimate: true,
		Note: "the mean over sun out and in, a light that seldom is there"})
}

// share explains an upright plane's share of the sky's light.
func (w *workings) share(title, symbol string, l *ambient, azimuth sky.Angle) {
	c := &l.Spread.Harmonics
	template := "{c0} + {c1} * cos({x})"
	values := []Value{{Symbol: "c0", Value: c[0]}, {Symbol: "c1", Value: c[1]},
		angle("x", "the plane's azimuth from the sun's", math.Abs(azimuth.Turn().Degrees()))}
	for i := 2; i < len(c); i++ {
		if c[i] == 0 {
			continue
		}
		template += fmt.Sprintf(" + {c%d} * cos(%d * {x})", i, i)
		values = append(values, Value{Symbol: fmt.Sprintf("c%d", i), Value: c[i]})
	}
	if l.Spread.Fade > 0 {
		template = "(" + template + ") * (1 - {f}) + {f} / 2"
	}
	step := Step{Title: title, Symbol: symbol, Template: template, Words: "each c by the type of sky and h",
		Source: iso15469 + "integrated over the sky in front of the plane every 3 deg of h"}
	if l.Spread.Low() {
		step.Words, step.Source = "each c by the type of sky and hs",
			lowSkySource+", integrated over the sky in front of the plane every half degree of hs"
	}
	w.work(step, values...)
}

// planes explains the light on lit, shade and face.
func (w *workings) planes(l *ambient) {
	w.add(Step{Title: "Type of the sky", Words: map[sky.SkyType]string{
		sky.OvercastSky: "overcast: the same all around, a third as bright at the horizon as overhead",
		sky.BrokenSky:   "partly cloudy, bright round the sun",
		sky.ClearSky:    "clear",
		sky.HazySky:     "clear, polluted",
	}[l.Spread.Type], Result: float64(l.Spread.Type), Source: iso15469 + "table 1"})
	w.lowSun(l)
	if l.Spread.Fade > 0 {
		w.add(Step{Title: "Fading of the sunset side", Symbol: "f", Template: "min((-9 - {h}) / 9, 1)",
			Words:  "from -9 deg down to -18",
			Result: l.Spread.Fade, Source: judgedHere, Estimate: true})
	}
	towardCamera := l.view.Facing - l.sun.Azimuth
	w.share("Upright share, toward "+l.litToward(), "Vl", l, l.Light.LitPlane())
	w.share("Upright share, toward the camera", "Vc", l, towardCamera)
	light := &l.Light
	w.skyOn(l, "lit plane", "l", light.LitPlane(), light.SkyLit, "")
	w.skyOn(l, "shaded plane", "c", towardCamera, light.SkyShade, "")
	w.add(Step{Title: "Ground on either plane", Symbol: "G", Template: "{level} * {ρ} / 2",
		Result: float64(light.Ground), Unit: "lx",
		Source: "an even ground fills half of an upright plane's view", Estimate: true}, l.reflectance())
	moon, from := l.moonOn("yl", l.sun.Azimuth+l.Light.LitPlane())
	w.add(Step{Title: "Lit side", Symbol: "lit", Template: "{Eb} * max(0, cos({h})) + {Sl} + {G}" + moon,
		Result: float64(light.Lit), Unit: "lx",
		Source: lambert, Note: "upright, facing " + l.litToward()}, from)
	w.add(Step{Title: "Shade side", Symbol: "shade", Template: "{Sc} + {G}", Result: float64(light.Shade), Unit: "lx",
		Note: "upright, facing the camera, direct sun kept off"})
	moon, from = l.moonOn("yc", l.view.Facing)
	w.add(Step{Title: "Face", Symbol: "face", Template: "{shade} + {Eb} * max(0, cos({h})) * max(0, cos({c}))" + moon,
		Result: float64(light.Face), Unit: "lx",
		Source: lambert, Note: "facing the camera, with whatever falls on it"},
		angle("c", "the camera's azimuth from the sun's", math.Abs(towardCamera.Turn().Degrees())), from)
	w.side(l, "key side", "k", l.stance.KeyPlane())
	w.side(l, "shadow side", "h", l.stance.ShadowPlane())
}

// side explains the sky's light on the plane of one side of the face.
func (w *workings) side(l *ambient, name, symbol string, azimuth sky.Angle) {
	w.share("Upright share, "+name+" of the face", "V"+symbol, l, azimuth-l.sun.Azimuth)
	w.skyOn(l, name, symbol, azimuth-l.sun.Azimuth, l.Light.SkyOn(azimuth-l.sun.Azimuth), twoSides)
}

func (l *ambient) reflectance() Value { return given("ρ", "the ground's reflectance", l.ground) }

const bandsSource = "quantile regression on minutes at Kgs. Lyngby, 2015-16; on the horizon and below judgement"

// bands explains where measurements lie.
func (w *workings) bands(l *ambient) {
	b := &l.Bands
	w.work(Step{Title: "Place between two rows of the bands", Symbol: "g",
		Template: with("max(0, min(({h} - #) / (# - #), 1))", b.From, b.To, b.From),
		Words:    with("from # to # deg", b.From, b.To), Source: "straight lines between the rows",
		Note: "the band holds 8 of 10 measurements"})
	for _, p := range [...]struct {
		name, symbol string
		ends         sky.BandEnds
		band         sky.Band
		dusk         sky.Stops
	}{
		{"Lit side", "lit", b.Lit, l.Light.LitBand, b.Dusk},
		{"Shade side", "shade", b.Shade, l.Light.ShadeBand, b.Dusk},
		{"Level", "level", b.Level, l.Light.LevelBand, 0},
	} {
		w.extreme(l, 0, p.name, p.symbol)
		w.end(l, p.name+", low end of the band", p.symbol, 0, p.ends.Low, p.dusk, p.band.Low)
		w.extreme(l, 1, p.name, p.symbol)
		w.end(l, p.name+", high end", p.symbol, 1, p.ends.High, p.dusk, p.band.High)
	}
}

// suffix marks the lights of the two extremes.
func suffix(which int) string { return [2]string{"In", "Out"}[which] }

// end explains one end of a band, 0 the low and 1 the high: between two
// altitudes, widened for the place and for twilight, under oktas from one of
// the extremes.
func (w *workings) end(l *ambient, title, plane string, which int, rows [2]sky.Stops, dusk, value sky.Stops) {
	template := "{e1} + {g} * ({e2} - {e1})"
	if l.By.Told > 0 || l.By.SkyTold > 0 {
		template = l.afterReading(template, plane, which)
	}
	step := Step{Title: title, Symbol: plane + [2]string{"Low", "High"}[which], Result: float64(value), Unit: "stops",
		Source: bandsSource, Estimate: true}
	wider := ""
	if l.Bands.Widen > 0 {
		wider += " + {elsewhere}^2"
	}
	if dusk > 0 {
		wider += " + {twilight}^2"
	}
	if wider != "" {
		template = "sqrt((" + template + ")^2" + wider + ")"
		if which == 0 {
			template = "-" + template
		}
		step.Words = "squares added"
	}
	if l.Bands.Extremes != nil {
		if template[0] == '-' {
			template = "(" + template + ")"
		}
		template = "log2({" + plane + suffix(which) + "} / {" + plane + "}) + " + template
	}
	step.Template = template
	read, shade := l.readEnds(plane, which)
	w.add(step, given("e1", "the end at "+Figures(l.Bands.From)+" deg", rows[0]),
		given("e2", "at "+Figures(l.Bands.To)+" deg", rows[1]),
		given("elsewhere", "for another climate than the measured in stops", l.Bands.Widen),
		given("twilight", "for upright planes in twilight in stops", dusk),
		given("told", "how much readings tell", l.By.Told), given("skytold", "and of the sky alone", l.By.SkyTold),
		given("r1", "the end after a reading at "+Figures(l.Bands.From)+" deg", read[0]),
		given("r2", "at "+Figures(l.Bands.To)+" deg", read[1]),
		given("s1", "the end after a reading of the shade at "+Figures(l.Bands.From)+" deg", shade[0]),
		given("s2", "at "+Figures(l.Bands.To)+" deg", shade[1]))
}

// afterReading returns the template of a band's end narrowed by readings.
func (l *ambient) afterReading(template, plane string, which int) string {
	if !l.Bands.Cloudless[which] {
		return "(" + template + ") * sqrt(1 - {told}^2)"
	}
	further := [2]string{"max", "min"}[which]
	toward := func(from, to, share string) string {
		return from + " + " + share + " * " + further + "(0, " + to + " - (" + from + "))"
	}
	read := "{r1} + {g} * ({r2} - {r1})"
	if plane != "shade" {
		return toward(template, read, "{told}")
	}
	read = toward(read, "{s1} + {g} * ({s2} - {s1})", "{skytold}")
	return toward(template, read, "max({told}, {skytold})")
}

// readEnds returns an end of a plane's band after a reading of the lit side, and
// of the shade's after one of the shade too, at the two altitudes.
func (l *ambient) readEnds(plane string, which int) (read, shade [2]sky.Stops) {
	b := &l.Bands
	ends := map[string]sky.BandEnds{"lit": b.ReadLit, "shade": b.ReadShade, "level": b.ReadLevel}[plane]
	if which == 0 {
		return ends.Low, b.ReadSky.Low
	}
	return ends.High, b.ReadSky.High
}

// extreme explains, under oktas, the light on a plane with the sun in or out.
func (w *workings) extreme(l *ambient, which int, name, plane string) {
	if l.Bands.Extremes == nil {
		return
	}
	x := &l.Bands.Extremes[which]
	level := "{B} * max(0, sin({h})) + {Ed}" + l.moonOnLevel()
	var from Value
	template, lux := level, x.Level
	switch plane {
	case "lit":
		template, lux = "{B} * max(0, cos({h})) + {Sl} + {ρ} / 2 * ("+level+")", x.Lit
		moon, azimuth := l.moonOn("yl", l.sun.Azimuth+l.Light.LitPlane())
		template, from = template+moon, azimuth
	case "shade":
		template, lux = "{Sc} + {ρ} / 2 * ("+level+")", x.Shade
	}
	sun := [2]string{"in", "out"}[which]
	w.add(Step{Title: name + " with the sun " + sun, Symbol: plane + suffix(which), Template: template,
		Result: float64(lux), Unit: "lx",
		Source: "oktas say nothing of where the sun is: the band runs from sun in to sun out", Estimate: true},
		given("B", "the beam with the sun "+sun+" in lx", x.DirectNormal), l.reflectance(), from)
}

// backdropBand explains where the luminance behind the subject may lie.
func (w *workings) backdropBand(l *ambient) {
	if l.Light.BackdropShare <= 0 {
		return
	}
	w.work(Step{Title: "How far a real sky strays from its type", Symbol: "stray",
		Template: "0.5 + 0.2 * max(0, min(4 - {h}, 8)) / 8", Unit: "stops", Source: judgedHere, Estimate: true,
		Note: "more with a low sun, where haze counts most"})
	for i, end := range [2]sky.Stops{l.Light.BackdropBand.Low, l.Light.BackdropBand.High} {
		name, sign := [2]string{"Low", "High"}[i], [2]string{"-", ""}[i]
		w.add(Step{Title: "Sky in the frame, " + strings.ToLower(name) + " end of its band",
			Template: sign + "sqrt({level" + name + "}^2 + {stray}^2)", Result: float64(end), Unit: "stops",
			Source: judgedHere, Estimate: true})
	}
}
