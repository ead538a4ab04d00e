package exposure

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Increment is the size of a camera's click, in sixths of a stop: the
// largest unit in which thirds and halves are both whole numbers.
type Increment int

// The clicks that cameras and flashes have.
const (
	Third Increment = 2
	Half  Increment = 3
	Full  Increment = 6
)

// Stops returns the size of a click.
func (i Increment) Stops() float64 { return float64(i) / sixths }

// String returns the size in words: third, half or full, or a part of a stop.
func (i Increment) String() string {
	switch i {
	case Third:
		return "third"
	case Half:
		return "half"
	case Full:
		return "full"
	}
	return strconv.Itoa(int(i)) + "/6"
}

// sixths is how many units of the scales make a stop.
const sixths = 6

// Aperture is a place on the scale of f-numbers, in sixths of a stop from
// f/1: the exact f-number is 2^(a/12).
type Aperture int

// Shutter is a place on the scale of shutter times, in sixths of a stop from
// one second toward shorter times: the exact time is 2^(-s/6) s.
type Shutter int

// ISO is a place on the scale of film speeds, in sixths of a stop from
// ISO 100: the exact speed is 100 * 2^(i/6).
type ISO int

// Stops returns how far the aperture is closed from f/1.
func (a Aperture) Stops() float64 { return float64(a) / sixths }

// Stops returns how much shorter the time is than one second.
func (s Shutter) Stops() float64 { return float64(s) / sixths }

// Stops returns how far the speed lies above ISO 100.
func (i ISO) Stops() float64 { return float64(i) / sixths }

// FNumber returns the exact f-number: 11.31 for f/11.
func (a Aperture) FNumber() float64 { return math.Exp2(a.Stops() / 2) }

// Seconds returns the exact time: 1/64 s for 1/60.
func (s Shutter) Seconds() float64 { return math.Exp2(-s.Stops()) }

// Speed returns the exact film speed.
func (i ISO) Speed() float64 { return 100 * math.Exp2(i.Stops()) }

// Nominal names, by sixths above the stop at the head of the row. Cameras
// print no name for one sixth and five sixths; those round to a number.
// Common practice of makers; the values follow ISO 2720's series.
var (
	apertureNames = map[Aperture]string{
		0: "1", 2: "1.1", 3: "1.2", 4: "1.2", 6: "1.4", 8: "1.6", 9: "1.7", 10: "1.8",
		12: "2", 14: "2.2", 15: "2.4", 16: "2.5", 18: "2.8", 20: "3.2", 21: "3.3", 22: "3.5",
		24: "4", 26: "4.5", 27: "4.8", 28: "5", 30: "5.6", 32: "6.3", 33: "6.7", 34: "7.1",
		36: "8", 38: "9", 39: "9.5", 40: "10", 42: "11", 44: "13", 45: "13", 46: "14",
		48: "16", 50: "18", 51: "19", 52: "20", 54: "22", 56: "25", 57: "27", 58: "29",
		60: "32", 62: "36", 63: "38", 64: "40", 66: "45", 68: "51", 69: "54", 70: "57", 72: "64",
	}
	shutterNames = map[Shutter]string{
		-30: "30s", -28: "25s", -27: "24s", -26: "20s", -24: "15s", -22: "13s", -21: "12s", -20: "10s",
		-18: "8s", -16: "6s", -15: "6s", -14: "5s", -12: "4s", -10: "3.2s", -9: "3s", -8: "2.5s",
		-6: "2s", -4: "1.6s", -3: "1.5s", -2: "1.3s", 0: "1s", 2: "0.8s", 3: "0.7s", 4: "0.6s",
		6: "0.5s", 8: "0.4s", 9: "1/3", 10: "0.3s", 12: "1/4", 14: "1/5", 15: "1/6", 16: "1/6",
		18: "1/8", 20: "1/10", 21: "1/10", 22: "1/13", 24: "1/15", 26: "1/20", 27: "1/20", 28: "1/25",
		30: "1/30", 32: "1/40", 33: "1/45", 34: "1/50", 36: "1/60", 38: "1/80", 39: "1/90", 40: "1/100",
		42: "1/125", 44: "1/160", 45: "1/180", 46: "1/200", 48: "1/250", 50: "1/320", 51: "1/350", 52: "1/400",
		54: "1/500", 56: "1/640", 57: "1/750", 58: "1/800", 60: "1/1000", 62: "1/1250", 63: "1/1500", 64: "1/1600",
		66: "1/2000", 68: "1/2500", 69: "1/3000", 70: "1/3200", 72: "1/4000", 74: "1/5000", 75: "1/6000", 76: "1/6400",
		78: "1/8000", 80: "1/10000", 81: "1/12000", 82: "1/12800", 84: "1/16000", 86: "1/20000", 88: "1/25600", 90: "1/32000",
	}
	isoNames = map[ISO]string{
		-12: "25", -10: "32", -9: "35", -8: "40", -6: "50", -4: "64", -3: "70", -2: "80",
		0: "100", 2: "125", 3: "140", 4: "160", 6: "200", 8: "250", 9: "280", 10: "320",
		12: "400", 14: "500", 15: "560", 16: "640", 18: "800", 20: "1000", 21: "1100", 22: "1250",
		24: "1600", 26: "2000", 27: "2200", 28: "2500", 30: "3200", 32: "4000", 33: "4500", 34: "5000",
		36: "6400", 38: "8000", 39: "9000", 40: "10000", 42: "12800", 44: "16000", 45: "18000", 46: "20000",
		48: "25600", 50: "32000", 51: "36000", 52: "40000", 54: "51200", 56: "64000", 57: "72000", 58: "80000",
		60: "102400",
	}
)

// Nominal returns the f-number as lenses are marked: "11" for 11.31.
func (a Aperture) Nominal() string {
	if n, ok := apertureNames[a]; ok {
		return n
	}
	return strconv.FormatFloat(a.FNumber(), 'f', 1, 64)
}

// String returns the nominal aperture as it is written: f/11.
func (a Aperture) String() string { return "f/" + a.Nominal() }

// String returns the nominal time as cameras show it: 1/250, 0.5s.
func (s Shutter) String() string {
	if n, ok := shutterNames[s]; ok {
		return n
	}
	if t := s.Seconds(); t >= 0.3 {
		return strconv.FormatFloat(t, 'f', 1, 64) + "s"
	}
	return "1/" + strconv.FormatFloat(1/s.Seconds(), 'f', 0, 64)
}

// String returns the nominal speed: 100, 125, 160.
func (i ISO) String() string {
	if n, ok := isoNames[i]; ok {
		return n
	}
	return strconv.FormatFloat(i.Speed(), 'f', 0, 64)
}

// The ends of the scales, wider than any camera's; all are full stops.
const (
	widestAperture    Aperture = 0   // f/1
	narrowestAperture Aperture = 72  // f/64
	slowestShutter    Shutter  = -30 // 30 s
	fastestShutter    Shutter  = 90  // 1/32000
	lowestISO         ISO      = -12 // 25
	highestISO        ISO      = 60  // 102400
)

// ScaleError is a value that is on none of the camera's scales.
type ScaleError struct {
	What  string // aperture, shutter or ISO
	Value string // as it was given
	Near  string // a value that would do, ready to type
}

func (e *ScaleError) Error() string {
	return fmt.Sprintf("%s %q is not on the camera's scale", e.What, e.Value)
}

// ParseAperture reads an f-number such as "5.6", "f/5.6" or "f5.6", on the
// scale with the increment. The error is a *ScaleError.
func ParseAperture(s string, by Increment) (Aperture, error) {
	text := strings.TrimPrefix(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(s)), "f"), "/")
	return parse(s, "aperture", text, by, widestAperture, narrowestAperture,
		Aperture.Nominal, func(v float64) float64 { return 2 * math.Log2(v) })
}

// ParseShutter reads a time such as "1/250", "0.5s", "0.5" or "2s", on the
// scale with the increment. A whole number above 30 without a unit is refused:
// it most likely means a fraction of a second, as cameras show it, and that is
// near. The error is a *ScaleError.
func ParseShutter(s string, by Increment) (Shutter, error) {
	text, inSeconds := strings.CutSuffix(strings.ToLower(strings.TrimSpace(s)), "s")
	if v, ok := number(text); ok && !inSeconds && v > 30 && v == math.Trunc(v) {
		near, err := parseTime(s, "1/"+text, by)
		if err == nil {
			err = &ScaleError{What: "shutter", Value: s, Near: near.String()}
		}
		return 0, err
	}
	return parseTime(s, text, by)
}

// parseTime reads a time without its unit; given is how it was written.
func parseTime(given, text string, by Increment) (Shutter, error) {
	return parse(given, "shutter", text, by, slowestShutter, fastestShutter,
		func(v Shutter) string { return strings.TrimSuffix(v.String(), "s") },
		func(v float64) float64 { return -math.Log2(v) })
}

// ParseISO reads a film speed such as "200" or "iso200", on the scale with
// the increment. The error is a *ScaleError.
func ParseISO(s string, by Increment) (ISO, error) {
	text := strings.TrimSpace(strings.TrimPrefix(strings.ToLower(strings.TrimSpace(s)), "iso"))
	return parse(s, "ISO", text, by, lowestISO, highestISO,
		ISO.String, func(v float64) float64 { return math.Log2(v / 100) })
}

// parse finds text among the nominal names of a scale; failing that it names
// the nearest place on the scale.
func parse[T ~int](given, what, text string, by Increment, lo, hi T, name func(T) string, stops func(float64) float64) (T, error) {
	for v := lo; v <= hi; v++ {
		if int(v)%int(by) == 0 && name(v) == text {
			return v, nil
		}
	}
	e := &ScaleError{What: what, Value: given}
	value, ok := number(text)
	if !ok {
		e.Near = name(T(0))
		return 0, e
	}
	near := T(math.Round(stops(value)*sixths/float64(by)) * float64(by))
	near = max(lo, min(near, hi)) // the ends are full stops, on every scale
	e.Near = name(near)
	// A lens marked f/5 or a time of 1/256 means the scale's own value.
	if math.Abs(stops(value)-float64(near)/sixths) < 0.12 {
		return near, nil
	}
	return 0, e
}

// number reads a positive decimal or a fraction 1/x.
func number(text string) (float64, bool) {
	denominator, isFraction := strings.CutPrefix(text, "1/")
	if isFraction {
		text = denominator
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !(v > 0) || math.IsInf(v, 0) {
		return 0, false
	}
	if isFraction {
		v = 1 / v
	}
	return v, true
}
