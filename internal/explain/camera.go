package explain

import (
	"fmt"

	"evenfall/internal/exposure"
	"evenfall/internal/plan"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

const meters = "ISO 2720:1974"

// incident explains the exposure value of a light that has a symbol.
func (w *workings) incident(title, light string, e sky.Lux) {
	w.add(Step{Title: title, Template: "log2({" + light + "} / 2.5)", Result: float64(exposure.Incident(e)),
		Unit:   "EV100",
		Source: meters + ", C = 250, flat receptor"})
}

// reflected explains the exposure value of a luminance that has a symbol.
func (w *workings) reflected(title, symbol, luminance string, l sky.Luminance) {
	w.add(Step{Title: title, Symbol: symbol, Template: "log2({" + luminance + "} / 0.125)",
		Result: float64(exposure.Reflected(l)), Unit: "EV100",
		Source: meters + ", K = 12.5"})
}

// settings explains how far the camera can go, what is set exactly, and what
// that exposes normally.
func (w *workings) settings(s *shoot.Shoot, m *plan.Solution) {
	set, c, l := &m.Settings, &s.Camera, &s.Lens
	fastest, allows := c.Sync, "the sync speed"
	if s.BeyondSync(m.Method) {
		fastest, allows = c.Fastest, "the camera's fastest"
	}
	w.limit("Most light at the wanted aperture", exposure.Settings{Aperture: l.Wanted, Shutter: fastest,
		ISO: c.Lowest}, allows+", lowest ISO")
	w.limit("Least light at the wanted aperture", exposure.Settings{Aperture: l.Wanted,
		Shutter: min(l.Slowest, fastest), ISO: c.Highest}, "slowest by hand, highest ISO")
	const scale = "preferred numbers: exact values, marked with rounded ones"
	w.add(Step{Title: "Aperture " + set.Aperture.String() + ", exactly", Symbol: "N", Template: "2^({closed} / 2)",
		Result: set.Aperture.FNumber(), Source: scale,
		Note: whyAperture(l, set)}, given("closed", "in stops from f/1", set.Aperture.Stops()))
	w.add(Step{Title: "Shutter " + set.Shutter.String() + ", exactly", Symbol: "t", Template: "2^-{fast}",
		Result: set.Shutter.Seconds(), Unit: "s", Source: scale,
		Note: whyShutter(c, l, set, fastest, allows)}, given("fast", "in stops from 1 s", set.Shutter.Stops()))
	w.add(Step{Title: "ISO " + set.ISO.String() + ", exactly", Symbol: "S", Template: "100 * 2^{raised}",
		Result: set.ISO.Speed(), Source: scale,
		Note: whyISO(c, set)}, given("raised", "in stops from ISO 100", set.ISO.Stops()))
	filter := Step{Title: "Neutral-density filter", Symbol: "ND", Words: "none", Result: float64(set.ND),
		Unit: "stops", Source: "the kit"}
	if m.Method.UsesFilter() || set.ND != 0 {
		filter.Words = whyFilter(l, set)
	}
	w.add(filter)
	w.add(Step{Title: "Exposed normally by these", Symbol: "EVs",
		Template: "2 * log2({N}) - log2({t}) - log2({S} / 100) + {ND}", Result: float64(set.EV()), Unit: "EV100",
		Source: meters})
	w.work(Step{Title: "Camera above what the moment asks for", Template: "{EVs} - {EVk}", Unit: "stops",
		Source: "clicks of the camera",
		Note:   "through a run the settings stand as long as the picture allows; of those that do, the fewest moves"})
	w.add(Step{Title: "Light for a normal exposure", Symbol: "Hn", Template: "250 * {N}^2 / {S} * 2^{ND}",
		Result: float64(set.Need()), Unit: "lx s", Source: meters})
}

func (w *workings) limit(title string, s exposure.Settings, note string) {
	w.add(Step{Title: title, Template: "2 * log2({n}) - log2({tt}) - log2({iso} / 100)",
		Words:  fmt.Sprintf("for %s, %s, ISO %s, no filter", s.Aperture, s.Shutter, s.ISO),
		Result: float64(s.EV()), Unit: "EV100", Source: meters, Note: note},
		Value{Symbol: "n", Value: s.Aperture.FNumber()}, Value{Symbol: "tt", Value: s.Shutter.Seconds()},
		Value{Symbol: "iso", Value: s.ISO.Speed()})
}

func whyAperture(l *exposure.Lens, s *exposure.Settings) string {
	switch {
	case s.Aperture > l.Wanted:
		return "closed from " + l.Wanted.String() + ": the shutter is as fast as it may be and the ISO as low"
	case s.Aperture < l.Wanted:
		return "opened from " + l.Wanted.String() + ": the shutter is as slow as it may be and the ISO as high"
	}
	return "the one wanted"
}

func whyShutter(c *exposure.Camera, l *exposure.Lens, s *exposure.Settings, fastest exposure.Shutter,
	allows string) string {
	switch {
	case s.Shutter == fastest:
		return allows + ": no faster with this method"
	case s.Shutter <= l.Slowest:
		return "the slowest held by hand"
	case s.ISO > c.Lowest:
		return "no slower, so that the flash prevails over the ambient light; the ISO makes up for it"
	case s.Aperture > l.Wanted:
		return "a click slower than it might be, which trims ambient light against flash"
	}
	return "takes what light there is at the wanted aperture and the lowest ISO"
}

func whyISO(c *exposure.Camera, s *exposure.Settings) string {
	if s.ISO > c.Lowest {
		return "raised: the shutter is to be no slower"
	}
	return "the lowest"
}

func whyFilter(l *exposure.Lens, s *exposure.Settings) string {
	switch {
	case s.ND == 0 && s.Aperture > l.Wanted:
		return "none: the one that would keep the wanted aperture does not serve the flash"
	case s.ND == 0:
		return "none: without one the wanted aperture takes all the light there is"
	case s.Aperture > l.Wanted:
		return "the strongest that serves; the aperture closes for the rest"
	}
	return "the weakest that keeps the wanted aperture"
}
