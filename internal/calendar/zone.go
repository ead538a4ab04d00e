package calendar

import (
	"fmt"
	"time"

	"evenfall/internal/timezone"
)

// zone writes the definition of a time zone from the beginning of a year to the
// end of another: each change of its clocks by itself, RFC 5545, 3.6.5.
func (w *writer) zone(zone *time.Location, first, last int) {
	rules := rulesOf(zone, first, last)
	w.line("BEGIN:VTIMEZONE")
	w.text("TZID", identifier(zone))
	before := rules.Changes[0].Offset
	for _, c := range rules.Changes {
		kind := "STANDARD"
		if c.Summer {
			kind = "DAYLIGHT"
		}
		at := time.Unix(c.From, 0)
		w.line("BEGIN:" + kind)
		// By the clocks as they were before.
		w.line("DTSTART:" + at.In(time.FixedZone("", before)).Format(inALand))
		w.line("TZOFFSETFROM:" + offset(before))
		w.line("TZOFFSETTO:" + offset(c.Offset))
		w.text("TZNAME", at.In(zone).Format("MST"))
		w.line("END:" + kind)
		before = c.Offset
	}
	w.line("END:VTIMEZONE")
}

// rulesOf returns what the clocks of a zone show from the day before a year to
// the day after another.
func rulesOf(zone *time.Location, first, last int) timezone.Rules {
	return timezone.Of(zone, time.Date(first-1, time.December, 31, 0, 0, 0, 0, time.UTC),
		time.Date(last+1, time.January, 2, 0, 0, 0, 0, time.UTC))
}

// offset writes how far clocks lie ahead of UTC, s, as RFC 5545, 3.3.14, has it.
func offset(s int) string {
	sign := '+'
	if s < 0 {
		sign, s = '-', -s
	}
	text := fmt.Sprintf("%c%02d%02d", sign, s/3600, s/60%60)
	if s%60 != 0 {
		text += fmt.Sprintf("%02d", s%60)
	}
	return text
}

// twice reports whether clocks show what they show at a time once more: they are
// put back over it.
func twice(t time.Time, zone *time.Location) bool {
	rules := rulesOf(zone, t.Year(), t.Year())
	for i, c := range rules.Changes {
		if i == 0 {
			continue
		}
		back := int64(rules.Changes[i-1].Offset - c.Offset) // s
		if since := t.Unix() - c.From; -back <= since && since < back {
			return true
		}
	}
	return false
}
