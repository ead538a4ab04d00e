package shoot

import (
	"errors"
	"testing"
	"time"

	"evenfall/internal/scene"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// overridden lays flags, as name and value in turn, over the demonstration.
func overridden(t *testing.T, flags ...string) (*Shoot, error) {
	d, err := Demo()
	require.NoError(t, err)
	for i := 0; i < len(flags); i += 2 {
		if err := d.Set(flags[i], flags[i+1]); err != nil {
			return nil, err
		}
	}
	return d.Resolve(environment(t))
}

func TestFlagsOverride(t *testing.T) {
	for _, c := range []struct {
		flags []string
		check func(*testing.T, *Shoot)
	}{
		{[]string{"ratio", "4:1"}, func(t *testing.T, s *Shoot) { assert.Equal(t, Look{Kind: Ratio, Ratio: 4}, s.Look) }},
		{[]string{"dark-sky", "1.5"}, func(t *testing.T, s *Shoot) { assert.Equal(t, Look{Kind: DarkSky, Dark: 1.5}, s.Look) }},
		{[]string{"bias", "-0.3"}, func(t *testing.T, s *Shoot) { assert.Equal(t, sky.Stops(-0.3), s.Look.Bias) }},
		{[]string{"sky", "overcast"}, func(t *testing.T, s *Shoot) {
			assert.Equal(t, []SkySpan{{Condition: sky.Described(sky.Overcast)}}, s.Sky)
		}},
		{[]string{"okta", "3"}, func(t *testing.T, s *Shoot) { assert.Equal(t, []SkySpan{{Condition: sky.Oktas(3)}}, s.Sky) }},
		{[]string{"turbidity", "4.5"}, func(t *testing.T, s *Shoot) {
			assert.Equal(t, []SkySpan{{Condition: sky.WithTurbidity(4.5)}}, s.Sky)
		}},
		{[]string{"facing", "225"}, func(t *testing.T, s *Shoot) {
			assert.Equal(t, scene.FixedAzimuth, s.Subject.Facing.Side)
			assert.InDelta(t, 225, s.Subject.Facing.Azimuth.Degrees(), 1e-9)
		}},
		{[]string{"facing", "-10"}, facing(350)},
		{[]string{"facing", "45deg"}, facing(45)},
		{[]string{"facing", "45°"}, facing(45)},
		{[]string{"facing", "NW"}, facing(315)},
		{[]string{"facing", "ssw"}, facing(202.5)},
		{[]string{"facing", "North-East"}, facing(45)},
		{[]string{"facing", "N"}, facing(0)},
		{[]string{"facing", "Left"}, func(t *testing.T, s *Shoot) { assert.Equal(t, scene.LeftLit, s.Subject.Facing.Side) }},
		{[]string{"aperture", "f/4"}, func(t *testing.T, s *Shoot) { assert.Equal(t, "f/4", s.Lens.Wanted.String()) }},
		{[]string{"method", "hss, Sync,hss"}, func(t *testing.T, s *Shoot) { assert.Equal(t, []Method{HSS, Sync}, s.Methods) }},
		{[]string{"units", "3"}, func(t *testing.T, s *Shoot) { assert.Equal(t, 3, s.Flash.Units) }},
		{[]string{"distance", "1.5"}, func(t *testing.T, s *Shoot) { assert.Equal(t, 1.5, s.Flash.Distance) }},
		{[]string{"modifier", "bare"}, func(t *testing.T, s *Shoot) { assert.Zero(t, s.Flash.Modifier.Loss) }},
		{[]string{"modifier", "folding-softbox-40"}, func(t *testing.T, s *Shoot) { assert.Equal(t, sky.Stops(1.3), s.Flash.Modifier.Loss) }},
		{[]string{"step", "90s"}, func(t *testing.T, s *Shoot) { assert.Equal(t, 90*time.Second, s.When.Step) }},
		{[]string{"step", "1h"}, func(t *testing.T, s *Shoot) { assert.Equal(t, time.Hour, s.When.Step) }},
		{[]string{"step", "5"}, func(t *testing.T, s *Shoot) { assert.Equal(t, 5*time.Minute, s.When.Step) }},
		{[]string{"date", "2027-06-01"}, func(t *testing.T, s *Shoot) { assert.Equal(t, Date{2027, time.June, 1}, s.When.Date) }},
		{[]string{"date", "tomorrow"}, func(t *testing.T, s *Shoot) { assert.Equal(t, Date{2027, time.May, 4}, s.When.Date) }},
		{[]string{"date", "today"}, func(t *testing.T, s *Shoot) { assert.Equal(t, Date{2027, time.May, 3}, s.When.Date) }},
		{[]string{"from", "sunset"}, func(t *testing.T, s *Shoot) { assert.Equal(t, s.When.From, s.When.To) }},
		{[]string{"from", "12:00", "to", "solar noon+1h"}, func(t *testing.T, s *Shoot) {
			assert.Equal(t, Instant{Offset: 12 * time.Hour}, s.When.From)
			assert.Equal(t, Instant{Event: sky.SolarNoon, Offset: time.Hour}, s.When.To)
		}},
		{[]string{"elevation", "-10"}, func(t *testing.T, s *Shoot) {
			assert.Equal(t, -10.0, s.Place.Site.Elevation)
			assert.Equal(t, "Harbour wall, west quay", s.Place.Name)
		}},
		// A new place keeps nothing of the old one but its ground, in
		// whichever order the flags come.
		{[]string{"elevation", "120", "tz", "Australia/Sydney", "at", "-33.86,151.21"}, moved},
		{[]string{"at", "33.86S,151.21E", "tz", "Australia/Sydney", "elevation", "120"}, moved},
		{[]string{"at", "47, 11"}, func(t *testing.T, s *Shoot) {
			assert.Equal(t, "Europe/Vienna", s.Place.Zone.String(), "the system's")
			assert.Zero(t, s.Place.Site.Elevation)
		}},
	} {
		s, err := overridden(t, c.flags...)
		require.NoError(t, err, "%v", c.flags)
		c.check(t, s)
	}
}

func facing(azimuth float64) func(*testing.T, *Shoot) {
	return func(t *testing.T, s *Shoot) {
		assert.Equal(t, scene.FixedAzimuth, s.Subject.Facing.Side)
		assert.InDelta(t, azimuth, s.Subject.Facing.Azimuth.Degrees(), 1e-9)
	}
}

func moved(t *testing.T, s *Shoot) {
	assert.InDelta(t, -33.86, s.Place.Site.Latitude.Degrees(), 1e-9)
	assert.InDelta(t, 151.21, s.Place.Site.Longitude.Degrees(), 1e-9)
	assert.Equal(t, 120.0, s.Place.Site.Elevation)
	assert.Equal(t, "Australia/Sydney", s.Place.Zone.String())
	assert.Empty(t, s.Name, "the demonstration's says where it is")
	assert.Empty(t, s.Place.Name)
	assert.Empty(t, s.Place.Horizon)
	assert.Equal(t, 0.4, s.Place.Ground)
}

func TestFlagsInFault(t *testing.T) {
	for _, c := range []struct {
		flags      []string
		what, hint string
	}{
		{[]string{"ratio", "0.5"}, "--ratio 0.5 is less than 1.1", "--ratio 1.1"},
		{[]string{"ratio", "nan"}, `--ratio: "nan" cannot be read`, "--ratio 3"},
		{[]string{"ratio", "1e999"}, "cannot be read", "--ratio 3"},
		{[]string{"dark-sky", "9"}, "--dark-sky 9 lies outside 0 to 8", "--dark-sky 8"},
		{[]string{"bias", "inf"}, "cannot be read", "--bias"},
		{[]string{"at", "91,10"}, "--at 91,10: latitude 91 lies outside -90 to 90", "--at 90,10"},
		{[]string{"at", "54.3,-181"}, "--at 54.3,-181: longitude -181 lies outside -180 to 180", "--at 54.3,-180"},
		{[]string{"at", "54.3"}, `--at: "54.3" is no latitude and longitude`, "--at"},
		{[]string{"at", "54,3,10,1"}, "no latitude and longitude", "--at 54.3,10.1"},
		{[]string{"at", "10E,54N"}, "no latitude and longitude", "--at 54N,10E"},
		{[]string{"at", "-33.86S,151E"}, "no latitude and longitude", "--at 33.86S,151E"},
		{[]string{"at", "nan,nan"}, "no latitude and longitude", "--at 54.33,10.15 --tz Europe/Berlin"},
		{[]string{"at", "-33.86,151.21"}, "--at: no time zone is given, and the system has time zone Europe/Vienna", "--tz Etc/GMT-10"},
		{[]string{"tz", "Berlin"}, `--tz: there is no time zone "Berlin"`, "--tz Europe/Berlin"},
		{[]string{"tz", ""}, `--tz: "" cannot be read`, "--tz Europe/Berlin"},
		{[]string{"tz", "Asia/Tokyo"}, "--tz: this cannot be time zone Asia/Tokyo", "--tz Etc/GMT-1"},
		{[]string{"sky", "sunny"}, `--sky: there is no condition "sunny"`, "--sky clear; all are clear, hazy, thin, broken, overcast or heavy"},
		{[]string{"okta", "9"}, "--okta 9 lies outside 0 to 8", "--okta 8"},
		{[]string{"sky", "clear", "okta", "2"}, "--okta cannot be combined with --sky", "--okta 2 without --sky"},
		{[]string{"dark-sky", "1", "ratio", "2"}, "--ratio cannot be combined with --dark-sky", "--ratio 2 without --dark-sky"},
		{[]string{"aperture", "1.4"}, "--aperture: the lens has no f/1.4: it goes from f/1.8 to f/16", "--aperture 1.8"},
		{[]string{"aperture", "0"}, "--aperture 0 is not on the camera's scale", "--aperture 1.8"},
		{[]string{"aperture", "100"}, "--aperture 100 is not on the camera's scale", "--aperture 16"},
		{[]string{"aperture", "2,8"}, "not on the camera's scale", "--aperture 2.8"},
		{[]string{"modifier", "softbox"}, `--modifier: there is no modifier "softbox"`, "--modifier softbox-60x90"},
		{[]string{"method", "sync,hhs"}, `--method: there is no method "hhs"`, "--method sync,hss"},
		{[]string{"method", "scrim-hss"}, `--method: there is no method "scrim-hss"`, "--method scrim+hss"},
		{[]string{"method", ""}, `there is no method ""`, "--method sync; the methods are sync"},
		{[]string{"units", "1.5"}, "--units 1.5 is no whole number", "--units 2"},
		{[]string{"units", "0x2"}, "cannot be read", "--units 2"},
		{[]string{"step", "1d"}, "cannot be read", "--step 15m"},
		{[]string{"step", "0"}, "less than a second", "--step 15m"},
		{[]string{"step", "-5"}, "--step -5 is less than a second", "--step 5m"},
		{[]string{"step", "-0.001"}, "--step -0.001 is less than a second", "--step 15m"},
		{[]string{"step", "1s"}, "make 7201 moments", "--step 1m"},
		{[]string{"from", "sunst"}, `--from: "sunst" is no event`, "--from sunset"},
		{[]string{"from", "sunst-2h"}, `--from: "sunst" is no event`, "--from sunset-2h"},
		{[]string{"from", "noon-1h"}, `--from: "noon" is no event`, "--from solar-noon-1h"},
		{[]string{"from", "25:00"}, `--from: "25:00" is no time of the clock`, "--from 01:00"},
		{[]string{"to", "sunset-13h"}, `--to: "-13h" is no offset of up to 12h`, "--to sunset-12h"},
		{[]string{"to", "sunset-2"}, `--to: "-2" does not say whether in hours or minutes`, "--to sunset-2h"},
		{[]string{"from", "22:00", "to", "21:00"}, "--to: the window from 22:00 to 21:00 ends before", "--to 00:00"},
		// What the demonstration says is changed by flags: nobody can edit it.
		{[]string{"from", "sunset+10m"}, "--to sunset, as in the demonstration: the window from sunset+10m to sunset ends before", "--to 21:39"},
		{[]string{"to", "10:00"}, "--to: the window from sunset-2h to 10:00 ends before", "--to 19:29"},
		{[]string{"date", "2027-06-31"}, "--date 2027-06-31 is no date", "--date 2027-06-30"},
		{[]string{"date", "tomorrow\x1b[0m"}, "control character U+001B", "leave"},
		{[]string{"shutter", "1/200"}, "--shutter: is no flag of a shoot", ""},
		{[]string{"facing", "up"}, "--facing up is no direction", "--facing 225"},
		{[]string{"elevation", "1_000"}, "cannot be read", "--elevation"},
		{[]string{"elevation", "35 m"}, `--elevation: "35 m" cannot be read`, "--elevation 35"},
		{[]string{"distance", "2,5"}, `--distance: "2,5" cannot be read`, "--distance 2.5"},
		{[]string{"ratio", "2,5:1"}, `--ratio: "2,5:1" cannot be read`, "--ratio 2.5"},
	} {
		_, err := overridden(t, c.flags...)
		var faults Faults
		require.True(t, errors.As(err, &faults), "%v: %v", c.flags, err)
		require.Len(t, faults, 1, "%v", c.flags)
		assert.Contains(t, faults[0].Error(), c.what)
		assert.Contains(t, faults[0].Hint, c.hint)
		assert.NotContains(t, faults.Error(), "\x1b")
	}
}

// A flag stands in for a value of the file that is at fault.
func TestFlagCuresFile(t *testing.T) {
	d, err := Parse("shoot.toml", []byte("place = 3\n[look]\nratio = 0\n[[sky]]\noktas = 11\n"))
	require.NoError(t, err)
	for _, flag := range [][2]string{{"at", "48.2,16.4"}, {"dark-sky", "1"}, {"sky", "thin"}} {
		require.NoError(t, d.Set(flag[0], flag[1]))
	}
	_, err = d.Resolve(environment(t))
	assert.NoError(t, err)
}

// The faults of the file come first, those of the flags after them.
func TestFaultsOfFileAndFlags(t *testing.T) {
	d, err := Parse("shoot.toml", []byte(somewhere+"[lens]\naperture = 99\n"))
	require.NoError(t, err)
	require.NoError(t, d.Set("ratio", "99"))
	_, err = d.Resolve(environment(t))
	var faults Faults
	require.True(t, errors.As(err, &faults))
	require.Len(t, faults, 2)
	assert.Equal(t, 6, faults[0].Line)
	assert.Equal(t, "ratio", faults[1].Flag)
}

// A file's name is the session's, wherever that moves to.
func TestFileKeepsItsName(t *testing.T) {
	d, err := Parse("shoot.toml", []byte("name = 'Portraits'\n"+somewhere))
	require.NoError(t, err)
	require.NoError(t, d.Set("at", "48,16"))
	s, err := d.Resolve(environment(t))
	require.NoError(t, err)
	assert.Equal(t, "Portraits", s.Name)
}

// Where the demonstration is moved to a day without a sunset, both of its ends
// are to be given, and make a window.
func TestDemonstrationOnPolarDay(t *testing.T) {
	flags := []string{"at", "69.65,18.96", "tz", "Europe/Oslo", "date", "2027-06-21"}
	_, err := overridden(t, flags...)
	assert.EqualError(t, err, "--from sunset-2h, as in the demonstration: 2027-06-21 has no sunset here: the sun does not set\n"+
		"hint: --from 20:00\n"+
		"--to sunset, as in the demonstration: 2027-06-21 has no sunset here: the sun does not set\n"+
		"hint: --to 22:00")
	_, err = overridden(t, append(flags, "from", "20:00", "to", "22:00")...)
	assert.NoError(t, err)
}
