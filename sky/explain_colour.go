package sky

import (
	"fmt"
	"math"
	"strings"
)

// colour tells of the colour temperatures of the light.
func (t *telling) colour() []Step {
	l := &t.l
	if l.tint == (tint{}) {
		return nil
	}
	c := l.Colour()
	var m mixed
	m.of(l)
	var steps []Step
	if l.DirectNormal > 0 {
		steps = append(steps, t.beamColour(c.Beam)...)
		steps = append(steps, t.onLocus("beam", "b", m.beam)...)
	}
	steps = append(steps, t.skyColour(m.sky)...)
	beam := float64(l.Level - l.DiffuseHorizontal)
	steps = append(steps, mix("ground", "g", m.ground, part{"b", m.beam, beam}, part{"s", m.sky, float64(l.DiffuseHorizontal)})...)
	for _, p := range [3]struct {
		name, symbol  string
		mixture       mixture
		kelvin        Kelvin
		sky, beam, on float64
	}{
		{"lit side", "l", m.lit, c.Lit, float64(l.SkyLit), float64(l.Lit - l.SkyLit - l.Ground), float64(l.Lit)},
		{"shade", "h", m.shade, c.Shade, float64(l.SkyShade), 0, float64(l.Shade)},
		{"face", "f", m.face, c.Face, float64(l.SkyShade), float64(l.Face - l.Shade), float64(l.Face)},
	} {
		if p.name == "face" && p.beam <= 0 {
			break // it is the shade's
		}
		steps = append(steps, mix(p.name, p.symbol, p.mixture.chromaticity(),
			part{"s", m.sky, p.sky}, part{"g", m.ground, float64(l.Ground)}, part{"b", m.beam, p.beam})...)
		steps = append(steps, temperature(p.name, p.symbol, p.mixture.chromaticity(), p.kelvin)...)
	}
	return steps
}

func (t *telling) beamColour(k Kelvin) []Step {
	q := &t.l.tint
	fit := q.unbent()
	steps := []Step{{Title: "Colour of the beam Mb", Formula: Expression("Mb = # + # a + a / (# + # a) * (# T - #), a = ms p = #", beamWhite, beamByMass, depthAlone, depthByMass, beamByHaze, beamCleaner, q.mass),
		Numbers: Expression("# + # * # + # / (# + # * #) * (# * # - #)", beamWhite, beamByMass, q.mass, q.mass, depthAlone, depthByMass, q.mass,
			beamByHaze, q.turbidity, beamCleaner),
		Value: fit, Unit: "mired", Source: birdRiordan, Estimate: true}}
	m := q.beam()
	if fit > warmBends {
		steps = append(steps, Step{Title: "The same, bent to the warmest", Formula: Expression("# + # tanh((Mb - #) / #)", warmBends, warmest-warmBends, warmBends, warmest-warmBends),
			Numbers: Expression("# + # * tanh((# - #) / #)", warmBends, warmest-warmBends, fit, warmBends, warmest-warmBends),
			Value:   float64(m), Unit: "mired", Source: "handbooks put the sun on the horizon between 1900 and 3000 K: common practice, no source", Estimate: true})
	}
	return append(steps, Step{Title: "Colour temperature of the beam", Formula: "10^6 / mired", Numbers: Expression("1000000 / #", float64(m)),
		Value: float64(k), Unit: "K", Source: "definition of the mired", Estimate: true})
}

// onLocus gives the place of natural light on the chromaticity diagram.
func (t *telling) onLocus(name, symbol string, c chromaticity) []Step {
	const formula = "read off the CIE daylight locus, the Planckian below 4000 K"
	const source = "CIE 15:2004, section 3.1; Robertson 1968, as printed by Wyszecki & Stiles 1982"
	return []Step{
		{Title: fmt.Sprintf("Chromaticity u of the %s, u%s", name, symbol), Formula: formula, Value: c.u, Source: source},
		{Title: fmt.Sprintf("Chromaticity v of the %s, v%s", name, symbol), Formula: formula, Value: c.v, Source: source},
	}
}

// skyColour tells of the colour of the sky, blue between clouds and white.
func (t *telling) skyColour(mixed chromaticity) []Step {
	q := &t.l.tint
	h := t.sun.Altitude
	turn := duskTurn(h)
	var steps []Step
	dusk := func(title string, day Mired, twilight float64) Mired {
		m := turned(h, day, Mired(twilight))
		if turn > 0 {
			steps = append(steps, Step{Title: title + ", on its way to twilight", Formula: Expression("mired + j (# - mired)", twilight),
				Numbers: Expression("# + # * (# - #)", float64(day), turn, twilight, float64(day)), Value: float64(m), Unit: "mired",
				Source: "Balakrishnan 2019, measured at Singapore; under cloud an estimate", Estimate: true})
		}
		return m
	}
	if turn > 0 {
		f := max(0, min((turnBegins-h.Degrees())/(turnBegins-turnEnds), 1))
		steps = append(steps, Step{Title: "Turn of the sky to its colour in twilight j", Formula: Expression("j = k² (3 - 2 k), k = (# - h) / #, from 0 to 1", turnBegins, turnBegins-turnEnds),
			Numbers: Expression("#^2 * (3 - 2 * #)", f, f), Value: turn, Source: judgedHere, Estimate: true})
	}
	var blue, white chromaticity
	if q.blue > 0 {
		fit, doublings := q.blueFit(), q.doublings()
		steps = append(steps,
			Step{Title: "Doublings of the haze y", Formula: Expression("y = log2(T - #), T - # not below #", noHaze, noHaze, leastHaze),
				Numbers: Expression("log2(max(# - #, #))", q.turbidity, noHaze, leastHaze), Value: doublings, Source: birdRiordan, Estimate: true},
			Step{Title: "Colour of the cloudless sky", Formula: Expression("# + # a - # z + (# + # a - # z) y, a = ms p, z = (ln a)³", blueAlone, blueByMass, blueByLog, hazeAlone, hazeByMass, hazeByLog),
				Numbers: Expression("# + # * # - # * ln(#)^3 + (# + # * # - # * ln(#)^3) * #", blueAlone, blueByMass, q.mass, blueByLog, q.mass,
					hazeAlone, hazeByMass, q.mass, hazeByLog, q.mass, doublings),
				Value: fit, Unit: "mired", Source: birdRiordan, Estimate: true},
			Step{Title: "The same, no bluer than 20000 K", Formula: Expression("# + (o + √(o² + #²)) / 2, o = mired - #", bluest, bluestBends, bluest),
				Numbers: Expression("# + (# - # + sqrt((# - #)^2 + #^2)) / 2", bluest, fit, bluest, fit, bluest, bluestBends),
				Value:   float64(q.cloudlessSky()), Unit: "mired", Source: judgedHere, Estimate: true})
		blue = natural(dusk("The blue sky", q.cloudlessSky(), twilightSky))
	}
	if q.blue < 1 {
		white = natural(turned(h, cloudColour(h), twilightCloud))
		steps = append(steps, Step{Title: "Colour of the cloud", Formula: Expression("# + # sin h, sin h not below 0", cloudLow, cloudRise),
			Numbers: Expression("# + # * max(0, sin(#°))", cloudLow, cloudRise, h.Degrees()), Value: float64(cloudColour(h)), Unit: "mired",
			Source: "Balakrishnan 2019, the ranges measured under overcast", Estimate: true})
		dusk("The cloud", cloudColour(h), twilightCloud)
	}
	switch {
	case q.blue >= 1:
		return append(steps, t.onLocus("sky", "s", mixed)...)
	case q.blue <= 0:
		return append(steps, t.onLocus("cloud", "s", mixed)...)
	}
	steps = append(steps, t.onLocus("blue sky", "y", blue)...)
	steps = append(steps, t.onLocus("cloud", "c", white)...)
	share := Step{Title: "Share of the sky's light from the blue", Value: q.blue, Source: judgedHere, Estimate: true}
	if t.cloud != nil {
		_, cloudless := t.path.light(t.turbidity)
		steps = append(steps, t.blueSky(cloudless)...)
		share.Formula = Expression("# * cloudless sky / cloudy sky, not above 1", t.cloud.open)
		share.Numbers = Expression("min(# * # / #, 1)", t.cloud.open, cloudless, t.source.sky)
	} else {
		cloudless := t.word(Clear, t.sun).sky
		share.Formula = "(1 - n / 8) cloudless sky / mean sky, not above 1"
		share.Numbers = Expression("min((1 - # / 8) * # / #, 1)", t.oktas, cloudless, t.source.sky)
	}
	steps = append(steps, share)
	return append(steps, mix("sky", "s", mixed, part{"y", blue, q.blue}, part{"c", white, 1 - q.blue})...)
}

// part is a light that goes into a mixture.
type part struct {
	symbol string
	colour chromaticity
	light  float64 // lx, or a share
}

// mix tells how lights add up in chromaticity; parts without light are left
// out.
func mix(name, symbol string, sum chromaticity, parts ...part) []Step {
	var light, weights, weighted, symbols []string
	for _, p := range parts {
		if p.colour.v <= 0 || p.light <= 0 {
			continue
		}
		light = append(light, Figures(p.light))
		weights = append(weights, Expression("# / #", p.light, p.colour.v))
		weighted = append(weighted, Expression("# * # / #", p.light, p.colour.u, p.colour.v))
		symbols = append(symbols, p.symbol)
	}
	if sum.v <= 0 {
		return nil
	}
	all := strings.Join(weights, " + ")
	const source = "CIE 15:2004, additive mixing: the weights are light / v"
	of := ", over " + strings.Join(symbols, ", ")
	return []Step{
		{Title: fmt.Sprintf("Chromaticity u of the %s, u%s", name, symbol), Formula: "Σ (E u / v) / Σ (E / v)" + of,
			Numbers: "(" + strings.Join(weighted, " + ") + ") / (" + all + ")", Value: sum.u, Source: source},
		{Title: fmt.Sprintf("Chromaticity v of the %s, v%s", name, symbol), Formula: "Σ E / Σ (E / v)" + of,
			Numbers: "(" + strings.Join(light, " + ") + ") / (" + all + ")", Value: sum.v, Source: source},
	}
}

// temperature tells how a chromaticity comes to its colour temperature.
func temperature(name, symbol string, c chromaticity, k Kelvin) []Step {
	const source = "Robertson 1968, J. Opt. Soc. Am. 58, 1528"
	of := Step{Title: "Colour temperature of the " + name, Value: float64(k), Unit: "K", Source: source, Estimate: true}
	if c.v <= 0 {
		return nil
	}
	if isotherms[0].side(c) <= 0 || isotherms[lastIsotherm].side(c) >= 0 {
		of.Formula = "beyond the last isotherm of the table"
		return []Step{of}
	}
	a, b := c.isotherms()
	distance := func(i *isotherm) Step {
		return Step{Title: fmt.Sprintf("Distance of the %s from the isotherm of %s mired", name, Figures(i.mired)),
			Formula: fmt.Sprintf("(v%s - v0 - t (u%s - u0)) / √(1 + t²)", symbol, symbol),
			Numbers: Expression("(# - # - # * (# - #)) / sqrt(1 + #^2)", c.v, i.v, i.slope, c.u, i.u, i.slope),
			Value:   i.distance(c), Source: source}
	}
	from, to := distance(a), distance(b)
	of.Formula = "10^6 / (m1 + (m2 - m1) d1 / (d1 - d2)), m and d of the two isotherms"
	of.Numbers = Expression("1000000 / (# + (# - #) * # / (# - #))", a.mired, b.mired, a.mired, from.Value, from.Value, to.Value)
	if math.IsInf(of.Value, 0) {
		of.Numbers = ""
	}
	return []Step{from, to, of}
}
