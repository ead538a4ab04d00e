package shootfile

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

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
	if zone := fixedZone(name); zone != nil {
		return zone
	}
	if meant, short := abbreviations[strings.ToUpper(strings.TrimSpace(name))]; short {
		s.fault(e, fmt.Sprintf("%s is short for several time zones", quoted(name)), s.instead("time_zone", meant))
		return nil
	}
	if zone := env.zoneNamed(name); zone != nil {
		return zone
	}
	near := env.nearestZone(name)
	if near != "" && strings.EqualFold(near, strings.ReplaceAll(strings.TrimSpace(name), " ", "_")) {
		return env.zoneNamed(near)
	}
	hint := s.instead("time_zone", "Europe/Berlin")
	longitude, placed := s.longitude()
	switch {
	case near != "":
		hint = s.instead("time_zone", near)
	case placed:
		hint = s.instead("time_zone", hourZone(longitude)) + ", or a name such as Europe/Berlin"
	}
	s.fault(e, fmt.Sprintf("unknown time zone %s", quoted(name)), hint)
	return nil
}

// offsetName is a fixed offset from UTC: UTC+1, GMT-03:30, +02:00.
var offsetName = regexp.MustCompile(`^(?:UTC|GMT)?\s*([+-])\s*(\d{1,2})(?::?(\d{2}))?$`)

// fixedZone returns the zone of a fixed offset, read as people mean it: UTC+1
// is an hour east of Greenwich. It is nil where the name is no offset, or one
// that no clock on earth has.
func fixedZone(name string) *time.Location {
	name = strings.ToUpper(strings.TrimSpace(oneSign.Replace(name)))
	if name == "UTC" || name == "GMT" || name == "Z" {
		return time.UTC
	}
	m := offsetName.FindStringSubmatch(name)
	if m == nil {
		return nil
	}
	hours, _ := strconv.Atoi(m[2]) // digits, by the form
	minutes, _ := strconv.Atoi(m[3])
	offset := time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute
	most := 14 * time.Hour
	if m[1] == "-" {
		most = 12 * time.Hour
	}
	switch {
	case minutes > 59 || offset > most:
		return nil
	case offset == 0:
		return time.UTC
	}
	canonical := "UTC" + m[1] + strconv.Itoa(hours)
	if minutes > 0 {
		canonical += fmt.Sprintf(":%02d", minutes)
	}
	if m[1] == "-" {
		offset = -offset
	}
	return time.FixedZone(canonical, int(offset/time.Second))
}

// zoneName is how names of the zone database are written.
var zoneName = regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_+-]*(/[A-Za-z][A-Za-z0-9_+-]*)*$`)

// zoneNamed returns a zone of the database by its exact name; nil where it has
// none. What lies beside the zones in the folders that hold the database, and
// other ways to reach a zone, are no names of zones.
func (env *Environment) zoneNamed(name string) *time.Location {
	switch first, _, _ := strings.Cut(name, "/"); {
	case !zoneName.MatchString(name),
		first == "right", first == "posix", first == "Local", first == "localtime", first == "posixrules",
		first == "Factory", env.Zones == nil:
		return nil
	}
	zone, err := env.Zones(name)
	if err != nil {
		return nil
	}
	return zone
}

// abbreviations are short names that people use for zones, with what is most
// likely meant. Common practice, no source; most stand for others as well.
var abbreviations = map[string]string{
	"PT": "America/Los_Angeles", "PST": "America/Los_Angeles", "PDT": "America/Los_Angeles",
	"MT": "America/Denver", "MST": "America/Denver", "MDT": "America/Denver",
	"CT": "America/Chicago", "CST": "America/Chicago", "CDT": "America/Chicago",
	"ET": "America/New_York", "EST": "America/New_York", "EDT": "America/New_York",
	"AKST": "America/Anchorage", "AKDT": "America/Anchorage", "HST": "Pacific/Honolulu", "HDT": "Pacific/Honolulu",
	"BST": "Europe/London", "IST": "Asia/Kolkata", "WEST": "Europe/Lisbon", "CEST": "Europe/Berlin",
	"MEZ":  "Europe/Berlin",
	"MESZ": "Europe/Berlin", "EEST": "Europe/Athens", "MSK": "Europe/Moscow", "SAST": "Africa/Johannesburg",
	"JST": "Asia/Tokyo", "KST": "Asia/Seoul", "SGT": "Asia/Singapore", "HKT": "Asia/Hong_Kong",
	"AEST": "Australia/Sydney", "AEDT": "Australia/Sydney", "ACST": "Australia/Adelaide", "ACDT": "Australia/Adelaide",
	"AWST": "Australia/Perth", "NZST": "Pacific/Auckland", "NZDT": "Pacific/Auckland",
	"BRT": "America/Sao_Paulo", "ART": "America/Argentina/Buenos_Aires",
}

// longitude returns the longitude of the section where it is one.
func (s *section) longitude() (float64, bool) {
	if !s.has("longitude_deg") {
		return 0, false
	}
	v, ok := asNumber(s.entry.table["longitude_deg"])
	return v, ok && v >= -180 && v <= 180
}

// hourZone names the zone of whole hours at a longitude in degrees.
func hourZone(longitude float64) string {
	hours := int(math.Round(longitude / 15))
	if hours == 0 {
		return "UTC"
	}
	return fmt.Sprintf("UTC%+d", hours)
}

// nearestZone returns the time zone that a wrong name most likely means: the
// name with other capitals, a city without its continent, a misspelt one of
// the commonest; or "".
func (env *Environment) nearestZone(name string) string {
	if len(name) == 0 || len(name) > 40 {
		return ""
	}
	var parts []string
	for part := range strings.SplitSeq(normal(name), "/") {
		words := strings.Fields(part)
		for k, word := range words {
			words[k] = strings.ToUpper(word[:1]) + word[1:]
		}
		if len(words) > 0 && part != "right" && part != "posix" {
			parts = append(parts, strings.Join(words, "_"))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	candidates := []string{strings.Join(parts, "/"), strings.ToUpper(name)}
	for _, continent := range [...]string{"Europe", "America", "Asia", "Africa", "Australia", "Pacific",
		"Atlantic", "Indian"} {
		candidates = append(candidates, continent+"/"+parts[len(parts)-1])
	}
	for _, candidate := range candidates {
		if env.zoneNamed(candidate) != nil {
			return candidate
		}
	}
	return Nearest(name, commonZones)
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

// mostOffNoon is how far solar noon may be from twelve by the clock, summer
// time not counted. No zone in civil use is farther off but for the far west
// of the largest countries.
const mostOffNoon = 150 * time.Minute

// summerTime is what clocks are put forward by in summer.
const summerTime = time.Hour

// fits reports whether the zone of a time can be that of a longitude in
// degrees: the mean sun is four minutes a degree ahead of Greenwich.
func fits(longitude float64, t time.Time) bool {
	_, offset := t.Zone()
	if t.IsDST() {
		offset -= int(summerTime / time.Second)
	}
	sun := time.Duration(longitude * 4 * float64(time.Minute))
	return (time.Duration(offset)*time.Second - sun).Abs() <= mostOffNoon
}

// checkZone refuses a zone that cannot be the place's.
func (r *reader) checkZone(s *section, place *shoot.Place, day sky.Day) bool {
	middle, ok := day.First(sky.SolarNoon)
	if !ok {
		return true
	}
	noon := middle.Time.In(place.Zone)
	standard := noon
	if noon.IsDST() {
		standard = noon.Add(-summerTime)
	}
	off := time.Duration(standard.Hour()-12)*time.Hour + time.Duration(standard.Minute())*time.Minute
	if off.Abs() <= mostOffNoon {
		return true
	}
	zone := hourZone(place.Site.Longitude.Degrees())
	hint := s.instead("time_zone", zone)
	if latitude, longitude, given := s.coordinates(); given && math.Abs(longitude) <= 90 &&
		fits(latitude, noon) {
		hint = fmt.Sprintf("swapped? --at %s,%s", plain(longitude), plain(latitude))
	}
	what := fmt.Sprintf("time zone %s, in which solar noon is at %s here, more than "+
		"two and a half hours from noon by the clock",
		place.Zone, noon.Format("15:04"))
	switch {
	case s.has("time_zone"):
		r.fault(s.at("time_zone"), "this cannot be "+what, hint)
	case !place.ZoneAssumed:
		r.fault(s.at("saved"), "this saved place cannot have "+what, "--tz "+zone)
	default:
		r.fault(s.at("longitude_deg"), "no time zone is given, and the system has "+what, "--tz "+zone)
	}
	return false
}
