package explain

import (
	"fmt"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Explanation is the arithmetic of one moment under one sky.
type Explanation struct {
	Row     *plan.Row
	Light   []Group  // from the time to the light's colour: the same for every method
	Methods []Method // one for each of the row's, in that order
}

// Method is the arithmetic of one method's answer.
type Method struct {
	Solution *plan.Solution
	Groups   []Group // from the light to what comes out
}

// Explain returns the arithmetic of a row of a plan, of its own or read off it
// by Plan.Answers, and of each of the row's methods.
func Explain(p *plan.Plan, r *plan.Row) Explanation {
	w := after(nil)
	w.ambient(p.Shoot, r)
	e := Explanation{Row: r, Light: w.finished()}
	for i := range r.Methods {
		m := &r.Methods[i]
		one := after(w.known)
		one.method(p, r, m)
		e.Methods = append(e.Methods, Method{Solution: m, Groups: one.finished()})
	}
	return e
}

// ambient explains all that does not depend on the method.
func (w *workings) ambient(s *shoot.Shoot, r *plan.Row) {
	view := s.View(r.Stance.Facing)
	view.Moon = r.Moon
	daylight := sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon).Corrected(r.Correction)
	l := &ambient{Derivation: daylight.Derive(r.Condition, r.Case, r.Sun, view), sun: r.Sun, view: view,
		stance: r.Stance, place: s.Place.Site, ground: s.Place.Ground}
	w.group("Time, sun and refraction")
	w.clock(r.Time)
	w.sun(r.Sun, sky.StandardAir(s.Place.Site.Elevation), s.Place.Site.Elevation)
	w.group("Skyline")
	w.skyline(s.Place.Horizon, r.Sun)
	w.group("Air")
	w.air(l)
	w.group("Beam, sky and level")
	w.sources(l)
	w.group("Upright planes")
	w.planes(l)
	w.group("Exposure values and bands")
	w.incident("Lit side", "lit", l.Light.Lit)
	w.incident("Shade side", "shade", l.Light.Shade)
	w.incident("Face", "face", l.Light.Face)
	w.incident("Level", "level", l.Light.Level)
	w.bands(l)
	w.group("Sky behind the subject")
	w.backdrop(l)
	if l.Light.BackdropShare > 0 {
		w.reflected("The sky behind the subject", skyBehind, "Lb", l.Light.Backdrop)
	}
	w.backdropBand(l)
	w.background(s.Subject.Background, &l.Light)
	w.group("Colour of the light")
	w.colour(l)
}

// background explains the luminance of what stands behind, where that is not
// the sky.
func (w *workings) background(b scene.Background, l *sky.Light) {
	plane, ok := map[scene.BackgroundKind]string{scene.Sunlit: "face", scene.Shaded: "shade"}[b.Kind]
	if !ok {
		return
	}
	w.add(Step{Title: "Luminance of the " + b.Kind.String() + " background", Symbol: "Lw", Template: "{ρw} * {" +
		plane + "} / pi", Result: float64(b.Luminance(l)), Unit: "cd/m²",
		Source: "Lambert's law: matt, upright, square to the camera", Estimate: true},
		given("ρw", "its reflectance", b.Reflectance))
	w.reflected("The background", otherBehind, "Lw", b.Luminance(l))
}

// method explains one method's answer.
func (w *workings) method(p *plan.Plan, r *plan.Row, m *plan.Solution) {
	s := p.Shoot
	w.group("Gel")
	w.gel(s, &m.Gel)
	switch {
	case m.ScrimUp:
		w.group("Under the scrim")
		figure := s.Subject.Figure
		d := s.Scrim.Derive(&r.Light, r.Sun, r.Stance, figure)
		w.scrim(s.Scrim, &d, figure, s.Scrim.Coverage(r.Sun, figure).Share)
	case m.Method.UsesScrim() && s.Scrim != nil:
		w.group("Under the scrim")
		why := "no sun to keep off"
		if m.Problem != nil && m.Problem.Kind == plan.TooWindy {
			why = "too strong a wind"
		}
		w.add(Step{Title: "Scrim", Words: "down: " + why})
	}
	w.around(s, r, m)
	of := pictureOf(p, r, m)
	w.beforeSettings(of)
	w.group("Settings")
	w.settings(s, m)
	w.afterSettings(of)
	if m.RimFlash != nil {
		w.group("Rim flash")
		w.rim(s, m)
	}
}

// gel explains which gel is on the flash and why.
func (w *workings) gel(s *shoot.Shoot, g *plan.Gel) {
	shift := Step{Title: "Shift of the gel", Symbol: "shift", Words: "none on the flash", Result: float64(g.Shift),
		Unit: "mired", Source: "the kit"}
	if g.Name != "" {
		shift.Words = g.Name
	}
	loss := Step{Title: "Loss of the gel", Words: shift.Words, Result: float64(g.Loss), Unit: "stops",
		Source: "the kit"}
	want, ok := s.Wish.Target(g.Light)
	switch {
	case s.Wish.Kind == flash.AnyColour:
		shift.Note = "as the shoot says; no colour is wished for"
	case !ok:
		shift.Note = "the light has no colour to go by"
	default:
		shift.Note = fmt.Sprintf("of the %d carried, and none at all, the one that leaves the least", len(s.Gels))
		w.colours(s, g.Light, want)
	}
	w.add(shift)
	if s.Wish.Kind != flash.AnyColour && ok {
		w.add(Step{Title: "Left over", Template: "{Mw} - max(0, {Mf} + {shift})",
			Words: "above 0 the flash is still too blue", Result: float64(g.Remains), Unit: "mired",
			Source: "gels shift by mired: common practice, no source", Estimate: true})
	}
	w.add(loss)
}

// colours explains the colour wanted of the flash, and its own.
func (w *workings) colours(s *shoot.Shoot, light, want sky.Kelvin) {
	lamp := s.Flash.Unit.ColourTemperature()
	warmer := sky.Mired(0)
	if s.Wish.Kind == flash.WarmerThanLight {
		warmer = s.Wish.Warmer
	}
	w.add(Step{Title: "Colour wanted", Symbol: "Mw", Template: "max(0, 1000000 / {K} + {beyond})",
		Result: float64(want.Mired()), Unit: "mired", Source: mireds, Estimate: true},
		given("K", "the key side's at the middle of the window in K", light), given("beyond",
			"what is wished beyond it in mired", warmer))
	w.add(Step{Title: "Colour of the bare flash", Symbol: "Mf", Template: "1000000 / {lamp}",
		Result: float64(lamp.Mired()), Unit: "mired",
		Source: "the kit, or 5500 K: common practice, no source", Estimate: s.Flash.Unit.Colour == 0},
		given("lamp", "its colour temperature in K", lamp))
}

// rim explains the second group of flashes.
func (w *workings) rim(s *shoot.Shoot, m *plan.Solution) {
	r, rim := s.Rim, m.RimFlash
	high := m.Settings.Shutter > s.Camera.Sync
	if high && !r.Unit.HighSpeed {
		w.add(Step{Title: "Rim flash", Words: "none: it has no high-speed sync", Source: "the kit"})
		return
	}
	const meaning = "definition of the rim"
	key := m.Settings.Need() * exposure.LuxSeconds(s.Look.Bias.Factor())
	w.add(Step{Title: "Normal light of the key side", Symbol: "Hb", Template: "{Hn} * 2^{bias}", Result: float64(key),
		Unit: "lx s", Source: meaning})
	w.work(Step{Title: "Light wanted of the rim flash", Symbol: "Hw'", Template: "{Hb} * 2^{over}", Unit: "lx s",
		Source: meaning}, given("over", "stops over it", r.Over))
	f := FlashOf(&r.Head, m.Settings.Shutter, s.Camera.Sync, rim.Power)
	f.Added = rim.Added
	w.flash(&f, "'")
	w.add(Step{Title: "Headroom of the rim flash", Template: "log2({Ha'} / {Hw'})", Result: float64(rim.Headroom),
		Unit: "stops", Source: definition})
	w.add(Step{Title: "Rim over the key side", Template: "log2({Hp'} / {Hb})", Result: float64(rim.Over),
		Unit: "stops", Source: definition})
}
