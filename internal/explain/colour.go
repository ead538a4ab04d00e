package explain

import (
	"math"
	"strings"

	"evenfall/sky"
)

const (
	birdRiordan = "fitted to spectra of Bird & Riordan 1986 (SPECTRL2)"
	mireds      = "definition of the mired"
	robertson   = "Robertson 1968, J. Opt. Soc. Am. 58, 1528"
)

// colour explains the colour temperatures of the light.
func (w *workings) colour(l *ambient) {
	c, k := &l.Colour, l.Light.Colour()
	w.add(Step{Title: "Air mass for the colours", Symbol: "am", Template: "{ms} * {p}", Result: c.Mass})
	if l.Light.DirectNormal > 0 {
		w.beamColour(c, k.Beam)
		w.onLocus("beam", "b", c.BeamUV)
	}
	if l.Light.Moon.Normal > 0 {
		w.onLocus("moonlight of 4100 K", "b", c.BeamUV)
	}
	w.skyColour(l)
	beam := component{"b", "({level} - {Ed})", float64(l.Light.Level - l.Light.DiffuseHorizontal)}
	w.mix("ground", "g", beam, component{"s", "{Ed}", float64(l.Light.DiffuseHorizontal)})
	light := &l.Light
	ground := component{"g", "{G}", float64(light.Ground)}
	onLit := w.sideColour(l, "lit side", "l", light.LitPlane(), &c.LitBlue)
	w.mix("lit side", "l", component{onLit, "{Sl}", float64(light.SkyLit)}, ground,
		component{"b", "({lit} - {Sl} - {G})", float64(light.Lit - light.SkyLit - light.Ground)})
	w.temperature("lit side", "l", c.Lit, k.Lit)
	onShade := w.sideColour(l, "shade side", "h", l.view.Facing-l.sun.Azimuth, &c.ShadeBlue)
	shade := component{onShade, "{Sc}", float64(light.SkyShade)}
	w.mix("shade side", "h", shade, ground)
	w.temperature("shade side", "h", c.Shade, k.Shade)
	if light.Face > light.Shade {
		w.mix("face", "f", shade, ground, component{"b", "({face} - {shade})", float64(light.Face - light.Shade)})
		w.temperature("face", "f", c.Face, k.Face)
	}
}

// sideColour explains the colour of the sky's light on an upright plane, and
// returns its symbol.
func (w *workings) sideColour(l *ambient, name, plane string, azimuth sky.Angle, side *sky.BlueSide) string {
	c := &l.Colour
	if c.Blue <= 0 || c.Warmer == [3]float64{} {
		return "s"
	}
	const source = "fitted to our own calculation of the light scattered in spherical air, at ten wavelengths"
	w.work(Step{Title: "The blue on the " + name + " warmer than on the level by", Symbol: "dM" + plane,
		Template: "{m0} + {m1} * cos({x}) + {m2} * cos({x})^2", Unit: "mired", Source: source, Estimate: true},
		given("m0", "and m1, m2 by the sun's altitude", c.Warmer[0]), Value{Symbol: "m1", Value: c.Warmer[1]},
		Value{Symbol: "m2", Value: c.Warmer[2]},
		angle("x", "the plane's azimuth from the sun's", math.Abs(azimuth.Turn().Degrees())))
	w.add(Step{Title: "Colour of the blue on the " + name, Symbol: "My" + plane,
		Template: "max({My} + {dM" + plane + "}, 50)", Words: "no bluer than 20000 K", Result: float64(side.Mired),
		Unit: "mired", Source: source, Estimate: true})
	if c.Blue >= 1 {
		w.onLocus("sky on the "+name, "s"+plane, side.UV)
		return "s" + plane
	}
	w.onLocus("blue sky on the "+name, "y"+plane, side.UV)
	w.mix("sky on the "+name, "s"+plane, component{"y" + plane, "{blue}", c.Blue},
		component{"c", "(1 - {blue})", 1 - c.Blue})
	return "s" + plane
}

func (w *workings) beamColour(c *sky.ColourPath, k sky.Kelvin) {
	w.work(Step{Title: "Colour of the beam", Symbol: "Mb0",
		Template: "171.09 + 14.683 * {am} + {am} / (9.9 + 0.225 * {am}) * (44.242 * {T} - 98.244)",
		Unit:     "mired", Source: birdRiordan, Estimate: true})
	bent := Step{Title: "The same, bent to the warmest", Symbol: "Mb", Template: "{Mb0}", Words: "from 400 mired on",
		Result: float64(c.Beam), Unit: "mired",
		Source:   "handbooks put the sun on the horizon between 1900 and 3000 K: common practice, no source",
		Estimate: true}
	if w.known["Mb0"].Value > 400 {
		bent.Template, bent.Words = "400 + 125 * tanh(({Mb0} - 400) / 125)", ""
	}
	w.add(bent)
	w.add(Step{Title: "Colour temperature of the beam", Template: "1000000 / {Mb}", Result: float64(k), Unit: "K",
		Source: mireds, Estimate: true})
}

// onLocus gives the place of natural light on the chromaticity diagram.
func (w *workings) onLocus(name, symbol string, c sky.UV) {
	const words = "read off the CIE daylight locus, the Planckian below 4000 K"
	const source = "CIE 15:2004, section 3.1; Robertson 1968, as printed by Wyszecki & Stiles 1982"
	w.add(Step{Title: "Chromaticity u of the " + name, Symbol: "u" + symbol, Words: words, Result: c.U, Source: source})
	w.add(Step{Title: "Chromaticity v of the " + name, Symbol: "v" + symbol, Words: words, Result: c.V, Source: source})
}

// skyColour explains the colour of the sky, blue between clouds and white.
func (w *workings) skyColour(l *ambient) {
	c := &l.Colour
	if c.Turn > 0 {
		w.work(Step{Title: "Progress of the turn to twilight", Symbol: "kj",
			Template: "max(0, min((1 - {h}) / 2.5, 1))", Words: "from 1 deg down to -1.5", Source: judgedHere,
			Estimate: true})
		w.add(Step{Title: "Turn of the sky to its colour in twilight", Symbol: "j",
			Template: "{kj}^2 * (3 - 2 * {kj})", Result: c.Turn, Source: judgedHere, Estimate: true})
	}
	switch {
	case c.Blue >= 1:
		w.blueColour(c)
		w.onLocus("sky", "s", c.SkyUV)
	case c.Blue <= 0:
		w.cloudColour(c)
		w.onLocus("sky, all cloud", "s", c.CloudUV)
	default:
		w.blueColour(c)
		w.onLocus("blue sky", "y", c.SkyUV)
		w.cloudColour(c)
		w.onLocus("cloud", "c", c.CloudUV)
		w.blueShare(l)
		w.mix("sky", "s", component{"y", "{blue}", c.Blue}, component{"c", "(1 - {blue})", 1 - c.Blue})
	}
}

func (w *workings) blueColour(c *sky.ColourPath) {
	w.work(Step{Title: "Doublings of the haze", Symbol: "dbl", Template: "log2(max({T} - 1.375, 0.1))",
		Source: birdRiordan, Estimate: true})
	w.work(Step{Title: "Colour of the cloudless sky", Symbol: "My0",
		Template: "79.15 + 8.721 * {am} - 6.223 * ln({am})^3 + (14.57 + 6.014 * {am} - 4.803 * ln({am})^3) * {dbl}",
		Unit:     "mired", Source: birdRiordan, Estimate: true})
	held := Step{Title: "The same, no bluer than 20000 K", Symbol: "My",
		Template: "50 + ({My0} - 50 + sqrt(({My0} - 50)^2 + 6^2)) / 2", Result: float64(c.Sky), Unit: "mired",
		Source: judgedHere, Estimate: true}
	w.turned(c, held, "55", "The blue sky, on its way to twilight")
}

func (w *workings) cloudColour(c *sky.ColourPath) {
	w.turned(c, Step{Title: "Colour of the cloud", Symbol: "Mc", Template: "143.5 + 17 * max(0, sin({h}))",
		Result: float64(c.Cloud), Unit: "mired",
		Source: "Balakrishnan 2019, the ranges measured under overcast", Estimate: true}, "110",
		"The cloud, on its way to twilight")
}

// turned writes a colour of the day down, and in twilight how it turns from
// there; the step's result is where it ends.
func (w *workings) turned(c *sky.ColourPath, day Step, twilight, title string) {
	if c.Turn == 0 {
		w.add(day)
		return
	}
	turned := day
	day.Symbol += "d"
	w.work(day)
	turned.Title, turned.Template = title, "{"+day.Symbol+"} + {j} * ("+twilight+" - {"+day.Symbol+"})"
	turned.Values, turned.Source = nil, "Balakrishnan 2019, measured at Singapore; under cloud an estimate"
	w.add(turned)
}

// blueShare explains how much of the sky's light comes from the blue between
// clouds.
func (w *workings) blueShare(l *ambient) {
	share := Step{Title: "Share of the sky's light from the blue", Symbol: "blue", Result: l.Colour.Blue,
		Source: judgedHere, Estimate: true}
	if l.Oktas != nil {
		share.Template = "min((1 - {n} / 8) * {Es} / {Ek}, 1)"
		w.add(share, given("n", "the oktas", l.Oktas.Oktas))
		return
	}
	w.blueSky(l)
	share.Template = with("min(# * {Es} / {Eo}, 1)", l.Cloud.Open)
	w.add(share)
}

// component is a light that goes into a mixture.
type component struct {
	symbol string  // of its chromaticity, after u and v
	light  string  // template of its amount
	amount float64 // lx, or a share
}

// mix explains how lights add up in chromaticity; those that give nothing are
// left out.
func (w *workings) mix(name, symbol string, parts ...component) {
	var light, weights, weighted []string
	for _, p := range parts {
		if p.amount <= 0 || w.known["v"+p.symbol].Value <= 0 {
			continue
		}
		v := "{v" + p.symbol + "}"
		light = append(light, p.light)
		weights = append(weights, p.light+" / "+v)
		weighted = append(weighted, p.light+" * {u"+p.symbol+"} / "+v)
	}
	if len(light) == 0 {
		return
	}
	over := " / (" + strings.Join(weights, " + ") + ")"
	const source = "CIE 15:2004, additive mixing: the weights are light / v"
	w.work(Step{Title: "Chromaticity u of the " + name, Symbol: "u" + symbol, Template: "(" +
		strings.Join(weighted, " + ") + ")" + over, Source: source})
	w.work(Step{Title: "Chromaticity v of the " + name, Symbol: "v" + symbol, Template: "(" +
		strings.Join(light, " + ") + ")" + over, Source: source})
}

// temperature explains how a chromaticity comes to its colour temperature.
func (w *workings) temperature(name, symbol string, between [2]sky.Isotherm, k sky.Kelvin) {
	of := Step{Title: "Colour temperature of the " + name, Result: float64(k), Unit: "K", Source: robertson,
		Estimate: true}
	if between[0] == between[1] {
		if k > 0 {
			of.Words = "beyond the last isotherm of the table"
			w.add(of)
		}
		return
	}
	for i, t := range between {
		w.work(Step{Title: "Distance of the " + name + " from the isotherm of " + Figures(t.Mired) + " mired",
			Symbol:   [2]string{"d1", "d2"}[i] + symbol,
			Template: "({v" + symbol + "} - {v0} - {slope} * ({u" + symbol + "} - {u0})) / sqrt(1 + {slope}^2)",
			Words:    "u0, v0 and slope by the table", Source: robertson},
			Value{Symbol: "v0", Value: t.V}, Value{Symbol: "u0", Value: t.U}, Value{Symbol: "slope", Value: t.Slope})
	}
	a, b := "{d1"+symbol+"}", "{d2"+symbol+"}"
	of.Template = with("1000000 / (# + (# - #) * ", between[0].Mired, between[1].Mired, between[0].Mired) + a +
		" / (" + a + " - " + b + "))"
	w.add(of)
}
