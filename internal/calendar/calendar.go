// Package calendar writes events as iCalendar (RFC 5545), for calendar programs
// to take over. It is pure: equal calendars give equal bytes.
package calendar

import (
	"encoding/hex"
	"fmt"
	"hash/fnv"
	"slices"
	"strconv"
	"strings"
	"time"
)

// Calendar is events that one file has.
type Calendar struct {
	Product string    // that wrote it, as PRODID has it
	Made    time.Time // when it was written
	Events  []Event
}

// Event is a stretch of time in the zone of its times.
type Event struct {
	// Key is what makes it the same event in a file written later; its UID is
	// made of nothing else.
	Key      []string
	From, To time.Time

	Summary, Description, Location string
	Latitude, Longitude            float64 // degrees, north and east positive
	Proposed                       bool    // nothing is settled: it takes no time from others
}

// UID returns the identifier of the event: equal keys give equal ones, others
// different ones (FNV-1a, 128 bits).
func (e *Event) UID() string {
	h := fnv.New128a()
	for _, part := range e.Key {
		fmt.Fprintf(h, "%d:%s", len(part), part)
	}
	return hex.EncodeToString(h.Sum(nil)) + "@evenfall"
}

// Bytes returns the calendar as a file: the zones of its events, then the events
// in their order.
func (c *Calendar) Bytes() []byte {
	w := &writer{}
	w.line("BEGIN:VCALENDAR")
	w.line("VERSION:2.0")
	w.text("PRODID", c.Product)
	for _, zone := range c.zones() {
		first, last := c.years(zone)
		w.zone(zone, first, last)
	}
	for i := range c.Events {
		w.event(&c.Events[i], c.Made)
	}
	w.line("END:VCALENDAR")
	return w.b
}

// zones returns the zones of the events but for UTC, each once by its name.
func (c *Calendar) zones() []*time.Location {
	var list []*time.Location
	for i := range c.Events {
		zone := c.Events[i].From.Location()
		known := func(one *time.Location) bool { return one.String() == zone.String() }
		if !isUTC(zone) && !slices.ContainsFunc(list, known) {
			list = append(list, zone)
		}
	}
	return list
}

// years returns the first and the last year of the events in a zone.
func (c *Calendar) years(zone *time.Location) (first, last int) {
	for i := range c.Events {
		e := &c.Events[i]
		if e.From.Location().String() != zone.String() {
			continue
		}
		if first == 0 {
			first, last = e.From.Year(), e.To.Year()
		}
		first, last = min(first, e.From.Year()), max(last, e.To.In(zone).Year())
	}
	return first, last
}

// isUTC reports whether times of a zone are written in UTC: it is that, or has no
// name to go by.
func isUTC(zone *time.Location) bool {
	return zone.String() == time.UTC.String() || identifier(zone) == ""
}

// identifier is the name of a zone as it may stand within quotes.
func identifier(zone *time.Location) string {
	return strings.NewReplacer("\"", "'", "\n", " ").Replace(clean(zone.String()))
}

// event writes an event.
func (w *writer) event(e *Event, made time.Time) {
	zone := e.From.Location()
	w.line("BEGIN:VEVENT")
	w.line("UID:" + e.UID())
	w.line("DTSTAMP:" + made.UTC().Format(inUTC))
	w.time("DTSTART", e.From, zone)
	if e.To.After(e.From) {
		w.time("DTEND", e.To, zone)
	}
	w.text("SUMMARY", e.Summary)
	w.text("DESCRIPTION", e.Description)
	w.text("LOCATION", e.Location)
	w.line("GEO:" + degrees(e.Latitude) + ";" + degrees(e.Longitude))
	if e.Proposed {
		w.line("STATUS:TENTATIVE")
		w.line("TRANSP:TRANSPARENT")
	}
	w.line("END:VEVENT")
}

// degrees writes an angle to a tenth of a metre on the ground, as RFC 5545,
// 3.8.1.6, has it.
func degrees(v float64) string { return strconv.FormatFloat(v, 'f', 6, 64) }

// The forms of a date with a time, RFC 5545, 3.3.5.
const (
	inUTC   = "20060102T150405Z"
	inALand = "20060102T150405"
)

// time writes a time as the clocks of a zone show it. What they show twice is
// written in UTC: it means the first of both (RFC 5545, 3.3.5), but not to all
// that read it.
func (w *writer) time(name string, t time.Time, zone *time.Location) {
	if isUTC(zone) || twice(t, zone) {
		w.line(name + ":" + t.UTC().Format(inUTC))
		return
	}
	w.line(name + ";TZID=" + parameter(identifier(zone)) + ":" + t.In(zone).Format(inALand))
}

// parameter writes a value of a parameter, RFC 5545, 3.2.
func parameter(s string) string {
	if strings.ContainsAny(s, ":;,") {
		return `"` + s + `"`
	}
	return s
}
