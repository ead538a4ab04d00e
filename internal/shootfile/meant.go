package shootfile

import (
	"slices"
	"strconv"
	"strings"
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
		if !slices.Contains(k.alsoCalled(), name) {
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
