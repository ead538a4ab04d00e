package sky

import (
	"fmt"
	"math"
	"slices"
	"testing"
	"time"
	_ "time/tzdata"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func loadZone(t testing.TB, name string) *time.Location {
	t.Helper()
	loc, err := time.LoadLocation(name)
	require.NoError(t, err)
	return loc
}

// eventDefinitions are the altitudes (deg) of the almanacs for rise, set and
// twilight, and of common practice (no standard) for golden and blue hour.
var eventDefinitions = []struct {
	name     EventName
	altitude float64
	rising   bool
}{
	{"astronomical dawn", -18, true}, {"astronomical dusk", -18, false},
	{"nautical dawn", -12, true}, {"nautical dusk", -12, false},
	{"civil dawn", -6, true}, {"civil dusk", -6, false},
	{"blue hour begins", -6, true}, {"blue hour ends", -6, false},
	{"blue hour ends", -4, true}, {"blue hour begins", -4, false},
	{"golden hour begins", -4, true}, {"golden hour ends", -4, false},
	{"sunrise", -50.0 / 60, true}, {"sunset", -50.0 / 60, false},
	{"golden hour ends", 6, true}, {"golden hour begins", 6, false},
}

// checkDay holds a day against the definitions and against the sun itself,
// looked at every ten minutes.
func checkDay(t testing.TB, o Observer, d Day) {
	t.Helper()
	trueAltitude := func(when time.Time) float64 { return o.Sun(when).TrueAltitude.Degrees() }

	known := 0
	previous := d.Start
	for _, e := range d.Events {
		require.False(t, e.Time.Before(d.Start) || !e.Time.Before(d.End), "%v is outside of %v to %v", e, d.Start, d.End)
		require.False(t, e.Time.Before(previous), "%v comes after %v", e, previous)
		previous = e.Time
		require.Equal(t, d.Start.Location(), e.Time.Location())
		sun := o.Sun(e.Time)
		require.Equal(t, sun.TrueAltitude, e.Altitude)
		require.Equal(t, sun.Azimuth, e.Azimuth)
		if e.Name == SolarNoon {
			known++
			east := math.Sin(float64(e.Azimuth)) * math.Cos(float64(e.Altitude))
			require.InDelta(t, 0, east, 1e-6, "%v", e)
		}
	}

	var looks []time.Time
	for when := d.Start; when.Before(d.End); when = when.Add(10 * time.Minute) {
		looks = append(looks, when)
	}
	for _, definition := range eventDefinitions {
		above := trueAltitude(d.Start) >= definition.altitude
		next := 0
		for _, e := range d.Events {
			// Two definitions share a name but never an altitude.
			if e.Name != definition.name || math.Abs(e.Altitude.Degrees()-definition.altitude) > 1 {
				continue
			}
			known++
			// To the millisecond the sun moves 0.0000042 deg.
			require.InDelta(t, definition.altitude, e.Altitude.Degrees(), 0.00001, "%v", e)
			before, after := e.Time, e.Time.Add(2*time.Millisecond)
			require.Equal(t, definition.rising, trueAltitude(after) >= trueAltitude(before), "%v goes the wrong way", e)
		}
		// Crossings up and down together explain every look at the sun.
		for _, when := range append(looks, d.End) {
			for ; next < len(d.Events) && !d.Events[next].Time.After(when); next++ {
				e := d.Events[next]
				for _, x := range eventDefinitions {
					if x.altitude == definition.altitude && x.name == e.Name && math.Abs(e.Altitude.Degrees()-x.altitude) <= 1 {
						above = x.rising
					}
				}
			}
			if h := trueAltitude(when); math.Abs(h-definition.altitude) > 0.0001 {
				require.Equal(t, h >= definition.altitude, above, "%v deg at %v, events %v", definition.altitude, when, d.Events)
			}
		}
	}
	require.Equal(t, len(d.Events), known, "%v", d.Events)

	tolerance := 0.00001 // deg, what the sun moves in 2 ms
	if math.Abs(o.Place().Latitude.Degrees()) > 89.9 {
		tolerance = 0.0001 // as sampleDay says
	}
	for _, when := range looks {
		h := trueAltitude(when)
		require.LessOrEqual(t, h, d.Highest.Altitude.Degrees()+tolerance)
		require.GreaterOrEqual(t, h, d.Lowest.Altitude.Degrees()-tolerance)
	}
	for _, e := range []Event{d.Highest, d.Lowest} {
		require.Empty(t, e.Name)
		require.False(t, e.Time.Before(d.Start) || e.Time.After(d.End))
	}

	_, rises := d.First(Sunrise)
	_, sets := d.Last(Sunset)
	if d.End.After(d.Start) {
		require.Equal(t, !rises && !sets, d.SunNeverRises || d.SunNeverSets)
	}
	require.False(t, d.SunNeverRises && d.SunNeverSets)
	if d.SunNeverSets {
		require.GreaterOrEqual(t, d.Lowest.Altitude.Degrees(), -50.0/60)
	}
	if d.SunNeverRises {
		require.Less(t, d.Highest.Altitude.Degrees(), -50.0/60)
	}
}

// Source: astropy 5.2.1, roots of splines; see testdata/sun/events.py: more than
// fifty places from pole to pole, on both sides of the date line, in zones of
// quarters of an hour, and on days on which clocks change. The bar is 1 s, or 0.01
// deg of altitude where the sun grazes.
func TestDayAgainstEphemeris(t *testing.T) {
	type key struct{ place, date string }
	var order []key
	rows := map[key][]map[string]string{}
	for _, row := range sunTable(t, "events.csv") {
		k := key{row["place"], row["date"]}
		if rows[k] == nil {
			order = append(order, k)
		}
		rows[k] = append(rows[k], row)
	}

	var sum, worst, worstGrazing float64 // s^2, s, deg
	var worstAt, grazingAt string
	n, grazing := 0, 0
	for _, k := range order {
		o := cellObserver(t, rows[k][0])
		date, err := time.Parse(time.DateOnly, k.date)
		require.NoError(t, err)
		day := o.Day(date.Year(), date.Month(), date.Day(), loadZone(t, rows[k][0]["zone"]))
		assert.Equal(t, cellNumber(t, rows[k][0], "hours"), day.End.Sub(day.Start).Hours(), "%v", k)
		checkDay(t, o, day)

		neverSets, neverRises := false, false
		var want []map[string]string
		for _, row := range rows[k] {
			switch row["event"] {
			case "sun never sets":
				neverSets = true
			case "sun never rises":
				neverRises = true
			default:
				want = append(want, row)
			}
		}
		assert.Equal(t, neverSets, day.SunNeverSets, "%v", k)
		assert.Equal(t, neverRises, day.SunNeverRises, "%v", k)
		require.Len(t, day.Events, len(want), "%v: %v", k, day.Events)
		for i, row := range want {
			e := day.Events[i]
			at := fmt.Sprintf("%s %s %s", k.place, k.date, e.Name)
			assert.Equal(t, row["event"], string(e.Name), at)
			seconds := math.Abs(e.Time.Sub(cellTime(t, row, "utc")).Seconds())
			degrees := seconds * math.Abs(cellNumber(t, row, "rate"))
			assert.True(t, seconds <= 1 || degrees <= 0.01, "%s: %v s, %v deg", at, seconds, degrees)
			if math.Abs(cellNumber(t, row, "rate")) < 0.0005 { // deg/s, an eighth of the fastest
				grazing++
				if degrees > worstGrazing {
					worstGrazing, grazingAt = degrees, at
				}
				continue
			}
			n++
			sum += seconds * seconds
			assert.LessOrEqual(t, seconds, 1.0, at)
			if seconds > worst {
				worst, worstAt = seconds, at
			}
		}
	}
	t.Logf("%d days; %d events: rms %.2f s, worst %.2f s (%s)", len(order), n, math.Sqrt(sum/float64(n)), worst, worstAt)
	t.Logf("%d grazing events: worst %.4f deg of altitude (%s)", grazing, worstGrazing, grazingAt)
}

// Published almanac times, to the minute, from memory (USNO and national
// almanac offices, city centres).
func TestDayAgainstAlmanac(t *testing.T) {
	for _, c := range []struct {
		city                string
		latitude, longitude float64
		zone, date          string
		sunrise, sunset     string
	}{
		{"New York", 40.71, -74.01, "America/New_York", "2024-06-20", "05:25", "20:31"},
		{"London", 51.51, -0.13, "Europe/London", "2024-12-21", "08:04", "15:53"},
		{"Sydney", -33.87, 151.21, "Australia/Sydney", "2024-12-21", "05:41", "20:05"},
		{"Singapore", 1.29, 103.85, "Asia/Singapore", "2024-01-01", "07:07", "19:10"},
	} {
		o := NewObserver(Place{Latitude: Degrees(c.latitude), Longitude: Degrees(c.longitude)})
		loc := loadZone(t, c.zone)
		date, err := time.Parse(time.DateOnly, c.date)
		require.NoError(t, err)
		day := o.Day(date.Year(), date.Month(), date.Day(), loc)
		for name, clock := range map[EventName]string{Sunrise: c.sunrise, Sunset: c.sunset} {
			want, err := time.ParseInLocation(time.DateOnly+" 15:04", c.date+" "+clock, loc)
			require.NoError(t, err)
			got, ok := day.First(name)
			require.True(t, ok)
			// Rounding of the time, and of the place to a km or so.
			assert.InDelta(t, 0, got.Time.Sub(want).Seconds(), 60, "%s %s", c.city, name)
			t.Logf("%s %s %s, published %s", c.city, name, got.Time.Format(time.TimeOnly), clock)
		}
	}
}

func TestDayBounds(t *testing.T) {
	for _, c := range []struct {
		zone       string
		date       string
		start, end string
	}{
		{"UTC", "2026-09-12", "2026-09-12T00:00:00Z", "2026-09-13T00:00:00Z"},
		{"Europe/London", "2026-03-29", "2026-03-29T00:00:00Z", "2026-03-30T00:00:00+01:00"},            // 23 h
		{"Europe/London", "2026-10-25", "2026-10-25T00:00:00+01:00", "2026-10-26T00:00:00Z"},            // 25 h
		{"Australia/Lord_Howe", "2026-10-04", "2026-10-04T00:00:00+10:30", "2026-10-05T00:00:00+11:00"}, // 23.5 h
		{"America/Sao_Paulo", "2018-11-04", "2018-11-04T01:00:00-02:00", "2018-11-05T00:00:00-02:00"},   // no midnight
		{"America/Sao_Paulo", "2018-11-03", "2018-11-03T00:00:00-03:00", "2018-11-04T01:00:00-02:00"},
		{"America/Sao_Paulo", "2018-02-17", "2018-02-17T00:00:00-02:00", "2018-02-18T00:00:00-03:00"}, // 25 h, the last twice
		{"America/Havana", "2026-11-01", "2026-11-01T00:00:00-04:00", "2026-11-02T00:00:00-05:00"},    // midnight twice
		{"Asia/Beirut", "2026-03-29", "2026-03-29T01:00:00+03:00", "2026-03-30T00:00:00+03:00"},
		{"Pacific/Apia", "2011-12-29", "2011-12-29T00:00:00-10:00", "2011-12-31T00:00:00+14:00"},
		{"Pacific/Apia", "2011-12-30", "2011-12-31T00:00:00+14:00", "2011-12-31T00:00:00+14:00"}, // skipped
		{"Pacific/Apia", "2011-12-31", "2011-12-31T00:00:00+14:00", "2012-01-01T00:00:00+14:00"},
		{"America/St_Johns", "2010-11-07", "2010-11-07T00:00:00-02:30", "2010-11-08T00:00:00-03:30"}, // back to the 6th at 00:01
	} {
		t.Run(c.zone+" "+c.date, func(t *testing.T) {
			date, err := time.Parse(time.DateOnly, c.date)
			require.NoError(t, err)
			o := NewObserver(Place{Latitude: Degrees(40), Longitude: Degrees(10)})
			day := o.Day(date.Year(), date.Month(), date.Day(), loadZone(t, c.zone))
			assert.Equal(t, c.start, day.Start.Format(time.RFC3339))
			assert.Equal(t, c.end, day.End.Format(time.RFC3339))
			checkDay(t, o, day)
		})
	}
	o := NewObserver(Place{})
	assert.Equal(t, o.Day(2026, time.May, 1, time.UTC), o.Day(2026, time.May, 1, nil))
	assert.Equal(t, o.Day(2026, time.March, 1, time.UTC), o.Day(2026, time.February, 29, time.UTC))
}

// On days on which the clock is changed, and before and after them, every event
// comes once, in order, within its day: the days of a zone have between them what
// days of 24 hours by UTC have.
func TestDaysOfClockChanges(t *testing.T) {
	changes, lengths := 0, map[time.Duration]int{}
	for _, zone := range []string{
		"Europe/London", "Europe/Berlin", "Atlantic/Azores", "America/New_York", "America/St_Johns", "America/Havana",
		"America/Santiago", "America/Nuuk", "America/Adak", "Asia/Beirut", "Africa/Cairo", "Asia/Jerusalem",
		"Australia/Adelaide", "Australia/Lord_Howe", "Pacific/Chatham", "Pacific/Auckland", "Pacific/Easter",
		"Antarctica/Troll",
	} {
		loc := loadZone(t, zone)
		dates := clockChanges(loc, 2026)
		for _, latitude := range []float64{-66, -20, 47, 64} {
			o := NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(20)})
			for _, change := range dates {
				changes++
				year, month, date := change.Date()
				var days []Event
				first := o.Day(year, month, date-1, loc)
				end := first.Start
				for n := -1; n <= 1; n++ {
					day := o.Day(year, month, date+n, loc)
					if n == 0 {
						checkDay(t, o, day)
					}
					require.True(t, day.Start.Equal(end), zone)
					end = day.End
					lengths[day.End.Sub(day.Start)]++
					days = append(days, day.Events...)
				}
				var want []Event
				for day := first.Start.UTC().AddDate(0, 0, -1); day.Before(end.AddDate(0, 0, 1)); day = day.AddDate(0, 0, 1) {
					for _, e := range o.Day(day.Year(), day.Month(), day.Day(), time.UTC).Events {
						if !e.Time.Before(first.Start) && e.Time.Before(end) {
							want = append(want, e)
						}
					}
				}
				require.Len(t, days, len(want), "%s %v", zone, change)
				for i := range want {
					require.Equal(t, want[i].Name, days[i].Name, "%s %v", zone, change)
					require.InDelta(t, 0, days[i].Time.Sub(want[i].Time).Seconds(), 0.1, "%s %v", zone, change)
				}
			}
		}
	}
	t.Logf("%d changes; lengths of days %v", changes, lengths)
	assert.GreaterOrEqual(t, changes, 18*2*4)
	for _, hours := range []float64{22, 23, 23.5, 24, 24.5, 25, 26} {
		assert.Positive(t, lengths[time.Duration(hours*float64(time.Hour))], "%v h", hours)
	}
}

// clockChanges returns when a zone's clock is changed in a year.
func clockChanges(loc *time.Location, year int) (list []time.Time) {
	for t := time.Date(year, 1, 1, 0, 0, 0, 0, loc); t.Year() == year; t = t.Add(time.Hour) {
		_, before := t.Zone()
		if _, after := t.Add(time.Hour).Zone(); before != after {
			list = append(list, t.Add(time.Hour))
		}
	}
	return list
}

func TestDaySkippedHasNoEvents(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(-13.83), Longitude: Degrees(-171.76)})
	day := o.Day(2011, time.December, 30, loadZone(t, "Pacific/Apia"))
	assert.Empty(t, day.Events)
	assert.False(t, day.SunNeverRises || day.SunNeverSets)
	assert.Equal(t, day.Start, day.Highest.Time)
}

// Days follow each other without a gap, and so do their events: no event is
// lost at midnight or told twice.
func TestDaysTile(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	places := []struct {
		latitude, longitude float64
		zone                string
	}{
		{64.15, -21.94, "Atlantic/Reykjavik"}, {64.5, -165.41, "America/Nome"}, {69.65, 18.96, "Europe/Oslo"},
		{78.22, 15.65, "Arctic/Longyearbyen"}, {-23.55, -46.63, "America/Sao_Paulo"}, {90, 0, "UTC"}, {-90, 0, "Antarctica/South_Pole"},
		{1.87, -157.43, "Pacific/Kiritimati"}, {51.5, -0.12, "Pacific/Auckland"}, {0, 179.9, "Pacific/Fiji"}, {89.95, 40, "UTC"},
	}
	twoSunsets := 0
	for _, p := range places {
		o := NewObserver(Place{Latitude: Degrees(p.latitude), Longitude: Degrees(p.longitude)})
		loc := loadZone(t, p.zone)
		before := o.Day(2026, time.January, 0, loc)
		last := map[EventName]Event{}
		noons := 0
		for n := 1; n <= 365; n++ {
			day := o.Day(2026, time.January, n, loc)
			require.True(t, before.End.Equal(day.Start))
			if n%20 == 0 {
				checkDay(t, o, day)
			}
			sunsets := 0
			for _, e := range day.Events {
				switch e.Name {
				case SolarNoon:
					noons++
				case Sunset:
					sunsets++
				}
				if e.Name == Sunrise || e.Name == Sunset {
					other := map[EventName]EventName{Sunrise: Sunset, Sunset: Sunrise}[e.Name]
					if previous, ok := last[e.Name]; ok {
						require.True(t, last[other].Time.After(previous.Time), "%v twice, %v and %v", e.Name, previous.Time, e.Time)
					}
					last[e.Name] = e
				}
			}
			if sunsets == 2 {
				twoSunsets++
			}
			before = day
		}
		// 365 days, give or take the equation of time at the two ends of the year.
		assert.InDelta(t, 365, noons, 1, "%+v", p)
	}
	assert.NotZero(t, twoSunsets)
	t.Logf("%d days with two sunsets", twoSunsets)
}

// Where the sun only just comes over the horizon, rise and set are found
// however close together they are.
func TestDayGrazing(t *testing.T) {
	loc := time.FixedZone("", 3600)
	at := func(latitude float64) Day {
		return NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(15.65)}).Day(2026, time.February, 10, loc)
	}
	up, down := 70.0, 85.0 // there is a sunrise at the first, none at the second
	for range 45 {
		if middle := (up + down) / 2; at(middle).SunNeverRises {
			down = middle
		} else {
			up = middle
		}
	}
	day := at(up)
	rise, ok := day.First(Sunrise)
	require.True(t, ok)
	set, ok := day.First(Sunset)
	require.True(t, ok)
	assert.Less(t, set.Time.Sub(rise.Time), 10*time.Second)
	assert.True(t, slices.IndexFunc(day.Events, func(e Event) bool { return e.Name == Sunrise }) <
		slices.IndexFunc(day.Events, func(e Event) bool { return e.Name == Sunset }))
	assert.InDelta(t, -50.0/60, at(down).Highest.Altitude.Degrees(), 1e-6)
	assert.Zero(t, at(down).SunNeverSets)
	t.Logf("at %.9f deg the sun is up for %v", up, set.Time.Sub(rise.Time))
}

func TestDayOrderOfAnOrdinaryDay(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(40), Longitude: Degrees(-3)})
	day := o.Day(2026, time.September, 12, loadZone(t, "Europe/Madrid"))
	var names []EventName
	for _, e := range day.Events {
		names = append(names, e.Name)
	}
	assert.Equal(t, []EventName{
		"astronomical dawn", "nautical dawn", "civil dawn", "blue hour begins", "blue hour ends", "golden hour begins",
		"sunrise", "golden hour ends", "solar noon", "golden hour begins", "sunset", "golden hour ends",
		"blue hour begins", "blue hour ends", "civil dusk", "nautical dusk", "astronomical dusk",
	}, names)
	first, ok := day.First(GoldenHourBegins)
	require.True(t, ok)
	last, ok := day.Last(GoldenHourBegins)
	require.True(t, ok)
	assert.InDelta(t, -4, first.Altitude.Degrees(), 0.001)
	assert.InDelta(t, 6, last.Altitude.Degrees(), 0.001)
	_, ok = day.First("moonrise")
	assert.False(t, ok)
	_, ok = day.Last("moonrise")
	assert.False(t, ok)
}

// The sun is highest close to its transit, which it passes a little before or
// after for the drift of its declination.
func TestDayHighest(t *testing.T) {
	for _, latitude := range []float64{-60, -23, 0, 23, 60} {
		for month := time.January; month <= time.December; month++ {
			day := NewObserver(Place{Latitude: Degrees(latitude)}).Day(2026, month, 15, time.UTC)
			noon, ok := day.First(SolarNoon)
			require.True(t, ok)
			assert.InDelta(t, 0, day.Highest.Time.Sub(noon.Time).Seconds(), 40)
			assert.InDelta(t, noon.Altitude.Degrees(), day.Highest.Altitude.Degrees(), 0.002)
			assert.GreaterOrEqual(t, day.Highest.Altitude.Degrees(), noon.Altitude.Degrees()-1e-9)
		}
	}
	// At a pole the altitude is the declination, which rises all spring.
	day := NewObserver(Place{Latitude: Degrees(90)}).Day(2026, time.April, 1, time.UTC)
	assert.Equal(t, day.Start, day.Lowest.Time)
	assert.Equal(t, day.End, day.Highest.Time)
	_, ok := day.First(SolarNoon)
	assert.True(t, ok)
}

// Nonsense gives nonsense, but it comes back.
func TestDayOfNonsense(t *testing.T) {
	for _, year := range []int{math.MinInt, math.MinInt32, -300000, 0, 300000, math.MaxInt32, math.MaxInt} {
		day := NewObserver(Place{Latitude: Degrees(50)}).Day(year, time.June, 1, loadZone(t, "Europe/London"))
		assert.Less(t, len(day.Events), 100, "%v", year)
	}
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		o := NewObserver(Place{Latitude: Angle(x), Longitude: Angle(x), Elevation: x})
		assert.Less(t, len(o.Day(2026, time.June, 1, time.UTC).Events), 100)
	}
}

func FuzzDay(f *testing.F) {
	zones := []string{
		"UTC", "Europe/London", "America/Sao_Paulo", "Pacific/Apia", "Pacific/Kiritimati", "Australia/Lord_Howe",
		"Asia/Shanghai", "America/St_Johns", "Antarctica/South_Pole", "America/Anchorage", "Asia/Beirut",
	}
	f.Add(51.5, -0.1, uint16(27832), uint8(1))
	f.Add(90.0, 0.0, uint16(20000), uint8(0))
	f.Add(-90.0, 180.0, uint16(100), uint8(8))
	f.Add(89.96, 56.0, uint16(27970), uint8(7)) // a high and a low point within an hour
	f.Add(69.65, 18.96, uint16(27966), uint8(1))
	f.Add(-13.83, -171.76, uint16(22643), uint8(3))
	f.Fuzz(func(t *testing.T, latitude, longitude float64, day uint16, zone uint8) {
		if !(latitude >= -90 && latitude <= 90 && longitude >= -180 && longitude <= 180) {
			t.Skip()
		}
		o := NewObserver(Place{Latitude: Degrees(latitude), Longitude: Degrees(longitude)})
		loc := loadZone(t, zones[int(zone)%len(zones)])
		// Days from 1950 to 2100.
		d := o.Day(1950, time.January, 1+int(day)%55152, loc)
		checkDay(t, o, d)
		next := o.Day(1950, time.January, 2+int(day)%55152, loc)
		require.True(t, d.End.Equal(next.Start))
		if d.End.After(d.Start) { // Hours: neither more than clocks change nor than a date line adds.
			length := d.End.Sub(d.Start)
			require.True(t, length >= 22*time.Hour && length <= 26*time.Hour, "%v", length)
		}
	})
}
