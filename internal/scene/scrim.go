package scene

import (
	"math"
	"strconv"

	"evenfall/sky"
)

// vector is a direction or a place in m from the subject's head:
// x east, y north, z up.
type vector struct{ x, y, z float64 }

func (a vector) plus(b vector) vector   { return vector{a.x + b.x, a.y + b.y, a.z + b.z} }
func (a vector) minus(b vector) vector  { return vector{a.x - b.x, a.y - b.y, a.z - b.z} }
func (a vector) times(k float64) vector { return vector{a.x * k, a.y * k, a.z * k} }
func (a vector) dot(b vector) float64   { return a.x*b.x + a.y*b.y + a.z*b.z }
func (a vector) length() float64        { return math.Sqrt(a.dot(a)) }
func (a vector) cross(b vector) vector {
	return vector{a.y*b.z - a.z*b.y, a.z*b.x - a.x*b.z, a.x*b.y - a.y*b.x}
}

// toward returns the unit vector of a direction.
func toward(altitude, azimuth sky.Angle) vector {
	sinAlt, cosAlt := math.Sincos(float64(altitude))
	sinAz, cosAz := math.Sincos(float64(azimuth))
	return vector{cosAlt * sinAz, cosAlt * cosAz, sinAlt}
}

var up = vector{0, 0, 1}

// Figure is how much of the subject a picture shows, and so what a scrim has
// to keep in its shadow: an upright rectangle across the sun's direction, in
// m from the middle of the head. Sizes of a grown-up: common practice, no
// source.
type Figure struct {
	Name        string
	Half        float64 // width to either side
	Top, Bottom float64 // above and below the middle of the head
}

// The figures a shoot can ask for.
var (
	HeadAndShoulders = Figure{"head and shoulders", 0.25, 0.15, -0.40}
	FullLength       = Figure{"full length", 0.30, 0.15, -1.60}
)

// Scrim is a diffusing rectangle between sun and subject. It is carried
// either over the head, its centre Height above it and its tilt fixed, or
// aimed: square to the sun at Distance.
type Scrim struct {
	Name   string
	Width  float64   // m, across the sun's direction
	Length float64   // m, along it
	Loss   sky.Stops // of the light that falls on the cloth
	// StraightShare is the share, 0 to 1, of what the cloth passes that goes
	// on the way it came; the rest is spread. Thin silks about 0.5, grid cloths
	// 0: common practice, no source.
	StraightShare float64

	Height   float64   // m above the head; 0 where the panel is aimed
	Tilt     sky.Angle // of a panel overhead, from level toward the sun
	Reach    float64   // m its centre may stand off from above the head
	Distance float64   // m from the head toward the sun, of an aimed panel; 0 where it is overhead
}

// panel is a scrim set up under one sun.
type panel struct {
	centre vector
	normal vector // unit, on the sun's side
	across vector // half the width
	along  vector // half the length
}

// place sets the scrim up so that the middle of its shadow falls on the middle
// of the figure, as far as its reach allows.
func (s *Scrim) place(sun sky.Sun, figure Figure) panel {
	ray := toward(sun.Altitude, sun.Azimuth)
	out := toward(0, sun.Azimuth)
	middle := (figure.Top + figure.Bottom) / 2
	var p panel
	if s.Distance > 0 {
		// The panel's plane passes the head at the distance; counted from the
		// middle of a full figure, a near panel would cut through the head.
		p.centre = ray.times(s.Distance - middle*ray.z).plus(up.times(middle))
		p.normal = ray
	} else {
		off := s.Reach
		if sin := ray.z; sin > 0 {
			off = min(off, (s.Height-middle)*math.Cos(float64(sun.Altitude))/sin)
		}
		sin, cos := math.Sincos(float64(s.Tilt))
		p.centre = up.times(s.Height).plus(out.times(off))
		p.normal = up.times(cos).plus(out.times(sin))
	}
	across := out.cross(up)
	p.along = p.normal.cross(across).times(s.Length / 2)
	p.across = across.times(s.Width / 2)
	if low := p.lowEdge(); s.Distance > 0 && low < -headHeight {
		// It would stand into the ground. Raised, it still shades the feet.
		p.centre.z -= low + headHeight
	}
	return p
}

// lowEdge returns the height of the panel's lower edge, m from the head.
func (p *panel) lowEdge() float64 {
	return p.centre.z - math.Abs(p.along.z) - math.Abs(p.across.z)
}

// shades reports whether a point lies in the panel's shadow; ray is toward the
// sun.
func (p *panel) shades(point, ray vector) bool {
	slant := p.normal.dot(ray)
	if slant <= 0 {
		return false
	}
	t := p.normal.dot(p.centre.minus(point)) / slant
	if t <= 0 {
		return false
	}
	q := point.plus(ray.times(t)).minus(p.centre)
	const slack = 1 + 1e-9 // a point on the edge is in
	return math.Abs(q.dot(p.across)) <= p.across.dot(p.across)*slack &&
		math.Abs(q.dot(p.along)) <= p.along.dot(p.along)*slack
}

// headHeight is that of the middle of the head above the ground, m: a
// grown-up standing, common practice.
const headHeight = 1.6

// onGround returns the panel's shadow on level ground as a panel lying there,
// and whether it falls there at all.
func (p *panel) onGround(sun sky.Sun) (shadow panel, falls bool) {
	ray := toward(sun.Altitude, sun.Azimuth)
	if ray.z <= 0.01 { // a shadow without end; its share in view is small
		return panel{}, false
	}
	drop := func(v vector) vector { return v.minus(ray.times(v.z / ray.z)) }
	ground := up.times(-headHeight)
	return panel{
		centre: drop(p.centre.minus(ground)).plus(ground), normal: up,
		across: drop(p.across), along: drop(p.along),
	}, true
}

// covers reports whether the whole figure lies in the panel's shadow.
func (p *panel) covers(sun sky.Sun, figure Figure) bool {
	ray := toward(sun.Altitude, sun.Azimuth)
	side := toward(0, sun.Azimuth).cross(up).times(figure.Half)
	for _, height := range [2]float64{figure.Top, figure.Bottom} {
		if !p.shades(up.times(height).plus(side), ray) || !p.shades(up.times(height).minus(side), ray) {
			return false
		}
	}
	return true
}

// Covers reports whether the scrim keeps the sun off the whole figure.
func (s *Scrim) Covers(sun sky.Sun, figure Figure) bool {
	p := s.place(sun, figure)
	return p.covers(sun, figure)
}

// outline is a convex polygon in front of the subject's head.
type outline struct {
	corners [6]vector // a rectangle gains one corner from each of two cuts
	count   int
}

// outline returns the panel's four corners.
func (p *panel) outline() outline {
	return outline{[6]vector{
		p.centre.plus(p.across).plus(p.along), p.centre.minus(p.across).plus(p.along),
		p.centre.minus(p.across).minus(p.along), p.centre.plus(p.across).minus(p.along),
	}, 4}
}

// cut returns what lies on the side of the unit normal n of a plane through
// the head.
func (o *outline) cut(n vector) outline {
	var front outline
	for i, a := range o.corners[:o.count] {
		b := o.corners[(i+1)%o.count]
		da, db := a.dot(n), b.dot(n)
		if da > 0 {
			front.corners[front.count] = a
			front.count++
		}
		if (da > 0) != (db > 0) {
			front.corners[front.count] = a.plus(b.minus(a).times(da / (da - db)))
			front.count++
		}
	}
	return front
}

// factor returns the configuration factor from a small plane at the subject's
// head, with the unit normal n, to the polygon: the share of the plane's
// half sphere, weighted by the cosine, that it fills. It is Lambert's sum over
// the polygon's edges (any radiation handbook, view factor of a polygon), with
// what lies behind the plane cut off.
func (o *outline) factor(n vector) float64 {
	front := o.cut(n)
	var sum float64
	for i := range front.count {
		angle, cos := front.edge(i, n)
		sum += angle * cos
	}
	return min(math.Abs(sum)/(2*math.Pi), 1)
}

// edge returns the angle in rad that edge number i spans at the head, and the
// cosine between the unit normal n and that of the plane through edge and head.
func (o *outline) edge(i int, n vector) (angle, cos float64) {
	a, b := o.corners[i], o.corners[(i+1)%o.count]
	c := a.cross(b)
	l := c.length()
	if l <= 0 {
		return 0, 0
	}
	return math.Atan2(l, a.dot(b)), c.dot(n) / l
}

// aboveHorizon returns what of the polygon stands above the horizon, for only
// that hides sky, and whether it is less than all.
func (o *outline) aboveHorizon() (above outline, less bool) {
	for _, c := range o.corners[:o.count] {
		if c.z <= 0 {
			return o.cut(up), true
		}
	}
	return *o, false
}

// formatDegrees writes an angle with at most one decimal.
func formatDegrees(a sky.Angle) string {
	return strconv.FormatFloat(math.Round(a.Degrees()*10)/10, 'f', -1, 64)
}
