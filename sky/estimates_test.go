package sky_test

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The numbers that nothing was fitted to: each with what it stands for.

// Few clouds are one and two oktas, scattered cloud three and four (WMO no.
// 306, manual on codes, FM 15 METAR, group NNN, from memory): with few the sky
// has the shape of the CIE's clear one, beyond that of its partly cloudy one,
// types 12 and 8 of ISO 15469:2004.
func TestFewCloudsLeaveAClearSky(t *testing.T) {
	for oktas, want := range map[float64]sky.SkyType{
		0: sky.ClearSky, 1: sky.ClearSky, 2: sky.ClearSky, 3: sky.BrokenSky, 4: sky.BrokenSky, 7: sky.BrokenSky,
	} {
		l := seaLevel(0).At(sky.Oktas(oktas), sky.SunOut, at(30), sky.View{})
		for _, azimuth := range []float64{0, 45, 90, 180} {
			share := float64(l.SkyOn(sky.Degrees(azimuth)) / l.DiffuseHorizontal)
			assert.InEpsilon(t, want.VerticalShare(sky.Degrees(30), sky.Degrees(azimuth)), share, 1e-9, "%g oktas", oktas)
		}
	}
}

// A band runs from the 10th percentile to the 90th, so that a sky, sun out or
// sun in, that is there for a tenth of the time or less lies outside it: then
// that end is counted from the mean. What is there for longer counts.
func TestASeldomSunLiesOutsideTheBand(t *testing.T) {
	const seldom = 0.1
	rare, frequent := 0, 0
	for n := 0.05; n < 8; n += 0.05 {
		e := seaLevel(0.2).Derive(sky.Oktas(n), sky.SunOut, at(30), sky.View{})
		require.NotNil(t, e.Oktas)
		in, sunny := &e.Bands.Extremes[0], &e.Bands.Extremes[1]
		where := []any{"%g oktas, sun out %g", n, e.Oktas.Out}
		if e.Oktas.Out <= seldom {
			assert.Equal(t, e.Light.DirectNormal, sunny.DirectNormal, where...)
		} else {
			assert.InEpsilon(t, float64(e.Cloudless.Beam), float64(sunny.DirectNormal), 1e-12, where...)
		}
		if 1-e.Oktas.Out <= seldom {
			assert.Equal(t, e.Light.DirectNormal, in.DirectNormal, where...)
		} else {
			assert.Zero(t, in.DirectNormal, where...)
		}
		for _, share := range [2]float64{e.Oktas.Out, 1 - e.Oktas.Out} {
			switch {
			case share > seldom && share < 2*seldom:
				frequent++
			case share > seldom/2 && share <= seldom:
				rare++
			}
		}
	}
	assert.Greater(t, frequent, 4, "cases a little more frequent")
	assert.Greater(t, rare, 4, "cases a little rarer")
}

// An estimate: Denmark's climate is taken to hold between 45 and 65 deg of
// latitude. Height widens nothing: it thins the haze.
func TestWhereBandsWiden(t *testing.T) {
	wide := func(latitude, elevation float64) bool {
		d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(latitude), Elevation: elevation}, 0.2, nil)
		return d.Derive(sky.Condition{}, sky.SunOut, at(30), sky.View{}).Bands.Widen > 0
	}
	assert.False(t, wide(56, 3000))
	for _, south := range []float64{1, -1} {
		assert.True(t, wide(44*south, 0))
		assert.False(t, wide(46*south, 0))
		assert.False(t, wide(64*south, 0))
		assert.True(t, wide(66*south, 0))
	}
}

// Haze thins with height as fitted (testdata/daylight/README.md), of a clear and
// a hazy sky and the air between clouds; a stated turbidity is that of the
// place, and below the sea the air is that over it.
func TestHazeThinsWithHeight(t *testing.T) {
	turbidity := func(c sky.Condition, elevation float64) float64 {
		d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(56), Elevation: elevation}, 0.2, nil)
		return d.Derive(c, sky.SunOut, at(30), sky.View{}).Air.Turbidity
	}
	for _, w := range []sky.Word{sky.Clear, sky.Hazy, sky.Thin, sky.Broken} {
		c := sky.Described(w)
		sea := turbidity(c, 0)
		assert.InDelta(t, 1.3+(sea-1.3)*math.Exp(-1), turbidity(c, 4200), 1e-12, "%v", c)
		assert.Equal(t, sea, turbidity(c, -400), "%v", c)
	}
	stated := sky.WithTurbidity(3)
	assert.Equal(t, turbidity(stated, 0), turbidity(stated, 2300))
}

// An estimate: upright planes were not measured in twilight, and the bands
// were not fitted below an apparent -1 deg, where their table ends; over the
// degree below it another 0.3 stop comes in, on upright planes only.
func TestTwilightWidensUprightPlanes(t *testing.T) {
	for _, c := range []sky.Condition{sky.Described(sky.Clear), sky.Described(sky.Overcast), sky.WithTurbidity(3)} {
		bands := func(h float64) [3]sky.Band {
			l := seaLevel(0.2).At(c, sky.SunOut, at(h), sky.View{})
			return [3]sky.Band{l.LitBand, l.ShadeBand, l.LevelBand}
		}
		table := bands(-1)
		for altitude, more := range map[float64]float64{-1.5: 0.15, -2: 0.3, -6: 0.3, -15: 0.3} {
			for i, b := range bands(altitude) {
				if i == 2 {
					more = 0
				}
				assert.InDelta(t, math.Hypot(float64(table[i].Low), more), -float64(b.Low), 1e-9, "%v at %g", c, altitude)
				assert.InDelta(t, math.Hypot(float64(table[i].High), more), float64(b.High), 1e-9, "%v at %g", c, altitude)
			}
		}
	}
}

// An estimate: the sky keeps the side of the sunset until half way through
// nautical twilight, -6 to -12 deg, and has lost it at the end of astronomical
// twilight, -18 deg, where the sky is dark all round by definition.
func TestTheSideOfTheSunsetFades(t *testing.T) {
	contrast := func(h float64) float64 {
		l := seaLevel(0).At(sky.Condition{}, sky.SunOut, at(h), sky.View{})
		return float64((l.SkyOn(0) - l.SkyOn(math.Pi)) / l.DiffuseHorizontal)
	}
	whole := contrast(-8)
	assert.Greater(t, whole, 0.2)
	for altitude, left := range map[float64]float64{-8.9: 1, -9: 1, -10.5: 5. / 6, -13.5: 0.5, -18: 0, -30: 0} {
		assert.InDelta(t, left, contrast(altitude)/whole, 1e-9, "%g deg", altitude)
	}
}

// An estimate, no source: in civil twilight the light of cloud is bluer than
// under any overcast measured by day (6853 K, Balakrishnan 2019), for what
// lights it has lost the sun; but cloud whitens, so that it stays nearer to its
// own colour by day than to that of the clear twilight sky.
func TestTwilightUnderCloud(t *testing.T) {
	colour := func(w sky.Word, h float64) float64 {
		l := seaLevel(0.2).At(sky.Described(w), sky.SunOut, at(h), sky.View{})
		return float64(l.Colour().Sky.Mired())
	}
	day, blue := colour(sky.Overcast, 1), colour(sky.Clear, -4)
	for _, h := range []float64{-1.5, -4, -8} {
		dusk := colour(sky.Overcast, h)
		assert.Less(t, dusk, float64(sky.Kelvin(6853).Mired())-10, "%g deg", h)
		turned := (day - dusk) / (day - blue)
		assert.Greater(t, turned, 0.25, "%g deg", h)
		assert.Less(t, turned, 0.5, "%g deg", h)
	}
}
