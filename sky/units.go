package sky

import "math"

// Angle is a plane angle in radians. Build one with Degrees.
type Angle float64

// Degrees returns the angle of d degrees.
func Degrees(d float64) Angle { return Angle(d * (math.Pi / 180)) }

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) * (180 / math.Pi) }

// Normal returns the same direction in [0, 2 pi), as azimuths are written.
func (a Angle) Normal() Angle {
	r := math.Mod(float64(a), 2*math.Pi)
	if r < 0 {
		r += 2 * math.Pi
	}
	if r >= 2*math.Pi { // a tiny negative angle rounds up to the full circle
		r = 0
	}
	return Angle(r)
}

// Turn returns the same direction in [-pi, pi), as differences are written.
func (a Angle) Turn() Angle { return (a + math.Pi).Normal() - math.Pi }

// Lux is an illuminance in lx.
type Lux float64

// Luminance is in cd/m2.
type Luminance float64

// Stops is a ratio of two amounts of light as a power of two:
// one stop is twice the light. Offsets, losses, headroom and errors are Stops.
type Stops float64

// Factor returns 2^s, the ratio that s stops stand for.
func (s Stops) Factor() float64 { return math.Exp2(float64(s)) }

// Size returns s without its sign.
func (s Stops) Size() Stops { return Stops(math.Abs(float64(s))) }

// StopsOf returns the stops that a ratio of two amounts of light stands for:
// -Inf for 0, NaN for a negative ratio.
func StopsOf(ratio float64) Stops { return Stops(math.Log2(ratio)) }

// Kelvin is a correlated colour temperature.
type Kelvin float64

// Mired is a shift or position on the reciprocal scale of colour temperature,
// 10^6 / K. Equal shifts look about equally large at any temperature.
type Mired float64

// Mired returns the reciprocal temperature; +Inf for 0 K.
func (k Kelvin) Mired() Mired { return Mired(1e6 / float64(k)) }

// Kelvin returns the temperature; +Inf for 0 mired.
func (m Mired) Kelvin() Kelvin { return Kelvin(1e6 / float64(m)) }
