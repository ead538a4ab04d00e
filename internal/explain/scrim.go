package explain

import (
	"fmt"
	"math"
	"strings"

	"evenfall/internal/scene"
	"evenfall/sky"
)

const (
	viewFactor = "configuration factor of a polygon, Lambert: any radiation handbook"
	evenSky    = "exact for an even sky, an estimate for others"
	geometry   = "plain geometry"
)

// scrim explains where the panel stands, what it sends on, and what the planes
// of the sitter get of it and of the sky and ground around.
func (w *workings) scrim(s *scene.Scrim, d *scene.ScrimLight, figure scene.Figure, covered float64) {
	w.panelPlace(s, d)
	w.panelLight(s, d)
	share := Step{Title: "Share of the figure in the shadow",
		Words: "the panel's outline thrown along the sun's rays on " + figure.Name, Result: covered, Source: geometry,
		Note: "all of it, so no direct sun falls on the subject"}
	straight := Step{Title: "Share of the sun straight through", Symbol: "str", Template: "{st} * 2^-{loss}",
		Result: d.Straight, Source: straightSource, Estimate: true}
	switch {
	case !d.Covered:
		share.Note = "not all of it: the direct sun counts as if there were no panel"
		straight.Template, straight.Words, straight.Source = "",
			"all of it: the shadow misses a part of the figure", geometry
		straight.Estimate = false
	case d.Straight > 0:
		share.Note = "all of it: the direct sun is what goes straight through the cloth"
	}
	w.add(share)
	w.add(straight, straightShare(s), clothLoss(s))
	w.byPanel(&panelView{"Under the scrim", d.Dips, d.Falls, clothLoss(s)}, "{str} * ", &d.PlanesByPanel)
}

const straightSource = "the kit; of cloths, common practice, no source"

// straightShare is that of what the cloth passes.
func straightShare(s *scene.Scrim) Value {
	return given("st", "the share of what the cloth passes that goes straight through", s.StraightShare)
}

// panelView is what there is to say of a panel on all planes alike.
type panelView struct {
	where string // the sitter is
	dips  bool   // it stands below the horizon, in part
	falls bool   // its shadow falls on the ground
	loss  Value  // of its cloth
}

// byPanel explains the light on the planes of the sitter by a panel. What it
// passes of the direct sun is a factor before the sun's part of a plane, none
// where it stands beside.
func (w *workings) byPanel(v *panelView, passes string, d *scene.PlanesByPanel) {
	w.add(Step{Title: "Direct sun that reaches the sitter", Symbol: "Bf", Template: passes + "{Eb}",
		Result: float64(d.Ambient.Beam), Unit: "lx", Note: "on a plane square to it"})
	w.panelPlane(v, &d.Lit, "lit side", "l")
	w.under(v, "lit side", "lits", "l", " + "+passes+"({lit} - {Sl} - {G})", d.Ambient.Lit)
	w.panelPlane(v, &d.Shade, "shade side", "c")
	w.under(v, "shade side", "shades", "c", "", d.Ambient.Shade)
	w.add(Step{Title: v.where + ", face", Symbol: "faces", Template: "{shades} + " + passes + "({face} - {shade})",
		Result: float64(d.Ambient.Face), Unit: "lx", Note: "with the direct sun that reaches it"})
	w.panelPlane(v, &d.Key, "key side", "k")
	w.under(v, "key side without direct sun", "ks", "k", "", d.Key.Light)
	w.panelPlane(v, &d.Shadow, "shadow side", "h")
	w.under(v, "shadow side", "far", "h", "", d.Ambient.Shadow)
}

// under explains the light on a plane before the panel; direct is a template of
// the direct sun on it.
func (w *workings) under(v *panelView, name, symbol, plane, direct string, value sky.Lux) {
	t := "{S" + plane + "} * (1 - {i" + plane + "}) + {Ep} * {F" + plane + "} + {G} * max(0, 1 - {g" + plane + "})"
	w.add(Step{Title: v.where + ", " + name, Symbol: symbol, Template: t + direct, Result: float64(value),
		Unit:   "lx",
		Source: "the panel as a lamp of even luminance", Estimate: true})
}

// panelPlace explains where the panel's middle stands and how it is turned.
func (w *workings) panelPlace(s *scene.Scrim, d *scene.ScrimLight) {
	out := Step{Title: "Panel out from above the head", Result: d.Out, Unit: "m", Source: geometry}
	up := Step{Title: "Panel above the middle of the head", Result: d.Up, Unit: "m", Source: geometry}
	tilt := Step{Title: "Tilt from level toward the sun", Symbol: "θp", Result: d.Tilt.Degrees(), Unit: degrees,
		Source: "the shoot"}
	middle := given("c", "the middle of the figure against the head in m", d.Middle)
	values := []Value{given("dp", "the panel's distance in m", s.Distance), middle,
		given("lp", "the panel's length in m", s.Length),
		given("hp", "the panel's height over the head in m", s.Height),
		given("reach", "as far as it may stand off in m", s.Reach)}
	switch {
	case s.Distance > 0:
		out.Template, up.Template = "({dp} - {c} * sin({h})) * cos({h})", "({dp} - {c} * sin({h})) * sin({h}) + {c}"
		tilt.Template, tilt.Words, tilt.Source = "90 - {h}", "square to the sun", geometry
		if d.Raised {
			up.Template, up.Words = "{lp} / 2 * cos({h}) - 1.6",
				"raised until the lower edge stands on the ground, 1.6 m under the head"
		}
	case w.known["h"].Value > 0:
		out.Template = "min({reach}, ({hp} - {c}) * cos({h}) / sin({h}))"
	default:
		out.Template, out.Words = "{reach}", "with the sun on the horizon"
	}
	if s.Distance == 0 {
		up.Words, up.Source, tilt.Words = "as stated", "the shoot", "as stated"
	}
	w.add(out, values...)
	w.add(up, values...)
	w.add(tilt)
}

// panelLight explains the light that the panel sends on and the sky that it
// hides.
func (w *workings) panelLight(s *scene.Scrim, d *scene.ScrimLight) {
	w.add(Step{Title: "Sun on the panel", Symbol: "Ps", Template: "{Eb} * max(0, cos({ψ}))", Result: float64(d.Beam),
		Unit: "lx", Source: lambert},
		angle("ψ", "between the sun and the square to the panel", d.Turned.Degrees()))
	w.add(Step{Title: "Sky and ground on the panel", Symbol: "Pd",
		Template: "{Ed} * cos({θp}) + ({Sl} + {G}) * (1 - cos({θp}))", Result: float64(d.Open), Unit: "lx",
		Source: evenSky, Estimate: true})
	w.add(Step{Title: "Light the panel spreads", Symbol: "Ep", Template: "({Ps} * (1 - {st}) + {Pd}) * 2^-{loss}",
		Result: float64(d.Sent), Unit: "lx",
		Source: "the cloth's stated loss, spread evenly; straight share: " + straightSource, Estimate: true,
		Note: "what a plane would get that sees nothing but the panel"}, clothLoss(s), straightShare(s))
	w.add(Step{Title: "Luminance of the panel", Template: "{Ep} / pi", Result: float64(d.Sent) / math.Pi,
		Unit: "cd/m²", Source: "Lambert's law"})
}

func clothLoss(s *scene.Scrim) Value { return given("loss", "the cloth's in stops", s.Loss) }

// panelPlane explains what share of an upright plane's view the panel takes.
func (w *workings) panelPlane(v *panelView, p *scene.ScrimPlane, name, plane string) {
	w.factor("Panel seen from the "+name, "F"+plane, &p.Panel)
	above, gone := "{F"+plane+"}", ""
	if v.dips {
		w.factor("Of it above the horizon, from the "+name, "H"+plane, &p.Above)
		above = "{H" + plane + "}"
		gone = "({F" + plane + "} - {H" + plane + "}) / 0.5"
	}
	if v.falls {
		w.factor("Its shadow on the ground, from the "+name, "D"+plane, &p.Shadow)
		gone = strings.TrimPrefix(gone+" + min({D"+plane+"} / 0.5, 1) * (1 - 2^-{loss})", " + ")
	}
	if gone == "" {
		gone = "0"
	}
	w.add(Step{Title: "Mean luminance of the sky it hides from the " + name, Symbol: "Lh" + plane,
		Words: "of sixteen directions behind it, each by what it counts for on the plane", Result: float64(p.Behind),
		Unit: "cd/m²", Source: "Gauss-Legendre quadrature over the panel"})
	hidden := Step{Title: "Share of the sky's light hidden from the " + name, Symbol: "i" + plane,
		Template: "min(pi * " + above + " * {Lh" + plane + "} / {S" + plane + "}, 1)",
		Result:   p.Hidden, Source: "definition of the configuration factor"}
	if !(p.Sky > 0) {
		hidden.Template, hidden.Words = "", "no light from the sky"
	}
	w.add(hidden)
	w.add(Step{Title: "Share of the ground hidden or dimmed, from the " + name, Symbol: "g" + plane, Template: gone,
		Result: p.Gone,
		Source: "the panel's own loss in its shadow", Estimate: true}, v.loss)
}

// factor explains a configuration factor from an upright plane to a polygon.
func (w *workings) factor(title, symbol string, f *scene.ViewFactor) {
	step := Step{Title: title, Symbol: symbol, Words: "nothing of it is in front", Result: f.Value, Source: viewFactor}
	var sum []string
	var values []Value
	for i, e := range f.Edges {
		a, c := fmt.Sprintf("a%d", i+1), fmt.Sprintf("k%d", i+1)
		sum = append(sum, "{"+a+"} * {"+c+"}")
		values = append(values, Value{Symbol: a, Value: e.Angle.Degrees()}, Value{Symbol: c, Value: e.Cosine})
	}
	if len(sum) > 0 {
		step.Template = "abs(" + strings.Join(sum, " + ") + ") / 360"
		step.Words = "a the angle of an edge at the head in degrees, k its cosine to the plane, over the edges in front"
	}
	w.add(step, values...)
}
