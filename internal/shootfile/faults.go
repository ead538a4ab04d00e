package shootfile

import (
	"cmp"
	"fmt"
	"math"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"unicode/utf8"

	"evenfall/internal/shoot"
	"evenfall/internal/words"
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

// flagWord is a flag as faults write it.
var flagWord = regexp.MustCompile(`--[a-z][a-z-]*`)

// Labelled returns a text with labels for the flags in it: those that a form has
// a labelled field for.
func Labelled(text string, label func(flag string) string) string {
	return flagWord.ReplaceAllStringFunc(text, func(flag string) string {
		if l := label(strings.TrimPrefix(flag, "--")); l != "" {
			return l
		}
		return flag
	})
}

// Labelled returns what is wrong and what to enter instead where a form has a
// labelled field in the place of each flag: the labels stand for the flags. A
// hint to type a command has no place there and is left out.
func (f Fault) Labelled(label func(flag string) string) (what, hint string) {
	what, hint = f.What, f.Hint
	if f.Flag == "" {
		what = f.Error()
	}
	if strings.Contains(hint, "evenfall ") {
		hint = ""
	}
	return Labelled(what, label), Labelled(hint, label)
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

// FaultsOf returns times that the day does not have as faults, which lie
// nowhere yet.
func FaultsOf(times shoot.TimeErrors) Faults {
	var faults Faults
	for _, one := range times {
		faults = append(faults, Fault{What: one.What, Hint: one.Instead})
	}
	return faults
}

// inOrder sorts the faults as they are reported, each once, with nothing in
// them that a terminal would obey.
func (f Faults) inOrder() Faults {
	for i := range f {
		f[i].What, f[i].Hint = words.Safe(f[i].What), words.Safe(f[i].Hint)
	}
	sort.SliceStable(f, func(i, j int) bool {
		a, b := &f[i], &f[j]
		return cmp.Or(
			cmp.Compare(min(len(a.Flag), 1), min(len(b.Flag), 1)),
			cmp.Compare(a.Line, b.Line),
			cmp.Compare(a.Column, b.Column)) < 0
	})
	seen := map[Fault]bool{}
	return slices.DeleteFunc(f, func(one Fault) bool {
		again := seen[one]
		seen[one] = true
		return again
	})
}

// quoted returns text in quotes, short enough for a message and with nothing
// in it that a terminal would obey.
func quoted(text string) string {
	return words.Safe(strconv.Quote(shortened(text)))
}

// shortened cuts text to what a message may hold of it.
func shortened(text string) string {
	const most = 60
	if utf8.RuneCountInString(text) > most {
		return string([]rune(text)[:most]) + "…"
	}
	return text
}

// oneWord is what every shell takes as it is.
var oneWord = regexp.MustCompile(`^[\pL\pN.,:+/_°%=@-]+$`)

// Typed writes a value as it is typed on a command line, in quotes where a
// shell needs them. What a terminal would obey is written out, and what is too
// long for a message left out.
func Typed(value string) string { return Argument(shortened(value)) }

// Argument writes a value as Typed does, however long it is.
func Argument(value string) string {
	value = words.Safe(value)
	if oneWord.MatchString(value) {
		return value
	}
	return "'" + strings.ReplaceAll(value, "'", `'\''`) + "'"
}

// plain writes a number as it would be typed; one of very many digits, far
// outside the range of anything, with an exponent.
func plain(v float64) string {
	if math.Abs(v) < 1e15 {
		return strconv.FormatFloat(v, 'f', -1, 64)
	}
	return strconv.FormatFloat(v, 'g', 6, 64)
}

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
