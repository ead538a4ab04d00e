package calendar

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// writer writes content lines, RFC 5545, 3.1.
type writer struct{ b []byte }

// longest is the most octets of a line, its end not counted.
const longest = 75

// line writes a content line, folded where it is longer than may be: never
// within a character.
func (w *writer) line(s string) {
	room := longest
	for len(s) > room {
		cut := room
		for !utf8.RuneStart(s[cut]) {
			cut--
		}
		w.b = append(w.b, s[:cut]+"\r\n "...)
		s, room = s[cut:], longest-1 // the blank counts
	}
	w.b = append(w.b, s+"\r\n"...)
}

// text writes a property whose value is text; nothing of an empty one.
func (w *writer) text(name, value string) {
	if value != "" {
		w.line(name + ":" + escaped.Replace(clean(value)))
	}
}

// escaped writes text as RFC 5545, 3.3.11, has it.
var escaped = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\n", `\n`)

// clean returns text without what no calendar may hold: ends of lines become
// line feeds, other control characters and what is not Unicode the sign for a
// character that is not known.
func clean(s string) string {
	s = strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(s)
	return strings.Map(func(r rune) rune {
		if r != '\n' && r != '\t' && unicode.IsControl(r) {
			return utf8.RuneError
		}
		return r // RuneError of bytes that are no character
	}, s)
}
