package shoot

import (
	"fmt"
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
	{sky.SunOverSkyline, morning}, {sky.SunBehindSkyline, evening},
}

// bySkyline reports whether an event is one of the skyline, which may come many
// times: the first of the morning and the last of the evening are meant.
func bySkyline(name sky.EventName) bool {
	return name == sky.SunOverSkyline || name == sky.SunBehindSkyline
}

// DayEvents lists the events that an instant may name.
func DayEvents() []sky.EventName {
	var names []sky.EventName
	for _, event := range events {
		names = append(names, event.name)
	}
	return names
}

// TwiceADay reports whether an event comes in the morning and in the evening.
func TwiceADay(name sky.EventName) bool { return sideOf(name) == either }

func sideOf(name sky.EventName) side {
	for _, event := range events {
		if event.name == name {
			return event.side
		}
	}
	return evening
}

// Span writes a length of time as it is typed: 1h30m.
func Span(d time.Duration) string {
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
	text := strings.ReplaceAll(string(i.Event), " ", "-")
	if i.Morning {
		text = "morning-" + text
	}
	switch {
	case i.Offset > 0:
		text += "+" + Span(i.Offset)
	case i.Offset < 0:
		text += "-" + Span(-i.Offset)
	}
	return text
}
