package plan

import (
	"context"
	"math"
	"slices"
	"sort"
	"sync"
	"time"

	"evenfall/internal/exposure"
	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// CureKind is a single change that brings a missed picture off.
type CureKind int

// The cures. What Cure.Value holds stands behind each.
const (
	TurnSitter       CureKind = iota + 1 // azimuth to face, deg
	MoveFlash                            // distance, m
	ChangeFlashes                        // how many
	ChangeAperture                       // none; Aperture holds it
	SlowShutter                          // none; Shutter holds the slowest, from a tripod
	BareHead                             // zoom, mm; 0 for a head without
	ChangeModifier                       // none; Name
	TurnFlash                            // angle, deg
	MoveRim                              // distance, m
	AimScrim                             // distance, m
	ShadeHead                            // none: head and shoulders alone
	UseMethod                            // none; Method
	ChangeFlash                          // none; Name
	CarryScrim                           // none; Name
	CarryFilter                          // none; Name
	ChangeRatio                          // ratio
	ChangeBackground                     // offset, stops; +Inf for any
	Wait                                 // none; Time
	OpenShade                            // share of the sky; Method
	CarryReflector                       // angle, deg; Name, Method
	MoveFill                             // distance, m
	ChangeFills                          // how many
)

// Cure is a change of one thing. Two that say the same are equal.
type Cure struct {
	Kind     CureKind
	Value    float64
	Angle    sky.Angle // of the flash, where it has to move with TurnSitter
	Moves    bool      // it has
	Name     string
	Method   shoot.Method
	Aperture exposure.Aperture
	Shutter  exposure.Shutter
	Time     time.Time
	Softer   bool // the picture comes out softer than asked
}

// remedy is a changed shoot that may make a method work.
type remedy struct {
	cure Cure
	edit func(*shoot.Shoot)
}

// cures finds the cures of rows, of several at a time. Solvers of changed shoots
// are kept, for the same changes are tried at many rows.
type cures struct {
	plan  *Plan
	stock stock

	guard   sync.Mutex
	changed map[Cure]*Solver
}

// cure names, for every method that misses at a row, the smallest single
// changes that bring the picture off, cheapest first: what costs nothing, then
// other settings, other methods, other kit, another look, and last another
// time. Each is solved again before it is named. The error is the context's.
func (p *Plan) cure(ctx context.Context, rows []Row) error {
	c := &cures{plan: p, stock: p.solver.stock(), changed: map[Cure]*Solver{}}
	parallel(ctx, len(rows), func(i int) {
		r, beside := &rows[i], besides{}
		for k := range r.Methods {
			if s := &r.Methods[k]; s.Outcome == Missed {
				s.Cures = c.of(ctx, r, s, beside)
			}
			if ctx.Err() != nil {
				return
			}
		}
	})
	return ctx.Err()
}

// of lists the cures of one missed picture. Once the context ends, no more are
// tried.
func (c *cures) of(ctx context.Context, r *Row, s *Solution, beside besides) []Cure {
	v := c.plan.solver
	var list []Cure
	add := func(cure Cure, o Outcome) {
		if o.Succeeds() {
			cure.Softer = o == Softer
			list = append(list, cure)
		}
	}
	first := func(kind []remedy) {
		for i := range kind {
			if ctx.Err() != nil {
				return
			}
			if o := c.try(&kind[i], s, &r.Moment, beside); o.Succeeds() {
				add(kind[i].cure, o)
				return
			}
		}
	}
	if k := s.Problem.Kind; !k.Lacks() && k != ShadowMissed && k != TooWindy {
		add(c.turned(r, s))
	}
	if m := shoot.OpenShade; s.Method != m {
		add(Cure{Kind: OpenShade, Value: v.shoot.Shade.SkyShare, Method: m}, v.comes(m, &r.Moment, s.Angle, s.Gel))
	}
	for _, kind := range v.remedies(s) {
		first(kind)
	}
	if s.Role != None {
		first(v.turnedFlash(s))
	}
	first(v.reflectors(s, c.stock.reflectors))
	for _, m := range shoot.Methods {
		if m != s.Method && !(m.UsesScrim() && m.UsesHighSpeed() && s.Problem.Kind.Lacks()) {
			add(Cure{Kind: UseMethod, Method: m}, v.comes(m, &r.Moment, s.Angle, s.Gel))
		}
	}
	for _, kind := range v.purchases(s, &c.stock) {
		first(kind)
	}
	if later, o := c.later(r, s); o.Succeeds() {
		add(later, o)
	}
	return list
}

// comes returns what a method comes to at a moment with the flash at an angle.
func (v *Solver) comes(m shoot.Method, at *Moment, angle sky.Angle, g Gel) Outcome {
	return v.comesIn(v.under(m, at), m, at, angle, g)
}

// comesIn is the same in surroundings that are known.
func (v *Solver) comesIn(w surroundings, m shoot.Method, at *Moment, angle sky.Angle, g Gel) Outcome {
	j := v.jobIn(w, m, at, g)
	if j.problem != 0 {
		return Missed
	}
	v.at(&j, angle)
	var room [48]choice
	c := v.search(&j, room[:0])
	return v.outcome(&j, &c)
}

// comesNear returns what a job comes to with the flash at an angle, about what the
// moment asks: where it is so dark that only a darker picture may come out, it
// hardly matters where the sitter faces.
func (v *Solver) comesNear(j *job, angle sky.Angle) Outcome {
	if j.problem != 0 {
		return Missed
	}
	v.at(j, angle)
	var room [48]choice
	c := v.searchNear(j, room[:0])
	return v.outcome(j, &c)
}

// try solves a picture with one thing changed. A flash or a reflector that the
// change brings into the frame does not count.
func (c *cures) try(r *remedy, s *Solution, at *Moment, beside besides) Outcome {
	v := c.solver(r)
	angle, method := s.Angle, s.Method
	switch r.cure.Kind {
	case TurnFlash:
		angle = sky.Degrees(r.cure.Value)
	case CarryReflector:
		method = r.cure.Method
	}
	if method.UsesFlash() && (v.inFrame(angle) || v.fillInFrame(at)) && !s.FlashInFrame {
		return Missed
	}
	if r.cure.Kind != CarryReflector {
		return v.comes(method, at, angle, s.Gel)
	}
	w := beside.of(v, r, at)
	if !s.Reflected.InFrame && w.reflected.InFrame {
		return Missed
	}
	return v.comesIn(w, method, at, angle, s.Gel)
}

// besides are the surroundings of a moment beside reflectors, by what they are the
// cure of: with flash and without, whatever they mend.
type besides map[Cure]surroundings

func (b besides) of(v *Solver, r *remedy, at *Moment) surroundings {
	panel := r.cure
	panel.Method = 0
	w, known := b[panel]
	if !known {
		w = v.under(r.cure.Method, at)
		b[panel] = w
	}
	return w
}

// solver returns the solver of a changed shoot.
func (c *cures) solver(r *remedy) *Solver {
	c.guard.Lock()
	defer c.guard.Unlock()
	v := c.changed[r.cure]
	if v == nil {
		v = c.plan.solver.changed(r)
		c.changed[r.cure] = v
	}
	return v
}

// changed returns the solver of the changed shoot. Programs are taken over
// where the change leaves them alone.
func (v *Solver) changed(r *remedy) *Solver {
	was := v.shoot
	c := *was
	r.edit(&c)
	if c.Camera != was.Camera || c.Lens != was.Lens || c.Flash.Unit.Click != was.Flash.Unit.Click ||
		!slices.Equal(c.Filters, was.Filters) {
		n := NewSolver(&c)
		n.highest, n.first = v.highest, v.first
		return n
	}
	s := *v
	s.shoot = &c
	s.power()
	return &s
}

// turnStep is how finely a turn of the sitter is tried, in degrees.
const turnStep = 15

// turned looks for the nearest other way to face that brings the picture off,
// the flash where it stands to the camera or elsewhere before the sitter.
func (c *cures) turned(r *Row, s *Solution) (Cure, Outcome) {
	for by := turnStep; by <= 180; by += turnStep {
		for _, d := range [2]float64{float64(by), -float64(by)} {
			facing := (r.Stance.Facing + sky.Degrees(d)).Normal()
			if o, angle := c.facing(r, s, facing); o.Succeeds() {
				return Cure{Kind: TurnSitter, Value: math.Round(facing.Degrees()), Angle: angle, Moves: angle != s.Angle}, o
			}
		}
	}
	return Cure{}, Missed
}

// facing returns what the method comes to with the sitter turned, and where the
// flash then stands.
func (c *cures) facing(r *Row, s *Solution, facing sky.Angle) (Outcome, sky.Angle) {
	key := side(scene.Aside(r.Sun, facing))
	if key == 0 {
		key = r.Stance.Key
	}
	v := *c.plan.solver
	v.first = key // a fill is set up anew, too
	m := c.plan.session.moment(r.Time, r.Sun, scene.Stance{Facing: facing, Key: key}, r.Condition, r.Case)
	j := v.job(s.Method, &m, s.Gel)
	best, at := v.comesNear(&j, s.Angle), s.Angle
	if j.problem != 0 || !s.Method.UsesFlash() {
		return best, at
	}
	for _, angle := range v.angles(key) {
		if best == Held {
			break
		}
		if o := v.comesNear(&j, angle); o < best {
			best, at = o, angle
		}
	}
	return best, at
}

// later finds the next minute of the method's run at which it succeeds.
func (c *cures) later(r *Row, s *Solution) (Cure, Outcome) {
	run := c.plan.run(s.Method, r.Case)
	for i := range run.Minutes {
		if m := &run.Minutes[i]; m.Time.After(r.Time) && m.Outcome.Succeeds() {
			return Cure{Kind: Wait, Time: m.Time}, m.Outcome
		}
	}
	return Cure{}, Missed
}

// The ends of where a flash on a stand is set up, m, and of the flashes and
// times that a cure asks for.
const (
	nearestStand  = 0.5
	farthestStand = 30
	mostFlashes   = 4
	onTripod      = exposure.Shutter(0) // 1 s
)

// remedies lists the changes worth trying with the kit at hand, by kind, the
// cheapest kind first; within a kind the smallest change.
func (v *Solver) remedies(s *Solution) [][]remedy {
	switch s.Problem.Kind {
	case TooWeak:
		return [][]remedy{v.distances(s), v.flashCounts(1), v.apertures(true), v.bare()}
	case TooStrong:
		return [][]remedy{v.distances(s), v.apertures(true), v.tripod(), v.flashCounts(-1)}
	case CoarseClicks:
		return [][]remedy{v.trims()}
	case FillTooWeak:
		return [][]remedy{v.fillDistances(s), v.fillCounts(), v.apertures(true)}
	case RimTooWeak, RimTooStrong:
		return [][]remedy{v.rimDistances(s)}
	case TooDark:
		return [][]remedy{v.apertures(true), v.tripod()}
	case TooBright:
		return [][]remedy{v.apertures(false)}
	case TooWindy:
		return [][]remedy{v.aimed()}
	case ShadowMissed:
		return [][]remedy{v.aimed(), v.headOnly()}
	}
	return nil
}

// stock is what the kit offers in the place of what is carried, a change for
// each, in the order they are tried. It is the same at every row.
type stock struct {
	modifiers, stronger, weaker, highSpeed, scrims, filters []remedy
	reflectors                                              []scene.Reflector
}

func (v *Solver) stock() stock {
	if v.shoot.Kit == nil {
		return stock{}
	}
	return stock{v.modifiers(), v.flashes(true), v.flashes(false), v.highSpeed(), v.scrims(), v.filters(), v.panels()}
}

// mostTried is how many of a kind of kit are tried. More than that is no bag.
const mostTried = 24

// spread takes so many of a longer list, evenly over it: the first and the last
// among them.
func spread[T any](list []T, most int) []T {
	if len(list) <= most {
		return list
	}
	few := make([]T, most)
	for i := range few {
		few[i] = list[i*(len(list)-1)/(most-1)]
	}
	return few
}

// purchases lists the changes that take other kit or another look.
func (v *Solver) purchases(s *Solution, kit *stock) [][]remedy {
	var list [][]remedy
	switch s.Problem.Kind {
	case TooWeak:
		list = append(list, kit.modifiers, kit.stronger)
	case TooStrong:
		list = append(list, kit.weaker)
	case NoScrim, TooWindy:
		list = append(list, kit.scrims)
	case NoFilter:
		list = append(list, kit.filters)
	case NoHighSpeed:
		list = append(list, kit.highSpeed)
	}
	switch s.Problem.Kind {
	case TooWeak, TooStrong, CoarseClicks, KeyTooBright, TooHard, TooFlat, FillTooWeak:
		list = append(list, v.ratios(s), v.backgrounds())
	case KeyTooDark:
		list = append(list, v.backgrounds())
	}
	return list
}

// distances moves the flash by tenths of a metre, beginning near where the
// inverse square law says.
func (v *Solver) distances(s *Solution) []remedy {
	was := v.shoot.Flash.Distance
	room, step := -s.Problem.Misses, -1.0
	if s.Problem.Kind == TooStrong {
		room, step = s.Problem.Misses, 1
	}
	tenths := math.Round(was * math.Exp2(float64(room)/2) * 10)
	if s.Problem.Kind == TooWeak {
		tenths = min(tenths+1, math.Ceil(was*10)-1)
	} else {
		tenths = max(tenths-1, math.Floor(was*10)+1)
	}
	var list []remedy
	for range 8 {
		if d := tenths / 10; d >= nearestStand && d <= farthestStand {
			list = append(list, v.moved(d))
		}
		tenths += step
	}
	return list
}

// moved sets the flash at a distance.
func (v *Solver) moved(d float64) remedy {
	return remedy{Cure{Kind: MoveFlash, Value: d}, func(c *shoot.Shoot) { c.Flash.Distance = d }}
}

// trims moves a flash that stands between two clicks by some tenths.
func (v *Solver) trims() []remedy {
	tenths := math.Round(v.shoot.Flash.Distance * 10)
	var list []remedy
	for by := 1.0; by <= 5; by++ {
		for _, d := range [2]float64{(tenths - by) / 10, (tenths + by) / 10} {
			if d >= nearestStand {
				list = append(list, v.moved(d))
			}
		}
	}
	return list
}

// bare takes the modifier off and zooms the head as far as it still lights all
// that the frame shows.
func (v *Solver) bare() []remedy {
	head := &v.shoot.Flash
	figure := &v.shoot.Subject.Figure
	covers := flash.LongestZoomFor(2*figure.Half, figure.Top-figure.Bottom, head.Distance)
	zoom := 0.0 // of a head without zoom
	for _, g := range head.Unit.Guide {
		if g.Zoom <= covers {
			zoom = g.Zoom
		}
	}
	if head.Unit.Zooms() && zoom == 0 {
		return nil // no position lights it all
	}
	if head.Modifier.Bare() && head.Zoom >= zoom {
		return nil
	}
	return []remedy{{Cure{Kind: BareHead, Value: zoom},
		func(c *shoot.Shoot) { c.Flash.Modifier, c.Flash.Zoom = flash.Modifier{}, zoom }}}
}

// apertures opens, or closes, the wanted aperture click by click.
func (v *Solver) apertures(wider bool) []remedy {
	lens := &v.shoot.Lens
	scale := clicks(lens.Wanted, lens.Narrowest, v.shoot.Camera.Click)
	if wider {
		scale = clicks(lens.Widest, lens.Wanted, v.shoot.Camera.Click)
		slices.Reverse(scale)
	}
	var list []remedy
	for _, a := range scale[1:] {
		list = append(list, remedy{Cure{Kind: ChangeAperture, Aperture: a}, func(c *shoot.Shoot) { c.Lens.Wanted = a }})
	}
	return list
}

// tripod slows the shutter beyond what is held by hand.
func (v *Solver) tripod() []remedy {
	var list []remedy
	click := exposure.Shutter(v.shoot.Camera.Click)
	for t := v.shoot.Lens.Slowest - click; t >= onTripod; t -= click {
		list = append(list, remedy{Cure{Kind: SlowShutter, Shutter: t}, func(c *shoot.Shoot) { c.Lens.Slowest = t }})
	}
	return list
}

// flashCounts adds flashes one by one, or takes them away.
func (v *Solver) flashCounts(by int) []remedy {
	var list []remedy
	for n := v.shoot.Flash.Units + by; n > 0 && n <= mostFlashes; n += by {
		list = append(list, remedy{Cure{Kind: ChangeFlashes, Value: float64(n)}, func(c *shoot.Shoot) { c.Flash.Units = n }})
	}
	return list
}

// turnedFlash moves the flash about the sitter: on the shadow side, where it
// fills for less, or to the other places before the sitter.
func (v *Solver) turnedFlash(s *Solution) []remedy {
	var degrees []float64
	switch s.Problem.Kind {
	case TooFlat:
		degrees = []float64{15, 30, 45}
	case FillTooWeak: // nearer the lens the key fills too
		degrees = []float64{30, 15}
	default:
		degrees = []float64{-15, -30, -45}
	}
	var list []remedy
	for _, d := range degrees {
		if v.besideFill(sky.Degrees(d)) {
			list = append(list, remedy{Cure{Kind: TurnFlash, Value: d}, func(*shoot.Shoot) {}})
		}
	}
	return list
}

// fillDistances moves the fill by tenths of a metre, beginning near where the
// inverse square law says.
func (v *Solver) fillDistances(s *Solution) []remedy {
	was := v.shoot.Fill.Distance
	tenths := math.Round(was * math.Exp2(-float64(s.Problem.Misses)/2) * 10)
	tenths = min(tenths+1, math.Ceil(was*10)-1)
	var list []remedy
	for range 8 {
		if d := tenths / 10; d >= nearestStand {
			list = append(list, v.filledBy(Cure{Kind: MoveFill, Value: d}, func(f *shoot.Fill) { f.Distance = d }))
		}
		tenths--
	}
	return list
}

// fillCounts adds flashes to the fill one by one.
func (v *Solver) fillCounts() []remedy {
	var list []remedy
	for n := v.shoot.Fill.Units + 1; n <= mostFlashes; n++ {
		list = append(list, v.filledBy(Cure{Kind: ChangeFills, Value: float64(n)}, func(f *shoot.Fill) { f.Units = n }))
	}
	return list
}

// filledBy changes the fill.
func (v *Solver) filledBy(c Cure, change func(*shoot.Fill)) remedy {
	return remedy{c, func(s *shoot.Shoot) {
		fill := *s.Fill
		change(&fill)
		s.Fill = &fill
	}}
}

// rimDistances moves the rim flash about where the inverse square law says.
func (v *Solver) rimDistances(s *Solution) []remedy {
	was := v.shoot.Rim.Distance
	room := s.RimFlash.Headroom
	if s.Problem.Kind == RimTooStrong {
		room = s.Problem.Misses
	}
	tenths := math.Round(was * math.Exp2(float64(room)/2) * 10)
	var list []remedy
	for _, by := range [...]float64{0, -1, 1, -2, 2} {
		if d := (tenths + by) / 10; d >= nearestStand && d <= farthestStand {
			list = append(list, remedy{Cure{Kind: MoveRim, Value: d}, func(c *shoot.Shoot) {
				rim := *c.Rim
				rim.Distance = d
				c.Rim = &rim
			}})
		}
	}
	return list
}

// aimedDistance is how far off an aimed scrim is held, m.
const aimedDistance = 1.0

// aimed carries an overhead scrim square to the sun instead.
func (v *Solver) aimed() []remedy {
	if v.shoot.Scrim.Distance > 0 {
		return nil
	}
	return []remedy{{Cure{Kind: AimScrim, Value: aimedDistance}, func(c *shoot.Shoot) {
		panel := *c.Scrim
		panel.Height, panel.Tilt, panel.Reach, panel.Distance = 0, 0, 0, aimedDistance
		c.Scrim = &panel
	}}}
}

// headOnly frames closer, so that less has to be shaded.
func (v *Solver) headOnly() []remedy {
	if v.shoot.Subject.Figure == scene.HeadAndShoulders {
		return nil
	}
	return []remedy{{Cure{Kind: ShadeHead}, func(c *shoot.Shoot) { c.Subject.Figure = scene.HeadAndShoulders }}}
}

// stillSoft is the least size, m, of a modifier that still makes soft light of a
// head and shoulders. Common practice, no source.
const stillSoft = 0.4

// modifiers puts on ones that lose less, the one that loses most first, but
// none that makes the light harder than a small umbrella does.
func (v *Solver) modifiers() []remedy {
	head := v.shoot.Flash
	loss := func(m flash.Modifier) sky.Stops {
		h := head
		h.Modifier = m
		return h.ModifierLoss()
	}
	now := head.ModifierLoss()
	kit := slices.DeleteFunc(slices.Clone(v.shoot.Kit.Modifiers), func(m flash.Modifier) bool {
		return m.Size < stillSoft || loss(m) >= now
	})
	sort.SliceStable(kit, func(i, j int) bool { return loss(kit[i]) > loss(kit[j]) })
	var list []remedy
	for _, m := range spread(kit, mostTried) {
		list = append(list, remedy{Cure{Kind: ChangeModifier, Name: m.Name}, func(c *shoot.Shoot) { c.Flash.Modifier = m }})
	}
	return list
}

// flashes tries the others of the kit, by rising output, or falling.
func (v *Solver) flashes(stronger bool) []remedy {
	type other struct {
		unit   *flash.Unit
		output exposure.LuxSeconds
	}
	head := v.shoot.Flash
	output := func(u *flash.Unit) exposure.LuxSeconds {
		h := head
		h.Unit = u
		h.Zoom = min(h.Zoom, u.LongestZoom())
		return h.Full()
	}
	now := output(head.Unit)
	var kit []other
	for i := range v.shoot.Kit.Flashes {
		u := &v.shoot.Kit.Flashes[i]
		if gives := output(u); u.Name != head.Unit.Name && (gives > now) == stronger {
			kit = append(kit, other{u, gives})
		}
	}
	sort.SliceStable(kit, func(i, j int) bool {
		if stronger {
			return kit[i].output < kit[j].output
		}
		return kit[i].output > kit[j].output
	})
	var list []remedy
	for _, one := range spread(kit, mostTried) {
		list = append(list, instead(one.unit))
	}
	return list
}

// highSpeed tries the flashes of the kit that have high-speed sync.
func (v *Solver) highSpeed() []remedy {
	var list []remedy
	for i := range v.shoot.Kit.Flashes {
		if u := &v.shoot.Kit.Flashes[i]; u.HighSpeed {
			list = append(list, instead(u))
		}
	}
	return spread(list, mostTried)
}

// instead puts another flash in the place of the shoot's.
func instead(u *flash.Unit) remedy {
	return remedy{Cure{Kind: ChangeFlash, Name: u.Name}, func(c *shoot.Shoot) {
		c.Flash.Unit, c.Flash.Zoom = u, min(c.Flash.Zoom, u.LongestZoom())
	}}
}

// scrims carries one of the kit, aimed at the sun, the smallest first.
func (v *Solver) scrims() []remedy {
	kit := slices.Clone(v.shoot.Kit.Scrims)
	sort.SliceStable(kit, func(i, j int) bool { return kit[i].Width*kit[i].Length < kit[j].Width*kit[j].Length })
	var list []remedy
	for _, panel := range spread(kit, mostTried) {
		panel.Distance = aimedDistance
		list = append(list, remedy{Cure{Kind: CarryScrim, Name: panel.Name}, func(c *shoot.Shoot) { c.Scrim = &panel }})
	}
	return list
}

// panels lists the reflectors of the kit, the smallest first.
func (v *Solver) panels() []scene.Reflector {
	const ways = 4 // that each is tried in
	kit := slices.Clone(v.shoot.Kit.Reflectors)
	sort.SliceStable(kit, func(i, j int) bool { return kit[i].Width*kit[i].Length < kit[j].Width*kit[j].Length })
	return spread(kit, mostTried/ways)
}

// reflectors throws sun and sky on the face in the place of the flash, or beside
// it: with the reflector carried, where there is one, else with those of the kit:
// on the shadow side, or on the other. A method that has one already gets another
// or holds it on the other side.
func (v *Solver) reflectors(s *Solution, kit []scene.Reflector) []remedy {
	held := scene.Reflector{Distance: scene.UsualReflectorDistance, Angle: sky.Degrees(scene.UsualReflectorDegrees)}
	if v.shoot.Reflector != nil {
		held = *v.shoot.Reflector
	}
	if v.shoot.Reflector != nil && !s.Method.UsesReflector() {
		kit = []scene.Reflector{held}
	}
	var list []remedy
	for _, panel := range kit {
		panel.Distance = held.Distance
		for _, panel.Angle = range [...]sky.Angle{held.Angle, -held.Angle} {
			for _, m := range [...]shoot.Method{shoot.Reflector, shoot.ReflectorSync} {
				if m != s.Method || panel != held {
					list = append(list, throwing(panel, m))
				}
			}
		}
	}
	return list
}

// throwing holds a reflector and works with or without flash.
func throwing(panel scene.Reflector, m shoot.Method) remedy {
	return remedy{Cure{Kind: CarryReflector, Value: math.Round(panel.Angle.Degrees()), Name: panel.Name, Method: m},
		func(c *shoot.Shoot) { c.Reflector = &panel }}
}

// filters carries one of the kit, the weakest first.
func (v *Solver) filters() []remedy {
	kit := slices.Clone(v.shoot.Kit.Filters)
	sort.SliceStable(kit, func(i, j int) bool { return kit[i].Loss < kit[j].Loss })
	var list []remedy
	for _, f := range spread(kit, mostTried) {
		list = append(list, remedy{Cure{Kind: CarryFilter, Name: f.Name}, func(c *shoot.Shoot) { c.Filters = []shoot.Filter{f} }})
	}
	return list
}

// ratios gives up some of the lighting ratio, by halves up to twice or down to
// half of it.
func (v *Solver) ratios(s *Solution) []remedy {
	asked := v.shoot.Look.Ratio
	step := 0.5
	if s.Problem.Kind == TooWeak && s.Role == Key || s.Ratio < asked {
		step = -0.5
	}
	var list []remedy
	for r := math.Round(asked*2)/2 + step; r <= 2*asked && r >= max(asked/2, 1.5); r += step {
		list = append(list, remedy{Cure{Kind: ChangeRatio, Value: r}, func(c *shoot.Shoot) { c.Look.Ratio = r }})
	}
	return list
}

// brightest is the highest offset of the background that a cure asks for.
const brightest sky.Stops = 3

// backgrounds lets the background come out brighter, by thirds of a stop, and
// at last as it will.
func (v *Solver) backgrounds() []remedy {
	look := &v.shoot.Look
	held := look.Kind == shoot.BackgroundLook
	from := look.Offset()
	var list []remedy
	for x := from + 1./3; x < brightest+1e-9; x += 1. / 3 {
		list = append(list, remedy{Cure{Kind: ChangeBackground, Value: float64(x)}, func(c *shoot.Shoot) {
			if held {
				c.Look.Background = x
			} else {
				c.Look.AtMost = x
			}
		}})
	}
	if any := math.Inf(1); !held && !math.IsInf(float64(from), 1) {
		list = append(list, remedy{Cure{Kind: ChangeBackground, Value: any}, func(c *shoot.Shoot) { c.Look.AtMost = sky.Stops(any) }})
	}
	return list
}

// fullBare returns the light of a head at full power without its gel.
func fullBare(h *flash.Head) exposure.LuxSeconds {
	bare := *h
	bare.Gel = flash.Gel{}
	return bare.Full()
}
