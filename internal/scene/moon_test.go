package scene

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// byMoonlight is the light of a night with the moon somewhere.
func byMoonlight(altitude, azimuth, facing float64) (sky.Light, sky.Sun) {
	sun := sky.Sun{Altitude: sky.Degrees(-14), TrueAltitude: sky.Degrees(-14), Azimuth: sky.Degrees(300), Distance: 1}
	moon := sky.Moon{Altitude: sky.Degrees(altitude), TrueAltitude: sky.Degrees(altitude), Azimuth: sky.Degrees(azimuth),
		Distance: 384400, Lit: 1}
	d := sky.NewDaylight(sky.Place{Latitude: sky.Degrees(50)}, 0.2, nil)
	return d.At(sky.Described(sky.Clear), sky.SunOut, sun, sky.View{Facing: sky.Degrees(facing), Moon: moon}), sun
}

// The moon's beam on the key side against every plane within 45 deg of the camera's
// direction on that side: the one that gets most counts.
func TestMoonOnKeyAgainstEveryPlane(t *testing.T) {
	s := Stance{sky.Degrees(90), Right} // the key side toward north of east
	for _, altitude := range []float64{5, 30, 60, 85} {
		for azimuth := 0.0; azimuth < 360; azimuth += 15 {
			l, _ := byMoonlight(altitude, azimuth, 90)
			moon, most := toward(sky.Degrees(altitude), sky.Degrees(azimuth)), 0.0
			for away := 0.0; away <= 45; away += 0.5 { // of the plane's square from the camera
				for round := 0.0; round <= 180; round++ { // from straight up by the key side to straight down
					sin, cos := math.Sincos(away * math.Pi / 180)
					up, north := math.Cos(round*math.Pi/180), math.Sin(round*math.Pi/180)
					most = max(most, vector{cos, sin * north, sin * up}.dot(moon))
				}
			}
			assert.InDelta(t, most, float64(MoonOnKey(&l, s)/l.Moon.Normal), 1e-3, "%g deg up at %g", altitude, azimuth)
		}
	}
}

// Nothing of it falls on the shadow side; the key side goes on without a jump as the
// sitter turns, and has the same of the moon beside a reflector.
func TestMoonOnTheFace(t *testing.T) {
	last := math.NaN()
	r := white()
	for facing := 0.0; facing < 360; facing += 0.5 {
		l, sun := byMoonlight(35, 140, facing)
		s := Stance{sky.Degrees(facing), Left}
		a := Open(&l, sun, s)
		require.Equal(t, l.SkyOn(s.ShadowPlane()-sun.Azimuth)+l.Ground, a.Shadow)
		require.InDelta(t, float64(l.SkyOn(s.KeyPlane()-sun.Azimuth)+l.Ground+MoonOnKey(&l, s)), float64(a.Key), 1e-12)
		if facing > 0 {
			require.InDelta(t, last, float64(a.Key), 0.01*float64(l.Moon.Normal), "%g", facing)
		}
		last = float64(a.Key)
		if b := r.Beside(&l, sun, s); b.Turn != Down {
			require.InDelta(t, float64(a.Face), float64(b.Ambient.Face), 0.1*float64(a.Face))
		}
		shade := Shade{SkyShare: 0.5}.Under(&l, sun, s)
		require.Equal(t, shade.Shade, shade.Face, "no moon in open shade")
	}
}
