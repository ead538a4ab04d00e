package plan

import (
	"time"

	"evenfall/internal/scene"
	"evenfall/sky"
)

// Panel is what the scrim asks for over the session, whatever the method.
type Panel struct {
	// Lowest is the lowest sun under which it shades the figure, and Ever
	// whether it does under any.
	Lowest sky.Angle
	Ever   bool
	// Misses are the times of the window at which the sun shines and it cannot
	// shade the figure, however it is set up.
	Misses []scene.Span
	Sail   scene.Sail
	Wind   []Load // by rising force of the wind, 0 to 12
}

// panel works out what the scrim asks for; nil where none is carried.
func (n *session) panel() *Panel {
	s := n.shoot.Scrim
	if s == nil {
		return nil
	}
	figure := n.shoot.Subject.Figure
	p := &Panel{Misses: s.Misses(n.observer.Sun, figure, n.from, n.to), Sail: s.Sail(n.highest, figure, scrimStands)}
	p.Lowest, p.Ever = s.LowestSun(figure)
	const hurricane = 12
	for b := scene.Beaufort(0); b <= hurricane; b++ {
		low, high := b.Speeds()
		p.Wind = append(p.Wind, pushOf(p.Sail, b, low, high))
	}
	return p
}

// Standing is how a scrim stands at a moment.
type Standing struct {
	scene.Setup
	// Holds is for how many minutes it keeps the figure in its shadow if it is
	// left as it stands, scene.LongestHold at the most.
	Holds float64
	// Drift is how fast its shadow moves over the figure then, in m per minute,
	// a mean over driftOver minutes.
	Drift float64
}

// driftOver is over how many minutes the speed of a shadow is taken.
const driftOver = 5.0

func (n *session) standing(r *Row) *Standing {
	s, figure := n.shoot.Scrim, n.shoot.Subject.Figure
	sunAt := func(minutes float64) sky.Sun {
		return n.observer.Sun(r.Time.Add(time.Duration(minutes * float64(time.Minute))))
	}
	return &Standing{s.Setup(r.Sun, r.Stance.Facing, figure), s.HoldsFor(sunAt, figure),
		s.Drift(sunAt(0), sunAt(driftOver), driftOver, figure)}
}
