package sky

import (
	"math"
	"strconv"
	"strings"
)

// Angle is a plane angle in radians. Build one with Degrees.
type Angle float64

// Degrees returns the angle of d degrees.
func Degrees(d float64) Angle { return Angle(d * (math.Pi / 180)) }

// Degrees returns the angle in degrees.
func (a Angle) Degrees() float64 { return float64(a) * (180 / math.Pi) }

// String returns the angle in degrees to a tenth: 21.2°.
func (a Angle) String() string { return decimal(a.Degrees(), 1) + "°" }

// Normal returns the same direction in [0, 2 pi), as azimuths are written: it
// wraps, so that -10 degrees are 350. What is infinite or not a number is not a
// number.
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

// Turn returns the same direction in [-pi, pi), as differences of azimuths are
// written: it wraps, so that 350 degrees are -10, and 180 are -180. What is
// infinite or not a number is not a number.
func (a Angle) Turn() Angle { return (a + math.Pi).Normal() - math.Pi }

// Abs returns the angle without its sign.
func (a Angle) Abs() Angle { return Angle(math.Abs(float64(a))) }

// Lux is an illuminance in lx.
type Lux float64

// String returns the illuminance to three significant digits: 12300 lx.
func (e Lux) String() string { return significant(float64(e)) + " lx" }

// EV100 returns the exposure value at ISO 100 of light that falls on a flat
// receptor, as an incident meter reads it: log2(100 E / C). No light is -Inf, a
// negative one NaN.
func (e Lux) EV100() float64 { return math.Log2(float64(e) * 100 / IncidentConstant) }

// Luminance is in cd/m2.
type Luminance float64

// String returns the luminance to three significant digits: 3180 cd/m².
func (l Luminance) String() string { return significant(float64(l)) + " cd/m²" }

// EV100 returns the exposure value at ISO 100 of a surface, as a reflected-light
// meter reads it: log2(100 L / K). No light is -Inf, a negative one NaN.
func (l Luminance) EV100() float64 { return math.Log2(float64(l) * 100 / ReflectedConstant) }

// The calibration constants of exposure meters, N^2/t = E S/C = L S/K with the
// f-number N, the time t in s and the ISO speed S. ISO 2720:1974 leaves makers
// a range; these are the usual ones, with which EV 0 at ISO 100 is 2.5 lx and
// 0.125 cd/m2.
const (
	IncidentConstant  = 250.0 // C, lx s, for a flat receptor
	ReflectedConstant = 12.5  // K, cd s/m2
)

// Stops is a ratio of two amounts of light as a power of two:
// one stop is twice the light. Offsets, losses, headroom and errors are Stops.
type Stops float64

// Factor returns 2^s, the ratio that s stops stand for.
func (s Stops) Factor() float64 { return math.Exp2(float64(s)) }

// String returns the stops to a tenth: 0.3 stop, -1.3 stops.
func (s Stops) String() string {
	unit := " stops"
	if s.Abs() < 1.05 { // what is written as 1.0 or less
		unit = " stop"
	}
	return decimal(float64(s), 1) + unit
}

// Abs returns s without its sign.
func (s Stops) Abs() Stops { return Stops(math.Abs(float64(s))) }

// StopsOf returns the stops that a ratio of two amounts of light stands for:
// -Inf for 0, NaN for a negative ratio.
func StopsOf(ratio float64) Stops { return Stops(math.Log2(ratio)) }

// Kelvin is a correlated colour temperature.
type Kelvin float64

// String returns the temperature to a kelvin: 5600 K.
func (k Kelvin) String() string { return decimal(float64(k), 0) + " K" }

// Mired is a shift or position on the reciprocal scale of colour temperature,
// 10^6 / K. Equal shifts look about equally large at any temperature.
type Mired float64

// Mired returns the reciprocal temperature; +Inf for 0 K.
func (k Kelvin) Mired() Mired { return Mired(1e6 / float64(k)) }

// Kelvin returns the temperature; +Inf for 0 mired.
func (m Mired) Kelvin() Kelvin { return Kelvin(1e6 / float64(m)) }

// String returns the position or shift to a mired: 179 mired.
func (m Mired) String() string { return decimal(float64(m), 0) + " mired" }

// decimal writes a number with so many decimals, zero without a sign.
func decimal(v float64, decimals int) string {
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		return strings.TrimPrefix(text, "-")
	}
	return text
}

// significant writes a number to three significant digits, without an exponent
// and without zeros at the end that say nothing.
func significant(v float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'e', 2, 64), 64)
	if err != nil { // rounding went beyond the largest number
		rounded = v
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}
