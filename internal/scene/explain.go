package scene

import (
	"fmt"
	"math"
	"strings"

	"evenfall/sky"
)

// What steps name more than once.
const (
	viewFactor = "configuration factor of a polygon, Lambert: any radiation handbook"
	evenSky    = "exact for an even sky, an estimate for others"
)

// Explain tells how Under comes to its answer: where the panel stands, what it
// sends on, and what lit and shade get of it and of the sky and ground around.
func (s *Scrim) Explain(l *sky.Light, sun sky.Sun, facing sky.Angle, figure Figure) []sky.Step {
	var v veil
	v.raise(s, l, sun, figure)
	a, _ := s.Under(l, sun, facing, figure)
	steps := append(s.explainPlace(&v.panel, sun, figure), s.explainGlow(&v, l, sun)...)
	covered := sky.Step{Title: "Share of the figure in the shadow", Formula: "the panel's outline thrown along the sun's rays on " + figure.Name,
		Value: s.Coverage(sun, figure).Share, Source: "plain geometry", Note: "all of it, so no direct sun falls on the subject"}
	if !v.covered {
		covered.Note = "not all of it: the direct sun counts as if there were no panel"
	}
	steps = append(steps, covered)
	for _, p := range [2]struct {
		name    string
		azimuth sky.Angle
		fromSky sky.Lux
		open    sky.Lux // with the direct sun
		direct  sky.Lux
		value   sky.Lux
	}{
		{"lit", sun.Azimuth, l.SkyLit, l.Lit, l.Lit - l.SkyLit - l.Ground, a.Lit},
		{"shade", facing, l.SkyShade, l.Shade, 0, a.Shade},
	} {
		steps = append(steps, v.explainPlane(s, l, p.name, p.azimuth, p.fromSky)...)
		q := v.on(l, p.azimuth, p.fromSky)
		total := sky.Step{Title: "Under the scrim, " + p.name, Formula: "Es (1 - i) + Ep F + G max(0, 1 - g)",
			Numbers: sky.Expression("# * (1 - #) + # * # + # * max(0, 1 - #)", float64(p.fromSky), q.part.hidden(v.bright), float64(v.glow), q.part.factor,
				float64(l.Ground), q.gone),
			Value: float64(p.value), Unit: "lx", Source: "the panel as a lamp of even luminance", Estimate: true}
		if !v.covered && p.direct > 0 {
			total.Formula += " + direct sun"
			total.Numbers += sky.Expression(" + #", float64(p.direct))
		}
		steps = append(steps, total)
	}
	face := sky.Step{Title: "Under the scrim, face", Formula: "as shade: the sun is kept off it", Numbers: sky.Figures(float64(a.Shade)), Value: float64(a.Face), Unit: "lx"}
	if !v.covered {
		face.Formula = "shade and the direct sun on it"
		face.Numbers = sky.Expression("# + (# - #)", float64(a.Shade), float64(l.Face), float64(l.Shade))
	}
	return append(steps, face)
}

// explainPlace tells where the panel's middle stands and how it is turned.
func (s *Scrim) explainPlace(p *panel, sun sky.Sun, figure Figure) []sky.Step {
	h := sun.Altitude.Degrees()
	middle := (figure.Top + figure.Bottom) / 2
	out := sky.Step{Title: "Panel out from above the head", Value: p.centre.dot(toward(0, sun.Azimuth)), Unit: "m", Source: "plain geometry"}
	up := sky.Step{Title: "Panel above the middle of the head", Value: p.centre.z, Unit: "m", Source: "plain geometry"}
	tilt := sky.Step{Title: "Tilt from level toward the sun θ", Value: sky.Angle(math.Acos(min(p.normal.z, 1))).Degrees(), Unit: "deg", Source: "the shoot"}
	if s.Distance > 0 {
		out.Formula, up.Formula = "(D - c sin h) cos h, c the middle of the figure against the head", "(D - c sin h) sin h + c"
		out.Numbers = sky.Expression("(# - # * sin(#°)) * cos(#°)", s.Distance, middle, h, h)
		up.Numbers = sky.Expression("(# - # * sin(#°)) * sin(#°) + #", s.Distance, middle, h, h, middle)
		tilt.Formula, tilt.Numbers, tilt.Source = "square to the sun: θ = 90 - h", sky.Expression("90 - #", h), "plain geometry"
		if aimed := (s.Distance-middle*p.normal.z)*p.normal.z + middle; p.centre.z > aimed+1e-9 {
			up.Formula = "raised until the lower edge stands on the ground: half its height less the head's"
			up.Numbers = sky.Expression("# / 2 * cos(#°) - #", s.Length, h, headHeight)
		}
		return []sky.Step{out, up, tilt}
	}
	out.Formula = "(H - c) cos h / sin h, as far as the reach allows; c the middle of the figure against the head"
	out.Numbers = sky.Expression("min(#, (# - #) * cos(#°) / sin(#°))", s.Reach, s.Height, middle, h, h)
	if h <= 0 {
		out.Formula, out.Numbers = "all of the reach", sky.Figures(s.Reach)
	}
	up.Formula, up.Numbers, up.Source = "as stated", "", "the shoot"
	tilt.Formula = "as stated"
	return []sky.Step{out, up, tilt}
}

// explainGlow tells of the light that the panel sends on and of the sky that it
// hides.
func (s *Scrim) explainGlow(v *veil, l *sky.Light, sun sky.Sun) []sky.Step {
	p := &v.panel
	beam, open := p.sunnySide(l, sun)
	cos, slant := p.normal.z, max(0, p.normal.dot(toward(sun.Altitude, sun.Azimuth)))
	tilt := sky.Angle(math.Acos(min(cos, 1))).Degrees()
	turned := 0.0 // square to the sun, but for rounding
	if s.Distance == 0 {
		turned = sky.Angle(math.Acos(min(slant, 1))).Degrees()
	}
	samples := p.samples(l, sun)
	list := make([]float64, len(samples))
	for i, one := range samples {
		list[i] = float64(one)
	}
	marks := strings.TrimSuffix(strings.Repeat("# + ", len(list)), " + ")
	return []sky.Step{
		{Title: "Sun on the panel", Formula: "Eb cos ψ, ψ between the sun and the square to the panel", Numbers: sky.Expression("# * cos(#°)", float64(l.DirectNormal), turned),
			Value: float64(beam), Unit: "lx", Source: "cosine law"},
		{Title: "Sky and ground on the panel", Formula: "Ed cos θ + (Ed Vl + G) (1 - cos θ)",
			Numbers: sky.Expression("# * cos(#°) + (# + #) * (1 - cos(#°))", float64(l.DiffuseHorizontal), tilt, float64(l.SkyLit), float64(l.Ground), tilt),
			Value:   float64(open), Unit: "lx", Source: evenSky, Estimate: true},
		{Title: "Light the panel sends on Ep", Formula: "Ep = (sun + sky and ground) 2^-loss", Numbers: sky.Expression("(# + #) * 2^-#", float64(beam), float64(open), float64(s.Loss)),
			Value: float64(v.glow), Unit: "lx", Source: "the cloth's stated loss, spread evenly", Estimate: true, Note: "what a plane would get that sees nothing but the panel"},
		{Title: "Luminance of the panel", Formula: "Ep / π", Numbers: sky.Expression("# / pi", float64(v.glow)), Value: float64(v.glow) / math.Pi, Unit: "cd/m²", Source: "Lambert's law"},
		{Title: "Mean luminance of the sky it hides Lp", Formula: "mean behind its middle and the middles of its quarters",
			Numbers: sky.Expression("("+marks+fmt.Sprintf(") / %d", len(list)), list...), Value: float64(v.bright), Unit: "cd/m²", Source: "ISO 15469:2004, eq. 1", Estimate: true},
	}
}

// explainFactor tells of the configuration factor from an upright plane to an
// outline.
func explainFactor(title string, o *outline, n vector) sky.Step {
	front := o.cut(n)
	var parts []string
	for i := range front.count {
		if angle, cos := front.edge(i, n); angle > 0 {
			parts = append(parts, sky.Expression("# * #", sky.Angle(angle).Degrees(), cos))
		}
	}
	step := sky.Step{Title: title, Formula: "|Σ (angle of an edge at the head * cosine to the plane)| / 360, over the edges in front",
		Value: o.factor(n), Source: viewFactor}
	if len(parts) > 0 {
		step.Numbers = "abs(" + strings.Join(parts, " + ") + ") / 360"
	}
	return step
}

// explainPlane tells what share of an upright plane's view the panel takes.
func (v *veil) explainPlane(s *Scrim, l *sky.Light, name string, azimuth sky.Angle, fromSky sky.Lux) []sky.Step {
	n := toward(0, azimuth)
	q := v.on(l, azimuth, fromSky)
	steps := []sky.Step{explainFactor("Panel seen from "+name+" F", &v.whole, n)}
	if v.dips {
		steps = append(steps, explainFactor("Of it above the horizon Fh", &v.above, n))
	}
	if v.falls {
		steps = append(steps, explainFactor("Its shadow on the ground, seen from "+name+" Fs", &v.dark, n))
	}
	hides := min(q.part.hides, openUpright)
	mean := float64(fromSky) / (math.Pi * openUpright)
	hidden := sky.Step{Title: "Share of the sky's light hidden from " + name + " i", Formula: "i = Fh Lp / (Fh Lp + (0.5 - Fh) Lm), Lm = Es / (0.5 π), Es from the sky; Fh = F unless it dips below the horizon",
		Value: q.part.hidden(v.bright), Source: evenSky, Estimate: true}
	if hides*float64(v.bright) > 0 {
		hidden.Numbers = sky.Expression("# * # / (# * # + (# - #) * #)", hides, float64(v.bright), hides, float64(v.bright), openUpright, hides, mean)
	}
	gone := sky.Step{Title: "Share of the ground hidden or dimmed g", Formula: "g = (F - Fh) / 0.5 + min(Fs / 0.5, 1) (1 - 2^-loss)",
		Numbers: sky.Expression("(# - #) / # + min(# / #, 1) * (1 - 2^-#)", q.part.factor, q.part.hides, openUpright, q.shadow, openUpright, float64(s.Loss)),
		Value:   q.gone, Source: "the panel's own loss in its shadow", Estimate: true}
	return append(steps, hidden, gone)
}

// Explain tells how Luminance comes to that of the background. Of the sky
// there is nothing to tell.
func (b Background) Explain(l *sky.Light) []sky.Step {
	step := sky.Step{Title: "Luminance of the " + b.Kind.String() + " background", Value: float64(b.Luminance(l)), Unit: "cd/m²",
		Source: "Lambert's law: matt, upright, square to the camera", Estimate: true}
	switch b.Kind {
	case Sunlit:
		step.Formula, step.Numbers = "reflectance * face / π", sky.Expression("# * # / pi", b.Reflectance, float64(l.Face))
	case Shaded:
		step.Formula, step.Numbers = "reflectance * shade / π", sky.Expression("# * # / pi", b.Reflectance, float64(l.Shade))
	default:
		return nil
	}
	return []sky.Step{step}
}
