// Package flash knows what battery flashes give and cost: guide numbers,
// power, high-speed sync, modifiers and gels, recycling, batteries and heat.
package flash

import (
	"fmt"
	"math"
	"strconv"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// PlateauEquivalent is the usual T_eq of high-speed sync, in seconds. Three
// makers' instruction manuals agree on it within 0.2 stop.
const PlateauEquivalent = 0.016

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
	Plateau     float64            // T_eq of high-speed sync, s; where no losses are stated
	Losses      []SpeedLoss        // of high-speed sync as stated, by rising speed; may be empty
	Derate      sky.Stops          // loss outdoors against the maker's figures
	Colour      sky.Kelvin         // colour temperature of the bare flash; 0 means NominalColour

	RecycleFull  float64 // s after full power, fresh batteries
	RecycleFloor float64 // s after the weakest
	FlashesASet  float64 // full-power flashes from one set of batteries
	BurstLimit   float64 // full-power flashes in a row before a rest
	BurstRest    float64 // minutes of that rest
}

// Modifier shapes the light of a head. The zero value is the bare head.
type Modifier struct {
	Name string
	Loss sky.Stops
	Size float64 // m across, 0 for a bare head
	Zoom float64 // mm the head is set to inside, 0 where the head may zoom freely
}

// Gel colours the light.
type Gel struct {
	Name  string
	Loss  sky.Stops
	Shift sky.Mired // positive warms
}

// GuideAt returns the guide number with the head at a zoom position, by
// interpolation in logarithms; beyond the ends of the table it stays.
func (u *Unit) GuideAt(zoom float64) float64 {
	a, b := u.guideRows(zoom)
	if a == b {
		return a.Number
	}
	f := math.Log(zoom/a.Zoom) / math.Log(b.Zoom/a.Zoom)
	return a.Number * math.Pow(b.Number/a.Number, f)
}

// guideRows returns the rows that a zoom position lies between, the nearer end
// twice where it lies beyond the table.
func (u *Unit) guideRows(zoom float64) (a, b GuideNumber) {
	g := u.Guide
	if zoom <= g[0].Zoom {
		return g[0], g[0]
	}
	for i := 1; i < len(g); i++ {
		if zoom <= g[i].Zoom {
			return g[i-1], g[i]
		}
	}
	return g[len(g)-1], g[len(g)-1]
}

// LongestZoom returns the end of the unit's zoom range, mm.
func (u *Unit) LongestZoom() float64 { return u.Guide[len(u.Guide)-1].Zoom }

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

// HeadZoom returns the zoom position the heads are set to, mm: a modifier sets
// that of the head inside it. It is 0 where the unit has no zoom.
func (h *Head) HeadZoom() float64 {
	switch {
	case h.Unit.LongestZoom() == 0:
		return 0
	case h.Modifier.Zoom > 0:
		return h.Modifier.Zoom
	}
	return h.Zoom
}

// GuideNumber returns that of one unit as set up, before losses.
func (h *Head) GuideNumber() float64 { return h.Unit.GuideAt(h.HeadZoom()) }

// Loss returns what derating, modifier and gel take together.
func (h *Head) Loss() sky.Stops { return h.Unit.Derate + h.Modifier.Loss + h.Gel.Loss }

// Full returns the light of all units at full power at the subject, in lx s:
// 2.5 GN^2 n / d^2 less the losses. It follows from GN = N d at ISO 100 and
// H = 250 N^2 / S (ISO 2720:1974).
func (h *Head) Full() exposure.LuxSeconds {
	gn := h.GuideNumber()
	return exposure.LuxSeconds(2.5 * gn * gn * float64(h.Units) /
		(h.Distance * h.Distance) * (-h.Loss()).Factor())
}

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
		return max(0, sky.StopsOf(u.Plateau/t.Seconds()))
	}
	a, b := u.lossRows(t)
	if a == b {
		return max(0, a.Loss+sky.Stops(t-a.Shutter)/shutterPerStop)
	}
	return a.Loss + (b.Loss-a.Loss)*sky.Stops(t-a.Shutter)/sky.Stops(b.Shutter-a.Shutter)
}

const shutterPerStop = 6 // units of the shutter's scale

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
	return u.GuideAt(zoom) * (-u.Derate / 2).Factor() / a.FNumber()
}

// Recycle returns the seconds before the next flash at a power.
func (u *Unit) Recycle(p Power) float64 {
	return max(u.RecycleFloor, u.RecycleFull*p.Fraction())
}
