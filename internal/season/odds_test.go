package season

import (
	"context"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"evenfall/internal/shoot"
	"evenfall/sky"
)

// By the odds of the sky a window is as useful as all holds under each, weighed by
// how likely that is; and the order goes by it.
func TestOdds(t *testing.T) {
	s := demonstration(t)
	clear, overcast := sky.Described(sky.Clear), sky.Described(sky.Overcast)
	w := shoot.Wishes{
		Dates: dates(t, "2027-05-01", "2027-05-05"), AtLeast: 30 * time.Minute, Light: shoot.GoldenHour,
		Odds: []shoot.Odds{{Condition: clear, Share: 0.3}, {Condition: overcast, Share: 0.7}},
	}
	a := find(t, s, w)
	require.NotEmpty(t, a.Windows)
	for _, one := range a.Windows {
		useful := 0.0
		for _, c := range one.Skies {
			useful += c.Odds * c.Holds
		}
		assert.InDelta(t, useful, one.Useful, 1e-9)
		require.Len(t, one.Skies, 2)
		assert.Equal(t, overcast, one.Skies[0].Condition, "the likeliest first")
	}
	for i := 1; i < len(a.Windows); i++ {
		assert.GreaterOrEqual(t, a.Windows[i-1].Useful, a.Windows[i].Useful-equalShare)
	}
	w.SunVisible = true
	for _, one := range find(t, s, w).Windows {
		assert.InDelta(t, 0.3, one.Useful, 0.01, "no sun shines under an overcast sky")
		assert.Equal(t, clear, one.Sky)
	}
	w.Odds = []shoot.Odds{{Condition: clear, Share: 1}, {Condition: overcast, Share: 0}}
	for _, one := range find(t, s, w).Windows {
		assert.InDelta(t, 1, one.Useful, 1e-9, "one sky alone")
		assert.Empty(t, one.Skies)
	}
}

// A forecast counts for its hours: no cloud is the clear sky, eight oktas are the
// overcast one, and other days have their odds.
func TestForecast(t *testing.T) {
	s := demonstration(t)
	w := shoot.Wishes{Dates: dates(t, "2027-05-01", "2027-05-03"), AtLeast: 45 * time.Minute, Light: shoot.GoldenHour}
	hour := func(day, hour int, oktas float64) shoot.CloudFrom {
		return shoot.CloudFrom{Time: time.Date(2027, time.May, day, hour, 0, 0, 0, s.Place.Zone), Oktas: oktas}
	}
	for h := range 24 {
		w.Forecast = append(w.Forecast, hour(1, h, 0))
	}
	for h := range 24 {
		w.Forecast = append(w.Forecast, hour(2, h, 8))
	}
	chances := func(a *Answer, day int) map[sky.Condition]float64 {
		for _, one := range a.Windows {
			if one.From.Day() != day {
				continue
			}
			odds := map[sky.Condition]float64{}
			for _, c := range one.Skies {
				odds[c.Condition] = c.Odds
			}
			return odds
		}
		return nil
	}
	a := find(t, s, w)
	clear, overcast := sky.Described(sky.Clear), sky.Described(sky.Overcast)
	assert.InDelta(t, 1, chances(a, 1)[clear], 1e-9)
	assert.InDelta(t, 1, chances(a, 2)[overcast], 1e-9)
	assert.InDelta(t, 1, chances(a, 3)[s.Sky[0].Condition], 1e-9, "beyond the forecast the shoot's own sky")
	w.Forecast = shoot.Forecast{hour(1, 0, 4)}
	_, ok := w.Forecast.At(time.Date(2027, time.May, 1, 2, 59, 0, 0, s.Place.Zone))
	assert.True(t, ok)
	_, ok = w.Forecast.At(time.Date(2027, time.May, 1, 3, 0, 0, 0, s.Place.Zone))
	assert.False(t, ok, "it lasts for three hours")
}

// The sun is out for less of the time with more cloud, all of it with none.
func TestSunOutFallsWithCloud(t *testing.T) {
	s := demonstration(t)
	o := newOutlook(&Question{Shoot: s})
	sun := o.observer.Sun(time.Date(2027, time.May, 1, 15, 0, 0, 0, time.UTC))
	before := 1.1
	for n := 0.0; n <= 8; n += 0.5 {
		out := o.daylight.SunOut(n, sun)
		assert.Less(t, out, before, "%v oktas", n)
		before = out
	}
	assert.InDelta(t, 1, o.daylight.SunOut(0, sun), 1e-12)
	assert.InDelta(t, 0, o.daylight.SunOut(8, sun), 1e-12)
}

// Wherever the context ends the search ends with its error, and an answer does not
// depend on how many processors look.
func TestSearchEnds(t *testing.T) {
	s := demonstration(t)
	ctx, end := context.WithCancel(t.Context())
	days := 0
	_, err := Search(ctx, Question{Shoot: s, Most: 5, Wishes: shoot.Wishes{
		Dates: dates(t, "2027-01-01", "2027-12-31"), AtLeast: time.Hour,
	}}, func(done, of int) {
		days = max(days, done)
		assert.Equal(t, 365, of)
		end()
	})
	require.ErrorIs(t, err, context.Canceled)
	assert.Less(t, days, 20)
}

// Days that begin or end oddly have their windows: where clocks change, where the
// sun never sets, and on both sides of the date line.
func TestOddDays(t *testing.T) {
	for name, at := range map[string]struct {
		latitude, longitude float64
		zone, from, to      string
		windows             bool
	}{
		"clocks forward":   {54.3, 10.1, "Europe/Berlin", "2027-03-28", "2027-03-28", true},
		"clocks back":      {54.3, 10.1, "Europe/Berlin", "2027-10-31", "2027-10-31", true},
		"midnight sun":     {69.6, 18.9, "Europe/Oslo", "2027-06-20", "2027-06-22", true},
		"polar night":      {78.2, 15.6, "Arctic/Longyearbyen", "2027-12-20", "2027-12-22", false},
		"half-hour zone":   {-34.9, 138.6, "Australia/Adelaide", "2027-04-03", "2027-04-05", true},
		"quarter-hour":     {-43.9, -176.5, "Pacific/Chatham", "2027-04-03", "2027-04-05", true},
		"date line":        {-13.8, -171.8, "Pacific/Apia", "2011-12-29", "2011-12-31", true},
		"clocks at midday": {64.1, -51.7, "America/Nuuk", "2027-03-27", "2027-03-28", true},
	} {
		t.Run(name, func(t *testing.T) {
			s := demonstration(t)
			zone, err := time.LoadLocation(at.zone)
			require.NoError(t, err)
			s.Place.Zone = zone
			s.Place.Site = sky.Place{Latitude: sky.Degrees(at.latitude), Longitude: sky.Degrees(at.longitude)}
			w := shoot.Wishes{Dates: dates(t, at.from, at.to), AtLeast: 20 * time.Minute, Light: shoot.GoldenHour}
			a := find(t, s, w)
			assert.Equal(t, at.windows, len(a.Windows) > 0)
			for i, one := range a.Windows {
				assert.GreaterOrEqual(t, one.To.Sub(one.From), w.AtLeast)
				for _, other := range a.Windows[:i] {
					assert.False(t, !one.From.After(other.To) && !one.To.Before(other.From), "%v and %v", one.From, other.From)
				}
			}
			t.Logf("%d days, %d windows", a.Days, len(a.Windows))
		})
	}
}
