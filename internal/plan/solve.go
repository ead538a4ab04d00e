package plan

import (
	"fmt"
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// tolerance is how far exposure and ratio may lie from the look after
// rounding to the clicks of camera and flash: half a click in thirds.
const tolerance sky.Stops = 1. / 6

// reach is how far from the wanted exposure settings are tried.
const reach sky.Stops = 0.5

// Solver solves one shoot. It does not change after NewSolver, so several
// goroutines may share it.
type Solver struct {
	shoot *shoot.Shoot
	full  exposure.LuxSeconds // of the flash at full power at the subject, without a gel
	sync  []programs          // up to the sync speed: no filter, then each, weakest first
	hss   []programs          // up to the camera's fastest, likewise
}

// programs are the ways of working with one filter and one range of shutter
// times, in the order they are tried: the usual one; a brisk one whose shutter
// never is slower than the sync speed, so that the ISO rises sooner and a flash
// that is too weak against the ambient light of a slow shutter may be strong
// enough; and, for a flash with coarse clicks at or below the sync speed, ones
// whose shutter stays some clicks under it, which trims the ambient light
// against the flash.
type programs []program

func newPrograms(s *shoot.Shoot, fastest exposure.Shutter, nd sky.Stops) programs {
	brisk := s.Lens
	brisk.Slowest = s.Camera.Sync
	list := programs{newProgram(s, &s.Lens, fastest, nd), newProgram(s, &brisk, fastest, nd)}
	if fastest > s.Camera.Sync {
		return list
	}
	for by := s.Camera.Click; by < s.Flash.Unit.Click; by += s.Camera.Click {
		list = append(list, newProgram(s, &s.Lens, fastest-exposure.Shutter(by), nd))
	}
	return list
}

// NewSolver works out what does not depend on the moment.
func NewSolver(s *shoot.Shoot) *Solver {
	v := &Solver{
		shoot: s,
		full:  fullBare(&s.Flash),
	}
	for _, f := range append([]shoot.Filter{{}}, s.Filters...) {
		v.sync = append(v.sync, newPrograms(s, s.Camera.Sync, f.Loss))
		v.hss = append(v.hss, newPrograms(s, s.Camera.Fastest, f.Loss))
	}
	return v
}

// task is the light of one moment under one method, and what the look asks.
type task struct {
	ambient    scene.Ambient
	backdrop   exposure.EV // of the sky behind the subject
	background exposure.EV // of what stands behind the subject: that sky, or a landscape
	// target is what the camera exposes normally, were there no clicks.
	target exposure.EV
	role   Role
	added  sky.Lux // what the flash has to add, as a steady light
	gel    Gel
	full   exposure.LuxSeconds // of the flash at full power, through the gel
}

// task works out what the look asks of the flash and the camera.
func (v *Solver) task(a scene.Ambient, l *sky.Light) task {
	look := &v.shoot.Look
	t := task{
		ambient: a, gel: v.gel(l), backdrop: exposure.Reflected(l.Backdrop),
		background: exposure.Reflected(v.shoot.Subject.Background.Luminance(l)),
	}
	t.full = v.full * exposure.LuxSeconds((-t.gel.Loss).Factor())
	if look.Kind == shoot.DarkSky {
		t.target = t.backdrop.Plus(look.Dark)
		if need := t.target.Plus(look.Bias).Lux(); need > a.Face {
			t.role, t.added = Key, need-a.Face
		}
		return t
	}
	t.role, t.added = fillOrKey(a.Lit, a.Shade, look.Ratio)
	t.target = exposure.Incident(a.Lit + t.added).Plus(-look.Bias)
	return t
}

// gel returns the gel on the flash: the shoot's, or where its colour is to go
// by the light, the one of those carried that comes nearest. The light is
// that of the lit side, the sun's while it is out.
func (v *Solver) gel(l *sky.Light) Gel {
	if v.shoot.Wish.Kind == flash.AnyColour {
		return Gel{Gel: v.shoot.Flash.Gel}
	}
	lamp := v.shoot.Flash.Unit.ColourTemperature()
	want, ok := v.shoot.Wish.Target(l.Colour().Lit)
	if !ok {
		return Gel{}
	}
	g, left := flash.Nearest(v.shoot.Gels, lamp, want)
	return Gel{g, left}
}

// fillOrKey returns what the flash has to add, as a steady light, to bring
// lit and shade to the ratio. Above the ratio it fills, from the camera, lit
// and shade alike; below it is the key, on the lit side alone. What it adds
// runs through zero where the two meet.
func fillOrKey(lit, shade sky.Lux, ratio float64) (Role, sky.Lux) {
	r := sky.Lux(ratio)
	switch {
	case lit > r*shade:
		return Fill, (lit - r*shade) / (r - 1)
	case lit < r*shade:
		return Key, r*shade - lit
	}
	return None, 0
}

// choice is a task solved with one set of clicks.
type choice struct {
	entry
	role     Role
	power    flash.Power
	added    exposure.LuxSeconds
	ratio    float64
	exposure sky.Stops
	off      sky.Stops // how far the ratio, or the sky, lies from the look
	way      int       // how late its program stands in the order to be tried
	weaker   int       // how many filters weaker than the one to begin with
	headroom sky.Stops // of the power wanted at this setting; 0 without flash
}

// holds tells whether the look is held so near, with no more than the flash
// has.
func (c *choice) holds(within sky.Stops) bool {
	return c.headroom >= 0 && c.exposure.Size() <= within && c.off.Size() <= within
}

// cost is what rounding makes the look miss by, squared, and a little for a
// program that is not the usual one.
func (c *choice) cost() float64 {
	const unusual = 0.001 // as much as a miss of 0.03 stop
	return float64(c.exposure*c.exposure+c.off*c.off) + unusual*float64(c.way)
}

// available returns what the flash gives at full power at a setting: in
// high-speed sync, above the sync speed, a part of it.
func (t *task) available(e *entry) exposure.LuxSeconds {
	return t.full * exposure.LuxSeconds(e.caught)
}

// try works out what comes of a setting with the flash adding some light.
func (v *Solver) try(t *task, e *entry, role Role, power flash.Power, added exposure.LuxSeconds) choice {
	look := &v.shoot.Look
	s := e.seconds
	lit, shade, face := float64(t.ambient.Lit)*s, float64(t.ambient.Shade)*s, float64(t.ambient.Face)*s
	c := choice{entry: *e, role: role, power: power, added: added}
	f := float64(added)
	main := lit + f // the key side
	if look.Kind == shoot.DarkSky {
		main = face + f
	}
	c.ratio = main / shade
	if role == Fill {
		c.ratio = main / (shade + f)
	}
	c.exposure = sky.StopsOf(main/float64(e.need)) - look.Bias
	if look.Kind == shoot.DarkSky {
		c.off = t.backdrop.Minus(e.ev) + look.Dark
	} else {
		c.off = sky.StopsOf(c.ratio / look.Ratio)
	}
	return c
}

// choices appends what may be chosen for the task within one program: for
// every setting near the target, no flash and the two clicks of power about
// the one wanted.
func (v *Solver) choices(list []choice, p program, t *task) []choice {
	unit := v.shoot.Flash.Unit
	for _, e := range p.near(t.target, reach) {
		list = append(list, v.try(t, &e, None, 0, 0))
		if t.role == None {
			continue
		}
		available := t.available(&e)
		headroom := sky.StopsOf(float64(available / v.wanted(t, &e)))
		lower, upper := unit.About(headroom)
		for _, power := range [2]flash.Power{lower, upper} {
			added := available * exposure.LuxSeconds(power.Fraction())
			c := v.try(t, &e, t.role, power, added)
			c.headroom = headroom
			list = append(list, c)
		}
	}
	return list
}

// wanted returns what the flash has to add at a setting. With a ratio the
// flash goes with the ambient light that the shutter lets in; with a dark sky
// it makes up what the setting needs.
func (v *Solver) wanted(t *task, e *entry) exposure.LuxSeconds {
	if v.shoot.Look.Kind == shoot.DarkSky {
		need := e.need * exposure.LuxSeconds(v.shoot.Look.Bias.Factor())
		return max(0, need-exposure.LuxSeconds(float64(t.ambient.Face)*e.seconds))
	}
	return exposure.LuxSeconds(float64(t.added) * e.seconds)
}

// ways lists the programs that the method may use for the task, in the order
// they are to be tried: with filters the weakest that keeps the wanted
// aperture, then the ones weaker still, under which the aperture closes.
func (v *Solver) ways(m shoot.Method, t *task, list []programs) []programs {
	all := v.sync
	if m.UsesHighSpeed() && v.shoot.Flash.Unit.HighSpeed {
		all = v.hss
	}
	n := 0 // the filter to begin with; 0 is none
	if m.UsesFilter() {
		for n < len(all)-1 && t.target > all[n][0].keeps(v.shoot.Lens.Wanted)+exposure.EV(tolerance) {
			n++
		}
	}
	for ; n >= 0; n-- {
		list = append(list, all[n])
	}
	return list
}

// search returns the choices of the first program that has one that holds the
// look; failing all, those of the first program. The list's room is used.
func (v *Solver) search(j *job, room []choice) (list []choice, holds bool) {
	for _, way := range j.ways {
		for _, p := range way {
			list = v.choices(room, p, &j.task)
			if _, ok := best(list); ok {
				return list, true
			}
		}
	}
	return v.choices(room, j.ways[0][0], &j.task), false
}

// every returns the choices of all programs that hold the look; where none
// does, the best of the first program.
func (v *Solver) every(j *job, within sky.Stops) []choice {
	var list []choice
	n := 0
	for weaker, way := range j.ways {
		for _, p := range way {
			for _, c := range v.choices(nil, p, &j.task) {
				if c.holds(within) {
					c.way, c.weaker = n, weaker
					list = append(list, c)
				}
			}
			n++
		}
	}
	if len(list) == 0 {
		c, _ := best(v.choices(nil, j.ways[0][0], &j.task))
		list = append(list, c)
	}
	return list
}

// Moment is what a method has to work with.
type Moment struct {
	Sun    sky.Sun
	Facing sky.Angle
	Light  sky.Light
}

// under returns the ambient light on the subject under a method, whether the
// scrim is up, and whether it fails to shade the figure. The scrim is put
// down when no sun is left to keep off.
func (v *Solver) under(m shoot.Method, at *Moment) (a scene.Ambient, up, missed bool) {
	s := v.shoot.Scrim
	if !m.UsesScrim() || s == nil || at.Light.DirectNormal <= 0 {
		return scene.Open(&at.Light), false, false
	}
	a, covered := s.Under(&at.Light, at.Sun, at.Facing, v.shoot.Subject.Figure)
	return a, true, !covered
}

// job is one method at one moment, ready to be solved.
type job struct {
	method  shoot.Method
	at      *Moment
	task    task
	up      bool
	problem *Problem // that no setting can cure
	ways    []programs
}

func (v *Solver) job(m shoot.Method, at *Moment, room []programs) job {
	a, up, missed := v.under(m, at)
	j := job{method: m, at: at, up: up, task: v.task(a, &at.Light)}
	switch {
	case m.UsesScrim() && v.shoot.Scrim == nil:
		j.problem = &Problem{Kind: NoScrim, Text: "no scrim is carried"}
	case m.UsesFilter() && len(v.shoot.Filters) == 0:
		j.problem = &Problem{Kind: NoFilter, Text: "no neutral-density filter is carried"}
	case m.UsesHighSpeed() && !v.shoot.Flash.Unit.HighSpeed:
		j.problem = &Problem{Kind: NoHighSpeed, Text: "the flash has no high-speed sync"}
	case missed:
		j.problem = &Problem{Kind: ShadowMissed, Text: "the scrim's shadow does not cover the " + v.shoot.Subject.Figure.Name}
	}
	j.ways = v.ways(m, &j.task, room)
	return j
}

// best returns the choice nearest the look, and whether it holds it.
func best(list []choice) (choice, bool) {
	b, found := list[0], list[0].holds(tolerance)
	for _, c := range list[1:] {
		if h := c.holds(tolerance); h == found && c.cost() < b.cost() || h && !found {
			b, found = c, h
		}
	}
	return b, found
}

// Solve returns the best solution of one method at one moment, without cures.
func (v *Solver) Solve(m shoot.Method, at *Moment) Solution {
	var room [24]choice
	var ways [4]programs
	j := v.job(m, at, ways[:0])
	list, _ := v.search(&j, room[:0])
	c, _ := best(list)
	return v.solution(&j, c, tolerance)
}

// Holds tells whether a method can hold the look at one moment: Solve, when
// nothing else is asked.
func (v *Solver) Holds(m shoot.Method, at *Moment) bool {
	var room [24]choice
	var ways [4]programs
	j := v.job(m, at, ways[:0])
	if j.problem != nil {
		return false
	}
	list, ok := v.search(&j, room[:0])
	if !ok || v.shoot.Rim == nil {
		return ok
	}
	c, _ := best(list)
	_, p := v.rim(&c.entry)
	return p == nil
}

// solution makes a choice into an answer.
func (v *Solver) solution(j *job, c choice, within sky.Stops) Solution {
	p := j.problem
	if p == nil && !c.holds(within) {
		p = v.diagnose(j, &c)
		if p.Kind == TooWeak {
			if most := v.makeDo(j); most.headroom < 0 {
				c, p = most, tooWeak(-most.headroom)
			}
		}
	}
	var rim *RimFlash
	if v.shoot.Rim != nil {
		var trouble *Problem
		if rim, trouble = v.rim(&c.entry); p == nil {
			p = trouble
		}
	}
	s := Solution{
		Method: j.method, Feasible: p == nil, Problem: p, RimFlash: rim,
		Ambient: j.task.ambient, ScrimUp: j.up, Settings: c.Settings,
		Role: c.role, Power: c.power, Added: c.added, Gel: j.task.gel,
		Ratio: c.ratio, Exposure: c.exposure,
		Background: j.task.background.Minus(c.ev),
		LitSide:    exposure.Incident(j.task.ambient.Lit).Minus(c.ev),
		Face:       v.face(j, &c),
	}
	if j.up {
		subject := &v.shoot.Subject
		s.ScrimInFrame = v.shoot.Scrim.InFrame(j.at.Sun, j.at.Facing, subject.Figure, v.shoot.Optics(c.Aperture), subject.CameraDistance)
	}
	if c.role != None {
		s.Headroom = c.headroom
		s.Recycle = v.shoot.Flash.Unit.Recycle(c.power)
	}
	return s
}

// onFace returns how much of what the flash adds falls on the face.
func (v *Solver) onFace(j *job, role Role) float64 {
	switch {
	case role == Fill, v.shoot.Look.Kind == shoot.DarkSky:
		return 1
	case role == Key:
		return max(0, math.Cos(float64(j.at.Facing-j.at.Sun.Azimuth)))
	}
	return 0
}

// face returns the face's offset from normal.
func (v *Solver) face(j *job, c *choice) sky.Stops {
	light := float64(j.task.ambient.Face)*c.seconds + v.onFace(j, c.role)*float64(c.added)
	return sky.StopsOf(light / float64(c.need))
}

// makeDo returns the nearest that a flash too weak comes to, at full power by
// whatever way is the best: with a ratio the subject exposed as wanted and the
// ratio as near as can be, with a dark sky the sky held and the subject as
// bright as can be.
func (v *Solver) makeDo(j *job) choice {
	var b choice
	least := math.Inf(1)
	for _, way := range j.ways {
		for _, p := range way {
			for i := range p {
				available := j.task.available(&p[i])
				c := v.try(&j.task, &p[i], j.task.role, 0, available)
				held, given := c.exposure, c.off
				if v.shoot.Look.Kind == shoot.DarkSky {
					held, given = given, held
				}
				// Only what cannot be held at all comes before the rest.
				const above = 100
				if miss := float64(above*max(0, held.Size()-tolerance) + given.Size()); miss < least-1e-9 {
					c.headroom = sky.StopsOf(float64(available / v.wanted(&j.task, &p[i])))
					b, least = c, miss
				}
			}
		}
	}
	return b
}

func tooWeak(by sky.Stops) *Problem {
	return &Problem{TooWeak, by, fmt.Sprintf("the flash is %s too weak", stops(by))}
}

func tooStrong(by sky.Stops, lowest flash.Power) *Problem {
	return &Problem{TooStrong, by, fmt.Sprintf("the flash gives %s too much at %s", stops(by), lowest)}
}

// diagnose says why the best choice does not hold the look.
func (v *Solver) diagnose(j *job, c *choice) *Problem {
	t := &j.task
	if miss := t.target.Minus(j.ways[0][0].brightest()); miss > tolerance {
		return &Problem{TooBright, miss, fmt.Sprintf("too much light by %s at %s, %s, ISO %s",
			stops(miss), c.Aperture, c.Shutter, c.ISO)}
	}
	if miss := j.ways[0][0].darkest().Minus(t.target); miss > tolerance {
		return &Problem{TooDark, miss, fmt.Sprintf("too dark by %s at %s, %s, ISO %s",
			stops(miss), c.Aperture, c.Shutter, c.ISO)}
	}
	if t.role == None && c.exposure > tolerance {
		return &Problem{AmbientOnFace, c.exposure, fmt.Sprintf("the face is %s above normal without flash", stops(c.exposure))}
	}
	unit := v.shoot.Flash.Unit
	headroom := sky.StopsOf(float64(t.available(&c.entry) / v.wanted(t, &c.entry)))
	surplus := headroom + unit.LowestPower.Stops() // of the lowest power
	miss := max(c.exposure.Size(), c.off.Size())
	switch {
	case headroom < 0:
		return tooWeak(-headroom)
	case surplus > 0:
		return tooStrong(surplus, unit.LowestPower)
	case c.role != None && headroom < tolerance:
		return tooWeak(miss)
	case c.role != None && surplus > -tolerance:
		return tooStrong(miss, unit.LowestPower)
	}
	return &Problem{CoarseSteps, miss, fmt.Sprintf("no click of camera and flash comes nearer than %.2f stop", miss)}
}

// stops writes a number of stops in words.
func stops(s sky.Stops) string {
	if s < 0.95 {
		// What is missing is never rounded away.
		return fmt.Sprintf("%.1f stop", max(s, 0.1))
	}
	return fmt.Sprintf("%.1f stops", s)
}
