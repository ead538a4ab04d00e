package shootfile

import (
	"errors"
	"math"
	"regexp"
	"strconv"
	"strings"

	"evenfall/internal/scene"
)

// strongestWind is the most that is taken for a wind, m/s: more than any wind
// that somebody plans a shoot in.
const strongestWind = 60

var (
	forceForm = regexp.MustCompile(`^(?:force|beaufort|bft|bf)\s*([0-9]{1,3})$|^([0-9]{1,3})\s*(?:beaufort|bft|bf)$`)
	speedForm = regexp.MustCompile(`^([+-]?(?:[0-9]+[.,]?[0-9]*|[.,][0-9]+))\s*([a-z/ ]*)$`)
)

// windUnits are the units of a speed that are read, in m/s; the empty one is
// that of a bare number.
var windUnits = map[string]float64{
	"": 1, "m/s": 1, "mps": 1, "m/sec": 1, "km/h": 1 / 3.6, "kmh": 1 / 3.6, "kph": 1 / 3.6,
}

// otherWindUnits are those that a hint turns into m/s, by the definitions of the
// international nautical mile and foot.
var otherWindUnits = map[string]float64{
	"kn": 1852. / 3600, "kt": 1852. / 3600, "kts": 1852. / 3600, "knot": 1852. / 3600, "knots": 1852. / 3600,
	"mph": 0.44704, "mi/h": 0.44704, "ft/s": 0.3048, "fps": 0.3048,
}

// parseWind reads the mean speed of a wind: 5 or 5 m/s, 20 km/h, or a force of
// the Beaufort scale, "force 4" or "4 bft", which counts at its upper end; force
// 12, which has none, at its lower. The error is a Fault that lies nowhere, its
// hint another speed.
func parseWind(text string) (scene.WindSpeed, error) {
	clean := strings.ToLower(strings.Join(strings.Fields(strings.ReplaceAll(text, "\u2212", "-")), " "))
	if form := forceForm.FindStringSubmatch(clean); form != nil {
		return windOfForce(text, form[1]+form[2])
	}
	form := speedForm.FindStringSubmatch(clean)
	if form == nil {
		return 0, Fault{What: quoted(text) + " is not a wind: m/s, km/h, or a force of the Beaufort scale",
			Hint: forceNamed(clean)}
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(form[1], ",", "."), 64)
	unit := strings.TrimSpace(form[2])
	factor, known := windUnits[unit]
	other, foreign := otherWindUnits[unit]
	switch {
	case err != nil:
		return 0, Fault{What: quoted(text) + " is not a number", Hint: "5 m/s"}
	case foreign:
		return 0, Fault{What: quoted(text) + " is neither in m/s nor in km/h", Hint: speedHint(v * other)}
	case !known:
		return 0, Fault{What: quoted(text) + " is not a wind: m/s, km/h, or a force of the Beaufort scale",
			Hint: speedHint(v)}
	case !(v*factor >= 0 && v*factor <= strongestWind):
		return 0, Fault{What: quoted(text) + ": must be 0 to " + plain(strongestWind) + " m/s", Hint: speedHint(v * factor)}
	case strings.Contains(form[1], ","):
		return 0, Fault{What: quoted(text) + " is not a number", Hint: strings.ReplaceAll(clean, ",", ".")}
	}
	return scene.WindSpeed(v * factor), nil
}

// windOfForce returns the speed that a force of the Beaufort scale counts at.
func windOfForce(text, force string) (scene.WindSpeed, error) {
	b, err := strconv.Atoi(force)
	if err != nil || b > strongestForce {
		return 0, Fault{What: quoted(text) + ": forces go from 0 to 12", Hint: "force 12"}
	}
	low, high := scene.Beaufort(b).Speeds()
	if b == strongestForce {
		return low, nil
	}
	return high, nil
}

// strongestForce is the end of the Beaufort scale.
const strongestForce = 12

// speedHint is a speed to type in the place of one that is none.
func speedHint(v float64) string {
	return plain(math.Round(max(0, min(math.Abs(v), strongestWind))*10)/10) + " m/s"
}

// forceNamed is the force whose name is meant, or else an example.
func forceNamed(name string) string {
	var names []string
	for b := scene.Beaufort(0); b <= strongestForce; b++ {
		names = append(names, b.String())
	}
	near := Nearest(name, names)
	for b, n := range names {
		if n == near && near != "" {
			return "force " + strconv.Itoa(b)
		}
	}
	return "5 m/s"
}

// wind reads the section of that name; without it, or without a speed, nothing
// is known of the wind.
func (r *reader) wind(s *section) *scene.WindSpeed {
	defer s.done()
	e := s.take("speed")
	if e == nil {
		return nil
	}
	text, isText := e.value.(string)
	if v, ok := asNumber(e); ok {
		text = plain(v)
	} else if !isText {
		s.wrong(e, "speed", "a speed, as text or in m/s", "5 m/s")
		return nil
	}
	v, err := parseWind(text)
	var f Fault
	if errors.As(err, &f) {
		s.fault(e, s.called("speed")+": "+f.What, s.instead("speed", f.Hint))
		return nil
	}
	return &v
}
