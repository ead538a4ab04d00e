package plan

import (
	"evenfall/internal/exposure"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Outcome says whether a picture is the one asked for.
type Outcome int

// The outcomes, the better first.
const (
	Held   Outcome = iota // key side, ratio and background within the tolerance
	Softer                // all but the ratio, which is lower than asked by an allowed amount
	Missed
)

// String returns the outcome's name.
func (o Outcome) String() string { return [...]string{"held", "softer", "missed"}[o] }

// Succeeds reports whether the picture can be given to the client: a softer
// one can.
func (o Outcome) Succeeds() bool { return o != Missed }

const (
	usualTolerance  sky.Stops = 1. / 3
	coarseTolerance sky.Stops = 1. / 2 // of a camera that clicks in full stops
	// mostSofter is how much lower than asked a ratio may come out. Under a
	// scrim and in open shade there is no limit: softness is what they are for.
	mostSofter sky.Stops = 1
)

// Tolerance returns how far exposure, ratio and background may lie from the
// look.
func Tolerance(c *exposure.Camera) sky.Stops {
	if c.Click >= exposure.Full {
		return coarseTolerance
	}
	return usualTolerance
}

// offsets are how far a picture lies from the look, in stops.
type offsets struct {
	exposure   sky.Stops // of the key side from normal plus bias
	ratio      sky.Stops // of the lighting ratio above the one asked for
	background sky.Stops // of the background from its offset, or above its limit
}

// outcome is the one place that decides. soft is for a picture under a scrim or in
// open shade.
func (o offsets) outcome(kind shoot.LookKind, within sky.Stops, soft bool) Outcome {
	const rounding = 1e-9
	within += rounding
	switch {
	case o.exposure.Abs() > within, o.over(kind) > within, o.ratio > within:
		return Missed
	case o.ratio >= -within:
		return Held
	case soft, o.ratio >= -mostSofter-rounding:
		return Softer
	}
	return Missed
}

// over is by how much the background is off; below its limit it is not.
func (o offsets) over(kind shoot.LookKind) sky.Stops {
	if kind == shoot.BackgroundLook {
		return o.background.Abs()
	}
	return max(0, o.background)
}

// cost is what the picture is off by, squared.
func (o offsets) cost(kind shoot.LookKind) float64 {
	over := o.over(kind)
	return float64(o.exposure*o.exposure + o.ratio*o.ratio + over*over)
}

// ProblemKind says why a method misses the look.
type ProblemKind int

// The problems.
const (
	TooWeak         ProblemKind = iota + 1 // the flash at full power
	TooStrong                              // the flash at its lowest power
	TooBright                              // ambient, for the fastest and narrowest settings
	TooDark                                // ambient, for the slowest and widest settings
	KeyTooBright                           // ambient alone puts the key side above where the background asks it
	TooHard                                // the ratio comes out higher than asked
	TooFlat                                // the ratio comes out lower than softer allows
	ShadowMissed                           // the scrim does not shade all that the frame shows
	NoScrim                                // none is carried
	NoFilter                               // no neutral-density filter is carried
	NoHighSpeed                            // the flash has no high-speed sync
	NoBackground                           // the frame shows no sky, and no landscape is stated
	CoarseClicks                           // camera and flash have no setting close enough
	TooWindy                               // the stated wind is too strong for the scrim
	RimTooWeak                             // the rim flash at full power
	RimTooStrong                           // the rim flash at its lowest power
	RimNoHighSpeed                         // the rim flash has no high-speed sync
	NoReflector                            // none is carried
	KeyTooDark                             // without flash the key side lies below where the background asks it
	FillTooWeak                            // the fill at full power
	FillNoHighSpeed                        // the fill has no high-speed sync
)

// Lacks reports whether a method lacks the very thing it works with.
func (k ProblemKind) Lacks() bool {
	return k == NoScrim || k == NoFilter || k == NoHighSpeed || k == NoReflector
}

// Problem is why a method misses the look, and by how much.
type Problem struct {
	Kind   ProblemKind
	Misses sky.Stops // positive; 0 where it has no size
}
