package scene

import (
	"math"

	"evenfall/sky"
)

// Ambient is the ambient light on the subject's planes, in lx.
type Ambient struct {
	Lit, Shade, Face sky.Lux
	// Key and Shadow are the two sides of the face: sky and ground on the plane
	// of each, and on the key side the beam by the angle between sun and
	// camera.
	Key, Shadow sky.Lux
	// Beam is the direct light that still reaches the sitter, on a plane
	// square to the sun: all of it, or what a scrim lets straight through.
	Beam sky.Lux
}

// Open returns the ambient light on a sitter under the open sky.
func Open(l *sky.Light, sun sky.Sun, s Stance) Ambient {
	a := Ambient{
		Lit: l.Lit, Shade: l.Shade, Face: l.Face, Beam: l.DirectNormal,
		Key:    l.SkyOn(s.KeyPlane()-sun.Azimuth) + l.Ground,
		Shadow: l.SkyOn(s.ShadowPlane()-sun.Azimuth) + l.Ground,
	}
	a.Key += a.Beam*sky.Lux(BeamOnFace(ToCamera(sun, s.Facing))) + MoonOnKey(l, s)
	return a
}

// MoonOnKey returns the light of the moon's beam on the key side: as the sun's, on
// the plane within 45 deg of the direction to the camera that lies nearest to it, on
// the key side's half. The shadow side has none: direct light is kept off it.
func MoonOnKey(l *sky.Light, s Stance) sky.Lux {
	b := &l.Moon
	if b.Normal == 0 {
		return 0
	}
	sin, cos := math.Sincos(float64(b.Altitude))
	aside := float64((b.Azimuth - s.Facing) * s.Key.sign())
	ahead := cos * math.Cos(aside) // along the direction to the camera
	across := cos * math.Sin(aside)
	if across >= 0 {
		return b.Normal * sky.Lux(BeamOnFace(sky.Angle(math.Acos(max(-1, min(ahead, 1))))))
	}
	up := math.Abs(math.Atan2(sin, ahead)) // in the upright plane through the camera's axis
	return b.Normal * sky.Lux(math.Sqrt(1-across*across)*max(0, math.Cos(max(0, up-turned))))
}

// Under returns the ambient light on a subject under the scrim, and whether
// the whole figure is in its shadow; where it is not, the sun still strikes
// the subject.
//
// What the cloth spreads makes the panel a lamp of even luminance, E / pi with
// E the light it spreads, that each plane sees by its configuration factor.
// What goes straight through is a weaker beam, on the sitter in the panel's
// shadow. The panel takes from each plane the sky and the ground behind it,
// and dims the ground in its shadow by its own loss.
func (s *Scrim) Under(l *sky.Light, sun sky.Sun, stance Stance, figure Figure) (Ambient, bool) {
	var v veil
	v.raise(s, l, sun, figure)
	upright := func(azimuth sky.Angle) sky.Lux { return v.on(l, azimuth, l.SkyOn(azimuth-sun.Azimuth)).light }
	shade, straight := upright(stance.Facing), sky.Lux(v.straight)
	a := Ambient{
		Lit:    upright(sun.Azimuth) + straight*beamOnLit(l),
		Shade:  shade,
		Face:   shade + straight*(l.Face-l.Shade),
		Key:    upright(stance.KeyPlane()),
		Shadow: upright(stance.ShadowPlane()),
		Beam:   straight * l.DirectNormal,
	}
	a.Key += a.Beam*sky.Lux(BeamOnFace(ToCamera(sun, stance.Facing))) + straight*MoonOnKey(l, stance)
	return a, v.covered
}

// beamOnLit returns the direct light on the lit side under the open sky.
func beamOnLit(l *sky.Light) sky.Lux { return l.Lit - l.SkyLit - l.Ground }

// Straight returns the share of the beam that goes straight through the cloth.
func (s *Scrim) Straight() float64 { return s.StraightShare * (-s.Loss).Factor() }

// veil is a scrim set up in the light of a moment.
type veil struct {
	panel    panel
	covered  bool    // all of the figure is in its shadow
	straight float64 // share of the beam that reaches the figure
	glow     sky.Lux // light on a plane that the panel fills
	behind   hidden
	whole    outline
	above    outline // what of it stands above the horizon
	dips     bool    // that is less than all
	dark     outline // of its shadow on the ground
	falls    bool    // it has one
	dims     float64 // share of the light that the cloth keeps back
}

// raise sets the scrim up.
func (v *veil) raise(s *Scrim, l *sky.Light, sun sky.Sun, figure Figure) {
	v.panel = s.place(sun, figure)
	p := &v.panel
	v.covered, v.straight = p.covers(sun, figure), 1
	if v.covered {
		v.straight = s.Straight()
	}
	v.glow, v.behind = s.sent(p, l, sun), p.hides(l, sun)
	v.whole = p.outline()
	v.above, v.dips = v.whole.aboveHorizon()
	if shadow, falls := p.onGround(sun); falls {
		v.dark, v.falls = shadow.outline(), true
		v.dims = 1 - (-s.Loss).Factor()
	}
}

// veiled is an upright plane under a veil.
type veiled struct {
	part   part
	shadow float64       // configuration factor to the panel's shadow on the ground
	gone   float64       // share of the ground in view, hidden or dimmed
	behind sky.Luminance // mean of the sky that the panel hides from it
	light  sky.Lux       // without direct sun
}

// on returns what an upright plane that faces an azimuth gets.
func (v *veil) on(l *sky.Light, azimuth sky.Angle, fromSky sky.Lux) veiled {
	n := toward(0, azimuth)
	seen := v.whole.factor(n)
	hides := seen
	if v.dips {
		hides = v.above.factor(n)
	}
	q := veiled{part: part{fromSky, hides, seen}, gone: (seen - hides) / openUpright, behind: v.behind.mean(n)}
	if v.falls {
		q.shadow = v.dark.factor(n)
		q.gone += min(q.shadow/openUpright, 1) * v.dims
	}
	q.light = q.part.under(v.glow, q.behind) + l.Ground*sky.Lux(max(0, 1-q.gone))
	return q
}

// sent returns the light that the panel spreads: what falls on its sunny side,
// less the cloth's loss and the part of the beam that goes straight through.
// That part of the sky's light counts as spread: it comes from all over.
func (s *Scrim) sent(p *panel, l *sky.Light, sun sky.Sun) sky.Lux {
	beam, open := p.sunnySide(l, sun)
	return (beam*sky.Lux(1-s.StraightShare) + open) * sky.Lux((-s.Loss).Factor())
}

// sunnySide returns the light that falls on the panel's sunny side from the
// sun and from sky and ground.
func (p *panel) sunnySide(l *sky.Light, sun sky.Sun) (beam, open sky.Lux) {
	// Between level and upright the sky's light goes with the cosine of the
	// tilt: exact for an even sky, an estimate for others.
	cos := p.normal.z
	open = l.DiffuseHorizontal*sky.Lux(cos) + (l.SkyLit+l.Ground)*sky.Lux(1-cos)
	beam = l.DirectNormal * sky.Lux(max(0, p.normal.dot(toward(sun.Altitude, sun.Azimuth))))
	return beam, open
}

// patch is a part of the sky that a panel hides.
type patch struct {
	toward    vector  // from the head, of length 1
	solid     float64 // angle that it takes, sr
	luminance sky.Luminance
}

// hidden is the sky behind the nodes of Gauss-Legendre quadrature over what of a
// panel stands above the horizon.
type hidden [16]patch

// hides returns the sky that the panel hides; none of one below the horizon, and
// none of what the skyline hides already. The nodes are even in the angles that
// its sides are seen under, so that a panel of any size will do.
func (p *panel) hides(l *sky.Light, sun sky.Sun) (h hidden) {
	away := math.Abs(p.centre.dot(p.normal)) // of its plane from the head
	dome, below := l.Dome(), toward(0, sun.Azimuth)
	low, high := p.aboveHorizon()
	across := side{p.across, p.centre, away}.nodes(-1, 1)
	along := side{p.along, p.centre, away}.nodes(low, high)
	for i := range h {
		x, y := across[i/4], along[i%4]
		d := p.centre.plus(p.across.times(x.at)).plus(p.along.times(y.at))
		if d.z <= 0 {
			continue
		}
		distance := d.length()
		solid := x.weight * y.weight * away / (distance * distance * distance)
		h[i] = patch{
			toward: d.times(1 / distance), solid: solid,
			luminance: dome.Luminance(d.z/distance, d.dot(below)/max(math.Hypot(d.x, d.y), 1e-9)),
		}
		if l.HasSkyline() {
			h[i].luminance *= sky.Luminance(seen(l, sun, d, solid))
		}
	}
	return h
}

// seen returns the share of a patch of sky in a direction, of a solid angle in sr,
// that the skyline leaves to be seen.
func seen(l *sky.Light, sun sky.Sun, toward vector, solid float64) float64 {
	azimuth := sky.Angle(math.Atan2(toward.x, toward.y))
	altitude := sky.Angle(math.Atan2(toward.z, math.Hypot(toward.x, toward.y)))
	return l.Seen(azimuth-sun.Azimuth, altitude, sky.Angle(math.Sqrt(solid)))
}

// side is one of the two directions of a panel, half its length, seen from the
// head.
type side struct {
	half, centre vector
	away         float64 // of the panel's plane, m
}

// node is a point along a side in halves of it, with the length it stands for, m.
type node struct{ at, weight float64 }

// nodes returns those of a part of the side, even in the angle from where it is
// nearest.
func (s side) nodes(low, high float64) (list [len(fourNodes)]node) {
	length := s.half.length()
	middle := s.centre.dot(s.half) / length
	from, to := math.Atan2(middle+low*length, s.away), math.Atan2(middle+high*length, s.away)
	for i, n := range fourNodes {
		tan := math.Tan((from + to + (to-from)*n.at) / 2)
		list[i] = node{(tan*s.away - middle) / length, (to - from) * n.weight * s.away * (1 + tan*tan)}
	}
	return list
}

// fourNodes are the nodes of Gauss-Legendre quadrature on [-1, 1], their weights
// adding up to 1 (Abramowitz & Stegun 1964, table 25.4).
var fourNodes = [...]node{{-0.861136311594053, 0.173927422568727},
	{-0.339981043584856, 0.326072577431273}, {0.339981043584856, 0.326072577431273},
	{0.861136311594053, 0.173927422568727}}

// mean returns the mean luminance of what is hidden as a plane square to n sees
// it; 0 where nothing of it is in front.
func (h *hidden) mean(n vector) sky.Luminance {
	var sum, weight float64
	for i := range h {
		counts := h[i].solid * max(0, h[i].toward.dot(n))
		sum += counts * float64(h[i].luminance)
		weight += counts
	}
	if weight == 0 {
		return 0
	}
	return sky.Luminance(sum / weight)
}

// aboveHorizon returns from where to where along the panel, -1 to 1, it stands
// above the horizon; its other edges are level.
func (p *panel) aboveHorizon() (low, high float64) {
	horizon := max(-1, min(-p.centre.z/p.along.z, 1))
	switch {
	case p.along.z > 0:
		return horizon, 1
	case p.along.z < 0:
		return -1, horizon
	}
	return -1, 1
}

// openUpright is the configuration factor from an upright plane to the whole
// sky; from a level plane it is 1.
const openUpright = 0.5

// part is a plane under the sky and a panel.
type part struct {
	sky    sky.Lux // from the open sky
	hides  float64 // configuration factor to the panel above the horizon
	factor float64 // configuration factor to all of the panel
}

// under returns the plane's light from the panel and from the sky around it,
// given the mean luminance of the sky behind the panel.
func (q part) under(glow sky.Lux, behind sky.Luminance) sky.Lux {
	return q.sky*sky.Lux(1-q.hidden(behind)) + glow*sky.Lux(q.factor)
}

// hidden returns the share of the sky's light that the panel takes.
func (q part) hidden(behind sky.Luminance) float64 {
	if q.sky <= 0 {
		return 0
	}
	return min(math.Pi*q.hides*float64(behind)/float64(q.sky), 1)
}
