package plan

import (
	"fmt"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Explanation tells step by step how one method's answer at one moment under
// one sky comes about.
type Explanation struct {
	Row      Row       // of the moment, without methods
	Light    []Section // from the time to the light's colour: the same for every method
	Method   []Section // from that light to the flash's power
	Solution Solution  // what Solve answers, with cures
}

// Section is a run of steps under a heading.
type Section struct {
	Title string
	Steps []sky.Step
}

// TimeOf returns when an instant is in the shoot's session, in the window or
// not; nil is the window's start. The error, shoot.Faults or a shoot.Fault,
// tells of what the day does not have.
func TimeOf(s *shoot.Shoot, i *shoot.Instant) (time.Time, error) {
	n, err := newSession(s)
	if err != nil {
		return time.Time{}, err
	}
	if i == nil {
		return n.from, nil
	}
	moments, err := n.asked([]shoot.Instant{*i})
	if err != nil {
		return time.Time{}, err
	}
	return moments[0].time, nil
}

// Explain tells how Solve comes to a method's answer at a time, for each case
// of the sky one explanation. The steps' values are those of the Light and the
// Solution, and come from the functions that make these. The error tells that
// the shoot's window cannot be placed in the day.
func Explain(s *shoot.Shoot, t time.Time, m shoot.Method) ([]Explanation, error) {
	n, err := newSession(s)
	if err != nil {
		return nil, err
	}
	v := NewSolver(s)
	var list []Explanation
	for _, r := range n.rows(nil, t) {
		e := Explanation{Row: r, Light: n.explainLight(&r)}
		at := r.Moment()
		j := v.job(m, at, nil)
		e.Solution = v.Solve(m, at)
		e.Method = v.explain(&j, at, &e.Solution)
		if !e.Solution.Feasible {
			e.Solution.Cures = n.curesOf(v, r, e.Solution)
		}
		list = append(list, e)
	}
	return list, nil
}

// curesOf names what would cure a solution, the rest of the window counted.
func (n *session) curesOf(v *Solver, r Row, s Solution) []Cure {
	r.Methods = []Solution{s}
	rows := []Row{r}
	for _, later := range n.every(n.shoot.When.Step) {
		if later.Time.After(r.Time) && later.Case == r.Case {
			later.Methods = []Solution{v.Solve(s.Method, later.Moment())}
			rows = append(rows, later)
		}
	}
	v.cure(rows, 0)
	return rows[0].Methods[0].Cures
}

// explainLight tells of all that does not depend on the method.
func (n *session) explainLight(r *Row) []Section {
	_, sun := n.observer.Explain(r.Time)
	light := n.daylight.Explain(r.Condition, r.Case, r.Sun, n.view(r.Facing))
	l := &r.Light
	values := []sky.Step{
		exposure.ExplainIncident("Lit", l.Lit),
		exposure.ExplainIncident("Shade", l.Shade),
		exposure.ExplainIncident("Face", l.Face),
		exposure.ExplainIncident("Level", l.Level),
	}
	values = append(values, light.Bands...)
	values = append(values, sky.Step{Title: "Ambient ratio", Formula: "lit / shade", Numbers: sky.Expression("# / #", float64(l.Lit), float64(l.Shade)),
		Value: float64(l.Lit / l.Shade), Unit: ": 1", Source: "definition"})
	backdrop := append(light.Backdrop, exposure.ExplainReflected("The sky behind the subject", l.Backdrop))
	if b := n.shoot.Subject.Background; b.Kind != scene.SkyBackground {
		backdrop = append(backdrop, b.Explain(l)...)
		backdrop = append(backdrop, exposure.ExplainReflected("The background", b.Luminance(l)))
	}
	return []Section{
		{"Time, sun and refraction", append([]sky.Step{universal(r.Time)}, sun...)},
		{"Skyline", n.shoot.Place.Horizon.Explain(r.Sun)},
		{"Air", light.Air},
		{"Beam, sky and level", light.Sources},
		{"Upright planes", light.Planes},
		{"Exposure values and bands", values},
		{"Sky behind the subject", backdrop},
		{"Colour of the light", light.Colour},
	}
}

// universal tells how the clock's time becomes universal time.
func universal(t time.Time) sky.Step {
	_, seconds := t.Zone()
	offset := float64(seconds) / 3600
	inMinute := float64(t.Second()) + float64(t.Nanosecond())*1e-9
	local := float64(t.Hour()) + float64(t.Minute())/60 + inMinute/3600
	s := sky.Step{Title: "Universal time UT", Formula: "UT = local time - offset of the zone",
		Numbers: sky.Expression("# + # / 60 + # / 3600 - #", float64(t.Hour()), float64(t.Minute()), inMinute, offset),
		Value:   local - offset, Unit: "h", Source: "zone database, " + t.Location().String() + " at UTC" + t.Format("-07:00")}
	switch {
	case s.Value < 0:
		s.Note = "below 0: of the day before"
	case s.Value >= 24:
		s.Note = "24 and more: of the day after"
	}
	return s
}

// explain tells of one method.
func (v *Solver) explain(j *job, at *Moment, s *Solution) []Section {
	list := []Section{{"Gel", v.explainGel(&at.Light, &s.Gel)}}
	switch {
	case j.up:
		list = append(list, Section{"Under the scrim", v.shoot.Scrim.Explain(&at.Light, at.Sun, at.Facing, v.shoot.Subject.Figure)})
	case j.method.UsesScrim() && v.shoot.Scrim != nil:
		list = append(list, Section{"Under the scrim", []sky.Step{{Title: "Scrim up", Formula: "down: no sun to keep off", Value: 0}}})
	}
	e := newEntry(v.shoot, s.Settings)
	list = append(list, Section{"What the look asks of the flash", v.explainLook(j)}, Section{"Settings", v.explainSettings(j, &e)})
	if j.task.role != None {
		list = append(list, Section{"Flash", v.explainFlash(j, &e, s)})
	}
	list = append(list, Section{"What comes out", v.explainResult(j, &e, s)})
	if s.RimFlash != nil {
		list = append(list, Section{"Rim flash", v.explainRim(&e, s)})
	}
	return list
}

// explainGel tells which gel is on the flash and why.
func (v *Solver) explainGel(l *sky.Light, g *Gel) []sky.Step {
	shift := sky.Step{Title: "Shift of the gel", Formula: "none on the flash", Value: float64(g.Shift), Unit: "mired", Source: "the kit"}
	if g.Name != "" {
		shift.Formula = g.Name
	}
	loss := sky.Step{Title: "Loss of the gel", Formula: shift.Formula, Value: float64(g.Loss), Unit: "stops", Source: "the kit"}
	wish := v.shoot.Wish
	if wish.Kind == flash.AnyColour {
		shift.Note = "as the shoot says; no colour is wished for"
		return []sky.Step{shift, loss}
	}
	lit := l.Colour().Lit
	want, ok := wish.Target(lit)
	if !ok {
		shift.Note = "the light has no colour to go by"
		return []sky.Step{shift, loss}
	}
	lamp := v.shoot.Flash.Unit.ColourTemperature()
	warmer := sky.Mired(0)
	if wish.Kind == flash.WarmerThanLight {
		warmer = wish.Warmer
	}
	shift.Note = fmt.Sprintf("of the %d carried, and none at all, the one that leaves the least", len(v.shoot.Gels))
	return []sky.Step{
		{Title: "Colour wanted", Formula: "10^6 / lit side's + what is wished beyond, not below 0", Numbers: sky.Expression("max(0, 1000000 / # + #)", float64(lit), float64(warmer)),
			Value: float64(want.Mired()), Unit: "mired", Source: "definition of the mired", Estimate: true},
		{Title: "Colour of the bare flash", Formula: "10^6 / its colour temperature", Numbers: sky.Expression("1000000 / #", float64(lamp)),
			Value: float64(lamp.Mired()), Unit: "mired", Source: "the kit, or 5500 K: common practice, no source", Estimate: v.shoot.Flash.Unit.Colour == 0},
		shift,
		{Title: "Left over", Formula: "wanted - (bare flash + shift); above 0 the flash is still too blue",
			Numbers: sky.Expression("# - max(0, # + #)", float64(want.Mired()), float64(lamp.Mired()), float64(g.Shift)),
			Value:   float64(g.Remains), Unit: "mired", Source: "gels shift by mired: common practice, no source", Estimate: true},
		loss,
	}
}

// explainLook tells what the look asks of the flash and the camera.
func (v *Solver) explainLook(j *job) []sky.Step {
	look, t := &v.shoot.Look, &j.task
	lit, shade, face := float64(t.ambient.Lit), float64(t.ambient.Shade), float64(t.ambient.Face)
	added := sky.Step{Title: "Flash to add, as a steady light F", Value: float64(t.added), Unit: "lx", Source: "definition of the look"}
	target := sky.Step{Title: "Light to expose normally", Value: float64(t.target), Unit: "EV100", Source: "ISO 2720:1974"}
	if look.Kind == shoot.DarkSky {
		target.Formula, target.Numbers = "EV of the sky behind + stops darker", sky.Expression("# + #", float64(t.backdrop), float64(look.Dark))
		target.Note = "so the sky comes out that much below its metered value"
		need := t.target.Plus(look.Bias).Lux()
		added.Formula = "F = need - face: key light"
		added.Numbers = sky.Expression("max(0, # - #)", float64(need), face)
		if t.role == None {
			added.Formula = "need - face, not below 0"
			added.Note = "nothing: the ambient light on the face is enough, or too much"
		}
		return []sky.Step{target,
			{Title: "Light the face needs", Formula: "2.5 * 2^(EV + bias)", Numbers: sky.Expression("2.5 * 2^(# + #)", float64(t.target), float64(look.Bias)),
				Value: float64(need), Unit: "lx", Source: "ISO 2720:1974, C = 250"},
			added}
	}
	ratio := sky.Step{Title: "Ratio without flash", Formula: "lit / shade, under this method", Numbers: sky.Expression("# / #", lit, shade),
		Value: lit / shade, Unit: ": 1", Source: "definition"}
	switch t.role {
	case Fill:
		added.Formula, added.Numbers = "F = (lit - R shade) / (R - 1)", sky.Expression("(# - # * #) / (# - 1)", lit, look.Ratio, shade, look.Ratio)
		added.Note = fmt.Sprintf("fill, from the camera, on lit side and shade alike: above %s:1 the light is too hard", sky.Figures(look.Ratio))
	case Key:
		added.Formula, added.Numbers = "F = R shade - lit", sky.Expression("# * # - #", look.Ratio, shade, lit)
		added.Note = fmt.Sprintf("key, on the lit side alone: below %s:1 the light is too flat", sky.Figures(look.Ratio))
	case None:
		added.Formula = "nothing: the ambient light has the ratio"
	}
	target.Formula, target.Numbers = "EV = log2((lit + F) / 2.5) - bias", sky.Expression("log2((# + #) / 2.5) - #", lit, float64(t.added), float64(look.Bias))
	target.Note = "the lit side with its flash"
	return []sky.Step{ratio, added, target}
}

// explainSettings tells why these settings and what they are exactly.
func (v *Solver) explainSettings(j *job, e *entry) []sky.Step {
	c, l := &v.shoot.Camera, &v.shoot.Lens
	fastest := c.Sync
	allows := "the sync speed"
	if j.method.UsesHighSpeed() && v.shoot.Flash.Unit.HighSpeed {
		fastest, allows = c.Fastest, "the camera's fastest"
	}
	most := exposure.Settings{Aperture: l.Wanted, Shutter: fastest, ISO: c.Lowest}
	least := exposure.Settings{Aperture: l.Wanted, Shutter: min(l.Slowest, fastest), ISO: c.Highest}
	limit := func(title string, s exposure.Settings, note string) sky.Step {
		return sky.Step{Title: title, Formula: fmt.Sprintf("%s, %s, ISO %s, no filter", s.Aperture, s.Shutter, s.ISO),
			Numbers: sky.Expression("2 * log2(#) - log2(#) - log2(# / 100)", s.Aperture.FNumber(), s.Shutter.Seconds(), s.ISO.Speed()),
			Value:   float64(s.EV()), Unit: "EV100", Source: "ISO 2720:1974", Note: note}
	}
	steps := []sky.Step{
		limit("Most light at the wanted aperture", most, allows+", lowest ISO"),
		limit("Least light at the wanted aperture", least, "slowest by hand, highest ISO"),
	}
	exact := e.Settings.Explain()
	exact[0].Note, exact[1].Note, exact[2].Note = v.whyAperture(e), v.whyShutter(e, fastest, allows), v.whyISO(e)
	if j.method.UsesFilter() || e.ND != 0 {
		exact = append(exact[:3:3], append([]sky.Step{{Title: "Neutral-density filter ND", Formula: v.whyFilter(e), Value: float64(e.ND), Unit: "stops", Source: "the kit"}}, exact[3:]...)...)
	}
	steps = append(steps, exact...)
	return append(steps, sky.Step{Title: "Camera off the light to expose", Formula: "EVs - EV to expose normally",
		Numbers: sky.Expression("# - #", float64(e.ev), float64(j.task.target)), Value: float64(e.ev.Minus(j.task.target)), Unit: "stops", Source: "clicks of the camera",
		Note: fmt.Sprintf("all settings within %s stop are tried, each with the clicks of power about the one wanted; that with the least miss stands", sky.Figures(float64(reach)))})
}

func (v *Solver) whyAperture(e *entry) string {
	l := &v.shoot.Lens
	switch {
	case e.Aperture > l.Wanted:
		return "closed from " + l.Wanted.String() + ": the shutter is as fast as it may be and the ISO as low"
	case e.Aperture < l.Wanted:
		return "opened from " + l.Wanted.String() + ": the shutter is as slow as it may be and the ISO as high"
	}
	return "the one wanted"
}

func (v *Solver) whyShutter(e *entry, fastest exposure.Shutter, allows string) string {
	c, l := &v.shoot.Camera, &v.shoot.Lens
	switch {
	case e.Shutter == fastest:
		return allows + ": no faster with this method"
	case e.Shutter <= l.Slowest:
		return "the slowest held by hand"
	case e.ISO > c.Lowest:
		return "no slower, so that the flash prevails over the ambient light; the ISO makes up for it"
	case e.Aperture > l.Wanted:
		return "a click slower than it might be, which trims ambient light against flash"
	}
	return "takes what light there is at the wanted aperture and the lowest ISO"
}

func (v *Solver) whyISO(e *entry) string {
	if e.ISO > v.shoot.Camera.Lowest {
		return "raised: the shutter is to be no slower"
	}
	return "the lowest"
}

func (v *Solver) whyFilter(e *entry) string {
	switch {
	case e.ND == 0 && e.Aperture > v.shoot.Lens.Wanted:
		return "none: the one that would keep the wanted aperture does not serve the flash"
	case e.ND == 0:
		return "none: without one the wanted aperture takes all the light there is"
	case e.Aperture > v.shoot.Lens.Wanted:
		return "the strongest that serves; the aperture closes for the rest"
	}
	return "the weakest that keeps the wanted aperture"
}

// explainFlash tells of the power that the flash is set to.
func (v *Solver) explainFlash(j *job, e *entry, s *Solution) []sky.Step {
	look, t := &v.shoot.Look, &j.task
	unit := v.shoot.Flash.Unit
	wanted, available := float64(v.wanted(t, e)), float64(t.available(e))
	need := sky.Step{Title: "Light wanted of the flash in one frame Hw", Formula: "Hw = F t", Numbers: sky.Expression("# * #", float64(t.added), e.seconds),
		Value: wanted, Unit: "lx s", Source: "light times time"}
	if look.Kind == shoot.DarkSky {
		need.Formula = "Hw = H 2^bias - face t, not below 0"
		need.Numbers = sky.Expression("max(0, # * 2^# - # * #)", float64(e.need), float64(look.Bias), float64(t.ambient.Face), e.seconds)
		need.Note = "at this setting; the clicks of the camera count"
	}
	head := v.shoot.Flash
	head.Gel = s.Gel.Gel
	steps := append([]sky.Step{need}, head.Explain()...)
	whole := sky.Step{Title: "At full power, of this shutter Ha", Formula: "Ha = Hf: all of it, at or below the sync speed", Numbers: sky.Figures(float64(t.full)),
		Value: available, Unit: "lx s"}
	if e.Shutter > v.shoot.Camera.Sync {
		steps = append(steps, unit.ExplainHighSpeed(e.Shutter)...)
		whole.Formula, whole.Numbers = "Ha = Hf * share caught", sky.Expression("# * #", float64(t.full), e.caught)
		whole.Estimate = true
	}
	spare := sky.StopsOf(available / wanted)
	headroom := sky.Step{Title: "Headroom", Formula: "log2(Ha / Hw)", Value: float64(spare), Unit: "stops", Source: "definition",
		Note: "below 0 is what is missing"}
	if wanted > 0 {
		headroom.Numbers = sky.Expression("log2(# / #)", available, wanted)
	}
	steps = append(steps, whole, headroom)
	if s.Role == None {
		return append(steps, sky.Step{Title: "Power set", Formula: "none: the look is nearest, or the picture possible, without flash", Value: 0})
	}
	click := unit.Click.Stops()
	power := sky.Step{Title: "Power set " + s.Power.String(), Formula: "2^-(clicks * size of a click)", Numbers: sky.Expression("2^-(# * #)", -float64(s.Power.Stops())/click, click),
		Value: s.Power.Fraction(), Source: "clicks of the flash"}
	clicks := sky.Step{Title: "Clicks below full power", Formula: "headroom / size of a click", Numbers: sky.Expression("# / #", float64(spare), click),
		Value: float64(spare) / click, Source: "clicks of the flash", Note: "the click above or below it stands, whichever comes nearer the look with the camera's"}
	switch {
	case spare < 0:
		clicks.Note = "below 0: full power is not enough"
	case s.Power == unit.LowestPower:
		clicks.Note = "the flash goes no lower than " + unit.LowestPower.String()
	}
	return append(steps, clicks, power, sky.Step{Title: "Flash in the frame Hp", Formula: "Hp = Ha * power", Numbers: sky.Expression("# * #", available, s.Power.Fraction()),
		Value: float64(s.Added), Unit: "lx s", Source: "light goes with power", Estimate: true})
}

// explainResult tells what the settings come to.
func (v *Solver) explainResult(j *job, e *entry, s *Solution) []sky.Step {
	look, t := &v.shoot.Look, &j.task
	lit, shade, face := float64(t.ambient.Lit)*e.seconds, float64(t.ambient.Shade)*e.seconds, float64(t.ambient.Face)*e.seconds
	frame := func(title string, lux, value float64) sky.Step {
		return sky.Step{Title: title, Formula: "light * t", Numbers: sky.Expression("# * #", lux, e.seconds), Value: value, Unit: "lx s", Source: "light times time"}
	}
	steps := []sky.Step{
		frame("Ambient light in the frame, lit", float64(t.ambient.Lit), lit),
		frame("Ambient light in the frame, shade", float64(t.ambient.Shade), shade),
	}
	f := float64(s.Added)
	main, on := lit, "lit"
	if look.Kind == shoot.DarkSky {
		steps = append(steps, frame("Ambient light in the frame, face", float64(t.ambient.Face), face))
		main, on = face, "face"
	}
	level := sky.Step{Title: "Exposure against normal and bias", Formula: "log2((" + on + " t + Hp) / H) - bias",
		Numbers: sky.Expression("log2((# + #) / #) - #", main, f, float64(e.need), float64(look.Bias)), Value: float64(s.Exposure), Unit: "stops", Source: "ISO 2720:1974"}
	ratio := sky.Step{Title: "Lighting ratio", Formula: "(" + on + " t + Hp) / (shade t)", Numbers: sky.Expression("(# + #) / #", main, f, shade),
		Value: s.Ratio, Unit: ": 1", Source: "(key + fill) : fill, ambient and flash together"}
	if s.Role == Fill {
		ratio.Formula, ratio.Numbers = "("+on+" t + Hp) / (shade t + Hp)", sky.Expression("(# + #) / (# + #)", main, f, shade, f)
	}
	off := sky.Step{Title: "Ratio against the one wanted", Formula: "log2(ratio / R)", Numbers: sky.Expression("log2(# / #)", s.Ratio, look.Ratio),
		Value: float64(sky.StopsOf(s.Ratio / look.Ratio)), Unit: "stops"}
	if look.Kind == shoot.DarkSky {
		off = sky.Step{Title: "Sky against the one wanted", Formula: "EV of the sky behind - EVs + stops darker",
			Numbers: sky.Expression("# - # + #", float64(t.backdrop), float64(e.ev), float64(look.Dark)), Value: float64(t.backdrop.Minus(e.ev) + look.Dark), Unit: "stops"}
	}
	off.Note = fmt.Sprintf("this and the exposure may each miss by %s stop", sky.Figures(float64(tolerance)))
	steps = append(steps, level, ratio, off,
		sky.Step{Title: "Background against normal", Formula: "EV of what stands behind - EVs", Numbers: sky.Expression("# - #", float64(t.background), float64(e.ev)),
			Value: float64(s.Background), Unit: "stops", Source: "ISO 2720:1974"},
		sky.Step{Title: "Ambient light on the lit side against normal", Formula: "log2(lit / 2.5) - EVs", Numbers: sky.Expression("log2(# / 2.5) - #", float64(t.ambient.Lit), float64(e.ev)),
			Value: float64(s.LitSide), Unit: "stops", Source: "ISO 2720:1974"},
		sky.Step{Title: "Face against normal", Formula: "log2((face t + share of Hp on the face) / H)",
			Numbers: sky.Expression("log2((# + # * #) / #)", face, v.onFace(j, s.Role), f, float64(e.need)), Value: float64(s.Face), Unit: "stops", Source: "ISO 2720:1974",
			Note: "share: all of a fill; of a key from the lit side the cosine between that side and where the face looks"})
	if s.Role != None {
		steps = append(steps, v.shoot.Flash.Unit.ExplainRecycle(s.Power))
	}
	return steps
}

// explainRim tells of the second group of flashes.
func (v *Solver) explainRim(e *entry, s *Solution) []sky.Step {
	r, rim := v.shoot.Rim, s.RimFlash
	if e.Shutter > v.shoot.Camera.Sync && !r.Unit.HighSpeed {
		return []sky.Step{{Title: "Rim flash", Formula: "none: it has no high-speed sync", Source: "the kit"}}
	}
	key := float64(e.need * exposure.LuxSeconds(v.shoot.Look.Bias.Factor()))
	wanted := key * r.Over.Factor()
	steps := []sky.Step{
		{Title: "Light of the key side", Formula: "H 2^bias", Numbers: sky.Expression("# * 2^#", float64(e.need), float64(v.shoot.Look.Bias)), Value: key, Unit: "lx s", Source: "definition of the rim"},
		{Title: "Light wanted of the rim flash", Formula: "that * 2^stops over it", Numbers: sky.Expression("# * 2^#", key, float64(r.Over)), Value: wanted, Unit: "lx s", Source: "definition of the rim"},
	}
	steps = append(steps, r.Explain()...)
	available := float64(r.Full())
	if e.Shutter > v.shoot.Camera.Sync {
		share := r.Unit.ExplainHighSpeed(e.Shutter)
		steps = append(steps, share...)
		available *= share[len(share)-1].Value
	}
	return append(steps,
		sky.Step{Title: "Headroom of the rim flash", Formula: "log2(full power, caught / wanted)", Numbers: sky.Expression("log2(# / #)", available, wanted),
			Value: float64(rim.Headroom), Unit: "stops", Source: "definition"},
		sky.Step{Title: "Power set " + rim.Power.String(), Formula: "2^-(stops below full), to the nearest click", Numbers: sky.Expression("2^-#", -float64(rim.Power.Stops())),
			Value: rim.Power.Fraction(), Source: "clicks of the flash"},
		sky.Step{Title: "Rim flash in the frame", Formula: "full power, caught * power", Numbers: sky.Expression("# * #", available, rim.Power.Fraction()),
			Value: float64(rim.Added), Unit: "lx s", Estimate: true},
		sky.Step{Title: "Rim over the key side", Formula: "log2(that / key side)", Numbers: sky.Expression("log2(# / #)", float64(rim.Added), key),
			Value: float64(rim.Over), Unit: "stops", Source: "definition"},
		r.Unit.ExplainRecycle(rim.Power))
}
