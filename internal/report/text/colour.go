package text

import (
	"strings"

	"evenfall/internal/report"
)

// style is how text is set off by colour.
type style int

const (
	none style = iota
	title
	good
	warn
	bad
)

// reset ends all colour.
const reset = "\x1b[0m"

// closed takes out of a line the resets that end nothing, which the library
// puts behind cells of its own accord.
func closed(line string) string {
	var b strings.Builder
	open := false
	for line != "" {
		before, after, found := strings.Cut(line, reset)
		b.WriteString(before)
		open = open || strings.Contains(before, "\x1b[")
		if found && open {
			b.WriteString(reset)
			open = false
		}
		line = after
	}
	return b.String()
}

// codes are the parameters of the terminal's SGR sequence (ECMA-48, 8.3.117).
// The colours are of the 256 that terminals have in common, chosen for contrast
// on white and on black alike: dark green, brown, and bold red.
func (s style) codes() string {
	switch s {
	case title:
		return "1"
	case good:
		return "38;5;28"
	case warn:
		return "38;5;130"
	case bad:
		return "1;38;5;196"
	}
	return ""
}

// styleOf returns the style of a tone.
func styleOf(t report.Tone) style {
	return map[report.Tone]style{report.Good: good, report.Warn: warn, report.Bad: bad}[t]
}

// paint sets text off, where there is colour. Blanks at its ends stay as they
// are.
func (p *page) paint(s style, text string) string {
	codes, core := s.codes(), strings.Trim(text, " ")
	if !p.Colour || codes == "" || core == "" {
		return text
	}
	from := strings.Index(text, core)
	return text[:from] + "\x1b[" + codes + "m" + core + reset + text[from+len(core):]
}
