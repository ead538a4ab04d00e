package scene

import (
	"math"

	"evenfall/sky"
)

// frameAspect is the long side of the picture over the short one, 36 x 24.
const frameAspect = 1.5

// InFrame tells whether the scrim, set up under a sun, stands in the picture:
// whether its outline, as the camera sees it, meets the frame. The camera
// stands so many m from the subject, level with the middle of the figure, the
// frame lying; what stands beside or behind the camera is not in it.
func (s *Scrim) InFrame(sun sky.Sun, facing sky.Angle, figure Figure, lens Optics, distance float64) bool {
	if !shines(sun) {
		return false
	}
	p := s.place(sun, figure)
	o := p.outline()
	camera := toward(0, facing).times(distance).plus(up.times((figure.Top + figure.Bottom) / 2))
	ahead := toward(0, facing).times(-1)
	right := ahead.cross(up)

	// What is nearer than this to the camera's own plane is pulled out to it.
	const nearest = 0.1 // m
	left, top := math.Inf(1), math.Inf(-1)
	end, bottom := math.Inf(-1), math.Inf(1)
	seen := false
	for _, corner := range o.corners[:o.count] {
		r := corner.minus(camera)
		deep := r.dot(ahead)
		seen = seen || deep > nearest
		deep = max(deep, nearest)
		x, y := r.dot(right)/deep, r.z/deep
		left, end = min(left, x), max(end, x)
		bottom, top = min(bottom, y), max(top, y)
	}
	high := lens.FrameHeight / (2 * lens.FocalLength)
	wide := high * frameAspect
	return seen && left < wide && end > -wide && bottom < high && top > -high
}
