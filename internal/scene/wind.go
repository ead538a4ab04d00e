package scene

import (
	"math"

	"evenfall/sky"
)

// WindSpeed is in m/s: the mean over ten minutes, as forecasts give it.
// Forecasts are for 10 m above open ground; between houses and trees there is
// less, at corners and on ridges more.
type WindSpeed float64

// GustFactor is how much stronger gusts are than the mean. An estimate: 1.3
// over open water to 1.7 over land and more in town, common practice, no
// source. The force goes with its square.
const GustFactor = 1.5

// Gust returns the speed of the gusts to reckon with, an estimate, see
// GustFactor.
func (v WindSpeed) Gust() WindSpeed { return v * GustFactor }

// Beaufort is a force of the wind on that scale, 0 to 12.
type Beaufort int

// beaufortEnds are the highest speeds of forces 0 to 11, m/s to one decimal,
// 10 m above open ground (WMO-No. 306, code table 1100).
var beaufortEnds = [...]WindSpeed{0.2, 1.5, 3.3, 5.4, 7.9, 10.7, 13.8, 17.1, 20.7, 24.4, 28.4, 32.6}

// Beaufort returns the force of a wind; a speed between two of the scale's is
// rounded to a decimal first.
func (v WindSpeed) Beaufort() Beaufort {
	for b, end := range beaufortEnds {
		if v < end+0.05 {
			return Beaufort(b)
		}
	}
	return Beaufort(len(beaufortEnds))
}

// Speeds returns the lowest and the highest speed of a force, to one decimal
// as the scale has them; the highest of force 12 is +Inf. A force outside 0 to
// 12 counts as the nearest.
func (b Beaufort) Speeds() (low, high WindSpeed) {
	b = b.onScale()
	high = WindSpeed(math.Inf(1))
	if int(b) < len(beaufortEnds) {
		high = beaufortEnds[b]
	}
	if b > 0 {
		low = beaufortEnds[b-1] + 0.1
	}
	return low, high
}

func (b Beaufort) onScale() Beaufort { return max(0, min(b, Beaufort(len(beaufortEnds)))) }

// String returns the WMO's name of the force: gentle breeze.
func (b Beaufort) String() string {
	return [...]string{
		"calm", "light air", "light breeze", "gentle breeze", "moderate breeze", "fresh breeze", "strong breeze",
		"near gale", "gale", "strong gale", "storm", "violent storm", "hurricane",
	}[b.onScale()]
}

// Handling is what may be done with a panel in a wind, by falling freedom.
type Handling int

// The ways of handling it. Common practice, no source: no limit has been
// published for such panels, and riggers, the venue and local rules have the
// last word.
const (
	OnStands     Handling = iota // two weighted stands, someone within reach
	HandsOn                      // two weighted stands with a hand on each
	HandHeld                     // by two people, low and edge to the wind; nothing on stands
	TakenDown                    // no panel
	StandsDown                   // nor light stands
	EverythingIn                 // nor people
)

// Flies reports whether a panel may be up at all.
func (h Handling) Flies() bool { return h < TakenDown }

// Sail is what the wind pushes, square to it, and what holds it.
type Sail struct {
	Area   float64 // m2
	Height float64 // m above the ground, of its middle
	Stands int     // that share the push; at least one
}

// AtHead returns what stands at the height of a standing sitter's head on a
// stand of its own: a flash in a modifier of that area.
func AtHead(area float64) Sail { return Sail{Area: area, Height: headHeight, Stands: 1} }

// The panel that the table of forces is for: about 2 m by 2 m, its middle no
// higher than this. Common practice, no source.
const (
	usualArea   = 4.0 // m2
	usualHeight = 2.5 // m
	// forceRatio is how much more a wind pushes than one a force weaker, about:
	// v^2 goes with the cube of the force (v = 0.836 B^1.5), 27/8 from 2 to 3
	// and 64/27 from 3 to 4.
	forceRatio = 2.5
)

// early returns how many forces earlier than the usual panel this one comes
// down: one for a larger area, or for more of it times its height, and another
// for every time that it has forceRatio times as much. A smaller one stays up no
// longer.
func (s Sail) early() Beaufort {
	size := max(s.Area/usualArea, s.Area*s.Height/(usualArea*usualHeight))
	var forces Beaufort
	for ; size > 1+1e-9; size /= forceRatio {
		forces++
	}
	return forces
}

// Handling returns what may be done with a panel in a wind of that mean force.
func (s Sail) Handling(b Beaufort) Handling {
	switch counted := b.onScale() + s.early(); {
	case b >= 7:
		return EverythingIn
	case b >= 5:
		return StandsDown
	case counted >= 4:
		return TakenDown
	case counted == 3:
		return HandHeld
	case counted == 2:
		return HandsOn
	}
	return OnStands
}

// Strongest returns the highest force at which the handling may be that free,
// or freer; false where it is so at none.
func (s Sail) Strongest(h Handling) (Beaufort, bool) {
	for b := Beaufort(len(beaufortEnds)); b >= 0; b-- {
		if s.Handling(b) <= h {
			return b, true
		}
	}
	return 0, false
}

// Drag returns the force of a steady wind on the sail, see Scrim.Drag.
func (s Sail) Drag(v WindSpeed) Newtons {
	return Newtons(airDensity / 2 * float64(v*v) * dragCoefficient * s.Area)
}

// Ballast returns the kilograms over the middle of each stand, its own weight
// included, that balance the gusts of a wind of that mean speed, see
// Stand.Ballast.
func (s Sail) Ballast(v WindSpeed) float64 {
	share := s.Drag(v.Gust()) / Newtons(max(1, s.Stands))
	return Stand{Height: s.Height, FootRadius: LightStandFoot}.Ballast(share)
}

// Newtons is a force in N.
type Newtons float64

// Kilograms returns the mass whose weight is the force: N / 9.80665 (standard
// gravity, CGPM 1901).
func (n Newtons) Kilograms() float64 { return float64(n) / standardGravity }

const (
	standardGravity = 9.80665 // m/s2
	airDensity      = 1.225   // kg/m3: 15 deg C at sea level, ISO 2533:1975
	// dragCoefficient is that of a flat plate square to the wind, about 1.2
	// for plates near square (handbook value: Hoerner, Fluid-Dynamic Drag,
	// 1965, has 1.17; from memory).
	dragCoefficient = 1.2
)

// Drag returns the force of a steady wind on the panel: half rho v^2 Cd A. An
// estimate for the worst case, the cloth tight and square to the wind; a panel
// at a slant has less drag but lift besides, and gusts bring more, see
// WindSpeed.Gust.
func (s *Scrim) Drag(v WindSpeed) Newtons { return Sail{Area: s.Width * s.Length}.Drag(v) }

// Sail returns the scrim as the wind sees it while it stands under a sun, held
// by so many stands.
func (s *Scrim) Sail(sun sky.Sun, figure Figure, stands int) Sail {
	p := s.place(sun, figure)
	return Sail{Area: s.Width * s.Length, Height: p.centre.z + headHeight, Stands: stands}
}

// LightStandFoot is how far the feet of a light stand reach from its middle, m,
// opened wide: 1.1 m across. Common practice, no source.
const LightStandFoot = 0.55

// Stand is a stand on three feet.
type Stand struct {
	Height     float64 // m above the ground, of what the wind pushes
	FootRadius float64 // m from the stand's middle to a foot; above 0
}

// Overturning returns the moment, in N m, of a level force at the stand's
// height about the ground.
func (t Stand) Overturning(force Newtons) float64 { return float64(force) * t.Height }

// Ballast returns the kilograms over the stand's middle, its own weight
// included, that balance a level force. The worst side counts: a stand on
// three feet tips over the line between two of them, half the foot radius
// away. An estimate by plain statics of a rigid stand on firm level ground; it
// leaves out gusts, lift and sliding: with less the stand falls, with as much
// it is not yet safe. Where it comes to more than can be carried, the panel
// stays down.
func (t Stand) Ballast(force Newtons) float64 {
	return t.Overturning(force) / (t.FootRadius / 2 * standardGravity)
}
