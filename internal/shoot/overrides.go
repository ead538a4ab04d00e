package shoot

import (
	"cmp"
	"regexp"
	"strconv"
	"strings"
	"time"
)

// flagKeys are the keys that flags take the place of, with how their value is
// written. The flags at, sky, okta and turbidity do more, see Set.
var flagKeys = map[string]struct {
	section, key string
	read         func(string) (any, bool)
	example      string
}{
	"elevation": {"place", "elevation_m", readNumber, "350"},
	"tz":        {"place", "time_zone", readText, "Europe/Berlin"},
	"date":      {"when", "date", readText, "2027-09-18"},
	"from":      {"when", "from", readText, "sunset-2h"},
	"to":        {"when", "to", readText, "sunset+30m"},
	"step":      {"when", "step_minutes", readMinutes, "15m"},
	"facing":    {"subject", "facing", readDirection, "backlit"},
	"ratio":     {"look", "ratio", readRatio, "3"},
	"dark-sky":  {"look", "dark_sky_stops", readNumber, "1.5"},
	"bias":      {"look", "bias_stops", readNumber, "0.3"},
	"aperture":  {"lens", "aperture", readText, "2.8"},
	"units":     {"flash", "units", readNumber, "2"},
	"distance":  {"flash", "distance_m", readNumber, "1.5"},
	"modifier":  {"flash", "modifier", readText, "bare"},
}

// skyFlags are the flags that state the sky, with the key each stands for.
var skyFlags = map[string]struct {
	key     string
	read    func(string) (any, bool)
	example string
}{
	"sky":       {"condition", readText, "clear"},
	"okta":      {"oktas", readNumber, "3"},
	"turbidity": {"turbidity", readNumber, "3"},
}

// flagNamed returns the flag that stands for a key of a section; empty where
// there is none.
func flagNamed(section, key string) string {
	for flag, of := range flagKeys {
		if of.section == section && of.key == key {
			return flag
		}
	}
	return ""
}

// standIns returns the flags that stand for what cannot be edited: all of the
// demonstration.
func (d *Document) standIns() map[*entry]string {
	if !d.demo {
		return nil
	}
	stands := map[*entry]string{}
	for flag, of := range flagKeys {
		if section := d.root.table[of.section]; section != nil && section.table[of.key] != nil {
			stands[section.table[of.key]] = flag
		}
	}
	return stands
}

// rivals are flags that cannot both be given.
var rivals = [...][2]string{{"ratio", "dark-sky"}, {"sky", "okta"}, {"sky", "turbidity"}, {"okta", "turbidity"}}

// Set puts the value of a flag, named without dashes, in the place of what
// the file says:
//
//   - at: the place's latitude and longitude; its name, elevation, time zone
//     and horizon no longer hold, its ground does; nor does the name of the
//     demonstration, which says where it is;
//   - sky, okta and turbidity: the sky for all of the window;
//   - ratio and dark-sky: the look, each in the stead of the other.
//
// The order of flags does not matter. The error is a Faults: a flag there is
// not, a value that is no number where one is due, or two flags that exclude
// each other. Ranges and names are for Resolve to check.
func (d *Document) Set(flag, value string) error {
	for _, pair := range rivals {
		for i, one := range pair {
			if other := pair[1-i]; one == flag && d.isSet(other) {
				return Faults{{Flag: flag, What: "--" + flag + " cannot be combined with --" + other,
					Hint: "--" + flag + " " + typed(value) + " without --" + other}}
			}
		}
	}
	from := origin{flag: flag, given: value}
	if flag == "at" {
		return d.setPlace(value)
	}
	if of, ok := skyFlags[flag]; ok {
		v, ok := of.read(value)
		if !ok {
			return notRead(flag, value, of.example)
		}
		state := &entry{origin: from, table: map[string]*entry{of.key: {origin: from, value: v}}}
		d.root.table["sky"] = &entry{origin: from, list: []*entry{state}}
		return nil
	}
	if flag == "method" {
		list := &entry{origin: from, list: []*entry{}}
		for _, name := range strings.Split(value, ",") {
			list.list = append(list.list, &entry{origin: from, value: strings.ToLower(strings.TrimSpace(name))})
		}
		d.root.table["methods"] = list
		return nil
	}
	of, ok := flagKeys[flag]
	if !ok {
		return Faults{{Flag: flag, What: "is no flag of a shoot"}}
	}
	v, ok := of.read(value)
	if !ok {
		return notRead(flag, value, of.example)
	}
	table := d.section(of.section).table
	table[of.key] = &entry{origin: from, value: v}
	switch flag {
	case "ratio":
		delete(table, "dark_sky_stops")
	case "dark-sky":
		delete(table, "ratio")
	}
	return nil
}

func notRead(flag, value, example string) Faults {
	if number := almost.FindStringSubmatch(value); number != nil {
		example = strings.ReplaceAll(number[1], ",", ".")
	}
	return Faults{{Flag: flag, What: quoted(value) + " cannot be read", Hint: "--" + flag + " " + example}}
}

// almost is a number but for a decimal comma or a unit after it.
var almost = regexp.MustCompile(`^\s*([+-]?[0-9]+(?:[.,][0-9]+)?)\s*(?i:m|mm|min(?:utes?)?|metres?|meters?|stops?|ev|oktas?|x|°|:1)?\s*$`)

// isSet tells whether a flag has taken the place of something.
func (d *Document) isSet(flag string) bool {
	if _, ok := skyFlags[flag]; ok {
		e := d.root.table["sky"]
		return e != nil && e.origin.flag == flag
	}
	of := flagKeys[flag]
	e := d.root.table[of.section]
	return e != nil && e.table[of.key] != nil && e.table[of.key].origin.flag == flag
}

// setPlace moves the shoot to a place written as LAT,LON.
func (d *Document) setPlace(value string) error {
	latitude, longitude, ok := readPosition(value)
	if !ok {
		return Faults{{Flag: "at", What: quoted(value) + " is no latitude and longitude in degrees, north and east positive",
			Hint: "--at " + cmp.Or(almostPosition(value), "54.33,10.15 --tz Europe/Berlin")}}
	}
	if name := d.root.table["name"]; d.demo && name != nil && name.origin.flag == "" {
		delete(d.root.table, "name")
	}
	table := d.section("place").table
	for _, key := range [...]string{"name", "elevation_m", "time_zone", "horizon_deg"} {
		if e := table[key]; e != nil && e.origin.flag == "" {
			delete(table, key)
		}
	}
	at := origin{flag: "at", given: value}
	table["latitude_deg"] = &entry{origin: at, value: latitude}
	table["longitude_deg"] = &entry{origin: at, value: longitude}
	return nil
}

// decimal is a number as people write it: no exponents, no infinities.
var decimal = regexp.MustCompile(`^[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)$`)

func readNumber(text string) (any, bool) {
	text = strings.ReplaceAll(strings.TrimSpace(text), "\u2212", "-") // a typeset minus
	if !decimal.MatchString(text) {
		return nil, false
	}
	v, err := strconv.ParseFloat(text, 64)
	return v, err == nil
}

func readText(text string) (any, bool) {
	text = strings.TrimSpace(text)
	return text, text != ""
}

// readRatio reads 3 or 3:1.
func readRatio(text string) (any, bool) {
	return readNumber(strings.TrimSuffix(strings.TrimSpace(text), ":1"))
}

// readDirection reads an azimuth, or leaves the word.
func readDirection(text string) (any, bool) {
	degrees := strings.TrimSpace(text)
	for _, unit := range [...]string{"°", "degrees", "deg"} {
		degrees = strings.TrimSuffix(degrees, unit)
	}
	if v, ok := readNumber(degrees); ok {
		return v, true
	}
	return readText(text)
}

// readMinutes reads a length of time, in minutes where it names no unit. That
// it is not negative is checked with the rest.
func readMinutes(text string) (any, bool) {
	text = strings.ToLower(strings.TrimSpace(text))
	if v, ok := readNumber(text); ok {
		return v, true
	}
	if !offsetForm.MatchString(strings.TrimPrefix(text, "-")) {
		return nil, false
	}
	d, err := time.ParseDuration(text)
	return d.Minutes(), err == nil
}

// readPosition reads LAT,LON in degrees, with signs or with letters for the
// half of the globe.
func readPosition(text string) (latitude, longitude float64, ok bool) {
	parts := strings.FieldsFunc(text, func(r rune) bool { return r == ',' || r == ' ' || r == ';' || r == '\t' })
	if len(parts) != 2 {
		return 0, 0, false
	}
	latitude, north := readDegrees(parts[0], "N", "S")
	longitude, east := readDegrees(parts[1], "E", "W")
	return latitude, longitude, north && east
}

// almostPosition returns what a position that cannot be read most likely means:
// one with decimal commas, one in the wrong order, or one with signs as well
// as letters; or "".
func almostPosition(text string) string {
	parts := strings.FieldsFunc(strings.ToUpper(text), func(r rune) bool { return r == ',' || r == ' ' || r == ';' })
	var candidates []string
	switch len(parts) {
	case 4:
		candidates = []string{parts[0] + "." + parts[1] + "," + parts[2] + "." + parts[3]}
	case 2:
		unsigned := strings.NewReplacer("+", "", "-", "", "\u2212", "")
		candidates = []string{
			parts[1] + "," + parts[0],
			unsigned.Replace(parts[0]) + "," + unsigned.Replace(parts[1]),
		}
	}
	for _, one := range candidates {
		if _, _, ok := readPosition(one); ok {
			return one
		}
	}
	return ""
}

// readDegrees reads one coordinate.
func readDegrees(text, positive, negative string) (float64, bool) {
	text = strings.ToUpper(text)
	sign := 0.0
	if bare, ok := strings.CutSuffix(text, positive); ok {
		text, sign = bare, 1
	} else if bare, ok := strings.CutSuffix(text, negative); ok {
		text, sign = bare, -1
	}
	v, ok := readNumber(strings.TrimSuffix(text, "°"))
	degrees, _ := v.(float64)
	if sign == 0 {
		return degrees, ok
	}
	if strings.ContainsAny(text, "+-\u2212") { // a sign and a letter
		return 0, false
	}
	return sign * degrees, ok
}
