package words

import (
	"math"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/plan"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Problem says why a picture is missed, and by how much.
func Problem(p *plan.Problem, s *plan.Solution, of *shoot.Shoot) string {
	by := MissingStops(p.Misses)
	set := s.Settings.Aperture.String() + ", " + s.Settings.Shutter.String() + ", ISO " + s.Settings.ISO.String()
	switch p.Kind {
	case plan.TooWeak:
		return "flash short by " + by
	case plan.TooStrong:
		return "flash over by " + by + " at its lowest, " + of.Flash.Unit.LowestPower.String()
	case plan.TooBright:
		return "overexposed by " + by + " at " + set
	case plan.TooDark:
		return "underexposed by " + by + " at " + set
	case plan.KeyTooBright:
		return "key side " + by + " too bright for a background at " + Offset(of.Look.Background)
	case plan.TooHard:
		return "ratio too hard by " + by + ", " + Ratio(s.Ratio)
	case plan.TooFlat:
		return "ratio too flat by " + by + ", " + Ratio(s.Ratio)
	case plan.ShadowMissed:
		return "the scrim's shadow does not cover " + Framing(of.Subject.Figure)
	case plan.NoScrim:
		return "no scrim carried"
	case plan.NoFilter:
		return "no ND filter carried"
	case plan.NoHighSpeed:
		return "the flash has no high-speed sync"
	case plan.NoBackground:
		return "no sky in the frame, and nothing stated behind the sitter"
	case plan.CoarseClicks:
		return "nearest setting misses by " + by
	case plan.TooWindy:
		return "wind of " + Force(of.Wind.Beaufort()) + " too strong for the scrim"
	case plan.RimTooWeak:
		return "rim flash short by " + by
	case plan.RimTooStrong:
		return "rim flash over by " + by
	case plan.NoReflector:
		return "no reflector carried"
	case plan.KeyTooDark:
		return "key side " + by + " too dark beside the background"
	case plan.RimNoHighSpeed:
		return "the rim flash has no high-speed sync"
	case plan.FillTooWeak:
		return "fill short by " + by
	case plan.FillNoHighSpeed:
		return "the fill has no high-speed sync"
	}
	return "missed"
}

// Framing names what fills the frame, as a thing to be covered.
func Framing(f scene.Figure) string {
	if f == scene.FullLength {
		return "the full length"
	}
	return f.Name
}

// ProblemShort says the same in a table's cell.
func ProblemShort(p *plan.Problem) string {
	by := Missing(p.Misses)
	switch p.Kind {
	case plan.TooWeak:
		return "flash " + by + " short"
	case plan.TooStrong:
		return "flash " + by + " over"
	case plan.TooBright:
		return by + " overexposed"
	case plan.TooDark:
		return by + " underexposed"
	case plan.KeyTooBright:
		return "key side " + by + " over"
	case plan.KeyTooDark:
		return "key side " + by + " under"
	case plan.TooHard:
		return "ratio " + by + " too hard"
	case plan.TooFlat:
		return "ratio " + by + " too flat"
	case plan.ShadowMissed:
		return "shadow too small"
	case plan.NoScrim:
		return "no scrim"
	case plan.NoReflector:
		return "no reflector"
	case plan.NoFilter:
		return "no ND"
	case plan.NoHighSpeed, plan.RimNoHighSpeed, plan.FillNoHighSpeed:
		return "no high-speed sync"
	case plan.NoBackground:
		return "no sky in frame"
	case plan.CoarseClicks:
		return "clicks " + by + " off"
	case plan.TooWindy:
		return "too windy"
	case plan.RimTooWeak:
		return "rim " + by + " short"
	case plan.RimTooStrong:
		return "rim " + by + " over"
	case plan.FillTooWeak:
		return "fill " + by + " short"
	}
	return "missed"
}

// problemKinds are the names of problems for programs.
var problemKinds = map[plan.ProblemKind]string{
	plan.TooWeak: "flash-too-weak", plan.TooStrong: "flash-too-strong", plan.TooBright: "too-bright",
	plan.TooDark:      "too-dark",
	plan.KeyTooBright: "key-side-too-bright", plan.TooHard: "too-hard", plan.TooFlat: "too-flat",
	plan.ShadowMissed: "scrim-too-small", plan.NoScrim: "no-scrim", plan.NoFilter: "no-filter",
	plan.NoHighSpeed: "no-high-speed-sync", plan.NoBackground: "no-background", plan.CoarseClicks: "coarse-clicks",
	plan.TooWindy:   "too-windy",
	plan.RimTooWeak: "rim-too-weak", plan.RimTooStrong: "rim-too-strong", plan.RimNoHighSpeed: "rim-no-high-speed-sync",
	plan.NoReflector: "no-reflector", plan.KeyTooDark: "key-side-too-dark",
	plan.FillTooWeak: "fill-too-weak", plan.FillNoHighSpeed: "fill-no-high-speed-sync",
}

// ProblemKind names a problem for programs.
func ProblemKind(k plan.ProblemKind) string { return problemKinds[k] }

// Cure says what to change.
func Cure(c plan.Cure, s *shoot.Shoot) string {
	text := cureText(c, s)
	if c.Softer {
		return text + " (softer than asked)"
	}
	return text
}

func cureText(c plan.Cure, s *shoot.Shoot) string {
	switch c.Kind {
	case plan.TurnSitter:
		a := sky.Degrees(c.Value)
		text := "turn the sitter to face " + Compass(a) + " (" + Azimuth(a) + ")"
		if c.Moves {
			text += " with the flash " + Side(c.Angle)
		}
		return text
	case plan.MoveFlash:
		return "flash at " + Metres(c.Value)
	case plan.ChangeFlashes:
		return Count(int(c.Value), "flash")
	case plan.ChangeAperture:
		return c.Aperture.String()
	case plan.SlowShutter:
		return c.Shutter.String() + " from a tripod"
	case plan.BareHead:
		if c.Value > 0 {
			return "bare head at " + UpTo(c.Value, 0) + " mm (hard light)"
		}
		return "bare head (hard light)"
	case plan.ChangeModifier:
		return c.Name + " on the flash"
	case plan.TurnFlash:
		return "flash " + Side(sky.Degrees(c.Value))
	case plan.MoveRim:
		return "rim flash at " + Metres(c.Value)
	case plan.MoveFill:
		return "fill at " + Metres(c.Value)
	case plan.ChangeFills:
		return Count(int(c.Value), "flash") + " as fill"
	case plan.AimScrim:
		return "scrim square to the sun, " + Metres(c.Value) + " from the head"
	case plan.ShadeHead:
		return "frame head and shoulders only"
	case plan.UseMethod:
		return "use " + c.Method.String()
	case plan.ChangeFlash:
		return c.Name + " as the flash"
	case plan.CarryScrim, plan.CarryFilter:
		return "carry " + c.Name
	case plan.ChangeRatio:
		return "ratio " + UpTo(c.Value, 1) + ":1"
	case plan.ChangeBackground:
		switch {
		case math.IsInf(c.Value, 1):
			return "any background"
		case s.Look.Kind == shoot.BackgroundLook:
			return "background held at " + Offset(sky.Stops(c.Value))
		}
		return "background up to " + Offset(sky.Stops(c.Value))
	case plan.OpenShade:
		return "step into open shade"
	case plan.CarryReflector:
		return reflectorText(c)
	case plan.Wait:
		return "wait until " + Clock{}.Time(c.Time)
	}
	return ""
}

// reflectorText says where a reflector helps, and whether the flash does too.
func reflectorText(c plan.Cure) string {
	text := c.Name + " as a reflector " + sideOf(c.Value)
	if c.Method.UsesFlash() {
		return text + ", with flash"
	}
	return text + ", without flash"
}

// sideOf says which side of the face an angle from the camera lies on.
func sideOf(degrees float64) string {
	switch {
	case degrees > 0:
		return "on the key side"
	case degrees < 0:
		return "on the shadow side"
	}
	return "below the lens"
}

// cureKinds are the names of cures for programs.
var cureKinds = map[plan.CureKind]string{
	plan.TurnSitter: "turn-sitter", plan.MoveFlash: "move-flash", plan.ChangeFlashes: "flashes",
	plan.ChangeAperture: "aperture",
	plan.SlowShutter:    "tripod", plan.BareHead: "bare-head", plan.ChangeModifier: "modifier",
	plan.TurnFlash: "flash-angle",
	plan.MoveRim:   "move-rim", plan.AimScrim: "aim-scrim", plan.ShadeHead: "head-and-shoulders", plan.UseMethod: "method",
	plan.ChangeFlash: "flash", plan.CarryScrim: "scrim", plan.CarryFilter: "filter", plan.ChangeRatio: "ratio",
	plan.ChangeBackground: "background", plan.Wait: "wait", plan.OpenShade: "open-shade",
	plan.CarryReflector: "reflector", plan.MoveFill: "move-fill", plan.ChangeFills: "fill-flashes",
}

// CureKind names a cure for programs; a flash that moves is nearer or farther.
func CureKind(c plan.Cure, s *shoot.Shoot) string {
	if c.Kind == plan.MoveFlash {
		if c.Value < s.Flash.Distance {
			return "nearer"
		}
		return "farther"
	}
	return cureKinds[c.Kind]
}

// CureValue is the number that a cure changes something to; false where it is
// no number.
func CureValue(c plan.Cure) (float64, bool) {
	switch c.Kind {
	case plan.ChangeAperture:
		v, err := strconv.ParseFloat(c.Aperture.Nominal(), 64)
		return v, err == nil
	case plan.SlowShutter:
		return c.Shutter.Seconds(), true
	case plan.TurnSitter, plan.MoveFlash, plan.ChangeFlashes, plan.BareHead, plan.TurnFlash, plan.MoveRim, plan.AimScrim,
		plan.ChangeRatio, plan.ChangeBackground, plan.CarryReflector, plan.OpenShade, plan.MoveFill, plan.ChangeFills:
		return c.Value, !math.IsInf(c.Value, 0)
	}
	return 0, false
}

// Cures says what fixes a missed picture, at most so many of the changes; all
// for 0.
func Cures(cures []plan.Cure, s *shoot.Shoot, most int) string {
	var list []string
	for i, c := range cures {
		if most > 0 && i == most {
			break
		}
		list = append(list, Cure(c, s))
	}
	switch len(list) {
	case 0:
		return "No single change fixes that moment."
	case 1:
		return "This fixes that moment: " + list[0] + "."
	}
	return "Any one of these fixes it: " + strings.Join(list, "; ") + "."
}

// Side says where a flash at an angle from the camera stands: 30° from the
// camera, on the key side.
func Side(a sky.Angle) string {
	switch d := math.Round(a.Degrees()); {
	case d > 0:
		return Degrees(a, 0) + " from the camera, on the key side"
	case d < 0:
		return Degrees(-a, 0) + " from the camera, on the shadow side"
	}
	return "just above the lens"
}

// Place says where the flash stands, for the one who carries it: 2 m away, 30°
// to the camera's left.
func Place(p *plan.Place, distance float64) string {
	text := Metres(distance) + " from the sitter, "
	switch {
	case p.Side == 0:
		return text + "just above the lens"
	case math.Round(p.Angle.Degrees()) == 0:
		return text + "just above the lens"
	}
	text += Degrees(p.Angle.Abs(), 0) + " to the camera's " + p.Side.String()
	switch {
	case p.Angle.Abs() <= scene.AboveLens:
		text += ", raised clear of the frame"
	case p.Height > 0:
		text += ", raised " + Metres(p.Height) + " above the head"
	}
	return text
}

// Flash says what the flash does in a table's cell: key 1/4, or no flash. Beside
// a fill the flash is the key, whatever both do to the ratio: key 1/4, fill 1/16.
func Flash(s *plan.Solution) string {
	switch {
	case s.Role == plan.None:
		return "no flash"
	case s.Fill == nil:
		return s.Role.String() + " " + s.Power.String()
	}
	var parts []string
	if s.Fires() {
		parts = append(parts, "key "+s.Power.String())
	}
	if s.Fill.Fires() {
		parts = append(parts, "fill "+s.Fill.Power.String())
	}
	return strings.Join(parts, ", ")
}

// flashName is what the flash is called beside other controls: with a fill it is
// the key.
func flashName(s *plan.Solution) string {
	if s.Fill != nil {
		return "key"
	}
	return "flash"
}

// Condition names that of the sky: thin cloud, heavy overcast.
func Condition(c sky.Condition) string {
	text := c.String()
	switch text {
	case "thin", "broken":
		return text + " cloud"
	case "heavy":
		return text + " overcast"
	}
	return text
}

// Case says which sky of a broken one is meant, as a clause.
func Case(k sky.Case) string { return "with the " + Sun(k) }

// Sun says the same in two words: sun out, sun in.
func Sun(k sky.Case) string {
	if k == sky.SunIn {
		return "sun in"
	}
	return "sun out"
}

// Control is how a setting of a control is written.
func Control(c plan.Control, s *plan.Solution) string {
	switch c {
	case plan.ApertureControl:
		return s.Settings.Aperture.String()
	case plan.ShutterControl:
		return s.Settings.Shutter.String()
	case plan.ISOControl:
		return s.Settings.ISO.String()
	case plan.FilterControl:
		return Filter(s.Settings.ND)
	case plan.PowerControl:
		if !s.Fires() {
			return "off"
		}
		return s.Power.String()
	case plan.FillControl:
		if !s.Fill.Fires() {
			return "off"
		}
		return s.Fill.Power.String()
	case plan.PlaceControl:
		return Side(s.Angle)
	case plan.RimControl:
		if s.RimFlash == nil {
			return "off"
		}
		return s.RimFlash.Power.String()
	case plan.TurnControl:
		return Turn(s.Reflected.Turn)
	case plan.ScrimControl:
		if s.ScrimUp {
			return "up"
		}
		return "down"
	}
	return ""
}

// Turn says how a reflector is turned.
func Turn(t scene.Turn) string {
	switch t {
	case scene.Halfway:
		return "halfway between sitter and sun"
	case scene.Square:
		return "square to the sitter"
	}
	return "down"
}

// Reflector says where a reflector is held on a side of the picture, for the
// one who carries it.
func Reflector(r *scene.Reflector, side scene.Hand) string {
	text := Metres(r.Distance) + " from the sitter, "
	if side == 0 || math.Round(r.Angle.Degrees()) == 0 {
		return text + "below the lens"
	}
	return text + Degrees(r.Angle.Abs(), 0) + " to the camera's " + side.String()
}

// Reason says why a cue comes, as a clause without a full stop.
func Reason(r *plan.Reason, c *plan.Cue, of *shoot.Shoot) string {
	switch r.Kind {
	case plan.AtStart:
		return "the start"
	case plan.SkyTurned:
		return "sky: " + Condition(r.Condition)
	case plan.SunGone:
		return "no direct sun to keep off"
	case plan.SunBack:
		return "direct sun again"
	case plan.PanelTurned:
		return "the reflector throws more light so"
	case plan.LookLost:
		return Problem(r.Problem, c.Set, of)
	case plan.LookBack:
		return "look holds again"
	case plan.RatioCrossed:
		return "ambient ratio now " + Ratio(r.Ratio)
	}
	return moved(r, of)
}

// moved says how the light has changed.
func moved(r *plan.Reason, of *shoot.Shoot) string {
	since := " since " + Clock{}.Time(r.Since)
	if of.Look.Kind == shoot.BackgroundLook {
		return "background " + change(r.Background) + ", face " + change(r.Key) + since
	}
	key, shadow := change(r.Key), change(r.Shadow)
	if key == shadow {
		return "light " + key + since
	}
	return "key side " + key + ", shadow side " + shadow + since
}

// change says how far light has moved.
func change(s sky.Stops) string {
	switch t := Number(float64(s.Abs()), 1); {
	case t == "0.0" || t == Unknown:
		return "unchanged"
	case s < 0:
		return "down " + Stops(-s)
	}
	return "up " + Stops(s)
}

// Span says a stretch of the clock that is open at an end of the window: from
// 18:45, until 19:20, 18:45–19:20; nothing where it is all of it.
func Span(from, until time.Time) string {
	c := Clock{}
	switch {
	case !from.IsZero() && !until.IsZero():
		return c.Range(from, until)
	case !from.IsZero():
		return "from " + c.Time(from)
	case !until.IsZero():
		return "until " + c.Time(until)
	}
	return ""
}
