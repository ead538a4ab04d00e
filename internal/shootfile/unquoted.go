package shootfile

import (
	"fmt"
	"math"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"evenfall/internal/words"

	"github.com/pelletier/go-toml/v2"
)

// A line that is TOML but for its value, or the values of its list.
var (
	bareLine = regexp.MustCompile(`^([ \t]*)([A-Za-z0-9_-]+)[ \t]*=[ \t]*([^\s"'\[{#][^#]*?)[ \t]*(?:#.*)?\r?$`)
	bareList = regexp.MustCompile(`^([ \t]*)([A-Za-z0-9_-]+)[ \t]*=[ \t]*\[([^\[\]{}#]+)\][ \t]*(?:#.*)?\r?$`)
)

// otherwise is a value that quotes are not what it lacks: a date with a time that
// is none, or two keys in a line.
var otherwise = regexp.MustCompile(`^\d{4}-\d\d-\d\d.|=`)

// dateForm is a day as TOML writes it, be there such a day or not.
var dateForm = regexp.MustCompile(`^(\d{4})-(\d\d)-(\d\d)$`)

// valueFault is the fault of a line that the TOML library cannot read for its
// value: text without quotes, or a number with its unit. Its ok is false where
// that is not what is wrong. The fault lies in no line yet.
func valueFault(line string) (f Fault, ok bool) {
	const longest = 200 // characters; a longer line is no slip of the pen
	if utf8.RuneCountInString(line) > longest || words.Safe(line) != line {
		return f, false
	}
	if m := bareLine.FindStringSubmatch(line); m != nil && !isValue(m[3]) && !otherwise.MatchString(m[3]) {
		f.What, f.Hint = unquoted(m[2], m[3])
		f.Column = utf8.RuneCountInString(m[1]) + 1
		return f, true
	}
	m := bareList.FindStringSubmatch(line)
	if m == nil || isValue("["+m[3]+"]") {
		return f, false
	}
	var values []string
	for one := range strings.SplitSeq(m[3], ",") {
		one = strings.TrimSpace(one)
		if !isValue(one) {
			one = strconv.Quote(strings.Trim(one, `"'`))
		}
		values = append(values, one)
	}
	f.Column = utf8.RuneCountInString(m[1]) + 1
	f.What = fmt.Sprintf("%s = [%s] needs quotes", m[2], shortened(m[3]))
	f.Hint = fmt.Sprintf("%s = [%s]", m[2], strings.Join(values, ", "))
	return f, true
}

// isValue reports whether a text is a value of TOML.
func isValue(text string) bool {
	var v any
	return toml.Unmarshal([]byte("a = "+text), &v) == nil
}

// unquoted says what is wrong with a value that is not TOML's, and the line to
// type.
func unquoted(key, value string) (what, hint string) {
	line := key + " = " + shortened(value)
	switch strings.ToLower(value) {
	case "yes", "on", "true":
		return line + " is neither true nor false", key + " = true"
	case "no", "off", "false":
		return line + " is neither true nor false", key + " = false"
	}
	if m := dateForm.FindStringSubmatch(value); m != nil {
		return line + " is a day that the calendar does not have", key + " = " + nearestDay(m[1], m[2], m[3])
	}
	if decimal.MatchString(value) { // 03 or .5
		v, _ := strconv.ParseFloat(value, 64) // by its form
		return line + " is not a number as TOML has them", key + " = " + plain(v)
	}
	if v, ok := inKeysUnit(key, value); ok {
		return line + " is not a number alone: its unit is in the key's name", key + " = " + plain(v)
	}
	return line + " needs quotes", key + " = " + strconv.Quote(value)
}

// nearestDay is the day of the calendar that is nearest to one in digits.
func nearestDay(year, month, day string) string {
	y, _ := strconv.Atoi(year) // digits, by the form
	m, _ := strconv.Atoi(month)
	d, _ := strconv.Atoi(day)
	m = max(1, min(m, 12))
	return fmt.Sprintf("%04d-%02d-%02d", y, m, max(1, min(d, daysIn(y, m))))
}

// inKeysUnit reads a number with a unit, or a coordinate, for a key whose name
// holds the unit.
func inKeysUnit(key, value string) (v float64, ok bool) {
	if key == "latitude_deg" || key == "longitude_deg" {
		v, ok = coordinateOf(key, value)
		return math.Round(v*1e5) / 1e5, ok // to a metre
	}
	m := almost.FindStringSubmatch(value)
	if m == nil || !strings.Contains(key, "_") || !isNumeric(key) {
		return 0, false
	}
	v, err := strconv.ParseFloat(strings.ReplaceAll(m[1], ",", "."), 64)
	if factor, other := feet[strings.ToLower(m[2])]; other {
		return math.Round(v*factor*100) / 100, err == nil && strings.HasSuffix(key, "_m")
	}
	return v, err == nil
}

// coordinateOf reads the latitude or the longitude in degrees as people write
// it: 50°38'N.
func coordinateOf(key, text string) (degrees float64, ok bool) {
	axis := map[string]string{"latitude_deg": "NS", "longitude_deg": "EW"}[key]
	degrees, named, ok := readCoordinate(strings.ToUpper(oneSign.Replace(text)))
	return degrees, ok && (named == "" || named == axis)
}

// readCoordinates puts numbers in the place of coordinates that are written as
// text with a degree sign or a letter.
func (s *section) readCoordinates() {
	for _, key := range [...]string{"latitude_deg", "longitude_deg"} {
		e := s.entryOf(key)
		if e == nil || e.spoiled {
			continue
		}
		text, _ := e.value.(string)
		if degrees, ok := coordinateOf(key, text); ok && !decimal.MatchString(text) {
			e.value = degrees
		}
	}
}

// textAsGuide is the hint for guide numbers that are written as text, such as
// "GN 43 at 105 mm", or as a single number.
func textAsGuide(e *entry) string {
	number, zoom := plain(exampleGuide), plain(exampleZoom)
	text := strings.Trim(e.written(), `"`)
	if m := zoomForm.FindStringSubmatch(text); m != nil {
		zoom, text = m[1], strings.Replace(text, m[0], "", 1)
	}
	if m := anyNumber.FindString(text); m != "" {
		number = m
	}
	return "guide_number_m = " + number + " with guide_number_zoom_mm = " + zoom
}

var (
	zoomForm  = regexp.MustCompile(`([0-9]+) ?mm`)
	anyNumber = regexp.MustCompile(`[0-9]+(?:\.[0-9]+)?`)
)
