package shoot

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"
	"time"

	"evenfall/internal/spelling"
	"evenfall/sky"
)

// defaultGround is the ground's reflectance where none is stated: the usual
// default of daylight simulation.
const defaultGround = 0.2

// grounds are the shares of visible light that surfaces throw back. From
// W. J. Smith, Modern Optical Engineering: grass (with trees), asphalt, brick,
// concrete, snow. From the IES Lighting Handbook, quoted from memory: sand
// (middle of dry sand, 0.25 to 0.40), gravel (macadam), water, earth (moist)
// and old snow.
var grounds = []struct {
	name        string
	reflectance float64
}{
	{"grass", 0.20}, {"sand", 0.33}, {"snow", 0.85}, {"old snow", 0.64}, {"concrete", 0.40},
	{"brick", 0.35}, {"asphalt", 0.05}, {"gravel", 0.18}, {"earth", 0.07}, {"water", 0.07},
}

// place reads the section of that name; ok is false where the day cannot be
// worked out from it.
func (r *reader) place(s *section, env Environment) (place Place, ok bool) {
	faults := len(r.faults)
	place.Name = s.text("name", "")
	switch {
	case s.broken:
	case s.entry == nil:
		r.fault(nil, "the shoot has no place", "[place] with latitude_deg = 54.32 and longitude_deg = 10.15, or --at 54.32,10.15")
	default:
		for _, one := range [...]struct{ key, example string }{{"latitude_deg", "54.32"}, {"longitude_deg", "10.15"}} {
			if s.entry.table[one.key] == nil {
				r.fault(s.entry, "place has no "+one.key, one.key+" = "+one.example+", or --at 54.32,10.15 for both")
			}
		}
	}
	place.Site = sky.Place{
		Latitude:  sky.Degrees(s.number("latitude_deg", 0, -90, 90)),
		Longitude: sky.Degrees(s.number("longitude_deg", 0, -180, 180)),
		Elevation: s.number("elevation_m", 0, -430, 9000),
	}
	place.Zone = r.zone(s, env)
	place.ZoneAssumed = !s.has("time_zone")
	ok = len(r.faults) == faults
	place.Ground = s.ground()
	place.Horizon = s.horizon()
	s.done()
	return place, ok && place.Zone != nil
}

// ground reads what the ground throws back, as a word or as a number.
func (s *section) ground() float64 {
	reflectance := s.number("ground_reflectance", defaultGround, 0, 1)
	if !s.has("ground") || s.conflict("ground", "ground_reflectance") {
		s.take("ground")
		return reflectance
	}
	word := normal(s.text("ground", "grass"))
	var words []string
	for _, g := range grounds {
		if g.name == word {
			return g.reflectance
		}
		words = append(words, g.name)
	}
	hint := s.instead("ground", words[0]) + "; all are " + listed(words)
	if near := spelling.Nearest(word, words); near != "" {
		hint = s.instead("ground", near)
	}
	s.fault(s.at("ground"), fmt.Sprintf("ground = %s is not known", quoted(word)), hint)
	return defaultGround
}

// normal writes words as they are listed: lower case, spaces for hyphens.
func normal(word string) string {
	return strings.ToLower(strings.Join(strings.FieldsFunc(word, func(r rune) bool { return r == ' ' || r == '-' || r == '_' }), " "))
}

// horizon reads the skyline.
func (s *section) horizon() sky.Horizon {
	const example = "[[200, 5], [240, 12]]"
	points, ok := s.elements("horizon_deg", "[azimuth, altitude] pairs", example)
	if !ok {
		return nil
	}
	const most = 720 // two to a degree
	if len(points) > most {
		s.fault(s.at("horizon_deg"), fmt.Sprintf("horizon_deg has %d points, more than %d", len(points), most), "fewer points")
		return nil
	}
	var h sky.Horizon
	for _, point := range points {
		var pair [2]float64
		good := len(point.list) == len(pair)
		for i := 0; good && i < len(pair); i++ {
			pair[i], good = asNumber(point.list[i])
		}
		switch azimuth, altitude := pair[0], pair[1]; {
		case !good:
			s.fault(point, "horizon_deg must hold [azimuth, altitude] pairs of numbers", "horizon_deg = "+example)
		case !(azimuth >= 0 && azimuth < 360):
			s.fault(point, fmt.Sprintf("horizon_deg: azimuth %s lies outside 0 to less than 360 degrees from true north", plain(azimuth)),
				betterPoint(azimuth, altitude))
		case !(altitude >= -10 && altitude <= 89):
			s.fault(point, fmt.Sprintf("horizon_deg: altitude %s lies outside -10 to 89 degrees above the level", plain(altitude)),
				betterPoint(azimuth, altitude))
		default:
			next := sky.HorizonPoint{Azimuth: sky.Degrees(azimuth), Altitude: sky.Degrees(altitude)}
			at, taken := slices.BinarySearchFunc(h, next, func(a, b sky.HorizonPoint) int {
				return cmp.Compare(a.Azimuth, b.Azimuth)
			})
			if taken {
				s.fault(point, fmt.Sprintf("horizon_deg has azimuth %s twice", plain(azimuth)),
					fmt.Sprintf("leave [%s, %s] out", plain(azimuth), plain(altitude)))
				continue
			}
			h = slices.Insert(h, at, next)
		}
	}
	return h
}

// betterPoint is a hint for a point of the skyline that there cannot be: the
// nearest that can.
func betterPoint(azimuth, altitude float64) string {
	around := wrapped(azimuth)
	if math.IsNaN(around) {
		around = 0
	}
	above := clamp(altitude, -10, 89)
	if math.IsNaN(above) {
		above = 0
	}
	return fmt.Sprintf("[%s, %s] in place of [%s, %s]", plain(around), plain(above), plain(azimuth), plain(altitude))
}

// wrapped brings an azimuth in degrees into 0 to less than 360; NaN where it
// is not finite.
func wrapped(azimuth float64) float64 {
	around := math.Mod(azimuth, 360)
	if around < 0 {
		around += 360
	}
	if around == 360 { // -1e-20 + 360
		return 0
	}
	return around
}

// zone returns the time zone of the place: its own, or the environment's.
func (r *reader) zone(s *section, env Environment) *time.Location {
	if s.take("time_zone") == nil {
		if env.Zone == nil && s.at("time_zone") == nil {
			r.fault(nil, "no time zone is given, and the system has none", "--tz Europe/Berlin")
		}
		return env.Zone
	}
	e := s.entry.table["time_zone"]
	name, ok := e.value.(string)
	if !ok {
		s.wrong(e, "time_zone", "text in quotes", "Europe/Berlin")
		return nil
	}
	// LoadLocation takes "" for UTC and "Local" for the machine's own zone.
	if name != "" && name != "Local" {
		if zone, err := time.LoadLocation(name); err == nil {
			return zone
		}
	}
	hint := s.instead("time_zone", "Europe/Berlin")
	if near := nearestZone(name); near != "" {
		hint = s.instead("time_zone", near)
	} else if longitude, ok := s.longitude(); ok {
		hint = s.instead("time_zone", hourZone(longitude)) + ", or a name such as Europe/Berlin"
	}
	s.fault(e, fmt.Sprintf("there is no time zone %s", quoted(name)), hint)
	return nil
}

// longitude returns the longitude of the section where it is one.
func (s *section) longitude() (float64, bool) {
	if !s.has("longitude_deg") {
		return 0, false
	}
	v, ok := asNumber(s.entry.table["longitude_deg"])
	return v, ok && v >= -180 && v <= 180
}

// hourZone names the zone of whole hours at a longitude in degrees. The signs
// of these names run the wrong way round (POSIX).
func hourZone(longitude float64) string {
	hours := int(math.Round(longitude / 15))
	if hours == 0 {
		return "UTC"
	}
	return fmt.Sprintf("Etc/GMT%+d", -hours)
}

// nearestZone returns the time zone that a wrong name most likely means: the
// name with other capitals, a city without its continent, a misspelt one of
// the commonest; or "".
func nearestZone(name string) string {
	if len(name) == 0 || len(name) > 40 {
		return ""
	}
	parts := strings.Split(normal(name), "/")
	for i, part := range parts {
		words := strings.Fields(part)
		for k, word := range words {
			words[k] = strings.ToUpper(word[:1]) + word[1:]
		}
		parts[i] = strings.Join(words, "_")
	}
	candidates := []string{strings.Join(parts, "/"), strings.ToUpper(name)}
	for _, continent := range [...]string{"Europe", "America", "Asia", "Africa", "Australia", "Pacific", "Atlantic", "Indian"} {
		candidates = append(candidates, continent+"/"+parts[len(parts)-1])
	}
	for _, candidate := range candidates {
		if candidate == "" || strings.EqualFold(candidate, "local") || strings.HasSuffix(candidate, "/") {
			continue
		}
		if _, err := time.LoadLocation(candidate); err == nil {
			return candidate
		}
	}
	return spelling.Nearest(name, commonZones)
}

// commonZones are a few names that misspelt ones are compared with.
var commonZones = []string{
	"Europe/Amsterdam", "Europe/Athens", "Europe/Berlin", "Europe/Brussels", "Europe/Bucharest", "Europe/Budapest",
	"Europe/Copenhagen", "Europe/Dublin", "Europe/Helsinki", "Europe/Istanbul", "Europe/Kyiv", "Europe/Lisbon",
	"Europe/London", "Europe/Madrid", "Europe/Oslo", "Europe/Paris", "Europe/Prague", "Europe/Rome",
	"Europe/Stockholm", "Europe/Vienna", "Europe/Warsaw", "Europe/Zurich", "Atlantic/Reykjavik", "Africa/Cairo",
	"Africa/Johannesburg", "Africa/Lagos", "Africa/Nairobi", "America/Anchorage", "America/Argentina/Buenos_Aires",
	"America/Bogota", "America/Chicago", "America/Denver", "America/Halifax", "America/Lima", "America/Los_Angeles",
	"America/Mexico_City", "America/New_York", "America/Phoenix", "America/Santiago", "America/Sao_Paulo",
	"America/Toronto", "America/Vancouver", "Asia/Bangkok", "Asia/Dubai", "Asia/Hong_Kong", "Asia/Jakarta",
	"Asia/Jerusalem", "Asia/Karachi", "Asia/Kolkata", "Asia/Manila", "Asia/Seoul", "Asia/Shanghai", "Asia/Singapore",
	"Asia/Taipei", "Asia/Tehran", "Asia/Tokyo", "Australia/Adelaide", "Australia/Brisbane", "Australia/Melbourne",
	"Australia/Perth", "Australia/Sydney", "Pacific/Auckland", "Pacific/Honolulu",
}

// mostOffNoon is how far solar noon may be from twelve by the clock. No zone
// in civil use is farther off but for the far west of the largest countries.
const mostOffNoon = 150 * time.Minute

// checkZone refuses a zone that cannot be the place's.
func (r *reader) checkZone(s *section, place *Place, day sky.Day) bool {
	middle, ok := day.First(sky.SolarNoon)
	if !ok {
		return true
	}
	noon := middle.Time.In(place.Zone)
	off := time.Duration(noon.Hour()-12)*time.Hour + time.Duration(noon.Minute())*time.Minute
	if off.Abs() <= mostOffNoon {
		return true
	}
	zone := hourZone(place.Site.Longitude.Degrees())
	what := fmt.Sprintf("time zone %s, in which solar noon is at %s here, more than two and a half hours from noon by the clock",
		place.Zone, noon.Format("15:04"))
	if s.has("time_zone") {
		r.fault(s.at("time_zone"), "this cannot be "+what, s.instead("time_zone", zone))
	} else {
		r.fault(s.at("longitude_deg"), "no time zone is given, and the system has "+what, "--tz "+zone)
	}
	return false
}
