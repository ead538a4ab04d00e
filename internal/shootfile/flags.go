package shootfile

import (
	"fmt"
	"maps"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"time"
)

// flagNamed returns the flag that stands for a key of a section; empty where
// there is none.
func flagNamed(section, key string) string {
	k, _ := keyAt(section, key)
	return k.Flag
}

// standIns returns the flags that stand for what cannot be edited: all of the
// demonstration.
func (d *Document) standIns() map[*entry]string {
	if !d.demo {
		return nil
	}
	stands := map[*entry]string{}
	for _, k := range table {
		section := d.root.table[k.Section]
		if k.Flag == "" || section == nil || section.table[k.Name] == nil {
			continue
		}
		stands[section.table[k.Name]] = k.Flag
	}
	return stands
}

// Set puts the value of a flag, named without dashes, in the place of what
// the file says:
//
//   - at: the place's latitude and longitude; its name, elevation, time zone
//     and skyline no longer hold, its ground does;
//   - place: a saved place; nothing of the file's own holds;
//   - sky, okta and turbidity: the sky for all of the window, whatever the odds;
//   - of keys that exclude each other, each in the stead of the others.
//
// The order of flags does not matter. What is wrong with a value, or with two
// flags together, Resolve reports with the rest.
func (d *Document) Set(flag, value string) {
	e := &entry{origin: origin{flag: flag, given: value}}
	k, known := flagKey(flag)
	switch {
	case !known:
		d.unread(e, Fault{Flag: flag, What: "is not a flag of a shoot"})
		return
	case d.rivalled(e, k, value):
		return
	case k.Flag == "at":
		d.setPlace(e)
		return
	case k.List:
		e.list = []*entry{}
		for _, name := range strings.Split(value, ",") {
			e.list = append(e.list, &entry{origin: e.origin, value: strings.TrimSpace(name)})
		}
	default:
		d.readFlag(e, k)
	}
	if k.choice != "" {
		d.clearRivals(k)
	}
	switch k.Section {
	case "":
		d.root.table[k.Name] = e
		return
	case "sky":
		state := &entry{origin: e.origin, table: map[string]*entry{k.Name: e}}
		d.root.table["sky"] = &entry{origin: e.origin, list: []*entry{state}}
		return
	}
	if k.Flag == "place" {
		d.clearPlace(placeKeys()...)
	}
	d.section(k.Section).table[k.Name] = e
}

// clearRivals takes the keys of a key's choice out of the document.
func (d *Document) clearRivals(k Key) {
	for _, other := range table {
		in := d.root.table[other.Section]
		if other.choice == k.choice && (other.Section == k.Section || k.Section == "sky") && in != nil {
			delete(in.table, other.Name)
		}
	}
}

// placeKeys lists the keys of a place.
func placeKeys() []string {
	var keys []string
	for _, k := range table {
		if k.Section == "place" && k.Name != "" {
			keys = append(keys, k.Name)
		}
	}
	return keys
}

// clearPlace takes keys of the place that no flag has given out of the document,
// and the name of a demonstration, which is called after its place.
func (d *Document) clearPlace(keys ...string) {
	if d.demo {
		delete(d.root.table, "name")
	}
	in := d.section("place").table
	for _, key := range keys {
		if old := in[key]; old != nil && old.origin.flag == "" {
			delete(in, key)
		}
	}
}

// Unread returns the faults of the flags that could not be read, all that can be
// said of a shoot that cannot be resolved.
func (d *Document) Unread() Faults { return slices.Clone(d.faults).inOrder() }

// readFlag reads the value of a flag into its entry.
func (d *Document) readFlag(e *entry, k Key) {
	v, ok := k.read(e.origin.given)
	if e.value = v; ok {
		return
	}
	d.unread(e, k.notRead(e.origin.flag, e.origin.given))
}

// unread notes a value that cannot be read, so that nothing else is said of
// it.
func (d *Document) unread(e *entry, f Fault) {
	e.spoiled, e.value = true, ""
	d.faults = append(d.faults, f)
}

// rivalled reports whether another flag of the same choice was given before,
// and notes the fault.
func (d *Document) rivalled(e *entry, k Key, value string) bool {
	if k.choice == "" {
		return false
	}
	for _, other := range table {
		if other.choice == k.choice && other.Flag != k.Flag && d.isSet(other) {
			flag := e.origin.flag
			d.unread(e, Fault{Flag: flag, What: "--" + flag + " cannot be combined with --" + other.Flag,
				Hint: "--" + flag + " " + Typed(value) + " without --" + other.Flag})
			return true
		}
	}
	return false
}

// isSet reports whether the flag of a key was given.
func (d *Document) isSet(k Key) bool {
	e := d.root.table[k.Section]
	switch {
	case e == nil:
		return false
	case k.Section == "sky" && len(e.list) == 1:
		e = e.list[0]
	}
	name := k.Name
	if k.Flag == "at" { // of two keys
		name = "latitude_deg"
	}
	e = e.table[name]
	return e != nil && e.origin.flag != ""
}

// notRead is the fault of a flag's value that is none of its kind, with what
// is most likely meant: another decimal sign, no unit, or another unit.
func (k Key) notRead(flag, value string) Fault {
	what, example := " is not a number", k.Example
	switch {
	case k.Switch:
		return Fault{Flag: flag, What: quoted(value) + " is neither true nor false", Hint: "--" + flag}
	case strings.TrimSpace(value) == "":
		what = " is empty"
	case k.Value == duration:
		what = " is not a length of time"
	}
	if number := almost.FindStringSubmatch(value); number != nil {
		digits := strings.ReplaceAll(number[1], ",", ".")
		factor, other := k.factor[strings.ToLower(number[2])]
		switch v, err := strconv.ParseFloat(digits, 64); {
		case other && err == nil:
			example = plain(math.Round(v*factor*100) / 100)
		case noUnit(number[2], k.factor):
			example = digits
		}
	}
	return Fault{Flag: flag, What: quoted(value) + what, Hint: "--" + flag + " " + Typed(example)}
}

// noUnit reports whether a unit after a number may be left out: it is not one
// of another measure.
func noUnit(unit string, factor map[string]float64) bool {
	return factor != nil || !slices.Contains(slices.Collect(maps.Keys(feet)), strings.ToLower(unit))
}

// almost is a number but for a decimal comma or a unit after it.
var almost = regexp.MustCompile(`^\s*([+-]?[0-9]+(?:[.,][0-9]+)?)\s*` +
	`((?i:cm|mm|m|min(?:utes?)?|metres?|meters?|ft|feet|foot|'|in|stops?|ev|oktas?|x|°|deg(?:rees)?|:1)?)\s*$`)

// setPlace moves the shoot to a place written as LAT,LON.
func (d *Document) setPlace(e *entry) {
	latitude, longitude, err := parsePosition(e.origin.given)
	if err != nil {
		f := asFault(err)
		f.Flag, f.Hint = "at", "--at "+f.Hint
		d.unread(e, f)
	}
	d.clearPlace("saved", "name", "elevation_m", "time_zone", "horizon_deg")
	in := d.section("place").table
	in["latitude_deg"] = &entry{origin: e.origin, value: latitude, spoiled: e.spoiled}
	in["longitude_deg"] = &entry{origin: e.origin, value: longitude, spoiled: e.spoiled}
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

// readTruth reads true or false.
func readTruth(text string) (any, bool) {
	switch strings.ToLower(strings.TrimSpace(text)) {
	case "true", "yes":
		return true, true
	case "false", "no":
		return false, true
	}
	return nil, false
}

// readRatio reads 3 or 3:1.
func readRatio(text string) (any, bool) {
	return readNumber(strings.TrimSuffix(strings.TrimSpace(text), ":1"))
}

// anyStops stands for no limit.
const anyStops = "any"

// readStopsOrAny reads a number, or the word for no limit.
func readStopsOrAny(text string) (any, bool) {
	if word := strings.TrimSpace(text); strings.EqualFold(word, anyStops) {
		return anyStops, true
	}
	return readNumber(text)
}

// readAngle reads degrees.
func readAngle(text string) (any, bool) { return readNumber(withoutDegrees(text)) }

// withoutDegrees takes the unit off an angle.
func withoutDegrees(text string) string {
	text = strings.TrimSpace(text)
	for _, unit := range [...]string{"°", "degrees", "deg"} {
		text = strings.TrimSuffix(text, unit)
	}
	return text
}

// readDirection reads an azimuth, or leaves the word.
func readDirection(text string) (any, bool) {
	if v, ok := readNumber(withoutDegrees(text)); ok {
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
	text = strings.ReplaceAll(shortUnits(text), " ", "") // 15 min, 2 hours
	if !offsetForm.MatchString(strings.TrimPrefix(text, "-")) {
		return nil, false
	}
	d, err := time.ParseDuration(text)
	return d.Minutes(), err == nil
}

// FlagFor returns the flag that a word alone is most likely the value of: at,
// date or from; empty where it is none of theirs.
func FlagFor(word string) string {
	if _, _, ok := readPosition(word); ok {
		return "at"
	}
	if isCounted(word) || len(datesOf(word)) == 1 {
		return "date"
	}
	if _, err := ParseInstant(word); err == nil {
		return "from"
	}
	return ""
}

// together writes two words as one value of a flag.
func together(flag, before, after string) string {
	if flag == "at" {
		return before + "," + after
	}
	return before + " " + after
}

// Rejoined is what to type where the shell has taken a flag's value apart:
// --at 38.7 -9.4, --from 5 pm, --date 19 June 2027. It is empty where the
// words are no value of the flag together either.
func Rejoined(flag string, words []string) string {
	k, known := flagKey(flag)
	if !known || len(words) < 2 {
		return ""
	}
	value := words[0]
	for _, word := range words[1:] {
		value = together(flag, strings.TrimSuffix(value, ","), word)
	}
	ok := false
	switch flag {
	case "at":
		_, _, err := parsePosition(value)
		ok = err == nil
	case "from", "to":
		i, err := ParseInstant(value)
		value, ok = i.String(), err == nil
	case "date":
		if ok = isCounted(value); ok {
			break
		}
		dates := datesOf(value)
		if ok = len(dates) == 1; ok {
			value = dates[0].String()
		}
	case "wind":
		_, err := parseWind(value)
		ok = err == nil
	case "facing", "modifier", "flash", "gel", "tz", "sky": // whose values are one word
	default:
		if k.read != nil {
			_, ok = k.read(value)
		}
	}
	if !ok {
		return ""
	}
	return fmt.Sprintf("--%s %s", flag, Typed(value))
}
