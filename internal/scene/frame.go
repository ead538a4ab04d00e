package scene

import (
	"math"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// Orientation is how the camera is held.
type Orientation int

// The ways of holding it.
const (
	Portrait  Orientation = iota // the frame's long side upright
	Landscape                    // the long side level
)

// Orientations lists both.
var Orientations = [...]Orientation{Portrait, Landscape}

// String returns the orientation as it is typed.
func (o Orientation) String() string {
	if o == Landscape {
		return "landscape"
	}
	return "portrait"
}

// frameAspect is the long side of the picture over the short one, 36 x 24.
const frameAspect = 1.5

// Width returns the level side of the frame as the camera is held.
func (o Optics) Width() exposure.Millimetres {
	if o.Orientation == Landscape {
		return o.FrameHeight * frameAspect
	}
	return o.FrameHeight
}

// Height returns the upright side.
func (o Optics) Height() exposure.Millimetres {
	if o.Orientation == Landscape {
		return o.FrameHeight
	}
	return o.FrameHeight * frameAspect
}

// covers returns the angle that a side of the frame covers, focused far away.
func (o Optics) covers(side exposure.Millimetres) sky.Angle {
	return sky.Angle(2 * math.Atan(float64(side/(2*o.FocalLength))))
}

// Frame returns what the picture covers of the world behind the subject, its
// centre so far above the horizontal.
func (o Optics) Frame(altitude sky.Angle) sky.Frame {
	return sky.Frame{Altitude: altitude, Width: o.covers(o.Width()), Height: o.covers(o.Height())}
}

// DistanceToFill returns the nearest distance, in m, at which the frame holds
// the whole figure, its height and its width.
func (o Optics) DistanceToFill(f Figure) float64 {
	return max(o.distanceAt(f.Top-f.Bottom, o.Height()), o.distanceAt(2*f.Half, o.Width()))
}

// SunFacts is what the sun's place does to a picture.
type SunFacts struct {
	InFrame bool // some of the sun's disc stands in the frame
	Flare   bool // it is within flareAngle of the camera's axis
	InEyes  bool // it shines into the sitter's eyes: within dazzleAngle of the direction to the camera
}

// How near the sun may come to the camera's axis, and to the way the sitter
// looks. Common practice, no source.
const (
	flareAngle  = 30 * math.Pi / 180
	dazzleAngle = 30 * math.Pi / 180
)

// SunFacts returns what the sun does to a picture of a subject that faces an
// azimuth, the frame's centre and with it the camera's axis so far above the
// horizontal. beam is the sun's light as it arrives, sky.Light.DirectNormal:
// with none, behind the skyline or thick cloud, nothing is to be said.
func (o Optics) SunFacts(sun sky.Sun, beam sky.Lux, facing, altitude sky.Angle) SunFacts {
	if beam <= 0 {
		return SunFacts{}
	}
	ray := toward(sun.Altitude, sun.Azimuth)
	axis := toward(altitude, facing+math.Pi)
	return SunFacts{
		InFrame: o.holdsDisc(ray, axis, toward(0, facing+3*math.Pi/2)),
		Flare:   ray.dot(axis) >= math.Cos(flareAngle),
		InEyes:  ray.dot(toward(0, facing)) >= math.Cos(dazzleAngle),
	}
}

// holdsDisc reports whether some of the sun's disc lies within all four edges
// of the frame, given the axis and the direction to its right.
func (o Optics) holdsDisc(ray, axis, right vector) bool {
	above := right.cross(axis)
	within := func(side vector, half sky.Angle) bool {
		sin, cos := math.Sincos(float64(half))
		ahead, aside := ray.dot(axis)*sin, math.Abs(ray.dot(side))*cos
		return ahead-aside >= -math.Sin(float64(sky.SunRadius))
	}
	return within(right, o.covers(o.Width())/2) && within(above, o.covers(o.Height())/2)
}

// Camera is a camera in its place: so many m before the subject, level with
// the middle of the figure and held level.
type Camera struct {
	Optics
	Distance float64 // m
	Figure   Figure
}

// AboveLens is up to how far from the camera's axis, seen from the subject, a
// flash stands above the lens, clear of the frame, rather than beside it. Common
// practice, no source.
const AboveLens sky.Angle = 10 * math.Pi / 180

// FlashInFrame reports whether some of a flash stands in the picture: at an
// angle from the camera's direction seen from the sitter, to either side, so
// many m from the sitter, its modifier square to the sitter, its middle so many
// m above the head and reaching halfSize m to every side. A round one counts as
// its square. Within 10 deg of the axis it stands above the lens and is not in
// it, nor is one beside or behind the camera.
func (c Camera) FlashInFrame(angle sky.Angle, distance, halfSize, height float64) bool {
	angle = sky.Angle(math.Abs(float64(angle.Turn())))
	if angle <= AboveLens {
		return false
	}
	out := toward(0, angle)
	modifier := panel{
		centre: out.times(distance).plus(up.times(height)), normal: out.times(-1),
		across: out.cross(up).times(halfSize), along: up.times(halfSize),
	}
	return c.facing(0).shows(&modifier)
}

// mostRaised is how high over the sitter a flash may stand to be out of the
// frame: higher it lights the brow and leaves the eyes dark. Common practice, no
// source.
const mostRaised sky.Angle = 25 * math.Pi / 180

// ClearHeight returns how many m above the head the middle of a flash has to
// stand to be out of the picture, to 5 cm, and whether it can be without
// standing higher than 25 deg over the sitter; where it cannot, 0 and false.
func (c Camera) ClearHeight(angle sky.Angle, distance, halfSize float64) (height float64, clear bool) {
	const step = 0.05 // m
	for n := 0.0; n*step <= distance*math.Tan(float64(mostRaised)); n++ {
		if !c.FlashInFrame(angle, distance, halfSize, n*step) {
			return n * step, true
		}
	}
	return 0, false
}

// InFrame reports whether the scrim, set up under a sun, stands in the picture
// of a subject that faces an azimuth.
func (s *Scrim) InFrame(sun sky.Sun, facing sky.Angle, figure Figure, lens Optics, distance float64) bool {
	if !shines(sun) {
		return false
	}
	p := s.place(sun, figure)
	return Camera{lens, distance, figure}.facing(facing).shows(&p)
}

// finder is what the camera sees.
type finder struct {
	camera       vector
	ahead, right vector  // unit, level
	wide, high   float64 // half the frame's sides over the focal length
}

// facing returns what the camera sees of a subject that faces an azimuth.
func (c Camera) facing(azimuth sky.Angle) finder {
	ahead := toward(0, azimuth).times(-1)
	return finder{
		camera: ahead.times(-c.Distance).plus(up.times((c.Figure.Top + c.Figure.Bottom) / 2)),
		ahead:  ahead, right: ahead.cross(up),
		wide: float64(c.Width() / (2 * c.FocalLength)), high: float64(c.Height() / (2 * c.FocalLength)),
	}
}

// shows reports whether a panel's outline, as the camera sees it, meets the
// frame; what stands beside or behind the camera does not.
func (f finder) shows(p *panel) bool {
	// What is nearer than this to the camera's own plane is pulled out to it.
	const nearest = 0.1 // m
	left, top := math.Inf(1), math.Inf(-1)
	end, bottom := math.Inf(-1), math.Inf(1)
	seen := false
	o := p.outline()
	for _, corner := range o.corners[:o.count] {
		r := corner.minus(f.camera)
		deep := r.dot(f.ahead)
		seen = seen || deep > nearest
		deep = max(deep, nearest)
		x, y := r.dot(f.right)/deep, r.z/deep
		left, end = min(left, x), max(end, x)
		bottom, top = min(bottom, y), max(top, y)
	}
	return seen && left < f.wide && end > -f.wide && bottom < f.high && top > -f.high
}
