package plan

import (
	"math"

	"evenfall/internal/exposure"
	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"
)

// Asked is what a look asks of one moment, the flash free to stand anywhere:
// the light wanted on the key side, and the one flash that gives both sides
// what they lack. Steady light, in lx; exposure times come later.
type Asked struct {
	ByRatio      sky.Lux // H0: wanted on the key side for the ratio alone
	ByBackground sky.Lux // Hx: that brings the background to its limit or offset; 0 for any
	Wanted       sky.Lux // H: of the two, what the look takes
	OnKey        sky.Lux // a: what the flash adds there
	OnShadow     sky.Lux // b
	Flash        sky.Lux // F = sqrt(a^2 + b^2), on a plane square to it
	Angle        sky.Angle
}

// askedOf works out what the look asks, of key side and shadow side in the
// ambient light near and far, before a background of an exposure value.
func askedOf(look *shoot.Look, near, far sky.Lux, background exposure.EV, known bool) Asked {
	r := sky.Lux(look.Ratio)
	var a Asked
	if near < r*far {
		a.ByRatio = r * far
	} else {
		a.ByRatio = near + (near-r*far)/(r-1)
	}
	a.ByBackground = byBackground(look, background, known)
	a.Wanted = max(a.ByRatio, a.ByBackground)
	if look.Kind == shoot.BackgroundLook && known {
		a.Wanted = a.ByBackground
	}
	a.OnKey, a.OnShadow = max(0, a.Wanted-near), max(0, a.Wanted/r-far)
	a.Flash = sky.Lux(math.Hypot(float64(a.OnKey), float64(a.OnShadow)))
	a.Angle = sky.Angle(math.Atan2(float64(a.OnKey-a.OnShadow), float64(a.OnKey+a.OnShadow)))
	return a
}

// byBackground returns the light on the key side, at normal plus bias, under
// which the background comes out at the look's limit or offset.
func byBackground(look *shoot.Look, background exposure.EV, known bool) sky.Lux {
	offset := look.Offset()
	if !known || math.IsInf(float64(offset), 1) {
		return 0
	}
	return background.Plus(look.Bias - offset).Lux()
}

// nearRatio is how near to the ratio, in stops, the flash is asked to bring
// it: close to a place that cannot reach the ratio the last of it would cost
// without end.
const nearRatio sky.Stops = 1. / 6

// lamp is a flash at one place: the shares of its light on the two sides.
type lamp struct{ key, shadow float64 }

func lampAt(angle sky.Angle) lamp {
	key, shadow := scene.FlashOnFace(angle)
	return lamp{key, shadow}
}

// forRatio returns the flash that makes the lighting ratio r at this place, on
// a plane square to it. Where the place cannot reach the ratio a key gives the
// key side r times the shadow side's ambient light, and a fill gives nothing.
func (p lamp) forRatio(near, far sky.Lux, r float64) sky.Lux {
	lacks := float64(far)*r - float64(near)
	turns := p.key - r*p.shadow
	switch {
	case lacks == 0:
		return 0
	case lacks*turns > 0:
		return sky.Lux(lacks / turns)
	case lacks > 0 && p.key > 0:
		return sky.Lux(lacks / p.key)
	}
	return 0
}

// reach returns the ratio that a flash at this place is asked for, near enough
// to r, and how far it brings it.
func (p lamp) reach(r float64, near, far sky.Lux) (aim float64, how Reach) {
	margin := nearRatio.Factor()
	aim = r
	switch ratio := float64(near / far); {
	case ratio < r/margin:
		aim = r / margin
	case ratio > r*margin:
		aim = r * margin
	default:
		return aim, RatioNear
	}
	lacks := float64(far)*aim - float64(near)
	switch turns := p.key - aim*p.shadow; {
	case lacks*turns > 0:
		return aim, Reached
	case lacks > 0:
		return aim, KeyAlone
	}
	return aim, FillUseless
}

// forLook returns the flash that the look asks for at this place.
func (p lamp) forLook(look *shoot.Look, near, far, byBackground sky.Lux) sky.Lux {
	var flash sky.Lux
	if p.key > 0 {
		flash = max(0, (byBackground-near)/sky.Lux(p.key))
	}
	if look.Kind == shoot.BackgroundLook {
		return flash
	}
	if aim, how := p.reach(look.Ratio, near, far); how != RatioNear {
		flash = max(flash, p.forRatio(near, far, aim))
	}
	return flash
}
