// Package exposure turns light into camera settings: exposure values, the
// camera's scales, and the light a correct exposure needs.
//
// The relations are those of exposure meters, ISO 2720:1974. All arithmetic
// is on exact scale values; nominal names (f/11, 1/250) exist only as text.
package exposure

import (
	"math"

	"evenfall/sky"
)

// EV is an exposure value at ISO 100. A difference of two is in stops.
type EV float64

// Incident returns the exposure value of light falling on a flat receptor:
// E = 2.5 * 2^EV lx. No light is -Inf.
func Incident(e sky.Lux) EV {
	return EV(e.EV100())
}

// Reflected returns the exposure value of a surface of luminance l:
// L = 0.125 * 2^EV cd/m2. No light is -Inf.
func Reflected(l sky.Luminance) EV {
	return EV(l.EV100())
}

// Lux returns the incident light of the exposure value.
func (v EV) Lux() sky.Lux { return sky.Lux(sky.IncidentConstant / 100 * math.Exp2(float64(v))) }

// Luminance returns the surface luminance of the exposure value.
func (v EV) Luminance() sky.Luminance {
	return sky.Luminance(sky.ReflectedConstant / 100 * math.Exp2(float64(v)))
}

// Minus returns how many stops v lies above w.
func (v EV) Minus(w EV) sky.Stops { return sky.Stops(v - w) }

// Plus returns v raised by s stops.
func (v EV) Plus(s sky.Stops) EV { return v + EV(s) }

// LuxSeconds is an exposure at the subject's plane: illuminance times time.
type LuxSeconds float64

// Settings are what is set on the camera, and the neutral-density filter in
// front of it.
type Settings struct {
	Aperture Aperture
	Shutter  Shutter
	ISO      ISO
	ND       sky.Stops // loss of the filter on the lens, 0 for none
}

// EV returns the exposure value of the light that the settings expose
// normally, the filter counted.
func (s Settings) EV() EV {
	return EV(s.Aperture.Stops()+s.Shutter.Stops()-s.ISO.Stops()) + EV(s.ND)
}

// Need returns the light at the subject that the settings expose normally:
// H = 250 N^2 / S, raised by what the filter takes away.
func (s Settings) Need() LuxSeconds {
	return LuxSeconds(sky.IncidentConstant / 100 * math.Exp2(s.Aperture.Stops()-s.ISO.Stops()+float64(s.ND)))
}

// FlashReading returns the light at the subject that a flash meter set to a
// film speed shows as an f-number: H = 250 N^2 / S.
func FlashReading(fNumber float64, i ISO) LuxSeconds {
	return LuxSeconds(sky.IncidentConstant * fNumber * fNumber / i.Speed())
}

// FlashFNumber returns what a flash meter set to a film speed shows for a
// light: N = sqrt(H S / 250).
func FlashFNumber(h LuxSeconds, i ISO) float64 {
	return math.Sqrt(float64(h) * i.Speed() / sky.IncidentConstant)
}

// Density returns the optical density of what takes so many stops,
// log10(2^loss), about 0.3 for each: as filters are marked (density is
// log10(1 / transmittance), ISO 5-2).
func Density(loss sky.Stops) float64 { return float64(loss) * math.Log10(2) }
