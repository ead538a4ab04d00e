package plan

import (
	"math"

	"evenfall/internal/flash"
	"evenfall/internal/scene"
	"evenfall/sky"
)

// Load is what a wind does to the scrim, square to it.
type Load struct {
	Force     scene.Beaufort
	Low, High scene.WindSpeed // High is +Inf at the end of the scale
	Push      scene.Newtons   // at High
	Gust      scene.Newtons   // in the gusts of a wind of High
	// Ballast is the kilograms over the middle of each of its stands, their own
	// weight included, that balance those gusts.
	Ballast  float64
	Handling scene.Handling
}

// pushOf works out what a wind of a force and of speeds does to a sail.
func pushOf(s scene.Sail, b scene.Beaufort, low, high scene.WindSpeed) Load {
	return Load{
		Force: b, Low: low, High: high, Push: s.Drag(high), Gust: s.Drag(high.Gust()),
		Ballast: s.Ballast(high), Handling: s.Handling(b),
	}
}

// Wind is the stated wind.
type Wind struct {
	Speed, Gust scene.WindSpeed // the mean, and the gusts to reckon with
	Force       scene.Beaufort
	Scrim       *Load // what it does to the scrim, High its speed; nil where none is carried
}

// Wind returns the stated wind; nil where nothing is known of it.
func (p *Plan) Wind() *Wind {
	v := p.Shoot.Wind
	if v == nil {
		return nil
	}
	w := &Wind{Speed: *v, Gust: v.Gust(), Force: v.Beaufort()}
	if p.Shoot.Scrim != nil {
		low, _ := w.Force.Speeds()
		l := pushOf(p.Sail(), w.Force, low, *v)
		w.Scrim = &l
	}
	return w
}

// Sail is the scrim as the wind sees it, as high as it stands in the window. It
// comes with a scrim.
func (p *Plan) Sail() scene.Sail { return p.solver.sail() }

// sail is the scrim under the highest sun of the window, where it stands
// highest.
func (v *Solver) sail() scene.Sail {
	return v.shoot.Scrim.Sail(v.highest, v.shoot.Subject.Figure, scrimStands)
}

// tooWindy reports whether the stated wind is too strong for a scrim.
func (v *Solver) tooWindy() bool {
	wind := v.shoot.Wind
	return wind != nil && !v.sail().Handling(wind.Beaufort()).Flies()
}

// highestSun returns the sun of the moment at which it stands highest.
func highestSun(minutes []Moment) sky.Sun {
	var highest sky.Sun
	for i := range minutes {
		if s := &minutes[i].Sun; i == 0 || s.Altitude > highest.Altitude {
			highest = *s
		}
	}
	return highest
}

// What a scrim is held up by: common practice, no source.
const scrimStands = 2

// Rig is what holds the scrim up.
type Rig struct {
	Handling scene.Handling
	Stands   int
	Hands    int     // people
	Ballast  float64 // kg over the middle of each stand
	// Until is the strongest force of the wind that it is enough for: the stated
	// one; where none is stated, the strongest in which the scrim may stand.
	Until scene.Beaufort
}

// Rig returns what holds the scrim up in the stated wind. Where none is stated
// it is what the strongest wind takes in which the scrim may stand on stands.
// It comes with a scrim.
func (p *Plan) Rig() Rig {
	sail := p.Sail()
	var r Rig
	var speed scene.WindSpeed
	if v := p.Shoot.Wind; v != nil {
		speed, r.Until = *v, v.Beaufort()
	} else {
		r.Until, _ = sail.Strongest(scene.HandsOn)
		_, speed = r.Until.Speeds()
	}
	r.Handling = sail.Handling(r.Until)
	switch r.Handling {
	case scene.OnStands:
		r.Stands, r.Hands, r.Ballast = scrimStands, 1, sail.Ballast(speed)
	case scene.HandsOn:
		r.Stands, r.Hands, r.Ballast = scrimStands, scrimStands, sail.Ballast(speed)
	case scene.HandHeld:
		r.Hands = 2
	}
	return r
}

// SandbagMass is that of one filled sandbag, kg. Common practice, no source:
// they are sold for 5 to 15.
const SandbagMass = 10

// bags returns how many sandbags a stand takes: one in any case.
func bags(ballast float64) int { return max(1, int(math.Ceil(ballast/SandbagMass-1e-9))) }

// standBallast returns the kilograms over the middle of a flash's stand that
// balance the gusts of the stated wind on its modifier; 0 where none is stated,
// or the head is bare.
func (p *Plan) standBallast(h *flash.Head) float64 {
	if p.Shoot.Wind == nil || h.Modifier.Bare() {
		return 0
	}
	return scene.AtHead(h.Modifier.Area()).Ballast(*p.Shoot.Wind)
}

// standsDown reports whether the stated wind is too strong for light stands.
func (p *Plan) standsDown() bool {
	v := p.Shoot.Wind
	return v != nil && scene.AtHead(0).Handling(v.Beaufort()) >= scene.StandsDown
}
