package explain

import (
	"fmt"
	"math"
	"strings"

	"evenfall/sky"
)

// lowSkySource is where the spread of the sky with a low sun comes from.
const lowSkySource = "the form of ISO 15469 with four numbers more, fitted to a calculation of the light scattered in " +
	"spherical air"

// lowSun explains what the spread of the sky goes by with a low sun.
func (w *workings) lowSun(l *ambient) {
	if !l.Spread.Low() {
		return
	}
	w.add(Step{Title: "Altitude of the sun that the sky's spread goes by", Symbol: "hs",
		Template: "{h} + max(0, min((9 - {h}) / 5, 1)) * ({h0} - {h})", Result: l.Spread.Sun.Degrees(), Unit: degrees,
		Source: "from 4 deg down the true altitude; below 9 deg the type goes over into a sky of the low sun", Estimate: true})
}

// backdrop explains the mean luminance of the sky in the frame: one of the
// directions it is the mean of by numbers, the others likewise.
func (w *workings) backdrop(l *ambient) {
	f := &l.view.Frame
	share := Step{Title: "Sky in the frame", Words: "the share of it above the skyline", Result: l.Light.BackdropShare,
		Source: "a frame of " + Figures(rounded(f.Width)) + " by " + Figures(rounded(f.Height)) + " deg, its middle " +
			Figures(rounded(f.Altitude)) + " deg up"}
	if len(l.Backdrop) == 0 {
		share.Words = "none above the skyline"
		w.add(share)
		return
	}
	w.add(share)
	most := 0
	for i := range l.Backdrop {
		if l.Backdrop[i].Weight > l.Backdrop[most].Weight {
			most = i
		}
	}
	w.patch(l, most)
	w.meanSky(l)
	level := Step{Title: "Level per zenith luminance", Symbol: "Lz",
		Words: "the type integrated over the sky, every 3 deg of h", Result: l.Spread.PerZenith, Unit: "sr",
		Source: iso15469 + "midpoint rule in cells of half a degree"}
	if l.Spread.Low() {
		level.Words, level.Source = "integrated over the sky, every half degree of hs", "midpoint rule in cells of half a degree"
	}
	w.add(level)
	w.add(Step{Title: "Luminance at the zenith", Symbol: "L0", Template: l.wholeSky() + " / {Lz}",
		Result: float64(l.Spread.Zenith), Unit: "cd/m²"})
	mean := Step{Title: "Mean luminance of the sky in the frame", Symbol: "Lb", Template: "{L0} * {rel}",
		Result: float64(l.Light.Backdrop), Unit: "cd/m²",
		Source: "an even sky of its type; single clouds differ", Estimate: true}
	if l.Spread.Fade > 0 {
		mean.Template = "{L0} * {rel} * (1 - {f}) + " + l.wholeSky() + " * {f} / pi"
	}
	w.add(mean)
}

// rounded is an angle in degrees, to a tenth.
func rounded(a sky.Angle) float64 { return math.Round(10*a.Degrees()) / 10 }

// nth is the symbol of one in a row of equals.
func nth(symbol string, i int) string { return fmt.Sprintf("%s%d", symbol, i+1) }

// sunOfSky is the symbol of the sun's altitude that the spread of the sky goes by.
func (l *ambient) sunOfSky() string {
	if l.Spread.Low() {
		return "{hs}"
	}
	return "{h}"
}

// patch explains one of the directions in the frame.
func (w *workings) patch(l *ambient, i int) {
	p, of := &l.Spread.Distribution, &l.Backdrop[i]
	sun := "max(" + l.sunOfSky() + ", 0)"
	e, y := angle("e", "its altitude", of.Altitude.Degrees()), angle("y", "its azimuth from the sun's", of.FromSun.Degrees())
	w.work(Step{Title: "Angle from the sun to direction " + nth("", i) + " in the frame", Symbol: "χ",
		Template: "acos(sin(" + sun + ") * sin({e}) + cos(" + sun + ") * cos({e}) * cos({y}))",
		Unit:     degrees, Source: iso15469 + "eq. 3",
		Note: "the one that counts most, worked out as an example"}, e, y)
	w.gradation(p, "Gradation there", "φe", of.Altitude)
	w.indicatrix(p, "Round the sun, there", "fe", "{χ}")
	w.gradation(p, "Gradation at the zenith", "φz", math.Pi/2)
	w.work(Step{Title: "Angle from the sun to the zenith", Symbol: "χz", Template: "90 - " + sun, Unit: degrees,
		Source: iso15469 + "eq. 4"})
	w.indicatrix(p, "Round the sun, at the zenith", "fz", "{χz}")
	there := Step{Title: "That direction against the zenith", Template: "{φe} * {fe} / ({φz} * {fz})",
		Result: p.Relative(of.Altitude, of.FromSun), Source: iso15469 + "eq. 1",
		Note: "below, " + nth("q", i) + " is read off a table of these equations, within 0.0005 stop of them"}
	if p.Low() {
		shadow := []Value{given("sh", "the share it takes right opposite", p.Shadow), given("edge", "the sine it reaches to",
			p.Edge)}
		w.work(Step{Title: "What the earth's shadow leaves there", Symbol: "ψe",
			Template: "1 - {sh} * exp(-(max(0, sin({e})) / {edge})^4) * (1 - cos({y})) / 2", Source: lowSkySource,
			Estimate: true}, append(shadow, e, y)...)
		w.work(Step{Title: "The same at the zenith", Symbol: "ψz", Template: "1 - {sh} * exp(-(1 / {edge})^4) * (1 - 1) / 2",
			Source: lowSkySource, Estimate: true}, shadow...)
		there.Template = "{φe} * {fe} * {ψe} / ({φz} * {fz} * {ψz})"
		there.Note = "below, " + nth("q", i) + " is read off a table of these equations, within 0.04 stop of them"
	}
	w.add(there)
}

// gradation explains how bright a sky is from zenith to horizon, at an altitude.
func (w *workings) gradation(p *sky.Distribution, title, symbol string, at sky.Angle) {
	step := Step{Title: title, Symbol: symbol, Template: "1 + {ai} * exp({bi} / sin({e}))", Source: iso15469 + "eq. 2"}
	values := []Value{given("ai", "and bi by the type of sky", p.A), {Symbol: "bi", Value: p.B},
		angle("e", "its altitude", at.Degrees())}
	sin := "sin({e})"
	switch {
	case at >= math.Pi/2:
		step.Template, sin, values = "1 + {ai} * exp({bi})", "1", values[:2]
	case at <= 0:
		step.Template, sin, step.Words = "1", "0", "on the horizon"
	}
	if p.Low() {
		step.Template = "(" + step.Template + ") * (1 - {dim} * exp(-" + sin + " / 0.06))"
		step.Source, step.Estimate = lowSkySource, true
		values = append(values, given("dim", "what the air takes along the horizon", p.Dim))
	}
	w.work(step, values...)
}

// indicatrix explains how bright a sky is round the sun, at an angle from it.
func (w *workings) indicatrix(p *sky.Distribution, title, symbol, at string) {
	step := Step{Title: title, Symbol: symbol,
		Template: "1 + {ci} * (exp({di} * " + at + " * pi / 180) - exp({di} * pi / 2)) + {ei} * cos(" + at + ")^2",
		Source:   iso15469 + "eq. 4"}
	values := []Value{given("ci", "to ei by the type of sky", p.C), {Symbol: "di", Value: p.D}, {Symbol: "ei", Value: p.E}}
	if p.Low() {
		step.Template += " + {lean} * cos(" + at + ")"
		step.Source, step.Estimate = lowSkySource, true
		values = append(values, given("lean", "toward the side of the sunset", p.Lean))
	}
	w.work(step, values...)
}

const (
	mostInSum = 12 // directions in one sum
	inPart    = 6  // in each part of one that is split
)

// meanSky explains the weighted mean over the directions in the frame, in parts
// where they are many.
func (w *workings) meanSky(l *ambient) {
	const source = "Gauss-Legendre quadrature over the sky in the frame, each direction by its solid angle"
	n := len(l.Backdrop)
	mean := Step{Title: "Mean over the frame, against the zenith", Symbol: "rel", Source: source}
	if n <= mostInSum {
		var values []Value
		mean.Template, values = l.sum(0, n)
		w.work(mean, values...)
		return
	}
	var parts []string
	for from := 0; from < n; from += inPart {
		symbol := nth("part", len(parts))
		template, values := l.sum(from, min(from+inPart, n))
		w.work(Step{Title: "Part of the mean over the frame", Symbol: symbol, Template: template,
			Source: source}, values...)
		parts = append(parts, "{"+symbol+"}")
	}
	mean.Template = strings.Join(parts, " + ")
	w.work(mean)
}

// sum is the sum over some directions, each by its weight.
func (l *ambient) sum(from, to int) (template string, values []Value) {
	var terms []string
	for i := from; i < to; i++ {
		weight, relative := Value{Symbol: nth("w", i), Value: l.Backdrop[i].Weight},
			Value{Symbol: nth("q", i), Value: l.Backdrop[i].Relative}
		if i == from {
			weight.Meaning = "and so on what each direction counts"
			relative.Meaning = "and so on its luminance against the zenith's"
		}
		terms = append(terms, "{"+weight.Symbol+"} * {"+relative.Symbol+"}")
		values = append(values, weight, relative)
	}
	return strings.Join(terms, " + "), values
}
