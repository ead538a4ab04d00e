package sky_test

import (
	"math"
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// moonAt is a moon as far away as on the mean, lit as seen at a phase angle in
// degrees.
func moonAt(altitude, azimuth, phase float64) sky.Moon {
	return sky.Moon{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth),
		Distance: 384400, Lit: (1 + math.Cos(phase*math.Pi/180)) / 2}
}

// byMoon returns the light of a night under a condition, the sun at an altitude.
func byMoon(h sky.Horizon, c sky.Condition, sun float64, m sky.Moon) sky.Light {
	s := sky.Sun{Altitude: sky.Degrees(sun), TrueAltitude: sky.Degrees(sun), Azimuth: sky.Degrees(300), Distance: 1}
	return sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, 0.2, h).At(c, sky.SunOut, s,
		sky.View{Facing: sky.Degrees(120), Moon: m})
}

// A full moon in the zenith gives the level 0.25 to 0.32 lx, one at the quarter about
// a tenth of it (handbooks of lighting, from memory); outside the air it is 0.31 lx.
func TestMoonlightAgainstHandbooks(t *testing.T) {
	full := byMoon(nil, sky.Described(sky.Clear), -30, moonAt(90, 0, 0))
	assert.InDelta(t, 0.285, float64(full.Level), 0.035)
	half := byMoon(nil, sky.Described(sky.Clear), -30, moonAt(90, 0, 90))
	assert.InDelta(t, 0.1, float64(half.Level/full.Level), 0.025)
	assert.InDelta(t, 0.313, float64(moonAt(90, 0, 0).Illuminance()), 0.002)
	near := moonAt(90, 0, 0)
	near.Distance /= 1.1
	assert.InEpsilon(t, 1.21, float64(near.Illuminance()/moonAt(90, 0, 0).Illuminance()), 1e-9)
	t.Logf("full %.3f lx on the level, quarter %.3f", float64(full.Level), float64(half.Level))
}

// Every plane has what the sum of its sources gives it.
func TestMoonlightIsASource(t *testing.T) {
	for _, c := range []sky.Condition{sky.Described(sky.Clear), sky.Described(sky.Thin), sky.Described(sky.Overcast),
		sky.Oktas(4)} {
		for azimuth := 0.0; azimuth < 360; azimuth += 20 {
			l := byMoon(nil, c, -14, moonAt(35, azimuth, 20))
			sin, cos := math.Sincos(35 * math.Pi / 180)
			beam := float64(l.Moon.Normal)
			on := func(facing float64) float64 { return beam * cos * max(0, math.Cos((facing-azimuth)*math.Pi/180)) }
			assert.Zero(t, l.DirectNormal)
			assert.InDelta(t, float64(l.DiffuseHorizontal)+beam*sin, float64(l.Level), 1e-12)
			assert.InDelta(t, float64(l.Level)*0.1, float64(l.Ground), 1e-12)
			sunward := float64(l.SkyOn(0)+l.Ground) + on(300)
			moonward := float64(l.SkyOn(sky.Degrees(azimuth-300))+l.Ground) + on(azimuth)
			if beam == 0 {
				moonward = 0
			}
			assert.InDelta(t, max(sunward, moonward), float64(l.Lit), 1e-12, "the lit side is the brightest")
			assert.InDelta(t, float64(l.SkyOn(l.LitPlane())), float64(l.SkyLit), 1e-12)
			assert.InDelta(t, float64(l.SkyShade+l.Ground), float64(l.Shade), 1e-12)
			assert.InDelta(t, float64(l.Shade)+on(120), float64(l.Face), 1e-12)
			dark := byMoon(nil, c, -14, sky.Moon{})
			assert.Greater(t, float64(l.DiffuseHorizontal), float64(dark.DiffuseHorizontal), "the moon lights the sky")
			assert.Equal(t, c == sky.Described(sky.Overcast), beam == 0)
		}
	}
}

// A moon that comes over the sky behind the camera, the sun long gone, has the lit
// side turned to it without a jump, and the rim is as bright as it is.
func TestTheLitSideTurnsToTheMoon(t *testing.T) {
	var last sky.Light
	turned := false
	for altitude := -2.0; altitude < 30; altitude += 0.01 {
		l := byMoon(nil, sky.Described(sky.Clear), -12, moonAt(altitude, 120, 20))
		if altitude > -2 {
			require.InDelta(t, 0, float64(sky.StopsOf(float64(l.Lit/last.Lit))), 0.1, "%g", altitude)
		}
		require.GreaterOrEqual(t, float64(l.Lit), float64(l.Shade))
		turned, last = turned || l.LitPlane() != 0, l
	}
	require.True(t, turned)
	assert.Greater(t, float64(last.Lit/last.SkyLit), 2., "the beam is the most of it")
	assert.Equal(t, last.Face, last.Lit, "the face looks at the moon")
}

// A skyline keeps the moon off, and one that is down gives no beam.
func TestMoonlightAndTheSkyline(t *testing.T) {
	clear := sky.Described(sky.Clear)
	assert.Positive(t, byMoon(skyline(0, 10), clear, -14, moonAt(12, 40, 10)).Moon.Normal)
	assert.Zero(t, byMoon(skyline(0, 15), clear, -14, moonAt(12, 40, 10)).Moon)
	assert.Zero(t, byMoon(nil, clear, -14, moonAt(-2, 40, 10)).Moon)
}

// By day and without a moon nothing changes, to the bit; between -8 and -9 deg the
// moon comes in without a jump, and where it rises neither.
func TestMoonlightComesIn(t *testing.T) {
	clear, moon := sky.Described(sky.Clear), moonAt(30, 100, 0)
	for _, sun := range []float64{40, 0, -5, -7.99, -8} {
		assert.Equal(t, byMoon(nil, clear, sun, sky.Moon{}), byMoon(nil, clear, sun, moon), "%g", sun)
		assert.Zero(t, byMoon(nil, clear, sun, moon).Moon)
	}
	var last sky.Light
	for sun := -7.9; sun > -19; sun -= 0.01 {
		l := byMoon(nil, clear, sun, moon)
		if sun < -7.9 {
			for _, pair := range [][2]sky.Lux{{last.Level, l.Level}, {last.Lit, l.Lit}, {last.Shade, l.Shade},
				{last.Face, l.Face}} {
				require.InDelta(t, 0, float64(sky.StopsOf(float64(pair[1]/pair[0]))), 0.02, "%g", sun)
			}
		}
		last = l
	}
	last = byMoon(nil, clear, -14, moonAt(-3, 100, 0))
	for altitude := -2.99; altitude < 5; altitude += 0.01 {
		l := byMoon(nil, clear, -14, moonAt(altitude, 100, 0))
		require.InDelta(t, 0, float64(sky.StopsOf(float64(l.Face/last.Face))), 0.15, "%g", altitude)
		last = l
	}
}

// The colour of what the moon lights is about its own where the beam falls.
func TestMoonlightColour(t *testing.T) {
	l := byMoon(nil, sky.Described(sky.Clear), -25, moonAt(20, 120, 0))
	assert.Zero(t, l.Colour().Beam, "of the sun there is none")
	assert.InDelta(t, 4300, float64(l.Colour().Face), 300)
}

// A night through: the moon belongs to the view by night alone.
func TestNightMoon(t *testing.T) {
	o := sky.NewObserver(sky.Place{Latitude: sky.Degrees(50)})
	for n := range 24 * 12 {
		at := time.Date(2027, 1, 22, 12, 5*n, 0, 0, time.UTC)
		sun := o.Sun(at)
		moon := o.NightMoon(at, sun)
		assert.Equal(t, sun.Altitude < sky.Degrees(-8), moon != sky.Moon{}, "%v", at)
		assert.Equal(t, sun.AtNight(), moon != sky.Moon{})
	}
}

func BenchmarkMoonlight(b *testing.B) {
	d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, 0.2, nil)
	sun := sky.Sun{Altitude: sky.Degrees(-14), TrueAltitude: sky.Degrees(-14), Azimuth: 5, Distance: 1}
	v := sky.View{Facing: 2, Moon: moonAt(30, 100, 0)}
	b.ReportAllocs()
	for b.Loop() {
		if l := d.At(sky.Described(sky.Clear), sky.SunOut, sun, v); l.Moon.Normal == 0 {
			b.Fatal(l)
		}
	}
}
