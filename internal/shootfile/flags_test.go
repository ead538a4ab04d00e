package shootfile

import (
	"errors"
	"math"
	"testing"
	"time"

	"evenfall/internal/scene"
	"evenfall/internal/shoot"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// overridden lays flags, as name and value in turn, over the demonstration.
func overridden(t *testing.T, flags ...string) (*shoot.Shoot, error) {
	d, err := Demo()
	require.NoError(t, err)
	for i := 0; i < len(flags); i += 2 {
		d.Set(flags[i], flags[i+1])
	}
	return d.Resolve(environment(t))
}

func TestFlagsOverride(t *testing.T) {
	for _, c := range []struct {
		flags []string
		check func(*testing.T, *shoot.Shoot)
	}{
		{[]string{"ratio", "4:1"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t,
				shoot.Look{Ratio: 4, AtMost: 1.5}, s.Look)
		}},
		{[]string{"background", "-1.5"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, shoot.Look{Kind: shoot.BackgroundLook, Ratio: 3, Background: -1.5,
				AtMost: sky.Stops(math.Inf(1))}, s.Look)
		}},
		{[]string{"background-at-most", "Any"}, func(t *testing.T, s *shoot.Shoot) {
			assert.True(t, math.IsInf(float64(s.Look.AtMost), 1))
			assert.Equal(t, shoot.RatioLook, s.Look.Kind)
		}},
		{[]string{"background-at-most", "0.7", "ratio", "2"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, shoot.Look{Ratio: 2, AtMost: 0.7}, s.Look)
		}},
		{[]string{"flash-angle", "-30deg"}, func(t *testing.T, s *shoot.Shoot) {
			assert.InDelta(t, -30, s.Stand.Angle.Degrees(), 1e-9)
			assert.Equal(t, scene.Hand(0), s.Stand.Side)
		}},
		{[]string{"bias", "-0.3"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, sky.Stops(-0.3),
				s.Look.Bias)
		}},
		{[]string{"sky", "overcast"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, []shoot.SkySpan{{Condition: sky.Described(sky.Overcast)}}, s.Sky)
		}},
		{[]string{"okta", "3"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t,
				[]shoot.SkySpan{{Condition: sky.Oktas(3)}}, s.Sky)
		}},
		{[]string{"turbidity", "4.5"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, []shoot.SkySpan{{Condition: sky.WithTurbidity(4.5)}}, s.Sky)
		}},
		{[]string{"facing", "225"}, func(t *testing.T, s *shoot.Shoot) {
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
		{[]string{"facing", "Left"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, scene.LeftLit,
				s.Subject.Facing.Side)
		}},
		{[]string{"ground", "old-snow"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, 0.64, s.Place.Ground) }},
		{[]string{"figure", "full-length"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, scene.FullLength, s.Subject.Figure)
		}},
		{[]string{"camera", "crop-250"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, "crop-250", s.Camera.Name)
			assert.Equal(t, "1/90", s.Lens.Slowest.String(), "1/80, on the scale of half stops")
		}},
		{[]string{"aperture", "f/4"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, "f/4",
				s.Lens.Wanted.String())
		}},
		{[]string{"method", "hss, Sync,hss"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t,
				[]shoot.Method{shoot.HSS, shoot.Sync}, s.Methods)
		}},
		{[]string{"units", "3"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, 3, s.Flash.Units) }},
		{[]string{"distance", "1.5"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, 1.5, s.Flash.Distance) }},
		{[]string{"modifier", "bare"}, func(t *testing.T, s *shoot.Shoot) { assert.Zero(t, s.Flash.Modifier.Loss) }},
		{[]string{"modifier", "folding-softbox-40"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t,
				sky.Stops(1.3), s.Flash.Modifier.Loss)
		}},
		{[]string{"zoom", "105", "modifier", "bare"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, 105.0, s.Flash.Zoom)
		}},
		{[]string{"step", "90s"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, 90*time.Second, s.When.Step) }},
		{[]string{"step", "1h"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, time.Hour, s.When.Step) }},
		{[]string{"step", "5"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, 5*time.Minute, s.When.Step) }},
		{[]string{"date", "2027-06-01"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, shoot.Date{Year: 2027, Month: time.June, Day: 1}, s.When.Date)
		}},
		{[]string{"date", "tomorrow"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, shoot.Date{Year: 2027, Month: time.May, Day: 4}, s.When.Date)
		}},
		{[]string{"date", "today"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, shoot.Date{Year: 2027, Month: time.May, Day: 3}, s.When.Date)
		}},
		{[]string{"from", "sunset"}, func(t *testing.T, s *shoot.Shoot) { assert.Equal(t, s.When.From, s.When.To) }},
		{[]string{"from", "12:00", "to", "solar noon+1h"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, shoot.Instant{Offset: 12 * time.Hour}, s.When.From)
			assert.Equal(t, shoot.Instant{Event: sky.SolarNoon, Offset: time.Hour}, s.When.To)
		}},
		{[]string{"elevation", "-10"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, -10.0, s.Place.Site.Elevation)
			assert.Equal(t, "Harbour wall, west quay", s.Place.Name)
		}},
		// A new place keeps nothing of the old one but its ground, in
		// whichever order the flags come.
		{[]string{"elevation", "120", "tz", "Australia/Sydney", "at", "-33.86,151.21"}, moved},
		{[]string{"at", "33.86S,151.21E", "tz", "Australia/Sydney", "elevation", "120"}, moved},
		{[]string{"at", "47, 11"}, func(t *testing.T, s *shoot.Shoot) {
			assert.Equal(t, "Europe/Vienna", s.Place.Zone.String(), "the system's")
			assert.Zero(t, s.Place.Site.Elevation)
		}},
	} {
		s, err := overridden(t, c.flags...)
		require.NoError(t, err, "%v", c.flags)
		c.check(t, s)
	}
}

func facing(azimuth float64) func(*testing.T, *shoot.Shoot) {
	return func(t *testing.T, s *shoot.Shoot) {
		assert.Equal(t, scene.FixedAzimuth, s.Subject.Facing.Side)
		assert.InDelta(t, azimuth, s.Subject.Facing.Azimuth.Degrees(), 1e-9)
	}
}

func moved(t *testing.T, s *shoot.Shoot) {
	assert.InDelta(t, -33.86, s.Place.Site.Latitude.Degrees(), 1e-9)
	assert.InDelta(t, 151.21, s.Place.Site.Longitude.Degrees(), 1e-9)
	assert.Equal(t, 120.0, s.Place.Site.Elevation)
	assert.Equal(t, "Australia/Sydney", s.Place.Zone.String())
	assert.Empty(t, s.Place.Name)
	assert.Empty(t, s.Place.Horizon)
	assert.Equal(t, 0.4, s.Place.Ground)
}

func TestFlagsInFault(t *testing.T) {
	for _, c := range []struct {
		flags      []string
		what, hint string
	}{
		{[]string{"ratio", "0.5"}, "--ratio 0.5: must be at least 1.1", "--ratio 1.1"},
		{[]string{"ratio", "nan"}, `--ratio: "nan" is not a number`, "--ratio 3"},
		{[]string{"ratio", "1e999"}, "is not a number", "--ratio 3"},
		{[]string{"background", "9"}, "--background 9: must be -8 to 8", "--background 8"},
		{[]string{"bias", "inf"}, "is not a number", "--bias"},
		{[]string{"at", "91,100"}, "--at 91,100: latitude 91: must be -90 to 90", "--at 90,100"},
		{[]string{"at", "150,20"}, "--at 150,20: latitude 150: must be -90 to 90", "--at 20,150"},
		{[]string{"at", "-2.0566,50.6395", "tz", "Europe/London"}, "--tz: this cannot be time zone Europe/London",
			"swapped? --at 50.6395,-2.0566"},
		{[]string{"at", "-33.86,151.21", "tz", "Europe/London"}, "--tz: this cannot be time zone Europe/London",
			"--tz UTC+10"},
		{[]string{"at", "https://maps.example/@50.6395,-2.0566,14z"}, "not a latitude and longitude",
			"--at 50.6395,-2.0566"},
		{[]string{"ground", "beach"}, `--ground beach is not known`, "--ground sand"},
		{[]string{"ground", "xyzzy"}, `--ground xyzzy is not known`, "--ground grass; all are grass, sand, snow"},
		{[]string{"figure", "full body"}, `--figure 'full body' is not known`, "--figure 'full length'"},
		{[]string{"camera", "crop"}, `--camera: unknown camera "crop"`, "--camera crop-250"},
		{[]string{"at", "54.3,-181"}, "--at 54.3,-181: longitude -181: must be -180 to 180", "--at 54.3,-180"},
		{[]string{"at", "54.3"}, `--at: "54.3" is not a latitude and longitude`, "--at"},
		{[]string{"at", "54,3,10,1"}, "not a latitude and longitude", "--at 54.3,10.1"},
		{[]string{"at", "-33.86S,151E"}, "not a latitude and longitude", "--at -33.86,151"},
		{[]string{"at", "nan,nan"}, "not a latitude and longitude", "--at 54.33,10.15 --tz Europe/Berlin"},
		{[]string{"at", "-33.86,151.21"},
			"--at: no time zone is given, and the system has time zone Europe/Vienna", "--tz UTC+10"},
		{[]string{"tz", "Berlin"}, `--tz: unknown time zone "Berlin"`, "--tz Europe/Berlin"},
		{[]string{"tz", ""}, `--tz: "" is empty`, "--tz Europe/Berlin"},
		{[]string{"tz", "Asia/Tokyo"}, "--tz: this cannot be time zone Asia/Tokyo", "--tz UTC+1"},
		{[]string{"sky", "sunny"}, `--sky: unknown sky "sunny"`,
			"--sky clear; all are clear, hazy, thin, broken, overcast or heavy"},
		{[]string{"sky", "cloudy"}, `--sky: unknown sky "cloudy"`,
			"--sky overcast, or broken, clear, hazy, thin or heavy"},
		{[]string{"zoom", "105"},
			`--zoom 105 has no effect: the head inside "softbox-60x90" is set to`, "leave --zoom out, or --modifier bare"},
		{[]string{"okta", "9"}, "--okta 9: must be 0 to 8", "--okta 8"},
		{[]string{"sky", "clear", "okta", "2"}, "--okta cannot be combined with --sky", "--okta 2 without --sky"},
		{[]string{"background", "1", "background-at-most", "2"},
			"--background-at-most cannot be combined with --background",
			"--background-at-most 2 without --background"},
		{[]string{"background-at-most", "some"}, `--background-at-most: "some" is not a number`,
			"--background-at-most 1.5"},
		{[]string{"flash-angle", "50"}, "--flash-angle 50: must be -45 to 45", "--flash-angle 45"},
		{[]string{"flash-angle", "left"}, `--flash-angle: "left" is not a number`, "--flash-angle 30"},
		{[]string{"aperture", "1.4"}, "--aperture: the lens has no f/1.4: it goes from f/1.8 to f/16",
			"--aperture 1.8"},
		{[]string{"aperture", "0"}, "--aperture 0 is not on the camera's scale", "--aperture 1.8"},
		{[]string{"aperture", "100"}, "--aperture 100 is not on the camera's scale", "--aperture 16"},
		{[]string{"aperture", "2,8"}, "not on the camera's scale", "--aperture 2.8"},
		{[]string{"modifier", "softbox"}, `--modifier: unknown modifier "softbox"`, "--modifier softbox-60x90"},
		{[]string{"method", "sync,hhs"}, `--method: unknown method "hhs"`, "--method sync,hss"},
		{[]string{"method", "scrim-hss"}, `--method: unknown method "scrim-hss"`, "--method scrim+hss"},
		{[]string{"method", ""}, `unknown method ""`, "--method sync; the methods are sync"},
		{[]string{"units", "1.5"}, "--units 1.5 is not a whole number", "--units 2"},
		{[]string{"units", "0x2"}, "is not a number", "--units 2"},
		{[]string{"step", "1d"}, "is not a length of time", "--step 15m"},
		{[]string{"step", "0"}, "less than a second", "--step 15m"},
		{[]string{"step", "-5"}, "--step -5 is less than a second", "--step 5m"},
		{[]string{"step", "-0.001"}, "--step -0.001 is less than a second", "--step 15m"},
		{[]string{"step", "1s"}, "make 7201 moments", "--step 1m"},
		{[]string{"from", "sunst"}, `--from: "sunst" is not an event`, "--from sunset"},
		{[]string{"from", "sunst-2h"}, `--from: "sunst" is not an event`, "--from sunset-2h"},
		{[]string{"from", "noon-1h"}, `--from: "noon" is not an event`, "--from solar-noon-1h"},
		{[]string{"from", "25:00"}, `--from: "25:00" is not a clock time`, "--from 01:00"},
		{[]string{"to", "sunset-13h"}, `--to: "-13h" is not an offset of up to 12h`, "--to sunset-12h"},
		{[]string{"to", "sunset-2"}, `--to: "-2" does not say whether in hours or minutes`, "--to sunset-2h"},
		{[]string{"from", "22:00", "to", "21:00"}, "--to: the window from 22:00 to 21:00 ends before", "--to 00:00"},
		// What the demonstration says is changed by flags: nobody can edit it.
		{[]string{"from", "sunset+10m"},
			"--to sunset, as in the demonstration: the window from sunset+10m to sunset ends before", "--to 21:39"},
		{[]string{"to", "10:00"}, "--to: the window from sunset-2h to 10:00 ends before", "--to 19:29"},
		{[]string{"date", "2027-06-31"}, "--date 2027-06-31 is not a date", "--date 2027-06-30"},
		{[]string{"date", "tomorrow\x1b[0m"}, "control character U+001B", "--date tomorrow"},
		{[]string{"shutter", "1/200"}, "--shutter: is not a flag of a shoot", ""},
		{[]string{"facing", "up"}, "--facing up is not a direction", "--facing 225"},
		{[]string{"elevation", "1_000"}, "is not a number", "--elevation"},
		{[]string{"elevation", "35 m"}, `--elevation: "35 m" is not a number`, "--elevation 35"},
		{[]string{"distance", "2,5"}, `--distance: "2,5" is not a number`, "--distance 2.5"},
		{[]string{"ratio", "2,5:1"}, `--ratio: "2,5:1" is not a number`, "--ratio 2.5"},
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
	for _, flag := range [][2]string{{"at", "48.2,16.4"}, {"ratio", "2"}, {"sky", "thin"}} {
		d.Set(flag[0], flag[1])
	}
	_, err = d.Resolve(environment(t))
	assert.NoError(t, err)
}

// The faults of the file come first, those of the flags after them.
func TestFaultsOfFileAndFlags(t *testing.T) {
	d, err := Parse("shoot.toml", []byte(somewhere+"[lens]\naperture = 99\n"))
	require.NoError(t, err)
	d.Set("ratio", "99")
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
	d.Set("at", "48,16")
	s, err := d.Resolve(environment(t))
	require.NoError(t, err)
	assert.Equal(t, "Portraits", s.Name)
}

// Where the demonstration is moved to a day without a sunset, both of its ends
// are to be given, and make a window.
func TestDemonstrationOnPolarDay(t *testing.T) {
	flags := []string{"at", "69.65,18.96", "tz", "Europe/Oslo", "date", "2027-06-21"}
	_, err := overridden(t, flags...)
	assert.EqualError(t, err,
		"--from sunset-2h, as in the demonstration: 2027-06-21 has no sunset here: the sun does not set\n"+
			"hint: --from 20:00\n"+
			"--to sunset, as in the demonstration: 2027-06-21 has no sunset here: the sun does not set\n"+
			"hint: --to 22:00")
	_, err = overridden(t, append(flags, "from", "20:00", "to", "22:00")...)
	assert.NoError(t, err)
}
