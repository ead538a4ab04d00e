package sky_test

import (
	"math"
	"testing"

	"evenfall/sky"

	"github.com/stretchr/testify/require"
)

// Derive gives the light that At gives, and parts that make it: under every
// condition from night to noon.
func TestDeriveIsWhatAtDoes(t *testing.T) {
	read := seaLevel(0.2).Corrected(sky.Correction{Turbidity: 0.8, Beam: -0.3, Sky: 0.2, Told: 0.6, SkyTold: 0.4})
	places := []*sky.Daylight{
		seaLevel(0.2), &read,
		sky.NewDaylight(sky.Place{Latitude: sky.Degrees(-37), Elevation: 2300}, 0.4, sky.Horizon{
			{Azimuth: 0, Altitude: sky.Degrees(1)}, {Azimuth: sky.Degrees(190), Altitude: sky.Degrees(4)}}),
	}
	for _, d := range places {
		for _, s := range append(states(), extremes()...) {
			for h := -20.0; h < 90; h += 1.37 {
				sun := refracted(h)
				sun.Season = math.Sin(h)
				v := sky.View{Facing: sky.Degrees(31 * h), Frame: sky.Frame{Altitude: sky.Degrees(math.Abs(h) / 3),
					Width: sky.Degrees(16), Height: sky.Degrees(24)}}
				l := d.At(s.condition, s.which, sun, v)
				e := d.Derive(s.condition, s.which, sun, v)
				where := []any{"%s, %g deg", s.name, h}
				require.Equal(t, l, e.Light, where...)
				beam, diffuse := e.Cloudless.Beam, e.Cloudless.Sky
				switch {
				case e.Oktas != nil:
					beam, diffuse = e.Oktas.Beam, e.Oktas.Sky
				case e.Cloud != nil:
					beam, diffuse = e.Cloud.Beam, e.Cloud.Sky
				}
				require.InEpsilon(t, float64(l.DirectNormal)+1, float64(beam)*e.By.Beam.Factor()*e.Visible+1, 1e-12, where...)
				require.InEpsilon(t, float64(l.OpenSky), float64(diffuse)*e.By.Sky.Factor(), 1e-12, where...)
				require.Equal(t, h < 0, e.Cloudless.Dusk != nil, where...)
				faded := func(luminance float64) float64 {
					return luminance*(1-e.Spread.Fade) + float64(l.OpenSky)*e.Spread.Fade/math.Pi
				}
				zenith := faded(float64(e.Spread.Zenith))
				require.InDelta(t, float64(l.Luminance(sky.Degrees(90), 0)), zenith, 1e-9*zenith, where...)
				require.Equal(t, e.Oktas != nil, e.Bands.Extremes != nil, where...)
				mean := 0.0
				for _, p := range e.Backdrop {
					mean += p.Weight * p.Relative
					exact := e.Spread.Relative(p.Altitude, p.FromSun)
					near := 0.0005
					if e.Spread.Low() {
						near = 0.04
					}
					require.InDelta(t, 0, math.Log2(p.Relative/exact), near, where...)
				}
				require.InDelta(t, float64(l.Backdrop), faded(mean*float64(e.Spread.Zenith)), 1e-9*float64(l.Backdrop), where...)
				require.LessOrEqual(t, e.Bands.From, e.Bands.To, where...)
				if k := l.Colour(); l.DirectNormal > 0 {
					require.Equal(t, k.Beam.Mired(), e.Colour.Beam.Kelvin().Mired(), where...)
				}
			}
		}
	}
}
