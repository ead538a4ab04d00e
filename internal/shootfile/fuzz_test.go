package shootfile

import (
	"errors"
	"math"
	"slices"
	"testing"
	"time"

	"evenfall/internal/flash"
	"evenfall/internal/shoot"
	"evenfall/internal/words"
	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sane checks that all of a resolved shoot is finite and in its range.
func sane(t *testing.T, s *shoot.Shoot) {
	within := func(name string, v, low, high float64) {
		assert.True(t, v >= low && v <= high, "%s = %v", name, v)
	}
	within("latitude", s.Place.Site.Latitude.Degrees(), -90, 90)
	within("longitude", s.Place.Site.Longitude.Degrees(), -180, 180)
	within("elevation", s.Place.Site.Elevation, -430, 9000)
	within("ground", s.Place.Ground, 0, 1)
	for i, p := range s.Place.Horizon {
		within("horizon azimuth", float64(p.Azimuth), 0, 2*math.Pi)
		within("horizon altitude", p.Altitude.Degrees(), -10.001, 89.001)
		assert.True(t, i == 0 || p.Azimuth > s.Place.Horizon[i-1].Azimuth)
	}
	within("year", float64(s.When.Date.Year), 1950, 2100)
	within("step", s.When.Step.Hours(), 1./3600, 24)
	require.NotEmpty(t, s.Sky)
	assert.Nil(t, s.Sky[0].From)
	within("facing", float64(s.Subject.Facing.Azimuth), 0, 2*math.Pi)
	within("sky altitude", s.Subject.SkyAltitude.Degrees(), 0, 90.001)
	within("camera distance", s.Subject.CameraDistance, 2*s.Lens.FocalLength.Metres(), 1000)
	within("background distance", s.Subject.Background.Distance, 0.1, math.Inf(1))
	within("background reflectance", s.Subject.Background.Reflectance, 0.01, 1)
	within("ratio", s.Look.Ratio, 1.1, 64)
	within("background", float64(s.Look.Background), -8, 8)
	within("background at most", float64(s.Look.AtMost), -8, math.Inf(1))
	if s.Stand.Angle != nil {
		within("flash angle", s.Stand.Angle.Degrees(), -45.001, 45.001)
	}
	within("bias", float64(s.Look.Bias), -5, 5)
	assert.LessOrEqual(t, s.Camera.Sync, s.Camera.Fastest)
	assert.LessOrEqual(t, s.Camera.Lowest, s.Camera.Highest)
	assert.LessOrEqual(t, s.Lens.Widest, s.Lens.Wanted)
	assert.LessOrEqual(t, s.Lens.Wanted, s.Lens.Narrowest)
	assert.LessOrEqual(t, s.Lens.Slowest, s.Camera.Sync)
	for _, click := range []int{int(s.Lens.Widest), int(s.Lens.Wanted), int(s.Lens.Narrowest),
		int(s.Lens.Slowest), int(s.Camera.Sync), int(s.Camera.Fastest)} {
		assert.Zero(t, click%int(s.Camera.Click))
	}
	within("focal length", float64(s.Lens.FocalLength), 4, 2000)
	within("units", float64(s.Flash.Units), 1, 12)
	within("flash distance", s.Flash.Distance, 0.2, 100)
	full := float64(s.Flash.Full())
	assert.True(t, full > 0 && !math.IsInf(full, 0), "flash %v", full)
	within("recycling", s.Flash.Unit.Recycle(0).Seconds(), 0.001, 60)
	if s.Scrim != nil {
		assert.True(t, (s.Scrim.Height > 0) != (s.Scrim.Distance > 0))
		within("scrim", s.Scrim.Width*s.Scrim.Length, 0.04, 144)
	}
	if s.Reflector != nil {
		within("reflector", s.Reflector.Width*s.Reflector.Length, 0.04, 36)
		within("reflector distance", s.Reflector.Distance, 0.3, 20)
		within("gain", s.Reflector.Gain, 1, 20)
	}
	within("share of the sky", s.Shade.SkyShare, 0.05, 1)
	for i, f := range s.Filters {
		within("filter", float64(f.Loss), weakestFilter, strongestFilter)
		assert.True(t, i == 0 || f.Loss >= s.Filters[i-1].Loss)
	}
	within("pace", s.Pace.FramesPerMinute, 0.1, 600)
	require.NotEmpty(t, s.Methods)
	require.NotNil(t, s.Place.Zone)
	day := s.Observer().Day(s.When.Date.Year, s.When.Date.Month, s.When.Date.Day, s.Place.Zone)
	from, to, err := s.Window(day)
	require.NoError(t, err)
	assert.False(t, to.Before(from))
	assert.LessOrEqual(t, to.Sub(from)/s.When.Step, time.Duration(mostSteps))
	for _, name := range [...]string{s.Name, s.Place.Name, s.Lens.Name, s.Camera.Name, s.Flash.Unit.Name} {
		assert.Equal(t, words.Safe(name), name)
	}
}

// reported checks that an error is one for the user to read.
func reported(t *testing.T, err error) {
	var faults Faults
	require.True(t, errors.As(err, &faults), "%v", err)
	require.NotEmpty(t, faults)
	for _, f := range faults {
		assert.NotEmpty(t, f.What)
		assert.Equal(t, words.Safe(f.What+f.Hint), f.What+f.Hint)
	}
}

func FuzzParse(f *testing.F) {
	f.Add(demoText)
	f.Add([]byte(somewhere))
	f.Add([]byte(somewhere + "[[sky]]\ncondition = 'clear'\n[[sky]]\nfrom = '18:00'\noktas = 3\n[[kit.flash]]\nname = 'a'\nguide_numbers = [{zoom_mm = 50, number_m = 30}]\n"))
	f.Add([]byte(somewhere + "horizon_deg = [[1, 2], [300, 4.5]]\nlatitude_deg.x = nan\n"))
	f.Add([]byte("[[place]]\n[place.a]\n[lens]\naperture = inf\nwidest = '1.8'"))
	f.Fuzz(func(t *testing.T, data []byte) {
		d, err := Parse("shoot.toml", data)
		if err != nil {
			reported(t, err)
			return
		}
		s, err := d.Resolve(environment(t))
		if err != nil {
			reported(t, err)
			return
		}
		sane(t, s)
	})
}

func FuzzKit(f *testing.F) {
	f.Add(kitFile)
	f.Add([]byte("[[flash]]\nname = 'a'\nguide_numbers = [{zoom_mm = 50, number_m = 30}]\nlowest_power = '1/8'\n"))
	f.Add([]byte("[[camera]]\nname = 'a'\nsync = '1/200'\nsteps = 'half'\n[kit]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		library, err := ParseKit("kit.toml", data)
		if err != nil {
			reported(t, err)
			return
		}
		for _, unit := range library.Flashes {
			full := float64((&flash.Head{Unit: &unit, Units: 1, Distance: 2}).Full())
			assert.True(t, full > 0 && !math.IsInf(full, 0), "%v", unit)
		}
	})
}

// Whatever fills the starter in, it is refused or resolves.
func FuzzStarter(f *testing.F) {
	f.Add("My shoot", "54.33,10.15", "Europe/Berlin", "2027-09-18")
	f.Add(`a "b" \ '`, "-33.86,151.21", "UTC+10", "today")
	f.Add("{{name}}", "78.22,15.65", "Arctic/Longyearbyen", "21 June 2027")
	f.Fuzz(func(t *testing.T, name, at, tz, date string) {
		flags := map[string]string{"name": name, "at": at, "tz": tz, "date": date}
		text, err := Starter(flags, environment(t))
		if err != nil {
			reported(t, err)
			return
		}
		s := resolved(t, string(text))
		assert.Equal(t, name, s.Name)
	})
}

// What is most likely meant is one of the choices, and a choice means itself.
func FuzzNearest(f *testing.F) {
	choices := []string{"full-frame-200", "softbox-60x90", "nd-3", "scrim+hss", "Europe/Berlin"}
	for _, one := range choices {
		f.Add(one)
	}
	f.Fuzz(func(t *testing.T, word string) {
		near := Nearest(word, choices)
		assert.True(t, near == "" || slices.Contains(choices, near), near)
		if slices.Contains(choices, word) {
			assert.Equal(t, word, near)
		}
	})
}

func FuzzInstant(f *testing.F) {
	for _, text := range []string{"17:30", "sunset-2h", "solar noon+30m", "morning-golden-hour-begins",
		"civil dusk + 1h30m5s", "24:00", "noon", "sunset-1:30", "sunset - 90 min", "0\u034f"} {
		f.Add(text)
	}
	day := sky.NewObserver(sky.Place{Latitude: sky.Degrees(50)}).Day(2027, time.March, 20, time.UTC)
	f.Fuzz(func(t *testing.T, text string) {
		i, err := ParseInstant(text)
		if err != nil {
			var fault Fault
			require.True(t, errors.As(err, &fault))
			reported(t, Faults{fault})
			return
		}
		again, err := ParseInstant(i.String())
		require.NoError(t, err, "%q as %q", text, i)
		assert.Equal(t, i, again)
		s := &shoot.Shoot{Place: shoot.Place{Site: sky.Place{Latitude: sky.Degrees(50)}, Zone: time.UTC}}
		at, err := s.Moment(i, day)
		require.NoError(t, err, "%v has every event on that day", i)
		assert.InDelta(t, 12, at.Sub(day.Start).Hours(), 24)
	})
}

func FuzzSet(f *testing.F) {
	for _, k := range Flags() {
		f.Add(k.Flag, k.Example)
	}
	f.Add("at", "-33.86,151.21")
	f.Add("at", "33.86S 151.21°E")
	f.Add("method", "sync,scrim+hss")
	f.Add("ratio", "4:1")
	f.Add("step", "1h30m")
	f.Add("facing", "backlit")
	f.Fuzz(func(t *testing.T, flag, value string) {
		d, err := Demo()
		require.NoError(t, err)
		d.Set(flag, value)
		s, err := d.Resolve(environment(t))
		if err != nil {
			reported(t, err)
			return
		}
		sane(t, s)
	})
}
