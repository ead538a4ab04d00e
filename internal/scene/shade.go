package scene

import "evenfall/sky"

// Shade is a place in open shade: something keeps the sun off the sitter and
// takes a part of the sky.
type Shade struct {
	// SkyShare is the share, 0 to 1, that is left of the sky's light on every
	// plane.
	SkyShare float64
}

// UsualSkyShare is what a wall or a row of trees leaves of the sky. Common
// practice, no source.
const UsualSkyShare = 0.5

// Under returns the ambient light on a sitter in open shade: no direct sun, a
// share of the sky's light, and the same ground, which the sun still lights in
// front. It does not say from which side the rest of the sky comes: every
// plane keeps the same share.
func (h Shade) Under(l *sky.Light, sun sky.Sun, s Stance) Ambient {
	upright := func(azimuth sky.Angle) sky.Lux {
		return l.SkyOn(azimuth-sun.Azimuth)*sky.Lux(h.SkyShare) + l.Ground
	}
	shade := upright(s.Facing)
	return Ambient{
		Lit: upright(sun.Azimuth + l.LitPlane()), Shade: shade, Face: shade,
		Key: upright(s.KeyPlane()), Shadow: upright(s.ShadowPlane()),
	}
}
