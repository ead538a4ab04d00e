package scene

import (
	"math"

	"evenfall/sky"
)

// BackgroundKind is what stands behind the subject.
type BackgroundKind int

// The kinds of background.
const (
	SkyBackground BackgroundKind = iota
	Sunlit                       // landscape or wall with whatever sun falls on its side toward the camera
	Shaded                       // the same in the shade of something
)

// BackgroundKinds lists all kinds.
var BackgroundKinds = [...]BackgroundKind{SkyBackground, Sunlit, Shaded}

// String returns the kind as it is typed.
func (k BackgroundKind) String() string { return [...]string{"sky", "sunlit", "shaded"}[k] }

// Background is what stands behind the subject in the frame.
type Background struct {
	Kind        BackgroundKind
	Reflectance float64 // share of the light it throws back, 0 to 1; not of the sky
	Distance    float64 // m behind the subject; +Inf for far away
}

// Luminance returns that of the background under the light of the place: of
// the sky the mean over what of it is in the frame, 0 where none is, else reflectance * E / pi, with E the
// light on an upright plane that faces the camera, with direct sun or without.
// An estimate: it takes the background for matt, upright and square to the
// camera, under the same sky as the subject. A landscape that the camera sees
// against the sun has no direct sun on that side, and counts as shaded even
// if it is called sunlit.
func (b Background) Luminance(l *sky.Light) sky.Luminance {
	switch b.Kind {
	case Sunlit:
		return sky.Luminance(b.Reflectance * float64(l.Face) / math.Pi)
	case Shaded:
		return sky.Luminance(b.Reflectance * float64(l.Shade) / math.Pi)
	}
	return l.Backdrop
}

// Band returns that of the luminance: of the sky its own, of a landscape that
// of the light on it.
func (b Background) Band(l *sky.Light) sky.Band {
	switch b.Kind {
	case Sunlit:
		return l.LitBand
	case Shaded:
		return l.ShadeBand
	}
	return l.BackdropBand
}
