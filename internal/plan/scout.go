package plan

import (
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Scout asks of single minutes whether a way of working brings the picture off
// with the flash at one angle: a search over many days cannot plan every run.
// What it finds is a promise that a run has yet to keep: it takes the gel, the
// key side and the filter that each minute alone asks for. It is for one
// goroutine.
type Scout struct {
	solver  *Solver
	session session
	terms   Terms
	angles  [scene.Right + 1][]sky.Angle // by the key side
	room    []choice
}

// NewScout prepares a search for pictures that meet some terms.
func NewScout(s *shoot.Shoot, t Terms) *Scout {
	c := &Scout{solver: NewSolver(s), terms: t}
	c.session = session{
		shoot: s, observer: s.Observer(), daylight: sky.NewDaylight(s.Place.Site, s.Place.Ground, s.Place.Horizon),
		stretches: []stretch{{key: scene.Left}},
	}
	for _, key := range [2]scene.Hand{scene.Left, scene.Right} {
		c.angles[key] = c.solver.angles(key)
	}
	return c
}

// Over turns the scout to a day.
func (c *Scout) Over(day sky.Day) {
	c.session.planned, c.session.day = day, day
	c.solver.highest = c.session.observer.Sun(day.Highest.Time)
}

// Angles returns at how many angles the flash may stand.
func (c *Scout) Angles() int { return len(c.angles[scene.Left]) }

// Sight is a minute as a scout sees it: a moment for each case of its sky, and
// what the ways of working put about the sitter, worked out when first asked for.
type Sight struct {
	moments [2]Moment
	cases   int
	around  [2][kinds]surroundings
	known   [2][kinds]bool
	gels    [2][2]Gel // by case, in the open and in open shade
	gelled  [2][2]bool
}

// The kinds of surroundings.
const (
	openKind = iota
	scrimKind
	shadeKind
	reflectorKind
	kinds
)

// kindOf is the kind of surroundings that a method makes.
func kindOf(m shoot.Method) int {
	switch {
	case m.UsesShade():
		return shadeKind
	case m.UsesReflector():
		return reflectorKind
	case m.UsesScrim():
		return scrimKind
	}
	return openKind
}

// Look fills a sight of a time, at which the sun stands so.
func (c *Scout) Look(at *Sight, t time.Time, sun sky.Sun) {
	*at = Sight{}
	n := &c.session
	condition := n.conditionAt(t)
	facing := n.shoot.Subject.Facing.At(sun.Azimuth)
	at.cases = condition.Cases()
	for k := range at.cases {
		m := &at.moments[k]
		*m = n.moment(t, sun, scene.Stance{Facing: facing, Key: scene.Left}, condition, sky.Case(k))
		m.Stance.Key = n.keySide(at.moments[k : k+1])
	}
}

// Found is where a scout last found a picture, to begin with at the next minute.
type Found struct {
	choice [2]found
	cases  int
}

// found is a picture, and whether nothing about what its moment asked came out.
type found struct {
	choice
	dark bool
}

// Holds says what a method does not meet at a minute with the flash at an angle,
// by its number, under the worse of the sky's cases.
func (c *Scout) Holds(m shoot.Method, at *Sight, angle int, last *Found) Unmet {
	worst := AllMet
	now := *last
	for k := range at.cases {
		u := c.meets(m, at, k, angle, &now.choice[k], last.cases == at.cases)
		if u == LookUnmet || u == SunUnmet {
			return u
		}
		if worst == AllMet {
			worst = u
		}
	}
	if worst == AllMet {
		now.cases = at.cases
		*last = now
	}
	return worst
}

// meets looks at one case. What was found last is tried first, if there is any.
func (c *Scout) meets(m shoot.Method, at *Sight, k, angle int, last *found, warm bool) Unmet {
	v := c.solver
	moment := &at.moments[k]
	if !c.terms.sunny(moment) {
		return SunUnmet
	}
	j := v.jobIn(c.surroundings(m, at, k), m, moment, c.gel(m, at, k))
	if j.problem != 0 {
		return LookUnmet
	}
	angles := c.angles[moment.Stance.Key]
	v.at(&j, angles[min(angle, len(angles)-1)])
	if warm {
		again := v.retry(&j, &last.choice)
		off := again.ev - j.task.target
		if (max(off, -off) <= v.near() || last.dark && off > 0) && c.terms.ofChoice(&again, v.outcome(&j, &again), v.shoot.Lens.Wanted) == AllMet {
			last.choice = again
			return AllMet
		}
	}
	return c.first(&j, last)
}

// first looks for a picture that meets the terms, and keeps it.
func (c *Scout) first(j *job, last *found) Unmet {
	best := LookUnmet
	for _, p := range j.ways {
		u := c.within(j, p, last)
		if u == AllMet {
			return u
		}
		best = max(best, u)
	}
	return best
}

// within looks through one program.
func (c *Scout) within(j *job, p program, last *found) Unmet {
	v, t := c.solver, &j.task
	best := LookUnmet
	met := func(o *choice) bool {
		u := c.terms.ofChoice(o, v.outcome(j, o), v.shoot.Lens.Wanted)
		if u == AllMet {
			*last = found{choice: *o}
		} else if u != LookUnmet {
			best = u
		}
		return u == AllMet
	}
	if t.fill.there {
		list := v.choices(c.room[:0], p, t)
		c.room = list
		for i := range list {
			if met(&list[i]) {
				return AllMet
			}
		}
		return c.darker(t, p, last, &best, met)
	}
	sieve := v.sieve(t)
	near := v.about(p, t)
	for i := range near {
		e := &near[i]
		if !sieve.backs(e) {
			continue
		}
		shots, n := v.shots(t, e)
		for _, flash := range shots[:n] {
			if !sieve.passes(e, flash) {
				continue
			}
			if o := v.try(t, e, flash, shot{}); met(&o) {
				return AllMet
			}
		}
	}
	return c.darker(t, p, last, &best, met)
}

// darker looks through a program's darker settings where nothing else brings the look
// off, and returns the best that is met of all.
func (c *Scout) darker(t *task, p program, last *found, best *Unmet, met func(*choice) bool) Unmet {
	if *best != LookUnmet || !c.solver.tooDim(t, p) {
		return *best
	}
	settings, sieve := p.beyond(t.target), c.solver.sieve(t)
	for i := range settings {
		if !sieve.mayPass(&settings[i]) {
			continue
		}
		c.room = c.solver.exposed(c.room[:0], t, &settings[i])
		for n := range c.room {
			if met(&c.room[n]) {
				last.dark = true
				return AllMet
			}
		}
	}
	return *best
}

// shots returns what the flash is tried with at a setting: none, and the two clicks
// of power about the one wanted.
func (v *Solver) shots(t *task, e *setting) (list [3]shot, n int) {
	n = 1
	if t.flash <= 0 {
		return list, n
	}
	available := t.available(e)
	wanted := v.wanted(t, e)
	if wanted <= 0 {
		return list, n
	}
	lower, upper := v.shoot.Flash.Unit.About(sky.StopsOf(float64(available / wanted)))
	list[1], list[2] = fired(lower, available), fired(upper, available)
	return list, 3
}

// sieve lets through what may succeed, without a logarithm: nothing that try lets
// succeed stays behind.
type sieve struct {
	solver        *Solver
	task          *task
	softest, hard float64 // of the ratio
	limit         exposure.EV
	exact         bool
	known         bool
	within        exposure.EV
}

func (v *Solver) sieve(t *task) sieve {
	const rounding = 1e-6
	look := &v.shoot.Look
	within := v.within + rounding
	s := sieve{
		solver: v, task: t,
		hard: look.Ratio * within.Factor(), softest: look.Ratio * (-mostSofter - rounding).Factor(),
		limit: t.background - exposure.EV(look.Offset()), exact: look.Kind == shoot.BackgroundLook,
		known: t.known, within: exposure.EV(within),
	}
	if t.soft {
		s.softest = 0
	}
	return s
}

// backs reports whether the background may come out at a setting.
func (s *sieve) backs(e *setting) bool {
	over := s.limit - e.ev
	return !s.known || over <= s.within && (!s.exact || over >= -s.within)
}

// passes reports whether the face may come out at a setting with the flash.
func (s *sieve) passes(e *setting, flash shot) bool {
	t := s.task
	if under, over := s.solver.underOver(t, e, flash, shot{}); under || over {
		return false
	}
	key := float64(t.ambient.Key)*e.seconds + t.lamp.key*float64(flash.light)
	shadow := float64(t.ambient.Shadow)*e.seconds + t.lamp.shadow*float64(flash.light)
	return key <= s.hard*shadow && key >= s.softest*shadow
}

// mayPass reports whether the face may come out at a setting with as much flash as
// exposes it.
func (s *sieve) mayPass(e *setting) bool {
	t := s.task
	if t.fill.there || t.lamp.key <= 0 {
		return true
	}
	flash := t.lamp.shadow / t.lamp.key
	without := (float64(t.ambient.Shadow) - flash*float64(t.ambient.Key)) * e.seconds / float64(e.need)
	// Shadow over key side, exposed the least and the most that there may be.
	one, other := flash+without/s.solver.least, flash+without/s.solver.most
	return min(one, other)*s.softest <= 1 && max(one, other)*s.hard >= 1
}

// surroundings are those of a method at a minute.
func (c *Scout) surroundings(m shoot.Method, at *Sight, k int) surroundings {
	kind := kindOf(m)
	if !at.known[k][kind] {
		at.around[k][kind], at.known[k][kind] = c.solver.under(m, &at.moments[k]), true
	}
	return at.around[k][kind]
}

// gel is the one for a minute alone.
func (c *Scout) gel(m shoot.Method, at *Sight, k int) Gel {
	if !m.UsesFlash() {
		return Gel{}
	}
	light := 0
	if m.UsesShade() {
		light = 1
	}
	if !at.gelled[k][light] {
		at.gels[k][light], at.gelled[k][light] = c.solver.gel(c.solver.keyColour(m, &at.moments[k])), true
	}
	return at.gels[k][light]
}

// Merits returns 1 or 0 for whether a picture can be held, not only softer, at
// a minute and for whether one has comfortable headroom.
func (c *Scout) Merits(m shoot.Method, at *Sight, angle int) (held, comfortable float64) {
	asked := c.terms
	defer func() { c.terms = asked }()
	c.terms.Held = true
	held = share(c.Holds(m, at, angle, &Found{}) == AllMet)
	c.terms = asked
	c.terms.Headroom = max(c.terms.Headroom, Comfortable)
	return held, share(c.Holds(m, at, angle, &Found{}) == AllMet)
}
