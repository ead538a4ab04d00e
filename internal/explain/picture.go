package explain

import (
	"math"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Picture is how a look is held at one moment by one method. Lights are steady
// ones, as if they shone all the time, where they are in lx.
type Picture struct {
	Face    FaceLight
	Look    Asked
	Place   FlashPlace
	Flash   *Flash // nil where it does not fire
	Fill    *Flash // nil where there is none, or it does not fire
	Outcome Outcome
}

// FaceLight is the ambient light on the two sides of the face.
type FaceLight struct {
	SunAltitude sky.Angle // apparent
	FromCamera  sky.Angle // azimuth of the sun from the camera's, seen from the subject
	Theta       sky.Angle // between the sun and the camera
	Beam        sky.Lux   // direct sun that reaches the sitter, square to it
	Moon        sky.Lux   // the moon's beam on the key side
	KeySky      sky.Lux   // sky alone on the upright plane 45 deg to the key side
	ShadowSky   sky.Lux   // the same 45 deg to the other side
	Ground      sky.Lux   // on either
	Near, Far   sky.Lux   // all of the ambient light on key side and shadow side
}

// Asked is what the look asks of the moment.
type Asked struct {
	plan.Asked
	Ratio  float64   // wanted, key side over shadow side
	Bias   sky.Stops // of the key side from a normal exposure
	Behind *Behind   // nil where it is not known what stands behind
	Offset sky.Stops // of the background from normal: its limit, or what it is held at
	Held   bool      // the background is held at the offset; else it may lie lower
	Any    bool      // it may come out anyhow
	Within sky.Stops // tolerance
}

// Behind is what stands behind the subject.
type Behind struct {
	Symbol string // of its exposure value
	EV     exposure.EV
}

// limits reports whether the background has a say.
func (a *Asked) limits() bool { return a.Behind != nil && !a.Any }

// FlashPlace is what the flash has to give from the place it stands in through
// the run.
type FlashPlace struct {
	None         bool      // there is no flash in front
	Angle        sky.Angle // from the camera toward the key side
	Key, Shadow  float64   // shares of its light that fall on the two sides
	Aim          float64   // the ratio that is near enough
	Reach        plan.Reach
	ForRatio     sky.Lux // square to it
	ToBackground sky.Lux
	Light        sky.Lux     // given
	Target       exposure.EV // what the camera exposes normally, were there no clicks
	Fill         *FillPlace  // nil where there is none
}

// FillPlace is what the fill and the flash, as the key, have to give together.
// Where one works without the other, the FlashPlace's ratio and background are
// that one's.
type FillPlace struct {
	plan.Pair
	Angle sky.Angle // from the camera toward the key side
}

// ofFill tells the symbols of the fill from those of the flash.
const ofFill = "''"

// Outcome is the picture that settings and power make.
type Outcome struct {
	Settings    exposure.Settings
	Lit, Camera sky.Lux             // ambient light on the lit side, and on the plane facing the camera with direct sun
	KeyFlash    exposure.LuxSeconds // of the flash, on key side and shadow side
	ShadowFlash exposure.LuxSeconds
	Exposure    sky.Stops // key side from normal plus bias
	Ratio       float64
	Background  sky.Stops // from normal; not counted where Asked has none
	Rim         sky.Stops // lit side from normal, ambient light alone
	Face        sky.Stops // plane facing the camera from normal
	Headroom    sky.Stops // of flash power, of two that fire the lesser
	Lacks       sky.Stops // flash that is missing, where that is the problem
	Misses      bool      // the look
	Meter       float64   // f-number of a flash meter at the face, for the flash alone
	FillMeter   float64   // for the fill alone
}

func (w *workings) beforeSettings(p *Picture) {
	w.group("Light on the face")
	w.faceLight(&p.Face)
	w.group("What the look asks")
	w.asked(&p.Look)
	w.free(&p.Look)
	w.group("The flash in its place")
	w.place(&p.Look, &p.Place)
}

func (w *workings) afterSettings(p *Picture) {
	if p.Flash != nil {
		w.group("Flash")
		w.flash(p.Flash, "")
	}
	if p.Fill != nil {
		w.group("Fill")
		w.flash(p.Fill, ofFill)
	}
	w.group("How it comes out")
	if p.Flash == nil && p.Fill == nil && p.Place.gives() {
		none := Step{Title: "Flash", Words: "none: without it the picture is as near", Source: definition}
		if p.Outcome.Misses {
			none.Words = "none: it brings the picture no nearer"
		}
		w.add(none)
	}
	w.outcome(p)
}

// gives reports whether a flash has something to give.
func (f *FlashPlace) gives() bool { return f.Light > 0 || f.Fill != nil && f.Fill.Fill > 0 }

const theShoot = "the shoot"

const twoSides = "the face as two upright planes, 45 deg to either side of the camera"

func (w *workings) faceLight(f *FaceLight) {
	w.add(Step{Title: "Angle from the sun to the camera", Symbol: "θ", Template: "acos(cos({h}) * cos({from}))",
		Result: f.Theta.Degrees(), Unit: degrees, Source: "spherical trigonometry"},
		angle("h", "the altitude of the sun", f.SunAltitude.Degrees()),
		angle("from", "its azimuth from the camera's", f.FromCamera.Degrees()))
	beam := "Bf"
	if !w.has("ks") { // under the open sky
		ground := given("G", "the ground's in lx", f.Ground)
		w.add(Step{Title: "Key side without direct sun", Symbol: "ks", Template: "{Sk} + {G}",
			Result: float64(f.KeySky + f.Ground), Unit: "lx", Source: twoSides},
			given("Sk", "the sky's light on it in lx", f.KeySky), ground)
		w.add(Step{Title: "Shadow side", Symbol: "far", Template: "{Sh} + {G}", Result: float64(f.Far), Unit: "lx",
			Source: twoSides, Note: "as if direct sun were kept off it"},
			given("Sh", "the sky's light on it in lx", f.ShadowSky), ground)
		beam = "Eb"
	}
	near := Step{Title: "Key side", Symbol: "near", Template: "{ks} + {" + beam + "} * max(0, cos(max(0, {θ} - 45)))",
		Result: float64(f.Near), Unit: "lx", Source: lambert + "; " + twoSides,
		Note: "the beam as it falls on the plane within 45 deg of the camera that lies nearest the sun"}
	if f.Moon > 0 {
		near.Template += " + {Nk}"
		near.Note += ", and the moon's likewise, from its own"
	}
	w.add(near, given(beam, "the direct sun that reaches the sitter in lx", f.Beam),
		given("Nk", "the moon's beam on the nearest plane of the key side in lx", f.Moon))
}

func (w *workings) asked(a *Asked) {
	const look = "definition of the look"
	w.add(Step{Title: "Ratio asked", Symbol: "R", Words: "key side : shadow side", Result: a.Ratio, Unit: ": 1",
		Source: theShoot})
	w.add(Step{Title: "Key side asked, from a normal exposure", Symbol: "bias", Words: "as stated",
		Result: float64(a.Bias), Unit: "stops", Source: theShoot})
	h := Step{Title: "Key side for the ratio alone", Symbol: "H0", Result: float64(a.ByRatio), Unit: "lx", Source: look}
	if near := w.known["near"].Value; near < a.Ratio*w.known["far"].Value {
		h.Template, h.Words = "{R} * {far}", "near being less: key light"
	} else {
		h.Template, h.Words = "{near} + ({near} - {R} * {far}) / ({R} - 1)", "near being more: fill beside the lens"
	}
	w.add(h)
	total := Step{Title: "Light wanted on the key side", Symbol: "H", Template: "{H0}", Result: float64(a.Wanted),
		Unit: "lx", Source: look}
	switch {
	case a.Behind == nil:
		total.Words = "what stands behind is not known"
	case a.Any:
		total.Words = "the background may come out anyhow"
	default:
		w.forBackground(a)
		total.Template = "max({H0}, {Hx})"
		if a.Held {
			total.Template, total.Words = "{Hx}", "the background is held"
		}
	}
	w.add(total)
}

// forBackground explains the light on the key side beside which the background
// comes out as it is asked.
func (w *workings) forBackground(a *Asked) {
	off := Step{Title: "Most that the background may come out above normal", Symbol: "off", Words: "as stated",
		Result: float64(a.Offset), Unit: "stops", Source: theShoot + ", or what is usual"}
	if a.Held {
		off.Title, off.Source = "Background asked, from a normal exposure", theShoot
	}
	w.add(off)
	w.add(Step{Title: "Key side for the background", Symbol: "Hx",
		Template: "2.5 * 2^({" + a.Behind.Symbol + "} - {off} + {bias})",
		Result:   float64(a.ByBackground), Unit: "lx", Source: meters + ", C = 250",
		Note: "normally exposed, it leaves the background there"}, a.behindEV())
}

func (a *Asked) behindEV() Value { return given(a.Behind.Symbol, "its EV100", a.Behind.EV) }

// free explains the one flash that would bring both sides to what is asked,
// were it free to stand anywhere.
func (w *workings) free(a *Asked) {
	const vector = "two planes at a right angle"
	w.add(Step{Title: "Flash to add on the key side", Symbol: "fa", Template: "max(0, {H} - {near})",
		Result: float64(a.OnKey), Unit: "lx"})
	w.add(Step{Title: "Flash to add on the shadow side", Symbol: "fb", Template: "max(0, {H} / {R} - {far})",
		Result: float64(a.OnShadow), Unit: "lx"})
	w.add(Step{Title: "The one flash that does both", Symbol: "Ff", Template: "sqrt({fa}^2 + {fb}^2)",
		Result: float64(a.Flash), Unit: "lx", Source: vector, Note: "square to it, were it free to stand anywhere"})
	if a.OnKey+a.OnShadow > 0 {
		w.add(Step{Title: "Its angle from the camera toward the key side", Symbol: "φf",
			Template: "atan(({fa} - {fb}) / ({fa} + {fb}))", Result: a.Angle.Degrees(), Unit: degrees, Source: vector})
	}
}

func (w *workings) place(a *Asked, f *FlashPlace) {
	w.add(Step{Title: "Flash from the camera toward the key side", Symbol: "φ",
		Words:  "where it stands through the run",
		Result: f.Angle.Degrees(), Unit: degrees, Source: "the shoot, or of every 5 deg the one that holds longest"})
	w.add(Step{Title: "Share on the key side", Symbol: "ca", Template: "cos(45 - {φ})", Result: f.Key,
		Source: lambert})
	w.add(Step{Title: "Share on the shadow side", Symbol: "cb", Template: "cos(45 + {φ})", Result: f.Shadow,
		Source: lambert})
	if f.None {
		w.add(Step{Title: "Light of the flash", Symbol: "F", Words: "none: this way of working has no flash in front",
			Unit: "lx", Source: definition})
		w.placed(a, f)
		return
	}
	if f.Fill != nil {
		w.pair(a, f)
	} else {
		w.add(w.alone(a, f, "", f.Light))
	}
	w.placed(a, f)
}

// alone explains the light of a flash that works without another. The mark tells
// the fill's symbols from the flash's.
func (w *workings) alone(a *Asked, f *FlashPlace, mark string, gives sky.Lux) Step {
	light := Step{Title: "Light of the flash", Symbol: "F" + mark, Template: "0", Result: float64(gives), Unit: "lx",
		Source: "definition of the look", Note: "square to it"}
	if !a.Held {
		w.forRatio(a, f, mark)
		light.Template = "max(0, {FR})"
	}
	if a.limits() {
		w.add(Step{Title: "Flash for the background", Symbol: "FB", Template: m("({Hx} - {near}) / {ca%}", mark),
			Result: float64(f.ToBackground), Unit: "lx", Source: definition})
		light.Template = "max(" + light.Template + ", {FB})"
	}
	if light.Template == "0" {
		light.Words = "nothing asks for it"
	}
	return light
}

// pair explains the light of the flash, as the key, and of the fill: the two
// that give both sides what the background asks, or one of them alone.
func (w *workings) pair(a *Asked, f *FlashPlace) {
	p := f.Fill
	w.add(Step{Title: "Fill from the camera toward the key side", Symbol: "φ" + ofFill, Words: "as stated",
		Result: p.Angle.Degrees(), Unit: degrees, Source: theShoot + ", or beside the lens"})
	w.add(Step{Title: "Share of the fill on the key side", Symbol: "ca" + ofFill, Template: m("cos(45 - {φ%})", ofFill),
		Result: p.Key, Source: lambert})
	w.add(Step{Title: "Share of the fill on the shadow side", Symbol: "cb" + ofFill,
		Template: m("cos(45 + {φ%})", ofFill), Result: p.Shadow, Source: lambert})
	if a.limits() {
		w.bothSides(p)
	}
	const without = "none: the other does what is asked"
	key := Step{Title: "Light of the flash", Symbol: "F", Words: without, Unit: "lx", Source: definition}
	fill := Step{Title: "Light of the fill", Symbol: "F" + ofFill, Words: without, Unit: "lx", Source: definition}
	switch p.Alone {
	case plan.KeyOnly:
		key = w.alone(a, f, "", f.Light)
	case plan.FillOnly:
		fill = w.alone(a, f, ofFill, p.Fill)
		fill.Title = "Light of the fill"
	default:
		key.Template, key.Words, key.Result, key.Note = "{F1}", "", float64(f.Light), "square to it"
		fill.Template, fill.Words, fill.Result, fill.Note = "{F2}", "", float64(p.Fill), "square to it"
	}
	w.add(key)
	w.add(fill)
}

// bothSides explains the two flashes that give both sides of the face what the
// background asks: two equations for two lights.
func (w *workings) bothSides(p *FillPlace) {
	if p.OnKey == 0 && p.OnShadow == 0 {
		return // both light the face alike
	}
	const pair = "two planes, two lights: Cramer's rule"
	w.add(Step{Title: "Both flashes to add on the key side", Symbol: "a2", Template: "{Hx} - {near}",
		Result: float64(p.OnKey), Unit: "lx", Source: definition})
	w.add(Step{Title: "Both flashes to add on the shadow side", Symbol: "b2", Template: "{Hx} / {R} - {far}",
		Result: float64(p.OnShadow), Unit: "lx", Source: definition, Note: "so that ratio and background come out as asked"})
	turn := m(" / ({ca} * {cb%} - {ca%} * {cb})", ofFill)
	w.add(Step{Title: "Key beside the fill", Symbol: "F1", Template: m("({a2} * {cb%} - {b2} * {ca%})", ofFill) + turn,
		Result: float64(p.ByKey), Unit: "lx", Source: pair, Note: "below 0 it would have to take light away"})
	w.add(Step{Title: "Fill beside the key", Symbol: "F2", Template: "({b2} * {ca} - {a2} * {cb})" + turn,
		Result: float64(p.ByFill), Unit: "lx", Source: pair, Note: "below 0 it would have to take light away"})
}

// placed explains the light that the camera is set for.
func (w *workings) placed(a *Asked, f *FlashPlace) {
	on := Step{Title: "Light on the key side", Symbol: "Kt", Template: "{near} + {ca} * {F}", Unit: "lx",
		Note: "the camera is set for this"}
	if f.Fill != nil {
		on.Template += m(" + {ca%} * {F%}", ofFill)
	}
	if a.Held {
		on.Template, on.Words = "{H}", "whether the flash gives it or not"
	}
	w.work(on)
	w.add(Step{Title: "Exposure that the moment asks for", Symbol: "EVk", Template: "log2({Kt} / 2.5) - {bias}",
		Result: float64(f.Target), Unit: "EV100", Source: meters + ", C = 250"})
}

// forRatio explains the flash that the ratio takes from the place.
func (w *workings) forRatio(a *Asked, f *FlashPlace, mark string) {
	ratio := Step{Title: "Flash for the ratio", Symbol: "FR", Result: float64(f.ForRatio), Unit: "lx",
		Source: "definition of the ratio"}
	if f.Reach == plan.RatioNear {
		ratio.Words, ratio.Result = "none: ambient light alone is within 1/6 stop of it", 0
		w.add(ratio)
		return
	}
	aim := Step{Title: "Ratio that is near enough", Symbol: "Ra", Template: "{R} * 2^(1 / 6)", Result: f.Aim,
		Unit:   ": 1",
		Source: definition, Note: "the last sixth of a stop can cost without end"}
	if f.Aim < a.Ratio {
		aim.Template = "{R} * 2^-(1 / 6)"
	}
	w.add(aim)
	switch f.Reach {
	case plan.Reached:
		ratio.Template = m("({Ra} * {far} - {near}) / ({ca%} - {Ra} * {cb%})", mark)
	case plan.KeyAlone:
		ratio.Template = m("({Ra} * {far} - {near}) / {ca%}", mark)
		ratio.Words = "the place cannot reach the ratio: a key brings the key side to Ra far"
	default:
		ratio.Words = "none: fill from this place does not bring it"
	}
	w.add(ratio)
}

// inFrame is the light that the look asks of the flash at a shutter time.
func (p *Picture) inFrame() *Wanted {
	f, o := &p.Place, &p.Outcome
	if p.Look.Held && f.Fill != nil {
		return nil // the setting shares it out anew
	}
	values := []Value{o.time(), o.normal()}
	t := exposure.LuxSeconds(o.Settings.Shutter.Seconds())
	if !p.Look.Held || f.Key <= 0 {
		return &Wanted{"{F} * {t}", values, exposure.LuxSeconds(f.Light) * t}
	}
	need := o.Settings.Need() * exposure.LuxSeconds(p.Look.Bias.Factor())
	light := max(0, need-exposure.LuxSeconds(p.Face.Near)*t) / exposure.LuxSeconds(f.Key)
	return &Wanted{"max(0, {Hn} * 2^{bias} - {near} * {t}) / {ca}", values, light}
}

// time and normal are the shutter's and the light that the settings ask for.
func (o *Outcome) time() Value {
	return given("t", "the shutter time in s", o.Settings.Shutter.Seconds())
}

func (o *Outcome) normal() Value {
	return given("Hn", "the light for a normal exposure in lx s", o.Settings.Need())
}

func (w *workings) outcome(p *Picture) {
	o := &p.Outcome
	t, hn := o.time(), o.normal()
	evs := given("EVs", "what the settings expose normally", o.Settings.EV())
	key, shadow, camera := "", "", ""
	if p.fires() {
		onto := func(template string) string { return strings.Join(p.marked(template), " + ") }
		w.add(Step{Title: "Flash on the key side", Symbol: "Hka", Template: onto("{ca%} * {Hp%}"),
			Result: float64(o.KeyFlash), Unit: "lx s", Source: lambert})
		w.add(Step{Title: "Flash on the shadow side", Symbol: "Hkb", Template: onto("{cb%} * {Hp%}"),
			Result: float64(o.ShadowFlash), Unit: "lx s", Source: lambert})
		key, shadow, camera = " + {Hka}", " + {Hkb}", " + "+onto("{Hp%} * cos({φ%})")
	}
	tolerance := "held within " + Figures(float64(p.Look.Within)) + " stop"
	w.add(Step{Title: "Key side against normal and bias", Template: "log2(({near} * {t}" + key + ") / {Hn}) - {bias}",
		Result: float64(o.Exposure), Unit: "stops", Source: meters, Note: tolerance}, t, hn)
	w.add(Step{Title: "Lighting ratio", Symbol: "Rr",
		Template: "({near} * {t}" + key + ") / ({far} * {t}" + shadow + ")",
		Result:   o.Ratio, Unit: ": 1",
		Source: "(key + fill) : fill, ambient and flash together"}, t)
	w.work(Step{Title: "Lighting ratio against the one asked", Template: "log2({Rr} / {R})", Unit: "stops",
		Source: definition,
		Note:   tolerance + "; softer than asked down to 1 stop under it, under a scrim and in open shade without limit"})
	w.comesOut(&p.Look, o, evs)
	w.rimOffset(o.Lit, o.Rim, evs)
	w.add(Step{Title: "Face against normal", Template: "log2(({cam} * {t}" + camera + ") / {Hn})",
		Result: float64(o.Face), Unit: "stops", Source: meters, Note: "the plane facing the camera"},
		given("cam", "the ambient light on it in lx", o.Camera), t, hn)
	if p.fires() {
		w.toSpare(p)
	}
}

// fires reports whether a flash in front does.
func (p *Picture) fires() bool { return p.Flash != nil || p.Fill != nil }

// marked writes a template for each of the flashes in front that fire.
func (p *Picture) marked(template string) []string {
	var list []string
	if p.Flash != nil {
		list = append(list, m(template, ""))
	}
	if p.Fill != nil {
		list = append(list, m(template, ofFill))
	}
	return list
}

// comesOut explains how the background comes out.
func (w *workings) comesOut(a *Asked, o *Outcome, evs Value) {
	if a.Behind == nil {
		return
	}
	w.add(Step{Title: "Background against normal", Symbol: "bg", Template: "{" + a.Behind.Symbol + "} - {EVs}",
		Result: float64(o.Background), Unit: "stops", Source: meters}, a.behindEV(), evs)
	if a.Any {
		return
	}
	over := Step{Title: "Background against its limit", Template: "{bg} - {off}", Unit: "stops", Source: definition,
		Note: "held up to " + Figures(float64(a.Within)) + " stop over it"}
	if a.Held {
		over.Title, over.Note = "Background against what is asked", "held within "+Figures(float64(a.Within))+" stop"
	}
	w.work(over)
}

// toSpare explains the headroom, and what a meter reads.
func (w *workings) toSpare(p *Picture) {
	o := &p.Outcome
	powers := p.marked("-log2({pw%})")
	headroom := Step{Title: "Headroom", Template: powers[0], Result: float64(o.Headroom), Unit: "stops",
		Source: definition, Note: "from the power set to full power"}
	if len(powers) > 1 {
		headroom.Template, headroom.Words = "min("+strings.Join(powers, ", ")+")", "of the two the lesser"
	}
	if o.Lacks > 0 {
		headroom.Template += " - {lacks}"
	}
	w.add(headroom, given("lacks", "what is missing at full power in stops, at the setting that comes nearest",
		o.Lacks))
	speed := given("S", "the ISO exactly", o.Settings.ISO.Speed())
	if p.Flash != nil {
		w.add(Step{Title: "F-number of a flash meter at the face", Template: "sqrt({Hp} * {S} / 250)", Result: o.Meter,
			Source: meters + ", C = 250", Note: "flash alone, the meter toward the flash, at the ISO set"}, speed)
	}
	if p.Fill != nil {
		w.add(Step{Title: "F-number of a flash meter for the fill", Template: m("sqrt({Hp%} * {S} / 250)", ofFill),
			Result: o.FillMeter, Source: meters + ", C = 250", Note: "fill alone, the meter toward the fill"}, speed)
	}
}

// rimOffset explains the lit side's ambient light against normal.
func (w *workings) rimOffset(lit sky.Lux, offset sky.Stops, evs Value) {
	symbol := "lit"
	if w.has("lits") {
		symbol = "lits"
	}
	w.add(Step{Title: "Ambient light on the lit side against normal", Template: "log2({" + symbol + "} / 2.5) - {EVs}",
		Result: float64(offset), Unit: "stops", Source: meters,
		Note: "the rim, with the sun behind"}, given(symbol, "that light in lx", lit), evs)
}

// pictureOf is how a solution of a row holds the plan's look.
func pictureOf(p *plan.Plan, r *plan.Row, m *plan.Solution) *Picture {
	s, l, a := p.Shoot, &r.Light, &m.Ambient
	k := p.Working(&r.Moment, m)
	on := func(plane sky.Angle) sky.Lux { return l.SkyOn(plane - r.Sun.Azimuth) }
	out := &Picture{
		Face: FaceLight{SunAltitude: r.Sun.Altitude, FromCamera: (r.Sun.Azimuth - r.Stance.Facing).Turn(),
			Theta: scene.ToCamera(r.Sun, r.Stance.Facing), Beam: a.Beam, KeySky: on(r.Stance.KeyPlane()),
			ShadowSky: on(r.Stance.ShadowPlane()),
			Ground:    l.Ground, Near: a.Key, Far: a.Shadow},
		Look: askedOf(&r.Moment, s, &k),
		Place: FlashPlace{None: !m.Method.UsesFlash(), Angle: m.Angle, Key: k.Key, Shadow: k.Shadow,
			Aim: k.Aim, Reach: k.Reach,
			ForRatio:     k.ForRatio,
			ToBackground: k.ToBackground, Light: k.Flash, Target: k.Target},
		Outcome: Outcome{Settings: m.Settings, Lit: a.Lit, Camera: a.Face, KeyFlash: m.OnKey, ShadowFlash: m.OnShadow,
			Exposure: m.Exposure, Ratio: m.Ratio, Background: m.Background, Rim: m.Rim, Face: m.Face,
			Headroom: m.Headroom, Lacks: k.Lacks, Misses: m.Outcome == plan.Missed, Meter: m.FlashReading()},
	}
	if !m.Method.UsesShade() {
		out.Face.Moon = scene.MoonOnKey(l, r.Stance)
	}
	head := func(h flash.Head, power flash.Power) *Flash {
		h.Gel = m.Gel.Gel
		f := FlashOf(&h, m.Settings.Shutter, s.Camera.Sync, power)
		return &f
	}
	if m.Fill != nil {
		out.Place.Fill = &FillPlace{*k.Pair, m.Fill.Angle}
	}
	if m.Fires() {
		out.Flash = head(s.Flash, m.Power)
		out.Flash.Wanted = out.inFrame()
	}
	if m.Fill.Fires() {
		out.Fill, out.Outcome.FillMeter = head(s.Fill.Head, m.Fill.Power), m.Fill.Reading(m.Settings.ISO)
	}
	return out
}

// askedOf is what a shoot's look asks of a moment.
func askedOf(r *plan.Moment, s *shoot.Shoot, k *plan.Working) Asked {
	look := &s.Look
	a := Asked{Asked: k.Asked, Ratio: look.Ratio, Bias: look.Bias, Offset: look.Offset(),
		Held: look.Kind == shoot.BackgroundLook, Any: math.IsInf(float64(look.Offset()), 1), Within: k.Within}
	if r.Known {
		a.Behind = &Behind{skyBehind, exposure.Reflected(r.Backdrop)}
		if s.Subject.Background.Kind != scene.SkyBackground {
			a.Behind.Symbol = otherBehind
		}
	}
	return a
}

// The symbols of the exposure value of what stands behind: of the sky in the
// frame, or of something else.
const (
	skyBehind   = "EVb"
	otherBehind = "EVw"
)
