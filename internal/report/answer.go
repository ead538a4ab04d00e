package report

import (
	"cmp"
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"
)

// title says what is planned, and when: of every report of a shoot.
func title(p *plan.Plan) string {
	from, to := p.Window()
	return name(p.Shoot) + ", " + words.Date(from) + ", " + words.Clock{}.Range(from, to) + " (" + words.Zone(from, to) + ")"
}

// name is what a shoot is called, else its place.
func name(s *shoot.Shoot) string { return cmp.Or(s.Name, s.Place.Name, "Shoot") }

// opening is what stands under the title of every report of a shoot: whose it
// is, where, and what is asked.
func opening(s *shoot.Shoot, o Options) []Block {
	var list []Block
	if o.Demonstration {
		list = append(list, Paragraph{Text: "Demonstration shoot. Your own: evenfall new my.toml"})
	}
	if s.Place.ZoneAssumed {
		list = append(list, Note{Kind: Remark, Tone: Warn,
			Text: "Times are in " + s.Place.Zone.String() + ", the zone of this computer: nobody named one (--tz)."})
	}
	if text := words.Readings(o.Readings); text != "" {
		list = append(list, Paragraph{Text: text})
	}
	return list
}

// asked says what the look holds.
func asked(s *shoot.Shoot) string {
	l := &s.Look
	text := "key side at normal"
	if l.Bias != 0 {
		text = "key side at " + words.OffsetStops(l.Bias)
	}
	text += ", ratio " + words.UpTo(l.Ratio, 2) + ":1, background "
	switch {
	case l.Kind == shoot.BackgroundLook:
		text += "held at " + words.OffsetStops(l.Background)
	case math.IsInf(float64(l.AtMost), 1):
		text += "as it comes"
	default:
		text += "at most " + words.OffsetStops(l.AtMost)
	}
	return text + ", " + s.Lens.Wanted.String()
}

// answer is what a photographer needs at once: how the verdict's method is set
// at its start and end, where the flash stands, how the picture comes out, what
// to pack, and when the light goes.
func answer(p *plan.Plan, v *plan.Verdict) []Block {
	facts := slices.Concat(workingFacts(p, v), pictureFacts(p, p.RunsOf(p.Index(v.Best))),
		Facts{{Label: "Pack", Text: strings.Join(packingList(p), ", ")}}, dayFacts(p, v),
		Facts{{Label: "More", Text: "timeline --full, compare --why, cues, explain, help words"}})
	return []Block{lead(p, v), facts}
}

// lead is the answer in a sentence or two.
func lead(p *plan.Plan, v *plan.Verdict) Paragraph {
	return Paragraph{Text: words.Lead(p, v), Strong: true, Tone: verdictTone(v)}
}

// workingFacts say how the verdict's method is set at its start and end, and
// what stands where.
func workingFacts(p *plan.Plan, v *plan.Verdict) Facts {
	runs := p.RunsOf(p.Index(v.Best))
	facts := Facts(ends(runs[0]))
	if text := sunGoesIn(p, p.Index(v.Best)); text != "" {
		facts = append(facts, Fact{Label: "Sun in", Text: text})
	}
	if p.Flashes(v.Best) || p.Fills(v.Best) {
		facts = append(facts, standFacts(p, runs[0])...)
	}
	return append(facts, aroundFacts(p, runs)...)
}

// dayFacts say how sun and wind go, which colour to set, and what was asked.
func dayFacts(p *plan.Plan, v *plan.Verdict) Facts {
	facts := append(Facts{{Label: "Sun", Text: dayLine(p)}}, sunFacts(p)...)
	facts = append(facts, moonFacts(p)...)
	if p.Wind() != nil {
		facts = append(facts, statedWind(p))
	}
	facts = append(facts, colourFacts(p, p.Index(v.Best))...)
	return append(facts, Fact{Label: "Asked", Text: asked(p.Shoot)})
}

// moonFacts say what the moon does, of a window that reaches into the night.
func moonFacts(p *plan.Plan) Facts {
	m := p.Moon()
	if !m.Night {
		return nil
	}
	return Facts{{Label: "Moon", Text: words.Moon(&m)}}
}

// settings writes how camera and flash are set, in a line, with the headroom
// or by how much it misses.
func settings(s *plan.Solution) string {
	switch {
	case s.Problem != nil:
		return words.Setting(s) + " (" + words.ProblemShort(s.Problem) + ")"
	case s.Role == plan.None:
		return words.Setting(s)
	}
	return words.Setting(s) + " (headroom " + words.Number(float64(s.Headroom), 1) + ")"
}

// ends are the settings at the first and the last minute that a run succeeds
// at; of one that never does, those of the nearest pictures.
func ends(r *plan.Run) []Fact {
	first, last := r.Span()
	at := func(label string, i int) Fact {
		m := &r.Minutes[i]
		when := words.Clock{}.Time(m.Time)
		if r.Split {
			when += ", " + words.Sun(r.Case) + ":"
		}
		tone := Neutral
		if m.Outcome == plan.Missed {
			tone = Bad
		}
		return Fact{Label: label, Text: when + " " + settings(&m.Solution), Tone: tone}
	}
	if first == last {
		return []Fact{at("At", first)}
	}
	return []Fact{at("Start", first), at("End", last)}
}

// standFacts say where the flash and a fill stand at the start, and which guide
// number counts; where the flash is moved to; and how far all turn with the sun.
func standFacts(p *plan.Plan, r *plan.Run) []Fact {
	first, last := r.Span()
	at := func(i int) plan.Place { return p.PlaceAt(r.Minutes[i].Moment, &r.Minutes[i].Solution) }
	start, end := at(first), at(last)
	var list []Fact
	if p.Flashes(r.Method) {
		list = append(list, standFact("Flash", &p.Shoot.Flash, &start))
	}
	if p.Fills(r.Method) {
		list = append(list, fillFact(p, r.Minutes[first].Moment))
	}
	if r.Gel.Name != "" {
		list[0].Text += "; " + r.Gel.Name + " on"
	}
	if len(r.Places) > 1 && p.Flashes(r.Method) {
		to := &r.Places[1]
		list = append(list, Fact{Label: "Move", Text: words.Clock{}.Time(to.From) + "  " + words.Place(to, p.Shoot.Flash.Distance) +
			", bearing " + words.Azimuth(to.Bearing)})
	}
	const noticed = 5 // degrees
	if turned := (end.Bearing - start.Bearing).Turn(); p.Shoot.Subject.Facing.Side != scene.FixedAzimuth && turned.Abs().Degrees() > noticed {
		list = append(list, Fact{Label: "Turn", Text: "all go round with the sun, " + words.Degrees(turned.Abs(), 0) +
			", flash to " + words.Azimuth(end.Bearing)})
	}
	return list
}

// fillFact says where the fill stands at a moment.
func fillFact(p *plan.Plan, m *plan.Moment) Fact {
	at := p.FillPlaceAt(m)
	return standFact("Fill", &p.Shoot.Fill.Head, &at)
}

// standFact says where a head stands at a place.
func standFact(label string, h *flash.Head, at *plan.Place) Fact {
	guide := h.Guide()
	text := words.Place(at, h.Distance) + ", bearing " + words.Azimuth(at.Bearing) + "; " +
		strconv.Itoa(h.Units) + " " + h.Unit.Name
	if !h.Modifier.Bare() {
		text += " in " + h.Modifier.Name
	}
	text += ", GN " + words.UpTo(guide.Number, 0)
	if guide.Zoom > 0 {
		text += " at " + words.UpTo(guide.Zoom, 0) + " mm"
	}
	if guide.Estimated {
		text += " (estimated)"
	}
	if at.InFrame {
		return Fact{Label: label, Text: text + "; it stands in the frame", Tone: Warn}
	}
	return Fact{Label: label, Text: text}
}

// aroundFacts say where a reflector is held, or what open shade has to be.
func aroundFacts(p *plan.Plan, runs []*plan.Run) []Fact {
	s, r := p.Shoot, runs[0]
	switch {
	case r.Method.UsesShade():
		return []Fact{{Label: "Sitter", Text: "in open shade, " + words.Percent(s.Shade.SkyShare) +
			" of the sky in view; no sun, the background as it is"}}
	case !r.Method.UsesReflector() || s.Reflector == nil:
		return nil
	}
	at := &r.Minutes[0].Moment.Stance
	text := words.Reflector(s.Reflector, at.Hand(s.Reflector.Angle)) + ", bearing " +
		words.Azimuth(at.Toward(s.Reflector.Angle)) + "; " + s.Reflector.Name
	for _, turn := range [...]scene.Turn{scene.Halfway, scene.Square, scene.Down} {
		if minutes := turned(runs, turn); len(minutes) > 0 {
			text += "; " + words.Turn(turn) + " " + words.Times(minutes, 2)
		}
	}
	fact := Fact{Label: "Reflector", Text: text}
	if slices.ContainsFunc(r.Minutes, func(m plan.Minute) bool { return m.Reflected.InFrame }) {
		fact.Text, fact.Tone = fact.Text+"; it stands in the frame", Warn
	}
	return []Fact{fact}
}

// turned are the stretches at which the reflector of a run is turned so.
func turned(runs []*plan.Run, turn scene.Turn) [][2]time.Time {
	return spans(runs[0].Minutes, func(m *plan.Minute) bool { return m.Reflected.Turn == turn })
}

// spans are the stretches of minutes that something is true of.
func spans(minutes []plan.Minute, of func(*plan.Minute) bool) [][2]time.Time {
	var list [][2]time.Time
	running := false
	for i := range minutes {
		m := &minutes[i]
		is := of(m)
		switch {
		case is && running:
			list[len(list)-1][1] = m.Time
		case is:
			list = append(list, [2]time.Time{m.Time, m.Time})
		}
		running = is
	}
	return list
}

// extent is the least and the greatest of some values.
type extent struct {
	low, high float64
	any       bool
}

func (e *extent) add(v float64) {
	if math.IsNaN(v) {
		return
	}
	if !e.any {
		e.low, e.high, e.any = v, v, true
	}
	e.low, e.high = min(e.low, v), max(e.high, v)
}

func (e *extent) offsets() string { return words.OffsetRangeStops(sky.Stops(e.low), sky.Stops(e.high)) }

// What is flagged of a picture, in stops from normal: common practice, no
// source.
const (
	whiteRim        = 1.5 // pale skin on the rim is white
	whiteBackground = 2.5 // little but white is left of it
	dimFace         = -1  // most of the face lies in shadow
)

// pictureFacts say how face and background come out.
func pictureFacts(p *plan.Plan, runs []*plan.Run) Facts {
	var key, ratio, face, background, rim extent
	any := slices.ContainsFunc(runs, func(r *plan.Run) bool { return r.Missed < len(r.Minutes) })
	for _, r := range runs {
		for i := range r.Minutes {
			m := &r.Minutes[i]
			if any && !m.Outcome.Succeeds() {
				continue
			}
			key.add(float64(m.Exposure))
			ratio.add(m.Ratio)
			face.add(float64(m.Face))
			background.add(float64(m.Background))
			if math.Cos(float64(m.Stance.Facing-m.Sun.Azimuth)) < 0 && m.Visible {
				rim.add(float64(m.Rim))
			}
		}
	}
	list := Facts{{Label: "Face", Text: "key side " + key.offsets() + " from normal, ratio " +
		words.RatioRange(ratio.low, ratio.high)}}
	if face.low < dimFace {
		list[0].Text += "; toward the camera " + face.offsets() + ", mostly in shadow"
		list[0].Tone = Warn
	}
	behind := Fact{Label: "Background", Text: "unknown: no sky in the frame, and nothing stated behind"}
	if background.any {
		behind.Text = behindName(p.Shoot) + " " + background.offsets() + " from normal"
		if background.high > whiteBackground {
			behind.Text, behind.Tone = behind.Text+", nearly white", Warn
		}
	}
	if rim.any && rim.high > 0 {
		behind.Text += "; rim up to " + words.OffsetStops(sky.Stops(rim.high))
		if rim.high > whiteRim {
			behind.Text, behind.Tone = behind.Text+", pale skin goes white", Warn
		}
	}
	return append(list, behind)
}

// behindName names what stands behind the sitter.
func behindName(s *shoot.Shoot) string {
	if word := s.Subject.Background.Kind.String(); word != "sky" {
		return word + " landscape or wall"
	}
	return "sky"
}

// packingList lists what to take along.
func packingList(p *plan.Plan) []string {
	var list []string
	for _, i := range p.Packing() {
		list = append(list, words.Item(&i))
	}
	if len(list) == 0 {
		list = []string{"camera and lens only"}
	}
	return list
}

// dayLine says when the golden hour and the sunset are, or the sunrise of a
// morning, and when in the window the sun goes behind the skyline.
func dayLine(p *plan.Plan) string {
	from, to := p.Window()
	middle := from.Add(to.Sub(from) / 2)
	noon, ok := p.Day.First(sky.SolarNoon)
	hidden := skylineTimes(p)
	wanted := []sky.EventName{sky.GoldenHourBegins, "", sky.Sunset, sky.CivilDusk}
	const aroundNoon = 2 * time.Hour
	switch {
	case ok && middle.Sub(noon.Time).Abs() < aroundNoon:
		wanted = []sky.EventName{sky.SolarNoon, "", sky.Sunset}
	case ok && middle.Before(noon.Time):
		wanted = []sky.EventName{sky.CivilDawn, sky.Sunrise, "", sky.GoldenHourEnds}
	}
	var parts []string
	switch {
	case p.Day.SunNeverSets:
		parts = append(parts, "the sun does not set")
	case p.Day.SunNeverRises:
		parts = append(parts, "the sun does not rise")
	}
	for _, name := range wanted {
		if name == "" && hidden != "" {
			parts = append(parts, hidden)
		}
		e, ok := nearestEvent(p.Day.Events, name, middle)
		if !ok || hidden != "" && (name == sky.CivilDawn || name == sky.CivilDusk) { // the line is full
			continue
		}
		text := string(name) + " " + words.Clock{}.Time(e.Time.In(p.Shoot.Place.Zone))
		if name == sky.Sunset || name == sky.Sunrise {
			text += " at " + words.Azimuth(e.Azimuth)
		}
		if name == sky.SolarNoon {
			text += ", " + words.Degrees(p.Day.Highest.Altitude, 0) + " high"
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, ", ")
}

// skylineTimes say when in the window the sun goes behind the skyline and comes
// out: where that is often, from when to when; nothing where it does neither.
func skylineTimes(p *plan.Plan) string {
	const most = 3
	events := p.SkylineEvents()
	if n := len(events); n > most {
		return "in and out behind the skyline " + words.Clock{}.Range(events[0].Time, events[n-1].Time)
	}
	var parts []string
	for _, e := range events {
		where := "over skyline "
		if e.Name == sky.SunBehindSkyline {
			where = "behind skyline "
		}
		parts = append(parts, where+words.Clock{}.Time(e.Time))
	}
	return strings.Join(parts, ", ")
}

// nearestEvent returns the event of a name that lies nearest to a time.
func nearestEvent(events []sky.Event, name sky.EventName, to time.Time) (sky.Event, bool) {
	var best sky.Event
	found := false
	for _, e := range events {
		if e.Name == name && (!found || e.Time.Sub(to).Abs() < best.Time.Sub(to).Abs()) {
			best, found = e, true
		}
	}
	return best, found
}

// sunFacts say when the sun stands in the frame, flares or dazzles.
func sunFacts(p *plan.Plan) []Fact {
	var list []Fact
	add := func(text string, of func(*plan.Minute) bool) bool {
		s := spans(p.Runs[0].Minutes, of)
		if len(s) > 0 {
			list = append(list, Fact{Label: "Watch", Text: text + " " + words.Times(s, 2), Tone: Warn})
		}
		return len(s) > 0
	}
	if !add("sun in the frame", func(m *plan.Minute) bool { return m.Sight.InFrame }) {
		add("sun near the frame, expect flare", func(m *plan.Minute) bool { return m.Sight.Flare })
	}
	add("sun in the sitter's eyes", func(m *plan.Minute) bool { return m.Sight.InEyes })
	return list
}
