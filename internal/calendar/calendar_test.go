package calendar

import (
	"bytes"
	"strconv"
	"strings"
	"testing"
	"time"
	_ "time/tzdata"
	"unicode/utf8"

	"github.com/emersion/go-ical"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var made = time.Date(2027, time.April, 2, 9, 30, 0, 0, time.FixedZone("", 2*3600))

func zone(t testing.TB, name string) *time.Location {
	z, err := time.LoadLocation(name)
	require.NoError(t, err)
	return z
}

// parsed reads a calendar with a parser that is not ours.
func parsed(t testing.TB, data []byte) *ical.Calendar {
	c, err := ical.NewDecoder(bytes.NewReader(data)).Decode()
	require.NoError(t, err)
	return c
}

// children are the components of a kind.
func children(c *ical.Component, kind string) []*ical.Component {
	var list []*ical.Component
	for _, one := range c.Children {
		if one.Name == kind {
			list = append(list, one)
		}
	}
	return list
}

func text(t testing.TB, c *ical.Component, name string) string {
	s, err := c.Props.Text(name)
	require.NoError(t, err)
	return s
}

// seconds reads an offset, RFC 5545, 3.3.14.
func seconds(t testing.TB, offset string) int {
	require.Regexp(t, `^[+-]\d{4}(\d\d)?$`, offset)
	number := func(s string) int {
		n, err := strconv.Atoi(s)
		require.NoError(t, err)
		return n
	}
	n := number(offset[1:3])*3600 + number(offset[3:5])*60
	if len(offset) == 7 {
		n += number(offset[5:])
	}
	if offset[0] == '-' {
		return -n
	}
	return n
}

// instant reads a time by the definitions of zones that a calendar carries, and
// by nothing else: of the changes of the clocks before a time the last counts
// (RFC 5545, 3.6.5), and a time that they show twice is the first.
func instant(t testing.TB, c *ical.Calendar, p *ical.Prop) time.Time {
	if strings.HasSuffix(p.Value, "Z") {
		at, err := time.Parse(inUTC, p.Value)
		require.NoError(t, err)
		return at
	}
	local, err := time.Parse(inALand, p.Value)
	require.NoError(t, err)
	var best time.Time
	for _, z := range children(c.Component, "VTIMEZONE") {
		if text(t, z, "TZID") != p.Params.Get("TZID") {
			continue
		}
		for _, o := range z.Children {
			begins, err := time.Parse(inALand, o.Props.Get("DTSTART").Value) // by the clocks before
			require.NoError(t, err)
			if !local.Before(begins) {
				best = local.Add(-time.Duration(seconds(t, o.Props.Get("TZOFFSETTO").Value)) * time.Second)
			}
		}
	}
	require.False(t, best.IsZero(), "no definition for %v", p)
	return best
}

// sample are events in a zone: an hour each, some on and about the days at which
// clocks are changed.
func sample(z *time.Location) []Event {
	var list []Event
	for _, day := range []time.Time{
		time.Date(2027, time.January, 1, 0, 0, 0, 0, time.UTC), time.Date(2027, time.March, 28, 0, 30, 0, 0, time.UTC),
		time.Date(2027, time.March, 28, 1, 30, 0, 0, time.UTC), time.Date(2027, time.June, 21, 4, 0, 0, 0, time.UTC),
		time.Date(2027, time.October, 2, 15, 20, 0, 0, time.UTC), time.Date(2027, time.October, 31, 0, 10, 0, 0, time.UTC),
		time.Date(2027, time.October, 31, 1, 10, 0, 0, time.UTC), time.Date(2027, time.April, 3, 14, 40, 0, 0, time.UTC),
		time.Date(2027, time.April, 3, 15, 10, 0, 0, time.UTC), time.Date(2028, time.December, 31, 10, 0, 0, 0, time.UTC),
	} {
		list = append(list, Event{Key: []string{z.String(), day.String()}, From: day.In(z), To: day.Add(time.Hour).In(z),
			Summary: "Wall"})
	}
	return list
}

// Every event is at its instant by the zone that the file itself defines: with
// summer time of an hour and of half an hour, put the other way in the south,
// without any, and with offsets of quarters of an hour.
func TestInstantsByTheOwnZones(t *testing.T) {
	local, inUTC := 0, 0
	for _, name := range []string{"Europe/Berlin", "Asia/Kathmandu", "Australia/Lord_Howe", "Pacific/Chatham",
		"America/St_Johns", "Asia/Tokyo", "Africa/Casablanca", "Europe/Dublin", "Pacific/Apia", "America/New_York", "UTC"} {
		events := sample(zone(t, name))
		c := parsed(t, (&Calendar{Product: "-//evenfall//EN", Made: made, Events: events}).Bytes())
		list := children(c.Component, "VEVENT")
		require.Len(t, list, len(events), name)
		for i, e := range list {
			assert.True(t, instant(t, c, e.Props.Get("DTSTART")).Equal(events[i].From), "%s %v", name, events[i].From)
			assert.True(t, instant(t, c, e.Props.Get("DTEND")).Equal(events[i].To), "%s %v", name, events[i].To)
			// The database of zones says the same.
			at, err := e.Props.DateTime("DTSTART", nil)
			require.NoError(t, err)
			assert.True(t, at.Equal(events[i].From), "%s %v", name, events[i].From)
			if strings.HasSuffix(e.Props.Get("DTSTART").Value, "Z") {
				inUTC++
			} else {
				local++
			}
		}
		if name == "UTC" {
			assert.Empty(t, children(c.Component, "VTIMEZONE"))
		}
	}
	assert.Greater(t, local, 90)
	assert.Greater(t, inUTC, 10, "those of the zone UTC, and what clocks show twice")
}

// On the night that clocks are put back half past two comes twice: both times are
// written in UTC, for parsers take such a time for the first (RFC 5545, 3.3.5) or
// for the second.
func TestTheHourThatComesTwice(t *testing.T) {
	z := zone(t, "Europe/Berlin")
	first := time.Date(2027, 10, 31, 0, 30, 0, 0, time.UTC).In(z)
	second := first.Add(time.Hour)
	require.Equal(t, first.Format("15:04"), second.Format("15:04"))
	page := string((&Calendar{Made: made, Events: []Event{{From: first, To: second}}}).Bytes())
	assert.Contains(t, page, "DTSTART:20271031T003000Z\r\n")
	assert.Contains(t, page, "DTEND:20271031T013000Z\r\n")
	before, after := first.Add(-31*time.Minute), second.Add(30*time.Minute)
	page = string((&Calendar{Made: made, Events: []Event{{From: before, To: after}}}).Bytes())
	assert.Contains(t, page, "DTSTART;TZID=Europe/Berlin:20271031T015900\r\n")
	assert.Contains(t, page, "DTEND;TZID=Europe/Berlin:20271031T030000\r\n")
}

// A zone is defined by its changes through the years of the events.
func TestZoneDefinition(t *testing.T) {
	c := parsed(t, (&Calendar{Made: made, Events: sample(zone(t, "Australia/Lord_Howe"))}).Bytes())
	zones := children(c.Component, "VTIMEZONE")
	require.Len(t, zones, 1)
	var got []string
	for _, o := range zones[0].Children {
		got = append(got, strings.Join([]string{o.Name, o.Props.Get("DTSTART").Value,
			o.Props.Get("TZOFFSETFROM").Value, o.Props.Get("TZOFFSETTO").Value}, " "))
	}
	// Half an hour, from the first Sunday of October at 2:00 to the first of April at 2:00 (tz database, Lord_Howe).
	assert.Equal(t, []string{
		"DAYLIGHT 20261231T110000 +1100 +1100",
		"STANDARD 20270404T020000 +1100 +1030", "DAYLIGHT 20271003T020000 +1030 +1100",
		"STANDARD 20280402T020000 +1100 +1030", "DAYLIGHT 20281001T020000 +1030 +1100",
	}, got)
}

// A zone by its offset alone needs quotes for its colon, and has no change.
func TestZoneByOffset(t *testing.T) {
	z := time.FixedZone("UTC+05:30", 5*3600+1800)
	at := time.Date(2027, 5, 1, 18, 0, 0, 0, z)
	page := (&Calendar{Made: made, Events: []Event{{From: at, To: at.Add(time.Hour)}}}).Bytes()
	assert.Contains(t, string(page), "DTSTART;TZID=\"UTC+05:30\":20270501T180000\r\n")
	c := parsed(t, page)
	e := children(c.Component, "VEVENT")[0]
	assert.True(t, instant(t, c, e.Props.Get("DTSTART")).Equal(at))
}

func TestEventsSayWhatTheyAre(t *testing.T) {
	z := zone(t, "Europe/Berlin")
	from := time.Date(2027, 5, 15, 19, 31, 0, 0, z)
	e := Event{Key: []string{"Wall", "nd"}, From: from, To: from.Add(time.Hour), Summary: `Wall, north; "ü" \n`,
		Description: "Start f/2.8\nEnd f/4, ISO 200\r\nback\\slash", Location: "Pier; west, at 3",
		Latitude: 54.33, Longitude: -10.1512346}
	c := parsed(t, (&Calendar{Product: "-//evenfall//EN", Made: made, Events: []Event{e}}).Bytes())
	assert.Equal(t, "-//evenfall//EN", text(t, c.Component, "PRODID"))
	assert.Equal(t, "2.0", text(t, c.Component, "VERSION"))
	got := children(c.Component, "VEVENT")[0]
	assert.Equal(t, e.Summary, text(t, got, "SUMMARY"))
	assert.Equal(t, "Start f/2.8\nEnd f/4, ISO 200\nback\\slash", text(t, got, "DESCRIPTION"))
	assert.Equal(t, e.Location, text(t, got, "LOCATION"))
	assert.Equal(t, "20270402T073000Z", got.Props.Get("DTSTAMP").Value, "when it was written, in UTC")
	assert.Equal(t, "54.330000;-10.151235", got.Props.Get("GEO").Value)
	assert.Empty(t, children(got, "VALARM"), "nobody asked to be woken")
	require.NoError(t, ical.NewEncoder(&bytes.Buffer{}).Encode(c), "all that RFC 5545 asks for is there, once")
}

// The identifier goes by the key alone.
func TestUIDs(t *testing.T) {
	a := Event{Key: []string{"Wall", "54.33", "2027-05-15", "nd"}}
	b := a
	b.From, b.Summary = made, "another"
	assert.Equal(t, a.UID(), b.UID())
	seen := map[string]bool{}
	for _, key := range [][]string{
		nil, {""}, {"", ""}, {"ab", "c"}, {"a", "bc"}, {"abc"}, {"1:a"}, {"a", "1:b"}, {"a1:b"},
	} {
		e := Event{Key: key}
		assert.False(t, seen[e.UID()], "%q", key)
		seen[e.UID()] = true
		assert.Regexp(t, `^[0-9a-f]{32}@evenfall$`, e.UID())
	}
}

// checkLines holds a file to the form of content lines, RFC 5545, 3.1.
func checkLines(t testing.TB, data []byte) {
	require.True(t, utf8.Valid(data))
	require.True(t, bytes.HasSuffix(data, []byte("\r\n")))
	for _, l := range strings.Split(strings.TrimSuffix(string(data), "\r\n"), "\r\n") {
		require.LessOrEqual(t, len(l), 75, l)
		require.True(t, utf8.ValidString(l), l)
		require.NotContains(t, l, "\n")
		require.NotContains(t, l, "\r")
		require.NotEmpty(t, l)
	}
}

func TestLinesAreFolded(t *testing.T) {
	for _, letter := range []string{"a", "é", "€", "😀", ",", "\\", " ", "\n"} {
		for n := 55; n < 90; n++ {
			e := Event{From: made, To: made.Add(time.Hour), Summary: "x" + strings.Repeat(letter, n)}
			page := (&Calendar{Made: made, Events: []Event{e}}).Bytes()
			checkLines(t, page)
			require.Equal(t, e.Summary, text(t, children(parsed(t, page).Component, "VEVENT")[0], "SUMMARY"))
		}
	}
}

// cleaned is what of a text a calendar can hold.
func cleaned(s string) string {
	s = strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
	var b strings.Builder
	for _, r := range s {
		if r < ' ' && r != '\n' && r != '\t' || r >= 0x7f && r < 0xa0 {
			r = '\ufffd'
		}
		b.WriteRune(r)
	}
	return b.String()
}

// Whatever a shoot and its zone are called, and wherever its clocks stand, the
// parser reads the same text and the same instant.
func FuzzCalendar(f *testing.F) {
	f.Add("Harbour wall", "Pier; 3, west\\", "Europe/Berlin", int64(1800000000), 3600)
	f.Add("", "\x00\x1b[31m\u2028\r\r\n", "UTC+05:30", int64(-600000000), 19800)
	f.Add("\"\xff;:,", strings.Repeat("ß,", 60), "a\nb\"c;d", int64(4000000000), -12345)
	f.Fuzz(func(t *testing.T, name, location, zoneName string, at int64, offset int) {
		z, err := time.LoadLocation(zoneName)
		if err != nil || zoneName == "" || zoneName == "Local" {
			z = time.FixedZone(zoneName, offset%(15*3600))
		}
		from := time.Unix(at%4_000_000_000, 0).In(z)
		e := Event{Key: []string{name}, From: from, To: from.Add(time.Hour), Summary: name, Description: location,
			Location: location}
		page := (&Calendar{Product: "-//evenfall//EN", Made: made, Events: []Event{e}}).Bytes()
		checkLines(t, page)
		c := parsed(t, page)
		list := children(c.Component, "VEVENT")
		require.Len(t, list, 1)
		assert.Equal(t, cleaned(name), text(t, list[0], "SUMMARY"))
		assert.Equal(t, cleaned(location), text(t, list[0], "DESCRIPTION"))
		assert.Equal(t, cleaned(location), text(t, list[0], "LOCATION"))
		assert.True(t, instant(t, c, list[0].Props.Get("DTSTART")).Equal(from), "%s", page)
		assert.True(t, instant(t, c, list[0].Props.Get("DTEND")).Equal(e.To), "%s", page)
	})
}
