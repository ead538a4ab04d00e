package shootfile

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"strings"

	"evenfall/internal/exposure"
)

// clickName writes the size of a click in words.
func clickName(by exposure.Increment) string {
	switch by {
	case exposure.Half:
		return "half stops"
	case exposure.Full:
		return "full stops"
	}
	return "third stops"
}

// steps reads the size of a click.
func (s *section) steps(key string, fallback exposure.Increment) exposure.Increment {
	if s.take(key) == nil {
		return fallback
	}
	switch text := s.text(key, "third"); strings.ToLower(text) {
	case "third":
		return exposure.Third
	case "half":
		return exposure.Half
	case "full":
		return exposure.Full
	default:
		s.fault(s.at(key), fmt.Sprintf("%s is not a size of click", s.said(key, quoted(text))),
			key+` = "third", "half" or "full"`)
	}
	return fallback
}

// digits is a number as the scales are marked: 5.6, 1/250, f/8.
var digits = regexp.MustCompile(`^\s*(?i:f/?|iso\s*)?(1/)?[0-9.]+\s*s?\s*$`)

// The ends that a lens is taken to have.
const (
	widestUsual    exposure.Aperture = 12 // f/2
	narrowestUsual exposure.Aperture = 48 // f/16
)

// apertureOf reads an f-number on a scale, with those of a lens as hints.
func (s *section) apertureOf(l *exposure.Lens, key string, by exposure.Increment,
	fallback exposure.Aperture) exposure.Aperture {
	return scaled(s, key, by, fallback, exposure.ParseAperture, func(a exposure.Aperture) exposure.Aperture {
		return max(l.Widest, min(a, l.Narrowest))
	})
}

// shutter reads a time on a scale.
func (s *section) shutter(key string, by exposure.Increment, fallback exposure.Shutter) exposure.Shutter {
	return scaled(s, key, by, fallback, exposure.ParseShutter, nil)
}

// slowestSync is slower than the sync speed of any camera with a focal-plane
// shutter. Common practice, no source.
const slowestSync exposure.Shutter = 30 // 1/30

// syncSpeed reads the fastest time that a flash lights the whole frame with.
func (s *section) syncSpeed(key string, by exposure.Increment, fallback exposure.Shutter) exposure.Shutter {
	sync := scaled(s, key, by, fallback, exposure.ParseShutter, func(t exposure.Shutter) exposure.Shutter {
		return max(t, slowestSync)
	})
	if sync < slowestSync {
		s.fault(s.at(key), fmt.Sprintf("%s is slower than %v, and no sync speed is", s.said(key,
			s.at(key).written()), slowestSync),
			s.instead(key, slowestSync.String()))
		return fallback
	}
	return sync
}

// anyShutter reads a time on the scale of half stops or that of third stops.
func (s *section) anyShutter(key string, fallback exposure.Shutter) exposure.Shutter {
	return scaled(s, key, exposure.Third, fallback, func(text string, by exposure.Increment) (exposure.Shutter, error) {
		// No time of the one scale is near one of the other but the full stops.
		if t, err := exposure.ParseShutter(text, exposure.Half); err == nil {
			return t, nil
		}
		return exposure.ParseShutter(text, by)
	}, nil)
}

// slowest reads the slowest time held by hand. It is the hand's and not the
// camera's: one of third stops between two clicks counts as the shorter of them.
func (s *section) slowest(key string, by exposure.Increment, fallback exposure.Shutter) exposure.Shutter {
	if e := s.take(key); e != nil && by != exposure.Third {
		text, _ := e.value.(string)
		if t, err := exposure.ParseShutter(text, exposure.Third); err == nil {
			return exposure.Shutter(math.Ceil(float64(t)/float64(by))) * exposure.Shutter(by)
		}
	}
	return s.shutter(key, by, fallback)
}

// iso reads a film speed on a scale.
func (s *section) iso(key string, by exposure.Increment, fallback exposure.ISO) exposure.ISO {
	return scaled(s, key, by, fallback, exposure.ParseISO, nil)
}

// scaled reads a value of one of the camera's scales, written as a number or
// as text. Fit brings a hint into the range of the kit; it may be nil.
func scaled[T fmt.Stringer](s *section, key string, by exposure.Increment, fallback T,
	parse func(string, exposure.Increment) (T, error), fit func(T) T) T {
	e := s.take(key)
	if e == nil {
		return fallback
	}
	text, isText := e.value.(string)
	if v, ok := asNumber(e); ok {
		text = plain(v)
	} else if !isText {
		s.wrong(e, key, "a number, or text such as "+quoted(fallback.String()), fallback.String())
		return fallback
	}
	v, err := parse(text, by)
	if err == nil {
		return v
	}
	near := fallback
	var off *exposure.ScaleError
	if meant, err := parse(strings.ReplaceAll(text, ",", "."), by); err == nil {
		near = meant // a decimal comma
	} else if errors.As(err, &off) && digits.MatchString(text) {
		if on, err := parse(off.Near, by); err == nil {
			near = on
		}
	}
	if fit != nil {
		near = fit(near)
	}
	s.fault(e, fmt.Sprintf("%s is not on the camera's scale of %s", s.said(key, e.written()), clickName(by)),
		s.instead(key, strings.TrimPrefix(near.String(), "f/")))
	return fallback
}

// lensEnd reads an end of the lens's range. Lenses are made in third or half
// stops whatever the camera's clicks are; an end between two clicks counts as
// the click inside the range.
func (s *section) lensEnd(key string, by exposure.Increment, fallback exposure.Aperture,
	inward float64) exposure.Aperture {
	if e := s.take(key); e != nil && by != exposure.Third {
		text, isText := e.value.(string)
		if v, ok := asNumber(e); ok {
			text, isText = plain(v), true
		}
		if a, err := exposure.ParseAperture(text, exposure.Third); isText && err == nil {
			clicks := float64(a) / float64(by)
			if inward > 0 {
				return exposure.Aperture(math.Ceil(clicks)) * exposure.Aperture(by)
			}
			return exposure.Aperture(math.Floor(clicks)) * exposure.Aperture(by)
		}
	}
	return scaled(s, key, by, fallback, exposure.ParseAperture, func(a exposure.Aperture) exposure.Aperture {
		return max(widestUsual, min(a, narrowestUsual)) // that the other end, left open, does not contradict
	})
}

// onScale returns the click nearest to a number of stops, in sixths.
func onScale(stops float64, by exposure.Increment) int {
	return int(math.Round(stops/by.Stops())) * int(by)
}
