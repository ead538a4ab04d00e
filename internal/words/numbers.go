package words

import (
	"math"
	"strconv"
	"strings"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// Number writes a value with a fixed count of decimals, Unknown where it is
// not finite, and zero without a sign.
func Number(v float64, decimals int) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Unknown
	}
	s := strconv.FormatFloat(math.Abs(v), 'f', decimals, 64)
	if v < 0 && strings.Trim(s, "0.") != "" {
		return "−" + s
	}
	return s
}

// UpTo writes a value with at most so many decimals.
func UpTo(v float64, decimals int) string {
	s := Number(v, decimals)
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}

// Digits writes an amount to so many significant digits, without zeros behind
// the point that say nothing: 41200, 86.6, 0.25.
func Digits(v float64, digits int) string {
	if v == 0 || math.IsNaN(v) || math.IsInf(v, 0) {
		return Number(v, 0)
	}
	decimals := digits - 1 - int(math.Floor(math.Log10(math.Abs(v))))
	if decimals >= 0 {
		return UpTo(v, decimals)
	}
	unit := math.Pow(10, float64(-decimals))
	return Number(math.Round(v/unit)*unit, 0)
}

// Stops writes a count of stops with its word and one decimal: 0.3 stop,
// 1.0 stop, 1.3 stops.
func Stops(s sky.Stops) string { return withStop(Number(float64(s), 1)) }

// StopsTo writes a count of stops that is stated finer than to a tenth, with
// one to so many decimals: 1.0 stop, 1.67 stops.
func StopsTo(s sky.Stops, decimals int) string {
	fine := UpTo(float64(s), decimals)
	if coarse := Number(float64(s), 1); len(fine) < len(coarse) {
		fine = coarse
	}
	return withStop(fine)
}

// withStop puts the word behind a count of stops as it is written.
func withStop(number string) string {
	v, err := strconv.ParseFloat(strings.TrimPrefix(number, "−"), 64)
	if err == nil && v <= 1 {
		return number + " stop"
	}
	return number + " stops"
}

// leastMissing is the least that is ever said to be missing, stops.
const leastMissing sky.Stops = 0.1

// Missing writes by how much something is missed, without the word: what is
// missing is never rounded away. The sign does not count.
func Missing(s sky.Stops) string { return Number(float64(max(s.Abs(), leastMissing)), 1) }

// MissingStops writes by how much something is missed, as Missing does, with
// the word.
func MissingStops(s sky.Stops) string { return withStop(Missing(s)) }

// Offset writes an offset in stops with its sign: +0.3, −0.5, ±0.0.
func Offset(s sky.Stops) string {
	t := Number(float64(s), 1)
	switch {
	case t == Unknown:
		return t
	case t == "0.0":
		return "±" + t
	case s > 0:
		return "+" + t
	}
	return t
}

// OffsetStops writes an offset with its sign and the word: +0.3 stop.
func OffsetStops(s sky.Stops) string {
	t := Offset(s)
	size := strings.TrimLeft(t, "+−±")
	return strings.TrimSuffix(t, size) + withStop(size)
}

// Band writes where eight of ten measured values lie around an estimate, in
// stops: −0.3 to +0.2.
func Band(b sky.Band) string {
	low, high := Offset(b.Low), Offset(b.High)
	if low == Unknown || high == Unknown {
		return Unknown
	}
	return low + " to " + high
}

// EV writes an exposure value with one decimal.
func EV(v exposure.EV) string { return Number(float64(v), 1) }

// Degrees writes an angle with its sign: 21.2°.
func Degrees(a sky.Angle, decimals int) string {
	t := Number(a.Degrees(), decimals)
	if t == Unknown {
		return t
	}
	return t + "°"
}

// Azimuth writes a direction in whole degrees, 0 to 359.
func Azimuth(a sky.Angle) string {
	d := math.Round(a.Normal().Degrees())
	if d == 360 {
		d = 0
	}
	return Degrees(sky.Degrees(d), 0)
}

// Coordinates writes a place on the earth to some ten metres: 54.33° N, 10.15° E.
func Coordinates(latitude, longitude sky.Angle) string {
	side := func(a sky.Angle, positive, negative string) string {
		if a < 0 {
			positive = negative
		}
		return UpTo(math.Abs(a.Degrees()), 4) + "° " + positive
	}
	return side(latitude, "N", "S") + ", " + side(longitude, "E", "W")
}

// Compass names the nearest of the eight points of the compass.
func Compass(a sky.Angle) string {
	d := a.Normal().Degrees()
	if math.IsNaN(d) {
		return Unknown
	}
	points := [...]string{"north", "north-east", "east", "south-east", "south", "south-west", "west", "north-west"}
	return points[int(math.Round(d/45))%len(points)]
}

// Metres writes a length with its unit, to a centimetre near by and coarser
// farther off: 1.8 m, 12.5 m, 240 m.
func Metres(v float64) string { return withUnit(UpTo(v, metreDecimals(v)), "m") }

// MetresNumber writes a length for a column whose heading has the unit, its
// decimals fixed so that they align.
func MetresNumber(v float64) string { return Number(v, metreDecimals(v)) }

func metreDecimals(v float64) int {
	switch {
	case math.Abs(v) < 9.995:
		return 2
	case math.Abs(v) < 99.95:
		return 1
	}
	return 0
}

// Kelvin writes a colour temperature to 50 K with its unit.
func Kelvin(k sky.Kelvin) string { return withUnit(KelvinNumber(k), "K") }

// KelvinNumber writes a colour temperature to 50 K without its unit.
func KelvinNumber(k sky.Kelvin) string {
	v := float64(k)
	if !(v > 0) {
		return Unknown
	}
	return Number(math.Round(v/50)*50, 0)
}

// Ratio writes a lighting or ambient ratio: 3.1:1.
func Ratio(r float64) string {
	switch {
	case !(r > 0) || math.IsInf(r, 0):
		return Unknown
	case r >= 999.95:
		return "over 999:1"
	}
	return Number(r, 1) + ":1"
}

// Percent writes a share of the whole: 55 %.
func Percent(share float64) string { return withUnit(Number(100*share, 0), "%") }

// Filter names a neutral-density filter by what it takes: 3-stop ND,
// 1.7-stop ND, and no ND for none.
func Filter(loss sky.Stops) string {
	t := UpTo(float64(loss), 1)
	switch t {
	case Unknown:
		return t
	case "0":
		return "no ND"
	}
	return t + "-stop ND"
}

// withUnit puts a unit behind a number, none behind an unknown one.
func withUnit(number, unit string) string {
	if number == Unknown {
		return number
	}
	return number + " " + unit
}
