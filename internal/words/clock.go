package words

import (
	"strconv"
	"strings"
	"time"
)

// Clock writes times of day, all of a report in one way: to the nearest
// minute, or to the second.
type Clock struct{ Seconds bool }

// ClockFor returns the clock of a report in steps of d: with seconds only
// where the step is no whole count of minutes.
func ClockFor(d time.Duration) Clock { return Clock{Seconds: d%time.Minute != 0} }

// Time writes a time of day in its own zone: 18:45.
func (c Clock) Time(t time.Time) string {
	if c.Seconds {
		return t.Add(time.Second / 2).Format("15:04:05")
	}
	return t.Add(time.Minute / 2).Format("15:04")
}

// Range writes a span of time: 18:45–19:20, or one time where both ends are
// written alike.
func (c Clock) Range(from, to time.Time) string {
	a, b := c.Time(from), c.Time(to)
	if a == b {
		return a
	}
	return a + "–" + b
}

// Date writes a day of the calendar with its day of the week:
// Sun 12 September 2027.
func Date(t time.Time) string { return t.Format("Mon 2 January 2006") }

// Zone names the zone of a stretch of time, with how far it lies ahead of
// universal time: Europe/Berlin, UTC+02:00. Where clocks are changed meanwhile,
// both offsets are given.
func Zone(from, to time.Time) string {
	text := ahead(from)
	if name := from.Location().String(); !strings.HasPrefix(name, "UTC") {
		text = name + ", " + text
	}
	if end := ahead(to); end != ahead(from) {
		text += ", at the end " + end
	}
	return text
}

// ahead writes how far local time lies ahead of universal time: UTC+01:00.
func ahead(t time.Time) string { return "UTC" + strings.Replace(t.Format("-07:00"), "-", "−", 1) }

// Until writes how long it is until something, for a countdown: seconds in the
// last two minutes, days where there are any.
func Until(d time.Duration) string {
	switch minutes := int(d / time.Minute); {
	case d < 2*time.Minute:
		return strconv.Itoa(max(0, int(d/time.Second))) + " s"
	case minutes < 60:
		return strconv.Itoa(minutes) + " min"
	case minutes < 24*60:
		return strconv.Itoa(minutes/60) + " h " + strconv.Itoa(minutes%60) + " min"
	default:
		return Count(minutes/60/24, "day")
	}
}

// Length writes a length of time in hours and minutes: 1 h 33 min, 2 h, 45 min.
func Length(d time.Duration) string {
	minutes := int(d.Round(time.Minute) / time.Minute)
	h, m := minutes/60, minutes%60
	switch {
	case h == 0:
		return strconv.Itoa(m) + " min"
	case m == 0:
		return strconv.Itoa(h) + " h"
	}
	return strconv.Itoa(h) + " h " + strconv.Itoa(m) + " min"
}
