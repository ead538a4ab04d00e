// Package flash knows what battery flashes give and cost: guide numbers,
// power, high-speed sync, modifiers and gels, recycling, batteries and heat.
package flash

import (
	"fmt"
	"math"
	"strconv"
	"time"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// PlateauEquivalent is the usual T_eq of high-speed sync. Three makers'
// instruction manuals agree on it within 0.2 stop.
const PlateauEquivalent = 16 * time.Millisecond

// OutdoorDerate is what makers' guide numbers lose outdoors, where no walls
// and ceiling throw light back. An estimate: common practice, no source.
const OutdoorDerate sky.Stops = 0.7

// Power is a setting of the flash, in sixths of a stop from full power: 0 is
// 1/1, -6 is 1/2.
type Power int

// Fraction returns the exact share of full power, 1 for 1/1.
func (p Power) Fraction() float64 { return math.Exp2(float64(p) / 6) }

// Stops returns the power below full: -1 for 1/2.
func (p Power) Stops() sky.Stops { return sky.Stops(p) / 6 }

// About returns the two clicks of the unit's scale between which a power so
// many stops below full lies, within the unit's range.
func (u *Unit) About(below sky.Stops) (lower, upper Power) {
	const least = 30 // stops; no flash goes so low, and 2^-30 is no light
	clicks := math.Floor(-float64(min(below, least)) / u.Click.Stops())
	lower = Power(clicks) * Power(u.Click)
	within := func(p Power) Power { return max(u.LowestPower, min(p, 0)) }
	return within(lower), within(lower + Power(u.Click))
}

// String returns the power as flashes show it: 1/4, or 1/4+1/3 between.
func (p Power) String() string {
	whole := int(math.Floor(float64(p) / 6))
	text := "1/" + strconv.Itoa(1<<min(max(-whole, 0), 30))
	switch int(p) - 6*whole {
	case 2:
		text += "+1/3"
	case 3:
		text += "+1/2"
	case 4:
		text += "+2/3"
	case 1, 5:
		text += fmt.Sprintf("+%d/6", int(p)-6*whole)
	}
	return text
}

// GuideNumber is one row of a unit's table: aperture times distance, in m at
// ISO 100 and full power, with the head at the zoom position.
type GuideNumber struct {
	Zoom   float64 // mm
	Number float64 // m
}

// Unit is a flash.
type Unit struct {
	Name        string
	Guide       []GuideNumber // by rising zoom; at least one
	LowestPower Power
	Click       exposure.Increment // step of the power setting
	HighSpeed   bool               // can burst for high-speed sync
	Plateau     time.Duration      // T_eq of high-speed sync, where no losses are stated
	Losses      []SpeedLoss        // of high-speed sync as stated, by rising speed; may be empty
	Derate      sky.Stops          // loss outdoors against the maker's figures
	Colour      sky.Kelvin         // colour temperature of the bare flash; 0 means NominalColour

	RecycleFull   time.Duration // after full power, fresh batteries
	RecycleFloor  time.Duration // after the weakest
	FlashesPerSet float64       // full-power flashes from one set of batteries
	BurstLimit    float64       // full-power flashes in a row before a rest, see BurstFrames
	BurstRest     time.Duration // that rest
}

// Modifier shapes the light of a head. The zero value is the bare head.
type Modifier struct {
	Name string
	Loss sky.Stops // against the bare head at Zoom
	// ReflectorLoss is against a guide number stated with a reflector, as those
	// of heads without zoom are; 0 where it is Loss there too.
	ReflectorLoss sky.Stops
	// Size is that across the side that faces the subject, in m: of a round one
	// its width, of a rectangular one the mean of Width and Length. 0 for a bare
	// head.
	Size          float64
	Width, Length float64 // m; 0 for a round one
	Zoom          float64 // mm the head is set to inside, 0 where the head may zoom freely
	// Grid is the whole angle that a honeycomb grid is marked with; 0 of anything
	// else.
	Grid sky.Angle
}

// Bare reports whether there is no modifier.
func (m *Modifier) Bare() bool { return m.Size == 0 && m.Loss == 0 && m.ReflectorLoss == 0 }

// Area returns that of the side that faces the subject, in m2.
func (m *Modifier) Area() float64 {
	if m.Width > 0 {
		return m.Width * m.Length
	}
	return math.Pi / 4 * m.Size * m.Size
}

// radiusSquared returns that of a disc of the modifier's area, in m2.
func (m *Modifier) radiusSquared() float64 { return m.Area() / math.Pi }

// NearField returns the share of the inverse-square light that a distance in
// m, above 0, leaves: on the axis of an even disc of radius r it is
// d^2 / (d^2 + r^2) (any handbook of radiometry); other shapes count as the
// disc of their area. It goes to 1 far away, where a modifier's loss is taken
// to be stated. A loss metered at 2 m counts what is lost there twice: 0.06
// stop with 0.6 x 0.9 m, 0.2 with 1.5 m across, on the safe side.
func (m *Modifier) NearField(distance float64) float64 {
	square := distance * distance
	return square / (square + m.radiusSquared())
}

// Gel colours the light.
type Gel struct {
	Name  string
	Loss  sky.Stops
	Shift sky.Mired // positive warms
}

// Head is a group of equal units set up together: same distance, same
// modifier, same power.
type Head struct {
	Unit     *Unit
	Units    int     // how many, ganged
	Distance float64 // m from the subject
	Zoom     float64 // mm, of a bare head
	Modifier Modifier
	Gel      Gel
}

// GuideNumber returns that of one unit as set up, before losses.
func (h *Head) GuideNumber() float64 { return h.Guide().Number }

// ModifierLoss returns what the modifier takes on this unit, but for its near
// field.
func (h *Head) ModifierLoss() sky.Stops {
	if h.StatedWithReflector() {
		return h.Modifier.ReflectorLoss
	}
	return h.Modifier.Loss
}

// StatedWithReflector reports whether the modifier's loss counts against a guide
// number that is stated with a reflector.
func (h *Head) StatedWithReflector() bool { return !h.Unit.Zooms() && h.Modifier.ReflectorLoss > 0 }

// Loss returns what derating, modifier and gel take together.
func (h *Head) Loss() sky.Stops { return h.Unit.Derate + h.ModifierLoss() + h.Gel.Loss }

// Full returns the light of all units at full power at the subject, in lx s:
// 2.5 GN^2 n / d^2 less the losses, and less what the near field of a large
// modifier leaves of it. It follows from GN = N d at ISO 100 and
// H = 250 N^2 / S (ISO 2720:1974).
func (h *Head) Full() exposure.LuxSeconds {
	atOneMetre := exposure.FlashReading(h.GuideNumber(), iso100)
	return atOneMetre * exposure.LuxSeconds(float64(h.Units)/
		(h.Distance*h.Distance)*h.Modifier.NearField(h.Distance)*(-h.Loss()).Factor())
}

// iso100 is the film speed that guide numbers are stated for.
const iso100 exposure.ISO = 0

// SpeedLoss is what high-speed sync costs at one shutter time.
type SpeedLoss struct {
	Shutter exposure.Shutter
	Loss    sky.Stops
}

// HighSpeedLoss returns the stops that high-speed sync costs at a shutter
// time: above the sync speed the burst is a plateau of fixed energy, of which
// a row of the sensor catches t / T_eq. Stated losses stand in its place,
// straight lines over the stops of shutter between them, and one stop for
// each stop beyond their ends. It is never negative.
func (u *Unit) HighSpeedLoss(t exposure.Shutter) sky.Stops {
	if len(u.Losses) == 0 {
		return max(0, sky.StopsOf(u.Plateau.Seconds()/t.Seconds()))
	}
	a, b := u.lossRows(t)
	if a == b {
		return max(0, a.Loss+sky.Stops((t-a.Shutter).Stops()))
	}
	return a.Loss + (b.Loss-a.Loss)*sky.Stops(t-a.Shutter)/sky.Stops(b.Shutter-a.Shutter)
}

// lossRows returns the stated losses that a shutter time lies between, the
// nearer end twice where it lies at or beyond them.
func (u *Unit) lossRows(t exposure.Shutter) (a, b SpeedLoss) {
	first, last := u.Losses[0], u.Losses[len(u.Losses)-1]
	switch {
	case t <= first.Shutter:
		return first, first
	case t >= last.Shutter:
		return last, last
	}
	i := 1
	for t > u.Losses[i].Shutter {
		i++
	}
	return u.Losses[i-1], u.Losses[i]
}

// Reach returns the distance in m at which one bare unit at full power makes
// a normal exposure at ISO 100, its derating counted: N d = GN.
func (u *Unit) Reach(zoom float64, a exposure.Aperture) float64 {
	number, _ := u.GuideAt(zoom)
	return number * (-u.Derate / 2).Factor() / a.FNumber()
}

// Recycle returns the time before the next flash at a power.
func (u *Unit) Recycle(p Power) time.Duration {
	return max(u.RecycleFloor, time.Duration(float64(u.RecycleFull)*p.Fraction()))
}

// HighSpeedHeat is how many times faster a run of frames in high-speed sync
// heats a head than one at the same power without. Common practice, no source.
const HighSpeedHeat = 2

// BurstFrames returns how many frames in a row at a power the head bears
// before it must rest for BurstRest.
func (u *Unit) BurstFrames(p Power, highSpeed bool) float64 {
	frames := u.BurstLimit / p.Fraction()
	if highSpeed {
		frames /= HighSpeedHeat
	}
	return frames
}
