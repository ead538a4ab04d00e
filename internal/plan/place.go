package plan

import (
	"cmp"
	"context"
	"math"
	"slices"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Place is where the flash, or the fill, stands for a stretch of a run.
type Place struct {
	From    time.Time
	Angle   sky.Angle  // from the camera, positive toward the key side
	Side    scene.Hand // of the picture; neither on the axis
	Bearing sky.Angle  // azimuth from the sitter to the flash, at From
	Height  float64    // m that it is raised above the head, to be clear of the frame
	InFrame bool       // a stated place may be
}

// stretch is a part of the window with one key side.
type stretch struct {
	from time.Time // its first minute
	key  scene.Hand
}

// over is how far the sun goes to the other side of the camera's axis before
// the key side changes with it.
const over sky.Angle = 20 * math.Pi / 180

// reaches reports whether the sun's beam falls on the face, or on the plane
// beside it that the face's key side stands for.
func reaches(m *Moment) bool {
	return m.Light.DirectNormal > 0 && scene.BeamOnFace(scene.ToCamera(m.Sun, m.Stance.Facing)) > 0
}

// side returns the hand the sun stands on; neither on the axis.
func side(aside sky.Angle) scene.Hand {
	const axis = 1e-6
	switch {
	case aside > axis:
		return scene.Left
	case aside < -axis:
		return scene.Right
	}
	return 0
}

// stretchesOf divides the window where the sun, while it reaches the face, goes
// far over to the other side, and gives every part its key side: that on which
// the sun reaches the face longest; where it never does, the side the shoot
// puts the flash on, else that of the sun at the middle, left on the axis.
func (n *session) stretchesOf(minutes []Moment) []stretch {
	starts := []int{0}
	was := scene.Hand(0)
	for i := range minutes {
		m := &minutes[i]
		aside := scene.Aside(m.Sun, m.Stance.Facing)
		if aside > over || aside < -over {
			if s := side(aside); reaches(m) && s != was {
				if was != 0 && m.Time != minutes[starts[len(starts)-1]].Time {
					starts = append(starts, i)
				}
				was = s
			}
		}
	}
	var list []stretch
	for k, from := range starts {
		to := len(minutes)
		if k+1 < len(starts) {
			to = starts[k+1]
		}
		list = append(list, stretch{minutes[from].Time, n.keySide(minutes[from:to])})
	}
	return list
}

// keySide is that of one stretch.
func (n *session) keySide(minutes []Moment) scene.Hand {
	var count [scene.Right + 1]int
	for i := range minutes {
		if m := &minutes[i]; reaches(m) {
			count[side(scene.Aside(m.Sun, m.Stance.Facing))]++
		}
	}
	middle := &minutes[len(minutes)/2]
	switch {
	case count[scene.Left] > count[scene.Right]:
		return scene.Left
	case count[scene.Right] > count[scene.Left]:
		return scene.Right
	case n.shoot.Stand.Side != 0:
		return n.shoot.Stand.Side
	case side(scene.Aside(middle.Sun, middle.Stance.Facing)) == scene.Right:
		return scene.Right
	}
	return scene.Left
}

// keyAt returns the key side at a time.
func keyAt(list []stretch, t time.Time) scene.Hand {
	key := list[0].key
	for _, s := range list[1:] {
		if !s.from.After(t) {
			key = s.key
		}
	}
	return key
}

// The angles tried for a flash whose place is not stated, in degrees.
const (
	angleStep = 5
	mostAngle = 45
)

// angles lists where the flash may stand, from the camera toward the key side,
// or to the shadow side where the shoot puts it there; beside a fill on one side
// of that. A place in the picture is taken only where it is stated.
func (v *Solver) angles(key scene.Hand) []sky.Angle {
	stand := &v.shoot.Stand
	sign := sky.Angle(1)
	if stand.Side != 0 && stand.Side != key {
		sign = -1
	}
	if stand.Angle != nil {
		return []sky.Angle{sign * *stand.Angle}
	}
	var list []sky.Angle
	for d := 0; d <= mostAngle; d += angleStep {
		if a := sign * sky.Degrees(float64(d)); !v.inFrame(a) && v.besideFill(a) {
			list = append(list, a)
		}
	}
	if len(list) == 0 && v.shoot.Fill != nil { // better in the picture than beside the fill
		list = append(list, sign*sky.Degrees(mostAngle))
	}
	return list
}

// tally is what a place comes to over some minutes.
type tally struct {
	angle        sky.Angle
	held, softer int
	dark         int       // of these, by darker settings than the moment asks
	headroom     sky.Stops // the least, at minutes with flash
	cost         float64
}

// add counts a minute that comes to an outcome, by darker settings or not.
func (a *tally) add(o Outcome, dark bool) {
	switch o {
	case Held:
		a.held++
	case Softer:
		a.softer++
	}
	if dark {
		a.dark++
	}
}

// more is above 0 where more minutes are held than of another, then held or softer,
// then fewer by darker settings; 0 where they are equals.
func (a *tally) more(b *tally) int {
	return cmp.Or(cmp.Compare(a.held, b.held), cmp.Compare(a.softer, b.softer), cmp.Compare(b.dark, a.dark))
}

// better reports whether a place comes before another: more minutes held, then
// held or softer, then fewer by darker settings, then more headroom, then a picture nearer the look.
func (a *tally) better(b *tally) bool {
	const seen = 0.05 // stop of headroom that counts
	switch {
	case a.more(b) != 0:
		return a.more(b) > 0
	case (a.headroom - b.headroom).Abs() > seen:
		return a.headroom > b.headroom
	}
	return a.cost < b.cost
}

// plenty is more than any flash has to spare, in stops.
const plenty sky.Stops = 20

// tally counts what a method comes to with the flash at an angle, by one of its
// programs.
func (v *Solver) tally(jobs []job, angle sky.Angle, program int) tally {
	t := tally{angle: angle, headroom: plenty}
	if len(jobs) == 0 {
		return t
	}
	for i := range jobs {
		v.at(&jobs[i], angle)
	}
	p := v.together(jobs)[program]
	var room [48]choice
	for i := range jobs {
		j := &jobs[i]
		c, dark := v.pick(room[:0], p, &j.task)
		o := v.outcome(j, &c)
		if j.problem == TooWindy {
			o = c.outcome // the picture there is, without the scrim
		}
		t.add(o, dark)
		if c.role != None {
			t.headroom = min(t.headroom, c.headroom)
		}
		t.cost += c.miss
	}
	return t
}

// mostTallied is about how many moments of a window a place is tried at.
const mostTallied = 60

// worthMoving is how many minutes held a move of the flash has to add.
const worthMoving = 15

// places chooses where a method's flash stands through the window: one place,
// or two with a move where the key side changes, if the move is worth it. Once
// the context ends, any place is as good.
func (v *Solver) places(ctx context.Context, m shoot.Method, minutes []Moment, list []stretch, g Gel) []Place {
	every := 1
	if len(list) == 1 { // a move is weighed by the minute
		every += len(minutes) / mostTallied
	}
	var jobs []job
	for i := 0; i < len(minutes); i += every {
		jobs = append(jobs, v.job(m, &minutes[i], g))
	}
	parts := make([][]job, len(list))
	for i := range list {
		parts[i] = slices.DeleteFunc(slices.Clone(jobs), func(j job) bool {
			after := i+1 < len(list) && !j.at.Time.Before(list[i+1].from)
			return j.at.Time.Before(list[i].from) || after
		})
	}
	stay := v.bestStay(ctx, parts, list)
	places := []Place{v.placed(&minutes[0], stay.angle)}
	gain := worthMoving
	for k := 1; k < len(list); k++ {
		before, after := v.bestStay(ctx, parts[:k], list[:k]), v.bestStay(ctx, parts[k:], list[k:])
		first := slices.IndexFunc(minutes, func(m Moment) bool { return !m.Time.Before(list[k].from) })
		if more := (before.held + after.held - stay.held) / casesOf(minutes); more >= gain {
			gain = more + 1
			places = []Place{v.placed(&minutes[0], before.angle), v.placed(&minutes[first], after.angle)}
		}
	}
	return places
}

// casesOf returns how many moments stand for a minute, at the most.
func casesOf(minutes []Moment) int {
	for i := range minutes {
		if minutes[i].Case == sky.SunIn {
			return 2
		}
	}
	return 1
}

// bestStay returns the best angle, counted from the first stretch's key side,
// for a flash that stays where it stands through some stretches: where the key
// side changes the angle changes its sign.
func (v *Solver) bestStay(ctx context.Context, parts [][]job, list []stretch) tally {
	best := tally{held: -1}
	for _, angle := range v.angles(list[0].key) {
		for n := range v.ways(parts[0][0].method, 0) {
			if ctx.Err() != nil {
				return best
			}
			if sum := v.stay(parts, list, angle, n); sum.better(&best) {
				best = sum
			}
		}
	}
	return best
}

// stay is what a flash at one angle of the first stretch comes to through all.
func (v *Solver) stay(parts [][]job, list []stretch, angle sky.Angle, program int) tally {
	sum := v.tally(parts[0], angle, program)
	for i := 1; i < len(parts); i++ {
		a := angle
		if list[i].key != list[0].key {
			a = -a
		}
		t := v.tally(parts[i], a, program)
		sum.held, sum.softer, sum.cost = sum.held+t.held, sum.softer+t.softer, sum.cost+t.cost
		sum.dark += t.dark
		sum.headroom = min(sum.headroom, t.headroom)
	}
	return sum
}

// placed describes a place of the flash from a moment on.
func (v *Solver) placed(m *Moment, angle sky.Angle) Place { return v.placeOf(&v.shoot.Flash, m, angle) }

// placeOf describes where a head at an angle stands from a moment on.
func (v *Solver) placeOf(h *flash.Head, m *Moment, angle sky.Angle) Place {
	p := Place{From: m.Time, Angle: angle, Side: m.Stance.Hand(angle), Bearing: m.Stance.Toward(angle)}
	p.Height, p.InFrame = v.raised(h, angle)
	return p
}
