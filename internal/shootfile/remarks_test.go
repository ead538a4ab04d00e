package shootfile

import (
	"testing"
	"time"

	"evenfall/internal/shoot"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Summer time lasts in the United Kingdom from the last Sunday of March to the
// last of October (Summer Time Order 2002), and there is none in Iceland. Places
// by the degree, off a map.
func TestGreenwichInSummer(t *testing.T) {
	for _, c := range []struct{ at, zone, date, hint string }{
		{"50.64,-2.06", "GMT", "2027-06-27", "--tz Europe/London"},
		{"50.64,-2.06", "UTC", "2027-10-30", "--tz Europe/London"},
		{"50.64,-2.06", "GMT", "2027-10-31", ""},
		{"50.64,-2.06", "GMT", "2027-01-16", ""},
		{"50.64,-2.06", "Europe/London", "2027-06-27", ""},
		{"50.64,-2.06", "UTC+1", "2027-06-27", ""},
		{"53.3,-9.0", "GMT", "2027-06-27", "--tz Europe/Dublin"},
		{"38.7,-9.1", "UTC", "2027-06-27", "--tz Europe/Lisbon"},
		{"64.1,-21.9", "GMT", "2027-06-27", ""}, // Reykjavik
		{"48.9,2.3", "UTC", "2027-06-27", ""},   // Paris, not at Greenwich time in winter
		{"42.2,-8.7", "UTC", "2027-06-27", ""},  // Vigo
	} {
		s, err := overridden(t, "at", c.at, "tz", c.zone, "date", c.date)
		require.NoError(t, err, "%v", c)
		remarks := Remarks(s, environment(t))
		if c.hint == "" {
			assert.Empty(t, remarks, "%v", c)
			continue
		}
		require.Len(t, remarks, 1, "%v", c)
		assert.Equal(t, c.hint, remarks[0].Hint)
		assert.Contains(t, remarks[0].What, "GMT has no summer time: ")
	}
}

// A forecast of other days than are asked for is remarked on, with days that it has.
func TestForecastOfOtherDays(t *testing.T) {
	saturday := time.Date(2026, 5, 2, 12, 0, 0, 0, time.UTC)
	w := &shoot.Wishes{Forecast: shoot.Forecast{{Time: saturday.AddDate(0, 0, -1), Oktas: 3}, {Time: saturday, Oktas: 3}}}
	s := &shoot.Shoot{Place: shoot.Place{Zone: time.UTC}}
	dates := func(year, day, last int) {
		w.Dates = shoot.DateRange{First: shoot.Date{Year: year, Month: 5, Day: day},
			Last: shoot.Date{Year: year, Month: 5, Day: last}}
	}
	dates(2027, 1, 9)
	assert.Equal(t, Faults{{What: "the forecast cloud.csv has no hour of the dates asked for",
		Hint: "--dates 2026-05-01"}}, SearchRemarks(s, w, "cloud.csv"))
	w.On = []time.Weekday{time.Saturday}
	assert.Equal(t, "--dates 2026-05-02", SearchRemarks(s, w, "")[0].Hint)
	w.On = []time.Weekday{time.Monday}
	assert.Equal(t, "--dates 2026-05-01 --on friday", SearchRemarks(s, w, "")[0].Hint)
	dates(2026, 1, 9)
	assert.Len(t, SearchRemarks(s, w, ""), 1, "not on a Monday")
	w.On = nil
	assert.Empty(t, SearchRemarks(s, w, ""))
	dates(2026, 2, 9)
	assert.Empty(t, SearchRemarks(s, w, ""), "of one day at least")
	w.Forecast = nil
	assert.Empty(t, SearchRemarks(s, w, ""))
}
