package plan

import (
	"time"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// Cue is an instruction at an exact minute.
type Cue struct {
	Time    time.Time
	Changes []Change
	Reason  Reason
	Was     *Solution // what stood before; nil at the start
	Set     *Solution // everything as it stands after the cue
	At      *Moment
}

// Control is what a hand moves.
type Control string

// The controls.
const (
	ApertureControl Control = "aperture"
	ShutterControl  Control = "shutter"
	ISOControl      Control = "ISO"
	FilterControl   Control = "ND"
	PowerControl    Control = "flash power"
	PlaceControl    Control = "flash place"
	FillControl     Control = "fill power"
	RimControl      Control = "rim power"
	ScrimControl    Control = "scrim"
	TurnControl     Control = "reflector"
)

// Change moves one control.
type Change struct {
	Control Control
	// By is how much more light it lets in or gives; 0 where that says nothing.
	By sky.Stops
}

// ReasonKind says what a cue answers.
type ReasonKind int

// The reasons.
const (
	AtStart      ReasonKind = iota // of the window
	SkyTurned                      // to Condition
	SunGone                        // no direct sun for the scrim to keep off
	SunBack                        // direct sun again
	LookLost                       // with Problem
	LookBack                       // it succeeds again
	RatioCrossed                   // the ambient ratio, at Ratio, asks for the other role
	PanelTurned                    // the reflector gives more another way
	LightMoved                     // since Since, by Key, Shadow and Background
)

// Reason is why a cue comes.
type Reason struct {
	Kind                    ReasonKind
	Condition               sky.Condition
	Problem                 *Problem
	Ratio                   float64
	Since                   time.Time
	Key, Shadow, Background sky.Stops // changes of the ambient light
}

// Cues lists the instructions of a run in time order; the first sets
// everything.
func (r *Run) Cues() []Cue {
	var list []Cue
	last := 0 // the minute of the last cue
	for i := range r.Minutes {
		m := &r.Minutes[i]
		if i == 0 {
			list = append(list, Cue{Time: m.Time, Set: &m.Solution, At: m.Moment})
			continue
		}
		was := &r.Minutes[i-1].Solution
		changes := changesBetween(was, &m.Solution)
		if len(changes) == 0 {
			continue // what moves nothing is no cue
		}
		list = append(list, Cue{
			Time: m.Time, Changes: changes, Reason: whatHappened(&r.Minutes[last], m, was), Was: was, Set: &m.Solution, At: m.Moment,
		})
		last = i
	}
	return list
}

func sameProblem(a, b *Problem) bool {
	return a == nil && b == nil || a != nil && b != nil && a.Kind == b.Kind
}

// changesBetween lists the controls that differ.
func changesBetween(a, b *Solution) []Change {
	var list []Change
	add := func(c Control, differs bool, by sky.Stops) {
		if differs {
			list = append(list, Change{c, by})
		}
	}
	x, y := &a.Settings, &b.Settings
	add(ScrimControl, a.ScrimUp != b.ScrimUp, 0)
	add(TurnControl, a.Reflected.Turn != b.Reflected.Turn, 0)
	add(FilterControl, x.ND != y.ND, x.ND-y.ND)
	add(ApertureControl, x.Aperture != y.Aperture, sky.Stops((x.Aperture - y.Aperture).Stops()))
	add(ShutterControl, x.Shutter != y.Shutter, sky.Stops((x.Shutter - y.Shutter).Stops()))
	add(ISOControl, x.ISO != y.ISO, sky.Stops((y.ISO - x.ISO).Stops()))
	lit := a.Fires() && b.Fires()
	add(PlaceControl, lit && a.Angle.Abs() != b.Angle.Abs(), 0)
	by := sky.Stops(0)
	if lit {
		by = (b.Power - a.Power).Stops()
	}
	add(PowerControl, a.Fires() != b.Fires() || lit && a.Power != b.Power, by)
	if f, g := a.Fill, b.Fill; f != nil && g != nil {
		both := f.Fires() && g.Fires()
		by := sky.Stops(0)
		if both {
			by = (g.Power - f.Power).Stops()
		}
		add(FillControl, f.Fires() != g.Fires() || both && f.Power != g.Power, by)
	}
	switch r, q := a.RimFlash, b.RimFlash; {
	case r != nil && q != nil:
		add(RimControl, r.Power != q.Power, (q.Power - r.Power).Stops())
	default:
		add(RimControl, r != q, 0)
	}
	return list
}

// whatHappened says what happened to the light since the last cue.
func whatHappened(last, is *Minute, was *Solution) Reason {
	b := &is.Solution
	switch {
	case last.Condition != is.Condition:
		return Reason{Kind: SkyTurned, Condition: is.Condition}
	case was.ScrimUp && !b.ScrimUp:
		return Reason{Kind: SunGone}
	case !was.ScrimUp && b.ScrimUp:
		return Reason{Kind: SunBack}
	case was.Reflected.Turn != b.Reflected.Turn:
		return Reason{Kind: PanelTurned}
	case b.Problem != nil && !sameProblem(was.Problem, b.Problem):
		return Reason{Kind: LookLost, Problem: b.Problem}
	case was.Problem != nil && b.Problem == nil:
		return Reason{Kind: LookBack}
	case was.Role != b.Role && was.Role != None && b.Role != None:
		return Reason{Kind: RatioCrossed, Ratio: float64(b.Ambient.Key / b.Ambient.Shadow)}
	}
	since := func(was, is sky.Lux) sky.Stops { return sky.StopsOf(float64(is / was)) }
	r := Reason{
		Kind: LightMoved, Since: last.Time,
		Key:    since(last.Ambient.Key, b.Ambient.Key),
		Shadow: since(last.Ambient.Shadow, b.Ambient.Shadow),
	}
	if last.Known && is.Known {
		r.Background = sky.StopsOf(float64(is.Backdrop / last.Backdrop))
	}
	return r
}

// FlashReading returns the f-number that a flash meter at the face shows for
// the flash alone, pointed at the flash, at the film speed set; an ND filter on
// the lens is not before the meter. 0 without flash.
func (s *Solution) FlashReading() float64 {
	return exposure.FlashFNumber(s.Flash, s.Settings.ISO)
}

// Reading is what it shows for the fill alone, pointed at the fill; 0 where it
// does not fire.
func (f *FillFlash) Reading(i exposure.ISO) float64 { return exposure.FlashFNumber(f.Flash, i) }
