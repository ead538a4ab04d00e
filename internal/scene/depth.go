package scene

import (
	"math"

	"evenfall/sky"
)

// Optics is a lens on a camera, for what is sharp and what is not. Distances
// are those of a thin lens: from the lens, in m. Real lenses measure them from
// a place inside, and long ones focused close are shorter than marked; both
// make this an estimate, good to a few percent at portrait distances.
type Optics struct {
	FocalLength float64 // mm
	FNumber     float64 // exact: 11.31 for f/11
	FrameHeight float64 // mm, short side of the picture: 24 on 36 x 24
}

// CircleOfConfusion returns the largest blur, in mm, that still passes for
// sharp: 0.03 mm on 36 x 24 (common practice), in proportion to the frame's
// height on others, 1/800 of it.
func (o Optics) CircleOfConfusion() float64 { return o.FrameHeight / 800 }

// FieldOfView returns the angle that the frame's height covers, focused far
// away.
func (o Optics) FieldOfView() sky.Angle {
	return sky.Angle(2 * math.Atan(o.FrameHeight/(2*o.FocalLength)))
}

// FieldHeight returns how much, in m, the frame's height covers of a plane at
// the focused distance.
func (o Optics) FieldHeight(distance float64) float64 {
	return o.FrameHeight / 1000 / o.magnification(distance)
}

// DistanceFor returns the distance at which the frame's height covers so much
// of the focused plane, in m.
func (o Optics) DistanceFor(fieldHeight float64) float64 {
	f := o.FocalLength / 1000
	return f + f*fieldHeight*1000/o.FrameHeight
}

// magnification returns the size of the image over that of the subject,
// f / (s - f). +Inf for a subject at the focal length or nearer, of which the
// lens makes no image.
func (o Optics) magnification(distance float64) float64 {
	f := o.FocalLength / 1000
	if distance <= f {
		return math.Inf(1)
	}
	return f / (distance - f)
}

// Blur returns the diameter of the disc that a point of the background is
// spread to, as a share of the frame's height, the lens focused on the
// subject: f/N * m * |b - s| / b over the height, with m the magnification, s
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
	return o.FocalLength / o.FNumber * o.magnification(subject) * apart / o.FrameHeight
}

// Hyperfocal returns the distance, in m, from which on to focus for all that
// is far away to pass for sharp: f^2 / (N c) + f.
func (o Optics) Hyperfocal() float64 {
	return (o.FocalLength*o.FocalLength/(o.FNumber*o.CircleOfConfusion()) + o.FocalLength) / 1000
}

// DepthOfField returns the nearest and the farthest distance, in m, that pass
// for sharp with the lens focused on the subject; far is +Inf from the
// hyperfocal distance on. With H that distance and f the focal length, they
// are s (H - f) / (H + s - 2f) and s (H - f) / (H - s) (thin lens, exact; any
// handbook of optics).
func (o Optics) DepthOfField(subject float64) (near, far float64) {
	h, f := o.Hyperfocal(), o.FocalLength/1000
	near = subject * (h - f) / (h + subject - 2*f)
	if subject >= h {
		return near, math.Inf(1)
	}
	return near, subject * (h - f) / (h - subject)
}
