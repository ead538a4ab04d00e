package sky_test

import (
	"math"
	"testing"
	"time"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func skyline(pairs ...float64) (h sky.Horizon) {
	for i := 0; i < len(pairs); i += 2 {
		h = append(h, sky.HorizonPoint{Azimuth: sky.Degrees(pairs[i]), Altitude: sky.Degrees(pairs[i+1])})
	}
	return h
}

var yard = skyline(0, 40, 60, 35, 61, 5, 140, 5, 141, 60, 200, 60, 240, 20, 359, 38)

// under returns the light under a condition before a skyline, the sun at an
// altitude and azimuth in degrees.
func under(h sky.Horizon, c sky.Condition, altitude, azimuth, facing float64) sky.Light {
	sun := sky.Sun{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth),
		Distance: 1}
	return sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, 0.2, h).At(c, sky.SunOut, sun,
		sky.View{Facing: sky.Degrees(facing)})
}

// left adds up, direction by direction, what of an even sky is above a skyline:
// on the level, and on an upright plane that faces an azimuth in degrees.
func left(h sky.Horizon, facing float64) (level, upright float64) {
	const step = 0.25
	wholeLevel, wholeUpright := 0.0, 0.0
	for azimuth := step / 2; azimuth < 360; azimuth += step {
		line := h.At(sky.Degrees(azimuth)).Degrees()
		cosAzimuth := max(0, math.Cos((azimuth-facing)*math.Pi/180))
		for altitude := step / 2; altitude < 90; altitude += step {
			sin, cos := math.Sincos(altitude * math.Pi / 180)
			solid := cos // of the cell, but for a factor
			wholeLevel += solid * sin
			wholeUpright += solid * cos * cosAzimuth
			if altitude > line {
				level += solid * sin
				upright += solid * cos * cosAzimuth
			}
		}
	}
	return level / wholeLevel, upright / wholeUpright
}

// What is left of an even sky is what adding up every direction leaves, and of any
// sky the same share is taken.
func TestSkylineTakesItsShareOfTheSky(t *testing.T) {
	if testing.Short() {
		t.Skip("takes long, and does one thing after another")
	}
	worst := 0.0
	for name, h := range map[string]sky.Horizon{
		"yard": yard, "roofs": skyline(0, 15), "wall": skyline(90, 0, 90.1, 70, 180, 70, 180.1, 0),
		"trees": skyline(0, 0, 50, 20, 100, -5, 200, 8, 300, 30),
	} {
		open, l := under(nil, sky.Described(sky.Clear), 25, 200, 90), under(h, sky.Described(sky.Clear), 25, 200, 90)
		for facing := 0.0; facing < 360; facing += 15 {
			level, upright := left(h, facing)
			fromSun := sky.Degrees(facing - 200)
			worst = max(worst, math.Abs(l.SkyLeft(fromSun)-upright))
			assert.InDelta(t, upright, l.SkyLeft(fromSun), 0.003, "%s at %g", name, facing)
			assert.InEpsilon(t, l.SkyLeft(fromSun)*float64(open.SkyOn(fromSun)), float64(l.SkyOn(fromSun)), 1e-12)
			assert.InDelta(t, level, float64(l.DiffuseHorizontal/l.OpenSky), 0.003, name)
		}
		assert.Equal(t, open.OpenSky, l.OpenSky)
		assert.Equal(t, l.SkyLit, l.SkyOn(0))
		assert.InEpsilon(t, float64(l.SkyOn(sky.Degrees(90-200))), float64(l.SkyShade), 1e-12)
		assert.InEpsilon(t, float64(l.Level)*0.2/2, float64(l.Ground), 1e-12)
		beam := float64(l.DirectNormal) * math.Sin(25*math.Pi/180)
		assert.InDelta(t, float64(l.Level), beam+float64(l.DiffuseHorizontal), 1e-9)
	}
	t.Logf("worst share against adding up %.5f", worst)
}

// Limits: nothing that stands up changes nothing, to the bit; a wall to the zenith
// all round leaves nothing; one over half the horizon takes half of the level, all
// of the plane that faces it and nothing of the one that turns away.
func TestSkylineLimits(t *testing.T) {
	for _, c := range []sky.Condition{sky.Described(sky.Clear), sky.Described(sky.Overcast), sky.Oktas(5)} {
		open := under(nil, c, 20, 120, 300)
		for _, h := range []sky.Horizon{skyline(0, 0), skyline(10, -3, 200, -8)} {
			assert.Equal(t, open, under(h, c, 20, 120, 300))
		}
		walled := under(skyline(0, 90), c, 20, 120, 300)
		assert.InDelta(t, 0, float64(walled.DiffuseHorizontal/walled.OpenSky), 1e-9)
		for azimuth := 0.0; azimuth < 360; azimuth += 30 {
			assert.InDelta(t, 0, float64(walled.SkyOn(sky.Degrees(azimuth))/walled.OpenSky), 1e-6)
		}
		assert.False(t, math.IsNaN(float64(walled.LitBand.Low+walled.LevelBand.High+walled.ShadeBand.Low)))
		half := under(skyline(0, 90, 180, 90, 180.001, 0, 359.999, 0), c, 20, 270, 300)
		assert.InDelta(t, 0.5, float64(half.DiffuseHorizontal/half.OpenSky), 1e-3)
		assert.InDelta(t, 1, half.SkyLeft(0), 1e-3)
		assert.InDelta(t, 0, half.SkyLeft(math.Pi), 1e-3)
		assert.InDelta(t, 0.5, half.SkyLeft(math.Pi/2), 1e-3)
	}
}

// Higher roofs never leave more, and nothing jumps as a plane turns, north
// included.
func TestSkylineSharesAreMonotoneAndContinuous(t *testing.T) {
	before := 1.0
	for altitude := 1.0; altitude < 90; altitude++ {
		l := under(skyline(0, altitude), sky.Described(sky.Clear), 20, 120, 300)
		assert.Less(t, l.SkyLeft(0), before)
		before = l.SkyLeft(0)
	}
	l := under(yard, sky.Described(sky.Clear), 20, 0, 300)
	for azimuth := -180.0; azimuth < 360; azimuth += 0.05 {
		a, b := l.SkyLeft(sky.Degrees(azimuth)), l.SkyLeft(sky.Degrees(azimuth+0.05))
		require.InDelta(t, a, b, 0.001, "%g", azimuth)
		seen := func(at float64) float64 { return l.Seen(sky.Degrees(at), sky.Degrees(30), sky.Degrees(10)) }
		require.InDelta(t, seen(azimuth), seen(azimuth+0.05), 0.03, "%g", azimuth)
	}
	assert.Equal(t, 1.0, l.Seen(0, sky.Degrees(80), sky.Degrees(10)))
	assert.Equal(t, 0.0, l.Seen(sky.Degrees(170), sky.Degrees(40), sky.Degrees(10)))
}

// What is left of the sky's light does not jump while the sun goes round, and with
// it the lit side.
func TestLightBeforeASkylineIsContinuous(t *testing.T) {
	place := sky.Place{Latitude: sky.Degrees(50)}
	o, open, d := sky.NewObserver(place), sky.NewDaylight(place, 0.2, nil), sky.NewDaylight(place, 0.2, yard)
	last := math.NaN()
	for n := range 24 * 360 {
		sun := o.Sun(time.Date(2027, 5, 3, 0, 0, 10*n, 0, time.UTC))
		l := d.At(sky.Described(sky.Clear), sky.SunOut, sun, sky.View{})
		whole := open.At(sky.Described(sky.Clear), sky.SunOut, sun, sky.View{})
		left := float64(l.SkyLit / whole.SkyLit)
		if n > 0 {
			require.InDelta(t, last, left, 0.001)
		}
		last = left
	}
}
