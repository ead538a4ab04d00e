package scene

import (
	"math"

	"evenfall/sky"
)

// ScrimLight is what Under works out on its way to the light under a scrim.
type ScrimLight struct {
	Out    float64   // m from above the head toward the sun, of the panel's middle
	Up     float64   // m above the middle of the head, of the panel's middle
	Tilt   sky.Angle // from level toward the sun
	Raised bool      // an aimed panel that would stand into the ground
	Turned sky.Angle // between the sun and the square to the panel
	Middle float64   // of the figure against the middle of the head, m

	Beam, Open sky.Lux // on its sunny side, of the sun and of sky and ground
	Sent       sky.Lux // spread: what a plane gets that sees nothing but the panel

	Covered  bool    // all of the figure is in its shadow
	Straight float64 // share of the beam that reaches the figure: all of it where it is not
	Dips     bool    // below the horizon, in part
	Falls    bool    // its shadow, on the ground

	PlanesByPanel
}

// PlanesByPanel are the planes of the sitter by a panel, a scrim or a reflector.
type PlanesByPanel struct {
	Lit, Shade, Key, Shadow ScrimPlane
	Ambient                 Ambient // what comes of it
}

// ScrimPlane is what an upright plane has of a scrim.
type ScrimPlane struct {
	Panel, Above, Shadow ViewFactor    // of the panel, of what stands above the horizon, of its shadow on the ground
	Behind               sky.Luminance // mean of the sky that the panel hides from it
	Hidden               float64       // share of the sky's light that the panel takes
	Gone                 float64       // share of the ground in view, hidden or dimmed
	Sky                  sky.Lux       // without the panel, of the sky alone
	Light                sky.Lux       // without direct sun
}

// ViewFactor is the configuration factor from a plane to a polygon, by the
// edges of what of it lies in front of the plane.
type ViewFactor struct {
	Edges []Edge
	Value float64
}

// Edge is one edge of a polygon as the head sees it.
type Edge struct {
	Angle  sky.Angle // that it spans
	Cosine float64   // between the plane's square and that of the plane through edge and head
}

// Derive returns how Under comes to its answer.
func (s *Scrim) Derive(l *sky.Light, sun sky.Sun, stance Stance, figure Figure) ScrimLight {
	var v veil
	v.raise(s, l, sun, figure)
	p := &v.panel
	middle := (figure.Top + figure.Bottom) / 2
	d := ScrimLight{Out: p.centre.dot(toward(0, sun.Azimuth)), Up: p.centre.z,
		Tilt: sky.Angle(math.Acos(min(p.normal.z, 1))), Middle: middle,
		Sent: v.glow, Covered: v.covered, Straight: v.straight,
		Dips: v.dips, Falls: v.falls}
	d.Beam, d.Open = p.sunnySide(l, sun)
	if s.Distance > 0 {
		d.Raised = p.centre.z > (s.Distance-middle*p.normal.z)*p.normal.z+middle+1e-9
	} else {
		d.Turned = sky.Angle(math.Acos(min(p.normal.dot(toward(sun.Altitude, sun.Azimuth)), 1)))
	}
	plane := func(azimuth sky.Angle) ScrimPlane { return v.plane(l, azimuth, l.SkyOn(azimuth-sun.Azimuth)) }
	d.Lit, d.Shade = plane(sun.Azimuth), plane(stance.Facing)
	d.Key, d.Shadow = plane(stance.KeyPlane()), plane(stance.ShadowPlane())
	d.Ambient, _ = s.Under(l, sun, stance, figure)
	return d
}

func (v *veil) plane(l *sky.Light, azimuth sky.Angle, fromSky sky.Lux) ScrimPlane {
	n, q := toward(0, azimuth), v.on(l, azimuth, fromSky)
	return ScrimPlane{Panel: v.whole.viewFactor(n), Above: v.above.viewFactor(n), Shadow: v.dark.viewFactor(n),
		Behind: q.behind, Hidden: q.part.hidden(q.behind), Gone: q.gone, Sky: fromSky, Light: q.light}
}

func (o *outline) viewFactor(n vector) ViewFactor {
	front := o.cut(n)
	f := ViewFactor{Value: o.factor(n)}
	for i := range front.count {
		if a, cos := front.edge(i, n); a > 0 {
			f.Edges = append(f.Edges, Edge{sky.Angle(a), cos})
		}
	}
	return f
}
