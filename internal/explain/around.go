package explain

import (
	"math"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// around explains the light in open shade or beside a reflector.
func (w *workings) around(s *shoot.Shoot, r *plan.Row, m *plan.Solution) {
	switch {
	case m.Method.UsesShade():
		w.group("In open shade")
		w.shade(s.Shade, &m.Ambient)
	case m.Method.UsesReflector() && s.Reflector != nil:
		w.group("Beside the reflector")
		d, up := s.Reflector.Derive(&r.Light, r.Sun, r.Stance)
		if !up {
			w.add(Step{Title: "Reflector", Words: "down: it would take more than it gives, or keep the sun off the face"})
			return
		}
		w.reflector(s.Reflector, &d)
	}
}

// shade explains the light in open shade, plane by plane.
func (w *workings) shade(h scene.Shade, a *scene.Ambient) {
	const source = "a wall or trees take the same part of the sky from every plane"
	w.add(Step{Title: "Share of the sky left", Symbol: "sh", Words: "as stated", Result: h.SkyShare,
		Source: "the shoot; half is common practice, no source", Estimate: true})
	w.add(Step{Title: "Direct sun that reaches the sitter", Symbol: "Bf", Words: "none: it is kept off", Unit: "lx"})
	for _, p := range [...]struct {
		name, symbol, plane string
		light               sky.Lux
	}{{"lit side", "lits", "l", a.Lit}, {"shade side and face", "shades", "c", a.Shade}, {"key side", "ks", "k", a.Key},
		{"shadow side", "far", "h", a.Shadow}} {
		w.add(Step{Title: "In open shade, " + p.name, Symbol: p.symbol, Template: "{sh} * {S" + p.plane + "} + {G}",
			Result: float64(p.light), Unit: "lx", Source: source, Estimate: true})
	}
}

// reflector explains how the panel is turned, what it throws back, and what the
// planes of the sitter get of it and of the sky and ground around.
func (w *workings) reflector(r *scene.Reflector, d *scene.ReflectorLight) {
	w.reflectorTurn(r, d)
	w.reflectorLight(r, d)
	w.byPanel(&panelView{where: "Beside the reflector", dips: d.Dips}, "", &d.PlanesByPanel)
}

// reflectorTurn explains how the panel is turned.
func (w *workings) reflectorTurn(r *scene.Reflector, d *scene.ReflectorLight) {
	const why = "of halfway between sitter and sun, and square to the sitter, the turn that throws the most on a plane " +
		"that faces the panel"
	w.add(Step{Title: "Reflector from the camera toward the key side", Words: "as stated", Result: r.Angle.Degrees(),
		Unit: degrees, Source: theShoot})
	up := Step{Title: "Reflector above the middle of the head", Words: "its middle is level with it", Result: d.Up,
		Unit: "m", Source: geometry}
	if d.Up > 0 {
		up.Words = "raised until the lower edge stands on the ground"
	}
	w.add(up)
	if d.Turn == scene.Halfway {
		w.add(Step{Title: "Between sitter and sun, seen from the reflector", Symbol: "α", Words: "two directions in space",
			Result: d.Between.Degrees(), Unit: degrees, Source: "spherical trigonometry"})
	}
	w.add(Step{Title: "Reflector's square from straight up", Symbol: "θr", Words: map[scene.Turn]string{
		scene.Square: "square to the sitter", scene.Halfway: "halfway between sitter and sun"}[d.Turn],
		Result: d.Tilt.Degrees(), Unit: degrees, Source: geometry, Note: why})
}

// reflectorLight explains the light that the panel throws back.
func (w *workings) reflectorLight(r *scene.Reflector, d *scene.ReflectorLight) {
	sun := Step{Title: "Sun on the reflector", Symbol: "Ps", Result: float64(d.Beam), Unit: "lx", Source: lambert}
	if d.Turn == scene.Halfway {
		sun.Template = "{Eb} * max(0, cos({α} / 2))"
		if w.known["h"].Value < 0 {
			sun.Template, sun.Words = "", "the sun stands on the horizon"
		}
	} else {
		sun.Words = "none: turned to the sitter it throws sky and ground"
	}
	w.add(sun)
	w.add(Step{Title: "Sky and ground on the reflector", Symbol: "Pd",
		Template: "{Ed} * cos({θr}) + {Pu} * (1 - cos({θr}))", Result: float64(d.Open), Unit: "lx", Source: evenSky,
		Estimate: true}, given("Pu", "that on an upright plane of its azimuth in lx", d.Around))
	w.factor("Reflector seen from a plane that faces it", "Fr", &d.Facing)
	gain := Step{Title: "Gain that counts", Symbol: "gr", Words: "only of the sun", Result: d.Gain, Source: "the kit",
		Estimate: true}
	if d.Turn == scene.Halfway && d.Beam > 0 {
		gain.Template = "min({gain}, {Eb} / ({Ps} * {Fr}))"
		gain.Words = "never more than the whole beam, within its own width"
	}
	w.add(gain, given("gain", "the stated one", r.Gain))
	w.add(Step{Title: "Light the reflector throws back", Symbol: "Ep", Template: "({Ps} * {gr} + {Pd}) * {ρr}",
		Result: float64(d.Sent), Unit: "lx", Source: "the kit; common practice, no source", Estimate: true,
		Note: "what a plane would get that sees nothing but the panel"},
		given("ρr", "the reflector's reflectance", r.Reflectance))
	w.add(Step{Title: "Luminance of the reflector", Template: "{Ep} / pi", Result: float64(d.Sent) / math.Pi,
		Unit: "cd/m²", Source: "Lambert's law"})
}
