package shootfile

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// largestOffset is how far an instant may lie from its event.
const largestOffset = 12 * time.Hour

var (
	clockForm  = regexp.MustCompile(`^(\d{1,2})[:.h](\d{2})(?::(\d{2}))?$`)
	halfDay    = regexp.MustCompile(`^(\d{1,2})(?:[:.](\d{2}))?\s*([ap])\.?m\.?$`)
	hourForm   = regexp.MustCompile(`^(\d{1,2})(?:h|(\d{2}))?$`)
	eventForm  = regexp.MustCompile(`^([a-z]+(?:[ -]+[a-z]+)*)\s*(?:([+-])\s*([0-9][0-9.:hms]*))?$`)
	unitForm   = regexp.MustCompile(`([0-9])\s*(h|m|s)(?:ours?|rs?|in|inutes?|ins|ec|ecs|econds?)?\b\.?\s*`)
	minuteForm = regexp.MustCompile(`^([0-9]{1,2}):([0-5][0-9])$`)
	offsetForm = regexp.MustCompile(`^([0-9.]+h)?([0-9.]+m)?([0-9.]+s)?$`)
	hoursFirst = regexp.MustCompile(`^[0-9.]+h[0-9]+$`)
)

// ParseTime reads when an instant is on the shoot's day, to the second. The error
// is a Fault that lies nowhere, its hint another instant.
func ParseTime(s *shoot.Shoot, text string) (time.Time, error) {
	i, err := ParseInstant(text)
	if err != nil {
		return time.Time{}, err
	}
	t, err := s.TimeOf(i, dayOf(s))
	if err != nil {
		return time.Time{}, asFault(err)
	}
	return t.Round(time.Second), nil
}

// ParseInstant reads a time of day: by the clock, "17:30", "17:30:15", "17.30",
// "5:30pm" or "5pm", or an event of the day with or without an offset of at
// most twelve hours, "sunset-2h", "solar-noon+30m", "sunset - 90 min", "sunset-1:30", "civil dusk". An offset
// without a unit is in minutes where it is more than twelve and cannot be in
// hours, "sunset+45". The golden and the blue hour come twice a day; the
// evening's is meant, "morning-golden-hour-ends" is the other. The error is a
// Fault that lies nowhere, its hint another instant.
func ParseInstant(text string) (shoot.Instant, error) {
	clean := strings.ToLower(strings.TrimSpace(strings.ReplaceAll(text, "\u2212", "-"))) // a typeset minus
	if form := clockForm.FindStringSubmatch(clean); form != nil {
		return parseClock(text, form[1], form[2], form[3])
	}
	if form := halfDay.FindStringSubmatch(clean); form != nil {
		return parseHalfDay(text, form[1], form[2], form[3] == "p")
	}
	if form := hourForm.FindStringSubmatch(clean); form != nil {
		near, _ := parseClock(text, form[1], form[2], "")
		return shoot.Instant{}, Fault{What: quoted(text) + " is not a time of day", Hint: near.String()}
	}
	form := eventForm.FindStringSubmatch(shortUnits(clean))
	if form == nil {
		return shoot.Instant{}, Fault{
			What: quoted(text) + " is neither a clock time nor an event of the day", Hint: "sunset-2h"}
	}
	i, eventErr := parseEvent(form[1])
	offset, ok := parseOffset(form[3])
	if form[2] == "-" {
		offset = -offset
	}
	if i.Offset = offset; i.Event == "" {
		i.Offset = (offset + 24*time.Hour) % (24 * time.Hour) // from midnight
	}
	if f := (Fault{}); errors.As(eventErr, &f) {
		if form[2] != "" || f.Hint == "" {
			f.Hint = i.String() // with the offset that was asked for
		}
		return shoot.Instant{}, f
	}
	if ok {
		return i, nil
	}
	f := Fault{What: fmt.Sprintf("%s is not an offset of up to %s", quoted(form[2]+form[3]),
		shoot.Span(largestOffset)), Hint: i.String()}
	if _, err := strconv.Atoi(form[3]); err == nil {
		f.What = quoted(form[2]+form[3]) + " does not say whether in hours or minutes"
	}
	return shoot.Instant{}, f
}

// shortUnits writes the units of an offset as one letter each, close behind
// their numbers.
func shortUnits(text string) string { return unitForm.ReplaceAllString(text, "$1$2") }

// parseClock reads hours, minutes and seconds in digits. With an error it
// returns the nearest time there is, of those after midnight the one that they
// are counted on to.
func parseClock(text, hour, minute, second string) (shoot.Instant, error) {
	hours, _ := strconv.Atoi(hour) // digits all, by the forms; "" is 0
	minutes, _ := strconv.Atoi(minute)
	seconds, _ := strconv.Atoi(second)
	right := hours <= 23 && minutes <= 59 && seconds <= 59
	if hours > 23 {
		hours = (hours - 24) % 24 // 25:00 is an hour past midnight
	}
	i := shoot.Instant{Offset: time.Duration(hours)*time.Hour +
		time.Duration(min(minutes, 59))*time.Minute + time.Duration(min(seconds, 59))*time.Second}
	if !right {
		return i, Fault{What: quoted(text) + " is not a clock time, 00:00 to 23:59", Hint: i.String()}
	}
	return i, nil
}

// parseHalfDay reads a time of the twelve-hour clock.
func parseHalfDay(text, hour, minute string, afternoon bool) (shoot.Instant, error) {
	i, err := parseClock(text, hour, minute, "")
	if err == nil && (i.Offset >= 13*time.Hour || i.Offset < time.Hour) {
		err = Fault{What: quoted(text) + " is not a clock time of twelve hours", Hint: i.String()}
	}
	if err != nil {
		return shoot.Instant{}, err
	}
	i.Offset %= 12 * time.Hour // 12 is 0
	if afternoon {
		i.Offset += 12 * time.Hour
	}
	return i, nil
}

// parseEvent reads the name of an event. With an error it returns the event
// that is most likely meant.
func parseEvent(text string) (shoot.Instant, error) {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '-' })
	name := strings.Join(words, " ")
	bare, inMorning := strings.CutPrefix(name, "morning ")
	bare, inEvening := strings.CutPrefix(bare, "evening ")
	var known []string
	for _, event := range shoot.DayEvents() {
		known = append(known, shoot.Instant{Event: event}.String())
		if string(event) != bare {
			continue
		}
		i := shoot.Instant{Event: event, Morning: inMorning && shoot.TwiceADay(event)}
		if (inMorning || inEvening) && !shoot.TwiceADay(event) {
			return i, Fault{What: quoted(text) + ": only the golden and the blue hour come twice a day"}
		}
		return i, nil
	}
	f := Fault{What: quoted(text) + " is not an event of the day"}
	switch name {
	case "noon":
		f.What, f.Hint = f.What+": by the sun it is solar-noon, by the clock 12:00", "12:00"
		return shoot.Instant{Event: sky.SolarNoon}, f
	case "midnight":
		f.What += ": by the clock it is 00:00"
		return shoot.Instant{}, f
	}
	near := Nearest(bare, known)
	if near == "" {
		near = string(sky.Sunset)
		f.What += "; they are " + listed(known)
	}
	event := sky.EventName(strings.ReplaceAll(near, "-", " "))
	return shoot.Instant{Event: event, Morning: inMorning && shoot.TwiceADay(event)}, f
}

// parseOffset reads a length of time such as 2h, 1h30m, 1:30 or 45m, in whole
// seconds and of at most twelve hours. Where it is none, the offset returned
// is the one that is most likely meant.
func parseOffset(text string) (offset time.Duration, ok bool) {
	if text == "" {
		return 0, true
	}
	if n, err := strconv.Atoi(text); err == nil {
		switch {
		case n == 0:
			return 0, true
		case n <= int(largestOffset.Hours()):
			return time.Duration(n) * time.Hour, false // or minutes
		}
		text += "m"
	}
	text = minuteForm.ReplaceAllString(text, "${1}h${2}m")
	if hoursFirst.MatchString(text) {
		offset, _ = parseOffset(text + "m") // 1h30
		return offset, false
	}
	if !offsetForm.MatchString(text) {
		return time.Hour, false
	}
	d, err := time.ParseDuration(text)
	switch {
	case err != nil || d < 0:
		return time.Hour, false
	case d > largestOffset:
		return largestOffset, false
	}
	return d.Truncate(time.Second), d%time.Second == 0
}
