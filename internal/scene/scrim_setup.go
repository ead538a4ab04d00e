package scene

import (
	"math"
	"time"

	"evenfall/sky"
)

// Setup is where a scrim has to stand under one sun, and what its shadow does
// there. It is plain geometry; estimates are the figure (see Figure), the head
// 1.6 m above the ground, and a sun without breadth: the real one, half a
// degree wide, blurs the shadow's edge by a hundredth of the way from panel to
// subject.
type Setup struct {
	// Shines tells that some of the sun's disc is above the sea's horizon.
	// Without it there is nothing to keep off; all but the limits is zero, and
	// Coverage says that the figure is in shadow.
	Shines bool

	Azimuth sky.Angle // of the panel's middle, seen from the subject
	Tilt    sky.Angle // from level toward the sun; pi/2 is upright

	Out         float64 // m from above the head to the panel's middle, level, toward the sun
	AboveHead   float64 // m from the middle of the head up to that of the panel
	AboveGround float64 // m, of the panel's middle
	LowEdge     float64 // m above the ground, of the panel's lower edge; negative: it does not fit

	Coverage Coverage
	Taken    Taken

	// Lowest is the lowest sun under which the scrim shades the figure, and
	// Ever whether it does under any, see Scrim.LowestSun.
	Lowest sky.Angle
	Ever   bool

	// LevelHead and LevelFull tell whether the same panel carried level
	// overhead, see Scrim.Level, would shade head and shoulders or the full
	// length under this sun.
	LevelHead, LevelFull bool
}

// Size is that of a rectangle square to the sun's rays, in m: across is level,
// along lies in the upright plane through the sun.
type Size struct{ Across, Along float64 }

// Coverage is how a shadow fits a figure, both measured square to the sun's
// rays.
type Coverage struct {
	Shadow Size // of the panel
	Need   Size // of the figure
	// Spare is by how much the shadow reaches beyond the figure's edge, on the
	// side where it does so least; negative is what is missing there.
	Spare Size
	Share float64 // of the figure that lies in the shadow, 0 to 1
	Whole bool    // all of the figure does
}

// Taken is the share of the sky, 0 to 1, that a scrim hides from the
// subject's planes, each direction weighted as it lights the plane: what the
// plane would lose of an even sky.
type Taken struct {
	Level float64 // facing up
	Lit   float64 // upright, facing the sun's azimuth
	Shade float64 // upright, facing the camera
}

// Setup returns where the scrim has to stand under a sun, for a subject that
// faces an azimuth.
func (s *Scrim) Setup(sun sky.Sun, facing sky.Angle, figure Figure) Setup {
	level := s.Level()
	u := Setup{Shines: shines(sun), Coverage: s.Coverage(sun, figure)}
	u.Lowest, u.Ever = s.LowestSun(figure)
	if !u.Shines {
		return u
	}
	u.LevelHead, u.LevelFull = level.Covers(sun, HeadAndShoulders), level.Covers(sun, FullLength)
	p := s.place(sun, figure)
	u.Azimuth, u.Tilt = sun.Azimuth, sky.Angle(math.Acos(min(p.normal.z, 1)))
	u.Out = p.centre.dot(toward(0, sun.Azimuth))
	u.AboveHead = p.centre.z
	u.AboveGround, u.LowEdge = p.centre.z+headHeight, p.lowEdge()+headHeight
	whole := p.outline()
	above, _ := whole.aboveHorizon()
	u.Taken = Taken{
		Level: above.factor(up),
		Lit:   above.factor(toward(0, sun.Azimuth)) / openUpright,
		Shade: above.factor(toward(0, facing)) / openUpright,
	}
	return u
}

// shines reports whether some of the sun's disc is above the sea's horizon.
func shines(sun sky.Sun) bool { return sky.Horizon(nil).Visible(sun) > 0 }

// Level returns the same panel carried level overhead, with the same reach: as
// high above the head as it is, or as far as it stood off where it was aimed.
func (s *Scrim) Level() *Scrim {
	level := *s
	level.Tilt = 0
	if s.Distance > 0 {
		level.Height, level.Distance = s.Distance, 0
	}
	return &level
}

// Coverage returns how the scrim's shadow fits a figure, the scrim set up as
// well as its reach allows. With no sun the figure is all in shadow and the
// sizes are zero.
func (s *Scrim) Coverage(sun sky.Sun, figure Figure) Coverage {
	if !shines(sun) {
		return Coverage{Share: 1, Whole: true}
	}
	p := s.place(sun, figure)
	sin, cos := math.Sincos(float64(sun.Altitude))
	along := up.times(cos).minus(toward(0, sun.Azimuth).times(sin))
	middle, half := p.centre.dot(along), math.Abs(p.along.dot(along))
	low, high := figure.Bottom*cos, figure.Top*cos
	c := Coverage{
		Shadow: Size{s.Width, 2 * half},
		Need:   Size{2 * figure.Half, high - low},
		Spare:  Size{s.Width/2 - figure.Half, min(middle+half-high, low-(middle-half))},
		Whole:  p.covers(sun, figure),
	}
	across := min(c.Shadow.Across/c.Need.Across, 1)
	switch meet := min(middle+half, high) - max(middle-half, low); {
	case c.Whole:
		c.Share = 1
	case c.Need.Along > 0:
		c.Share = across * max(0, meet/c.Need.Along)
	case c.Spare.Along >= 0: // from straight above a figure has no length
		c.Share = across
	}
	return c
}

// LowestSun returns the lowest altitude of the sun, 0 to pi/2, at which the
// scrim can shade the whole figure; from there up to the zenith it does. It is
// false where the panel is too small under any sun.
//
// Seen level, from the side, with h the sun's altitude, t the panel's tilt, L
// its length and H its height, the shadow on the figure is L (sin t + cos t
// tan h) high and has to be as high as the figure; and with the panel out at
// its reach R the shadow's lower edge, H - R tan h less half of that, has to
// come down to the figure's foot. A panel aimed at the sun is short only if L
// is less than the figure's height times cos h.
func (s *Scrim) LowestSun(figure Figure) (sky.Angle, bool) {
	span := figure.Top - figure.Bottom
	if s.Width < 2*figure.Half || s.Length <= 0 {
		return 0, false
	}
	if s.Distance > 0 {
		return sky.Angle(math.Acos(min(s.Length/span, 1))), true
	}
	if s.Height <= figure.Top { // it cannot come between the sun and the head
		return 0, false
	}
	sin, cos := math.Sincos(float64(s.Tilt))
	size := (span/s.Length - sin) / cos
	reach := (s.Height - figure.Bottom - s.Length/2*sin) / (s.Reach + s.Length/2*cos)
	return sky.Angle(math.Atan(max(0, size, reach))), true
}

// Drift returns how fast the middle of the shadow moves over the subject, in
// m per minute square to the sun's rays, when the scrim stays as it was set up
// for one sun and the sun moves on to another in so many minutes, above 0.
func (s *Scrim) Drift(from, to sky.Sun, minutes float64, figure Figure) float64 {
	p := s.place(from, figure)
	arm := p.centre.minus(up.times((figure.Top + figure.Bottom) / 2))
	miss := func(sun sky.Sun) vector { // from the figure's middle to the shadow's
		ray := toward(sun.Altitude, sun.Azimuth)
		return arm.minus(ray.times(arm.dot(ray)))
	}
	return miss(to).minus(miss(from)).length() / minutes
}

// LongestHold is as far as HoldsFor looks, in minutes.
const LongestHold = 120

// HoldsFor returns for how many minutes a scrim set up at minute 0 and left
// standing keeps the whole figure in its shadow, within a second: 0 where it
// does not at the start, LongestHold where it does for that long or longer.
// The sun's path is given by the minute; a sun that has set no longer matters.
// It holds for a subject that does not move: people shift more than the
// shadow, so re-aim earlier.
func (s *Scrim) HoldsFor(sunAt func(minutes float64) sky.Sun, figure Figure) float64 {
	p := s.place(sunAt(0), figure)
	keeps := func(minutes float64) bool {
		sun := sunAt(minutes)
		return !shines(sun) || p.covers(sun, figure)
	}
	if !keeps(0) {
		return 0
	}
	for t := 1.; t <= LongestHold; t++ {
		if !keeps(t) {
			good, bad := t-1, t
			for bad-good > 1./60 {
				if middle := (good + bad) / 2; keeps(middle) {
					good = middle
				} else {
					bad = middle
				}
			}
			return good
		}
	}
	return LongestHold
}

// Span is a stretch of time.
type Span struct{ From, To time.Time }

// Misses returns when between two times the sun shines and the scrim, though
// set up anew every time, cannot shade the whole figure: with an overhead
// panel the hours of the low sun. The ends are found to the second, and lie on
// from or to where the spell does; spells of less than a minute may be missed.
// There are none for a scrim that serves throughout.
func (s *Scrim) Misses(sunAt func(time.Time) sky.Sun, figure Figure, from, to time.Time) []Span {
	misses := func(t time.Time) bool {
		sun := sunAt(t)
		return shines(sun) && !s.Covers(sun, figure)
	}
	var spans []Span
	before, was := from, misses(from)
	start := from // of the spell, while was is true
	for before.Before(to) {
		now := before.Add(time.Minute)
		if now.After(to) {
			now = to
		}
		is := misses(now)
		if is != was {
			turn := turning(misses, before, now)
			if is {
				start = turn
			} else {
				spans = append(spans, Span{start, turn})
			}
		}
		before, was = now, is
	}
	if was && start.Before(to) {
		spans = append(spans, Span{start, to})
	}
	return spans
}

// turning returns the time at which a state that differs at two times changes,
// within a second.
func turning(state func(time.Time) bool, a, b time.Time) time.Time {
	was := state(a)
	for b.Sub(a) > time.Second {
		if middle := a.Add(b.Sub(a) / 2); state(middle) == was {
			a = middle
		} else {
			b = middle
		}
	}
	return b
}
