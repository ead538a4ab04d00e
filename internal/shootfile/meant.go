package shootfile

import (
	"slices"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/shoot"
)

// Meant is what to type in the place of a flag that a command does not have,
// with its value: a flag that it has, called by its section or by its key in
// the file, or else the line of a shoot file. It is empty where the name is
// none of theirs.
func Meant(name, value string, flags []string) string {
	name = normal(name)
	if name == "iso" {
		return "ISO limits are lowest_iso and highest_iso in [camera] of the shoot file"
	}
	line := ""
	for _, k := range table {
		if k.Group == WishGroup || !slices.Contains(k.alsoCalled(), name) {
			continue
		}
		if k.Flag != "" && slices.Contains(flags, k.Flag) {
			return strings.TrimSpace("--" + k.Flag + " " + typedIfAny(value))
		}
		if line == "" && k.Name != "" {
			line = k.line(value)
		}
	}
	return line
}

// AsWish is the wish of a search over dates to type in the place of a flag of a
// plan's own day, named without dashes, with its value; to is the end of the
// window that was given with its beginning, if any. It is empty for other flags.
func AsWish(flag, value, to string) string {
	const day, begin, end = "2027-05-01..2027-05-31", "15:00", "00:00"
	from := value
	switch flag {
	case "date":
		if _, err := parseDates(value, anyDay); err != nil {
			value = day
		}
		return "--dates " + Typed(value)
	case "from":
	case "to":
		from, to = "", value
	default:
		return ""
	}
	first, err := ParseInstant(from)
	if err != nil {
		first, _ = ParseInstant(begin)
	}
	last, err := ParseInstant(to)
	if err != nil {
		last, _ = ParseInstant(end)
	}
	hours, err := parseHours(shoot.Hours{From: first, To: last}.String())
	if err != nil {
		return "--between " + asFault(err).Hint
	}
	return "--between " + hours.String()
}

// anyDay stands for today where any would do.
var anyDay = shoot.Date{Year: 2027, Month: time.January, Day: 1}

// WishFor is the flag of a search over dates that a word alone is most likely the
// value of, with it: a place, dates, hours, or days of the week; empty where it
// is none of theirs.
func WishFor(word string) string {
	_, datesErr := parseDates(word, anyDay)
	_, hoursErr := parseHours(word)
	flag := ""
	switch {
	case FlagFor(word) == "at":
		flag = "at"
	case datesErr == nil:
		flag = "dates"
	case hoursErr == nil:
		flag = "between"
	default:
		return ""
	}
	return "--" + flag + " " + Typed(word)
}

// IsWish reports whether a flag, named without dashes, is of a search over dates
// alone.
func IsWish(flag string) bool {
	k, known := flagKey(flag)
	return known && k.Group == WishGroup
}

func typedIfAny(value string) string {
	if value == "" {
		return ""
	}
	return Typed(value)
}

// alsoCalled lists what people may call a key, in words: its name without its
// unit, its flag, and both with the section before.
func (k Key) alsoCalled() []string {
	own, bare := normal(k.Name), normal(numeric.ReplaceAllString(k.Name, ""))
	var names []string
	for _, one := range [...]string{own, bare, normal(k.Flag)} {
		if one == "" {
			continue
		}
		names = append(names, normal(k.Section+" "+one))
		if one != "name" && one != "kit" { // of many sections
			names = append(names, one)
		}
	}
	if k.Name == "kit" {
		names = append(names, k.Section)
	}
	return names
}

// line is the key with a value as it stands in a shoot file.
func (k Key) line(value string) string {
	switch _, isText := strconv.Unquote(k.asWritten()); {
	case value == "":
		value = k.asWritten()
	case strings.HasPrefix(k.asWritten(), "["):
		value = "[" + value + "]"
	case isText == nil || !decimal.MatchString(value):
		value = strconv.Quote(shortened(value))
	}
	if k.Section == "" {
		return k.Name + " = " + value + " in the shoot file"
	}
	head := "[" + k.Section + "]"
	if k.Section == "sky" {
		head = "[[sky]]"
	}
	return k.Name + " = " + value + " in " + head + " of the shoot file"
}

// asWritten is a value as it stands in the starter.
func (k Key) asWritten() string {
	if k.set != "" {
		return k.set
	}
	return k.fallback
}
