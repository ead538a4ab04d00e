package sky

import (
	"math"
	"slices"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// points are a skyline by pairs of degrees.
func points(pairs ...float64) (h Horizon) {
	for i := 0; i < len(pairs); i += 2 {
		h = append(h, HorizonPoint{Degrees(pairs[i]), Degrees(pairs[i+1])})
	}
	return h
}

var (
	street = points(0, 30, 80, 30, 90, 4, 100, 30, 170, 35, 180, 10, 190, 35, 250, 25, 260, 3, 280, 3, 290, 25)
	teeth  = points(200, 2, 210, 12, 220, 2, 230, 12, 240, 2, 250, 12, 260, 2, 270, 12, 280, 2, 290, 12, 300, 2)
	bay    = points(90, -3, 180, -3, 200, 6, 240, 6, 260, -1, 300, -1)
)

// palisade is a skyline of 36 teeth, 2 to 30 deg high.
func palisade() Horizon {
	var pairs []float64
	for azimuth := 0.0; azimuth < 360; azimuth += 10 {
		pairs = append(pairs, azimuth, 2, azimuth+5, 30)
	}
	return points(pairs...)
}

// skylineEvents are those of a day that the skyline makes.
func skylineEvents(d Day) (list []Event) {
	for _, e := range d.Events {
		if e.BySkyline() {
			list = append(list, e)
		}
	}
	return list
}

// Every second of the day is looked at by itself: the sun is hidden from each
// event that says so until the next, or is down.
func TestSkylineAgainstEverySecond(t *testing.T) {
	if testing.Short() {
		t.Skip("looks at every second of many days")
	}
	found := 0
	for _, c := range []struct {
		latitude, longitude float64
		zone, date          string
		horizon             Horizon
	}{
		{48, 11, "Europe/Berlin", "2027-06-21", street},
		{48, 11, "Europe/Berlin", "2027-09-20", teeth},
		{38.7, -9.4, "Europe/Lisbon", "2027-03-28", bay},
		{1.3, 103.8, "Asia/Singapore", "2027-03-21", teeth}, // straight down, and through the zenith
		{78.2, 15.6, "Arctic/Longyearbyen", "2027-06-21", street},
		{78.2, 15.6, "Arctic/Longyearbyen", "2027-05-10", palisade()},
		{-33.9, 151.2, "Australia/Sydney", "2027-10-03", points(0, 8)},
		{69.6, 19, "Europe/Oslo", "2027-01-22", points(0, 0.2)},
	} {
		date, err := time.Parse(time.DateOnly, c.date)
		require.NoError(t, err)
		o := NewObserver(Place{Latitude: Degrees(c.latitude), Longitude: Degrees(c.longitude)})
		day := o.Over(c.horizon).Day(date.Year(), date.Month(), date.Day(), loadZone(t, c.zone))
		events := skylineEvents(day)
		found += len(events)
		was := c.horizon.Visible(o.Sun(day.Start)) == 0
		var want []Event
		for when := day.Start.Add(time.Second); when.Before(day.End); when = when.Add(time.Second) {
			sun := o.Sun(when)
			is := c.horizon.Visible(sun) == 0
			if is != was && c.horizon.At(sun.Azimuth) > 0 {
				name := SunOverSkyline
				if is {
					name = SunBehindSkyline
				}
				want = append(want, Event{Name: name, Time: when})
			}
			was = is
		}
		require.Len(t, events, len(want), "%s %v", c.zone, events)
		for i, e := range events {
			assert.Equal(t, want[i].Name, e.Name, "%s %v", c.zone, e)
			late := want[i].Time.Sub(e.Time)
			assert.True(t, late >= 0 && late <= time.Second, "%s %v, seen %v later", c.zone, e, late)
		}
	}
	assert.Greater(t, found, 25)
}

// A roof of 5 deg all round hides the last of a disc whose centre is seen 16
// arcmin lower. The air lifts it by 10.3 arcmin there at 10 deg C (Bennett 1982,
// J. Navigation 35, 255: cot(h + 7.31 / (h + 4.4))), by 2 % less at 15.
func TestSkylineOfRoofs(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(50)}).Over(points(0, 5))
	events := skylineEvents(o.Day(2027, time.June, 1, time.UTC))
	require.Len(t, events, 2)
	seen := 5 - 16./60
	lifted := 0.98 / math.Tan((seen+7.31/(seen+4.4))*math.Pi/180) / 60
	for i, name := range []EventName{SunOverSkyline, SunBehindSkyline} {
		assert.Equal(t, name, events[i].Name)
		assert.InDelta(t, seen-lifted, events[i].Altitude.Degrees(), 0.005)
	}
}

// A wall that ends in a corner hides the sun as its middle passes the corner.
func TestSkylineOfAWall(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(40)}).Over(points(220, 0, 220, 60, 250, 60, 250, 0))
	events := skylineEvents(o.Day(2027, time.March, 21, time.UTC))
	require.Len(t, events, 2)
	assert.Equal(t, SunBehindSkyline, events[0].Name)
	assert.InDelta(t, 220, events[0].Azimuth.Degrees(), 0.001)
	assert.Equal(t, SunOverSkyline, events[1].Name)
	assert.InDelta(t, 250, events[1].Azimuth.Degrees(), 0.001)
}

// The sea's horizon makes no skyline events, and neither does land below it.
func TestSkylineOfTheSea(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(50)})
	for _, h := range []Horizon{nil, points(0, 0), points(0, -2, 180, -5)} {
		assert.Equal(t, o.Day(2027, time.June, 1, time.UTC), o.Over(h).Day(2027, time.June, 1, time.UTC))
	}
	walled := o.Over(points(0, 89)).Day(2027, time.June, 1, time.UTC)
	assert.Empty(t, skylineEvents(walled), "always hidden")
	_, sets := walled.First(Sunset)
	assert.True(t, sets, "the day's own events stay")
}

// Going behind and coming out take turns from one day to the next, with the
// rise and the set between them where the sea's horizon is seen.
func TestSkylineDaysTile(t *testing.T) {
	o := NewObserver(Place{Latitude: Degrees(69.6), Longitude: Degrees(19)}).Over(street)
	loc := loadZone(t, "Europe/Oslo")
	var all []Event
	for n := 1; n <= 365; n++ {
		all = append(all, skylineEvents(o.Day(2027, time.January, n, loc))...)
	}
	require.Greater(t, len(all), 400)
	assert.True(t, slices.IsSortedFunc(all, func(a, b Event) int { return a.Time.Compare(b.Time) }))
	for i := 1; i < len(all); i++ {
		require.NotEqual(t, all[i-1].Name, all[i].Name, "%v, %v", all[i-1], all[i])
	}
}

// Nonsense gives nonsense, but it comes back.
func TestSkylineOfNonsense(t *testing.T) {
	for _, x := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e300} {
		o := NewObserver(Place{Latitude: Degrees(50)}).Over(points(x, 5, 20, x))
		assert.Less(t, len(o.Day(2027, time.June, 1, time.UTC).Events), 5000)
		o = NewObserver(Place{Latitude: Angle(x), Longitude: Angle(x)}).Over(street)
		assert.Less(t, len(o.Day(2027, time.June, 1, time.UTC).Events), 5000)
	}
	for _, year := range []int{math.MinInt / 2, -300000, 300000, math.MaxInt / 2} {
		o := NewObserver(Place{Latitude: Degrees(50)}).Over(street)
		assert.Less(t, len(o.Day(year, time.June, 1, time.UTC).Events), 5000)
	}
}

func BenchmarkDayOverASkyline(b *testing.B) {
	o := NewObserver(Place{Latitude: Degrees(50)}).Over(street)
	b.ReportAllocs()
	for day := 0; b.Loop(); day++ {
		if d := o.Day(2026, time.January, day, time.UTC); len(d.Events) == 0 {
			b.Fatal(d)
		}
	}
}
