package reading

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/exposure"
	"evenfall/sky"
)

// The least and the most that a meter shows, EV at ISO 100: civil twilight is
// long over, and brighter than any sun.
const (
	lowestEV  exposure.EV = -6
	highestEV exposure.EV = 18
)

var (
	evForm  = regexp.MustCompile(`^(?:ev\s*([+-]?[0-9]*[.,]?[0-9]+)|([+-]?[0-9]*[.,]?[0-9]+)\s*ev)$`)
	luxForm = regexp.MustCompile(`^([0-9]*\.?[0-9]+)\s*(k?)\s*(?:lx|lux)$`)
	setForm = regexp.MustCompile(`^f\s*[0-9]|/|iso`)
	bare    = regexp.MustCompile(`^[0-9]*\.?[0-9]+$`)
	isoForm = regexp.MustCompile(`iso\s+`)
	stopped = regexp.MustCompile(`f\s*/\s*`)
)

// Parse reads TIME=VALUE[@PLANE], as 18:05=f/5.6,1/250,iso200@lit; when reads
// the time. Of when's error nothing is altered; the others are Faults.
func Parse(text string, when func(string) (time.Time, error)) (Reading, error) {
	clock, value, ok := strings.Cut(text, "=")
	if !ok || strings.TrimSpace(clock) == "" {
		what := fmt.Sprintf("%q does not say when it was read", text)
		if r, err := ParseValue(text); err == nil {
			return Reading{}, Fault{What: what, Hint: "18:05=" + r.Given + "@" + r.Plane.String()}
		}
		return Reading{}, Fault{What: what, Hint: "18:05=ev12.3"}
	}
	t, err := when(clock)
	if err != nil {
		return Reading{}, err
	}
	r, err := ParseValue(value)
	if f, is := err.(Fault); is {
		f.Hint = strings.TrimSpace(clock) + "=" + f.Hint
		return Reading{}, f
	}
	r.Time = t
	return r, err
}

// ParseValue reads VALUE[@PLANE]: an exposure value at ISO 100, an illuminance,
// or the settings that a meter shows; the plane is lit where none is named. The
// error is a Fault, its hint another value.
func ParseValue(text string) (Reading, error) {
	value, plane := strings.ToLower(strings.TrimSpace(text)), ""
	named := false
	if at := strings.LastIndex(value, "@"); at >= 0 {
		value, plane, named = strings.TrimSpace(value[:at]), strings.TrimSpace(value[at+1:]), true
	}
	r, err := parseLight(text, value)
	if err != nil || !named {
		return r, err
	}
	r.Plane, err = ParsePlane(plane)
	if f, is := err.(Fault); is {
		f.Hint = r.Given + "@" + f.Hint
		return Reading{}, f
	}
	return r, nil
}

// ParsePlane reads a plane. The error is a Fault, its hint another plane.
func ParsePlane(text string) (Plane, error) {
	for _, p := range Planes {
		if p.String() == text {
			return p, nil
		}
	}
	return Lit, Fault{What: fmt.Sprintf("%q is not a plane: lit, shade, face or level", text),
		Hint: nearestPlane(text).String()}
}

// nearestPlane is the one whose name begins as a text does; else the lit side.
func nearestPlane(text string) Plane {
	for _, p := range Planes {
		if text != "" && strings.HasPrefix(p.String(), text[:1]) {
			return p
		}
	}
	return Lit
}

// parseLight reads a value without its plane; given is all that was typed.
func parseLight(given, value string) (Reading, error) {
	if form := evForm.FindStringSubmatch(value); form != nil {
		return parseEV(strings.ReplaceAll(form[1]+form[2], ",", "."))
	}
	if form := luxForm.FindStringSubmatch(value); form != nil {
		return parseLux(form[1], form[2] == "k")
	}
	if setForm.MatchString(value) {
		return parseSettings(given, value)
	}
	f := Fault{What: fmt.Sprintf("%q is neither an exposure value, nor lux, nor camera settings", given),
		Hint: "ev12.3"}
	if n, err := strconv.ParseFloat(value, 64); err == nil && bare.MatchString(value) {
		f.What = fmt.Sprintf("%q has no unit: ev, lx, or camera settings", given)
		if f.Hint = "ev" + value; n > float64(highestEV) {
			f.Hint = value + "lx"
		}
		if _, err := ParseValue(f.Hint); err != nil {
			f.Hint = "ev12.3"
		}
	}
	return Reading{}, f
}

func parseEV(number string) (Reading, error) {
	v, err := strconv.ParseFloat(number, 64)
	if err != nil {
		return Reading{}, Fault{What: fmt.Sprintf("ev%s is not a number", number), Hint: "ev12.3"}
	}
	return metered(exposure.EV(v).Lux(), "ev"+strings.TrimPrefix(number, "+"))
}

func parseLux(number string, thousands bool) (Reading, error) {
	v, err := strconv.ParseFloat(number, 64)
	given := number + "lx"
	if thousands {
		v *= 1000
		given = number + "klx"
	}
	if err != nil {
		return Reading{}, Fault{What: fmt.Sprintf("%s is not a number", given), Hint: "41200lx"}
	}
	return metered(sky.Lux(v), given)
}

// metered is a reading of light, which a meter has to be able to show.
func metered(light sky.Lux, given string) (Reading, error) {
	ev := exposure.Incident(light)
	if !(ev >= lowestEV && ev <= highestEV) {
		near := max(lowestEV, min(ev, highestEV))
		if math.IsNaN(float64(ev)) {
			near = 12.3
		}
		return Reading{}, Fault{
			What: fmt.Sprintf("%s is outside what meters show, EV %g to %g", given, float64(lowestEV), float64(highestEV)),
			Hint: fmt.Sprintf("ev%g", float64(near))}
	}
	return Reading{Light: light, Given: given}, nil
}

// parseSettings reads aperture, shutter and film speed in any order, with commas
// or blanks between.
func parseSettings(given, value string) (Reading, error) {
	value = stopped.ReplaceAllString(isoForm.ReplaceAllString(value, "iso"), "f/")
	var set exposure.Settings
	said := map[string]string{}
	for _, part := range strings.FieldsFunc(value, func(r rune) bool { return r == ',' || r == ' ' || r == ';' }) {
		kind, err := "shutter", error(nil)
		switch {
		case strings.HasPrefix(part, "f"):
			kind = "aperture"
			set.Aperture, err = onEither(part, exposure.ParseAperture)
		case strings.HasPrefix(part, "iso"):
			kind = "ISO"
			set.ISO, err = onEither(part, exposure.ParseISO)
		default:
			set.Shutter, err = onEither(part, exposure.ParseShutter)
		}
		if err != nil {
			return Reading{}, unscaled(given, kind, part, err)
		}
		if said[kind] != "" {
			what := fmt.Sprintf("%q has two values of %s, %s and %s", given, kind, said[kind], part)
			return Reading{}, Fault{What: what, Hint: usualSettings}
		}
		said[kind] = part
	}
	return ofSettings(given, set, said)
}

// ofSettings makes a reading of what was said of settings.
func ofSettings(given string, set exposure.Settings, said map[string]string) (Reading, error) {
	var lacks []string
	for _, kind := range [...]struct{ name, usual string }{
		{"aperture", "f/5.6"}, {"shutter", "1/250"}, {"ISO", "iso100"},
	} {
		if said[kind.name] == "" {
			lacks = append(lacks, kind.name)
			said[kind.name] = kind.usual
		}
	}
	whole := said["aperture"] + "," + said["shutter"] + "," + said["ISO"]
	if len(lacks) > 0 {
		return Reading{}, Fault{What: fmt.Sprintf("%q lacks %s", given, strings.Join(lacks, " and ")),
			Hint: readable(whole)}
	}
	return metered(set.EV().Lux(), whole)
}

// onEither reads a value on the scale of third stops, else on that of half
// stops.
func onEither[T ~int](text string, parse func(string, exposure.Increment) (T, error)) (T, error) {
	v, err := parse(text, exposure.Third)
	if err == nil {
		return v, nil
	}
	if half, halfErr := parse(text, exposure.Half); halfErr == nil {
		return half, nil
	}
	return v, err
}

// unscaled is the fault of a setting that cameras do not have.
func unscaled(given, kind, part string, err error) Fault {
	near := part
	if e, is := err.(*exposure.ScaleError); is {
		near = e.Near
	}
	whole := map[string]string{"aperture": "f/5.6", "shutter": "1/250", "ISO": "iso200"}
	whole[kind] = map[string]string{"aperture": "f/", "shutter": "", "ISO": "iso"}[kind] + near
	return Fault{What: fmt.Sprintf("%q: %s is no %s that meters and cameras show", given, strconv.Quote(part), kind),
		Hint: readable(whole["aperture"] + "," + whole["shutter"] + "," + whole["ISO"])}
}

// readable returns settings to type, others where what they read no meter shows.
func readable(settings string) string {
	if _, err := ParseValue(settings); err != nil {
		return usualSettings
	}
	return settings
}

const usualSettings = "f/5.6,1/250,iso200"
