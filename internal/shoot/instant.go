package shoot

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"evenfall/sky"
)

// side is the half of the day an event falls in.
type side int

const (
	noon    side = iota
	morning      // before solar noon
	evening      // after it
	either       // on both; the evening's is meant unless the other is asked for
)

// events are the events an instant may name, with the half of the day they
// fall in.
var events = [...]struct {
	name sky.EventName
	side side
}{
	{sky.Sunrise, morning}, {sky.Sunset, evening}, {sky.SolarNoon, noon},
	{sky.CivilDawn, morning}, {sky.CivilDusk, evening},
	{sky.NauticalDawn, morning}, {sky.NauticalDusk, evening},
	{sky.AstronomicalDawn, morning}, {sky.AstronomicalDusk, evening},
	{sky.GoldenHourBegins, either}, {sky.GoldenHourEnds, either},
	{sky.BlueHourBegins, either}, {sky.BlueHourEnds, either},
}

// largestOffset is how far an instant may lie from its event.
const largestOffset = 12 * time.Hour

var (
	clockForm  = regexp.MustCompile(`^(\d{1,2}):(\d{2})(?::(\d{2}))?$`)
	eventForm  = regexp.MustCompile(`^([a-z]+(?:[ -]+[a-z]+)*)\s*(?:([+-])\s*([0-9][0-9.hms]*))?$`)
	offsetForm = regexp.MustCompile(`^([0-9.]+h)?([0-9.]+m)?([0-9.]+s)?$`)
)

// ParseInstant reads a time of day: by the clock, "17:30" or "17:30:15", or
// an event of the day with or without an offset of at most twelve hours,
// "sunset-2h", "solar-noon+30m", "civil dusk". The golden and the blue hour
// come twice a day; the evening's is meant, "morning-golden-hour-ends" is the
// other. The error is a Fault that lies nowhere.
func ParseInstant(text string) (Instant, error) {
	clean := strings.ToLower(strings.TrimSpace(strings.ReplaceAll(text, "\u2212", "-"))) // a typeset minus
	if clock := clockForm.FindStringSubmatch(clean); clock != nil {
		return parseClock(text, clock)
	}
	form := eventForm.FindStringSubmatch(clean)
	if form == nil {
		return Instant{}, Fault{What: quoted(text) + " is no time of day", Hint: `a clock time such as 17:30, or an event such as sunset-2h`}
	}
	i, err := parseEvent(form[1])
	if err != nil {
		return Instant{}, err
	}
	if form[2] != "" {
		offset, ok := parseOffset(form[3])
		if !ok || offset > largestOffset {
			return Instant{}, Fault{What: fmt.Sprintf("%s is no offset of up to %s", quoted(form[2]+form[3]), span(largestOffset)),
				Hint: "hours and minutes, such as " + hyphened(i.Event) + form[2] + "1h30m"}
		}
		i.Offset = offset
		if form[2] == "-" {
			i.Offset = -offset
		}
	}
	return i, nil
}

func parseClock(text string, clock []string) (Instant, error) {
	hours, _ := strconv.Atoi(clock[1]) // digits all, by the form
	minutes, _ := strconv.Atoi(clock[2])
	seconds, _ := strconv.Atoi(clock[3]) // "" is 0
	if hours > 23 || minutes > 59 || seconds > 59 {
		return Instant{}, Fault{What: quoted(text) + " is no time of the clock", Hint: "00:00 to 23:59"}
	}
	return Instant{Offset: time.Duration(hours)*time.Hour + time.Duration(minutes)*time.Minute + time.Duration(seconds)*time.Second}, nil
}

func parseEvent(text string) (Instant, error) {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '-' })
	name := strings.Join(words, " ")
	bare, inMorning := strings.CutPrefix(name, "morning ")
	bare, inEvening := strings.CutPrefix(bare, "evening ")
	var known []string
	for _, event := range events {
		if string(event.name) == bare {
			if (inMorning || inEvening) && event.side != either {
				return Instant{}, Fault{What: quoted(text) + ": only the golden and the blue hour come twice a day", Hint: hyphened(event.name)}
			}
			return Instant{Event: event.name, Morning: inMorning}, nil
		}
		known = append(known, hyphened(event.name))
	}
	f := Fault{What: quoted(text) + " is no event of the day", Hint: "one of " + listed(known)}
	switch near := nearest(strings.Join(words, "-"), known); {
	case name == "noon":
		f.Hint = "12:00 by the clock, or solar-noon"
	case name == "midnight":
		f.Hint = "00:00"
	case near != "":
		f.Hint = near
	}
	return Instant{}, f
}

// parseOffset reads a length of time such as 2h, 1h30m or 45m, in whole
// seconds.
func parseOffset(text string) (time.Duration, bool) {
	if !offsetForm.MatchString(text) {
		return 0, false
	}
	d, err := time.ParseDuration(text)
	return d, err == nil && d >= 0 && d%time.Second == 0
}

// hyphened writes the name of an event as one word.
func hyphened(name sky.EventName) string { return strings.ReplaceAll(string(name), " ", "-") }

// span writes a length of time as it is typed: 1h30m.
func span(d time.Duration) string {
	text := ""
	for _, unit := range [...]struct {
		size time.Duration
		name string
	}{{time.Hour, "h"}, {time.Minute, "m"}, {time.Second, "s"}} {
		if n := d / unit.size; n > 0 {
			text += strconv.FormatInt(int64(n), 10) + unit.name
			d -= n * unit.size
		}
	}
	if text == "" {
		return "0m"
	}
	return text
}

// String returns the instant as it is typed: 17:30, sunset-2h.
func (i Instant) String() string {
	if i.Event == "" {
		s := int(i.Offset / time.Second)
		if s%60 != 0 {
			return fmt.Sprintf("%02d:%02d:%02d", s/3600, s/60%60, s%60)
		}
		return fmt.Sprintf("%02d:%02d", s/3600, s/60%60)
	}
	text := hyphened(i.Event)
	if i.Morning {
		text = "morning-" + text
	}
	switch {
	case i.Offset > 0:
		text += "+" + span(i.Offset)
	case i.Offset < 0:
		text += "-" + span(-i.Offset)
	}
	return text
}
