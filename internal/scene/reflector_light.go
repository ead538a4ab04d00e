package scene

import (
	"math"

	"evenfall/sky"
)

// ReflectorLight is what Beside works out on its way to the light beside a
// reflector that is up.
type ReflectorLight struct {
	Turn    Turn
	Up      float64   // m above the middle of the head, of the panel's middle
	Between sky.Angle // halfway: between sitter and sun, seen from the panel
	Tilt    sky.Angle // of the panel's square from straight up
	Toward  sky.Angle // azimuth of the panel's square

	Beam, Open, Around sky.Lux    // on the panel, of the sun, of sky and ground, and of these on an upright one
	Facing             ViewFactor // to the panel, from an upright plane that faces it
	Gain               float64    // that counts
	Sent               sky.Lux    // what a plane gets that sees nothing but the panel
	Dips               bool       // below the horizon, in part

	PlanesByPanel
}

// Derive returns how Beside comes to its answer; false where the reflector is
// down.
func (r *Reflector) Derive(l *sky.Light, sun sky.Sun, s Stance) (ReflectorLight, bool) {
	h := r.hold(l, sun, s)
	if h.turn == Down {
		return ReflectorLight{}, false
	}
	p, aim := &h.panel, s.Toward(r.Angle)
	azimuth := sky.Angle(math.Atan2(p.normal.x, p.normal.y))
	d := ReflectorLight{
		Turn: h.turn, Up: p.centre.z, Tilt: sky.Angle(math.Acos(min(p.normal.z, 1))), Toward: azimuth.Normal(),
		Beam: h.beam, Open: h.open, Around: l.SkyOn(azimuth-sun.Azimuth) + l.Ground,
		Facing: h.whole.viewFactor(toward(0, aim)), Gain: h.gain, Sent: h.glow,
		Dips: h.dips,
	}
	if h.turn == Halfway {
		ray := toward(max(sun.Altitude, 0), sun.Azimuth)
		d.Between = sky.Angle(math.Acos(max(-1, min(1, -ray.dot(toward(0, aim))))))
	}
	plane := func(azimuth sky.Angle) ScrimPlane { return h.plane(l, azimuth, l.SkyOn(azimuth-sun.Azimuth)) }
	d.Lit, d.Shade = plane(sun.Azimuth+l.LitPlane()), plane(s.Facing)
	d.Key, d.Shadow = plane(s.KeyPlane()), plane(s.ShadowPlane())
	d.Ambient = r.Beside(l, sun, s).Ambient
	return d, true
}
