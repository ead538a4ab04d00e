package sky

import (
	"math"
	"slices"
	"sort"
	"time"
)

// EventName names something the sun does in a day.
type EventName string

// The events are moments at which the centre of the sun, topocentric and
// without refraction, passes an altitude. Those of rise and set (-50 arcmin:
// 34 of refraction and 16 of the sun's half breadth) and of the twilights (-6,
// -12, -18 deg) are the conventions of the almanacs; they are for a level
// horizon. Golden hour (+6 to -4 deg) and blue hour (-4 to -6 deg) are common
// practice; no standard defines them. Both come in the morning and in the
// evening, and each begins when the sun enters its range and ends when it
// leaves, whichever way it moves.
//
// Solar noon is the transit: the sun crosses the meridian, hour angle zero.
// (The sun is highest up to some seconds away from it, and near the poles up
// to half a day; see Day.Highest.) It comes every day, in the polar night too,
// and at the poles it goes by the meridian of the longitude given.
//
// The sun is behind the skyline from the moment at which the last of its disc,
// refraction included, is gone, and over it from that at which the first is
// seen: see Horizon.Visible. Both may come several times a day. Where the sea's
// horizon is the higher, the crossing is none of the skyline, but the rise or
// the set.
const (
	Sunrise          EventName = "sunrise"
	Sunset           EventName = "sunset"
	SolarNoon        EventName = "solar noon"
	CivilDawn        EventName = "civil dawn"
	CivilDusk        EventName = "civil dusk"
	NauticalDawn     EventName = "nautical dawn"
	NauticalDusk     EventName = "nautical dusk"
	AstronomicalDawn EventName = "astronomical dawn"
	AstronomicalDusk EventName = "astronomical dusk"
	GoldenHourBegins EventName = "golden hour begins"
	GoldenHourEnds   EventName = "golden hour ends"
	BlueHourBegins   EventName = "blue hour begins"
	BlueHourEnds     EventName = "blue hour ends"

	SunBehindSkyline EventName = "sun behind the skyline"
	SunOverSkyline   EventName = "sun over the skyline"
)

// horizonAltitude is that of the sun's centre at rise and set, in rad.
const horizonAltitude = -50.0 / 60 * radPerDegree

// eventLevels are the altitudes (rad) that events are made of, and what
// happens there when the sun rises through them and when it sinks.
var eventLevels = [...]struct {
	altitude        float64
	rising, setting []EventName
}{
	{-18 * radPerDegree, []EventName{AstronomicalDawn}, []EventName{AstronomicalDusk}},
	{-12 * radPerDegree, []EventName{NauticalDawn}, []EventName{NauticalDusk}},
	{-6 * radPerDegree, []EventName{CivilDawn, BlueHourBegins}, []EventName{BlueHourEnds, CivilDusk}},
	{-4 * radPerDegree, []EventName{BlueHourEnds, GoldenHourBegins}, []EventName{GoldenHourEnds, BlueHourBegins}},
	{horizonAltitude, []EventName{Sunrise}, []EventName{Sunset}},
	{6 * radPerDegree, []EventName{GoldenHourEnds}, []EventName{GoldenHourBegins}},
}

// Event is one thing the sun does, and where it stands then.
type Event struct {
	Name     EventName
	Time     time.Time // to the millisecond, in the location of the day
	Altitude Angle     // true altitude
	Azimuth  Angle     // clockwise from true north, [0, 2 pi)
}

// BySkyline reports whether the event is one of the skyline.
func (e *Event) BySkyline() bool { return e.Name == SunBehindSkyline || e.Name == SunOverSkyline }

// Day is what the sun does from one local midnight to the next.
type Day struct {
	// Start is the first instant of the date and End the first of the next;
	// neither need read 00:00, where clocks are changed at midnight. They are
	// 24 h apart, or 23 or 25 when the clock is changed. A date that a place
	// skipped on moving across the date line has its End at its Start and no
	// events.
	Start, End time.Time

	// Events happen at or after Start and before End and are in order of time;
	// those of one moment are in the order in which one would tell them, as
	// civil dawn before the blue hour it begins. Any event may be missing or
	// come twice (solar noon only where the clock is half a day off the sun).
	Events []Event

	// SunNeverSets means that the sun is up (above -50 arcmin) all day and
	// SunNeverRises that it is down all day. At most one of them is true.
	SunNeverSets, SunNeverRises bool

	// Highest and Lowest are where the sun is highest and lowest from Start to
	// End. They have no Name.
	Highest, Lowest Event
}

// First returns the first event of that name, and whether there is one.
func (d Day) First(name EventName) (Event, bool) {
	for _, e := range d.Events {
		if e.Name == name {
			return e, true
		}
	}
	return Event{}, false
}

// Last returns the last event of that name, and whether there is one.
func (d Day) Last(name EventName) (Event, bool) {
	for _, e := range slices.Backward(d.Events) {
		if e.Name == name {
			return e, true
		}
	}
	return Event{}, false
}

// sunSample is what the search for events needs of the sun at one instant.
type sunSample struct {
	days     float64 // from 2000
	altitude float64 // rad
	east     float64 // positive in the eastern half of the sky
}

func (o *Observer) sunSample(days float64) sunSample {
	v := o.sunDirection(days)
	return sunSample{days: days, altitude: v.altitude(), east: v.east}
}

// Day returns the events of a date of the local calendar of loc (nil means
// UTC), which need not be the zone the observer lives in. Every date has an
// answer, at any latitude. Dates are normalised as time.Date does it.
func (o Observer) Day(year int, month time.Month, day int, loc *time.Location) Day {
	if loc == nil {
		loc = time.UTC
	}
	d := Day{
		Start: startOfDate(year, month, day, loc),
		End:   startOfDate(year, month, day+1, loc),
	}
	samples := o.sampleDay(daysFrom2000(d.Start), daysFrom2000(d.End))
	first := samples[0]
	at := func(days float64) Event {
		t := d.Start.Add(time.Duration((days - first.days) * float64(24*time.Hour)).Truncate(time.Millisecond))
		sun := o.Sun(t)
		return Event{Time: t, Altitude: sun.TrueAltitude, Azimuth: sun.Azimuth}
	}

	d.Events = make([]Event, 0, 20)
	add := func(days float64, names ...EventName) {
		e := at(days)
		for _, e.Name = range names {
			d.Events = append(d.Events, e)
		}
	}
	highest, lowest := first, first
	for i, b := range samples[1:] {
		a := samples[i]
		if b.altitude > highest.altitude {
			highest = b
		}
		if b.altitude < lowest.altitude {
			lowest = b
		}
		if a.east > 0 && b.east <= 0 {
			add(lastBefore(a.days, b.days, func(days float64) bool {
				return o.sunDirection(days).east <= 0
			}), SolarNoon)
		}
		for _, level := range eventLevels {
			was, is := a.altitude >= level.altitude, b.altitude >= level.altitude
			if was == is {
				continue
			}
			names := level.rising
			if was {
				names = level.setting
			}
			add(lastBefore(a.days, b.days, func(days float64) bool {
				return o.sunDirection(days).altitude() >= level.altitude == is
			}), names...)
		}
		for _, c := range o.crossings(a, b) {
			add(c.days, c.name)
		}
	}
	sort.SliceStable(d.Events, func(i, j int) bool { return d.Events[i].Time.Before(d.Events[j].Time) })
	d.Highest, d.Lowest = at(highest.days), at(lowest.days)
	_, rises := d.First(Sunrise)
	_, sets := d.First(Sunset)
	if !rises && !sets && d.End.After(d.Start) {
		up := first.altitude >= horizonAltitude
		d.SunNeverSets, d.SunNeverRises = up, !up
	}
	return d
}

// sampleDay returns samples from start to end, both included, in order of
// time, between any two of which the altitude only rises or only falls: one
// every half hour, and the highest and lowest points between them. So two
// crossings of a level are never lost between samples, however close together
// they are. (The exception is a few km from a pole, where a high and a low
// point can come within an hour of each other and be missed; the sun then moves
// by less than 0.0001 deg between them.)
func (o *Observer) sampleDay(start, end float64) []sunSample {
	const stepsPerDay = 48
	if end <= start {
		return []sunSample{o.sunSample(start)}
	}
	n := int(math.Ceil((end - start) * stepsPerDay))
	step := (end - start) / float64(n)

	// One more on either side shows whether the first and last are extrema.
	grid := make([]sunSample, n+3)
	for i := range grid {
		grid[i] = o.sunSample(start + float64(i-1)*step)
	}
	grid[n+1] = o.sunSample(end) // to the last bit, so that adjacent days agree
	samples := make([]sunSample, 0, n+5)
	samples = append(samples, grid[1:n+2]...)
	for i := 1; i <= n+1; i++ {
		before, here, after := grid[i-1], grid[i], grid[i+1]
		var sign float64
		switch {
		case here.altitude >= before.altitude && here.altitude > after.altitude:
			sign = 1
		case here.altitude <= before.altitude && here.altitude < after.altitude:
			sign = -1
		default:
			continue
		}
		peak := o.sunSample(o.extremeAltitude(before.days, after.days, sign))
		if start < peak.days && peak.days < end {
			samples = append(samples, peak)
		}
	}
	sort.Slice(samples, func(i, j int) bool { return samples[i].days < samples[j].days })
	return samples
}

// extremeAltitude returns when between a and b (days) the sun is highest, or
// lowest with sign -1, by golden section to a millisecond. They are an hour
// apart at the most.
func (o *Observer) extremeAltitude(a, b, sign float64) float64 {
	const ratio = math.Phi - 1
	height := func(days float64) float64 { return sign * o.sunDirection(days).altitude() }
	c, d := b-ratio*(b-a), a+ratio*(b-a)
	hc, hd := height(c), height(d)
	for range 32 { // 3600 s * 0.618^32 = 0.7 ms
		if hc > hd {
			b, d, hd = d, c, hc
			c = b - ratio*(b-a)
			hc = height(c)
		} else {
			a, c, hc = c, d, hd
			d = a + ratio*(b-a)
			hd = height(d)
		}
	}
	return (a + b) / 2
}

// lastBefore returns the end of the time between a and b (days) in which
// happened is false, by bisection to half a millisecond. It is false at a and
// true at b, at most half an hour later; the result lies in [a, b).
func lastBefore(a, b float64, happened func(days float64) bool) float64 {
	for range 22 { // 1800 s / 2^22 = 0.4 ms
		if middle := (a + b) / 2; happened(middle) {
			b = middle
		} else {
			a = middle
		}
	}
	return a
}

// startOfDate returns the first instant at which the local calendar shows the
// date or, if it skips the date, a later one.
func startOfDate(year int, month time.Month, day int, loc *time.Location) time.Time {
	midnight := time.Date(year, month, day, 0, 0, 0, 0, time.UTC)
	t := midnight.Add(-48 * time.Hour).In(loc) // no clock is that far ahead of UTC
	for {
		_, offset := t.Zone()
		start := midnight.Add(-time.Duration(offset) * time.Second)
		if start.Before(t) { // the clock has just jumped over midnight
			start = t
		}
		_, end := t.ZoneBounds()
		if end.IsZero() || start.Before(end) {
			return start.In(loc)
		}
		t = end
	}
}
