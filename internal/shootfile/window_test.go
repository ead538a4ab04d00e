package shootfile

import (
	"errors"
	"testing"
	"time"

	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestParseInstant(t *testing.T) {
	for _, c := range []struct {
		text string
		want shoot.Instant
		back string
	}{
		{"17:30", shoot.Instant{Offset: 17*time.Hour + 30*time.Minute}, "17:30"},
		{"17.30", shoot.Instant{Offset: 17*time.Hour + 30*time.Minute}, "17:30"},
		{"17h30", shoot.Instant{Offset: 17*time.Hour + 30*time.Minute}, "17:30"},
		{"5pm", shoot.Instant{Offset: 17 * time.Hour}, "17:00"},
		{"5:30 PM", shoot.Instant{Offset: 17*time.Hour + 30*time.Minute}, "17:30"},
		{"5:30a.m.", shoot.Instant{Offset: 5*time.Hour + 30*time.Minute}, "05:30"},
		{"12am", shoot.Instant{}, "00:00"},
		{"12:15pm", shoot.Instant{Offset: 12*time.Hour + 15*time.Minute}, "12:15"},
		{"sunset+45", shoot.Instant{Event: sky.Sunset, Offset: 45 * time.Minute}, "sunset+45m"},
		{"sunrise-0", shoot.Instant{Event: sky.Sunrise}, "sunrise"},
		{" 7:05 ", shoot.Instant{Offset: 7*time.Hour + 5*time.Minute}, "07:05"},
		{"00:00:01", shoot.Instant{Offset: time.Second}, "00:00:01"},
		{"sunset", shoot.Instant{Event: sky.Sunset}, "sunset"},
		{"sunset-2h", shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour}, "sunset-2h"},
		{"Sunset - 1h30m", shoot.Instant{Event: sky.Sunset, Offset: -90 * time.Minute}, "sunset-1h30m"},
		{"sunset−90m", shoot.Instant{Event: sky.Sunset, Offset: -90 * time.Minute}, "sunset-1h30m"},
		{"sunset-90min", shoot.Instant{Event: sky.Sunset, Offset: -90 * time.Minute}, "sunset-1h30m"},
		{"sunset-1:30", shoot.Instant{Event: sky.Sunset, Offset: -90 * time.Minute}, "sunset-1h30m"},
		{"sunset - 2h", shoot.Instant{Event: sky.Sunset, Offset: -2 * time.Hour}, "sunset-2h"},
		{"sunset + 1 hour 5 minutes", shoot.Instant{Event: sky.Sunset, Offset: 65 * time.Minute}, "sunset+1h5m"},
		{"solar noon - 2 hrs", shoot.Instant{Event: sky.SolarNoon, Offset: -2 * time.Hour}, "solar-noon-2h"},
		{"solar noon+30m", shoot.Instant{Event: sky.SolarNoon, Offset: 30 * time.Minute}, "solar-noon+30m"},
		{"civil-dusk+10m30s", shoot.Instant{Event: sky.CivilDusk, Offset: 10*time.Minute + 30*time.Second},
			"civil-dusk+10m30s"},
		{"golden-hour-begins", shoot.Instant{Event: sky.GoldenHourBegins}, "golden-hour-begins"},
		{"evening golden hour begins", shoot.Instant{Event: sky.GoldenHourBegins}, "golden-hour-begins"},
		{"morning-blue-hour-ends+0.5h", shoot.Instant{Event: sky.BlueHourEnds, Morning: true,
			Offset: 30 * time.Minute}, "morning-blue-hour-ends+30m"},
	} {
		got, err := ParseInstant(c.text)
		require.NoError(t, err, c.text)
		assert.Equal(t, c.want, got, c.text)
		assert.Equal(t, c.back, got.String())
	}
	for text, hint := range map[string]string{
		"": "sunset-2h", "-1:00": "sunset-2h", "sunset-": "sunset-2h", "sunset-2x": "sunset-2h",
		"sunset+1h+1h": "sunset-2h",
		"sun\x00set":   "sunset-2h", "\u202esunset": "sunset-2h", "+2h": "sunset-2h",
		"17": "17:00", "1730": "17:30", "24:00": "00:00", "25:00": "01:00", "12:60": "12:59", "13pm": "13:00",
		"0am":      "00:00",
		"sunset-2": "sunset-2h", "sunset-13h": "sunset-12h", "sunset+1h30": "sunset+1h30m", "sunset+1ms": "sunset+1h",
		"sunset-1:75": "sunset-1h", "sunset-13:00": "sunset-12h",
		"sunset+99999999999999999999h": "sunset+1h", "sunset+0.0001s": "sunset", "sunset+900": "sunset+12h",
		"noon": "12:00", "noon-1h": "solar-noon-1h", "midnight": "00:00", "midnight-1h": "23:00",
		"sunst-2h": "sunset-2h", "sunst-13h": "sunset-12h", "xyzzy+20m": "sunset+20m", "dusk": "civil-dusk",
		"golden hour": "golden-hour-begins", "morning golden hour-5m": "morning-golden-hour-begins-5m",
		"morning-sunset": "sunset",
	} {
		_, err := ParseInstant(text)
		var f Fault
		require.True(t, errors.As(err, &f), text)
		assert.NotEmpty(t, f.What)
		assert.Equal(t, hint, f.Hint, text)
		_, err = ParseInstant(f.Hint)
		assert.NoError(t, err, text)
	}
}

func window(t *testing.T, text string) (s *shoot.Shoot, from, to time.Time) {
	s = resolved(t, text)
	from, to, err := s.Window(s.Observer().Day(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, s.Place.Zone))
	require.NoError(t, err)
	return s, from, to
}

// Sunsets from PyEphem 4.1.4 (centre of the disc at -50 arcmin, no
// refraction), in UTC: 54.33 N 10.15 E 2027-09-18 17:29:02; 64.147 N 21.94 W
// 2027-06-22 00:03:55, the evening of the 21st by the sun.
func TestWindowOfEvents(t *testing.T) {
	_, from, to := window(t, string(demoText))
	sunset := time.Date(2027, 9, 18, 17, 29, 2, 0, time.UTC)
	t.Logf("sunset %v off PyEphem's", from.Add(2*time.Hour).Sub(sunset))
	assert.WithinDuration(t, sunset.Add(-2*time.Hour), from, 5*time.Second)
	assert.WithinDuration(t, sunset, to, 5*time.Second)

	_, from, to = window(t,
		"[place]\nlatitude_deg = 64.147\nlongitude_deg = -21.94\ntime_zone = 'Atlantic/Reykjavik'\n[when]\ndate = 2027-06-21")
	sunset = time.Date(2027, 6, 22, 0, 3, 55, 0, time.UTC)
	t.Logf("sunset %v off PyEphem's", from.Add(2*time.Hour).Sub(sunset))
	assert.WithinDuration(t, sunset.Add(-2*time.Hour), from, 5*time.Second)
	assert.WithinDuration(t, sunset.Add(30*time.Minute), to, 5*time.Second)
}

func TestWindowByTheClock(t *testing.T) {
	for _, c := range []struct{ when, from, to string }{
		{"date = 2027-05-03\nfrom = '17:00'\nto = '19:30'", "2027-05-03T17:00:00+02:00", "2027-05-03T19:30:00+02:00"},
		{"date = 2027-05-03\nfrom = 17:00:00\nto = '19:30:15'", "2027-05-03T17:00:00+02:00",
			"2027-05-03T19:30:15+02:00"},
		{"date = 2027-05-03\nfrom = '22:00'\nto = '02:00'", "2027-05-03T22:00:00+02:00", "2027-05-04T02:00:00+02:00"},
		{"date = 2027-05-31\nfrom = '22:00'\nto = '14:00'", "2027-05-31T22:00:00+02:00",
			"2027-06-01T14:00:00+02:00"}, // 16 h
		{"date = 2027-05-03\nfrom = '17:00'\nto = '17:00'", "2027-05-03T17:00:00+02:00",
			"2027-05-03T17:00:00+02:00"}, // one moment
		{"date = 2027-10-30\nfrom = '22:00'\nto = '04:00'", "2027-10-30T22:00:00+02:00",
			"2027-10-31T04:00:00+01:00"}, // clocks go back
		{"date = 2027-03-28\nfrom = '01:00'\nto = '04:00'", "2027-03-28T01:00:00+01:00",
			"2027-03-28T04:00:00+02:00"}, // clocks go forward
	} {
		_, from, to := window(t, somewhere+"[when]\n"+c.when)
		assert.Equal(t, c.from, from.Format(time.RFC3339))
		assert.Equal(t, c.to, to.Format(time.RFC3339))
	}
	assert.ErrorContains(t, onlyErr(resolve(t, somewhere+"[when]\nfrom = '22:00'\nto = '14:01'")), "longer than 16h")
}

func onlyErr(_ *shoot.Shoot, err error) error { return err }

func TestWindowFromDuskToDawn(t *testing.T) {
	_, from, to := window(t, somewhere+"[when]\ndate = 2027-05-03\nfrom = 'sunset-30m'\nto = 'sunrise+30m'")
	assert.Equal(t, 3, from.Day())
	assert.Equal(t, 4, to.Day(), "the sunrise after it")
	assert.InDelta(t, 10.4, to.Sub(from).Hours(), 0.2)
}

func TestConditionAt(t *testing.T) {
	s, from, to := window(t, somewhere+`[when]
date = 2027-05-03
from = "22:00"
to = "02:00"
[[sky]]
condition = "clear"
[[sky]]
from = "23:00"
oktas = 4
[[sky]]
from = "00:30"
condition = "heavy"
[[sky]]
from = "sunrise-4h"
turbidity = 5
`)
	day := s.Observer().Day(2027, time.May, 3, s.Place.Zone)
	at := func(hour, minute int) string {
		return s.ConditionAt(time.Date(2027, time.May, 3, hour, minute, 0, 0, s.Place.Zone), day).String()
	}
	assert.Equal(t, "clear", s.ConditionAt(from, day).String())
	assert.Equal(t, "clear", at(22, 59))
	assert.Equal(t, "4 oktas", at(23, 0))
	assert.Equal(t, "4 oktas", at(24, 29))
	assert.Equal(t, "heavy", at(24, 30))
	assert.Equal(t, "turbidity 5", s.ConditionAt(to, day).String(), "four hours before the next day's sunrise")
}

// A change that the window has behind it holds from the start.
func TestConditionBeforeTheWindow(t *testing.T) {
	s, from, _ := window(t,
		somewhere+"[when]\nfrom = '17:00'\nto = '18:00'\n[[sky]]\noktas = 1\n[[sky]]\nfrom = '16:00'\noktas = 2\n[[sky]]\nfrom = '18:30'\noktas = 3\n")
	day := s.Observer().Day(2027, time.May, 3, s.Place.Zone)
	assert.Equal(t, "2 oktas", s.ConditionAt(from, day).String())
	assert.Equal(t, "2 oktas", s.ConditionAt(from.Add(time.Hour), day).String())
}
