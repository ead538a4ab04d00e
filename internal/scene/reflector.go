package scene

import (
	"math"

	"evenfall/sky"
)

// Reflector is a panel held before the sitter that throws sun and sky back on
// the face. Its middle is level with the head; a panel that would stand into
// the ground is raised.
type Reflector struct {
	Name        string
	Width       float64 // m, level
	Length      float64 // m
	Reflectance float64 // share of the light on it that it throws back, 0 to 1
	// Gain is how much brighter than a matt panel of the same reflectance it
	// looks from where it mirrors the sun to: 1 for matt white, more for silver.
	Gain float64

	Distance float64   // m from the head
	Angle    sky.Angle // from the camera, positive toward the key side
}

// Matt reports whether it spreads the sun evenly.
func (r *Reflector) Matt() bool { return r.Gain <= 1 }

// Surface returns white or silver.
func (r *Reflector) Surface() string {
	if r.Matt() {
		return "white"
	}
	return "silver"
}

// Where a reflector is held that a shoot says nothing of: on the shadow side.
// Common practice, no source.
const (
	UsualReflectorDistance = 1.5 // m
	UsualReflectorDegrees  = -30 // from the camera, see Reflector.Angle
)

// Turn is how a reflector is turned.
type Turn int

// The turns.
const (
	Down    Turn = iota // put down: it would take more light than it gives, or stand in the sun's way
	Square              // square to the sitter, for sky and ground alone
	Halfway             // halfway between sitter and sun
)

// String returns the turn's name.
func (t Turn) String() string { return [...]string{"down", "square", "halfway"}[t] }

// Bounce is the light beside a reflector.
type Bounce struct {
	Turn    Turn
	Ambient Ambient
	// Key and Shadow are what the two sides of the face have more than without
	// it; on a side that hardly sees it, where it hides sky, less than 0.
	Key, Shadow sky.Lux

	panel panel
}

// InFrame reports whether the reflector stands in the picture of a subject that
// faces an azimuth.
func (b *Bounce) InFrame(facing sky.Angle, c Camera) bool {
	return b.Turn != Down && c.facing(facing).shows(&b.panel)
}

// Beside returns the ambient light on a sitter with the reflector held as it
// throws the most light on a plane that faces it.
//
// Matt or silver, the panel is a lamp of even luminance that each plane sees by
// its configuration factor, as a scrim is (see Scrim.Under): it takes from each
// plane the sky and the ground behind it. Halfway between sitter and sun it
// sends the sun where it is wanted, and a matt panel gives the most too: for a
// small one the light goes with the product of the cosines to sun and sitter.
// With the sun behind it that comes to nothing, and it is square to the sitter,
// for sky and ground alone. Its own shadow on the ground is not counted, nor
// that of the sitter on it, nor what it throws back of the moon.
func (r *Reflector) Beside(l *sky.Light, sun sky.Sun, s Stance) Bounce {
	open := Open(l, sun, s)
	h := r.hold(l, sun, s)
	if h.turn == Down {
		return Bounce{Ambient: open}
	}
	upright := func(azimuth sky.Angle) sky.Lux { return h.on(l, azimuth, l.SkyOn(azimuth-sun.Azimuth)).light }
	shade := upright(s.Facing)
	a := Ambient{
		Lit: upright(sun.Azimuth+l.LitPlane()) + beamOnLit(l), Shade: shade, Face: shade + l.Face - l.Shade,
		Key: upright(s.KeyPlane()), Shadow: upright(s.ShadowPlane()), Beam: l.DirectNormal,
	}
	a.Key += a.Beam*sky.Lux(BeamOnFace(ToCamera(sun, s.Facing))) + MoonOnKey(l, s)
	return Bounce{Turn: h.turn, Ambient: a, Key: a.Key - open.Key, Shadow: a.Shadow - open.Shadow, panel: h.panel}
}

// held is a reflector held in the light of a moment.
type held struct {
	veil
	turn   Turn
	beam   sky.Lux // of the sun on the panel
	open   sky.Lux // of sky and ground on it
	facing float64 // configuration factor to it from an upright plane at the head that faces it
	gain   float64 // that counts
}

// hold turns the reflector as it gives the most, or puts it down.
func (r *Reflector) hold(l *sky.Light, sun sky.Sun, s Stance) held {
	aim := s.Toward(r.Angle)
	fromSky := l.SkyOn(aim - sun.Azimuth)
	var best held
	most := fromSky + l.Ground
	for _, turn := range [...]Turn{Square, Halfway} {
		p, ok := r.place(aim, sun, turn)
		if !ok || l.DirectNormal > 0 && p.blocks(sun) {
			continue
		}
		h := r.raise(&p, l, sun, aim, turn)
		if light := h.on(l, aim, fromSky).light; light > most {
			best, most = h, light
		}
	}
	return best
}

// place sets the panel up toward an azimuth from the sitter. With the sun
// straight behind it there is no way halfway.
func (r *Reflector) place(aim sky.Angle, sun sky.Sun, turn Turn) (panel, bool) {
	out := toward(0, aim)
	p := panel{centre: out.times(r.Distance), normal: out.times(-1)}
	if turn == Halfway {
		between := toward(max(sun.Altitude, 0), sun.Azimuth).minus(out)
		if between.length() < 1e-6 {
			return panel{}, false
		}
		p.normal = between.times(1 / between.length())
	}
	across := p.normal.cross(up)
	if across.length() < 1e-6 { // it lies flat
		across = out.cross(up)
	}
	across = across.times(1 / across.length())
	p.along = p.normal.cross(across).times(r.Length / 2)
	p.across = across.times(r.Width / 2)
	if low := p.lowEdge(); low < -headHeight {
		p.centre.z -= low + headHeight
	}
	return p, true
}

// Across returns the azimuth along which the panel's width lies, or the one
// opposite to it, turned in some way.
func (r *Reflector) Across(sun sky.Sun, s Stance, t Turn) sky.Angle {
	p, ok := r.place(s.Toward(r.Angle), sun, t)
	if !ok {
		return s.Toward(r.Angle + math.Pi/2)
	}
	return sky.Angle(math.Atan2(p.across.x, p.across.y)).Normal()
}

// blocks reports whether the panel, from either side, keeps the sun off the
// head.
func (p *panel) blocks(sun sky.Sun) bool {
	ray := toward(sun.Altitude, sun.Azimuth)
	q := *p
	if q.normal.dot(ray) < 0 {
		q.normal = q.normal.times(-1)
	}
	return q.shades(vector{}, ray)
}

// raise works out what the panel throws back. A silver one is brighter by its
// gain where it mirrors the sun, but never gives more than the whole beam that
// falls on it within its own width. An even sky looks the same in a mirror as
// on a matt surface: sky and ground have no gain.
func (r *Reflector) raise(p *panel, l *sky.Light, sun sky.Sun, aim sky.Angle, turn Turn) held {
	h := held{turn: turn, gain: r.Gain}
	v := &h.veil
	v.panel, v.behind, v.whole = *p, p.hides(l, sun), p.outline()
	v.above, v.dips = v.whole.aboveHorizon()
	h.facing = v.whole.factor(toward(0, aim))
	h.open = p.fromAround(l, sun)
	if turn == Halfway {
		cos := max(0, p.normal.dot(toward(sun.Altitude, sun.Azimuth)))
		h.beam = l.DirectNormal * sky.Lux(cos)
		h.gain = min(h.gain, 1/(cos*h.facing))
	}
	v.glow = (h.beam*sky.Lux(h.gain) + h.open) * sky.Lux(r.Reflectance)
	return h
}

// fromAround returns the light of sky and ground on the panel. Between level
// and upright it goes with the cosine of the tilt: exact for an even sky, an
// estimate for others.
func (p *panel) fromAround(l *sky.Light, sun sky.Sun) sky.Lux {
	cos := max(0, p.normal.z)
	azimuth := sky.Angle(math.Atan2(p.normal.x, p.normal.y))
	return l.DiffuseHorizontal*sky.Lux(cos) + (l.SkyOn(azimuth-sun.Azimuth)+l.Ground)*sky.Lux(1-cos)
}
