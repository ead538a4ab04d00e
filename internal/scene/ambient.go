package scene

import (
	"math"

	"evenfall/sky"
)

// Ambient is the ambient light on the subject's planes, in lx.
type Ambient struct {
	Lit, Shade, Face sky.Lux
}

// Open returns the ambient light on a subject under the open sky.
func Open(l *sky.Light) Ambient { return Ambient{l.Lit, l.Shade, l.Face} }

// Under returns the ambient light on a subject under the scrim, and whether
// the whole figure is in its shadow; where it is not, the sun still strikes
// the subject.
//
// The panel counts as a lamp of even luminance, transmittance * E / pi with E
// the light on its sunny side, that each plane sees by its configuration
// factor. It takes from each plane the sky and the ground behind it, and dims
// the ground in its shadow by its own loss.
func (s *Scrim) Under(l *sky.Light, sun sky.Sun, facing sky.Angle, figure Figure) (Ambient, bool) {
	p := s.place(sun, figure)
	covered := p.covers(sun, figure)

	glow := s.sent(&p, l, sun) // light on a plane that the panel fills
	bright := p.behind(l, sun)
	whole := p.outline()
	above, dips := whole.aboveHorizon()
	shadow, falls := p.onGround(sun)
	dark := shadow.outline()

	plane := func(azimuth sky.Angle, fromSky sky.Lux) sky.Lux {
		n := toward(0, azimuth)
		seen := whole.factor(n)
		hides := seen
		if dips {
			hides = above.factor(n)
		}
		e := part{fromSky, openUpright, hides, seen}.under(glow, bright)
		gone := (seen - hides) / openUpright // share of the ground in view, hidden or dimmed
		if falls {
			gone += min(dark.factor(n)/openUpright, 1) * (1 - (-s.Loss).Factor())
		}
		return e + l.Ground*sky.Lux(max(0, 1-gone))
	}
	shade := plane(facing, l.SkyShade)
	a := Ambient{Lit: plane(sun.Azimuth, l.SkyLit), Shade: shade, Face: shade}
	if !covered {
		a.Lit += l.Lit - l.SkyLit - l.Ground
		a.Face += l.Face - l.Shade
	}
	return a, covered
}

// sent returns the light that the panel sends on: what falls on its sunny
// side, less the cloth's loss.
func (s *Scrim) sent(p *panel, l *sky.Light, sun sky.Sun) sky.Lux {
	// Between level and upright the sky's light goes with the cosine of the
	// tilt: exact for an even sky, an estimate for others.
	cos := p.normal.z
	open := l.DiffuseHorizontal*sky.Lux(cos) + (l.SkyLit+l.Ground)*sky.Lux(1-cos)
	beam := l.DirectNormal * sky.Lux(max(0, p.normal.dot(toward(sun.Altitude, sun.Azimuth))))
	return (beam + open) * sky.Lux((-s.Loss).Factor())
}

// behind returns the mean luminance of the sky that the panel hides, from its
// middle and the middles of its quarters.
func (p *panel) behind(l *sky.Light, sun sky.Sun) sky.Luminance {
	half := [5]vector{{}, p.across.times(0.5), p.across.times(-0.5), p.along.times(0.5), p.along.times(-0.5)}
	var sum sky.Luminance
	for _, off := range half {
		d := p.centre.plus(off)
		altitude := math.Atan2(d.z, math.Hypot(d.x, d.y))
		sum += l.Luminance(sky.Angle(altitude), sky.Angle(math.Atan2(d.x, d.y))-sun.Azimuth)
	}
	return sum / sky.Luminance(len(half))
}

// openUpright is the configuration factor from an upright plane to the whole
// sky; from a level plane it is 1.
const openUpright = 0.5

// part is a plane under the sky and a panel.
type part struct {
	sky    sky.Lux // from the open sky
	open   float64 // configuration factor to the whole sky
	hides  float64 // configuration factor to the panel above the horizon
	factor float64 // configuration factor to all of the panel
}

// under returns the plane's light from the panel and from the sky around it.
// The panel takes the share of the sky's light that it hides: the hidden
// part counts with its own luminance, the rest with the plane's mean, so the
// share goes to nothing with the panel and to all of it with a panel that
// fills the sky.
func (q part) under(glow sky.Lux, behind sky.Luminance) sky.Lux {
	f := min(q.hides, q.open)
	mean := float64(q.sky) / (math.Pi * q.open)
	hidden := f * float64(behind)
	share := 0.0
	if hidden > 0 {
		share = hidden / (hidden + (q.open-f)*mean)
	}
	return q.sky*sky.Lux(1-share) + glow*sky.Lux(q.factor)
}
