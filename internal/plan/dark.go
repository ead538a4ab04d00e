package plan

import (
	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// In deep dusk and at night the flash at its lowest power gives more than the
// moment asks for, or the moment asks for less than camera and lens expose. Where
// nothing comes out there, and the look is a ratio, which asks of the background
// only that it is no brighter than a limit, darker settings are the last resort:
// the face is the flash's, and the background as dark as it comes.

// tooDim reports whether the flash in front of a moment is too strong for it at a
// program's settings, or the moment too dark for them, so that darker settings
// may help.
func (v *Solver) tooDim(t *task, p program) bool {
	if t.bare || v.shoot.Look.Kind != shoot.RatioLook {
		return false
	}
	if p.darkest().Minus(t.target) > v.within {
		return true
	}
	near := p.near(t.target, v.within)
	for i := range near {
		e := &near[i]
		wanted, fill := v.wanted(t, e), exposure.LuxSeconds(0)
		if t.fill.there {
			wanted, fill = v.wantedPair(t, e)
		}
		if tooStrong(v.shoot.Flash.Unit, t.available(e), wanted) {
			return true
		}
		if t.fill.there && tooStrong(v.shoot.Fill.Unit, t.fill.available(e), fill) {
			return true
		}
	}
	return false
}

// tooStrong reports whether a flash that gives so much at full power gives more at
// its lowest than is wanted, where anything is.
func tooStrong(unit *flash.Unit, available, wanted exposure.LuxSeconds) bool {
	return wanted > 0 && available*exposure.LuxSeconds(unit.LowestPower.Fraction()) > wanted
}

// beyond returns the settings of a program for more light than a moment asks.
func (p program) beyond(target exposure.EV) []setting {
	list := p.from(target, p.brightest())
	if !above(list[len(list)-1], target) {
		return nil
	}
	return list
}

// exposed appends the pictures at a setting that expose the key side within the
// tolerance by flash, however little of it the moment asks for.
func (v *Solver) exposed(list []choice, t *task, e *setting) []choice {
	list = v.byFlash(list, t, e)
	if t.fill.there && (t.flash > 0 || t.fill.flash > 0) {
		list = v.pairPowers(list, t, e)
	}
	return list
}

// darker returns the best of the pictures at darker settings, of equals the one
// nearest to what the moment asks; false where none comes out, or none is needed.
func (v *Solver) darker(t *task, p program) (best choice, found bool) {
	if !v.tooDim(t, p) {
		return best, false
	}
	best.outcome = Missed
	var room [mostPowers]choice
	settings := p.beyond(t.target)
	for i := range settings {
		list := v.exposed(room[:0], t, &settings[i])
		for n := range list {
			c := &list[n]
			if c.outcome < best.outcome || found && c.ev == best.ev && c.better(&best) {
				best, found = *c, true
			}
		}
		if best.outcome == Held {
			break
		}
	}
	return best, found
}

// runningDarker lists the pictures at darker settings for a minute of a run: from
// the best that is nearest to what the moment asks as far up as a run's settings
// lie apart elsewhere; soft those that are softer too.
func (v *Solver) runningDarker(j *job, p program, soft bool) []choice {
	t := &j.task
	best, found := v.darker(t, p)
	if !found {
		return nil
	}
	high := best.ev + (brighterBy+darkerBy)*v.near()
	var list []choice
	for _, e := range p.from(best.ev, high) {
		list = v.comingOut(list, t, &e, best.outcome)
	}
	if !soft {
		return list
	}
	for _, e := range p.beyond(t.target) {
		if e.ev < best.ev {
			list = v.comingOut(list, t, &e, Softer)
		}
	}
	for i := range list {
		list[i].lesser = list[i].outcome > best.outcome
	}
	return list
}

// floor returns the highest exposure value that the minutes of a run need of those
// that come out at darker settings only, and reports whether there are any.
func (v *Solver) floor(jobs []job, p program) (floor exposure.EV, dark bool) {
	var room [48]choice
	for i := range jobs {
		if c, is := v.pick(room[:0], p, &jobs[i].task); is && (!dark || c.ev > floor) {
			floor, dark = c.ev, true
		}
	}
	return floor, dark
}

// andDarker appends to the pictures of a minute those by flash at settings darker
// than asked, up to the floor that the run comes to rest on, so that a flash may fire
// before it must and no control turns back once it does.
func (v *Solver) andDarker(list []choice, j *job, p program, floor exposure.EV) []choice {
	t := &j.task
	if t.bare || v.shoot.Look.Kind != shoot.RatioLook {
		return list
	}
	best := list[0].outcome
	for i := range list {
		best = min(best, list[i].outcome)
	}
	for _, e := range p.beyond(t.target) {
		if e.ev > floor+(brighterBy+darkerBy)*v.near() {
			break
		}
		n := len(list)
		list = v.comingOut(list, t, &e, Softer)
		for i := n; i < len(list); i++ {
			list[i].needless, list[i].lesser = true, list[i].outcome > best
		}
	}
	return list
}

// comingOut appends the pictures at a setting that come out as well as worst.
func (v *Solver) comingOut(list []choice, t *task, e *setting, worst Outcome) []choice {
	for _, c := range v.exposed(nil, t, e) {
		if c.outcome <= worst {
			list = append(list, c)
		}
	}
	return list
}

// pick returns the best choice of a program, where nothing comes out about what the
// moment asks a darker one, and whether it is that.
func (v *Solver) pick(list []choice, p program, t *task) (choice, bool) {
	c := nearestLook(v.choices(list, p, t))
	if c.outcome != Missed {
		return c, false
	}
	if dark, found := v.darker(t, p); found {
		return dark, true
	}
	return c, false
}

// approachDarker considers what exposes the key side at settings still darker than
// those about the asked exposure value, and the flash's lowest power at the end.
func (v *Solver) approachDarker(t *task, p program, consider func(choice)) {
	if !v.tooDim(t, p) {
		return
	}
	settings := p.beyond(t.target)
	for i := range settings {
		for _, c := range v.exposed(nil, t, &settings[i]) {
			consider(c)
		}
	}
	if n := len(settings); n > 0 {
		e := &settings[n-1]
		consider(v.try(t, e, fired(v.shoot.Flash.Unit.LowestPower, t.available(e)), shot{}))
	}
}

// lost is why a picture in the dark misses a ratio, where it is not underexposed; nil
// where it is overexposed by more than a flash's lowest power.
func (v *Solver) lost(c *choice) *Problem {
	switch over := c.off.exposure; {
	case over > v.within && !v.lowest(c):
		return nil
	case over > v.within:
		return &Problem{TooStrong, over}
	case c.off.ratio > v.within:
		return &Problem{TooHard, c.off.ratio}
	case c.off.ratio < -mostSofter:
		return &Problem{TooFlat, -c.off.ratio}
	}
	return &Problem{CoarseClicks, max(c.off.exposure.Abs(), sky.Stops(max(0, c.off.background)))}
}

// lowest reports whether the flashes that fire do so at their lowest power.
func (v *Solver) lowest(c *choice) bool {
	at := func(s shot, unit *flash.Unit) bool { return s.light == 0 || s.power <= unit.LowestPower }
	return at(c.flash, v.shoot.Flash.Unit) && (c.fill.light == 0 || at(c.fill, v.shoot.Fill.Unit))
}
