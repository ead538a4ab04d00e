package shoot

import (
	_ "embed"
	"errors"
	"strconv"
	"strings"
	"unicode/utf8"
)

//go:embed starter.toml
var starterFile string

// starter is what is filled into a starter shoot.
type starter struct {
	name                string
	latitude, longitude float64
	zone                string // empty for the system's
	zoneAssumed         bool   // nobody gave the zone: it is the system's
	date, from, to      string
}

// text returns the starter shoot.
func (s *starter) text() string {
	zone := `# time_zone = "Europe/Berlin"`
	if s.zone != "" {
		zone = "time_zone = " + strconv.Quote(s.zone)
	}
	if s.zoneAssumed {
		zone += " # taken from the system"
	}
	return strings.NewReplacer(
		"{{name}}", strconv.Quote(s.name), // of printable text TOML's quotes are Go's
		"{{latitude}}", plain(s.latitude), "{{longitude}}", plain(s.longitude), "{{zone}}", zone,
		"{{date}}", s.date, "{{from}}", s.from, "{{to}}", s.to,
	).Replace(starterFile)
}

// Starter returns the text of a commented shoot to begin from, that resolves
// in the environment. Flags, named without dashes, may fill it in: name, at,
// tz and date. On a day whose sun does not set its window is by the clock. The
// error is a Faults.
func Starter(flags map[string]string, env Environment) ([]byte, error) {
	s := starter{
		name: "My shoot", latitude: 54.33, longitude: 10.15, zone: "Europe/Berlin",
		date: env.Today.String(), from: "sunset-2h", to: "sunset",
	}
	filled, err := s.fill(flags, env)
	if err == nil {
		return filled, nil
	}
	s.from, s.to = "20:00", "22:00"
	if filled, clockErr := s.fill(flags, env); clockErr == nil {
		return filled, nil
	}
	return nil, err
}

// fill takes the flags in, checked as those of any shoot are.
func (s starter) fill(flags map[string]string, env Environment) ([]byte, error) {
	d, err := Parse("starter", []byte(s.text()))
	if err != nil {
		return nil, err
	}
	var faults Faults
	for _, flag := range [...]string{"name", "at", "tz", "date"} {
		value, given := flags[flag]
		switch {
		case !given:
		case flag == "name" && !utf8.ValidString(value):
			faults = append(faults, Fault{Flag: flag, What: quoted(value) + " is no UTF-8 text", Hint: `--name "My shoot"`})
		case flag == "name":
			d.root.table["name"] = &entry{origin: origin{flag: flag, given: value}, value: value}
		case flag == "tz" && flags["at"] == "":
			faults = append(faults, Fault{Flag: flag, What: "a time zone goes with its place", Hint: "--at -33.86,151.21 --tz Australia/Sydney"})
		default:
			var some Faults
			if errors.As(d.Set(flag, value), &some) {
				faults = append(faults, some...)
			}
		}
	}
	if len(faults) > 0 {
		return nil, faults
	}
	shoot, err := d.Resolve(env)
	if err != nil {
		return nil, err
	}
	place := d.root.table["place"].table
	s.latitude, _ = asNumber(place["latitude_deg"])
	s.longitude, _ = asNumber(place["longitude_deg"])
	s.name, s.date, s.zone = shoot.Name, shoot.When.Date.String(), shoot.Place.Zone.String()
	s.zoneAssumed = shoot.Place.ZoneAssumed
	if s.zone == "Local" { // the system's, which has no name
		s.zone, s.zoneAssumed = "", false
	}
	return []byte(s.text()), nil
}
