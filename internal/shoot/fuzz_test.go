package shoot

import (
	"errors"
	"math"
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sane checks that all of a resolved shoot is finite and in its range.
func sane(t *testing.T, s *Shoot) {
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
	within("camera distance", s.Subject.CameraDistance, 2*s.Lens.FocalLength/1000, 1000)
	within("background distance", s.Subject.Background.Distance, 0.1, math.Inf(1))
	within("background reflectance", s.Subject.Background.Reflectance, 0.01, 1)
	if s.Look.Kind == Ratio {
		within("ratio", s.Look.Ratio, 1.1, 64)
	}
	within("dark sky", float64(s.Look.Dark), 0, 8)
	within("bias", float64(s.Look.Bias), -5, 5)
	assert.LessOrEqual(t, s.Camera.Sync, s.Camera.Fastest)
	assert.LessOrEqual(t, s.Camera.Lowest, s.Camera.Highest)
	assert.LessOrEqual(t, s.Lens.Widest, s.Lens.Wanted)
	assert.LessOrEqual(t, s.Lens.Wanted, s.Lens.Narrowest)
	assert.LessOrEqual(t, s.Lens.Slowest, s.Camera.Sync)
	for _, click := range []int{int(s.Lens.Widest), int(s.Lens.Wanted), int(s.Lens.Narrowest), int(s.Lens.Slowest), int(s.Camera.Sync), int(s.Camera.Fastest)} {
		assert.Zero(t, click%int(s.Camera.Click))
	}
	within("focal length", s.Lens.FocalLength, 4, 2000)
	within("units", float64(s.Flash.Units), 1, 12)
	within("flash distance", s.Flash.Distance, 0.2, 100)
	full := float64(s.Flash.Full())
	assert.True(t, full > 0 && !math.IsInf(full, 0), "flash %v", full)
	within("recycling", s.Flash.Unit.Recycle(0), 0.001, 60)
	if s.Scrim != nil {
		assert.True(t, (s.Scrim.Height > 0) != (s.Scrim.Distance > 0))
		within("scrim", s.Scrim.Width*s.Scrim.Length, 0.04, 144)
	}
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
	for _, r := range s.Name + s.Place.Name + s.Lens.Name + s.Camera.Name + s.Flash.Unit.Name {
		assert.False(t, obeyed(r), "%U", r)
	}
}

// reported checks that an error is one for the user to read.
func reported(t *testing.T, err error) {
	var faults Faults
	require.True(t, errors.As(err, &faults), "%v", err)
	require.NotEmpty(t, faults)
	for _, f := range faults {
		assert.NotEmpty(t, f.What)
		for _, r := range f.What + f.Hint {
			assert.False(t, obeyed(r), "%U in %q", r, f.What+f.Hint)
		}
	}
}

func FuzzParse(f *testing.F) {
	f.Add(demoFile)
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

func FuzzInstant(f *testing.F) {
	for _, text := range []string{"17:30", "sunset-2h", "solar noon+30m", "morning-golden-hour-begins", "civil dusk + 1h30m5s", "24:00", "noon"} {
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
		s := &Shoot{Place: Place{Site: sky.Place{Latitude: sky.Degrees(50)}, Zone: time.UTC}}
		at, err := s.moment(i, day)
		require.NoError(t, err, "%v has every event on that day", i)
		assert.InDelta(t, 12, at.Sub(day.Start).Hours(), 24)
	})
}

func FuzzSet(f *testing.F) {
	for flag, of := range flagKeys {
		f.Add(flag, of.example)
	}
	for flag, of := range skyFlags {
		f.Add(flag, of.example)
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
		if err := d.Set(flag, value); err != nil {
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
