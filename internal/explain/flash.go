package explain

import (
	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/sky"
)

// Flash is what a group of flashes gives, from the guide number to the frame.
type Flash struct {
	flash.GuideWorking
	Curve [2]float64 // the typical zoom curve, where the number is estimated: at From's zoom, and at the head's

	Units     int
	Distance  float64   // m
	Area      float64   // of the modifier, m2; 0 for a point
	Outdoors  sky.Stops // losses
	Modifier  sky.Stops
	Reflector bool // the modifier's is against a guide number stated with a reflector
	Gel       sky.Stops
	Full      exposure.LuxSeconds // at the subject at full power, on a plane square to it

	HighSpeed *flash.HighSpeedWorking // nil at or below the sync speed
	Shutter   exposure.Shutter
	Available exposure.LuxSeconds // at full power, that the shutter catches

	Wanted  *Wanted // what the look asks of it; nil where there is nothing to say
	Power   flash.Power
	Added   exposure.LuxSeconds // at that power
	Recycle float64             // s
	Unit    *flash.Unit         // whose recycling it is
}

// Wanted is the light that is asked of the flash in one frame: a template, the
// values that no earlier step may have named, and what it comes to.
type Wanted struct {
	Template string
	Values   []Value
	Light    exposure.LuxSeconds
}

// FlashOf fills in what a head gives at a shutter time and a power.
func FlashOf(h *flash.Head, t, sync exposure.Shutter, p flash.Power) Flash {
	f := Flash{GuideWorking: h.GuideWorking(), Units: h.Units, Distance: h.Distance, Area: h.Modifier.Area(),
		Outdoors: h.Unit.Derate, Modifier: h.ModifierLoss(), Reflector: h.StatedWithReflector(),
		Gel: h.Gel.Loss, Full: h.Full(), Shutter: t, Power: p, Recycle: h.Unit.Recycle(p).Seconds(), Unit: h.Unit}
	if f.Estimated {
		f.Curve = [2]float64{flash.TypicalCurve(f.From.Zoom), flash.TypicalCurve(f.Zoom)}
	}
	f.Available = f.Full
	if t > sync {
		high := h.Unit.HighSpeedWorking(t)
		f.HighSpeed = &high
		f.Available *= exposure.LuxSeconds((-high.Loss).Factor())
	}
	f.Added = f.Available * exposure.LuxSeconds(p.Fraction())
	return f
}

const (
	makers  = "the maker's table, as the kit states it"
	clicked = "clicks of the flash"
)

// flash explains what the flashes give in the frame. The mark tells the symbols
// of one group from those of another; it is empty of the first.
func (w *workings) flash(f *Flash, mark string) {
	w.guide(f, mark)
	w.add(Step{Title: "Taken off outdoors", Symbol: "derate" + mark,
		Words: "stated, for surroundings that throw no light back", Result: float64(f.Outdoors), Unit: "stops",
		Source: "common practice, no source; a test shot tells", Estimate: true})
	w.add(Step{Title: "Losses together", Symbol: "losses" + mark, Template: m("{derate%} + {mod} + {gel}", mark),
		Result: float64(f.Outdoors + f.Modifier + f.Gel), Unit: "stops",
		Source: "the kit", Estimate: true}, given("mod", modifierMeans(f), f.Modifier),
		given("gel", "the gel's", f.Gel))
	full := Step{Title: "Full power at the subject", Symbol: "Hf" + mark,
		Template: m("2.5 * {GN%}^2 * {units} / {dist}^2 * 2^-{losses%}", mark), Result: float64(f.Full), Unit: "lx s",
		Source: "GN = N d at ISO 100 and H = 250 N^2 / S, " + meters, Estimate: true}
	if f.Area > 0 {
		full.Template = m("2.5 * {GN%}^2 * {units} / ({dist}^2 + {area} / pi) * 2^-{losses%}", mark)
		full.Source += "; on the axis of an even disc, any handbook of radiometry"
		full.Note = "near a large source light falls off more slowly than with the square of the distance"
	}
	w.add(full, given("units", "how many flashes", f.Units), given("dist", "the distance in m", f.Distance),
		given("area", "the modifier's in m²", f.Area))
	w.caught(f, mark)
	w.power(f, mark)
}

func modifierMeans(f *Flash) string {
	if f.Reflector {
		return "the modifier's loss against the reflector that the guide number is stated with"
	}
	return "the modifier's loss"
}

// m writes the mark of a group for each % of a template.
func m(template, mark string) string {
	out := ""
	for _, r := range template {
		if r == '%' {
			out += mark
			continue
		}
		out += string(r)
	}
	return out
}

func (w *workings) guide(f *Flash, mark string) {
	g := Step{Title: "Guide number", Symbol: "GN" + mark, Words: "from the kit's table", Result: f.Number,
		Unit: "m, ISO 100", Source: makers}
	if f.Zoom > 0 {
		g.Title += " at " + Figures(f.Zoom) + " mm"
	}
	switch {
	case f.Estimated:
		g.Template, g.Words = "{GN1} * {c} / {c1}", "scaled along the typical zoom curve"
		g.Source, g.Estimate = makers+"; the nearest row scaled", true
	case f.From != f.To:
		g.Template, g.Words = "{GN1} * ({GN2} / {GN1})^(ln({z} / {z1}) / ln({z2} / {z1}))",
			"between two rows of the table"
		g.Source += "; straight lines in logarithms"
	}
	w.add(g, Value{Symbol: "GN1", Value: f.From.Number}, Value{Symbol: "GN2", Value: f.To.Number},
		Value{Symbol: "z", Value: f.Zoom},
		Value{Symbol: "z1", Value: f.From.Zoom}, Value{Symbol: "z2", Value: f.To.Zoom},
		given("c", "the curve at this zoom", f.Curve[1]), given("c1", "at the row's", f.Curve[0]))
}

// caught explains what of the full power the shutter lets a row of the sensor
// catch.
func (w *workings) caught(f *Flash, mark string) {
	whole := Step{Title: "At full power, of this shutter", Symbol: "Ha" + mark, Template: m("{Hf%}", mark),
		Words: "all of it, at or below the sync speed", Result: float64(f.Available), Unit: "lx s"}
	if h := f.HighSpeed; h != nil {
		w.highSpeed(h, f.Shutter, mark)
		whole.Template, whole.Words, whole.Estimate = m("{Hf%} * 2^-{hss%}", mark), "", true
	}
	w.add(whole)
	if f.Wanted == nil {
		return
	}
	w.add(Step{Title: "Light wanted of the flash in the frame", Symbol: "Hw" + mark, Template: f.Wanted.Template,
		Result: float64(f.Wanted.Light), Unit: "lx s", Source: "light times time"},
		f.Wanted.Values...)
	if f.Wanted.Light > 0 {
		w.work(Step{Title: "Full power above what is wanted", Template: m("log2({Ha%} / {Hw%})", mark), Unit: "stops",
			Source: definition, Note: "below 0 is what is missing"})
	}
}

func (w *workings) highSpeed(h *flash.HighSpeedWorking, t exposure.Shutter, mark string) {
	loss := Step{Title: "Loss of high-speed sync", Symbol: "hss" + mark, Result: float64(h.Loss), Unit: "stops",
		Estimate: true, Source: makers}
	a, b := h.From, h.To
	switch {
	case h.Plateau > 0:
		loss.Template = "max(0, log2({Teq} / {t}))"
		loss.Source = "a burst of even light and fixed energy, of which a row of the sensor catches t / Teq; Teq " +
			"by three instruction manuals"
	case a == b:
		loss.Template, loss.Words = "max(0, {loss1} + ({fast} - {fast1}))",
			"one stop for each stop of shutter beyond "+a.Shutter.String()
	default:
		loss.Template, loss.Words = "{loss1} + ({loss2} - {loss1}) * ({fast} - {fast1}) / ({fast2} - {fast1})",
			"a straight line from "+a.Shutter.String()+" to "+b.Shutter.String()
	}
	w.add(loss, given("Teq", "what the burst stands for in s", h.Plateau.Seconds()),
		given("t", "the shutter time in s", t.Seconds()),
		given("loss1", "the one stated there", a.Loss), Value{Symbol: "loss2", Value: float64(b.Loss)},
		given("fast", "in stops from 1 s", t.Stops()), Value{Symbol: "fast1", Value: a.Shutter.Stops()},
		Value{Symbol: "fast2", Value: b.Shutter.Stops()})
	w.add(Step{Title: "Share of the flash caught", Template: m("2^-{hss%}", mark), Result: (-h.Loss).Factor(),
		Estimate: true})
}

func (w *workings) power(f *Flash, mark string) {
	w.add(Step{Title: "Power set " + f.Power.String(), Symbol: "pw" + mark, Template: "2^-{below}",
		Result: f.Power.Fraction(), Source: clicked},
		given("below", "in stops from full power", -f.Power.Stops()))
	w.add(Step{Title: "Flash in the frame", Symbol: "Hp" + mark, Template: m("{Ha%} * {pw%}", mark),
		Result: float64(f.Added), Unit: "lx s",
		Source: "light goes with power", Estimate: true, Note: "on a plane square to the flash"})
	w.add(Step{Title: "Recycling", Template: m("max({floor}, {all} * {pw%})", mark), Result: f.Recycle, Unit: "s",
		Source: makers},
		given("floor", "the least in s", f.Unit.RecycleFloor.Seconds()),
		given("all", "that of full power in s", f.Unit.RecycleFull.Seconds()))
}
