package shootfile

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Fixed offsets are read as people mean them, east of Greenwich ahead.
func TestFixedZones(t *testing.T) {
	for name, want := range map[string]struct {
		name   string
		offset time.Duration
	}{
		"UTC": {"UTC", 0}, "Z": {"UTC", 0}, "GMT": {"UTC", 0}, "UTC+0": {"UTC", 0}, "utc+1": {"UTC+1",
			time.Hour}, "UTC+01:00": {"UTC+1", time.Hour},
		"+02:00": {"UTC+2", 2 * time.Hour}, "+0200": {"UTC+2", 2 * time.Hour}, "GMT+2": {"UTC+2",
			2 * time.Hour}, "GMT-3:30": {"UTC-3:30", -210 * time.Minute},
		"UTC−5": {"UTC-5", -5 * time.Hour}, "UTC + 5:45": {"UTC+5:45", 345 * time.Minute}, "UTC+14": {"UTC+14",
			14 * time.Hour}, "-12": {"UTC-12", -12 * time.Hour},
	} {
		zone := fixedZone(name)
		require.NotNil(t, zone, name)
		_, offset := time.Date(2027, time.June, 1, 12, 0, 0, 0, zone).Zone()
		assert.Equal(t, want.name, zone.String(), name)
		assert.Equal(t, want.offset, time.Duration(offset)*time.Second, name)
		assert.Equal(t, zone.String(), fixedZone(zone.String()).String(), "read again")
	}
	for _, name := range []string{"", "UTC+15", "UTC-13", "UTC+1:60", "UTC1", "Etc/GMT+1", "Europe/Berlin",
		"UTC++1", "+", "CET"} {
		assert.Nil(t, fixedZone(name), name)
	}
}

func TestZonesByName(t *testing.T) {
	for name, want := range map[string]string{
		"Europe/Vienna": "Europe/Vienna", "europe/vienna": "Europe/Vienna", "EUROPE/VIENNA": "Europe/Vienna",
		"cet": "CET", "UTC+1": "UTC+1", "+01:00": "UTC+1",
	} {
		s := resolved(t, "[place]\nlatitude_deg = 48.2\nlongitude_deg = 16.37\ntime_zone = '"+name+"'")
		assert.Equal(t, want, s.Place.Zone.String(), name)
	}
	s := resolved(t, "[place]\nlatitude_deg = 40.7\nlongitude_deg = -74\ntime_zone = 'america/new york'")
	assert.Equal(t, "America/New_York", s.Place.Zone.String())
}

// A zone is the place's where its solar noon lies within two and a half hours
// of the clock's, summer time not counted. Longitudes by hand: solar noon in
// UTC is at 12:00 less four minutes a degree, on 15 April within a minute (the
// equation of time is nought then).
func TestZoneFarFromTheSun(t *testing.T) {
	for _, c := range []struct {
		name, at, zone, date string
		good                 bool
	}{
		{"2 h 28 min behind the sun", "50,37", "UTC", "2027-04-15", true},
		{"2 h 32 min behind the sun", "50,38", "UTC", "2027-04-15", false},
		{"2 h 28 min ahead of the sun", "50,-37", "UTC", "2027-04-15", true},
		{"2 h 32 min ahead of the sun", "50,-38", "UTC", "2027-04-15", false},
		{"west of Spain in summer", "42.23,-8.72", "Europe/Madrid", "2027-07-25", true},
		{"west of Alaska in summer", "64.5,-165.4", "America/Nome", "2027-07-25", true},
		{"the other side of the world", "-33.86,151.21", "America/New_York", "2027-04-15", false},
	} {
		d := Defaults()
		for flag, value := range map[string]string{"at": c.at, "tz": c.zone, "date": c.date, "from": "12:00",
			"to": "13:00"} {
			d.Set(flag, value)
		}
		_, err := d.Resolve(environment(t))
		if c.good {
			assert.NoError(t, err, c.name)
		} else {
			assert.ErrorContains(t, err, "more than two and a half hours from noon", c.name)
		}
	}
}
