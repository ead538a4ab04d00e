package words

import (
	"math"
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Verdict says which method to take for the window, and what the others come
// to.
func Verdict(p *plan.Plan, v *plan.Verdict) string {
	text := Lead(p, v)
	for _, o := range Others(p, v) {
		text += " " + o.Method + ": " + o.Comes + "."
	}
	if lacking := NotCarried(p); lacking != "" {
		text += " " + lacking
	}
	return text
}

// Lead says which method to take, from when, what it comes to, and when it
// misses.
func Lead(p *plan.Plan, v *plan.Verdict) string {
	n := p.Index(v.Best)
	t := tallyOf(p.RunsOf(n))
	name := v.Best.String()
	switch {
	case t.missed == t.all():
		return "No method gets this look in this window; the nearest is " + name + ": " + Comes(p, n) + "."
	case t.missed == 0:
		return "Take " + name + ": " + Comes(p, n) + "."
	}
	span := Span(v.From, v.Until)
	if span == "" {
		span = "for " + t.minutes(func(r *plan.Run) int { return r.Held + r.Softer })
	}
	return "Take " + name + " " + span + ": " + t.works(true) + ". Missed " + missedAt(t.failures, p.Shoot) + "."
}

// Other is what a method not taken comes to.
type Other struct{ Method, Comes string }

// Others says what the methods not taken come to whose kit is carried.
func Others(p *plan.Plan, v *plan.Verdict) []Other {
	var list []Other
	for n, m := range p.Shoot.Methods {
		if m != v.Best && p.Lacks(n) == 0 {
			list = append(list, Other{m.String(), briefly(p, n)})
		}
	}
	return list
}

// sections are where a shoot names the kit that a method lacks.
var sections = map[plan.ProblemKind]string{
	plan.NoFilter: "[filters]", plan.NoScrim: "[scrim]", plan.NoReflector: "[reflector]",
}

// NotCarried names the methods not carried that were asked, in a sentence, and
// where the shoot would name their kit; nothing where there are none.
func NotCarried(p *plan.Plan) string {
	var lacking, under []string
	for n, m := range p.Shoot.Methods {
		kind := p.Lacks(n)
		if kind == 0 {
			continue
		}
		lacking = append(lacking, m.String())
		if at := sections[kind]; at != "" && !slices.Contains(under, at) {
			under = append(under, at)
		}
	}
	switch {
	case len(lacking) == 0:
		return ""
	case len(under) == 0:
		return "No kit carried for " + List(lacking...) + "."
	}
	return "No kit carried for " + List(lacking...) + "; the shoot names it under " + List(under...) + "."
}

// Comes says in a clause what method number n comes to over the window.
func Comes(p *plan.Plan, n int) string {
	t := tallyOf(p.RunsOf(n))
	if t.missed > 0 && t.missed < t.all() {
		return "missed " + missedAt(t.failures, p.Shoot) + "; otherwise " + t.works(true)
	}
	return t.throughout(p.Shoot, true)
}

// briefly is Comes for a method that is not taken: misses as one, and without
// the headroom.
func briefly(p *plan.Plan, n int) string {
	t := tallyOf(p.RunsOf(n))
	if t.missed == 0 || t.missed == t.all() {
		return t.throughout(p.Shoot, false)
	}
	from, to := t.failures[0].From, t.failures[0].To
	for i := range t.failures {
		from, to = earlier(from, t.failures[i].From), later(to, t.failures[i].To)
	}
	return "missed for " + t.minutes(func(r *plan.Run) int { return r.Missed }) + ", " + Clock{}.Range(from, to) +
		" (" + t.reasons(p.Shoot) + "); otherwise " + t.works(false)
}

func earlier(a, b time.Time) time.Time {
	if b.Before(a) {
		return b
	}
	return a
}

func later(a, b time.Time) time.Time {
	if b.After(a) {
		return b
	}
	return a
}

// throughout says what a method comes to that does the same all the time:
// hold, come out softer now and then, or miss.
func (t *tally) throughout(s *shoot.Shoot, room bool) string {
	switch {
	case t.missed > 0:
		return "missed throughout (" + t.reasons(s) + ")"
	case t.softer > 0:
		return "works throughout, " + t.works(room)
	}
	return "holds throughout, " + t.works(room)
}

// reasons says why a method misses, each kind of problem once where it is
// largest.
func (t *tally) reasons(s *shoot.Shoot) string {
	worstOf := map[plan.ProblemKind]*plan.Failure{}
	var order []plan.ProblemKind
	for i := range t.failures {
		f := &t.failures[i]
		kind := f.Worst.Problem.Kind
		switch was := worstOf[kind]; {
		case was == nil:
			order = append(order, kind)
			worstOf[kind] = f
		case f.Worst.Problem.Misses > was.Worst.Problem.Misses:
			worstOf[kind] = f
		}
	}
	var parts []string
	for _, kind := range order {
		parts = append(parts, Failure(worstOf[kind], s))
	}
	return strings.Join(parts, "; ")
}

// tally is what the runs of one method come to, in minutes.
type tally struct {
	runs                 []*plan.Run
	held, softer, missed int
	failures             []plan.Failure
}

func tallyOf(runs []*plan.Run) *tally {
	t := &tally{runs: runs}
	for _, r := range runs {
		t.held, t.softer, t.missed = t.held+r.Held, t.softer+r.Softer, t.missed+r.Missed
		t.failures = append(t.failures, r.Failures()...)
	}
	return t
}

func (t *tally) all() int { return t.held + t.softer + t.missed }

// minutes says for how many of the window's minutes something is so; under
// broken cloud apart for the sun out and in, for each minute is planned twice.
func (t *tally) minutes(of func(*plan.Run) int) string {
	var parts []string
	for _, r := range t.runs {
		text := strconv.Itoa(of(r)) + " of " + strconv.Itoa(len(r.Minutes))
		if len(parts) == 0 {
			text += " minutes"
		}
		if r.Split {
			text += " " + Case(r.Case)
		}
		parts = append(parts, text)
	}
	return strings.Join(parts, " and ")
}

// works says how a method works where it does not miss.
func (t *tally) works(room bool) string {
	text := apertures(t.runs)
	switch {
	case t.softer == 0:
	case t.held == 0:
		text = "softer than asked, " + text
	default:
		text = "softer than asked for " + t.minutes(func(r *plan.Run) int { return r.Softer }) + ", " + text
	}
	parts := append([]string{text}, t.inFrame()...)
	if room {
		parts = append(parts, headroom(t.runs)...)
	}
	return strings.Join(parts, ", ")
}

// inFrame says for how long scrim, reflector or flash stand in the picture.
func (t *tally) inFrame() []string {
	var list []string
	add := func(what string, is func(*plan.Minute) bool) {
		count := func(r *plan.Run) (n int) {
			for i := range r.Minutes {
				if is(&r.Minutes[i]) {
					n++
				}
			}
			return n
		}
		sum := 0
		for _, r := range t.runs {
			sum += count(r)
		}
		switch {
		case sum == t.all():
			list = append(list, what+" in frame throughout")
		case sum > 0:
			list = append(list, what+" in frame "+t.minutes(count))
		}
	}
	add("scrim", func(m *plan.Minute) bool { return m.ScrimInFrame })
	add("reflector", func(m *plan.Minute) bool { return m.Reflected.InFrame })
	add("flash", func(m *plan.Minute) bool { return m.FlashInFrame })
	return list
}

// missedAt says when a look is missed, and why.
func missedAt(list []plan.Failure, s *shoot.Shoot) string {
	const most = 2
	var parts []string
	for i := range list {
		if i == most {
			return strings.Join(parts, ", ") + " and some other times"
		}
		f := &list[i]
		text := Clock{}.Range(f.From, f.To)
		if f.Split {
			text += " " + Case(f.Case)
		}
		parts = append(parts, text+" ("+Failure(f, s)+")")
	}
	return strings.Join(parts, ", ")
}

// Failure says why a stretch is missed, by how much at most.
func Failure(f *plan.Failure, s *shoot.Shoot) string {
	p := f.Worst.Problem
	switch several := !f.From.Equal(f.To); {
	case several && p.Kind == plan.TooWeak:
		return "flash up to " + MissingStops(p.Misses) + " short"
	case several && p.Kind == plan.FillTooWeak:
		return "fill up to " + MissingStops(p.Misses) + " short"
	}
	return Problem(p, &f.Worst.Solution, s)
}

// apertures says which apertures a method uses where it succeeds.
func apertures(runs []*plan.Run) string {
	var widest, narrowest *plan.Minute
	for _, r := range runs {
		for i := range r.Minutes {
			m := &r.Minutes[i]
			if !m.Outcome.Succeeds() {
				continue
			}
			if widest == nil || m.Settings.Aperture < widest.Settings.Aperture {
				widest = m
			}
			if narrowest == nil || m.Settings.Aperture > narrowest.Settings.Aperture {
				narrowest = m
			}
		}
	}
	a, b := widest.Settings.Aperture.String(), narrowest.Settings.Aperture.String()
	if a == b {
		return a
	}
	return a + " to " + b
}

// headroom says how much flash is to spare at the least, where it succeeds.
func headroom(runs []*plan.Run) []string {
	least := sky.Stops(math.Inf(1))
	var at time.Time
	flash, succeeds := false, false
	for _, r := range runs {
		for i := range r.Minutes {
			m := &r.Minutes[i]
			if !m.Outcome.Succeeds() {
				continue
			}
			succeeds = true
			if m.Role != plan.None && m.Headroom < least {
				least, at, flash = m.Headroom, m.Time, true
			}
		}
	}
	switch {
	case !succeeds:
		return nil
	case !flash:
		return []string{"no flash needed"}
	case least < 0.05:
		return []string{"flash at full power at " + Clock{}.Time(at)}
	}
	return []string{"least headroom " + Stops(least) + ", at " + Clock{}.Time(at)}
}

// Pick says which method to take at one moment, and what is against the
// others.
func Pick(c *plan.Compared, s *shoot.Shoot) string {
	best := c.Best()
	if best.Outcome == plan.Missed {
		return "No method gets this look; the nearest is " + best.Method.String() + " (" + Setting(best) + "): " +
			Problem(best.Problem, best, s) + "."
	}
	text := "Take " + best.Method.String() + ": " + Setting(best)
	if best.Outcome == plan.Softer {
		text += "; softer than asked, " + Ratio(best.Ratio)
	}
	if list := against(c, best, s); len(list) > 0 {
		text += ". Not " + strings.Join(list, "; ")
	}
	return text + "."
}

// Setting says how camera and flash are set, in a line.
func Setting(s *plan.Solution) string {
	set := &s.Settings
	parts := []string{set.Aperture.String(), set.Shutter.String(), "ISO " + set.ISO.String()}
	if set.ND > 0 {
		parts = append(parts, Filter(set.ND))
	}
	if s.ScrimUp {
		parts = append(parts, "scrim up")
	}
	switch {
	case s.Method.UsesShade():
		parts = append(parts, "open shade")
	case s.Reflected.Turn != scene.Down:
		parts = append(parts, "reflector")
	}
	return strings.Join(append(parts, Flash(s)), ", ")
}

// against says what is against the other methods, those with the same fault
// together.
func against(c *plan.Compared, best *plan.Solution, s *shoot.Shoot) []string {
	names := map[string][]string{}
	var order []string
	for i := range c.Row.Methods {
		m := &c.Row.Methods[i]
		says := fault(m, best, s)
		if m == best || says == "" {
			continue
		}
		if names[says] == nil {
			order = append(order, says)
		}
		names[says] = append(names[says], m.Method.String())
	}
	var list []string
	for _, says := range order {
		list = append(list, Either(names[says]...)+" ("+says+")")
	}
	return list
}

// fault says what is against a method beside the best; nothing where nothing
// is seen.
func fault(m, best *plan.Solution, s *shoot.Shoot) string {
	const seen = 0.3 // stop; what a background must differ by to be seen
	wanted := s.Lens.Wanted
	farther := (m.Settings.Aperture-wanted)*(m.Settings.Aperture-wanted) > (best.Settings.Aperture-wanted)*(best.Settings.Aperture-wanted)
	switch wider := best.Settings.Aperture - m.Settings.Aperture; {
	case m.Outcome == plan.Missed:
		return Problem(m.Problem, m, s)
	case m.ScrimInFrame && !best.ScrimInFrame:
		return "scrim in frame"
	case m.Reflected.InFrame && !best.Reflected.InFrame:
		return "reflector in frame"
	case m.FlashInFrame && !best.FlashInFrame:
		return "flash in frame"
	case farther && wider < -1:
		return "closes to " + m.Settings.Aperture.String()
	case farther && wider > 1:
		return "opens to " + m.Settings.Aperture.String()
	case m.Role != plan.None && m.Headroom < plan.Comfortable && best.Headroom >= plan.Comfortable:
		return "headroom " + Number(float64(m.Headroom), 1)
	case m.Outcome == plan.Softer && best.Outcome == plan.Held:
		return "softer, " + Ratio(m.Ratio)
	case (m.Background - best.Background).Abs() >= seen:
		return "background " + brighter(m.Background-best.Background)
	}
	return ""
}

// brighter says how one background compares with another.
func brighter(by sky.Stops) string {
	if by < 0 {
		return Stops(-by) + " darker"
	}
	return Stops(by) + " brighter"
}

// Rulings says how each rule of a verdict went, those that made no difference
// left out.
func Rulings(v *plan.Verdict) []string {
	list := []string{}
	for _, r := range v.Rules {
		if len(r.Dropped) == 0 {
			continue
		}
		var names []string
		for _, d := range r.Dropped {
			if d.Lacking {
				continue // there is nothing to weigh
			}
			names = append(names, d.Method.String()+" ("+dropped(r.Rule, d.Value)+")")
		}
		if len(names) > 0 {
			list = append(list, ruleNames[r.Rule]+": not "+List(names...))
		}
	}
	return list
}

var ruleNames = map[plan.RuleKind]string{
	plan.WindRule: "stands the wind", plan.HoldsRule: "holds the look", plan.SucceedsRule: "holds it or comes out softer",
	plan.MissRule:    "smallest miss",
	plan.ComfortRule: "comfortable headroom", plan.FrameRule: "nothing in the frame",
	plan.WeightRule: "fewest drawbacks, weighed",
}

// dropped says what a rule saw of a method that it dropped.
func dropped(r plan.RuleKind, value float64) string {
	switch r {
	case plan.WindRule:
		return "too strong for its scrim"
	case plan.HoldsRule, plan.SucceedsRule:
		return Percent(1-value) + " of the minutes"
	case plan.MissRule:
		if math.IsInf(value, 1) {
			return "cannot be done"
		}
		return "misses by " + MissingStops(sky.Stops(value))
	case plan.ComfortRule:
		return "less than " + Stops(plan.Comfortable) + " for " + Percent(value) + " of its minutes"
	case plan.FrameRule:
		return "in frame for " + Percent(value) + " of its minutes"
	}
	return Number(value, 1)
}

// ItemKind names a kind of thing to pack for programs.
func ItemKind(k plan.ItemKind) string {
	return map[plan.ItemKind]string{
		plan.FlashItem: "flash", plan.BatteryItem: "batteries", plan.ModifierItem: "modifier", plan.GelItem: "gel",
		plan.FillItem: "fill-flash", plan.FillBatteryItem: "fill-batteries",
		plan.RimItem: "rim-flash", plan.RimBatteryItem: "rim-batteries", plan.ScrimItem: "scrim", plan.FilterItem: "filter",
		plan.StandItem: "stand", plan.SandbagItem: "sandbag", plan.HandItem: "hand",
		plan.ReflectorItem: "reflector", plan.ReflectorHandItem: "reflector-hand",
	}[k]
}

// Item says what to pack.
func Item(i *plan.Item) string {
	many := strconv.Itoa(i.Count) + " "
	switch i.Kind {
	case plan.BatteryItem:
		return Count(i.Count, "set") + " of batteries per flash"
	case plan.FillBatteryItem:
		return Count(i.Count, "set") + " of batteries per fill flash"
	case plan.RimBatteryItem:
		return Count(i.Count, "set") + " of batteries per rim flash"
	case plan.StandItem:
		return Count(i.Count, "stand")
	case plan.SandbagItem:
		return Count(i.Count, "sandbag") + " of " + Kilograms(plan.SandbagMass)
	case plan.HandItem:
		return people(i.Count) + " to hold " + i.Name
	case plan.ReflectorHandItem:
		return Count(i.Count, "person") + " to hold the reflector"
	case plan.FillItem:
		return many + i.Name + " for the fill"
	case plan.RimItem:
		return many + i.Name + " for the rim"
	case plan.FilterItem, plan.ScrimItem, plan.ReflectorItem:
		return i.Name
	case plan.ModifierItem:
		if i.Count == 1 {
			return i.Name
		}
	}
	return many + i.Name
}

// people counts persons.
func people(n int) string {
	if n == 1 {
		return "1 person"
	}
	return strconv.Itoa(n) + " people"
}

// Cue says an instruction in one line, without its time.
func Cue(c *plan.Cue, s *shoot.Shoot) string {
	if c.Was == nil {
		return "Set " + Setting(c.Set)
	}
	var parts []string
	for _, ch := range c.Changes {
		parts = append(parts, moveTo(ch.Control, c.Was, c.Set))
	}
	if len(parts) == 0 {
		return Sentence(Reason(&c.Reason, c, s))
	}
	return Sentence(strings.Join(parts, ", "))
}

// moveTo says what one control is moved to.
func moveTo(control plan.Control, was, set *plan.Solution) string {
	to := Control(control, set)
	switch control {
	case plan.ApertureControl:
		return "aperture " + to
	case plan.ShutterControl:
		return "shutter " + to
	case plan.ISOControl:
		return "ISO " + to
	case plan.FilterControl:
		switch {
		case set.Settings.ND == 0:
			return "ND off"
		case was.Settings.ND == 0:
			return to + " on"
		}
		return to + " in place of the " + Filter(was.Settings.ND)
	case plan.PowerControl:
		return flashName(set) + " " + to
	case plan.FillControl:
		return "fill " + to
	case plan.RimControl:
		return "rim flash " + to
	case plan.ScrimControl:
		return "scrim " + to
	case plan.TurnControl:
		return "reflector " + to
	case plan.PlaceControl:
		return flashName(set) + " to " + to
	}
	return to
}
