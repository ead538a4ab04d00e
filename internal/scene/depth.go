package scene

import (
	"math"

	"evenfall/internal/exposure"
)

// Optics is a lens on a camera, for what is sharp and what is not. Distances
// are those of a thin lens: from the lens, in m. Real lenses measure them from
// a place inside, and long ones focused close are shorter than marked; both
// make this an estimate, good to a few percent at portrait distances.
type Optics struct {
	FocalLength exposure.Millimetres
	FNumber     float64              // exact: 11.31 for f/11
	FrameHeight exposure.Millimetres // short side of the picture: 24 on 36 x 24
	Orientation Orientation
}

// CircleOfConfusion returns the largest blur that still passes for sharp: 0.03
// mm on 36 x 24 (common practice), in proportion to the frame's short side on
// others, 1/800 of it.
func (o Optics) CircleOfConfusion() exposure.Millimetres { return o.FrameHeight / 800 }

// FieldHeight returns how much, in m, the frame's upright side covers of a
// plane at the focused distance.
func (o Optics) FieldHeight(distance float64) float64 {
	return o.Height().Metres() / o.magnification(distance)
}

// distanceAt returns the distance at which a side of the frame covers so much
// of the focused plane, both in m.
func (o Optics) distanceAt(field float64, side exposure.Millimetres) float64 {
	f := o.FocalLength.Metres()
	return f + f*field/side.Metres()
}

// magnification returns the size of the image over that of the subject,
// f / (s - f). +Inf for a subject at the focal length or nearer, of which the
// lens makes no image.
func (o Optics) magnification(distance float64) float64 {
	f := o.FocalLength.Metres()
	if distance <= f {
		return math.Inf(1)
	}
	return f / (distance - f)
}

// Blur returns the diameter of the disc that a point of the background is
// spread to, as a share of the frame's short side, the lens focused on the
// subject: f/N * m * |b - s| / b over that side, with m the magnification, s
// the subject's distance and b the background's, both from the lens; b may be
// +Inf, where it is f/N * m. (Thin lens, similar triangles; any handbook of
// optics.)
func (o Optics) Blur(subject, background float64) float64 {
	apart := 1.
	if !math.IsInf(background, 1) {
		apart = math.Abs(background-subject) / background
	}
	if apart == 0 {
		return 0
	}
	return float64(o.FocalLength/o.FrameHeight) / o.FNumber * o.magnification(subject) * apart
}

// Hyperfocal returns the distance, in m, from which on to focus for all that
// is far away to pass for sharp: f^2 / (N c) + f.
func (o Optics) Hyperfocal() float64 {
	f := o.FocalLength.Metres()
	return f*f/(o.FNumber*o.CircleOfConfusion().Metres()) + f
}

// DepthOfField returns the nearest and the farthest distance, in m, that pass
// for sharp with the lens focused on the subject; far is +Inf from the
// hyperfocal distance on. With H that distance and f the focal length, they
// are s (H - f) / (H + s - 2f) and s (H - f) / (H - s) (thin lens, exact; any
// handbook of optics).
func (o Optics) DepthOfField(subject float64) (near, far float64) {
	h, f := o.Hyperfocal(), o.FocalLength.Metres()
	near = subject * (h - f) / (h + subject - 2*f)
	if subject >= h {
		return near, math.Inf(1)
	}
	return near, subject * (h - f) / (h - subject)
}
