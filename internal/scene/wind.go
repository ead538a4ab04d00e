package scene

import "math"

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

// ScrimAdvice returns what to do with a panel of about 2 m by 2 m in a wind of
// that mean force. Common practice: no limit has been published for overhead
// panels. A larger one goes down a force earlier, and riggers, the venue and
// local rules have the last word.
func (b Beaufort) ScrimAdvice() string {
	switch b = b.onScale(); {
	case b <= 1:
		return "on two stands with a sandbag on each, someone within reach"
	case b == 2:
		return "on two weighted stands with a hand on each, ready to lay it flat"
	case b == 3:
		return "held by two people only, low and edge to the wind; nothing overhead on stands"
	case b == 4:
		return "take it down; at most a small folding scrim, held by two people in the lee"
	case b <= 6:
		return "take it down, lay it flat and weigh it down; light stands down as well"
	}
	return "everything down, and everyone out of the wind"
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
func (s *Scrim) Drag(v WindSpeed) Newtons {
	return Newtons(airDensity / 2 * float64(v*v) * dragCoefficient * s.Width * s.Length)
}

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
