package shootfile

import (
	"fmt"
	"math"
	"regexp"
	"strings"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// hyphened are two numbers without signs and a hyphen between.
var hyphened = regexp.MustCompile(`^([0-9.]+[^0-9-]*)-([0-9.]+[^0-9-]*)$`)

// angles reads the two ends of a range of angles, in degrees: of a list of
// two, or of a text with dots between. An end that is left out is that of open.
// It is false where there is none to be read, which is reported but where there
// is nothing at all; around gives a range in place of a single angle.
func (s *section) angles(key string, end func(string) (float64, bool), open [2]float64,
	around func(float64) string) (from, to float64, ok bool) {
	e := s.take(key)
	if e == nil {
		return 0, 0, false
	}
	parts, parted := e.ends()
	if !parted {
		what, hint := s.said(key, e.written())+" is not a range of degrees", around(0)
		if v, ok := end(parts[0]); ok {
			what, hint = s.said(key, e.written())+" is a single angle, not a range", around(v)
		}
		s.fault(e, what, s.instead(key, hint))
		return 0, 0, false
	}
	var ends [2]float64
	for i, part := range parts {
		v, ok := end(part)
		switch {
		case ok:
			ends[i] = v
		case part == "" && open != [2]float64{} && parts[1-i] != "":
			ends[i] = open[i]
		default:
			s.fault(e, fmt.Sprintf("%s: %s is no angle in degrees", s.called(key), quoted(part)),
				s.instead(key, around(firstAngle(parts, end))))
			return 0, 0, false
		}
	}
	return ends[0], ends[1], true
}

// firstAngle returns the first that is one; 0 where none is.
func firstAngle(parts [2]string, end func(string) (float64, bool)) float64 {
	for _, part := range parts {
		if v, ok := end(part); ok {
			return v
		}
	}
	return 0
}

// ends takes a range of angles apart into the text of its ends; a single one is
// the first of them.
func (e *entry) ends() (parts [2]string, parted bool) {
	if e.list != nil {
		for i := range min(len(e.list), 2) {
			parts[i] = strings.Trim(e.list[i].written(), `"`)
		}
		return parts, len(e.list) == 2
	}
	text, ok := e.value.(string)
	if !ok {
		parts[0] = e.written()
		return parts, false
	}
	text = strings.TrimSpace(strings.ReplaceAll(text, "\u2212", "-"))
	if m := hyphened.FindStringSubmatch(text); m != nil {
		return [2]string{strings.TrimSpace(m[1]), strings.TrimSpace(m[2])}, true
	}
	parts[0], parts[1], parted = cutRange(text)
	return parts, parted
}

// readDegrees reads an angle in degrees.
func readDegrees(text string) (float64, bool) {
	v, ok := readAngle(text)
	if !ok {
		return 0, false
	}
	return v.(float64), true // as readNumber has it
}

// altitudes reads a range of the sun's altitude.
func (s *section) altitudes(key string) *shoot.AngleRange {
	low, high, ok := s.angles(key, readDegrees, [2]float64{-90, 90}, altitudesAround)
	switch {
	case !ok:
		return nil
	case low < -90 || high > 90 || low > 90 || high < -90:
		near := altitudesAround(low)
		if a, b := clamp(low, -90, 90), clamp(high, -90, 90); a < b {
			near = rangeText(a, b)
		}
		s.fault(s.at(key), s.said(key, quoted(rangeText(low, high)))+": must be -90 to 90 degrees", s.instead(key, near))
		return nil
	case low == high:
		s.fault(s.at(key), s.said(key, quoted(rangeText(low, high)))+" is a single angle, not a range",
			s.instead(key, altitudesAround(low)))
		return nil
	case low > high:
		s.fault(s.at(key), s.said(key, quoted(rangeText(low, high)))+": the lower end comes first",
			s.instead(key, rangeText(high, low)))
		return nil
	}
	return &shoot.AngleRange{Low: sky.Degrees(low), High: sky.Degrees(high)}
}

// altitudesAround is a range about a single altitude, to type in its place.
func altitudesAround(v float64) string {
	v = clamp(v, -88, 88)
	return rangeText(v-2, v+2)
}

func rangeText(from, to float64) string { return written(from) + ".." + written(to) }

// readAzimuth reads an azimuth in degrees, as a number or a point of the compass.
func readAzimuth(text string) (float64, bool) {
	if v, ok := readDegrees(text); ok {
		return v, true
	}
	azimuth, ok := compassPoint(strings.TrimSpace(text))
	return azimuth.Degrees(), ok
}

// azimuths reads a range of the sun's azimuth, clockwise.
func (s *section) azimuths(key string) *shoot.AngleRange {
	from, to, ok := s.angles(key, readAzimuth, [2]float64{}, azimuthsAround)
	if !ok {
		return nil
	}
	outside := func(v float64) bool { return !(v >= -180 && v <= 360) } // west of north may be negative
	low, high := wrapped(from), wrapped(to)
	switch {
	case outside(from) || outside(to):
		near := rangeText(low, high)
		if low == high {
			near = azimuthsAround(low)
		}
		s.fault(s.at(key), s.said(key, quoted(rangeText(from, to)))+": must be -180 to 360 degrees from true north",
			s.instead(key, near))
		return nil
	case low == high:
		what := " is a single direction, not a range"
		if from != to {
			what = " is all around, which is no wish"
		}
		s.fault(s.at(key), s.said(key, quoted(rangeText(from, to)))+what, s.instead(key, azimuthsAround(low)))
		return nil
	}
	return &shoot.AngleRange{Low: sky.Degrees(low), High: sky.Degrees(high)}
}

// azimuthsAround is an eighth of the horizon about a single direction, to type
// in its place.
func azimuthsAround(v float64) string {
	const half = 22.5
	if math.IsNaN(v) || math.IsInf(v, 0) {
		v = 0
	}
	return rangeText(wrapped(v-half), wrapped(v+half))
}
