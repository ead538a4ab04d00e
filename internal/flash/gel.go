package flash

import (
	"math"

	"evenfall/sky"
)

// NominalColour is the colour temperature of a flash whose kit states none.
// Common practice, no source: 5500 K, the film makers' daylight.
const NominalColour sky.Kelvin = 5500

// ColourTemperature returns that of the bare flash.
func (u *Unit) ColourTemperature() sky.Kelvin {
	if u.Colour > 0 {
		return u.Colour
	}
	return NominalColour
}

// Through returns the colour temperature of light behind the gel. Gels shift
// by mired, 10^6 / K, whatever the lamp (common practice, as filter makers
// mark them). A shift past 0 mired gives +Inf.
func (g Gel) Through(lamp sky.Kelvin) sky.Kelvin {
	return max(0, lamp.Mired()+g.Shift).Kelvin()
}

// Nearest returns the gel that brings flash nearest to the wanted colour
// temperature, in mired, and what remains: positive where the light is still
// too blue. No gel, the zero value, is always among the choices. Of equally
// near ones it takes the one that loses less, and then the first.
func Nearest(gels []Gel, flash, want sky.Kelvin) (Gel, sky.Mired) {
	const same = 1e-6 // mired; closer together is rounding
	remains := func(g Gel) sky.Mired { return want.Mired() - g.Through(flash).Mired() }
	var best Gel
	left := remains(best)
	for _, g := range gels {
		r := remains(g)
		gain := math.Abs(float64(left)) - math.Abs(float64(r))
		if gain > same || gain >= -same && g.Loss < best.Loss {
			best, left = g, r
		}
	}
	return best, left
}

// ColourWish is the colour wanted of the flash. The zero value asks for none.
type ColourWish struct {
	Kind   WishKind
	Warmer sky.Mired // than the ambient light, of kind WarmerThanLight; negative is cooler
}

// WishKind tells what the flash's colour goes by.
type WishKind int

// The kinds of wish.
const (
	AnyColour       WishKind = iota // the flash stays as it is
	MatchLight                      // the ambient light's
	WarmerThanLight                 // the ambient light's and so many mired more
)

// Target returns the colour temperature to bring the flash to under ambient
// light of a colour temperature: +Inf where the wish is bluer than any light.
// It is false where none is wanted, or where the ambient light has no colour
// (0 K).
func (w ColourWish) Target(ambient sky.Kelvin) (sky.Kelvin, bool) {
	if !(ambient > 0) {
		return 0, false
	}
	switch w.Kind {
	case MatchLight:
		return ambient, true
	case WarmerThanLight:
		return max(0, ambient.Mired()+w.Warmer).Kelvin(), true
	}
	return 0, false
}
