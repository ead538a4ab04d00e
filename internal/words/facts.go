package words

import (
	"math"

	"evenfall/internal/flash"
	"evenfall/internal/plan"
	"evenfall/sky"
)

// Check says what to see to before the first frame.
func Check(c *plan.Check) string {
	n := int(c.Value)
	switch c.Kind {
	case plan.StandbyCheck:
		return "standby switched off on " + Count(n, "flash")
	case plan.TriggerCheck:
		return "triggers of " + Count(n, "flash") + " on one channel, with fresh cells"
	case plan.RadioCheck:
		return "radio triggers for " + Count(n, "flash") + " out of the camera's sight"
	case plan.ZoomCheck:
		return c.Name + " zoomed by hand to " + UpTo(c.Value, 0) + " mm"
	case plan.FillZoomCheck:
		return c.Name + " for the fill zoomed by hand to " + UpTo(c.Value, 0) + " mm"
	case plan.RimZoomCheck:
		return c.Name + " for the rim zoomed by hand to " + UpTo(c.Value, 0) + " mm"
	case plan.FastSyncOnCheck:
		return "high-speed sync enabled, for shutter times to " + c.Shutter.String()
	case plan.SyncOnlyCheck:
		return "high-speed sync off, so that the shutter stops at " + c.Shutter.String()
	case plan.SparesCheck:
		return Count(n, "spare set") + " of batteries for each flash"
	case plan.FillSparesCheck:
		return Count(n, "spare set") + " of batteries for each fill flash"
	case plan.RimSparesCheck:
		return Count(n, "spare set") + " of batteries for each rim flash"
	case plan.GelCheck:
		if n > 1 {
			return c.Name + " on key and fill"
		}
		return c.Name + " on the flash"
	case plan.FilterCheck:
		return Filter(sky.Stops(c.Value)) + " clean and at hand"
	case plan.FocusCheck:
		return FocusFirst(sky.Stops(c.Value))
	case plan.FinderCheck:
		return "optical finder covered while nobody looks through it: sun on it gets in behind a dense ND"
	case plan.BalanceCheck:
		return "white balance " + Kelvin(sky.Kelvin(c.Value))
	case plan.SandbagCheck:
		return "at least " + Kilograms(c.Value) + " of sandbags on each stand of " + c.Name
	case plan.HandsCheck:
		return people(n) + " to hold " + c.Name
	case plan.CapCheck:
		return "lens cap on between frames: the sun is in the frame or near it"
	}
	return ""
}

// checkKinds are the names of checks for programs.
var checkKinds = map[plan.CheckKind]string{
	plan.StandbyCheck: "standby-off", plan.TriggerCheck: "triggers", plan.RadioCheck: "radio-triggers",
	plan.ZoomCheck:     "zoom",
	plan.FillZoomCheck: "fill-zoom", plan.FillSparesCheck: "fill-spare-batteries",
	plan.RimZoomCheck: "rim-zoom", plan.FastSyncOnCheck: "high-speed-sync-on", plan.SyncOnlyCheck: "high-speed-sync-off",
	plan.SparesCheck: "spare-batteries", plan.RimSparesCheck: "rim-spare-batteries", plan.GelCheck: "gel",
	plan.FilterCheck: "filter", plan.FocusCheck: "focus-first", plan.FinderCheck: "cover-finder",
	plan.BalanceCheck: "white-balance", plan.SandbagCheck: "sandbags", plan.HandsCheck: "hands", plan.CapCheck: "lens-cap",
}

// CheckKind names a check for programs.
func CheckKind(k plan.CheckKind) string { return checkKinds[k] }

// FocusFirst says how to focus with a dense filter.
func FocusFirst(nd sky.Stops) string {
	return "focus and compose before the " + Filter(nd) + " goes on, then leave autofocus off: " +
		"behind it the finder is dark"
}

// FallOff says how much less light than the face the feet get, or the lower edge
// of the framing.
func FallOff(b *plan.Beam) string {
	return "flash " + Stops(b.FallOff) + " less than on the face, " + Metres(b.Below) + " below it; with the daylight " +
		stopsRange(b.Least, b.Most)
}

// stopsRange writes what counts of stops run between: 0.4 to 0.6 stop.
func stopsRange(low, high sky.Stops) string {
	a := Number(float64(low), 1)
	if a == Number(float64(high), 1) {
		return Stops(high)
	}
	return a + " to " + Stops(high)
}

// Pool says how wide the flash lights at the sitter, against the frame.
func Pool(b *plan.Beam) string {
	w1, h1 := b.Pool.Within(1)
	w2, h2 := b.Pool.Within(2)
	return "lit within a stop " + Size(w1, h1) + ", within two " + Size(w2, h2) +
		"; the frame shows " + Size(b.Width, b.Height)
}

// Size writes a width and a height with their unit: 1.44 × 0.96 m.
func Size(width, height float64) string {
	return UpTo(width, metreDecimals(width)) + " × " + Metres(height)
}

// Vignette says how much less flash the edges of the frame get.
func Vignette(b *plan.Beam) string {
	return "flash " + less(b.AtSides) + " at the frame's sides than at the middle of the figure, " + less(b.AtEnds) +
		" at top and bottom"
}

// Uncovered says how much less flash the ends of the figure get.
func Uncovered(b *plan.Beam) string {
	return "too narrow: flash " + less(b.AtFigure) + " at the figure's corners than at its middle"
}

// less says how much less light there is.
func less(s sky.Stops) string {
	if math.IsInf(float64(s), 1) {
		return "no light"
	}
	return Stops(s) + " less"
}

// PoolModel says what the pool of light rests on.
func PoolModel(k flash.PoolKind) string {
	switch k {
	case flash.ByZoom:
		return "a bare head is taken to be a stop down at the edges of what its zoom position covers"
	case flash.ByReflector:
		return "the reflector is taken to light 65 degrees, to a stop down"
	case flash.ByGrid:
		return "a grid is taken to be a stop down at the edge of the angle it is marked with"
	}
	return "the modifier is taken to be a disc that glows alike to all sides"
}

// Colour says which white balance to set, and what colour the daylight on the
// key side has.
func Colour(f *plan.PictureFacts) string {
	text := "white balance " + Kelvin(f.WhiteBalance)
	if !(f.KeyHigh > 0) {
		return text
	}
	low, high := KelvinNumber(f.KeyLow), Kelvin(f.KeyHigh)
	if low+" K" == high {
		return text + "; daylight on the key side " + high
	}
	return text + "; daylight on the key side " + low + " to " + high
}
