package plan

import (
	"math"
	"sync"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Solver solves one shoot. Several goroutines may share it: its programs are laid
// out once, when they are first asked for, and nothing else changes after
// NewSolver.
type Solver struct {
	shoot   *shoot.Shoot
	within  sky.Stops // tolerance of the look
	least   float64   // of the light that a normal exposure needs, on the key side
	most    float64
	highest sky.Sun             // of the window
	first   scene.Hand          // the key side at its start; neither before it is known
	full    exposure.LuxSeconds // of the flash at full power at the sitter, without a gel
	fill    exposure.LuxSeconds // of the fill; 0 where there is none
	burst   burst               // of the flash
	ofFill  burst
	// usual are the programs up to the sync speed, fast those up to the camera's
	// fastest, by how many of the filters carried are taken, the weakest first.
	usual, fast []laidOut
}

// laidOut are programs that are laid out when they are first asked for.
type laidOut struct {
	once     sync.Once
	programs programs
}

// programs are the ways of working with one range of shutter times, in the
// order they are tried: the usual one; a brisk one whose shutter never is
// slower than the sync speed, so that the ISO rises sooner and a flash that is
// too weak for a low ISO may be strong enough; and, for a flash with coarse
// clicks at or below the sync speed, ones whose shutter stays some clicks under
// it, which trims the ambient light against the flash.
type programs []program

func newPrograms(s *shoot.Shoot, fastest exposure.Shutter, filters []shoot.Filter) programs {
	brisk := s.Lens
	brisk.Slowest = s.Camera.Sync
	list := programs{newProgram(s, &s.Lens, fastest, filters), newProgram(s, &brisk, fastest, filters)}
	if fastest > s.Camera.Sync {
		return list
	}
	for by := s.Camera.Click; by < s.Flash.Unit.Click; by += s.Camera.Click {
		if slower := fastest - exposure.Shutter(by); slower >= s.Lens.Slowest {
			list = append(list, newProgram(s, &s.Lens, slower, filters))
		}
	}
	return list
}

// NewSolver works out what does not depend on the moment.
func NewSolver(s *shoot.Shoot) *Solver {
	v := &Solver{shoot: s, within: Tolerance(&s.Camera),
		usual: make([]laidOut, len(s.Filters)+1), fast: make([]laidOut, len(s.Filters)+1)}
	v.power()
	return v
}

// power works out what the flashes give at full power, and at short times, and
// between which ends the key side's exposure may lie.
func (v *Solver) power() {
	s := v.shoot
	v.least, v.most = (s.Look.Bias - v.within).Factor(), (s.Look.Bias + v.within).Factor()
	v.full, v.burst = fullBare(&s.Flash), newBurst(&s.Camera, true, s.Flash.Unit)
	v.fill, v.ofFill = 0, burst{}
	if fill := s.Fill; fill != nil {
		v.fill, v.ofFill = fullBare(&fill.Head), newBurst(&s.Camera, fill.Unit.HighSpeed, fill.Unit)
	}
}

// with returns the programs up to the sync speed or to the camera's fastest, with
// the n weakest of the filters carried.
func (v *Solver) with(fast bool, n int) programs {
	list, fastest := &v.usual[n], v.shoot.Camera.Sync
	if fast {
		list, fastest = &v.fast[n], v.shoot.Camera.Fastest
	}
	list.once.Do(func() { list.programs = newPrograms(v.shoot, fastest, v.shoot.Filters[:n]) })
	return list.programs
}

// ways lists the programs that a method may use where at the most so much light
// is to be exposed. The strongest filter of them is the weakest that keeps the
// aperture within a third of a stop of the wanted one at the lowest ISO.
func (v *Solver) ways(m shoot.Method, most exposure.EV) programs {
	s := v.shoot
	fast := s.BeyondSync(m)
	base := baseOf(s, s.Camera.Sync)
	if fast {
		base = baseOf(s, s.Camera.Fastest)
	}
	const click = usualTolerance / 2 // what rounding to a click of a third gives
	n := 0
	for m.UsesFilter() && n < len(s.Filters) && most > base.Plus(v.strongest(n)+usualTolerance+click) {
		n++
	}
	return v.with(fast, n)
}

// strongest is the loss of the strongest of the n weakest filters.
func (v *Solver) strongest(n int) sky.Stops {
	if n == 0 {
		return 0
	}
	return v.shoot.Filters[n-1].Loss
}

// task is the light of one moment under one method with the flash at one
// place, and what the look asks of it.
type task struct {
	ambient    scene.Ambient
	background exposure.EV
	known      bool // what the background is
	asked      Asked
	lamp       lamp
	angle      sky.Angle
	flash      sky.Lux     // what the flash has to add here, as a steady light square to it
	target     exposure.EV // what the camera exposes normally, were there no clicks
	full       exposure.LuxSeconds
	burst      *burst
	soft       bool // the ratio may come out lower by any amount
	bare       bool // there is no flash in front
	fill       filling
}

// place puts the flash of a task at an angle.
func (v *Solver) place(t *task, angle sky.Angle) {
	look := &v.shoot.Look
	t.angle, t.lamp = angle, lampAt(angle)
	t.flash = 0
	switch {
	case t.bare:
	case t.fill.there:
		t.flash, t.fill.flash, t.fill.alone = t.lamps().forLook(look, t.ambient.Key, t.ambient.Shadow, t.asked.ByBackground)
	default:
		t.flash = t.lamp.forLook(look, t.ambient.Key, t.ambient.Shadow, t.asked.ByBackground)
	}
	h := t.ambient.Key + t.flash*sky.Lux(t.lamp.key)
	if t.fill.there {
		h += t.fill.flash * sky.Lux(t.fill.lamp.key)
	}
	if look.Kind == shoot.BackgroundLook {
		h = t.asked.Wanted
	}
	t.target = exposure.Incident(h).Plus(-look.Bias)
}

// gel returns the gel that brings the flash nearest to a light's colour: the
// shoot's, or where its colour is to go by the light the one of those carried.
func (v *Solver) gel(light sky.Kelvin) Gel {
	if v.shoot.Wish.Kind == flash.AnyColour {
		return Gel{Gel: v.shoot.Flash.Gel}
	}
	lamp := v.shoot.Flash.Unit.ColourTemperature()
	want, ok := v.shoot.Wish.Target(light)
	if !ok {
		return Gel{}
	}
	g, left := flash.Nearest(v.shoot.Gels, lamp, want)
	return Gel{g, left, light}
}

// shot is what one flash does in a frame.
type shot struct {
	power flash.Power
	light exposure.LuxSeconds // on a plane square to it; 0 where it does not fire
}

// fired returns the shot of a flash at a power that at full power gives so much.
func fired(power flash.Power, available exposure.LuxSeconds) shot {
	return shot{power, available * exposure.LuxSeconds(power.Fraction())}
}

// same reports whether a flash is set the same in both.
func (s shot) same(as shot) bool {
	return (s.light > 0) == (as.light > 0) && (s.light == 0 || s.power == as.power)
}

// choice is a task solved with one set of clicks.
type choice struct {
	setting
	role     Role // of all flashes in front
	flash    shot
	fill     shot
	ratio    float64
	off      offsets
	outcome  Outcome
	headroom sky.Stops // of the power wanted at this setting, of two flashes the lesser; 0 without flash
	miss     float64   // what off costs
	needless bool      // flash, where another setting does without
	lesser   bool      // it is softer where another is held
}

// better reports whether a choice comes before another of its program: without
// flash where it comes out as well without.
func (c *choice) better(than *choice) bool {
	switch {
	case c.outcome != than.outcome:
		return c.outcome < than.outcome
	case c.outcome.Succeeds() && (c.role == None) != (than.role == None):
		return c.role == None
	}
	return c.miss < than.miss
}

// available returns what the flash gives at full power at a setting: in
// high-speed sync, above the sync speed, a part of it.
func (t *task) available(e *setting) exposure.LuxSeconds {
	return t.full * t.burst.caught(e.Shutter)
}

// try works out what comes of a setting with the flash and the fill.
func (v *Solver) try(t *task, e *setting, flash, fill shot) choice {
	look := &v.shoot.Look
	const rounding = 1e-12 // of a face lit alike from both sides
	near, far := float64(t.ambient.Key)*e.seconds, float64(t.ambient.Shadow)*e.seconds
	key, shadow := near+t.lamp.key*float64(flash.light), far+t.lamp.shadow*float64(flash.light)
	if fill.light > 0 {
		key, shadow = key+t.fill.lamp.key*float64(fill.light), shadow+t.fill.lamp.shadow*float64(fill.light)
	}
	c := choice{setting: *e, flash: flash, fill: fill, ratio: key / shadow}
	if flash.light > 0 || fill.light > 0 {
		c.role = Fill
		if c.ratio > near/far*(1+rounding) {
			c.role = Key
		}
	}
	c.off.exposure = sky.StopsOf(key/float64(e.need)) - look.Bias
	c.off.ratio = sky.StopsOf(c.ratio / look.Ratio)
	if t.known {
		c.off.background = t.background.Minus(e.ev) - look.Offset()
	}
	c.outcome = c.off.outcome(look.Kind, v.within, t.soft)
	c.miss = c.off.cost(look.Kind)
	return c
}

// underOver reports whether flash and fill at a setting leave the key side clearly
// under the tolerance or bring it over: what most pictures fail by, for less work.
func (v *Solver) underOver(t *task, e *setting, flash, fill shot) (under, over bool) {
	const rounding = 1e-9
	key := float64(t.ambient.Key)*e.seconds + t.lamp.key*float64(flash.light)
	if fill.light > 0 {
		key += t.fill.lamp.key * float64(fill.light)
	}
	share := key / float64(e.need)
	return share < v.least*(1-rounding), share > v.most*(1+rounding)
}

// wanted returns what the flash has to add at a setting. With a ratio it goes
// with the ambient light that the shutter lets in; with a background held it
// makes up what the setting needs.
func (v *Solver) wanted(t *task, e *setting) exposure.LuxSeconds {
	if v.shoot.Look.Kind == shoot.RatioLook || t.lamp.key <= 0 {
		return exposure.LuxSeconds(float64(t.flash) * e.seconds)
	}
	need := float64(e.need) * v.shoot.Look.Bias.Factor()
	return exposure.LuxSeconds(max(0, need-float64(t.ambient.Key)*e.seconds) / t.lamp.key)
}

// about returns the settings of a program about what a task asks for, as far off
// as the tolerance and rounding to a click may move one.
func (v *Solver) about(p program, t *task) []setting {
	const rounding = 1. / 6
	return p.near(t.target, v.within+rounding)
}

// choices appends what may be chosen for the task within one program: for
// every setting near the target no flash, and the two clicks of power about the
// one wanted.
func (v *Solver) choices(list []choice, p program, t *task) []choice {
	unit := v.shoot.Flash.Unit
	near := v.about(p, t)
	for i := range near {
		e := &near[i]
		list = append(list, v.try(t, e, shot{}, shot{}))
		if t.fill.there {
			list = v.pairs(list, t, e)
			continue
		}
		if t.flash <= 0 {
			continue
		}
		available := t.available(e)
		wanted := v.wanted(t, e)
		if wanted <= 0 {
			continue
		}
		headroom := sky.StopsOf(float64(available / wanted))
		lower, upper := unit.About(headroom)
		for _, power := range [2]flash.Power{lower, upper} {
			c := v.try(t, e, fired(power, available), shot{})
			c.headroom = headroom
			list = append(list, c)
		}
	}
	return list
}

// search returns the best choice about what the moment asks; where none comes out
// there, a darker one. The list's room is used.
func (v *Solver) search(j *job, room []choice) choice {
	b := v.searchNear(j, room)
	if b.outcome != Missed {
		return b
	}
	for _, p := range j.ways {
		if c, found := v.darker(&j.task, p); found && c.outcome < b.outcome {
			b = c
		}
	}
	return b
}

// searchNear returns the best choice about what the moment asks of the first
// program whose best comes out as well as that of any. The list's room is used.
func (v *Solver) searchNear(j *job, room []choice) choice {
	var b choice
	found := false
	for _, p := range j.ways {
		c := nearestLook(v.choices(room, p, &j.task))
		if !found || c.outcome < b.outcome {
			b, found = c, true
		}
		if b.outcome == Held {
			break
		}
	}
	return b
}

// nearestLook returns the best of some choices.
func nearestLook(list []choice) choice {
	b := &list[0]
	for i := range list[1:] {
		if c := &list[i+1]; c.better(b) {
			b = c
		}
	}
	return *b
}

// job is one method at one moment, ready to be solved.
type job struct {
	method  shoot.Method
	at      *Moment
	task    task
	gel     Gel
	around  surroundings
	problem ProblemKind // that no setting can cure; 0 for none
	ways    programs
}

// job prepares a method at a moment, with a gel on the flash; place is still
// to be called.
func (v *Solver) job(m shoot.Method, at *Moment, g Gel) job { return v.jobIn(v.under(m, at), m, at, g) }

// jobIn prepares a method in surroundings that are known.
func (v *Solver) jobIn(w surroundings, m shoot.Method, at *Moment, g Gel) job {
	a := w.ambient
	j := job{method: m, at: at, around: w, gel: g}
	look := &v.shoot.Look
	t := &j.task
	t.ambient, t.background, t.known = a, exposure.Reflected(at.Backdrop), at.Known
	t.full, t.burst = v.full*exposure.LuxSeconds((-g.Loss).Factor()), &v.burst
	t.soft, t.bare = w.up || m.UsesShade(), !m.UsesFlash()
	if !t.bare && v.shoot.Fill != nil {
		t.fill = v.filling(at, g)
	}
	t.asked = askedOf(look, a.Key, a.Shadow, t.background, t.known)
	switch {
	case m.UsesScrim() && v.shoot.Scrim == nil:
		j.problem = NoScrim
	case m.UsesReflector() && v.shoot.Reflector == nil:
		j.problem = NoReflector
	case m.UsesFilter() && len(v.shoot.Filters) == 0:
		j.problem = NoFilter
	case m.UsesHighSpeed() && !v.shoot.Flash.Unit.HighSpeed:
		j.problem = NoHighSpeed
	case m.UsesScrim() && at.Light.DirectNormal > 0 && v.tooWindy():
		j.problem = TooWindy
	case w.missed:
		j.problem = ShadowMissed
	case look.Kind == shoot.BackgroundLook && !t.known:
		j.problem = NoBackground
	}
	return j
}

// at puts the flash of the job at an angle.
func (v *Solver) at(j *job, angle sky.Angle) {
	v.place(&j.task, angle)
	j.ways = v.ways(j.method, j.task.target)
}

// together returns the programs that serve all jobs of one run.
func (v *Solver) together(jobs []job) programs {
	most := exposure.EV(math.Inf(-1))
	for i := range jobs {
		most = max(most, jobs[i].task.target)
	}
	return v.ways(jobs[0].method, most)
}

// surroundings are what a method puts about the sitter, with the ambient light
// that comes of it.
type surroundings struct {
	ambient   scene.Ambient
	up        bool // the scrim
	missed    bool // it fails to shade the figure
	reflected Reflected
}

// under returns what a method puts about the sitter. The scrim is put down when
// no sun is left to keep off, and in a wind too strong for it.
func (v *Solver) under(m shoot.Method, at *Moment) surroundings {
	s := v.shoot
	l := &at.Light
	switch {
	case m.UsesShade():
		return surroundings{ambient: s.Shade.Under(l, at.Sun, at.Stance)}
	case m.UsesReflector() && s.Reflector != nil:
		b := s.Reflector.Beside(l, at.Sun, at.Stance)
		return surroundings{ambient: b.Ambient, reflected: Reflected{
			Turn: b.Turn, Key: b.Key, Shadow: b.Shadow, InFrame: b.InFrame(at.Stance.Facing, v.camera())}}
	case m.UsesScrim() && s.Scrim != nil && l.DirectNormal > 0 && !v.tooWindy():
		a, covered := s.Scrim.Under(l, at.Sun, at.Stance, s.Subject.Figure)
		return surroundings{ambient: a, up: true, missed: !covered}
	}
	return surroundings{ambient: scene.Open(l, at.Sun, at.Stance)}
}

// best solves a job whose flash has its place.
func (v *Solver) best(j *job) choice {
	var room [48]choice
	c := v.search(j, room[:0])
	if c.outcome == Missed {
		return v.nearest(j)
	}
	return c
}

// outcome is what a job comes to, the method's own hindrances counted.
func (v *Solver) outcome(j *job, c *choice) Outcome {
	if j.problem != 0 {
		return Missed
	}
	if v.shoot.Rim != nil {
		if _, p := v.rim(&c.setting); p != nil {
			return Missed
		}
	}
	return c.outcome
}

// Solve returns the best solution of one method at one moment with the flash
// at an angle, without cures.
func (v *Solver) Solve(m shoot.Method, at *Moment, angle sky.Angle, g Gel) Solution {
	j := v.job(m, at, g)
	v.at(&j, angle)
	return v.solution(&j, v.best(&j))
}

// solution makes a choice into an answer.
func (v *Solver) solution(j *job, c choice) Solution {
	t := &j.task
	s := Solution{
		Method: j.method, Outcome: v.outcome(j, &c),
		Ambient: t.ambient, ScrimUp: j.around.up, Reflected: j.around.reflected, Settings: c.Settings,
		Role: c.role, Angle: t.angle, Power: c.flash.power, Flash: c.flash.light, Gel: j.gel,
		OnKey:    c.flash.light * exposure.LuxSeconds(t.lamp.key),
		OnShadow: c.flash.light * exposure.LuxSeconds(t.lamp.shadow),
		Ratio:    c.ratio, Exposure: c.off.exposure,
		Background: sky.Stops(math.NaN()),
		Rim:        exposure.Incident(t.ambient.Lit).Minus(c.ev),
		Face:       v.face(t, &c),
	}
	if t.known {
		s.Background = t.background.Minus(c.ev)
	}
	if c.role != None {
		s.Headroom = sky.Stops(-c.flash.power) / 6
		s.Recycle = v.shoot.Flash.Unit.Recycle(c.flash.power)
		s.FlashInFrame = v.inFrame(t.angle)
	}
	if t.fill.there {
		v.filled(&s, t, c.fill)
	}
	if v.shoot.Rim != nil {
		s.RimFlash, _ = v.rim(&c.setting)
	}
	if s.Outcome == Missed {
		s.Problem = v.diagnose(j, &c)
		if k := s.Problem.Kind; k == TooWeak || k == FillTooWeak {
			s.Headroom -= s.Problem.Misses
		}
	}
	if j.around.up {
		subject := &v.shoot.Subject
		s.ScrimInFrame = v.shoot.Scrim.InFrame(j.at.Sun, j.at.Stance.Facing, subject.Figure, v.shoot.Optics(c.Aperture), subject.CameraDistance)
	}
	return s
}

// raised returns how many m above the head a flash at an angle is raised to be
// clear of the frame, and whether it cannot but stand in it.
func (v *Solver) raised(h *flash.Head, angle sky.Angle) (height float64, inFrame bool) {
	m := &h.Modifier
	height, clear := v.camera().ClearHeight(angle, h.Distance, max(m.Size, m.Width, m.Length)/2)
	return height, !clear
}

// inFrame reports whether a flash at an angle stands in the picture.
func (v *Solver) inFrame(angle sky.Angle) bool {
	_, is := v.raised(&v.shoot.Flash, angle)
	return is
}

// camera is the camera in its place.
func (v *Solver) camera() scene.Camera {
	s := v.shoot
	return scene.Camera{Optics: s.Optics(s.Lens.Wanted), Distance: s.Subject.CameraDistance, Figure: s.Subject.Figure}
}

// face returns the offset from normal of the plane that faces the camera.
func (v *Solver) face(t *task, c *choice) sky.Stops {
	onAxis := max(0, math.Cos(float64(t.angle)))
	light := float64(t.ambient.Face)*c.seconds + onAxis*float64(c.flash.light)
	if c.fill.light > 0 {
		light += max(0, math.Cos(float64(t.fill.angle))) * float64(c.fill.light)
	}
	return sky.StopsOf(light / float64(c.need))
}

// nearest returns the picture that comes nearest to a look that is missed:
// with a ratio the key side normal, the flash as strong as the ratio allows
// and the background what it is; with a background that held, and the face
// what it is.
func (v *Solver) nearest(j *job) choice {
	var b choice
	least := math.Inf(1)
	for _, far := range [...]bool{false, true} {
		for _, p := range j.ways {
			v.approach(j, p, far, func(c choice) {
				if miss := v.distance(&c); miss < least-1e-9 {
					b, least = c, miss
				}
			})
		}
		if !math.IsInf(least, 1) {
			break
		}
	}
	return b
}

// aroundAsked is how far from the exposure value that the moment asks the
// nearest picture of a look that is missed is sought: farther off its
// background would be another's.
const aroundAsked exposure.EV = 3

// approach tries the settings of a program about the asked exposure value
// without flash, with the flash at full power, and with the power wanted where
// that is less. A picture that succeeds far from what the moment asks is none:
// its background would have nothing to do with the others'. With far it is one:
// for a camera that can do nothing else.
func (v *Solver) approach(j *job, p program, far bool, near func(choice)) {
	t := &j.task
	consider := func(c choice) {
		if far || c.outcome == Missed {
			near(c)
		}
	}
	unit := v.shoot.Flash.Unit
	settings := p.from(t.target-aroundAsked, t.target+aroundAsked)
	for i := range settings {
		e := &settings[i]
		consider(v.try(t, e, shot{}, shot{}))
		if t.fill.there {
			v.approachPairs(t, e, consider)
			continue
		}
		if t.flash <= 0 {
			continue
		}
		available := t.available(e)
		consider(v.try(t, e, fired(0, available), shot{}))
		if wanted := v.wanted(t, e); wanted < available {
			power, _ := unit.About(sky.StopsOf(float64(available / max(1e-9, wanted))))
			consider(v.try(t, e, fired(power, available), shot{}))
		}
	}
	v.approachDarker(t, p, consider)
}

// distance orders pictures that miss the look: what is held whatever comes
// goes before the rest.
func (v *Solver) distance(c *choice) float64 {
	const first, second = 100, 10
	beyond := func(s sky.Stops) float64 { return float64(max(0, s-v.within)) }
	exposed, hard := beyond(c.off.exposure.Abs()), beyond(c.off.ratio)
	flat := float64(max(0, -c.off.ratio))
	if v.shoot.Look.Kind == shoot.BackgroundLook {
		return first*beyond(c.off.background.Abs()) + second*hard + exposed + flat + 0.01*c.miss
	}
	return first*exposed + second*hard + float64(max(0, c.off.background)) + flat + 0.01*c.miss
}

// diagnose says why the best choice misses the look.
func (v *Solver) diagnose(j *job, c *choice) *Problem {
	t := &j.task
	if j.problem != 0 {
		return &Problem{Kind: j.problem}
	}
	if c.outcome != Missed {
		_, p := v.rim(&c.setting)
		return p
	}
	look := &v.shoot.Look
	weak, surplus := v.shortfall(j)
	if weak.Kind == FillNoHighSpeed {
		return &weak
	}
	fires := t.flash > 0 || t.fill.flash > 0
	if p := v.outOfRange(j); p != nil && p.Kind == TooDark && c.role != None && c.off.exposure >= -v.within &&
		look.Kind == shoot.RatioLook {
		if lost := v.lost(c); lost != nil {
			return lost
		}
	}
	if p := v.outOfRange(j); p != nil && !(fires && weak.Misses > p.Misses) {
		return p
	}
	if over := sky.StopsOf(float64(t.ambient.Key / t.asked.ByBackground)); look.Kind == shoot.BackgroundLook && over > v.within {
		return &Problem{KeyTooBright, over}
	}
	if short := sky.StopsOf(float64(t.asked.ByBackground / t.ambient.Key)); t.bare && short > v.within {
		return &Problem{KeyTooDark, short}
	}
	switch {
	case fires && weak.Misses > 0:
		return &weak
	case t.flash > 0 && surplus > 0:
		return &Problem{TooStrong, surplus}
	case c.off.ratio > v.within:
		return &Problem{TooHard, c.off.ratio}
	case c.off.ratio < -v.within:
		return &Problem{TooFlat, -c.off.ratio}
	}
	return &Problem{CoarseClicks, max(c.off.exposure.Abs(), c.off.over(look.Kind))}
}

// outOfRange reports what camera and lens cannot expose.
func (v *Solver) outOfRange(j *job) *Problem {
	usual := j.ways[0]
	if miss := j.task.target.Minus(usual.brightest()); miss > v.within {
		return &Problem{TooBright, miss}
	}
	if miss := usual.darkest().Minus(j.task.target); miss > v.within {
		return &Problem{TooDark, miss}
	}
	return nil
}

// shortfall returns the least by which the flash at full power falls short of
// what the look asks for, below 0 where it does not, and by which its lowest power
// exceeds it, over the settings that would hold it.
func (v *Solver) shortfall(j *job) (weak Problem, surplus sky.Stops) {
	t := &j.task
	if t.fill.there {
		return v.shortfallOfTwo(j)
	}
	lacks, surplus := sky.Stops(math.Inf(1)), sky.Stops(math.Inf(1))
	for _, p := range j.ways {
		for _, e := range p.near(t.target, v.within) {
			headroom := sky.StopsOf(float64(t.available(&e) / max(1e-9, v.wanted(t, &e))))
			lacks = min(lacks, -headroom)
			surplus = min(surplus, headroom+v.shoot.Flash.Unit.LowestPower.Stops())
		}
	}
	return Problem{TooWeak, lacks}, surplus
}
