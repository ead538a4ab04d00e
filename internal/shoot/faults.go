package shoot

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

// Fault is one thing wrong with a shoot, and what to type instead. It lies
// either in a file or in a flag of the command line.
type Fault struct {
	File         string
	Line, Column int    // from 1, in characters; 0 where no one place is to blame
	Flag         string // without dashes; empty for a fault of the file
	What         string // in words, with the value as given; it may begin with the flag
	Hint         string // something to type; may be empty
}

// Error returns the place and the fault, without the hint.
func (f Fault) Error() string {
	file := f.File
	if quoted := strconv.Quote(file); quoted != `"`+file+`"` {
		file = quoted
	}
	switch {
	case f.Flag != "" && strings.HasPrefix(f.What, "--"+f.Flag):
		return f.What
	case f.Flag != "":
		return "--" + f.Flag + ": " + f.What
	case f.Line > 0:
		return fmt.Sprintf("%s:%d:%d: %s", file, f.Line, f.Column, f.What)
	case file != "":
		return file + ": " + f.What
	}
	return f.What
}

// Faults is everything that is wrong with a shoot, the file's first and in
// the file's order.
type Faults []Fault

// Error returns all faults, each followed by its hint, a line each.
func (f Faults) Error() string {
	var lines []string
	for _, one := range f {
		lines = append(lines, one.Error())
		if one.Hint != "" {
			lines = append(lines, "hint: "+one.Hint)
		}
	}
	return strings.Join(lines, "\n")
}

// inOrder sorts the faults as they are reported.
func (f Faults) inOrder() Faults {
	slices.SortStableFunc(f, func(a, b Fault) int {
		return cmp.Or(
			cmp.Compare(min(len(a.Flag), 1), min(len(b.Flag), 1)),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column))
	})
	return f
}

// quoted returns text in quotes, short enough for a message and with nothing
// in it that a terminal would obey.
func quoted(text string) string {
	const most = 60
	if utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most]) + "…"
	}
	return strconv.Quote(text)
}

// oneWord is what a shell takes as it is.
var oneWord = regexp.MustCompile(`^[\pL\pN.,:+/_°%=@-]+$`)

// typed writes a value as it is typed on a command line.
func typed(value string) string {
	if oneWord.MatchString(value) && len(value) <= 60 {
		return value
	}
	return quoted(value)
}

// plain writes a number as it would be typed.
func plain(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// listed writes choices as a list in words: a, b or c.
func listed(choices []string) string {
	switch n := len(choices); n {
	case 0:
		return ""
	case 1:
		return choices[0]
	default:
		return strings.Join(choices[:n-1], ", ") + " or " + choices[n-1]
	}
}
