package plan

import (
	"context"
	"math"
	"slices"
	"sort"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// The camera's exposure value stays near what each moment alone asks, so that
// the background stays a part of the picture: it may be so much brighter than
// asked, or darker, in tolerances. Darker is the safe side: the flash makes up
// for it. Where cues come in finer steps than usual it stays nearer.
const (
	brighterBy = 1
	darkerBy   = 2
)

// mostPowers is how many clicks of power are weighed at a setting.
const mostPowers = 12

// What a move costs, in cues. To move at all is one; the rest keeps a cue to
// what two hands do at once, in one direction while the light goes one way.
var moves = struct {
	further  float64 // for each further control that moves with the first
	third    float64 // for each beyond the second
	leap     float64 // for each further step of the camera's exposure value
	back     float64 // for a camera control that turns back
	softer   float64 // for each minute that is softer where it could be held, so that none does
	powerUp  float64 // for a flash that turns back
	miss     float64 // for each minute, by the square of what the picture is off by, in stops
	needless float64 // for each minute of flash where another setting does without
}{further: 0.1, third: 8, leap: 0.8, back: 3000, softer: 30, powerUp: 2, miss: 0.01, needless: 0.05}

// hold solves every minute of a run: of the pictures that come out as well as
// any at their minute it takes the path with the fewest and the smallest moves,
// with full foresight. Where a control would turn back while the light goes one
// way, softer pictures are weighed too, then darker ones. Where the sky has one case only, a run
// follows the one it is like; what is past of it stands. Once the context ends
// they are left unsolved.
func (v *Solver) hold(ctx context.Context, r, like *Run, list []stretch, done *past) {
	jobs := make([]job, len(r.Minutes))
	for i := range r.Minutes {
		if ctx.Err() != nil {
			return
		}
		m := &r.Minutes[i]
		jobs[i] = v.job(r.Method, m.Moment, r.Gel)
		v.at(&jobs[i], r.angleAt(m.Time, list))
	}
	was, past := done.run(r.Method, r.Case), done.minutes(r)
	settled := make([]*Solution, len(jobs))
	var before program
	if was != nil {
		before = was.line
	}
	for i := range settled {
		switch {
		case i < past:
			settled[i] = &was.Minutes[i].Solution
		case like != nil && r.Minutes[i].Condition.Cases() == 1:
			settled[i] = &like.Minutes[i].Solution
		}
	}
	r.line = v.line(ctx, jobs[min(past, len(jobs)-1):], before)
	for i := range jobs {
		jobs[i].ways = programs{r.line}
	}
	route := v.route(ctx, jobs, settled, r.line, weighed{})
	if route.cost >= moves.back {
		route = v.route(ctx, jobs, settled, r.line, weighed{softer: true})
	}
	if route.cost >= moves.back {
		if floor, dark := v.floor(jobs, r.line); dark {
			route = v.route(ctx, jobs, settled, r.line, weighed{softer: true, dark: true, floor: floor})
		}
	}
	for i, c := range route.pictures {
		if i < past {
			r.Minutes[i].Solution = was.Minutes[i].Solution
			continue
		}
		r.Minutes[i].Solution = v.solution(&jobs[i], c)
	}
}

// weighed says what is weighed at a minute besides the pictures that come out as
// well as any.
type weighed struct {
	softer bool        // those that are softer where others hold
	dark   bool        // those by flash at darker settings, up to the floor
	floor  exposure.EV // that the camera stays at in the dark
}

// route is one way through the minutes of a run, and what it costs in cues.
type route struct {
	pictures []choice
	cost     float64
}

// route returns the cheapest, through the settings that are settled for some
// minutes.
// Once the context ends it has no pictures.
func (v *Solver) route(ctx context.Context, jobs []job, settled []*Solution, line program, also weighed) route {
	steps := make([]step, len(jobs))
	trend := trends(jobs)
	for i := range jobs {
		if ctx.Err() != nil {
			return route{}
		}
		if settled[i] != nil {
			steps[i].running = []choice{v.again(&jobs[i], settled[i])}
		} else {
			steps[i].running = v.running(&jobs[i], line, also)
		}
		if i == 0 {
			steps[i].begin()
		} else {
			steps[i].link(&steps[i-1], trend[i], v.step())
		}
	}
	last := steps[len(steps)-1].sum
	at := cheapest(last)
	p := route{make([]choice, len(steps)), last[at]}
	for i := len(steps) - 1; i >= 0; i-- {
		p.pictures[i] = steps[i].running[at]
		at = steps[i].from[at]
	}
	return p
}

// line chooses the program for a run: of those the method has the one that
// holds the most minutes, then comes out softer at the most, then with the fewest
// darker settings, and of equals the one followed before, else the first.
func (v *Solver) line(ctx context.Context, jobs []job, before program) program {
	ways := v.together(jobs)
	if before != nil {
		ways = append(programs{before}, ways...)
	}
	best, most := 0, tally{held: -1}
	for n, p := range ways {
		var t tally
		for i := range jobs {
			if ctx.Err() != nil {
				return p
			}
			j := &jobs[i]
			var room [48]choice
			c, dark := v.pick(room[:0], p, &j.task)
			t.add(v.outcome(j, &c), dark)
		}
		if t.more(&most) > 0 {
			best, most = n, t
		}
	}
	return ways[best]
}

// step is the most that the camera's exposure value moves by at a cue: as the
// shoot has it, or a click where that is coarser.
func (v *Solver) step() exposure.EV {
	return exposure.EV(max(float64(v.shoot.Pace.Step()), v.shoot.Camera.Click.Stops(), v.shoot.Camera.ISOClick.Stops()))
}

// near is how far the camera's exposure value may lie from what a moment asks,
// on the brighter side: a tolerance, with finer steps in proportion less.
func (v *Solver) near() exposure.EV {
	return min(v.step()/darkerBy, exposure.EV(v.within))
}

// trends tells for each minute which way the light goes that the camera has to
// expose: -1 down, +1 up. It turns where the light has gone a tolerance back.
func trends(jobs []job) []float64 {
	list := make([]float64, len(jobs))
	last := 0 // the minute of the latest extreme
	trend := 0.0
	for i := range jobs {
		t := jobs[i].task.target
		off := float64(t - jobs[last].task.target)
		switch {
		case trend == 0 && math.Abs(off) > float64(usualTolerance), off*trend < -float64(usualTolerance):
			trend = math.Copysign(1, off)
			for k := last + 1; k <= i; k++ {
				list[k] = trend
			}
			last = i
		case off*trend > 0:
			last = i
		}
		list[i] = trend
	}
	return list
}

// running lists the pictures of a minute that come out as well as any within
// one program, and those that are weighed besides; where none succeeds, farther from the asked exposure value, and
// at last those that come nearest.
func (v *Solver) running(j *job, p program, also weighed) []choice {
	const rounding = 1e-9
	within := exposure.EV(v.within)
	for far := exposure.EV(0); far+darkerBy*v.near() <= farthest*within+rounding; far += within {
		low := j.task.target - brighterBy*v.near() - far
		high := j.task.target + darkerBy*v.near() + far
		if v.shoot.Look.Kind == shoot.BackgroundLook {
			high = j.task.target + exposure.EV(v.within)
		}
		if list := v.successes(j, p.from(low, high), also.softer); len(list) > 0 {
			if also.dark {
				list = v.andDarker(list, j, p, also.floor)
			}
			return list
		}
	}
	if list := v.runningDarker(j, p, also.softer); len(list) > 0 {
		return list
	}
	return v.nearly(j, p)
}

// farthest is how far above the asked exposure value settings are tried, in
// tolerances: the range is widened by one at a time.
const farthest = 4

// successes lists the pictures of some settings that come out as well as any,
// soft those that are softer too.
// At a setting that succeeds without flash there is none with it; one that
// needs it is marked where another setting does without.
func (v *Solver) successes(j *job, settings []setting, soft bool) []choice {
	var list []choice
	best, bare := Missed, false
	for i := range settings {
		powers := v.powers(&j.task, &settings[i])
		without := powers[0].outcome
		for n, c := range powers {
			if c.outcome == Missed || c.outcome > best && !soft || n > 0 && c.outcome >= without {
				continue
			}
			if c.outcome < best && !soft {
				list, bare = list[:0], false
			}
			best, bare = min(best, c.outcome), bare || c.role == None
			list = append(list, c)
		}
	}
	for i := range list {
		list[i].needless = bare && list[i].role != None
		list[i].lesser = list[i].outcome > best
	}
	return list
}

// powers returns a setting without flash, and with each power that exposes the
// key side within the tolerance.
func (v *Solver) powers(t *task, e *setting) []choice {
	list := []choice{v.try(t, e, shot{}, shot{})}
	if t.fill.there {
		return v.pairPowers(list, t, e)
	}
	if t.flash <= 0 {
		return list
	}
	return v.byFlash(list, t, e)
}

// byFlash appends the pictures at a setting with each power of the flash that
// exposes the key side within the tolerance.
func (v *Solver) byFlash(list []choice, t *task, e *setting) []choice {
	exposing(v.shoot.Flash.Unit, t.available(e), v.room(t, e, t.lamp), func(flash shot) bool {
		if under, _ := v.underOver(t, e, flash, shot{}); under {
			return false
		}
		c := v.try(t, e, flash, shot{})
		if c.off.exposure < -v.within {
			return false
		}
		c.headroom = -flash.power.Stops()
		list = append(list, c)
		return true
	})
	return list
}

// room is the light that a flash at a place may give at a setting until the key
// side is over the tolerance; 0 or less for none.
func (v *Solver) room(t *task, e *setting, at lamp) exposure.LuxSeconds {
	if at.key <= 0 {
		return 0
	}
	need := float64(e.need) * (v.shoot.Look.Bias + v.within).Factor()
	return exposure.LuxSeconds((need - float64(t.ambient.Key)*e.seconds) / at.key)
}

// exposing goes down through the powers of a flash from the clicks about the
// one that gives the most light asked for, as long as try says so.
func exposing(unit *flash.Unit, available, most exposure.LuxSeconds, try func(shot) bool) {
	if most <= 0 || available <= 0 {
		return
	}
	lower, upper := unit.About(sky.StopsOf(float64(available / most)))
	for power, n := upper, 0; power >= unit.LowestPower && n < mostPowers; n++ {
		if !try(fired(power, available)) {
			return
		}
		if power == upper && lower < upper {
			power = lower
			continue
		}
		power -= flash.Power(unit.Click)
	}
}

// nearlyAs is by how much a missed picture may lie farther from the look than
// the nearest to be kept for the sake of fewer moves.
const nearlyAs = 0.35

// nearly lists the pictures that come about as near as any to a look that is
// missed.
func (v *Solver) nearly(j *job, p program) []choice {
	const most = 16
	least := math.Inf(1)
	var list []choice
	for _, far := range [...]bool{false, true} {
		v.approach(j, p, far, func(c choice) {
			if miss := v.distance(&c); miss <= least+nearlyAs {
				list = append(list, c)
				least = min(least, miss)
			}
		})
		if len(list) > 0 {
			break
		}
	}
	list = slices.DeleteFunc(list, func(c choice) bool { return v.distance(&c) > least+nearlyAs })
	sort.SliceStable(list, func(i, j int) bool { return v.distance(&list[i]) < v.distance(&list[j]) })
	return list[:min(len(list), most)]
}

// step is one minute on the path: its pictures, the cost of the cheapest way to
// each, and where that way comes from.
type step struct {
	running []choice
	sum     []float64
	from    []int
}

func (s *step) begin() {
	s.sum, s.from = make([]float64, len(s.running)), make([]int, len(s.running))
	for i := range s.running {
		s.sum[i] = moves.miss * s.running[i].miss
		if s.running[i].needless {
			s.sum[i] += moves.needless
		}
		if s.running[i].lesser {
			s.sum[i] += moves.softer
		}
	}
}

// link finds the cheapest way to each picture from the minute before.
func (s *step) link(before *step, trend float64, by exposure.EV) {
	s.begin()
	for i := range s.running {
		least := math.Inf(1)
		for k := range before.running {
			if before.sum[k] >= least {
				continue
			}
			if way := before.sum[k] + motion(&before.running[k], &s.running[i], trend, by); way < least {
				least, s.from[i] = way, k
			}
		}
		s.sum[i] += least
	}
}

// cheapest returns where the least cost stands.
func cheapest(costs []float64) int {
	at, least := 0, math.Inf(1)
	for i, c := range costs {
		if c < least {
			at, least = i, c
		}
	}
	return at
}

// turnsBack reports whether a flash gives more while the light falls, or less
// while it rises.
func (s shot) turnsBack(to shot, trend float64) bool {
	return s.light > 0 && to.light > 0 && float64(to.power-s.power)*trend < 0
}

// by is how far a flash is moved, 0 where it is switched on or off.
func (s shot) by(to shot) flash.Power {
	if s.light == 0 || to.light == 0 {
		return 0
	}
	return to.power - s.power
}

// motion weighs what has to be moved between two pictures, in cues, while the
// light goes one way: trend is -1 while it falls, and by the camera's step. A
// filter and the ISO that moves with it count as one control, and so do flash and
// fill moved alike, by one dial of a radio trigger: common practice, no source.
func motion(a, b *choice, trend float64, by exposure.EV) float64 {
	n := 0
	if a.Aperture != b.Aperture {
		n++
	}
	if a.Shutter != b.Shutter {
		n++
	}
	if a.ISO != b.ISO || a.ND != b.ND {
		n++
	}
	key, fill := !a.flash.same(b.flash), !a.fill.same(b.fill)
	moved := a.flash.by(b.flash)
	together := key && fill && moved != 0 && moved == a.fill.by(b.fill)
	if key {
		n++
	}
	if fill && !together {
		n++
	}
	if n == 0 {
		return 0
	}
	cost := 1 + moves.further*float64(n-1) + moves.third*float64(max(0, n-2))
	if together {
		cost += moves.further
	}
	camera := float64(b.ev - a.ev)
	if camera*trend < -1e-6 {
		cost += moves.back
	}
	if a.flash.turnsBack(b.flash, trend) || a.fill.turnsBack(b.fill, trend) {
		cost += moves.powerUp
	}
	if leaps := math.Ceil(math.Abs(camera)/float64(by)-1e-6) - 1; leaps > 0 {
		cost += moves.leap * leaps
	}
	return cost
}
